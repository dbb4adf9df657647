"""Checks of the belt drive: each number by hand, each verdict from both sides of its limit."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from platemaker.checks import Finding, Verdict, check_stack
from platemaker.errors import SpecError
from platemaker.parts import Stack
from platemaker.plane import measures
from platemaker.report import worded
from platemaker.resolved import Running, resolved_stack
from platemaker.resolved._belt_bracket import _least_width
from tests.belt_drives import BLOWER, SLACK, TIGHT, belt_of, two, with_idler
from tests.design_stacks import by_check, inputs, stack_of
from tests.plates import note_of


def belt_findings(stack: Stack, check: str, pulley: str = "") -> list[Finding]:
    return [one for one in by_check(check_stack(stack), check) if not pulley or pulley in one.features]


def the(stack: Stack, check: str, *features: str) -> Finding:
    [found] = [one for one in by_check(check_stack(stack), check) if one.features[1:] == features]
    return found


@pytest.mark.parametrize(
    ("tension", "service", "verdict"),
    [(700, 1.0, Verdict.PASS), (700, 1.2, Verdict.CAUTION), (600, 1.0, Verdict.FAIL)],
)
def test_grip_from_both_sides_of_its_limits(tmp_path: Path, tension: int, service: float, verdict: Verdict) -> None:
    """k PULL (1/(e - 1) + 1/2) = T - F_c with e = exp(0.5123 pi), PULL = 12 kW/15.708 m/s, F_c = 0.24 kg/m v²."""
    text = two(tmp_path, more=f"tension: {tension} N") and (tmp_path / "project.yaml").read_text()
    found = the(stack_of(tmp_path, text.replace("service_factor: 1", f"service_factor: {service}")), "PM992", "fan")
    speed = 5 * math.pi
    grown = (tension - 0.24 * speed**2) / (12_000 / speed * (1 / (math.exp(0.5123 * math.pi) - 1) + 0.5))
    assert found.measured == pytest.approx(grown)
    assert found.verdict is verdict


def test_a_pulley_that_the_pull_of_others_tightens_does_not_slip(tmp_path: Path) -> None:
    """Both its spans lie behind 10 kW: as all pulls grow, they rise by 436 N each, and what 0.1 kW needs by some 20.

    The report is a file of JSON, which has no infinite number.
    """
    small = "small: {at: [0, -300, 250], diameter: 60, power: 0.1 kW}"
    stack = with_idler(tmp_path, BLOWER, small, more="tension: 1500 N")
    found = the(stack, "PM992", "small")
    assert (found.measured, found.verdict) == (100.0, Verdict.PASS)
    assert note_of(found).startswith("this much or more")


@pytest.mark.parametrize(("towards", "leads"), [("[1, -1, 0]", "45 degrees"), ("[-1, 0, 0]", "90 degrees")])
def test_a_slot_lies_in_the_belts_plane(tmp_path: Path, towards: str, leads: str) -> None:
    """The drive's axes lie along X."""
    allowed = "belt.pulleys.idler.slot.towards: the slot leads " + leads + ".*square to the pulley's axis"
    with pytest.raises(SpecError, match=allowed):
        with_idler(tmp_path, SLACK.replace("[0, -1, 0]", towards), BLOWER)


@pytest.mark.parametrize(
    ("width", "at", "verdict"),
    [(30.0, 0, Verdict.PASS), (29.9, 0, Verdict.FAIL), (31.9, 1, Verdict.CAUTION), (32.0, 1, Verdict.PASS)],
)
def test_a_belt_lies_on_the_whole_width_of_its_pulley(tmp_path: Path, width: float, at: int, verdict: Verdict) -> None:
    """Two strands of SPA, whose grooves stand 15 mm apart; 1 mm off line takes 1 mm more on both sides."""
    two(tmp_path)
    text = (
        (tmp_path / "project.yaml").read_text().replace("{at: [0, -800, 0],", f"{{at: [{at}, -800, 0], width: {width},")
    )
    found = the(stack_of(tmp_path, text), "PM989", "fan")
    assert (found.measured, found.verdict) == (width, verdict)


def test_an_idler_in_the_slack_span_passes_and_in_the_pulled_span_fails(tmp_path: Path) -> None:
    slack = the(with_idler(tmp_path, SLACK, BLOWER), "PM993", "idler")
    assert (slack.verdict, slack.measured) == (Verdict.PASS, pytest.approx(0.0, abs=1e-9))
    stack = with_idler(tmp_path, BLOWER, TIGHT)
    tight = the(stack, "PM993", "idler")
    assert tight.verdict is Verdict.FAIL
    assert tight.measured == pytest.approx(10_000 / (math.pi * 0.150 * 50))
    load = math.hypot(*belt_of(stack).case(Running.DRIVING).forces[2])
    assert f"bears {load:.0f} N there; it belongs between crank and blower" in note_of(tight)


def test_an_idler_between_two_driven_pulleys_is_a_caution_below_half_of_the_pull(tmp_path: Path) -> None:
    small = "pump: {at: [0, 200, 260], diameter: 100, power: 1 kW}"
    idler = "idler: {at: [0, 60, 420], diameter: 80, back: true}"
    found = the(with_idler(tmp_path, small, idler, BLOWER.replace("500]", "700]")), "PM993", "idler")
    assert found.verdict is Verdict.CAUTION


AIR = """
design:
  engine: {displacement: 4 L, speed: 3000 rpm}
  blower: {per_turn: 1.5 L, ratio: RATIO}
"""


@pytest.mark.parametrize(
    ("ratio", "verdict"), [("1.5", Verdict.PASS), ("1.53", Verdict.CAUTION), ("1.6", Verdict.FAIL)]
)
def test_ratio_against_the_air_model(tmp_path: Path, ratio: str, verdict: Verdict) -> None:
    """146 + 4 over 96 + 4 is 1.5; the pulley that gives R is (150/R) - 4."""
    blower = BLOWER.replace("power: 10 kW", "takes: blower")
    found = the(with_idler(tmp_path, SLACK, blower, before=AIR.replace("RATIO", ratio)), "PM994", "blower")
    assert found.measured == pytest.approx(abs(1.5 / float(ratio) - 1))
    assert found.verdict is verdict
    assert ("needs a pulley of" in note_of(found)) is (verdict is not Verdict.PASS)
    if note_of(found):
        assert f"{150 / float(ratio) - 4:.2f} mm" in note_of(found)


def test_a_blower_that_no_pulley_drives_is_not_checked(tmp_path: Path) -> None:
    """`takes` forgotten: the belt idles along its pulley, and nothing would slip. A power by hand says no ratio."""
    for blower in (BLOWER, BLOWER.replace("power: 10 kW, ", "")):
        found = the(with_idler(tmp_path, SLACK, blower, before=AIR.replace("RATIO", "1.5")), "PM994", "blower")
        assert found.verdict is Verdict.NOT_CHECKED
        assert note_of(found).startswith("no pulley has `takes: blower`")


def test_the_blowers_power_heats_its_air(tmp_path: Path) -> None:
    """At no boost it takes nothing; at 0.5 bar, 4500 rpm: m = 0.9 x 1.5 L x 75/s x rho, T_2 by eq. 6.42."""
    blower = BLOWER.replace("power: 10 kW", "takes: blower")
    before = AIR.replace("RATIO", "1.5").replace(
        "design:\n", "design:\n  boost: 0.5 bar\n  relief: {pressure: 0.5 bar}\n"
    )
    belt = belt_of(with_idler(tmp_path, SLACK, blower, before=before))
    flow = 0.9 * 1.5e-3 * 75 * 101_325 / (287.05 * 298.15)
    heat = 298.15 * ((1 + 0.5 / 1.01325) ** (0.4 / 1.4) - 1) / 0.6
    assert belt.powers[2] == pytest.approx(flow * 1.005 * heat, rel=1e-3)


@pytest.mark.parametrize(("lean", "verdict"), [("0.4", Verdict.PASS), ("0.6", Verdict.FAIL)])
def test_angle_of_a_pulley(tmp_path: Path, lean: str, verdict: Verdict) -> None:
    slope = math.tan(math.radians(float(lean)))
    found = the(two(tmp_path, fan=f"axis: [1, {slope}, 0]"), "PM995", "fan")
    assert found.measured == pytest.approx(float(lean))
    assert found.verdict is verdict


@pytest.mark.parametrize(("off", "verdict"), [(6.9, Verdict.PASS), (7.1, Verdict.FAIL)])
def test_offset_of_a_pulley(tmp_path: Path, off: float, verdict: Verdict) -> None:
    """0.5 degrees over the span of 800 mm are 6.98 mm, as published: 8.7 mm a metre."""
    text = two(tmp_path) and (tmp_path / "project.yaml").read_text()
    found = the(stack_of(tmp_path, text.replace("fan: {at: [0,", f"fan: {{at: [{off},")), "PM996", "fan")
    assert found.measured == pytest.approx(off)
    assert found.required == pytest.approx(800 * math.tan(math.radians(0.5)))
    assert found.verdict is verdict


@pytest.mark.parametrize(
    ("axis", "turns", "off", "side"),
    [
        ("[1, 0, 0]", "clockwise", "[-9, -800, 0]", "towards the front"),
        ("[-1, 0, 0]", "counterclockwise", "[-9, -800, 0]", "towards the front"),
        ("[-1, 0, 0]", "counterclockwise", "[9, -800, 0]", "towards the rear"),
        ("[0, 0, 1]", "clockwise", "[0, -800, -9]", "along [0, 0, -1]"),
    ],
)
def test_the_side_that_a_pulley_is_off_line(tmp_path: Path, axis: str, turns: str, off: str, side: str) -> None:
    """X runs from the engine's front to its rear, whichever way the driving pulley's axis is written."""
    text = two(tmp_path) and (tmp_path / "project.yaml").read_text()
    text = text.replace("drives: true", f"axis: {axis}, drives: true").replace("turns: clockwise", f"turns: {turns}")
    text = text.replace("fan: {at: [0, -800, 0],", f"fan: {{at: {off}, axis: {axis},")
    assert note_of(the(stack_of(tmp_path, text), "PM996", "fan")).endswith(f"driving pulley's plane, {side}")


def test_a_belt_without_a_setting_has_no_take_up(tmp_path: Path) -> None:
    found = the(two(tmp_path), "PM997", "length")
    assert found.verdict is Verdict.CAUTION
    assert the(two(tmp_path, length="2240"), "PM997", "length").verdict is Verdict.FAIL


def test_a_travel_that_ends_too_early_fails(tmp_path: Path) -> None:
    short = SLACK.replace("[0, -1, 0]}", "[0, -1, 0], travel: [-40, 12]}")
    found = the(with_idler(tmp_path, short, BLOWER), "PM997", "idler", "take-up")
    assert found.verdict is Verdict.FAIL
    assert 0 < (found.measured or 0) < 0.02
    assert the(with_idler(tmp_path, SLACK, BLOWER), "PM997", "idler", "take-up").verdict is Verdict.PASS


def test_the_guard_is_always_a_caution(tmp_path: Path) -> None:
    assert the(two(tmp_path), "PM999", "guard").verdict is Verdict.CAUTION


def test_what_overruns_without_inertia_is_not_checked(tmp_path: Path) -> None:
    assert the(two(tmp_path), "PM992", "overrunning").verdict is Verdict.NOT_CHECKED
    assert not belt_findings(two(tmp_path, fan="rotors: {mass: 20 kg, diameter: 300}"), "PM992", "overrunning")


@pytest.mark.parametrize(
    ("wrap", "verdict"),
    [(120.1, Verdict.PASS), (119.9, Verdict.CAUTION), (90.1, Verdict.CAUTION), (89.9, Verdict.FAIL)],
)
def test_wrap_from_both_sides_of_its_limits(tmp_path: Path, wrap: float, verdict: Verdict) -> None:
    """Open belt on 600 and 100: 180 degrees less 2 asin((D - d)/2C), Shigley 9th ed., eq. 17-1."""
    lean = math.radians(180 - wrap) / 2
    apart = 500 / (2 * math.sin(lean))
    long = 2 * apart * math.cos(lean) + math.pi / 2 * 700 + lean * 500
    text = two(tmp_path, length=f"{long}") and (tmp_path / "project.yaml").read_text()
    text = text.replace("diameter: 200, drives", "diameter: 600, drives")
    text = text.replace("[0, -800, 0], diameter: 200", f"[0, {-apart}, 0], diameter: 100")
    found = the(stack_of(tmp_path, text), "PM990", "fan")
    assert (found.measured, found.verdict) == (pytest.approx(wrap), verdict)


def test_a_small_pulley_fails(tmp_path: Path) -> None:
    small = BLOWER.replace("diameter: 96", "diameter: 44")
    assert the(with_idler(tmp_path, SLACK, small), "PM987", "blower").verdict is Verdict.FAIL
    assert the(with_idler(tmp_path, SLACK, small.replace("44", "45")), "PM987", "blower").verdict is Verdict.PASS


@pytest.mark.parametrize(("room", "verdict"), [(10.1, Verdict.PASS), (9.9, Verdict.FAIL)])
def test_room_round_a_span(tmp_path: Path, room: float, verdict: Verdict) -> None:
    """A box over the upper span, which lies 100 + 2 mm over the axes, 1.2 mm of back over its pitch line."""
    text = two(tmp_path) and (tmp_path / "project.yaml").read_text()
    text = text.replace("section: SPA\n  strands: 2", "section: PK\n  strands: 6")
    body = f"bodies: {{wall: {{envelope: {{box: [60, 200, 50]}}, place: {{at: [0, -400, {103.2 + room}]}}}}}}\nbelt:"
    stack = stack_of(tmp_path, text.replace("belt:", body, 1))
    found = min(
        (one for one in belt_findings(stack, "PM988") if "wall" in one.features), key=lambda one: one.measured or 0
    )
    assert found.measured == pytest.approx(room, abs=1e-6)
    assert found.verdict is verdict


BRACKET = """
project: drive
bodies:
  cover: {material: S235, envelope: {box: [200, 200, 50]}, place: {at: [-50, 0, 150], turn: [0, -90, 0]},
          joints: {foot: {holes: tapped, thread_depth: 25}}}
joints:
  foot: {bolts: {pattern: {rectangle: [60, 60]}, thread: M8, length: 35}}
parts:
  bracket: {kind: plate, material: S235, thickness: THICK, outline: {rectangle: [240, 100]}, below: {foot: {holes: clear}}}
belt:
  section: PK
  strands: 6
  turns: clockwise
  speed: 3000 rpm
  tension: 500 N
  pulleys:
    crank: {at: [-140, 0, 0], diameter: 146, drives: true}
    idler: {mounted_on: bracket, at: [80, 22, OUT], axis: [0, 0, -1], diameter: 80, back: true, stud: 16, overhang: 28,
            slot: {towards: [0, -1, 0], width: 17}, joints: [foot]}
    blower: {at: [-140, 0, 500], diameter: 96, power: 10 kW}
"""


def bracket(folder: Path, thick: int = 12) -> Stack:
    return stack_of(folder, BRACKET.replace("THICK", str(thick)).replace("OUT", "40"))


def test_the_slot_is_as_long_as_the_belt_needs(tmp_path: Path) -> None:
    stack = bracket(tmp_path)
    fitted = belt_of(stack).fitted
    [slot] = stack.part("bracket").profiles
    long = fitted.taken_up - fitted.loose
    assert slot.through
    assert measures(slot.regions[0]).area == pytest.approx(long * 17 + math.pi * 17**2 / 4, rel=1e-5)
    x0, y0, x1, y1 = slot.regions[0].bounds
    assert (x0, x1) == pytest.approx((80 - 8.5, 80 + 8.5), abs=1e-5)
    assert (y0, y1) == pytest.approx((22 - fitted.taken_up - 8.5, 22 - fitted.loose + 8.5), abs=1e-5)


def test_an_arm_gets_an_arc_slot(tmp_path: Path) -> None:
    text = BRACKET.replace("THICK", "12").replace("OUT", "40")
    text = text.replace("slot: {towards: [0, -1, 0], width: 17}", "arm: {pivot: [160, 22, 40], width: 17}")
    stack = stack_of(tmp_path, text.replace("[240, 100]", "[360, 160]"))
    fitted = belt_of(stack).fitted
    [slot] = stack.part("bracket").profiles
    turn = math.radians(abs(fitted.taken_up - fitted.loose))
    assert measures(slot.regions[0]).area == pytest.approx(turn * 80 * 17 + math.pi * 17**2 / 4, rel=1e-4)


def test_bending_and_twist_of_the_bracket(tmp_path: Path) -> None:
    """Cantilever from the middle of the bolts at (0, 0), 100 wide; its least section is beside two bolts' holes of 9.

    The idler's spans pull it along -Y of the plate, square to the arm but for the little that the arm leans.
    """
    stack = bracket(tmp_path)
    belt = belt_of(stack)
    [one] = resolved_stack(stack).brackets
    assert not isinstance(one, str)
    _, y, z = belt.centre(1)
    px, py = z - 150, y
    pull = math.hypot(*belt.case(Running.STANDING).forces[1])
    assert math.hypot(*one.force) == pytest.approx(pull)
    assert one.case.running in (Running.STANDING, Running.DRIVING)
    assert one.arm == pytest.approx(math.hypot(px, py))
    assert one.overhang == pytest.approx(40 - 6)
    along, across = one.force
    bend = abs(along) * 34 * one.arm / (206e3 * one.width * 12**3 / 12)
    assert math.radians(one.bend) == pytest.approx(bend, rel=0.03)  # modulus of steel as the table has it
    k = one.width * 12**3 / 3 * (1 - 0.63 * 12 / one.width)
    assert math.radians(one.twist) == pytest.approx(abs(across) * 34 * one.arm / (k * 80e3), rel=0.03)
    stud = pull * 28**2 / (2 * 205e3 * math.pi * 16**4 / 64)
    assert math.radians(one.stud) == pytest.approx(stud, rel=1e-9)
    assert one.stud_stress == pytest.approx(pull * 28 * 8 / (math.pi * 16**4 / 64), rel=1e-9)


@pytest.mark.parametrize(
    ("u", "arm", "width"),
    [
        ((1.0, 0.0), 60.0, 100 - 2 * 9),  # both holes of 9 at x = 30
        ((0.0, 1.0), 40.0, 240 - 2 * 9),  # both at y = 30
        ((0.6, 0.8), 20.0, 100 / 0.6 - 9),  # 100 high over the cosine, and the hole at (-30, 30)
    ],
)
def test_the_least_width_across_an_arm(tmp_path: Path, u: tuple[float, float], arm: float, width: float) -> None:
    """Of a plate of 240 x 100 with bolts at (+-30, +-30)."""
    text = BRACKET[: BRACKET.index("belt:")].replace("THICK", "12")
    part = stack_of(tmp_path, text).part("bracket")
    assert _least_width(part, (0.0, 0.0), u, arm) == pytest.approx(width, rel=1e-4)


def test_a_bracket_that_is_not_calculated_is_named(tmp_path: Path) -> None:
    """100 mm wide and 120 thick is no strip; the finding is the bracket's, not the first part's."""
    text = BRACKET.replace("THICK", "120").replace("OUT", "148")
    text = text.replace("parts:", "parts:\n  other: {kind: plate, material: S235, thickness: 5, outline: {circle: 20}}")
    [found] = by_check(check_stack(stack_of(tmp_path, text)), "PM986")
    assert (found.part, found.verdict) == ("bracket", Verdict.NOT_CHECKED)
    assert " in) wide at its narrowest" in worded(found.note).inch


def test_a_thicker_bracket_tilts_less(tmp_path: Path) -> None:
    tilts = [the(bracket(tmp_path, thick), "PM986", "idler", "tilt").measured or 0 for thick in (6, 12)]
    assert tilts[0] > 2 * tilts[1]


def test_the_wedge_undoes_the_tilt(tmp_path: Path) -> None:
    found = the(bracket(tmp_path), "PM986", "idler", "tilt")
    assert inputs(found)["wedge"] == pytest.approx(100 * math.tan(math.radians(found.measured or 0)))


@pytest.mark.parametrize(
    ("joints", "free", "owner"),
    [("", "seat", "bracket"), (", joints: [seat]", "foot", "base"), (", joints: [foot]", "seat", "bracket"),
     (", joints: [seat, foot]", "", "")],
)  # fmt: skip
def test_a_pull_that_no_joint_takes_on_is_not_checked(tmp_path: Path, joints: str, free: str, owner: str) -> None:
    """The bracket stands on a base by its seat, the base on the cover, which stands still, by its foot."""
    text = BRACKET.replace("THICK", "12").replace("OUT", "40").replace(", joints: [foot]}", f"{joints}}}")
    text = text.replace("below: {foot: {holes: clear}}", "below: {seat: {holes: clear}}")
    base = "  base: {kind: plate, material: S235, thickness: 20, outline: {rectangle: [240, 100]}, below: {foot: {}}, above: {seat: {holes: tapped}}}"
    seat = "  seat: {bolts: {pattern: {rectangle: [100, 40]}, thread: M8}}"
    stack = stack_of(tmp_path, text.replace("parts:", f"{seat}\nparts:\n{base}"))
    found = [one for one in by_check(check_stack(stack), "PM909") if "idler" in one.features]
    assert [one.verdict for one in found] == [Verdict.NOT_CHECKED] * bool(free)
    if found:
        assert note_of(found[0]).startswith(f"none of {free} takes it on from {owner}: name in `joints` all that lead")


JOINT_LOADS = ("PM901", "PM902", "PM908")


def test_the_belts_pull_loads_the_joints_as_a_typed_force_would(tmp_path: Path) -> None:
    """With the tension stated and no power the standing belt's force acts alone: typed by hand, the findings are alike."""
    text = BRACKET.replace("THICK", "12").replace("OUT", "40").replace("power: 10 kW", "power: 0 kW")
    text = text.replace("speed: 3000 rpm", "speed: 1 rpm\n  idle_speed: 1 rpm").replace(
        "project: drive", "project: drive\ndesign: {friction: waxed}"
    )
    stack = stack_of(tmp_path, text)
    belt = belt_of(stack)
    force, at = belt.case(Running.STANDING).forces[1], belt.centre(1)
    typed = text.replace(", joints: [foot]}", "}").replace(
        "design: {friction: waxed}",
        f"design:\n  friction: waxed\n  loads:\n    hand: {{force: {math.hypot(*force)!r} N, towards: {list(force)}, "
        f"at: {list(at)}, joints: [foot], one_way: true}}",
    )
    (tmp_path / "typed").mkdir()
    other = stack_of(tmp_path / "typed", typed)
    for check in JOINT_LOADS:
        one, same = by_check(check_stack(stack), check), by_check(check_stack(other), check)
        assert [found.measured for found in one] == pytest.approx([found.measured for found in same], rel=1e-4), check
        assert one


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (
            ("at: [0, -800, 0]", "at: [0, -150, 0]"),
            "project.yaml:.*belt.pulleys: pulleys motor and fan overlap by 50.00 mm",
        ),
        (
            ("drives: true}", "drives: true, turns: counterclockwise}"),
            "belt.pulleys.motor.turns: .* turns it clockwise",
        ),
        (
            ("power: 12 kW,", "power: 12 kW, turns: counterclockwise,"),
            "pulley fan runs inside the belt, .*'counterclockwise'",
        ),
        (
            ("lengths: [2228.3]", "length: 2200"),
            r"belt.length: the belt is 28.3 mm shorter than its path, met '2200 mm'.*'2240",
        ),
        (("section: SPA", "section: SPX"), "did you mean 'SPZ'"),
        (("power: 12 kW,", "mounted_on: lids,"), "no body or part is called 'lids'.*did you mean 'lid'"),
        (("power: 12 kW,", "mounted_on: lid,"), "pulley fan is mounted on lid, which has no place"),
        (("power: 12 kW,", "takes: blower,"), "no `design.blower`"),
        (("drives: true", "power: 1 kW"), "one pulley has `drives: true`, met 0"),
        (("power: 12 kW,", "joints: [li],"), "no joint is called 'li'"),
        (("  speed: 1500 rpm\n", ""), "the driving pulley's speed is missing"),
        (("diameter: 200, drives", "teeth: 20, drives"), "has `teeth`, but SPA is no toothed belt"),
    ],
)
def test_bad_input_is_named_with_what_works(tmp_path: Path, change: tuple[str, str], words: str) -> None:
    text = two(tmp_path) and (tmp_path / "project.yaml").read_text()
    assert change[0] in text
    with pytest.raises(SpecError, match=words):
        stack_of(tmp_path, text.replace(*change))


def test_an_idler_that_the_belt_does_not_reach_is_told_where_to_go(tmp_path: Path) -> None:
    away = SLACK.replace("at: [0, 22, 230]", "at: [0, 130, 230]")
    with pytest.raises(
        SpecError, match=r"does not reach idler: its wrap would be -.* move it \d+\.\d\d mm or more along"
    ):
        with_idler(tmp_path, away, BLOWER)


def test_a_length_out_of_the_travels_reach_states_the_range(tmp_path: Path) -> None:
    with pytest.raises(
        SpecError, match=r"belt.length: no belt is tight .*from \d+\.\d to \d+\.\d mm long; did you mean"
    ):
        with_idler(tmp_path, SLACK, BLOWER, more="length: 2000")


def test_a_crossed_belt_turns_its_pulleys_against_each_other(tmp_path: Path) -> None:
    text = two(tmp_path) and (tmp_path / "project.yaml").read_text()
    belt = belt_of(
        stack_of(tmp_path, text.replace("section: SPA", "crossed: true\n  section: SPA").replace("2228.3", "2300"))
    )
    assert [wheel.ccw for wheel in belt.path.wheels] == [False, True]
