"""Changed specs taken through the checks: by those families alone that an item comes from, or through all."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from copy import copy
from functools import cached_property
from typing import Any, TypeAlias

from platemaker.checks import (
    EQUAL,
    FAMILIES,
    Finding,
    Sense,
    Verdict,
    accepted,
    held_to_accepted,
    missing_share,
    of_family,
    worst_first,
)
from platemaker.parts import Stack
from platemaker.records import Record
from platemaker.report import Item, items_of
from platemaker.resolved import assemble
from platemaker.spec import ProjectSpec, validate
from platemaker.study._keys import KeyPath, Value, with_value
from platemaker.study._variant import SPEC_FAULTS

Paths: TypeAlias = tuple[KeyPath, ...]
"""A key that is changed, with the same key of twin parts behind it."""
Change: TypeAlias = tuple[Paths, Value]
"""A key, and its new value."""
PROBE = 0.5
"""What the families of one item count as, in whole checks: assembling is a third, and most families are quick."""
SLOW = "PM6"
"""Checks of room in the stack take most of a check's time: with one of them a probe counts as a whole check."""
MOST = 30.0
"""Whole checks that one item may take."""
PROOF = 2.0
"""Of these, what the last probe and the proof take."""
LISTED_WHILE_BAD = frozenset({"PM001", "PM641", "PM642", "PM643", "PM662", "PM920", "PM922"})
"""Checks that list only what is near, stuck or in doubt: that such a finding is gone is what was wanted."""
_NUMBER = re.compile(r"\d+")
BAD = (Verdict.FAIL, Verdict.CAUTION)
Harm: TypeAlias = tuple[int, float]
"""How bad something is: rank of the verdict, share of the limit that is missing. Nothing is better than `(0, 0)`."""
Family: TypeAlias = Callable[[Stack], Iterable[Finding]]


class Checks(Record):
    """A stack and what every check says of it, worst first."""

    stack: Stack
    findings: tuple[Finding, ...]

    @cached_property
    def items(self) -> tuple[Item, ...]:
        """The findings by their causes, worst first."""
        return items_of(self.stack, self.findings)


class Bench:
    """One project whose values are changed in memory and checked again; it counts what that takes."""

    def __init__(self, spec: ProjectSpec) -> None:
        self.spec = spec
        self.spent = 0.0
        self.wholes: list[tuple[tuple[Change, ...], Checks]] = []
        self._families: dict[str, dict[Family, None]] = {}
        self._probes: dict[object, list[Finding] | None] = {}
        self.base = self._checked(assemble(spec))

    def changed(self, changes: Sequence[Change], after: Checks) -> Bench:
        """A bench for the spec with `changes`, of which `after` are the checks; what it has spent goes on from here."""
        further = copy(self)
        further.spec, further.base, further.wholes, further._probes = changed(self.spec, changes), after, [], {}
        return further

    def makes(self, checks: frozenset[str]) -> bool:
        """Whether a family finds one of these checks: acceptances, which no cure changes, come from none."""
        return not checks.isdisjoint(self._families)

    def whole(self, *changes: Change) -> Checks | None:
        """Every check of the spec with `changes`; None where it cannot be made, or where no check is left."""
        if self.spent > MOST - 1:
            return None
        self.spent += 1
        try:
            after = self._checked(assemble(changed(self.spec, changes)))
        except SPEC_FAULTS:
            return None
        self.wholes.append((changes, after))
        return after

    def probe(self, checks: frozenset[str], *changes: Change) -> list[Finding] | None:
        """The findings of the families that `checks` come from, held to what is accepted; None as for `whole`.

        A probe asked for again costs nothing.
        """
        asked = (checks, repr(changes))
        if asked not in self._probes:
            if self.spent > MOST - PROOF:
                return None
            self.spent += 1 if any(check.startswith(SLOW) for check in checks) else PROBE
            families = dict.fromkeys(family for check in sorted(checks) for family in self._families.get(check, ()))
            try:
                stack = assemble(changed(self.spec, changes))
                found = [one for family in families for one in of_family(family, stack)]
                self._probes[asked] = held_to_accepted(stack, found)
            except SPEC_FAULTS:
                self._probes[asked] = None
        return self._probes[asked]

    def _checked(self, stack: Stack) -> Checks:
        every: list[Finding] = []
        for family in FAMILIES:
            found = list(of_family(family, stack))
            every += found
            for check in {one.check for one in found}:
                self._families.setdefault(check, {})[family] = None
        return Checks(stack, tuple(worst_first(accepted(stack, every))))


def changed(spec: ProjectSpec, changes: Iterable[tuple[Paths, Any]]) -> ProjectSpec:
    """A spec with other values at some keys, valid again. Raises SpecErrors where it is not."""
    data = spec.data
    for paths, value in changes:
        for path in paths:
            data = with_value(data, path, value)
    return validate(spec.folder, spec.sources, data)


def harm_of(found: Finding | None) -> Harm:
    """How bad a finding is."""
    return (found.verdict.rank, missing_share(found)) if found else (0, 0.0)


class Seen(Record):
    """What a changed spec says of an item: the `worst` finding that is left of it, and all findings."""

    worst: Finding | None
    known: Known

    @property
    def worst_id(self) -> str:
        """The id of the worst finding; empty without one."""
        return self.worst.id if self.worst else ""

    @property
    def harm(self) -> Harm:
        """How bad it still is."""
        return harm_of(self.worst)


class Target:
    """One item that is to be settled: what counts as its trouble in any spec."""

    def __init__(self, bench: Bench, item: Item) -> None:
        self._bench = bench
        self.item = item
        self.ids = frozenset(found.id for _, found in item.named)
        self.checks = frozenset(found.check for _, found in item.named)
        known = Known.of(held_to_accepted(bench.base.stack, bench.base.findings))
        self.base = Seen(known.by_id[item.worst.id], known)
        self._bad = bad_ids(bench.base.findings)

    def at(self, *changes: Change) -> Seen | None:
        """What is left of the item with these changes; None for a spec that cannot be made, or with no check left."""
        if self._bench.spent > MOST - PROOF:
            return None
        found = self._bench.probe(self.checks, *changes)
        return None if found is None else Seen(self.trouble(found), Known.of(found))

    def trouble(self, findings: Iterable[Finding]) -> Finding | None:
        """The worst finding that keeps the item alive or takes its place."""
        return trouble_of(self.item, self._bad, findings)

    def eased(self, seen: Seen) -> bool:
        """Whether a fail has become a caution."""
        return seen.worst is not None and seen.worst.verdict is Verdict.CAUTION and self.failing

    @property
    def failing(self) -> bool:
        """Whether the item fails, rather than cautions."""
        return self.item.verdict is Verdict.FAIL


def trouble_of(item: Item, bad: frozenset[str], findings: Iterable[Finding]) -> Finding | None:
    """The worst finding that keeps an item alive or takes its place: the same check bad, not made, or gone.

    `bad` are the ids that failed or cautioned before. What is gone counts as it was: holes moved so far apart that no
    bolt joins them any more are no cure.
    """
    found = list(findings)
    ids, checks = ({getattr(one, name) for _, one in item.named} for name in ("id", "check"))
    like = {alike(one) for one in found}
    left = [
        one
        for one in found
        if (one.id in ids and one.verdict in (*BAD, Verdict.NOT_CHECKED))
        or (one.check in checks and one.verdict in BAD and one.id not in bad)
    ]
    left += [one for _, one in item.named if one.check not in LISTED_WHILE_BAD and alike(one) not in like]
    return worst_first(left)[0] if left else None


def bad_ids(findings: Iterable[Finding]) -> frozenset[str]:
    """The ids of what fails or cautions."""
    return frozenset(found.id for found in findings if found.verdict in BAD)


def alike(found: Finding) -> tuple[str, ...]:
    """Equal for one check of like features: the fifth bolt of six is like the third of four."""
    return (found.check, found.part, *(_NUMBER.sub("*", feature) for feature in found.features))


class Known(Record):
    """Findings to look up: the worst of an id, where there is none the worst like it."""

    by_id: Mapping[str, Finding]
    by_like: Mapping[tuple[str, ...], Finding]

    @classmethod
    def of(cls, findings: Iterable[Finding]) -> Known:
        """What is known of a whole check, or of some families."""
        milder_first = [*reversed(worst_first(list(findings)))]
        return cls({one.id: one for one in milder_first}, {alike(one): one for one in milder_first})

    def was(self, found: Finding) -> Finding | None:
        """What a finding of a changed spec was."""
        return self.by_id.get(found.id) or self.by_like.get(alike(found))


def rate(before: Seen, after: Seen) -> tuple[float, float] | None:
    """How far the worst finding of `after` is off, and how much nearer it came since `before`, in its unit.

    None where it has no measure on both sides. Margins count where both are against one limit; else what was measured.
    """
    worst = after.worst
    old = before.known.was(worst) if worst else None
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
