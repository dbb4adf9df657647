"""Bolts at their ends: the bearing under the head, the stripping of both threads, the length of a stock bolt."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from platemaker.catalog import Family, Material
from platemaker.checks._advice import inputs_of
from platemaker.checks._clamped import BoltLength, Clamped, bolt_length, clamped_joints
from platemaker.checks._finding import Finding, Limit, Sense, measured, not_checked
from platemaker.checks._heat import bolt_share, warm
from platemaker.checks._joint_loads import cases_of
from platemaker.checks._pressure import Loaded
from platemaker.errors import OutOfRange
from platemaker.formulas import (
    bolt_load,
    external_shear_area,
    head_bearing_stress,
    internal_shear_area,
    metric_thread_limits,
    shear_yield_strength,
    strip_load,
    unified_thread_limits,
    worked,
)
from platemaker.parts import Stack

BEARING, HOLE_STRIPS, SCREW_STRIPS, LENGTH = "PM904", "PM905", "PM906", "PM907"
BRITTLE_SHEAR = 0.5
"""Shear strength over tensile strength taken for metals without a yield strength, grey iron. Common practice."""


def check_threads(joints: Iterable[Loaded]) -> Iterator[Finding]:
    """Head bearing and both threads of every loaded joint."""
    for one in joints:
        force = greatest_tension(one)
        yield _bearing(one, force)
        if one.clamped.tapped is not None:
            yield from _strips(one, force)


def check_lengths(stack: Stack) -> Iterator[Finding]:
    """A stock length for the bolts of every joint whose spec gives none, and room for the nut of every through bolt."""
    for clamped in clamped_joints(stack):
        length = bolt_length(clamped)
        if length is not None and (not length.given or clamped.tapped is None):
            yield _length(clamped, length)


def greatest_tension(one: Loaded) -> float:
    """The most that a bolt of the joint pulls, N: the high end of its budget and its share of the worst case."""
    pulls = [0.0]
    for case in cases_of(one.design, one.joint):
        try:
            pulls += (max(shares.tension.values()) for shares in one.shares(case.pressure))
        except OutOfRange:
            continue  # told by the pressure checks
    return bolt_load(one.stiffness.share, max(pulls), one.budget.high)


def _length(clamped: Clamped, found: BoltLength) -> Finding:
    title = "length of stock bolts" if clamped.tapped else "length of bolts with nuts"
    features = (clamped.joint.name, clamped.head_hole.name)
    part, grip = clamped.head_part.name, clamped.thickness
    if found.length is None or found.engaged is None:
        room = "" if found.room is None else f" up to {grip + found.room:.2f} mm"
        reason = f"no stock length for a grip of {grip:.2f} mm{room}"
        return not_checked(LENGTH, title, part, features, reason)
    limit = Limit(found.least, "mm", f"{found.source}; engagement: common practice", found.wanted)
    name = clamped.bolts.thread.designation
    inputs = [("under the head", grip, "mm"), ("bolt length", found.length, "mm")]
    if found.room is not None:
        inputs.append(("room in the thread", found.room, "mm"))
    note = f"{'as the spec has it' if found.given else 'take'} {name} x {found.length:g} mm"
    return measured(
        LENGTH, title, part, features, found.engaged, limit, points=[clamped.head_hole.at], note=note, inputs=inputs
    )


def _bearing(one: Loaded, force: float) -> Finding:
    clamped, metal = one.clamped, warm(one.clamped.head_part.material, one.temperature)
    title, part = "pressure under the head", clamped.head_part.name
    features = (one.joint.name, clamped.head_hole.name)
    if metal.tensile_strength is None:
        return not_checked(BEARING, title, part, features, f"no strength is known of {metal.name}")
    try:
        result = worked(head_bearing_stress, F=force, d_w=clamped.face, d_h=clamped.hole)
    except OutOfRange as fault:
        return not_checked(BEARING, title, part, features, str(fault.args[0]))
    source = f"{result.formula.citation}; limits: yield and tensile strength of {metal.name}"
    limit = Limit(metal.tensile_strength, "MPa", source, metal.yield_strength, Sense.AT_MOST)
    note = "above yield the head sinks in and preload is lost: washers spread it" if metal.yield_strength else ""
    return measured(
        BEARING, title, part, features, result.result, limit, points=[clamped.head_hole.at],
        inputs=inputs_of(result), note=note,
    )  # fmt: skip


def shear_strength(metal: Material) -> float | None:
    """Stress at which threads of a metal give, MPa: shear yield, or half the tensile strength of one that has none."""
    if metal.yield_strength is not None:
        return shear_yield_strength(metal.yield_strength)
    if metal.tensile_strength is None or metal.family is Family.GASKET:
        return None
    return BRITTLE_SHEAR * metal.tensile_strength


def _strips(one: Loaded, force: float) -> Iterator[Finding]:
    """Load at which each thread begins to shear, over the bolt's greatest tension."""
    clamped, bolt = one.clamped, one.clamped.bolts.thread
    tapped, engaged = clamped.tapped, one.length.engaged
    features, points = (one.joint.name, clamped.head_hole.name), [clamped.head_hole.at]
    tau = shear_strength(warm(tapped.material, one.temperature)) if tapped and tapped.material else None
    if tapped is None or tau is None or engaged is None or engaged <= 0:
        reason = "the thread engaged, or the strength of the tapped material, is not known"
        yield not_checked(HOLE_STRIPS, "thread of the hole holds", clamped.head_part.name, features, reason)
        return
    size = (metric_thread_limits if bolt.metric else unified_thread_limits)(bolt.major_diameter, bolt.pitch)
    hole = worked(
        internal_shear_area, L_e=engaged, P=bolt.pitch, D_s=size.major_external_min, E_n=size.pitch_internal_max
    )
    screw = worked(
        external_shear_area, L_e=engaged, P=bolt.pitch, K_n=size.minor_internal_max, E_s=size.pitch_external_min
    )
    in_screw = one.preload.shear_strength * bolt_share(clamped.bolts, one.temperature)
    rows = (
        (HOLE_STRIPS, "thread of the hole holds", tapped.owner, hole, tau),
        (SCREW_STRIPS, "thread of the screw holds", clamped.head_part.name, screw, in_screw),
    )
    for check, title, part, area, strength in rows:
        load = worked(strip_load, A=area.result, tau=strength)
        limit = Limit(1.0, "times the bolt's pull", f"{area.formula.citation}; limit: common practice, no source", 1.25)
        inputs = [*inputs_of(area, load), ("greatest pull", force, "N")]
        at = points if part != tapped.owner else [tapped.hole.at] if tapped.hole else []
        yield measured(check, title, part, features, load.result / force, limit, points=at, inputs=inputs)
