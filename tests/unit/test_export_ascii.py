"""Words in plain ASCII: nothing is lost without a sign, and no number or unit turns into another."""

from __future__ import annotations

from pathlib import Path

import ezdxf
import pypdfium2
import pytest
from hypothesis import given
from hypothesis import strategies as st

from platemaker.export._ascii import plain
from platemaker.export._flat._dxf import write_dxf
from platemaker.export._sheet._drawing_sheet import drawing_pages
from platemaker.export._sheet._drawing_title import About
from platemaker.export._sheet._sheet_paper import Projection
from platemaker.records import replace
from platemaker.views._ink._pdf import pdf_bytes
from tests import sample_parts as sample

SAID = [
    ("Größe", "Grosse"),
    ("ČÁST Łódź", "CAST Lodz"),
    ("Плита впускная", "Plita vpusknaya"),
    ("Щит Юга", "Shchit Yuga"),
    ("Πλάκα βάσης", "Plaka vasis"),
    ("№ 5", "No 5"),
    ("3½ in", "3 1/2 in"),
    ("10² mm²", "10^2 mm2"),
    ("8 µm, 8 μm", "8 um, 8 um"),
    ("Ø 8,5 und ⌀9", "dia 8,5 und dia 9"),
    ("−3 °C ± 0,5", "-3 deg C +/- 0,5"),
    ("45°", "45 deg"),
    ("図 5", "U+56F3 5"),
    ("a\u00adb\u200bc", "abc"),
    ("  two\n lines ", "two lines"),
]


@pytest.mark.parametrize(("text", "said"), SAID, ids=[said for _, said in SAID])
def test_words_are_said_in_ascii(text: str, said: str) -> None:
    assert plain(text) == said


@given(st.text())
def test_any_text_becomes_one_line_of_printable_ascii(text: str) -> None:
    said = plain(text)
    assert all(" " <= c <= "~" for c in said)
    assert said == " ".join(said.split())


@given(st.text(alphabet=st.characters(min_codepoint=33, max_codepoint=126)))
def test_ascii_stays_as_it_is(text: str) -> None:
    assert plain(text) == text


@given(st.characters(categories=["Lu", "Ll", "Lo"]))
def test_no_letter_is_lost(letter: str) -> None:
    assert plain(letter) != ""


def test_a_foreign_title_is_romanised_in_the_dxf_and_whole_in_the_pdf(tmp_path: Path) -> None:
    about = About("trial", "mm", "0123abcd", Projection.FIRST_ANGLE)
    part = replace(sample.one_hole(), title="Плита № 5 für Gebläse, Ø 8½")
    write_dxf(part, tmp_path / "lid.dxf")
    texts = [text.dxf.text for text in ezdxf.readfile(tmp_path / "lid.dxf").modelspace().query("TEXT")]
    assert f"{part.name}: Plita No 5 fur Geblase, dia 8 1/2, quantity 1" in texts
    pages = pypdfium2.PdfDocument(pdf_bytes(drawing_pages(part, about), "x"))
    assert "Плита № 5 für Gebläse, Ø 8½" in pages[0].get_textpage().get_text_range()
