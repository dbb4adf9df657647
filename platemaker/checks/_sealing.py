"""Sealing with flat gaskets: the land all round, the spacing of bolts, the pressure that reaches between them.

The gasket between bolts is reckoned as a foundation under the plate as a beam (Hetenyi), evenly bolted and straight;
real corners and stiffening ribs are not in it. Good for telling a sound joint from a poor one, no more.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from platemaker.catalog import GasketValues, LimitName, gasket_values
from platemaker.checks._advice import Input, advised, citations, inputs_of
from platemaker.checks._clamped import Clamped
from platemaker.checks._finding import Finding, Limit, Sense, measured, not_checked
from platemaker.checks._joint_loads import cases_of
from platemaker.checks._limits import limit_for
from platemaker.checks._pressure import Loaded, loaded_joints
from platemaker.checks._seal_lines import Space, carriers, in_joint, space_of
from platemaker.errors import CatalogError, OutOfRange
from platemaker.formulas import (
    Worked,
    bolt_spacing_limit,
    flange_characteristic,
    foundation_modulus,
    gasket_load_at_bolt,
    gasket_load_between_bolts,
    worked,
)
from platemaker.parts import Joint, Kind, Part, PlateStock, Profile, Side, Stack
from platemaker.plane import Circle, Point, Region, contains, intersect, nearest

LAND, SPACING, SEATED, TIGHT, UNSEALED = "PM921", "PM922", "PM923", "PM924", "PM925"


def check_sealing(stack: Stack) -> Iterator[Finding]:
    """The land of every joint with an opening, the gaskets of those that are loaded, openings that no joint seals."""
    for joint in stack.joints:
        if joint.opening is not None and joint.gasket is not None:
            yield from _land(stack, joint, joint.opening)
    for one in loaded_joints(stack):
        if isinstance(one, Loaded) and one.joint.gasket is not None and one.line is not None:
            yield from _between_bolts(one)
    yield from _unsealed(stack)


def _land(stack: Stack, joint: Joint, opening: Region) -> Iterator[Finding]:
    """The narrowest place of the sealing face, as the gasket meets it: both faces and the gasket laid on each other."""
    space, sheet = space_of(stack, joint, opening), joint.gasket
    if not space.outlines or sheet is None:
        return
    width, name, a, b = min(_widths(space), key=lambda found: found[0])
    limit = Limit(sheet.land, "mm", f"the spec, {joint.key}.gasket.land")
    made = [part for part, _, _ in carriers(stack, joint) if part.kind is not Kind.GASKET]
    common = next((row for part in made if (row := limit_for(part, LimitName.GASKET_LAND)) is not None), None)
    note = ""
    if common is not None:
        note = f"common practice: {common.caution or common.fail:g} mm, {common.fail:g} at a pinch"
    part, z = (space.gasket, sheet.thickness) if space.gasket else (made[0], 0.0)
    edge = sum(region.outer.perimeter for region in space.opened)
    yield measured(
        LAND, "narrowest land round the opening", part.name, (joint.name, name), width, limit,
        points=[(*a, z), (*b, z)], note=note, inputs=[("length of the opening's edge", edge, "mm")],
    )  # fmt: skip


def _widths(space: Space) -> Iterator[tuple[float, str, Point, Point]]:
    """From what is open to everything that ends the land, mm: below 0 where the opening runs over it."""
    for end in (*space.ends, *space.outlines):
        for region in space.opened:
            found = nearest(region, end.region)
            yield (-found.distance if contains(region, found.b) else found.distance), end.name, found.a, found.b


@dataclass(frozen=True)
class _Strip:
    """The gasket between two bolts: spacing, width and flange under it, and its load, each worked out."""

    spacing: float
    spots: tuple[str, str]
    modulus: Worked[float]
    characteristic: Worked[float]
    at_bolt: Worked[float]
    between: Worked[float]
    width: float

    @property
    def pressure(self) -> float:
        """Gasket pressure midway between the bolts, MPa."""
        return self.between.result / self.width


def neighbours(joint: Joint, about: Point) -> list[tuple[str, str, float]]:
    """Bolts next to each other round a point, and how far apart, mm."""
    ring = sorted(joint.spots.items(), key=lambda spot: math.atan2(spot[1][1] - about[1], spot[1][0] - about[0]))
    if len(ring) < 2:
        return []
    pairs = zip(ring, [*ring[1:], ring[0]], strict=True)
    found = [(a[0], b[0], math.dist(a[1], b[1])) for a, b in pairs]
    return found[:1] if len(ring) == 2 else found


def values_of(joint: Joint) -> GasketValues | None:
    """The catalog's values of a joint's gasket; None for a material or thickness without a row."""
    if joint.gasket is None:
        return None
    try:
        return gasket_values(joint.gasket.material, joint.gasket.thickness)
    except CatalogError:
        return None


def strip_of(one: Loaded) -> _Strip | None:
    """The widest span between neighbouring bolts of a gasketed joint, at the least preload."""
    joint, sheet, values = one.joint, one.joint.gasket, values_of(one.joint)
    plate = bending_plate(one.clamped)
    if sheet is None or values is None or one.line is None or plate is None:
        return None
    pairs = neighbours(joint, one.line.measures.centroid)
    if not pairs:
        return None
    a, b, spacing = max(pairs, key=lambda pair: pair[2])
    width = strip_width(one, (a, b))
    both = one.clamped.tapped is None or one.clamped.tapped.hole is not None
    thick = sheet.thickness / 2 if both else sheet.thickness
    modulus = worked(foundation_modulus, E_g=values.modulus, b=width, t_g=thick)
    E = plate.material.elastic_modulus or 0.0
    flange = worked(flange_characteristic, k=modulus.result, E=E, b_f=width, t=_t(plate))
    F, lam = one.preload.low.result, flange.result
    return _Strip(
        spacing, (a, b), modulus, flange,
        worked(gasket_load_at_bolt, F=F, s=spacing, lam=lam),
        worked(gasket_load_between_bolts, F=F, s=spacing, lam=lam), width,
    )  # fmt: skip


def bending_plate(clamped: Clamped) -> Part | None:
    """The plate that bends between the bolts: the one under their heads."""
    return clamped.head_part if isinstance(clamped.head_part.stock, PlateStock) else None


def _t(part: Part) -> float:
    return part.stock.thickness if isinstance(part.stock, PlateStock) else 0.0


def strip_width(one: Loaded, pair: tuple[str, str]) -> float:
    """Width of gasket that two bolts press, mm: as far outside their line as the opening's edge lies inside it.

    Outside it ends at the outline where that is nearer. The lesser of the two bolts' counts; holes are not taken off.
    """
    if one.line is None:
        return 0.0
    space, widths = one.line.space, []
    for spot in pair:
        at = Circle(one.joint.spots[spot], 1e-6)
        inside = min(nearest(at, region).distance for region in space.opened)
        outside = min((nearest(at, edge.region).distance for edge in space.outlines), default=inside)
        widths.append(inside + min(inside, outside))
    return min(widths)


def _between_bolts(one: Loaded) -> Iterator[Finding]:
    joint, values = one.joint, values_of(one.joint)
    part, features = one.clamped.head_part.name, (joint.name, one.clamped.head_hole.name)
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


def _where(one: Loaded, strip: _Strip) -> list[tuple[float, float, float]]:
    holes = {hole.spot: hole for hole in one.clamped.head_part.holes if hole.joint == one.joint.name}
    return [holes[spot].at for spot in strip.spots if spot in holes]


def _features(one: Loaded, strip: _Strip, *more: str) -> tuple[str, ...]:
    return (one.joint.name, one.clamped.head_hole.name, "-".join(strip.spots), *more)


def _spacing(one: Loaded, strip: _Strip, m: float) -> Finding:
    plate = one.clamped.head_part
    result = worked(bolt_spacing_limit, d=one.clamped.d, t=_t(plate), m=m)
    limit = Limit(result.result, "mm", result.formula.citation, sense=Sense.AT_MOST)
    return advised(
        measured(
            SPACING, "widest spacing of bolts", plate.name, _features(one, strip), strip.spacing, limit,
            points=_where(one, strip), inputs=inputs_of(result), note="advice for process flanges",
        )
    )  # fmt: skip


def _strip_inputs(one: Loaded, strip: _Strip) -> list[Input]:
    q = strip.between.result
    return [*inputs_of(strip.modulus, strip.characteristic, strip.between), ("q between bolts", q, "N/mm")]


def _seated(one: Loaded, strip: _Strip, y: float, values: GasketValues) -> Finding:
    source = f"{citations(strip.between)}; y: {'the spec' if values.seating_stress != y else values.source}"
    found = measured(
        SEATED, "gasket pressure midway between bolts, as bolted up", one.clamped.head_part.name,
        _features(one, strip), strip.pressure, Limit(y, "MPa", source), points=_where(one, strip),
        inputs=_strip_inputs(one, strip),
        note="y is asked of dry sheets on rough flanges; with less, sealing depends on finish and sealant",
    )  # fmt: skip
    return advised(found) if strip.pressure > 0 else found


def _tight(one: Loaded, strip: _Strip, m: float, name: str, pressure: float, *, pulled: bool = True) -> Finding:
    """What is left between the bolts when the pressure has taken its share off the line, against m p."""
    line = one.line
    pull = pressure * line.measures.area / line.length if line and pulled else 0.0
    left = (strip.between.result - pull) / strip.width
    limit = Limit(m * pressure, "MPa", "ASME BPVC VIII-1 (2019), App. 2, 2-5(c)(1): m p")
    inputs = [*_strip_inputs(one, strip), ("p", pressure, "MPa"), ("m", m, ""), ("p A / L", pull, "N/mm")]
    return measured(
        TIGHT, f"gasket pressure midway between bolts under {name}", one.clamped.head_part.name,
        _features(one, strip, name), left, limit, points=_where(one, strip), inputs=inputs,
    )  # fmt: skip


def _unsealed(stack: Stack) -> Iterator[Finding]:
    """Openings that break a face of a made plate where no joint with an opening goes round them."""
    for part in stack.parts:
        if part.kind not in (Kind.PLATE, Kind.DRAIN_PLATE) or not isinstance(part.stock, PlateStock):
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
        port = stack.joint(mounting.joint).opening
        if mounting.side is not side or port is None:
            continue
        if any(intersect(port, in_joint(region, mounting)) for region in profile.regions):
            return True
    return False
