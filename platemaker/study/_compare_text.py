"""A comparison as plain text within a width, and as JSON."""

from __future__ import annotations

import json
import textwrap
from collections.abc import Iterator

from platemaker.records import asdict
from platemaker.study._change_lines import COLUMNS, change_lines
from platemaker.study._compare import Comparison, Margin
from platemaker.study._pair_text import pair_text
from platemaker.study._snapshot import Subject

FORMAT = 1
"""Version of the layout of the JSON; a change of meaning raises it."""
_WORST = ("fail", "caution", "not checked", "pass")
_OTHERS = 3
"""Most findings that are listed unasked though none became better or worse than a pass."""


def render_comparison(comparison: Comparison, *, width: int = 80, every: bool = False) -> str:
    """The differences, then the findings whose verdict differs and a few whose margin does, or `every` one."""
    lines = _wrapped(f"{comparison.before} -> {comparison.after}", width, "")
    lines += [line for text in change_lines(comparison) for line in _wrapped(text, width, " " * (COLUMNS + 2))]
    differing = {one.name for one in comparison.differences if one.subject is Subject.FINDING}
    margins = sorted((one for one in comparison.margins if every or one.finding in differing), key=_worst_after)
    listed = margins if every else margins[: sum(map(_is_news, margins)) + _OTHERS]
    if margins:
        lines += ["", "margins of findings"]
    for margin in listed:
        lines += _margin(margin, comparison.unit, width)
    if len(listed) < len(margins):
        lines += _wrapped(f"  {len(margins) - len(listed)} more with no other verdict; --all lists them", width, "    ")
    return "\n".join([*lines, "", *_closing(comparison, len(differing), width)]) + "\n"


def comparison_json(comparison: Comparison) -> str:
    """The comparison as JSON: lengths mm, areas mm2, volumes mm3, masses kg, rounded to 1e-6, keys sorted."""
    stated = {
        "format": FORMAT,
        "before": comparison.before,
        "after": comparison.after,
        "differs": bool(comparison.differences),
        "partial": comparison.partial,
        "differences": [asdict(one) for one in comparison.differences],
        "findings": [asdict(one) for one in comparison.margins],
    }
    return json.dumps(_rounded(stated), indent=1, sort_keys=True, ensure_ascii=False, allow_nan=False) + "\n"


def _margin(margin: Margin, unit: str, width: int) -> Iterator[str]:
    before, after = pair_text(margin.before, margin.after, margin.unit, unit, sign=True)
    yield from _wrapped(f"  {margin.finding}  {margin.title}", width, "    ")
    verdicts = " -> ".join(dict.fromkeys(one or "none" for one in (margin.verdict_before, margin.verdict_after)))
    yield from _wrapped(f"    {before} -> {after}; {verdicts}", width, "      ")


def _is_news(margin: Margin) -> bool:
    """Whether a verdict differs, but for a pass that came or went."""
    verdicts = {margin.verdict_before, margin.verdict_after}
    return len(verdicts) > 1 and not verdicts <= {"pass", None, ""}


def _worst_after(margin: Margin) -> tuple[bool, int, str]:
    """News first, the worse verdicts of the second side before the better."""
    after = margin.verdict_after
    return (
        not _is_news(margin),
        _WORST.index(after) if after in _WORST else len(_WORST),
        margin.finding,
    )


def _closing(comparison: Comparison, findings: int, width: int) -> list[str]:
    lines = []
    if comparison.partial:
        note = "one side is a report, which does not hold figures, marks, places and bodies: these are not compared"
        lines += _wrapped(note, width, "  ")
    if not comparison.differences:
        return [*lines, "nothing differs"]
    things = {(one.subject, one.owner, one.name) for one in comparison.differences} - {
        (one.subject, one.owner, one.name) for one in comparison.differences if one.subject is Subject.FINDING
    }
    return [*lines, f"{len(things)} things and {findings} findings differ"]


def _wrapped(text: str, width: int, indent: str) -> list[str]:
    safe = "".join(letter if letter.isprintable() else "?" for letter in text)
    return textwrap.wrap(safe, width, subsequent_indent=indent) or [""]


def _rounded(value: object) -> object:
    if isinstance(value, float):
        return round(value, 6) + 0.0
    if isinstance(value, dict):
        return {key: _rounded(one) for key, one in value.items()}
    if isinstance(value, list | tuple):
        return [_rounded(one) for one in value]
    return value
