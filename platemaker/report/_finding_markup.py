"""Findings on the page: a card with its picture for the worst, a table for all."""

from __future__ import annotations

from collections.abc import Sequence

from platemaker.checks import Finding, Verdict, worst_first
from platemaker.parts import Part, Stack
from platemaker.report._markup import (
    Cell,
    mark,
    name_cell,
    number,
    number_cell,
    section,
    sentence,
    sentence_cell,
    table,
    text_cell,
    words,
)
from platemaker.report._records import counts_of, identified
from platemaker.views import (
    Sheet,
    Wall,
    above,
    close_section_svg,
    cuts_named,
    element,
    finding_numbers,
    overview_svg,
    seen,
    upright,
    verdict_class,
    zoom_svg,
)

MOST_CARDS, FEWEST_CARDS = 16, 3
"""How many findings get a card: all fails and cautions up to the first, filled up with tight passes to the second."""


def worst_section(stack: Stack, findings: Sequence[Finding]) -> str:
    """Cards of the worst findings, each with the picture beside it, and the list of what was not checked."""
    ordered = worst_first(findings)
    grave = [one for one in ordered if one.verdict in {Verdict.FAIL, Verdict.CAUTION}]
    passed = [one for one in ordered if one.verdict is Verdict.PASS and one.points]
    shown_ones = grave[:MOST_CARDS] or passed[:FEWEST_CARDS]
    lead = ""
    if not grave:
        lead = element("p", "No fail and no caution. These passed by the least:" if passed else "Nothing was measured.")
    elif len(grave) > MOST_CARDS:
        lead = element("p", words(f"The worst {MOST_CARDS} of {len(grave)}; the rest stand in the table of findings."))
    cards = "".join(
        _card(finding, _pictured(stack, finding), f"card-{place}", stack.unit)
        for place, finding in enumerate(shown_ones)
    )
    return section("worst", "Worst first" if grave else "Tightest passes", lead + cards) + _unchecked(
        ordered, stack.unit
    )


def findings_section(findings: Sequence[Finding], unit: str) -> str:
    """All findings in one table that sorts, with a button for each verdict that shows or hides its rows."""
    ordered = identified(worst_first(findings))
    heads = ("verdict", "check", "what", "part", "features", "measured", "required", "margin", "source and note")
    rows = [_row(finding, unit, identity) for identity, finding in ordered]
    kinds = [verdict_class(finding.verdict) for _, finding in ordered]
    buttons = "".join(
        element(
            "button", f"{mark(verdict)} {count}", type="button", aria_pressed="true", data_show=verdict_class(verdict)
        )
        for verdict, count in counts_of(findings).items()
        if count
    )
    filters = element("div", buttons, class_="filters", role="group", aria_label="Verdicts shown")
    passes = counts_of(findings).get(Verdict.PASS, 0)
    unprinted = f"{passes} passes are not printed; they stand on the page and in report.md."
    note = element("p", words(unprinted), class_="print-only") if passes else ""
    rows_table = table("All findings", heads, rows, class_="all", kinds=kinds)
    return section("findings", "All findings", filters + note + rows_table)


def picture_of(part: Part, finding: Finding, unit: str, identity: str) -> str:
    """The picture that shows a finding best: close round its place, or the whole plan where it has none."""
    sheet = Sheet(identity)
    if upright(finding):
        return close_section_svg(part, finding, unit=unit, sheet=sheet)
    if finding.points:
        return zoom_svg(part, seen(finding, above), unit=unit, sheet=sheet)
    named = cuts_named(part, finding.features)
    centres = [hole.centre for hole in part.holes if hole.name in named]
    if centres:
        return zoom_svg(part, Wall(finding, (centres[0],)), unit=unit, sheet=sheet)
    return overview_svg(part, finding, unit=unit, sheet=sheet)


def _pictured(stack: Stack, finding: Finding) -> Part | None:
    """The part that a finding's picture shows: its own, or for one about a body the part whose cut it names."""
    for part in stack.parts:
        if part.name == finding.part:
            return part
    if finding.points:
        return None  # points in a body's frame would fall anywhere on a part
    return next((part for part in stack.parts if cuts_named(part, finding.features)), None)


def _card(finding: Finding, part: Part | None, identity: str, unit: str) -> str:
    numbers = finding_numbers(finding)
    picture = picture_of(part, finding, unit, identity) if part else ""
    title = element("h3", f"{mark(finding.verdict)} {words(finding.title)}")
    where = element("p", f"{words(finding.part)}: {words(', '.join(finding.features))}", class_="where")
    figures = element(
        "p",
        f"{element('strong', number(numbers.measured, unit))} {number(numbers.required, unit)}, "
        f"margin {number(numbers.margin, unit)}",
        class_="figures",
    )
    note = element("p", sentence(finding.note, unit)) if finding.note else ""
    source = element("p", f"{words(finding.check)}. Limit from: {words(finding.source)}", class_="source")
    text = element("div", title + where + figures + note + source + _inputs(finding, unit), class_="stated")
    frame = element("div", picture or element("p", "No place to draw.", class_="none"), class_="picture")
    return element("article", frame + text, class_=f"card {verdict_class(finding.verdict)}")


def _inputs(finding: Finding, unit: str) -> str:
    if not finding.inputs:
        return ""
    rows = []
    for symbol, value, value_unit in finding.inputs:
        text = value if isinstance(value, str) else f"{value:.6g}"
        rows.append(element("li", words(f"{symbol} = {text} {value_unit}".strip())))
    summary = element("summary", "Numbers to redo the sum")
    return element("details", summary + element("ul", "".join(rows)))


def _unchecked(ordered: Sequence[Finding], unit: str) -> str:
    missing = [one for one in ordered if one.verdict is Verdict.NOT_CHECKED]
    if not missing:
        return ""
    items = "".join(
        element(
            "li",
            f"{mark(one.verdict)} {words(one.title)}, {words(one.part)}"
            f"{': ' + words(', '.join(one.features)) if one.features else ''}. {sentence(one.note, unit)}",
        )
        for one in missing
    )
    return section("unchecked", "Not checked", element("ul", items, class_="plain"))


def _row(finding: Finding, unit: str, identity: str) -> list[Cell]:
    numbers = finding_numbers(finding)
    because = "; ".join(text for text in (finding.source, finding.note) if text)
    check = element("span", words(finding.check), title=identity)
    return [
        Cell(mark(finding.verdict), -finding.verdict.rank),
        Cell(check, finding.check),
        text_cell(finding.title),
        name_cell(finding.part),
        name_cell(", ".join(finding.features)),
        number_cell(numbers.measured, finding.measured, unit),
        number_cell(numbers.required, finding.required, unit),
        number_cell(numbers.margin, finding.margin, unit),
        sentence_cell(because, unit),
    ]
