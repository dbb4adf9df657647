"""What a section shows of holes, threads, slopes and mouths, and the seats of heads, by hand."""

import math
from types import SimpleNamespace

import pytest

from platemaker.parts import Hole, Operation, Side, Step
from platemaker.plane import Arc, Line, Loop, Region
from platemaker.resolved._bolts import _slot_seat, open_space
from platemaker.resolved._cut_faces import _across, _axis, _bar, _squarely, _thread, meets_hole, through_axis
from platemaker.resolved._cutting import Cutting

Y, X = Cutting.ACROSS_Y, Cutting.ACROSS_X
DOWN = (0.0, 0.0, -1.0)


def hole(direction=DOWN, at=(10.0, 5.0, 20.0), **more):
    steps = (Step(Operation.COUNTERBORE, 15.0, 0.0, 4.0), Step(Operation.DRILL, 8.0, 4.0, 12.0))
    return Hole("h", at, direction, steps, through=False, **more)


def line(one):
    return *one.start, *one.end


@pytest.mark.parametrize(
    ("at", "meets", "through"),
    [(5.0, True, True), (5.39, True, True), (4.61, True, True), (5.45, True, False), (12.4, True, False),
     (-2.4, True, False), (12.6, False, False), (-2.6, False, False)],
)  # fmt: skip
def test_a_plane_beside_a_hole_meets_its_entry_of_15_and_shows_its_axis_within_a_twentieth_of_8(at, meets, through):
    assert meets_hole(hole(), Y, at) is meets
    assert through_axis(hole(), Y, at) is through
    axis = _axis(hole(), Y, at)
    assert (axis is not None) is through
    if axis is not None:
        assert line(axis) == (10, 20, 10, 8)


@pytest.mark.parametrize("sign", [1.0, -1.0])
@pytest.mark.parametrize(
    ("deep", "meets"), [(-0.1, False), (0.1, True), (3.9, True), (4.1, True), (11.9, True), (12.1, False)]
)
def test_a_plane_square_to_a_hole_meets_it_between_its_ends(sign, deep, meets):
    found = hole((0.0, sign, 0.0))
    assert meets_hole(found, Y, 5.0 + sign * deep) is meets
    assert not through_axis(found, Y, 5.0)


def test_a_slanted_hole_has_no_true_shape():
    assert not meets_hole(hole((0.0, 0.6, -0.8)), Y, 5.5)


def test_the_two_sides_of_a_hole_at_a_depth():
    assert _across(hole(), Y, 4.0, 3.0) == ((13.0, 16.0), (7.0, 16.0))
    assert _across(hole(), X, 4.0, 3.0) == ((8.0, 16.0), (2.0, 16.0))
    assert _across(hole((0.6, 0.0, -0.8)), Y, 5.0, 10.0) == (pytest.approx((21, 22)), pytest.approx((5, 10)))


def threads(at=5.0, end=10.0, depth=10.0, pipe=False):
    """M8 to a depth in a hole of 12; a pipe's narrows by 1 in 16."""
    made = SimpleNamespace(
        at=(10.0, 5.0, 20.0), direction=DOWN, depth=12.0, tapping=SimpleNamespace(is_taper=pipe, depth=depth),
        point=lambda deep: (10.0, 5.0, 20.0 - deep),
    )  # fmt: skip
    step = SimpleNamespace(wide=8.0, start=0.0, end=end)
    return list(_thread(SimpleNamespace(step=step), made, Y, at))


def test_a_thread_seen_from_the_side():
    [found] = threads()
    assert [line(side) for side in found.sides] == [(14, 20, 14, 10), (6, 20, 6, 10)]
    assert line(found.end) == (14, 10, 6, 10)
    assert found.runs_out
    assert not threads(end=12.0, depth=12.0)[0].runs_out  # as deep as the hole
    assert not threads(end=6.0)[0].runs_out  # cut off earlier than the thread is stated to go


def test_a_taper_thread_narrows_by_a_sixteenth_of_its_length():
    """8 less 10 / 16: 7.375."""
    [found] = threads(pipe=True)
    assert line(found.end) == pytest.approx((10 + 3.6875, 10, 10 - 3.6875, 10))


@pytest.mark.parametrize(("off", "half"), [(2.4, 3.2), (-2.4, 3.2), (3.9, math.sqrt(16 - 3.9**2)), (4.1, None)])
def test_a_thread_off_its_axis_is_as_wide_as_its_chord(off, half):
    found = threads(5.0 + off)
    if half is None:
        assert found == []
    else:
        assert line(found[0].end) == pytest.approx((10 + half, 10, 10 - half, 10))


def test_a_bar_of_a_bent_leg():
    assert _bar(-12.0, 12.5, 3.0, 8.0).bounds == (-12.0, 3.0, 12.5, 8.0)
    assert _bar(-12.0, 12.5, 3.0, 8.0).area == pytest.approx(24.5 * 5)


@pytest.mark.parametrize("up", [True, False])
def test_a_mouth_met_squarely(up):
    """An opening of 20 with a mouth of 3: a chamfer is a trapezium, beside a quarter round 9 less a quarter of 9 pi is open."""
    foot, face, out = (7.0, 10.0, 11.0) if up else (3.0, 0.0, -1.0)
    rim = [(-13.0, face), (-13.0, out), (13.0, out), (13.0, face)]
    chamfer = _squarely((-10.0, 10.0), rim, Line((0.0, foot), (3.0, face)), up)
    assert abs(chamfer.area) == pytest.approx((20 + 26) / 2 * 3 + 26)
    growing = Arc((0.0, foot), (3.0, face), (3.0, foot), 3.0, not up)
    quarter = _squarely((-10.0, 10.0), rim, growing, up)
    low, high = sorted((foot, out))
    assert abs(quarter.area) == pytest.approx(20 * 3 + 26 + 2 * (9 - math.pi * 9 / 4))
    assert Region.of(quarter).bounds == pytest.approx((-13, low, 13, high))


@pytest.mark.parametrize(("side", "height", "out"), [(Side.BELOW, 12.0, 1.0), (Side.ABOVE, 0.0, -1.0)])
def test_a_head_over_a_slot_bears_on_the_face_away_from_its_joint(side, height, out):
    """A lid of 12 whose joint is below: the head stands on its upper face, over a slot 9 wide."""
    part = SimpleNamespace(
        name="lid", material=None, places=(), stock=SimpleNamespace(height=12.0),
        face_height=lambda face: 12.0 if face is Side.ABOVE else 0.0,
    )  # fmt: skip
    mounting = SimpleNamespace(side=side, in_plan=lambda spot: (spot[0] + 100.0, spot[1]))
    joint = SimpleNamespace(spots={"s": (3.0, 4.0)})
    slot = SimpleNamespace(regions=(Region.of(Loop.slot(24, 9, (103.0, 4.0))),))
    found = _slot_seat(SimpleNamespace(part=part, mounting=mounting, joint=joint), slot, "s")
    assert (found.at, found.out) == ((103.0, 4.0, height), (0.0, 0.0, out))
    assert (found.metal, found.thickness) == (12.0, 12.0)
    assert found.bore == pytest.approx(9.0)
    assert not found.placed
    assert _slot_seat(SimpleNamespace(part=None, mounting=mounting, joint=joint), slot, "s") is None


def test_a_pocket_over_a_thread_is_crossed():
    assert open_space(None) == []
    assert open_space(SimpleNamespace(sunk=0.0)) == []
    [found] = open_space(SimpleNamespace(sunk=3.0))
    assert (found.thickness, found.soft) == (3.0, True)
