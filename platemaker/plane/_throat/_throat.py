"""The throat of a chamber: the least area through which all the air must pass."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from typing import TYPE_CHECKING

import numpy as np

from platemaker.errors import GeometryError
from platemaker.plane._arrange import TOUCHES
from platemaker.plane._chain import Course, chained
from platemaker.plane._inside import Place, place_of
from platemaker.plane._shapes import Arc, Edge, Line
from platemaker.plane._table import EdgeTable, to_point
from platemaker.plane._throat._cells import Cell, cells_of, lengths, outline_of, under_chords
from platemaker.plane._throat._plan import Plan, State, plan_of
from platemaker.plane._throat._records import ChamberOpening, ChamberPiece, Throat, ThroatKind, ThroatPart
from platemaker.plane._winding import winding
from platemaker.records import Record, replace

if TYPE_CHECKING:
    from platemaker.plane._throat._polish import Piece, Polished
    from platemaker.plane._throat._solve import Solved

NOTHING = 1e-6
"""An area or a length below this, mm2 or mm, is none."""


def throat(
    pieces: Sequence[ChamberPiece], inflow: Sequence[ChamberOpening], outflow: Sequence[ChamberOpening]
) -> Throat:
    """The least area through which all air must pass from inflow to outflow openings of a chamber, and what bounds it.

    A cut takes a region S of the plan for the inflow side. Its area is the depth times the length of S's boundary
    inside the chamber, the area of inflow openings outside S, and that of outflow openings inside S; the throat is the
    least over all S. Islands are holes of the pieces; along walls the boundary costs nothing. What inflow and outflow
    openings share is cut by its own area, whatever S is. Openings count as far as they lie over the chamber. With no
    pieces the openings face each other, and what they share is all that passes.

    Why it is exact. Let A be the inflow and B the outflow openings, each without the other, h the depth. But for what
    they share and the area of A, a cut's area is h times the perimeter of S, less the area that S and A share, more
    that of S and B. It is submodular in S, so its least value is the largest flow that keeps to the depth everywhere
    and to the openings' areas (G. Strang, Maximal flow through a domain, Mathematical Programming 26, 1983, 123-143).
    Moving a boundary of curvature k outwards changes its area at the rate h k - 1 in A, h k + 1 in B, and h k
    elsewhere: so the boundary of the least S is straight outside the openings; inside them it is an arc of radius h,
    with A on its hollow side and B on its back (G. P. Leonardi, An overview on the Cheeger problem, 2015, section 4,
    for sets that minimize perimeter less area). It meets walls squarely, crosses edges of openings without a kink and
    steps of depth by the law of refraction, or runs along them. An arc that is least is no longer than half a turn, so
    its chord is at most 2 h. Such boundaries are closed walks on a network of finitely many kinds of ways, and the
    least S is the cheapest set of walks that puts each opening on its side; the walks of each class are found in the
    cover of the plan in which their turns about the openings are counted (E. W. Chambers, J. Erickson, A. Nayyeri,
    Minimum cuts and shortest homologous cycles, Symposium on Computational Geometry 2009, 377-385). The network is a
    sample; the walk found on it is then moved to where its area is least, with lines and arcs as closed formulas.

    What is not proved: a walk of another topology, longer on the sampled network and cheaper when made exact, could be
    missed. In trials twice as many samples found throats smaller by at most 0.3 %, and the same plan turned one smaller
    by 0.7 %; tests hold the result to an independent maximum flow. Any result is the area of a cut that exists, so it
    is never below the true throat by more than rounding.

    Raises GeometryError for a depth not above 0, no inflow or no outflow, pieces over one another with metal between,
    and openings in more parts than the search keeps apart.
    """
    _refuse(pieces, inflow, outflow)
    rooms = pieces or [ChamberPiece(opening.name, opening.region, 1.0) for opening in outflow]
    plan, cells = _plan_and_cells(rooms, inflow, outflow)
    answer = _Answer(plan, cells, tuple(rooms), tuple(inflow), tuple(outflow))
    if {cell.sign for cell in cells} == {-1, 1}:
        from platemaker.plane._throat._solve import solved  # noqa: PLC0415 - few chambers need the search

        return answer.cut(solved(plan, cells))
    return answer.straight()


def _plan_and_cells(
    pieces: Sequence[ChamberPiece], inflow: Sequence[ChamberOpening], outflow: Sequence[ChamberOpening]
) -> tuple[Plan, tuple[Cell, ...]]:
    """The plan and its cells. Edges may run so near one another that what touches where contradicts itself: then
    another measure of touching is tried.
    """
    for touch in TOUCHES[:-1]:
        try:
            plan = plan_of(pieces, inflow, outflow, touch)
            return plan, cells_of(plan)
        except GeometryError:
            continue
    plan = plan_of(pieces, inflow, outflow, TOUCHES[-1])
    return plan, cells_of(plan)


def _refuse(
    pieces: Sequence[ChamberPiece], inflow: Sequence[ChamberOpening], outflow: Sequence[ChamberOpening]
) -> None:
    for piece in pieces:
        if not (piece.depth > 0 and math.isfinite(piece.depth) and math.isfinite(piece.level)):
            message = f"piece '{piece.name}' of a chamber needs a depth above 0 mm, met {piece.depth:g}"
            raise GeometryError(message)
    for side, openings in (("inflow", inflow), ("outflow", outflow)):
        if not openings:
            message = f"a chamber's throat needs an {side} opening"
            raise GeometryError(message)


class _Answer(Record):
    """A plan, and what its figures are called: what a throat's parts are named from."""

    plan: Plan
    cells: tuple[Cell, ...]
    pieces: tuple[ChamberPiece, ...]
    inflow: tuple[ChamberOpening, ...]
    outflow: tuple[ChamberOpening, ...]

    def straight(self) -> Throat:
        """The throat where one side's openings lie all over the other's, or none over the chamber."""
        shared = self._area(lambda state: state.inflow and state.outflow)
        return self._throat(shared, [*self._shared()], [])

    def cut(self, found: Solved) -> Throat:
        """The throat that a least cut makes."""
        strands = [self._strand(strand) for walk in found.walks for strand in walk.strands]
        openings: list[ThroatPart] = []
        inside = iter(found.inside)
        lost = 0.0
        for cell in found.ground.cells:
            sides = [next(inside) for _ in range(cell.bases)]
            if not any(side is (cell.sign < 0) for side in sides):
                lost += cell.area
                openings.append(self._opening(cell))
        rest = found.area - lost - sum(part.area for part in strands)
        if abs(rest) > NOTHING:
            names = self._corners(found)
            openings.append(ThroatPart(ThroatKind.OPENING, rest, 0.0, names))
        shared = self._area(lambda state: state.inflow and state.outflow)
        return self._throat(found.area + shared, [*strands, *openings, *self._shared()], found.walks)

    def _throat(self, area: float, parts: Sequence[ThroatPart], walks: Sequence[Polished]) -> Throat:
        into, out = (self._area(lambda state: state.inflow), self._area(lambda state: state.outflow))
        closed = "" if area > NOTHING else self._why_closed(into, out)
        return Throat(area if area > NOTHING else 0.0, tuple(parts) if area > NOTHING else (), into, out, closed)

    def _area(self, counts: Callable[[State], bool]) -> float:
        """Area of the states that count, mm2."""
        held = np.array([state.depth > 0 and counts(state) for state in self.plan.states])
        side = held[self.plan.left].astype(float) - held[self.plan.right]
        rows = np.nonzero(side)[0]
        table = self.plan.table.take(rows)
        return float((side[rows] * under_chords(table, complex(table.start.mean()))).sum()) if len(rows) else 0.0

    def _shared(self) -> Iterator[ThroatPart]:
        """The part that inflow and outflow openings share."""
        held = np.array([state.inflow and state.outflow for state in self.plan.states])
        side = held[self.plan.left].astype(int) - held[self.plan.right]
        rows = np.nonzero(side)[0]
        area = self._area(lambda state: state.inflow and state.outflow)
        if area <= NOTHING:
            return
        whole = [
            opening
            for openings, counts in ((self.inflow, lambda s: s.inflow), (self.outflow, lambda s: s.outflow))
            if abs(self._area(counts) - area) <= NOTHING
            for opening in openings
        ]
        names = tuple(opening.name for opening in whole or (*self.inflow, *self.outflow))
        yield ThroatPart(ThroatKind.OPENING, area, 0.0, names, self._edges(self.plan.table.take(rows)))

    def _opening(self, cell: Cell) -> ThroatPart:
        """The whole of a cell, as a part of the throat."""
        names = self._names_of(cell)
        edges = self._edges(outline_of(self.plan, cell))
        return ThroatPart(ThroatKind.OPENING, cell.area, 0.0, names, edges)

    def _names_of(self, cell: Cell) -> tuple[str, ...]:
        """The openings that a cell is under."""
        openings = self.inflow if cell.sign < 0 else self.outflow
        first = len(self.pieces) + (0 if cell.sign < 0 else len(self.inflow))
        at = cell.places[:1]
        return tuple(o.name for k, o in enumerate(openings) if winding(self.plan.tables[first + k], at)[0] > 0)

    def _corners(self, found: Solved) -> tuple[str, ...]:
        """The openings whose corners a cut rounds off."""
        signs = {
            int(self.plan.signs[piece.state])
            for walk in found.walks for strand in walk.strands for piece in strand if piece.state >= 0
        }  # fmt: skip
        return tuple(dict.fromkeys(n for cell in self.cells if cell.sign in signs for n in self._names_of(cell)))

    def _strand(self, strand: Sequence[Piece]) -> ThroatPart:
        """A strand as a part of the throat."""
        plan = self.plan
        area = length = along = 0.0
        names: list[str] = []
        edges: list[Edge] = []
        for piece in strand:
            sizes = lengths(piece.curves)
            if piece.state < 0:
                height = plan.passes[list(piece.stretches)]
                along += float(sizes.sum())
            else:
                height = plan.depths[[piece.state]]
            area += float((height * sizes).sum())
            length += float(sizes.sum())
            names += [self._name(stretch) for stretch in piece.stretches]
            edges += self._edges(piece.curves)
        kind = ThroatKind.CURTAIN if along > length / 2 else ThroatKind.GAP
        return ThroatPart(kind, area, length, tuple(dict.fromkeys(name for name in names if name)), tuple(edges))

    def _name(self, stretch: int) -> str:
        """What a stretch belongs to: the feature of a wall, an opening, or a piece whose edge is a step."""
        figure = int(self.plan.figure[stretch])
        edge = self.plan.edges[self.plan.edge[stretch]]
        named = [piece.name for piece in self.pieces] + [opening.name for opening in (*self.inflow, *self.outflow)]
        return edge.tag or named[figure] if self.plan.walls[stretch] else named[figure]

    def _edges(self, table: EdgeTable) -> tuple[Edge, ...]:
        """Curves as lines and arcs."""
        made: list[Edge] = []
        for start, end, centre, radius, sweep in zip(
            table.start.tolist(), table.end.tolist(), table.centre.tolist(), table.radius.tolist(),
            table.sweep.tolist(), strict=True,
        ):  # fmt: skip
            if abs(end - start) <= NOTHING:
                continue
            if radius > 0:
                made.append(Arc(to_point(start), to_point(end), to_point(centre), radius, sweep > 0))
            else:
                made.append(Line(to_point(start), to_point(end)))
        return tuple(made)

    def _why_closed(self, into: float, out: float) -> str:
        """Why no air can pass."""
        ins, outs = (" and ".join(f"'{o.name}'" for o in openings) for openings in (self.inflow, self.outflow))
        for area, names in ((into, ins), (out, outs)):
            if area <= NOTHING:
                return f"air cannot pass from {ins} to {outs}: {names} does not lie over the chamber"
        walls = self._walls_between()
        by = f": closed by {', '.join(walls)}" if walls else ": no pocket joins them"
        return f"air cannot pass from {ins} to {outs}{by}"

    def _walls_between(self) -> tuple[str, ...]:
        """The features whose walls both the inflow's and the outflow's part of a divided chamber have."""
        plan = self.plan
        rows = np.nonzero(plan.walls)[0]
        course = Course(plan.vertices, plan.first[rows], plan.last[rows], rows, np.zeros(len(rows), dtype=bool))
        edges = [replace(plan.edges[plan.edge[row]], tag=self._name(row)) for row in range(len(plan.left))]
        sides: dict[int, set[str]] = {-1: set(), 1: set()}
        for region in chained(edges, plan.table, course):
            for cell in self.cells:
                if place_of(to_point(complex(cell.places[0])), region) is Place.INSIDE:
                    sides[cell.sign] |= {edge.tag for edge in region.edges}
        return tuple(sorted(sides[-1] & sides[1]))
