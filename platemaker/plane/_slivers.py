"""Boundaries that a machine can follow: pieces too short to cut are taken out, and tangent pieces stay tangent."""

from __future__ import annotations

import math

from platemaker.errors import GeometryError
from platemaker.plane._shapes import Arc, Edge, Line, Loop, Point, Region
from platemaker.plane._simple import self_contact
from platemaker.records import replace

SHORT_ARC, SHORT_LINE = 0.05, 0.01
"""Arcs and lines below these lengths, mm, are not cut: less than a machine's steps. Common practice, no source."""
GROWN = 1.02
"""A short arc between two lines grows to this many times the least length, so that rounding never makes it short."""
TANGENT = 1e-4
"""Directions that differ by less, radians, run on smoothly."""


def is_sliver(edge: Edge) -> bool:
    """Whether a piece is too short to be cut."""
    return edge.length < (SHORT_ARC if isinstance(edge, Arc) else SHORT_LINE)


def without_slivers(region: Region) -> Region:
    """The region without arcs under 0.05 mm and lines under 0.01 mm; the same object where it has none.

    Where the short piece ran on smoothly, its neighbours are made to do so: an arc is drawn again through its other end
    and tangent there as it was; between two lines the short arc grows. Elsewhere the neighbours meet in its middle.
    The boundary moves by less than the short piece is long. A loop that would not outlast this stays as it is.
    """
    loops = [_without(loop) for loop in region.loops]
    if all(new is old for new, old in zip(loops, region.loops, strict=True)):
        return region
    return Region(loops[0], tuple(loops[1:]))


def _without(loop: Loop) -> Loop:
    edges, changed = list(loop.edges), False
    while len(edges) > 2 and any(map(is_sliver, edges)):
        at = min((i for i, edge in enumerate(edges) if is_sliver(edge)), key=lambda i: edges[i].length)
        edges = [*edges[at - 1 :], *edges[: at - 1]] if at else [edges[-1], *edges[:-1]]
        before, short, after, *others = edges
        if (joined := _joined(before, short, after)) is None:
            return loop
        edges, changed = [*joined, *others], True
    if not changed:
        return loop
    try:
        new = Loop(tuple(edges))
    except GeometryError:
        return loop
    return new if new.area * loop.area > 0 and self_contact(new) is None else loop


def _joined(before: Edge, short: Edge, after: Edge) -> tuple[Edge, ...] | None:
    if _turn(before, short) < TANGENT and _turn(short, after) < TANGENT:
        if isinstance(before, Line) and isinstance(after, Line) and isinstance(short, Arc):
            smooth = _grown(before, short, after)
        else:
            smooth = _tangent(before, short, after) or _backwards(before, short, after)
        if smooth is not None:
            return smooth
    middle = short.point(0.5)
    ends = _ending(before, middle), _ending(after.reversed(), middle)
    return None if ends[0] is None or ends[1] is None else (ends[0], ends[1].reversed())


def _turn(a: Edge, b: Edge) -> float:
    """The angle between the directions in which one piece ends and the next begins, radians."""
    (x0, y0), (x1, y1) = a.tangent(1.0), b.tangent(0.0)
    return abs(math.atan2(x0 * y1 - y0 * x1, x0 * x1 + y0 * y1))


def _grown(before: Line, short: Arc, after: Line) -> tuple[Edge, ...] | None:
    """The two lines with a longer arc between them, tangent to both."""
    (ux, uy), (vx, vy) = before.tangent(1.0), after.tangent(0.0)
    turn = math.atan2(ux * vy - uy * vx, ux * vx + uy * vy)
    if abs(turn) < 1e-9 or abs(turn) > 3.0:
        return None
    along = ((after.start[0] - before.end[0]) * vy - (after.start[1] - before.end[1]) * vx) / (ux * vy - uy * vx)
    corner = before.end[0] + along * ux, before.end[1] + along * uy
    radius = GROWN * SHORT_ARC / abs(turn)
    reach = radius * math.tan(abs(turn) / 2)
    start, end = (corner[0] - reach * ux, corner[1] - reach * uy), (corner[0] + reach * vx, corner[1] + reach * vy)
    if min(math.dist(before.start, corner), math.dist(after.end, corner)) < reach + SHORT_LINE:
        return None
    side = math.copysign(radius, turn)
    arc = Arc(start, end, (start[0] - side * uy, start[1] + side * ux), radius, turn > 0, short.tag)
    return replace(before, end=start), arc, replace(after, start=end)


def _tangent(before: Edge, short: Edge, after: Edge) -> tuple[Edge, ...] | None:
    """The next arc drawn again: through its own end, tangent there as it was, and tangent to the piece before."""
    if not isinstance(after, Arc):
        return None
    (qx, qy), way = after.end, 1.0 if after.ccw else -1.0
    tx, ty = after.tangent(1.0)
    nx, ny = -way * ty, way * tx
    if isinstance(before, Line):
        (ax, ay), (ux, uy) = before.end, before.tangent(1.0)
        gap, rate = (qy - ay) * ux - (qx - ax) * uy, way - (ny * ux - nx * uy)
    else:
        (ax, ay), inside = before.centre, 1.0 if before.ccw == after.ccw else -1.0
        gap = before.radius**2 - (qx - ax) ** 2 - (qy - ay) ** 2
        rate = 2 * (nx * (qx - ax) + ny * (qy - ay) + inside * before.radius)
    if abs(rate) < 1e-9:
        return None
    radius = gap / rate
    centre = qx + radius * nx, qy + radius * ny
    start = _touching(before, centre, radius, same=isinstance(before, Arc) and before.ccw == after.ccw)
    if radius <= 0 or start is None or math.dist(start, short.point(0.5)) > 2 * SHORT_ARC:
        return None
    head = _ending(before, start, keep=True)
    if head is None or math.dist(start, after.end) < SHORT_LINE:
        return None
    return head, Arc(start, after.end, centre, radius, after.ccw, after.tag)


def _touching(edge: Edge, centre: Point, radius: float, *, same: bool) -> Point | None:
    """Where a circle that is tangent to a piece's line or circle touches it."""
    if isinstance(edge, Line):
        (ax, ay), (ux, uy) = edge.end, edge.tangent(1.0)
        along = (centre[0] - ax) * ux + (centre[1] - ay) * uy
        return ax + along * ux, ay + along * uy
    apart = math.dist(edge.centre, centre)
    if apart < 1e-9:
        return None
    reach = (-1 if same and radius > edge.radius else 1) * edge.radius / apart
    return tuple(a + reach * (c - a) for a, c in zip(edge.centre, centre, strict=True))  # type: ignore[return-value]


def _backwards(before: Edge, short: Edge, after: Edge) -> tuple[Edge, ...] | None:
    found = _tangent(after.reversed(), short.reversed(), before.reversed())
    return None if found is None else tuple(edge.reversed() for edge in reversed(found))


def _ending(edge: Edge, end: Point, *, keep: bool = False) -> Edge | None:
    """A piece with another end: an arc keeps its circle, or else the angle that it sweeps."""
    if math.dist(edge.start, end) < 1e-6:
        return None
    if isinstance(edge, Line) or keep:
        moved = replace(edge, end=end)
        return moved if edge.length + 2 * SHORT_ARC > moved.length > 0 else None
    (x0, y0), (x1, y1) = edge.start, end
    sweep = edge.sweep
    radius = math.dist(edge.start, end) / (2 * abs(math.sin(sweep / 2)))
    reach = math.cos(sweep / 2) / math.sin(sweep / 2) / 2
    centre = (x0 + x1) / 2 - reach * (y1 - y0), (y0 + y1) / 2 + reach * (x1 - x0)
    return Arc(edge.start, end, centre, radius, edge.ccw, edge.tag)
