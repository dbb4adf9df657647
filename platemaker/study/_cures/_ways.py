"""The keys on which an item depends, and what each of them does for it at best."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial
from typing import TypeAlias

from platemaker.records import Record
from platemaker.report import Item
from platemaker.study._cures._search import Best, Moved, best_number, best_words, lead_of
from platemaker.study._cures._steps import WORD_STEP, SteppedNumber, SteppedWord, steps_of
from platemaker.study._cures._touched import nearest_first, touched_keys
from platemaker.study._cures._trial import Bench, Paths, Target
from platemaker.study._keys import KeyPath, value_at

Kind: TypeAlias = tuple[str, ...]


class Way(Record):
    """A key on which an item depends: about how large a change settles it, and what finds the value.

    `rank` is 0 for one that settles it, as far as is known, 1 for one that only makes a caution of a fail, 2 for one
    that is known not to settle it.
    """

    paths: Paths
    cost: float
    best: Callable[[], Best | None]
    rank: int = 0


def ways(bench: Bench, target: Target, budget: float, but: Paths = ()) -> Iterator[Way]:
    """The keys that move the item, until the bench has spent `budget` whole checks; none of those in `but`."""
    for paths in candidates(bench, target.item):
        if bench.spent >= budget:
            return
        if not set(paths).isdisjoint(but):
            continue
        steps = steps_of(bench.spec, paths[0])
        if isinstance(steps, SteppedWord):
            for away, eases, best in best_words(target, paths, steps):
                rank = 1 if eases else 0 if best.settles else 2
                yield Way(paths, WORD_STEP * away, partial(_same, best), rank)
        elif isinstance(steps, SteppedNumber) and (lead := lead_of(target, Moved(paths, steps))):
            yield Way(paths, lead.cost, partial(best_number, target, lead))


def _same(best: Best) -> Best:
    return best


def candidates(bench: Bench, item: Item) -> list[Paths]:
    """The keys that the item may depend on, the likeliest first; those of twin parts, stated alike, go together.

    So do those that an alias brings in; where one of them may not change, none does.
    """
    names = {word for one in (*item.parts, *item.features) for word in one.replace(".", " ").split()}
    stack = bench.base.stack
    parts = [part for part in stack.parts if part.name in names] or list(stack.parts)
    lines = [cut.key for part in parts for cut in part.cuts if cut.key and cut.name in names]
    words = names | {name.rpartition("_")[0] for name in names}
    joints = {joint.name for joint in stack.joints if joint.name in words}
    mounted = {mounting.joint for part in parts for mounting in part.mountings}
    owners = {part.name for part in parts} | joints | mounted
    touched = touched_keys(bench.spec)
    keys = nearest_first(touched, frozenset(owners), lines, frozenset(names | joints))
    groups: dict[object, list[KeyPath]] = {}
    for key in keys:
        twin = key[0] == "parts" and key[1] in item.parts
        groups.setdefault((key[2:], str(value_at(bench.spec.data, key))) if twin else key, []).append(key)
    shared = bench.spec.sources.shared
    whole = [tuple(dict.fromkeys(one for key in group for one in shared(key))) for group in groups.values()]
    return [group for group in dict.fromkeys(whole) if set(group) <= set(touched)]


def kind_of(paths: Paths) -> Kind:
    """Cures of one kind change the same thing: a place along X or Y, a width or a length of one figure."""
    return tuple(str(step) for step in paths[0][1:] if isinstance(step, str))
