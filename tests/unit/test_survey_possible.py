"""Which figures can lie on a casting, how they fold, and which explanations are alike: small cases by hand.

What is wrongly held impossible hides the true figure; what is wrongly held possible is answered as if it were measured.
"""

import math
from types import SimpleNamespace

import numpy as np
import pytest

from platemaker.survey import Datum, Feature, FeatureKind, Network
from platemaker.survey._adjustment._equations import Layout
from platemaker.survey._adjustment._shared import ErrorKind, SharedError
from platemaker.survey._figure._explain import Explanations, alike, bend, different, likeliest, many_off, rank
from platemaker.survey._figure._hinges import _over_rows, _parts, _reflected, folded
from platemaker.survey._figure._possible import (
    all_lengths,
    differ,
    jaws_as_made,
    near_rough,
    on_one_side,
    on_sides,
    overlap,
)
from platemaker.survey._records import Rough


def unknowns(*values):
    return np.array(values, dtype=float)


@pytest.mark.parametrize(
    ("heights", "sided", "possible"),
    [
        ((-0.16, 0.16), True, False),
        ((-0.16, 0.16), False, True),  # a port edge may have holes on both sides
        ((-0.14, 5.0), True, True),
        ((-5.0, 0.14), True, True),
        ((3.0, 5.0), True, True),
        ((-5.0, -3.0), True, True),
    ],
)
@pytest.mark.parametrize("turn", [0.0, 30.0, 180.0])
def test_holes_lie_on_one_side_of_an_outer_edge(heights, sided, possible, turn):
    """Beyond three deviations of 0.05 mm; the edge 40 mm off the frame's origin."""
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    places = [(c * (40 + high) - s * x, s * (40 + high) + c * x) for high, x in zip(heights, (7.0, 90.0), strict=True)]
    moved = unknowns(*places[0], *places[1], math.radians(turn), 40.0)
    clues = SimpleNamespace(sided=[sided], scatter=0.05)
    assert on_one_side(clues, Layout(("A", "B"), (), ("E",)), moved) is possible


@pytest.mark.parametrize(
    ("sizes", "kinds", "apart", "found"),
    [
        ((8.0, 9.0), "hole hole", 8.4, True),  # (8 + 9) / 2 = 8.5
        ((8.0, 9.0), "hole hole", 8.6, False),
        ((8.0, 9.0), "hole stud", 1.0, False),  # a stud stands in its hole
        ((8.0, 9.9), "hole hole", 8.9, True),
        ((8.0, 10.1), "hole hole", 8.9, False),  # a hole in its counterbore: more than 1.25 times as wide
        ((10.1, 8.0), "hole hole", 8.9, False),
        ((None, 8.0), "hole hole", 1.0, False),
        ((None, None), "hole hole", 0.49, True),  # ten deviations of 0.05
        ((None, None), "hole hole", 0.51, False),
    ],
)
def test_holes_of_a_size_do_not_lie_on_each_other(sizes, kinds, apart, found):
    features = [Feature("A", FeatureKind.HOLE, 8.0)]
    features += [Feature(n, FeatureKind(k), d) for n, k, d in zip("BC", kinds.split(), sizes, strict=True)]
    moved = unknowns(100, 0, 5, 7, 5 + 0.6 * apart, 7 + 0.8 * apart)
    network = Network(tuple(features), (), Datum("A", "B"))
    assert overlap(network, Layout(("A", "B", "C"), (), ()), moved, 0.05) is found


@pytest.mark.parametrize("kind", [ErrorKind.INSIDE, ErrorKind.OUTSIDE])
@pytest.mark.parametrize(
    ("mean", "sigma", "least", "most"),
    [(0.0, 0.4, -5.0, 9.0), (16.0, 1.2, -6.0, 22.0), (4.0, 0.5, -5.0, 9.0)],
)
def test_flats_are_as_wide_as_jaws_are_made(kind, mean, sigma, least, most):
    """3 mm squared, or five deviations over what is stated; below none by five deviations, of 1 mm2 at least."""
    layout = Layout(
        ("A",), ("A",), (), (SharedError("mine", ErrorKind.ZERO, 0.0, 0.1), SharedError("mine", kind, mean, sigma))
    )
    for square, possible in ((least - 0.1, False), (least + 0.1, True), (most - 0.1, True), (most + 0.1, False)):
        assert jaws_as_made(layout, unknowns(0, 0, 8, 99, square)) is possible


def rough_network(*roughs):
    features = [Feature(n, FeatureKind.HOLE, 8.0, rough=one) for n, one in zip("ABC", roughs, strict=False)]
    return Network(tuple(features), (), Datum("A", "B"))


@pytest.mark.parametrize(
    ("sigmas", "stretch", "possible"),
    [((2, 2), 19.8, True), ((2, 2), 20.2, False), ((2, 2), -19.8, True), ((2, 2), -20.2, False), ((1, 3), 9.8, True),
     ((1, 3), 10.2, False), ((3, 1), 10.2, False)],
)  # fmt: skip
@pytest.mark.parametrize("turn", [0.0, 90.0, 200.0])
def test_holes_lie_within_five_deviations_of_their_rough_places(sigmas, stretch, possible, turn):
    """Of two on a span too long by e each is off by e / 2 once they are laid on each other; shift and turn are free."""
    network = rough_network(Rough((0, 0), sigmas[0]), Rough((100, 0), sigmas[1]))
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    moved = unknowns(30, 40, 30 + c * (100 + stretch), 40 + s * (100 + stretch))
    assert near_rough(network, Layout(("A", "B"), (), ()), moved) is possible


def test_a_mirror_image_is_not_near_its_rough_places():
    network = rough_network(*(Rough(at, 2.0) for at in ((0, 0), (100, 0), (0, 80))))
    layout = Layout(("A", "B", "C"), (), ())
    assert near_rough(network, layout, unknowns(0, 0, 100, 0, 0, 80))
    assert not near_rough(network, layout, unknowns(0, 0, 100, 0, 0, -80))
    assert near_rough(rough_network(Rough((0, 0), 2.0)), Layout(("A",), (), ()), unknowns(900, 0))


@pytest.mark.parametrize(("size", "possible"), [(6.1, True), (5.9, False), (10.9, True), (11.1, False)])
def test_a_hole_is_within_five_deviations_of_its_rough_diameter(size, possible):
    """8.5 +- 5 x 0.5."""
    network, layout = rough_network(Rough((0, 0), 2.0, 8.5)), Layout(("A",), ("A",), ())
    assert near_rough(network, layout, unknowns(0, 0, size)) is possible
    assert near_rough(network, Layout(("A",), (), ()), unknowns(0, 0))


@pytest.mark.parametrize(
    ("y", "left", "right"), [(0.16, True, False), (0.14, True, True), (-0.14, True, True), (-0.16, False, True)]
)
def test_features_lie_on_their_stated_side_of_x(y, left, right):
    layout = Layout(("A", "B", "S"), (), ())
    moved = unknowns(0, 0, 100, 0, 40, y)
    assert on_sides(layout, Datum("A", "B", left=("S",)), moved, 0.05) is left
    assert on_sides(layout, Datum("A", "B", right=("S",)), moved, 0.05) is right


def test_figures_differ_by_their_distances():
    """3, 4, 5; and the line x = 10: 10, 7 and 10 from it, from whichever side."""
    layout = Layout(("A", "B", "C"), ("A",), ("E",))
    figure = unknowns(0, 0, 3, 0, 0, 4, 8.5, 0, 10)
    assert all_lengths(layout, figure) == pytest.approx(np.array([[0, 3, 4, 10], [3, 0, 5, 7], [4, 5, 0, 10]]))
    moved = unknowns(0, 0, 3, 0, 0, 4, 9.5, 0, 10.3)
    assert differ(layout, figure, moved, 0.29)
    assert not differ(layout, figure, moved, 0.31)
    assert not differ(layout, figure, figure, 0.0)


@pytest.mark.parametrize(
    ("hinge", "point", "edge"),
    [
        ((0, 0, 10, 10), (7, 3), (math.pi / 2, 5)),  # in y = x the line x = 5 is y = 5
        ((10, 0, 10, 10), (17, 7), (math.pi, -15)),  # in x = 10 it is x = 15, which is -x = -15
        ((0, 2, 9, 2), (3, -3), (0, 5)),
    ],
)
def test_a_hole_and_an_edge_mirrored_in_a_line(hinge, point, edge):
    layout = Layout(("A", "B", "C"), (), ("E",))
    before = unknowns(*hinge, 3, 7, 0, 5)
    image = _reflected(layout, before, (0, 1), [2, 3])
    assert image[:4] == pytest.approx(unknowns(*hinge))
    assert image[4:6] == pytest.approx(unknowns(*point), abs=1e-9)
    assert image[6:] == pytest.approx(unknowns(*edge), abs=1e-9)
    assert before.tolist() == [*hinge, 3, 7, 0, 5]
    assert _reflected(layout, before, (0, 1), [3])[4:6].tolist() == [3, 7]


@pytest.mark.parametrize(
    ("near", "left", "parts"),
    [
        ([0b0011, 0b0111, 0b1110, 0b1100], 0b1111, [0b1111]),  # a chain
        ([0b0011, 0b0111, 0b1110, 0b1100], 0b1101, [0b0001, 0b1100]),  # without its second
        ([0b0101, 0b1010, 0b0101, 0b1010], 0b1111, [0b0101, 0b1010]),
        ([0b0001, 0b0010, 0b0100, 0b1000], 0b1010, [0b0010, 0b1000]),
        ([0b1001, 0b1010, 0b1100, 0b1111], 0b1111, [0b1111]),
    ],
)
def test_what_hangs_together_without_some_features(near, left, parts):
    assert list(_parts(near, left)) == parts


@pytest.mark.parametrize(("off", "images"), [(0.0, 1), (3.0, 1), (3.7, 1), (3.8, 0), (-3.7, 1), (-3.8, 0)])
def test_a_hole_over_a_row_may_lie_on_either_side(off, images):
    """Held by (0, 0), (50, off), (100, 0): the nearest line is y = off / 3 and the image of (50, 20) lies at
    2 off / 3 - 20, so that its distance from the middle one changes by 4 off / 3, and 5 mm are the most: off 3.75."""
    layout = Layout(("A", "B", "C", "D"), (), ())
    figure = unknowns(0, 0, 50, off, 100, 0, 50, 20)
    near = [0b1000, 0b1000, 0b1000, 0b1111]
    found = _over_rows(layout, figure, near)
    assert len(found) == images
    for one in found:
        assert one.tolist() == pytest.approx([0, 0, 50, off, 100, 0, 50, 2 * off / 3 - 20])
    assert figure[7] == 20
    assert _over_rows(layout, figure, [0b1000, 0b0000, 0b1000, 0b1101]) == []  # two are a hinge
    with_edge = Layout(("A", "B", "C", "D"), (), ("E",))
    held = [*near[:3], 0b11111, 0b01000]
    assert _over_rows(with_edge, unknowns(*figure, 0, 200), held) == []


def test_a_quadrilateral_folds_over_the_diagonal_that_was_read():
    """A (30, 40) and D (70, -50) hang on B and C, which lie on X; with A-D read, nothing folds."""
    layout = Layout(("A", "B", "C", "D"), (), ())
    figure = unknowns(30, 40, 0, 0, 100, 0, 70, -50)
    spans = [("A", "B"), ("B", "C"), ("A", "C"), ("B", "D"), ("C", "D"), ("A", "D")]
    equations = SimpleNamespace(layout=layout, observations=[SimpleNamespace(joins=pair) for pair in spans])

    def folds(weight):
        return folded(equations, SimpleNamespace(unknowns=figure, weights=[1.0] * 5 + [weight]))

    [image] = folds(0.0)  # the reading across is excluded
    assert image.tolist() == pytest.approx([30, -40, 0, 0, 100, 0, 70, -50])
    assert folds(1.0) == []


@pytest.mark.parametrize(("holes", "folds"), [(4, 1), (5, 2), (9, 6), (19, 16), (20, 16)])
def test_a_strip_of_triangles_folds_over_each_side_within_it(holes, folds):
    """Each hole read to the next and the one after that: every fold keeps all that was read. At most 16 are tried."""
    names = tuple(f"{i:02d}" for i in range(holes))
    figure = unknowns(*(value for i in range(holes) for value in (60.0 * i, 40.0 * (i % 2) + i % 3)), *[8.0] * holes)
    spans = [(i, i + by) for by in (1, 2) for i in range(holes - by)]
    observations = [SimpleNamespace(joins=(names[i], names[j])) for i, j in spans]
    equations = SimpleNamespace(layout=Layout(names, names, ()), observations=observations)
    images = folded(equations, SimpleNamespace(unknowns=figure, weights=[1.0] * len(spans)))
    assert len(images) == folds

    def read(places):
        return [math.dist(places[2 * i : 2 * i + 2], places[2 * j : 2 * j + 2]) for i, j in spans]

    for image in images:
        assert read(image) == pytest.approx(read(figure))
        assert np.abs(image - figure).max() > 1.0
        assert image[2 * holes :].tolist() == [8.0] * holes


def explanation(excluded=(), cost=0.0, *, agrees=True, held=True, residuals=(), figure=None):
    fit = SimpleNamespace(cost=cost, residuals=residuals, unknowns=figure)
    return SimpleNamespace(excluded=excluded, fit=fit, agrees=agrees, held=held)


def test_explanations_in_their_order():
    """What agrees, with the fewest excluded, then what holds all features, then the least chi-square."""
    order = [
        explanation((), 9.0), explanation((1,), 2.0), explanation((2,), 3.0), explanation((3,), 1.0, held=False),
        explanation((1, 2), 0.0), explanation((), 5.0, agrees=False), explanation((), 6.0, agrees=False, held=False),
        explanation((1,), 1.0, agrees=False),
    ]  # fmt: skip
    assert sorted([*order[4:], *order[:4]], key=rank) == order


def test_explanations_that_cannot_be_distinguished():
    """Within 7.88 of the first one's chi-square: 0.5 % of chi-square with one degree of freedom."""
    first = explanation((1,), 10.0)
    near, far = explanation((2,), 17.87), explanation((3,), 17.89)
    again, more, off = explanation((1,), 12.0), explanation((2, 3), 10.0), explanation((4,), 10.0, agrees=False)
    assert alike([first, again, near, far, more, off]) == [first, near]
    assert alike([off]) == [off]


@pytest.mark.parametrize(("off", "many"), [((), False), ((6,), False), ((7,), True), ((9, 6), False), ((7, 8), True)])
def test_more_than_six_readings_off_every_robust_figure_are_many(off, many):
    assert many_off([explanation(tuple(range(count))) for count in off]) is many


@pytest.mark.parametrize(
    ("residual", "is_length", "length", "share"),
    [
        (0.0, True, 200.0, 0.02),
        (-5.0, True, 200.0, 4 * 5 / 200 + 0.02),
        (5.0, True, 100.0, 4 * 5 / 100 + 0.02),
        (0.05, False, 200.0, 4 * 5 / 200 + 0.02),  # an angle off by 0.05 is as much as 5 mm
        (50.0, True, 100.0, 0.9),
    ],
)
def test_how_much_a_misreading_bends_a_figure(residual, is_length, length, share):
    equations = SimpleNamespace(observations=[None, SimpleNamespace(is_length=is_length)])
    one = explanation(residuals=(99.0, residual))
    assert bend(equations, length, one, 1) == pytest.approx(share)


@pytest.mark.parametrize(("most", "places"), [(1, [3]), (2, [3, 1]), (3, [3, 1, 4]), (9, [3, 1, 4, 0])])
def test_the_likeliest_are_the_least_finite_ones(most, places):
    assert likeliest(np.array([9.0, 2.0, math.inf, 1.0, 2.0]), most) == places


def test_figures_that_differ_from_those_before():
    layout = Layout(("A", "B"), (), ())
    equations = SimpleNamespace(layout=layout)
    ones = [explanation(figure=unknowns(0, 0, 0, far)) for far in (80.0, 80.4, 81.0, -80.0, 85.0)]
    assert different(equations, ones, 0.5, 9) == [ones[0], ones[2], ones[4]]
    assert different(equations, ones, 0.5, 2) == [ones[0], ones[2]]
    assert different(equations, ones, 0.3, 9) == [ones[0], ones[1], ones[2], ones[4]]


@pytest.mark.parametrize(
    ("rounds", "begun"),
    [
        (1, [0]),
        (2, [0, 1]),
        (4, [0, 1, 2, 3]),
        (6, [0, 1, 2, 3, 4, 5]),
        (11, [0, 2, 4, 6, 8, 10]),
        (16, [0, 3, 6, 9, 12, 15]),
    ],
)
def test_first_drawings_begin_with_features_spread_over_all(rounds, begun):
    search = Explanations.__new__(Explanations)
    search.equations = SimpleNamespace(layout=Layout(tuple(map(str, range(rounds))), (), ()))
    assert list(search._beginnings()) == begun
