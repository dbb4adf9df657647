"""What two figures share, by plane geometry written out: rectangles, circles one in the other, and two that cross."""

from __future__ import annotations

import math

import pytest

from platemaker.plane import Loop, Region, intersect, moved, overlap, shared_area, shared_areas
from platemaker.records import replace

SQUARE = Region(Loop.rectangle(10.0, 10.0))
RING = Region.of(Loop.circle((0.0, 0.0), 8.0), [Loop.circle((0.0, 0.0), 5.0)])


def disc(radius: float, x: float = 0.0, y: float = 0.0) -> Region:
    return Region(Loop.circle((x, y), radius))


def lens(r: float, apart: float) -> float:
    """What two circles of one radius share: two segments of half angle acos(apart / 2r)."""
    half = math.acos(apart / (2 * r))
    return 2 * r * r * (half - math.sin(half) * math.cos(half))


CASES = {
    "apart": (SQUARE, moved(SQUARE, 20.0, 0.0), 0.0),
    "boxes meet, figures do not": (disc(5.0), disc(5.0, 9.0, 9.0), 0.0),
    "edge to edge": (SQUARE, moved(SQUARE, 10.0, 0.0), 0.0),
    "touching in a point": (disc(5.0), disc(3.0, 8.0), 0.0),
    "the same": (SQUARE, SQUARE, 100.0),
    "one in the other": (SQUARE, disc(3.0, 1.0, 1.0), 9 * math.pi),
    "in the hole of a ring": (RING, disc(4.0), 0.0),
    "just the hole of a ring": (RING, disc(5.0), 0.0),
    "round the hole of a ring": (RING, disc(7.0), (49 - 25) * math.pi),
    "round all of a ring": (RING, disc(9.0), (64 - 25) * math.pi),
    "along a common edge": (SQUARE, moved(SQUARE, 0.25, 0.0), 97.5),
    "over a corner": (SQUARE, moved(SQUARE, 9.5, 9.75), 0.5 * 0.25),
    "two circles": (disc(5.0), disc(5.0, 6.0), lens(5.0, 6.0)),
}


@pytest.mark.parametrize(("a", "b", "area"), CASES.values(), ids=CASES)
def test_shared_area(a: Region, b: Region, area: float) -> None:
    # 1e-6 mm2 is 1e-8 mm, at which curves touch, over 100 mm of edge.
    assert shared_area(a, b) == pytest.approx(area, abs=1e-6)
    assert shared_area(b, a) == pytest.approx(area, abs=1e-6)
    assert overlap(a, b) is overlap(b, a) is (area > 0)


def test_many_at_once_are_what_each_is_alone() -> None:
    pairs = [(a, b) for a, b, _ in CASES.values()]
    assert shared_areas(pairs) == pytest.approx([area for _, _, area in CASES.values()], abs=1e-6)
    assert shared_areas([]) == []


def test_figures_of_several_regions() -> None:
    pair = (disc(3.0), disc(3.0, 10.0))
    assert shared_area(pair, SQUARE) == pytest.approx(9 * math.pi, abs=1e-6)
    assert shared_area(pair, moved(SQUARE, 5.0, 0.0)) == pytest.approx(9 * math.pi, abs=1e-6)
    assert shared_area((), SQUARE) == 0.0


def test_arcs_that_end_beside_their_circle_count_with_the_step() -> None:
    """Coordinates rounded to 1e-6 mm leave arcs' ends off their circles: the area is that of the figure fixed."""
    outline = Loop.rectangle(20.0, 10.0, 1.234567)
    rounded = Loop(tuple(_rounded(edge) for edge in outline.edges))
    one, other = Region(rounded), moved(Region(rounded), 0.3, 0.1)
    assert shared_area(one, other) == pytest.approx(sum(region.area for region in intersect(one, other)), abs=1e-9)


def _rounded(edge):
    ends = {name: tuple(round(x, 6) for x in getattr(edge, name)) for name in ("start", "end")}
    return replace(edge, **ends)
