"""Where readings want a hole or an edge, how far a drawing misses them, and a picture's scale and map, by hand."""

import math
from types import SimpleNamespace

import numpy as np
import pytest

from platemaker.survey import Datum, Feature, FeatureKind, Network, Reading, ReadingKind
from platemaker.survey._adjustment._pictures import Laid, laid_out, rigid_part, scale_of, starting
from platemaker.survey._drawing._loci import Locus, meet, rays, spread, tangents
from platemaker.survey._drawing._score import Scorer
from platemaker.survey._records import Picture


def circle(x, y, radius):
    return Locus(np.array([[float(x), float(y)]]), float(radius), np.zeros(1))


def straight(nx, ny, offset):
    return Locus(np.array([[float(nx), float(ny)]]), None, np.array([float(offset)]))


@pytest.mark.parametrize(
    ("one", "other", "places"),
    [
        (circle(0, 0, 5), circle(8, 0, 5), [(4, 3), (4, -3)]),
        (circle(2, 1, 13), circle(2, 15, 15), [(-10, 6), (14, 6)]),  # sides 13, 14, 15: 5 along, 12 across
        (circle(0, 0, 1), circle(10, 0, 2), [(4.85, 0), (4.85, 0)]),  # miss: (100 + 1 - 4) / 20 along
        (circle(1, -1, 5), straight(0, 1, 3), [(-2, 3), (4, 3)]),
        (straight(0, 1, 3), circle(1, -1, 5), [(-2, 3), (4, 3)]),
        (straight(1, 0, 9), circle(1, -1, 5), [(9, -1), (9, -1)]),
        (straight(1, 0, 3), straight(0.6, 0.8, 5), [(3, 4)]),
        (straight(0.6, 0.8, 5), straight(1, 0, 3), [(3, 4)]),
        (straight(0, 1, 3), straight(-0.01, 1, 5), []),
    ],
)
def test_where_two_readings_meet(one, other, places):
    found = [tuple(place[0]) for place in meet(one, other)]
    assert found == [pytest.approx(place) for place in places]


@pytest.mark.parametrize(("r", "s"), [(2.0, 8.0), (8.0, 2.0), (3.0, 3.0), (-2.0, 4.0)])
def test_lines_at_stated_distances_from_two_places(r, s):
    """Two of them, mirrored in the line from the one place to the other."""
    p, q = np.array([[2.0, 3.0]]), np.array([[8.0, 11.0]])
    found = tangents(p, r, q, s)
    for angle, offset in found:
        n = np.array([math.cos(angle[0]), math.sin(angle[0])])
        assert (n @ p[0] - offset[0], n @ q[0] - offset[0]) == pytest.approx((r, s))
    base = math.atan2(8, 6)
    assert found[0][0][0] - base == pytest.approx(base - found[1][0][0])
    assert math.cos(found[0][0][0] - base) == pytest.approx((s - r) / 10)


@pytest.mark.parametrize("degrees", [30.0, 90.0, 150.0])
def test_arms_at_an_angle(degrees):
    turn = math.radians(degrees)
    found = rays(np.array([[1.0, 1.0]]), np.array([[4.0, 1.0]]), turn)
    assert len(found) == 2
    for locus, sign in zip(found, (1, -1), strict=True):
        for far in (0.0, 10.0):
            on = np.array([1 + far * math.cos(turn), 1 + sign * far * math.sin(turn)])
            assert locus.at[0] @ on == pytest.approx(locus.offset[0])
    assert len(rays(np.array([[1.0, 1.0]]), np.array([[4.0, 1.0]]), math.pi)) == 1


def test_places_along_a_circle_and_a_line():
    assert spread(circle(1, 2, 5), 1, 10.0)[0][0] == pytest.approx((6, 2))
    at = [math.radians(90 * (k + 0.3)) for k in range(4)]
    found = np.array(spread(circle(1, 2, 5), 4, 10.0))[:, 0]
    assert found == pytest.approx(np.array([(1 + 5 * math.cos(t), 2 + 5 * math.sin(t)) for t in at]))
    assert np.array(spread(straight(0, 1, 3), 3, 10.0))[:, 0].tolist() == [[10, 3], [0, 3], [-10, 3]]
    assert spread(straight(0, 1, 3), 1, 10.0)[0].tolist() == [[0, 3]]


def scorer(*, spans=None, stands=None, gaps=None, corners=None, straights=(), sided=(True,), rounds=3):
    """Misreadings in units of 0.5 mm; three holes at (0, 0), (80, 0), (80, 60) and an edge at y = -10."""
    near = SimpleNamespace(spans=spans or {}, stands=stands or {}, gaps=gaps or {})
    clues = SimpleNamespace(rounds=rounds, sided=sided, corners=corners or {}, straights=straights)
    return Scorer(clues, near, 0.5)


DRAWN = SimpleNamespace(
    points=np.array([[(0.0, 0.0), (80.0, 0.0), (80.0, 60.0)]]), angles=np.array([[math.pi / 2]]),
    offsets=np.array([[-10.0]]), placed={0, 1, 2, 3},
)  # fmt: skip


@pytest.mark.parametrize(
    ("at", "cost"),
    [
        ((80, 60), 0),
        ((80, 60.5), 1 + ((math.hypot(80, 60.5) - 100) / 0.5) ** 2),
        ((80, 70), 25 + 25),
    ],
)
def test_spans_count_the_square_of_their_misfit_up_to_five_deviations(at, cost):
    one = scorer(spans={2: {0: 100.0, 1: 60.0}})
    drawn = SimpleNamespace(**vars(DRAWN))
    assert one.misfit(drawn, 2, np.array([[at]], dtype=float))[0, 0] == pytest.approx(cost)
    drawn.placed = {1}
    alone = one.misfit(drawn, 2, np.array([[at]], dtype=float))[0, 0]
    assert alone == pytest.approx(min(((at[1] - 60) / 0.5) ** 2, 25))


@pytest.mark.parametrize(
    ("y", "sided", "cost"),
    [(10, True, 0), (11, True, 4), (-30, True, 25), (-30, False, 0), (-10.4, True, 25), (-31, False, 4)],
)
def test_a_hole_stands_on_the_side_of_a_sided_edge(y, sided, cost):
    """20 from the edge at y = -10: at y = 10, or at -30 where the edge may have holes on both sides."""
    one = scorer(stands={2: {3: 20.0}}, sided=(sided,))
    found = one.misfit(DRAWN, 2, np.array([[(5.0, float(y))]]))[0, 0]
    assert found == pytest.approx(cost)


def test_an_edge_is_held_against_its_holes_and_its_fellow():
    one = scorer(stands={3: {0: 10.0, 2: 70.0}})
    lines = np.array([[(math.pi / 2, -10.0), (math.pi / 2, -11.0), (-math.pi / 2, 10.0)]])
    # A millimetre off is 4 for either hole; the other way round both lie behind it: 25 each.
    assert one.misfit(DRAWN, 3, lines)[0] == pytest.approx([0, 8, 50])
    one = scorer(gaps={4: {3: 70.0}})
    lines = np.array([[(math.pi / 2, 60.0), (-math.pi / 2, -60.0), (math.pi / 2, 61.0), (math.pi / 2, -80.0)]])
    assert one.misfit(DRAWN, 4, lines)[0] == pytest.approx([0, 0, 4, 0])


@pytest.mark.parametrize(("at", "cost"), [((80, 60), 0), ((20, 0), 25), ((80, -60), 0)])
def test_a_corner_counts_by_its_shorter_arm(at, cost):
    one = scorer(corners={(0, 1, 2): math.pi / 2})
    assert one.misfit(DRAWN, 2, np.array([[at]], dtype=float))[0, 0] == pytest.approx(cost)


def test_a_straight_and_a_corner_slightly_off():
    """0.01 rad on an arm of 60 or 40: 0.6 and 0.4 mm, 1.2 and 0.8 deviations."""
    one = scorer(corners={(0, 1, 2): math.pi / 2})
    at = (80 + 60 * math.sin(0.01), 60 * math.cos(0.01))
    assert one.misfit(DRAWN, 2, np.array([[at]]))[0, 0] == pytest.approx(1.44)
    one = scorer(straights=[(0, 1, 2)])
    at = (80 + 40 * math.cos(0.01), 40 * math.sin(0.01))
    assert one.misfit(DRAWN, 2, np.array([[at]]))[0, 0] == pytest.approx(0.64)


HOLES = (Feature("A", FeatureKind.HOLE, 8.0), Feature("B", FeatureKind.HOLE, 12.0), Feature("C", FeatureKind.HOLE))
SCAN = Picture("scan", {"A": (100.0, 50.0), "B": (400.0, 450.0), "C": (100.0, 450.0)}, 0.5)


def network(*readings):
    taken = tuple(
        Reading(number, kind, tuple(names), value, 0.05) for number, (kind, names, value) in enumerate(readings, 1)
    )
    return Network(HOLES, taken, Datum("A", "B"), pictures=(SCAN,))


@pytest.mark.parametrize(
    ("readings", "scale"),
    [
        ([(ReadingKind.CENTRES, "AB", 100.0)], 0.2),  # 300, 400: 500 pixels
        ([(ReadingKind.INSIDE, "AB", 90.0)], 0.2),
        ([(ReadingKind.OUTSIDE, "AB", 110.0)], 0.2),
        ([(ReadingKind.SAME_SIDE, "AB", 98.0)], 0.2),  # 100 + 4 - 6
        ([(ReadingKind.CENTRES, "AB", 100.0), (ReadingKind.CENTRES, "BC", 75.0), (ReadingKind.CENTRES, "AC", 81.0)],
         0.2025),  # of 0.2, 0.25 and 0.2025 the middle one
        ([(ReadingKind.ANGLE, "ABC", 90.0)], None),
    ],
)  # fmt: skip
def test_millimetres_a_pixel(readings, scale):
    assert scale_of(SCAN, network(*readings)) == (None if scale is None else pytest.approx(scale))


def test_a_picture_is_laid_out_about_its_middle_with_y_up():
    found = laid_out(SCAN, network((ReadingKind.CENTRES, "AB", 100.0)))
    assert found.names == ("A", "B", "C")
    # The middle lies at pixel (200, 316.67).
    third = 0.2 * 800 / 3
    assert found.points == pytest.approx(np.array([(-20, third), (40, -third / 2), (-20, -third / 2)]))
    assert found.sigma == pytest.approx(0.1)
    assert laid_out(SCAN, network()).pixel == pytest.approx(25.4 / 300)


def mapped(u, places):
    return u[:2] + places @ u[2:].reshape(2, 2).T


def test_the_map_of_a_picture_starts_where_its_points_lie():
    """Three or more points by any affine map; two, or those of a row, by a similarity."""
    places = np.array([(10.0, 5.0), (90.0, 5.0), (90.0, 65.0), (20.0, 50.0)])
    wanted = np.array([3.0, -2.0, 1.1, 0.2, -0.1, 0.9])
    found = starting(
        Laid(SCAN, tuple("ABCD"), mapped(wanted, places) - mapped(wanted, places).mean(axis=0), 1.0), places
    )
    assert found[2:] == pytest.approx(wanted[2:])
    assert mapped(found, places.mean(axis=0)) == pytest.approx([0, 0], abs=1e-9)
    similar = np.array([0.0, 0.0, 0.6, -0.8, 0.8, 0.6]) * 1.5
    for some in (places[:2], np.array([(0.0, 0.0), (50.0, 1.0), (100.0, 0.0)])):
        points = mapped(similar, some - some.mean(axis=0))
        found = starting(Laid(SCAN, tuple("ABC")[: len(some)], points, 1.0), some)
        assert found[2:] == pytest.approx(similar[2:])
        assert mapped(found, some) == pytest.approx(points, abs=1e-9)


def test_a_moved_figure_with_its_picture_as_it_was():
    """To first order t - M d for a shift d, and M (1, e; -e, 1) for a turn e, show what was shown before."""
    u, small = np.array([3.0, -2.0, 1.1, 0.2, -0.1, 0.9]), 1e-6
    modes, places = rigid_part(u), np.array([(10.0, 5.0), (90.0, -7.0)])
    x, y = places.T
    along_x, along_y = np.column_stack([x + small, y]), np.column_stack([x, y + small])
    for column, moved in enumerate((along_x, along_y, np.column_stack([x - small * y, y + small * x]))):
        assert mapped(u + small * modes[:, column], moved) == pytest.approx(mapped(u, places), abs=1e-9)
