"""A film as a grid of its values, and the gap between the faces as a sheet seen at a slant."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from platemaker.fields._seal._records import FilmCase, FilmMesh
from platemaker.records import Record

LEAN, FLAT = 0.45, 0.5
"""How a plan is leaned over to show its bow: share of Y that goes to the side, and of Y that is left."""
SEEN = 0.12
"""Height of the bow as drawn over the width of the plan."""
LINES = 26
"""About how many lines of the sheet run along its longer side."""


class Slant(Record):
    """Lines of the sheet, mm, how many times as high it is drawn as it is, and how much of a gap there is, mm."""

    lines: tuple[NDArray[np.float64], ...]
    magnified: int
    span: float


def film_grid(mesh: FilmMesh, values: Sequence[float]) -> NDArray[np.float64]:
    """Values of the film's cells as rows and columns, the first row at the least Y; NaN beside the land."""
    found = np.full(mesh.shape[0] * mesh.shape[1], np.nan)
    found[list(mesh.cells_of_land)] = values
    return found.reshape(mesh.shape)


def slanted(mesh: FilmMesh, case: FilmCase) -> Slant:
    """How far the faces are apart beyond where they come together most, magnified by a round number."""
    closed = film_grid(mesh, case.closure)
    rows, columns = mesh.shape
    x = mesh.start[0] + (np.arange(columns) + 0.5) * mesh.pitch
    y = mesh.start[1] + (np.arange(rows) + 0.5) * mesh.pitch
    span = float(np.nanmax(closed) - np.nanmin(closed))
    magnified = _round(SEEN * columns * mesh.pitch / span) if span > 0 else 1
    xs, ys = np.meshgrid(x, y)
    at = np.stack([xs + LEAN * ys, FLAT * ys + (np.nanmax(closed) - closed) * magnified], axis=2)
    every = max(1, round(max(rows, columns) / LINES))
    runs = [*at[::every], *np.swapaxes(at, 0, 1)[::every]]
    return Slant(tuple(piece for run in runs for piece in _whole(run)), magnified, span)


def _whole(run: NDArray[np.float64]) -> list[NDArray[Any]]:
    """The pieces of a line that lie on the land."""
    known = ~np.isnan(run[:, 1])
    ends = np.flatnonzero(np.diff(known.astype(int))) + 1
    pieces = zip(np.split(run, ends), np.split(known, ends), strict=True)
    return [piece for piece, on in pieces if on[0] and len(piece) > 1]


def _round(value: float) -> int:
    """The largest of 1, 2, 5 times a power of ten that is not above a value."""
    power = 10 ** math.floor(math.log10(max(value, 1.0)))
    return int(max(step * power for step in (1, 2, 5) if step * power <= max(value, 1.0)))
