"""What stands beside what: imported bodies, nuts, shanks and a casting's own body are in the way like everything else."""

from __future__ import annotations

import math
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from platemaker.checks import Finding, Verdict
from platemaker.checks._stack._assembly_order import Held, assembly_order
from platemaker.checks._stack._near_places import Position, near_places
from platemaker.checks._stack._own_bores import OwnBore
from platemaker.checks._stack._stack_items import ItemKind, StackItem, contents_of
from platemaker.checks._stack._tools import nut_envelopes
from platemaker.checks._stack._whole_stack import check_whole_stack
from platemaker.parts import Stack
from platemaker.resolved import assemble
from platemaker.space import Cylinder, Prism, box
from platemaker.spec import load_project
from tests.cli_runner import run
from tests.plates import note_of

CASES = Path(__file__).parents[1] / "cases"


def case(name: str, folder: Path, change: Callable[[str], str] = str) -> Stack:
    """The case's project, copied to a folder where its STEP file lies, with a change in its text."""
    text = (CASES / name / "project.yaml").read_text(encoding="utf-8")
    (folder / "project.yaml").write_text(change(text), encoding="utf-8")
    return assemble(load_project(folder))


def of(stack: Stack, check: str) -> list[Finding]:
    return [found for found in check_whole_stack(stack) if found.check == check]


def fails(stack: Stack) -> set[str]:
    return {found.check for found in check_whole_stack(stack) if found.verdict is Verdict.FAIL}


def export(shape: Any, path: Path) -> None:
    import cadquery as cq

    cq.exporters.export(cq.Workplane(obj=shape.val() if hasattr(shape, "val") else shape), str(path))


def block(x: float, y: float, low: float, high: float, at: tuple[float, float] = (0.0, 0.0)) -> Any:
    """A box centred in the plan, between two heights."""
    import cadquery as cq

    return cq.Workplane("XY").box(x, y, high - low, centered=(True, True, False)).translate((*at, low))


@pytest.mark.kernel
def test_imported_lid_over_heads(tmp_path: Path) -> None:
    """The socket stands from 0.5 mm over the plate's face, at 16.5; the lid, 10 mm thick, ends at 36: it would have to
    be 19.5 mm lower. A box of the same size gives the same. The lid's underside lies 4.7 mm over heads of 5.3 mm.
    """
    export(block(120, 90, 0, 10), tmp_path / "lid.step")
    imported = case("imported_lid_over_heads", tmp_path)
    boxed = case("imported_lid_over_heads", tmp_path, lambda text: text.replace("step: lid.step", "box: [120, 90, 10]"))
    for stack in (imported, boxed):
        (room,) = of(stack, "PM661")
        assert (room.part, room.features, room.verdict) == ("plate", ("flange_1", "lid"), Verdict.FAIL)
        assert room.measured == pytest.approx(16.5 - 36, abs=1e-6)
        (order,) = of(stack, "PM662")
        assert (order.verdict, note_of(order)) == (Verdict.FAIL, "no order reaches: flange behind lid")
        (head,) = [one for one in of(stack, "PM641") if "lid" in one.features]
        assert head.measured == pytest.approx(26 - 16 - 5.3, abs=1e-6)


def log(rib: bool) -> Any:
    whole = block(420, 120, -40, 20)
    return whole.union(block(420, 15, 20, 45, (0, 32.5))) if rib else whole


@pytest.mark.kernel
def test_rib_through_bosses(tmp_path: Path) -> None:
    """Axes at 45 degrees meet the flat at Y = 0, Z = 20, and Z = Y + 20: the rib's edge at Y = 25, Z = 45 lies on them.

    So an injector of 16 mm must be moved by its radius. A boss's top stands 60 mm from Y = -20, Z = 0 along the axis; its
    rim lies 12 mm further along Y, leant by 45 degrees, beyond the rib's face at Y = 25. Feet and bores are solid in log.step.
    """
    export(log(rib=True), tmp_path / "log.step")
    stack = case("rib_through_bosses", tmp_path)
    (injector,) = [one for one in of(stack, "PM641") if one.verdict is Verdict.FAIL]
    assert injector.features == ("log", "injector 1")
    assert injector.measured == pytest.approx(-8.0, abs=1e-6)
    bosses = {one.features: one for one in of(stack, "PM642") if one.verdict is Verdict.FAIL}
    assert set(bosses) == {("log", f"bosses {number}") for number in (1, 2, 3, 4)}
    rim = -20 + (60 + 12) * math.sqrt(0.5)
    assert all(one.measured == pytest.approx(25 - rim, abs=1e-6) for one in bosses.values())


@pytest.mark.kernel
def test_a_boss_may_stand_in_its_own_bore_of_an_imported_body(tmp_path: Path) -> None:
    export(log(rib=False), tmp_path / "log.step")
    assert fails(case("rib_through_bosses", tmp_path)) == set()


@pytest.mark.parametrize(("height", "failing"), [(60, set()), (61, {"PM642"}), (66, {"PM642"})])
def test_a_boss_may_stand_in_its_own_bore_of_a_plain_body(tmp_path: Path, height: int, failing: set[str]) -> None:
    """A box up to the flat is where the bores are; what it has over the flat is in the bosses' way by as much."""

    def boxed(text: str) -> str:
        text = text.replace("step: log.step", f"box: [420, 120, {height}]")
        return text.replace("place: {at: [0, 0, 0]}}", "place: {at: [0, 0, -40]}}")

    stack = case("rib_through_bosses", tmp_path, boxed)
    assert fails(stack) == failing
    deep = [one.measured for one in of(stack, "PM642") if one.verdict is Verdict.FAIL]
    # Moved up along Z: by what the box has over the flat, measured on the casting's own face that ends the bore.
    assert deep == pytest.approx([60 - height] * 4 if failing else [], abs=1e-6)


@pytest.mark.parametrize(("height", "failing"), [(60, set()), (61, {"PM642"})])
def test_a_boss_whose_top_the_flat_cuts_through(tmp_path: Path, height: int, failing: set[str]) -> None:
    """33 mm long: its top's middle stands 33 - 28.3 mm beyond the flat, and 12 mm of its rim lies below it."""

    def short(text: str) -> str:
        text = text.replace("step: log.step", f"box: [420, 120, {height}]").replace("length: 60", "length: 33")
        return text.replace("place: {at: [0, 0, 0]}}", "place: {at: [0, 0, -40]}}")

    assert {one for one in fails(case("rib_through_bosses", tmp_path, short)) if one == "PM642"} == failing


def test_what_is_wider_than_the_bore_stands_in_its_spotface_only() -> None:
    """Entry at Z = 20: a spotface of 30 mm, 12 deep, over a bore of 24, 30 deep; the boss ends at Z = 4."""
    boss = Cylinder((0, 0, 0), (0, 0, 4), 12.0)
    bore = OwnBore(20.0, (0.0, 0.0, 1.0), ((15.0, 12.0), (12.0, 30.0)), 0.0, boss, ("casting",))
    wide, narrow = (
        bore.outside(Cylinder((0, 0, 5), (0, 0, 50), 14.0)),
        bore.outside(Cylinder((0, 0, 2), (0, 0, 50), 9.0)),
    )
    assert [(one.start[2], one.end[2]) for one in wide] == [(5.0, 8.0), (20.0, 50.0)]
    assert [(one.start[2], one.end[2]) for one in narrow] == [(20.0, 50.0)]
    deep = bore.outside(Cylinder((0, 0, -15), (0, 0, 2), 13.0))  # beside the boss, as far as the drill went: no farther
    assert [(one.start[2], one.end[2]) for one in deep] == [(-15.0, 2.0)]
    assert bore.outside(Cylinder((0, 0, 0), (0, 0, 4), 9.0)) == ()


@pytest.mark.kernel
def test_a_rib_beside_a_boss_keeps_its_clearance(tmp_path: Path) -> None:
    """0.6 mm from the rims of the bosses' tops, and farther from the injectors."""
    rim = -20 + (60 + 12) * math.sqrt(0.5)
    export(log(rib=False).union(block(420, 10, 20, 38, (0, rim + 0.6 + 5))), tmp_path / "log.step")
    stack = case("rib_through_bosses", tmp_path)
    stated = [one for one in of(stack, "PM641") if one.verdict is Verdict.FAIL]
    assert {one.features for one in stated} == {(f"bosses {number}", "log") for number in (1, 2, 3, 4)}
    assert all(one.measured == pytest.approx(0.6, abs=1e-6) for one in stated)


def test_nut_over_shelf(tmp_path: Path) -> None:
    """The shank ends 8 mm below the plate; a nut of 6.8 mm needs 14.8 mm to come on, and there are 9.2."""
    stack = case("nut_over_shelf", tmp_path)
    heads, nuts = of(stack, "PM661")
    assert (heads.part, heads.features, heads.verdict) == ("top", ("pair",), Verdict.PASS)
    assert (nuts.part, nuts.features, nuts.verdict) == ("low", ("pair_1 nut", "shelf"), Verdict.FAIL)
    assert nuts.measured is not None
    assert nuts.measured < 9.2 - 14.8 + 1e-9
    (order,) = of(stack, "PM662")
    assert (order.verdict, note_of(order)) == (Verdict.FAIL, "no order reaches: pair behind shelf")


@pytest.mark.parametrize(
    ("room", "way"),
    [(14.9, None), (19.0, None), (19.2, "a ring wrench"), (51.1, "a ring wrench"), (51.3, "a socket")],
)
def test_a_nut_takes_a_ring_wrench_where_no_socket_goes_on(tmp_path: Path, room: float, way: str | None) -> None:
    """M8, 13 mm across flats: a ring of 0.7 × 13 + 2 = 11.1 mm goes over a tip at 8 mm; a socket of 50 mm, over a shank
    that stands 1.2 mm out of the nut, is that much deeper.
    """
    stack = case("nut_over_shelf", tmp_path, lambda text: text.replace("-19.2", f"{-10 - room:g}"))
    nuts = of(stack, "PM661")[1]
    assert nuts.verdict is (Verdict.PASS if way else Verdict.FAIL)
    if way:
        assert f"with {way}" in note_of(nuts)


RINGS = {11.1125: (0.695, 3 / 8), 12.7: (0.775, 3 / 8), 15.875: (0.946, 7 / 16), 19.05: (1.125, 35 / 64)}
"""A-A-1346A, table of 3.2: opening in mm; outside diameter and thickness of the head, largest, in."""


@pytest.mark.parametrize("flats", RINGS)
def test_ring_wrenches_are_as_large_as_the_largest_that_are_made(flats: float) -> None:
    """To a twentieth of the width and a fifth of the height."""
    from platemaker.checks._stack._tools import RING_HEIGHT, RING_WIDTH

    wide, high = RINGS[flats]
    assert 1.0 <= (RING_WIDTH[0] * flats + RING_WIDTH[1]) / (25.4 * wide) < 1.05
    assert 1.0 <= (RING_HEIGHT[0] * flats + RING_HEIGHT[1]) / (25.4 * high) < 1.2


def test_a_nut_and_its_washer_come_on_over_the_shank(tmp_path: Path) -> None:
    """ISO 7089 for M8: 16 mm wide, 1.8 mm at most; ISO 4032: 6.8 mm high. Bolt 40 mm long through 32 and a washer."""
    stack = case("nut_over_shelf", tmp_path, lambda text: text.replace("length: 40", "length: 45, washers: true"))
    bolt = contents_of(stack).fasteners[0]
    socket, on = next(nut_envelopes(bolt)).figures
    assert isinstance(on, Cylinder)
    assert on.radius == pytest.approx(8.0)
    assert on.start[2] == pytest.approx(-0.5)
    assert on.end[2] == pytest.approx(-(45 - 1.8 - 32) - 6.8 - 1.8)
    assert isinstance(socket, Cylinder)
    assert socket.radius == pytest.approx(19.3 / 2)
    ring = list(nut_envelopes(bolt))[1]
    assert isinstance(ring.figures[1], Prism)
    assert ring.figures[1].frame.origin[2] == pytest.approx(-(1.8 + 0.5 + 11.1 - 0.4 * 13))


def test_socket_against_shank(tmp_path: Path) -> None:
    """A socket of 19.3 mm; the other bolt's axis 12.6 mm from its own, M8: 12.6 - 4 - 9.65."""
    stack = case("socket_against_shank", tmp_path)
    room = {one.features: one for one in of(stack, "PM661")}
    down = room["down_1", "up_1 shank"]
    assert (down.part, down.verdict) == ("top", Verdict.FAIL)
    assert down.measured == pytest.approx(12.6 - 4 - 19.3 / 2, abs=1e-9)
    (order,) = of(stack, "PM662")
    assert (order.verdict, note_of(order)) == (Verdict.FAIL, "no order reaches: down behind up bolts")


def test_a_shank_that_ends_below_the_face_is_in_no_tools_way(tmp_path: Path) -> None:
    stack = case("socket_against_shank", tmp_path, lambda text: text.replace("length: 70", "length: 40"))
    assert {one.verdict for one in of(stack, "PM661")} == {Verdict.PASS}


def test_bolts_that_hold_the_same_pieces_are_all_there(tmp_path: Path) -> None:
    """Behind a bolt that is undone first, unless that bolt holds the same pieces and is there while this is tightened."""
    one = Held("one", frozenset("ab"), frozenset({"one bolts"}), frozenset({"other bolts"}))
    other = Held("other", frozenset("bc"), frozenset({"other bolts"}), frozenset())
    assert assembly_order([one, other]).groups == ("one", "other")
    beside = Held(one.name, one.joins, one.own, one.behind, frozenset({"other bolts"}))
    order = assembly_order([beside, Held("other", frozenset("ab"), frozenset({"other bolts"}), frozenset())])
    assert order.stuck == {"one": frozenset({"other bolts"})}


def test_a_counterbore_is_for_the_head(tmp_path: Path) -> None:
    stack = case("nut_over_shelf", tmp_path, lambda text: text.replace("holes: clear", "holes: counterbored", 1))
    bolt = contents_of(stack).fasteners[0]
    assert (bolt.owner, bolt.nut and bolt.nut.owner, bolt.seat.sunk) == ("low", "top", True)


def test_a_nut_sits_on_a_slotted_plate(tmp_path: Path) -> None:
    slots = "slots: {a: {slot: [29, 9], at: [-40, -30], adjusts: pair}}\n    below: {pair: {holes: none}}"
    text = "below: {pair: {holes: clear}}"
    stack = case("nut_over_shelf", tmp_path, lambda given: given.replace(text, slots))
    bolts = {one.name: one for one in contents_of(stack).fasteners}
    assert {one.owner for one in bolts.values()} == {"low"}
    assert [one.name for one in bolts.values() if one.nut and one.nut.owner == "top"] == ["pair_1"]


@pytest.mark.parametrize(("role", "what"), [("clear", "nuts"), ("tapped", "heads")])
def test_heads_and_nuts_on_bodies_are_not_checked(tmp_path: Path, role: str, what: str) -> None:
    body = "bodies:\n  block: {envelope: {box: [120, 90, 40]}, joints: {pair: {face: above, holes: clear}}}\n"

    def on_a_body(text: str) -> str:
        low, top = text.index("  low:"), text.index("  top:")
        return (text[:low] + text[top:]).replace("holes: clear", f"holes: {role}").replace("bodies:\n", body)

    (found,) = [one for one in of(case("nut_over_shelf", tmp_path, on_a_body), "PM661") if one.part == "block"]
    assert (found.verdict, note_of(found)) == (Verdict.NOT_CHECKED, f"where the {what} sit on block is not specified")


@pytest.mark.kernel
def test_step_with_nan(tmp_path: Path) -> None:
    """Every coordinate of 5 mm is no number any more."""
    shutil.copytree(CASES / "step_with_nan", tmp_path, dirs_exist_ok=True)
    export(block(10, 10, 0, 30), tmp_path / "box.step")
    text = (tmp_path / "box.step").read_text(encoding="ascii")
    broken = text.replace("(5.,", "(1.E400,NaN,").replace("(-5.,-5.,", "(1.E400,NaN,")
    assert broken != text
    (tmp_path / "box.step").write_text(broken, encoding="ascii")
    line = broken[: broken.index("1.E400")].count("\n") + 1
    stated = (
        f"project.yaml:6: bodies.box.envelope.step: box.step has 1.E400 in its line {line}, which is no finite number"
    )
    for command in (("check", tmp_path), ("build", tmp_path, "--out", tmp_path / "out")):
        answer = run(*command)
        assert answer.code == 2
        assert stated in answer.out + answer.err
    assert not (tmp_path / "out").exists()


def beside(tmp_path: Path, body: Any, parts: str = "") -> list[Finding]:
    """What is stated below the limit of a plate of 60 by 40 by 10 mm on an imported body's face at Z = 0."""
    export(body, tmp_path / "base.step")
    (tmp_path / "project.yaml").write_text(BESIDE + parts, encoding="utf-8")
    found = check_whole_stack(assemble(load_project(tmp_path)))
    return [one for one in found if one.check in ("PM641", "PM642") and {"base", "plate"} == set(one.features)]


BESIDE = """
project: beside
units: mm
bodies:
  base:
    envelope: {step: base.step}
    place: {at: [0, 0, 0]}
    joints: {foot: {face: above, holes: tapped, thread_depth: 12}}
joints: {foot: {bolts: {pattern: {row: [-20, 20]}, thread: M6, length: 20}}}
parts:
  plate:
    kind: plate
    material: 6061-T6
    thickness: 10
    outline: {rectangle: [60, 40]}
    below: {foot: {holes: clear}}
"""


@pytest.mark.kernel
def test_joined_parts_tell_every_near_place(tmp_path: Path) -> None:
    """Walls 0.4 mm and 1.5 mm beside the plate's ends at X = 30 and -30, one 3 mm off its side; faces touch."""
    base = block(80, 60, -20, 0)
    for wall in (block(5, 60, 0, 30, (32.9, 0)), block(5, 60, 0, 30, (-34, 0)), block(70, 5, 0, 30, (0, 25.5))):
        base = base.union(wall)
    stated = beside(tmp_path, base)
    found = sorted((one.check, round(one.measured or 0.0, 6), one.verdict) for one in stated)
    assert found == [
        ("PM641", 0.4, Verdict.FAIL), ("PM641", 1.5, Verdict.CAUTION), ("PM642", 0.0, Verdict.PASS),
    ]  # fmt: skip
    near = next(one for one in stated if one.measured and one.measured == pytest.approx(0.4))
    assert sorted(round(point[0], 6) for point in near.points) == [30.0, 30.4]


@pytest.mark.kernel
def test_a_wall_beside_layers_of_a_plate_is_one_place(tmp_path: Path) -> None:
    """The plate is measured in two layers, over and under its pocket's floor; the wall is one, 0.4 mm off both."""
    pocket = "    pockets: {p: {shape: {circle: 12}, depth: 5, side: above, cutter: 10}}\n"
    base = block(80, 60, -20, 0).union(block(5, 60, 0, 30, (32.9, 0)))
    stated = [one.measured for one in beside(tmp_path, base, pocket) if one.check == "PM641"]
    assert stated == pytest.approx([0.4], abs=1e-6)


@pytest.mark.kernel
def test_a_casting_that_lies_back_from_its_joint_by_little_is_told(tmp_path: Path) -> None:
    """Pads 0.6 mm over the rest of the casting: as cast, it may be anywhere near there."""
    base = block(80, 60, -20, -0.6)
    for x in (-20, 20):
        base = base.union(block(14, 14, -1, 0, (x, 0)))
    found = [(one.check, round(one.measured or 0.0, 6)) for one in beside(tmp_path, base)]
    assert ("PM641", 0.6) in found
    assert ("PM642", 0.0) in found


@pytest.mark.kernel
def test_what_is_cut_back_from_a_made_part_is_the_joints_own(tmp_path: Path) -> None:
    """A relief of 1.2 mm in the plate's face over the casting is meant to be there."""
    relief = "    reliefs: {r: {at: [0, 0], diameter: 16, depth: 1.2, side: below, cutter: 10}}\n"
    assert [one.check for one in beside(tmp_path, block(80, 60, -20, 0), relief)] == ["PM642"]


@pytest.mark.kernel
def test_a_near_place_is_told_at_the_end_of_the_travel(tmp_path: Path) -> None:
    """Slots of 14.6 by 6.6 mm: 4 mm of travel either way; a wall 4.3 mm from the plate's end."""
    base = block(90, 60, -20, 0).union(block(5, 60, 0, 30, (36.8, 0)))
    slots = (
        "    slots: {a: {slot: [14.6, 6.6], at: [-20, 0], adjusts: foot}, "
        "b: {slot: [14.6, 6.6], at: [20, 0], adjusts: foot}}\n"
    )
    export(base, tmp_path / "base.step")
    text = BESIDE.replace("foot: {holes: clear}", "foot: {holes: none}") + slots
    (tmp_path / "project.yaml").write_text(text, encoding="utf-8")
    found = of(assemble(load_project(tmp_path)), "PM641")
    (near,) = [one for one in found if set(one.features) == {"base", "plate"}]
    assert near.measured == pytest.approx(0.3, abs=1e-6)
    assert "of its travel, 4.000 mm from the middle" in note_of(near)


ROUND_THE_EDGE = """
project: round_the_edge
units: mm
parts:
  plate:
    kind: plate
    material: 6061-T6
    thickness: 10
    outline: {{rectangle: [60, 60]}}
    place: {{at: [0, 0, 0]}}
    holes: {{seat: {{at: [0, 0], tapped: M8}}}}
  strap:
    kind: bracket
    material: S235
    width: 20
    thickness: 3
    legs: [60, {middle}, 40]
    bends: [{{angle: 90 deg, radius: 3}}, {{angle: 90 deg, radius: 3}}]
    turn: 180 deg
    holes:
      foot: {{leg: 1, at: [20, 0], clear: M8, over: plate.seat}}
"""


@pytest.mark.parametrize(("middle", "stated"), [(16.5, [0.5]), (17.7, [1.7]), (18.5, [])])
def test_a_bracket_that_comes_back_round_an_edge_is_told(tmp_path: Path, middle: float, stated: list[float]) -> None:
    """The strap lies on the plate, goes down past its edge and back below: its last leg stands middle - 2 × 3 - 10 off."""
    (tmp_path / "project.yaml").write_text(ROUND_THE_EDGE.format(middle=middle), encoding="utf-8")
    found = of(assemble(load_project(tmp_path)), "PM641")
    assert [one.measured for one in found if set(one.features) == {"plate", "strap"}] == pytest.approx(stated, abs=1e-6)


@pytest.mark.parametrize("x", [-15.0, 0.0, 15.0])
def test_a_layer_behind_a_layer_is_no_near_place(x: float) -> None:
    """A floor of 1 mm, 0.5 mm over a bar; on the floor a post, 1.5 mm over the bar, but behind the floor."""
    floor, post = box((-20, -5, 0), (20, 5, 1)), box((x - 2, -2, 1), (x + 2, 2, 10))
    plate = StackItem("plate", "plate", "plate", ItemKind.PART, (floor, post))
    bar = StackItem("bar", "bar", "bar", ItemKind.PART, (box((-20, -5, -5), (20, 5, -0.5)),))
    assert [near.distance for near in near_places([Position(plate, bar)], [], 2.0)] == pytest.approx([0.5])
    alone = StackItem("plate", "plate", "plate", ItemKind.PART, (post,))
    assert [near.distance for near in near_places([Position(alone, bar)], [], 2.0)] == pytest.approx([1.5])


def test_a_leg_that_rises_from_its_joint_is_no_near_place(tmp_path: Path) -> None:
    """Bent up with an outside radius of 1.5 mm, the second leg begins that far over the plate: the bend lies between."""
    text = ROUND_THE_EDGE.format(middle=20).replace("thickness: 3", "thickness: 1").replace("radius: 3", "radius: 0.5")
    text = text.replace("legs: [60, 20, 40]", "legs: [40, 20]").replace(", {angle: 90 deg, radius: 0.5}]", "]")
    text = text.replace("angle: 90", "angle: -90")
    (tmp_path / "project.yaml").write_text(text.replace("turn: 180 deg", "turn: 0 deg"), encoding="utf-8")
    stack = assemble(load_project(tmp_path))
    assert of(stack, "PM641") == []
    assert [one.measured for one in of(stack, "PM642")] == pytest.approx([0.0], abs=1e-9)
