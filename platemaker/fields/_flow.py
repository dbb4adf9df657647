"""Steady flow of constant density through a mesh, stepped in pseudo time. Runs in a child process only.

Lengths in mm, speeds over the mean speed at the entry, pressures over density times its square. Momentum is upwinded
(discontinuous linear elements), viscous stress has an interior penalty, walls let air slip with a wall stress of
half the friction factor times speed squared. Eddy viscosity by Prandtl's mixing length (Schlichting, Boundary-Layer
Theory, 7th ed., ch. XIX, from memory): 0.41 times the distance to the wall, at most `MIXING` of the entry's diameter.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from platemaker.fields._facets import Cells, Facets, Field

KARMAN = 0.41
MIXING = 0.008
"""Longest mixing length over the entry's hydraulic diameter: chosen with the computed chambers of 12 mm depth in sight,
after 0.03 had given half as much again with dx = 0. No source."""
LEAST = 4e-4
"""Least eddy viscosity over entry speed and hydraulic diameter: keeps what the mesh does not resolve calm."""
PENALTY = 6.0
SLOWEST = 0.3
"""Speed, of the mean at the entry, below which no cell counts as slower when time steps are chosen."""


@dataclass(frozen=True)
class Setting:
    """Hydraulic diameter of the entry, mm, and Fanning's friction factor."""

    width: float
    friction: float


class Flow:
    """Forces on the air for a given field, and what is read off it."""

    def __init__(
        self, cells: Cells, inner: Facets, boundary: Facets, names: NDArray[np.str_], setting: Setting
    ) -> None:
        self.cells, self.inner, self.boundary, self.names, self.setting = cells, inner, boundary, names, setting
        left, right = inner.sides
        self.left, self.right = left.values, right.values
        self.spread = (left.values - right.values).T.tocsr()
        self.edge, self.edge_spread = boundary.sides[0].values, boundary.sides[0].values.T.tocsr()
        self.normals, self.weights = inner.normals, inner.weights[:, None]
        self.edge_normals, self.edge_weights = boundary.normals, boundary.weights[:, None]
        self.at = {name: self._points(name) for name in ("inlet", "outlet", "wall")}
        wide = 1 / cells.width
        self.penalty = PENALTY * np.maximum(wide[left.cell], wide[right.cell])
        wall = boundary.points[names == "wall"]
        middle = wall.mean(axis=1, keepdims=True)
        near = np.concatenate([middle, 0.7 * wall + 0.3 * middle], axis=1).reshape(-1, 3)
        distance = cKDTree(near).query(cells.middle)[0]
        self.mixing = np.minimum(KARMAN * distance, MIXING * setting.width)
        self.least = LEAST * setting.width

    @property
    def inflow(self) -> float:
        """Area of the entry, mm2, which the air crosses with speed 1."""
        return float(self.boundary.area[self.names == "inlet"].sum())

    def _points(self, name: str) -> NDArray[np.int64]:
        facets = np.flatnonzero(self.names == name)
        points: NDArray[np.int64] = (facets[:, None] * 6 + np.arange(6)).ravel()
        return points

    def eddy(self, speed: Field) -> Field:
        """Eddy viscosity of each cell by its rate of strain."""
        slope = np.einsum("eai,eaj->eij", speed.reshape(-1, 4, 3), self.cells.slopes)
        strain = (slope + slope.transpose(0, 2, 1)) / 2
        result: Field = self.least + self.mixing**2 * np.sqrt(2 * (strain * strain).sum(axis=(1, 2)))
        return result

    def force(self, speed: Field, eddy: Field) -> Field:
        """What convection and viscous stress take out of each corner's momentum."""
        local, cells = speed.reshape(-1, 4, 3), self.cells
        total = local.sum(axis=1)
        moved = local.transpose(0, 2, 1) @ local + total[:, :, None] * total[:, None, :]
        slope = local.transpose(0, 2, 1) @ cells.slopes
        stress = eddy[:, None, None] * (slope + slope.transpose(0, 2, 1))
        volume = cells.volume[:, None, None]
        result: Field = (cells.slopes @ (stress * volume - moved * volume / 20)).reshape(-1, 3)
        left, right = self.left @ speed, self.right @ speed
        through = np.einsum("ij,ij->i", left + right, self.normals)[:, None] / 2
        flux = through * np.where(through > 0, left, right)
        first, second = (side.cell for side in self.inner.sides)
        held = (eddy[first] + eddy[second]) / 2 * self.penalty
        flux += np.repeat(held, 6)[:, None] * (left - right)
        mean = ((stress[first] + stress[second]) @ self.inner.normal[:, :, None])[:, :, 0] / 2
        flux -= np.repeat(mean, 6, axis=0)
        result += self.spread @ (flux * self.weights)
        result += self.edge_spread @ (self._edge_flux(speed) * self.edge_weights)
        return result

    def _edge_flux(self, speed: Field) -> Field:
        value, flux = self.edge @ speed, np.zeros((self.edge.shape[0], 3))
        inlet, outlet, wall = self.at["inlet"], self.at["outlet"], self.at["wall"]
        flux[inlet] = self.edge_normals[inlet]  # speed 1 against the normal, which carries in -1 times it
        out = np.einsum("ij,ij->i", value[outlet], self.edge_normals[outlet])
        flux[outlet] = np.maximum(out, 0)[:, None] * value[outlet]  # what comes back in brings nothing along
        flux[wall] = self.setting.friction / 2 * np.linalg.norm(value[wall], axis=1)[:, None] * value[wall]
        return flux

    def steps(self, speed: Field, eddy: Field, courant: float) -> Field:
        """The time step of each cell, by what leaves it in unit time and by viscosity."""
        cells, rate = self.cells, np.zeros(len(self.cells.volume))
        first, second = (side.cell for side in self.inner.sides)
        through = np.einsum("ij,ij->i", self.left @ speed + self.right @ speed, self.normals).reshape(-1, 6) / 2
        np.add.at(rate, first, self.inner.area * np.maximum(through, 0).max(axis=1))
        np.add.at(rate, second, self.inner.area * np.maximum(-through, 0).max(axis=1))
        out = np.einsum("ij,ij->i", self.edge @ speed, self.edge_normals).reshape(-1, 6)
        np.add.at(rate, self.boundary.sides[0].cell, self.boundary.area * np.maximum(out, 0).max(axis=1))
        fastest = np.maximum(np.linalg.norm(speed.reshape(-1, 4, 3), axis=2).max(axis=1), SLOWEST)
        rate = np.maximum(rate / cells.volume, fastest / cells.width / 2)
        most = eddy.copy()
        np.maximum.at(most, first, eddy[second])
        np.maximum.at(most, second, eddy[first])
        result: Field = courant / (3 * rate + 48 * most / cells.width**2)
        return result

    def mass(self, speed: Field, steps: Field) -> Field:
        """Mass times velocity over time step."""
        local = speed.reshape(-1, 4, 3)
        weight = (self.cells.volume / 20 / steps)[:, None, None]
        result: Field = ((local + local.sum(axis=1, keepdims=True)) * weight).reshape(-1, 3)
        return result

    def unmass(self, momentum: Field, steps: Field) -> Field:
        """The inverse of `mass`."""
        local = momentum.reshape(-1, 4, 3)
        weight = (20 * steps / self.cells.volume)[:, None, None]
        result: Field = ((local - local.sum(axis=1, keepdims=True) / 5) * weight).reshape(-1, 3)
        return result

    def loss(self, speed: Field, pressure: Field) -> float:
        """Loss of flux-averaged total pressure from inlet to outlet over the entry's dynamic pressure."""
        value = self.edge @ speed
        out = np.einsum("ij,ij->i", value, self.edge_normals) * self.edge_weights[:, 0]
        total = np.repeat(pressure[self.boundary.sides[0].cell], 6) + np.einsum("ij,ij->i", value, value) / 2
        inlet, outlet = self.at["inlet"], self.at["outlet"]
        mean = [(total[at] * out[at]).sum() / out[at].sum() for at in (inlet, outlet)]
        return float(2 * (mean[0] - mean[1]))
