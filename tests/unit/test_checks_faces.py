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
from tests.plates import found, note_of, stack_of

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
    assert note_of(one) == "flatness of pot is assumed: lay a straightedge there before fitting"


def test_a_measured_face_counts_as_measured(tmp_path: Path) -> None:
    """0.05 of the lid, by its drawing, and 0.08 of the casting, by the straightedge."""
    spec = SPEC.replace("SEAL", "gasket: {thickness: 0.8, land: 4}").replace(
        "thread_depth: 20", "thread_depth: 20, flatness: 0.08"
    )
    one = found(stack_of(tmp_path, spec), "PM930", "gasket")
    assert (one.measured, one.verdict, note_of(one)) == (pytest.approx(0.13), Verdict.CAUTION, "")


@pytest.mark.parametrize(
    ("flat", "cast", "squeeze", "verdict", "assumed"),
    [
        # Section 3.53 with 0.10, groove 2.64 with 0.10 (AS568A; face gland table): 3.43 - 2.74 = 0.69, less both faces.
        ("", "", 0.65, Verdict.PASS, True),
        (", flatness: 0.03", "", 0.63, Verdict.PASS, True),  # 18.4 %
        (", flatness: 0.05", "", 0.59, Verdict.CAUTION, True),  # 17.2 %
        (", flatness: 0.05", ", flatness: 0.01", 0.63, Verdict.PASS, False),
        (", flatness: 0.05", ", flatness: 0.13", 0.51, Verdict.FAIL, False),  # 14.9 %
    ],
)
def test_low_faces_take_from_the_least_squeeze(
    tmp_path: Path, flat: str, cast: str, squeeze: float, verdict: Verdict, assumed: bool
) -> None:
    seal = f"seal: {{o_ring: AS568-228, part: lid{flat}}}"
    spec = SPEC.replace("SEAL", seal).replace("40}", "50}").replace("thread_depth: 20", f"thread_depth: 20{cast}")
    stack = stack_of(tmp_path, spec)
    least, most = (found(stack, "PM926", "top", "AS568-228", end) for end in ("least", "most"))
    assert (least.measured, least.verdict) == (pytest.approx(squeeze / 3.43), verdict)
    assert ("pot is assumed" in note_of(least)) is assumed
    assert most.measured == pytest.approx(1.09 / 3.63)  # where the faces touch, they take nothing


def test_metal_is_not_checked(tmp_path: Path) -> None:
    spec = SPEC.replace("SEAL", "gasket: {thickness: 1, land: 4, material: copper}")
    one = found(stack_of(tmp_path, spec), "PM930", "gasket")
    assert (one.verdict, note_of(one)) == (Verdict.NOT_CHECKED, "metal seals by yielding")


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


def test_both_faces_of_an_o_ring_are_flat_and_the_one_without_the_groove_is_smooth(tmp_path: Path) -> None:
    stack = stack_of(tmp_path, SPEC.replace("SEAL", "seal: {o_ring: AS568-228, part: lid}").replace("40}", "50}"))
    about = about_of(stack, stack.part("lid"), None, [])
    assert [(face.flatness, face.roughness) for face in about.faces] == [(0.02, None)]
    texts = [text.text for page in drawing_pages(stack.part("lid"), about) for text in page.texts]
    assert {"⏥", "0.02", "beside the O-ring of top"} <= set(texts)
    rows = {one.id: one for one in first_article(stack.part("lid"), about)}
    assert rows["face.below.top.flatness"].tolerance == (0.0, 0.02)
    assert "face.below.top.roughness" not in rows
    two = SPEC.replace("SEAL", "seal: {o_ring: AS568-228, part: base, flatness: 0.03}").replace("40}", "50}")
    base = "  base: {kind: plate, material: 6061-T6, thickness: 20, outline: {rectangle: [160, 130]}, above: {top: {holes: tapped}}, opening: {match: top}}\n"
    body = next(line for line in two.splitlines() if line.startswith("  pot:"))
    stack = stack_of(tmp_path, two.replace(f"bodies:\n{body}\n", "") + base)
    [lid], [low] = (about_of(stack, stack.part(name), None, []).faces for name in ("lid", "base"))
    assert (lid.side, lid.flatness, lid.roughness) == (Side.BELOW, 0.03, RING_FINISH)
    assert (low.side, low.flatness, low.roughness) == (Side.ABOVE, 0.03, None)
