"""Bolts at their ends: the bearing under the head, the stripping of both threads, the length of a stock bolt."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator

from platemaker.catalog import Family, Material, standard_bolt_lengths
from platemaker.checks._advice import advised, inputs_of
from platemaker.checks._bolts._preload import Preload, preload_of
from platemaker.checks._bolts._pressure import Loaded, tightness
from platemaker.checks._finding import Finding, Input, Limit, Sense, measured, not_checked
from platemaker.checks._loads._heat import bolt_share, bolt_temperature, warm
from platemaker.errors import CatalogError, OutOfRange
from platemaker.formulas import (
    ThreadLimits,
    Worked,
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
from platemaker.records import Record
from platemaker.resolved import BearingSeat, Bolt, BoltLength, alike, resolved_stack, sold_as
from platemaker.units import said

BEARING, HOLE_STRIPS, SCREW_STRIPS, LENGTH, SOLD = "PM904", "PM905", "PM906", "PM907", "PM308"
STRIPPING = "stripping load of the tapped thread over tensile load"
SAME = 1e-6
"""Lengths that differ by less, mm, are one."""
BRITTLE_SHEAR = 0.5
"""Shear strength over tensile strength taken for metals without a yield strength, grey iron. Common practice."""


class Tightened(Record):
    """A screw, its preload, the most that it pulls, N, and its highest temperature, K (None: not known)."""

    bolt: Bolt
    preload: Preload
    force: float
    temperature: float | None


def check_threads(stack: Stack, joints: Iterable[Loaded]) -> Iterator[Finding]:
    """What head and nut bear on, and both threads of every loaded joint, and of every screw of no joint."""
    tightened = [Tightened(one.bolt, one.preload, greatest_tension(one), one.temperature) for one in joints]
    for screw in (*tightened, *_single_screws(stack)):
        if isinstance(screw, Finding):
            yield screw
            continue
        if screw.bolt.joint is None:
            yield tightness(screw.bolt, screw.preload)
        yield _bearing(screw, screw.bolt.seat, "head")
        if screw.bolt.nut is not None:
            yield _bearing(screw, screw.bolt.nut, "nut")
        if screw.bolt.tapped is not None:
            yield from _strips(screw)


def _single_screws(stack: Stack) -> Iterator[Tightened | Finding]:
    """The screws of no joint at the high end of their preload: what pulls at their parts is not shared out to them."""
    for bolt, _ in alike([one for one in resolved_stack(stack).bolts if one.joint is None]):
        title, features = "pressure under the head", bolt.features_on(bolt.owner)
        if not bolt.fits or not bolt.is_closed:
            continue
        if stack.design is None:
            reason = "the spec has no `design`, so the preload is not known"
            yield not_checked(BEARING, title, bolt.owner, features, reason)
            continue
        try:
            preload = preload_of(stack.design, bolt.bolts)
        except CatalogError as fault:
            yield not_checked(BEARING, title, bolt.owner, features, str(fault.args[0]))
            continue
        yield Tightened(bolt, preload, preload.high.result, bolt_temperature(stack, bolt))


def check_lengths(stack: Stack) -> Iterator[Finding]:
    """A stock length for every screw whose spec gives none, and room for the nut of every through bolt."""
    for bolt, _ in alike(resolved_stack(stack).bolts):
        length = bolt.length
        if length is not None and bolt.fits and (not length.given or bolt.tapped is None or bolt.is_stud):
            yield _length(bolt, length)
        if bolt.bolts.length is not None:
            yield _sold(bolt, bolt.bolts.length)


def greatest_tension(one: Loaded) -> float:
    """The most that a bolt of the joint pulls, N: the high end of its budget and its share of the worst case."""
    return bolt_load(one.stiffness.share, one.greatest_pull, one.budget.high)


def _length(bolt: Bolt, found: BoltLength) -> Finding:
    title = "length of bolts with nuts" if bolt.is_stud or not bolt.tapped else "length of stock bolts"
    features, part, name = bolt.features_on(bolt.owner), bolt.owner, bolt.thread.designation
    inputs = [("under the head", bolt.grip, "mm")]
    if found.room is not None:
        inputs.append(("room in the thread", found.room, "mm"))
    limit = Limit(found.least, "mm", f"{found.source}; engagement: common practice")
    if found.length is None or found.engaged is None:
        note = said("no_stock_length", grip=(bolt.grip, "mm"))
        if found.room is not None:
            note = said("no_stock_length_in_thread", grip=(bolt.grip, "mm"), thread=(found.room, "mm"))
        return measured(
            LENGTH, title, part, features, 0.0, limit, points=bolt.points_on(part), note=note, inputs=inputs
        )
    inputs.insert(1, ("bolt length", found.length, "mm"))
    note = said("length_given" if found.given else "length_to_use", thread=name, length=(found.length, "mm"))
    return measured(
        LENGTH, title, part, features, found.engaged, limit, points=bolt.points_on(part), note=note, inputs=inputs
    )


def _sold(bolt: Bolt, given: float) -> Finding:
    """Whether the spec's length is one that screws of this head and thread are sold in."""
    stock = standard_bolt_lengths(bolt.thread, sold_as(bolt.bolts.head))
    nearest = min(stock.lengths, key=lambda length: abs(length - given))
    limit = Limit(0.0, "mm", stock.source, sense=Sense.AT_MOST)
    name, part = bolt.thread.designation, bolt.owner
    sold = abs(nearest - given) < SAME
    note = "" if sold else said("not_sold", thread=name, length=(given, "mm"), nearest=(nearest, "mm"))
    return advised(
        measured(SOLD, "bolt length against stock length", part, bolt.features_on(part), abs(nearest - given), limit,
                 points=bolt.points_on(part), note=note, inputs=[("bolt length", given, "mm")])
    )  # fmt: skip


def _as_round(seat: BearingSeat, radius: float) -> float:
    """Diameter of the round hole that takes as much of a face of this radius as the hole or the slot there does, mm."""
    half = seat.bore / 2
    if seat.hole is not None or seat.part is None or half >= radius:
        return seat.bore
    # Two segments of a circle are left beside a slot.
    left = 2 * (radius**2 * math.acos(half / radius) - half * math.sqrt(radius**2 - half**2))
    return 2 * math.sqrt(radius**2 - left / math.pi)


def _bearing(one: Tightened, seat: BearingSeat, what: str) -> Finding:
    """Pressure under a head or a nut on what it stands on."""
    bolt, cold, part = one.bolt, seat.material, seat.owner
    title, features = f"pressure under the {what}", bolt.features_on(part)
    wide = bolt.bearing_diameter if what == "head" else bolt.nut_bearing_diameter
    metal = warm(cold, one.temperature) if cold else None
    shared = bolt.joint.shared if bolt.joint else None
    if shared is not None and what == "head":
        return not_checked(BEARING, title, part, features, f"the material of {shared.title} is not specified")
    if metal is None or metal.tensile_strength is None:
        of = metal.name if metal else part
        return not_checked(BEARING, title, part, features, f"the catalog has no strength for {of}")
    try:
        result = worked(head_bearing_stress, F=one.force, d_w=wide, d_h=_as_round(seat, wide / 2))
    except OutOfRange as fault:
        return not_checked(BEARING, title, part, features, str(fault.args[0]))
    source = f"{result.formula.citation}; limits: yield and tensile strength of {metal.name}"
    limit = Limit(metal.tensile_strength, "MPa", source, metal.yield_strength, Sense.AT_MOST)
    note = f"above yield the {what} sinks in and preload is lost: washers spread it" if metal.yield_strength else ""
    return measured(
        BEARING, title, part, features, result.result, limit, points=bolt.points_on(part),
        inputs=inputs_of(result), note=note,
    )  # fmt: skip


def shear_strength(metal: Material) -> float | None:
    """Stress at which threads of a metal give, MPa: shear yield, or half the tensile strength of one that has none."""
    if metal.yield_strength is not None:
        return shear_yield_strength(metal.yield_strength)
    if metal.tensile_strength is None or metal.family is Family.GASKET:
        return None
    return BRITTLE_SHEAR * metal.tensile_strength


def thread_sizes(d: float, P: float, *, metric: bool) -> ThreadLimits:
    """Limits of size of a thread of diameter d and pitch P, mm, metric or unified."""
    return (metric_thread_limits if metric else unified_thread_limits)(d, P)


def hole_thread_area(size: ThreadLimits, P: float, engaged: float) -> Worked[float]:
    """Area at which a hole's thread of pitch P shears over an engaged length, both mm."""
    return worked(internal_shear_area, L_e=engaged, P=P, D_s=size.major_external_min, E_n=size.pitch_internal_max)


def _strips(one: Tightened) -> Iterator[Finding]:
    """Load at which each thread begins to shear, over the bolt's greatest tension."""
    bolt, tapped, thread = one.bolt, one.bolt.tapped, one.bolt.thread
    engaged = bolt.engaged
    tau = shear_strength(warm(tapped.material, one.temperature)) if tapped and tapped.material else None
    if tapped is None or tau is None or engaged is None or engaged <= 0:
        reason = "the thread engaged, or the strength of the tapped material, is not known"
        yield not_checked(HOLE_STRIPS, STRIPPING, bolt.owner, bolt.features_on(bolt.owner), reason)
        return
    size = thread_sizes(thread.major_diameter, thread.pitch, metric=thread.metric)
    hole = hole_thread_area(size, thread.pitch, engaged)
    screw = worked(
        external_shear_area, L_e=engaged, P=thread.pitch, K_n=size.minor_internal_max, E_s=size.pitch_external_min
    )
    in_screw = one.preload.shear_strength * bolt_share(bolt.bolts, one.temperature)
    rows = (
        (HOLE_STRIPS, STRIPPING, tapped.owner, hole, tau),
        (SCREW_STRIPS, "stripping load of the screw thread over tensile load", bolt.owner, screw, in_screw),
    )
    # What pulls an insert out of its metal is checked by itself.
    for check, title, part, area, strength in rows[1:] if tapped.insert else rows:
        load = worked(strip_load, A=area.result, tau=strength)
        source = f"{area.formula.citation}; limit: common practice, no source"
        limit = Limit(1.0, "times the tensile load", source, 1.25)
        inputs: list[Input] = [*inputs_of(area, load), ("largest tensile load", one.force, "N")]
        yield measured(
            check, title, part, bolt.features_on(part), load.result / one.force, limit,
            points=bolt.points_on(part), inputs=inputs,
        )  # fmt: skip
