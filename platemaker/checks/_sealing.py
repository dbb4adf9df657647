"""Sealing with flat gaskets: the land all round, the spacing of bolts, the pressure that reaches between them.

How the gasket between bolts is reckoned stands with the strips.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from platemaker.catalog import GasketValues, LimitName
from platemaker.checks._advice import Input, advised, citations, inputs_of
from platemaker.checks._finding import EQUAL, Finding, Limit, Sense, measured, not_checked
from platemaker.checks._joint_loads import cases_of
from platemaker.checks._limits import limit_for
from platemaker.checks._pressure import Loaded
from platemaker.checks._seal_lines import Named, Space, carriers, ports_there, shared_area, space_of
from platemaker.checks._strips import Strip, recovery, strip_of, values_of
from platemaker.errors import OutOfRange
from platemaker.formulas import bolt_spacing_limit, worked
from platemaker.parts import Joint, Kind, Part, Profile, Side, Stack
from platemaker.plane import Box, Point, Region, contains, nearest
from platemaker.resolved import resolved_stack

LAND, SPACING, SEATED, TIGHT, UNSEALED, BOW = "PM921", "PM922", "PM923", "PM924", "PM925", "PM933"


def check_sealing(stack: Stack, joints: Sequence[Loaded]) -> Iterator[Finding]:
    """The land of every joint with an opening, the gaskets of those that are loaded, openings that no joint seals."""
    known = {one.joint.name: one.line.space for one in joints if one.line is not None}
    for joint in stack.joints:
        if joint.opening is not None and joint.gasket is not None:
            yield from _land(stack, joint, known.get(joint.name) or space_of(stack, joint, joint.opening))
    for one in joints:
        if one.joint.gasket is not None and one.line is not None:
            yield from _between_bolts(one)
    yield from _unsealed(stack)


def _land(stack: Stack, joint: Joint, space: Space) -> Iterator[Finding]:
    """The narrowest place of the sealing face, as the gasket meets it: both faces and the gasket laid on each other.

    What leads out counts in full; a cavity that the other face covers is advice, for a leak ends in it.
    """
    sheet = joint.gasket
    if not space.outlines or sheet is None:
        return
    made = [part for part, _ in carriers(stack, joint) if not part.is_gasket_or_shim]
    common = next((row for part in made if (row := limit_for(part, LimitName.GASKET_LAND)) is not None), None)
    note = ""
    if common is not None:
        note = f"common practice: {common.caution or common.fail:g} mm, {common.fail:g} at a pinch"
    part, z = (space.gasket, sheet.thickness) if space.gasket else (made[0], 0.0)
    limit = Limit(sheet.land, "mm", f"the spec, {joint.key}.gasket.land")
    edge = sum(region.outer.perimeter for region in space.opened)

    def told(found: tuple[float, str, Point, Point], title: str, more: str) -> Finding:
        width, name, a, b = found
        return measured(
            LAND, title, part.name, (joint.name, name), width, limit, points=[(*a, z), (*b, z)], note=more,
            inputs=[("length of the opening's edge", edge, "mm")],
        )  # fmt: skip

    yield told(_narrowest(space.opened, (*space.exits, *space.outlines)), "narrowest land round the opening", note)
    if space.cavities:
        words = "nothing leads out of it, but the gasket is weak there"
        yield advised(told(_narrowest(space.opened, space.cavities), "narrowest land towards a covered cut", words))


def _narrowest(opened: Sequence[Region], ends: Sequence[Named]) -> tuple[float, str, Point, Point]:
    """The least way from what is open to what ends the land, mm: below 0 where the opening runs over it.

    Pairs are taken by the gap of their boxes, and no further than the least way found.
    """
    spaces = [(region, region.bounds) for region in opened]
    pairs = [(_gap(box, end.region.bounds), end, region) for end in ends for region, box in spaces]
    best: tuple[float, str, Point, Point] | None = None
    for gap, end, region in sorted(pairs, key=lambda pair: round(pair[0], 6)):
        if best is not None and gap >= best[0]:
            break
        found = nearest(region, end.region)
        width = -found.distance if contains(region, found.b) else found.distance
        if best is None or width < best[0] - EQUAL:
            best = width, end.name, found.a, found.b
    return best or (math.inf, "", (0.0, 0.0), (0.0, 0.0))


def _gap(a: Box, b: Box) -> float:
    return math.hypot(max(a[0] - b[2], b[0] - a[2], 0.0), max(a[1] - b[3], b[1] - a[3], 0.0))


def _between_bolts(one: Loaded) -> Iterator[Finding]:
    joint, values = one.joint, values_of(one.joint)
    part, features = one.bolt.owner, (joint.name, one.bolt.name)
    sheet = joint.gasket
    if sheet is None or one.line is None:
        return
    try:
        strip = strip_of(one)
    except OutOfRange as fault:
        yield not_checked(SEATED, "gasket between bolts", part, features, str(fault.args[0]))
        return
    if strip is None or values is None:
        reason = f"no values are known of {sheet.material} {sheet.thickness:g} mm thick, or the joint has one bolt"
        yield not_checked(SEATED, "gasket between bolts", part, features, reason)
        return
    m = values.factor if sheet.factor is None else sheet.factor
    y = values.seating_stress if sheet.seating_stress is None else sheet.seating_stress
    yield _spacing(one, strip, m)
    yield _seated(one, strip, y, values)
    for case in cases_of(one.design, joint):
        yield _tight(one, strip, m, case.name, case.pressure)
    if joint.pressure is None and one.design.vacuum > 0:
        yield _tight(one, strip, m, "vacuum", one.design.vacuum, pulled=False)
    yield _bow(one, strip, recovery(values, sheet.thickness, citations(strip.at_bolt)))


def _where(one: Loaded, strip: Strip) -> list[tuple[float, float, float]]:
    bolts = {bolt.spot: bolt for bolt in resolved_stack(one.stack).bolts_of(one.joint.name)}
    return [at for spot in strip.spots if spot in bolts for at in bolts[spot].points_on(one.bolt.owner)]


def _features(one: Loaded, strip: Strip, *more: str) -> tuple[str, ...]:
    return (one.joint.name, one.bolt.name, "-".join(strip.spots), *more)


def _spacing(one: Loaded, strip: Strip, m: float) -> Finding:
    result = worked(bolt_spacing_limit, d=one.bolt.d, t=one.bolt.seat.thickness, m=m)
    limit = Limit(result.result, "mm", result.formula.citation, sense=Sense.AT_MOST)
    return advised(
        measured(
            SPACING, "widest spacing of bolts", one.bolt.owner, _features(one, strip), strip.spacing, limit,
            points=_where(one, strip), inputs=inputs_of(result), note="advice for process flanges",
        )
    )  # fmt: skip


def _strip_inputs(strip: Strip) -> list[Input]:
    q = strip.between.result
    return [*inputs_of(strip.modulus, strip.characteristic, strip.between), ("q between bolts", q, "N/mm")]


def _seated(one: Loaded, strip: Strip, y: float, values: GasketValues) -> Finding:
    source = f"{citations(strip.between)}; y: {'the spec' if values.seating_stress != y else values.source}"
    found = measured(
        SEATED, "gasket pressure midway between bolts, as bolted up", one.bolt.owner,
        _features(one, strip), strip.pressure, Limit(y, "MPa", source), points=_where(one, strip),
        inputs=_strip_inputs(strip),
        note="y is asked of dry sheets on rough flanges; with less, sealing depends on finish and sealant",
    )  # fmt: skip
    return advised(found) if strip.pressure > 0 else found


def _tight(one: Loaded, strip: Strip, m: float, name: str, pressure: float, *, pulled: bool = True) -> Finding:
    """What is left between the bolts when the pressure has taken its share off the line, against m p."""
    line = one.line
    pull = pressure * line.measures.area / line.length if line and pulled else 0.0
    left = (strip.between.result - pull) / strip.width
    limit = Limit(m * pressure, "MPa", "ASME BPVC VIII-1 (2019), App. 2, 2-5(c)(1): m p")
    inputs = [*_strip_inputs(strip), ("p", pressure, "MPa"), ("m", m, ""), ("p A / L", pull, "N/mm")]
    return measured(
        TIGHT, f"gasket pressure midway between bolts under {name}", one.bolt.owner,
        _features(one, strip, name), left, limit, points=_where(one, strip), inputs=inputs,
    )  # fmt: skip


def _bow(one: Loaded, strip: Strip, limit: Limit) -> Finding:
    """How much less the gasket is squeezed between the bolts than at them: the plate's bow, mm."""
    at, between = strip.at_bolt.result, strip.between.result
    return measured(
        BOW, "bow of the plate between bolts against the gasket's spring", one.bolt.owner,
        _features(one, strip), (at - between) / strip.modulus.result, limit, points=_where(one, strip),
        inputs=[*_strip_inputs(strip), ("q at bolt", at, "N/mm")],
    )  # fmt: skip


def _unsealed(stack: Stack) -> Iterator[Finding]:
    """Openings that break a face of a made plate where no joint with an opening goes round them."""
    for part in stack.parts:
        if part.kind not in (Kind.PLATE, Kind.DRAIN_PLATE):
            continue
        for profile in part.profiles:
            if profile.kind.value != "opening":
                continue
            for side in Side:
                if not _covered(stack, part, profile, side):
                    reason = f"no joint with an opening lies round it on the face {side.value}: nothing seals it there"
                    features = (profile.name, side.value)
                    yield not_checked(UNSEALED, "opening sealed by a joint", part.name, features, reason)


def _covered(stack: Stack, part: Part, profile: Profile, side: Side) -> bool:
    """Whether a joint's port on that face is one space with the opening."""
    for mounting in part.mountings:
        joint = stack.joint(mounting.joint)
        if mounting.side is not side or joint.opening is None:
            continue
        ports = (joint.opening, *ports_there(stack, joint).values())
        if any(shared_area(port, mounting.in_joint(region)) > 0 for port in ports for region in profile.regions):
            return True
    return False
