"""What cannot be made is refused by name, with file, line and key."""

from __future__ import annotations

from pathlib import Path

import pytest

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
    "a hole across the edge": (
        "    holes: {a: {at: [48, 0], diameter: 10}}\n",
        "project.yaml:10: parts.lid.holes.a: a runs across the edge of lid at",
    ),
    "an opening larger than the plate": (
        "    opening: {shape: {rectangle: [120, 80]}}\n",
        "project.yaml:10: parts.lid.opening: opening is larger than lid",
    ),
    "two holes that run into each other": (
        "    holes:\n      a: {at: [0, 0], diameter: 10}\n      b: {at: [8, 0], diameter: 10}\n",
        "project.yaml:12: parts.lid.holes.b: a and b of lid run into each other; allowed: holes with a wall between them",
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
        "project.yaml:11: parts.lid.slots.a: a slot runs across the edge",
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


@pytest.mark.parametrize(("diameter", "parts"), [(10.2, True), (10.0, True), (9.99, False)])
def test_a_ring_of_holes_that_meet_cuts_its_middle_loose(tmp_path: Path, diameter: float, parts: bool) -> None:
    """Six holes on a circle of 10 mm radius: neighbours are 10 mm apart, as the sides of a hexagon are its radius."""
    at = [(10, 0), (5, 8.660254), (-5, 8.660254), (-10, 0), (-5, -8.660254), (5, -8.660254)]
    into = ["", "h0", "h1", "h2", "h3", "h4, h0"]
    holes = "".join(
        f"      h{k}: {{at: [{x}, {y}], diameter: {diameter}, into: [{into[k]}]}}\n" for k, (x, y) in enumerate(at)
    )
    if not parts:
        assert lid_of(tmp_path, PLATE + "    holes:\n" + holes).parts
        return
    with pytest.raises(SpecError, match=r"parts\.lid: the cuts part lid into 2 pieces \(its holes\)"):
        lid_of(tmp_path, PLATE + "    holes:\n" + holes)
