"""What pulls a joint apart: pressure and loads, shared over its bolts by the pattern's exact properties.

Loads act in every way that the spec leaves open; each combination has its own shares, and readers take the worst.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import product

from platemaker.checks._boost import boost_of
from platemaker.checks._seal_lines import SealLine, carriers
from platemaker.errors import OutOfRange
from platemaker.formulas import pattern_properties, pattern_shear, pattern_tension, tilting_tension
from platemaker.parts import Design, Joint, Load, Stack, Vec3
from platemaker.plane import Point, rotated
from platemaker.resolved import resolved_stack

NOTHING = 1e-9
"""A moment below this share of force times pattern is rounding, not a moment."""
MOST_COMBINATIONS = 4096
"""Combinations of ways that the loads of one joint may act in."""


@dataclass(frozen=True)
class Case:
    """A pressure that a joint has to hold, MPa, and its name; `rare` for a backfire, which may come once."""

    name: str
    pressure: float
    rare: bool = False


def cases_of(design: Design, joint: Joint) -> Iterator[Case]:
    """The pressures of a joint: its own where the spec gives one, else the boost that governs, and backfire."""
    if joint.pressure is not None:
        yield Case("pressure", joint.pressure)
        return
    boost = boost_of(design).governing
    if boost > 0 or design.backfire == 0:
        yield Case("boost", boost)
    if design.backfire > 0:
        yield Case("backfire", design.backfire, rare=True)


@dataclass(frozen=True)
class Shares:
    """Each bolt's share of what acts on a joint, N: `tension` along it, `shear` across, by spot.

    `pull` is the whole pull, N, and `pressed` the part of it that the pressure makes. `sideways` is the force across,
    N, and `moments` those about the pattern's middle, N.mm: sum of T y, sum of T x, and the turning one. `words` say
    which way each load acts. `lever` is how far from bolts in one line the edge lies that the plate tilts about, mm.
    """

    tension: Mapping[str, float]
    shear: Mapping[str, float]
    pull: float
    pressed: float
    sideways: Point = (0.0, 0.0)
    moments: Vec3 = (0.0, 0.0, 0.0)
    words: str = ""
    lever: float | None = None

    @property
    def worst(self) -> str:
        """The spot that is pulled most; of equal ones, to a thousandth of a newton, the first."""
        return max(self.tension, key=lambda spot: round(self.tension[spot], 3))


def loads_on(stack: Stack, joint: Joint) -> tuple[Load, ...]:
    """The design's loads that a joint carries."""
    return tuple(load for load in (stack.design.loads if stack.design else ()) if joint.name in load.joints)


def every_share(stack: Stack, joint: Joint, line: SealLine | None, pressure: float) -> tuple[Shares, ...]:
    """The shares of a joint's bolts under a pressure, once for each combination of the ways that its loads may act.

    Raises OutOfRange as `shares_of` does, and for more combinations than 4096.
    """
    loads = loads_on(stack, joint)
    count = math.prod(len(load.ways) for load in loads)
    if count > MOST_COMBINATIONS:
        message = f"{len(loads)} loads act in {count} combinations, more than {MOST_COMBINATIONS}: state `one_way`"
        raise OutOfRange(message)
    return tuple(
        shares_of(stack, joint, line, pressure, ways)
        for ways in product(*(range(len(load.ways)) for load in loads))
    )  # fmt: skip


def shares_of(
    stack: Stack, joint: Joint, line: SealLine | None, pressure: float, ways: Sequence[int] | None = None
) -> Shares:
    """The shares of a joint's bolts under a pressure and the design's loads, each in one way (if not given, as stated).

    The plate is taken as rigid: tension varies linearly over the pattern. Across bolts in one line it tilts about its
    own edge. Raises OutOfRange where the joint has no place, or no edge that it could tilt about, or one spot that is
    to hold a turning moment.
    """
    names, points = list(joint.spots), list(joint.spots.values())
    centre = pattern_properties(points)
    pressed = pressure * line.measures.area if line else 0.0
    force = [0.0, 0.0, pressed]
    about = [0.0, 0.0, 0.0]
    if line is not None:
        x, y = line.measures.centroid
        about[0], about[1] = pressed * (y - centre.y), pressed * (x - centre.x)
    loads = loads_on(stack, joint)
    chosen = [load.ways[way] for load, way in zip(loads, ways or [0] * len(loads), strict=True)]
    for f, r in _in_joint(stack, joint, loads, chosen):
        x, y, z = r[0] - centre.x, r[1] - centre.y, r[2]
        for axis in range(3):
            force[axis] += f[axis]
        about[0] += y * f[2] - z * f[1]
        about[1] += x * f[2] - z * f[0]
        about[2] += x * f[1] - y * f[0]
    size = sum(map(abs, force)) * (max(abs(p[0]) + abs(p[1]) for p in points) + 1.0)
    m_x, m_y, m_z = (moment if abs(moment) > NOTHING * size else 0.0 for moment in about)
    tension, lever = _tension(stack, joint, force[2], m_x, m_y)
    shear = pattern_shear(points, force[0], force[1], m_z)
    return Shares(
        dict(zip(names, tension, strict=True)),
        {name: math.hypot(*v) for name, v in zip(names, shear, strict=True)},
        force[2],
        pressed,
        (force[0], force[1]),
        (m_x, m_y, m_z),
        ", ".join(f"{load.name} {words}" for load, (words, _) in zip(loads, chosen, strict=True)),
        lever,
    )


def _tension(stack: Stack, joint: Joint, pull: float, m_x: float, m_y: float) -> tuple[tuple[float, ...], float | None]:
    """Tension on each bolt, N; for bolts in one line also how far the edge is that the plate tilts about, mm."""
    points = list(joint.spots.values())
    try:
        return pattern_tension(points, pull, m_x, m_y), None
    except OutOfRange:
        pass
    centre = pattern_properties(points)
    out = [(x - centre.x, y - centre.y) for x, y in points]
    far = max(out, key=lambda r: math.hypot(*r))
    length = math.hypot(*far)
    # Along the line as ever; across it, or round a single bolt, everything that is left of the moment tilts.
    u = (far[0] / length, far[1] / length) if length > 0 else (0.0, 0.0)
    along = m_y * u[0] + m_x * u[1]
    across = (m_y - along * u[0], m_x - along * u[1])
    tilt = math.hypot(*across)
    polar = sum(x**2 + y**2 for x, y in out)
    lever = _to_edge(stack, joint, (centre.x, centre.y), (-across[0] / tilt, -across[1] / tilt)) if tilt > 0 else 0.0
    tilted = tilting_tension(tilt, [lever] * len(points)) if tilt > 0 else (0.0,) * len(points)
    tension = tuple(
        pull / len(points) + (along * (x * u[0] + y * u[1]) / polar if polar > 0 else 0.0) + more
        for (x, y), more in zip(out, tilted, strict=True)
    )
    return tension, lever


def _to_edge(stack: Stack, joint: Joint, at: Point, towards: Point) -> float:
    """How far a joint's faces reach from a point in a direction, mm: the least of its made parts and its gasket."""
    angle = math.degrees(math.atan2(towards[1], towards[0]))
    reaches = [
        rotated(mounting.in_joint(part.stock.plan), -angle, at).bounds[2] - at[0]
        for part, mounting in carriers(stack, joint)
    ]
    lever = min(reaches, default=0.0)
    if lever <= 0:
        message = "a moment acts across bolts in one line, and no face reaches past them to hold it"
        raise OutOfRange(message)
    return lever


def _in_joint(
    stack: Stack, joint: Joint, loads: Sequence[Load], chosen: Sequence[tuple[str, Vec3]]
) -> Iterator[tuple[Vec3, Vec3]]:
    """Force and point of each load, in the joint's frame."""
    if not loads:
        return
    frame = resolved_stack(stack).joint(joint.name).frame
    if frame is None:
        message = f"joint {joint.name} has no place in the stack, so loads cannot be carried to it"
        raise OutOfRange(message)
    for load, (_, force) in zip(loads, chosen, strict=True):
        yield frame.unturn(force), frame.to_local(load.at)
