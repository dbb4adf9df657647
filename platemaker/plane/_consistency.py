"""What must be true of any arrangement of closed loops: held to it, a contradiction is found before it is reported."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from platemaker.errors import GeometryError
from platemaker.plane._arrays import Complexes, Floats
from platemaker.plane._chain import SPECK
from platemaker.plane._pieces import Pieces
from platemaker.plane._shapes import Region
from platemaker.plane._table import EdgeTable, to_point

ROUNDING = 1e-14
"""Share of the largest coordinate by which rounding may move a point; some fifty times that of one step."""


def agree_round_vertices(pieces: Pieces, left: Floats, right: Floats) -> None:
    """Raise GeometryError where, on a way round a vertex, the winding number does not come back to what it was.

    From right to left of a stretch that leaves the vertex, and from left to right of one that arrives, any function of
    the number must change by nothing in all. The number itself always does; its square only if the numbers are right.
    """
    step = left**2 - right**2
    count = len(pieces.vertices)
    change = np.bincount(pieces.first, step, count) - np.bincount(pieces.last, step, count)
    wrong = np.nonzero(change)[0]
    if len(wrong):
        x, y = to_point(pieces.vertices[wrong[0]])
        message = f"winding numbers round ({x:.6f}, {y:.6f}) do not agree"
        raise GeometryError(message)


def add_up(
    table: EdgeTable, pieces: Pieces, steps: Floats, ways: Floats, found: Sequence[Region], touch: float
) -> None:
    """Raise GeometryError unless areas add up as they must, for rounding, `touch` and slivers that were left out.

    What winds once, twice and so on has together the area of all the loops given: for two figures, area(A or B) +
    area(A and B) = area(A) + area(B). And the regions found have the area that their stretches bound. `steps` are what
    the winding number gains from right to left of each stretch, `ways` 1 or -1 for the stretches that bound, else 0.
    """
    origin = table.start[0]
    stretches = under_stretches(table, pieces, origin)
    add_up_in_all(table, steps, stretches, origin, touch)
    sweep = table.sweep[pieces.along] * (pieces.stop - pieces.begin)
    straight = np.abs(pieces.vertices[pieces.last] - pieces.vertices[pieces.first])
    lengths = np.where(table.arcs[pieces.along], table.radius[pieces.along] * np.abs(sweep), straight)
    dropped = max(0.0, float(lengths[ways != 0].sum()) - sum(region.perimeter for region in found))
    met, wanted = sum(region.area for region in found), float((ways * stretches).sum())
    _agree(met, wanted, _slack(table, touch) + SPECK * dropped, origin)


def add_up_in_all(
    table: EdgeTable, steps: Floats, stretches: Floats, origin: complex | Complexes, touch: float
) -> None:
    """Raise GeometryError unless what winds once, twice and so on has together the area of all the loops given.

    `stretches` are as of `under_stretches`, seen from an `origin`, or from one for each edge.
    """
    under = _under(table.start - origin, table.end - origin, table.radius, table.sweep)
    _agree(float((steps * stretches).sum()), float(under.sum()), _slack(table, touch), complex(table.start[0]))


def under_stretches(table: EdgeTable, pieces: Pieces, origin: complex | Complexes) -> Floats:
    """What each stretch, travelled from its first to its last end, adds to the area of a loop, seen from `origin`."""
    sweep = table.sweep[pieces.along] * (pieces.stop - pieces.begin)
    first, last = pieces.vertices[pieces.first] - origin, pieces.vertices[pieces.last] - origin
    return _under(first, last, table.radius[pieces.along], sweep)


def _slack(table: EdgeTable, touch: float) -> float:
    """How far areas may differ by rounding and by ends that were made one."""
    whole = float(np.where(table.arcs, table.radius * np.abs(table.sweep), np.abs(table.end - table.start)).sum())
    return 8 * touch * whole + ROUNDING * whole**2


def _agree(met: float, wanted: float, slack: float, near: complex) -> None:
    if abs(met - wanted) > slack:
        message = f"areas near ({near.real:.6f}, {near.imag:.6f}) do not add up: {met:.9g} for {wanted:.9g} mm2"
        raise GeometryError(message)


def _under(start: Complexes, end: Complexes, radius: Floats, sweep: Floats) -> Floats:
    """What each piece adds to the area of a loop, by Green's theorem: the triangle to its ends, and its segment."""
    triangle: Floats = (start.conj() * end).imag / 2
    return triangle + radius**2 * (sweep - np.sin(sweep)) / 2
