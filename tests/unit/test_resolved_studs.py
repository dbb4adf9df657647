"""Studs: set into their thread by the metal end, with a nut for a head.

Metal ends: M6 in steel 6 (DIN 938), in cast iron 7.5 (DIN 939), in aluminium 12 (DIN 835, from memory: two diameters).
ISO 4032: nut of M6 5.2 high, 10 across flats, bearing on 8.9. ISO 7089: washer of M6 1.6 thick, from memory. ISO 888:
16 and 20 are lengths.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from platemaker.checks import Verdict, bolt_orders
from platemaker.checks._stack._tools import tool_envelopes
from platemaker.errors import SpecError
from platemaker.parts import Stack
from platemaker.resolved import Bolt, resolved_stack
from platemaker.space import Cylinder
from tests.plates import found, note_of, stack_of

COVER = """
project: cover
parts:
  base:
    kind: plate
    material: MATERIAL
    thickness: 20
    outline: {rectangle: [100, 60]}
    place: {at: [0, 0, 0]}
    holes: {under: {at: [10, 5], tapped: M6, depth: DEEP}}
  lid:
    kind: plate
    material: S235
    thickness: 6
    outline: {rectangle: [100, 60]}
    place: {at: [0, 0, 20]}
    holes: {over: {at: [10, 5], clear: M6, side: above, screw: {SCREW}}}
"""


def cover(folder: Path, screw: str = "head: stud", material: str = "6061-T6", deep: float = 14) -> Stack:
    text = COVER.replace("MATERIAL", material).replace("DEEP", f"{deep}")
    return stack_of(folder, text.replace("SCREW", screw))


def only(stack: Stack) -> Bolt:
    (bolt,) = resolved_stack(stack).bolts
    return bolt


def test_where_a_stud_ends(tmp_path: Path) -> None:
    """Metal face at 20, seat of the nut at 26; 6 of lid, 5.2 of nut and two pitches are 13.2: the next length is 16."""
    bolt = only(cover(tmp_path))
    assert (bolt.metal_end, bolt.engaged, bolt.long) == (12.0, 12.0, 16.0)
    figures = bolt.figures()
    assert {figures["shank"].start[2], figures["shank"].end[2]} == {36.0, 8.0}
    assert [figures["head"].start[2], figures["head"].end[2]] == pytest.approx([26.0, 31.2])
    assert bolt.bearing_diameter == 8.9


@pytest.mark.parametrize(("material", "end"), [("S235", 6.0), ("grey cast iron", 7.5), ("6061-T6", 12.0)])
def test_the_metal_end_follows_the_metal(tmp_path: Path, material: str, end: float) -> None:
    assert only(cover(tmp_path, material=material)).metal_end == end


def test_engagement_and_bottom_are_those_of_the_metal_end(tmp_path: Path) -> None:
    """9 of 6 mm thread is 1.5 d; in 10 mm of thread 1 mm is left, one pitch."""
    stack = cover(tmp_path, "head: stud, metal_end: 9", deep=10)
    assert found(stack, "PM302", "under", "lid over").measured == pytest.approx(1.5)
    assert found(stack, "PM303", "under", "lid over").measured == pytest.approx(1.0)
    too_deep = cover(tmp_path, "head: stud, metal_end: 11", deep=10)
    bottoms = found(too_deep, "PM303", "under", "lid over")
    assert (bottoms.verdict, note_of(bottoms)) == (
        Verdict.FAIL,
        "the bolt bottoms: it reaches 1.00 mm past the end of the thread",
    )


def test_a_short_stud_leaves_its_nut_no_thread(tmp_path: Path) -> None:
    """10 out of the metal, through 6: 4 for a nut 5.2 high."""
    finding = found(cover(tmp_path, "head: stud, length: 10"), "PM907", "over", "base under")
    assert (finding.verdict, finding.measured) == (Verdict.FAIL, pytest.approx(4.0))


def test_what_is_ordered(tmp_path: Path) -> None:
    """With a washer of 1.6: 14.8, still 16."""
    (row,) = bolt_orders(cover(tmp_path, "head: stud, washers: true"))
    assert (row.head, row.length, row.nuts, row.washers) == ("stud", 16.0, 1, 1)
    assert row.standard == "DIN 835 (from memory, not read), metal end 12 mm; nut ISO 4032; washer ISO 7089"


def test_the_socket_is_as_deep_as_the_stud_stands_out(tmp_path: Path) -> None:
    """The tip at 36 stands 4.8 out of the nut, which ends at 31.2: a socket of 50 becomes 54.8 long."""
    (way,) = tool_envelopes(only(cover(tmp_path)))
    socket = way.figures[0]
    assert isinstance(socket, Cylinder)
    assert max(socket.start[2], socket.end[2]) == pytest.approx(26 + 54.8)


@pytest.mark.parametrize(
    ("screw", "words"),
    [
        ("head: socket, metal_end: 9", "`metal_end` is that of a stud"),
        ("head: studs", "stud"),
        ("head: stud, class: 12.9", "no M6 stud is made in class 12.9"),
    ],
)
def test_what_is_refused(tmp_path: Path, screw: str, words: str) -> None:
    with pytest.raises(SpecError, match=words):
        resolved_stack(cover(tmp_path, screw))


def test_no_counterbore_takes_a_stud(tmp_path: Path) -> None:
    text = COVER.replace("MATERIAL", "S235").replace("DEEP", "14").replace("SCREW", "head: stud")
    with pytest.raises(SpecError, match="stands out of its nut"):
        resolved_stack(stack_of(tmp_path, text.replace("clear: M6", "counterbored: M6")))
