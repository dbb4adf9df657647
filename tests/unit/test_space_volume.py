"""What a straight line meets of figures, and volumes that cones share with others, by school formulas."""

from __future__ import annotations

import math

import numpy as np
import pytest

from platemaker.plane import Loop, Region
from platemaker.space import (
    Cone,
    Cylinder,
    Disc,
    Figure,
    Frame,
    HalfSpace,
    Prism,
    Segment,
    box,
    integral,
    overlap_volume,
)
from platemaker.space._volume import _cubature, _lengths, _marks, _normals, _oblique_frame, _on_cells, _round_marks

UP = np.array([0.0, 0.0, 1.0])
SLANT = np.array([0.6, 0.0, 0.8])


def at(*points: tuple[float, float, float]) -> np.ndarray:
    return np.array(points, dtype=float)


@pytest.mark.parametrize(
    ("foot", "up", "centre", "axis", "radius", "growth", "roots"),
    [
        # A level cylinder of radius 5, the line 3 beside its axis: 4 below and above its height of 7.
        ((3, 0, 0), UP, (0, 9, 7), (0, 1, 0), 5.0, 0.0, [3, 11]),
        # A cone from its tip up, as wide as it is high: the line at x = 2 is met at z = 2, and on the other cone at -2.
        ((2, 0, 0), UP, (0, 0, 0), (0, 0, 1), 0.0, 1.0, [-2, 2]),
        # Radius 4, falling by half of the height: 4 - z / 2 = 1 at z = 6, and = -1 at z = 10.
        ((0, 1, 0), UP, (0, 0, 0), (0, 0, 1), 4.0, -0.5, [6, 10]),
        # The same cylinder from a slanted line through its axis: x = 0.6 t = ±5 about it. Axis along z.
        ((0, 0, 0), SLANT, (0, 0, 0), (0, 0, 1), 3.0, 0.0, [-5, 5]),
        # From a foot off the centre: (x - 6)² = 9, x = 3 and 9, t = 5 and 15.
        ((0, 0, 0), SLANT, (6, 0, 2), (0, 0, 1), 3.0, 0.0, [5, 15]),
        # Slanted against a cone: |0.6 t| = 1 + 0.5 (0.8 t): t = 5, and -0.6 t = 1 + 0.4 t: t = -1.
        ((0, 0, 0), SLANT, (0, 0, 0), (0, 0, 1), 1.0, 0.5, [-1, 5]),
        # A level line to a standing cone of radius 4 - z / 2 at z = 2: ±3 about x = 1.
        ((0, 0, 2), np.array([1.0, 0.0, 0.0]), (1, 0, 0), (0, 0, 1), 4.0, -0.5, [-2, 4]),
    ],
)
def test_a_line_meets_a_round_surface(
    foot: tuple[float, float, float],
    up: np.ndarray,
    centre: tuple[float, float, float],
    axis: tuple[float, float, float],
    radius: float,
    growth: float,
    roots: list[float],
) -> None:
    assert sorted(_round_marks(at(foot), up, centre, axis, radius, growth)[0]) == pytest.approx(roots)


def test_a_line_along_the_side_of_a_cone_meets_it_once() -> None:
    """A cone of 45 degrees from its tip, and the line (1, 0, 0) + t (1, 0, 1) / sqrt(2), which runs along its side.

    The other side is at -x = z: 1 + s = -s, so s = -1/2 and t = -sqrt(2) / 2.
    """
    way = np.array([math.sqrt(0.5), 0.0, math.sqrt(0.5)])
    found = _round_marks(at((1, 0, 0)), way, (0, 0, 0), (0, 0, 1), 0.0, 1.0)
    assert found[0] == pytest.approx([-math.sqrt(0.5)] * 2)


@pytest.mark.parametrize(
    ("figure", "expected"),
    [
        (HalfSpace((0, 0, 3), (0, 0, 1)), [3]),
        (HalfSpace((0, 0, 3), (0.6, 0, 0.8)), [1.5]),  # 0.6 x 2 + 0.8 (z - 3) = 0
        (HalfSpace((0, 0, 3), (1, 0, 0)), []),  # along the line
        (Cylinder((2, 1, 4), (2, 1, 9), 3.0), [4, 9, 0, 0]),
        (Cylinder((2, -5, 4), (2, 5, 4), 3.0), [1, 7]),
        (Cone((2, 1, 4), (2, 1, 9), 0.0, 5.0), [4, 9, 3, 5]),  # a line 1 beside the axis of a cone of 45 degrees
        (box((0, -1, 2), (5, 1, 6)), [2, 6]),
    ],
)
def test_an_upright_line_meets_a_figures_faces(figure: Figure, expected: list[float]) -> None:
    """The line over (2, 0); a bore along it is never met by its side, which counts as its foot."""
    found = _marks(figure, at((2, 0, 0)), UP)
    assert sorted(np.hstack(found)[0] if found else []) == pytest.approx(sorted(expected))


def test_an_upright_line_meets_the_sides_of_a_prism_that_lies() -> None:
    """A rounded bar of 10 x 4, its ends half circles of radius 2, along the world's y: it lies in x and z."""
    bar = Prism(Region.of(Loop.slot(10, 4)), Frame((1, 9, 5), (1, 0, 0), (0, 0, 1)), 7.0)
    # Over x = 1 its flat sides are at z = 3 and 7; the circles about x = -2 and x = 4 are 3 away, and not met.
    found = np.hstack(_marks(bar, at((1, 5, 0)), UP))[0]
    assert {3.0, 7.0} <= {round(value, 9) for value in found}
    # Over x = 5.2, 1.2 from the round end's centre: sqrt(4 - 1.44) = 1.6 below and above 5.
    found = np.hstack(_marks(bar, at((5.2, 5, 0)), UP))[0]
    assert {3.4, 6.6} <= {round(value, 9) for value in found}


def test_lengths_of_lines_in_both_of_two_figures() -> None:
    """A ball-nosed cut is none here: a cone of 45 degrees, tip at z = 0, and a box from z = 1 to 4, x from -9 to 3."""
    cone, bar = Cone((0, 0, 0), (0, 0, 6), 0.0, 6.0), box((-9, -9, 1), (3, 9, 4))
    measure = _lengths(cone, bar, Frame(), 0.0, 6.0)
    x = np.array([0.0, -2.0, 2.5, 3.5, -5.0])
    # From z = 1; from z = 2; from 2.5; outside the box; the cone there begins at 5.
    assert measure(x, np.zeros(5)) == pytest.approx([3.0, 2.0, 1.5, 0.0, 0.0])


def test_the_rule_of_nine_points_is_exact_for_powers_up_to_five() -> None:
    """x⁴ y² + x⁵ over 2 ± 1 and 3 ± 0.5: (3⁵ - 1) / 5 · (3.5³ - 2.5³) / 3 + (3⁶ - 1) / 6 · 1."""
    cells = _on_cells(lambda x, y: x**4 * y**2 + x**5, np.array([2.0]), np.array([3.0]), np.array([1.0, 0.5]))
    assert cells == pytest.approx([(3**5 - 1) / 5 * (3.5**3 - 2.5**3) / 3 + (3**6 - 1) / 6])


def test_a_wedge_is_summed_over_its_rectangle() -> None:
    """Height x + 2y over x from 1 to 4 and y from 0 to 2: mean 2.5 + 2, area 6. A step is found to a thousandth."""
    low, high = np.array([1.0, 0.0, 0.0]), np.array([4.0, 2.0, 9.0])
    wedge = _cubature(lambda x, y: x + 2 * y, low, high, 1e-4)
    assert wedge.volume == pytest.approx(27.0)
    assert wedge.error == pytest.approx(0.0, abs=1e-9)
    step = _cubature(lambda x, y: np.where(x + y > 2.3, 5.0, 0.0), low, high, 1e-3)
    # Below the line x + y = 2.3 lies a triangle of legs 1.3: 6 - 0.845.
    assert step.volume == pytest.approx(5 * 5.155, rel=1e-3)
    assert abs(step.volume - 25.775) <= step.error <= 3e-3 * 25.775


@pytest.mark.parametrize(
    ("a", "b", "expected"),
    [
        # pi h (R2 + R r + r2) / 3 = pi 6 (9 + 3 + 1) / 3
        (Cone((0, 0, 0), (0, 0, 6), 3.0, 1.0), box((-9, -9, -9), (9, 9, 9)), 26 * math.pi),
        # Its part behind the plane x = 0 is half.
        (Cone((0, 0, 0), (0, 0, 6), 3.0, 1.0), HalfSpace((0, 0, 0), (1, 0, 0)), 13 * math.pi),
        # Its upper half, radii 2 to 1: pi 3 (4 + 2 + 1) / 3.
        (HalfSpace((0, 0, 3), (0, 0, -1)), Cone((0, 0, 0), (0, 0, 6), 3.0, 1.0), 7 * math.pi),
        # A bore of radius 1 through all of it.
        (Cylinder((0, 0, -1), (0, 0, 7), 1.0), Cone((0, 0, 0), (0, 0, 6), 3.0, 1.0), 6 * math.pi),
        # Two cones tip to tail, 3 high each in what they share: radii meet at 1.5: twice pi 1.5² 3 / 3.
        (Cone((0, 0, 0), (0, 0, 6), 3.0, 0.0), Cone((0, 0, 6), (0, 0, 0), 3.0, 0.0), 4.5 * math.pi),
        (Cone((0, 0, 0), (0, 0, 6), 3.0, 1.0), box((5, 5, 5), (9, 9, 9)), 0.0),
        (Segment((0, 0, 0), (0, 0, 1)), box((-1, -1, -1), (9, 9, 9)), 0.0),
        (box((-1, -1, -1), (9, 9, 9)), Disc((0, 0, 0), (0, 0, 1), 1.0), 0.0),
    ],
)  # fmt: skip
def test_volume_that_a_cone_shares(a: Figure, b: Figure, expected: float) -> None:
    for found in (overlap_volume(a, b, 0.02), overlap_volume(b, a, 0.02)):
        assert found.volume == pytest.approx(expected, rel=0.02)
        assert abs(found.volume - expected) <= found.error + 1e-9 * expected


@pytest.mark.parametrize("turned", [0.0, 33.0])
def test_a_cone_in_the_corner_of_a_bar(turned: float) -> None:
    """A quarter of a cone of radius 3 and height 6: pi 9 · 6 / 3 / 4 = 4.5 pi, wherever the two stand."""
    cone, bar = Cone((0, 0, 0), (0, 0, 6), 3.0, 0.0), box((0, 0, 0), (9, 9, 9))
    motion = Frame((5, -2, 1), (0.6, 0.8, 0.0), (-0.8, 0.6, 0.0)).rotated((1, 1, 1), (1, 2, 3), turned)
    found = overlap_volume(cone.placed(motion), bar.placed(motion), 0.01)
    assert found.volume == pytest.approx(4.5 * math.pi, rel=0.01)


def test_directions_of_faces() -> None:
    slanted = Prism(Region.of(Loop.rounded([(0, 0), (4, 0), (0, 3)])), Frame(), 2.0)
    found = {tuple(round(c, 9) + 0.0 for c in normal) for normal in _normals(slanted)}
    assert found == {(0, 0, 1), (0, -1, 0), (0.6, 0.8, 0), (-1, 0, 0)}
    assert _normals(HalfSpace((0, 0, 0), (0, 2, 0))) == [(0, 1, 0)]
    assert _normals(Cone((0, 0, 0), (0, 0, 3), 1, 0)) == [(0, 0, -1), (0, 0, 1)]


def test_lines_lean_on_every_face() -> None:
    """No face of either figure stands along the lines, nor an axis: lengths then change without a jump."""
    cone, bar = Cone((1, 2, 3), (1, 2, 6), 3.0, 1.0), box((0, 0, 0), (9, 9, 9))
    frame = _oblique_frame(bar, cone)
    assert frame.origin == (0, 0, 0)
    assert min(map(abs, frame.z_axis)) > 0.45  # the best there is for three square faces is 1 / sqrt(3) = 0.577
    assert _oblique_frame(cone, bar).origin == (1, 2, 3)


def test_an_integral_is_exact_for_smooth_stretches_and_says_its_error() -> None:
    """A half circle of radius 2: 2 pi. |s| from -1 to 2: 2.5, its kink marked or found."""
    value, error = integral(lambda s: math.sqrt(max(0.0, 4 - s * s)), [-2.0, 2.0], 1e-9)
    assert value == pytest.approx(2 * math.pi, rel=1e-12)
    assert error < 1e-9
    value, error = integral(abs, [-1.0, 0.0, 2.0], 1e-9)
    assert value == pytest.approx(2.5, rel=1e-9)
    value, error = integral(abs, [-1.0, 2.0], 1e-9)
    assert abs(value - 2.5) <= error < 0.1
    assert value == pytest.approx(2.5, rel=1e-4)
    rough, doubt = integral(abs, [-1.0, 2.0], 1e-9, halvings=0)
    assert 1e-5 < abs(rough - 2.5) <= doubt
    # A share of a whole that is much more: the first rule is good enough.
    assert integral(abs, [-1.0, 2.0], 1e-9, whole=1e9)[0] == rough
    assert integral(abs, [1.0, 1.0], 1e-9) == (0, 0)
