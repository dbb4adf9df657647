"""What two regions share: whether anything, and how much; no figure is made where none is needed to find out."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from platemaker.plane._arrange import areas_where
from platemaker.plane._boolean import Regions, as_regions, intersect
from platemaker.plane._distance import nearest
from platemaker.plane._inside import contains_each
from platemaker.plane._shapes import Edge, Point, Region
from platemaker.plane._table import TOUCH, box_pairs, table_of
from platemaker.remembered import remembered

JUST_INSIDE = 1e-6
"""Material lies to the left of a boundary: this far, mm, is inside it and short of whatever comes next."""
FEW = 8
"""Points of a region's boundary to try before two regions are intersected in full."""


@remembered(1024)
def overlap(a: Region, b: Region) -> bool:
    """Whether two regions have area in common; touching is no overlap.

    >>> from platemaker.plane._shapes import Loop
    >>> square = Region(Loop.rectangle(10.0, 10.0))
    >>> [overlap(square, Region(Loop.rectangle(10.0, 10.0, centre=(x, 0.0)))) for x in (9.0, 10.0)]
    [True, False]
    """
    if _boxes_apart(a, b):
        return False
    for one, other in ((a, b), (b, a)):
        if any(contains_each(other, [_just_inside(edge) for edge in one.edges[:FEW]])):
            return True
    may_touch = len(box_pairs(table_of(a), table_of(b), TOUCH)[0]) > 0
    return may_touch and nearest(a, b).distance <= TOUCH and bool(intersect(a, b))


def total_area(regions: Iterable[Region]) -> float:
    """Area of several regions together, mm2, each counted whole.

    >>> from platemaker.plane._shapes import Loop
    >>> total_area([Region(Loop.rectangle(10.0, 10.0)), Region(Loop.rectangle(6.0, 6.0))])
    136.0
    """
    return sum(region.area for region in regions)


@remembered(1024)
def shared_area(a: Regions, b: Regions) -> float:
    """Area that two figures have in common, mm2; each is one region, or several that do not overlap each other.

    >>> from platemaker.plane._shapes import Loop
    >>> square = Region(Loop.rectangle(10.0, 10.0))
    >>> [shared_area(square, Region(Loop.rectangle(6.0, 6.0, centre=(x, 0.0)))) for x in (0.0, 5.0, 9.0)]
    [36.0, 18.0, 0.0]
    """
    return shared_areas([(a, b)])[0]


def shared_areas(pairs: Sequence[tuple[Regions, Regions]]) -> list[float]:
    """`shared_area` of many pairs at once, which is quicker."""
    groups = [
        [(one, other) for one in as_regions(a) for other in as_regions(b) if not _boxes_apart(one, other)]
        for a, b in pairs
    ]
    met = [pair for group in groups for pair in group]
    areas = iter(areas_where([(*one.edges, *other.edges) for one, other in met], level=2))
    return [sum((next(areas) for _ in group), 0.0) for group in groups]


def areas_left(cases: Sequence[tuple[Region, Region, Sequence[Region]]]) -> list[float]:
    """Area, mm2, that the first region of each case has in common with the second, outside all of the others.

    >>> from platemaker.plane._shapes import Loop
    >>> square = Region(Loop.rectangle(10.0, 10.0))
    >>> areas_left([(square, square, []), (square, square, [Region(Loop.rectangle(6.0, 6.0))] * 2)])
    [100.0, 64.0]
    """
    taken = ([edge.reversed() for cut in cuts for edge in cut.edges] for _, _, cuts in cases)
    return areas_where([(*a.edges, *b.edges, *away) for (a, b, _), away in zip(cases, taken, strict=True)], level=2)


def _boxes_apart(a: Region, b: Region) -> bool:
    (ax0, ay0, ax1, ay1), (bx0, by0, bx1, by1) = a.bounds, b.bounds
    return ax0 > bx1 or bx0 > ax1 or ay0 > by1 or by0 > ay1


def _just_inside(edge: Edge) -> Point:
    (x, y), (u, v) = edge.point(0.5), edge.tangent(0.5)
    return x - JUST_INSIDE * v, y + JUST_INSIDE * u
