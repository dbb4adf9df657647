"""Two keys at once: what one key does not settle, or breaks elsewhere, a second one puts right."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from platemaker.checks import Verdict
from platemaker.records import Record
from platemaker.study._cures._effects import new_fails
from platemaker.study._cures._trial import Bench, Change, Checks, Harm, Target
from platemaker.study._cures._ways import ways

MOST_STEPS = 3
"""First keys that a second one is sought for."""
LOOKING = 3.0
"""Whole checks in which the second key is looked for."""
MOST_NEXT = 2
"""Second keys that are tried."""


class FirstChange(Record):
    """A change that is no cure by itself: what it leaves of the item or breaks, about how large it is, mm.

    `after` are its checks if they were made.
    """

    harm: Harm
    cost: float
    change: Change
    after: Checks | None = None

    @property
    def order(self) -> tuple[Harm, float]:
        """Least first."""
        return self.harm, self.cost


def changes_of_two(
    bench: Bench, target: Target, steps: Sequence[FirstChange], budget: float
) -> Iterator[tuple[Change, ...]]:
    """Pairs of changes that may settle the item, until the bench has spent `budget` whole checks.

    First those whose first change leaves and breaks least.
    """
    for step in sorted(steps, key=lambda one: one.order)[:MOST_STEPS]:
        if bench.spent + LOOKING > budget:
            return
        after = step.after or bench.whole(step.change)
        if after is not None:
            yield from _second(bench, target, step, after, budget)


def _second(
    bench: Bench, target: Target, step: FirstChange, after: Checks, budget: float
) -> Iterator[tuple[Change, ...]]:
    ids = target.ids | {found.id for found in new_fails(bench.base, after)}
    left = [
        one for one in after.items if one.verdict is Verdict.FAIL and any(found.id in ids for _, found in one.named)
    ]
    if not left:
        return
    further = bench.changed((step.change,), after)
    goal = Target(further, left[0])
    keys = sorted(ways(further, goal, further.spent + LOOKING, step.change[0]), key=lambda one: (one.rank, one.cost))
    bench.spent = further.spent
    for way in keys[:MOST_NEXT]:
        if bench.spent > budget:
            return
        further.spent = bench.spent
        best = way.best()
        bench.spent = further.spent
        if best is not None and best.settles:
            yield (step.change, *best.changes)
