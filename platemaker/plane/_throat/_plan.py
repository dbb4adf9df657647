"""A chamber's plan as an arrangement: stretches of walls, edges of openings and steps, and what lies on either side."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property
from itertools import pairwise

import numpy as np
from msgspec import Struct

from platemaker.errors import GeometryError
from platemaker.plane._arrange import on_their_circles
from platemaker.plane._arrays import FEW, Booleans, Complexes, Floats, Integers
from platemaker.plane._pieces import Pieces, cut
from platemaker.plane._shapes import Edge
from platemaker.plane._table import EdgeTable
from platemaker.plane._throat._records import ChamberOpening, ChamberPiece
from platemaker.plane._winding import turned, winding
from platemaker.records import Record
from platemaker.remembered import remembered

SEAM = 1e-6
"""Heights nearer than this, mm, are one height."""


MOST_FIGURES = 60
"""Pieces and openings of a chamber, each of which is a bit of a whole number."""


class State(Struct, frozen=True):
    """What lies at a place of the plan: the chamber from `low` to `high`, mm, under or over openings, or solid."""

    low: float
    high: float
    inflow: bool = False
    outflow: bool = False

    @property
    def depth(self) -> float:
        """Height of the chamber here, mm; 0 in solid."""
        return self.high - self.low

    @property
    def sign(self) -> int:
        """-1 under inflow openings alone, 1 under outflow openings alone, else 0."""
        return int(self.outflow) - int(self.inflow)


SOLID = State(0.0, 0.0)


class Plan(Record):
    """Stretches of the plan, each a line or an arc from vertex `first` to vertex `last`; walls have the chamber left.

    `left` and `right` are rows of `states`, whose first is solid. `passes` is the height through which the two sides
    of a stretch meet, mm. `edge` is the row of `edges` that a stretch is part of, `figure` the figure of that edge:
    first the pieces, then the inflow, then the outflow openings. `memberships` are the sets of figures that cover
    places next to stretches, a figure a bit, and the state of each.
    """

    vertices: Complexes
    first: Integers
    last: Integers
    table: EdgeTable
    left: Integers
    right: Integers
    states: tuple[State, ...]
    edge: Integers
    edges: tuple[Edge, ...]
    figure: Integers
    tables: tuple[EdgeTable, ...]
    pieces: int
    inflows: int
    memberships: tuple[Integers, Integers]

    @cached_property
    def walls(self) -> Booleans:
        """Which stretches are walls."""
        found: Booleans = self.right == 0
        return found

    @cached_property
    def depths(self) -> Floats:
        """Depth of each state, mm."""
        return np.array([state.depth for state in self.states])

    @cached_property
    def signs(self) -> Integers:
        """Sign of each state."""
        return np.array([state.sign for state in self.states], dtype=np.intp)

    @cached_property
    def passes(self) -> Floats:
        """Height through which the chamber passes from one side of each stretch to the other, mm."""
        low = np.array([state.low for state in self.states])
        high = np.array([state.high for state in self.states])
        common = np.minimum(high[self.left], high[self.right]) - np.maximum(low[self.left], low[self.right])
        found: Floats = np.maximum(common, 0.0)  # solid, from 0 to 0, has no height in common with anything
        return found

    def states_at(self, points: Complexes) -> Integers:
        """Row of the state at each point off all stretches; solid where no such state borders a stretch."""
        code = _codes_at(self.tables, self.pieces == 1, points)
        known, state = self.memberships
        place = np.minimum(np.searchsorted(known, code), len(known) - 1)
        return np.where(known[place] == code, state[place], 0)


@remembered(32)  # a cell with one base point more, or a shallower chamber, asks for the same places again
def _codes_at(tables: tuple[EdgeTable, ...], alone: bool, points: Complexes) -> Integers:
    """Which figures cover each point, a figure a bit; of a single piece every point, for no way leaves it."""
    code = np.zeros(len(points), dtype=np.int64)
    for k, table in enumerate(tables):
        inside = np.ones(len(points), dtype=np.int64) if k == 0 and alone else winding(table, points) > 0
        code += (1 << k) * inside
    code.setflags(write=False)
    return code


def plan_of(
    pieces: Sequence[ChamberPiece], inflow: Sequence[ChamberOpening], outflow: Sequence[ChamberOpening], touch: float
) -> Plan:
    """The plan of a chamber, whose edges touch within `touch`, mm.

    Raises GeometryError where two pieces lie over one another with metal between, and for too many figures.
    """
    if len(pieces) + len(inflow) + len(outflow) > MOST_FIGURES:
        message = f"a chamber has at most {MOST_FIGURES} pieces and openings together"
        raise GeometryError(message)
    regions = [piece.region for piece in pieces] + [opening.region for opening in (*inflow, *outflow)]
    figures = [on_their_circles(region.edges)[0] for region in regions]
    edges = tuple(edge for figure in figures for edge in figure)
    owner = np.repeat(np.arange(len(figures)), [len(figure) for figure in figures])
    table = EdgeTable.of(edges)
    cuts = cut(table, touch)
    codes = np.concatenate(_sides(table, owner, cuts)) @ (1 << np.arange(len(figures), dtype=np.int64))
    known, place = np.unique(codes, return_inverse=True)
    rows = (known[:, None] >> np.arange(len(figures))) & 1 > 0
    states, of_row = _states(rows.tolist(), pieces, len(inflow))
    left, right = of_row[place[: len(cuts.first)]], of_row[place[len(cuts.first) :]]
    kept = left != right
    tables = tuple(table.take(owner == k) for k in range(len(figures)))
    first, last, stretch, edge = _stretches(table, cuts, kept, left == 0, (left == 0) | (right == 0))
    left, right = left[kept], right[kept]
    left, right = np.where(left == 0, right, left), np.where(left == 0, 0, right)
    return Plan(
        cuts.vertices, first, last, stretch, left, right, states, edge, edges, owner[edge], tables, len(pieces),
        len(inflow), (known, of_row),
    )  # fmt: skip


def _sides(table: EdgeTable, owner: Integers, cuts: Pieces) -> tuple[Booleans, Booleans]:
    """Which figures cover the left and the right side of each stretch, by their winding numbers there."""
    count = int(owner[-1]) + 1
    starts = np.searchsorted(owner, np.arange(count))
    middle = cuts.point(table, 0.5)
    left = np.empty((len(middle), count))
    step = max(1, FEW // max(1, len(table)))
    for low in range(0, len(left), step):
        angles = turned(table, middle[low : low + step, None])
        own = (cuts.of >= low) & (cuts.of < low + step)
        angles[cuts.of[own] - low, cuts.edge[own]] = cuts.sign[own] * np.pi + table.sweep[cuts.edge[own]] / 2
        left[low : low + step] = np.add.reduceat(angles, starts, axis=1)
    left = np.rint(left / (2 * np.pi))
    right = left.copy()
    np.subtract.at(right, (cuts.of, owner[cuts.edge]), cuts.sign)
    return left > 0, right > 0


def _states(
    rows: Sequence[Sequence[bool]], pieces: Sequence[ChamberPiece], inflows: int
) -> tuple[tuple[State, ...], Integers]:
    """The states that memberships of figures stand for, solid first, and the state of each row."""
    known = {SOLID: 0}
    found = []
    for row in rows:
        here = sorted((pieces[k] for k in range(len(pieces)) if row[k]), key=lambda piece: piece.level)
        if not here:
            found.append(0)
            continue
        low, high = here[0].level, here[0].level + here[0].depth
        for before, piece in pairwise(here):
            if piece.level > high + SEAM:
                message = f"pieces '{before.name}' and '{piece.name}' of a chamber lie over one another, metal between"
                raise GeometryError(message)
            high = max(high, piece.level + piece.depth)
        openings = row[len(pieces) :]
        state = State(round(low, 6), round(high, 6), any(openings[:inflows]), any(openings[inflows:]))
        found.append(known.setdefault(state, len(known)))
    return tuple(known), np.array(found, dtype=np.intp)


def _stretches(
    table: EdgeTable, cuts: Pieces, kept: Booleans, flip: Booleans, walls: Booleans
) -> tuple[Integers, Integers, EdgeTable, Integers]:
    """The kept stretches as curves of their own, those to be flipped run backwards.

    Of edges that coincide a wall is part of the first, which is a piece's, any other of the last, an opening's.
    """
    piece = np.where(walls, np.unique(cuts.of, return_index=True)[1], np.zeros(len(walls), dtype=np.intp))
    last_piece = len(cuts.of) - 1 - np.unique(cuts.of[::-1], return_index=True)[1]
    piece = np.where(walls, piece, last_piece)
    edge, sign = cuts.edge[piece][kept], cuts.sign[piece][kept] * np.where(flip[kept], -1, 1)
    first = np.where(flip, cuts.last, cuts.first)[kept]
    last = np.where(flip, cuts.first, cuts.last)[kept]
    start, end = cuts.vertices[first], cuts.vertices[last]
    whole = table.take(edge)
    spoke, to = start - whole.centre, end - whole.centre
    turn = np.angle(to * spoke.conj()) * sign * np.sign(whole.sweep)
    sweep = np.where(turn > 0, turn, turn + 2 * np.pi) * sign * np.sign(whole.sweep)
    return first, last, EdgeTable(start, end, whole.centre, whole.radius, np.where(whole.arcs, sweep, 0.0)), edge
