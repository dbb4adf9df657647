"""Cells and facets of a tetrahedral mesh as arrays, and the points at which flow through facets is summed."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csr_matrix

Field = NDArray[np.float64]
Numbers = NDArray[np.int64]

RULE = 6
"""Points a facet."""
_A, _B, _WA = 0.445948490915965, 0.108103018168070, 0.223381589678011
_C, _D, _WC = 0.091576213509771, 0.816847572980459, 0.109951743655322
SHAPES = np.array([[_B, _A, _A], [_A, _B, _A], [_A, _A, _B], [_D, _C, _C], [_C, _D, _C], [_C, _C, _D]])
WEIGHTS = np.array([_WA] * 3 + [_WC] * 3)
"""Rule of degree 4 on triangles with six points (Strang and Fix, An Analysis of the Finite Element Method, 1973)."""
_OPPOSITE = np.array([[1, 2, 3], [0, 2, 3], [0, 1, 3], [0, 1, 2]])


@dataclass(frozen=True)
class Side:
    """Facets as one of their cells sees them: cell, values at the points of the rule from values at its corners."""

    cell: Numbers
    corners: Numbers
    values: csr_matrix


@dataclass(frozen=True)
class Facets:
    """Facets that belong together: area, unit normal out of the first side, middle; both sides, at a wall one."""

    area: Field
    normal: Field
    points: Field
    sides: tuple[Side, ...]

    @property
    def weights(self) -> Field:
        """Area that each point of the rule stands for."""
        weights: Field = np.repeat(self.area, RULE) * np.tile(WEIGHTS, len(self.area))
        return weights

    @property
    def normals(self) -> Field:
        """The normal at each point of the rule."""
        return np.repeat(self.normal, RULE, axis=0)


@dataclass(frozen=True)
class Cells:
    """Tetrahedra: corners' points, volume, gradients of the four linear shapes, diameter of the inscribed ball."""

    points: Field
    volume: Field
    slopes: Field
    width: Field

    @property
    def middle(self) -> Field:
        """Centres of gravity."""
        middle: Field = self.points.mean(axis=1)
        return middle


def cells_and_facets(
    points: Field, cells: Numbers, faces: Numbers, names: NDArray[np.str_]
) -> tuple[Cells, Facets, Facets, NDArray[np.str_]]:
    """Cells, inner facets, boundary facets and the names of these."""
    at = points[cells]
    frame = np.stack([at[:, place] - at[:, 3] for place in range(3)], axis=2)
    volume = np.abs(np.linalg.det(frame)) / 6
    inverse = np.linalg.inv(frame)
    slopes = np.concatenate([inverse, -inverse.sum(axis=1, keepdims=True)], axis=1)
    seen = cells[:, _OPPOSITE]
    order = np.argsort(seen, axis=2)
    corners = np.take_along_axis(seen, order, axis=2).reshape(-1, 3)
    local = np.take_along_axis(np.broadcast_to(_OPPOSITE, seen.shape), order, axis=2).reshape(-1, 3)
    key = _key(corners, len(points))
    ranked = np.argsort(key, kind="stable")
    twice = np.flatnonzero(key[ranked][1:] == key[ranked][:-1])
    left, right = ranked[twice], ranked[twice + 1]
    outer = np.setdiff1d(np.arange(len(key)), np.concatenate([left, right]))
    count = len(cells)

    def facets(first: Numbers, *others: Numbers) -> Facets:
        triangle = points[corners[first]]
        cross = np.cross(triangle[:, 1] - triangle[:, 0], triangle[:, 2] - triangle[:, 0]) / 2
        outward = triangle.mean(axis=1) - at[first // 4].mean(axis=1)
        cross *= np.sign((cross * outward).sum(axis=1))[:, None]
        area = np.linalg.norm(cross, axis=1)
        sides = tuple(_side(one, local, count) for one in (first, *others))
        return Facets(area, cross / area[:, None], triangle, sides)

    inner, boundary = facets(left, right), facets(outer)
    surface = np.zeros(count)
    for group in (inner, boundary):
        for side in group.sides:
            np.add.at(surface, side.cell, group.area)
    known = _key(np.sort(faces, axis=1), len(points))
    sorted_ = np.argsort(known)
    named = names[sorted_[np.searchsorted(known[sorted_], key[outer])]]
    return Cells(at, volume, slopes, 6 * volume / surface), inner, boundary, named


def _key(corners: Numbers, count: int) -> Numbers:
    return (corners[:, 0] * count + corners[:, 1]) * count + corners[:, 2]


def _side(facets: Numbers, local: Numbers, count: int) -> Side:
    """Facet number 4 * cell + place; a cell's corner has number 4 * cell + corner."""
    cell = facets // 4
    corners = cell[:, None] * 4 + local[facets]
    rows = np.repeat(np.arange(len(cell) * RULE), 3)
    columns = np.repeat(corners[:, None, :], RULE, axis=1).ravel()
    values = np.tile(SHAPES.ravel(), len(cell))
    return Side(cell, corners, csr_matrix((values, (rows, columns)), shape=(len(cell) * RULE, 4 * count)))
