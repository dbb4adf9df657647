"""Changed specs taken through the checks: by those families alone that an item comes from, or through all."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import TypeAlias

from platemaker.checks import EQUAL, FAMILIES, Finding, Sense, Verdict, accepted, missing_share, of_family, worst_first
from platemaker.parts import Stack
from platemaker.report import Item
from platemaker.resolved import assemble
from platemaker.spec import ProjectSpec, validate
from platemaker.study._keys import KeyPath, Value, with_value
from platemaker.study._variant import SPEC_FAULTS

Paths: TypeAlias = tuple[KeyPath, ...]
"""A key that is changed, with the same key of twin parts behind it."""
PROBE = 0.5
"""What the families of one item count as, in whole checks: assembling is a third, and most families are quick."""
SLOW = "PM6"
"""Checks of room in the stack take most of a check's time: with one of them a probe counts as a whole check."""
MOST = 30.0
"""Whole checks that one item may take."""
LISTED_WHILE_BAD = frozenset({"PM641", "PM642", "PM643", "PM662", "PM920"})
"""Checks that list only what is near or stuck: that such a finding is gone is what was wanted."""
_NUMBER = re.compile(r"\d+")
BAD = (Verdict.FAIL, Verdict.CAUTION)


@dataclass(frozen=True)
class Checks:
    """A stack and what every check says of it, worst first."""

    stack: Stack
    findings: tuple[Finding, ...]


class Bench:
    """One project whose values are changed in memory and checked again; it counts what that takes."""

    def __init__(self, spec: ProjectSpec) -> None:
        self.spec = spec
        self.spent = 0.0
        self.wholes: list[tuple[Paths, Value, Checks]] = []
        stack = assemble(spec)
        by_family = [(family, tuple(of_family(family, stack))) for family in FAMILIES]
        every = [found for _, ones in by_family for found in ones]
        self.base = Checks(stack, tuple(worst_first(accepted(stack, every))))
        self.raw = {found.id: found for found in every if found.verdict in BAD}
        self._families: dict[str, list[Callable[[Stack], Iterable[Finding]]]] = {}
        for family, ones in by_family:
            for check in {found.check for found in ones}:
                self._families.setdefault(check, []).append(family)

    def makes(self, checks: frozenset[str]) -> bool:
        """Whether a family finds one of these checks: acceptances, which no cure changes, come from none."""
        return not checks.isdisjoint(self._families)

    def whole(self, paths: Paths, value: Value) -> Checks | None:
        """Every check of the spec with `value` at `paths`; None where it cannot be made."""
        self.spent += 1
        stack = self._stack(paths, value)
        if stack is None:
            return None
        found = self._found(stack, FAMILIES)
        if found is None:
            return None
        after = Checks(stack, tuple(worst_first(accepted(stack, found))))
        self.wholes.append((paths, value, after))
        return after

    def probe(self, checks: frozenset[str], paths: Paths, value: Value) -> list[Finding] | None:
        """The findings of the families that `checks` come from, acceptances not counted; None as for `whole`."""
        self.spent += 1 if any(check.startswith(SLOW) for check in checks) else PROBE
        stack = self._stack(paths, value)
        families = dict.fromkeys(family for check in sorted(checks) for family in self._families.get(check, ()))
        return None if stack is None else self._found(stack, tuple(families))

    def _stack(self, paths: Paths, value: Value) -> Stack | None:
        data = self.spec.data
        for path in paths:
            data = with_value(data, path, value)
        try:
            return assemble(validate(self.spec.folder, self.spec.sources, data))
        except SPEC_FAULTS:
            return None

    @staticmethod
    def _found(stack: Stack, families: Sequence[Callable[[Stack], Iterable[Finding]]]) -> list[Finding] | None:
        try:
            return [found for family in families for found in of_family(family, stack)]
        except SPEC_FAULTS:
            return None


@dataclass(frozen=True)
class Seen:
    """What a changed spec says of an item: the `worst` finding that is left of it, and all findings by their ids."""

    worst: Finding | None
    known: Mapping[str, Finding]

    @property
    def harm(self) -> tuple[int, float]:
        """How bad it still is; more is worse, and nothing is better than `(0, 0)`."""
        return (self.worst.verdict.rank, missing_share(self.worst)) if self.worst else (0, 0.0)


class Target:
    """One item that is to be settled: what counts as its trouble in any spec."""

    def __init__(self, bench: Bench, item: Item) -> None:
        self._bench = bench
        self.item = item
        self.ids = frozenset(found.id for _, found in item.named)
        self.checks = frozenset(found.check for _, found in item.named)
        self.base = Seen(item.worst, {found.id: found for found in bench.base.findings})

    def at(self, paths: Paths, value: Value) -> Seen | None:
        """What is left of the item with `value` at `paths`; None for a spec that cannot be made."""
        found = self._bench.probe(self.checks, paths, value)
        return None if found is None else Seen(self.trouble(found), _worst_by_id(found))

    def trouble(self, findings: Iterable[Finding]) -> Finding | None:
        """The worst finding that keeps the item alive or takes its place: the same check bad, not made, or gone.

        What is gone counts as it was: holes moved so far apart that no bolt joins them any more are no cure.
        """
        found = list(findings)
        alike = {_alike(one) for one in found}
        left = [
            one
            for one in found
            if (one.id in self.ids and one.verdict in (*BAD, Verdict.NOT_CHECKED))
            or (one.check in self.checks and one.verdict in BAD and one.id not in self._bench.raw)
        ]
        left += [one for _, one in self.item.named if one.check not in LISTED_WHILE_BAD and _alike(one) not in alike]
        return worst_first(left)[0] if left else None

    def eased(self, seen: Seen) -> bool:
        """Whether a fail has become a caution."""
        return seen.worst is not None and seen.worst.verdict is Verdict.CAUTION and self.failing

    @property
    def failing(self) -> bool:
        """Whether the item fails, rather than cautions."""
        return self.item.verdict is Verdict.FAIL


def _alike(found: Finding) -> tuple[str, ...]:
    """Equal for one check of like features: the fifth bolt of six is like the third of four."""
    return (found.check, found.part, *(_NUMBER.sub("*", feature) for feature in found.features))


def _worst_by_id(findings: Iterable[Finding]) -> dict[str, Finding]:
    return {found.id: found for found in reversed(worst_first(list(findings)))}


def rate(before: Seen, after: Seen) -> tuple[float, float] | None:
    """How far the worst finding of `after` is off, and how much nearer it came since `before`, in its unit.

    None where it has no measure on both sides. Margins count where both are against one limit; else what was measured.
    """
    worst = after.worst
    old = before.known.get(worst.id) if worst else None
    if worst is None or old is None or None in (worst.margin, worst.measured, old.margin, old.measured):
        return None
    sign = 1.0 if worst.sense is Sense.AT_LEAST else -1.0
    if worst.verdict is old.verdict:
        gained = _number(worst.margin) - _number(old.margin)
    else:
        gained = sign * (_number(worst.measured) - _number(old.measured))
    return -_number(worst.margin), gained if abs(gained) > EQUAL / 10 else 0.0


def _number(value: float | None) -> float:
    return 0.0 if value is None else value
