"""Every item that fails or cautions, and the changes of a key, or of a few, that settle it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TypeAlias

from msgspec import Struct

from platemaker.checks import Verdict
from platemaker.records import Record, field
from platemaker.report import Cure, Item
from platemaker.spec import ProjectSpec
from platemaker.study._cures._effects import BROUGHT, FARTHER, LEFT, cure_of, new_fails
from platemaker.study._cures._loops import closing_changes
from platemaker.study._cures._pairs import changes_of_a_pair
from platemaker.study._cures._steps import cost_of
from platemaker.study._cures._together import FirstChange, changes_of_two
from platemaker.study._cures._trial import BAD, MOST, PROOF, Bench, Change, Checks, Paths, Target, harm_of
from platemaker.study._cures._ways import kind_of, ways
from platemaker.units import Phrase

MOST_CURES = 3
LOOKING = 0.5
"""Share of an item's checks that go into finding the keys that it depends on."""
PROVING = 4.0
"""Whole checks left below which no other key is tried: a few tries and the proof."""

SECOND = 9.0
"""Whole checks kept for two keys at once while no single one was found."""

Progress: TypeAlias = Callable[[int, int], None]
"""Called before each item and at the end: how many are done, of how many."""


class Proved(Record):
    """A cure, and the changes of the spec that it is; `passes` says that with it no check fails any more."""

    cure: Cure
    changes: tuple[Change, ...]
    passes: bool

    @property
    def eases(self) -> bool:
        """Whether it leaves a caution of a fail."""
        return self._says(LEFT)

    @property
    def warns(self) -> bool:
        """Whether it brings a caution that was not there, or what is off its limit already is farther off."""
        return self._says(BROUGHT, FARTHER)

    @property
    def clean(self) -> bool:
        """Whether it has no such drawback."""
        return not (self.eases or self.warns)

    def _says(self, *names: str) -> bool:
        return any(isinstance(one, Phrase) and one.name in names for one in self.cure.worsens)


class Advice(Record):
    """The whole check of a project and what cures its items, by the id of the item's worst finding.

    `spent` are the whole checks that each item took; `interrupted` says that some items were not come to.
    """

    spec: ProjectSpec
    checks: Checks
    proved: Mapping[str, tuple[Proved, ...]] = field(default_factory=dict)
    spent: Mapping[str, float] = field(default_factory=dict)
    interrupted: bool = False

    @property
    def cures(self) -> dict[str, tuple[Cure, ...]]:
        """The cures as reports take them."""
        return {name: tuple(one.cure for one in ones) for name, ones in self.proved.items()}

    @property
    def numbered(self) -> tuple[Proved, ...]:
        """All cures in the order in which reports number them, from 1."""
        order = [item.identity for item in self.checks.items]
        return tuple(one for name in order for one in self.proved.get(name, ()))


def _quiet(_done: int, _asked: int) -> None:
    """No progress shown."""


def advise(spec: ProjectSpec, *, progress: Progress = _quiet) -> Advice:
    """Cures for every item of a project that fails or cautions: at most three of different kind, least change first.

    Those that bring a caution go behind those that bring none.

    Each is proved by a whole check: its item is gone and nothing fails that did not fail. An item takes at most
    30 whole checks; none found is an empty entry. An interrupt ends the search with what there is. Raises SpecError or
    SpecErrors as a check does.
    """
    bench = Bench(spec)
    items = [item for item in bench.base.items if item.verdict in BAD]
    proved: dict[str, tuple[Proved, ...]] = {}
    spent: dict[str, float] = {}
    try:
        for place, item in enumerate(items):
            progress(place, len(items))
            bench.spent = 0.0
            proved[item.identity] = _cures(bench, item)
            spent[item.identity] = bench.spent
        proved = {item.identity: _of_others(bench, item, proved[item.identity]) for item in items}
        progress(len(items), len(items))
    except KeyboardInterrupt:
        return Advice(spec, bench.base, proved, spent, interrupted=True)
    return Advice(spec, bench.base, proved, spent)


def _of_others(bench: Bench, item: Item, own: tuple[Proved, ...]) -> tuple[Proved, ...]:
    """An item's cures; where it has none without a drawback, also those that cures of other items are without one."""
    if any(one.clean for one in own) or _warns_no_more(bench, item):
        return own
    search = _Search(bench, Target(bench, item), [*own])
    for changes, after in bench.wholes:
        search.keep(changes, after)
    return tuple(one for one in search.cures if one.clean or one in own or not own)


def _warns_no_more(bench: Bench, item: Item) -> bool:
    """Whether it is an acceptance of what no longer warns: that it warns again is no cure."""
    accepted = item.worst.features[:1]
    return not bench.makes(frozenset([item.worst.check])) and not any(
        found.verdict in BAD and (found.check,) == accepted for found in bench.base.findings
    )


def _cures(bench: Bench, item: Item) -> tuple[Proved, ...]:
    target = Target(bench, item)
    if not bench.makes(target.checks):
        return ()
    search = _Search(bench, target)
    for changes in closing_changes(bench, target, MOST * LOOKING):
        search.tried(changes)
    keys = [] if search.full else sorted(ways(bench, target, MOST * LOOKING), key=lambda one: (one.rank, one.cost))
    steps: list[FirstChange] = []
    for way in keys:
        if search.full or bench.spent > MOST - (PROVING if search.found else SECOND):
            break
        if search.has(way.paths) or (best := way.best()) is None:
            continue
        after = search.tried(best.changes) if best.settles else None
        if after is not None or not best.settles:
            broken = [harm_of(found) for found in new_fails(bench.base, after)] if after else []
            steps.append(FirstChange(max([best.harm, *broken]), way.cost, best.changes[0], after))
    if not search.found:
        for changes in changes_of_two(bench, target, steps, MOST - PROOF):
            search.tried(changes)
    if not any(one.clean for one in search.found):
        for changes in changes_of_a_pair(bench, target, MOST - PROOF):
            search.tried(changes)
    return search.cures


class _Search(Struct):
    """What was found for an item so far."""

    bench: Bench
    target: Target
    found: list[Proved] = field(default_factory=list)

    @property
    def full(self) -> bool:
        """Whether there are cures enough."""
        return len(self.found) >= MOST_CURES

    def has(self, *keys: Paths) -> bool:
        """Whether there is a cure of these kinds of change."""
        kinds = {kind_of(paths) for paths in keys}
        return any(kinds == {kind_of(paths) for paths, _ in one.changes} for one in self.found)

    def tried(self, changes: tuple[Change, ...]) -> Checks | None:
        """The whole check of the changes, which are kept if they are a cure of a new kind."""
        if self.full or self.has(*(paths for paths, _ in changes)):
            return None
        after = self.bench.whole(*changes)
        if after is not None:
            self.keep(changes, after)
        return after

    def keep(self, changes: tuple[Change, ...], after: Checks) -> None:
        """Keep the changes if they are a cure of a new kind, as their whole check proves."""
        if not self.has(*(paths for paths, _ in changes)) and (
            cure := cure_of(self.target, self.bench.spec, self.bench.base, after, changes)
        ):
            passes = all(found.verdict is not Verdict.FAIL for found in after.findings)
            self.found.append(Proved(cure, changes, passes))

    @property
    def cures(self) -> tuple[Proved, ...]:
        """Those without drawback first, then fewest keys, then least change."""

        def order(one: Proved) -> tuple[float, ...]:
            cost = sum(cost_of(self.bench.spec, paths[0], to) for paths, to in one.changes)
            return one.eases, one.warns, len(one.changes), round(cost, 6)

        return tuple(sorted(self.found, key=order)[:MOST_CURES])
