"""What a blower makes of an engine's air, by hand.

A blower of 1.6 L a turn at 85 % and 1.75 turns for each of the engine's moves 2.38 L a turn of it, which takes
4.4 / 2 x 0.85 = 1.87 L (Heywood 1988, eq. 2.27): the air behind it is so much denser, and warmer.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from platemaker.checks import Verdict
from platemaker.parts import Design
from platemaker.resolved import blower_power, blower_speed, boost_of, charge_temperature
from tests.design_stacks import findings_of, only, stack_of
from tests.plates import note_of

PLATE = "parts:\n  lid: {kind: plate, material: 6061-T6, thickness: 10, outline: {rectangle: [100, 80]}}\n"
BLOWER = "blower: {per_turn: 1.6 L, ratio: 1.75, volumetric_efficiency: 0.85}"
ENGINE = "engine: {displacement: 4.4 L, speed: 2800 rpm, volumetric_efficiency: 0.85}"
WARM = "air: {inlet_temperature: 30 degC, outlet_temperature: 120 degC}"


def design(folder: Path, *given: str) -> Design:
    found = stack_of(folder, f"project: trial\ndesign: {{{', '.join(given)}}}\n{PLATE}").design
    assert found is not None
    return found


def test_a_temperature_that_was_read_takes_the_place_of_an_efficiency(tmp_path: Path) -> None:
    """2.38 / 1.87 x 393.15 / 303.15 times 0.101325 MPa, less that."""
    found = design(tmp_path, "boost: 0.6 bar", BLOWER, ENGINE, WARM)
    assert boost_of(found).produced == pytest.approx(0.101325 * (2.38 / 1.87 * 393.15 / 303.15 - 1))
    assert charge_temperature(found) == pytest.approx(393.15)


def test_without_boost_the_air_stays_as_it_is(tmp_path: Path) -> None:
    """0.8 L a turn are 1.19 of the 1.87 that the engine takes: it makes less than no boost."""
    less = BLOWER.replace("1.6 L", "0.8 L").replace("1.75", "1.0")
    found = design(tmp_path, "boost: 0 bar", less, ENGINE, "air: {inlet_temperature: 30 degC}")
    assert charge_temperature(found) == pytest.approx(303.15)
    assert blower_power(found) == pytest.approx(0.0)


@pytest.mark.parametrize(
    ("blower", "rpm"), [(BLOWER, 4900.0), (BLOWER.replace("ratio: 1.75", "speed: 5000 rpm"), 5000.0)]
)
def test_a_blowers_speed(tmp_path: Path, blower: str, rpm: float) -> None:
    found = design(tmp_path, "boost: 0.6 bar", blower, ENGINE)
    assert found.blower is not None
    assert blower_speed(found.blower, found.engine) == pytest.approx(rpm)


def test_a_design_without_air_has_no_charge(tmp_path: Path) -> None:
    found = design(tmp_path, "boost: 0.6 bar")
    assert (charge_temperature(found), blower_power(found)) == (None, None)


def test_the_blowers_power_heats_its_air(tmp_path: Path) -> None:
    """1.6 L x 4900/60 x 0.85 of air at 30 degC from 303.15 to 393.15 K at 1005 J/(kg K), R 287.05 J/(kg K)."""
    flow = 1.6e-3 * 4900 / 60 * 0.85 * 101_325 / (287.05 * 303.15)
    found = blower_power(design(tmp_path, "boost: 0.6 bar", BLOWER, ENGINE, WARM))
    assert found == pytest.approx(flow * 1.005 * 90, rel=2e-3)


@pytest.mark.parametrize(
    ("pressure", "governing", "verdict"),
    [(0.6, 0.06, Verdict.PASS), (0.59, 0.06, Verdict.CAUTION), (0.8, 0.08, Verdict.PASS)],
)
def test_a_relief_valve_opens_above_the_boost(
    tmp_path: Path, pressure: float, governing: float, verdict: Verdict
) -> None:
    given = f"boost: 0.6 bar, blower: {{per_turn: 1.6 L, speed: 4900 rpm}}, relief: {{pressure: {pressure} bar}}"
    stack = stack_of(tmp_path, f"project: trial\ndesign: {{{given}}}\n{PLATE}")
    assert stack.design is not None
    assert boost_of(stack.design).governing == pytest.approx(governing)
    opens, _ = sorted(findings_of(stack, "PM911"), key=lambda one: one.features, reverse=True)
    assert (opens.features, opens.verdict) == (("relief", "pressure"), verdict)


def test_boost_of_a_blower_without_its_engine_is_not_known(tmp_path: Path) -> None:
    text = f"project: trial\ndesign: {{boost: 0.6 bar, blower: {{per_turn: 1.6 L, speed: 4900 rpm}}}}\n{PLATE}"
    found = only(stack_of(tmp_path, text), "PM910")
    assert (found.verdict, note_of(found)) == (
        Verdict.NOT_CHECKED,
        "the boost produced is not known: give the design's `engine`, whose displacement takes the air",
    )


@pytest.mark.parametrize(("over", "verdict"), [(1.049, Verdict.PASS), (1.051, Verdict.FAIL)])
def test_boost_that_is_made_beyond_what_is_specified(tmp_path: Path, over: float, verdict: Verdict) -> None:
    """5 % more than specified, common practice; with the air's temperature as it was read."""
    made = 1.01325 * (2.38 / 1.87 * 393.15 / 303.15 - 1)
    given = f"boost: {made / over:.9f} bar, {BLOWER}, {ENGINE}, {WARM}"
    found = only(stack_of(tmp_path, f"project: trial\ndesign: {{{given}}}\n{PLATE}"), "PM910")
    assert (found.measured, found.verdict) == (pytest.approx(made / 10), verdict)
