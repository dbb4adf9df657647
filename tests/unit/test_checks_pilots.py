"""Pilots: recess and spigot, their fit cold and warm, and what a plate of flat stock cannot carry.

ISO 286-2, read in an open-source library's table: H7 at 40 mm is 0 to +0.025. Expansion of 6061-T6 23.6 and of S235
12 um/m K stand in the catalog; all else is arithmetic.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from platemaker.catalog import material
from platemaker.checks import Finding, Verdict, check_stack
from platemaker.errors import SpecError
from platemaker.export._sheet._first_article import fits_of
from platemaker.parts import Stack
from tests.design_stacks import only, stack_of
from tests.plates import note_of

PUMP = """
project: pump
design: {friction: oiled, temperature: 120 degC}
bodies:
  pump: {material: S235, joints: {flange: {face: below, holes: through, flange_thickness: 12}}}
joints:
  flange:
    bolts: {pattern: {rectangle: [70, 70]}, thread: M8}
    pressure: 1 bar
    opening: {circle: 20}
    pilot: {diameter: 40, spigot: SIDE, height: 6, depth: DEPTH, measured: [39.96, MOST]AT}
    MORE
parts:
  base: {kind: plate, material: 6061-T6, thickness: 40, outline: {rectangle: [120, 120]}, place: {at: [0, 0, 0]},
    above: {flange: {holes: tapped, thread_depth: 18}}, opening: {match: flange, cutter: 10}}
"""


def pump_text(**words: str) -> str:
    text = PUMP
    usual = {"SIDE": "upper", "DEPTH": "6.5", "MOST": "39.98", "AT": "", "MORE": "source: invented"}
    for word, value in {**usual, **words}.items():
        text = text.replace(word, value)
    return text


def pump(folder: Path, **words: str) -> Stack:
    return stack_of(folder, pump_text(**words))


def of(stack: Stack, check: str) -> Finding:
    return only(stack, check)


@pytest.mark.parametrize(("most", "verdict", "clear"), [("39.98", Verdict.PASS, 0.02), ("40.01", Verdict.FAIL, -0.01)])
def test_whether_the_spigot_enters(tmp_path: Path, most: str, verdict: Verdict, clear: float) -> None:
    """The smallest recess, 40.000, less the largest spigot."""
    found = of(pump(tmp_path, MOST=most), "PM524")
    assert (found.part, found.verdict, found.measured) == ("base", verdict, pytest.approx(clear))


def test_cold_shrinks_the_recess_onto_the_spigot(tmp_path: Path) -> None:
    """Aluminium round steel: at -20 degC, 40 K colder, 40 mm lose 40 x 40 x the difference of expansions."""
    found, aluminium, steel = of(pump(tmp_path), "PM525"), material("6061-T6"), material("S235")
    assert aluminium.thermal_expansion and steel.thermal_expansion
    lost = 40 * 40 * (aluminium.thermal_expansion - steel.thermal_expansion)
    assert lost == pytest.approx(0.0185, abs=0.001)
    assert (found.measured, note_of(found)) == (pytest.approx(0.02 - lost), "least at -20 degC")


def test_the_pilot_centres_more_closely_than_the_bolts(tmp_path: Path) -> None:
    """40.025 less 39.96 is 0.065; M8 in 9 (ISO 273, medium) has 1 mm of play."""
    found = of(pump(tmp_path), "PM526")
    assert (found.verdict, found.measured, found.required) == (Verdict.PASS, pytest.approx(0.065), pytest.approx(1.0))


@pytest.mark.parametrize(("depth", "left", "verdict"), [("6.5", 0.5, Verdict.PASS), ("5", -1.0, Verdict.FAIL)])
def test_the_spigot_stays_off_the_floor(tmp_path: Path, depth: str, left: float, verdict: Verdict) -> None:
    stack = pump(tmp_path, DEPTH=depth)
    floor, entered = of(stack, "PM527"), of(stack, "PM528")
    assert (floor.measured, floor.verdict) == (pytest.approx(left), verdict)
    assert entered.measured == pytest.approx(min(6.0, float(depth)))


@pytest.mark.parametrize(
    ("height", "depth", "floor", "entered"),
    [
        (6.0, 5.9, Verdict.FAIL, Verdict.PASS),
        (6.0, 6.1, Verdict.CAUTION, Verdict.PASS),  # 0.2 off the floor is asked for
        (6.0, 6.21, Verdict.PASS, Verdict.PASS),
        (2.1, 3.0, Verdict.PASS, Verdict.PASS),
        (1.9, 3.0, Verdict.PASS, Verdict.CAUTION),  # 2 mm in its recess, 1 mm at the least
        (1.1, 3.0, Verdict.PASS, Verdict.CAUTION),
        (0.9, 3.0, Verdict.PASS, Verdict.FAIL),
        (6.0, 0.9, Verdict.FAIL, Verdict.FAIL),
    ],
)
def test_floor_and_depth_from_both_sides_of_their_limits(
    tmp_path: Path, height: float, depth: float, floor: Verdict, entered: Verdict
) -> None:
    """Common practice, no source."""
    stack = stack_of(tmp_path, pump_text(DEPTH=f"{depth}").replace("height: 6", f"height: {height}"))
    assert (of(stack, "PM527").verdict, of(stack, "PM528").verdict) == (floor, entered)


@pytest.mark.parametrize(
    ("bore", "least", "verdict"),
    [("close", 0.4, Verdict.PASS), ("medium", 1.0, Verdict.PASS), ("loose", 2.0, Verdict.PASS)],
)
def test_the_pilot_against_the_play_of_its_bolts(tmp_path: Path, bore: str, least: float, verdict: Verdict) -> None:
    """ISO 273 for M8: 8.4, 9 and 10."""
    found = of(stack_of(tmp_path, pump_text().replace("thread: M8}", f"thread: M8, fit: {bore}}}")), "PM526")
    assert (found.required, found.verdict) == (pytest.approx(least), verdict)


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ((", temperature: 120 degC", ""), "the spec's `design` states no `temperature`"),
        (("material: S235, ", ""), "the catalog has no thermal expansion for both materials"),
    ],
)
def test_a_warm_pilot_without_what_it_takes_is_not_checked(tmp_path: Path, change: tuple[str, str], says: str) -> None:
    assert change[0] in pump_text()
    found = of(stack_of(tmp_path, pump_text().replace(*change)), "PM525")
    assert (found.verdict, note_of(found)) == (Verdict.NOT_CHECKED, says)


def test_a_shim_takes_height_off_the_spigot(tmp_path: Path) -> None:
    """2 mm of shim leave 4 of the 6 in the recess, and 2.5 over its floor; the shim has room of 1 mm round it."""
    stack = pump(tmp_path, MORE="shim: {thickness: 2}")
    assert of(stack, "PM527").measured == pytest.approx(2.5)
    assert of(stack, "PM528").measured == pytest.approx(4.0)
    room = stack.part("flange_shim").cut("flange_pilot")
    assert getattr(room, "diameter", None) == pytest.approx(41.0)


def test_walls_round_the_recess_and_its_zone_on_the_drawing(tmp_path: Path) -> None:
    """20 mm of recess round [35, 0] leaves 60 - 35 - 20 = 5 to the edge; its floor is 40 - 6.5."""
    stack = pump(tmp_path, AT=", at: [35, 0]")
    walls = {
        one.features: one.measured for one in check_stack(stack, samples=20)
        if one.check == "PM110" and "flange_pilot" in one.features
    }  # fmt: skip
    assert walls["flange_pilot", "outline"] == pytest.approx(5.0)
    assert walls["flange_pilot", "face below"] == pytest.approx(33.5)
    assert fits_of(stack.parts, stack.part("base"), stack.joints) == {"flange_pilot": "H7"}


def test_an_opening_within_the_recess_is_meant_to_be_there(tmp_path: Path) -> None:
    fails = [one for one in check_stack(pump(tmp_path), samples=20) if one.verdict is Verdict.FAIL]
    assert not [one for one in fails if "flange_pilot" in one.features]


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ({"SIDE": "lower"}, "would stand on base, which is cut from flat plate"),
        ({"DEPTH": "40"}, "40 mm deep, the plate is 40 mm thick"),
        ({"MOST": "39.9"}, "least, greatest"),
        ({"MORE": "gasket: {thickness: 1, land: 4}"}, "takes a `seal`, not a `gasket`"),
    ],
)
def test_what_is_refused(tmp_path: Path, words: dict[str, str], says: str) -> None:
    with pytest.raises(SpecError, match=says):
        pump(tmp_path, **words)
