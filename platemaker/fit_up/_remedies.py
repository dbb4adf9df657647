"""Ways out of a joint that does not bolt up: ream, slot, transfer-punch, each tried as a question of its own."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator

import numpy as np

from platemaker.fit_up._records import Chance, DrawnSlot, FastenerKind, FitUp, PatternSide
from platemaker.records import replace
from platemaker.units import Words, said

PUNCHED_ZONE = 0.4
"""Position zone, mm, of holes spotted through the other part with a transfer punch; common practice, no source."""
MORE = 1.0
"""Travel of the slots, and growth of the few holes, that are tried, mm."""


def remedies(question: FitUp, found: Chance) -> Iterator[tuple[Words, FitUp]]:
    """What could be done instead of larger holes everywhere, in words, and the question that it leaves."""
    bolts = {one.name: one for one in question.fasteners if one.kind is FastenerKind.BOLT and one.slot is None}
    worst = [name for name, _ in found.binding if name in bolts][:2]
    changes: list[tuple[Words, Callable[[FitUp], FitUp | None]]] = list(exact_remedies())
    if worst:
        names, sizes = " and ".join(worst), tuple(sorted({bolts[name].hole + MORE for name in worst}))
        changes += [
            (said("ream", names=names, holes=(sizes, "mm")), lambda asked: _reamed_out(asked, worst)),
            (said("slot", names=names, by=(MORE, "mm")), lambda asked: _slotted(asked, worst)),
        ]
    for text, change in changes:
        changed = change(question)
        if changed is not None:
            yield text, changed


def exact_remedies() -> list[tuple[Words, Callable[[FitUp], FitUp | None]]]:
    """Those that take away error instead of giving room: the formulas of the worst case can weigh them."""
    return [
        (said("punch", zone=(PUNCHED_ZONE, "mm")), _punched),
        ("drill and ream the dowel holes through both parts together at assembly", _reamed),
    ]


def _reamed_out(question: FitUp, names: list[str]) -> FitUp:
    """The named bolts' own clearance holes larger; a floating bolt's other hole stays."""
    fasteners = (replace(one, hole=one.hole + MORE) if one.name in names else one for one in question.fasteners)
    return replace(question, fasteners=tuple(fasteners))


def _slotted(question: FitUp, names: list[str]) -> FitUp | None:
    middle = question.upper.pattern.array.mean(axis=0)
    fasteners, changed = list(question.fasteners), False
    for i, fastener in enumerate(fasteners):
        arm = question.upper.pattern.array[i] - middle
        if fastener.name in names and np.hypot(*arm):
            angle = math.degrees(math.atan2(arm[1], arm[0]))
            fasteners[i], changed = replace(fastener, slot=DrawnSlot(MORE, angle)), True
    return replace(question, fasteners=tuple(fasteners)) if changed else None


def _punched(question: FitUp) -> FitUp | None:
    if any(fastener.kind is FastenerKind.DOWEL for fastener in question.fasteners):
        return None
    exact = replace(question.lower.pattern, covariance=None)
    return replace(question, lower=PatternSide(exact), upper=PatternSide(exact, PUNCHED_ZONE, question.upper.scatter))


def _reamed(question: FitUp) -> FitUp | None:
    """Dowels fitted in place locate nothing before: the parts are pushed about for the bolts, then pinned."""
    bolts = [i for i, fastener in enumerate(question.fasteners) if fastener.kind is FastenerKind.BOLT]
    if len(bolts) in (0, len(question.fasteners)):
        return None
    lower, upper = _only(question.lower, bolts), _only(question.upper, bolts)
    return replace(question, lower=lower, upper=upper, fasteners=tuple(question.fasteners[i] for i in bolts))


def _only(side: PatternSide, rows: list[int]) -> PatternSide:
    pattern, columns = side.pattern, np.array([[2 * i, 2 * i + 1] for i in rows]).ravel()
    covariance = None if pattern.covariance is None else pattern.covariance[np.ix_(columns, columns)]
    kept = replace(
        pattern,
        names=tuple(pattern.names[i] for i in rows),
        places=tuple(pattern.places[i] for i in rows),
        covariance=covariance,
    )
    return replace(side, pattern=kept, zone=tuple(float(side.zones[i]) for i in rows))
