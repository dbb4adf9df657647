"""Screws of the frozen project, as it is and with changes none of which may pass.

Sources: arithmetic beside each number; least engagement in aluminium 1.5 diameters, runout one pitch (the catalog's
limits, with their sources); clearance holes of ISO 273 medium: M6 6.6; lengths of ISO 888: M8 from 10, 12, 16, 20.
"""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import pytest

from platemaker.checks import Finding, Verdict, bolt_orders
from tests.frozen_demo import changed_findings, changed_stack

ENGAGEMENT, PASSES, LENGTH, BEARING = "PM302", "PM305", "PM907", "PM904"


def found(findings: tuple[Finding, ...], check: str, part: str, *features: str) -> Finding:
    return next(one for one in findings if (one.check, one.part, one.features) == (check, part, features))


def test_as_it_is_mounts_are_too_shallow_and_heads_sink_in(tmp_path: Path) -> None:
    """M6 through 4 mm of bracket into 9 mm of thread: a 12 engages 8, a 16 would bottom; 1.5 x 6 = 9 is the least.

    M8 hexagon heads without washers bear on a face of 11.63 mm (ISO 4014, d_w) round a hole of 9 mm; socket heads press
    too hard on aluminium at 110 degC.
    """
    findings = changed_findings(tmp_path, {})
    fails = {(one.check, one.features) for one in findings if one.verdict is Verdict.FAIL}
    assert fails == {
        (check, pair)
        for end in ("front", "rear")
        for check, pair in (
            (ENGAGEMENT, (f"{end}_mount", f"rail_bracket_{end} rail")),
            (LENGTH, ("rail", f"fuel_rail {end}_mount")),
        )
    } | {(BEARING, (joint, f"{joint}_1")) for joint in ("plate_to_plate", "log_top", "blower_base")}
    head = found(findings, BEARING, "blower_plate", "plate_to_plate", "plate_to_plate_1")
    pull = head.value_of("F")
    assert head.measured == pytest.approx(pull / (math.pi / 4 * (11.63**2 - 9**2)))
    one = found(findings, ENGAGEMENT, "fuel_rail", "front_mount", "rail_bracket_front rail")
    assert (one.measured, one.required) == (pytest.approx((12 - 4) / 6), 1.5)


@pytest.mark.parametrize(
    ("changes", "check", "where", "value", "least"),
    [
        # 3 mm of M8 thread less a pitch of runout is 1.75; 4 of bracket and the shortest stock screws of 10: none fits.
        ({"parts.blower_plate.holes.rail_front.depth": "3 mm"},
         LENGTH, ("rail_bracket_front", "foot", "blower_plate rail_front"), 0.0, 1.5 * 8),
        # All 3 mm in use would be 0.375 diameters.
        ({"parts.blower_plate.holes.rail_front.depth": "3 mm"},
         ENGAGEMENT, ("blower_plate", "rail_front", "rail_bracket_front foot"), 3 / 8, 1.5),
        # An M6 clearance hole over an M8 thread.
        ({"parts.rail_bracket_front.holes.foot.clear": "M6"},
         PASSES, ("rail_bracket_front", "foot", "blower_plate rail_front"), 6.6 - 8, 0.0),
    ],
)  # fmt: skip
def test_change(
    tmp_path: Path, changes: dict[str, Any], check: str, where: tuple[str, ...], value: float, least: float
) -> None:
    one = found(changed_findings(tmp_path, changes), check, *where)
    assert (one.verdict, one.measured, one.required) == (Verdict.FAIL, pytest.approx(value), pytest.approx(least))


def test_nothing_is_ordered_for_a_hole_that_its_bolt_does_not_pass(tmp_path: Path) -> None:
    """Eight of log_top, eight of blower_base, ten of plate_to_plate, two of the pad, and one bracket's foot of two."""
    orders = bolt_orders(changed_stack(tmp_path, {"parts.rail_bracket_front.holes.foot.clear": "M6"}))
    assert sum(one.quantity for one in orders if one.thread == "M8") == 8 + 8 + 10 + 2 + 1
    assert not [one for one in orders if "rail_bracket_front.foot" in one.joints]
