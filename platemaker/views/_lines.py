"""Lines of a sheet as straight pieces in a grid, so that words keep off them."""

from __future__ import annotations

import itertools
import math
from collections import defaultdict
from collections.abc import Iterable, Iterator

from msgspec import Struct

from platemaker.plane import Arc, Box, Circle, Point
from platemaker.records import field
from platemaker.views._ink._model import Clip, EllipseCurve, Fill, Ink, Raster, Stroke, Text, on_paper

CELL, CHORD = 8.0, 1.5
"""Width of the grid's cells and greatest length of the pieces that stand for an arc, mm."""


class Lines(Struct):
    """Straight pieces of lines, mm."""

    _cells: dict[tuple[int, int], list[tuple[Point, Point]]] = field(default_factory=lambda: defaultdict(list))

    @classmethod
    def of(cls, ink: Iterable[Ink]) -> Lines:
        """Those of some ink, white figures and letters left out."""
        found = cls()
        for one in on_paper(ink):
            for a, b in _pieces(one):
                found.add(a, b)
        return found

    def add(self, a: Point, b: Point) -> None:
        """Take in one more piece."""
        first, last = _cell(a), _cell(b)
        if first == last:  # as most pieces do, which are short
            self._cells[first].append((a, b))
            return
        for cell in _around((min(a[0], b[0]), min(a[1], b[1]), max(a[0], b[0]), max(a[1], b[1]))):
            x, y = cell[0] * CELL, cell[1] * CELL
            if crosses(a, b, (x, y, x + CELL, y + CELL)):
                self._cells[cell].append((a, b))

    def meet(self, box: Box) -> bool:
        """Whether a piece enters a box or touches it."""
        return any(crosses(a, b, box) for cell in _around(box) for a, b in self._cells.get(cell, ()))


def crosses(a: Point, b: Point, box: Box) -> bool:
    """Whether a straight piece enters a box or touches it (Liang and Barsky 1984, from memory)."""
    first, last = 0.0, 1.0
    for way, low, high, start in ((b[0] - a[0], box[0], box[2], a[0]), (b[1] - a[1], box[1], box[3], a[1])):
        if abs(way) < 1e-12:
            if not low <= start <= high:
                return False
            continue
        enter, leave = (low - start) / way, (high - start) / way
        if enter > leave:
            enter, leave = leave, enter
        first, last = max(first, enter), min(last, leave)
    return first <= last


def _cell(point: Point) -> tuple[int, int]:
    return math.floor(point[0] / CELL), math.floor(point[1] / CELL)


def _around(box: Box) -> Iterator[tuple[int, int]]:
    x0, y0, x1, y1 = (math.floor(value / CELL) for value in box)
    return itertools.product(range(x0, x1 + 1), range(y0, y1 + 1))


def _pieces(ink: Stroke | Fill | Text | Clip | Raster) -> Iterator[tuple[Point, Point]]:
    if isinstance(ink, Clip):
        dx, dy = ink.shift
        for one in on_paper(ink.ink):
            yield from (((a[0] + dx, a[1] + dy), (b[0] + dx, b[1] + dy)) for a, b in _pieces(one))
    elif isinstance(ink, Fill):
        if ink.shade < 1.0:
            yield from itertools.pairwise((*ink.points, ink.points[0]))
    elif not isinstance(ink, Text | Raster):
        yield from _stroke(ink)


def _stroke(stroke: Stroke) -> Iterator[tuple[Point, Point]]:
    if isinstance(stroke.run, Circle):
        (x, y), r = stroke.run.centre, stroke.run.radius
        count = max(12, math.ceil(math.tau * r / CHORD))
        turns = (math.tau * n / count for n in range(count + 1))
        yield from itertools.pairwise((x + r * math.cos(turn), y + r * math.sin(turn)) for turn in turns)
        return
    for edge in stroke.run.run if isinstance(stroke.run, EllipseCurve) else stroke.run:
        count = max(4, math.ceil(edge.length / CHORD)) if isinstance(edge, Arc) else 1
        yield from itertools.pairwise(edge.point(n / count) for n in range(count + 1))
