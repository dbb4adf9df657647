"""The cells that openings make in a chamber's plan, and the form whose integral along a cut is the area that it wins.

A region S of the plan wins, of an inflow cell R, the area that R and S share. By Stokes that is the integral of a form
with differential dA along the boundary of S. So that walking along the boundary of R costs nothing, the area of R is
gathered in base points and the area of each hole given back in a point of it: with those point masses the form has no
circulation round any loop of R. Along each loop it is then the differential of a potential, which is subtracted.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from platemaker.plane._arrays import Complexes, Floats, Integers
from platemaker.plane._chain import Course, simple_loops
from platemaker.plane._inside import signed_depth
from platemaker.plane._table import EdgeTable
from platemaker.plane._throat._plan import Plan
from platemaker.plane._winding import turned, winding
from platemaker.records import Record, replace

SLIVER = 1e-6
"""A loop no wider than this, mm, is where curves were meant to meet."""


class Ring(Record):
    """A closed run of stretches with the cell on its left: their rows, 1 for those that run with it, else -1."""

    rows: Integers
    ways: Integers


class Cell(Record):
    """A connected part of the plan under inflow openings alone (sign -1) or outflow openings alone (sign 1).

    `masses` at `places` make the form's circulation round each ring 0; the first `bases` of them are base points.
    `potential` is the form's potential at the first vertex of each stretch on the cell's boundary, else NaN.
    """

    sign: int
    area: float
    rings: tuple[Ring, ...]
    places: Complexes
    masses: Floats
    bases: int
    potential: Floats

    def form(self, table: EdgeTable) -> Floats:
        """Integral of the form along each curve of the table, mm2."""
        swept = under_chords(table, complex(self.places[0]))
        return swept - turned(table, self.places[:, None]).T @ self.masses / (2 * np.pi)


def under_chords(table: EdgeTable, origin: complex) -> Floats:
    """Area that the way from `origin` to a point sweeps while the point runs along each curve, mm2."""
    a, b = table.start - origin, table.end - origin
    area: Floats = (a.conj() * b).imag / 2
    return area + table.radius**2 * (table.sweep - np.sin(table.sweep)) / 2


def cells_of(plan: Plan) -> tuple[Cell, ...]:
    """The cells of a plan, inflow first."""
    return tuple(_with_potential(plan, cell) for sign in (-1, 1) for cell in _cells(plan, sign))


def _cells(plan: Plan, sign: int) -> Iterator[Cell]:
    inside_left = plan.signs[plan.left] == sign
    rows = np.nonzero(inside_left != (plan.signs[plan.right] == sign))[0]
    if not len(rows):
        return
    with_it = inside_left[rows]
    start = np.where(with_it, plan.first[rows], plan.last[rows])
    end = np.where(with_it, plan.last[rows], plan.first[rows])
    course = Course(plan.vertices, start, end, rows, ~with_it)
    rings, areas = [], []
    for loop in simple_loops(plan.table, course):
        members = np.array(loop)
        ring = Ring(rows[members], np.where(with_it[members], 1, -1))
        table = plan.table.take(ring.rows)
        area = float((ring.ways * under_chords(table, complex(table.start[0]))).sum())
        if abs(area) > SLIVER * float(lengths(table).sum()) / 2:
            rings.append(ring)
            areas.append(area)
    outers = sorted((k for k in range(len(rings)) if areas[k] > 0), key=lambda k: areas[k])
    holes: dict[int, list[int]] = {k: [] for k in outers}
    for k in range(len(rings)):
        if areas[k] < 0:
            at = plan.table.take(rings[k].rows[:1]).point(0.5)
            owner = next((o for o in outers if winding(_running(plan, [rings[o]]), at)[0] > 0), None)
            if owner is None and outers:
                owner = outers[-1]
            if owner is not None:
                holes[owner].append(k)
    for outer, inner in holes.items():
        own = [rings[outer], *(rings[k] for k in inner)]
        area = areas[outer] + sum(areas[k] for k in inner)
        table = plan.table.take(np.concatenate([ring.rows for ring in own]))
        places = [inner_point(_running(plan, own))]
        masses = [area]
        for k in inner:
            places.append(inner_point(_running(plan, [rings[k]])))
            masses.append(-areas[k])
        yield Cell(sign, area, tuple(own), np.array(places), np.array(masses), 1, np.zeros(0))


def lengths(table: EdgeTable) -> Floats:
    """Length of each curve, mm."""
    sizes: Floats = np.where(table.arcs, table.radius * np.abs(table.sweep), np.abs(table.end - table.start))
    return sizes


def _running(plan: Plan, rings: Sequence[Ring]) -> EdgeTable:
    """The stretches of some rings, each run with its ring."""
    rows = np.concatenate([ring.rows for ring in rings])
    back = np.concatenate([ring.ways for ring in rings]) < 0
    table = plan.table.take(rows)
    return EdgeTable(
        np.where(back, table.end, table.start), np.where(back, table.start, table.end), table.centre, table.radius,
        np.where(back, -table.sweep, table.sweep),
    )  # fmt: skip


def inner_point(table: EdgeTable, count: int = 9) -> complex:
    """A point well inside closed loops, on no line of symmetry."""
    depths, points = depths_inside(table, count)
    if depths.max() <= 0:  # a thin loop slips through the grid: beside the middles of its pieces there is room
        middle, across = table.point(0.5), 1j * table.heading(0.5) * lengths(table)
        points = np.concatenate([middle + share * across for k in range(2, 20) for share in (0.5**k, -(0.5**k))])
        depths = signed_depth(table, points)
    return complex(points[int(depths.argmax())])


def depths_inside(table: EdgeTable, count: int) -> tuple[Floats, Complexes]:
    """Points of a skew grid over the box of closed loops, and how deep they lie inside."""
    x0, y0, x1, y1 = (side.min() if k < 2 else side.max() for k, side in enumerate(table.boxes))
    u, v = np.divmod(np.arange(count * count), count)
    x = x0 + (x1 - x0) * (u + 0.5 + 0.0731 * np.sin(v + 1.0)) / count
    y = y0 + (y1 - y0) * (v + 0.5 + 0.0613 * np.cos(2.0 * u)) / count
    points = x + 1j * y
    return signed_depth(table, points), points


def _with_potential(plan: Plan, cell: Cell) -> Cell:
    """The cell with its potential, for the masses that it has."""
    potential = np.full(len(plan.left), np.nan)
    step = np.zeros(len(plan.left))
    rows = np.concatenate([ring.rows for ring in cell.rings])
    step[rows] = cell.form(plan.table.take(rows))
    known: dict[int, float] = {}
    left = list(cell.rings)
    while left:  # rings that touch in a vertex have one potential there
        vertices = [_begins(plan, ring).tolist() for ring in left]
        k = next((k for k, own in enumerate(vertices) if any(vertex in known for vertex in own)), 0)
        ring = left.pop(k)
        along = ring.ways * step[ring.rows]
        before = np.concatenate([[0.0], np.cumsum(along)[:-1]])
        shared = next((n for n, vertex in enumerate(vertices[k]) if vertex in known), None)
        if shared is not None:
            before += known[vertices[k][shared]] - before[shared]
        known.update(zip(vertices[k], before.tolist(), strict=True))
        potential[ring.rows] = np.where(ring.ways > 0, before, before + along)
    return replace(cell, potential=potential)


def _begins(plan: Plan, ring: Ring) -> Integers:
    """The vertex at which each stretch of a ring begins, as the ring runs."""
    found: Integers = np.where(ring.ways > 0, plan.first[ring.rows], plan.last[ring.rows])
    return found


def outline_of(plan: Plan, cell: Cell) -> EdgeTable:
    """The boundary of a cell, run with the cell on the left."""
    return _running(plan, cell.rings)


def with_base(plan: Plan, cell: Cell, place: complex) -> Cell:
    """The cell with one more base point, its area shared out equally among them."""
    bases = cell.bases + 1
    places = np.concatenate([cell.places[: cell.bases], [place], cell.places[cell.bases :]])
    masses = np.concatenate([np.full(bases, cell.area / bases), cell.masses[cell.bases :]])
    return _with_potential(plan, replace(cell, places=places, masses=masses, bases=bases))
