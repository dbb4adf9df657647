"""Every finding on the page, a row each, passes folded away."""

from __future__ import annotations

from collections.abc import Sequence

from platemaker.checks import Finding, Verdict, worst_first
from platemaker.report._markup import (
    TableCell,
    folded,
    mark,
    name_cell,
    number_cell,
    sentence_cell,
    table,
    text_cell,
    words,
)
from platemaker.report._records import counts_of, identified
from platemaker.units import joined
from platemaker.views import element, finding_numbers, verdict_class


def findings_section(findings: Sequence[Finding], unit: str) -> str:
    """All findings in one table that sorts, with a button for each verdict that shows or hides its rows.

    What passes is hidden until its button is pressed.
    """
    ordered = identified(worst_first(findings))
    heads = ("verdict", "check", "what", "part", "features", "measured", "required", "margin", "source and note")
    rows = [_row(finding, unit, identity) for identity, finding in ordered]
    kinds = [verdict_class(finding.verdict) for _, finding in ordered]
    buttons = "".join(
        element(
            "button",
            f"{mark(verdict)} {count}",
            type="button",
            data_show=verdict_class(verdict),
            aria_pressed=str(verdict is not Verdict.PASS).lower(),
        )
        for verdict, count in counts_of(findings).items()
        if count
    )
    filters = element("div", buttons, class_="filters", role="group", aria_label="Verdicts shown")
    rows_table = table(
        "All findings", heads, rows, class_="all", kinds=kinds, parts=[finding.part for _, finding in ordered]
    )
    return folded("findings", "All findings", filters + rows_table)


def _row(finding: Finding, unit: str, identity: str) -> list[TableCell]:
    numbers = finding_numbers(finding)
    because = joined(finding.source, finding.note, finding.because)
    check = element("span", words(finding.check), title=identity)
    return [
        TableCell(mark(finding.verdict), -finding.verdict.rank),
        TableCell(check, finding.check),
        text_cell(finding.title),
        name_cell(finding.part),
        name_cell(", ".join(finding.features)),
        number_cell(numbers.measured, finding.measured, unit),
        number_cell(numbers.required, finding.required, unit),
        number_cell(numbers.margin, finding.margin, unit),
        sentence_cell(because, unit),
    ]
