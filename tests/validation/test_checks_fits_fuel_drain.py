"""Pressed bosses, fuel rails and drains, through the checks.

Sources: a published press-fit example after Shigley eq. 3-56 (steel shaft of 50 in a steel hub of 80, 40 long, 0.04
interference, E 210 GPa, friction 0.12: 51.2 MPa, 38.6 kN, 117 MPa); Lame's thick cylinder with distortion energy,
written out; ASME B1.20.1 figures as a published thread chart prints them; SAE J1926-1 port -10 from memory (full
thread 0.656 in, spotface 1.344 in).
"""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from platemaker.checks import Verdict
from platemaker.errors import SpecError
from platemaker.parts import Stack
from platemaker.records import replace
from tests.design_stacks import findings_of, inputs, only, stack_of
from tests.plates import note_of

IN = 25.4

BOSS = """
project: fit
design: {DESIGN}
joints: {spots: {spots: {points: {only: [0, 0]}}}}
parts:
  boss:
    {kind: boss_row, joint: spots, material: S235, angle: 90 deg, fit: FIT,
     boss: {outside_diameter: 50, length: 60, bore: BORE},
     casting: {material: S235, flat: {circle: 80}, thickness: 40, bore: 50}}
"""


def fitted(
    folder: Path, fit: str = "{interference: [0.04, 0.04]}", *, bore: str = "0.01", design: str = "boost: 10 bar"
) -> Stack:
    return stack_of(folder, BOSS.replace("FIT", fit).replace("BORE", bore).replace("DESIGN", design))


def test_the_published_press_fit(tmp_path: Path) -> None:
    """The shaft is solid there; a bore of 0.01 in 50 mm moves nothing that is printed."""
    stack = fitted(tmp_path)
    hub, boss, holds = (only(stack, check) for check in ("PM941", "PM942", "PM943"))
    assert inputs(hub)["sigma_A"] == pytest.approx(117, abs=0.5)
    assert inputs(boss)["p"] == pytest.approx(51.2, abs=0.05)
    assert hub.measured == pytest.approx(math.sqrt(117**2 + 117 * 51.2 + 51.2**2), abs=0.5)
    assert boss.measured == pytest.approx(2 * 51.2, abs=0.1)  # a small bore doubles what presses on it
    push = 1.0 * math.pi * 50**2 / 4  # 10 bar on the boss
    assert holds.measured == pytest.approx(38_600 / push, rel=1e-3)
    assert float(inputs(holds)["l_f"]) == pytest.approx(40)


def test_a_hollow_boss_is_softer(tmp_path: Path) -> None:
    """Eq. 3-57, one material: p = E d (D^2 - d^2)(d^2 - d_i^2)/(2 d^3 (D^2 - d_i^2)) with a bore of 25."""
    expected = 210e3 * 0.04 * (80**2 - 50**2) * (50**2 - 25**2) / (2 * 50**3 * (80**2 - 25**2))
    hub = only(fitted(tmp_path, bore="25"), "PM941")
    assert inputs(hub)["sigma_A"] == pytest.approx(expected * (80**2 + 50**2) / (80**2 - 50**2))
    boss = only(fitted(tmp_path, bore="25"), "PM942")
    assert boss.measured == pytest.approx(expected * 2 * 50**2 / (50**2 - 25**2))


def test_zones_of_iso_286(tmp_path: Path) -> None:
    """50 H7/p6: hole 0 to +25, shaft +26 to +42 um: 1 to 42 um. Tight for stress, loose for holding."""
    stack = fitted(tmp_path, "{hole: H7, shaft: p6}")
    assert inputs(only(stack, "PM941"))["delta"] == pytest.approx(0.042)
    assert inputs(only(stack, "PM943"))["delta"] == pytest.approx(0.001)


def test_heat_to_assemble(tmp_path: Path) -> None:
    """(0.04 + 0.02)/(12e-6 x 50) = 100 K over 20 degC."""
    found = only(fitted(tmp_path), "PM946")
    assert (found.measured, found.verdict, found.unit) == (pytest.approx(120.0), Verdict.PASS, "degC")


def test_a_warm_casting_lets_go_of_a_boss_that_grows_less(tmp_path: Path) -> None:
    """Steel in aluminium, 100 K warmer: 50 x (12 - 21.4) um/K x 100 K is 0.047 mm less."""
    text = BOSS.replace("casting: {material: S235", "casting: {material: A356-T6").replace("BORE", "25")
    text = text.replace("DESIGN", "boost: 1 bar, temperature: 120 degC").replace("FIT", "{interference: [0.04, 0.06]}")
    stack = stack_of(tmp_path, text)
    hot = only(stack, "PM945")
    assert hot.measured == pytest.approx(0.04 + (12e-6 - 21.4e-6) * 100 * 50)
    assert hot.verdict is Verdict.FAIL
    assert only(stack, "PM943").verdict is Verdict.FAIL


def test_a_boss_that_grows_more_than_its_casting(tmp_path: Path) -> None:
    """6061 in S235, 23.6 and 12.0 um/m K: at 120 degC 0.058 tighter, at -20 degC 0.0232 looser than at 20 degC."""
    text = BOSS.replace("material: S235, angle", "material: 6061-T6, angle").replace("BORE", "25")
    text = text.replace("DESIGN", "boost: 1 bar, temperature: 120 degC").replace("FIT", "{interference: [0.02, 0.06]}")
    stack = stack_of(tmp_path, text)
    assert inputs(only(stack, "PM942"))["delta"] == pytest.approx(0.06 + 0.058)
    left = only(stack, "PM945")
    assert (left.measured, left.verdict) == (pytest.approx(0.02 - 0.0232), Verdict.FAIL)
    assert only(stack, "PM943").verdict is Verdict.FAIL


def test_a_fit_without_a_temperature_is_not_called_tight(tmp_path: Path) -> None:
    assert only(fitted(tmp_path), "PM945").verdict is Verdict.NOT_CHECKED


def test_compound_makes_the_fit_advice(tmp_path: Path) -> None:
    """10 MPa on pi 50 x 40 is 62.8 kN more; the bare fit's miss becomes a caution."""
    stack = fitted(tmp_path, "{interference: [0.0001, 0.04], retaining_compound: true}")
    bare, glued = only(stack, "PM943"), only(stack, "PM944")
    assert bare.verdict is Verdict.CAUTION
    push = math.pi * 50**2 / 4
    assert glued.measured == pytest.approx((bare.measured or 0.0) + 10 * math.pi * 50 * 40 / push)


RAIL = """
project: rail
design: {boost: 1 bar FUEL}
joints: {injectors: {spots: {row: [-60, 0, 60]}}}
parts:
  rail: {kind: rail, material: 6061-T6, stock: STOCK, length: 200, joint: injectors, passage: 10,
    cross_bore: {diameter: 8}, ends: {thread: THREAD, depth: 14}}
"""


def rail(
    folder: Path,
    *,
    stock: str = "{bar: [25, 30]}",
    thread: str = "9/16-18",
    fuel: str = ", fuel: {pressure: 4 bar, injector_flow: 600 cm3/min}",
) -> Stack:
    return stack_of(folder, RAIL.replace("STOCK", stock).replace("THREAD", thread).replace("FUEL", fuel))


def test_speed_in_the_passage(tmp_path: Path) -> None:
    """Three injectors of 600 cm3/min through pi/4 x 10^2: 30 cm3/s over 78.54 mm2 is 0.382 m/s."""
    assert only(rail(tmp_path), "PM961").measured == pytest.approx(30_000 / (math.pi * 25) / 1000)


def test_rails_of_one_engine_feed_it_together(tmp_path: Path) -> None:
    """Two rails, three injectors of 600 cm3/min of petrol each: 60 cm3/s of 0.74 g for 0.1 kg/s of air at 14.7.

    One rail may feed the other: all of it passes 78.54 mm2.
    """
    fuel = ", air: {mass_flow: 0.1 kg/s}, fuel: {pressure: 4 bar, injector_flow: 600 cm3/min, kind: petrol, lambda: 1, duty: 1}"
    text = RAIL.replace("STOCK", "{bar: [25, 30]}").replace("THREAD", "9/16-18").replace("FUEL", fuel)
    other = text[text.index("  rail: ") :].replace("  rail: ", "  other: ")
    stack = stack_of(tmp_path, text + other)
    assert only(stack, "PM965").measured == pytest.approx(60e-6 * 740 / (0.1 / 14.7))
    assert [found.measured for found in findings_of(stack, "PM961")] == pytest.approx(
        [60_000 / (math.pi * 25) / 1000] * 2
    )


@pytest.mark.parametrize(
    ("speed", "verdict"),
    [(1.49, Verdict.PASS), (1.51, Verdict.CAUTION), (2.99, Verdict.CAUTION), (3.01, Verdict.FAIL)],
)
def test_speed_of_fuel_from_both_sides_of_its_limits(tmp_path: Path, speed: float, verdict: Verdict) -> None:
    """1.5 and 3 m/s; each of three injectors a third of speed times 78.54 mm2, in cm3 a minute."""
    flow = speed * 1000 * math.pi * 25 / 3 * 60 / 1000
    found = only(rail(tmp_path, fuel=f", fuel: {{pressure: 4 bar, injector_flow: {flow:.6f} cm3/min}}"), "PM961")
    assert (found.verdict, found.measured) == (verdict, pytest.approx(speed))


@pytest.mark.parametrize(
    ("factor", "verdict"),
    [(8.1, Verdict.PASS), (7.9, Verdict.CAUTION), (4.1, Verdict.CAUTION), (3.9, Verdict.FAIL)],
)
def test_wall_of_a_rail_from_both_sides_of_its_limits(tmp_path: Path, factor: float, verdict: Verdict) -> None:
    """240 MPa of yield over three times the stress; pressure in bar with 1 of boost; 8 and 4 are the limits."""
    pressure = 240 / (3 * factor) / math.sqrt(3) * (25**2 - (9 / 16 * IN) ** 2) / 25**2
    fuel = f", fuel: {{pressure: {10 * pressure - 1:.6f} bar, injector_flow: 600 cm3/min}}"
    found = only(rail(tmp_path, fuel=fuel), "PM962")
    assert (found.verdict, found.measured) == (verdict, pytest.approx(factor, rel=1e-5))


def test_a_rail_without_a_yield_strength_is_not_checked(tmp_path: Path) -> None:
    text = RAIL.replace("STOCK", "{bar: [25, 30]}").replace("6061-T6", "grey cast iron").replace("THREAD", "9/16-18")
    fuel = ", fuel: {pressure: 4 bar, injector_flow: 600 cm3/min}"
    found = only(stack_of(tmp_path, text.replace("FUEL", fuel)), "PM962")
    assert found.verdict is Verdict.NOT_CHECKED
    assert "no yield strength for grey cast iron" in note_of(found)


def test_all_fuel_goes_through_the_fitting_at_an_end(tmp_path: Path) -> None:
    """The same 30 cm3/s through a bore of 5 mm."""
    fitted = "9/16-18, fitting: {diameter: 20, length: 30, bore: 5}"
    assert only(rail(tmp_path, thread=fitted), "PM961").measured == pytest.approx(30_000 / (math.pi * 6.25) / 1000)


def test_the_wall_is_a_thick_cylinder(tmp_path: Path) -> None:
    """0.5 MPa in the end thread of 14.2875 in the bar's 25: sqrt(3) p D^2/(D^2 - d^2), three times at the crossings."""
    found = only(rail(tmp_path), "PM962")
    stress = math.sqrt(3) * 0.5 * 25**2 / (25**2 - (9 / 16 * IN) ** 2)
    assert found.measured == pytest.approx(240 / (3 * stress))


def test_an_end_thread_is_held_to_its_port(tmp_path: Path) -> None:
    """9/16-18 is port -6: full thread 0.500 in; a thread that is no port's is held to its engagement."""
    found = findings_of(rail(tmp_path), "PM963")
    assert [one.required for one in found] == [pytest.approx(0.5 * IN)] * 2
    (tmp_path / "plain").mkdir()
    plain = findings_of(rail(tmp_path / "plain", thread="M14x1.5"), "PM963")
    assert [(one.measured, one.unit) for one in plain] == [(pytest.approx(1.0), "diameters")] * 2


def test_a_round_rail(tmp_path: Path) -> None:
    found = only(rail(tmp_path, stock="{round: 30}"), "PM962")
    assert inputs(found)["D"] == pytest.approx(30.0)


def test_a_rail_that_nothing_closes_is_not_checked(tmp_path: Path) -> None:
    text = RAIL.replace("STOCK", "{bar: [25, 30]}").replace(", ends: {thread: THREAD, depth: 14}", "")
    found = only(stack_of(tmp_path, text.replace("FUEL", ", fuel: {pressure: 4 bar, injector_flow: 1 L/min}")), "PM963")
    assert (found.verdict, found.features) == (Verdict.NOT_CHECKED, ("passage",))


def test_a_rail_without_fuel_is_told(tmp_path: Path) -> None:
    found = only(rail(tmp_path, fuel=""), "PM961")
    assert (found.verdict, note_of(found)) == (Verdict.NOT_CHECKED, "the spec's `design` has no `fuel`")


DRAIN = """
project: drain
design: {DESIGN}
joints:
  pad: {bolts: {pattern: {row: [-30, 30]}, thread: M8, length: 20}, opening: {circle: 24}, GASKET}
  mount: {bolts: {pattern: {points: {a: [0, 50]}}, thread: M10}, shared: {title: Engine mount SHIM}}
bodies:
  block: {material: grey cast iron, envelope: {box: [90, 60, 40]}, joints: {pad: {thread_depth: 20}}}
parts:
  plate: {kind: drain_plate, material: A36, thickness: THICK, outline: {rectangle: [120, 140]},
    below: {pad: {holes: clear}, mount: {holes: clear}}, drain: {at: [0, 0], THREAD, side: above}}
"""
LINE = "drain: {line: [[0, 0, 0], [30, 0, -40], [30, 0, -140]], hose_bore: 14.3 mm}"


def drain(
    folder: Path,
    *,
    design: str = LINE,
    thick: str = "1/4 in",
    thread: str = "pipe_thread: 3/8 NPT",
    gasket: str = "pressure: 0.05 bar",
    shim: str = "",
) -> Stack:
    text = DRAIN.replace("DESIGN", design).replace("THICK", thick).replace("THREAD", thread)
    return stack_of(folder, text.replace("GASKET", gasket).replace("SHIM", shim))


def test_a_pipe_thread_in_a_quarter_inch(tmp_path: Path) -> None:
    """3/8 NPT: L_1 = 0.240 in hand-tight, three threads more make 0.240 + 3/18 = 0.407 in; 0.25 in is between."""
    found = only(drain(tmp_path), "PM972")
    assert found.measured == pytest.approx(0.25 * IN)
    assert (found.verdict, found.required) == (Verdict.CAUTION, pytest.approx((0.240 + 3 / 18) * IN, abs=0.01))
    (tmp_path / "thin").mkdir()
    thin = only(drain(tmp_path / "thin", thick="6"), "PM972")
    assert (thin.verdict, thin.required) == (Verdict.FAIL, pytest.approx(0.240 * IN))


def test_a_straight_port_needs_its_depth_and_its_spotface(tmp_path: Path) -> None:
    """-10: 0.656 in of full thread and a spotface of 1.344 in; between the bolts' holes stand 2 (30 - 4.5) = 51 mm."""
    stack = drain(tmp_path, thread="port: '-10'", thick="12")
    depth, face = only(stack, "PM973"), only(stack, "PM974")
    assert (depth.measured, depth.required, depth.verdict) == (12.0, pytest.approx(0.656 * IN), Verdict.FAIL)
    assert (face.measured, face.required, face.verdict) == (
        pytest.approx(51.0), pytest.approx(1.344 * IN), Verdict.PASS,
    )  # fmt: skip


def test_a_pocket_takes_from_the_flat_round_a_drain(tmp_path: Path) -> None:
    """10 x 10 whose near wall lies 15 up the plate: 2 x 15 = 30 mm of flat are left, less than 1.344 in, 34.1."""
    pocket = "12, pockets: {p: {shape: {rectangle: [10, 10], at: [0, 20]}, depth: 3, side: above, cutter: 6}}"
    face = only(drain(tmp_path, thread="port: '-10'", thick=pocket), "PM974")
    assert (face.verdict, face.measured) == (Verdict.FAIL, pytest.approx(30.0))


def test_the_slope_is_a_three_four_five_triangle(tmp_path: Path) -> None:
    """30 across in 40 down: asin(3/5) = 36.87 degrees, over the 35 that older practice allows."""
    found = only(drain(tmp_path), "PM975")
    assert (found.measured, found.verdict) == (pytest.approx(math.degrees(math.asin(0.6))), Verdict.FAIL)
    assert found.features == ("drain line", "leg 1")


@pytest.mark.parametrize(("lean", "verdict"), [(14.9, "pass"), (15.1, "caution"), (34.9, "caution"), (35.1, "fail")])
def test_a_drain_line_leans_by_so_much_at_most(tmp_path: Path, lean: float, verdict: str) -> None:
    """15 degrees from the vertical in published guidance, 35 in older practice (common practice, no source)."""
    across = 100 * math.tan(math.radians(lean))
    found = only(drain(tmp_path, design=f"drain: {{line: [[0, 0, 0], [{across:.6f}, 0, -100]]}}"), "PM975")
    assert (found.measured, found.verdict.value) == (pytest.approx(lean), verdict)


@pytest.mark.parametrize(("last", "verdict"), [(-140, Verdict.PASS), (-40.5, Verdict.CAUTION), (-30, Verdict.FAIL)])
def test_a_dip_is_found(tmp_path: Path, last: float, verdict: Verdict) -> None:
    line = f"drain: {{line: [[0, 0, 0], [0, 0, -40], [30, 0, {last}]]}}"
    found = only(drain(tmp_path, design=line), "PM976")
    assert (found.measured, found.verdict) == (pytest.approx(-40 - last if last > -80 else 40), verdict)
    assert inputs(found) == {"leg 1 falls": pytest.approx(40), "leg 2 falls": pytest.approx(-40 - last)}


FITTED = "pipe_thread: 3/8 NPT, fitting: {diameter: 22, length: 40BORE}"


@pytest.mark.parametrize(
    ("bore", "hose", "least", "verdict"),
    [
        (", bore: 11", "14.3 mm", 11.0, Verdict.FAIL),  # the fitting's own bore, not the tap drill of 14.29
        (", bore: 13", "16 mm", 13.0, Verdict.CAUTION),
        (", bore: 14.25", "16 mm", 14.25, Verdict.PASS),
        ("", "11 mm", 11.0, Verdict.FAIL),  # the hose is too narrow, whatever the fitting
        ("", "14.3 mm", None, Verdict.NOT_CHECKED),
    ],
)
def test_the_narrowest_bore_counts(tmp_path: Path, bore: str, hose: str, least: float | None, verdict: Verdict) -> None:
    """Plate, fitting and hose; 12.7 and 14.2 mm of practice."""
    stack = drain(tmp_path, design=LINE.replace("14.3 mm", hose), thread=FITTED.replace("BORE", bore))
    found = only(stack, "PM971")
    assert (found.measured, found.verdict) == (least, verdict)


def test_a_fitting_has_a_wall_inside_its_thread(tmp_path: Path) -> None:
    """9/16 in (14.29 mm) is the tap drill of 3/8 NPT; 33/64 in (13.1 mm) that of 9/16-18."""
    with pytest.raises(SpecError, match=r"parts\.plate\.drain: .*no wall inside its thread, met '14.3 mm'"):
        drain(tmp_path, thread=FITTED.replace("BORE", ", bore: 14.3"))
    with pytest.raises(SpecError, match=r"parts\.rail\.ends: .*no wall inside its thread, met '13.2 mm'"):
        rail(tmp_path, thread="9/16-18, fitting: {diameter: 20, length: 30, bore: 13.2}")


def lens(r: float, s: float, apart: float) -> float:
    """Area that two circles have in common, by their two segments."""
    a = math.acos((apart**2 + r**2 - s**2) / (2 * apart * r))
    b = math.acos((apart**2 + s**2 - r**2) / (2 * apart * s))
    return r**2 * (a - math.sin(2 * a) / 2) + s**2 * (b - math.sin(2 * b) / 2)


@pytest.mark.parametrize(
    ("opening", "least"),
    [
        ("{circle: 10}", 10.0),
        ("{circle: 13}", 13.0),
        ("{circle: 24, at: [0, 10]}", 2 * math.sqrt(lens(14.29 / 2, 12, 10) / math.pi)),
        ("{circle: 24, at: [0, 20]}", 0.0),  # the plate closes it
    ],
)
def test_what_the_opening_leaves_of_the_drain(tmp_path: Path, opening: str, least: float) -> None:
    """The tap drill of 3/8 NPT is 14.29 mm (ASME B1.20.1, 9/16 in)."""
    text = DRAIN.replace("DESIGN", LINE).replace("THICK", "16").replace("THREAD", FITTED.replace("BORE", ", bore: 14"))
    text = text.replace("{circle: 24}", opening).replace("GASKET", "pressure: 0.05 bar").replace("SHIM", "")
    found = only(stack_of(tmp_path, text), "PM971")
    assert found.measured == pytest.approx(least, abs=0.01)
    assert found.verdict is (Verdict.CAUTION if least == 13.0 else Verdict.FAIL)


@pytest.mark.parametrize(
    ("line", "angle", "verdict"),
    [
        # The fitting stands on top: up and 30 across in 40 leaves it by 36.87 degrees.
        ("[[0, 0, 0], [30, 0, 40], [30, 0, 140]]", math.degrees(math.atan2(30, 40)), Verdict.PASS),
        ("[[0, 0, 0], [50, 0, 10], [50, 0, 140]]", math.degrees(math.atan2(50, 10)), Verdict.CAUTION),
        # Down through the plate: the other side than the fitting.
        ("[[0, 0, 0], [0, 0, -40]]", 180.0, Verdict.CAUTION),
    ],
)
def test_the_line_leaves_on_the_fittings_side(tmp_path: Path, line: str, angle: float, verdict: Verdict) -> None:
    stack = drain(tmp_path, design=f"drain: {{line: {line}, hose_bore: 16 mm}}")
    found = only(stack, "PM978")
    assert (found.measured, found.verdict) == (pytest.approx(angle), verdict)
    assert ("on the other side than the fitting" in note_of(found)) == (angle > 90)


def test_a_line_that_rises_brings_the_oil_down(tmp_path: Path) -> None:
    """From the plate 40 and then 100 up; the oil falls by as much."""
    found = only(drain(tmp_path, design="drain: {line: [[0, 0, 0], [30, 0, 40], [30, 0, 140]]}"), "PM976")
    assert (found.measured, found.verdict) == (40.0, Verdict.PASS)


@pytest.mark.parametrize(
    ("gasket", "shim", "out", "verdict"),
    [
        ("pressure: 0.05 bar", "", 6.35, Verdict.CAUTION),
        ("gasket: {thickness: 0.8, land: 3}", "", 7.15, Verdict.CAUTION),
        ("pressure: 0.05 bar", ", shim: 1/4 in", 0.0, Verdict.PASS),
    ],
)
def test_the_mount_moves_by_the_plate(tmp_path: Path, gasket: str, shim: str, out: float, verdict: Verdict) -> None:
    found = only(drain(tmp_path, gasket=gasket, shim=shim), "PM977")
    assert (found.measured, found.verdict) == (pytest.approx(out, abs=1e-9), verdict)
    if not shim and out == 6.35:
        assert note_of(found) == (
            "Engine mount moves out by 6.350 mm: shim its other side by as much, or set this side back"
        )


def test_a_line_not_told_is_not_checked(tmp_path: Path) -> None:
    found = only(drain(tmp_path, design="boost: 1 bar"), "PM975")
    assert (found.verdict, note_of(found)) == (Verdict.NOT_CHECKED, "the spec's `design` has no `drain` line")


def test_a_boss_without_pressure_is_not_checked(tmp_path: Path) -> None:
    stack = replace(fitted(tmp_path), design=None)
    found = only(stack, "PM943")
    assert (found.verdict, note_of(found)) == (Verdict.NOT_CHECKED, "the spec's `design` has no pressure")
