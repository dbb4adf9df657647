"""Parts whose least metal was once missed or wrong, each with its true value by arithmetic.

Sources: plane and solid geometry written out beside each number; counterbore depths from ISO 4762's heads as the catalog
has them (M8: 8.6 mm), clearance and tap drills from the catalog's tables, drill points of 118 degrees.
"""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from platemaker.checks import METAL, Verdict, check_stack
from platemaker.resolved import assemble
from platemaker.spec import load_project
from tests.plates import note_of

CASES = Path(__file__).parent.parent / "cases"
COS_1, SIN_1 = math.cos(math.radians(1)), math.sin(math.radians(1))
TIP_8 = 4 / math.tan(math.radians(59))
EXACT = 2e-6
"""Directions come from the spec to some ten digits, places on the grid of 1e-6 mm."""

WALLS = [
    # 16 thick, head's floor 8.6 from above, pocket 7.2 from below.
    ("shoulder_over_pocket", {"cb counterbore", "under pocket"}, 16 - 8.6 - 7.2, Verdict.FAIL),
    # 0.2 sideways and 0.2 in height.
    ("pockets_diagonal", {"top pocket", "bot pocket"}, math.hypot(0.2, 0.2), Verdict.FAIL),
    # 0.1 sideways and 0.1 in height, corner to corner.
    ("blind_hole_beside_pocket", {"h", "pocket"}, math.hypot(0.1, 0.1), Verdict.FAIL),
    # Counterbore 8.6 from below, pocket 16.3 from above in 25: 0.1 between them.
    ("pocket_over_counterbore", {"c counterbore", "q pocket"}, 25 - 8.6 - 16.3, Verdict.FAIL),
    # The bore leaves by the side at X = 60: its axis 20 down for 15 along, its rim 2.5 / 0.6 below it there.
    ("bore_leaves_by_side", {"s", "face below"}, 25.4 - 20 - 2.5 / 0.6, Verdict.FAIL),
    # As before, 17 along and 4 / 0.6 below: under the lower face.
    ("bore_breaks_edge", {"s", "face below"}, 25.4 - 17 * 20 / 15 - 4 / 0.6, Verdict.FAIL),
    # Half of 25.4 less the rim of radius 6, leaning one degree, where it enters; and at its end, 30 deep.
    ("side_bore_one_degree", {"s", "face above"}, 12.7 - 6 / COS_1, Verdict.PASS),
    ("side_bore_one_degree", {"s", "face below"}, 12.7 - 30 * SIN_1 - 6 * COS_1, Verdict.PASS),
    # Bar of radius 20, hole of radius 3 on a line 16.8 off its axis.
    ("round_rail_side_wall", {"m", "outside"}, 20 - 16.8 - 3, Verdict.FAIL),
    # 30 degrees: the floor's rim lies 22 sin 30 + 15 cos 30 deep in 20 of casting.
    ("spotface_through_casting", {"inj_1 counterbore", "face below"},
     20 - 22 * math.sin(math.radians(30)) - 15 * math.cos(math.radians(30)), Verdict.FAIL),
    # It enters the side at Z = 20 of 30, 1 down for 2 along: its rim is 4 √5 / 2 above its axis there.
    ("slanted_bore_lip", {"s", "face above"}, 30 - 20 - 4 * math.sqrt(5) / 2, Verdict.PASS),
    # The cone grows by tan 13.5 a mm; the tap drill, 2.5 in radius and 36 off the axis, ends 17 deep of 30.
    ("mouth_beside_tapped_hole", {"thr_1", "opening mouth"},
     (36 - 2.5 - 25 - (6 - 13 * math.tan(math.radians(13.5)))) * math.cos(math.radians(13.5)), Verdict.PASS),
]  # fmt: skip


def metal(case: str) -> dict[frozenset[str], tuple[float, Verdict]]:
    """What the check of metal says of a case, by what lies on either side."""
    found = [one for one in check_stack(assemble(load_project(CASES / case))) if one.check == METAL]
    return {frozenset(one.features): (float(one.measured or 0.0), one.verdict) for one in found}


@pytest.mark.parametrize(("case", "between", "true", "verdict"), WALLS, ids=[case for case, *_ in WALLS])
def test_case(case: str, between: set[str], true: float, verdict: Verdict) -> None:
    value, said = metal(case)[frozenset(between)]
    assert (value, said) == (pytest.approx(true, abs=EXACT), verdict)


def test_counterbore_without_seat() -> None:
    """The pocket, 9.5 from below, reaches higher than the counterbore's floor, 8.6 from above, in 16."""
    value, verdict = metal("counterbore_without_seat")[frozenset({"cb counterbore", "under pocket"})]
    assert (value, verdict) == (pytest.approx(16 - 8.6 - 9.5, abs=EXACT), Verdict.FAIL)


def test_drill_point_into_pocket() -> None:
    """The drill ends 1 mm short of the pocket, its 118 degree point of 8 mm goes on for 2.403: 1.403 through."""
    value, verdict = metal("drill_point_into_pocket")[frozenset({"a point", "p pocket"})]
    assert (value, verdict) == (pytest.approx(1 - TIP_8, abs=EXACT), Verdict.FAIL)


@pytest.mark.parametrize("case", ["side_bore_one_degree", "slanted_bore_lip", "mouth_beside_tapped_hole"])
def test_no_metal_fails_where_enough_is_left(case: str) -> None:
    assert [pair for pair, (_, verdict) in metal(case).items() if verdict is Verdict.FAIL] == []


def test_pump_adapter(tmp_path: Path) -> None:
    """An ordinary pump flange, 12 thick, through-bolted into the adapter: M8 x 25 leaves 13 in thread, 1.625 d.

    The motor's screws are sunk under the pump, so they go in first.
    """
    found = check_stack(assemble(load_project(CASES / "pump_adapter")))
    assert not [one for one in found if one.verdict is Verdict.FAIL]
    order = next(one for one in found if one.check == "PM662")
    assert (order.verdict, order.features) == (Verdict.PASS, ("motor_face", "pump_flange"))
    assert note_of(order) == "tighten in this order: motor_face, pump_flange"
    rooms = {one.features[0]: one for one in found if one.check == "PM661"}
    assert {name: one.verdict for name, one in rooms.items()} == {
        "motor_face": Verdict.PASS, "pump_flange": Verdict.PASS,
    }  # fmt: skip
    assert "the shape of pump over its flange is not known" in note_of(rooms["pump_flange"])
    engaged = next(one for one in found if one.check == "PM302" and one.features[0] == "pump_flange")
    assert engaged.measured == pytest.approx((25 - 12) / 8)


def test_drain_with_shim() -> None:
    """12.7 of plate, 0.8 of gasket and 3 of shim put the bracket out by 16.5; its own shim takes 6.35 of that."""
    [found] = [one for one in check_stack(assemble(load_project(CASES / "drain_with_shim"))) if one.check == "PM977"]
    assert (found.part, found.features, found.verdict) == ("oil_plate", ("mount",), Verdict.CAUTION)
    assert found.measured == pytest.approx(12.7 + 0.8 + 3 - 6.35)
    assert "moves out by 16.500 mm" in note_of(found)


def test_pump_adapter_without_its_flange_thickness(tmp_path: Path) -> None:
    """Where its heads bear is not known; the motor's screws still go in before the pump covers them."""
    text = (CASES / "pump_adapter" / "project.yaml").read_text(encoding="utf-8")
    text = text.replace("holes: through, flange_thickness: 12", "holes: clear")
    (tmp_path / "project.yaml").write_text(text, encoding="utf-8")
    found = check_stack(assemble(load_project(tmp_path)), samples=50)
    order = next(one for one in found if one.check == "PM662")
    assert (order.verdict, note_of(order)) == (Verdict.PASS, "tighten in this order: motor_face, pump_flange")
    heads = next(one for one in found if one.check == "PM661" and one.features == ("pump_flange",))
    assert (heads.verdict, note_of(heads)) == (Verdict.NOT_CHECKED, "where the heads sit on pump is not specified")
