"""Cuts that let pressure out of a lid over a port of 40 mm; the lid is 12 thick, its gasket ends with it. By plain areas."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from platemaker.checks import Finding, Verdict
from platemaker.checks._sealing._ways_out import check_ways_out
from tests.plates import note_of, stack_of

LID = """
project: lid
design: {boost: 0.6 bar}
bodies:
  box:
    material: A356-T6
    envelope: {box: [140, 120, 60]}
    joints: {rim: {face: above, holes: tapped, thread_depth: 20}}
joints:
  rim:
    bolts: {pattern: {rectangle: [90, 70]}, thread: M6}
    opening: {circle: 40}
    gasket: {thickness: 0.8, land: 6}
parts:
  lid:
    kind: plate
    material: 6061-T6
    thickness: 12
    outline: {rectangle: [116, 96], corner_radius: 8}
    below: {rim: {holes: clear}}
"""
COVER = """  cover:
    kind: plate
    material: 6061-T6
    thickness: 6
    outline: {rectangle: [20, 20]}
    place: {at: [5, 3, 12.8]}
    holes: {screw: {at: [0, 0], clear: M6, side: above}}
"""


def ways(folder: Path, cuts: str, *edits: tuple[str, str]) -> list[Finding]:
    text = LID + f"    {cuts}\n"
    for old, new in edits:
        assert old in text
        text = text.replace(old, new)
    return list(check_ways_out(stack_of(folder, text)))


@pytest.mark.parametrize(
    ("cuts", "area"),
    [
        ("holes: {vent: {at: [5, 3], diameter: 5}}", math.pi * 2.5**2),
        ("holes: {vent: {at: [5, 3], tapped: M6}}", math.pi * 2.5**2),  # drilled 5.0 by ISO 2306
        ("slots: {vent: {at: [0, 0], slot: [20, 8]}}", 12 * 8 + math.pi * 16),
        # A pocket over a blind hole: the hole leaves by the pocket.
        (
            "holes: {deep: {at: [5, 3], diameter: 4, depth: 8, side: below, into: [vent]}}\n"
            "    pockets: {vent: {shape: {circle: 10, at: [5, 3]}, depth: 6, side: above}}",
            math.pi * 25,
        ),
    ],
)
def test_what_leads_out_fails(tmp_path: Path, cuts: str, area: float) -> None:
    (finding,) = ways(tmp_path, cuts)
    assert (finding.verdict, finding.features) == (Verdict.FAIL, ("vent",))
    assert finding.measured == pytest.approx(area)


@pytest.mark.parametrize(
    ("at", "towards", "wide"),
    [
        ("[-10, 0, 12]", "[1, 0, -2]", 3.0 / (2 / math.sqrt(5))),  # 12 down, 6 aside: out at X -4, inside the port
        ("[0, 0, 0]", "[3, 0, 4]", 3.0 / 0.8),  # from below
        ("[45, 0, 12]", "[-3, 0, -1.2]", 3.0 * math.sqrt(9 + 1.44) / 1.2),  # 12 down, 30 aside: out at X 15
    ],
)
def test_a_slanted_bore_leads_out(tmp_path: Path, at: str, towards: str, wide: float) -> None:
    """Bore of 6: it breaks the upper face in an ellipse, 3 by `wide` half across; the slot round it is a little more."""
    (finding,) = ways(tmp_path, f"bores: {{vent: {{at: {at}, towards: {towards}, diameter: 6, depth: 60}}}}")
    assert (finding.verdict, finding.features) == (Verdict.FAIL, ("vent",))
    ellipse, slot = math.pi * 3 * wide, math.pi * 9 + 6 * (2 * wide - 6)
    assert ellipse <= (finding.measured or 0.0) <= slot + 1e-9


@pytest.mark.parametrize(
    "cuts",
    [
        "bores: {blind: {at: [0, 0, 0], towards: [3, 0, 4], diameter: 4, depth: 6}}",
        "bores: {outside: {at: [36, 0, 12], towards: [1, 0, -2], diameter: 4, depth: 60}}",
        "holes: {plug: {at: [5, 3], pipe_thread: 1/8 NPT, fitting: {diameter: 14, length: 12}}}",
        "holes: {blind: {at: [5, 3], diameter: 5, depth: 6, side: below}}",
        "holes: {outside: {at: [36, 0], diameter: 5}}",
        "pockets: {room: {shape: {circle: 60}, depth: 4, side: below}}",  # the gasket lies under all of it
    ],
)
def test_what_is_closed_is_not_listed(tmp_path: Path, cuts: str) -> None:
    assert not ways(tmp_path, cuts)


def test_a_pocket_past_the_gasket_leaks(tmp_path: Path) -> None:
    """Over a plate's own O-ring joint: the rectangle of the bolts, 90 by 70, closes no more than itself."""
    (finding,) = ways(
        tmp_path, "pockets: {room: {shape: {slot: [110, 20]}, depth: 4, side: below}}",
        ("    gasket: {thickness: 0.8, land: 6}\n", ""),
    )  # fmt: skip
    # 90 of the slot's 110 are covered: what is left is two ends of radius 10.
    assert finding.measured == pytest.approx(math.pi * 100)


def test_a_screw_in_it_is_a_caution(tmp_path: Path) -> None:
    stack = stack_of(tmp_path, LID + "    holes: {vent: {at: [5, 3], tapped: M6}}\n" + COVER)
    (finding,) = check_ways_out(stack)
    assert finding.verdict is Verdict.CAUTION
    assert "seal its thread" in note_of(finding)


def test_without_pressures_it_is_not_checked(tmp_path: Path) -> None:
    (finding,) = ways(tmp_path, "holes: {vent: {at: [5, 3], diameter: 5}}", ("design: {boost: 0.6 bar}\n", ""))
    assert finding.verdict is Verdict.NOT_CHECKED
