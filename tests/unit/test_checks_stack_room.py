"""Clearance, tool room, order of assembly and height, on stacks of a few blocks whose distances are plain to see."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from platemaker.checks import Finding, Verdict
from platemaker.checks._stack._assembly_order import Held, assembly_order
from platemaker.checks._stack._stack_items import contents_of
from platemaker.checks._stack._tools import tool_envelopes
from platemaker.checks._stack._whole_stack import check_whole_stack
from platemaker.parts import Stack
from platemaker.resolved import assemble
from platemaker.space import Cylinder, Prism
from platemaker.spec import load_project
from tests.plates import note_of

HEAD = "project: room\n"


def stack_of(tmp_path: Path, text: str) -> Stack:
    (tmp_path / "project.yaml").write_text(HEAD + text, encoding="utf-8")
    return assemble(load_project(tmp_path))


def findings(stack: Stack, check: str) -> list[Finding]:
    return [found for found in check_whole_stack(stack) if found.check == check]


BASE = """
stack: {{clearance: 2, ceiling: 120, below_ceiling: 5}}
bodies:
  base:
    material: grey cast iron
    envelope: {{box: [200, 100, 30]}}
    joints: {{base_top: {{face: above, holes: tapped, thread_depth: 20}}}}
  post:
    envelope: {{box: [10, 10, 60]}}
    place: {{at: [{post}, 0, 0]}}
joints:
  base_top:
    bolts: {{pattern: {{rectangle: [100, 60]}}, thread: M8, head: hex, length: 30}}
    gasket: {{thickness: 1, land: 5, fitted: [0.7, 1.2]}}
parts:
  lid:
    kind: plate
    material: 6061-T6
    thickness: 12
    outline: {{rectangle: [130, 90]}}
    below: {{base_top: {{holes: clear}}}}
"""


@pytest.mark.parametrize(("post", "gap"), [(73.0, 3.0), (72.0, 2.0), (71.0, 1.0)])
def test_strangers_keep_their_clearance(tmp_path: Path, post: float, gap: float) -> None:
    """The lid ends at X = 65, the post begins 5 mm before its middle: above its foot they stand `gap` apart."""
    found = next(f for f in findings(stack_of(tmp_path, BASE.format(post=post)), "PM641") if "lid" in f.features)
    assert found.measured == pytest.approx(gap, abs=1e-9)
    assert found.verdict is (Verdict.PASS if gap >= 2 else Verdict.FAIL)


def test_an_overlap_is_negative_and_tells_its_volume(tmp_path: Path) -> None:
    """The post, 10 mm square, reaches 4 mm into the lid, 12 mm thick: 4 × 10 × 12 mm3."""
    found = next(f for f in findings(stack_of(tmp_path, BASE.format(post=66.0)), "PM641") if "lid" in f.features)
    assert found.measured == pytest.approx(-4.0, abs=1e-6)
    assert found.verdict is Verdict.FAIL
    assert note_of(found) == "they overlap by 480.0 mm3"


def test_the_same_stack_moved_sideways_gives_the_same_distances(tmp_path: Path) -> None:
    text = BASE.format(post=73.0).replace("at: [73.0, 0, 0]", "at: [0, 73.0, 0], turn: [0, 0, 90]")
    text = text.replace("box: [200, 100", "box: [100, 200").replace("rectangle: [100, 60]", "rectangle: [60, 100]")
    text = text.replace("rectangle: [130, 90]", "rectangle: [90, 130]")
    found = next(f for f in findings(stack_of(tmp_path, text), "PM641") if "lid" in f.features)
    assert found.measured == pytest.approx(3.0, abs=1e-9)


def test_joined_parts_touch_and_are_told_apart_from_strangers(tmp_path: Path) -> None:
    touching = {frozenset(f.features): f for f in findings(stack_of(tmp_path, BASE.format(post=90.0)), "PM642")}
    assert touching[frozenset(("base", "lid"))].measured == pytest.approx(1.0, abs=1e-9)  # the gasket lies between
    assert touching[frozenset(("lid", "base_top_gasket"))].measured == pytest.approx(0.0, abs=1e-9)
    assert all(found.verdict is Verdict.PASS for found in touching.values())


def test_a_thing_without_a_place_is_not_checked(tmp_path: Path) -> None:
    text = BASE.format(post=90.0) + "  loose: {kind: plate, material: 6061-T6, thickness: 5, outline: {circle: 40}}\n"
    (found,) = [f for f in findings(stack_of(tmp_path, text), "PM641") if f.part == "loose"]
    assert found.verdict is Verdict.NOT_CHECKED
    assert note_of(found) == "it has no place in the stack, or no envelope"


def test_a_slotted_plate_is_checked_at_both_ends_of_its_travel(tmp_path: Path) -> None:
    """Slots of 29 by 9 mm let the lid travel 10 mm either way: 11 mm from the post in the middle, 1 mm at one end."""
    text = BASE.format(post=81.0).replace("below: {base_top: {holes: clear}}", SLOTS)
    found = next(f for f in findings(stack_of(tmp_path, text), "PM641") if "lid" in f.features)
    assert found.measured == pytest.approx(81 - 5 - 65 - 10, abs=1e-9)
    assert found.verdict is Verdict.FAIL
    assert "of its travel, 10.000 mm from the middle" in note_of(found)


SLOTS = """below: {base_top: {holes: none}}
    slots:
      a: {slot: [29, 9], at: [-50, -30], adjusts: base_top}
      b: {slot: [29, 9], at: [50, -30], adjusts: base_top}
      c: {slot: [29, 9], at: [-50, 30], adjusts: base_top}
      d: {slot: [29, 9], at: [50, 30], adjusts: base_top}"""


def test_heads_stand_on_slots_too(tmp_path: Path) -> None:
    stack = stack_of(tmp_path, BASE.format(post=90.0).replace("below: {base_top: {holes: clear}}", SLOTS))
    bolts = contents_of(stack).fasteners
    assert [bolt.name for bolt in bolts] == [f"base_top_{n}" for n in (1, 2, 3, 4)]
    assert {round(bolt.seat.at[2], 9) for bolt in bolts} == {13.0}  # gasket and lid over the base's top at Z = 0


def test_height_counts_gaskets_at_their_thickest(tmp_path: Path) -> None:
    """The highest of the rest is a bolt head: gasket 1.0, lid 12, head of an M8 hexagon bolt 5.3 nominal (ISO 4014)."""
    found = {f.features[0]: f for f in findings(stack_of(tmp_path, BASE.format(post=90.0)), "PM681")}
    assert found["post"].measured == pytest.approx(120 - 60, abs=1e-9)
    assert found["base"].measured == pytest.approx(120.0, abs=1e-9)
    (head,) = [f for name, f in found.items() if name.endswith("head")]
    assert head.measured == pytest.approx(120 - 1.0 - 12 - 5.3, abs=1e-9)


def test_a_gasket_that_may_be_thicker_takes_height(tmp_path: Path) -> None:
    """A body of 40 mm on the lid: 1 mm of gasket as fitted, 1.2 mm at most."""
    text = BASE.format(post=90.0).replace("joints:\n  base_top:", TOWER)
    text += "    above: {tower_foot: {holes: tapped, thread_depth: 9}}\n"
    found = next(f for f in findings(stack_of(tmp_path, text), "PM681") if f.part == "tower")
    assert found.measured == pytest.approx(120 - (1.2 + 12 + 40), abs=1e-9)
    words = "gaskets below it leave its top -0.300 to +0.200 mm from 53.000 mm; Z = 0 is the face of base at base_top"
    assert note_of(found) == words


def test_a_height_says_from_where_it_counts(tmp_path: Path) -> None:
    """The tower, listed first, would stand on Z = 0, with the base 14 mm and more below; with a place nothing is chosen."""
    text = BASE.format(post=90.0)
    found = [one for one in findings(stack_of(tmp_path, text), "PM681") if one.part == "base"]
    assert [note_of(one) for one in found] == ["Z = 0 is the face of base at base_top"]
    placed = text.replace(
        "    envelope: {box: [200, 100, 30]}\n", "    envelope: {box: [200, 100, 30]}\n    place: {at: [0, 0, -20]}\n"
    )
    found = [one for one in findings(stack_of(tmp_path, placed), "PM681") if one.part == "base"]
    assert [(one.measured, note_of(one)) for one in found] == [(110.0, "")]


def test_a_first_body_stands_where_another_body_that_has_a_place_holds_it(tmp_path: Path) -> None:
    """The tower's foot at 100: gasket 1 and lid 12 below it, the base's top at 87. It went to Z = 0, off its own joint."""
    text = BASE.format(post=90.0).replace(
        "joints:\n  base_top:", TOWER.replace("[30, 30, 40]}", "[30, 30, 40]}\n    place: {at: [0, 0, 100]}")
    )
    stack = stack_of(tmp_path, text + "    above: {tower_foot: {holes: tapped, thread_depth: 9}}\n")
    assert stack.bodies[0].place is not None
    assert stack.bodies[0].place.to_world((0, 0, 30)) == pytest.approx((0, 0, 87))
    assert all(found.verdict is Verdict.PASS for found in findings(stack, "PM642"))


def test_what_has_no_place_is_not_under_the_ceiling(tmp_path: Path) -> None:
    text = (
        "stack: {ceiling: 50}\nparts:\n  lid: {kind: plate, material: 6061-T6, thickness: 9, outline: {circle: 40}}\n"
    )
    (found,) = findings(stack_of(tmp_path, text), "PM681")
    assert (found.part, found.verdict) == ("lid", Verdict.NOT_CHECKED)


TOWER = """  tower:
    envelope: {box: [30, 30, 40]}
    joints: {tower_foot: {face: below, holes: clear}}
joints:
  tower_foot: {bolts: {pattern: {row: [-8, 8]}, thread: M4}}
  base_top:"""


def test_without_a_ceiling_the_height_is_not_checked(tmp_path: Path) -> None:
    text = BASE.format(post=90.0).replace(", ceiling: 120, below_ceiling: 5", "")
    (found,) = findings(stack_of(tmp_path, text), "PM681")
    assert note_of(found) == "stack.ceiling is not specified"


def test_a_socket_needs_room_beside_its_head(tmp_path: Path) -> None:
    """An M8 hexagon of 13 mm takes a socket of 19.3 mm: a post 9 mm from the bolt's axis stands in it."""
    text = BASE.format(post=90.0).replace("at: [90.0, 0, 0]", "at: [64.0, 30, 13]")
    (found,) = findings(stack_of(tmp_path, text), "PM661")
    assert found.verdict is Verdict.FAIL
    assert found.measured == pytest.approx(9 - 19.3 / 2, abs=1e-6)
    text = BASE.format(post=90.0).replace("at: [90.0, 0, 0]", "at: [66.0, 30, 13]")
    (found,) = findings(stack_of(tmp_path, text), "PM661")
    assert found.verdict is Verdict.PASS
    assert found.measured == pytest.approx(11 - 19.3 / 2, abs=1e-6)


def test_a_key_swings_where_a_bit_socket_does_not_fit(tmp_path: Path) -> None:
    """A socket of 23 mm with a bit needs 11.5 mm beside the axis; the post leaves 9 mm, and a key swings clear of it."""
    text = BASE.format(post=90.0).replace("at: [90.0, 0, 0]", "at: [64.0, 30, 13]").replace("head: hex, ", "")
    stack = stack_of(tmp_path, text)
    (found,) = findings(stack, "PM661")
    assert found.verdict is Verdict.PASS
    assert "a key, long arm out" in note_of(found)
    roofed = text.replace("post:\n", "roof: {envelope: {box: [200, 100, 10]}, place: {at: [0, 0, 30]}}\n  post:\n")
    (found,) = findings(stack_of(tmp_path, roofed), "PM661")
    assert found.verdict is Verdict.FAIL  # 17 mm over the lid, and a screw of 30 mm to draw out


def test_tools_have_the_sizes_of_their_standards(tmp_path: Path) -> None:
    """ISO 2936: the key of 6 mm has arms of 96 and 38 mm; M8 ISO 4762: head 13 mm wide, 8 mm high, hexagon 6 mm."""
    bolt = contents_of(stack_of(tmp_path, BASE.format(post=90.0).replace("head: hex, ", ""))).fasteners[0]
    ways = {way.name: way.figures for way in tool_envelopes(bolt)}
    stem, swing, out = ways["a key, long arm out"]
    assert isinstance(stem, Cylinder)
    assert isinstance(swing, Prism)
    assert isinstance(out, Cylinder)
    assert stem.length == pytest.approx(38 - 8 / 2)  # half the head's height stands in the hexagon
    assert stem.radius == pytest.approx(6 / 3**0.5)  # across corners, sharp
    assert swing.region.area == pytest.approx(math.pi * 96**2 / 6)
    assert out.radius == pytest.approx(6.5)
    assert out.length == pytest.approx(8 + 30, abs=0.5)  # from just over its seat


COVER = """  cover:
    kind: plate
    material: 6061-T6
    thickness: 10
    outline: {rectangle: [130, 90]}
    below: {lid_top: {holes: clear}}
"""


@pytest.mark.parametrize(("x", "gap"), [(18.0, 2.0), (14.0, -2.0)])
def test_a_pipe_fitting_keeps_its_clearance(tmp_path: Path, x: float, gap: float) -> None:
    """A fitting of 22 mm on the plate's middle, 40 mm high; the post, 10 mm square, hangs beside it over the plate."""
    found = next(f for f in findings(stack_of(tmp_path, DRAINED.format(x=x)), "PM641") if "post" in f.features)
    assert set(found.features) == {"post", "plate drain fitting"}
    assert found.measured == pytest.approx(x - 5 - 11, abs=1e-6)
    assert found.verdict is (Verdict.PASS if gap > 0 else Verdict.FAIL)
    if gap < 0:  # over 25 mm of height: the circle's part beyond X = 9, less what lies beside |Y| = 5 of it
        half, wide = math.acos(9 / 11), math.sqrt(11**2 - 9**2)
        segment = 11**2 * half - 9 * wide
        over = math.asin(5 / 11)
        inner = 11**2 * over + 5 * math.sqrt(11**2 - 5**2) - 2 * 5 * 9  # the same beyond X = 9, |Y| < 5 only
        assert wide > 5
        assert inner < segment
        assert note_of(found) == f"they overlap by {25 * inner:.1f} mm3"


DRAINED = """
bodies: {{post: {{envelope: {{box: [10, 10, 60]}}, place: {{at: [{x}, 0, 21]}}}}}}
parts:
  plate: {{kind: drain_plate, material: A36, thickness: 6, outline: {{rectangle: [120, 80]}}, place: {{at: [0, 0, 0]}},
    drain: {{at: [0, 0], pipe_thread: 3/8 NPT, side: above, fitting: {{diameter: 22, length: 40}}}}}}
"""


def test_bolts_with_nuts_take_room_on_both_sides(tmp_path: Path) -> None:
    """Two plates of 10 mm; washers up to 1.8 by 16 (ISO 7089), head 5.3 (ISO 4014), nut 6.8 (ISO 4032), bolt 40 mm long."""
    text = NUTTED.format(washers="true")
    found = {item.name: item.box for item in contents_of(stack_of(tmp_path, text)).items if item.unit == "pair_1"}
    tops = {name.removeprefix("pair_1 "): (round(box[2], 9), round(box[5], 9)) for name, box in found.items()}
    assert tops == {
        "washer": (10.0, 11.8), "head": (11.8, 17.1), "shank": (-28.2, 11.8),
        "nut washer": (-11.8, -10.0), "nut": (-18.6, -11.8),
    }  # fmt: skip
    assert found["pair_1 nut washer"][3] - found["pair_1 nut washer"][0] == pytest.approx(16.0)


@pytest.mark.parametrize(("washers", "gap"), [("false", 21 - 10 - 6.8), ("true", 21 - 10 - 6.8 - 1.8)])
def test_a_nut_keeps_its_clearance(tmp_path: Path, washers: str, gap: float) -> None:
    """A body whose top lies 21 mm below the joint, straight under one of the nuts; the shank ends higher."""
    text = NUTTED.format(washers=washers).replace("length: 40", "length: 25")
    found = next(f for f in findings(stack_of(tmp_path, text), "PM641") if "under" in f.features)
    assert set(found.features) == {"under", "pair_1 nut"}
    assert found.measured == pytest.approx(gap, abs=1e-9)


NUTTED = """
joints: {{pair: {{bolts: {{pattern: {{row: [-20, 20]}}, thread: M8, head: hex, washers: {washers}, length: 40}}}}}}
bodies: {{under: {{envelope: {{box: [10, 10, 9]}}, place: {{at: [-20, 0, -30]}}}}}}
parts:
  top: {{kind: plate, material: S235, thickness: 10, outline: {{rectangle: [80, 40]}}, below: {{pair: {{holes: clear}}}},
    place: {{at: [0, 0, 0]}}}}
  low: {{kind: plate, material: S235, thickness: 10, outline: {{rectangle: [80, 40]}}, above: {{pair: {{holes: clear}}}}}}
"""


def test_what_covers_a_bolt_goes_on_after_it(tmp_path: Path) -> None:
    text = BASE.format(post=90.0).replace("head: hex, ", "").replace("holes: clear", "holes: counterbored")
    bolts = "lid_top: {bolts: {pattern: {row: [-20, 20]}, thread: M6}}"
    text = text.replace("joints:\n  base_top:", f"joints:\n  {bolts}\n  base_top:")
    text += "    above: {lid_top: {holes: tapped}}\n" + COVER
    stack = stack_of(tmp_path, text)
    (order,) = findings(stack, "PM662")
    assert order.verdict is Verdict.PASS
    assert note_of(order) == "tighten in this order: base_top, lid_top"
    under = next(f for f in findings(stack, "PM661") if f.features[0].startswith("base_top"))
    assert "before cover goes on" in note_of(under)


def test_bolts_that_block_each_other_are_named() -> None:
    """Each group's bolts lie behind what the other holds: no order reaches either."""
    held = [
        Held("left", frozenset("ab"), frozenset(["left bolts"]), frozenset("c")),
        Held("right", frozenset("bc"), frozenset(["right bolts"]), frozenset("a")),
        Held("free", frozenset("bd"), frozenset(["free bolts"]), frozenset()),
    ]
    order = assembly_order(held)
    assert order.groups == ("free",)
    assert order.stuck == {"left": frozenset("c"), "right": frozenset("a")}


def test_a_part_on_the_bench_does_not_block() -> None:
    """`inner` lies behind c, but c is held by `outer` alone, which comes off first."""
    held = [
        Held("inner", frozenset("ab"), frozenset(), frozenset("c")),
        Held("outer", frozenset("bc"), frozenset(), frozenset()),
    ]
    order = assembly_order(held)
    assert order.groups == ("inner", "outer")
    assert order.present["inner"] == frozenset("ab")
