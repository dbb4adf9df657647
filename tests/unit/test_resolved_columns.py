"""The metal along columns of a blank, by hand: where a bore leaves it, and which columns hang together."""

import math
from types import SimpleNamespace

import numpy as np
import pytest

from platemaker.plane import Loop, Region
from platemaker.resolved._columns import _inside, _links, _metal, _through
from platemaker.space import Cylinder, Frame, Prism

PLATE = SimpleNamespace(blank=SimpleNamespace(frame=Frame(), height=10.0))
ACROSS = Cylinder((-20.0, 0.0, 5.0), (0.0, 0.0, 5.0), 3.0)
SHALLOW = Cylinder((-20.0, 0.0, 9.0), (0.0, 0.0, 9.0), 3.0)
ASLANT = Cylinder((3.0, 0.0, 3.0), (7.0, 0.0, 7.0), math.sqrt(2))


@pytest.mark.parametrize(
    ("bore", "at", "span"),
    [
        (ACROSS, (-10, 0), (2, 8)),
        (ACROSS, (-10, 1.8), (2.6, 7.4)),  # half a chord of 2.4
        (ACROSS, (-10, -1.8), (2.6, 7.4)),
        (ACROSS, (-10, 3.5), (10, 10)),
        (ACROSS, (1, 0), (10, 10)),
        (ACROSS, (-21, 0), (10, 10)),
        (SHALLOW, (-10, 0), (6, 10)),
        # At 45 degrees a column passes 2 below and 2 above the axis; the ends stand at x + z = 6 and 14.
        (ASLANT, (5, 0), (3, 7)),
        (ASLANT, (5, 1), (5 - math.sqrt(2), 5 + math.sqrt(2))),  # 1 off the axis leaves half a chord of 1, over cos 45
        (ASLANT, (3, 0), (3, 5)),
        (ASLANT, (7, 0), (5, 7)),
        (ASLANT, (1.5, 0), (10, 10)),
        (ASLANT, (5, 1.5), (10, 10)),
    ],
)
def test_where_a_column_enters_and_leaves_a_bore(bore, at, span):
    low, high = _through(bore, PLATE, *(np.array([float(one)]) for one in at))
    assert (low[0], high[0]) == pytest.approx(span)


@pytest.mark.parametrize(
    ("figure", "at", "inside"),
    [
        (Cylinder((4.0, 3.0, 0.0), (4.0, 3.0, 10.0), 2.0), (5.9, 3), True),
        (Cylinder((4.0, 3.0, 0.0), (4.0, 3.0, 10.0), 2.0), (4, 1.1), True),
        (Cylinder((4.0, 3.0, 0.0), (4.0, 3.0, 10.0), 2.0), (6.1, 3), False),
        (Cylinder((4.0, 3.0, 0.0), (4.0, 3.0, 10.0), 2.0), (-4, -3), False),
        (Prism(Region.of(Loop.rectangle(4, 2)), Frame((10.0, 5.0, 6.0)), 2.0), (11.9, 5.9), True),
        (Prism(Region.of(Loop.rectangle(4, 2)), Frame((10.0, 5.0, 6.0)), 2.0), (12.1, 5), False),
        (Prism(Region.of(Loop.rectangle(4, 2)), Frame((10.0, 5.0, 6.0)), 2.0), (10, 6.1), False),
    ],
)
def test_which_columns_pass_through_an_upright_figure(figure, at, inside):
    assert bool(_inside(figure, PLATE, *(np.array([float(one)]) for one in at))[0]) is inside


@pytest.mark.parametrize(
    ("first", "other", "joined"),
    [
        ((0, 5), (4, 10), True),
        ((4, 10), (0, 5), True),
        ((0, 5), (5, 10), False),
        ((5, 10), (0, 5), False),
        ((0, 10), (2, 3), True),
        ((0, 4), (3.999, 10), True),
    ],
)
def test_neighbours_hang_together_where_they_share_heights(first, other, joined):
    low, high = (np.array([[[float(first[i])]], [[float(other[i])]]]) for i in (0, 1))
    links = _links(np.array([[[0]], [[1]]]), low, high, np.s_[:-1, :], np.s_[1:, :])
    assert [one.tolist() for one in links] == ([[0], [1]] if joined else [[], []])
    away = _links(np.array([[[0]], [[-1]]]), low, high, np.s_[:-1, :], np.s_[1:, :])
    assert [one.tolist() for one in away] == [[], []]
    away = _links(np.array([[[-1]], [[1]]]), low, high, np.s_[:-1, :], np.s_[1:, :])
    assert [one.tolist() for one in away] == [[], []]


def test_each_stretch_of_a_column_is_held_against_each_of_the_next():
    """Two stretches, 0 to 3 and 7 to 10, beside 0 to 2 and 5 to 8."""
    low, high = np.array([[[0.0, 7.0]], [[0.0, 5.0]]]), np.array([[[3.0, 10.0]], [[2.0, 8.0]]])
    first, second = _links(np.array([[[0, 1]], [[2, 3]]]), low, high, np.s_[:-1, :], np.s_[1:, :])
    assert sorted(zip(first.tolist(), second.tolist(), strict=True)) == [(0, 2), (1, 3)]


def test_a_column_beside_the_outline_holds_no_metal():
    """An angle of 10 x 10 with legs of 4, 10 thick, and a bore of 2 in its corner: at (8, 8) there is no metal at all."""
    outline = Loop.rounded([(0, 0), (10, 0), (10, 4), (4, 4), (4, 10), (0, 10)])
    blank = SimpleNamespace(frame=Frame(), height=10.0, prism=Prism(Region.of(outline), Frame(), 10.0))
    bore = SimpleNamespace(what="drill", upright=True, low=0.0, high=10.0, tool=Cylinder((2, 2, 0), (2, 2, 10), 1.0))
    low, high = _metal(SimpleNamespace(blank=blank, voids=[bore]), np.array([2.0, 8.0]), np.array([2.0, 8.0]))
    assert np.maximum(high - low, 0.0).sum(axis=2).tolist() == [[0.0, 10.0], [10.0, 0.0]]
