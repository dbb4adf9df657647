"""What every drawing states beside its views: title block and scale bar."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from platemaker.catalog import ToleranceClass
from platemaker.export._ink._sheet_ink import Page, Stroke
from platemaker.export._ink._sheet_paper import Projection
from platemaker.export._ink._sheet_pdf import write_pdf
from platemaker.export._reading._read_pdf import read_pdf
from platemaker.export._sheet._drawing_sheet import drawing_pages
from platemaker.export._sheet._drawing_title import About
from platemaker.parts import Part
from platemaker.plane import Loop
from tests import sample_parts as sample

ABOUT = About("trial", "mm", "0123abcd", Projection.FIRST_ANGLE, 60_000.0, "2026-01-31", "Checks: 3 cautions")


def stated(part: Part, about: About = ABOUT) -> list[str]:
    return [text.text for page in drawing_pages(part, about) for text in page.texts]


def fact(part: Part, heading: str, about: About = ABOUT) -> str:
    """The words that follow a heading of the title block."""
    said = stated(part, about)
    return said[said.index(heading) + 1]


def bar(page: Page) -> float:
    """Length of the scale bar, mm of paper: over all of its pieces, the only frames that are 1.6 mm high."""
    xs = []
    for one in page.ink:
        if isinstance(one, Stroke) and one.closed and isinstance(one.run, tuple):
            ends = [edge.start for edge in one.run]
            if max(y for _, y in ends) - min(y for _, y in ends) == pytest.approx(1.6):
                xs += [x for x, _ in ends]
    return max(xs) - min(xs)


@pytest.mark.parametrize(
    ("heading", "words"),
    [
        ("PROJECT", "trial"),
        ("QUANTITY", "2"),
        ("MATERIAL", "6061-T6"),
        ("MASS", "0.162 kg"),  # 60 000 mm3 at 2700 kg/m3
        ("SIZE OVER ALL, mm", "100 × 60 × 10"),
        ("SHARP EDGES", "break 0.3"),
        ("REVISION", "0123abcd"),
        ("DATE", "2026-01-31"),
        ("GENERAL TOLERANCES", "ISO 2768-f"),
        ("SCALE", "1:1"),
        ("UNIT", "mm"),
        ("SHEET", "1 of 1"),
        ("PAPER", "A4"),
    ],
)
def test_the_title_block_states(heading: str, words: str) -> None:
    part = replace(sample.plain_plate(), quantity=2, edge_break=0.3)
    assert fact(part, heading, replace(ABOUT, tolerances=ToleranceClass.FINE)) == words


def test_the_size_of_a_bent_part_is_that_of_its_blank() -> None:
    """Flat bar 25 x 5; 50 and 30 straight and a bend of 0.64 T + 1.57 R (Machinery's Handbook 31st ed., p. 1421)."""
    width, thick, length = fact(sample.bent_bracket(), "SIZE OVER ALL, mm").removesuffix(" flat").split(" × ")
    assert (width, thick) == ("25", "5")
    assert float(length) == pytest.approx(50 + 30 + 0.64 * 5 + 1.57 * 5, abs=0.01)


@pytest.mark.parametrize(
    ("size", "about", "words", "length", "scale"),
    [
        ((100.0, 60.0), ABOUT, "50 mm of the part", 50.0, "1:1"),
        ((700.0, 300.0), ABOUT, "200 mm of the part", 40.0, "1:5"),
        ((100.0, 60.0), replace(ABOUT, unit="in"), "2 in of the part", 50.8, "1:1"),
    ],
)
def test_the_scale_bar_is_as_long_as_it_says(
    size: tuple[float, float], about: About, words: str, length: float, scale: str, tmp_path: Path
) -> None:
    part = sample.plate("sheet", Loop.rectangle(*size), 10)
    page = drawing_pages(part, about)[0]
    assert fact(part, "SCALE", about) == scale
    assert words in [text.text for text in page.texts]
    write_pdf((page,), tmp_path / "page.pdf", "page")
    assert words.split(maxsplit=1)[0] in read_pdf(tmp_path / "page.pdf").pages[0].words
    assert bar(page) == pytest.approx(length, abs=1e-9)
