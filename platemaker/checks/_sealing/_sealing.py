"""Sealing with flat gaskets: the land all round, the spacing of bolts, the pressure that reaches between them.

How the gasket between bolts is calculated stands with the strips.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from platemaker.catalog import GasketValues, LimitName, gasket_limits
from platemaker.checks._advice import advised, citations, inputs_of
from platemaker.checks._bolts._pressure import Loaded
from platemaker.checks._finding import EQUAL, Finding, Input, Limit, Sense, measured, not_checked, unproved
from platemaker.checks._limits import limit_for
from platemaker.checks._loads._joint_loads import cases_of
from platemaker.checks._loads._seal_lines import Named, Space, carriers, ports_there, space_of
from platemaker.checks._sealing._strips import Strip, pulled_with, recovery, strips_of, values_of, widest
from platemaker.errors import OutOfRange
from platemaker.formulas import bolt_spacing_limit, worked
from platemaker.parts import Joint, Kind, Part, Port, Profile, Side, Stack
from platemaker.plane import Box, Point, Region, contains, nearest, overlap
from platemaker.remembered import remembered
from platemaker.resolved import resolved_stack
from platemaker.units import Words, said

LAND, SPACING, SEATED, TIGHT, UNSEALED, BOW = "PM921", "PM922", "PM923", "PM924", "PM925", "PM933"
CRUSHED = "PM936"

AMPLE = 2.0
"""Gasket pressure between bolts over what the pressure needs, from which on their spacing is no matter.

Common practice, no source."""


WEBS = "the gasket is calculated along the bolts round all openings, not in the webs between them"


def check_sealing(stack: Stack, joints: Sequence[Loaded]) -> Iterator[Finding]:
    """The land of every joint with an opening, the gaskets of those that are loaded, openings that no joint seals."""
    known = {one.joint.name: one.line.spaces for one in joints if one.line is not None}
    for joint in stack.joints:
        if joint.gasket is not None:
            spaces = known.get(joint.name) or [space_of(stack, joint, port) for port in joint.ports]
            for port, space in zip(joint.ports, spaces, strict=True):
                yield from _land(stack, joint, port, space)
    for one in joints:
        if one.joint.gasket is not None and one.line is not None:
            yield from _between_bolts(one)
        elif one.joint.seal is None and one.line is not None:
            yield _bare(one)
    yield from _unsealed(stack)


def _bare(one: Loaded) -> Finding:
    """What no source judges: faces round an opening with neither gasket nor O-ring between them."""
    between = f"{one.joint.sealant} alone" if one.joint.sealant else "nothing"
    reason = f"{between} between the faces: no source says what they need; `platemaker seal` shows where they touch"
    return not_checked(TIGHT, "pressure between bare faces", one.bolt.owner, (one.joint.name, "bare faces"), reason)


def _land(stack: Stack, joint: Joint, port: Port, space: Space) -> Iterator[Finding]:
    """The narrowest place of the sealing face, as the gasket meets it: both faces and the gasket laid on each other.

    What leads out counts in full; a cavity that the other face covers is advice, for a leak ends in it.
    """
    sheet = joint.gasket
    if not space.outlines or sheet is None:
        return
    made = [part for part, _ in carriers(stack, joint) if not part.is_gasket_or_shim]
    common = next((row for part in made if (row := limit_for(part, LimitName.GASKET_LAND)) is not None), None)
    note: Words = ""
    if common is not None:
        note = said("usual_land", usual=(common.caution or common.fail, "mm"), least=(common.fail, "mm"))
    part, z = (space.gasket, sheet.thickness) if space.gasket else (made[0], 0.0)
    limit = Limit(sheet.land, "mm", f"the spec, {joint.key}.gasket.land")
    edge = sum(region.outer.perimeter for region in space.opened)

    def stated(found: tuple[float, str, Point, Point], title: str, more: Words) -> Finding:
        width, name, a, b = found
        return measured(
            LAND, title, part.name, (joint.name, *joint.called(port), name), width, limit,
            points=[(*a, z), (*b, z)], note=more, inputs=[("length of the opening's edge", edge, "mm")],
        )  # fmt: skip

    yield stated(_narrowest(space.opened, (*space.exits, *space.outlines)), "narrowest land round the opening", note)
    if space.cavities:
        words = "nothing leads out of it, but the gasket is weak there"
        yield advised(stated(_narrowest(space.opened, space.cavities), "narrowest land towards a covered cut", words))
    for other in joint.ports[: joint.ports.index(port)]:
        if any(overlap(region, other.region) for region in space.opened):
            words, at = (
                "one cut opens both: the gasket's web between them lies on nothing",
                port.region.outer.edges[0].start,
            )
            yield stated((0.0, other.name, at, other.region.outer.edges[0].start), "land between two openings", words)


@remembered(512)
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
    m = sheet.factor if sheet.factor is not None else values.factor if values else None
    try:
        strips = strips_of(one, one.preload.low.result)
        settled = [pulled_with(strip, one.budget.low) for strip in strips]
    except OutOfRange as fault:
        yield not_checked(SEATED, "gasket between bolts", part, features, str(fault.args[0]))
        return
    if not strips or values is None or m is None:
        reason = said("no_gasket_values", material=sheet.material, thick=(sheet.thickness, "mm"))
        yield not_checked(SEATED, "gasket between bolts", part, features, reason)
        return
    y = values.seating_stress if sheet.seating_stress is None else sheet.seating_stress
    if len(joint.ports) > 1:
        yield not_checked(SEATED, "gasket in the webs between openings", part, (joint.name, "webs"), WEBS)
    tightest = [pulled_with(strip, one.budget.high) for strip in strips]
    yield _crushed(one, tightest)
    yield _seated(one, min(strips, key=lambda strip: round(strip.seated, 6)), y, values)
    cases = [(case.name, case.pressure, case.pressure) for case in cases_of(one.design, joint)]
    if joint.pressure is None and one.design.vacuum > 0:
        cases.append(("vacuum", one.design.vacuum, 0.0))
    tight = [_tight(one, settled, m, case) for case in cases]
    yield from tight
    if any(found.measured is None or found.measured < AMPLE * (found.required or 0.0) for found in tight):
        yield _spacing(one, widest(strips), m)
    bent = max(tightest, key=lambda strip: round(strip.bow, 9))
    yield _bow(one, bent, recovery(values, sheet.thickness, citations(bent.at_bolt)))


def _where(one: Loaded, spots: Sequence[str]) -> list[tuple[float, float, float]]:
    bolts = {bolt.spot: bolt for bolt in resolved_stack(one.stack).bolts_of(one.joint.name)}
    return [at for spot in spots if spot in bolts for at in bolts[spot].points_on(one.bolt.owner)]


def _features(one: Loaded, strip: Strip, *more: str) -> tuple[str, ...]:
    return (one.joint.name, one.bolt.name, "-".join(strip.spots), *more)


def _spacing(one: Loaded, strip: Strip, m: float) -> Finding:
    """The rule for process flanges: advice, and only where the gasket between the bolts has no ample pressure."""
    result = worked(bolt_spacing_limit, d=one.bolt.d, t=one.bolt.seat.thickness, m=m)
    limit = Limit(result.result, "mm", result.formula.citation, sense=Sense.AT_MOST)
    return advised(
        measured(
            SPACING, "widest spacing of bolts", one.bolt.owner, _features(one, strip), strip.spacing, limit,
            points=_where(one, strip.spots), inputs=inputs_of(result), note="advice for process flanges",
        )
    )  # fmt: skip


def _strip_inputs(strip: Strip) -> list[Input]:
    q = strip.between.result
    return [
        *inputs_of(strip.modulus, strip.characteristic, strip.between), *inputs_of(strip.seating),
        ("effective width b", strip.seating.result, "mm"), ("q between bolts", q, "N/mm"),
    ]  # fmt: skip


def _seated(one: Loaded, strip: Strip, y: float, values: GasketValues) -> Finding:
    """Line load between the bolts on the code's effective width, as bolted up: no load acts yet."""
    whence = "the spec" if values.seating_stress != y else values.source
    found = measured(
        SEATED, "gasket pressure midway between bolts, as bolted up", one.bolt.owner,
        _features(one, strip), strip.seated, Limit(y, "MPa", f"{citations(strip.between, strip.seating)}; y: {whence}"),
        points=_where(one, strip.spots), inputs=_strip_inputs(strip),
        note="minimum seating stress y applies to dry gaskets on rough flanges; "
        "with less, sealing depends on finish and sealant",
    )  # fmt: skip
    return advised(found) if strip.seated > 0 else found


def _crushed(one: Loaded, strips: Sequence[Strip]) -> Finding:
    """The most that the gasket is pressed, at a bolt at the high end of its preload, against what crushes it."""
    joint, title, part = one.joint, "pressure on the gasket at the bolts", one.bolt.owner
    material = joint.gasket.material if joint.gasket else ""
    strip = max(strips, key=lambda each: round(each.at_bolt.result / each.width, 6))
    limits = gasket_limits(material)
    if limits is None:
        reason = f"the catalog has no limits for {material}"
        return not_checked(CRUSHED, title, part, _features(one, strip), reason)
    limit = Limit(limits.crush_stress, "MPa", limits.source, sense=Sense.AT_MOST)
    inputs: list[Input] = [*_strip_inputs(strip), ("q at bolt", strip.at_bolt.result, "N/mm")]
    return measured(
        CRUSHED, title, part, _features(one, strip), strip.at_bolt.result / strip.width, limit,
        points=_where(one, strip.spots), inputs=inputs,
    )  # fmt: skip


def _tight(one: Loaded, strips: Sequence[Strip], m: float, case: tuple[str, float, float]) -> Finding:
    """What is left between the bolts when pressure and every load have taken their share off the line, against m p.

    `case` is a name, the pressure sealed and the pressure that pulls, MPa. The plate is rigid: midway between two bolts
    the line loses the mean of what pulls at them, over the length of line that each has.
    """
    name, sealed, pulling = case
    title, part = f"gasket pressure midway between bolts under {name}", one.bolt.owner
    try:
        every = one.shares(pulling)
    except OutOfRange as fault:
        return not_checked(TIGHT, title, part, (*_features(one, widest(strips)), name), str(fault.args[0]))
    each = (one.line.length if one.line else 0.0) / len(one.joint.spots)
    left, strip, pull, shares = min(
        (
            (strip.left(pull), strip, pull, shares)
            for strip in strips
            for shares in every
            for pull in [sum(shares.tension[spot] for spot in strip.spots) / 2 / each]
        ),
        key=lambda found: round(found[0], 6),
    )
    limit = Limit(m * sealed, "MPa", f"{citations(strip.seating)}; App. 2, 2-5(c)(1): m p on 2 b")
    inputs: list[Input] = [
        *_strip_inputs(strip), ("p", sealed, "MPa"), ("m", m, ""),
        *((f"pull at bolt {spot}", shares.tension[spot], "N") for spot in strip.spots),
        ("line for each bolt", each, "mm"), ("line load taken off", pull, "N/mm"),
    ]  # fmt: skip
    return measured(
        TIGHT, title, part, (*_features(one, strip), name), left, limit, points=_where(one, strip.spots),
        inputs=inputs, note=f"with {shares.words}" if shares.words else "",
    )  # fmt: skip


def _bow(one: Loaded, strip: Strip, limit: Limit) -> Finding:
    """How much less the gasket is squeezed between the bolts than at them: the plate's bow, mm."""
    return measured(
        BOW, "flange bow between bolts against gasket recovery", one.bolt.owner,
        _features(one, strip), strip.bow, limit, points=_where(one, strip.spots),
        inputs=[*_strip_inputs(strip), ("q at bolt", strip.at_bolt.result, "N/mm")],
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
                    yield _open(stack, part, profile, side)


def _open(stack: Stack, part: Part, profile: Profile, side: Side) -> Finding:
    closed = _closed_by(stack, part, profile, side)
    reason = f"no joint with an opening lies round it on the face {side.value}: nothing seals it there"
    if closed:
        reason = f"the gasket of {closed.name} has no opening and closes it: give {closed.key} its `opening`"
    found = unproved if closed else not_checked
    return found(UNSEALED, "opening sealed by a joint", part.name, (profile.name, side.value), reason)


def _closed_by(stack: Stack, part: Part, profile: Profile, side: Side) -> Joint | None:
    """A joint without openings on that face whose gasket lies over the opening."""
    for mounting in part.mountings:
        joint = stack.joint(mounting.joint)
        if mounting.side is side and not joint.ports:
            opened = [mounting.in_joint(region) for region in profile.regions]
            sheets = [(one, at) for one, at in carriers(stack, joint) if one.kind is Kind.GASKET and one.plate]
            outlines = [at.in_joint(one.plate.region) for one, at in sheets if one.plate]
            if any(overlap(sheet, region) for sheet in outlines for region in opened):
                return joint
    return None


def _covered(stack: Stack, part: Part, profile: Profile, side: Side) -> bool:
    """Whether a joint's port on that face is one space with the opening."""
    for mounting in part.mountings:
        joint = stack.joint(mounting.joint)
        if mounting.side is not side:
            continue
        ports = [region for port in joint.ports for region in (port.region, *ports_there(stack, joint, port).values())]
        if any(overlap(port, mounting.in_joint(region)) for port in ports for region in profile.regions):
            return True
    return False
