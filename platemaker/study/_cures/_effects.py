"""What a change does besides settling its item: what else it clears, what it worsens; whether it is a cure at all."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

from platemaker.checks import EQUAL, Finding, Verdict, missing_share
from platemaker.parts import ProfileKind, Stack
from platemaker.report import Cure, items_of
from platemaker.resolved import expected_volume, resolved_stack
from platemaker.spec import ProjectSpec, dotted
from platemaker.study._cures._steps import COUNTS
from platemaker.study._cures._touched import words_of
from platemaker.study._cures._trial import BAD, Change, Checks, Known, Paths, Target, bad_ids, trouble_of
from platemaker.study._keys import KeyPath, value_at
from platemaker.units import Words, said

LEAST_MASS = 0.005
"""Kilograms below which more mass is not stated."""
MOST_NAMED = 3
BROUGHT, FARTHER, UNCHECKED, LEFT = "caution_brought", "farther_off", "no_longer_checked", "caution_left"
"""What is said where something else cautions now, misses its limit by more or has none, and where a fail cautions."""


def cure_of(target: Target, spec: ProjectSpec, before: Checks, after: Checks, changes: Sequence[Change]) -> Cure | None:
    """The cure, proved by whole checks; None where its item is still there, or anything fails that did not fail.

    Of a fail a caution may be left, which is stated among what it worsens. `spec` is the one that is changed.
    """
    left = target.trouble(after.findings)
    if left is not None and (left.verdict is not Verdict.CAUTION or not target.failing):
        return None
    counts = any(words_of(paths[0])[-1] in COUNTS for paths, _ in changes)
    if not counts and _bolts(after.stack) < _bolts(before.stack):
        return None  # a bolt whose holes no longer meet is checked no more
    if new_fails(before, after):
        return None
    bad = bad_ids(before.findings)
    cleared = [item for item in before.items
               if item.verdict in BAD and item.identity != target.item.identity
               and trouble_of(item, bad, after.findings) is None]  # fmt: skip
    clears = _some([f"{item.worst.check} {item.title[:1].lower()}{item.title[1:]} of {item.worst.part}"
                    for item in cleared])  # fmt: skip
    kept = (said(LEFT, what=_named([left])),) if left else ()
    rest = [found for found in _each(after) if not left or found.id != left.id]
    worse = _worse(before, after.stack, rest)
    first, *also = keyed(spec, changes)
    costs = tuple(_costs(before.stack, after.stack))
    return Cure(*first, clears, (*kept, *_some(worse), *costs), tuple(also))


def keyed(spec: ProjectSpec, changes: Iterable[tuple[Paths, Any]]) -> list[tuple[str, str, str]]:
    """Changes as keys, what stands there, and what is to stand there."""
    return [(" and ".join(map(dotted, paths)), _was(spec, paths[0]), stated(to)) for paths, to in changes]


def _was(spec: ProjectSpec, path: KeyPath) -> str:
    was = value_at(spec.data, path)
    return "its default" if was is None else stated(was)


def drawbacks(before: Checks, after: Checks) -> tuple[Words, ...]:
    """What fails, cautions or is no longer checked since a change, each kind named to three, and what it costs."""
    broken = new_fails(before, after)
    rest = [found for found in _each(after) if found not in broken]
    fails = _some(_said("fails", after.stack, broken))
    return (*fails, *_some(_worse(before, after.stack, rest)), *_costs(before.stack, after.stack))


def new_fails(before: Checks, after: Checks) -> list[Finding]:
    """What fails now and did not. One more bolt of a pattern that fails as the worst like it did is none."""
    known = Known.of(before.findings)

    def new(found: Finding) -> bool:
        old = known.was(found)
        return old is None or old.verdict is not Verdict.FAIL or (old.id != found.id and _farther(old, found))

    return [found for found in _each(after) if found.verdict is Verdict.FAIL and new(found)]


def _bolts(stack: Stack) -> int:
    return len(resolved_stack(stack).bolts)


def _each(checks: Checks) -> Iterable[Finding]:
    """The worst finding of each id."""
    return Known.of(checks.findings).by_id.values()


def _rank(found: Finding | None) -> int:
    return found.verdict.rank if found else 0


def _worse(before: Checks, stack: Stack, new: Iterable[Finding]) -> list[Words]:
    """What cautions now, is no longer checked, or is farther off its limit; findings of one cause are one."""
    known = Known.of(before.findings)
    kinds: dict[str, list[Finding]] = {BROUGHT: [], FARTHER: [], UNCHECKED: []}
    for found in new:
        old = known.was(found)
        if found.verdict in (*BAD, Verdict.NOT_CHECKED) and _rank(found) > _rank(old):
            kinds[BROUGHT if found.verdict in BAD else UNCHECKED].append(found)
        # A fail that became a caution is short of another limit: the shares say nothing of each other.
        elif found.verdict in BAD and old and _rank(found) == _rank(old) and _farther(old, found):
            kinds[FARTHER].append(found)
    return [text for kind, ones in kinds.items() for text in _said(kind, stack, ones)]


def _said(kind: str, stack: Stack, findings: Sequence[Finding]) -> list[Words]:
    """One phrase for all findings of one cause, the worst first."""
    return [said(kind, what=_named([found for _, found in item.named])) for item in items_of(stack, findings)]


def _farther(before: Finding, found: Finding) -> bool:
    shares = missing_share(before), missing_share(found)
    if shares[0] == shares[1] == math.inf:  # of a limit of 0
        return (found.margin or 0.0) < (before.margin or 0.0) - EQUAL
    return shares[1] > shares[0] + EQUAL


def _named(findings: Sequence[Finding]) -> str:
    """The first, and how many there are besides."""
    found, more = findings[0], f" and {len(findings) - 1} more" if len(findings) > 1 else ""
    title = found.title[:1].lower() + found.title[1:]
    return f"{found.check} {title} of {', '.join(dict.fromkeys((found.part, *found.features)))}{more}"


def _some(phrases: list[Words]) -> tuple[Words, ...]:
    more = len(phrases) - MOST_NAMED
    return (*phrases[:MOST_NAMED], *([f"{more} more"] if more > 0 else []))


def _costs(before: Stack, after: Stack) -> Iterator[Words]:
    masses = [_mass(before), _mass(after)]
    if None not in masses and (masses[1] or 0.0) - (masses[0] or 0.0) >= LEAST_MASS:
        yield said("mass_up", mass=((masses[1] or 0.0) - (masses[0] or 0.0), "kg"))
    areas = _areas(after)
    for name, area in _areas(before).items():
        lost = area - areas.get(name, 0.0)
        if lost >= 1.0:
            yield said("costs_area", area=(lost, "mm2"), of=name)


def _mass(stack: Stack) -> float | None:
    """What all made parts weigh, kg; None where the volume of one is not known."""
    sums = 0.0
    for part in stack.parts:
        if part.made:
            volume = expected_volume(part)
            if volume is None:
                return None
            sums += volume * part.material.density * 1e-9 * part.quantity
    return sums


def _areas(stack: Stack) -> dict[str, float]:
    return {
        f"{part.name} {figure.name}": sum(region.area for region in figure.regions)
        for part in stack.parts if part.made
        for figure in part.profiles if figure.kind in (ProfileKind.POCKET, ProfileKind.OPENING)
    }  # fmt: skip


def stated(value: Any) -> str:
    """A value as a spec states it.

    >>> stated({"points": {"1": [10, 20.5]}})
    '{points: {"1": [10, 20.5]}}'
    """
    if isinstance(value, Mapping):
        return "{" + ", ".join(f"{_key(key)}: {stated(one)}" for key, one in value.items()) + "}"
    if isinstance(value, list):
        return f"[{', '.join(map(stated, value))}]"
    if value is None:
        return "nothing"
    return str(value).lower() if isinstance(value, bool) else str(value)


def _key(word: str) -> str:
    return f'"{word}"' if word.isdigit() else word
