"""Patterns placed on each other: mirrored, in another order, and by the least largest misfit."""

from __future__ import annotations

import math

import numpy as np
import pytest

from platemaker.errors import SurveyError
from platemaker.survey import Ellipse, FitKind, Pattern, best_fit, better_placed

PLACES = {"A": (0.0, 0.0), "B": (90.0, 0.0), "C": (100.0, 55.0), "D": (20.0, 70.0), "E": (-10.0, 40.0)}


def pattern(places, names=None):
    return Pattern(tuple(names or places), tuple(places.values()))


def moved(places, turn=0.4, shift=(12.0, -7.0), flip=1.0):
    c, s = math.cos(turn), math.sin(turn)
    return {n: (c * x - s * flip * y + shift[0], s * x + c * flip * y + shift[1]) for n, (x, y) in places.items()}


def test_as_stated_nothing_better_is_pointed_at():
    assert better_placed(pattern(PLACES), pattern(moved(PLACES))) is None


def test_a_face_read_from_the_other_side_fits_mirrored():
    found = better_placed(pattern(PLACES), pattern(moved(PLACES, flip=-1.0), "VWXYZ"))
    assert found.mirrored
    assert found.onto == tuple("VWXYZ")
    assert found.largest.distance < 1e-9
    for name, to in zip(PLACES, moved(PLACES, flip=-1.0).values(), strict=True):
        assert found.place(PLACES[name]) == pytest.approx(to)


@pytest.mark.parametrize("flip", [1.0, -1.0])
def test_holes_numbered_another_way_are_found(flip):
    there = moved(PLACES, flip=flip)
    order = "CADEB"
    found = better_placed(pattern(PLACES), Pattern(tuple("12345"), tuple(there[name] for name in order)))
    assert found.mirrored is (flip < 0)
    assert dict(zip(PLACES, found.onto, strict=True)) == {name: str(order.index(name) + 1) for name in PLACES}


@pytest.mark.parametrize("seed", range(40))
def test_least_largest_is_never_worse_than_least_squares(seed):
    # Also where the patterns do not match at all, and the largest misfit has several valleys over the turn.
    rng = np.random.default_rng(seed)
    count = int(rng.integers(2, 9))
    names = tuple(f"H{i}" for i in range(count))
    first = Pattern(names, tuple(map(tuple, rng.uniform(0, 100, (count, 2)))))
    spread = float(rng.choice([0.1, 5.0, 100.0]))
    other = Pattern(names, tuple(map(tuple, first.array + rng.normal(0, spread, (count, 2)))))
    squares, largest = (best_fit(first, other, kind) for kind in FitKind)
    assert largest.largest.distance <= squares.largest.distance + 1e-9
    # And none of many turns, each with the smallest circle's centre bounded by the middle of the extremes, is better.
    for turn in np.linspace(-math.pi, math.pi, 241):
        laid = first.array @ np.array([[math.cos(turn), math.sin(turn)], [-math.sin(turn), math.cos(turn)]])
        left = other.array - laid
        least = np.linalg.norm(left[:, None] - left, axis=2).max() / 2  # no circle about two points is smaller
        assert largest.largest.distance <= max(least, best_of_circle(left)) + 1e-9


def best_of_circle(left):
    """Radius of a circle round all points: about the best of the middles of two points and of the centres of three."""
    centres = [(a + b) / 2 for a in left for b in left]
    return min(np.linalg.norm(left - centre, axis=1).max() for centre in [*centres, left.mean(axis=0)])


@pytest.mark.parametrize(
    ("axes", "turn", "offset", "inside"),
    [
        # Half axes 5 and 2, the longer one along (3, 4): its end is (3, 4), the shorter one's (-1.6, 1.2).
        ((5.0, 2.0), 53.13010235, (2.97, 3.96), True),
        ((5.0, 2.0), 53.13010235, (3.03, 4.04), False),
        ((5.0, 2.0), 53.13010235, (-1.58, 1.19), True),
        ((5.0, 2.0), 53.13010235, (-1.63, 1.22), False),
        ((5.0, 2.0), 53.13010235, (3.0, -4.0), False),
        # A place that is free along one line only: on it, off it, beyond it.
        ((5.0, 0.0), 90.0, (0.0, 4.9), True),
        ((5.0, 0.0), 90.0, (0.1, 4.0), False),
        ((5.0, 0.0), 90.0, (0.0, 5.1), False),
        ((0.0, 0.0), 0.0, (0.0, 0.0), True),
    ],
)
def test_what_an_ellipse_holds(axes, turn, offset, inside):
    assert Ellipse(*axes, turn).holds(offset) is inside


@pytest.mark.parametrize(
    ("names", "places", "size", "message"),
    [
        ("AB", [(0, 0)], None, "a pattern needs one place a name, met 2 names and 1 places"),
        ("", [], None, "a pattern needs one place a name, met 0 names"),
        ("AB", [(0, 0), (9, 0)], 3, r"covariance of 2 places must be \(4, 4\), met \(3, 3\)"),
    ],
)
def test_a_pattern_has_a_place_a_name(names, places, size, message):
    with pytest.raises(SurveyError, match=message):
        Pattern(tuple(names), tuple(places), None if size is None else np.eye(size))
