"""Changes of the frozen project's fuel system: O-rings of the injectors, brackets under the rail, fuel for the air.

Sources: O-ring sizes of AS568 (-203: 7.52 +- 0.13 by 3.53 +- 0.10; -110: 9.19 +- 0.13 by 2.62 +- 0.08); all else is
arithmetic, written out beside each number.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from pathlib import Path
from typing import Any

import pytest
from scipy.integrate import quad

from platemaker.checks import Finding, Verdict, check_stack
from platemaker.checks._fuel._rail_brackets import check_rail_brackets
from platemaker.errors import SpecError
from platemaker.parts import Kind
from platemaker.records import replace
from tests.frozen_demo import PRODUCED, changed_findings, changed_stack
from tests.plates import note_of

RAIL_END = {"diameter": 13.2, "length": 9, "o_ring": "AS568-203", "groove": 7.9, "groove_width": 4.6}
BOSS_END = {"diameter": 13.7, "length": 16, "o_ring": "-110", "groove": 9.9, "groove_width": 3.6}


def of(found: Iterable[Finding], check: str, *features: str) -> Finding:
    """The one finding of a check with these among its features."""
    [one] = [each for each in found if each.check == check and set(features) <= set(each.features)]
    return one


def test_a_seat_of_18_squeezes_no_ring(tmp_path: Path) -> None:
    """The end is 13.2 mm, 9 long: at most a 5.33 mm ring, its groove half of that deep or deeper.

    The gland is (18 - 13.2)/2 + 5.33/2 = 5.065 mm deep: (5.33 - 5.065)/5.33 = 5 % of squeeze, and a gap of 2.4 mm, 2.5
    where the bore is 0.2 mm wider, as ISO 2768-m lets it be.
    """
    found = changed_findings(tmp_path, {"parts.fuel_rail.cross_bore.seat.diameter": "18 mm"})
    squeeze, gap = of(found, "PM714", "rail_end"), of(found, "PM715", "rail_end")
    assert (squeeze.part, squeeze.verdict, squeeze.required) == ("fuel_rail", Verdict.FAIL, 0.10)
    assert squeeze.measured == pytest.approx((5.33 - 5.065) / 5.33)
    assert (gap.verdict, gap.measured) == (Verdict.FAIL, pytest.approx(2.5))


def test_a_boss_bored_to_18_squeezes_no_ring(tmp_path: Path) -> None:
    """(18 - 13.7)/2 + 5.33/2 = 4.815 mm of gland: 9.7 %, with a gap of 2.15 mm; a 6.99 ring has no core left; 0.1 more by ISO 2768."""
    boss = {"outside_diameter": 24, "length": 44, "bore": 18, "seat": {"diameter": 19, "depth": 5}}
    found = changed_findings(tmp_path, {"parts.injector_bosses.boss": boss})
    squeeze, gap = of(found, "PM714", "boss_end"), of(found, "PM715", "boss_end")
    assert (squeeze.part, squeeze.verdict) == ("injector_bosses", Verdict.FAIL)
    assert squeeze.measured == pytest.approx((5.33 - 4.815) / 5.33)
    assert (gap.verdict, gap.measured) == (Verdict.FAIL, pytest.approx(2.25))


def test_an_injector_that_the_spec_does_not_give_is_not_checked(tmp_path: Path) -> None:
    """Bosses and rail alone say nothing of rings, play and length in the rail."""
    stack = changed_stack(tmp_path, {})
    row = replace(stack.rows[0], injector=None)
    one = of(check_stack(replace(stack, rows=(row,))), "PM714", "injector")
    assert (one.part, one.verdict) == ("fuel_rail", Verdict.NOT_CHECKED)


def test_a_pipe_thread_in_the_passage_is_held_to_its_own_standard(tmp_path: Path) -> None:
    """1/8 NPT, 16 mm deep: hand-tight 4.1 mm and three turns more are enough; two diameters are for screws."""
    sensor = {"at": [30, 0], "pipe_thread": "1/8 NPT", "depth": 16, "side": "above", "into": ["passage"]}
    found = [
        one for one in changed_findings(tmp_path, {"parts.fuel_rail.holes.sensor": sensor}) if "sensor" in one.features
    ]
    assert [one.verdict for one in found if one.check == "PM980"] == [Verdict.PASS]
    assert not [one for one in found if one.check == "PM963"]


def test_a_ring_that_the_spec_does_not_name_is_not_checked(tmp_path: Path) -> None:
    found = changed_findings(tmp_path, {})
    assert {of(found, "PM714", end).verdict for end in ("rail_end", "boss_end")} == {Verdict.NOT_CHECKED}
    assert note_of(of(found, "PM714", "rail_end")) == "give `o_ring` and `groove` of the injector's rail end"


def squeezed(section: float, inside: float, groove: float, bore: float) -> float:
    """Squeeze of a ring whose volume stays as it is stretched over a groove's floor, in a bore."""
    thinner = section * math.sqrt((inside + section) / max(groove + section, inside + section))
    return 1 - (bore - groove) / 2 / thinner


@pytest.mark.parametrize(
    ("end", "least", "most"),
    [
        ("rail_end", squeezed(3.43, 7.39, 7.9, 13.518), squeezed(3.63, 7.65, 7.9, 13.5)),
        ("boss_end", squeezed(2.54, 9.06, 9.9, 14.018), squeezed(2.70, 9.32, 9.9, 14.0)),
    ],
)
def test_rings_in_their_grooves(tmp_path: Path, end: str, least: float, most: float) -> None:
    """13.5 over a groove of 7.9 leaves 2.80 mm for a ring of 3.53; 14 over 9.9 leaves 2.05 for one of 2.62.

    H7 is 0 to 0.018 mm there (ISO 286-2).
    """
    ends = {"rail_end": RAIL_END, "boss_end": BOSS_END}
    changes = {f"parts.fuel_rail.injector.{one}": stated | {"bore_fit": "H7"} for one, stated in ends.items()}
    found = changed_findings(tmp_path, changes)
    thin, thick = of(found, "PM714", end, "least"), of(found, "PM714", end, "most")
    assert (thin.measured, thin.verdict) == (pytest.approx(least), Verdict.PASS)
    assert (thick.measured, thick.verdict) == (pytest.approx(most), Verdict.PASS)
    assert 0.14 < least < most < 0.23
    assert of(found, "PM716", end).verdict is Verdict.PASS


def test_a_bore_of_general_tolerance_squeezes_by_its_limits(tmp_path: Path) -> None:
    """13.5 within 0.2 mm (ISO 2768-m): the slack ring in 13.7, the thick one in 13.3."""
    found = changed_findings(tmp_path, {"parts.fuel_rail.injector.rail_end": RAIL_END})
    thin, thick = of(found, "PM714", "rail_end", "least"), of(found, "PM714", "rail_end", "most")
    assert (thin.measured, thin.verdict) == (pytest.approx(squeezed(3.43, 7.39, 7.9, 13.7)), Verdict.CAUTION)
    assert (thick.measured, thick.verdict) == (pytest.approx(squeezed(3.63, 7.65, 7.9, 13.3)), Verdict.CAUTION)


@pytest.mark.parametrize(
    ("change", "word", "verdict"),
    [
        ({"groove": 7.2}, "least", Verdict.FAIL),  # 3.15 mm deep: the slack ring of 3.43 has 8 %
        ({"groove": 7.6}, "least", Verdict.CAUTION),  # 2.95 deep, the ring stretched to 3.40: 13 %
        ({"groove": 8.6}, "most", Verdict.CAUTION),  # 2.45 deep, the ring stretched to 3.49: 30 %
        ({"groove": 9.2}, "most", Verdict.FAIL),  # 2.15 deep, 3.41 thick: 37 %
    ],
)
def test_a_groove_too_deep_or_too_shallow(tmp_path: Path, change: dict[str, Any], word: str, verdict: Verdict) -> None:
    found = changed_findings(tmp_path, {"parts.fuel_rail.injector.rail_end": RAIL_END | {"bore_fit": "H7"} | change})
    one = of(found, "PM714", "rail_end", word)
    section, inside, bore = (3.43, 7.39, 13.518) if word == "least" else (3.63, 7.65, 13.5)
    assert (one.measured, one.verdict) == (pytest.approx(squeezed(section, inside, change["groove"], bore)), verdict)


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"parts.fuel_rail.injector.rail_end": RAIL_END | {"length": 4.6}}, "leaves nothing of an end 4.6 mm long"),
        (
            {
                "parts.injector_bosses.boss": {"outside_diameter": 150, "length": 44, "bore": 121},
                "parts.injector_bosses.casting.bore": 150,
                "parts.injector_bosses.casting.spotface": None,
                "parts.injector_bosses.fit": {"interference": [0.01, 0.03]},
                "parts.fuel_rail.injector.boss_end": {"diameter": 120, "length": 9, "bore_fit": "H7"},
            },
            r"fuel.yaml:\d+: parts.fuel_rail.injector.boss_end.bore_fit: H7 is tabled .* met 121 mm",
        ),
    ],
)
def test_ends_that_no_injector_has(tmp_path: Path, changes: dict[str, Any], says: str) -> None:
    with pytest.raises(SpecError, match=says):
        changed_stack(tmp_path, changes)


def test_a_groove_too_narrow_is_overfilled(tmp_path: Path) -> None:
    """The ring's section of 3.59 is 10.1 mm2; 2.80 by 3.6 is 10.08 mm2: more than full."""
    found = changed_findings(
        tmp_path, {"parts.fuel_rail.injector.rail_end": RAIL_END | {"bore_fit": "H7", "groove_width": 3.6}}
    )
    one, thick = of(found, "PM716", "rail_end"), 3.63 * math.sqrt(11.28 / 11.53)
    assert (one.measured, one.verdict) == (pytest.approx(math.pi * thick**2 / 4 / (2.80 * 3.6)), Verdict.FAIL)


BORE = math.pi / 4 * 13.5**2
COS = math.cos(math.radians(45))
SHARE = (77 + 0.075) / 154
"""The injectors' middle lies 0.075 mm behind that of the brackets, 154 mm apart: the rear one takes a little more."""
ARM = 95 * COS + 46.25 - 2 * COS
"""Lever of a thrust square to the rail's face about the foot, at mid-plane: 95 mm flat, then 46.25 at 45 degrees."""
RAIL = 25.4 * 44.45 * 350 * 2.7e-6
WEIGHT = RAIL / 2 * 9.80665 * 3
FAR = math.hypot(95 + 46.25 * COS - 2 * COS, 46.25 * COS + 2 * COS - 2)
SECTION = 30 * 4**2 / 6


def test_10_bar_of_fuel_bends_the_brackets(tmp_path: Path) -> None:
    """10 bar and the boost made, 0.62, on four bores of 13.5 mm lift by 608 N: 426 MPa in 30 x 4 mm, 452 with its weight.

    Yield of S235 is 225 MPa here, and the limit 225/1.2.
    """
    found = changed_findings(tmp_path, {"design.fuel.pressure": "10 bar"})
    one = of([each for each in found if each.part == "rail_bracket_rear"], "PM717")
    thrust = (1.0 + PRODUCED) * BORE * 4 * SHARE
    assert thrust * ARM / SECTION == pytest.approx(426.2, abs=0.5)
    assert one.measured == pytest.approx((thrust * ARM + WEIGHT * FAR) / SECTION, rel=1e-6)
    assert (one.verdict, one.required, one.features) == (Verdict.FAIL, pytest.approx(225 / 1.2), ("fuel_rail",))
    said = {one.symbol: one.value for one in one.inputs}
    assert said["thrust on the rail"] == pytest.approx((1.0 + PRODUCED) * BORE * 4)
    assert (said["lever of the thrust"], said["M"]) == (pytest.approx(ARM), pytest.approx(one.measured * SECTION))
    lifted = of([each for each in found if each.part == "rail_bracket_rear"], "PM718")
    assert (lifted.verdict, lifted.required) == (Verdict.FAIL, 3.5)


def test_a_screw_under_the_rail_tilts_about_the_rails_edge(tmp_path: Path) -> None:
    """The rail is 25.4 wide, its bracket 30; the foot's hole lies 12 mm from the strip's end, nearer than its sides."""
    found = [one for one in changed_findings(tmp_path, {}) if one.check == "PM902" and one.part == "rail_bracket_rear"]
    levers = {one.features[0]: {said.symbol: said.value for said in one.inputs} for one in found}
    assert levers["rail"]["from the screw to the edge it tilts about"] == pytest.approx(25.4 / 2)
    assert levers["foot"]["from the screw to the edge it tilts about"] == pytest.approx(12.0)


def test_3_bar_lifts_the_rail_by_2_mm(tmp_path: Path) -> None:
    """Castigliano on two straight legs of 94.2 and 45.4 mm, mid-plane to the sharp corner; the bend's chord is 1 % off.

    F/(E I) (b³/3 + ((b + a cos 45°)³ − b³)/(3 cos 45°)), F = 103 N, E = 210 GPa, I = 30 4³/12 = 160 mm4. Half the
    rail's weight, three times over, acts on its whole distance from each place instead: that integral by quadrature.
    """
    found = [each for each in changed_findings(tmp_path, {}) if each.part == "rail_bracket_rear"]
    a, b = (full - 2 * math.tan(math.radians(22.5)) for full in (95, 46.25))
    form = b**3 / 3 + ((b + a * COS) ** 3 - b**3) / (3 * COS)
    along = quad(lambda t: math.sqrt(b**2 + t**2 + 2 * b * t * COS) * (b + t * COS), 0, a)[0]
    shaken = WEIGHT * (b**3 / 3 + along)
    lift = ((0.3 + PRODUCED) * BORE * 4 * SHARE * form + shaken) / (210e3 * 160)
    one = of(found, "PM718")
    assert (one.measured, one.verdict) == (pytest.approx(6.5 - lift, abs=0.02 * lift), Verdict.CAUTION)
    stress = of(found, "PM717")
    assert (stress.measured, stress.verdict) == (pytest.approx(170.7, abs=0.1), Verdict.CAUTION)


def test_rail_and_brackets_against_the_firing(tmp_path: Path) -> None:
    """k = E I over the form above, 51.7 N/mm, half the rail and 33/140 of 0.156 kg: 48 Hz; four cylinders fire at 93."""
    found = changed_findings(tmp_path, {"design.engine.cylinders": 4})
    one = of([each for each in found if each.part == "rail_bracket_rear"], "PM719")
    a, b = (full - 2 * math.tan(math.radians(22.5)) for full in (95, 46.25))
    k = 1000 * 210e3 * 160 / (b**3 / 3 + ((b + a * COS) ** 3 - b**3) / (3 * COS))
    strip = 30 * 4 * (107 + 62 - 2 * 9 * math.tan(math.radians(22.5)) + math.radians(45) * 7) * 7.85e-6
    first = math.sqrt(k / (RAIL / 2 + 33 / 140 * strip)) / (2 * math.pi)
    assert first == pytest.approx(47.9, abs=0.2)
    assert (one.measured, one.verdict) == (pytest.approx(first / (4 * 2800 / 120), rel=0.01), Verdict.CAUTION)
    assert "48 Hz, firing 93 Hz at 2800 rpm; the firing meets it at 143" in note_of(one)


def test_a_rail_that_nothing_holds_is_not_checked(tmp_path: Path) -> None:
    found = changed_findings(tmp_path, {"parts.rail_bracket_front": None, "parts.rail_bracket_rear": None})
    one = of(found, "PM717", "fuel")
    assert (one.part, one.verdict) == ("fuel_rail", Verdict.NOT_CHECKED)
    assert note_of(one) == "no bracket's hole lies over one of the rail: what holds it down is not known"


def test_rails_hold_nothing_of_each_other(tmp_path: Path) -> None:
    """With a rail where the blower's plate is, the brackets join two rails, and nothing holds either."""
    stack = changed_stack(tmp_path, {})
    parts = (replace(one, kind=Kind.RAIL) if one.name == "blower_plate" else one for one in stack.parts)
    found = check_rail_brackets(replace(stack, parts=tuple(parts)))
    one = of([each for each in found if each.part == "rail_bracket_front"], "PM717", "fuel_rail")
    assert (one.verdict, note_of(one)) == (Verdict.NOT_CHECKED, "its other end lies over no hole of another part")


def test_one_bracket_takes_it_all(tmp_path: Path) -> None:
    """Alone it carries 207 N at 3 bar and boost: (207 x 112.0 + 31.4 x 130.3)/80 = 341 MPa, over yield."""
    found = changed_findings(tmp_path, {"parts.rail_bracket_front": None})
    one = of(found, "PM717")
    assert one.measured == pytest.approx(((0.3 + PRODUCED) * BORE * 4 * ARM + 2 * WEIGHT * FAR) / SECTION)
    assert one.verdict is Verdict.FAIL


def test_a_hole_beside_the_bend_weakens_the_strip(tmp_path: Path) -> None:
    """A hole of 20 in the 30 wide leg, 30 mm from the foot: 10 mm of metal, and a lever shorter by 30 cos 45."""
    holes = {
        "foot": {"leg": 1, "at": [12, 0], "clear": "M8", "over": "blower_plate.rail_rear"},
        "rail": {"leg": 2, "at": [46.25, 0], "clear": "M6", "over": "fuel_rail.rear_mount"},
        "light": {"leg": 1, "at": [42, 0], "diameter": 20},
    }
    found = changed_findings(tmp_path, {"parts.rail_bracket_rear.holes": holes})
    one = of([each for each in found if each.part == "rail_bracket_rear"], "PM717")
    thrust, far = (0.3 + PRODUCED) * BORE * 4 * SHARE, math.hypot(65 + 46.25 * COS - 2 * COS, 46.25 * COS + 2 * COS - 2)
    assert one.measured == pytest.approx((thrust * (ARM - 30 * COS) + WEIGHT * far) / (10 * 16 / 6), rel=1e-6)
    assert "greatest at the light" in note_of(one)


AIR = 1.6e-3 * 2800 * 1.75 / 60 * 0.85 * (101_325 / (287.05 * 303.15))
"""kg/s: 1.6 L a turn at 4900 rpm, 85 % of it, at 30 degC."""


def test_20_cm3_a_minute_starve_the_engine(tmp_path: Path) -> None:
    """Four times 20 cm3 of petrol at 0.74 g are 0.99 g/s for 129 g/s of air: a ratio near 131, where 14.7 burns all."""
    found = changed_findings(tmp_path, {"design.fuel.injector_flow": "20 cm3/min"})
    one, gives = of(found, "PM965", "injectors"), 4 * 20e-6 / 60 * 740
    assert AIR / gives == pytest.approx(131, abs=0.5)
    assert (one.part, one.verdict) == ("fuel_rail", Verdict.FAIL)
    assert one.measured == pytest.approx(gives / (AIR / 14.7), rel=1e-4)
    assert "the air-fuel ratio is 131, 14.7 burns all of the fuel" in note_of(one)


@pytest.mark.parametrize(
    ("changes", "in_rail", "in_boss"),
    [
        ({}, 0.15, 0.15),  # 13.2 in a seat of 13.5; 13.7 in a bore of 14, and 16 in a seat of 17
        ({"diameter": 16.8}, 0.15, 0.1),
        ({"diameter": 17.2}, 0.15, -0.1),
        ({"rail_end.diameter": 13.4}, 0.05, 0.15),
        ({"rail_end.length": 6.6}, 0.1, 0.15),  # it reaches 6.5 mm into the rail
        ({"boss_end.diameter": 13.92}, 0.15, 0.04),
    ],
)
def test_room_round_an_injector(tmp_path: Path, changes: dict[str, float], in_rail: float, in_boss: float) -> None:
    """Half of what a hole is wider by; 0.05 mm is the least (common practice, no source)."""
    found = changed_findings(tmp_path, {f"parts.fuel_rail.injector.{key}": value for key, value in changes.items()})
    for feature, room in (("injectors_1", in_rail), ("bore", in_boss)):
        one = of(found, "PM708", feature)
        assert (one.measured, one.required) == (pytest.approx(room), 0.05)
        assert one.verdict is (Verdict.FAIL if room < 0.05 else Verdict.PASS)


def test_a_sensors_thread_in_the_rail_ends_where_it_meets_the_passage(tmp_path: Path) -> None:
    """The rail is 44.45 high, its passage of 11 in its middle: 22.225 - 5.5 of metal above it, 16.725 of thread."""
    hole = {"at": [0, 0], "tapped": "M12", "depth": 21, "side": "above", "into": ["passage"]}
    found = changed_findings(tmp_path, {"parts.fuel_rail.holes.sensor": hole})
    one = of(found, "PM963", "sensor")
    assert one.measured == pytest.approx((44.45 / 2 - 5.5) / 12)
    assert {said.symbol: said.value for said in one.inputs}["depth"] == pytest.approx(44.45 / 2 - 5.5)


def test_a_flow_stated_at_the_fuels_own_pressure_is_that_flow(tmp_path: Path) -> None:
    """4 x 20 cm3 a minute of 740 kg/m3 for the whole time, as no fuel is named: 0.987 g/s."""
    found = changed_findings(tmp_path, {"design.fuel": {"pressure": "0 bar", "injector_flow": "20 cm3/min"}})
    stated = {one.symbol: one.value for one in of(found, "PM965", "injectors").inputs}
    assert stated["fuel given"] == pytest.approx(4 * 20e-6 / 60 * 740, rel=1e-9)


FUEL = {"pressure": "3 bar", "injector_flow": "320 cm3/min"}


@pytest.mark.parametrize(
    ("fuel", "given", "verdict"),
    [
        # 4 x 320 cm3/min of petrol, 85 % of the time, over air/(0.85 x 14.7).
        ({"kind": "petrol", "lambda": 0.85, "duty": 0.85}, 4 * 320e-6 / 60 * 0.85 * 740 * 0.85 * 14.7, Verdict.PASS),
        # Nothing said: lambda 0.9, duty 0.85.
        ({"kind": "petrol"}, 4 * 320e-6 / 60 * 0.85 * 740 * 0.9 * 14.7, Verdict.PASS),
        # Methanol takes more than twice as much.
        ({"kind": "methanol", "lambda": 0.85}, 4 * 320e-6 / 60 * 0.85 * 796 * 0.85 * 6.46, Verdict.FAIL),
        # E85 by volume: 0.85 x 794 and 0.15 x 740 kg, with 9.0 and 14.7 of air.
        ({"kind": "E85", "lambda": 0.85}, 4 * 320e-6 / 60 * 0.85 * 0.85 * (0.85 * 794 * 9.0 + 0.15 * 740 * 14.7), Verdict.FAIL),
        # Rated at 12 bar they give half at 3.
        ({"kind": "petrol", "lambda": 0.85, "rated_pressure": "12 bar"}, 4 * 160e-6 / 60 * 0.85 * 740 * 0.85 * 14.7, Verdict.FAIL),
    ],
)  # fmt: skip
def test_fuel_for_the_air(tmp_path: Path, fuel: dict[str, Any], given: float, verdict: Verdict) -> None:
    one = of(changed_findings(tmp_path, {"design.fuel": FUEL | fuel}), "PM965", "injectors")
    assert (one.measured, one.verdict) == (pytest.approx(given / AIR, rel=1e-4), verdict)


def test_an_unnamed_fuel_is_not_checked(tmp_path: Path) -> None:
    one = of(changed_findings(tmp_path, {}), "PM965", "injectors")
    assert one.verdict is Verdict.NOT_CHECKED
    assert note_of(one).startswith("name the fuel, `kind` of the design's `fuel`")


FEED = {
    "pressure": "4 bar", "oil": "15W-40", "viscosity_40": 110, "viscosity_100": 10, "temperature": "100 degC",
    "line_bore": "4 mm", "line_length": "800 mm", "restrictor": "1.5 mm", "flow": "1.5 L/min",
    "inlet_pressure": ["1.5 bar", "3.5 bar"],
}  # fmt: skip


def left_at_inlet(length: float, jet: float, C: float, nu: float = 10e-6) -> float:
    """MPa of 0.4 after Hagen and Poiseuille in 4 mm and a jet; 1.5 L/min are 25 cm3/s of 850 kg/m3, Re 796 at 10 mm2/s."""
    line = 128 * nu * 850 * length * 25e-6 / (math.pi * 0.004**4)
    return 0.4 - (line + 425 * (25e-6 / (C * math.pi / 4 * jet**2)) ** 2) / 1e6


@pytest.mark.parametrize(
    ("change", "least", "most", "verdicts"),
    [
        # The line takes 0.034 MPa, a jet of 1.5 mm 0.23 as a sharp edge, 0.13 as a short tube.
        ({}, left_at_inlet(0.8, 0.0015, 0.61), left_at_inlet(0.8, 0.0015, 0.80), (Verdict.FAIL, Verdict.PASS)),
        ({"restrictor": "2 mm"}, left_at_inlet(0.8, 0.002, 0.61), left_at_inlet(0.8, 0.002, 0.80), (Verdict.PASS, Verdict.PASS)),
        ({"restrictor": "4 mm"}, left_at_inlet(0.8, 0.004, 0.61), left_at_inlet(0.8, 0.004, 0.80), (Verdict.PASS, Verdict.FAIL)),
        ({"restrictor": None, "line_length": "10 m"}, left_at_inlet(10, 1, 1), left_at_inlet(10, 1, 1), (Verdict.FAIL, Verdict.PASS)),
    ],
)  # fmt: skip
def test_oil_at_the_turbocharger(
    tmp_path: Path, change: dict[str, Any], least: float, most: float, verdicts: tuple[Verdict, Verdict]
) -> None:
    found = changed_findings(tmp_path, {"design.oil_feed": FEED | change})
    low, high = of(found, "PM979", "least"), of(found, "PM979", "most")
    assert (low.measured, high.measured) == (pytest.approx(least, abs=2e-6), pytest.approx(most, abs=2e-6))
    assert (low.verdict, high.verdict) == verdicts
    assert (low.required, high.required, low.part) == (0.15, 0.35, "oil_return")


def test_cold_oil_is_thicker(tmp_path: Path) -> None:
    """Walther through 110 at 40 and 10 at 100 degC: log log 110.7 = 0.310524 and log log 10.7 = 0.012536.

    B = 0.297988/(log 373.15 - log 313.15) = 3.9141; at 70 degC, 343.15 K: 0.154917, 10^(10^0.154917) - 0.7 = 26.2 mm2/s.
    """
    found = changed_findings(tmp_path, {"design.oil_feed": FEED | {"temperature": "70 degC", "restrictor": None}})
    one = of(found, "PM979", "least")
    said = {one.symbol: one.value for one in one.inputs}
    assert said["viscosity"] == pytest.approx(26.2, abs=0.1)
    assert one.measured == pytest.approx(left_at_inlet(0.8, 1, 1, float(said["viscosity"]) * 1e-6), abs=1e-6)


def test_an_oil_feed_says_what_is_missing(tmp_path: Path) -> None:
    found = changed_findings(tmp_path, {"design.oil_feed": {"pressure": "4 bar", "line_bore": "4 mm"}})
    one = of(found, "PM979", "oil feed")
    assert one.verdict is Verdict.NOT_CHECKED
    assert note_of(one) == (
        "give `temperature`, `line_length`, `flow`, `inlet_pressure`, `oil` of the design's `oil_feed`"
    )


def test_no_oil_feed_no_word(tmp_path: Path) -> None:
    assert not [one for one in changed_findings(tmp_path, {}) if one.check == "PM979"]


@pytest.mark.parametrize(
    ("more", "words"),
    [
        ({"design.fuel.lambda": 3}, "lambda 3 hardly burns: 0.6 to 1.3 do"),
        ({"design.fuel.injectors": 8}, "8 injectors are stated, and the rails have bores for 4"),
    ],
)
def test_fuel_that_can_hardly_be_meant(tmp_path: Path, more: dict[str, Any], words: str) -> None:
    """Enough of it by far, and a caution all the same."""
    found = changed_findings(
        tmp_path, {"design.fuel.kind": "petrol", "design.fuel.injector_flow": "900 cm3/min", **more}
    )
    demand = next(one for one in found if one.check == "PM965")
    assert (demand.verdict, words in note_of(demand)) == (Verdict.CAUTION, True)
