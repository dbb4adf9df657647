"""Speed on planes through a mesh of prisms: in each layer between the cells of that layer, then between two layers."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from platemaker.fields._outlines import Points, inside
from platemaker.fields._plan import PlanMesh
from platemaker.fields._prisms import PrismMesh
from platemaker.fields._spacing import edge_profile

ACROSS = 220
"""Points along the longer side of a plane's picture."""
NEAREST = 6
"""Cells round a point by which its speed is found."""
SMALL = 1e-9
"""Share of the cells' spread by which a slope that they do not have is held at none."""
SAMPLES = 9
"""Points along a segment from which distances to an outline are measured."""


def plane_of(
    mesh: PrismMesh, plan: PlanMesh, speed: Points, case: dict[str, Any], plane: dict[str, Any]
) -> dict[str, Any]:
    """Speed by cell on a plane: `axis` and its place, `box` of the two others; None outside the air."""
    fixed, (u0, v0, u1, v1) = plane["axis"], plane["box"]
    step = max(u1 - u0, v1 - v0) / ACROSS
    us, vs = (
        low + (np.arange(n) + 0.5) * (high - low) / n
        for low, high, n in (
            (u0, u1, round((u1 - u0) / step)),
            (v0, v1, round((v1 - v0) / step)),
        )
    )
    grid = np.stack(np.meshgrid(us, vs), axis=-1).reshape(-1, 2)
    points = np.insert(grid, fixed, plane["at"], axis=1)
    layers = _Layers(mesh, plan, case)
    within = layers.within(points)
    found = np.full((len(points), 3), np.nan)
    found[within] = layers.at(points[within], speed)
    shown = {
        name: [None if np.isnan(one) else round(float(one), 3) for one in values]
        for name, values in zip("xyz", found.T, strict=True)
    }
    return {"columns": len(us), "rows": len(vs), "box": [u0, v0, u1, v1], **shown}


class _Layers:
    """The layers of a mesh with their slabs."""

    def __init__(self, mesh: PrismMesh, plan: PlanMesh, case: dict[str, Any]) -> None:
        self.mesh, self.plan, self.slabs, self.mirror = mesh, plan, case["slabs"], case["mirror"]
        self.middles = (mesh.heights[1:] + mesh.heights[:-1]) / 2
        self.slab_of = np.searchsorted(mesh.starts, np.arange(len(self.middles)), side="right") - 1
        self.places = mesh.middles
        self.layer_of = np.searchsorted(mesh.heights, self.places[:, 2]) - 1

    def within(self, points: Points) -> NDArray[np.bool_]:
        """Whether points lie in the air, the edges of entries with it."""
        ends = self.mesh.heights[list(self.mesh.starts)]
        slab = np.clip(np.searchsorted(ends, points[:, 2], side="right") - 1, 0, len(ends) - 2)
        found = np.zeros(len(points), dtype=bool)
        for place in range(len(self.slabs)):
            here = slab == place
            found[here] = self._in_slab(place, points[here])
        return found

    def _in_slab(self, place: int, points: Points) -> NDArray[np.bool_]:
        loop, slab = self.plan.loops[place], self.slabs[place]
        found = inside(points[:, :2], self.plan.points, loop)
        if not slab["mouth"] or not len(points):
            return found
        wide, deep, rounded = slab["mouth"]
        a, b = self.plan.points[loop[:, 0]], self.plan.points[loop[:, 1]]
        samples = (a + np.linspace(0, 1, SAMPLES)[:, None, None] * (b - a)).reshape(-1, 2)
        away = cKDTree(samples).query(points[:, :2])[0]
        grown = np.array([wide * edge_profile((z - slab["start"]) / deep, rounded=rounded) for z in points[:, 2]])
        return found | (away < grown)

    def at(self, points: Points, values: Points) -> Points:
        """Values at points in the air, from the layers before and behind, as far as those have air there."""
        above = np.searchsorted(self.middles, points[:, 2])
        pair = np.clip(np.stack([above - 1, above]), 0, len(self.middles) - 1)
        own = np.clip(np.searchsorted(self.mesh.heights, points[:, 2], side="right") - 1, 0, len(self.middles) - 1)
        low, high = self.middles[pair]
        share = np.clip((points[:, 2] - low) / np.where(high > low, high - low, 1.0), 0.0, 1.0)
        total, weight = np.zeros((len(points), 3)), np.zeros(len(points))
        for layers, parts in zip(pair, (1 - share, share), strict=True):
            for layer in np.unique(layers):
                here = np.flatnonzero(layers == layer)
                here = here[(own[here] == layer) | self._in_slab(self.slab_of[layer], points[here])]
                total[here] += parts[here, None] * self._in_layer(layer, points[here, :2], values)
                weight[here] += parts[here]
        found: Points = total / np.maximum(weight, 1e-12)[:, None]
        return found

    def _in_layer(self, layer: int, points: Points, values: Points) -> Points:
        """Values between the cells of a layer and their images in a mirror; at walls the nearest cell's."""
        cells = np.flatnonzero(self.layer_of == layer)
        places, known = self.places[cells, :2], values[cells]
        if self.mirror:
            places, known = _both(places, known, self.mirror)
        return _fitted(places, known, points)


def _fitted(places: Points, known: Points, points: Points) -> Points:
    """Values at points by planes through the nearest cells, kept within those cells' values beyond the last of them."""
    away, near = cKDTree(places).query(points, k=min(NEAREST, len(places)))
    around, values = places[near] - points[:, None], known[near]
    weight = 1 / np.maximum(away, 1e-6) ** 2
    terms = np.concatenate([np.ones((*near.shape, 1)), around], axis=2)
    weighted = terms * weight[:, :, None]
    normal = weighted.transpose(0, 2, 1) @ terms
    steep = normal[:, [1, 2], [1, 2]].max(axis=1)
    normal[:, [1, 2], [1, 2]] += SMALL * steep[:, None]  # cells in one row say nothing of the slope across it
    fitted = np.linalg.solve(normal, weighted.transpose(0, 2, 1) @ values)[:, 0]
    found: Points = np.clip(fitted, values.min(axis=1), values.max(axis=1))
    return found


def _both(places: Points, known: Points, mirror: Sequence[Any]) -> tuple[Points, Points]:
    across = 1 if mirror[0] == "x" else 0
    images, turned = places.copy(), known.copy()
    images[:, across] = 2 * mirror[1] - images[:, across]
    turned[:, across] *= -1
    return np.concatenate([places, images]), np.concatenate([known, turned])
