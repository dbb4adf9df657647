"""Walls, floors and distances of plates against hand geometry.

Every expected number is arithmetic written out beside it: Pythagorean triples, tangent circles, tables of heads and
threads (ISO 273, ISO 4762, ISO 261 as quoted in the catalog's own files).
"""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from platemaker.catalog import material
from platemaker.checks import Verdict
from platemaker.parts import Hole, Kind, Operation, Part, PlateStock, Stack, Step
from platemaker.plane import Loop, Region
from tests.plates import found, lid_of, note_of, stack_of

EXACT = 1e-9
"""Closed formulas on doubles of size 100: nothing but rounding is left."""


def test_wall_between_two_holes_on_a_3_4_5_triangle(tmp_path: Path) -> None:
    stack = lid_of(
        tmp_path,
        """
    thickness: 10
    outline: {rectangle: [200, 200]}
    holes:
      a: {at: [0, 0], diameter: 20}
      b: {at: [12, 16], diameter: 10}
""",
    )
    wall = found(stack, "PM110", "a", "b")
    assert wall.measured == pytest.approx(20 - 10 - 5, abs=EXACT)
    assert wall.points[0] == pytest.approx((0.6 * 10, 0.8 * 10, 10), abs=EXACT)
    assert wall.points[1] == pytest.approx((12 - 0.6 * 5, 16 - 0.8 * 5, 10), abs=EXACT)


def test_wall_between_a_hole_and_a_straight_edge_is_offset_less_radius(tmp_path: Path) -> None:
    stack = lid_of(
        tmp_path,
        """
    thickness: 10
    outline: {rectangle: [100, 60]}
    holes: {a: {at: [40, 0], diameter: 14}}
""",
    )
    assert found(stack, "PM110", "a", "outline").measured == pytest.approx(50 - 40 - 7, abs=EXACT)


def test_wall_at_exactly_the_limit_passes_and_a_hair_less_fails(tmp_path: Path) -> None:
    text = """
    thickness: 10
    outline: {rectangle: [100, 60]}
    limits: {minimum_wall: 3}
    holes: {a: {at: [%s, 0], diameter: 14}}
"""
    assert found(lid_of(tmp_path, text % 40), "PM110", "a", "outline").verdict is Verdict.PASS
    thin = found(lid_of(tmp_path, text % 40.0001), "PM110", "a", "outline")
    assert thin.verdict is Verdict.FAIL
    assert thin.margin == pytest.approx(-0.0001, abs=EXACT)


def test_wall_from_a_hole_to_the_round_corner_of_a_pocket(tmp_path: Path) -> None:
    # The corner's centre is (50 - 10, 30 - 10); the hole lies 12-16-20 beyond it.
    stack = lid_of(
        tmp_path,
        """
    thickness: 20
    outline: {rectangle: [300, 300]}
    holes: {a: {at: [52, 36], diameter: 10}}
    pocket: {shape: {rectangle: [100, 60], corner_radius: 10}, depth: 8, cutter: 16}
""",
    )
    assert found(stack, "PM110", "a", "pocket").measured == pytest.approx(20 - 10 - 5, abs=EXACT)


def test_a_counterbore_above_and_a_pocket_below_share_a_corner_or_a_side(tmp_path: Path) -> None:
    # M8: counterbore 15 mm wide and 8.6 deep from above, drill 9 below it; the pocket below reaches up to 9, 10 or 17 of 25.
    text = """
project: trial
bodies: {engine: {joints: {deck: {face: above, holes: tapped}}}}
joints: {deck: {bolts: {pattern: {points: [[0, 0]]}, thread: M8}}}
parts:
  lid:
    kind: plate
    material: 6061-T6
    thickness: 25
    outline: {rectangle: [200, 100]}
    below: {deck: {holes: counterbored}}
    pocket: {shape: {rectangle: [40, 40], corner_radius: 8, at: [33, 0]}, depth: %s, side: below, cutter: 16}
"""
    shallow = found(stack_of(tmp_path, text % 9), "PM110", "deck_1", "pocket")
    assert shallow.measured == pytest.approx(13 - 9 / 2, abs=EXACT)
    # 10 deep: the counterbore's floor, 5.5 aside and 6.4 above, is nearer than the drill's side at 8.5.
    corner = found(stack_of(tmp_path, text % 10), "PM110", "deck_1 counterbore", "pocket")
    assert corner.measured == pytest.approx(math.hypot(13 - 15 / 2, 25 - 8.6 - 10), abs=EXACT)
    assert corner.title == "diagonal wall"
    deep = found(stack_of(tmp_path, text % 17), "PM110", "deck_1 counterbore", "pocket")
    assert deep.measured == pytest.approx(13 - 15 / 2, abs=EXACT)


def test_a_hole_through_the_floor_of_a_pocket_fails_unless_it_is_meant_to_open_into_it(tmp_path: Path) -> None:
    text = """
    thickness: 20
    outline: {rectangle: [200, 200]}
    holes: {a: {at: [0, 0], diameter: 10%s}}
    pocket: {shape: {rectangle: [60, 60], corner_radius: 10}, depth: 8, cutter: 16}
"""
    unmeant = found(lid_of(tmp_path, text % ""), "PM110", "a", "pocket")
    assert (unmeant.measured, unmeant.verdict) == (pytest.approx(-8, abs=EXACT), Verdict.FAIL)
    with pytest.raises(AssertionError, match="0 findings PM110"):
        found(lid_of(tmp_path, text % ", into: [pocket]"), "PM110", "a", "pocket")


def test_an_opening_and_a_pocket_five_micrometres_apart_do_not_meet(tmp_path: Path) -> None:
    # The opening ends at -20 + 20, the pocket begins at 20.005 - 20; drawn 0.01 nearer to each other they are one figure.
    text = """
    thickness: 20
    outline: {rectangle: [200, 200]}
    opening: {shape: {rectangle: [40, 40], corner_radius: 10, at: [-20, 0]}}
    pocket: {shape: {rectangle: [40, 40], corner_radius: 10, at: [%s, 0]}, depth: 8, cutter: 16}
"""
    thin = found(lid_of(tmp_path, text % 20.005), "PM110", "opening", "pocket")
    assert thin.verdict is Verdict.FAIL
    assert thin.measured == pytest.approx(0.005, abs=EXACT)
    with pytest.raises(AssertionError, match="0 findings PM110"):
        found(lid_of(tmp_path, text % 19.995), "PM110", "opening", "pocket")


def test_a_hole_five_micrometres_inside_the_edge_has_a_wall_that_fails(tmp_path: Path) -> None:
    stack = lid_of(
        tmp_path,
        """
    thickness: 10
    outline: {rectangle: [100, 60]}
    holes: {a: {at: [42.995, 0], diameter: 14}}
""",
    )
    thin = found(stack, "PM110", "a", "outline")
    assert thin.verdict is Verdict.FAIL
    assert thin.measured == pytest.approx(50 - 42.995 - 7, abs=EXACT)


def test_holes_that_overlap_by_five_micrometres_break_through_by_as_much(tmp_path: Path) -> None:
    # Beside each other: 9.995 - 5 - 5. Above each other: a pocket's floor at 20 - 8, a relief from below up to 12.005.
    stack = lid_of(
        tmp_path,
        """
    thickness: 20
    outline: {rectangle: [200, 200]}
    holes:
      a: {at: [60, 0], diameter: 10}
      b: {at: [69.995, 0], diameter: 10}
    reliefs: {c: {at: [0, 0], diameter: 10, depth: 12.005, side: below, cutter: 6}}
    pocket: {shape: {rectangle: [60, 60], corner_radius: 10}, depth: 8, cutter: 16}
""",
    )
    beside, above = found(stack, "PM110", "a", "b"), found(stack, "PM110", "c relief", "pocket")
    assert (beside.verdict, above.verdict) == (Verdict.FAIL, Verdict.FAIL)
    assert beside.measured == pytest.approx(-0.005, abs=EXACT)
    assert above.measured == pytest.approx(-0.005, abs=EXACT)


def test_a_hole_that_breaks_into_a_pocket_is_a_negative_wall(tmp_path: Path) -> None:
    stack = lid_of(
        tmp_path,
        """
    thickness: 20
    outline: {rectangle: [200, 200]}
    holes: {a: {at: [33, 0], diameter: 10}}
    pocket: {shape: {rectangle: [60, 60], corner_radius: 10}, depth: 8, cutter: 16}
""",
    )
    wall = found(stack, "PM110", "a", "pocket")
    assert wall.measured == pytest.approx((33 - 30) - 5, abs=EXACT)
    assert wall.verdict is Verdict.FAIL
    assert note_of(wall).startswith("breaks through by 2.000 mm")


def test_a_rounded_mouth_thins_the_wall_at_its_face(tmp_path: Path) -> None:
    text = """
    thickness: 20
    outline: {rectangle: [200, 200]}
    holes: {a: {at: [30, 0], diameter: 8}}
    opening: {shape: {rectangle: [40, 40], corner_radius: 8}, mouth_radius: 4, mouth: %s}
"""
    for face in ("above", "below"):
        wall = found(lid_of(tmp_path, text % face), "PM110", "a", "opening mouth")
        assert wall.measured == pytest.approx(30 - 4 - (20 + 4), abs=EXACT)


def test_a_chamfered_mouth_thins_the_wall_as_far_down_as_it_reaches(tmp_path: Path) -> None:
    """4 mm on the face at 45 degrees: 4 mm deep. A blind hole from the other face stops 6 mm short of it."""
    text = """
    thickness: 20
    outline: {rectangle: [200, 200]}
    holes: {a: {at: [30, 0], diameter: 8}, b: {at: [-30, 0], diameter: 8, depth: 8, side: above}}
    opening: {shape: {rectangle: [40, 40], corner_radius: 8}, mouth_chamfer: 4, mouth: below}
"""
    stack = lid_of(tmp_path, text)
    assert found(stack, "PM110", "a", "opening mouth").measured == pytest.approx(30 - 4 - (20 + 4), abs=EXACT)
    assert found(stack, "PM110", "b", "opening").measured == pytest.approx(30 - 4 - 20, abs=EXACT)


def test_a_thread_counts_with_its_major_diameter(tmp_path: Path) -> None:
    stack = lid_of(
        tmp_path,
        """
    thickness: 20
    outline: {rectangle: [100, 60]}
    holes: {a: {at: [40, 0], tapped: M8}}
""",
    )
    assert found(stack, "PM110", "a thread", "outline").measured == pytest.approx(50 - 40 - 8 / 2, abs=EXACT)


def test_the_neck_of_an_outline_with_itself(tmp_path: Path) -> None:
    stack = lid_of(
        tmp_path,
        """
    thickness: 10
    outline: {loop: [[0, 0], [100, 0], [100, 40], [51, 40], [51, 2.5], [49, 2.5], [49, 40], [0, 40]]}
""",
    )
    assert found(stack, "PM110", "outline").measured == pytest.approx(2.5, abs=EXACT)


def test_the_floor_under_a_drill_point(tmp_path: Path) -> None:
    # A 118 degree point is r / tan(59 deg) high: 5 / 1.6642795 = 3.0043031.
    stack = lid_of(
        tmp_path,
        """
    thickness: 20
    outline: {rectangle: [100, 60]}
    holes: {a: {at: [0, 0], diameter: 10, depth: 12}}
""",
    )
    assert found(stack, "PM110", "a point", "face below").measured == pytest.approx(20 - 12 - 3.0043031, abs=1e-7)


def test_a_drill_point_over_a_blind_cut_is_measured_at_its_tip(tmp_path: Path) -> None:
    # A relief of 12 mm, 8 deep from below; a 6 mm drill 5 deep from above, 1.5 mm aside. Its point is 3 / tan 59 long:
    # the tip stands at Z = 20 - 5 - 1.8026, over the relief's end at 8.
    stack = lid_of(
        tmp_path,
        """
    thickness: 20
    outline: {rectangle: [100, 60]}
    reliefs: {low: {at: [0, 0], diameter: 12, depth: 8, side: below, cutter: 10}}
    holes: {tip: {at: [1.5, 0], diameter: 6, depth: 5}}
""",
    )
    wall = found(stack, "PM110", "low relief", "tip point")
    assert wall.measured == pytest.approx(12 - 5 - 3 / math.tan(math.radians(59)), abs=1e-6)
    assert [point[:2] for point in wall.points] == [pytest.approx((1.5, 0.0))] * 2


def test_two_blind_figures_from_opposite_faces_share_a_floor(tmp_path: Path) -> None:
    stack = lid_of(
        tmp_path,
        """
    thickness: 20
    outline: {rectangle: [100, 60]}
    pocket: {shape: {rectangle: [40, 40], corner_radius: 8}, depth: 8, cutter: 12}
    reliefs: {stud: {at: [10, 0], diameter: 14, depth: 7, side: below, cutter: 10}}
""",
    )
    assert found(stack, "PM110", "pocket", "stud relief").measured == pytest.approx(20 - 8 - 7, abs=EXACT)


def test_two_equal_pockets_from_opposite_faces_share_a_floor(tmp_path: Path) -> None:
    stack = lid_of(
        tmp_path,
        """
    thickness: 20
    outline: {rectangle: [100, 60]}
    pockets:
      upper: {shape: {rectangle: [40, 40], corner_radius: 8}, depth: 8, cutter: 12}
      lower: {shape: {rectangle: [40, 40], corner_radius: 8}, depth: 7, side: below, cutter: 12}
""",
    )
    assert found(stack, "PM110", "upper pocket", "lower pocket").measured == pytest.approx(20 - 8 - 7, abs=EXACT)


def test_edge_distance_in_bolt_diameters(tmp_path: Path) -> None:
    stack = lid_of(
        tmp_path,
        """
    thickness: 10
    outline: {rectangle: [100, 60]}
    holes: {a: {at: [36, 0], clear: M8}}
""",
    )
    edge = found(stack, "PM301", "a", "outline")
    assert (edge.measured, edge.verdict) == (pytest.approx(14 / 8, abs=EXACT), Verdict.CAUTION)


def test_engagement_and_bottoming_of_a_bolt_of_given_length(tmp_path: Path) -> None:
    # M8 x 35 through 20 mm of plate and 1 mm of gasket leaves 14 mm in a thread 18 mm deep.
    stack = stack_of(
        tmp_path,
        """
project: trial
bodies: {engine: {material: A356-T6, joints: {deck: {face: above, holes: tapped, thread_depth: 18}}}}
joints:
  deck:
    bolts: {pattern: {points: [[0, 0]]}, thread: M8, length: 35}
    gasket: {thickness: 1, land: 5}
parts:
  lid:
    kind: plate
    material: 6061-T6
    thickness: 20
    outline: {rectangle: [100, 60]}
    below: {deck: {holes: clear}}
""",
    )
    assert found(stack, "PM302", "deck", "deck_1").measured == pytest.approx((35 - 20 - 1) / 8, abs=EXACT)
    assert found(stack, "PM303", "deck", "deck_1").measured == pytest.approx((18 - 14) / 1.25, abs=EXACT)


def test_corner_radius_in_cutter_radii_and_depth_in_cutter_diameters(tmp_path: Path) -> None:
    stack = lid_of(
        tmp_path,
        """
    thickness: 20
    outline: {rectangle: [100, 60]}
    pocket: {shape: {rectangle: [40, 30], corner_radius: 6}, depth: 15, cutter: 10}
""",
    )
    assert found(stack, "PM501", "pocket").measured == pytest.approx(6 / 5, abs=EXACT)
    assert found(stack, "PM502", "pocket").measured == pytest.approx(1.5, abs=EXACT)


def test_a_sharp_inside_corner_cannot_be_milled(tmp_path: Path) -> None:
    stack = lid_of(
        tmp_path,
        """
    thickness: 20
    outline: {rectangle: [100, 60]}
    pocket: {shape: {rectangle: [40, 30]}, depth: 5, cutter: 10}
""",
    )
    corner = found(stack, "PM501", "pocket")
    assert (corner.measured, corner.verdict) == (0.0, Verdict.FAIL)


def test_hole_to_bend_is_measured_from_where_the_bend_starts(tmp_path: Path) -> None:
    # 90 degrees, R 5, t 4: the bend starts R + t = 9 mm before the sharp outside corner.
    stack = stack_of(
        tmp_path,
        """
project: trial
parts:
  foot:
    kind: bracket
    material: S235
    width: 30
    thickness: 4
    legs: [42, 58]
    bends: [{angle: 90, radius: 5}]
    holes: {bolt: {leg: 1, at: [16, 0], clear: M8}}
""",
    )
    assert found(stack, "PM512", "bolt", "bend 1").measured == pytest.approx((42 - 9 - 16 - 4.5) / 4, abs=EXACT)
    assert found(stack, "PM511", "bend 1").measured == pytest.approx(5 / 4, abs=EXACT)


def test_a_thread_and_a_window_are_as_far_from_a_bend_as_their_widest_edge(tmp_path: Path) -> None:
    """The bend starts at 42 - 9 = 33. M8 is 8 wide at its thread; countersunk M4 on 4 is 8.96 wide (ISO 10642, ISO 15065).

    A window 10 long round 27 ends at 32: 1 mm, a quarter of a thickness, from the bend. The second leg's bend ends at 9.
    """
    stack = stack_of(
        tmp_path,
        """
project: trial
parts:
  foot:
    kind: bracket
    material: S235
    width: 60
    thickness: 4
    legs: [42, 58]
    bends: [{angle: 90, radius: 5}]
    holes:
      thread: {leg: 1, at: [16, 20], tapped: M8}
      cone: {leg: 1, at: [16, -20], countersunk: M4}
    pockets:
      window: {leg: 1, shape: {rectangle: [10, 8], corner_radius: 3, at: [27, 0]}, cutter: 6}
      dip: {leg: 2, shape: {circle: 12, at: [27, 0]}, cutter: 6, depth: 2}
""",
    )
    thread, cone, window, dip = (found(stack, "PM512", name, "bend 1") for name in ("thread", "cone", "window", "dip"))
    assert thread.measured == pytest.approx((33 - 16 - 4) / 4, abs=EXACT)
    assert cone.measured == pytest.approx((33 - 16 - 8.96 / 2) / 4, abs=EXACT)
    assert (window.measured, window.verdict) == (pytest.approx(0.25, abs=EXACT), Verdict.FAIL)
    assert window.points[0] == pytest.approx((32, 0, 0), abs=EXACT)
    assert dip.measured == pytest.approx((27 - 6 - 9) / 4, abs=EXACT)
    assert dip.points[0] == pytest.approx((42, 0, 27 - 6), abs=EXACT)
    assert (window.title, dip.title) == ("window to bend", "pocket to bend")


@pytest.mark.parametrize(
    ("material", "radius", "verdict"),
    [
        # Aluminum Design Manual 2005, part VII table 3-1, 3/16 in: 6061-T6 3 t, 2024-T3 5 t; 7075-T6 6 t, from memory.
        ("6061-T6", 12.0, Verdict.PASS),
        ("6061-T6", 11.9, Verdict.CAUTION),
        ("6061-T6", 5.9, Verdict.FAIL),
        ("7075-T6", 23.9, Verdict.FAIL),
        ("7075-T6", 24.0, Verdict.PASS),
        ("2024-T351", 19.9, Verdict.FAIL),
        ("2024-T351", 20.0, Verdict.PASS),
        # Cast metal breaks, however wide the bend.
        ("A356-T6", 38.0, Verdict.FAIL),
        ("bronze", 38.0, Verdict.FAIL),
        ("grey cast iron", 38.0, Verdict.FAIL),
        ("ductile cast iron", 38.0, Verdict.FAIL),
    ],
)
def test_how_tight_an_alloy_is_bent(tmp_path: Path, material: str, radius: float, verdict: Verdict) -> None:
    text = f"""
project: trial
parts:
  foot: {{kind: bracket, material: {material}, width: 30, thickness: 4, legs: [90, 90], bends: [{{angle: 90, radius: {radius}}}]}}
"""
    assert found(stack_of(tmp_path, text), "PM511", "bend 1").verdict is verdict


@pytest.mark.parametrize(
    ("thickness", "radius", "verdict"),
    [
        # The same table for 6061-T6: 3.5 t up to 1/4 in, 4.5 up to 3/8, 5 up to 1/2; thicker plate is not in it.
        (6.0, 20.9, Verdict.CAUTION),
        (6.0, 21.0, Verdict.PASS),
        (8.0, 35.9, Verdict.CAUTION),
        (8.0, 36.0, Verdict.PASS),
        (10.0, 49.9, Verdict.CAUTION),
        (12.7, 63.5, Verdict.PASS),
        (13.0, 130.0, Verdict.NOT_CHECKED),
    ],
)
def test_thicker_strip_wants_a_wider_bend(tmp_path: Path, thickness: float, radius: float, verdict: Verdict) -> None:
    text = f"""
project: trial
parts:
  foot: {{kind: bracket, material: 6061-T6, width: 30, thickness: {thickness}, legs: [250, 250], bends: [{{angle: 90, radius: {radius}}}]}}
"""
    assert found(stack_of(tmp_path, text), "PM511", "bend 1").verdict is verdict


@pytest.mark.parametrize("material", ["7075-T6", "ductile cast iron"])
def test_the_specs_own_bend_radius_goes_before_that_of_the_alloy(tmp_path: Path, material: str) -> None:
    text = f"""
project: trial
parts:
  foot: {{kind: bracket, material: {material}, width: 30, thickness: 4, legs: [90, 90], bends: [{{angle: 90, radius: 12}}],
         limits: {{bend_radius: 3}}}}
"""
    bend = found(stack_of(tmp_path, text), "PM511", "bend 1")
    assert (bend.verdict, bend.unit) == (Verdict.PASS, "thicknesses")


def test_a_slanted_bore_that_stops_five_micrometres_short_of_a_face_does_not_reach_it() -> None:
    """Leaning 30 degrees, 8 mm wide, flat at its end: its rim's lowest place lies 4 sin 30 = 2 mm below its axis' end."""
    deep = (20 - 2 - 0.005) / math.cos(math.radians(30))
    way = (math.sin(math.radians(30)), 0.0, -math.cos(math.radians(30)))
    bore = Hole("feed", (0.0, 0.0, 20.0), way, (Step(Operation.DRILL, 8.0, 0.0, deep),), through=False)
    stock = PlateStock(Region.of(Loop.rectangle(160, 120)), 20.0)
    part = Part("plate", "plate", Kind.PLATE, material("6061-T6"), stock, (bore,))
    thin = found(Stack("s", "s", "mm", (part,), (), ()), "PM110", "feed", "face below")
    assert thin.verdict is Verdict.FAIL
    assert thin.measured == pytest.approx(0.005, abs=1e-7)  # two ways of finding the lowest place of a rim
