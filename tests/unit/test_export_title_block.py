"""What every drawing states beside its views: title block and scale bar."""

from __future__ import annotations

from pathlib import Path

import pytest

from platemaker.catalog import ToleranceClass
from platemaker.errors import SpecError
from platemaker.export._paper import about_of
from platemaker.export._reading._read_pdf import read_pdf
from platemaker.export._sheet._drawing_sheet import drawing_pages
from platemaker.export._sheet._drawing_title import About
from platemaker.export._sheet._sheet_paper import Projection
from platemaker.parts import Drafting, Part, Revision
from platemaker.plane import Loop
from platemaker.records import replace
from platemaker.resolved import assemble
from platemaker.spec import load_project
from platemaker.views._ink._model import Page, Stroke
from platemaker.views._ink._pdf import write_pdf
from tests import sample_parts as sample

DRAFTING = Drafting(
    number="PE-12", owner="Pump shop", drawn="A. B.", checked="C. D.",
    revisions=(Revision("A", "2026-01-31", "first release"), Revision("B", "", "opening 2 mm wider")),
)  # fmt: skip
ABOUT = About("trial", "mm", "0123abcd", Projection.FIRST_ANGLE, 60_000.0, "2026-01-31", drafting=DRAFTING)


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
        ("OWNER", "Pump shop"),
        ("DRAWING NUMBER", "PE-12-plain_plate"),
        ("REVISION", "B"),
        ("SPEC CODE", "0123abcd"),
        ("DRAWN", "A. B."),
        ("CHECKED", "C. D."),
        ("FINISH", "Ra 3.2"),
        ("TREATMENT", "hard anodised 25 µm"),
        ("DATE", "2026-01-31"),
        ("GENERAL TOLERANCES", "ISO 2768-f"),
        ("SCALE", "1:1"),
        ("UNIT", "mm"),
        ("SHEET", "1 of 1"),
        ("PAPER", "A4"),
    ],
)
def test_the_title_block_states(heading: str, words: str) -> None:
    part = replace(sample.plain_plate(), quantity=2, edge_break=0.3, finish="Ra 3.2", treatment="hard anodised 25 µm")
    assert fact(part, heading, replace(ABOUT, tolerances=ToleranceClass.FINE)) == words


def test_what_the_spec_leaves_out_is_a_blank_under_its_heading() -> None:
    """A heading is followed by the next one: nothing is written where a hand is to write."""
    said = stated(sample.plain_plate(), replace(ABOUT, drafting=Drafting(), date=""))
    rows = ["OWNER", "DRAWING NUMBER", "REVISION", "SPEC CODE", "0123abcd", "DATE", "DRAWN", "CHECKED", "MATERIAL"]
    first = said.index("OWNER")
    assert said[first : first + len(rows)] == rows
    assert said[said.index("FINISH") + 1 : said.index("GENERAL TOLERANCES")] == ["TREATMENT"]
    assert "REVISIONS" not in said


def test_the_list_of_revisions_has_the_last_one_first() -> None:
    said = stated(sample.plain_plate())
    first = said.index("REVISIONS")
    assert said[first : first + 7] == ["REVISIONS", "B", "", "opening 2 mm wider", "A", "2026-01-31", "first release"]


SPEC = """
project: pot
drawing:
  number: PE-12
  owner: Pump shop
  revisions: [{revision: A, date: 2026-01-31, change: first release}]
bodies:
  pot: {material: A356-T6, envelope: {box: [200, 200, 50]}, joints: {top: {thread_depth: 20}}}
joints:
  top:
    title: Lid to pot
    bolts: {pattern: {rectangle: [120, 90]}, thread: M8, length: 25}
    gasket: {thickness: 0.8, land: 4}
parts:
  lid:
    {kind: plate, material: 6061-T6, thickness: 12, outline: {rectangle: [160, 130]}, below: {top: {holes: clear}},
     finish: Ra 3.2, treatment: hard anodised 25 µm}
"""


def test_the_title_block_is_the_specs(tmp_path: Path) -> None:
    (tmp_path / "project.yaml").write_text(SPEC, encoding="utf-8")
    stack = assemble(load_project(tmp_path))
    lid, gasket = stack.part("lid"), stack.part("top_gasket")
    for part, heading, words in (
        (lid, "DRAWING NUMBER", "PE-12-lid"),
        (lid, "REVISION", "A"),
        (lid, "DATE", "2026-01-31"),
        (lid, "TREATMENT", "hard anodised 25 µm"),
        (gasket, "DRAWING NUMBER", "PE-12-top_gasket"),
    ):
        assert fact(part, heading, about_of(stack, part, None)) == words
    assert gasket.title == "Gasket: Lid to pot"


@pytest.mark.parametrize(
    ("was", "to", "fault"),
    [
        ("2026-01-31", "2026-02-30", r"revisions\[0\]\.date: .*calendar"),
        ("revision: A", "revision: A/B", r"revisions\[0\]\.revision: .*'A/B'"),
        ("owner", "owners", r"did you mean 'owner'"),
    ],
)
def test_a_title_that_cannot_be_is_refused(tmp_path: Path, was: str, to: str, fault: str) -> None:
    (tmp_path / "project.yaml").write_text(SPEC.replace(was, to, 1), encoding="utf-8")
    with pytest.raises(SpecError, match=fault):
        load_project(tmp_path)


def test_the_size_of_a_bent_part_is_that_of_its_blank() -> None:
    """Flat bar 25 x 5; 50 and 30 straight and a bend of 0.64 T + 1.57 R (Machinery's Handbook 31st ed., p. 1421)."""
    width, thick, length = fact(sample.bent_bracket(), "SIZE OVER ALL, mm").removesuffix(" flat").split(" × ")
    assert (width, thick) == ("25", "5")
    assert float(length) == pytest.approx(
        50 + 30 + 0.64 * 5 + 1.57 * 5, abs=0.0501
    )  # to a tenth, by the general tolerance


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
