"""Walls and clearances in space over random blocks: rigid motion, mirroring and radius change them as they must."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from platemaker.catalog import material
from platemaker.checks._metal._metal import check_metal
from platemaker.parts import Hole, Kind, Operation, Part, PlateStock, Stack, Step
from platemaker.plane import Loop, Region, rotated
from platemaker.records import replace
from platemaker.space import Cylinder, Frame, Prism, apart, box, separation

HEIGHT = 40.0
slanted = st.tuples(st.floats(-25, 25), st.floats(-25, 25), st.floats(0, 30), st.floats(0, 360), st.floats(4, 12))


def hole(name: str, x: float, y: float, lean: float, turn: float, wide: float) -> Hole:
    a, b = math.radians(lean), math.radians(turn)
    way = (math.sin(a) * math.cos(b), math.sin(a) * math.sin(b), -math.cos(a))
    depth = HEIGHT / math.cos(a) + wide * math.tan(a)
    return Hole(name, (x, y, HEIGHT), way, (Step(Operation.DRILL, wide, 0.0, depth),), through=True)


def least(holes: list[Hole], outline: Loop) -> float:
    stock = PlateStock(Region.of(outline), HEIGHT)
    part = Part("block", "block", Kind.PLATE, material("6061-T6"), stock, tuple(holes))
    found = [one for one in check_metal(Stack("s", "s", "mm", (part,), (), ())) if set(one.features) == {"a", "b"}]
    return min((float(one.measured or 0.0) for one in found), default=math.inf)


def turned(one: Hole, angle: float) -> Hole:
    x, y = rotated((one.at[0], one.at[1]), angle)
    u, v = rotated((one.direction[0], one.direction[1]), angle)
    return replace(one, at=(x, y, one.at[2]), direction=(u, v, one.direction[2]))


@settings(max_examples=20, deadline=None)
@given(slanted, slanted, st.floats(0, 360))
def test_turning_the_block_changes_no_wall(a: tuple[float, ...], b: tuple[float, ...], angle: float) -> None:
    pair = [hole("a", *a[:2], max(a[2], 1.0), *a[3:]), hole("b", *b[:2], max(b[2], 1.0), *b[3:])]
    disc = Loop.circle((0.0, 0.0), 200.0)
    before, after = least(pair, disc), least([turned(one, angle) for one in pair], disc)
    if before > 0:  # a depth below 0 is measured to the solver's own bound, which is stated there
        assert after == pytest.approx(before, abs=1e-6)


@settings(max_examples=20, deadline=None)
@given(slanted, slanted, st.floats(0.1, 3.0))
def test_a_wider_bore_leaves_less(a: tuple[float, ...], b: tuple[float, ...], more: float) -> None:
    one, other = hole("a", *a[:2], max(a[2], 1.0), *a[3:]), hole("b", *b)
    wider = replace(other, steps=(replace(other.steps[0], diameter=other.steps[0].diameter + more),))
    disc = Loop.circle((0.0, 0.0), 200.0)
    assert least([one, wider], disc) <= least([one, other], disc) + 1e-6


@settings(max_examples=60, deadline=None)
@given(st.floats(0, 20), st.floats(0.5, 12), st.floats(-30, 30), st.floats(-3, 3))
def test_apart_agrees_with_separation(ring: float, radius: float, x: float, z: float) -> None:
    """A post over, in or beside a holed plate: `apart` says None exactly where the separation is below 0."""
    region = Region.of(Loop.rectangle(80, 80), [Loop.circle((0.0, 0.0), ring + 1.0)])
    plate = Prism(region, Frame(), 10.0)
    post = Cylinder((x, 0.0, 10.0 + z), (x, 0.0, 30.0), radius)
    exact, quick = separation(plate, post).distance, apart(plate, post)
    if exact > 1e-9:
        assert quick is not None
        assert quick.distance == pytest.approx(exact, abs=1e-9)
    elif exact < -1e-5:
        assert quick is None


@pytest.mark.parametrize("over", [-0.5, -1e-7, 0.0, 1e-7, 0.5])
def test_a_post_that_covers_a_hole_stands_on_the_plate(over: float) -> None:
    """Wider than the hole that it covers, the post meets the plate all round it: its height over the face is the gap."""
    plate = Prism(Region.of(Loop.rectangle(60, 60), [Loop.circle((0.0, 0.0), 5.0)]), Frame(), 10.0)
    found = separation(plate, Cylinder((0.0, 0.0, 10.0 + over), (0.0, 0.0, 20.0), 8.0)).distance
    assert found == pytest.approx(over, abs=1e-9)
    assert separation(plate, box((-9, -9, 10 + over), (9, 9, 20))).distance == pytest.approx(over, abs=1e-9)
