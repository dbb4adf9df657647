"""Parts whose voids come 0.001 to 0.3 mm near on purpose, or overlap by as little: false passes hide there.

One number of each plan is moved until the oracle's wall is as thin as asked: a step by what is too much never overlaps.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from dataclasses import dataclass

from tests.metal_oracle._hard_table import Plan, plans
from tests.metal_oracle._kernel import MET
from tests.metal_oracle._ledger import Ledger
from tests.metal_oracle._reading import Spec, parts_of

GAPS = (0.001, 0.01, 0.05, 0.3)


@dataclass(frozen=True)
class Hard:
    """A spec with a thin wall, by a name that says between what and how."""

    name: str
    spec: Spec


def hard_parts(gaps: tuple[float, ...] = GAPS, every: int = 1) -> Iterator[Hard]:
    """The table of hard parts with these gaps in turn, mm; or one in `every` of it."""
    for number, (plan, gap) in enumerate(zip(plans(), itertools.cycle(gaps), strict=False)):
        if number % every == 0:
            spec = _closed(plan, gap)
            if spec is not None:
                yield Hard(f"{plan.name}, {gap:g}", spec)


def _closed(plan: Plan, gap: float) -> Spec | None:
    """The plan's spec where its wall is `gap` mm, or overlaps by about as much; None where it comes to neither."""
    value, aim = plan.start, 0.0005 if plan.over else gap
    for _ in range(40):
        wall = _wall(plan, value, gap)
        if wall is None or wall <= MET:
            return None
        if wall - aim < 2e-5:
            break
        value += plan.way * 0.98 * (wall - aim)
    else:
        return None
    step = gap + aim
    while plan.over and wall is not None and wall > MET and step < 4.0:
        value, step = value + plan.way * step, 2 * step
        wall = _wall(plan, value, gap)
    return plan.make(round(value, 5), gap) if not plan.over or (wall is not None and wall <= MET) else None


def _wall(plan: Plan, value: float, gap: float) -> float | None:
    row = Ledger(parts_of(plan.make(round(value, 5), gap))[-1]).row(plan.key)
    return None if row is None else row.value
