"""Holes and faces that should lie on each other, in closed form: the sizes that bring them there, up to three at once.

Where a hole stands is linear in every length: one check each shows how far a key moves it, and the distances that are
left are a system of linear equations. An angle takes a few steps of the same.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import combinations

import numpy as np

from platemaker.records import Record, replace
from platemaker.report import Item
from platemaker.study._cures._steps import SteppedNumber, nearest, rounded, steps_of
from platemaker.study._cures._trial import Bench, Change, Paths, Seen, Target
from platemaker.study._cures._ways import candidates

MISFITS = ("PM711", "PM712", "PM713", "PM307")
"""Checks whose two points should be one: a bracket's hole on its bolt, a hole over a hole."""
STEPS = ("PM977",)
"""Checks of a height by which two faces are off each other: a bracket on shared bolts, which a shim brings back."""
LEANING, ARM = "PM713", 100.0
"""Angle between a bracket's face and the face it is bolted to, which must close too; mm of face that it is seen on."""
CLOSED = 0.05
"""Distance up to which points count as one, mm: a tenth of a shop's step. The project's own choice."""
MOST_TOGETHER = 3
"""Keys of one cure: a point has three coordinates."""
MOST_SETS = 4
"""Sets of keys of one number of keys that are tried."""
ROUNDS = 3
"""Checks of one set: lengths are right at the first."""


class _Mover(Record):
    """A key, and how far one of its units moves one point against the other, mm along each axis."""

    paths: Paths
    steps: SteppedNumber
    moves: np.ndarray


def closing_changes(bench: Bench, target: Target, budget: float) -> Iterator[tuple[Change, ...]]:
    """Changes of one key, of two or of three that bring the item's points together, least keys and least change first.

    Nothing for items of another kind. Ends when the bench has spent `budget` whole checks.
    """
    worst = target.item.worst
    off = _off(target.base, target.item)
    if worst.check not in (*MISFITS, *STEPS) or off is None:
        return
    pulls = list(_pulls(bench, target, off, budget))
    closed: list[frozenset[Paths]] = []
    for count in range(1, MOST_TOGETHER + 1):
        sets = [(one, found) for one in combinations(pulls, count) if (found := _solved(one, off)) is not None]
        sets.sort(key=lambda one: _order(one[0], one[1], worst.part))
        for keys, by in sets[:MOST_SETS]:
            names = frozenset(key.paths for key in keys)
            if bench.spent > budget or any(one <= names for one in closed):
                continue
            if changes := _settled(target, keys, by):
                closed.append(names)
                yield changes


def _pulls(bench: Bench, target: Target, off: np.ndarray, budget: float) -> Iterator[_Mover]:
    for paths in candidates(bench, target.item):
        steps = steps_of(bench.spec, paths[0])
        if not isinstance(steps, SteppedNumber) or steps.whole:
            continue
        if bench.spent >= budget:
            return
        for way in (1, -1):
            step = rounded(float(steps.now) + way * float(steps.grids[0]) / 2, steps.grids[0], way)
            seen = target.at((paths, steps.value(step))) if steps.allowed(step) else None
            after = _off(seen, target.item)
            if after is not None:
                moves = (after - off) / float(step - steps.now)
                if np.abs(moves).max() > CLOSED:
                    yield _Mover(paths, steps, moves)
                break


def _off(seen: Seen | None, item: Item) -> np.ndarray | None:
    """How far the item's points are off each other, and how far a bracket's face leans, as an arm of `ARM` shows it."""
    found = seen.known.by_id.get(item.worst.id) if seen else None
    if found is not None and found.check in STEPS and found.measured is not None:
        return np.array([found.measured])
    if seen is None or found is None or len(found.points) != 2:
        return None
    lean = seen.known.by_id.get(replace(found, check=LEANING).id)
    angle = lean.measured if lean else None
    return np.append(np.subtract(found.points[1], found.points[0]), ARM * math.radians(angle or 0.0))


def _solved(keys: tuple[_Mover, ...], off: np.ndarray) -> np.ndarray | None:
    """By how much each key must change so that nothing is left of `off`; None where they cannot, or fewer do.

    A tenth may be left by an angle, whose pull changes with it.
    """
    matrix = np.column_stack([key.moves for key in keys])
    if np.linalg.matrix_rank(matrix, tol=CLOSED) < len(keys):
        return None
    by = np.linalg.lstsq(matrix, -off, rcond=None)[0]
    left = np.linalg.norm(matrix @ by + off)
    least = min(np.linalg.norm(key.moves) * abs(one) for key, one in zip(keys, by, strict=True))
    curved = any(key.steps.kind == "deg" for key in keys)
    return by if left <= max(CLOSED, np.linalg.norm(off) / 10 if curved else 0.0) and least > CLOSED else None


def _order(keys: tuple[_Mover, ...], by: np.ndarray, owner: str) -> tuple[float, ...]:
    """Least first: keys of other parts, things that are changed, change; of two alike the one that is in the legs."""
    paths = [key.paths[0] for key in keys]
    things = {path[:4] if path[0] == "parts" else path[:2] for path in paths}
    legs = sum("legs" in path for path in paths)
    return sum(path[1] != owner for path in paths), len(things), round(_cost(keys, by), 6), -legs


def _cost(keys: tuple[_Mover, ...], by: np.ndarray) -> float:
    return sum(key.steps.cost(nearest(key.steps, one, 0.0)) for key, one in zip(keys, by, strict=True))


def _settled(target: Target, keys: tuple[_Mover, ...], by: np.ndarray) -> tuple[Change, ...] | None:
    """The changes, in a shop's steps, that settle the item; None where they do not, or a value cannot be."""
    matrix = np.column_stack([key.moves for key in keys])
    for _ in range(ROUNDS):
        slack = [CLOSED / float(np.linalg.norm(key.moves)) for key in keys]
        numbers = [nearest(key.steps, one, room) for key, one, room in zip(keys, by, slack, strict=True)]
        if not all(key.steps.allowed(number) for key, number in zip(keys, numbers, strict=True)):
            return None
        changes = tuple((key.paths, key.steps.value(number)) for key, number in zip(keys, numbers, strict=True))
        seen: Seen | None = target.at(*changes)
        if seen is not None and seen.worst is None:
            return changes
        left = _off(seen, target.item)
        if left is None:
            return None
        by = by + np.linalg.lstsq(matrix, -left, rcond=None)[0]
    return None
