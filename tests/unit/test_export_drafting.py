"""What a spec says of its drawings: projection, class of general tolerances and paper, on every sheet."""

from __future__ import annotations

from pathlib import Path

import pytest

from platemaker.errors import SpecError
from platemaker.export import OutputFolder
from platemaker.export._paper import about_of, write_paper
from platemaker.export._reading._read_pdf import PdfReading, read_pdf
from platemaker.parts import Stack
from platemaker.resolved import assemble
from platemaker.spec import load_project

SPEC = """
project: pot
units: UNITS
drawing: {DRAWING}
bodies:
  pot: {material: A356-T6, envelope: {box: [200 mm, 200 mm, 50 mm]}, joints: {lid: {thread_depth: 20 mm}}}
joints:
  lid: {bolts: {pattern: {rectangle: [120 mm, 90 mm]}, thread: M8, length: 25 mm}}
parts:
  lid:
    {kind: plate, material: 6061-T6, thickness: 12 mm, outline: {rectangle: [160 mm, 130 mm]}, below: {lid: {holes: clear}}}
"""
SIZES = {"A4": (297.0, 210.0), "A3": (420.0, 297.0), "Letter": (279.4, 215.9), "Tabloid": (431.8, 279.4)}
"""ISO 216 and ANSI/ASME Y14.1, mm, lying."""


def pot(folder: Path, drawing: str, units: str = "mm") -> Stack:
    text = SPEC.replace("DRAWING", drawing).replace("UNITS", units)
    (folder / "project.yaml").write_text(text, encoding="utf-8")
    return assemble(load_project(folder))


def paper(folder: Path, drawing: str, units: str = "mm") -> dict[str, PdfReading]:
    """The lid's drawing, template and first-article sheet as they read back."""
    stack = pot(folder, drawing, units)
    lid = stack.part("lid")
    with OutputFolder(folder / "out") as out:
        write_paper(lid, about_of(stack, lid, None), out)
    kinds = ("drawing", "template", "first_article")
    return {kind: read_pdf(folder / "out" / f"lid_{kind}.pdf") for kind in kinds}


def words(reading: PdfReading) -> str:
    return " ".join(word for page in reading.pages for word in page.words)


@pytest.mark.parametrize(
    ("drawing", "units", "angle"),
    [
        ("", "mm", "FIRST ANGLE"),
        ("", "in", "THIRD ANGLE"),
        ("projection: third", "mm", "THIRD ANGLE"),
        ("projection: first", "in", "FIRST ANGLE"),
    ],
)
def test_the_projection_is_the_specs_or_follows_its_unit(tmp_path: Path, drawing: str, units: str, angle: str) -> None:
    assert angle in words(paper(tmp_path, drawing, units)["drawing"])


@pytest.mark.parametrize(("letter", "deviation"), [("f", 0.2), ("m", 0.5), ("c", 1.2), ("v", 2.5)])
def test_the_tolerance_class_is_on_every_sheet_and_in_its_limits(tmp_path: Path, letter: str, deviation: float) -> None:
    """ISO 2768-1, table 1, over 120 up to 400 mm: the lid is 160 mm long."""
    read = paper(tmp_path, f"tolerance: {letter}")
    assert f"ISO 2768-{letter}" in words(read["drawing"])
    assert f"{160 - deviation:.2f}" in words(read["first_article"])
    assert f"{160 + deviation:.2f}" in words(read["first_article"])


@pytest.mark.parametrize("name", SIZES)
@pytest.mark.parametrize("units", ["mm", "in"])
def test_the_paper_is_the_one_asked_for(tmp_path: Path, name: str, units: str) -> None:
    read = paper(tmp_path, f"paper: {name}", units)
    for kind in ("drawing", "template"):
        for page in read[kind].pages:
            # The file holds five decimals of a point.
            assert sorted((page.width, page.height), reverse=True) == pytest.approx(SIZES[name], abs=1e-3)
    assert name in words(read["drawing"]).split()
    listed = SIZES["A4" if name.startswith("A") else "Letter"]
    page = read["first_article"].pages[0]
    assert (page.height, page.width) == pytest.approx(listed, abs=1e-3)


@pytest.mark.parametrize(
    ("drawing", "fault"),
    [
        ("projection: second", r"drawing\.projection: .*'second'.*first.*third"),
        ("tolerance: x", r"drawing\.tolerance: .*'x'"),
        ("paper: A5", r"drawing\.paper: .*'A5'.*A4"),
        ("papers: A4", r"did you mean 'paper'"),
    ],
)
def test_what_is_no_choice_is_refused(tmp_path: Path, drawing: str, fault: str) -> None:
    with pytest.raises(SpecError, match=fault):
        pot(tmp_path, drawing)
