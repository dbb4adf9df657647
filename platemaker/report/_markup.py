"""Small pieces of HTML: numbers that the unit switch knows, verdict marks, tables that sort. Everything is escaped."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from html import escape

from platemaker.checks import Verdict
from platemaker.records import Record
from platemaker.report._said import worded
from platemaker.units import Words
from platemaker.views import SIGNS, Shown, element, verdict_class


def words(text: str) -> str:
    """Text from the spec or from us, as text."""
    return escape(text)


def number(text: Shown, unit: str) -> str:
    """A number in the project's unit; a length carries both for the unit switch."""
    if text.metric == text.inch:
        return escape(text.metric)
    return element("span", escape(text.of(unit)), class_="q", data_mm=text.metric, data_in=text.inch)


def sentence(text: Words, unit: str) -> str:
    """Words, with both units for the switch where they state a length or an area."""
    return number(worded(text), unit)


def mark(verdict: Verdict) -> str:
    """A verdict as a small plate: sign, word, and a frame of its own kind."""
    sign = element("span", escape(SIGNS[verdict]), aria_hidden="true", class_="sign")
    return element("span", f"{sign} {escape(verdict.value)}", class_=f"mark {verdict_class(verdict)}")


class TableCell(Record):
    """A table cell: its markup, and what it sorts by."""

    markup: str
    sort: str | float
    numeric: bool = False


def text_cell(text: str) -> TableCell:
    """A cell of plain text."""
    return TableCell(words(text), text)


def sentence_cell(text: Words, unit: str) -> TableCell:
    """A cell of a sentence."""
    return TableCell(sentence(text, unit), worded(text).metric)


def name_cell(text: str) -> TableCell:
    """A cell of names from the spec, which may be broken after an underscore where the column is narrow."""
    return TableCell(words(text).replace("_", "_<wbr>"), text)


def number_cell(text: Shown, value: float | None, unit: str) -> TableCell:
    """A cell with a number; an empty one sorts last."""
    return TableCell(number(text, unit), 1e300 if value is None else value, numeric=True)


def table(
    caption: str,
    heads: Sequence[str],
    rows: Iterable[Sequence[TableCell]],
    *,
    class_: str,
    kinds: Sequence[str] = (),
    parts: Sequence[str] = (),
) -> str:
    """A table whose columns sort by a button in each head.

    `kinds` is a data-kind for each row, `parts` the part by which the page's filter finds it.
    """
    head = "".join(
        element("th", element("button", words(text), type="button"), scope="col", aria_sort="none") for text in heads
    )
    body = []
    for place, row in enumerate(rows):
        cells = "".join(
            element("td", cell.markup, data_sort=cell.sort, class_="number" if cell.numeric else None) for cell in row
        )
        found = {"data_parts": parts[place], "data_find": ""} if parts else {}
        hidden = "" if kinds and kinds[place] == verdict_class(Verdict.PASS) else None
        body.append(element("tr", cells, data_kind=kinds[place] if kinds else None, hidden=hidden, **found))
    parts = (
        element("caption", words(caption)),
        element("thead", element("tr", head)),
        element("tbody", "".join(body)),
    )
    # The frame scrolls sideways on a narrow screen and can be reached by keyboard for that.
    whole = element("table", "".join(parts), class_=f"sortable {class_}")
    return element("div", whole, class_="scroll", tabindex="0", role="region", aria_label=caption)


def figure(picture: str, caption: str, identity: str | None = None) -> str:
    """A picture with words under it; `caption` is markup, `identity` is for links that lead here."""
    return element("figure", picture + element("figcaption", caption), id=identity)


def facts(pairs: Iterable[tuple[str, str]]) -> str:
    """A list of terms with their markup."""
    items = (element("div", element("dt", words(term)) + element("dd", value)) for term, value in pairs)
    return element("dl", "".join(items))


def section(identity: str, title: str, content: str, class_: str = "") -> str:
    """A part of the page with its heading."""
    heading = element("h2", words(title), id=f"{identity}-title")
    return element(
        "section", heading + content, id=identity, class_=f"sheet {class_}".strip(), aria_labelledby=f"{identity}-title"
    )


def folded(identity: str, title: str, content: str, class_: str = "") -> str:
    """A part of the page that shows its heading until it is opened."""
    heading = element("h2", words(title), id=f"{identity}-title")
    inside = element("details", element("summary", heading) + content)
    return element(
        "section", inside, id=identity, class_=f"sheet folded {class_}".strip(), aria_labelledby=f"{identity}-title"
    )
