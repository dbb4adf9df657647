"""report.md: verdict, findings and parts as a plain document."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from typing import TYPE_CHECKING

from platemaker.checks import Finding, PocketAccount, Verdict, least_metal, worst_first
from platemaker.parts import Part, Stack
from platemaker.report._areas import area, cutter_words, metal_words
from platemaker.report._items import Item, amounts, items_of, where
from platemaker.report._read_back import HEADS, LEAD, Draft, read_back_rows, without_files
from platemaker.report._ready import of, readiness, unsettled
from platemaker.report._records import SAFETY, Meta, facts_of, overall, source_of, summary_line
from platemaker.report._said import worded
from platemaker.report._terminal import printable
from platemaker.units import joined
from platemaker.views import finding_numbers, shown

if TYPE_CHECKING:
    from platemaker.export import Made

_SPECIAL = re.compile(r"([\\`*_\[\]<>#|~&])")


def draft_markdown(
    stack: Stack,
    findings: Sequence[Finding],
    meta: Meta,
    *,
    pockets: Sequence[PocketAccount] = (),
    items: Sequence[Item] | None = None,
) -> Draft:
    """The report as Markdown, items before rows; text from the spec is escaped and stays text."""
    unit = stack.unit
    ordered = worst_first(findings)
    items = items or items_of(stack, findings)
    blocks = [
        f"# {plain(stack.title)}: check report",
        f"**{readiness(items).sentence}**",
        f"**{overall(findings).value.upper()}**: {summary_line(findings)}.",
        _made_from(stack, meta),
        "## Before anything is cut or run",
        "\n".join(f"- {plain(line)}" for line in SAFETY),
    ]
    for title, some in (
        ("To settle", unsettled(items)),
        ("Not checked", of(items, Verdict.NOT_CHECKED)),
        ("Accepted", of(items, Verdict.ACCEPTED)),
    ):
        if some:
            blocks += [f"## {title}", _items(some, unit)]
    blocks.append("## All findings")
    for verdict in sorted(Verdict, key=lambda one: -one.rank):
        group = [finding for finding in ordered if finding.verdict is verdict]
        if group:
            blocks += [f"### {verdict.value.capitalize()} ({len(group)})", _findings(group, unit)]
    for account in pockets:
        title = f"{stack.part(account.part).title}: {account.cut}"
        blocks += [f"## Maximized: {plain(title)}", *_pocket(account, unit)]
    blocks += ["## Parts", _parts(stack.parts, findings, meta, unit)]
    if stack.joints:
        rows = [
            (
                joint.name,
                joint.bolts.thread.designation if joint.bolts else "",
                str(len(joint.spots)),
                worded(source_of(joint)).of(unit),
            )
            for joint in sorted(stack.joints, key=lambda joint: joint.name)
        ]
        blocks += ["## Joints", table(("joint", "bolts", "spots", "coordinates from"), rows)]

    def whole(files: Sequence[Made]) -> str:
        measured = read_back_rows(files, unit)
        last = ["## Read back", LEAD, table(HEADS, measured)] if measured else []
        return "\n\n".join([*blocks, *last]) + "\n"

    return whole


render_markdown = without_files(draft_markdown)


def _made_from(stack: Stack, meta: Meta) -> str:
    return (
        f"Spec `{_code(meta.spec_name or stack.name)}`, sha256 `{_code(meta.spec_hash)}`, "
        f"platemaker {plain(meta.version)}. Lengths in {stack.unit}."
    )


def plain(text: str) -> str:
    r"""`text` on one line with every character escaped that Markdown or HTML would act on.

    >>> plain("a_b <script>")
    'a\\_b \\<script\\>'
    """
    return _SPECIAL.sub(r"\\\1", printable(" ".join(text.split())))


def table(head: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """A Markdown table; cells are escaped here."""
    lines = [head, ["---"] * len(head)]
    text = ["| " + " | ".join(lines[0]) + " |", "| " + " | ".join(lines[1]) + " |"]
    return "\n".join(text + ["| " + " | ".join(plain(cell) for cell in row) + " |" for row in rows])


def _items(items: Sequence[Item], unit: str) -> str:
    rows = []
    for item in items:
        found = item.worst
        said = [worded(found.note).of(unit)] if found.note and found.measured is not None else []
        said += [worded(f"accepted: {found.because}").of(unit)] if found.because else []
        said += [text.of(unit) for text in item.advice]
        rows.append(
            (found.verdict.value, found.check, item.title, where(item), amounts(item).of(unit), "; ".join(said))
        )
    return table(("verdict", "check", "what", "where", "measured", "in words"), rows)


def _findings(findings: Sequence[Finding], unit: str) -> str:
    rows = []
    for finding in findings:
        numbers = finding_numbers(finding)
        rows.append(
            (
                finding.check,
                finding.title,
                finding.part,
                ", ".join(finding.features),
                numbers.measured.of(unit),
                numbers.required.of(unit),
                numbers.margin.of(unit),
                worded(joined(finding.note, finding.because, finding.source)).of(unit),
            )
        )
    return table(("check", "what", "part", "features", "measured", "required", "margin", "note, source"), rows)


def _pocket(account: PocketAccount, unit: str) -> Iterator[str]:
    cutter, size = shown(account.cutter).of(unit), area(account.area).of(unit)
    yield f"Cutter {cutter}, area with its opening {size}. Largest limit first; costs of several do not add up."
    limits = [
        (
            one.name,
            one.kind.value,
            shown(one.length, digits=1).of(unit),
            area(one.cost).of(unit),
            worded(one.words).of(unit),
        )
        for one in account.limits
    ]
    yield table(("limit", "kind", "boundary", "costs", "in words"), limits)
    cutters = [
        (shown(one.diameter).of(unit), area(one.area).of(unit), cutter_words(one.area - account.area).of(unit))
        for one in account.cutters
    ]
    yield table(("end mill", "area", "against the cutter as it is"), cutters)
    for size_left, point in account.left:
        x, y = (shown(value, named=False).of(unit) for value in point)
        yield f"Left out, since the cutter cannot come there: {area(size_left).of(unit)} at X {x} Y {y} {unit}."


def _parts(parts: Sequence[Part], findings: Sequence[Finding], meta: Meta, unit: str) -> str:
    rows = []
    for part in sorted(parts, key=lambda part: part.name):
        facts, least = facts_of(part, meta), least_metal(part.name, findings)
        size = " x ".join(shown(length, named=False).of(unit) for length in facts.size)
        rows.append(
            (
                part.name,
                part.title,
                str(part.quantity),
                part.material.name,
                f"{size} {unit}",
                shown(facts.volume, "mm3", 1).metric,
                shown(facts.mass, "kg").metric,
                metal_words(least).of(unit) if least else "",
            )
        )
    return table(("part", "title", "quantity", "material", "size", "volume", "mass", "least metal"), rows)


def _code(text: str) -> str:
    return printable(text).replace("`", "'")
