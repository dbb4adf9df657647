"""Bores on any axis in plates: where they may begin, where they end, and what they may be declared to meet."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from platemaker.checks import Finding, check_stack
from platemaker.errors import SpecError
from platemaker.parts import Hole, Part
from platemaker.resolved import assemble
from platemaker.spec import load_project

TEXT = """
project: drilled
parts:
  block:
    kind: plate
    material: 6061-T6
    thickness: 30
    outline: {{rectangle: [100, 60]}}
    holes: {{down: {{at: [0, 0], diameter: 10, depth: 20}}}}
    bores:
      side: {bore}
"""


def block(tmp_path: Path, bore: str) -> Part:
    (tmp_path / "project.yaml").write_text(TEXT.format(bore=bore), encoding="utf-8")
    return assemble(load_project(tmp_path)).part("block")


def bore(tmp_path: Path, text: str) -> Hole:
    cut = block(tmp_path, text).cut("side")
    assert isinstance(cut, Hole)
    return cut


def test_a_cross_drilling_from_the_edge_ends_in_a_drill_point(tmp_path: Path) -> None:
    made = bore(tmp_path, "{at: [-50, 0, 15], towards: [2, 0, 0], diameter: 8, depth: 52, into: [down]}")
    assert (made.direction, made.through, made.tip_angle) == ((1.0, 0.0, 0.0), False, 118.0)


def test_a_bore_whose_end_lies_outside_goes_through(tmp_path: Path) -> None:
    made = bore(tmp_path, "{at: [-20, 0, 30], towards: [0, 1, -1], diameter: 6, depth: 46}")
    assert made.through
    assert made.direction == pytest.approx((0, math.sqrt(0.5), -math.sqrt(0.5)))


def test_a_tapped_bore_is_drilled_deeper_than_its_thread(tmp_path: Path) -> None:
    """Three pitches of lead beyond 12 mm of M8 x 1.25."""
    made = bore(tmp_path, "{at: [50, 20, 15], towards: [-1, 0, 0], tapped: M8, depth: 12}")
    assert made.tapping is not None
    assert made.tapping.depth == 12.0
    assert made.depth == pytest.approx(12 + 3 * 1.25)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("{at: [0, 10, 15], towards: [1, 0, 0], diameter: 8, depth: 9}", "begins on the plate's outline or on one of"),
        ("{at: [-50, 0, 15], towards: [-1, 0, 0], diameter: 8, depth: 9}", "runs into the plate from where it begins"),
        ("{at: [-50, 0, 15], towards: [0, 0, 0], diameter: 8, depth: 9}", "`towards` must not be all 0"),
        ("{at: [-50, 0, 15], towards: [1, 0, 0], depth: 9}", "either `diameter` or `tapped`"),
        (
            "{at: [-50, 0, 15], towards: [1, 0, 0], diameter: 8, depth: 9, into: [dwn]}",
            "'block' has no other cut called 'dwn'.*did you mean 'down'",
        ),
    ],
)
def test_what_cannot_be_bored_is_refused(tmp_path: Path, text: str, message: str) -> None:
    with pytest.raises(SpecError, match=message):
        block(tmp_path, text)


def test_a_cross_drilling_is_checked_for_walls_and_for_its_crossing(tmp_path: Path) -> None:
    """From the edge to X = -2: the bore opens into the hole of radius 5; 15 - 4 = 11 of wall above and below."""
    (tmp_path / "project.yaml").write_text(
        TEXT.format(bore="{at: [-50, 0, 15], towards: [1, 0, 0], diameter: 8, depth: 50, into: [down]}"),
        encoding="utf-8",
    )
    found: dict[tuple[str, tuple[str, ...]], Finding] = {
        (one.check, one.features): one for one in check_stack(assemble(load_project(tmp_path)))
    }
    assert found["PM611", ("side", "down")].measured == pytest.approx(1.0)
    [side] = [one for (check, features), one in found.items() if check == "PM110" and features[0] == "side"]
    assert (side.measured, side.title) == (pytest.approx(11.0, abs=1e-9), "side wall")
    assert not [features for check, features in found if check == "PM110" and {"side", "down"} <= set(features)]
