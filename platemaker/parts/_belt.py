"""The belt drive from its model: pulleys placed, the belt that is bought, and how far its idler travels."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from platemaker.catalog import BeltFamily, belt_lengths, belt_section
from platemaker.errors import GeometryError, SpecError, unknown_name
from platemaker.parts._records._belt import Belt, Fitted, Pulley, Setting
from platemaker.parts._records._cuts import Vec3
from platemaker.parts._records._part import Body, Part
from platemaker.remembered import remembered
from platemaker.space import Frame, cross, dot, scale
from platemaker.spec import BeltModel, ProjectSpec, PulleyModel, RotorsModel

STEPS = 240
"""Places along a travel at which the path is worked out before it is narrowed down."""
IN_PLANE = 0.01
"""How far a slot's direction may lead out of the belt's plane, over its length: what rounded numbers leave."""
EXACT = 1e-10
"""A setting is narrowed down to this share of its step."""


def belt_of(spec: ProjectSpec, parts: Sequence[Part], bodies: Sequence[Body]) -> Belt | None:
    """The project's belt drive with the belt that is bought; None without one.

    Raises SpecError for pulleys on what has no place, rotations that contradict each other, a path that no belt takes,
    and a length that does not go round.
    """
    model = spec.model.belt
    if model is None:
        return None
    frames = _frames(spec, model, parts, bodies)
    belt = _drive(spec, model, frames)
    return belt.with_fitted(_fitted(belt, model, spec))


def _frames(spec: ProjectSpec, model: BeltModel, parts: Sequence[Part], bodies: Sequence[Body]) -> dict[str, Frame]:
    places: dict[str, Frame | None] = {body.name: body.place for body in bodies}
    places |= {part.name: part.places[0] if part.places else None for part in parts if part.made}
    found = {}
    design = spec.model.design
    for name, pulley in model.pulleys.items():
        if pulley.takes and (design is None or design.blower is None):
            problem = f"pulley {name} takes the blower's power, but the spec has no `design.blower`"
            raise SpecError(problem, where=spec.where("belt", "pulleys", name, "takes"))
        _refuse_unknown_joints(name, pulley, spec)
        owner, where = pulley.mounted_on, spec.where("belt", "pulleys", name, "mounted_on")
        if owner is None:
            found[name] = Frame()
            continue
        if owner not in places:
            raise unknown_name(owner, sorted(places), "body or part", where)
        place = places[owner]
        if place is None:
            problem = f"pulley {name} is mounted on {owner}, which has no place in the stack"
            raise SpecError(problem, where=where, allowed="a body or part with a `place`, or joined to one that has")
        found[name] = place
    return found


def _refuse_unknown_joints(name: str, pulley: PulleyModel, spec: ProjectSpec) -> None:
    for number, joint in enumerate(pulley.joints or ()):
        if joint not in spec.model.joints:
            where = spec.where("belt", "pulleys", name, "joints", number)
            raise unknown_name(joint, sorted(spec.model.joints), "joint", where)


def _drive(spec: ProjectSpec, model: BeltModel, frames: dict[str, Frame]) -> Belt:
    name, driving = next((name, one) for name, one in model.pulleys.items() if one.drives)
    axis = _unit(frames[name].turn(driving.axis))
    up: Vec3 = (0.0, 1.0, 0.0) if abs(axis[2]) > 0.99 else (0.0, 0.0, 1.0)
    toward = scale(axis, -1.0)
    frame = Frame.from_normal(frames[name].to_world(driving.at), toward, cross(up, toward))
    engine = spec.model.design.engine if spec.model.design else None
    speed = model.speed if model.speed is not None else engine.speed if engine else None
    if speed is None:
        problem = "the driving pulley's speed is missing: give `belt.speed`, or `design.engine` with its speed"
        raise SpecError(problem, where=spec.where("belt"))
    section = belt_section(model.section)
    first_ccw = model.turns == "counterclockwise"
    pulleys = tuple(_pulley(key, one, frames[key], frame, model, first_ccw, spec) for key, one in model.pulleys.items())
    return Belt(
        section, model.width or model.strands, model.crossed, speed, model.idle_speed, model.slowing, model.friction,
        model.tension, model.allowed_tension, model.service_factor, model.clearance,
        model.lengths or belt_lengths(section), frame, pulleys,
    )  # fmt: skip


def _pulley(
    name: str, model: PulleyModel, own: Frame, frame: Frame, belt: BeltModel, first_ccw: bool, spec: ProjectSpec
) -> Pulley:
    section = belt_section(belt.section)
    against = model.back or (belt.crossed and not model.drives)
    ccw = first_ccw != against
    if model.turns is not None and (model.turns == "counterclockwise") != ccw:
        word = "counterclockwise" if ccw else "clockwise"
        how = "behind the belt" if model.back else "on a crossed belt" if belt.crossed else "inside the belt"
        problem = f"pulley {name} runs {how}, which turns it {word}"
        allowed = f"{word}; or `back: true`, or a belt that is `crossed`"
        where = spec.where("belt", "pulleys", name, "turns")
        raise SpecError(problem, where=where, met=model.turns, allowed=allowed)
    axis = _unit(own.turn(model.axis))
    if dot(axis, frame.z_axis) > 0:
        axis = scale(axis, -1.0)
    if model.teeth is not None:
        radius = model.teeth * section.pitch / math.tau
        rim = 2 * (radius - section.differential)
    else:
        rim = model.diameter or 0.0
        out = section.back if model.back else 0.0 if _is_v(section.family) else section.differential
        radius = rim / 2 + out
    with spec.blame("belt", "pulleys", name, "slot", "towards"):
        setting = _setting(model, own, frame)
    return Pulley(
        name, model.title or name, model.mounted_on or "", own.to_world(model.at), axis, radius, rim,
        model.width or 0.0, model.back, ccw, model.teeth, model.drives, model.power, model.takes or "",
        model.idle_power, _inertia(model.rotors), model.joints or (), setting, model.stud,
        model.overhang,
        f"belt.pulleys.{name}",
    )  # fmt: skip


def _is_v(family: BeltFamily) -> bool:
    return family in (BeltFamily.CLASSICAL_V, BeltFamily.NARROW_V)


def _inertia(rotors: RotorsModel | None) -> float | None:
    """Inertia at the pulley, kg m²: solid cylinders, m d²/8, times the square of the rotors' ratio."""
    if rotors is None:
        return None
    return rotors.mass * (rotors.diameter / 1000) ** 2 / 8 * rotors.ratio**2


def _setting(model: PulleyModel, own: Frame, frame: Frame) -> Setting | None:
    if model.slot is not None:
        x, y, off = frame.unturn(_unit(own.turn(model.slot.towards)))
        if abs(off) > IN_PLANE:
            problem = (
                f"the slot leads {math.degrees(math.asin(min(1.0, abs(off)))):.3g} degrees out of the belt's plane"
            )
            raise SpecError(problem, allowed="a direction square to the pulley's axis")
        size = math.hypot(x, y)
        return Setting((x / size, y / size), None, model.slot.travel, model.slot.width, model.slot.cutter)
    if model.arm is not None:
        px, py, _ = frame.to_local(own.to_world(model.arm.pivot))
        sense = 1 if dot(_unit(own.turn(model.axis)), frame.z_axis) > 0 else -1
        return Setting(None, (px, py), model.arm.travel, model.arm.width, model.arm.cutter, sense)
    return None


def _fitted(belt: Belt, model: BeltModel, spec: ProjectSpec) -> Fitted:
    """The belt that is bought: the one stated, else that whose setting lies nearest to the place as drawn."""
    with spec.blame("belt", "pulleys"):
        drawn = belt.path(0.0).length
    offered = (model.length,) if model.length is not None else belt.lengths
    if belt.mover is None:
        length = min(offered, key=lambda one: abs(one + belt.longer - drawn))
        _refuse_short(belt, model, spec, drawn)
        return Fitted(length, drawn, drawn, 0.0, None, None)
    table = _lengths_of_travel(belt)
    for length in sorted(offered, key=lambda one: abs(one + belt.longer - drawn)):
        target = length + belt.longer
        at = _set_for(belt, table, target)
        if at is not None:
            loose = _set_for(belt, table, target - belt.section.fitting * length, at)
            taken = _set_for(belt, table, target + belt.section.take_up * length, at)
            return Fitted(length, target, drawn, at, loose, taken)
    least, most = min(one for _, one in table) - belt.longer, max(one for _, one in table) - belt.longer
    _refuse_short(belt, model, spec, least + belt.longer)
    where = spec.where("belt", "length") if model.length is not None else spec.where("belt")
    met = f"{model.length:g} mm" if model.length is not None else None
    near = _nearest_within(belt, least, most)
    msg = "no belt is tight within the travel of the pulley that is set"
    raise SpecError(
        msg, where=where, met=met,
        allowed=f"from {least:.1f} to {most:.1f} mm long", nearest=f"{near:g} mm" if near else None,
    )  # fmt: skip


def _refuse_short(belt: Belt, model: BeltModel, spec: ProjectSpec, least: float) -> None:
    """A stated belt shorter than the shortest path."""
    if model.length is None or model.length + belt.longer >= least - 1e-6:
        return
    short = least - belt.longer - model.length
    near = _nearest_within(belt, least - belt.longer, math.inf)
    problem = f"the belt is {short:.1f} mm shorter than its path"
    if belt.mover is not None:
        problem += f" with {belt.pulleys[belt.mover].name} at its loosest"
    raise SpecError(
        problem, where=spec.where("belt", "length"), met=f"{model.length:g} mm",
        allowed=f"{least - belt.longer:.1f} mm or longer", nearest=f"{near:g} mm" if near else None,
    )  # fmt: skip


def _nearest_within(belt: Belt, least: float, most: float) -> float | None:
    """The shortest belt on offer between two lengths."""
    return min((one for one in belt.lengths if least <= one <= most), default=None)


@remembered(32)
def _lengths_of_travel(belt: Belt) -> list[tuple[float, float]]:
    """Settings over the travel with the length of the path there, as far as a belt goes round."""
    setting = belt.pulleys[belt.mover or 0].setting
    low, high = setting.span if setting else (0.0, 0.0)
    found = []
    for by in sorted({0.0, *(low + (high - low) * place / STEPS for place in range(STEPS + 1))}):
        if not low <= by <= high:
            continue
        try:
            found.append((by, belt.path(by).length))
        except GeometryError:
            continue
    return found


@remembered(128)
def _set_for(belt: Belt, table: list[tuple[float, float]], target: float, near: float = 0.0) -> float | None:
    """The setting nearest to `near` at which the path has a length; None where there is none."""
    roots = []
    for (a, at_a), (b, at_b) in pairwise(table):
        if (at_a - target) * (at_b - target) > 0:
            continue
        try:
            roots.append(_narrowed(belt, (a, at_a), b, target))
        except GeometryError:
            continue
    return min(roots, key=lambda one: abs(one - near), default=None)


def _narrowed(belt: Belt, start: tuple[float, float], b: float, target: float) -> float:
    a, sign = start[0], start[1] - target
    while abs(b - a) > EXACT * max(1.0, abs(a)):
        middle = (a + b) / 2
        if (belt.path(middle).length - target) * sign > 0:
            a = middle
        else:
            b = middle
    return (a + b) / 2


def _unit(direction: Vec3) -> Vec3:
    return scale(direction, 1 / math.hypot(*direction))
