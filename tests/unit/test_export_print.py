"""A drawing on its paper: letters large enough, none with a line through it, a long bar large enough to read.

Measured in the file by a library that did not write it: the boxes of its letters, and its picture.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pypdfium2
import pytest

from platemaker.export._sheet._drawing_sheet import drawing_pages
from platemaker.export._sheet._drawing_title import About
from platemaker.export._sheet._first_article import first_article
from platemaker.export._sheet._first_article_sheet import first_article_pages
from platemaker.export._sheet._sheet_paper import Projection
from platemaker.export._sheet._template import template_pages
from platemaker.parts import Drafting, Part, Revision
from platemaker.plane import Loop
from platemaker.records import replace
from platemaker.resolved import assemble
from platemaker.spec import load_project
from platemaker.views._ink._model import Clip, Ink, Page, Text
from platemaker.views._ink._pdf import POINT, write_pdf
from tests import sample_parts as sample
from tests.package_tree import ROOT

ABOUT = About(
    "trial", "mm", "0123abcd", Projection.FIRST_ANGLE, 60_000.0, "2026-01-31", "NOT RELEASED: 1 check fails (PM101)",
    drafting=Drafting(number="PE-12", owner="Pump shop", revisions=(Revision("A", "2026-01-31", "first release"),)),
)  # fmt: skip
LEAST = 2.5
"""Height of capitals and digits, mm: what the shop was promised, and the second of the nominal sizes of ISO 3098-1."""
TALL = "0123456789EFHT"
"""Letters as high as a capital is and taller than wide, however they are turned."""


def bar_500() -> Part:
    """A bar of 500 x 20 x 20 with eight tapped holes along it."""
    holes = [sample.tapped_blind(f"m{n}", (-210 + 60 * n, 0), 20) for n in range(8)]
    return replace(sample.plate("rail", Loop.rectangle(500, 20), 20, *holes), title="Rail of 500 mm")


def heights(file: Path) -> Iterator[float]:
    """The heights of the tall letters of a PDF, mm."""
    document = pypdfium2.PdfDocument(file)
    for page in document:
        words = page.get_textpage()
        for place, letter in enumerate(words.get_text_range()):
            if letter in TALL:
                x0, y0, x1, y1 = words.get_charbox(place)
                yield max(x1 - x0, y1 - y0) / POINT
    document.close()


def without_letters(ink: tuple[Ink, ...]) -> tuple[Ink, ...]:
    cleared = (replace(one, ink=without_letters(one.ink)) if isinstance(one, Clip) else one for one in ink)
    return tuple(one for one in cleared if not isinstance(one, Text))


def crossed(page: Page, file: Path) -> list[str]:
    """The texts of a page through whose letters a line runs: where the page, painted without letters, is not white."""
    write_pdf([replace(page, ink=without_letters(page.ink))], file, "no letters")
    document = pypdfium2.PdfDocument(file)
    scale = 2.0
    picture = document[0].render(scale=scale, grayscale=True).to_pil()
    document.close()
    found, dots = [], scale * POINT
    for text in page.texts:
        # From the line of the letters to the top of capitals, a little inside; `y` counts from above in the picture.
        (x, y), wide, high = text.start, text.width, 0.7 * text.size
        rim = 0.12 * text.size
        box = (x - high, y, x, y + wide) if text.turned else (x, y, x + wide, y + high)
        inside = (box[0] + rim, page.height - box[3] + rim, box[2] - rim, page.height - box[1] - rim)
        pixels = picture.crop(tuple(round(dots * one) for one in inside))
        if pixels.size[0] > 0 and pixels.size[1] > 0 and pixels.getextrema()[0] < 200:
            found.append(text.text)
    return found


def marked_over_a_leader() -> Part:
    """A bar whose mark lies where the tag of the bore along it is led to."""
    part = assemble(load_project(ROOT / "part_specs" / "pump_engine")).part("fuel_rail")
    return replace(part, note="")


def crowded() -> Part:
    """At 1:5 its tags are led past each other, and its mark has no room where it stands: it would hide a hole."""
    part = assemble(load_project(ROOT / "part_specs" / "four_ports")).part("port_plate")
    [front] = part.marks
    return replace(part, marks=(replace(front, at=(-200.0, 30.0, front.at[2])),))


SHOWN = [marked_over_a_leader, crowded, sample.counterbore_and_pocket, sample.bent_bracket, bar_500]


@pytest.mark.parametrize("make", SHOWN, ids=lambda make: make.__name__)
def test_letters_of_a_drawing_are_high_enough_and_no_line_runs_through_them(make, tmp_path: Path) -> None:  # type: ignore[no-untyped-def]
    pages = drawing_pages(make(), ABOUT)
    write_pdf(pages, tmp_path / "a.pdf", "a")
    found = list(heights(tmp_path / "a.pdf"))
    assert len(found) > 100
    assert min(found) >= LEAST - 0.01  # a glyph's outline is drawn in whole units, 2048 to the letter size
    assert [crossed(page, tmp_path / "b.pdf") for page in pages] == [[] for _ in pages]


def test_letters_of_templates_and_first_article_sheets_are_high_enough(tmp_path: Path) -> None:
    part = sample.counterbore_and_pocket()
    sheets = first_article_pages(part, ABOUT, first_article(part, ABOUT))
    for pages in (template_pages(part, ABOUT), sheets):
        write_pdf(pages, tmp_path / "a.pdf", "a")
        assert min(heights(tmp_path / "a.pdf")) >= LEAST - 0.01
    assert [crossed(page, tmp_path / "b.pdf") for page in sheets] == [[] for _ in sheets]


def test_a_bar_of_500_mm_is_drawn_at_half_size() -> None:
    """Beside a column of words it would be 1:5, its 20 mm being 4 mm of paper; along the sheet 1:2 has room."""
    pages = drawing_pages(bar_500(), ABOUT)
    words = [text.text for text in pages[0].texts]
    assert (pages[0].width, words[words.index("SCALE") + 1]) == (420.0, "1:2")
    assert {"A1", "A8"} <= set(words)
    tag, listed = sorted((text.at[1] for text in pages[0].texts if text.text == "A1"), reverse=True)
    title = max(text.at[1] for text in pages[0].texts if text.text == "Rail of 500 mm")
    assert tag > title > listed, "views stand over the words"
