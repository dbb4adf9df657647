"""Items and findings as plain text in a table of fixed width, worst first."""

from __future__ import annotations

import textwrap
import unicodedata
from collections.abc import Sequence

from platemaker.checks import METAL, Finding, Verdict, least_metal, worst_first
from platemaker.report._areas import metal_words
from platemaker.report._items import Item, amounts, where
from platemaker.report._ready import readiness, unsettled
from platemaker.report._records import counts_of, summary_line
from platemaker.report._said import worded
from platemaker.views import finding_numbers, limit_mark

_COLOURS = {Verdict.FAIL: "1;31", Verdict.CAUTION: "33", Verdict.NOT_CHECKED: "36", Verdict.ACCEPTED: "32",
            Verdict.PASS: "32"}  # fmt: skip
_VERDICT, _CHECK = 11, 6
_GAP = "  "


def render_table(
    findings: Sequence[Finding], unit: str = "mm", *, width: int = 80, colour: bool = False, passes: bool = True
) -> str:
    """A table of findings that is never wider than `width` columns, with the counts in its last line.

    Before them stands the least metal of each part. Fails and cautions are listed with their notes, which state what
    would help. Without `passes` the passed ones are counted, not listed. `unit` is the project's: "mm" or "in".
    """
    listed = [one for one in worst_first(findings) if passes or one.verdict is not Verdict.PASS]
    blocks = [_row(one, unit, width, colour) for one in listed]
    lines = [_clip(f"{'verdict':{_VERDICT}}{_GAP}{'check':{_CHECK}}{_GAP}what, where", width), "-" * width]
    lines += [line for block in blocks for line in block]
    lines.append("-" * width)
    lines += _headlines(findings, unit, width)
    unlisted = len(findings) - len(listed)
    hidden = f" ({counts_of(findings)[Verdict.PASS]} not listed)" if unlisted else ""
    return "\n".join([*lines, _clip(summary_line(findings) + hidden, width)]) + "\n"


def render_items(items: Sequence[Item], findings: Sequence[Finding], unit: str = "mm", *, width: int = 80,
                 colour: bool = False, only_unsettled: bool = False) -> str:  # fmt: skip
    """Whether the parts can be ordered, then what to settle, what is accepted and what was not checked, worst first.

    Findings of one cause stand as one item; what passes is counted alone, with `only_unsettled` all but fails and
    cautions.
    """
    listed = unsettled(items) if only_unsettled else [item for item in items if item.verdict is not Verdict.PASS]
    lines = [*wrapped(readiness(items).sentence, width), "-" * width]
    lines += [line for item in listed for line in _item(item, unit, width, colour)]
    if listed:
        lines.append("-" * width)
    lines += _headlines(findings, unit, width)
    rest = "to settle" if only_unsettled else "without what passes"
    lines += wrapped(f"{summary_line(findings)}, in {len(listed)} item{'' if len(listed) == 1 else 's'} {rest}", width)
    return "\n".join(lines) + "\n"


def _item(item: Item, unit: str, width: int, colour: bool) -> list[str]:
    said = [f"{item.title}: {where(item)}", amounts(item).of(unit)]
    found = item.worst
    if found.note and found.measured is not None:
        said.append(worded(found.note).of(unit))
    if found.because:
        said.append(worded(f"accepted: {found.because}").of(unit))
    said += [text.of(unit) for text in item.advice]
    room = width - _VERDICT - _CHECK - 2 * len(_GAP)
    return _with_verdict(found, [line for text in said for line in wrapped(text, room)], colour)


def _headlines(findings: Sequence[Finding], unit: str, width: int) -> list[str]:
    """The least metal of each part: how much, of what kind, between what."""
    lines: list[str] = []
    for part in dict.fromkeys(finding.part for finding in findings if finding.check == METAL):
        least = least_metal(part, findings)
        if least is not None:
            lines += wrapped(f"least metal  {part}: {metal_words(least).of(unit)}", width)
    return [*lines, "-" * width] if lines else []


def _row(finding: Finding, unit: str, width: int, colour: bool) -> list[str]:
    numbers = finding_numbers(finding)
    room = width - _VERDICT - _CHECK - 2 * len(_GAP)
    where = " + ".join(finding.features)
    text = f"{finding.title}: {finding.part}{', ' + where if where else ''}"
    lines = wrapped(text, room)
    if finding.measured is not None:
        limit = f"{limit_mark(finding.sense)} {numbers.limit.of(unit)}"
        lines += wrapped(f"{numbers.measured.of(unit)}, {limit}, margin {numbers.margin.of(unit)}", room)
    if finding.note:
        lines += wrapped(worded(finding.note).of(unit), room)
    if finding.because:
        lines += wrapped(worded(f"accepted: {finding.because}").of(unit), room)
    return _with_verdict(finding, lines, colour)


def _with_verdict(finding: Finding, lines: Sequence[str], colour: bool) -> list[str]:
    word = f"{finding.verdict.value:{_VERDICT}}"
    if colour:
        word = f"\x1b[{_COLOURS[finding.verdict]}m{word}\x1b[0m"
    first = f"{word}{_GAP}{printable(finding.check):{_CHECK}}{_GAP}{lines[0]}"
    indent = " " * (_VERDICT + _CHECK + 2 * len(_GAP))
    return [first.rstrip(), *(indent + line for line in lines[1:])]


def columns(text: str) -> int:
    r"""How many terminal columns a text takes: wide letters two, combining marks none.

    >>> columns("M8"), columns("板"), columns("e\u0301")
    (2, 2, 1)
    """
    return sum(_letter_columns(letter) for letter in text)


def printable(text: str) -> str:
    r"""`text` with control characters replaced, so that no name from a spec can steer a terminal.

    >>> printable("lid\x1b[31m")
    'lid?[31m'
    """
    if text.isprintable():
        return text
    return "".join("?" if unicodedata.category(letter) in {"Cc", "Cf", "Zl", "Zp"} else letter for letter in text)


def wrapped(text: str, room: int) -> list[str]:
    """`text` broken into lines of at most `room` columns, at blanks where there are any."""
    lines: list[str] = []
    for line in textwrap.wrap(printable(text), room) or [""]:
        rest = line
        while columns(rest) > room:
            head = _clip(rest, room)
            lines.append(head)
            rest = rest[len(head) :]
        lines.append(rest)
    return lines


def _clip(text: str, room: int) -> str:
    taken = 0
    for place, letter in enumerate(text):
        taken += _letter_columns(letter)
        if taken > room:
            return text[:place]
    return text


def _letter_columns(letter: str) -> int:
    if unicodedata.combining(letter):
        return 0
    return 2 if unicodedata.east_asian_width(letter) in {"W", "F"} else 1
