"""Pieces of maximized pockets: what a cutter cannot come to, where a start would reach it, and what it plunges into.

A bar to keep clear, with its wall, parts each pocket: rectangles whose corners are the cutter's.
"""

from __future__ import annotations

import json
import math
import re
from pathlib import Path
from types import SimpleNamespace

import pytest

from platemaker.checks import Finding, Verdict, check_stack, pocket_accounts
from platemaker.checks._machining import _pockets
from platemaker.parts import Profile, Stack
from platemaker.plane import Circle
from platemaker.units import NamedQuantity
from tests.cli_runner import run
from tests.plates import HEAD, found, lid_of, note_of, stack_of

PLATE = """
    thickness: 20
    outline: {rectangle: [120, 80]}
"""
BAR = "keep_clear: {bar: {rectangle: [10, 80]}}"
POCKET = "    pocket: {open_out: true, wall: 4, land: 5, cutter: 8, depth: 6, %s}\n"
SIDE = (55 - 9) * 70 - (4 - math.pi) * 4**2
"""Area on either side of the bar: from its wall at 5 + 4 to the land at 60 - 5, 80 - 2 x 5 high."""


def start_of(finding: Finding) -> str:
    """The start that a finding's note gives, as a spec has it."""
    met = re.search(r"a start at (\[[^]]*\])", note_of(finding))
    assert met is not None, note_of(finding)
    return met[1]


def pocket_area(stack: Stack, part: str, name: str) -> float:
    cut = stack.part(part).cut(name)
    assert isinstance(cut, Profile)
    return sum(region.area for region in cut.regions)


def test_a_place_that_no_start_reaches_is_a_caution_with_its_area_and_the_start_that_would(tmp_path: Path) -> None:
    stack = lid_of(tmp_path, PLATE + POCKET % f"start: [40, 0], {BAR}")
    lost = found(stack, "PM506", "pocket")
    assert (lost.verdict, lost.unit, lost.required) == (Verdict.CAUTION, "mm2", 0.0)
    assert lost.measured == pytest.approx(SIDE, abs=1e-6)
    assert note_of(lost).startswith("the cutter cannot come there from the start; ")
    # Middle of the room on the left, on the pocket's face.
    assert lost.points == (pytest.approx((-32, 0, 20), abs=1e-6),)
    other = lid_of(tmp_path, PLATE + POCKET % f"start: {start_of(lost)}, {BAR}")
    assert pocket_area(other, "lid", "pocket") == pytest.approx(lost.measured, abs=1e-6)
    box = [region.bounds for cut in other.part("lid").profiles for region in cut.regions]
    assert box == [pytest.approx((-55, -35, -9, 35), abs=1e-9)]


def test_a_place_that_the_opening_does_not_reach_is_named_so(tmp_path: Path) -> None:
    opening = "    opening: {shape: {circle: 20, at: [-30, 0]}}\n"
    stack = lid_of(tmp_path, PLATE + opening + POCKET % f"side: below, {BAR}")
    lost = found(stack, "PM506", "pocket")
    assert note_of(lost).startswith("the cutter cannot come there from the opening; ")
    assert lost.measured == pytest.approx(SIDE, abs=1e-6)
    assert lost.points == (pytest.approx((32, 0, 0), abs=1e-6),)
    (account,) = pocket_accounts(stack)
    assert account.left == ((pytest.approx(SIDE, abs=1e-6), pytest.approx((32, 0), abs=1e-6)),)


def test_without_a_start_every_piece_is_kept_and_counted(tmp_path: Path) -> None:
    stack = lid_of(tmp_path, PLATE + POCKET % BAR)
    whole = found(stack, "PM506", "pocket")
    assert (whole.verdict, whole.measured, note_of(whole)) == (Verdict.PASS, 0.0, f"{2 * SIDE:.0f} mm2 in 2 pieces")
    assert NamedQuantity("pieces", 2.0) in whole.inputs


def test_only_what_the_pocket_lacks_of_a_place_counts(tmp_path: Path) -> None:
    """Two rooms on either side of a thin pin in a channel, the cutter's sweeps from both overlapping beside it.

    A pin of 1 mm with a wall of 1 in the middle of a channel 18 mm wide inside its land: cutters of 8 mm pass it on
    neither side, (18 - 3) / 2 = 7.5, and each sweep reaches beyond the pin's middle.
    """
    pin = "keep_clear: {pin: {circle: 1}}"
    wide = f"    pocket: {{open_out: true, wall: 1, land: 1, cutter: 8, depth: 6, start: [30, 0], {pin}}}\n"
    plate = "\n    thickness: 20\n    outline: {rectangle: [120, 20]}\n"
    lost = found(lid_of(tmp_path, plate + wide), "PM506", "pocket")
    one = pocket_area(lid_of(tmp_path, plate + wide), "lid", "pocket")
    both = pocket_area(lid_of(tmp_path, plate + wide.replace("start: [30, 0], ", "")), "lid", "pocket")
    assert lost.measured == pytest.approx(both - one, abs=1e-6)
    assert lost.measured < one - 1


@pytest.mark.parametrize(
    ("room", "turn", "verdict"),
    [
        (8.5, 0, Verdict.CAUTION), (8.79, 0, Verdict.CAUTION), (8.8, 0, Verdict.PASS), (20.0, 0, Verdict.PASS),
        (8.5, 45, Verdict.CAUTION), (8.81, 45, Verdict.PASS),
    ],
)  # fmt: skip
def test_a_piece_hardly_longer_than_the_cutter_is_only_a_plunge(
    tmp_path: Path, room: float, turn: float, verdict: Verdict
) -> None:
    plate = f"\n    thickness: 20\n    outline: {{rectangle: [{room + 10}, {room + 10}], turn: {turn}}}\n"
    piece = found(lid_of(tmp_path, plate + POCKET % "side: above"), "PM507", "pocket")
    assert (piece.verdict, piece.required) == (verdict, 1.1)
    assert piece.measured == pytest.approx(room / 8, abs=2e-7)  # corners lie on a grid of 1e-6 mm
    assert ("only plunge" in note_of(piece)) is (verdict is Verdict.CAUTION)
    assert piece.points == (pytest.approx((0, 0, 20), abs=1e-9),)


def test_every_plunge_is_named_and_a_long_slot_is_none(tmp_path: Path) -> None:
    """Two bars leave 8.4 mm of width in the middle: 70 mm long it is milled; with a cross bar two plunges stay."""
    bars = "l: {rectangle: [10, 80], at: [-13.2, 0]}, r: {rectangle: [10, 80], at: [13.2, 0]}"
    middle = found(lid_of(tmp_path, PLATE + POCKET % f"start: [0, 0], keep_clear: {{{bars}}}"), "PM507", "pocket")
    assert (middle.verdict, middle.measured) == (Verdict.PASS, pytest.approx(70 / 8))
    ends = f"{bars}, c: {{rectangle: [8, 45.2]}}"  # wall and bar to 26.6: 8.4 mm are left to the land at 35
    stack = lid_of(tmp_path, PLATE + POCKET % f"keep_clear: {{{ends}}}")
    short = [one for one in check_stack(stack) if one.check == "PM507"]
    assert [one.verdict for one in short] == [Verdict.CAUTION] * 2
    assert sorted(one.points[0][1] for one in short) == pytest.approx([-30.8, 30.8], abs=1e-6)
    assert [one.measured for one in short] == pytest.approx([8.4 / 8] * 2, abs=1e-9)


BRACKET = """
project: trial
parts:
  zed:
    kind: bracket
    material: S235
    width: 40
    thickness: 8
    legs: [60, 120]
    bends: [{angle: 90 deg, radius: 8}]
    pockets:
      light: {open_out: true, leg: 2, wall: 3, land: 5, cutter: 8, depth: 4, start: %s, keep_clear: {bar: {rectangle: [6, 40], at: [60, 0]}}}
"""


def test_a_start_in_a_brackets_leg_is_given_as_the_spec_counts_it(tmp_path: Path) -> None:
    """The leg of 120 begins at its sharp corner; its flat 16 mm on, R + t. A bar at 60 with its wall ends at 54 and 66."""
    near, far = ((54 - 21), (115 - 66))
    areas = [length * 30 - (4 - math.pi) * 4**2 for length in (near, far)]
    lost = found(stack_of(tmp_path, BRACKET % "[90, 0]"), "PM506", "light")
    assert lost.measured == pytest.approx(areas[0], abs=1e-6)
    assert start_of(lost) == "[37.500, 0.000]"
    # The second leg stands upright: its lower face is the outside, at X = 60, its upper one 8 mm nearer.
    assert lost.points == (pytest.approx((52, 0, 37.5), abs=1e-6),)
    stack = stack_of(tmp_path, BRACKET % start_of(lost))
    lost = found(stack, "PM506", "light")
    assert lost.measured == pytest.approx(areas[1], abs=1e-6)
    assert start_of(lost) == "[90.500, 0.000]"


def test_check_lists_both_in_the_terminal_and_as_json(tmp_path: Path) -> None:
    """On either side of the bar a square of 8.5 mm: from 9 to 22.5 - 5, and 18.5 - 2 x 5."""
    plate = "\n    thickness: 20\n    outline: {rectangle: [45, 18.5]}\n"
    text = HEAD + plate + POCKET % "start: [13, 0], keep_clear: {bar: {rectangle: [10, 30]}}"
    (tmp_path / "project.yaml").write_text(text, encoding="utf-8")
    words = " ".join(run("check", tmp_path).out.split())
    assert "caution PM506 Place left out of a maximized pocket: lid, pocket" in words
    assert "a start at [-13.250, 0.000] mm would reach it" in words
    assert "the cutter can only plunge there" in words
    stated = {one["check"]: one for one in json.loads(run("check", tmp_path, "--json").out)["findings"]}
    assert stated["PM506"]["points"] == [[-13.25, 0.0, 20.0]]
    assert stated["PM507"]["measured"] == 8.5 / 8


def test_a_hole_is_moved_straight_away_from_the_pockets_middle(monkeypatch: pytest.MonkeyPatch) -> None:
    """From (7, 1) a hole at (10, 5) lies along (3, 4)/5; 2 mm that way are (1.2, 1.6)."""
    hole = SimpleNamespace(name="hole", shape=Circle((10.0, 5.0), 4.0))
    opened = SimpleNamespace(request=SimpleNamespace(spared=[hole]))
    monkeypatch.setattr(_pockets, "gain_by_moving", lambda _opened, _name, dx, dy: (dx, dy))
    assert _pockets._gain(opened, "hole", (7.0, 1.0)) == pytest.approx((1.2, 1.6))
    assert _pockets._gain(opened, "hole", (10.0, 5.0)) == 0.0
