"""Outlines without pieces too short to cut. Expected values are plane geometry, written out."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest

from platemaker.plane import Arc, Line, Loop, Region, is_sliver, rotated, without_slivers


def turns(loop: Loop) -> list[float]:
    """The kink at each joint of a loop, degrees."""
    found = []
    for a, b in pairwise((*loop.edges, loop.edges[0])):
        (x0, y0), (x1, y1) = a.tangent(1.0), b.tangent(0.0)
        found.append(abs(math.degrees(math.atan2(x0 * y1 - y0 * x1, x0 * x1 + y0 * y1))))
    return found


def bent_side(turn: float, radius: float) -> Region:
    """A strip whose lower side turns up by `turn`, radians, round an arc of `radius`, mm, at the origin."""
    t = radius * math.tan(turn / 2)
    end = (t * math.cos(turn), t * math.sin(turn))
    far = (50 * math.cos(turn), 50 * math.sin(turn))
    edges = (
        Line((-50.0, 0.0), (-t, 0.0)), Arc((-t, 0.0), end, (-t, radius), radius, True), Line(end, far),
        Line(far, (50.0, 30.0)), Line((50.0, 30.0), (-50.0, 30.0)), Line((-50.0, 30.0), (-50.0, 0.0)),
    )  # fmt: skip
    return Region.of(Loop(edges))


def test_a_short_arc_between_two_lines_grows_and_stays_tangent() -> None:
    """Radius 7 mm over 0.001 rad is 7 µm long."""
    region = bent_side(0.001, 7.0)
    assert [edge.length for edge in region.edges if is_sliver(edge)] == [pytest.approx(0.007)]
    new = without_slivers(region)
    [arc] = [edge for edge in new.edges if isinstance(edge, Arc)]
    assert 0.05 <= arc.length <= 0.052
    assert arc.radius == pytest.approx(arc.length / 0.001)
    assert sum(turn < 1e-4 for turn in turns(new.outer)) == 2, "both ends of the arc"
    # Between corner and arc lie r (1/cos(turn/2) - 1) mm at most: 51 (1.25e-7) = 6e-6.
    assert abs(new.area - region.area) < 6.4e-6 * 0.052


@pytest.mark.parametrize("turned", [0.0, 37.0, 90.0])
def test_a_short_arc_before_an_arc_is_taken_out_and_the_arc_stays_tangent(turned: float) -> None:
    """A quarter of radius 10 after a straight side, its first 0.02 mm of radius 7, whichever way the figure lies."""
    a = 0.02 / 7
    x, y = 7 * math.sin(a), 7 * (1 - math.cos(a))
    centre = (x - 10 * math.sin(a), y + 10 * math.cos(a))
    end = (centre[0] + 10.0, centre[1])
    edges = (
        Line((-40.0, 0.0), (0.0, 0.0)), Arc((0.0, 0.0), (x, y), (0.0, 7.0), 7.0, True),
        Arc((x, y), end, centre, 10.0, True), Line(end, (end[0], 40.0)), Line((end[0], 40.0), (-40.0, 40.0)),
        Line((-40.0, 40.0), (-40.0, 0.0)),
    )  # fmt: skip
    new = rotated(without_slivers(rotated(Region.of(Loop(edges)), turned)), -turned)
    assert len(new.edges) == 5
    [arc] = [edge for edge in new.edges if isinstance(edge, Arc)]
    # Tangent to y = 0 and to x = end: the radius is the end's own height over the side.
    assert (arc.radius, arc.end) == (pytest.approx(end[1], abs=1e-9), pytest.approx(end, abs=1e-9))
    assert sorted(turns(new.outer)) == pytest.approx([0.0, 0.0, 90.0, 90.0, 90.0], abs=1e-6)


@pytest.mark.parametrize("ccw", [True, False])
def test_short_lines_of_a_nearly_round_opening_are_taken_out(ccw: bool) -> None:
    """10 x 10 with corners of radius 4.997 has four lines of 0.006 mm."""
    loop = Loop.rectangle(10.0, 10.0, 4.997)
    assert sum(map(is_sliver, loop.edges)) == 4
    edges = (loop if ccw else loop.reversed()).edges
    new = without_slivers(Region.of(Loop.rectangle(30.0, 30.0), [Loop(edges)]))
    [hole] = new.holes
    assert len(hole.edges) == 4
    assert all(isinstance(edge, Arc) and edge.radius == pytest.approx(5.0, abs=0.006) for edge in hole.edges)
    assert max(turns(hole)) < 0.1
    assert abs(abs(hole.area) - (100 - (4 - math.pi) * 4.997**2)) < 0.006 * hole.perimeter


def test_a_small_sharp_bevel_becomes_a_corner_in_its_middle() -> None:
    square = [(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.005, 10.0), (0.0, 9.995)]
    new = without_slivers(Region.of(Loop.rounded(square)))
    assert [edge.start for edge in new.edges if math.dist(edge.start, (0.0025, 9.9975)) < 1e-9]
    assert len(new.edges) == 4


def test_what_has_no_short_piece_is_the_same_object() -> None:
    region = Region.of(Loop.rectangle(40.0, 30.0, 5.0), [Loop.circle((0.0, 0.0), 0.01)])
    assert without_slivers(region) is region
