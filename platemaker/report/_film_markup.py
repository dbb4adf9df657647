"""The films of the joints on the page: every case in one scale of pressure, and what a leak meets in each."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from platemaker.fields import SealAnswer
from platemaker.report._field_picture import size_of
from platemaker.report._film_cures import keys_of
from platemaker.report._markup import TableCell, figure, folded, table, text_cell, words
from platemaker.report._seal_picture import film_picture
from platemaker.report._seal_text import about_film, stands
from platemaker.views import Raster, element, raster

SCALE = "One scale of pressure for all cases: dark is low, light is high, grey is where the faces do not touch."
HEADS = ("case", "leak meets", "of two meshes", "needs", "", "land pressed", "bow", "gets out")
CURES = ("change", "of what is needed", "worst case", "checks")
NOTE = (
    "Plates as elastic solids on a gasket that cannot pull. The way of a leak is the one whose greatest pressure is "
    "least; what it meets there, less the difference of two meshes, has to reach m times the pressure. What is left "
    "out stands in docs/limits.md."
)


def films_section(films: Mapping[str, SealAnswer]) -> str:
    """Each joint's film, calculated for exactly this spec; empty where there is none."""
    if not films:
        return ""
    lead = element("p", words("Calculated by `platemaker seal` for exactly this spec. " + NOTE))
    return folded("films", "Pressure between the faces", lead + "".join(_film(one) for one in films.values()))


def _film(answer: SealAnswer) -> str:
    picture = film_picture(answer)
    wide, high = size_of(picture)
    image = raster(Raster(picture, (0.0, -float(high), float(wide), 0.0)))
    cases = "; ".join(f"{one.words}: {answer.met(one)}" for one in answer.field.cases)
    spoken = f"Pressure between the faces of {answer.joint}. {cases}."
    drawn = element("svg", image, class_="film", viewBox=f"0 0 {wide} {high}", role="img", aria_label=spoken)
    about = element("p", words("; ".join(about_film(answer))))
    verdict = element("p", element("strong", words(stands(answer))))
    shown = figure(drawn, words(SCALE)) + _table(answer) + _cures(answer)
    return element("h3", words(answer.joint)) + about + verdict + shown


def _cures(answer: SealAnswer) -> str:
    """The changes that were tried on a film, as the terminal words them; empty where none were."""
    tried = answer.cures
    if tried is None:
        return ""
    about = element("p", words("; ".join(tried["about"])))
    rows = [_tried(tried["as_it_stands"]["change"], [], tried["as_it_stands"], "")]
    rows += [
        _tried(one["change"], keys_of(one), one["film"], one["says"], one["fault"] or "") for one in tried["tried"]
    ]
    shown = table(f"Changes tried on {answer.joint}", CURES, rows, class_="films")
    rest = element("p", words("; ".join([*tried["not_tried"], *tried["left"]])))
    return about + shown + rest + element("p", element("strong", words(tried["verdict"])))


def _tried(change: str, keys: list[str], film: Mapping[str, Any] | None, says: str, fault: str = "") -> list[TableCell]:
    """A change with the keys that it sets; what a leak meets with it, or why there is no film."""
    sets = "".join(element("div", element("code", words(key))) for key in keys)
    met, times = (film["met"], film["times"]) if film else (fault, "")
    return [TableCell(words(change) + sets, change), text_cell(times), text_cell(met), text_cell(says if film else "")]


def _table(answer: SealAnswer) -> str:
    rows = []
    for case in answer.field.cases:
        leak, needed, held = case.leak, answer.needed(case) if case.sealed > 0 else None, answer.holds(case)
        rows.append([
            text_cell(case.words),
            _number(leak, "no way out"),
            _number(None if leak is None else answer.field.doubt(case), ""),
            _number(needed, ""),
            text_cell("" if held is None else "seals" if held else "leaks"),
            TableCell(f"{case.contact:.0%}", case.contact, numeric=True),
            TableCell(f"{case.bow * 1000:.0f} µm", case.bow, numeric=True),
            text_cell(answer.way_out(case)),
        ])  # fmt: skip
    return table(f"Pressure between the faces of {answer.joint}, MPa", HEADS, rows, class_="films")


def _number(value: float | None, none: str) -> TableCell:
    return (
        TableCell(words(none), 1e300, numeric=True) if value is None else TableCell(f"{value:.2f}", value, numeric=True)
    )
