"""Tension round the loop, shaft loads and settings, redone by hand.

Two equal pulleys of 200 mm with SPA belts (0.12 kg/m each, from memory, as the table says): pi x 0.2 x 25 = 15.708 m/s,
so that 12 kW pull 763.94 N. Wrap is half a turn on both.
"""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from platemaker.records import replace
from platemaker.resolved import Running
from tests.belt_drives import BLOWER, SLACK, TIGHT, TWO, belt_of, two, with_idler
from tests.design_stacks import stack_of

SPEED = math.pi * 0.2 * 25
PULL = 12_000 / SPEED
FLUNG = 2 * 0.12 * SPEED**2


def test_a_driven_pulley_raises_the_span_that_leaves_it(tmp_path: Path) -> None:
    case = belt_of(two(tmp_path)).case(Running.DRIVING)
    slack, tight = case.tensions
    assert case.speed == pytest.approx(SPEED)
    assert tight - slack == pytest.approx(PULL)
    assert case.pulls == pytest.approx((-PULL, PULL))


def test_needed_tension_is_where_the_capstan_slips(tmp_path: Path) -> None:
    """(T_1 - F_c)/(T_2 - F_c) = exp(0.5123 pi), Shigley 9th ed., eq. 17-7 with the V-belt's friction of sec. 17-3."""
    belt = belt_of(two(tmp_path))
    case = belt.case(Running.DRIVING)
    slack, tight = case.tensions
    assert (tight - FLUNG) / (slack - FLUNG) == pytest.approx(math.exp(0.5123 * math.pi))
    assert belt.tension == pytest.approx((slack + tight) / 2)
    assert belt.grip(case, 1) == pytest.approx(1.0)


def test_a_drive_that_is_worked_out_in_a_book(tmp_path: Path) -> None:
    """Two 26 in sheaves at 400 rpm, 18.63 hp on each of five D belts. Solutions manual to Shigley, problem 17-19, a belt:
    2722.7 ft/min, F_c 25.9 lbf, pull 225.8, e^(f theta) 5, F_i 169.3 (over F_c), F_1 308.1, F_2 82.3 lbf.
    """
    text = TWO.replace("diameter: 200", "diameter: 660.4").replace("-800", "-2000").replace("strands: 2", "strands: 1")
    text = text.replace("1500 rpm", "400 rpm").replace("12 kW, FAN", f"{18.63 * 0.745699872} kW").replace("BEFORE", "")
    drive = belt_of(stack_of(tmp_path, text.replace("MORE", "").replace("LENGTH", f"{4000 + math.pi * 660.4}")))
    pound, speed = 4.4482216, 2722.7 * 0.3048 / 60
    mass = 25.9 * pound / speed**2  # of a D belt, which the catalog does not list
    drive = replace(drive, belt=replace(drive.belt, section=replace(drive.belt.section, mass=mass)))
    case = drive.case(Running.DRIVING)
    assert case.speed == pytest.approx(speed, rel=1e-4)
    assert drive.capstan(1) == pytest.approx(5, abs=5e-4)
    assert drive.needed_tension / pound == pytest.approx(169.3 + 25.9, abs=0.1)
    assert [one / pound for one in case.tensions] == pytest.approx([82.3, 308.1], abs=0.1)


def test_stretch_stays_in_the_belt(tmp_path: Path) -> None:
    """Poncelet: equal spans rise and fall by half the pull about the tension as fitted."""
    belt = belt_of(two(tmp_path, more="tension: 900 N"))
    assert belt.case(Running.STANDING).tensions == pytest.approx((900, 900))
    assert belt.case(Running.DRIVING).tensions == pytest.approx((900 - PULL / 2, 900 + PULL / 2))


def test_grip_counts_how_often_the_power_fits(tmp_path: Path) -> None:
    """k PULL (1/(e - 1) + 1/2) = 900 - F_c: the slack span sinks as the pull grows."""
    belt = belt_of(two(tmp_path, more="tension: 900 N"))
    grown = (900 - FLUNG) / (PULL * (1 / (math.exp(0.5123 * math.pi) - 1) + 0.5))
    assert belt.grip(belt.case(Running.DRIVING), 1) == pytest.approx(grown)


def test_a_shaft_bears_both_spans_less_what_turns_the_belt(tmp_path: Path) -> None:
    """The fan stands at -Y of the motor: it is pulled along +Y, the motor along -Y; standing by 2 x 900 N."""
    belt = belt_of(two(tmp_path, more="tension: 900 N"))
    assert belt.case(Running.STANDING).forces[1] == pytest.approx((0, 1800, 0), abs=1e-9)
    assert belt.case(Running.STANDING).forces[0] == pytest.approx((0, -1800, 0), abs=1e-9)
    assert belt.case(Running.DRIVING).forces[1] == pytest.approx((0, 1800 - 2 * FLUNG, 0), abs=1e-9)


def test_the_tight_span_of_a_clockwise_drive_is_below(tmp_path: Path) -> None:
    """Seen along X with the fan to the right, a clockwise motor takes the belt in from below: on the fan's lower side."""
    belt = belt_of(two(tmp_path))
    tight = max(range(2), key=lambda place: belt.case(Running.DRIVING).tensions[place])
    assert belt.path.spans[tight].tag == "fan to motor"
    assert belt.path.spans[tight].start[1] < 0


def test_overrunning_turns_the_slack_span_tight(tmp_path: Path) -> None:
    """20 kg of 300 mm: m d²/8 = 0.225 kg m²; 3000 rpm a second are 314.16 rad/s²: 70.69 N.m on 0.1 m."""
    belt = belt_of(
        two(tmp_path, "tension: 900 N, slowing: 3000".replace(", ", "\n  "), "rotors: {mass: 20 kg, diameter: 300}")
    )
    back = 0.225 * 3000 * math.tau / 60 / 0.1
    assert belt.case(Running.OVERRUNNING).tensions == pytest.approx((900 + back / 2, 900 - back / 2))


def test_a_plucked_span_sounds_as_a_string(tmp_path: Path) -> None:
    """sqrt(900 N / 0.24 kg/m) over 2 x 0.8 m."""
    assert belt_of(two(tmp_path, more="tension: 900 N")).frequency(0) == pytest.approx(math.sqrt(900 / 0.24) / 1.6)


def test_powers_add_up_round_the_loop(tmp_path: Path) -> None:
    belt = belt_of(with_idler(tmp_path, SLACK, BLOWER, "pump: {at: [0, -260, 260], diameter: 100, power: 3 kW}"))
    speed = math.pi * 0.150 * 50
    slack, same, behind_blower, behind_pump = belt.case(Running.DRIVING).tensions
    assert same == pytest.approx(slack)
    assert behind_blower - slack == pytest.approx(10_000 / speed)
    assert behind_pump - behind_blower == pytest.approx(3_000 / speed)


def test_an_idler_bears_the_vector_sum_of_its_spans(tmp_path: Path) -> None:
    """With the same tension on both sides 2 T sin(wrap/2), square to the chord."""
    belt = belt_of(with_idler(tmp_path, SLACK, BLOWER))
    case = belt.case(Running.STANDING)
    assert math.hypot(*case.forces[1]) == pytest.approx(2 * belt.tension * math.sin(belt.path.wraps[1] / 2))


def test_the_setting_takes_up_the_length_of_the_belt(tmp_path: Path) -> None:
    """The path at the setting is as long as the belt: effective length and 2 pi x 2 mm; fitting and take-up their share."""
    belt = belt_of(with_idler(tmp_path, SLACK, BLOWER))
    fitted, pitch = belt.fitted, math.tau * 2
    assert fitted.length % 5 == 0
    assert belt.path.length == pytest.approx(fitted.length + pitch, abs=1e-6)
    assert fitted.loose is not None
    assert fitted.taken_up is not None
    assert belt.belt.path(fitted.loose).length == pytest.approx(0.985 * fitted.length + pitch, abs=1e-6)
    assert belt.belt.path(fitted.taken_up).length == pytest.approx(1.02 * fitted.length + pitch, abs=1e-6)


def test_an_arm_goes_round_its_pivot(tmp_path: Path) -> None:
    """The idler's middle keeps its distance from the pivot, and swings with a right-handed turn about its axis, X."""
    arm = "idler: {at: [0, 22, 230], diameter: 80, back: true, arm: {pivot: [0, 122, 230]}}"
    belt = belt_of(with_idler(tmp_path, arm, BLOWER))
    _, y, z = belt.centre(1)
    by = math.radians(belt.fitted.at)
    assert (y, z) == pytest.approx((122 - 100 * math.cos(by), 230 - 100 * math.sin(by)))


def test_teeth_in_mesh(tmp_path: Path) -> None:
    """Half of 32 teeth of 12.7 mm; pitch diameter 32 x 12.7/pi."""
    text = two.__globals__["TWO"]
    text = text.replace("section: SPA\n  strands: 2", "section: H\n  width: 50").replace("diameter: 200", "teeth: 32")
    from tests.design_stacks import stack_of

    for word in ("MORE", "FAN", "BEFORE"):
        text = text.replace(word, "")
    belt = belt_of(stack_of(tmp_path, text.replace("LENGTH", "2006.6")))
    assert belt.teeth_in_mesh(1) == 16
    assert belt.pulleys[1].radius == pytest.approx(32 * 12.7 / math.tau)
    assert belt.path.length == pytest.approx(1600 + 32 * 12.7)


def test_belt_on_the_tight_side_is_the_same_path_mirrored(tmp_path: Path) -> None:
    one, other = (belt_of(with_idler(tmp_path, *pulleys)) for pulleys in ((SLACK, BLOWER), (BLOWER, TIGHT)))
    assert one.path.length == pytest.approx(other.path.length)
