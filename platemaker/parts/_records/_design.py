"""What the stack is designed for, resolved: loads as forces, friction as its nut factor, fits as deviations."""

from __future__ import annotations

import math
from collections.abc import Sequence

from platemaker.catalog import NutFactor, ORing, iso286, nut_factor, o_ring
from platemaker.errors import SpecError, nearest_word
from platemaker.parts._records._cuts import Vec3
from platemaker.records import Record, field
from platemaker.spec import (
    AirModel,
    BlowerModel,
    Bracket,
    CompoundsModel,
    DesignModel,
    DrainLineModel,
    EngineModel,
    FuelModel,
    LoadModel,
    OilFeedModel,
    PressFitModel,
    ProjectSpec,
    Rail,
    ReliefModel,
    SealModel,
)
from platemaker.units import in_project_unit

GRAVITY = 9.80665
"""Standard gravity, m/s² (ISO 80000-3)."""
ALONG = 1 - 1e-9
"""Cosine from which on two directions are one."""


class Load(Record):
    """A force, N, at a point, mm, both in the stack's frame, on what stands above the joints that carry it.

    Or `parts` carry it: rails, or single brackets.

    `ways` are all forces that it may be, each with its direction in words; as stated comes first.
    """

    name: str
    ways: tuple[tuple[str, Vec3], ...]
    at: Vec3
    joints: tuple[str, ...]
    parts: tuple[str, ...] = ()

    @property
    def force(self) -> Vec3:
        """The force as stated."""
        return self.ways[0][1]


class Design(Record):
    """Pressures over ambient, MPa; the friction of bolts, the share of proof they are tightened to, and more.

    `temperature` is that of the warm engine, `cold_start` of the coldest, K; `tightening` names the method. `engine`,
    `blower`, `air`, `fuel`, `drain`, `oil_feed`, `relief` and `compounds` are as the spec has them.
    """

    boost: float
    backfire: float
    vacuum: float
    friction: NutFactor
    preload_share: float
    temperature: float | None
    loads: tuple[Load, ...]
    engine: EngineModel | None
    blower: BlowerModel | None
    air: AirModel | None
    fuel: FuelModel | None
    drain: DrainLineModel | None
    oil_feed: OilFeedModel | None = None
    relief: ReliefModel | None = None
    tightening: str = "torque wrench"
    cold_start: float = 253.15
    compounds: CompoundsModel = field(default_factory=CompoundsModel)


class Seal(Record):
    """An O-ring in a face groove of part `owner`, `depth` and `width` mm: the ring's own row is kept.

    `depth_limits` and `width_limits` are the least and most that the drawing allows and the checks take, mm; the outer
    wall's sizes over all may be `wall_deviation` more or less.
    `compound` is its rubber as ISO 1629 names it; None where the spec does not say. `flatness`: of each face, mm.
    """

    ring: ORing
    owner: str
    depth: float
    width: float
    depth_limits: tuple[float, float]
    width_limits: tuple[float, float]
    wall_deviation: float
    compound: str | None
    flatness: float


class Shared(Record):
    """The other machine's bracket on a joint's bolts: the shim that its other side gets, its flange's thickness, mm."""

    title: str
    shim: float
    thickness: float | None = None


class PressFit(Record):
    """A pressed joint of diameter `diameter`, mm: least and greatest interference, mm (negative is clearance).

    `casting` names the part whose bore takes the boss; `angle` is the bore's to the flat, degrees. `bore_zone` and
    `boss_zone` are those of ISO 286, such as H7 and p6; empty where the spec gives the interference itself.

    `boss_read` and `bores_read`, by hole, are how far what was read of a finished part lies off the diameter, mm.
    `unread` is what else must be read for the interference, "" where nothing must.
    """

    diameter: float
    least: float
    greatest: float
    words: str
    source: str
    casting: str
    angle: float
    retaining_compound: bool
    bore_zone: str = ""
    boss_zone: str = ""
    boss_read: float | None = None
    bores_read: tuple[tuple[str, float], ...] = ()
    unread: str = ""


def design_of(spec: ProjectSpec) -> Design | None:
    """The project's design values; None when the spec has none. Raises SpecError for a load on an unknown joint."""
    given = spec.model.design
    if given is None:
        return None
    return Design(
        given.boost, given.backfire, given.vacuum, nut_factor(given.friction), given.preload_share, given.temperature,
        _loads(given, spec), given.engine, given.blower, given.air, given.fuel, given.drain, given.oil_feed,
        given.relief, given.tightening, given.cold_start, given.compounds,
    )  # fmt: skip


def _loads(given: DesignModel, spec: ProjectSpec) -> tuple[Load, ...]:
    joints = sorted(spec.model.joints)
    parts = sorted(name for name, part in spec.model.parts.items() if isinstance(part, Rail | Bracket))
    found = []
    for name, load in given.loads.items():
        for key, what, given_names, known in (
            ("joints", "joint", load.joints or (), joints), ("parts", "rail or bracket", load.parts or (), parts),
        ):  # fmt: skip
            for place, word in enumerate(given_names):
                if word not in known:
                    where = spec.where("design", "loads", name, key, place)
                    problem = f"no {what} is called '{word}'"
                    raise SpecError(
                        problem, where=where, met=word, nearest=nearest_word(word, known),
                        allowed=_carriers(key, known, word, parts),
                    )  # fmt: skip
        found.append(Load(name, _ways(load), load.at, load.joints or (), load.parts or ()))
    return tuple(found)


def _carriers(key: str, known: Sequence[str], word: str, parts: Sequence[str]) -> str:
    """What a load may act on, in words."""
    if key == "joints" and word in parts:
        return f"{word} under `parts`, where rails and brackets stand"
    return ", ".join(known) or f"none: the project has no {'rail or bracket' if key == 'parts' else 'joint'}"


def _ways(load: LoadModel) -> tuple[tuple[str, Vec3], ...]:
    """Every force that a load may be, N: a force both ways, a weight that the road shakes along each axis.

    Sideways such a weight also hangs. Common practice, no source.
    """
    weight = (load.mass or 0.0) * GRAVITY
    size = load.force if load.force is not None else weight * load.times
    length = math.hypot(*load.towards)
    down = _scaled(load.towards, 1 / length)
    stated = ("as stated", _scaled(down, size))
    if load.one_way or (load.mass is not None and load.times <= 1):
        return (stated,)
    if load.force is not None:
        return stated, ("reversed", _scaled(down, -size))
    found = [stated]
    for axis, letter in enumerate("XYZ"):
        for sign, word in ((1.0, "+"), (-1.0, "-")):
            along = (sign * (axis == 0), sign * (axis == 1), sign * (axis == 2))
            cosine = sign * down[axis]
            if cosine > ALONG:
                continue
            hung = _scaled(down, weight if abs(cosine) <= ALONG else 0.0)
            x, y, z = _scaled(along, size)
            found.append((f"along {word}{letter}", (x + hung[0], y + hung[1], z + hung[2])))
    return tuple(found)


def _scaled(vector: Vec3, by: float) -> Vec3:
    x, y, z = vector
    return x * by, y * by, z * by


def press_fit_of(model: PressFitModel, diameter: float, casting: str, angle: float, units: str) -> PressFit:
    """The interference of a fit at a diameter, mm, in words of the project's units.

    Raises CatalogError for a zone that is not tabled.
    """
    bore_zone, boss_zone = model.hole or "", model.shaft or ""
    if model.interference is not None:
        bore_zone = boss_zone = ""
        least, greatest = model.interference
        scale, unit = in_project_unit("mm", units)
        words, source = f"{least * scale:.4g} to {greatest * scale:.4g} {unit}", "the spec"
    else:
        hole, shaft = iso286(diameter, bore_zone), iso286(diameter, boss_zone)
        least, greatest = shaft.lower - hole.upper, shaft.upper - hole.lower
        words, source = f"{bore_zone}/{boss_zone}", hole.source
    return PressFit(
        diameter, least, greatest, words, source, casting, angle, model.retaining_compound, bore_zone, boss_zone
    )


def ring_of(model: SealModel) -> ORing:
    """The O-ring of a seal. Raises CatalogError for an unknown one."""
    return o_ring(model.o_ring)
