"""What cannot be made is refused by name, with file, line and key."""

from __future__ import annotations

from pathlib import Path

import pytest

from platemaker.checks import Verdict, check_stack
from platemaker.errors import SpecError
from tests.plates import lid_of

PLATE = """
    thickness: 20
    outline: {rectangle: [100, 60], corner_radius: 5}
"""

CASES = {
    "a hole off the plate": (
        "    holes: {a: {at: [80, 0], diameter: 10}}\n",
        "project.yaml:10: parts.lid.holes.a: a lies off lid; "
        "allowed: cuts that lie inside the outline; a notch belongs to the outline itself",
    ),
    "an opening larger than the plate": (
        "    opening: {shape: {rectangle: [120, 80]}}\n",
        "project.yaml:10: parts.lid.opening: opening is larger than lid",
    ),
    "two holes that touch": (
        "    holes:\n      a: {at: [0, 0], diameter: 10}\n      b: {at: [10, 0], diameter: 10}\n",
        "project.yaml:11: parts.lid.holes.a: a and b of lid touch and leave a wall of no thickness; "
        "allowed: cuts that stand apart, or that overlap",
    ),
    "a hole that touches the edge": (
        "    holes: {a: {at: [45, 0], diameter: 10}}\n",
        "project.yaml:10: parts.lid.holes.a: a and the outline of lid touch and leave a wall of no thickness",
    ),
    "pockets with a common side": (
        "    pockets:\n      a: {shape: {rectangle: [20, 20]}, depth: 5}\n"
        "      b: {shape: {rectangle: [20, 20], at: [20, 0]}, depth: 5}\n",
        "project.yaml:11: parts.lid.pockets.a: a and b of lid touch",
    ),
    "pockets from both faces that meet along a line": (
        "    pockets:\n      a: {shape: {rectangle: [20, 20]}, depth: 12}\n"
        "      b: {shape: {rectangle: [20, 20], at: [20, 0]}, depth: 8, side: below}\n",
        "project.yaml:11: parts.lid.pockets.a: a and b of lid touch",
    ),
    "a level bore that touches the face above": (
        "    bores: {a: {at: [50, 0, 14], towards: [-1, 0, 0], diameter: 12, depth: 20}}\n",
        "project.yaml:10: parts.lid.bores.a: a and the face above of lid touch",
    ),
    "a drill point that ends in the face below": (
        "    holes: {a: {at: [0, 0], diameter: 10, depth: 16.995697}}\n",  # 5 mm over tan 59 degrees: 3.004303
        "project.yaml:10: parts.lid.holes.a: a and the face below of lid touch",
    ),
    "a pocket inside a deeper one": (
        "    pockets:\n      a: {shape: {circle: 30}, depth: 5}\n      b: {shape: {circle: 20}, depth: 3}\n",
        "project.yaml:12: parts.lid.pockets.b: b of lid takes nothing away: it lies inside a; "
        "allowed: cuts that each take something away",
    ),
    "a hole twice": (
        "    holes:\n      a: {at: [0, 0], diameter: 10}\n      b: {at: [0, 0], diameter: 10, side: below}\n",
        "project.yaml:12: parts.lid.holes.b: b of lid takes nothing away: it lies inside a",
    ),
    "a level bore inside another": (
        "    bores:\n      a: {at: [50, 0, 10], towards: [-1, 0, 0], diameter: 8, depth: 40}\n"
        "      b: {at: [50, 0.5, 10], towards: [-1, 0, 0], diameter: 6, depth: 30}\n",
        "project.yaml:12: parts.lid.bores.b: b of lid takes nothing away: it lies inside a",
    ),
    "a level bore that cuts the plate in two": (
        "    bores: {a: {at: [0, 30, 10], towards: [0, -1, 0], diameter: 24, depth: 60}}\n",
        "project.yaml:4: parts.lid: the cuts part lid into 2 pieces (a); allowed: cuts that leave one piece",
    ),
    "a mouth as deep as the plate": (
        "    opening: {shape: {circle: 30}, mouth_chamfer: 10, mouth_angle: 26.565051177}\n",
        "project.yaml:10: parts.lid.opening: the chamfered mouth of opening is as deep as lid is thick, met '20 mm'; "
        "allowed: less than 20 mm deep",
    ),
    "a hole five micrometres off the plate": (
        "    holes: {a: {at: [55.005, 0], diameter: 10}}\n",
        "project.yaml:10: parts.lid.holes.a: a lies off lid; ",
    ),
    "a pocket deeper than the plate": (
        "    pocket: {shape: {circle: 30}, depth: 20}\n",
        "project.yaml:10: parts.lid.pocket.depth: pocket is deeper than the plate, met '20 mm'; "
        "allowed: less than the thickness, 20 mm",
    ),
    "a hole deeper than the plate": (
        "    holes: {a: {at: [0, 0], diameter: 10, depth: 21}}\n",
        "project.yaml:10: parts.lid.holes.a: hole of 21 mm is deeper than the material, 20 mm; "
        "allowed: up to 20 mm, or no depth for a through hole",
    ),
    "a chamfered mouth at a sharp corner": (
        "    opening: {shape: {rectangle: [40, 20]}, mouth_chamfer: 3}\n",
        "project.yaml:10: parts.lid.opening: a chamfered mouth needs an opening of smooth, convex outline; "
        "opening has a corner; allowed: corner radii above 0 at every corner, or no mouth_chamfer",
    ),
    "a mouth at a sharp corner": (
        "    opening: {shape: {rectangle: [40, 20]}, mouth_radius: 3}\n",
        "project.yaml:10: parts.lid.opening: a rounded mouth needs an opening of smooth, convex outline; "
        "opening has a corner; allowed: corner radii above 0 at every corner, or no mouth_radius",
    ),
    "a slot from edge to edge": (
        "    slots:\n      a: {slot: [100, 8], at: [0, 0]}\n",
        "project.yaml:11: parts.lid.slots.a: a and the outline of lid touch and leave a wall of no thickness",
    ),
}


@pytest.mark.parametrize("case", CASES)
def test_what_cannot_be_made_is_refused_by_name(tmp_path: Path, case: str) -> None:
    body, message = CASES[case]
    with pytest.raises(SpecError) as caught:
        lid_of(tmp_path, PLATE + body)
    assert str(caught.value).startswith(message)


def test_an_opening_that_cuts_a_piece_loose_is_refused(tmp_path: Path) -> None:
    # Two C-shaped openings that overlap at their ends leave the middle loose.
    body = """
    thickness: 20
    outline: {rectangle: [100, 100]}
    openings:
      left: {shape: {loop: [[1, -30], [1, -20], [-20, -20], [-20, 20], [1, 20], [1, 30], [-30, 30], [-30, -30]]}}
      right: {shape: {loop: [[-1, -30], [30, -30], [30, 30], [-1, 30], [-1, 20], [20, 20], [20, -20], [-1, -20]]}}
"""
    with pytest.raises(SpecError) as caught:
        lid_of(tmp_path, body)
    assert str(caught.value) == (
        "project.yaml:4: parts.lid: the cuts part lid into 2 pieces (left, right); allowed: cuts that leave one piece"
    )


PARTED = r"parts\.lid: the cuts part lid into 2 pieces \(its holes\)"


@pytest.mark.parametrize(("diameter", "stated"), [(10.2, PARTED), (10.0, "h0 and h1 of lid touch"), (9.99, "")])
def test_a_ring_of_holes_that_meet_cuts_its_middle_loose(tmp_path: Path, diameter: float, stated: str) -> None:
    """Six holes on a circle of 10 mm radius: neighbours are 10 mm apart, as the sides of a hexagon are its radius."""
    at = [(10, 0), (5, 8.660254), (-5, 8.660254), (-10, 0), (-5, -8.660254), (5, -8.660254)]
    into = ["", "h0", "h1", "h2", "h3", "h4, h0"]
    holes = "".join(
        f"      h{k}: {{at: [{x}, {y}], diameter: {diameter}, into: [{into[k]}]}}\n" for k, (x, y) in enumerate(at)
    )
    if not stated:
        assert lid_of(tmp_path, PLATE + "    holes:\n" + holes).parts
        return
    with pytest.raises(SpecError, match=stated):
        lid_of(tmp_path, PLATE + "    holes:\n" + holes)


@pytest.mark.parametrize(("height", "towards"), [(10, "[-1, 0, 0]"), (20, "[-3, 0, -4]")])
def test_a_bore_that_swallows_the_whole_plate_leaves_nothing(tmp_path: Path, height: int, towards: str) -> None:
    bore = f"    bores: {{a: {{at: [50, 0, {height}], towards: {towards}, diameter: 5000, depth: 300}}}}\n"
    with pytest.raises(SpecError, match=r"parts\.lid: the cuts leave nothing of lid \(a\)"):
        lid_of(tmp_path, PLATE + bore)


BUILT = {
    "holes that overlap": "    holes:\n      a: {at: [0, 0], diameter: 10}\n      b: {at: [8, 0], diameter: 10}\n",
    "a hole across the edge": "    holes: {a: {at: [48, 0], diameter: 10}}\n",
    "pockets from both faces whose floors meet": (
        "    pockets:\n      a: {shape: {rectangle: [20, 20]}, depth: 12}\n"
        "      b: {shape: {rectangle: [20, 20], at: [5, 0]}, depth: 8, side: below}\n"
    ),
    "a pocket over the whole face": "    pockets: {a: {shape: {rectangle: [120, 80]}, depth: 5}}\n",
    "a level bore that breaks out of a face": (
        "    bores: {a: {at: [50, 0, 15], towards: [-1, 0, 0], diameter: 12, depth: 20}}\n"
    ),
}


@pytest.mark.parametrize("case", BUILT)
def test_what_a_solid_can_be_made_of_is_left_to_the_check_of_metal(tmp_path: Path, case: str) -> None:
    """No wall of thickness 0 is left, and each cut takes something away: a fault of the design, not of the spec."""
    findings = check_stack(lid_of(tmp_path, PLATE + BUILT[case]))
    assert any(one.check == "PM110" and one.verdict is Verdict.FAIL for one in findings)
