"""Rails over boss rows and brackets over holes: alignment, the loop boss-injector-rail-bracket, turning round."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from platemaker.checks import Finding, ItemKind, Verdict, hardware
from platemaker.checks._fit._bracket_loop import check_bracket_loops
from platemaker.checks._metal._crossings import check_crossings
from platemaker.checks._metal._metal import check_metal
from platemaker.checks._stack._boss_rail import check_boss_rail
from platemaker.checks._stack._whole_stack import check_whole_stack
from platemaker.errors import SpecError
from platemaker.parts import Stack, position_zones, turned_round_misfit
from platemaker.records import replace
from platemaker.resolved import assemble
from platemaker.space import rotation
from platemaker.spec import load_project
from tests.plates import note_of

PROJECT = """
project: rows
joints:
  ports: {spots: {row: %(row)s, at: [-60, 0]}}
parts:
  bosses:
    kind: boss_row
    joint: ports
    material: 6061-T6
    angle: %(angle)s
    boss: {outside_diameter: 24, length: 40, bore: 14, seat: {diameter: 17, depth: 5}}
    casting:
      material: A356-T6
      flat: {rectangle: [200, 100]}
      thickness: 20
      bore: 24
      depth: 22
      place: {at: [0, 0, 0]}
  rail:
    kind: rail
    material: 6061-T6
    stock: {bar: [26, 32]}
    length: 180
    joint: ports
    passage: 11
    cross_bore: {diameter: 8, seat: {diameter: 13.5, depth: 7}}
    ends: {thread: 9/16-18, depth: 14}
    bosses: bosses
    %(rail)s
    marks: {front: {text: %(mark)s}}
"""
INJECTOR = (
    "injector: {length: 51.5, diameter: 16, boss_end: {diameter: 13.7, length: 12}, "
    "rail_end: {diameter: 13.2, length: 9}}"
)


FILLED = {"row": "[0, 40, 80, 120]", "angle": "60 deg", "rail": f"standoff: 40\n    {INJECTOR}", "mark": "FRONT"}


def stack_of(tmp_path: Path, extra: str = "", **values: str) -> Stack:
    (tmp_path / "project.yaml").write_text(PROJECT % {**FILLED, **values} + extra, encoding="utf-8")
    return assemble(load_project(tmp_path))


def of(stack: Stack, check: str) -> list[Finding]:
    return [found for found in check_boss_rail(stack) if found.check == check]


def test_the_rail_stands_over_the_bosses_by_its_standoff(tmp_path: Path) -> None:
    """Bosses 40 long, 22 deep in the bore, stand 18 proud; the rail's underside lies 40 further along their axes."""
    stack = stack_of(tmp_path)
    place = stack.part("rail").places[0]
    lean = math.radians(60)
    assert place.origin == pytest.approx((0, 58 * math.cos(lean), 20 + 58 * math.sin(lean)), abs=1e-9)
    assert all(found.measured == pytest.approx(0.0, abs=1e-9) for found in of(stack, "PM701"))
    assert all(found.measured == pytest.approx(0.0, abs=1e-6) for found in of(stack, "PM702"))


def test_what_the_drawings_allow_is_left_for_drilling(tmp_path: Path) -> None:
    """Alignment of 0.6 gives each bore a zone of 0.3: two axes at their rims add 0.3, so 0.29 passes and 0.31 may not."""
    stack = stack_of(tmp_path)
    rail = stack.part("rail")
    for aside, verdict in ((0.29, Verdict.PASS), (0.31, Verdict.CAUTION), (0.61, Verdict.FAIL)):
        part = replace(rail, places=(rail.places[0].moved((aside, 0.0, 0.0)),))
        moved = replace(stack, parts=tuple(part if one is rail else one for one in stack.parts))
        assert {found.verdict for found in of(moved, "PM701")} == {verdict}
    for name in (rail.name, stack.rows[0].casting):
        part = stack.part(name)
        bores = {hole.name for hole in part.holes if hole.joint == stack.rows[0].joint}
        assert len(bores) == 4
        assert position_zones(stack.joints, part, stack.rows) == dict.fromkeys(bores, pytest.approx(0.3))


def test_a_build_of_the_rail_alone_shows_no_injectors(tmp_path: Path) -> None:
    """Four injectors stand in four bosses; without the bosses nothing says where."""
    stack = stack_of(tmp_path)
    alone = replace(stack, parts=(stack.part("rail"),))
    counts = [sum(one.kind is ItemKind.INJECTOR for one in hardware(it)) for it in (stack, alone)]
    assert counts == [4, 0]


def test_without_a_standoff_the_injector_sets_it(tmp_path: Path) -> None:
    """Boss seat 5, rail seat 7 and half a millimetre of play: 51.5 + 0.5 - 5 - 7 = 40."""
    assert stack_of(tmp_path, rail=INJECTOR).rows[0].standoff == pytest.approx(40.0)


def test_a_row_off_its_line_and_a_leaning_rail_are_measured(tmp_path: Path) -> None:
    stack = stack_of(tmp_path)
    rail = stack.part("rail")
    aside = replace(rail, places=(rail.places[0].moved((0.7, 0.0, 0.0)),))
    moved = replace(stack, parts=tuple(aside if part is rail else part for part in stack.parts))
    assert {found.verdict for found in of(moved, "PM701")} == {Verdict.FAIL}
    assert all(found.measured == pytest.approx(0.7, abs=1e-9) for found in of(moved, "PM701"))
    origin = rail.places[0].origin
    turned = replace(rail, places=(rail.places[0].placed(rotation(origin, (1, 0, 0), 1.5)),))
    leaning = replace(stack, parts=tuple(turned if part is rail else part for part in stack.parts))
    assert all(found.measured == pytest.approx(1.5, abs=1e-9) for found in of(leaning, "PM702"))
    assert {found.verdict for found in of(leaning, "PM702")} == {Verdict.FAIL}


@pytest.mark.parametrize(("standoff", "play"), [(40.0, 0.5), (40.6, 1.1), (39.4, -0.1)])
def test_the_loop_of_boss_injector_and_rail_closes_with_play(tmp_path: Path, standoff: float, play: float) -> None:
    """From the boss's seat, 5 deep, 51.5 of injector reach 51.5 - 5 - standoff into a seat 7 deep."""
    stack = stack_of(tmp_path, rail=f"standoff: {standoff}\n    {INJECTOR}")
    found = of(stack, "PM706")[0]
    assert found.measured == pytest.approx(play, abs=1e-9)
    assert found.verdict is (Verdict.FAIL if play < 0.2 else Verdict.PASS)
    assert of(stack, "PM707")[0].measured == pytest.approx(7 - play, abs=1e-9)


def test_the_metal_between_cross_bores_is_that_between_their_seats(tmp_path: Path) -> None:
    walls = {found.features: found for found in check_metal(stack_of(tmp_path, row="[0, 40, 56, 120]"))}
    found = walls["ports_2 counterbore", "ports_3 counterbore"]
    assert found.measured == pytest.approx(16 - 13.5)
    assert found.verdict is Verdict.FAIL


def test_an_even_row_fits_either_way_round(tmp_path: Path) -> None:
    (found,) = of(stack_of(tmp_path), "PM705")
    assert (found.measured, note_of(found)) == (0.0, "either way round fits")


def test_an_uneven_row_needs_its_front_marked(tmp_path: Path) -> None:
    """Gaps of 40, 42, 38 against 38, 42, 40: sums of mirrored places 120, 122, so 1 mm off at best."""
    (found,) = of(stack_of(tmp_path, row="[0, 40, 82, 120]"), "PM705")
    assert found.measured == pytest.approx(1.0)
    assert (found.verdict, note_of(found)) == (Verdict.PASS, "fits one way round only; the FRONT mark says which")
    match = "'rail' does not fit back to front: its bores would stand up to 1.000 mm off the bosses"
    with pytest.raises(SpecError, match=match):
        stack_of(tmp_path, row="[0, 40, 82, 120]", mark="RAIL")


def test_the_misfit_of_a_turned_row_is_its_own_mirror_image_apart() -> None:
    assert turned_round_misfit([(0.0, 0.0), (10.0, 0.0), (30.0, 0.0)]) == pytest.approx((40 - 20 - 10) / 2)
    assert turned_round_misfit([(0.0, 1.0), (10.0, -1.0)]) == pytest.approx(0.0)
    assert turned_round_misfit([(0.0, 1.0), (10.0, 0.0), (20.0, 1.0)]) == pytest.approx(1.0)


@pytest.mark.parametrize(("bore", "room"), [("24", 0.0), ("24.1", 0.05), ("23", -0.5)])
def test_a_boss_fits_the_bore_that_it_stands_in(tmp_path: Path, bore: str, room: float) -> None:
    """A boss of 24 mm: what it has beside it in its casting, all round."""
    text = (PROJECT % FILLED).replace("bore: 24", f"bore: {bore}")
    (tmp_path / "project.yaml").write_text(text, encoding="utf-8")
    stated = [f for f in check_whole_stack(assemble(load_project(tmp_path))) if f.title == "boss in its casting's bore"]
    assert [found.measured for found in stated] == pytest.approx([room])
    assert stated[0].verdict is (Verdict.PASS if room >= 0 else Verdict.FAIL)


def test_an_injector_keeps_clear_of_the_casting(tmp_path: Path) -> None:
    """Square to the casting's flat: 40 mm of boss, 20 deep, 5 sunk. A body of 16 mm comes out of the boss 20 mm over the
    flat, and 4 mm inside the rim of the bore; one of 36 mm, wider than boss and bore, starts at the seat, 15 mm over it.
    """
    (found,) = _injector_to_casting(stack_of(tmp_path, angle="90 deg"))
    assert found.measured == pytest.approx(math.hypot(40 - 20, 24 / 2 - 16 / 2), abs=1e-9)
    wide = FILLED | {"angle": "90 deg", "rail": FILLED["rail"].replace("diameter: 16", "diameter: 36")}
    (found,) = _injector_to_casting(stack_of(tmp_path, **wide))
    assert found.measured == pytest.approx(40 - 20 - 5, abs=1e-9)


def _injector_to_casting(stack: Stack) -> list[Finding]:
    """With a window that reaches so far."""
    stack = replace(stack, room=replace(stack.room, clearance=5.0))
    return [
        f for f in check_whole_stack(stack) if "bosses_drilling" in f.features and "injector" in " ".join(f.features)
    ]


@pytest.mark.parametrize(("length", "room"), [(12, 23.0), (35, 0.0), (38, -3.0)])
def test_an_injector_keeps_off_the_floor_of_a_blind_bore(tmp_path: Path, length: int, room: float) -> None:
    """The boss of 40 stands on the floor, its seat is 5 deep: the shoulder is 35 over it. Through, nothing is below it."""
    rail = FILLED["rail"].replace("diameter: 13.7, length: 12", f"diameter: 13.7, length: {length}")
    stack = stack_of(tmp_path, rail=rail)
    (found,) = [one for one in of(stack, "PM708") if "floor" in one.features]
    assert (found.measured, found.verdict) == (pytest.approx(room), Verdict.PASS if room > 0 else Verdict.FAIL)
    blind = [one for one in check_crossings(stack) if one.part == "bosses_drilling"]
    assert {(one.features, one.verdict) for one in blind} == {
        ((f"ports_{number}", "floor"), Verdict.NOT_CHECKED) for number in (1, 2, 3, 4)
    }
    through = stack_of(tmp_path, rail=rail, row="[0, 40, 80, 120]").folder
    assert through is not None
    text = (through / "project.yaml").read_text(encoding="utf-8").replace("      depth: 22\n", "")
    (through / "project.yaml").write_text(text, encoding="utf-8")
    open_below = assemble(load_project(through))
    assert not [one for one in of(open_below, "PM708") if "floor" in one.features]
    assert not [one for one in check_crossings(open_below) if one.part == "bosses_drilling"]


def test_a_rail_over_no_row_is_refused(tmp_path: Path) -> None:
    stack_of(tmp_path)
    text = (tmp_path / "project.yaml").read_text(encoding="utf-8").replace("    bosses: bosses", "    bosses: boses")
    (tmp_path / "project.yaml").write_text(text, encoding="utf-8")
    with pytest.raises(SpecError, match=r"no boss row is called 'boses'.*did you mean 'bosses'"):
        assemble(load_project(tmp_path))


BRACKET = """
  plate:
    kind: plate
    material: 6061-T6
    thickness: 10
    outline: {rectangle: [60, 60]}
    place: {at: [0, 0, 0]}
    holes: {seat: {at: [0, 0], tapped: M8}}
  wall:
    kind: plate
    material: 6061-T6
    thickness: 10
    outline: {rectangle: [60, 60]}
    place: {at: [%(x)s, 0, %(z)s], turn: [0, %(lean)s, 0]}
    holes: {eye: {at: [0, 0], tapped: M6}}
  angle:
    kind: bracket
    material: S235
    width: 30
    thickness: 4
    legs: [50, 60]
    bends: [{angle: 90 deg, radius: 5}]
    turn: 180 deg
    holes:
      foot: {leg: 1, at: [20, 0], clear: M8, over: plate.seat}
      eye: {leg: 2, at: [40, 0], clear: M6, over: wall.eye}
"""


def bracket_findings(tmp_path: Path, x: float, z: float, lean: float) -> dict[str, Finding]:
    """The bracket lies upside down on the plate, foot over its hole: its second leg hangs down beyond the plate.

    Seen from the plate: leg 1 runs from X = 20 to its outside corner at X = -30; leg 2's outside is the plane X = -30,
    its inside X = -26; the eye is 40 below the outside of leg 1, which lies at Z = 10 + 4.
    """
    stack = stack_of(tmp_path, BRACKET % {"x": x, "z": z, "lean": lean})
    return {found.check: found for found in check_bracket_loops(stack)}


def test_a_loop_that_closes(tmp_path: Path) -> None:
    """The wall's upper face, turned to -X, is 10 over its underside: X = -26 when its origin stands at X = -16."""
    found = bracket_findings(tmp_path, -16, 14 - 40, -90)
    assert [found[check].measured for check in ("PM711", "PM712", "PM713")] == pytest.approx([0, 0, 0], abs=1e-9)


def test_a_loop_that_misses_tells_how(tmp_path: Path) -> None:
    found = bracket_findings(tmp_path, -16 + 0.6, 14 - 40 + 0.5, -90)
    assert found["PM711"].measured == pytest.approx(0.5, abs=1e-9)
    assert found["PM711"].required == pytest.approx((6.6 - 6.0) / 2)
    assert found["PM711"].verdict is Verdict.FAIL
    assert found["PM712"].measured == pytest.approx(0.6, abs=1e-9)
    assert (found["PM712"].verdict, note_of(found["PM712"])) == (Verdict.FAIL, "the bracket does not reach the face")
    leaning = bracket_findings(tmp_path, -16, 14 - 40, -90.7)
    assert leaning["PM713"].measured == pytest.approx(0.7, abs=1e-9)
    assert leaning["PM713"].verdict is Verdict.CAUTION


def test_a_hole_over_nothing_is_refused(tmp_path: Path) -> None:
    broken = BRACKET.replace("over: wall.eye", "over: wall.eie")
    with pytest.raises(SpecError, match=r"'wall' has no hole called 'eie'.*did you mean 'eye'"):
        stack_of(tmp_path, broken % {"x": 0, "z": 0, "lean": -90})
