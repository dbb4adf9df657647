"""The two numbers of one list changed by as much together: a corner comes away from both of its sides at once."""

from __future__ import annotations

from collections.abc import Iterator

from platemaker.study._cures._search import Moved, best_number, lead_of
from platemaker.study._cures._steps import SteppedNumber, steps_of
from platemaker.study._cures._trial import Bench, Change, Target
from platemaker.study._cures._ways import candidates
from platemaker.study._keys import KeyPath


def changes_of_a_pair(bench: Bench, target: Target, budget: float) -> Iterator[tuple[Change, ...]]:
    """Changes of both numbers of a list by as much that settle the item, a place along either diagonal.

    Where one of them alone does anything for the item, two keys one after the other find it with less change. Ends when
    the bench has spent `budget` whole checks.
    """
    for first, second in _lists(bench, target):
        for sign in (1, -1) if first.steps.signed else (1,):
            if bench.spent >= budget:
                return
            lead = lead_of(target, Moved(first.paths, first.steps, (second.paths, second.steps, sign)))
            best = best_number(target, lead) if lead else None
            if best is not None and best.settles:
                yield best.changes


def _lists(bench: Bench, target: Target) -> list[tuple[Moved, Moved]]:
    """Lists of two numbers that are stepped alike, the likeliest first."""
    lists: dict[KeyPath, list[Moved]] = {}
    for paths in candidates(bench, target.item):
        steps = steps_of(bench.spec, paths[0])
        if isinstance(steps, SteppedNumber) and isinstance(paths[0][-1], int):
            lists.setdefault(paths[0][:-1], []).append(Moved(paths, steps))
    return [(ones[0], ones[1]) for ones in lists.values()
            if len(ones) == 2 and ones[0].steps.kind == ones[1].steps.kind and not ones[0].steps.whole]  # fmt: skip
