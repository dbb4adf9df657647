"""What the shop's tools can make: corners, depths, edges, bends."""

from __future__ import annotations

from collections.abc import Iterator

from platemaker.catalog import Form, LimitName, bend_radius
from platemaker.checks._advice import advised
from platemaker.checks._finding import Finding, Limit, measured, not_checked, unproved
from platemaker.checks._limits import limit_for
from platemaker.errors import CatalogError
from platemaker.parts import (
    Cut,
    Hole,
    Kind,
    Part,
    Profile,
    ProfileKind,
    Stack,
    StripStock,
    Vec3,
    bent_point,
    flat_pattern,
    leg_of,
)
from platemaker.plane import Loop, necks
from platemaker.records import replace
from platemaker.remembered import remembered
from platemaker.resolved import inside_corners, resolved

CORNER, CUTTER_DEPTH, HOLE_DEPTH = "PM501", "PM502", "PM503"
DISTORTION = "PM508"
EDGE_BREAK, NARROW, BEND_RADIUS, HOLE_TO_BEND = "PM504", "PM505", "PM511", "PM512"


def check_machining(stack: Stack) -> Iterator[Finding]:
    """Corners and depths of milled figures, depths of holes, edge breaks, bends."""
    for part in stack.parts:
        yield from _machining_of(part)


@remembered(256)
def _machining_of(part: Part) -> tuple[Finding, ...]:
    flat = resolved(part).flat
    milled = [
        replace(found, points=tuple(bent_point(part, point) for point in found.points))
        for profile in flat.profiles
        for found in (*_milled(flat, profile), *_distortion(flat, profile))
    ]
    drilled = [found for hole in part.holes for found in _hole_depth(part, hole)]
    return (*milled, *drilled, *_edge_break(part), *_bends(part))


def sharpest_inside_corner(loop: Loop) -> tuple[float, tuple[float, float]] | None:
    """The least radius that a cutter inside a counter-clockwise loop must turn in, mm, and where; 0 at a sharp corner.

    None when the loop has no inside corner at all.
    """
    return min(inside_corners(loop), default=None)


def _milled(part: Part, profile: Profile) -> Iterator[Finding]:
    if part.is_gasket_or_shim:
        return
    title = "inside corner radius over cutter radius"
    if profile.cutter is None:
        yield not_checked(CORNER, title, part.name, (profile.name,), "its `cutter` is not specified")
        return
    corners = [
        corner
        for region in profile.regions
        for loop in (region.outer, *region.holes)
        if (corner := sharpest_inside_corner(loop))
    ]
    z = part.stock.height
    limit = limit_for(part, LimitName.CORNER_RADIUS)
    if limit and profile.opened is not None:
        limit = replace(limit, caution=None)  # an opened-out figure's corners are the cutter's own
    if limit and corners:
        radius, at = min(corners)
        inputs = [("corner radius", radius, "mm"), ("cutter diameter", profile.cutter, "mm")]
        ratio = radius / (profile.cutter / 2)
        yield measured(CORNER, title, part.name, (profile.name,), ratio, limit, points=[(*at, z)], inputs=inputs)
    yield from _narrows(part, profile, profile.cutter, z)
    deep = limit_for(part, LimitName.CUTTER_DEPTH)
    if deep:
        at = profile.regions[0].outer.edges[0].start
        inputs = [("depth", profile.depth, "mm"), ("cutter diameter", profile.cutter, "mm")]
        yield measured(
            CUTTER_DEPTH, "milled depth over cutter diameter", part.name, (profile.name,),
            profile.depth / profile.cutter, deep, points=[(*at, z)], inputs=inputs,
        )  # fmt: skip


def _narrows(part: Part, profile: Profile, cutter: float, z: float) -> Iterator[Finding]:
    """Places of a figure that its cutter does not fit through."""
    limit = Limit(1.0, "cutter diameters", "geometry: a cutter needs its own diameter")
    for region in profile.regions:
        for narrow in necks(region, cutter):
            points = [(*narrow.a, z), (*narrow.b, z)]
            yield measured(
                NARROW, "narrowest width over cutter diameter", part.name, (profile.name,),
                narrow.distance / cutter, limit, points=points,
                inputs=[("width", narrow.distance, "mm"), ("cutter diameter", cutter, "mm")],
            )  # fmt: skip


def _distortion(part: Part, profile: Profile) -> Iterator[Finding]:
    """A pocket so deep that the plate bows when it is cut: a caution, which the drawing has as a note for making."""
    limit = limit_for(part, LimitName.POCKET_SHARE)
    if profile.kind is not ProfileKind.POCKET or part.plate is None or part.is_gasket_or_shim or limit is None:
        return
    thick = part.plate.thickness
    inputs = [("depth", profile.depth, "mm"), ("thickness", thick, "mm")]
    at = profile.regions[0].outer.edges[0].start
    found = measured(
        DISTORTION, "pocket depth over thickness", part.name, (profile.name,), profile.depth / thick, limit,
        points=[(*at, thick)], inputs=inputs,
    )  # fmt: skip
    yield advised(found)


def _hole_depth(part: Part, hole: Hole) -> Iterator[Finding]:
    limit = limit_for(part, LimitName.HOLE_DEPTH)
    if limit is None:
        return
    step = max(hole.bored, key=lambda one: one.end / one.wide)
    from_both_ends = hole.through and part.kind is Kind.RAIL
    reach = step.end / 2 if from_both_ends else step.end
    note = "drilled half way from either end" if from_both_ends else ""
    inputs = [("depth", reach, "mm"), ("diameter", step.wide, "mm")]
    yield measured(
        HOLE_DEPTH, "hole depth over drill diameter", part.name, (hole.name,), reach / step.wide, limit,
        points=[hole.at], note=note, inputs=inputs,
    )  # fmt: skip


def _edge_break(part: Part) -> Iterator[Finding]:
    limit = limit_for(part, LimitName.MINIMUM_EDGE_BREAK)
    if part.edge_break is None or limit is None:
        return
    yield measured(EDGE_BREAK, "edge break", part.name, ("edges",), part.edge_break, limit)


def _bend_limit(part: Part, thickness: float) -> Limit | str:
    """The least radius in thicknesses: the spec's own, else the alloy's, else the family's; or why there is none."""
    limit, name = limit_for(part, LimitName.BEND_RADIUS), part.material.name
    if limit is not None and LimitName.BEND_RADIUS.value in part.limits:
        return limit
    if part.material.form is Form.CAST:
        return f"{name} is cast: it breaks when it is bent"
    try:
        row = bend_radius(name, thickness)
    except CatalogError as fault:
        return str(fault)
    if row is None or limit is None:
        return limit or f"no bend radius for {name} in the limits"
    return replace(limit, fail=row.least, caution=row.ample if row.ample > row.least else None, source=row.source)


def _bends(part: Part) -> Iterator[Finding]:
    stock = part.strip
    if stock is None:
        return
    title, limit = "bend radius", _bend_limit(part, stock.thickness)
    for number, bend in enumerate(stock.bends, 1):
        features = (f"bend {number}",)
        if isinstance(limit, str):
            unknown = unproved if part.material.form is Form.CAST else not_checked
            yield unknown(BEND_RADIUS, title, part.name, features, limit)
            continue
        x, z = stock.corners[number]
        inputs = [("radius", bend.radius, "mm"), ("thickness", stock.thickness, "mm")]
        yield measured(
            BEND_RADIUS, title, part.name, features, bend.radius / stock.thickness, limit, points=[(x, 0.0, z)],
            inputs=inputs,
        )  # fmt: skip
    yield from _to_bends(part, stock)


def _to_bends(part: Part, stock: StripStock) -> Iterator[Finding]:
    """From each hole, window and pocket to where the bends beside it start."""
    for hole in part.holes:
        leg = leg_of(hole, stock)
        along = stock.along_leg(leg, hole.at)
        radius = hole.widest / 2
        yield from _to_bend(part, stock, hole, "hole", leg, (along - radius, along + radius), (hole.at, hole.at))
    bent = flat_pattern(part)
    for profile in part.cuts:
        if bent is None or not isinstance(profile, Profile) or profile.leg is None:
            continue
        boxes, start = [region.bounds for region in profile.regions], bent.starts[profile.leg]
        ends = [min(boxes, key=lambda box: box[0]), max(boxes, key=lambda box: box[2])]
        low, high = ends[0][0], ends[1][2]
        first, last = (bent_point(part, (x, (box[1] + box[3]) / 2, 0.0))
                       for x, box in zip((low, high), ends, strict=True))  # fmt: skip
        what = "window" if profile.through else "pocket"
        yield from _to_bend(part, stock, profile, what, profile.leg, (low - start, high - start), (first, last))


def _to_bend(
    part: Part, stock: StripStock, cut: Cut, what: str, leg: int, reach: tuple[float, float], ends: tuple[Vec3, Vec3]
) -> Iterator[Finding]:
    """From a cut, which reaches from one place along its leg to another, to the bends on either side of it."""
    limit = limit_for(part, LimitName.BEND_HOLE_DISTANCE)
    if limit is None:
        return
    first, last = stock.flat_of(leg)
    for bend, gap, at in ((leg - 1, reach[0] - first, ends[0]), (leg, last - reach[1], ends[1])):
        if 0 <= bend < len(stock.bends):
            inputs = [("gap", gap, "mm"), ("thickness", stock.thickness, "mm")]
            yield measured(
                HOLE_TO_BEND, f"{what} to bend", part.name, (cut.name, f"bend {bend + 1}"), gap / stock.thickness,
                limit, points=[at], inputs=inputs,
            )  # fmt: skip
