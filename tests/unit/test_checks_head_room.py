"""Room round heads and wrenches: on both faces, against pockets, counterbores, slanted bores and other heads.

Sources: distances in the plan by hand; head of an M8 cap screw 13 mm (ISO 4762); of an M8 hexagon 13 mm across flats
(ISO 4014); washers of M8 16 mm (ISO 7089); outside of the 13 mm socket from the catalog's table.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from pathlib import Path

import pytest

from platemaker.catalog import LimitName, material, socket_wrench
from platemaker.checks import Finding, Verdict
from platemaker.checks._bolts._seats import _nearest_heads, _wrench_neighbours, check_seats, seat_z
from platemaker.checks._limits import limit_for
from platemaker.parts import Hole, Kind, Operation, Part, PlateStock, Profile, ProfileKind, Screw, Side, Stack, Step
from platemaker.plane import Loop, Point, Region
from tests.plates import stack_of

THICK, SEAT = 20.0, 13.0
WRENCH = socket_wrench(13.0).outside_diameter / 2


def bolt(
    name: str, at: Point, side: Side = Side.ABOVE, *, head: str = "socket", sunk: float = 0.0, wide: float = 22.0
) -> Hole:
    """A clearance hole for M8 with its head on a face, or sunk into a counterbore there."""
    z, way = (THICK, -1.0) if side is Side.ABOVE else (0.0, 1.0)
    drill = Step(Operation.DRILL, 9.0, sunk, THICK)
    steps = (Step(Operation.COUNTERBORE, wide, 0.0, sunk), drill) if sunk else (drill,)
    return Hole(name, (*at, z), (0.0, 0.0, way), steps, True, bolt="M8", screw=Screw(head))


def box(name: str, kind: ProfileKind, side: Side, wide: float, depth: float = 5.0, at: Point = (0.0, 0.0)) -> Profile:
    shape = (Region.of(Loop.rectangle(wide, wide, centre=at)),)
    return Profile(
        name, kind, shape, side, THICK if kind is ProfileKind.OPENING else depth, kind is ProfileKind.OPENING
    )


def plate(*cuts: Hole | Profile) -> Part:
    stock = PlateStock(Region.of(Loop.rectangle(160, 120)), THICK)
    return Part("plate", "plate", Kind.PLATE, material("6061-T6"), stock, cuts)


def seats(*cuts: Hole | Profile) -> list[Finding]:
    return list(check_seats(Stack("s", "s", "mm", (plate(*cuts),), (), ())))


def room(*cuts: Hole | Profile) -> Finding:
    """The room round the head of the screw called bolt."""
    (found,) = [one for one in seats(*cuts) if one.check == "PM401" and one.features[0] == "bolt"]
    return found


@pytest.mark.parametrize("side", list(Side))
@pytest.mark.parametrize("lean", [20.0, 45.0])
def test_a_slanted_bore_ends_the_flat_on_either_face(side: Side, lean: float) -> None:
    """Half axis r / cos along the lean, about the point where the axis meets the face, 30 mm from the screw."""
    sine, cosine = math.sin(math.radians(lean)), math.cos(math.radians(lean))
    z, way = (THICK, -1.0) if side is Side.ABOVE else (0.0, 1.0)
    steps = (Step(Operation.DRILL, 8.0, 0.0, 10.0),)
    found = room(bolt("bolt", (-30.0, 0.0), side), Hole("feed", (0.0, 0.0, z), (sine, 0.0, way * cosine), steps, False))
    assert found.features == ("bolt", "feed")
    assert found.measured == pytest.approx(30 - 4 / cosine - SEAT / 2, abs=2e-6)  # the slice is 1e-6 mm thick
    assert found.points == ((-30.0, 0.0, z), pytest.approx((-4 / cosine, 0.0, z), abs=1e-5))
    # Blind, it leaves the other face whole: the outline ends the flat there, 50 mm off.
    other = room(
        bolt("bolt", (-30.0, 0.0), side.other), Hole("feed", (0.0, 0.0, z), (sine, 0.0, way * cosine), steps, False)
    )
    assert (other.features[1], other.measured) == ("outline", pytest.approx(50 - SEAT / 2))


@pytest.mark.parametrize("side", list(Side))
@pytest.mark.parametrize(("kind", "on_face", "ends"), [
    (ProfileKind.POCKET, True, "box"), (ProfileKind.POCKET, False, "outline"),
    (ProfileKind.OPENING, True, "box"), (ProfileKind.OPENING, False, "box"),
])  # fmt: skip
def test_what_breaks_the_heads_face_ends_its_flat(side: Side, kind: ProfileKind, on_face: bool, ends: str) -> None:
    """A box of 20 at the middle, 20 mm from the screw at -30; a pocket in the other face leaves the flat whole."""
    found = room(bolt("bolt", (-30.0, 0.0), side), box("box", kind, side if on_face else side.other, 20.0))
    assert (found.features[1], found.measured) == (ends, pytest.approx((20 if ends == "box" else 50) - SEAT / 2))
    assert found.value_of("to the end of the flat") == pytest.approx(20 if ends == "box" else 50)
    assert found.value_of("seat diameter") == SEAT


def test_the_nearest_hole_ends_the_flat_by_its_rim_on_that_face() -> None:
    """Blind holes of 10 from above, 25 mm off, and from below, 20 mm off; above 25 - 5 count, below 20 - 5."""
    steps = (Step(Operation.DRILL, 10.0, 0.0, 8.0),)
    above = Hole("above", (-5.0, 0.0, THICK), (0.0, 0.0, -1.0), steps, False)
    below = Hole("below", (-30.0, 20.0, 0.0), (0.0, 0.0, 1.0), steps, False)
    for side, ends, off in ((Side.ABOVE, "above", 20.0), (Side.BELOW, "below", 15.0)):
        found = room(bolt("bolt", (-30.0, 0.0), side), above, below)
        assert (found.features[1], found.measured) == (ends, pytest.approx(off - SEAT / 2))


@pytest.mark.parametrize(("side", "z"), [(Side.ABOVE, THICK), (Side.BELOW, 0.0)])
def test_a_counterbore_has_its_room_round_the_head(side: Side, z: float) -> None:
    """(22 - 13)/2; one of 14.6 has 0.8 mm all round."""
    found = room(bolt("bolt", (-30.0, 0.0), side, sunk=8.0))
    assert (found.features[1], found.measured) == ("counterbore", pytest.approx(4.5))
    assert found.points == ((-30.0, 0.0, z),)
    assert room(bolt("bolt", (-30.0, 0.0), side, sunk=8.0, wide=14.6)).measured == pytest.approx(0.8)


@pytest.mark.parametrize(("side", "pocket", "z"), [
    (Side.ABOVE, 0.0, 20.0), (Side.ABOVE, 6.0, 14.0), (Side.BELOW, 0.0, 0.0), (Side.BELOW, 6.0, 6.0),
])  # fmt: skip
def test_where_a_head_stands(side: Side, pocket: float, z: float) -> None:
    """On the face, or on the floor of a pocket 6 mm deep."""
    cuts = [bolt("bolt", (0.0, 0.0), side), *([box("p", ProfileKind.POCKET, side, 40.0, pocket)] if pocket else [])]
    assert seat_z(plate(*cuts), bolt("bolt", (0.0, 0.0), side)) == pytest.approx(z)


def test_the_edge_distance_is_from_the_axis_in_diameters() -> None:
    """68 mm along X from the middle, 12 from the edge at 80: 12/8, and 24 of M8 below Y = 60: 3."""
    by = {
        one.features[0]: one
        for one in seats(bolt("x", (68.0, 0.0)), bolt("y", (0.0, 36.0), Side.BELOW))
        if one.check == "PM301"
    }
    assert by["x"].measured == pytest.approx(1.5)
    assert by["x"].points == ((68.0, 0.0, THICK), pytest.approx((80.0, 0.0, THICK)))
    assert by["y"].measured == pytest.approx(3.0)
    assert by["y"].points == ((0.0, 36.0, 0.0), pytest.approx((0.0, 60.0, 0.0)))
    assert (by["x"].value_of("e"), by["x"].value_of("D")) == (pytest.approx(12.0), 8.0)


def wrenches(*cuts: Hole | Profile) -> dict[tuple[str, ...], float]:
    return {one.features: one.measured or 0.0 for one in seats(*cuts) if one.check == "PM402"}


def test_a_wrench_needs_room_beside_the_next_head_and_in_its_own_pocket() -> None:
    """A hexagon 30 mm from a cap screw, whose head is 13 wide; the wall of a pocket of 40 is 20 mm off."""
    hexes = [bolt("bolt", (0.0, 0.0), head="hex"), bolt("next", (30.0, 0.0))]
    assert wrenches(*hexes) == {("bolt", "next"): pytest.approx(30 - SEAT / 2 - WRENCH)}
    both = wrenches(bolt("bolt", (0.0, 0.0), head="hex"), box("p", ProfileKind.POCKET, Side.ABOVE, 40.0))
    assert both == {("bolt", "p"): pytest.approx(20 - WRENCH)}
    for away in (
        box("p", ProfileKind.POCKET, Side.BELOW, 40.0),
        box("p", ProfileKind.POCKET, Side.ABOVE, 40.0, at=(50.0, 0.0)),
    ):
        assert wrenches(bolt("bolt", (0.0, 0.0), head="hex"), away) == {}  # of the other face; beside the head


def test_a_wrench_goes_into_the_counterbore_of_a_hexagon() -> None:
    """A counterbore of 30 about the head: 15 mm from the axis, 11 of the next one's, which stands on the other face."""
    found = wrenches(
        bolt("bolt", (0.0, 0.0), head="hex", sunk=8.0, wide=30.0), bolt("back", (20.0, 0.0), Side.BELOW, head="hex")
    )
    assert found == {("bolt", "counterbore"): pytest.approx(15 - WRENCH)}


def heads(*rows: tuple[Hole, str]) -> list[tuple[Hole, tuple[str, bool]]]:
    return [(hole, (kind, False)) for hole, kind in rows]


def test_which_head_is_next_to_which() -> None:
    """Cap heads of 13 on one line at 0, 30 and 50; the sunk hexagon sees the proud ones, they do not see it."""
    a, b, c = (bolt(name, (x, 0.0)) for name, x in (("a", 0.0), ("b", 30.0), ("c", 50.0)))
    sunk = bolt("sunk", (12.0, 5.0), head="hex", sunk=8.0)
    below = bolt("below", (31.0, 0.0), Side.BELOW)
    found = _nearest_heads(heads((a, "socket"), (b, "socket"), (c, "socket"), (sunk, "hex"), (below, "socket")))
    off = {name: (other.name, free) for name, (other, free) in found.items()}
    assert off == {
        "a": ("b", pytest.approx(30 - SEAT / 2)), "b": ("c", pytest.approx(20 - SEAT / 2)),
        "c": ("b", pytest.approx(20 - SEAT / 2)), "sunk": ("a", pytest.approx(13 - SEAT / 2)),
    }  # fmt: skip


def test_a_wider_head_farther_off_may_be_nearer() -> None:
    """With a washer of 16 the rim of the head at 30 is 22 off, of the bare one at -29 22.5."""
    a, b, c = (bolt(name, (x, 0.0)) for name, x in (("a", 0.0), ("b", 30.0), ("c", -29.0)))
    found = _nearest_heads([(a, ("socket", False)), (b, ("socket", True)), (c, ("socket", False))])
    assert (found["a"][0].name, found["a"][1]) == ("b", pytest.approx(22.0))


def test_what_stands_in_the_way_of_a_wrench() -> None:
    """Its own counterbore towards +X, the pocket that it stands in, the next head, in this order."""
    hole, other = bolt("bolt", (3.0, 4.0), head="hex", sunk=8.0, wide=30.0), bolt("b", (40.0, 4.0))
    part = plate(hole, other, box("p", ProfileKind.POCKET, Side.ABOVE, 50.0))
    found: Sequence[tuple[str, Point, float]] = list(_wrench_neighbours(part, hole, {"bolt": (other, 30.5)}))
    assert [(name, free) for name, _, free in found] == [("counterbore", 15.0), ("p", pytest.approx(21.0)), ("b", 30.5)]
    assert found[0][1] == (18.0, 4.0)
    assert found[1][1] == pytest.approx((3.0, 25.0))  # the pocket's wall at Y = 25
    assert found[2][1] == (40.0, 4.0)


def test_a_wrench_from_both_sides_of_its_limit() -> None:
    limit = limit_for(plate(), LimitName.WRENCH_CLEARANCE)
    assert limit is not None
    apart = WRENCH + SEAT / 2 + limit.fail
    for off, verdict in ((0.01, {Verdict.PASS, Verdict.CAUTION}), (-0.01, {Verdict.FAIL})):
        (found,) = [
            one
            for one in seats(bolt("bolt", (0.0, 0.0), head="hex"), bolt("b", (apart + off, 0.0)))
            if one.check == "PM402"
        ]
        assert found.verdict in verdict
        assert found.value_of("wrench diameter") == pytest.approx(2 * WRENCH)


THREE_PLATES = """
project: sandwich
parts:
  base: {kind: plate, material: 6061-T6, thickness: 20, outline: {rectangle: [100, 60]}, place: {at: [0, 0, 0]},
    holes: {a: {at: [10, 5], clear: M6}}}
  middle: {kind: plate, material: 6061-T6, thickness: 8, outline: {rectangle: [100, 60]}, place: {at: [0, 0, 20]},
    holes: {b: {at: [10, 5], clear: M6}}}
  top: {kind: plate, material: S235, thickness: 6, outline: {rectangle: [100, 60]}, place: {at: [0, 0, 28]},
    holes: {c: {at: [10, 5], clear: M6, side: SIDE}}}
"""


@pytest.mark.parametrize("side", list(Side))
def test_a_screw_through_three_plates_has_its_head_on_one_and_its_nut_on_another(tmp_path: Path, side: Side) -> None:
    """From (10, 5) to the edge at Y = 30: 25 mm; M6 cap head 10 (ISO 4762); nut 10 across flats (ISO 4032), 10/cos 30 over its corners.

    The head stands on the top, the nut under the base, whichever face the holes are drilled from; nothing on the middle.
    """
    stack = stack_of(tmp_path, THREE_PLATES.replace("SIDE", side.value))
    found = {one.part: one for one in check_seats(stack) if one.check == "PM401"}
    assert {name: (one.features, one.points[0]) for name, one in found.items()} == {
        "top": (("c", "outline"), pytest.approx((10.0, 5.0, 6.0))),
        "base": (("a", "outline"), pytest.approx((10.0, 5.0, 0.0))),
    }
    assert [found[name].measured for name in ("top", "base")] == pytest.approx([20.0, 25 - 5 / math.cos(math.pi / 6)])
