"""The belt's path against published two-pulley examples, hand geometry, and the shortest string found by optimisation.

Open belt 6/18/96: Shigley's Mechanical Engineering Design, solutions manual, Problem 17-5; V-belts: Problem 17-18 there,
and Mott's Machine Elements in Mechanical Design. Crossed belt: Encyclopaedia
Britannica, 11th edition, volume 17, equation 32A.
"""

from __future__ import annotations

import math
import random

import numpy as np
import pytest
from scipy.optimize import minimize

from platemaker.errors import GeometryError
from platemaker.plane import BeltPath, Wheel, belt_path


def test_open_belt_of_the_book():
    path = belt_path([Wheel("small", (0, 0), 3, True), Wheel("large", (96, 0), 9, True)])
    assert path.wraps == pytest.approx((3.016511, 3.266674), abs=5e-7)
    assert path.length == pytest.approx(230.074, abs=5e-4)


@pytest.mark.parametrize(
    ("small", "large", "apart", "length", "wrap"),
    [(12.4, 21.1, 23.30, 100.0, 158), (5.4, 16.0, 26.05, 86.8, 156.5)],
    ids=["Mott, Machine Elements in Mechanical Design, 4th ed., Example Problem 7-1", "Shigley, problem 17-18"],
)
def test_v_belt_drives_of_two_books(small, large, apart, length, wrap):
    """Inches; the books print centre distance to 0.01 and wrap to a degree or half of one, and one takes 6.28 for 2 pi:
    0.0016 of 33.5 in, twice 0.005, and what the approximate law is off."""
    path = belt_path([Wheel("small", (0, 0), small / 2, True), Wheel("large", (apart, 0), large / 2, True)])
    assert path.length == pytest.approx(length, abs=0.065)
    assert math.degrees(path.wraps[0]) == pytest.approx(wrap, abs=0.5)


def test_crossed_belt_of_the_encyclopaedia():
    path = belt_path([Wheel("small", (0, 0), 3, True), Wheel("large", (96, 0), 9, False)], crossed=True)
    # L = sqrt(4 C^2 - (D + d)^2) + (D + d) (pi/2 + asin((D + d)/2C))
    assert path.length == pytest.approx(math.sqrt(192**2 - 24**2) + 24 * (math.pi / 2 + math.asin(0.125)), abs=1e-9)


def test_equal_pulleys_on_a_square_with_an_idler_pressed_into_one_side():
    # Four of radius 10 on a square of 100, an idler of radius 10 on the back of the upper side, its centre on the line
    # of the centres: two inner tangents of two circles 50 apart, sin(lean) = 20/50.
    corners = [("a", (0, 0)), ("b", (100, 0)), ("c", (100, 100)), ("d", (0, 100))]
    wheels = [Wheel(name, at, 10, True) for name, at in corners]
    wheels.insert(3, Wheel("idler", (50, 100), 10, False))
    path = belt_path(wheels)
    lean = math.asin(20 / 50)
    straight = 3 * 100 + 2 * math.sqrt(50**2 - 20**2)
    assert path.length == pytest.approx(straight + 10 * (2 * math.pi + 2 * lean) + 10 * 2 * lean, abs=1e-9)
    assert path.wraps[3] == pytest.approx(2 * lean, abs=1e-12)
    assert sum(edge.length for edge in path.edges) == pytest.approx(path.length, abs=1e-9)


@pytest.mark.parametrize(
    ("wheels", "words"),
    [
        ([Wheel("a", (0, 0), 30, True), Wheel("b", (40, 0), 20, True)],
         "a and b overlap by 10.00 mm; their centres are to be more than 50.00 mm apart"),
        ([Wheel("a", (0, 0), 30, True), Wheel("b", (100, 0), 20, False)], "no belt closes round a, b .* crossed"),
        ([Wheel("a", (0, 0), 20, True), Wheel("b", (200, 0), 20, True), Wheel("idler", (100, 45), 20, False)],
         r"does not reach idler: its wrap would be -.*; move it 5.00 mm or more along \[.*-1.000\]"),
        ([Wheel("a", (0, 0), 20, True), Wheel("b", (100, 10), 20, True), Wheel("c", (200, 0), 20, True),
          Wheel("d", (100, 100), 20, True)], r"does not reach b: its wrap .*; move it 10.00 mm or more along \[0.000, -1.000\]"),
        ([Wheel("a", (0, 0), 20, True)], "two pulleys or more, met 1"),
    ],
)  # fmt: skip
def test_what_no_belt_goes_round_is_refused_by_name(wheels, words):
    with pytest.raises(GeometryError, match=words):
        belt_path(wheels)


def test_the_nearest_place_that_works_works():
    wheels = [Wheel("a", (0, 0), 20, True), Wheel("b", (200, 0), 20, True), Wheel("idler", (100, 39.999), 20, False)]
    assert belt_path(wheels).wraps[2] > 0


def test_a_wheel_in_the_way_is_named():
    # The span from a to b runs along y = -20; c reaches down to -25 there, and up to -5 only, where the belt is at 20.
    wheels = [Wheel("a", (0, 0), 20, True), Wheel("b", (300, 0), 20, True), Wheel("c", (150, -15), 10, True)]
    with pytest.raises(GeometryError, match=r"into c|reach c|crosses"):
        belt_path(wheels)
    # Up to 31, over the belt's 20: that is no wheel in the way, the belt goes over it.
    assert belt_path([*wheels[:2], Wheel("c", (150, 21), 10, True)]).wraps[2] > 0


def test_a_span_through_a_wheel_is_named():
    # From d, left of the last span, to e, right of it: on its way it passes c, whose neighbours are b and d.
    wheels = [
        Wheel("a", (120, 100), 20, True), Wheel("b", (70, 80), 10, True), Wheel("c", (230, 50), 20, True),
        Wheel("d", (290, 40), 20, True), Wheel("e", (50, 40), 10, False),
    ]  # fmt: skip
    with pytest.raises(GeometryError, match=r"the belt from d to e runs 17\.\d+ mm into c"):
        belt_path(wheels)


def shortest_string(path: BeltPath, fine: float = math.radians(3)) -> float:
    """Length of the shortest closed string that stays outside the circles, with no tangent worked out.

    The string crosses rays that fan out from every centre; on each it may slide, but not below the radius. The fan only
    says on which side of a circle the string passes; where it touches is found by minimising the length.
    """
    rays, radii = [], []
    for place, wheel in enumerate(path.wheels):
        turn = path.wraps[place]
        x, y = path.spans[place].start
        last = math.atan2(y - wheel.centre[1], x - wheel.centre[0])
        count = max(2, math.ceil(turn / fine) + 1)
        # A fan somewhat wider than any contact: what is too wide slides outwards freely.
        slack = min(math.radians(4), fine)
        for share in np.linspace(-turn - slack, slack, count + 2):
            angle = last + wheel.sign * share
            rays.append((*wheel.centre, math.cos(angle), math.sin(angle)))
            radii.append(wheel.radius)
    cx, cy, ux, uy = np.array(rays).T
    least = np.array(radii)

    def length(rho):
        x, y = cx + rho * ux, cy + rho * uy
        dx, dy = np.roll(x, -1) - x, np.roll(y, -1) - y
        d = np.hypot(dx, dy)
        pull_x, pull_y = np.roll(dx / d, 1) - dx / d, np.roll(dy / d, 1) - dy / d
        return d.sum(), pull_x * ux + pull_y * uy

    start = least * 1.05
    found = minimize(length, start, jac=True, bounds=[(r, None) for r in radii], method="L-BFGS-B",
                     options={"maxiter": 5000, "maxfun": 20000, "ftol": 1e-14, "gtol": 1e-9})  # fmt: skip
    return float(found.fun)


def layouts(count: int):
    """Random drives: 2 to 6 pulleys round a convex outline, in some an idler on the back of a span."""
    dice, made = random.Random(19), 0
    while made < count:
        number = dice.randint(2, 6)
        ways = sorted(dice.uniform(0, math.tau) for _ in range(number))
        wheels = [
            Wheel(f"p{k}", (dice.uniform(150, 300) * math.cos(way), dice.uniform(150, 300) * math.sin(way)),
                  dice.uniform(15, 90), True)
            for k, way in enumerate(ways)
        ]  # fmt: skip
        if dice.random() < 0.6:
            try:
                run = belt_path(wheels).spans[-1]
            except GeometryError:
                continue
            (x, y), (u, v), radius = run.point(dice.uniform(0.2, 0.8)), run.tangent(0), dice.uniform(15, 40)
            out = radius - dice.uniform(1, 40)
            wheels.append(Wheel("idler", (x + out * v, y - out * u), radius, False))
        try:
            path = belt_path(wheels)
        except GeometryError:
            continue
        made += 1
        yield path


@pytest.mark.slow
def test_path_is_the_shortest_string_on_200_random_layouts():
    paths = list(layouts(200))
    assert sum(path.wheels[-1].name == "idler" for path in paths) > 60
    for path in paths:
        # A string of chords 3 degrees wide is short of its arcs by 1 part in 8,700 at most.
        assert path.length == pytest.approx(shortest_string(path), rel=1.3e-4)


def test_path_is_the_shortest_string_on_a_few_layouts():
    for path in layouts(6):
        assert path.length == pytest.approx(shortest_string(path), rel=1.3e-4)
