"""Flatness of sealing faces: the number of the check is that of drawing and first-article sheet."""

from __future__ import annotations

from pathlib import Path

import pytest

from platemaker.checks import Verdict
from platemaker.export._paper import about_of
from platemaker.export._sheet._drawing_faces import RING_FINISH, SHEET_FINISH
from platemaker.export._sheet._drawing_sheet import drawing_pages
from platemaker.export._sheet._first_article import first_article
from platemaker.parts import Side
from tests.plates import found, stack_of

SPEC = """
project: pot
bodies:
  pot: {material: A356-T6, envelope: {box: [200, 200, 50]}, joints: {top: {thread_depth: 20}}}
joints:
  top:
    bolts: {pattern: {rectangle: [120, 90]}, thread: M8}
    opening: {circle: 40}
    SEAL
parts:
  lid:
    kind: plate
    material: 6061-T6
    thickness: 12
    outline: {rectangle: [160, 130]}
    below: {top: {holes: clear}}
    opening: {match: top}
"""


@pytest.mark.parametrize(
    ("gasket", "measured", "verdict"),
    [
        # Paper sheet gives 0.30 of its thickness, of which both faces may take a half (gasket_sheets.csv; practice).
        ("thickness: 0.8, land: 4", 0.10, Verdict.PASS),
        ("thickness: 0.8, land: 4, flatness: 0.06", 0.12, Verdict.PASS),
        ("thickness: 0.8, land: 4, flatness: 0.061", 0.122, Verdict.CAUTION),
        ("thickness: 0.8, land: 4, flatness: 0.2", 0.40, Verdict.CAUTION),
        # Fibre gives 0.12: 0.12 x 0.8 / 2 = 0.048.
        ("thickness: 0.8, land: 4, material: fibre gasket", 0.10, Verdict.CAUTION),
        ("thickness: 0.8, land: 4, material: fibre gasket, flatness: 0.024", 0.048, Verdict.PASS),
    ],
)
def test_both_faces_may_use_half_of_what_the_sheet_gives(
    tmp_path: Path, gasket: str, measured: float, verdict: Verdict
) -> None:
    one = found(stack_of(tmp_path, SPEC.replace("SEAL", f"gasket: {{{gasket}}}")), "PM930", "gasket")
    assert (one.measured, one.verdict) == (pytest.approx(measured), verdict)
    assert one.note.startswith("lay a straightedge on pot")


def test_metal_is_not_checked(tmp_path: Path) -> None:
    spec = SPEC.replace("SEAL", "gasket: {thickness: 1, land: 4, material: copper}")
    one = found(stack_of(tmp_path, spec), "PM930", "gasket")
    assert (one.verdict, one.note) == (Verdict.NOT_CHECKED, "metal seals by yielding")


def test_drawing_and_sheet_have_the_number_of_the_check(tmp_path: Path) -> None:
    stack = stack_of(tmp_path, SPEC.replace("SEAL", "gasket: {thickness: 0.8, land: 4, flatness: 0.03}"))
    about = about_of(stack, stack.part("lid"), None, [])
    [face] = about.faces
    assert (face.side, face.flatness, face.roughness) == (Side.BELOW, 0.03, SHEET_FINISH)
    texts = [text.text for page in drawing_pages(stack.part("lid"), about) for text in page.texts]
    assert {"⏥", "0.03", "Ra 3.2 µm or finer, under the gasket of top"} <= set(texts)
    rows = {one.id: one for one in first_article(stack.part("lid"), about)}
    assert rows["face.below.top.flatness"].tolerance == (0.0, 0.03)
    assert "flatness" not in rows
    assert about_of(stack, stack.part("top_gasket"), None, []).faces == ()


def test_the_face_on_an_o_ring_is_smooth_and_the_one_with_the_groove_is_not_asked(tmp_path: Path) -> None:
    stack = stack_of(tmp_path, SPEC.replace("SEAL", "seal: {o_ring: AS568-228, part: lid}").replace("40}", "50}"))
    assert about_of(stack, stack.part("lid"), None, []).faces == ()
    two = SPEC.replace("SEAL", "seal: {o_ring: AS568-228, part: base}").replace("40}", "50}")
    base = "  base: {kind: plate, material: 6061-T6, thickness: 20, outline: {rectangle: [160, 130]}, above: {top: {holes: tapped}}, opening: {match: top}}\n"
    body = next(line for line in two.splitlines() if line.startswith("  pot:"))
    stack = stack_of(tmp_path, two.replace(f"bodies:\n{body}\n", "") + base)
    [face] = about_of(stack, stack.part("lid"), None, []).faces
    assert (face.side, face.flatness, face.roughness) == (Side.BELOW, 0.0, RING_FINISH)
    assert about_of(stack, stack.part("base"), None, []).faces == ()
