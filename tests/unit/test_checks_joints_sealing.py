"""Lands, gaskets between bolts, O-rings and bending plates: figures redone by hand."""

from __future__ import annotations

import math
from pathlib import Path
from types import SimpleNamespace

import pytest

from platemaker.catalog import gasket_values
from platemaker.checks import Verdict, check_stack
from platemaker.checks._sealing._o_rings import _width_least
from platemaker.parts import Stack
from platemaker.plane import Loop, Region
from tests.design_stacks import by_check, findings_of, inputs, only, stack_of
from tests.plates import note_of

LID = """
project: pot
design: {boost: 1 bar, vacuum: 0.5 bar, friction: waxed, preload_share: 0.5}
bodies:
  pot: {material: A356-T6, envelope: {box: [200, 200, 50]}, joints: {lid: {thread_depth: 24}}}
joints:
  lid:
    bolts: {pattern: PATTERN, thread: M8, length: LENGTH}
    opening: OPENING
    SEAL
parts:
  lid: {kind: plate, material: 6061-T6, thickness: THICK, outline: {rectangle: [160, 130]},
    below: {lid: {holes: clear}} MORE}
"""
SHEET = "gasket: {thickness: 0.8, land: 6}"
RECTANGLE = "{rectangle: [120, 90]}"


def lid(
    folder: Path,
    pattern: str = RECTANGLE,
    *,
    opening: str = "{circle: 60}",
    seal: str = SHEET,
    thick: float = 12,
    more: str = "",
) -> Stack:
    text = LID.replace("PATTERN", pattern).replace("OPENING", opening).replace("SEAL", seal)
    text = text.replace("LENGTH", "35" if thick > 15 else "30")
    return stack_of(folder, text.replace("THICK", f"{thick:g}").replace("MORE", f", {more}" if more else ""))


def test_the_narrowest_land_and_where(tmp_path: Path) -> None:
    """Bolts at (+-40, 0) and (0, +-55): 40 - 30 - 5 = 5 mm from the port to the gasket's hole of 10, on the X axis."""
    pattern = "{points: {w: [-40, 0], n: [0, 55], e: [50, 0], s: [0, -55]}}"
    found = only(lid(tmp_path, pattern), "PM921")
    assert (found.measured, found.verdict) == (pytest.approx(5.0), Verdict.FAIL)
    assert found.features == ("lid", "lid_gasket lid_w")
    assert [point for at in found.points for point in at] == pytest.approx([-30, 0, 0.8, -35, 0, 0.8], abs=1e-9)
    assert found.source == "the spec, joints.lid.gasket.land"


def test_the_outline_ends_the_land_too(tmp_path: Path) -> None:
    """A port of 120 in a lid of 130: 5 mm at its top and bottom; the bolts stand further off."""
    found = only(lid(tmp_path, "{rectangle: [148, 118]}", opening="{circle: 120}"), "PM921")
    assert found.measured == pytest.approx(5.0)
    assert found.features[1].endswith("outline")


def test_a_relief_on_the_face_is_a_covered_cut(tmp_path: Path) -> None:
    """Relief of 10 at 38 from the middle: 38 - 5 - 30 = 3 mm; below the land asked for it is a caution, not a fail."""
    stack = lid(tmp_path, more="reliefs: {stud: {at: [38, 0], diameter: 10, depth: 4}}")
    covered = [found for found in findings_of(stack, "PM921") if "relief" in found.features[1]]
    assert [(found.measured, found.verdict) for found in covered] == [(pytest.approx(3.0), Verdict.CAUTION)]
    assert note_of(covered[0]) == "nothing leads out of it, but the gasket is weak there"


def test_a_pocket_that_meets_the_port_moves_its_edge(tmp_path: Path) -> None:
    """A pocket of 80 below widens the port of 60: from 40 to the edge at 65 are 25 mm; pressure acts on 40 + 3."""
    more = "opening: {match: lid}, pocket: {shape: {circle: 80}, depth: 4, side: below}"
    stack = lid(tmp_path, more=more)
    assert only(stack, "PM921").measured == pytest.approx(25.0)
    assert float(inputs(only(stack, "PM901"))["A"]) == pytest.approx(math.pi * 43**2)


@pytest.mark.parametrize(("mouth", "wide"), [("radius: 7", 7.0), ("chamfer: 4", 4.0)])
@pytest.mark.parametrize("side", ["below", "above"])
def test_a_mouth_on_the_sealing_face_takes_its_width_off_the_land(
    tmp_path: Path, mouth: str, wide: float, side: str
) -> None:
    """From the port's edge at 30 to the lid's edge at 65 are 35 mm; a mouth below takes its width off, once."""
    found = only(lid(tmp_path, more=f"opening: {{match: lid, mouth_{mouth}, mouth: {side}}}"), "PM921")
    assert found.measured == pytest.approx(35 - (wide if side == "below" else 0.0))


def test_bolts_stand_too_far_apart(tmp_path: Path) -> None:
    """2 d + 6 t/(m + 0.5) = 16 + 24/2.25 = 26.7 mm for a paper gasket; the long side has 120. Advice: a caution."""
    found = only(lid(tmp_path, thick=4), "PM922")
    assert (found.measured, found.verdict) == (120.0, Verdict.CAUTION)
    assert found.required == pytest.approx(26.67, abs=0.01)


def test_no_word_on_spacing_where_the_gasket_is_pressed_enough(tmp_path: Path) -> None:
    """The rule for process flanges is exceeded by a 12 mm lid too (48 mm); what it is for is calculated, and ample."""
    stack = lid(tmp_path)
    assert not findings_of(stack, "PM922")
    for found in findings_of(stack, "PM924"):
        assert found.measured is not None
        assert found.required is not None
        assert found.measured > 2 * found.required


def test_a_stiff_lid_presses_evenly(tmp_path: Path) -> None:
    """A very thick plate on its gasket carries F/s everywhere: F = 0.75 x 0.5 x 21 228 N, a lubricated torque
    wrench's least, on the code's effective width.

    Bolts on a circle of 100 about a port of 60: 50 - 30 = 20 inside and, along X, as much outside, so N = 40, b_0 = 20
    and b = 2.5 sqrt(20) = 11.18 mm (ASME BPVC VIII-1, App. 2, Table 2-5.2).
    """
    chord = 100 * math.sin(math.pi / 16)
    found = only(lid(tmp_path, "{circle: 100, count: 16}", thick=24), "PM923")
    even = 0.75 * 0.5 * 36.6 * 580 / (chord * 2.5 * math.sqrt(40 / 2))
    assert found.measured == pytest.approx(even, rel=0.01)  # 1 %: the plate is stiff, not rigid


def test_a_thin_lid_lifts_between_its_bolts(tmp_path: Path) -> None:
    """3 mm over 120 mm: Hetenyi's beam bends away from the gasket midway, and the check fails."""
    found = only(lid(tmp_path, thick=3), "PM923")
    assert found.measured is not None
    assert found.measured < 0
    assert found.verdict is Verdict.FAIL


def test_pressure_and_vacuum_against_m_p(tmp_path: Path) -> None:
    """Paper: m 1.75. Boost takes p A/L off the line, vacuum nothing; the gasket must keep m p."""
    vacuum, boost = sorted(findings_of(lid(tmp_path), "PM924"), key=lambda found: found.features[-1])[::-1]
    assert (boost.required, vacuum.required) == (pytest.approx(0.175), pytest.approx(0.0875))
    assert vacuum.measured is not None
    assert boost.measured is not None
    # p r/2: area over length of a circle; on 2 b, from N = 30 inside and 20 outside or less: b = 2.5 sqrt(N/2)
    width = float(inputs(boost)["N"])
    assert vacuum.measured - boost.measured == pytest.approx(0.1 * 33 / 2 / (2 * 2.5 * math.sqrt(width / 2)))


def test_the_makers_sheet_goes_first(tmp_path: Path) -> None:
    seal = "gasket: {thickness: 0.8, land: 6, factor: 1.0, seating_stress: 2 MPa}"
    stack = lid(tmp_path, seal=seal)
    assert only(stack, "PM923").required == pytest.approx(2.0)
    assert findings_of(stack, "PM924")[0].required == pytest.approx(0.1)


def test_a_gasket_without_values_is_told(tmp_path: Path) -> None:
    found = only(lid(tmp_path, seal="gasket: {thickness: 8, land: 6}"), "PM901")
    assert found.verdict is Verdict.NOT_CHECKED
    assert note_of(found) == "paper gasket is tabled over 0 and up to 6 mm, met 8 mm"


def test_an_opening_that_no_joint_seals(tmp_path: Path) -> None:
    found = only(lid(tmp_path, more="opening: {shape: {circle: 50}}"), "PM925")
    assert (found.verdict, found.features) == (Verdict.NOT_CHECKED, ("opening", "above"))
    assert note_of(found) == "no joint with an opening lies round it on the face above: nothing seals it there"


def test_a_gasket_without_an_opening_closes_the_plates_opening(tmp_path: Path) -> None:
    text = (
        LID.replace("PATTERN", RECTANGLE)
        .replace("    opening: OPENING\n", "")
        .replace("SEAL", "gasket: {thickness: 0.8, land: 6}")
    )
    text = text.replace("LENGTH", "30").replace("THICK", "12").replace("MORE", ", opening: {shape: {circle: 50}}")
    above, below = sorted(by_check(check_stack(stack_of(tmp_path, text)), "PM925"), key=lambda one: one.features)
    assert (above.features[1], above.verdict) == ("above", Verdict.NOT_CHECKED)
    assert (below.features[1], below.verdict) == ("below", Verdict.FAIL)
    assert note_of(below) == "the gasket of lid has no opening and closes it: give joints.lid its `opening`"


RING = "seal: {o_ring: AS568-240}"


@pytest.mark.parametrize(("inside", "least"), [(40.0, 4.9), (39.96, 5.02)])
def test_a_groove_is_as_narrow_as_its_drawing_allows_or_as_it_was_read(inside: float, least: float) -> None:
    """Drawn 5 mm wide, 4.9 at least; where its walls were read 25 - 19.98 apart it is as wide as that."""
    groove = Region.of(Loop.circle((0, 0), 25.0), [Loop.circle((0, 0), inside / 2)])
    seal = SimpleNamespace(width=5.0, width_limits=(4.9, 5.1))
    assert _width_least(seal, SimpleNamespace(regions=[groove])) == pytest.approx(least)


def test_an_o_ring_by_hand(tmp_path: Path) -> None:
    """AS568-240: 94.84 +- 0.71 by 3.53 +- 0.10 in a gland 2.54 to 2.74 deep, 4.57 wide or more.

    Squeeze (3.43 - 2.74 - 2 x 0.02)/3.43 between faces flat within 0.02, to (3.63 - 2.54)/3.63; fill pi 3.63^2/4 over 2.54 x 4.57.
    """
    stack = lid(tmp_path, "{circle: 118, count: 8}", opening="{circle: 80}", seal=RING)
    least, most = findings_of(stack, "PM926")
    assert (least.measured, most.measured) == (pytest.approx(0.65 / 3.43), pytest.approx(1.09 / 3.63))
    assert only(stack, "PM927").measured == pytest.approx(math.pi * 3.63**2 / 4 / (2.54 * 4.57))
    assert {found.verdict for found in (least, most, only(stack, "PM927"))} == {Verdict.PASS}


def test_pressure_stretches_the_shortest_ring(tmp_path: Path) -> None:
    """The groove fits the ring's middle line, pi (94.84 + 3.53); the shortest is pi 0.71 shorter, the wall
    as drawn up to 0.1 mm wider: 0.83 %."""
    found = only(lid(tmp_path, "{circle: 118, count: 8}", opening="{circle: 80}", seal=RING), "PM929")
    assert found.measured == pytest.approx(98.47 / (98.37 - 0.71) - 1, rel=1e-6)
    assert (found.verdict, found.required) == (Verdict.PASS, 0.03)


def test_a_short_ring_is_stretched_too_far(tmp_path: Path) -> None:
    """AS568-012, 9.25 +- 0.13 by 1.78, round a port of 6, the wall up to 0.1 wider: 11.13/10.90, 2.1 %; -004 has
    1.78 +- 0.13: 3.66/3.43, 6.7 %."""
    for dash, port, stretch, verdict in (
        ("012", 6, 11.13 / 10.90 - 1, Verdict.PASS),
        ("004", 0.4, 3.66 / 3.43 - 1, Verdict.CAUTION),
    ):
        stack = lid(
            tmp_path, "{circle: 60, count: 4}", opening=f"{{circle: {port}}}", seal=f"seal: {{o_ring: AS568-{dash}}}"
        )
        found = only(stack, "PM929")
        assert (found.measured, found.verdict) == (pytest.approx(stretch, rel=1e-6), verdict)


def test_the_groove_of_a_round_port_is_as_wide_as_the_ring(tmp_path: Path) -> None:
    """Pressure inside: the groove's outside diameter is the ring's own, d_1 + 2 W; pressure acts to its middle line."""
    stack = lid(tmp_path, "{circle: 118, count: 8}", opening="{circle: 80}", seal=RING)
    [groove] = [cut for cut in stack.part("lid").profiles if cut.kind.value == "groove"]
    circle = groove.regions[0].outer.as_circle()
    assert circle is not None
    assert 2 * circle.radius == pytest.approx(94.84 + 2 * 3.53, abs=1e-6)
    area = float(inputs(only(stack, "PM901"))["A"])
    assert area == pytest.approx(math.pi / 4 * (94.84 + 3.53) ** 2, rel=1e-7)


def test_other_checks_see_the_groove(tmp_path: Path) -> None:
    """Wall from the groove, 101.90 across, to a clearance hole of 9 on a circle of 118: 59 - 4.5 - 50.95 = 3.55 mm."""
    stack = lid(tmp_path, "{circle: 118, count: 8}", opening="{circle: 80}", seal=RING)
    walls = [
        found for found in check_stack(stack) if found.title == "side wall" and "lid_groove groove" in found.features
    ]
    assert walls
    assert min(found.measured or 0.0 for found in walls) == pytest.approx(59 - 4.5 - (94.84 + 7.06) / 2, abs=1e-6)
    floors = [found for found in check_stack(stack) if "lid_groove groove" in found.features and found.title == "floor"]
    assert [found.measured for found in floors] == [pytest.approx(12 - 2.64)]


def test_too_shallow_a_groove_crushes_the_ring(tmp_path: Path) -> None:
    seal = "seal: {o_ring: AS568-240, depth: 2.2}"
    stack = lid(tmp_path, "{circle: 118, count: 8}", opening="{circle: 80}", seal=seal)
    assert findings_of(stack, "PM926")[1].verdict is Verdict.FAIL  # (3.63 - 2.2)/3.63 = 0.39
    assert only(stack, "PM927").verdict is Verdict.FAIL  # 10.35/10.05


def test_a_cover_bends_like_a_round_plate(tmp_path: Path) -> None:
    """Roark, Table 11.2 case 10a on the seal line's circle of 33: 6 (3 + 0.33) q r^2/(16 t^2)."""
    stress, deflection = only(lid(tmp_path), "PM931"), only(lid(tmp_path), "PM932")
    assert stress.measured == pytest.approx(6 * 3.33 * 0.1 * 33**2 / (16 * 12**2))
    rigidity = 68_900 * 12**3 / (12 * (1 - 0.33**2))
    assert deflection.measured == pytest.approx((5 + 0.33) * 0.1 * 33**4 / (64 * 1.33 * rigidity))
    sheet = gasket_values("paper gasket", 0.8)
    assert deflection.required == pytest.approx(0.8 * sheet.compressibility * sheet.recovery)
    first = "rough: full flat span, free edge, no holes; estimate: `platemaker seal` calculates it"
    assert note_of(deflection) == first


def test_a_square_cover_bends_like_a_square_plate(tmp_path: Path) -> None:
    """Timoshenko, art. 30, Table 8: moment 0.0479 q b^2 and deflection 0.0443 q b^4/(E t^3) at nu = 0.3.

    The port is 60 square, set out by 3: 66; with nu = 0.33 the moment grows by 1.33/1.30, rounding 1 %.
    """
    found = only(lid(tmp_path, opening="{rectangle: [60, 60], corner_radius: 1}"), "PM931")
    assert found.measured == pytest.approx(6 * 0.0479 * (1.33 / 1.30) * 0.1 * 66**2 / 12**2, rel=0.01)


def test_a_plate_that_is_all_opening_spans_nothing(tmp_path: Path) -> None:
    stack = lid(tmp_path, opening="{circle: 70}", more="opening: {match: lid}")
    found = by_check(check_stack(stack), "PM931")
    # Land 6: 70 against 76 leaves 1 - 70^2/76^2 = 15 % of metal, which is still stated; without a gasket none is left.
    assert [inputs(one)["metal over the span"] for one in found] == [pytest.approx(1 - 70**2 / 76**2)]
    (tmp_path / "bare").mkdir()
    bare = lid(tmp_path / "bare", opening="{circle: 70}", more="opening: {match: lid}", seal="")
    assert findings_of(bare, "PM931") == []
