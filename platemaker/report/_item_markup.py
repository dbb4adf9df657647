"""Items on the page: folded cards, each with the picture that shows the fault beside the words."""

from __future__ import annotations

from collections.abc import Sequence

from platemaker.checks import Finding, Verdict
from platemaker.fields import FlowAnswer
from platemaker.parts import Stack
from platemaker.report._advice_text import advice_of
from platemaker.report._flow_markup import field_use
from platemaker.report._items import NO_CURE, TWINS, WITH, Item, amounts, where
from platemaker.report._markup import mark, number, section, sentence, words
from platemaker.report._pictures import picture_of, pictured
from platemaker.report._ready import of, unsettled
from platemaker.report._said import given_words
from platemaker.views import element, finding_numbers, verdict_class

MOST_PICTURES = 40
"""How many items have a picture of their own; more would make the page slow."""
PRINTED = 10
"""How many items are printed with their pictures: so a print stays within six pages."""
FEWEST = 3
"""How many of the tightest passes are shown where nothing is left to settle."""


def items_section(stack: Stack, items: Sequence[Item], flow: FlowAnswer | None = None) -> str:
    """What to settle, worst first; the tightest passes where there is nothing."""
    some = unsettled(items)
    passes = [item for item in of(items, Verdict.PASS) if item.worst.points][:FEWEST]
    if some:
        lead = "Fails and cautions by their causes, what misses most of its limit first. Open one to see where it is."
        return section("items", "To settle", element("p", lead, class_="source") + _cards(stack, some, "item", flow))
    lead = "No fail and no caution. These passed by the least:" if passes else "Nothing was measured."
    return section("items", "Tightest passes" if passes else "To settle",
                   element("p", lead) + _cards(stack, passes, "item", flow))  # fmt: skip


def accepted_section(stack: Stack, items: Sequence[Item], flow: FlowAnswer | None = None) -> str:
    """Cautions that the spec accepts, with their reasons; empty without any."""
    some = of(items, Verdict.ACCEPTED)
    return section("accepted", "Accepted cautions", _cards(stack, some, "accepted", flow)) if some else ""


def unchecked_section(items: Sequence[Item], unit: str) -> str:
    """What was not checked, and why that matters; empty where all was."""
    some = of(items, Verdict.NOT_CHECKED)
    rows = "".join(
        element(
            "li",
            element("p", f"{mark(item.verdict)} {words(item.title)}, {words(where(item))}", class_="where")
            + element("p", number(amounts(item), unit))
            + element("p", f"{element('strong', 'Why it matters.')} {sentence(advice_of(item.worst.check).why, unit)}"),
            data_parts=" ".join(item.parts), data_find="",
        )
        for item in some
    )  # fmt: skip
    return section("unchecked", "Not checked", element("ul", rows, class_="plain")) if some else ""


def cures_list(item: Item, unit: str, most: int | None = None, *, brief: bool = False) -> str:
    """The changes that cure an item, a numbered line each; that none was found; empty where none was looked for.

    A `brief` one names one of twin keys.
    """
    if not item.cures:
        return element("p", sentence(f"{NO_CURE}.", unit), class_="cures") if item.sought else ""
    lines = []
    for place, cure in enumerate(item.cures[:most], item.first):
        change = WITH.join(
            f"{_keys(key, brief)} from {words(was)} to {element('strong', words(to))}" for key, was, to in cure.changes
        )
        effects = element("span", f": {sentence(cure.effects, unit)}", class_="effects") if cure.effects else ""
        lines.append(element("li", f"Cure {place}: {change}{effects}"))
    return element("ul", "".join(lines), class_="cures")


def _keys(text: str, brief: bool) -> str:
    first, *twins = text.split(TWINS)
    return element("code", words(first if brief else text)) + (f" and {len(twins)} like it" if brief and twins else "")


def _cards(stack: Stack, items: Sequence[Item], identity: str, flow: FlowAnswer | None) -> str:
    drawn = [(item, field_use(flow, item.worst.check)) for item in items]
    return "".join(_card(stack, item, f"{identity}-{place}", place, own) for place, (item, own) in enumerate(drawn))


def _card(stack: Stack, item: Item, identity: str, place: int, own: str) -> str:
    unit = stack.unit
    line = element(
        "span",
        f"{element('strong', words(item.title))} {element('span', words(where(item)), class_='where')}"
        f" {element('span', number(amounts(item), unit), class_='amounts')}",
        class_="line",
    )
    summary = element("summary", f"{mark(item.verdict)} {line}")
    part = pictured(stack, item.worst) if place < MOST_PICTURES else None
    picture = own or (picture_of(part, item.worst, unit, f"{identity}-picture") if part else "")
    frame = element("div", picture or element("p", "No place to draw.", class_="none"), class_="picture")
    body = element("div", frame + element("div", _stated(item, unit), class_="stated"), class_="card")
    return element(
        "details", summary + body, id=identity, class_=f"item {verdict_class(item.verdict)}",
        data_parts=" ".join(item.parts), data_find="", data_print=str(place < PRINTED).lower(),
    )  # fmt: skip


def _stated(item: Item, unit: str) -> str:
    found, advice = item.worst, advice_of(item.worst.check)
    numbers = finding_numbers(found)
    head = element("p", f"{words(found.part)}: {words(', '.join(found.features))}", class_="where")
    if found.measured is not None:
        head += element(
            "p",
            f"{element('strong', number(numbers.measured, unit))} {number(numbers.required, unit)}, "
            f"margin {number(numbers.margin, unit)}",
            class_="figures",
        )
    said = [element("p", sentence(found.note, unit))] if found.note else []
    if found.because:
        said.append(
            element("p", f"{element('strong', 'Accepted because')} {sentence(found.because, unit)}.", class_="because")
        )
    said.append(cures_list(item, unit))
    if advice.why:
        said.append(element("p", f"{element('strong', 'Why it matters.')} {sentence(advice.why, unit)}", class_="why"))
        said.append(element("p", f"{element('strong', 'How to fix it.')} {sentence(advice.fix, unit)}", class_="fix"))
    source = sentence(f"{found.check}. Limit from: {found.source}", unit)
    return head + "".join(said) + element("p", source, class_="source") + _inputs(found, unit) + _others(item, unit)


def _inputs(finding: Finding, unit: str) -> str:
    if not finding.inputs:
        return ""
    rows = [element("li", f"{words(one.symbol)} = {number(given_words(one), unit)}") for one in finding.inputs]
    return element("details", element("summary", "Numbers to redo the sum") + element("ul", "".join(rows)))


def _others(item: Item, unit: str) -> str:
    """The other findings of the same cause, a line each."""
    others = [found for _, found in item.named[1:]]
    if not others:
        return ""
    rows = [
        element("li", f"{words(found.title)}, {words(', '.join((found.part, *found.features)))}: "
                      f"{number(finding_numbers(found).measured, unit)}")
        for found in others
    ]  # fmt: skip
    summary = element("summary", f"{len(others)} more of the same cause")
    return element("details", summary + element("ul", "".join(rows)))
