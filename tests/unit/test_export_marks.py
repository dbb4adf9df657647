"""Marks: letters as lines that a cutter follows, in DXF, waterjet file and on nested sheets, read by another library."""

from __future__ import annotations

import string
from pathlib import Path

import ezdxf
import pytest

from platemaker.checks._machining._plausible import _letter
from platemaker.errors import ProofError, SpecError
from platemaker.export import write_dxf
from platemaker.export._flat._dxf import write_drawing
from platemaker.export._flat._profile import profile_drawing
from platemaker.export._nest import GAP, nested, prove_sheet, sheet_drawing
from platemaker.export._paper import about_of
from platemaker.export._reading._read_dxf import prove_dxf
from platemaker.export._reading._read_profile import prove_profile
from platemaker.export._sheet._drawing_sheet import drawing_pages
from platemaker.parts import Part
from platemaker.plane import Box
from platemaker.records import replace
from platemaker.views import engraved, joined
from tests import sample_parts as sample
from tests.plates import stack_of

SPEC = """
project: pot
drawing: {number: PE-12}
bodies:
  pot: {material: A356-T6, envelope: {box: [200, 200, 50]}, joints: {top: {thread_depth: 20}}}
joints:
  top:
    bolts: {pattern: {points: {a: [50, 30], b: [-50, 30], c: [-50, -30], d: [50, -30]}}, thread: M8}
    opening: {circle: 40}
    gasket: {thickness: 0.8, land: 4}
parts:
  lid:
    kind: plate
    material: 6061-T6
    thickness: 12
    outline: {rectangle: [160, 130]}
    below: {top: {holes: clear}}
    opening: {match: top}
    note: pack each in paper
    marks:
      name: {text: "{number}", at: [-30, 50], height: 5, letters: outlines}
      order: {bolts: top, height: 4}
"""


def lid_of(folder: Path, spec: str = SPEC) -> Part:
    return stack_of(folder, spec).part("lid")


def lines(path: Path) -> list[tuple[Box, bool]]:
    """The box of each line on layer MARK, and whether it is closed."""
    found = []
    for one in ezdxf.readfile(path).modelspace():
        if one.dxf.layer != "MARK":
            continue
        points = one.get_points("xy") if one.dxftype() == "LWPOLYLINE" else [one.dxf.start.vec2, one.dxf.end.vec2]
        xs, ys = zip(*points, strict=True)
        found.append(((min(xs), min(ys), max(xs), max(ys)), one.dxftype() == "LWPOLYLINE" and one.closed))
    return found


@pytest.mark.parametrize("letters", ["strokes", "outlines"])
def test_every_letter_has_lines_of_its_height_and_no_more_than_its_width(letters: str) -> None:
    """Descenders and brackets reach 0.4 of a capital past it; the check of marks takes every letter as wide as here."""
    for letter in string.printable.strip():
        drawn = engraved(letter, (0.0, 0.0), 10.0, letters, "MARK")
        assert drawn, letter
        x0, y0, x1, y1 = joined(one.bounds for one in drawn)
        assert -1.5 < x0 <= x1 < 10 * _letter(letter, letters), letter
        assert -4.0 < y0 <= y1 < 11.5, letter
        if letter in string.digits + string.ascii_uppercase.replace("J", "").replace("Q", ""):
            assert (y0, y1) == (pytest.approx(0, abs=0.25), pytest.approx(10, abs=0.25)), letter
        assert all(one.closed for one in drawn) is (letters == "outlines")
    two = engraved("HH", (0.0, 0.0), 10.0, letters, "MARK")
    assert joined(one.bounds for one in two)[2] < 2 * 10 * _letter("H", letters)


def test_part_number_and_bolt_numbers_are_lines_of_the_dxf(tmp_path: Path) -> None:
    """PE-12-lid in outlines at (-30, 50). Bolts crosswise: each number right of its hole of 9, 4.5 + 2 from the axis.

    The first bolt is the first of the pattern, the second opposite to it, as a wheel's nuts are tightened.
    """
    lid = lid_of(tmp_path)
    texts = {mark.text: mark.at for mark in lid.marks}
    assert texts["PE-12-lid"] == (-30, 50, 12)
    first = next(hole for hole in lid.holes if hole.spot == "a")
    assert texts["1"] == (pytest.approx(first.centre[0] + 6.5), pytest.approx(first.centre[1] - 2), 12)
    ends = [texts[number][:2] for number in "12"]
    assert (ends[0][0] + ends[1][0], ends[0][1] + ends[1][1]) == (pytest.approx(13), pytest.approx(-4))
    write_dxf(lid, tmp_path / "lid.dxf")
    prove_dxf(lid, tmp_path / "lid.dxf")
    met = lines(tmp_path / "lid.dxf")
    name = [closed for box, closed in met if box[1] > 45]
    # P has two outlines, d two, i two with its dot: 9 letters, 12 outlines.
    assert (len(name), all(name)) == (12, True)
    one = [
        box for box, closed in met if not closed and abs(box[0] - texts["1"][0]) < 2 and abs(box[1] - texts["1"][1]) < 1
    ]
    assert [box[3] - box[1] for box in one] == [pytest.approx(4.0)]


def test_the_file_for_the_waterjet_and_the_nest_have_the_marks_and_the_parts_own_notes(tmp_path: Path) -> None:
    lid = lid_of(tmp_path)
    write_drawing(profile_drawing(lid), tmp_path / "p.dxf")
    prove_profile(lid, tmp_path / "p.dxf")
    flat = lines(tmp_path / "p.dxf")
    # 160 x 130 goes on a sheet 150 wide only when turned by 90 degrees: (x, y) of the part is (65 - y, 80 + x) there.
    [sheet] = nested([lid], 150.0, 180.0).sheets
    assert sheet.spots[0].turned
    write_drawing(sheet_drawing(sheet), tmp_path / "s.dxf")
    prove_sheet(sheet, tmp_path / "s.dxf")
    due = sorted((GAP + 65 - y1, GAP + 80 + x0, GAP + 65 - y0, GAP + 80 + x1) for (x0, y0, x1, y1), _ in flat)
    assert len(due) == len(lines(tmp_path / "s.dxf")) > 12
    for wanted, box in zip(due, sorted(box for box, _ in lines(tmp_path / "s.dxf")), strict=True):
        assert box == pytest.approx(wanted, abs=1e-6)
    notes = [one.dxf.text for one in ezdxf.readfile(tmp_path / "s.dxf").modelspace().query("TEXT")]
    assert "lid: pack each in paper" in notes
    assert "lid: layer MARK is engraved or scribed, not cut through, outlines of letters: PE-12-lid" in notes
    assert "lid: layer MARK is engraved or scribed, not cut through, single strokes: 1, 2, 3, 4" in notes


def test_the_drawing_says_how_marks_are_made(tmp_path: Path) -> None:
    stack = stack_of(tmp_path, SPEC)
    pages = drawing_pages(stack.part("lid"), about_of(stack, stack.part("lid"), None, []))
    said = " ".join(text.text for page in pages for text in page.texts)
    assert "Engrave or scribe, 5 high, outlines of letters as on layer MARK of the DXF: PE-12-lid." in said


def test_a_file_that_lacks_a_mark_fails_its_proof(tmp_path: Path) -> None:
    part = sample.chiral_ell()
    write_dxf(replace(part, marks=()), tmp_path / "a.dxf")
    with pytest.raises(ProofError, match="mark 'FRONT' has 0 lines"):
        prove_dxf(part, tmp_path / "a.dxf")
    [front] = part.marks
    write_dxf(replace(part, marks=(replace(front, height=2.0),)), tmp_path / "b.dxf")
    with pytest.raises(ProofError, match="mark 'FRONT' has 8 lines, the tallest 2 mm"):
        prove_dxf(part, tmp_path / "b.dxf")


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("drawing: {number: PE-12}", "", "the project has no drawing number"),
        ("bolts: top, height", "bolts: tip, height", "'tip'.*nearest.*top|top"),
        ("text: \"{number}\", at", "text: A, bolts: top, at", "a mark has either a `text`, or `bolts`"),
        ("bolts: top, height: 4", "height: 4", "a mark has either a `text`, or `bolts`"),
    ],
)  # fmt: skip
def test_marks_that_cannot_be_made_are_refused(tmp_path: Path, old: str, new: str, said: str) -> None:
    assert old in SPEC
    with pytest.raises(SpecError, match=said):
        stack_of(tmp_path, SPEC.replace(old, new))
