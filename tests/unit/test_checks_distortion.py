"""A plate pocketed deep: the caution, its limit, and the note that its drawing has."""

from __future__ import annotations

from pathlib import Path

import pytest

from platemaker.checks import Verdict, check_stack
from platemaker.export._paper import about_of
from platemaker.export._sheet._drawing_sheet import drawing_pages
from tests.plates import found, lid_of

PLATE = """\
    thickness: 20
    outline: {{rectangle: [160, 130]}}
    pocket: {{shape: {{rectangle: [100, 70], corner_radius: 8}}, depth: {depth}, cutter: 12}}
    reliefs: {{stud: {{at: [60, 50], diameter: 16, depth: 15, cutter: 12}}}}
    {more}
"""
NOTE = "Deep pocket (pocket): rough both faces, let the part rest unclamped, then finish, so that it stays flat."


@pytest.mark.parametrize(
    ("depth", "more", "share", "verdict"),
    [
        (10, "", 0.5, Verdict.PASS),
        (10.1, "", 0.505, Verdict.CAUTION),
        (10.1, "limits: {pocket_share: 0.6}", 0.505, Verdict.PASS),
        (14, "limits: {pocket_share: 0.6}", 0.7, Verdict.CAUTION),
    ],
)
def test_a_pocket_deeper_than_half_the_plate_is_a_caution_and_a_note(
    tmp_path: Path, depth: float, more: str, share: float, verdict: Verdict
) -> None:
    stack = lid_of(tmp_path, PLATE.format(depth=depth, more=more))
    one = found(stack, "PM508", "pocket")
    assert (one.measured, one.verdict) == (pytest.approx(share), verdict)
    [plate] = stack.parts
    pages = drawing_pages(plate, about_of(stack, plate, None, check_stack(stack)))
    said = " ".join(text.text for page in pages for text in page.texts)
    # The note is broken into lines where the column ends.
    assert (NOTE in said) is (verdict is Verdict.CAUTION)


def test_a_relief_for_a_stud_is_no_pocket(tmp_path: Path) -> None:
    stack = lid_of(tmp_path, PLATE.format(depth=4, more=""))
    assert {one.features for one in check_stack(stack) if one.check == "PM508"} == {("pocket",)}
