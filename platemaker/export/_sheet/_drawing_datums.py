"""Datums of a part and the tolerance frames that name them (ISO 5459:2011 and ISO 1101:2017, or ASME Y14.5-2018 where
the project is in inches; customs from memory).

The first datum is the face that the part lies on, the second the hole that the ordinates start from, the third the hole
that gives their direction; edges of the outline stand in where there are no such holes.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence

from platemaker.export._sheet._drawing_ordinates import DatumHole, datum_of
from platemaker.export._sheet._drawing_words import Numbers
from platemaker.parts import Hole, Part, Side
from platemaker.plane import Line
from platemaker.records import Record
from platemaker.resolved import resolved
from platemaker.units import LengthUnit
from platemaker.views import DIAMETER, PERPENDICULAR, POSITION, hole_tags, kind_of

LETTERS = "DEFGHJKLMNPRSTUVW"
"""Letters for datums: A, B and C are those of sections; I, O, Q and X are left out by ISO 5459 (from memory)."""
_SAME = 1e-6


class DatumFeature(Record):
    """A datum feature: its letter, what it is in words, and the hole or the edge that carries it, if not the face."""

    letter: str
    words: str
    hole: str = ""
    edge: Line | None = None


class Datums(Record):
    """Up to three datum features, the face first; none for bent strips, round bars, gaskets and shims."""

    features: tuple[DatumFeature, ...] = ()
    side: Side = Side.BELOW

    @property
    def letters(self) -> tuple[str, ...]:
        """Their letters, the face's first."""
        return tuple(one.letter for one in self.features)

    def letter_of(self, hole: str) -> str:
        """The letter of a hole by its name; empty where it is no datum."""
        return next((one.letter for one in self.features if hole and one.hole == hole), "")


def datums_of(part: Part) -> Datums:
    """The datums of a part, lettered so that no kind of hole and no section has the same letter."""
    if part.plate is None or part.is_gasket_or_shim:
        return Datums()
    flat, tags = resolved(part).flat, hole_tags(part)
    kinds = {kind_of(tag) for tag in tags.values()}
    free = [letter for letter in (*LETTERS, *(2 * one for one in LETTERS)) if letter not in kinds]
    side = _face(part)
    where = "the face that is drilled" if not part.made else "the underside, on which the part lies"
    found = [(where, "", None), *_places(flat, datum_of(flat), tags)]
    return Datums(tuple(DatumFeature(letter, *one) for letter, one in zip(free, found, strict=False)), side)


def _face(part: Part) -> Side:
    """The underside; of a casting, which is only drilled, the face that its holes go in at."""
    down = sum(hole.direction[2] < 0 for hole in part.holes)
    return Side.ABOVE if not part.made and 2 * down >= len(part.holes) else Side.BELOW


def _places(part: Part, datum: DatumHole, tags: Mapping[str, str]) -> Iterator[tuple[str, str, Line | None]]:
    """What fixes a part in its plan: in words, by hole or edge."""
    edges = _edges(part)
    if not datum.name:
        yield from ((words, "", edge) for words, edge in edges)
        return
    yield f"the axis of hole {tags[datum.name]}", datum.name, None
    other = _direction(part, next(hole for hole in part.holes if hole.name == datum.name))
    if other is not None:
        yield f"the axis of hole {tags[other.name]}, for the direction", other.name, None
    elif edges:
        yield f"{edges[0][0]}, for the direction", "", edges[0][1]


def _direction(part: Part, first: Hole) -> Hole | None:
    """The hole farthest from the first one that does not run level: of its joint, else of its kind, else any."""
    upright = [hole for hole in part.holes if not hole.level]
    others = [hole for hole in upright if math.dist(hole.centre, first.centre) > 1.0]
    joint = [hole for hole in others if first.joint is not None and hole.joint == first.joint]
    kind = [hole for hole in others if hole.steps == first.steps and hole.direction == first.direction]
    rows = joint or kind or others
    return max(rows, key=lambda one: (round(math.dist(one.centre, first.centre), 6), one.centre), default=None)


def _edges(part: Part) -> list[tuple[str, Line]]:
    """The straight left and lower sides of the outline, the longer first."""
    x0, y0, _, _ = part.stock.plan.bounds
    found = []
    for words, axis, level in (("the left edge", 0, x0), ("the lower edge", 1, y0)):
        lines = [edge for edge in part.stock.plan.outer.edges if isinstance(edge, Line)]
        own = [edge for edge in lines if all(abs(end[axis] - level) < _SAME for end in (edge.start, edge.end))]
        if own:
            found.append((words, max(own, key=lambda edge: (round(edge.length, 6), edge.bounds))))
    return sorted(found, key=lambda one: -round(one[1].length, 6))


def frame_cells(hole: Hole, zone: float, datums: Datums, numbers: Numbers) -> tuple[str, ...]:
    """The cells of a hole's tolerance frame: sign, round zone, datums.

    The datum hole itself is held perpendicular to the face; the one that gives the direction has its place from the two
    datums before it.
    """
    letters, own = datums.letters, datums.letter_of(hole.name)
    before = letters[: letters.index(own)] if own else letters
    sign = PERPENDICULAR if own and len(before) == 1 and hole.square else POSITION
    return sign, f"{DIAMETER}{numbers.size(zone)}", *before


def frames_of(
    holes: Sequence[Hole], tags: Mapping[str, str], zones: Mapping[str, float], datums: Datums, numbers: Numbers
) -> Iterator[tuple[tuple[str, ...], str]]:
    """Tolerance frames of holes of one kind: each once, with the tags of its holes where it is not all's."""
    found: dict[tuple[str, ...], list[str]] = {}
    for hole in holes:
        if hole.name in zones:
            found.setdefault(frame_cells(hole, zones[hole.name], datums, numbers), []).append(tags[hole.name])
    for cells, named in found.items():
        yield cells, "" if len(named) == len(holes) else ", ".join(named)


def datum_words(datums: Datums) -> Iterator[str]:
    """The datums as a note."""
    if datums.features:
        yield f"Datums: {'; '.join(f'{one.letter} {one.words}' for one in datums.features)}."


def frame_words(datums: Datums, unit: str) -> str:
    """What the frames say, as a note."""
    if not datums.features:
        return f"{POSITION} each axis within a cylinder of this diameter round its place among the holes so marked."
    source = "ASME Y14.5" if unit == LengthUnit.INCH else "ISO 1101 and ISO 5459"
    return (
        f"{POSITION} each axis within a cylinder of this diameter round its place from the datums in its frame; these "
        f"places are basic (theoretically exact). Frames and datums by {source}."
    )
