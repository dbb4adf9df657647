"""Shapes that a drawing may give a pattern of holes, laid roughly on a surveyed one; as a spec's patterns name them."""

from __future__ import annotations

import math
from collections.abc import Iterator
from enum import StrEnum

import numpy as np

from platemaker.records import Record
from platemaker.survey._arrays import Array


class NominalKind(StrEnum):
    """Shapes that are tried."""

    RECTANGLE = "rectangle"
    GRID = "full grid"
    CIRCLE = "bolt circle"
    EVEN_ROW = "even row"
    ROW = "row"


class Shape(Record, eq=False):
    """Holes as a sum of sizes times `bases` (sizes, n, 2), about the origin that a spec's pattern has.

    `order` takes the surveyed holes in the order in which a spec numbers them. `start`: rough sizes, mm. `rows`: holes
    along the sides [X, Y] of a rectangle or grid, corners included.
    """

    kind: NominalKind
    bases: Array
    order: list[int]
    start: Array
    rows: tuple[int, int] = (0, 0)


def shapes(places: Array) -> Iterator[Shape]:
    """Every shape that `places` (n, 2) could be, each laid on in the one way that may fit."""
    if len(places) >= 2:
        yield from _rows(places)
    if len(places) >= 3:
        yield _circle(places)
    if len(places) >= 4:
        yield from _rectangles(places)


def _rows(places: Array) -> Iterator[Shape]:
    """Holes on a line from the first, along X rather than against it: evenly spaced, or as they come."""
    n, arms = len(places), places - places.mean(axis=0)
    axis = np.linalg.eigh(arms.T @ arms)[1][:, 1]
    along = arms @ (axis if (axis[0], axis[1]) > (1e-9, 0.0) or (abs(axis[0]) <= 1e-9 and axis[1] > 0) else -axis)
    order = [int(i) for i in np.argsort(along, kind="stable")]
    steps = np.asarray(along[order][1:] - along[order[0]], dtype=float)
    even = np.column_stack([np.arange(n, dtype=float), np.zeros(n)])
    yield Shape(NominalKind.EVEN_ROW, even[None], order, steps[-1:] / (n - 1))
    if n > 2:
        single = np.zeros((n - 1, n, 2))
        single[np.arange(n - 1), np.arange(1, n), 0] = 1.0
        yield Shape(NominalKind.ROW, single, order, steps)


def _circle(places: Array) -> Shape:
    """Evenly on a circle, counter-clockwise from the hole nearest to the X direction."""
    n, arms = len(places), places - places.mean(axis=0)
    angles = np.arctan2(arms[:, 1], arms[:, 0])
    order = np.argsort(angles, kind="stable")
    order = np.roll(order, -int(np.argmin(np.abs(angles[order]))))
    turns = np.arange(n) * math.tau / n
    base = np.column_stack([np.cos(turns), np.sin(turns)]) / 2
    diameter = 2.0 * float(np.hypot(arms[:, 0], arms[:, 1]).mean())
    return Shape(NominalKind.CIRCLE, base[None], [int(i) for i in order], np.array([diameter]))


def _rectangles(places: Array) -> Iterator[Shape]:
    """Holes along the sides of a rectangle, or over all of it, in every count that gives as many."""
    n, (turned, size) = len(places), _boxed(places)
    if size.min() < 1e-6 * size.max():
        return
    counts = [(nx, n // 2 + 2 - nx) for nx in range(2, n // 2 + 1) if n % 2 == 0]
    full = [(nx, n // nx) for nx in range(3, n // 3 + 1) if n % nx == 0]
    for kind, rows in [*((NominalKind.RECTANGLE, r) for r in counts), *((NominalKind.GRID, r) for r in full)]:
        unit = _sides(*rows) if kind is NominalKind.RECTANGLE else _filled(*rows)
        apart = np.linalg.norm((unit * size)[:, None] - turned[None], axis=2)
        order = [int(i) for i in apart.argmin(axis=1)]
        if len(set(order)) == n:
            bases = np.stack([unit * np.array([1.0, 0.0]), unit * np.array([0.0, 1.0])])
            yield Shape(kind, bases, order, size, rows)


def _boxed(places: Array) -> tuple[Array, Array]:
    """The holes in the frame of the smallest box around them, turned by 45 degrees at most, and its sides.

    One side of the box runs along an arm from the first hole: a rectangle's hole has another on its own side.
    """
    best: tuple[float, Array, Array] | None = None
    for arm in places[1:] - places[0]:
        angle = (math.atan2(arm[1], arm[0]) + math.pi / 4) % (math.pi / 2) - math.pi / 4
        cos, sin = math.cos(angle), math.sin(angle)
        turned = places @ np.array([[cos, -sin], [sin, cos]])
        low, high = turned.min(axis=0), turned.max(axis=0)
        area = float(np.prod(high - low))
        if best is None or area < best[0]:
            best = area, turned - (low + high) / 2, high - low
    return best[1:] if best else (places, np.zeros(2))


def _sides(nx: int, ny: int) -> Array:
    """Along the sides of a unit square, counter-clockwise from the corner at least X and least Y."""
    x, y = np.linspace(-0.5, 0.5, nx), np.linspace(-0.5, 0.5, ny)
    low, right = [(a, -0.5) for a in x], [(0.5, b) for b in y[1:]]
    high, left = [(a, 0.5) for a in x[-2::-1]], [(-0.5, b) for b in y[-2:0:-1]]
    return np.array([*low, *right, *high, *left])


def _filled(nx: int, ny: int) -> Array:
    """Over all of a unit square, row by row from least Y."""
    return np.array([(a, b) for b in np.linspace(-0.5, 0.5, ny) for a in np.linspace(-0.5, 0.5, nx)])
