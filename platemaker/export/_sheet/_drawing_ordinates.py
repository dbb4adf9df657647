"""Ordinate dimensions: every place along an edge of the plan, measured from the part's zero, as in its tables and
files (ISO 129-1:2018, running dimensions from a common origin; clause from memory).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from platemaker.export._sheet._drawing_words import Numbers
from platemaker.parts import BendLine, Hole, Part
from platemaker.plane import Point
from platemaker.views import CAPITAL, LEAST, TRUE, Align, Ink, Pen, Text, View, mark_size, path

SIZE = LEAST
"""Size of the letters of dimensions, mm."""
PITCH = 4.0
"""Least distance between two numbers on a rail, mm."""
NEAR, KNEE, FAR = 12.0, 14.5, 18.5
"""From the outline outwards: where a witness line turns aside, where it has, and where its number begins, mm."""
RAIL = 36.0
"""Room that a rail takes beside the plan, mm."""
_SAME = 5e-7


@dataclass(frozen=True)
class DatumHole:
    """The hole that an inspector measures from; `name` is empty where the part has none and a corner serves."""

    name: str
    at: Point


@dataclass(frozen=True)
class Ordinate:
    """A place along one axis, mm in the part's frame, and how far into the plan its witness line begins.

    `listed` where it is that of holes alone, which the table of places states too; `zone` is the diameter of the round
    zone of a hole's position, mm, 0 where general tolerances hold.
    """

    value: float
    start: float
    listed: bool = False
    zone: float = 0.0

    def text(self, numbers: Numbers) -> str:
        """The number as it stands on the rail, with the decimals that its tolerance supports."""
        return numbers.within(self.value, self.zone) if self.zone else numbers.general(self.value)


def datum_of(part: Part) -> DatumHole:
    """The square hole at the part's zero if there is one, else the lowest of the first kind of holes, or a corner."""
    square = [hole for hole in part.holes if hole.square]
    for hole in square:
        if max(abs(hole.at[0]), abs(hole.at[1])) < _SAME:
            return DatumHole(hole.name, hole.centre)
    upright = [hole for hole in part.holes if abs(hole.direction[2]) > 1e-9]
    if square or upright:
        first = (square or upright)[0]
        alike = [hole for hole in square or upright if hole.steps == first.steps and hole.direction == first.direction]
        lowest = min(alike, key=lambda hole: (round(hole.at[0] + hole.at[1], 6), hole.at[0]))
        return DatumHole(lowest.name, lowest.centre)
    x0, y0, _, _ = part.stock.plan.bounds
    return DatumHole("", (x0, y0))


def ordinates(
    part: Part, axis: int, bends: Sequence[BendLine] = (), zones: Mapping[str, float] | None = None
) -> list[Ordinate]:
    """Places along X (axis 0) or Y (axis 1): the zero, holes, plain figures, bends, the outline, one each, rising.

    `zones` are the diameters of the zones of holes' positions, mm, by hole.
    """
    box = part.stock.plan.bounds
    found = list(_holes(part, axis, zones or {}))
    if box[0] <= 0.0 <= box[2] and box[1] <= 0.0 <= box[3]:
        found.append(Ordinate(0.0, 0.0))
    found += [Ordinate(*place) for place in _edges(part, axis)]
    found += [Ordinate(bend.x, part.stock.plan.bounds[1]) for bend in bends if axis == 0]
    merged: list[Ordinate] = []
    for one in sorted(found, key=lambda it: (it.value, it.start)):
        if merged and abs(one.value - merged[-1].value) < _SAME:
            merged[-1] = _both(merged[-1], one)
        else:
            merged.append(one)
    return merged


def _both(a: Ordinate, b: Ordinate) -> Ordinate:
    """Two places that are one, by the closer tolerance."""
    zone = min((zone for zone in (a.zone, b.zone) if zone), default=0.0)
    return Ordinate(a.value, min(a.start, b.start), a.listed and b.listed, zone)


def distinct(places: Sequence[Ordinate], numbers: Numbers) -> list[Ordinate]:
    """Places of which no two neighbours have the same number on the sheet."""
    found: list[Ordinate] = []
    for one in places:
        if found and float(one.text(numbers)) == float(found[-1].text(numbers)):
            # The zero and what lies within its last decimal are the zero.
            same = _both(found[-1], one)
            found[-1] = replace(same, value=0.0) if _at_zero(one) else same
        else:
            found.append(one)
    return found


def _holes(part: Part, axis: int, zones: Mapping[str, float]) -> Iterator[Ordinate]:
    for hole in part.holes:
        if abs(hole.direction[2]) > 1e-9:
            yield Ordinate(hole.at[axis], hole.at[1 - axis] - _below(hole), listed=True, zone=zones.get(hole.name, 0.0))


def _edges(part: Part, axis: int) -> Iterator[tuple[float, float]]:
    """Both ends of the outline, and of plain figures; a round one's middle."""
    other = 1 - axis
    box = part.stock.plan.bounds
    yield from ((box[axis], box[other]), (box[axis + 2], box[other]))
    for profile in part.profiles:
        for region in profile.regions:
            whole = region.outer.as_circle()
            if whole is not None:
                yield whole.centre[axis], whole.centre[other] - whole.radius
            elif len(region.outer.edges) <= 12:
                bounds = region.bounds
                middle = (bounds[other] + bounds[other + 2]) / 2
                yield from ((bounds[axis], middle), (bounds[axis + 2], middle))


def _below(hole: Hole) -> float:
    return mark_size(hole) if hole.square else 0.0


def thinned(places: Sequence[Ordinate], room: float) -> list[Ordinate]:
    """All places where `room`, mm on the sheet, holds their numbers; else those no table states; else the outline's.

    The zero's is always among them, unless there is room for one alone.
    """
    ends = [place for number, place in enumerate(places) if number in (0, len(places) - 1) or _at_zero(place)]
    for kept in (list(places), [place for place in places if not place.listed or _at_zero(place)], ends):
        if len(kept) * PITCH <= room:
            return kept
    return ends[:1]


def _at_zero(place: Ordinate) -> bool:
    return abs(place.value) < _SAME


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


def rail_ink(places: Sequence[Ordinate], axis: int, view: View, edge: float, numbers: Numbers) -> Iterator[Ink]:
    """The rail of one axis: below the plan for X, left of it for Y; `edge` is the plan's edge on the sheet."""
    wanted = [view.at((one.value, one.value))[axis] for one in places]
    for one, true, at in zip(places, wanted, spread(wanted, PITCH), strict=True):
        start = view.at((one.start, one.start))[1 - axis] - 1.2
        run = [(true, start), (true, edge - NEAR), (at, edge - KNEE), (at, edge - FAR + 0.8)]
        yield path([_flip(point, axis) for point in run], Pen.FINE)
        origin = _at_zero(one)
        if origin:
            # A circle marks the common origin.
            yield TRUE.circle(_flip((at, edge - KNEE - 1.6), axis), 0.9, Pen.NARROW)
        text = "0" if origin else one.text(numbers)
        base = at + SIZE * CAPITAL / 2 if axis == 0 else at - SIZE * CAPITAL / 2
        yield Text(text, _flip((base, edge - FAR), axis), SIZE, Align.END, turned=axis == 0)


def _flip(point: Point, axis: int) -> Point:
    return point if axis == 0 else (point[1], point[0])
