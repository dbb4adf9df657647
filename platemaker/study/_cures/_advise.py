"""Every item that fails or cautions, and the changes of one key that settle it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import partial
from typing import TypeAlias

from platemaker.checks import Verdict
from platemaker.report import Cure, Item, items_of
from platemaker.spec import ProjectSpec
from platemaker.study._cures._effects import BROUGHT, LEFT, cure_of
from platemaker.study._cures._search import lead_of, settled_numbers, settled_words
from platemaker.study._cures._steps import Numbers, Words, steps_of
from platemaker.study._cures._touched import nearest_first, touched_keys
from platemaker.study._cures._trial import BAD, MOST, Bench, Checks, Paths, Target
from platemaker.study._keys import KeyPath, Value, value_at

MOST_CURES = 3
LOOKING = 0.5
"""Share of an item's checks that go into finding the keys that it depends on."""
PROVING = 4.0
"""Whole checks left below which no other key is tried: a few tries and the proof."""

Progress: TypeAlias = Callable[[int, int], None]
"""Called before each item and at the end: how many are done, of how many."""


@dataclass(frozen=True)
class Proved:
    """A cure, and the change of the spec that it is; `passes` says that with it no check fails any more."""

    cure: Cure
    paths: Paths
    was: Value
    to: Value
    passes: bool

    @property
    def eases(self) -> bool:
        """Whether it leaves a caution of a fail."""
        return any(text.startswith(LEFT) for text in self.cure.worsens)

    @property
    def warns(self) -> bool:
        """Whether it brings a caution that was not there."""
        return any(text.startswith(BROUGHT) for text in self.cure.worsens)


@dataclass(frozen=True)
class Advice:
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
        order = [item.identity for item in items_of(self.checks.stack, self.checks.findings)]
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
    items = [item for item in items_of(bench.base.stack, bench.base.findings) if item.verdict in BAD]
    proved: dict[str, tuple[Proved, ...]] = {}
    spent: dict[str, float] = {}
    try:
        for place, item in enumerate(items):
            progress(place, len(items))
            bench.spent = 0.0
            proved[item.identity] = _cures(bench, item)
            spent[item.identity] = bench.spent
        proved |= {item.identity: _of_others(bench, item) for item in items if not proved[item.identity]}
        progress(len(items), len(items))
    except KeyboardInterrupt:
        return Advice(spec, bench.base, proved, spent, interrupted=True)
    return Advice(spec, bench.base, proved, spent)


def _of_others(bench: Bench, item: Item) -> tuple[Proved, ...]:
    """Cures of other items that settle this one as well."""
    target = Target(bench, item)
    found = [_proved(bench, target, *whole) for whole in bench.wholes]
    return tuple(one for one in found if one)[:MOST_CURES]


def _cures(bench: Bench, item: Item) -> tuple[Proved, ...]:
    target = Target(bench, item)
    if not bench.makes(target.checks):
        return ()
    found: list[tuple[bool, bool, float, Proved]] = []
    for lead in sorted(_leads(bench, target), key=lambda one: (one.eases, one.cost)):
        if len(found) == MOST_CURES or bench.spent > MOST - PROVING:
            break
        if any(_kind(lead.paths) == _kind(one.paths) for *_, one in found):
            continue
        for value in lead.values():
            if one := _proved(bench, target, lead.paths, value, bench.whole(lead.paths, value)):
                found.append((one.eases, one.warns, lead.cost, one))
                break
    return tuple(one for *_, one in sorted(found, key=lambda one: one[:3]))


def _proved(bench: Bench, target: Target, paths: Paths, value: Value, after: Checks | None) -> Proved | None:
    was = value_at(bench.spec.data, paths[0])
    cure = cure_of(target, bench.base, after, paths, was, value) if after else None
    if after is None or cure is None:
        return None
    passes = all(found.verdict is not Verdict.FAIL for found in after.findings)
    return Proved(cure, paths, was, value, passes)


@dataclass(frozen=True)
class _Way:
    """A key on which an item depends: about how large a change settles it, and what finds the value.

    `eases` says that it only makes a caution of a fail.
    """

    paths: Paths
    cost: float
    values: Callable[[], Iterator[Value]]
    eases: bool = False


def _leads(bench: Bench, target: Target) -> Iterator[_Way]:
    for paths in _candidates(bench, target.item):
        if bench.spent >= MOST * LOOKING:
            return
        steps = steps_of(bench.spec, paths[0])
        if isinstance(steps, Words):
            for eases, cost, value in settled_words(target, paths, steps):
                yield _Way(paths, cost, partial(iter, (value,)), eases)
        elif isinstance(steps, Numbers) and (lead := lead_of(target, paths, steps)):
            yield _Way(paths, lead.cost, partial(settled_numbers, target, lead))


def _candidates(bench: Bench, item: Item) -> list[Paths]:
    """The keys that the item may depend on, the likeliest first; those of twin parts, stated alike, go together."""
    names = {word for one in (*item.parts, *item.features) for word in one.replace(".", " ").split()}
    stack = bench.base.stack
    parts = [part for part in stack.parts if part.name in names] or list(stack.parts)
    lines = [cut.key for part in parts for cut in part.cuts if cut.key and cut.name in names]
    words = names | {name.rpartition("_")[0] for name in names}
    joints = {joint.name for joint in stack.joints if joint.name in words}
    mounted = {mounting.joint for part in parts for mounting in part.mountings}
    owners = {part.name for part in parts} | joints | mounted
    keys = nearest_first(touched_keys(bench.spec), frozenset(owners), lines, frozenset(names | joints))
    groups: dict[object, list[KeyPath]] = {}
    for key in keys:
        twin = key[0] == "parts" and key[1] in item.parts
        groups.setdefault((key[2:], str(value_at(bench.spec.data, key))) if twin else key, []).append(key)
    return [tuple(group) for group in groups.values()]


def _kind(paths: Paths) -> tuple[str, ...]:
    """Cures of one kind change the same thing: a place along X or Y, a width or a length of one figure."""
    return tuple(str(step) for step in paths[0][1:] if isinstance(step, str))
