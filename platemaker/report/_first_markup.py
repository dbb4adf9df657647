"""The first screen: whether to order, the stack with the places that matter, what to settle, what is missing, files."""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from platemaker.checks import Finding, Verdict
from platemaker.parts import PackageFile, Stack
from platemaker.report._advice_text import advice_of
from platemaker.report._item_markup import cures_list
from platemaker.report._items import Item, amounts, where
from platemaker.report._markup import mark, number, sentence, words
from platemaker.report._part_markup import stack_words
from platemaker.report._pictures import picture_of, pictured, spot_of
from platemaker.report._read_back import Draft
from platemaker.report._ready import of, readiness, unsettled
from platemaker.report._records import overall, summary_line
from platemaker.units import LengthUnit
from platemaker.views import SIGNS, element, verdict_class

if TYPE_CHECKING:
    from platemaker.export import Made

SHOWN = 3
"""How many items the first screen shows, and places the picture."""


def first_screen(stack: Stack, findings: Sequence[Finding], items: Sequence[Item], viewer: str) -> Draft:
    """All that decides, on one screen; `viewer` is the picture of the stack, empty where there are no meshes."""
    chosen = _chosen(items)
    picture = viewer or _still(stack, chosen)
    settle = _settle(items, chosen, stack.unit)
    decide = element("div", element("div", picture, class_="stack-picture") + settle, class_="decide")
    above, missing = _head(stack, findings, items) + decide, _missing(items, stack.unit)

    def whole(files: Sequence[Made]) -> str:
        return element("header", above + element("div", missing + _files(stack, files), class_="beside"), id="first")

    return whole


def spots_json(stack: Stack, items: Sequence[Item]) -> str:
    """Where the first items lie in the stack, for the viewer: number, owner, place in mm."""
    spots = [(place, spot_of(stack, item.worst)) for place, item in enumerate(_chosen(items), start=1)]
    found = [{"number": place, "owner": one.owner, "at": one.at} for place, one in spots if one is not None]
    return json.dumps(found, sort_keys=True).replace("<", "\\u003c")


def _chosen(items: Sequence[Item]) -> list[Item]:
    """The first items to settle; of a design without any, what it accepts."""
    return (unsettled(items) or of(items, Verdict.ACCEPTED))[:SHOWN]


def _head(stack: Stack, findings: Sequence[Finding], items: Sequence[Item]) -> str:
    said, worst = readiness(items), overall(findings)
    sign = element("span", SIGNS[worst], aria_hidden="true", class_="sign")
    answer = element("p", f"{sign} {words(said.answer)}", class_="answer")
    why = element("p", words(f"{said.why[:1].upper()}{said.why[1:]}."), class_="why")
    title = element("h1", words(stack.title)) + element("p", words(stack_words(stack)), class_="lead")
    counts = element("p", words(summary_line(findings)), class_="counts")
    verdict = element("div", answer + why, class_=f"verdict {verdict_class(worst)}", role="status")
    return element("div", element("div", title + counts, class_="what") + verdict + _tools(stack), class_="top")


def _tools(stack: Stack) -> str:
    unit = "in" if stack.unit == LengthUnit.INCH else "mm"
    units = "".join(
        element("button", text, type="button", data_unit=code, aria_pressed=str(code == unit).lower())
        for code, text in (("mm", "mm"), ("in", "inch"))
    )
    others = (
        element("button", "Dark", type="button", id="theme", aria_pressed="false")
        + element("button", "Print", type="button", id="print", title="The first screen and what to settle")
        + element("button", "Print all", type="button", id="print-all", title="Every section and every finding")
    )  # fmt: skip
    pair = element("span", units, role="group", aria_label="Unit of lengths", class_="pair")
    return element("div", pair + others, class_="tools")


def _still(stack: Stack, chosen: Sequence[Item]) -> str:
    """Where there is no picture of the stack: that of the first item's place."""
    part = pictured(stack, chosen[0].worst) if chosen else None
    return picture_of(part, chosen[0].worst, stack.unit, "first-picture") if part and chosen else ""


def _settle(items: Sequence[Item], chosen: Sequence[Item], unit: str) -> str:
    left = len(unsettled(items))
    if left:
        title = "Settle this first" if left > SHOWN else "Settle this"
    else:
        title = "Accepted in the spec" if chosen else "Nothing to settle"
    kind, section = ("item", "items") if left else ("accepted", "accepted")
    rows = "".join(_row(item, f"{kind}-{place}", unit) for place, item in enumerate(chosen))
    rest = (left or len(of(items, Verdict.ACCEPTED))) - len(chosen)
    more = element("p", element("a", f"and {rest} more", href=f"#{section}"), class_="more") if rest else ""
    return element(
        "section",
        element("h2", title, id="settle-title") + element("ol", rows) + more,
        class_="settle",
        aria_labelledby="settle-title",
    )


def _row(item: Item, identity: str, unit: str) -> str:
    link = element("a", words(item.title), href=f"#{identity}")
    cures = cures_list(item, unit, 1, brief=True)
    because = element("p", sentence(item.worst.because, unit), class_="amounts") if item.worst.because else ""
    said = f"{link} {element('span', words(where(item, 2)), class_='where')}"
    return element(
        "li", element("p", said) + element("p", number(amounts(item), unit), class_="amounts") + because + cures,
        class_=verdict_class(item.verdict),
    )  # fmt: skip


def _missing(items: Sequence[Item], unit: str) -> str:
    some = of(items, Verdict.NOT_CHECKED)
    rows = "".join(
        element(
            "li",
            f"{element('strong', words(item.title))}, {words(where(item, 1))}: {number(amounts(item), unit)}. "
            f"{element('span', sentence(advice_of(item.worst.check).why, unit), class_='why')}",
        )
        for item in some[:SHOWN]
    )
    more = (
        element("p", element("a", f"and {len(some) - SHOWN} more", href="#unchecked"), class_="more")
        if len(some) > SHOWN
        else ""
    )
    content = element("ul", rows, class_="plain") + more if some else element("p", "Nothing was left out.")
    title = f"{mark(Verdict.NOT_CHECKED)} and why that matters" if some else "Not checked"
    return element("section", element("h2", title, id="missing-title") + content, aria_labelledby="missing-title")


def _files(stack: Stack, files: Sequence[Made]) -> str:
    """A link to every file of the package, by part; empty for a page without a package."""
    if not files:
        return ""
    whole = [made.name for made in files if not made.part] + [f"{PackageFile.MANIFEST}.json"]
    links = [element("a", words(name), href=name) for name in sorted(whole)]
    groups = [(part.title, [made for made in files if made.part == part.name]) for part in stack.parts]
    rows = "".join(
        element("li", f"{element('strong', words(title))} {_links(group)}") for title, group in groups if group
    )
    summary = element("summary", f"{len(files) + 1 - len(whole)} files of the parts")
    return element(
        "section",
        element("h2", "Files", id="files-title")
        + element("p", ", ".join(links))
        + element("details", summary + element("ul", rows, class_="plain")),
        id="files",
        aria_labelledby="files-title",
    )


def _links(group: Iterable[Made]) -> str:
    """The files of a part, each by what stands behind its name."""
    named = sorted((made.name.removeprefix(made.part).lstrip("_."), made) for made in group)
    return ", ".join(
        element("a", words(short.replace("_", " ")), href=made.name, title=made.what) for short, made in named
    )
