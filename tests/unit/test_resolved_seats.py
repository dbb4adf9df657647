"""Where heads and nuts bear, how much thread is left, and which holes lie in line: small cases by hand.

Expected numbers are arithmetic on sizes stated here; ISO 273 medium (from memory): M8 in 9.
"""

import math
from types import SimpleNamespace

import pytest

from platemaker.catalog import material, thread
from platemaker.parts import Hole, Kind, Operation, Part, PlateStock, Profile, ProfileKind, Role, Side, Step, StripStock
from platemaker.parts._records._cuts import Tapping
from platemaker.plane import Loop, Region
from platemaker.records import replace
from platemaker.resolved._bolt import Clamp
from platemaker.resolved._bolts import _body_seat, _tapped, alike, hole_seat, metal_of, seat_depth, tapped_end
from platemaker.resolved._over_holes import _chains, _HoleEnd, _layers, _meet, _Met, _size, _takes, _turned, _walk
from platemaker.space import Frame

DOWN, UP = (0.0, 0.0, -1.0), (0.0, 0.0, 1.0)
AS_DRAWN = (Frame(),)


def hole(name="h", direction=DOWN, diameter=9.0, depth=20.0, counterbore=0.0, at=(10.0, 5.0), through=True, **more):
    z = 20.0 if direction == DOWN else 0.0
    steps = [Step(Operation.DRILL, diameter, counterbore, depth)]
    if counterbore:
        steps.insert(0, Step(Operation.COUNTERBORE, 15.0, 0.0, counterbore))
    return Hole(name, (*at, z), direction, tuple(steps), through=through, **more)


def pocket(side, depth, at=(10.0, 5.0), through=False, radius=15.0):
    region = Region(Loop.circle(at, radius))
    return Profile(f"{side.value} {depth}", ProfileKind.POCKET, (region,), side, depth, through)


def well(side, depth, at=(10.0, 5.0)):
    z, way = (20.0, DOWN) if side is Side.ABOVE else (0.0, UP)
    return Hole("well", (*at, z), way, (Step(Operation.BORE, 30.0, 0.0, depth),), through=False)


def plate(*cuts, places=AS_DRAWN, name="lid"):
    stock = PlateStock(Region.of(Loop.rectangle(200.0, 200.0)), 20.0)
    return Part(name, name, Kind.PLATE, material("6061-T6"), stock, cuts, places=places)


@pytest.mark.parametrize(
    ("pockets", "counterbore", "near", "far"),
    [
        ([], 0.0, 0.0, 0.0),
        ([], 4.0, 4.0, 0.0),
        ([pocket(Side.ABOVE, 6.0)], 4.0, 6.0, 0.0),  # the head sinks to the deeper floor
        ([pocket(Side.ABOVE, 3.0)], 4.0, 4.0, 0.0),
        ([pocket(Side.BELOW, 3.0)], 4.0, 4.0, 3.0),
        ([pocket(Side.BELOW, 3.0), pocket(Side.BELOW, 5.0)], 0.0, 0.0, 5.0),
        ([pocket(Side.ABOVE, 20.0, through=True)], 0.0, 0.0, 0.0),
        ([pocket(Side.ABOVE, 6.0, at=(50.0, 5.0))], 0.0, 0.0, 0.0),
        ([well(Side.ABOVE, 6.0)], 4.0, 6.0, 0.0),  # bored or milled, it is the same floor
        ([well(Side.BELOW, 5.0)], 0.0, 0.0, 5.0),
        ([well(Side.ABOVE, 6.0, at=(50.0, 5.0))], 0.0, 0.0, 0.0),
    ],
)
def test_how_far_below_its_face_a_head_or_a_nut_sits(pockets, counterbore, near, far):
    """Wrong by the depth of a pocket, every grip and length is."""
    one = hole(counterbore=counterbore)
    part = plate(one, *pockets)
    assert seat_depth(part, one) == near
    assert seat_depth(part, one, far=True) == far
    head = hole_seat(part, one)
    assert (head.at, head.out, head.metal, head.thickness, head.bore) == ((10, 5, 20 - near), UP, 20 - near, 20, 9)
    assert head.sunk is (near > 0)
    nut = hole_seat(part, one, far=True)
    assert (nut.at, nut.out, nut.metal, nut.thickness) == ((10, 5, far), DOWN, 20 - far, 20)
    assert nut.sunk is (far > 0)


def test_a_seat_stands_where_its_part_does():
    """Turned over, its top down: the seat, 16 up in the part, lies 16 below the place; without one place it has none."""
    over = Frame((100.0, 50.0, 30.0), (1.0, 0.0, 0.0), (0.0, -1.0, 0.0))
    seat = hole_seat(plate(places=(over,)), hole(counterbore=4.0))
    assert seat.at == pytest.approx((110, 45, 30 - 16))
    assert seat.out == pytest.approx(DOWN)
    assert (seat.placed, seat.local) == (True, (10, 5, 20))
    for places in ((), (over, over)):
        assert hole_seat(plate(places=places), hole()).placed is False
    assert hole_seat(plate(), hole(direction=UP)).out == DOWN
    strip = replace(plate(hole(at=(10.0, 0.0))), stock=StripStock(40.0, 5.0, (100.0,), ()))
    assert (hole_seat(strip, hole()).metal, hole_seat(strip, hole()).thickness) == (5.0, 5.0)


def tapped(depth=15.0, insert=0.0, direction=DOWN, **more):
    tapping = Tapping("M8", 8.0, 1.25, depth, insert)
    return hole(direction=direction, diameter=6.8, tapping=tapping, bolt="M6" if insert else "M8", **more)


@pytest.mark.parametrize(
    ("pockets", "depth", "left", "sunk"),
    [
        ([], 15.0, 15.0, 0.0),
        ([], 20.0, 20.0, 0.0),
        ([pocket(Side.ABOVE, 3.0)], 15.0, 12.0, 3.0),
        ([pocket(Side.BELOW, 8.0)], 15.0, 12.0, 0.0),  # metal down to 12
        ([pocket(Side.BELOW, 4.0)], 15.0, 15.0, 0.0),  # metal down to 16
        ([pocket(Side.ABOVE, 3.0), pocket(Side.BELOW, 8.0)], 15.0, 9.0, 3.0),
        ([pocket(Side.ABOVE, 18.0)], 15.0, 0.0, 18.0),
        ([well(Side.ABOVE, 3.0)], 15.0, 12.0, 3.0),
        ([well(Side.BELOW, 8.0)], 15.0, 12.0, 0.0),
    ],
)
def test_pockets_take_thread_away_at_both_ends(pockets, depth, left, sunk):
    """Thread that is not there must not hold a bolt."""
    one = tapped(depth)
    end = tapped_end(plate(one, *pockets), one)
    assert (end.depth, end.sunk, end.thickness, end.designation, end.insert) == (left, sunk, 20, "M8", False)
    assert end.through is True


@pytest.mark.parametrize(
    ("cut", "left", "sunk"),
    [
        (pocket(Side.ABOVE, 3.0, at=(26.5, 5.0)), 12.0, 3.0),  # its edge 1.5 past the axis: a third of the flanks go
        (pocket(Side.BELOW, 8.0, at=(26.5, 5.0)), 12.0, 0.0),
        (pocket(Side.ABOVE, 3.0, at=(28.7, 5.0)), 15.0, 0.0),  # 3.7 past it: 0.3 of a thread from 3.4 to 4
        (pocket(Side.ABOVE, 20.0, through=True), 0.0, 20.0),
        (pocket(Side.ABOVE, 20.0, through=True, radius=3.75), 0.0, 20.0),  # inside the thread, wider than its drill
        (pocket(Side.ABOVE, 20.0, through=True, radius=3.43), 15.0, 0.0),  # (3.43^2 - 3.4^2) / (4^2 - 3.4^2) = 4.6 %
    ],
)
def test_a_cut_that_takes_the_flanks_takes_the_thread(cut, left, sunk):
    """An opening on the same axis leaves no thread, though none of it is blind; so does a pocket beside the axis."""
    one = tapped()
    end = tapped_end(plate(one, cut), one)
    assert (end.depth, end.sunk) == (left, sunk)


def passage(z, diameter, y=5.0, way=(1.0, 0.0, 0.0)):
    start = tuple(at - 100.0 * u for at, u in zip((10.0, y, z), way, strict=True))
    return Hole("passage", start, way, (Step(Operation.BORE, diameter, 0.0, 200.0),), through=True)


@pytest.mark.parametrize(
    ("bore", "left"),
    [
        (passage(8.0, 11.0), 12 - 5.5),  # its axis 12 below the face, its near side 5.5 above that
        (passage(6.0, 3.0), 14 - 1.5),
        (passage(8.0, 11.0, y=12.0), 12 - math.sqrt(5.5**2 - 3**2)),  # 7 aside: 3 beyond the thread's own 4
        (passage(8.0, 11.0, y=15.0), 15.0),  # 10 aside: they do not meet
        (passage(3.0, 3.0), 15.0),  # it begins 15.5 deep, behind the thread
        (passage(8.0, 6.0, way=(0.6, 0.0, 0.8)), 12 - (3 + 4 * 0.8) / 0.6),  # aslant: its near side rises to 1.67
    ],
)
def test_a_bore_that_crosses_a_thread_ends_it(bore, left):
    """M8, 15 deep from the face at 20: no thread is counted behind the first place that the bore takes away."""
    one = tapped(15.0)
    assert tapped_end(plate(one, bore), one).depth == pytest.approx(left)


def test_an_insert_holds_over_its_own_length():
    """ASME B18.29.2M: when it is wound in, three quarters of a pitch less: 12 - 0.75 x 1.25, in 15 of thread.

    From the floor of a pocket of 3 it is wound into the 12 that are left; one of 8, or one of 14 behind, leaves too few.
    """
    end = tapped_end(plate(), tapped(insert=12.0))
    assert (end.depth, end.insert, end.designation) == (pytest.approx(12 - 0.9375), True, "M6")
    for side, depth, left in ((Side.ABOVE, 3.0, 12 - 0.9375), (Side.ABOVE, 8.0, 7.0), (Side.BELOW, 14.0, 6.0)):
        one = tapped(insert=12.0)
        assert tapped_end(plate(one, pocket(side, depth)), one).depth == pytest.approx(left)
    assert tapped_end(plate(), hole()) is None
    assert tapped_end(plate(), tapped(fitting=(20.0, 30.0))) is None  # for a pipe fitting


def a_bolt(gap=0.0, *, group="j", metal=10.0, bore=9.0, depth=12.0, nut=None, loose="", count=1):
    end = None if depth is None else SimpleNamespace(depth=depth)
    return SimpleNamespace(
        group=group,
        seat=SimpleNamespace(metal=metal, bore=bore),
        gap=gap,
        tapped=end,
        nut=nut,
        loose=loose,
        count=count,
    )


def test_bolts_on_a_level_joint_are_one_kind_with_their_count():
    bolts = [a_bolt(), a_bolt(count=3), a_bolt(0.5e-9)]
    assert alike(bolts) == [(bolts[0], 5)]


@pytest.mark.parametrize(
    "other",
    [
        {"group": "k"},
        {"metal": 11.0},
        {"bore": 10.0},
        {"depth": 13.0},
        {"depth": None},
        {"nut": SimpleNamespace(metal=9.0, bore=9.0)},
        {"loose": "no"},
    ],
)
def test_bolts_that_end_otherwise_are_another_kind(other):
    one, two = a_bolt(), a_bolt(**other)
    assert alike([one, two, one]) == [(one, 2), (two, 1)]


def test_a_tapered_shim_has_a_thinnest_and_a_thickest_place():
    """From 1 to 2 mm: each of the bolts counts with the nearer end, one in the middle with the thick one."""
    bolts = [a_bolt(gap, count=count) for gap, count in ((1.4, 1), (2.0, 2), (1.0, 3), (1.6, 4), (1.5, 5))]
    assert alike(bolts) == [(bolts[2], 3 + 1), (bolts[1], 2 + 4 + 5)]


def joint_of(face, frame=None, up=0.0):
    bolts = SimpleNamespace(thread=thread("M8"), fit="medium")
    joint = SimpleNamespace(bolts=bolts, spots={"1": (30.0, 40.0)})
    return SimpleNamespace(joint=joint, frame=frame, height_of=lambda side, gap: up + gap, sides=())


@pytest.mark.parametrize(("side", "z", "out"), [(Side.BELOW, 5 + 1.5 + 12, UP), (Side.ABOVE, 5 + 1.5 - 12, DOWN)])
def test_a_head_bears_on_the_far_side_of_a_bodys_flange(side, z, out):
    """12 thick, on a joint's face 5 up with 1.5 of gasket. The hole is 9 for an M8."""
    face = SimpleNamespace(flange_thickness=12.0, role=Role.CLEAR, side=side, material=None)
    own = SimpleNamespace(face=face, owner="block")
    free = _body_seat(joint_of(face, up=5.0), own, "1", 1.5)
    assert (free.at, free.out, free.metal, free.thickness, free.bore) == ((30, 40, z), out, 12, 12, 9)
    assert free.placed is False
    moved = _body_seat(joint_of(face, Frame((100.0, 0.0, 7.0)), 5.0), own, "1", 1.5)
    assert (moved.at, moved.out, moved.placed) == ((130, 40, z + 7), out, True)
    for change in ({"flange_thickness": None}, {"role": Role.TAPPED}):
        other = SimpleNamespace(face=SimpleNamespace(**{**vars(face), **change}), owner="block")
        assert _body_seat(joint_of(face), other, "1", 0.0) is None


def test_what_a_joints_bolt_is_screwed_into():
    body = SimpleNamespace(
        face=SimpleNamespace(role=Role.TAPPED, thread_depth=16.0, material=None), owner="block", part=None
    )
    clear = SimpleNamespace(face=SimpleNamespace(role=Role.CLEAR), owner="lid", part=plate())
    made = SimpleNamespace(
        face=SimpleNamespace(role=Role.TAPPED), owner="lid", part=plate(), holes={"1": tapped(depth=11.0)}
    )
    found = _tapped(SimpleNamespace(sides=(clear, body)), "1")
    assert (found.owner, found.depth, found.through, found.thickness, found.hole) == ("block", 16, False, 16, None)
    assert _tapped(SimpleNamespace(sides=(clear, made)), "1").depth == 11.0
    assert _tapped(SimpleNamespace(sides=(clear, made)), "2") is None
    assert _tapped(SimpleNamespace(sides=(clear,)), "1") is None


def test_the_metal_under_a_seat_is_a_member():
    steel = SimpleNamespace(elastic_modulus=200_000.0)
    seat = SimpleNamespace(owner="lid", metal=16.0, material=steel)
    one = metal_of(seat)
    assert (one.name, one.thickness, one.modulus, one.soft) == ("lid", 16.0, 200_000.0, False)
    assert metal_of(SimpleNamespace(owner="lid", metal=16.0, material=None)).modulus == 0.0


def end(part, one, at, into, entry=True):
    return _HoleEnd(part, one, at, into, entry)


LID, BASE = plate(name="lid"), plate(name="base")


@pytest.mark.parametrize(
    ("x", "z", "lean", "meets"),
    [
        (0.0, 0.0, 0.0, True),
        (4.4, 0.0, 0.0, True),  # half of 9 is 4.5
        (4.6, 0.0, 0.0, False),
        (0.0, 0.49, 0.0, True),
        (0.0, 0.51, 0.0, False),
        (0.0, -0.49, 0.0, True),  # into each other
        (0.0, -0.51, 0.0, False),
        (0.0, 0.0, 4.9, True),
        (0.0, 0.0, 5.1, False),
        (0.0, 0.0, 180.0, False),  # both from above
    ],
)
def test_ends_that_face_each_other(x, z, lean, meets):
    """The lid's hole from its underside up; the base's from its face down, `z` under it: within 5 degrees and 0.5 mm."""
    one = end(LID, hole(bolt="M8", diameter=9.0), (0.0, 0.0, 0.0), UP)
    turn = math.radians(lean)
    other = end(BASE, tapped(), (x, 0.0, -z), (math.sin(turn), 0.0, -math.cos(turn)))
    assert _meet(one, other, {}) is meets
    assert _meet(other, one, {}) is meets


@pytest.mark.parametrize(("z", "meets"), [(0.0, True), (2.0, True), (2.49, True), (2.51, False), (-0.51, False)])
def test_ends_across_a_gasket(z, meets):
    """2 mm of gasket and shim between the two parts, and 0.5."""
    one = end(LID, hole(bolt="M8"), (0.0, 0.0, 0.0), UP)
    other = end(BASE, tapped(), (0.0, 0.0, -z), DOWN)
    assert _meet(one, other, {frozenset(("lid", "base")): 2.0}) is meets
    assert _meet(one, other, {frozenset(("lid", "head")): 2.0}) is (abs(z) <= 0.5)


@pytest.mark.parametrize(("diameter", "takes"), [(12.9, True), (13.1, False)])
def test_a_head_does_not_fall_through_a_plain_hole(diameter, takes):
    """The head of an M8 socket screw is 13 wide (ISO 4762, from memory)."""
    plain, screw = hole(diameter=diameter), hole(bolt="M8")
    at = (0.0, 0.0, 0.0)
    assert _takes(end(LID, plain, at, UP), end(BASE, screw, at, DOWN)) is takes
    assert _takes(end(BASE, screw, at, DOWN), end(LID, plain, at, UP)) is True
    sunk = hole(bolt="M8", counterbore=8.0)
    assert _takes(end(LID, hole(), at, UP), end(BASE, sunk, at, DOWN)) is False  # its head sits there already
    assert _takes(end(LID, hole(), at, UP), end(BASE, sunk, at, UP, entry=False)) is True
    assert _takes(end(LID, hole(), at, UP), end(BASE, hole(), at, DOWN)) is True


def line(*names_and_ends):
    return [_Met(plate(name=name), one, entry, gap) for name, one, entry, gap in names_and_ends]


def test_a_line_of_holes_from_its_thread_up_and_from_its_head_down():
    """Base, 0.3 of gasket, middle, 0.7, lid: from the head down the gaps come the other way round, one hole later."""
    thread_, clear, top = tapped(), hole("c", bolt="M8"), hole("t", bolt="M8")
    base, middle, lid = plate(name="base"), plate(name="middle"), plate(name="lid")
    up = [_Met(base, thread_, True, 0.0), _Met(middle, clear, False, 0.3), _Met(lid, top, False, 0.7)]
    found = [(one.part.name, one.entry, one.gap) for one in _turned(up)]
    assert found == [("lid", True, 0.0), ("middle", True, 0.7), ("base", True, 0.3)]
    links = {
        up[0].key: [(True, up[1])],
        up[1].key: [(False, up[0]), (True, up[2])],
        up[2].key: [(False, up[1])],
    }
    assert _walk(up[:2], links) == up
    assert (
        _walk(up[:2], {**links, up[1].key: [(False, up[0]), (False, up[2])]}) == up[:2]
    )  # left by its other end alone
    holes = [(base, thread_), (middle, clear), (lid, top)]
    assert [[one.part.name for one in chain] for chain in _chains(holes, links)] == [["lid", "middle", "base"]]
    without = {up[1].key: [(True, up[2])], up[2].key: [(False, up[1])]}
    high = plate(name="lid", places=(Frame((0.0, 0.0, 50.0)),))
    chains = list(_chains([(middle, clear), (high, top)], without))
    assert [[one.part.name for one in chain] for chain in chains] == [["lid", "middle"]]


def test_the_thread_of_a_line_is_that_which_holds_it():
    first, last = hole("a", bolt="M6"), hole("b", bolt="M8")
    assert _size(line(("lid", first, True, 0.0), ("base", last, True, 0.0))) == "M6"
    assert _size(line(("lid", first, True, 0.0), ("base", tapped(), True, 0.0))) == "M8"
    assert _size(line(("lid", hole(), True, 0.0), ("base", last, True, 0.0))) == "M8"
    assert _size(line(("lid", hole(), True, 0.0), ("base", hole(), True, 0.0))) == ""


def test_a_sheet_lies_before_the_part_that_it_keeps_off():
    one, two = SimpleNamespace(name="lid"), SimpleNamespace(name="base")
    found = list(_layers([one, two], [0.0, 0.3, 0.7]))
    assert [layer.name for layer in found] == ["lid", "gasket", "base", "gasket"]
    assert [layer.thickness for layer in found if layer.name == "gasket"] == [0.3, 0.7]
    assert list(_layers([one, two], [0.0, 0.9e-6])) == [one, two]
    assert len(list(_layers([one, two], [0.0, 1.1e-6]))) == 3


def test_the_sheet_between_two_parts_is_part_of_the_grip():
    """Two plates with a sheet of 1.5, and none that is thinner than what counts as one, lie in their order."""
    plates = [Clamp("a", 10.0, 70e3), Clamp("b", 12.0, 70e3)]
    found = [(one.name, one.thickness) for one in _layers(plates, [0.0, 1.5])]
    assert found == [("a", 10.0), ("gasket", 1.5), ("b", 12.0)]
    assert [one.thickness for one in _layers(plates, [0.0, 0.0])] == [10.0, 12.0]
    assert [one.thickness for one in _layers(plates[:1], [0.0, 2.0])] == [10.0, 2.0]
