"""Loads on rails and brackets: what reaches each bracket and its screws, and what is refused.

All expected numbers are statics, written out beside each.
"""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import Any

import pytest

from platemaker.checks import Finding, Verdict
from platemaker.checks._fuel._rail_loads import Acting, BracketLoad, share
from platemaker.errors import SpecError
from tests.frozen_demo import changed_findings, changed_stack
from tests.plates import note_of

HEAVY = {"mass": "40 kg", "times": 5, "at": [0, 160, 60]}
LONGER = {"parts.fuel_rail.holes": {
    f"{end}_mount": {"at": [x, 0], "tapped": "M6", "depth": 12, "side": "above"} for end, x in (("front", -77), ("rear", 77))
}}  # fmt: skip


@pytest.mark.parametrize(
    ("at", "number", "x", "expected"),
    [
        ((0.0, 100.0), 0, 25.0, 0.75),  # the lever rule
        ((0.0, 100.0), 1, 25.0, 0.25),
        ((0.0, 100.0), 0, 150.0, -0.5),  # beyond the other support it lifts this one
        ((-100.0, 0.0, 100.0), 2, 100.0, 1 / 3 + 1 / 2),  # 100 x 100 / (2 x 100 x 100)
        ((-100.0, 0.0, 100.0), 1, 100.0, 1 / 3),
        ((7.0,), 0, 90.0, 1.0),
    ],
)
def test_supports_under_a_stiff_rail(at: tuple[float, ...], number: int, x: float, expected: float) -> None:
    assert share(at, number, x) == pytest.approx(expected)


def load(thrust: float = 0.0, mass: float = 0.0, acting: tuple[Acting, ...] = ()) -> BracketLoad:
    """Thrust along +Z and mass, 50 mm along X from the screw."""
    return BracketLoad(thrust, (0.0, 0.0, 1.0), mass, 3.0, (50.0, 0.0, 0.0), acting, ())


def test_thrust_on_a_lever_pulls_the_screw() -> None:
    """100 N up, and 100 x 50 N.mm over 10 mm."""
    assert load(thrust=100.0).on_screw((0, 0, 0), (0, 0, 1), 10.0) == pytest.approx((100 + 500, 0.0))


def test_thrust_into_the_face_leaves_its_moment() -> None:
    """The other way out: 500 N of the moment less the 100 N that press; straight over the screw nothing pulls."""
    assert load(thrust=100.0).on_screw((0, 0, 0), (0, 0, -1), 10.0) == pytest.approx((400.0, 0.0))
    assert load(thrust=100.0).on_screw((50, 0, 0), (0, 0, -1), 10.0) == pytest.approx((0.0, 0.0))


def test_weight_shakes_in_any_direction() -> None:
    """2 kg x 9.80665 x 3 = 58.84 N along the screw and across, and on a lever of 50 over 10."""
    assert load(mass=2.0).on_screw((0, 0, 0), (0, 0, 1), 10.0) == pytest.approx((58.84 * 6, 58.84), rel=1e-4)


def test_a_load_takes_its_worst_way() -> None:
    """30 N across at 20 over the face tilts by 30 x 20 / 10 = 60; 50 N up at the screw pulls 50 and shears nothing."""
    one = Acting("belt", (0.0, 0.0, 20.0), ((30.0, 0.0, 0.0), (0.0, 0.0, 50.0)))
    assert load(acting=(one,)).on_screw((0, 0, 0), (0, 0, 1), 10.0) == pytest.approx((60.0, 30.0))
    assert load(acting=(one,)).others((0, 0, 0)) == pytest.approx(600.0)


def of(found: Iterable[Finding], check: str, part: str) -> list[Finding]:
    return [one for one in found if one.check == check and one.part == part]


def with_load(folder: Path, **given: Any) -> tuple[Finding, ...]:
    return changed_findings(folder, {**LONGER, "design.loads.tank": {**HEAVY, **given}})


def test_a_tank_on_the_rail_breaks_its_brackets(tmp_path: Path) -> None:
    """2 kN on two 4 mm brackets: stress fails, and the lift of the injectors' ends with it."""
    found = with_load(tmp_path, parts=["fuel_rail"])
    for end in ("front", "rear"):
        assert {one.verdict for one in of(found, "PM717", f"rail_bracket_{end}")} == {Verdict.FAIL}
        assert {one.verdict for one in of(found, "PM718", f"rail_bracket_{end}")} == {Verdict.FAIL}
    assert not [one for one in found if one.check == "PM909"]


def test_a_load_on_one_bracket_is_not_the_others(tmp_path: Path) -> None:
    (tmp_path / "a").mkdir()
    (tmp_path / "b").mkdir()
    bare = changed_findings(tmp_path / "a", LONGER)
    found = with_load(tmp_path / "b", parts=["rail_bracket_front"])
    (front,), (rear,) = of(found, "PM717", "rail_bracket_front"), of(found, "PM717", "rail_bracket_rear")
    assert (front.measured or 0.0) > 10 * (of(bare, "PM717", "rail_bracket_front")[0].measured or 1e9)
    assert rear.measured == of(bare, "PM717", "rail_bracket_rear")[0].measured


def test_without_brackets_a_load_on_the_rail_fails(tmp_path: Path) -> None:
    gone = {"parts.rail_bracket_front": None, "parts.rail_bracket_rear": None}
    found = changed_findings(tmp_path, {**gone, "design.loads.tank": {**HEAVY, "parts": ["fuel_rail"]}})
    (one,) = of(found, "PM909", "fuel_rail")
    assert (one.verdict, "what holds it down is not known" in note_of(one)) == (Verdict.FAIL, True)


@pytest.mark.parametrize(
    ("given", "says"),
    [
        ({"joints": ["fuel_rail"]}, "allowed: fuel_rail under `parts`"),
        ({"parts": ["fuel_rial"]}, "no rail or bracket is called 'fuel_rial'.*fuel_rail"),
        ({"parts": ["lower_plate"]}, "no rail or bracket is called 'lower_plate'"),
        ({}, "either `joints` or `parts`"),
        ({"parts": ["fuel_rail"], "joints": ["log_top"]}, "either `joints` or `parts`"),
    ],
)
def test_what_a_load_may_act_on(tmp_path: Path, given: dict[str, Any], says: str) -> None:
    with pytest.raises(SpecError, match=says):
        changed_stack(tmp_path, {"design.loads.tank": {**HEAVY, **given}})


def test_a_load_on_brackets_whose_screws_are_not_known_fails(tmp_path: Path) -> None:
    """Without a temperature nobody knows what heat takes from the screws' preload; the lesser half is no pass."""
    cold = {"design.temperature": None, "design.air": None, "design.engine": None, "design.blower": None}
    found = with_load(tmp_path, parts=["fuel_rail"], mass="0.1 kg")
    assert not of(found, "PM909", "fuel_rail")
    (tmp_path / "cold").mkdir()
    found = changed_findings(
        tmp_path / "cold", {**LONGER, **cold, "design.loads.tank": {**HEAVY, "parts": ["fuel_rail"]}}
    )
    (one,) = of(found, "PM909", "fuel_rail")
    assert one.verdict is Verdict.FAIL
    assert "no temperature is known" in note_of(one)


def test_a_bracket_beyond_the_middle_of_the_thrust_is_pushed_and_bends_as_much(tmp_path: Path) -> None:
    """Turned so, the front bracket meets the rail behind the rear one; the rail tips over it, and pushes the rear down."""
    found = changed_findings(tmp_path, {"parts.rail_bracket_front.turn": "18 deg", **LONGER})
    (one,) = of(found, "PM717", "rail_bracket_rear")
    given = {one.symbol: one.value for one in one.inputs}
    assert float(given["thrust on the bracket"]) < 0 < float(given["M"])
    assert one.verdict is Verdict.FAIL
    assert not [other for other in found if other.check == "PM002"]
