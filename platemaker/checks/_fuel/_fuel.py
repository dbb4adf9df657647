"""Fuel rails: speed in the passage, wall under pressure, threads at the ends."""

from __future__ import annotations

import math
from collections.abc import Iterator

from platemaker.catalog import LimitName, StraightPort, straight_port, thread
from platemaker.checks._advice import citations, inputs_of
from platemaker.checks._bolts._threads import hole_thread_area, shear_strength, thread_sizes
from platemaker.checks._finding import Finding, Input, Limit, Sense, measured, not_checked
from platemaker.checks._limits import limit_for
from platemaker.checks._loads._heat import part_temperature, warm
from platemaker.errors import CatalogError, OutOfRange
from platemaker.formulas import (
    closed_cylinder_stress,
    rail_speed,
    strip_load,
    worked,
)
from platemaker.parts import Design, Hole, Kind, Part, Stack, Tapping
from platemaker.records import replace
from platemaker.resolved import boost_of, thread_left

SPEED, WALL, ENGAGED, STRIPS = "PM961", "PM962", "PM963", "PM964"
END_THREAD = "depth of the rail's end thread"
FAST = (3.0, 1.5)
"""Speed of fuel in a rail, m/s: fail, caution. Common practice, no source."""
CROSSING = 3.0
"""Stress at the edge where two bores cross, over that of a plain tube. Common practice, from memory: 2.5 to 3."""
SAFE = (4.0, 8.0)
"""Yield over stress for a part that holds fuel: fail, caution. Common practice, no source."""
DASHES = ("-2", "-3", "-4", "-5", "-6", "-8", "-10", "-12", "-14", "-16")


def check_fuel(stack: Stack) -> Iterator[Finding]:
    """Every rail of the project, under the design's fuel pressure and flow."""
    for part in stack.parts:
        if part.kind is not Kind.RAIL:
            continue
        if stack.design is None or stack.design.fuel is None:
            yield not_checked(SPEED, "fuel in the rail", part.name, ("passage",), "the spec's `design` has no `fuel`")
            continue
        warmed = replace(part, material=warm(part.material, part_temperature(stack, part)))
        yield from _rail(warmed, stack.design, injector_bores(stack))


def injector_bores(stack: Stack) -> int:
    """How many injectors the rails of a project have bores for."""
    return sum(hole.joint is not None for part in stack.parts if part.kind is Kind.RAIL for hole in part.holes)


def _rail(rail: Part, design: Design, bores: int) -> Iterator[Finding]:
    fuel = design.fuel
    passage = next((hole for hole in rail.holes if hole.name == "passage"), None)
    if passage is None or fuel is None:
        return
    fittings = [hole.fitting_bore for hole in rail.holes if hole.fitting_bore and passage.name in hole.into]
    narrow = min([passage.diameter, *fittings])
    area = math.pi * narrow**2 / 4
    speed = worked(rail_speed, Q=fuel.injector_flow * 60 / 1000, n=fuel.injectors or max(bores, 1), A=area)
    limit = Limit(FAST[0], "m/s", f"{citations(speed)}; limit: common practice, no source", FAST[1], Sense.AT_MOST)
    yield measured(
        SPEED, "speed of fuel in the passage", rail.name, ("passage",), speed.result, limit, points=[passage.at],
        inputs=[("narrowest of passage and end fittings", narrow, "mm"), *inputs_of(speed)],
        note="all injectors open, fed from one end",
    )  # fmt: skip
    pressure = fuel.pressure + boost_of(design).governing
    yield _wall(rail, passage, pressure)
    threads = [(hole, hole.tapping) for hole in rail.holes if hole.tapping is not None and passage.name in hole.into]
    for hole, tapping in threads:
        depth = thread_left(rail, hole, tapping)
        if not tapping.is_taper:  # PM980 holds that to its own standard
            yield _engagement(rail, hole, tapping, depth)
        yield from _strip(rail, hole, tapping, depth, pressure)
    if not threads:
        reason = "nothing closes or feeds its passage: give the rail `ends`"
        yield not_checked(ENGAGED, END_THREAD, rail.name, (passage.name,), reason)


def _wall(rail: Part, passage: Hole, pressure: float) -> Finding:
    """The thinnest ring of metal round passage and end threads, as a closed cylinder, with its crossing bores."""
    title, metal = "wall of the rail under fuel pressure", rail.material
    widths = [passage.diameter]
    widths += [hole.widest for hole in rail.holes if hole.tapping and passage.name in hole.into]
    if metal.yield_strength is None:
        return not_checked(WALL, title, rail.name, ("passage",), f"the catalog has no yield strength for {metal.name}")
    try:
        stress = worked(closed_cylinder_stress, p=pressure, d=max(widths), D=across(rail, passage))
    except OutOfRange as fault:
        return not_checked(WALL, title, rail.name, ("passage",), str(fault.args[0]))
    limit = Limit(SAFE[0], "yield over stress", f"{citations(stress)}; limit: common practice, no source", SAFE[1])
    inputs: list[Input] = [*inputs_of(stress), ("stress", stress.result, "MPa"), ("crossing bores", CROSSING, "times")]
    factor = metal.yield_strength / (CROSSING * stress.result) if stress.result > 0 else math.inf
    inputs.append(("yield strength", metal.yield_strength, "MPa"))
    if math.isinf(factor):
        return not_checked(WALL, title, rail.name, ("passage",), "the fuel has no pressure")
    note = "fuel pressure and boost, as a regulator that follows the manifold adds them"
    return measured(WALL, title, rail.name, ("passage",), factor, limit, points=[passage.at], inputs=inputs, note=note)


def across(rail: Part, bore: Hole) -> float:
    """Diameter of the largest ring about a bore along a rail that its section holds, mm."""
    _, y, z = bore.at
    if rail.bar is not None:
        return rail.bar.diameter - 2 * math.hypot(y, z - rail.bar.diameter / 2)
    _, y0, _, _, y1, high = rail.stock.box
    return 2 * min(y - y0, y1 - y, z, high - z)


def port_of(designation: str) -> StraightPort | None:
    """The straight thread port with that thread, or None."""
    for dash in DASHES:
        try:
            port = straight_port(dash)
        except CatalogError:
            continue
        if thread(port.thread).designation == designation:
            return port
    return None


def _engagement(rail: Part, hole: Hole, tapping: Tapping, depth: float) -> Finding:
    """Depth of the end thread: what a straight port's fitting takes, else the engagement of the material."""
    title, features = END_THREAD, (hole.name,)
    port, common = port_of(tapping.designation), limit_for(rail, LimitName.THREAD_ENGAGEMENT)
    inputs: list[Input] = [("depth", depth, "mm"), ("d", tapping.major_diameter, "mm")]
    if port is not None:
        limit = Limit(port.full_thread_depth, "mm", f"{port.source}, port {port.dash}")
        return measured(ENGAGED, title, rail.name, features, depth, limit, points=[hole.at], inputs=inputs)
    if common is None:
        return not_checked(
            ENGAGED, title, rail.name, features, f"the catalog has no thread engagement for {rail.material.name}"
        )
    ratio = depth / tapping.major_diameter
    return measured(ENGAGED, title, rail.name, features, ratio, common, points=[hole.at], inputs=inputs)


def _strip(rail: Part, hole: Hole, tapping: Tapping, depth: float, pressure: float) -> Iterator[Finding]:
    """The pull of the fuel on a plug against the thread that holds it."""
    tau, d = shear_strength(rail.material), tapping.major_diameter
    if tau is None or pressure <= 0 or depth <= 0:  # no thread fails PM963 or PM980
        return
    size = thread_sizes(d, tapping.pitch, metric=tapping.designation.startswith("M"))
    area = hole_thread_area(size, tapping.pitch, depth)
    load, pull = worked(strip_load, A=area.result, tau=tau), pressure * math.pi * d**2 / 4
    limit = Limit(SAFE[0], "times the pull", f"{citations(area)}; limit: common practice, no source", SAFE[1])
    inputs: list[Input] = [*inputs_of(area, load), ("pressure", pressure, "MPa"), ("pull", pull, "N")]
    yield measured(
        STRIPS, "end thread holds its plug", rail.name, (hole.name,), load.result / pull, limit, points=[hole.at],
        inputs=inputs,
    )  # fmt: skip
