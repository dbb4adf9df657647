"""Walls of bores on any axis, against arithmetic on skew lines, circles and cones written out beside each number."""

from __future__ import annotations

import math

import pytest

from platemaker.catalog import material
from platemaker.checks import Finding, Verdict
from platemaker.checks._metal._crossings import check_crossings
from platemaker.checks._metal._metal import check_metal
from platemaker.checks._metal._slanted_drilling import check_slanted_drilling
from platemaker.parts import (
    Hole,
    Kind,
    Operation,
    Part,
    PlateStock,
    Profile,
    ProfileKind,
    RoundStock,
    Side,
    Stack,
    Step,
    Tapping,
    Vec3,
)
from platemaker.plane import Arc, Line, Loop, Region
from platemaker.records import replace
from platemaker.resolved import resolved
from platemaker.resolved._touching import touching
from tests.plates import note_of

LENGTH, WIDTH, HEIGHT = 120.0, 60.0, 40.0


M10 = Tapping("M10", 10.0, 1.5, 30.0)


def bore(name: str, at: Vec3, way: Vec3, diameter: float, depth: float, **more: object) -> Hole:
    """A bore that goes through unless specified otherwise."""
    size = math.hypot(*way)
    direction = (way[0] / size, way[1] / size, way[2] / size)
    steps = (Step(Operation.DRILL, diameter, 0.0, depth),)
    return Hole(name, at, direction, steps, **{"through": True, **more})  # type: ignore[arg-type]


def along_x(name: str, y: float, z: float, diameter: float, **more: object) -> Hole:
    return bore(name, (-LENGTH / 2, y, z), (1, 0, 0), diameter, LENGTH, **more)


def along_y(name: str, x: float, z: float, diameter: float, **more: object) -> Hole:
    return bore(name, (x, -WIDTH / 2, z), (0, 1, 0), diameter, WIDTH, **more)


def block(*cuts: Hole | Profile, outline: Loop | None = None) -> Stack:
    region = Region.of(outline or Loop.rectangle(LENGTH, WIDTH))
    part = Part("block", "block", Kind.PLATE, material("6061-T6"), PlateStock(region, HEIGHT), cuts)
    return Stack("test", "test", "mm", (part,), (), ())


def walls(stack: Stack) -> dict[tuple[str, frozenset[str]], Finding]:
    return {(found.check, frozenset(found.features)): found for found in check_metal(stack)}


def wall(stack: Stack, check: str, *features: str) -> Finding:
    return walls(stack)[check, frozenset(features)]


def test_crossed_bores_keep_the_distance_of_their_axes_less_their_radii() -> None:
    found = wall(block(along_x("a", 0, 12, 8), along_y("b", 5, 24, 10)), "PM110", "a", "b")
    assert found.measured == pytest.approx((24 - 12) - 4 - 5, abs=1e-9)
    assert found.points == (pytest.approx((5, 0, 16), abs=1e-9), pytest.approx((5, 0, 19), abs=1e-9))
    assert found.verdict is Verdict.PASS  # 3 mm, the limit for aluminium


def test_a_bore_that_starts_just_below_an_edge_breaks_out_of_the_face_above() -> None:
    """Its axis pierces the side face, 0.005 mm below the edge: it opens into that face only, and reaches out above."""
    found = wall(block(along_x("a", 0, HEIGHT - 0.005, 8)), "PM110", "a", "face above")
    assert found.measured == pytest.approx(0.005 - 4, abs=1e-6)
    assert found.verdict is Verdict.FAIL


@pytest.mark.parametrize(
    ("at", "way", "depth", "face"),
    [
        ((0.0, 0.0, HEIGHT), (0.0, 0.0, -1.0), HEIGHT, "face below"),
        ((0.0, -WIDTH / 2, 20.0), (0.0, 1.0, 0.0), WIDTH, "outline"),
    ],
)
def test_a_counterbore_short_of_the_far_face_leaves_what_it_is_short_of(
    at: Vec3, way: Vec3, depth: float, face: str
) -> None:
    """A counterbore of 12 that ends 0.005 mm before the face where its drill of 8 goes through leaves a shoulder."""
    short = depth - 0.005
    steps = Step(Operation.COUNTERBORE, 12, 0.0, short), Step(Operation.DRILL, 8, short, depth)
    found = wall(block(Hole("a", at, way, steps, True)), "PM110", "a counterbore", face)
    assert found.measured == pytest.approx(0.005, abs=1e-6)
    assert found.verdict is Verdict.FAIL


def test_parallel_bores_keep_the_distance_of_their_axes_less_their_radii() -> None:
    found = wall(block(along_x("a", -6, 12, 8), along_x("b", 6, 21, 8)), "PM110", "a", "b")
    assert found.measured == pytest.approx(math.hypot(12, 9) - 8, abs=1e-9)


def test_skew_bores_keep_the_distance_of_skew_lines() -> None:
    """Lines p + s (0, 0, -1) and q + t (0, -1, -1)/√2 lie |p_x - q_x| apart: both are square to X."""
    slanted = bore("b", (10, 15, HEIGHT), (0, -1, -1), 6, HEIGHT * math.sqrt(2))
    found = wall(block(bore("a", (0, 0, HEIGHT), (0, 0, -1), 8, HEIGHT), slanted), "PM110", "a", "b")
    assert found.measured == pytest.approx(10 - 4 - 3, abs=1e-9)


def test_a_bore_that_meets_what_it_should_not_fails_with_how_far_it_is_through() -> None:
    found = wall(block(along_x("a", 0, 12, 8), along_y("b", 5, 18, 10)), "PM110", "a", "b")
    assert found.measured == pytest.approx(18 - 12 - 4 - 5, abs=1e-6)
    assert found.verdict is Verdict.FAIL
    assert note_of(found).startswith("breaks through by 3.000 mm")


def test_tangent_bores_leave_no_wall() -> None:
    found = wall(block(along_x("a", 0, 12, 8), along_y("b", 5, 21, 10)), "PM110", "a", "b")
    assert found.measured == pytest.approx(0.0, abs=1e-9)
    assert found.verdict is Verdict.FAIL
    assert note_of(found) == ""


def test_one_bore_inside_another_breaks_through_by_what_moves_it_out() -> None:
    """Coaxial bores of radius 3 and 5 part when one moves sideways by 3 + 5, or lengthways by less: 8 mm is least."""
    inner = bore("a", (-LENGTH / 2, 0, 20), (1, 0, 0), 6, 30, through=False)
    found = wall(block(inner, along_x("b", 0, 20, 10)), "PM110", "a", "b")
    assert found.measured == pytest.approx(-8.0, abs=1e-6)
    assert found.verdict is Verdict.FAIL


def test_a_bore_meets_a_pocket_and_the_thread_of_another() -> None:
    pocket = Profile("p", ProfileKind.POCKET, (Region.of(Loop.rectangle(30, 20)),), Side.ABOVE, 15.0, through=False)
    stack = block(along_x("a", 0, 12, 8), pocket)
    assert wall(stack, "PM110", "a", "p pocket").measured == pytest.approx((HEIGHT - 15) - (12 + 4), abs=1e-9)
    tapped = bore("t", (0, 0, HEIGHT), (0, 0, -1), 6.8, 20, through=False, tapping=Tapping("M8", 8.0, 1.25, 20.0))
    found = wall(block(along_x("a", 0, 12, 8), tapped), "PM110", "a", "t thread")
    assert found.measured == pytest.approx((HEIGHT - 20) - (12 + 4), abs=1e-9)


def test_a_bore_keeps_its_wall_from_the_mouth_of_an_opening() -> None:
    """A mouth rounded by 6 mm is widest at its face: its rim at X = 15 + 6, Z = 0 is nearest. Higher up the opening is."""
    shape = (Region.of(Loop.circle((0.0, 0.0), 15.0)),)
    opening = Profile("o", ProfileKind.OPENING, shape, Side.ABOVE, HEIGHT, True, mouth_radius=6.0, mouth=Side.BELOW)
    found = wall(block(along_y("a", 27, 5, 8), opening), "PM110", "a", "o mouth")
    assert found.measured == pytest.approx(math.hypot(27 - 21, 5) - 4, abs=1e-8)
    found = wall(block(along_y("a", 21, 20, 8), opening), "PM110", "a", "o opening")
    assert found.measured == pytest.approx(21 - 4 - 15, abs=1e-9)
    broken = replace(opening, mouth_radius=0.0, mouth_chamfer=3.0, mouth_angle=30.0, mouth=Side.ABOVE)
    high = HEIGHT - 3 / math.tan(math.radians(30)) + 1.0  # 1 mm over the foot of the chamfer, which is 3 mm wide
    found = wall(block(along_y("a", 22, high, 4), broken), "PM110", "a", "o mouth")
    # From (22 - 15, 1) to the chamfer's line, which leans 30 degrees from upright.
    across = 7 * math.cos(math.radians(30)) - 1 * math.sin(math.radians(30))
    assert found.measured == pytest.approx(across - 2, abs=1e-8)


def test_a_bore_keeps_its_distance_from_the_nearest_face_and_edge() -> None:
    assert wall(block(along_x("a", 0, 12, 8)), "PM110", "a", "face below").measured == pytest.approx(8.0, abs=1e-9)
    found = wall(block(along_x("a", 24, 20, 8)), "PM110", "a", "outline")
    assert found.measured == pytest.approx(WIDTH / 2 - 24 - 4, abs=1e-9)


def test_a_drill_point_leaves_less_floor_than_the_bore() -> None:
    """The tip of a 118 degree point lies r / tan 59° beyond the full diameter."""
    blind = bore("a", (0, -WIDTH / 2, 20), (0, 1, 0), 10, 50, through=False, tip_angle=118.0)
    found = wall(block(blind), "PM110", "a point", "outline")
    assert found.measured == pytest.approx(WIDTH - 50 - 5 / math.tan(math.radians(59)), abs=1e-9)
    flatter = bore("a", (0, -WIDTH / 2, 20), (0, 1, 0), 10, 50, through=False, tip_angle=135.0)
    found = wall(block(flatter), "PM110", "a point", "outline")
    assert found.measured == pytest.approx(WIDTH - 50 - 5 / math.tan(math.radians(67.5)), abs=1e-9)


def test_a_slanted_bore_keeps_its_exit_from_the_edge() -> None:
    """At 45 degrees the far rim of a bore of radius 6 leaves the lower face 6 / sin 45° beyond its axis."""
    slanted = bore("a", (0, 25, HEIGHT), (0, -1, -1), 12, HEIGHT * math.sqrt(2))
    found = wall(block(slanted), "PM110", "a", "outline")
    upper = WIDTH / 2 - 25 - 6 * math.sqrt(2)
    lower = WIDTH / 2 - (HEIGHT - 25) - 6 * math.sqrt(2)
    assert found.measured == pytest.approx(min(upper, lower), abs=1e-6)
    assert upper < 0  # it leaves through the upper edge
    assert found.verdict is Verdict.FAIL
    assert note_of(found).startswith("breaks through by 3.485 mm")


def test_a_round_outline_is_measured_on_its_arc() -> None:
    disc = Loop.circle((0, 0), 50)
    inside = bore("a", (20, 0, HEIGHT), (1, 0, -2), 10, 20, through=False)
    found = wall(block(inside, outline=disc), "PM110", "a", "outline")
    # The deepest end's centre lies at 20 + 20/√5; its rim leans out by 5 · 2/√5 in the plane of the axis.
    reach = 20 + 20 / math.sqrt(5) + 5 * 2 / math.sqrt(5)
    assert found.measured == pytest.approx(50 - reach, abs=1e-6)


def test_a_slanted_bore_is_nearest_to_a_round_outline_where_it_leaves_the_plate() -> None:
    """A bore of 10 leans 30 degrees; half way between edge and face below, 3 up, its circle reaches 4.33 below that.

    What is left of the circle begins where 5 c cos 30 = 3; there it is 2.5 c further out and 5 sqrt(1 - c²) aside.
    """
    lean, disc = math.radians(30), Loop.circle((0, 0), 50)
    found = wall(block(bore("a", (50, 0, 6), (-math.cos(lean), 0, -math.sin(lean)), 10, 40), outline=disc),
                 "PM110", "a", "outline")  # fmt: skip
    c = 3 / (5 * math.cos(lean))
    out, aside = 50 - 3 / math.tan(lean) + 5 * math.sin(lean) * c, 5 * math.sqrt(1 - c**2)
    assert found.measured == pytest.approx(50 - math.hypot(out, aside), abs=2e-6)


HOLLOW = Loop((Line((-40, -30), (-10, -30)), Arc((-10, -30), (10, -30), (0, -30), 10, False), Line((10, -30), (40, -30)),
               Line((40, -30), (40, 30)), Line((40, 30), (-40, 30)), Line((-40, 30), (-40, -30))))  # fmt: skip
"""80 x 60 with a hollow of radius 10 in the middle of its side at y = -30."""


@pytest.mark.parametrize(
    ("cuts", "outline", "pairs"),
    [
        # Along Y in a round of 50, its side at x = 50: it enters at y = -sqrt(50² - 45²) and ends past y = 0.
        ([bore("a", (45, -math.sqrt(50**2 - 45**2), 10), (0, 1, 0), 10, 30, through=False)], Loop.circle((0, 0), 50), ["a"]),
        ([bore("a", (45, -math.sqrt(50**2 - 45**2), 10), (0, 1, 0), 9.9, 30, through=False)], Loop.circle((0, 0), 50), []),
        # It ends before it comes to that place, open to the side all along.
        ([bore("a", (45, -math.sqrt(50**2 - 45**2), 10), (0, 1, 0), 10, 15, through=False)], Loop.circle((0, 0), 50), []),
        # Along X over the hollow's highest place, y = -20.
        ([bore("a", (-40, -16, 20), (1, 0, 0), 8, 80)], HOLLOW, ["a"]),
        ([bore("a", (-40, -15.9, 20), (1, 0, 0), 8, 80)], HOLLOW, []),
        # Crossed, 12 and 20.25 up: drills of 8.5 and 8 touch; M10's thread of 10 in the lower one is only cut away.
        ([replace(along_x("a", 0, 12, 8.5), tapping=M10), along_y("b", 0, 20.25, 8)], None, ["a", "b"]),
        ([replace(along_x("a", 0, 12, 8.5), tapping=M10), along_y("b", 0, 21, 8)], None, []),
        # Square to each other and 9 apart at the nearest.
        ([along_x("a", 0, 12, 10), bore("b", (0, 0, 40), (0, 0, -1), 6, 20, through=False)], None, []),
        ([along_x("a", -9, 12, 10), bore("b", (0, 0, 40), (0, 0, -1), 8, 40)], None, ["a", "b"]),
        ([along_x("a", -9.1, 12, 10), bore("b", (0, 0, 40), (0, 0, -1), 8, 40)], None, []),
    ],
)  # fmt: skip
def test_bores_that_touch_without_an_opening(cuts: list[Hole], outline: Loop | None, pairs: list[str]) -> None:
    part = block(*cuts, outline=outline).parts[0]
    found = [
        (void.cut.name, getattr(getattr(other, "cut", None), "name", "face"))
        for void, other in touching(resolved(part))
    ]
    assert sorted({name for pair in found for name in pair} - {"face"}) == pairs


def test_round_bar_has_its_wall_round_the_passage() -> None:
    stock = RoundStock(30.0, 100.0)
    passage = bore("passage", (-50, 2, 15), (1, 0, 0), 10, 100)
    part = Part("bar", "bar", Kind.RAIL, material("6061-T6"), stock, (passage,))
    found = wall(Stack("s", "s", "mm", (part,), (), ()), "PM110", "passage", "outside")
    assert found.measured == pytest.approx(15 - 2 - 5, abs=1e-9)


@pytest.mark.parametrize("tip_angle", [None, 118.0])
def test_a_blind_bore_across_round_bar_leaves_its_far_side(tip_angle: float | None) -> None:
    """Bar of 30 mm, bore of 8 mm and 25 deep beside a passage: its corner stands 10 below and 7 aside of the middle."""
    mount = bore("m", (0, 3, 30), (0, 0, -1), 8, 25, through=False, tip_angle=tip_angle)
    part = Part("bar", "bar", Kind.RAIL, material("6061-T6"), RoundStock(30.0, 200.0), (mount,))
    stated = {f.features: f for f in check_metal(Stack("s", "s", "mm", (part,), (), ()))}
    assert stated["m", "outside"].measured == pytest.approx(15 - math.hypot(10, 7), abs=1e-9)
    if tip_angle is not None:
        deep = 10 + 4 / math.tan(math.radians(59))
        assert stated["m point", "outside"].measured == pytest.approx(15 - math.hypot(3, deep), abs=1e-9)
    shallow = replace(mount, steps=(Step(Operation.DRILL, 8.0, 0.0, 12.0),), tip_angle=None)
    # 12 mm deep it ends above the middle: only its side is left, half way down, where it enters at 15 + √(15² - 3²).
    (side,) = [f for f in check_metal(Stack("s", "s", "mm", (replace(part, cuts=(shallow,)),), (), ()))
               if "outside" in f.features]  # fmt: skip
    half_way = (15 + math.sqrt(15**2 - 3**2) + 30 - 12) / 2 - 15
    assert side.measured == pytest.approx(15 - math.hypot(half_way, 3 + 4), abs=1e-8)


def test_a_declared_crossing_is_no_wall_and_must_open_fully() -> None:
    deep = bore("b", (0, 0, 0), (0, 0, 1), 8, 20, through=False, into=("a",))
    stack = block(along_x("a", 0, 20, 12), deep)
    assert frozenset(("a", "b")) not in {pair for _, pair in walls(stack)}
    (found,) = check_crossings(stack)
    assert (found.check, found.measured, found.verdict) == ("PM611", 1.0, Verdict.PASS)


def test_a_declared_crossing_that_stops_short_fails_and_tells_the_depth_missing() -> None:
    """A bore of radius 4 enters a passage of radius 6 on its axis by its middle first: whole at 6 - √(36 - 16)."""
    short = bore("b", (0, 0, 0), (0, 0, 1), 8, 14.5, through=False, into=("a",))
    (found,) = check_crossings(block(along_x("a", 0, 20, 12), short))
    # Depth 14.5 reaches the passage where its underside, 20 - √(36 - s²), is below: |s| < √(36 - 5.5²).
    half = math.sqrt(36 - 5.5**2)
    strip = 2 * (half * math.sqrt(16 - half**2) / 2 + 16 * math.asin(half / 4) / 2) * 2
    assert found.measured == pytest.approx(strip / (math.pi * 16), abs=1e-6)
    assert found.verdict is Verdict.FAIL
    assert note_of(found) == f"{20 - math.sqrt(36 - 16) - 14.5:.3f} mm deeper opens it fully"


def test_a_crossing_beside_its_target_opens_as_two_circles_share_area() -> None:
    """Parallel bores of radius 5 and 4, axes 4 apart: the lens of two circles (plane geometry)."""
    beside = bore("b", (-LENGTH / 2, 0, 24), (1, 0, 0), 8, 40, through=False, into=("a",))
    (found,) = check_crossings(block(along_x("a", 0, 20, 10), beside))
    d, r, s = 4.0, 4.0, 5.0
    lens = r * r * math.acos((d * d + r * r - s * s) / (2 * d * r)) + s * s * math.acos(
        (d * d + s * s - r * r) / (2 * d * s)
    )
    lens -= math.sqrt((-d + r + s) * (d + r - s) * (d - r + s) * (d + r + s)) / 2
    assert found.measured == pytest.approx(lens / (math.pi * 16), abs=1e-9)
    assert found.verdict is Verdict.FAIL


def test_a_slanted_drill_wants_a_spotface_that_is_deep_enough() -> None:
    """Half axes r and r / cos of the ellipse; a spotface must go r · tan deep; without one a guide takes 2 r tan."""
    lean = math.radians(60)
    plain = bore("a", (0, 20, HEIGHT), (0, -math.sin(lean), -math.cos(lean)), 10, 90)
    (found,) = check_slanted_drilling(block(plain))
    assert found.verdict is Verdict.CAUTION
    assert found.required == pytest.approx(5 * math.tan(lean))
    assert {one.symbol: one.value for one in found.inputs}["ellipse, half axes"] == pytest.approx((5.0, 10.0))
    assert note_of(found) == f"or a guide at least {10 * math.tan(lean):.2f} mm long at the mouth"
    steps = (Step(Operation.COUNTERBORE, 14, 0.0, 9.0), Step(Operation.DRILL, 10, 9.0, 90.0))
    faced = Hole("a", plain.at, plain.direction, steps, through=True)
    (found,) = check_slanted_drilling(block(faced))
    assert (found.verdict, note_of(found)) == (Verdict.PASS, "")
    square = bore("a", (0, 0, HEIGHT), (0, 0, -1), 10, HEIGHT)
    assert list(check_slanted_drilling(block(square))) == []


def test_a_through_hole_has_walls_to_the_edge_only() -> None:
    stated = walls(block(bore("a", (0, 0, HEIGHT), (0, 0, -1), 10, HEIGHT)))
    assert set(stated) == {("PM110", frozenset(("a", "outline")))}
