"""Cuts that touch, by hand: a wall of no more than 0.01 micrometre is none, and what opens into each other does not touch.

A touch that goes unseen ends in a solid that cannot be made; one that is seen where there is none refuses a sound part.
"""

import math
from types import SimpleNamespace

import pytest

from platemaker.plane import Arc, Circle, Line, Loop, Region, wall
from platemaker.resolved._blank import Blank
from platemaker.resolved._faces import _ahead
from platemaker.resolved._stacked import _facing, is_tip, stacked
from platemaker.resolved._touching import _grazed, _holds, _in_space, _to_blank, _touch, _upright
from platemaker.resolved._voids import Upright
from platemaker.space import Cone, Cylinder, Frame, Prism

BLANK = Blank(Prism(Region.of(Loop.rectangle(100, 60)), Frame(), 20.0), ("face below", "face above"), "outline")


def drilled(x, radius, low, high):
    return Upright(Circle((x, 0.0), radius), low, high)


def cone(x, radius, wide_at, narrow_at, narrow=0.0):
    """A drill point, or a countersink down to a radius: its profile runs from where it is widest."""
    ends = (wide_at, narrow_at)
    return Upright(Circle((x, 0.0), radius), min(ends), max(ends), Line((0.0, wide_at), (narrow - radius, narrow_at)))


def mouth(x, radius, foot, face, wide):
    return Upright(Circle((x, 0.0), radius), min(foot, face), max(foot, face), Line((0.0, foot), (wide, face)))


def touch(a, b, height=20.0):
    """Whichever comes first."""
    found = {_touch(a, b, wall(a.shape, b.shape), height), _touch(b, a, wall(b.shape, a.shape), height)}
    [whether] = found
    return whether


@pytest.mark.parametrize(
    ("wall", "touches"),
    [(0.0, True), (0.9e-5, True), (-0.9e-5, True), (1.1e-5, False), (-1.1e-5, False), (5.0, False), (-2.0, False)],
)
def test_two_bores_side_by_side(wall, touches):
    """Radii of 4 and 3: axes 7 mm apart and the wall."""
    assert touch(drilled(0, 4, 0, 20), drilled(7 + wall, 3, 0, 20)) is touches
    assert touch(drilled(0, 4, 0, 12), drilled(7 + wall, 3, 8, 20)) is touches


@pytest.mark.parametrize(
    ("x", "gap", "distance", "touches"),
    [
        (7.0, 0.0, 0.0, True),  # floor to floor and side to side: a point
        (7.0, 2.0, 2.0, False),
        (8.0, 0.0, 1.0, False),
        (8.0, 2.0, 5**0.5, False),
        (3.0, 0.0, 0.0, False),  # one opens into the other
        (3.0, 2.0, 2.0, False),
    ],
)
def test_two_bores_that_end_towards_each_other(x, gap, distance, touches):
    lower, upper = drilled(0, 4, 0, 10), drilled(x, 3, 10 + gap, 20)
    assert stacked(lower, upper, wall(lower.shape, upper.shape)).distance == pytest.approx(distance, abs=1e-12)
    assert touch(lower, upper) is touches


@pytest.mark.parametrize(("deep", "touches"), [(0.0, True), (0.9e-5, True), (1.1e-5, False), (0.1, False)])
def test_a_drill_point_on_a_floor(deep, touches):
    """A point over the floor of a pocket below: a skin pierced in one place."""
    point, below = cone(0, 4, 13, 10 + deep), drilled(1, 6, 0, 10)
    assert touch(point, below) is touches
    flat = cone(0, 4, 13, 10 + deep, narrow=2.0)  # a countersink's end is as wide as its hole: it opens into it
    assert not touch(flat, below)


def test_what_a_tip_is():
    assert is_tip(cone(0, 4, 13, 10), 10)
    assert is_tip(cone(0, 4, 13, 10), 10 + 0.9e-5)
    assert not is_tip(cone(0, 4, 13, 10), 10 + 1.1e-5)
    assert not is_tip(cone(0, 4, 13, 10), 13)
    assert not is_tip(cone(0, 4, 13, 10, narrow=0.1), 10)
    assert not is_tip(drilled(0, 4, 0, 10), 10)


@pytest.mark.parametrize(
    ("wall", "touches"), [(0.0, True), (0.9e-5, True), (-0.9e-5, True), (1e-4, False), (-1e-4, False)]
)
def test_a_cone_beside_a_bore_touches_where_it_is_widest(wall, touches):
    """Below the face there is metal on both sides of the touch."""
    assert touch(cone(0, 4, 10, 7), drilled(7 + wall, 3, 0, 20)) is touches


@pytest.mark.parametrize(("height", "touches"), [(20.0, False), (30.0, True)])
def test_the_rims_of_two_mouths_do_not_touch(height, touches):
    """45 degrees over 2 mm: they meet at their face, under which the metal grows; inside the metal it would be a touch."""
    assert touch(mouth(0, 4, 18, 20, 2), mouth(12, 4, 18, 20, 2), height) is touches
    assert touch(mouth(0, 4, 18, 20, 2), drilled(9, 3, 0, height), height) is touches
    assert not touch(mouth(0, 4, 2, 0, 2), mouth(12, 4, 2, 0, 2), height)
    assert not touch(mouth(0, 4, 18, 20, 2), mouth(12.1, 4, 18, 20, 2), height)


def void(shape, what="hole", cut=None, **more):
    return SimpleNamespace(upright=shape, what=what, cut=cut or object(), **more)


def part(*voids, **more):
    return SimpleNamespace(voids=voids, blank=BLANK, at_faces=(), **more)


@pytest.mark.parametrize("wall", [0.0, 0.95e-5, -0.95e-5])
def test_pairs_of_upright_cuts(wall):
    """Neither steps of one hole nor threads, which are not cut into the solid."""
    first, second = void(drilled(0, 4, 0, 20)), void(drilled(7 + wall, 3, 0, 20))
    assert list(_upright(part(first, void(drilled(50, 4, 0, 20)), second))) == [(first, second)]
    assert list(_upright(part(first, void(drilled(7 + wall, 3, 0, 20), "thread")))) == []
    assert list(_upright(part(first, void(drilled(7 + wall, 3, 0, 20), cut=first.cut)))) == []
    grown = void(mouth(0, 4, 5, 10, 2)), void(mouth(12 + wall, 4, 5, 10, 2))
    assert list(_upright(part(*grown))) == [grown]


@pytest.mark.parametrize(
    ("what", "straight", "left", "seen"),
    [("hole", True, 0.9e-5, True), ("hole", True, -0.9e-5, True), ("hole", True, 1.1e-5, False), ("hole", True, 4.0, False),
     ("hole", True, -4.0, False), ("mouth", False, 0.0, False)],
)  # fmt: skip
def test_an_upright_cut_beside_the_outline(what, straight, left, seen):
    one = void(drilled(0, 4, 5, 15), what, is_straight=straight, low=5.0, high=15.0, opens=frozenset())
    found = list(_to_blank(part(one, to_outline=lambda _: left)))
    assert found == ([(one, BLANK.faces[2])] if seen else [])


@pytest.mark.parametrize("what", ["hole", "point", "countersink", "mouth", "thread"])
@pytest.mark.parametrize("left", [0.0, 0.9e-5, -0.9e-5, 1.1e-5, -1.1e-5, 3.0])
def test_floors_and_drill_points_at_a_face(what, left):
    """A face that it opens into is none that it touches."""
    seen = what in ("hole", "point", "countersink") and abs(left) < 1e-5
    for number, (low, high) in enumerate(((left, 15.0), (5.0, 20.0 - left))):
        for opens in (frozenset(), frozenset({1 - number}), frozenset({number})):
            one = void(drilled(0, 4, low, high), what, is_straight=what == "hole", low=low, high=high, opens=opens)
            found = list(_to_blank(part(one, to_outline=lambda _: 9.0)))
            assert found == ([(one, BLANK.faces[number])] if seen and number not in opens else [])


@pytest.mark.parametrize(
    ("distance", "flat", "seen"), [(0.0, True, True), (-0.9e-5, True, True), (1.1e-5, True, False), (0.0, False, False)]
)
def test_a_slanted_bore_at_a_flat_face(distance, flat, seen):
    wall = SimpleNamespace(face=SimpleNamespace(is_flat=flat), distance=distance, void="bore")
    one = SimpleNamespace(voids=(), blank=BLANK, at_faces=(wall,))
    assert list(_to_blank(one)) == ([("bore", wall.face)] if seen else [])


SLOTTED = Region.of(Loop((
    Line((-10, -5), (10, -5)), Arc((10, -5), (10, 5), (10, 0), 5, True),
    Line((10, 5), (-10, 5)), Arc((-10, 5), (-10, -5), (-10, 0), 5, True),
)))  # fmt: skip
PIERCED = Region(
    Loop.rectangle(100, 60), (Loop((Arc((5, 0), (-5, 0), (0, 0), 5, False), Arc((-5, 0), (5, 0), (0, 0), 5, False))),)
)


@pytest.mark.parametrize(
    ("region", "start", "end", "faces"),
    [
        (SLOTTED, (13, -20, 10), (13, 20, 10), [3]),  # 5 - 2 from the middle of a round end
        (SLOTTED, (-13, -20, 10), (-13, 20, 10), [5]),
        (SLOTTED, (13, -12, -6), (13, 12, 26), [3]),  # aslant, beside the same place
        (SLOTTED, (13.1, -20, 10), (13.1, 20, 10), []),
        (SLOTTED, (7, -20, 10), (7, 20, 10), []),  # where the arc's other half would be
        (PIERCED, (-20, -7, 10), (20, -7, 10), [6]),  # 5 + 2 from the middle of a window
        (PIERCED, (-20, 7, 10), (20, 7, 10), [7]),
        (PIERCED, (-20, 3, 10), (20, 3, 10), []),
    ],
)
def test_which_round_face_a_level_bore_of_2_touches(region, start, end, faces):
    """Lower and upper end are 0 and 1, then the edges in their order."""
    blank = Blank(Prism(region, Frame(), 20.0), ("face below", "face above"), "outline")
    bore = SimpleNamespace(tool=Cylinder(start, end, 2.0))
    assert list(_grazed(bore, blank)) == faces


def level(z, radius, along_x=True):
    ends = ((-30, 0, z), (30, 0, z)) if along_x else ((0, -20, z), (0, 20, z))
    return Cylinder(*ends, radius)


def crossing(first, second, **more):
    a, b = (SimpleNamespace(tool=tool, upright=None, what="hole", cut=object()) for tool in (first, second))
    for key, value in more.items():
        setattr(b, key, value)
    return list(_in_space(part(a, b))), [(a, b)]


@pytest.mark.parametrize(
    ("wall", "touches"),
    [(0.0, True), (0.9e-5, True), (-0.9e-5, True), (2.1e-5, False), (-1.1e-5, False), (0.5, False), (-0.5, False)],
)
def test_two_level_bores_that_cross(wall, touches):
    """Radii of 3 and 2: axes 5 mm apart in height and the wall."""
    found, pair = crossing(level(7, 3), level(12 + wall, 2, along_x=False))
    assert found == (pair if touches else [])
    found, pair = crossing(level(12 + wall, 2, along_x=False), level(7, 3))
    assert found == (pair if touches else [])


def test_what_touches_outside_the_blank_or_is_no_pair():
    touching = level(7, 3), level(12, 2, along_x=False)
    assert crossing(*touching, what="thread")[0] == []
    assert crossing(level(17, 3), level(22, 2, along_x=False))[0] != []  # in the upper face, 20
    assert crossing(level(18, 3), level(23, 2, along_x=False))[0] == []  # over it
    one = SimpleNamespace(tool=touching[0], upright=drilled(0, 4, 0, 20), what="hole", cut=object())
    other = SimpleNamespace(tool=touching[1], upright=drilled(0, 4, 0, 20), what="hole", cut=object())
    assert list(_in_space(part(one, other))) == []  # seen from above already
    other.upright = None
    assert list(_in_space(part(one, other))) == [(one, other)]
    other.cut = one.cut
    assert list(_in_space(part(one, other))) == []


@pytest.mark.parametrize(("z", "touches"), [(10.0, True), (10.0 + 0.9e-5, True), (10.1, False), (9.9, False)])
def test_a_drill_point_on_a_level_bore(z, touches):
    """The tip of a cone on top of a bore of radius 3 whose axis lies 7 up."""
    tip = Cone((0, 0, z + 2), (0, 0, z), 4.0, 0.0)
    for pair in ((level(7, 3), tip), (tip, level(7, 3))):
        found, both = crossing(*pair)
        assert found == (both if touches else [])


@pytest.mark.parametrize(
    ("point", "inside"),
    [((0, 0, 10), True), ((0, 0, -0.9e-5), True), ((0, 0, -1.1e-5), False), ((0, 0, 20 + 0.9e-5), True),
     ((0, 0, 20 + 1.1e-5), False), ((50 + 0.9e-5, 0, 10), True), ((50 + 1.1e-5, 0, 10), False), ((0, -30.1, 10), False),
     ((0, 29.9, 10), True)],
)  # fmt: skip
def test_a_blank_holds_its_faces(point, inside):
    assert _holds(BLANK, point) is inside


def test_a_void_10_mm_away_is_seen_from_the_other_side():
    """What stands 1 mm out of its own axis towards this one stands 9 mm from this one's; an arc then turns about."""
    assert _facing(Line((1.0, 0.0), (2.0, 3.0)), 10.0) == Line((9.0, 0.0), (8.0, 3.0))
    arc = _facing(Arc((3.0, 0.0), (2.0, 1.0), (2.0, 0.0), 1.0, True), 10.0)
    assert arc == Arc((7.0, 0.0), (8.0, 1.0), (8.0, 0.0), 1.0, False)


@pytest.mark.parametrize(
    ("what", "end", "apart"),
    [
        ("drill", 80.0, 50 - math.hypot(30, 3)),  # flat: its rim
        ("point", 82.0, 50 - 32.0),  # a point 2 mm long: its tip
    ],
)
def test_a_blind_end_before_a_round_side_has_a_wall_to_it(what, end, apart):
    """In a disc of 100 a level bore of 6 ends at X = 30; its axis begins at X = -50."""
    blank = Blank(Prism(Region.of(Loop.circle((0.0, 0.0), 50.0)), Frame(), 20.0), ("below", "above"), "outline")
    hole = SimpleNamespace(direction=(1.0, 0.0, 0.0), point=lambda deep: (deep - 50.0, 0.0, 10.0))
    bore = SimpleNamespace(hole=hole, step=SimpleNamespace(what=what, start=80.0, end=end, wide=6.0))
    found = [wall.distance for face in blank.faces if not face.is_flat for wall in _ahead(bore, face, blank)]
    assert min(found) == pytest.approx(apart)
