"""Parts that are the same piece of metal under several names."""

from __future__ import annotations

from collections.abc import Iterable

from platemaker.parts import Hole, Part, PlateStock, Profile
from platemaker.plane import Arc, Region
from platemaker.records import Record, replace
from platemaker.resolved import resolved

DIGITS = 6
"""Decimals of a length, mm, to which two parts must agree: those to which a spec's coordinates are rounded."""


class Merged(Record):
    """Parts that are alike, and how many pieces they are in all."""

    parts: tuple[Part, ...]

    @property
    def first(self) -> Part:
        """The one that stands for all."""
        return self.parts[0]

    @property
    def quantity(self) -> int:
        """How many to make."""
        return sum(part.quantity for part in self.parts)

    @property
    def names(self) -> str:
        """Their names."""
        return ", ".join(part.name for part in self.parts)


def merged(parts: Iterable[Part]) -> tuple[Merged, ...]:
    """Parts with those that are alike as one, in the order of the first of each."""
    groups: dict[object, list[Part]] = {}
    for part in parts:
        groups.setdefault(_shape(part), []).append(part)
    return tuple(Merged(tuple(group)) for group in groups.values())


def _shape(part: Part) -> object:
    """All that the shop makes of a part, without what it is called and where it belongs."""
    stock = part.stock
    blank = (_region(stock.region), stock.thickness) if isinstance(stock, PlateStock) else stock
    figures = resolved(part).flat.profiles
    marks = frozenset(replace(mark, name="") for mark in part.marks)
    return (
        part.kind, part.made, part.material, blank, frozenset(map(_hole, part.holes)), frozenset(map(_figure, figures)),
        part.planed.face if part.planed else None, marks,
        part.edge_break, part.note, part.finish, part.treatment, part.fit, part.body,
    )  # fmt: skip


def _hole(hole: Hole) -> object:
    return _near(*hole.at, *hole.direction), hole.steps, hole.through, hole.tip_angle, hole.tapping


def _figure(cut: Profile) -> object:
    mouth = cut.mouth_radius, cut.mouth_chamfer, cut.mouth_angle, cut.mouth
    return cut.kind, cut.side, cut.depth, cut.through, mouth, cut.cutter, tuple(map(_region, cut.regions))


def _region(region: Region) -> object:
    return frozenset(
        (*_near(*edge.start, *edge.end), (*_near(*edge.centre), edge.ccw) if isinstance(edge, Arc) else ())
        for edge in region.edges
    )


def _near(*values: float) -> tuple[float, ...]:
    return tuple(round(value, DIGITS) + 0.0 for value in values)
