"""How far parts can be pushed on their dowels, by hand: half of the most play on the side that slides.

A dowel of 8 m6 is 0.006 to 0.015 mm over its size, a bore of 8.04 H7 up to 0.015 (ISO 286-2).
"""

from __future__ import annotations

from pathlib import Path

import pytest

from platemaker.checks._ports._port_edges import _dowel_play
from tests.design_stacks import PLATE_ON_LOG, stack_of

HOLES = "    below: {top: {holes: clear}}\n"


@pytest.mark.parametrize(
    ("spots", "pressed", "play"),
    [
        ("{p: [0, 25], q: [0, -25]}", "lower", (0.04 + 0.015 - 0.006) / 2),  # it slides in the plate
        ("{p: [0, 25], q: [0, -25], r: [20, 25]}", "lower", (0.04 + 0.015 - 0.006) / 2),
        ("{p: [0, 25]}", "lower", None),  # about one dowel it turns as far as its bolts let it
        ("{p: [0, 25], q: [0, -25]}", "upper", 0.0),  # pressed into the plate
    ],
)
def test_two_dowels_hold_a_plate_to_half_of_their_play(
    tmp_path: Path, spots: str, pressed: str, play: float | None
) -> None:
    dowels = f"    dowels: {{at: {spots}, diameter: 8, depth: 6, pressed: {pressed}, play: 0.04}}\nparts:\n"
    joint = stack_of(tmp_path, PLATE_ON_LOG.replace("parts:\n", dowels) + HOLES).joint("top")
    found = _dowel_play(joint, "base")
    assert found == (play if play is None else pytest.approx(play, abs=1e-12))
    assert _dowel_play(joint, "another") is None
