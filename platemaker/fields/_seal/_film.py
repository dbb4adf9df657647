"""The film between two faces as square cells of a grid: which lie on the land, inside it and outside."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from platemaker.fields._edges import point_on
from platemaker.fields._seal._leak import Map, Mask
from platemaker.records import Record

Points = NDArray[np.float64]

FINE = 4
"""Places a side of a cell at which it is asked whether it lies in a figure."""
ARC = 24
"""Chords that an arc is taken as where a cell is asked for."""
MARGIN = 2
"""Rows of cells round all that is on the grid: what lies outside."""


class Film(Record):
    """Cells of `pitch`, mm, from the corner `start`, in rows along X; `land` is the share of a cell that lies on it.

    `inside` are the cells of what is open, `outside` those that a leak escapes by, `pressed` the share of a cell that
    the pressure acts on. `points` are the middles of what of each cell of the land lies on it, mm.
    """

    start: tuple[float, float]
    pitch: float
    land: Map
    inside: Mask
    outside: Mask
    pressed: Map
    points: Points

    @cached_property
    def cells(self) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
        """Rows and columns of the cells that lie on the land."""
        rows, columns = np.nonzero(self.land > 0)
        return rows, columns

    @property
    def area(self) -> Points:
        """Area of land in each of these cells, mm2."""
        area: Points = self.land[self.cells] * self.pitch**2
        return area

    def middles(self, rows: Any, columns: Any) -> Points:
        """Middles of cells, mm."""
        return np.column_stack(
            [
                self.start[0] + (np.asarray(columns) + 0.5) * self.pitch,
                self.start[1] + (np.asarray(rows) + 0.5) * self.pitch,
            ]
        )

    def spread(self, values: Points, empty: float = 0.0) -> Map:
        """Values at the cells of the land as a map of all cells."""
        found = np.full(self.land.shape, empty)
        found[self.cells] = values
        return found


def film_of(case: dict[str, Any], pitch: float) -> Film:
    """The film of a case with cells of `pitch`, mm."""
    figures = [*case["outline"], *case["opened"]]
    corners = np.concatenate([polygon(loop) for figure in figures for loop in figure])
    low, high = corners.min(axis=0) - MARGIN * pitch, corners.max(axis=0) + MARGIN * pitch
    columns, rows = (int(np.ceil(span / pitch)) for span in high - low)
    start = (float(low[0]), float(low[1]))
    grid = start, pitch, (rows, columns)
    opened = shares(case["opened"], *grid)
    on_land = np.logical_and.reduce(
        [_places(face["in"], *grid) & ~_places([*face["out"], *case["opened"]], *grid) for face in case["faces"]]
    )
    land = _averaged(on_land)
    outline, exits = shares(case["outline"], *grid), shares(case["exits"], *grid)
    inside = (opened > 0.5) & (land < 0.5)
    outside = ((outline < 0.5) | (exits > 0.5)) & ~inside
    return Film(start, pitch, land, inside, outside, shares(case["pressed"], *grid), _middles(on_land, start, pitch))


def _middles(on_land: Mask, start: tuple[float, float], pitch: float) -> Points:
    """The middle of what of each cell lies on the land, mm: no place beside the metal is asked for."""
    rows, columns = (count // FINE for count in on_land.shape)
    cells = on_land.reshape(rows, FINE, columns, FINE)
    across, up = cells.sum(axis=1), cells.sum(axis=3)  # places of each cell by column and by row
    offset = (np.arange(FINE) + 0.5) / FINE
    whole = np.maximum(cells.sum(axis=(1, 3)), 1)
    x = start[0] + pitch * (np.arange(columns)[None, :] + across @ offset / whole)
    y = start[1] + pitch * (np.arange(rows)[:, None] + np.einsum("rfc,f->rc", up, offset) / whole)
    kept = cells.any(axis=(1, 3))
    middles: Points = np.column_stack([x[kept], y[kept]])
    return middles


def shares(figures: Sequence[Any], start: tuple[float, float], pitch: float, shape: tuple[int, int]) -> Map:
    """The share of every cell that lies in one of the figures, by places inside it."""
    return _averaged(_places(figures, start, pitch, shape))


def _averaged(inside: Mask) -> Map:
    rows, columns = (count // FINE for count in inside.shape)
    share: Map = inside.reshape(rows, FINE, columns, FINE).mean(axis=(1, 3))
    return share


def _places(figures: Sequence[Any], start: tuple[float, float], pitch: float, shape: tuple[int, int]) -> Mask:
    rows, columns = shape
    step = pitch / FINE
    x = start[0] + (np.arange(columns * FINE) + 0.5) * step
    y = start[1] + (np.arange(rows * FINE) + 0.5) * step
    inside = np.zeros((rows * FINE, columns * FINE), dtype=bool)
    for figure in figures:
        own = np.zeros_like(inside)
        for loop in figure:
            own ^= _filled(polygon(loop), np.asarray(x), np.asarray(y))
        inside |= own
    return inside


def within(figures: Sequence[Any], points: Points) -> Mask:
    """Which points lie in one of the figures."""
    found = np.zeros(len(points), dtype=bool)
    for figure in figures:
        own = np.zeros(len(points), dtype=bool)
        for loop in figure:
            corners = polygon(loop)
            for a, b in zip(corners, np.roll(corners, -1, axis=0), strict=True):
                spans = (a[1] > points[:, 1]) != (b[1] > points[:, 1])
                if spans.any():
                    at = a[0] + (points[:, 1] - a[1]) * (b[0] - a[0]) / (b[1] - a[1] if b[1] != a[1] else 1.0)
                    own ^= spans & (points[:, 0] < at)
        found |= own
    return found


def polygon(loop: Sequence[Sequence[float]]) -> Points:
    """Corners of a loop, its arcs as chords."""
    corners = []
    for edge in loop:
        count = ARC if len(edge) > 4 else 1
        corners += [point_on(edge, place / count) for place in range(count)]
    return np.array(corners)


def _filled(corners: Points, x: NDArray[Any], y: NDArray[Any]) -> Mask:
    """Which places of a grid lie inside a polygon: row by row, between its crossings."""
    found = np.zeros((len(y), len(x)), dtype=bool)
    ends = np.roll(corners, -1, axis=0)
    for row, height in enumerate(y):
        spans = (corners[:, 1] > height) != (ends[:, 1] > height)
        if not spans.any():
            continue
        a, b = corners[spans], ends[spans]
        crossings = np.sort(a[:, 0] + (height - a[:, 1]) * (b[:, 0] - a[:, 0]) / (b[:, 1] - a[:, 1]))
        found[row] = np.searchsorted(crossings, x) % 2 == 1
    return found
