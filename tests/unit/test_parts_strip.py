"""Bent strip: legs are outside lengths, whichever way a bend turns. Arithmetic written out beside each figure."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest

from platemaker.parts import Bend, StripStock
from platemaker.plane import Arc, Line

UP_DOWN = StripStock(30.0, 4.0, (40.0, 50.0, 35.0), (Bend(90.0, 4.0), Bend(-60.0, 4.0)))


def test_a_zed_measures_over_all_what_its_legs_add_up_to() -> None:
    # Over the outside: along X the first and third leg share the second one's thickness; along Z it is the second leg.
    zed = StripStock(30.0, 4.0, (40.0, 50.0, 35.0), (Bend(90.0, 4.0), Bend(-90.0, 4.0)))
    least_x, least_z, most_x, most_z = zed.profile.bounds
    assert (most_x - least_x, most_z - least_z) == pytest.approx((40 + 35 - 4, 50), abs=1e-9)


def test_a_leg_bent_down_measures_on_its_upper_face() -> None:
    ell = StripStock(30.0, 4.0, (40.0, 50.0), (Bend(-90.0, 4.0),))
    # The sharp outside corner is (40, 4): the second leg runs down from there, its upper face at X = 40.
    assert ell.profile.bounds == pytest.approx((0, 4 - 50, 40, 4), abs=1e-9)


@pytest.mark.parametrize("first", [90.0, 45.0, -30.0, -90.0])
@pytest.mark.parametrize("second", [60.0, 20.0, -45.0, -120.0])
def test_a_bent_strip_is_straight_legs_and_rings(first: float, second: float) -> None:
    strip = StripStock(30.0, 4.0, (60.0, 90.0, 70.0), (Bend(first, 5.0), Bend(second, 7.0)))
    # A setback is (R + t) tan(a / 2); a ring's area (Ro2 - Ri2) a / 2.
    a, b = math.radians(abs(first)), math.radians(abs(second))
    straight = 60 + 90 + 70 - 2 * 9 * math.tan(a / 2) - 2 * 11 * math.tan(b / 2)
    assert strip.profile.area == pytest.approx(4 * straight + (81 - 25) * a / 2 + (121 - 49) * b / 2, rel=1e-12)
    edges = strip.profile.outer.edges
    for edge, following in pairwise(edges[:5]):
        assert edge.tangent(1.0) == pytest.approx(following.tangent(0.0), abs=1e-12), "bends run into legs smoothly"
    assert [type(edge) for edge in edges[:5]] == [Line, Arc, Line, Arc, Line]
    turn = math.radians(first + second)
    assert edges[4].tangent(0.5) == pytest.approx((math.cos(turn), math.sin(turn)), abs=1e-12)


def test_a_hole_stands_on_its_leg_as_far_along_as_it_was_put() -> None:
    for leg in range(3):
        at, direction = UP_DOWN.leg_point(leg, 20.0, 3.0)
        assert UP_DOWN.along_leg(leg, at) == pytest.approx(20.0, abs=1e-9)
        bottom = UP_DOWN.profile.outer.edges[2 * leg]
        (x0, z0), (u, w) = bottom.start, bottom.tangent(0.0)
        off = (at[0] - x0) * -w + (at[2] - z0) * u
        assert off == pytest.approx(0.0, abs=1e-9), "it enters at the lower face"
        assert direction == pytest.approx((-w, 0.0, u), abs=1e-12)


def test_along_a_leg_begins_at_the_outside_corner() -> None:
    # The third leg rises at 30 degrees; it ends 35 mm from its outside corner, which is on the upper face.
    end = UP_DOWN.profile.outer.edges[4].end
    assert UP_DOWN.along_leg(2, (end[0], 0.0, end[1])) == pytest.approx(35.0, abs=1e-9)
    # The second leg's upper face lies at X = 40 - 4, the corner 50 mm above the first leg's lower face.
    corner = (36.0, 0.0, 50.0)
    assert UP_DOWN.along_leg(2, corner) == pytest.approx(0.0, abs=1e-9)
