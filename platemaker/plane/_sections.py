"""Sections of a figure by straight lines: how much of each line lies inside it."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from platemaker.plane._arrays import Floats
from platemaker.plane._shapes import Point, Region
from platemaker.plane._table import EdgeTable, table_of

ASIDE = 1e-7
"""A line through an end of an edge, or along one, is looked at this far aside, mm."""
TRIES = 5
"""Steps aside at most: the next end may lie where the line would be looked at."""


def lengths_inside(region: Region, through: Sequence[Point], way: Point) -> tuple[float, ...]:
    """Length of each line through a point, along the unit vector `way`, that lies inside a region, mm.

    Where an edge runs along the line itself, it is that on its left, 1e-7 mm aside.

    >>> from platemaker.plane import Loop
    >>> lengths_inside(Region.of(Loop.rectangle(6.0, 4.0), [Loop.circle((0.0, 0.0), 1.0)]), [(0.0, 0.0)], (0.0, 1.0))
    (2.0,)
    """
    turn = complex(way[0], -way[1])
    table = table_of(region)
    table = EdgeTable(table.start * turn, table.end * turn, table.centre * turn, table.radius, table.sweep)
    height = np.array([complex(*point) * turn for point in through]).imag
    ends = np.concatenate([table.start.imag, table.end.imag])
    for _ in range(TRIES):
        height[np.abs(height[:, None] - ends).min(axis=1) < ASIDE / 2] += ASIDE
    return tuple(_measured(table, height[:, None]).tolist())


def _measured(table: EdgeTable, height: Floats) -> Floats:
    """What lies inside of level lines that run through no end of an edge: where it goes out less where it comes in."""
    lines, arcs = table.take(~table.arcs), table.take(table.arcs)
    start, way = lines.start, lines.end - lines.start
    up = np.where((start.imag < height) != (lines.end.imag < height), np.sign(way.imag), 0.0)
    inside: Floats = (up * (start.real + (height - start.imag) / np.where(up, way.imag, 1.0) * way.real)).sum(axis=1)
    square = arcs.radius**2 - (height - arcs.centre.imag) ** 2
    half = np.sqrt(np.maximum(square, 0.0))
    for side in (1.0, -1.0):
        x = arcs.centre.real + side * half
        up = side * np.sign(arcs.sweep) * ((square > 0.0) & arcs.covers(x + 1j * height))
        inside += (up * x).sum(axis=1)
    return inside
