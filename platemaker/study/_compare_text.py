"""A comparison as plain text within a width, and as JSON."""

from __future__ import annotations

import json
import textwrap
from collections.abc import Iterator
from dataclasses import asdict
from itertools import groupby

from platemaker.study._compare import Comparison, Difference, Margin
from platemaker.study._shown import in_project_unit
from platemaker.study._snapshot import Subject, Value

FORMAT = 1
"""Version of the layout of the JSON; a change of meaning raises it."""
_WORST = ("fail", "caution", "not checked", "pass")
_USUAL_DIGITS, _MOST_DIGITS = 3, 9
_OTHERS = 3
"""Most findings that are listed unasked though none became better or worse than a pass."""
_CHANGE = 14
"""Columns that the kind of change takes."""


def render_comparison(comparison: Comparison, *, width: int = 80, every: bool = False) -> str:
    """The differences, then the findings whose verdict differs and a few whose margin does, or `every` one."""
    lines = _wrapped(f"{comparison.before} -> {comparison.after}", width, "")
    things = [one for one in comparison.differences if one.subject is not Subject.FINDING]
    for _, group in groupby(things, key=lambda one: (one.subject, one.owner, one.name)):
        lines += _thing(list(group), comparison.unit, width)
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


def _thing(group: list[Difference], unit: str, width: int) -> Iterator[str]:
    first = group[0]
    name = f"{first.owner}, {first.name}" if first.owner else f"{first.subject.value} {first.name}"
    words = list(dict.fromkeys(one.change.value for one in group))
    yield from _wrapped(f"{words[0]:{_CHANGE}}{name}", width, " " * _CHANGE)
    for one in group:
        if one.fact:
            before, after = pair_text(one.before, one.after, one.unit, unit)
            word = "" if one.change.value == words[0] else one.change.value
            yield from _wrapped(f"{word:{_CHANGE}}{one.fact}: {before} -> {after}", width, " " * (_CHANGE + 2))


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


def pair_text(before: Value, after: Value, unit: str, project_unit: str, *, sign: bool = False) -> tuple[str, str]:
    """Two values as text, with as many digits as it takes to distinguish them; the unit stands behind the second.

    >>> pair_text(2.99996, 3.0, "mm", "mm")
    ('2.99996', '3.00000 mm')
    """
    shown = in_project_unit(unit, project_unit)
    for digits in range(_USUAL_DIGITS, _MOST_DIGITS + 1):
        texts = [_text(value, unit, project_unit, digits, sign) for value in (before, after)]
        if texts[0] != texts[1]:
            break
    return texts[0], f"{texts[1]} {shown[1]}".rstrip()


def _text(value: Value, unit: str, project_unit: str, digits: int, sign: bool) -> str:
    if value is None:
        return "none"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, str):
        return value
    if isinstance(value, tuple):
        return "(" + ", ".join(_text(one, unit, project_unit, digits, sign) for one in value) + ")"
    factor, _ = in_project_unit(unit, project_unit)
    text = f"{value * factor:{'+' if sign else ''}.{digits}f}"
    return text.lstrip("+-") if float(text) == 0 else text


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
