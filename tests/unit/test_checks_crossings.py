"""Bores that run into each other: the open area in line, what counts as narrower, and which bolts need not meet.

Sources: plane geometry written out beside each number.
"""

from __future__ import annotations

import math

import pytest

from platemaker.catalog import material
from platemaker.checks import Finding, Verdict
from platemaker.checks._metal._crossings import _in_line, check_crossings
from platemaker.parts import Hole, Kind, Operation, Part, PlateStock, Profile, ProfileKind, Side, Stack, Step, Tapping
from platemaker.plane import Loop, Region
from platemaker.space import Cylinder, Frame, Prism
from tests.plates import note_of

HIGH = 40.0


def along_z(x: float, radius: float, start: float, end: float, tilt: float = 0.0) -> Cylinder:
    return Cylinder((x, 0.0, start), (x + tilt, 0.0, end), radius)


THREE = along_z(0.0, 3.0, 10.0, 30.0)
"""Radius 3, 20 mm long."""


@pytest.mark.parametrize(
    ("other", "area"),
    [
        (along_z(0.0, 5.0, 10.0, 30.0), 9 * math.pi),
        (along_z(2.0, 5.0, 10.0, 30.0), 9 * math.pi),  # touches from inside
        (along_z(8.0, 5.0, 10.0, 30.0), 0.0),  # touches from outside
        (along_z(9.0, 5.0, 10.0, 30.0), 0.0),
        (along_z(0.0, 1.0, 10.0, 30.0), math.pi),  # the narrower of both
        # Radii 3 and 4 at 5 apart cut square: two sectors of half angles acos 0.6 and acos 0.8 less the kite of 3 x 4.
        (along_z(5.0, 4.0, 10.0, 30.0), 9 * math.acos(0.6) + 16 * math.acos(0.8) - 12),
        # Each through the other's middle: 2 pi r2/3 - sqrt(3)/2 r2.
        (along_z(3.0, 3.0, 10.0, 30.0), 9 * (2 * math.pi / 3 - math.sqrt(3) / 2)),
        # The common chord is a diameter of the narrower: its half, and the wider's sector less a triangle of 6 by 4 high.
        (along_z(4.0, 5.0, 10.0, 30.0), 4.5 * math.pi + 25 * math.acos(0.8) - 12),
    ],
)
def test_bores_in_line_share_the_lens_of_two_circles(other: Cylinder, area: float) -> None:
    """Taken too large, a passage that chokes passes."""
    assert _in_line(THREE, other) == (pytest.approx(area, abs=1e-9), 20.0)
    assert _in_line(other, THREE) == (pytest.approx(area, abs=1e-9), 20.0)
    (x, _, start), (_, _, end) = other.start, other.end
    assert _in_line(THREE, Cylinder((0.0, x, start), (0.0, x, end), other.radius)) == (
        pytest.approx(area, abs=1e-9),
        20.0,
    )


@pytest.mark.parametrize(
    ("start", "end", "spare"),
    [
        (25.0, 60.0, 5.0),  # 25 to 30
        (60.0, 25.0, 5.0),  # bored the other way
        (-20.0, 14.0, 4.0),  # 10 to 14
        (12.0, 19.0, 7.0),  # within
        (0.0, 50.0, 20.0),  # around
        (30.0, 50.0, 0.0),  # end to end
    ],
)
def test_how_far_bores_in_line_overlap_lengthwise(start: float, end: float, spare: float) -> None:
    """THREE reaches from 10 to 30, the other from start to end."""
    assert _in_line(THREE, along_z(1.0, 5.0, start, end)) == pytest.approx((9 * math.pi, spare))


@pytest.mark.parametrize(("start", "end", "short"), [(31.5, 50.0, -1.5), (-4.0, 8.0, -2.0)])
def test_bores_in_line_that_stop_short_of_each_other_share_nothing(start: float, end: float, short: float) -> None:
    assert _in_line(THREE, along_z(0.0, 5.0, start, end)) == pytest.approx((0.0, short))


def test_only_round_bores_on_parallel_axes_are_in_line() -> None:
    pocket = Prism(Region.of(Loop.rectangle(10, 10)), Frame.from_normal((0, 0, 0), (0, 0, 1)), HIGH)
    assert _in_line(THREE, along_z(0.0, 5.0, 10.0, 30.0, tilt=0.001)) is None
    assert _in_line(THREE, pocket) is None


def bore(name: str, x: float, side: Side, diameter: float, depth: float, **more: object) -> Hole:
    """A blind bore from a face of the block, on the line y = 0."""
    at, way = ((x, 0.0, HIGH), (0.0, 0.0, -1.0)) if side is Side.ABOVE else ((x, 0.0, 0.0), (0.0, 0.0, 1.0))
    return Hole(name, at, way, (Step(Operation.DRILL, diameter, 0.0, depth),), False, **more)  # type: ignore[arg-type]


def crossings(*cuts: Hole | Profile, kind: Kind = Kind.PLATE) -> list[Finding]:
    part = Part("block", "block", kind, material("6061-T6"), PlateStock(Region.of(Loop.rectangle(120, 60)), HIGH), cuts)
    return list(check_crossings(Stack("s", "s", "mm", (part,), (), ())))


def only(*cuts: Hole | Profile, kind: Kind = Kind.PLATE) -> Finding:
    (found,) = crossings(*cuts, kind=kind)
    return found


FROM_BELOW = bore("a", 0.0, Side.BELOW, 6.0, 20.0)
"""Up to z = 20."""


def test_a_wide_bore_need_open_no_more_than_the_narrow_one_that_it_runs_into() -> None:
    """A bore of 12 down to z = 15 over one of 6 up to z = 20: 9 pi of 9 pi; its middle lies at (40 + 15)/2."""
    found = only(bore("b", 0.0, Side.ABOVE, 12.0, 25.0, into=("a",)), FROM_BELOW)
    assert (found.check, found.features, found.measured, found.verdict) == ("PM611", ("b", "a"), 1.0, Verdict.PASS)
    assert found.value_of("open area") == found.value_of("narrower section") == pytest.approx(9 * math.pi)
    assert found.points == (pytest.approx((0.0, 0.0, 27.5)),)
    assert note_of(found) == ""


def test_a_bore_in_line_that_stops_short_is_told_how_much_deeper() -> None:
    """Down to z = 25 over a bore up to z = 20; nothing is open, of its own section: no narrower one was met."""
    found = only(bore("b", 0.0, Side.ABOVE, 4.0, 15.0, into=("a",)), FROM_BELOW)
    assert (found.measured, found.verdict) == (0.0, Verdict.FAIL)
    assert found.value_of("narrower section") == pytest.approx(4 * math.pi)
    assert note_of(found) == "5.000 mm deeper opens it fully"


@pytest.mark.parametrize(("apart", "verdict"), [(0.9, Verdict.PASS), (1.3, Verdict.CAUTION), (1.6, Verdict.FAIL)])
def test_bores_off_each_other_open_in_part_and_no_depth_helps(apart: float, verdict: Verdict) -> None:
    """Radii 3 and 4: the lens by Heron's formula, whole up to 1 mm apart; caution below 100 %, fail below 95 %.

    Down to z = 19.5 over a bore up to z = 20: deep enough.
    """
    found = only(bore("b", apart, Side.ABOVE, 8.0, 20.5, into=("a",)), FROM_BELOW)
    share = 1.0
    if apart > 1:
        triangle = math.sqrt((7 - apart) * (apart + 1) * (apart - 1) * (apart + 7)) / 2
        small, large = (apart**2 + 9 - 16) / (6 * apart), (apart**2 + 16 - 9) / (8 * apart)
        share = (9 * math.acos(small) + 16 * math.acos(large) - triangle) / (9 * math.pi)
    assert found.measured == pytest.approx(share, abs=1e-9)
    assert (found.verdict, note_of(found)) == (verdict, "")


@pytest.mark.parametrize("from_below", [True, False])
def test_the_step_that_a_bore_opens_into_counts(from_below: bool) -> None:
    """Counterbore of 20 and drill of 6: a bore of 12 in line meets the one or the other, 36 pi or 9 pi."""
    steps = (Step(Operation.COUNTERBORE, 20.0, 0.0, 10.0), Step(Operation.DRILL, 6.0, 10.0, 20.0))
    if from_below:
        target = Hole("a", (0.0, 0.0, 0.0), (0.0, 0.0, 1.0), steps, False)
        found = only(bore("b", 0.0, Side.ABOVE, 12.0, 25.0, into=("a",)), target)
        assert found.value_of("open area") == found.value_of("narrower section") == pytest.approx(9 * math.pi)
        return
    target = Hole("a", (0.0, 0.0, 30.0), (0.0, 0.0, -1.0), steps, False)  # the counterbore from z = 30 to 20
    found = only(bore("b", 0.0, Side.ABOVE, 12.0, 15.0, into=("a",)), target)  # down to z = 25
    assert found.value_of("open area") == found.value_of("narrower section") == pytest.approx(36 * math.pi)


def test_a_thread_and_a_drill_point_are_no_way_through() -> None:
    """A bore down to z = 18 over the point, z = 20 to 16.4, of a bore up to z = 16; over M10 the drill of 8.5 counts."""
    pointed = Hole("a", (0, 0, 0), (0, 0, 1), (Step(Operation.DRILL, 12.0, 0.0, 16.0),), False, tip_angle=118.0)
    assert only(bore("b", 0.0, Side.ABOVE, 12.0, 22.0, into=("a",)), pointed).measured == 0.0
    tapped = bore("a", 0.0, Side.BELOW, 8.5, 20.0, tapping=Tapping("M10", 10.0, 1.5, 20.0))
    found = only(bore("b", 0.0, Side.ABOVE, 12.0, 30.0, into=("a",)), tapped)
    assert found.value_of("narrower section") == pytest.approx(math.pi * 4.25**2)


@pytest.mark.parametrize(("depth", "share", "note"), [(30.0, 1.0, ""), (22.0, 0.0, "3.000 mm deeper opens it fully")])
def test_a_bore_into_a_pocket_opens_by_its_own_section(depth: float, share: float, note: str) -> None:
    """The pocket reaches from z = 0 to z = 15."""
    pocket = Profile("p", ProfileKind.POCKET, (Region.of(Loop.rectangle(30, 30)),), Side.BELOW, 15.0, False)
    found = only(bore("b", 0.0, Side.ABOVE, 8.0, depth, into=("p",)), pocket)
    assert (found.measured, note_of(found)) == (pytest.approx(share), note)
    assert found.value_of("narrower section") == pytest.approx(16 * math.pi)


@pytest.mark.parametrize(
    ("depth", "joint", "kind", "told"),
    [
        (25.0, "j", Kind.PLATE, 1), (15.0, "j", Kind.PLATE, 0), (15.0, None, Kind.PLATE, 1), (15.0, "j", Kind.RAIL, 1),
    ],
)  # fmt: skip
def test_not_every_bolt_of_a_joint_needs_to_meet_the_cut(
    depth: float, joint: str | None, kind: Kind, told: int
) -> None:
    """On a rail each must."""
    found = crossings(bore("b", 0.0, Side.ABOVE, 4.0, depth, into=("a",), joint=joint), FROM_BELOW, kind=kind)
    assert len(found) == told
