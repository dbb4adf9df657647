"""Many edges as columns of numbers."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import cached_property
from typing import Any, TypeAlias

import numpy as np

from platemaker.plane._arrays import Booleans, Complexes, Floats, Integers
from platemaker.plane._boxes import near_boxes
from platemaker.plane._shapes import Arc, Circle, Edge, Line, Loop, Point, Region
from platemaker.records import Record, kept_with

Shape: TypeAlias = Point | Edge | Circle | Loop | Region
"""What can be measured to: a point, a boundary piece, or the whole boundary of a figure."""

TOUCH = 1e-8
"""Curves nearer than this, mm, touch: far above the rounding of doubles at 1e4 mm (2e-12), far below 1e-6 mm."""

TINY = 1e-300
"""Keeps a division by nothing from being one; its result is not used."""


class EdgeTable(Record):
    """Edges as columns. A line has radius 0 and sweep 0; a point is a line of no length."""

    start: Complexes
    end: Complexes
    centre: Complexes
    radius: Floats
    sweep: Floats

    @classmethod
    def of(cls, edges: Sequence[Edge]) -> EdgeTable:
        """The table of `edges`, in their order."""
        rows = [
            (complex(*e.start), complex(*e.end), complex(*e.centre), e.radius if e.ccw else -e.radius)
            if isinstance(e, Arc)
            else (complex(*e.start), complex(*e.end), 0j, 0.0)
            for e in edges
        ]
        start, end, centre, signed = np.array(rows, dtype=complex).reshape(-1, 4).T
        radius = np.abs(signed)
        turn = np.angle((end - centre) * (start - centre).conj())
        whole = np.sign(signed.real) * math.tau
        sweep = np.where(turn * signed.real > 0, turn, turn + whole)
        return cls(start, end, centre, radius, np.where(radius > 0, sweep, 0.0))

    @classmethod
    def straight(cls, start: Complexes, end: Complexes) -> EdgeTable:
        """The table of the lines from each start to its end; where these are one, of points."""
        none = np.zeros(len(start))
        return cls(start, end, none.astype(complex), none, none)

    def __len__(self) -> int:
        return len(self.start)

    def take(self, rows: Any) -> EdgeTable:
        """The table of some rows: indices, a mask or a slice."""
        return EdgeTable(self.start[rows], self.end[rows], self.centre[rows], self.radius[rows], self.sweep[rows])

    @cached_property
    def arcs(self) -> Booleans:
        """Which rows are arcs."""
        return self.radius > 0

    @cached_property
    def _per_length(self) -> Complexes:
        """What a way from the start is multiplied by to find out, as the real part, its share of a straight edge."""
        way = self.end - self.start
        square = way.real**2 + way.imag**2
        return way.conj() / np.where(square > 0, square, 1.0)

    def point(self, share: Any) -> Complexes:
        """The point at `share` of each edge's length."""
        straight = self.start + share * (self.end - self.start)
        turned: Complexes = self.centre + (self.start - self.centre) * np.exp(1j * share * self.sweep)
        return np.where(self.arcs, turned, straight)

    def heading(self, share: Any) -> Complexes:
        """Unit direction of travel at `share` of the length; 0 for a line of no length."""
        way = self.end - self.start
        size = np.abs(way)
        straight = way / np.where(size > 0, size, 1.0)
        spoke = (self.start - self.centre) * np.exp(1j * share * self.sweep)
        return np.where(self.arcs, 1j * np.sign(self.sweep) * spoke / np.where(self.arcs, self.radius, 1.0), straight)

    def share_of(self, points: Complexes) -> Floats:
        """How far along each edge the point lies, as a share of the length; above 1 or below 0 off a line's ends.

        For an arc the share counts on from the start in the direction of travel, and is never below 0.
        """
        straight = ((points - self.start) * self._per_length).real
        turned = (points - self.centre) * (self.start - self.centre).conj()
        turn = np.arctan2(turned.imag, turned.real)
        turn = np.where(self.sweep < 0, -turn, turn) % math.tau
        return np.where(self.arcs, turn / np.where(self.arcs, np.abs(self.sweep), 1.0), straight)

    def covers(self, points: Complexes) -> Booleans:
        """Whether each arc spans the direction from its centre to the point, by the sides of its end spokes."""
        from_start, from_end, wide = self._spokes
        spokes = points - self.centre
        past_start, before_end = (spokes * from_start).imag >= 0.0, (spokes * from_end).imag <= 0.0
        return np.where(wide, past_start | before_end, past_start & before_end)

    @cached_property
    def _spokes(self) -> tuple[Complexes, Complexes, Booleans]:
        """Factors of a spoke whose imaginary part gives its side of the start's and end's; arcs over half a turn."""
        way = np.sign(self.sweep)
        wide = np.abs(self.sweep) > math.pi
        return way * (self.start - self.centre).conj(), way * (self.end - self.centre).conj(), wide

    def nearest(self, points: Complexes) -> Complexes:
        """The point of each edge nearest to its point of `points` (which may have leading axes)."""
        share = ((points - self.start) * self._per_length).real
        found = self.start + np.minimum(np.maximum(share, 0.0), 1.0) * (self.end - self.start)
        if not np.count_nonzero(self.arcs):
            return found
        spoke = points - self.centre
        size = np.abs(spoke)
        if np.count_nonzero(size) < size.size:  # every point of an arc is as near to its centre: the start is given
            spoke = np.where(size > 0, spoke, self.start - self.centre)
            size = np.abs(spoke)
        on_circle = self.centre + spoke * (self.radius / np.maximum(size, TINY))
        at_ends = np.where(np.abs(points - self.start) <= np.abs(points - self.end), self.start, self.end)
        return np.where(self.arcs, np.where(self.covers(points), on_circle, at_ends), found)

    @cached_property
    def boxes(self) -> tuple[Floats, Floats, Floats, Floats]:
        """(x_min, y_min, x_max, y_max) of each edge."""
        sides = [
            np.minimum(self.start.real, self.end.real),
            np.minimum(self.start.imag, self.end.imag),
            np.maximum(self.start.real, self.end.real),
            np.maximum(self.start.imag, self.end.imag),
        ]
        if np.count_nonzero(self.arcs):
            arcs = self.take(self.arcs)
            ways = np.array([-1, -1j, 1, 1j])[:, None]
            extreme = arcs.centre + ways * arcs.radius
            covered = arcs.covers(extreme)
            places = extreme[0].real, extreme[1].imag, extreme[2].real, extreme[3].imag
            for side, reached, place in zip(sides, covered, places, strict=True):
                side[self.arcs] = np.where(reached, place, side[self.arcs])
        return sides[0], sides[1], sides[2], sides[3]


def table_of(shape: Shape) -> EdgeTable:
    """The table of a shape's boundary; loops and regions, which are asked again and again, keep theirs."""
    if not isinstance(shape, Loop | Region):
        return EdgeTable.of(edges_of(shape))
    return kept_with(shape, "_table", lambda: EdgeTable.of(shape.edges))


def edges_of(shape: Shape) -> tuple[Edge, ...]:
    """The boundary pieces of any shape; a point is a line of no length."""
    if isinstance(shape, Line | Arc):
        return (shape,)
    if isinstance(shape, Circle):
        return Loop.circle(shape.centre, shape.radius).edges
    if isinstance(shape, Loop | Region):
        return shape.edges
    return (Line(shape, shape),)


def to_point(value: complex) -> Point:
    """A complex number as a point of plain floats."""
    return float(value.real), float(value.imag)


def box_pairs(a: EdgeTable, b: EdgeTable, reach: float) -> tuple[Integers, Integers]:
    """Rows of `a` and `b` whose boxes are within `reach` of one another on both axes."""
    return near_boxes(a.boxes, b.boxes, reach)
