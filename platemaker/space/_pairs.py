"""Many figures: every pair that comes near, without measuring every pair."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence

from platemaker.errors import GeometryError
from platemaker.records import Record
from platemaker.space._bounds import bounding_box
from platemaker.space._figures import HalfSpace
from platemaker.space._flare import AnyFigure
from platemaker.space._separation import Separation, is_empty, separation
from platemaker.space._vectors import Box3

LEAF = 4


class Pair(Record):
    """Two figures by their places in the list, the first less than the second, and their separation."""

    first: int
    second: int
    separation: Separation


def closest_pairs(
    figures: Sequence[AnyFigure], limit: float, wanted: Callable[[int, int], bool] | None = None
) -> list[Pair]:
    """Every pair of figures not farther apart than `limit`, mm, nearest first.

    Boxes about the figures are held in a tree that is split at the middle of its longest side, and only pairs whose
    boxes come within the limit are measured: for figures that are spread out, n log n. Half-spaces are measured
    against everything but each other. Pairs that are not `wanted` are
    not measured. Raises GeometryError when the limit is not a number of 0 or more.
    """
    if not limit >= 0.0:
        message = f"a limit of distance must be 0 mm or more, met {limit:g}"
        raise GeometryError(message)
    found = []
    for first, second in near_pairs(figures, limit, wanted):
        between = separation(figures[first], figures[second])
        if between.distance <= limit:
            found.append(Pair(first, second, between))
    return sorted(found, key=lambda pair: (pair.separation.distance, pair.first, pair.second))


def near_pairs(
    figures: Sequence[AnyFigure], limit: float, wanted: Callable[[int, int], bool] | None = None
) -> Iterator[tuple[int, int]]:
    """Pairs of figures, each once, whose boxes come within `limit`, mm, and half-spaces with every other figure."""
    finite = [i for i, one in enumerate(figures) if not isinstance(one, HalfSpace) and not is_empty(one)]
    faces = [i for i, one in enumerate(figures) if isinstance(one, HalfSpace)]
    boxes = {i: bounding_box(figures[i]) for i in finite}
    for one, other in [*_near(boxes, finite, limit), *((i, j) for i in faces for j in finite)]:
        first, second = min(one, other), max(one, other)
        if wanted is None or wanted(first, second):
            yield first, second


class _Node:
    """A part of the tree: its box, and two halves or a few figures."""

    def __init__(self, boxes: dict[int, Box3], keys: list[int]) -> None:
        held = [boxes[key] for key in keys]
        self.low = tuple(min(b[i] for b in held) for i in range(3))
        self.high = tuple(max(b[i + 3] for b in held) for i in range(3))
        self.keys = keys
        self.halves: tuple[_Node, ...] = ()
        if len(keys) > LEAF:
            side = max(range(3), key=lambda i: self.high[i] - self.low[i])
            ordered = sorted(keys, key=lambda key: (boxes[key][side] + boxes[key][side + 3], key))
            middle = len(keys) // 2
            self.halves = (_Node(boxes, ordered[:middle]), _Node(boxes, ordered[middle:]))

    def within(self, other: _Node, limit: float) -> bool:
        """Whether the two boxes come within the limit."""
        return _gap(self.low + self.high, other.low + other.high) <= limit


def _gap(a: Sequence[float], b: Sequence[float]) -> float:
    x, y, z = (max(0.0, a[i] - b[i + 3], b[i] - a[i + 3]) for i in range(3))
    return math.sqrt(x * x + y * y + z * z)


def _near(boxes: dict[int, Box3], keys: list[int], limit: float) -> Iterator[tuple[int, int]]:
    """Pairs whose boxes come within the limit, each once."""
    if not keys:
        return
    root = _Node(boxes, keys)
    waiting = [(root, root)]
    while waiting:
        one, other = waiting.pop()
        if one is other:
            if one.halves:
                first, second = one.halves
                waiting += [(first, first), (second, second), (first, second)]
                continue
            pairs = [(p, q) for i, p in enumerate(one.keys) for q in one.keys[i + 1 :]]
        elif not one.within(other, limit):
            continue
        elif one.halves or other.halves:
            split, whole = (one, other) if len(one.keys) >= len(other.keys) else (other, one)
            waiting += [(half, whole) for half in split.halves]
            continue
        else:
            pairs = [(p, q) for p in one.keys for q in other.keys]
        yield from ((p, q) for p, q in pairs if _gap(boxes[p], boxes[q]) <= limit)
