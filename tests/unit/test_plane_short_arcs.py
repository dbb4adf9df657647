"""A short arc taken out before or after an arc: the neighbour drawn again, tangent to lines and circles, by hand."""

from __future__ import annotations

import math

import pytest

from platemaker.plane import Arc, Line, moved
from platemaker.plane._slivers import _ending, _tangent, _touching, _turn

SHORT = Arc((0.0, 0.0), (0.02, 0.02), (0.0, 0.02), 0.02, True)
"""Near the origin, where the pieces are to touch."""


def arc_to(end: tuple[float, float], centre: tuple[float, float], radius: float, ccw: bool) -> Arc:
    """An arc from beside the origin to `end`, on a circle of which only end, direction there and travel matter."""
    angle = math.atan2(0.01 - centre[1], 0.01 - centre[0])
    start = centre[0] + radius * math.cos(angle), centre[1] + radius * math.sin(angle)
    return Arc(start, end, centre, radius, ccw)


@pytest.mark.parametrize(
    ("before", "after", "centre", "radius"),
    [
        # A line along x, then a quarter of radius 10 that ends upright at (10, 10).
        (Line((-9.0, 0.0), (-0.01, 0.0)), arc_to((10.0, 10.0), (0.0, 10.0), 10.0, True), (0, 10), 10.0),
        # Clockwise, to (10, -10).
        (Line((-9.0, 0.0), (-0.01, 0.0)), arc_to((10.0, -10.0), (0.0, -10.0), 10.0, False), (0, -10), 10.0),
        # Out of a circle of radius 5 about (0, 5), both counter-clockwise: the wide circle holds the small one.
        (Arc((-5.0, 5.0), (0.0, 0.0), (0.0, 5.0), 5.0, True), arc_to((10.0, 10.0), (0.0, 10.0), 10.0, True), (0, 10), 10.0),
        # Out of a wide circle of radius 20 about (0, 20) into a narrow one within it.
        (Arc((-20.0, 20.0), (0.0, 0.0), (0.0, 20.0), 20.0, True), arc_to((10.0, 10.0), (0.0, 10.0), 10.0, True), (0, 10), 10.0),
        # An S: clockwise about (0, -5), then counter-clockwise about (0, 10); they touch from outside.
        (Arc((-5.0, -5.0), (0.0, 0.0), (0.0, -5.0), 5.0, False), arc_to((10.0, 10.0), (0.0, 10.0), 10.0, True), (0, 10), 10.0),
        # The same mirrored.
        (Arc((-5.0, 5.0), (0.0, 0.0), (0.0, 5.0), 5.0, True), arc_to((10.0, -10.0), (0.0, -10.0), 10.0, False), (0, -10), 10.0),
    ],
)  # fmt: skip
@pytest.mark.parametrize("shift", [(0.0, 0.0), (30.0, -70.0)])
def test_the_next_arc_is_drawn_again_tangent_to_the_piece_before(
    before: Line | Arc, after: Arc, centre: tuple[float, float], radius: float, shift: tuple[float, float]
) -> None:
    """It goes through its own end with its own direction there; with the piece before it has the origin in common.

    Two circles touch where their centres are radius + radius, or radius - radius, apart: 5 + 10, 10 - 5, 20 - 10.
    """
    found = _tangent(*(moved(edge, *shift) for edge in (before, SHORT, after)))
    assert found is not None
    head, arc = found
    assert isinstance(arc, Arc)
    assert arc.radius == pytest.approx(radius, abs=1e-9)
    assert arc.centre == pytest.approx((centre[0] + shift[0], centre[1] + shift[1]), abs=1e-9)
    assert head.end == arc.start == pytest.approx(shift, abs=1e-9)
    assert (arc.end, arc.ccw) == (moved(after, *shift).end, after.ccw)
    assert _turn(head, arc) < 1e-9


def test_nothing_is_drawn_again_before_a_line_or_far_from_the_short_piece() -> None:
    line = Line((-9.0, 0.0), (-0.01, 0.0))
    quarter = arc_to((10.0, 10.0), (0.0, 10.0), 10.0, True)
    assert _tangent(line, SHORT, Line((0.0, 0.0), (9.0, 0.0))) is None
    # The line 0.5 lower: the tangent arc through (10, 10) has radius 10.5 and begins at (-0.5, -0.5), 0.7 away.
    assert _tangent(Line((-9.0, -0.5), (-0.01, -0.5)), SHORT, quarter) is None


def test_where_circles_touch() -> None:
    """From outside 5 + 10 = 15 apart; from inside on the far side of the smaller one's centre."""
    five = Arc((5.0, 0.0), (0.0, 5.0), (0.0, 0.0), 5.0, True)
    assert _touching(five, (9.0, 12.0), 10.0, same=False) == pytest.approx((3.0, 4.0))
    assert _touching(five, (3.0, 4.0), 10.0, same=True) == pytest.approx((-3.0, -4.0))
    assert _touching(five, (1.2, 1.6), 3.0, same=True) == pytest.approx((3.0, 4.0))
    assert _touching(five, (0.0, 0.0), 5.0, same=True) is None
    assert _touching(Line((0.0, 0.0), (3.0, 4.0)), (11.0, 2.0), 5.0, same=False) == pytest.approx((4.92, 6.56))


@pytest.mark.parametrize("ccw", [True, False])
def test_an_arc_with_another_end_sweeps_the_same_angle(ccw: bool) -> None:
    """A quarter of radius 10 from (10, 0) to (0, ±10), drawn to (-2, ±12): chord 12 sqrt(2), radius 12, centre (-2, 0)."""
    side = 1.0 if ccw else -1.0
    quarter = Arc((10.0, 0.0), (0.0, 10.0 * side), (0.0, 0.0), 10.0, ccw, "rim")
    found = _ending(quarter, (-2.0, 12.0 * side))
    assert isinstance(found, Arc)
    assert (found.radius, found.sweep) == (pytest.approx(12.0), pytest.approx(side * math.pi / 2))
    assert found.centre == pytest.approx((-2.0, 0.0), abs=1e-9)
    assert (found.start, found.end, found.ccw, found.tag) == ((10.0, 0.0), (-2.0, 12.0 * side), ccw, "rim")
    assert _ending(quarter, quarter.start) is None


def test_a_line_grows_by_two_short_arcs_at_most() -> None:
    line = Line((0.0, 0.0), (5.0, 0.0))
    assert _ending(line, (5.09, 0.0)) == Line((0.0, 0.0), (5.09, 0.0))
    assert _ending(line, (5.11, 0.0)) is None


def test_the_turn_between_two_pieces() -> None:
    """3-4-5: the direction (0.6, 0.8) leans by atan(4 / 3)."""
    line = Line((0.0, 0.0), (2.0, 0.0))
    assert _turn(line, Line((2.0, 0.0), (5.0, 4.0))) == pytest.approx(math.atan2(4, 3))
    assert _turn(line, Line((2.0, 0.0), (-1.0, -4.0))) == pytest.approx(math.pi - math.atan2(4, 3))
