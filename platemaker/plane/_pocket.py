"""The maximized pocket: the largest region that a round cutter can make.

The cutter's centre draws it. The centre may be wherever it is at least wall + cutter radius from every spared shape and
land + cutter radius from every piece of the bounds; the pocket is everything within a cutter radius of the places that
it can come to from the start. Each piece of the outline so has the name of what stopped the cutter there.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from enum import StrEnum

from msgspec import Struct

from platemaker.errors import GeometryError
from platemaker.plane._arrange import regions_where
from platemaker.plane._boolean import intersect, subtract, unite
from platemaker.plane._distance import nearest
from platemaker.plane._inside import contains
from platemaker.plane._measure import measures
from platemaker.plane._offset import Distance, distance_of, offset_edges, raw_curve
from platemaker.plane._shapes import Arc, Circle, Edge, Line, Loop, Point, Region
from platemaker.plane._table import TOUCH
from platemaker.records import Record

CUTTER = "cutter"
"""Tag of the arcs that the cutter's own radius leaves in inside corners."""


class Spared(Struct, frozen=True):
    """What a pocket stays clear of: its name, its shape (a line or arc alone is a gasket line), and the wall, mm."""

    name: str
    shape: Circle | Loop | Region | Edge
    wall: float


class DropReason(StrEnum):
    """Why a place that the cutter would fit into is not in the pocket."""

    NOT_JOINED = "the cutter cannot come there from the start"


class Dropped(Struct, frozen=True):
    """A region that the cutter could make if it came there, and why it is left out.

    `area` is what the pocket lacks of it, mm2; from `start`, a place for the cutter's centre, it would be cut.
    """

    region: Region
    reason: DropReason
    start: Point
    area: float


class PocketRequest(Record):
    """What was asked of `open_out`; its arguments as given."""

    bounds: Region
    cutter_radius: float
    spared: tuple[Spared, ...]
    land: Distance
    start: Point | Region | None


class OpenedPocket(Record):
    """The pocket with all that made it.

    `regions` is the pocket together with the opening that it starts from, `milled` the cutter's part of it, `centre`
    where the cutter's centre goes, and `dropped` what the cutter could make but cannot come to.
    """

    regions: tuple[Region, ...]
    milled: tuple[Region, ...]
    centre: tuple[Region, ...]
    dropped: tuple[Dropped, ...]
    request: PocketRequest

    @property
    def area(self) -> float:
        """Area of the pocket together with its opening, mm2."""
        return sum(region.area for region in self.regions)


def open_out(
    bounds: Region,
    *,
    cutter_radius: float,
    spared: Iterable[Spared] = (),
    land: Distance = 0.0,
    start: Point | Region | None = None,
) -> OpenedPocket:
    """The largest pocket inside `bounds` for a cutter of this radius, mm.

    `land` is kept from the bounds: a distance, one for each tag, or a rule. `start` is a point, or the region of an
    opening that is there already: only what the cutter can come to from it is kept (None keeps every part). An opening
    becomes part of the pocket and keeps its own outline where it is the larger. A passage exactly as wide as the
    cutter is closed. Pieces of the outline are tagged with the name of the spared shape, the tag of the piece of the
    bounds, or CUTTER; the opening's with its own.

    Raises GeometryError when the radius, a wall or a land is below 0.

    >>> pocket = open_out(Region(Loop.rectangle(40.0, 20.0)), cutter_radius=4.0, land=2.0)
    >>> round(pocket.area, 6) == round(36 * 16 - (4 - 3.141592653589793) * 4**2, 6)
    True
    """
    request = PocketRequest(bounds, cutter_radius, tuple(spared), land, start)
    return solve(request)


def solve(request: PocketRequest) -> OpenedPocket:
    """The pocket that a request asks for; see `open_out`."""
    joined, left_out = _rooms(request)
    milled = _followed(joined, request.cutter_radius)
    regions = _with_start(milled, request)
    dropped = (_dropped(part, regions, request.cutter_radius) for part in left_out)
    return OpenedPocket(regions, milled, tuple(joined), tuple(one for each in dropped for one in each), request)


def opened_area(request: PocketRequest) -> float:
    """The area, mm2, of the pocket that a request asks for, without all else that is known of it."""
    joined, _ = _rooms(request)
    return sum(region.area for region in _with_start(_followed(joined, request.cutter_radius), request))


def _rooms(request: PocketRequest) -> tuple[list[Region], list[Region]]:
    """Where the cutter's centre may go: what it comes to from the start, and what it does not."""
    _refuse_negative(request)
    joined: list[Region] = []
    left_out: list[Region] = []
    for part in regions_where(list(_room_for_centre(request))):
        (joined if _starts_in(part, request) else left_out).append(part)
    return joined, left_out


def _with_start(milled: tuple[Region, ...], request: PocketRequest) -> tuple[Region, ...]:
    return unite(milled, request.start) if isinstance(request.start, Region) else milled


def _dropped(room: Region, pocket: Sequence[Region], radius: float) -> Iterator[Dropped]:
    """What a cutter makes whose centre goes all over a room that it cannot come to."""
    middle = measures(room).centroid
    start = middle if contains(room, middle) else room.outer.edges[0].start
    for region in _followed([room], radius):
        lacking = sum(piece.area for piece in subtract(region, pocket))
        yield Dropped(region, DropReason.NOT_JOINED, start, lacking)


def _followed(centre: Sequence[Region], radius: float) -> tuple[Region, ...]:
    """What a cutter of this radius makes when its centre goes all over `centre`."""
    return regions_where([edge for part in centre for edge in offset_edges(part, radius, CUTTER)])


def _refuse_negative(request: PocketRequest) -> None:
    if request.cutter_radius < 0:
        message = f"a cutter's radius must not be below 0 mm, met {request.cutter_radius:g}"
        raise GeometryError(message)
    for spared in request.spared:
        if spared.wall < 0:
            message = f"the wall round {spared.name} must not be below 0 mm, met {spared.wall:g}"
            raise GeometryError(message)
    for edge in request.bounds.edges:
        if distance_of(edge, request.land) < 0:
            message = f"the land along {edge.tag!r} must not be below 0 mm, met {distance_of(edge, request.land):g}"
            raise GeometryError(message)


def _room_for_centre(request: PocketRequest) -> Iterator[Edge]:
    """Raw curves that wind once round every place where the cutter's centre may be."""
    radius = request.cutter_radius
    yield from offset_edges(request.bounds, lambda edge: -(distance_of(edge, request.land) + radius))
    for spared in request.spared:
        for edge in _grown(spared.shape, spared.wall + radius):
            yield _taken_away(edge, spared.name)


def _taken_away(edge: Edge, tag: str) -> Edge:
    """The piece run backwards, under another name."""
    if isinstance(edge, Line):
        return Line(edge.end, edge.start, tag)
    return Arc(edge.end, edge.start, edge.centre, edge.radius, not edge.ccw, tag)


def _grown(shape: Circle | Loop | Region | Edge, distance: float) -> Iterable[Edge]:
    """The raw curve round a shape at a distance."""
    if isinstance(shape, Line | Arc):
        return raw_curve((shape, shape.reversed()), distance)
    if isinstance(shape, Region):
        return offset_edges(shape, distance)
    if isinstance(shape, Circle):
        return Loop.circle(shape.centre, shape.radius + distance).edges
    circle = shape.as_circle()
    return offset_edges(Region.of(shape), distance) if circle is None else _grown(circle, distance)


def _starts_in(part: Region, request: PocketRequest) -> bool:
    """Whether what the cutter makes from `part` of the centre's room meets the start."""
    start, reach = request.start, request.cutter_radius
    if start is None:
        return True
    if not isinstance(start, Region):
        return contains(part, start) or nearest(part, start).distance <= reach + TOUCH
    if reach <= TOUCH:
        return bool(intersect(part, start))
    if contains(start, part.outer.edges[0].start) or contains(part, start.outer.edges[0].start):
        return True
    return nearest(part, start).distance < reach - TOUCH
