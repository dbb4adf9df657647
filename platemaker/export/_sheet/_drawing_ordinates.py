"""Ordinate dimensions: where the outline ends, from the part's zero, as in its tables and files (ISO 129-1:2018,
running dimensions from a common origin; clause from memory), and the hole that an inspector measures from.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from platemaker.export._sheet._drawing_words import Numbers
from platemaker.parts import Part
from platemaker.plane import Point
from platemaker.records import Record
from platemaker.views import CAPITAL, LEAST, TRUE, Align, Ink, Pen, Text, View, path

SIZE = LEAST
"""Size of the letters of dimensions, mm."""
PITCH = 4.0
"""Least distance between two numbers on a rail, mm."""
NEAR, KNEE, FAR = 12.0, 14.5, 18.5
"""From the outline outwards: where a witness line turns aside, where it has, and where its number begins, mm."""
RAIL = 36.0
"""Room that a rail takes beside the plan, mm."""
_SAME = 5e-7


class DatumHole(Record):
    """The hole that an inspector measures from; `name` is empty where the part has none and a corner serves."""

    name: str
    at: Point


def datum_of(part: Part) -> DatumHole:
    """The square hole at the part's zero if there is one, else the lowest of the first kind of holes, or a corner."""
    square = [hole for hole in part.holes if hole.square]
    for hole in square:
        if max(abs(hole.at[0]), abs(hole.at[1])) < _SAME:
            return DatumHole(hole.name, hole.centre)
    upright = [hole for hole in part.holes if not hole.level]
    if square or upright:
        first = (square or upright)[0]
        alike = [hole for hole in square or upright if hole.steps == first.steps and hole.direction == first.direction]
        lowest = min(alike, key=lambda hole: (round(hole.at[0] + hole.at[1], 6), hole.at[0]))
        return DatumHole(lowest.name, lowest.centre)
    x0, y0, _, _ = part.stock.plan.bounds
    return DatumHole("", (x0, y0))


def ordinates(part: Part, axis: int) -> list[float]:
    """Both ends of the outline along X (axis 0) or Y (axis 1), and the zero if it lies between them, rising.

    The table of places alone has the holes, the words for outline and cutouts alone have the middles of figures: no
    coordinate stands on a drawing twice.
    """
    low, high = part.stock.plan.bounds[axis], part.stock.plan.bounds[axis + 2]
    return [low, 0.0, high] if low < -_SAME and high > _SAME else [low, high]


def spread(wanted: Sequence[float], pitch: float) -> list[float]:
    """Places at least `pitch` apart, in order, whose squared distances from those wanted are least.

    >>> spread([0.0, 1.0, 10.0], 4.0)
    [-1.5, 2.5, 10.0]
    """
    # Isotonic regression: without the pitch the places need only not fall; neighbours that would are pooled.
    pools: list[tuple[float, int]] = []
    for number, value in enumerate(wanted):
        mean, count = value - number * pitch, 1
        while pools and pools[-1][0] > mean:
            before, more = pools.pop()
            mean, count = (before * more + mean * count) / (more + count), more + count
        pools.append((mean, count))
    flat = [mean for mean, count in pools for _ in range(count)]
    return [value + number * pitch for number, value in enumerate(flat)]


def rail_ink(part: Part, axis: int, view: View, edge: float, numbers: Numbers) -> Iterator[Ink]:
    """The rail of one axis: below the plan for X, left of it for Y; `edge` is the plan's edge on the sheet."""
    places = ordinates(part, axis)
    wanted = [view.at((one, one))[axis] for one in places]
    for one, true, at in zip(places, wanted, spread(wanted, PITCH), strict=True):
        origin = abs(one) < _SAME
        run = [(true, edge - 1.2), (true, edge - NEAR), (at, edge - KNEE), (at, edge - FAR + 0.8)]
        yield path([_flip(point, axis) for point in run], Pen.FINE)
        if origin:
            # A circle marks the common origin.
            yield TRUE.circle(_flip((at, edge - KNEE - 1.6), axis), 0.9, Pen.NARROW)
        base = at + SIZE * CAPITAL / 2 if axis == 0 else at - SIZE * CAPITAL / 2
        text = "0" if origin else numbers.general(one)
        yield Text(text, _flip((base, edge - FAR), axis), SIZE, Align.END, turned=axis == 0)


def _flip(point: Point, axis: int) -> Point:
    return point if axis == 0 else (point[1], point[0])
