"""Areas, offsets and section moments against theory written out as arithmetic.

- Steiner's formulas (J. Steiner, 1840): a convex figure of area A and perimeter P grown by d has area A + P d + π d²
  and perimeter P + 2 π d.
- Circular segments and lenses: sector less triangle.
- A polygon's corner of interior angle θ rounded by r loses r² (cot(θ/2) − (π − θ)/2).
- Second moments of rectangle, triangle, circle, half and quarter circle: the integrals of x², y², xy.

Tolerance: all are closed formulas on doubles of some 100 mm; 1e-11 relative leaves room for sums of tens of terms.
"""

from __future__ import annotations

import math

import pytest

from platemaker.errors import GeometryError
from platemaker.plane import Arc, Circle, Line, Loop, Region, intersect, measures, moved, offset, rotated, subtract

EXACT = 1e-11


def regular(sides: int, radius: float, rounding: float = 0.0) -> Loop:
    turn = math.tau / sides
    corners = [(radius * math.cos(k * turn + 0.3), radius * math.sin(k * turn + 0.3)) for k in range(sides)]
    return Loop.rounded(corners, rounding)


CONVEX = [
    Loop.circle((3, 4), 10),
    Loop.rectangle(30, 20),
    Loop.rectangle(30, 20, 6),
    Loop.slot(40, 12, angle=33),
    regular(3, 20),
    regular(5, 20, 2),
    regular(17, 20),
    Loop((Arc((-9, 12), (9, 12), (0, 0), 15, False), Line((9, 12), (-9, 12)))),
]


@pytest.mark.parametrize("loop", CONVEX)
@pytest.mark.parametrize("distance", [0.01, 1.0, 25.0])
def test_steiner(loop: Loop, distance: float) -> None:
    region = Region.of(loop)
    [grown] = offset(region, distance)
    area = region.area + region.perimeter * distance + math.pi * distance**2
    assert grown.area == pytest.approx(area, rel=EXACT)
    assert grown.perimeter == pytest.approx(region.perimeter + math.tau * distance, rel=EXACT)


@pytest.mark.parametrize("distance", [0.5, 3.0, 9.999])
def test_a_rectangle_shrinks_to_a_rectangle(distance: float) -> None:
    [inner] = offset(Region(Loop.rectangle(30, 20)), -distance)
    assert inner.area == pytest.approx((30 - 2 * distance) * (20 - 2 * distance), rel=1e-9)


@pytest.mark.parametrize(
    ("sides", "radius", "rounding"), [(3, 20.0, 2.0), (4, 10.0, 1.5), (6, 30.0, 10.0), (17, 50, 1)]
)
def test_rounded_polygons(sides: int, radius: float, rounding: float) -> None:
    theta = math.pi - math.tau / sides
    sharp = sides / 2 * radius**2 * math.sin(math.tau / sides)
    lost = rounding**2 * (1 / math.tan(theta / 2) - (math.pi - theta) / 2)
    assert regular(sides, radius, rounding).area == pytest.approx(sharp - sides * lost, rel=EXACT)
    # Opened inwards and out again by the rounding, the sharp polygon becomes the rounded one.
    [inner] = offset(Region(regular(sides, radius)), -rounding)
    [rounded] = offset(inner, rounding)
    assert rounded.area == pytest.approx(sharp - sides * lost, rel=1e-9)


@pytest.mark.parametrize("height", [-9.0, -3.0, 0.0, 0.5, 6.0])
def test_circular_segments(height: float) -> None:
    """The part of a disc of radius r above y = h: r² acos(h/r) − h sqrt(r² − h²)."""
    r = 10.0
    above = Region(Loop.rectangle(40, 40, centre=(0, 20 + height)))
    [segment] = intersect(Region(Loop.circle((0, 0), r)), above)
    expected = r**2 * math.acos(height / r) - height * math.sqrt(r**2 - height**2)
    assert segment.area == pytest.approx(expected, rel=EXACT)


@pytest.mark.parametrize(("r", "s", "d"), [(10, 10, 12), (10, 7, 5), (10, 3, 8), (100, 100, 199.9)])
def test_lens_and_moon(r: float, s: float, d: float) -> None:
    x = (d**2 + r**2 - s**2) / (2 * d)
    lens = r**2 * math.acos(x / r) + s**2 * math.acos((d - x) / s) - d * math.sqrt(r**2 - x**2)
    a, b = Region(Loop.circle((0, 0), r)), Region(Loop.circle((0, d), s))
    [both] = intersect(a, b)
    assert both.area == pytest.approx(lens, rel=1e-9)
    [moon] = subtract(a, b)
    assert moon.area == pytest.approx(math.pi * r**2 - lens, rel=1e-9)


def test_moments_of_a_rectangle() -> None:
    found = measures(Loop.rectangle(50, 100, centre=(7, -3)))
    assert found.area == pytest.approx(50 * 100, rel=EXACT)
    assert found.centroid == pytest.approx((7, -3), rel=EXACT)
    assert found.i_xx == pytest.approx(50 * 100**3 / 12, rel=EXACT)
    assert found.i_yy == pytest.approx(100 * 50**3 / 12, rel=EXACT)
    assert found.i_xy == pytest.approx(0, abs=1e-6)


def test_moments_of_a_right_triangle() -> None:
    found = measures(Loop.rounded([(0, 0), (60, 0), (0, 30)]))
    assert found.centroid == pytest.approx((20, 10), rel=EXACT)
    assert found.i_xx == pytest.approx(60 * 30**3 / 36, rel=EXACT)
    assert found.i_yy == pytest.approx(30 * 60**3 / 36, rel=EXACT)
    assert found.i_xy == pytest.approx(-(60**2) * 30**2 / 72, rel=EXACT)


@pytest.mark.parametrize("centre", [(0.0, 0.0), (30.0, 40.0)])
def test_moments_of_a_circle_and_a_ring(centre: tuple[float, float]) -> None:
    found = measures(Circle(centre, 12))
    assert found.centroid == pytest.approx(centre, abs=1e-12)
    assert (found.i_xx, found.i_yy) == pytest.approx((math.pi * 12**4 / 4,) * 2, rel=EXACT)
    ring = measures(Region.of(Loop.circle(centre, 12), [Loop.circle(centre, 7)]))
    assert ring.area == pytest.approx(math.pi * (12**2 - 7**2), rel=EXACT)
    assert ring.i_polar == pytest.approx(math.pi * (12**4 - 7**4) / 2, rel=EXACT)


def test_moments_of_a_half_and_a_quarter_circle() -> None:
    r = 10.0
    half = measures(Loop((Arc((r, 0), (-r, 0), (0, 0), r, True), Line((-r, 0), (r, 0)))))
    assert half.centroid == pytest.approx((0, 4 * r / (3 * math.pi)), rel=EXACT, abs=1e-12)
    assert half.i_xx == pytest.approx((math.pi / 8 - 8 / (9 * math.pi)) * r**4, rel=EXACT)
    assert half.i_yy == pytest.approx(math.pi / 8 * r**4, rel=EXACT)
    quarter = measures(Loop((Arc((r, 0), (0, r), (0, 0), r, True), Line((0, r), (0, 0)), Line((0, 0), (r, 0)))))
    x = 4 * r / (3 * math.pi)
    assert quarter.centroid == pytest.approx((x, x), rel=EXACT)
    # About the corner the product moment is r⁴/8; Steiner's term takes it to the centroid.
    assert quarter.i_xy == pytest.approx(r**4 / 8 - math.pi * r**2 / 4 * x * x, rel=1e-10)


def test_moments_turn_as_a_tensor() -> None:
    """A rectangle turned by φ: Ixx = I1 cos²φ + I2 sin²φ and Ixy = (I2 − I1) sin φ cos φ for its own I1, I2."""
    phi = math.radians(25)
    found = measures(moved(rotated(Loop.rectangle(40, 10), 25), 200, -300))
    i_1, i_2 = 40 * 10**3 / 12, 10 * 40**3 / 12
    assert found.i_xx == pytest.approx(i_1 * math.cos(phi) ** 2 + i_2 * math.sin(phi) ** 2, rel=1e-9)
    assert found.i_xy == pytest.approx((i_2 - i_1) * math.sin(phi) * math.cos(phi), rel=1e-9)


def test_several_shapes_add_up_and_nothing_is_refused() -> None:
    pair = measures(Circle((-10, 0), 2), Circle((10, 0), 2))
    assert pair.i_yy == pytest.approx(2 * (math.pi * 2**4 / 4 + math.pi * 2**2 * 10**2), rel=EXACT)
    with pytest.raises(GeometryError, match="measures need an area above 0 mm2, met 0"):
        measures()
