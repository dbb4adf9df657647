"""The differences of two projects as lines, one a change: what moved alike is one line, holes follow their joint."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import groupby
from typing import TypeAlias

from platemaker.checks import EQUAL
from platemaker.study._compare import Comparison, Difference
from platemaker.study._match_places import FRESH, NAME, SPOT
from platemaker.study._pair_text import pair_text
from platemaker.study._snapshot import Subject

COLUMNS = 14
"""Columns that the kind of change takes."""
MOST_NAMED = 3
Group: TypeAlias = list[Difference]


def change_lines(comparison: Comparison) -> Iterator[str]:
    """Everything that differs but findings: kind of change, thing, and by how much it moved or from what to what.

    What a joint's holes do in its parts follows from its spots, and is not stated again.
    """
    things = [one for one in comparison.differences if one.subject is not Subject.FINDING]
    groups = [list(group) for _, group in groupby(things, key=lambda one: (one.subject, one.owner, one.name))]
    changed = {one.name for one in things if one.subject is Subject.JOINT and one.fact.startswith(SPOT)}
    groups = [group for group in groups if not (group[0].joint in changed and all(map(_is_place, group)))]
    alike: dict[tuple[object, ...], list[Group]] = {}
    for group in groups:
        alike.setdefault(_same(group, comparison.unit), []).append(group)
    for ones in alike.values():
        yield from _lines(ones, comparison.unit)


def _is_place(one: Difference) -> bool:
    return one.fact in ("", "at", NAME)


def _same(group: Group, unit: str) -> tuple[object, ...]:
    """Equal for holes of one part of which the same is said."""
    first = group[0]
    if first.subject is not Subject.CUT:
        return first.subject, first.owner, first.name
    own = first.name if any(one.fact == NAME for one in group) else ""
    return first.subject, first.owner, own, tuple((one.change, _fact(one, unit)) for one in group)


def _lines(alike: list[Group], unit: str) -> Iterator[str]:
    first = alike[0][0]
    named = _some([group[0].name for group in alike])
    name = f"{first.owner}, {named}" if first.owner else f"{first.subject.value} {named}"
    said: dict[str, list[str]] = {}
    for one, text in _facts(alike[0], unit):
        said.setdefault(one.change.value, []).append(text)
    for number, (word, texts) in enumerate(said.items()):
        thing = "" if number else f"{name}: " if texts[0] else name
        yield f"{word:{COLUMNS}}{thing}{'; '.join(texts)}"


def _facts(group: Group, unit: str) -> Iterator[tuple[Difference, str]]:
    """Each difference with its text; spots of a joint that move alike are one."""
    spots: dict[str, list[Difference]] = {}
    for one in group:
        if one.fact.startswith(SPOT):
            spots.setdefault(_by(one, unit), []).append(one)
    for one in group:
        if not one.fact.startswith(SPOT):
            yield one, _fact(one, unit)
    for text, ones in spots.items():
        names = _some(sorted((one.fact.removeprefix(SPOT) for one in ones), key=lambda name: (len(name), name)))
        yield ones[0], f"spot{'' if len(ones) == 1 else 's'} {names} {text}"


def _fact(one: Difference, unit: str) -> str:
    if not one.fact:
        return ""
    if one.fact == NAME:
        return f"now called {one.after}"
    if one.fact == "at":
        return _by(one, unit)
    before, after = pair_text(one.before, one.after, one.unit, unit)
    return f"{one.fact} {before} -> {after}"


def _by(one: Difference, unit: str) -> str:
    """How far something moved along each axis; where it is if it is new."""
    if not (isinstance(one.before, tuple) and isinstance(one.after, tuple)):
        before, after = pair_text(one.before, one.after, one.unit, unit)
        return f"new at {after}" if one.before is None else f"gone from {before} {after.removeprefix('none ')}"
    ways = [
        f"{pair_text(0.0, b - a, one.unit, unit, sign=True)[1]} in {axis}"
        for axis, a, b in zip("XYZ", one.before, one.after, strict=False)
        if abs(b - a) > EQUAL
    ]
    return f"by {', '.join(ways)}"


def _some(names: Iterable[str]) -> str:
    known = [name.removesuffix(FRESH) for name in names]
    more = len(known) - MOST_NAMED
    return ", ".join(known[:MOST_NAMED]) + (f" and {more} more" if more > 0 else "")
