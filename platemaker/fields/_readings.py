"""What is read off a steady field: shares of the outlets, uniformity, where it loses, its speed on two planes."""

from __future__ import annotations

from typing import Any

import numpy as np
from scipy.spatial import cKDTree

from platemaker.fields._facets import Field
from platemaker.fields._steady import March

ON = 1e-4
"""Facets this near a plane, mm, lie in it."""
ACROSS = 120
"""Points along the longer side of a plane's picture."""
NEAR = 48
"""Cells among which the one that holds a point is looked for."""
FASTEST = 0.999
"""Share of the volume that is slower than the speed given as the largest."""


def readings(march: March, case: dict[str, Any]) -> dict[str, Any]:
    """Readings of the mean field; speeds over the mean at the entry, losses over its dynamic pressure."""
    speed = march.mean if march.mean is not None else march.speed
    size = np.linalg.norm(speed.reshape(-1, 4, 3).mean(axis=1), axis=1)
    order = np.argsort(size)
    below = np.cumsum(march.flow.cells.volume[order]) / march.flow.cells.volume.sum()
    slabs = case["slabs"]
    ends = [slabs[0]["end"], slabs[-1]["start"]]
    return {
        "fastest": float(size[order][np.searchsorted(below, FASTEST)]),
        "shares": _shares(march, speed, case["outlets"]),
        "uniformity": [_uniformity(march, speed, at) for at in ends],
        "lost": [_energy(march, slab["start"]) for slab in slabs[1:]],
        "plan": _picture(march, speed, case["plan"]),
        "section": _picture(march, speed, case["section"]),
    }


def _shares(march: March, speed: Field, boxes: list[list[float]]) -> list[float]:
    """Share of the air that leaves by each outlet, found by its box in the plan."""
    flow = march.flow
    facets = np.flatnonzero(flow.names == "outlet")
    out = (np.einsum("ij,ij->i", flow.edge @ speed, flow.edge_normals) * flow.edge_weights[:, 0]).reshape(-1, 6)
    through, middle = out[facets].sum(axis=1), flow.boundary.points[facets].mean(axis=1)
    shares = []
    for x0, y0, x1, y1 in boxes:
        inside = (middle[:, 0] > x0) & (middle[:, 0] < x1) & (middle[:, 1] > y0) & (middle[:, 1] < y1)
        shares.append(float(through[inside].sum() / through.sum()))
    return shares


def _plane(march: March, at: float) -> np.ndarray[Any, np.dtype[np.int64]]:
    """Inner facets in the plane across the flow."""
    return np.flatnonzero(np.abs(march.flow.inner.points[:, :, 2] - at).max(axis=1) < ON)


def _uniformity(march: March, speed: Field, at: float) -> float:
    """Uniformity index of the speed along the flow: 1 - mean deviation / (2 mean), over the facets of a plane."""
    flow, facets = march.flow, _plane(march, at)
    along = (((flow.left @ speed) + (flow.right @ speed))[:, 2] / 2).reshape(-1, 6)[facets]
    weight = flow.weights[:, 0].reshape(-1, 6)[facets]
    mean = (along * weight).sum() / weight.sum()
    return float(1 - (np.abs(along - mean) * weight).sum() / (2 * abs(mean) * weight.sum()))


def _energy(march: March, at: float) -> float:
    """Mean total pressure of what crosses a plane, below that of the entry, over the entry's dynamic pressure."""
    flow, facets = march.flow, _plane(march, at)
    first, second = (side.cell for side in flow.inner.sides)
    value = (flow.left @ march.speed + flow.right @ march.speed) / 2
    total = np.repeat((march.values[first] + march.values[second]) / 2, 6) + np.einsum("ij,ij->i", value, value) / 2
    through = np.abs(flow.weights[:, 0]) * np.einsum("ij,ij->i", value, flow.normals)
    sign = np.sign(flow.inner.normal[facets, 2])[:, None]
    through, total = through.reshape(-1, 6)[facets] * sign, total.reshape(-1, 6)[facets]
    edge = flow.edge @ march.speed
    inlet = flow.at["inlet"]
    out = (np.einsum("ij,ij->i", edge, flow.edge_normals) * flow.edge_weights[:, 0])[inlet]
    entry = np.repeat(march.values[flow.boundary.sides[0].cell], 6)[inlet] + (edge[inlet] ** 2).sum(axis=1) / 2
    return float(2 * ((entry * out).sum() / out.sum() - (total * through).sum() / through.sum()))


def _picture(march: March, speed: Field, plane: dict[str, Any]) -> dict[str, Any]:
    """Speed on a plane: `fixed` axis and its place, `box` of the two others; None outside the air."""
    fixed, (u0, v0, u1, v1) = plane["axis"], plane["box"]
    step = max(u1 - u0, v1 - v0) / ACROSS
    us, vs = np.arange(u0 + step / 2, u1, step), np.arange(v0 + step / 2, v1, step)
    grid = np.stack(np.meshgrid(us, vs), axis=-1).reshape(-1, 2)
    points = np.insert(grid, fixed, plane["at"], axis=1)
    cells = march.flow.cells
    near = np.asarray(cKDTree(cells.middle).query(points, k=min(NEAR, len(cells.volume)))[1])
    shape = np.einsum("pkai,pki->pka", cells.slopes[near], points[:, None] - cells.middle[near]) + 0.25
    depth = shape.min(axis=2)
    best = depth.argmax(axis=1)
    rows = np.arange(len(points))
    weight, cell = shape[rows, best], near[rows, best]
    found = np.einsum("pa,pai->pi", weight, speed.reshape(-1, 4, 3)[cell])
    outside = depth[rows, best] < -ON
    parts = {name: np.where(outside, np.nan, found[:, axis]) for axis, name in enumerate("xyz")}
    shown = {
        name: [None if np.isnan(one) else round(float(one), 3) for one in values] for name, values in parts.items()
    }
    return {"columns": len(us), "rows": len(vs), "box": [u0, v0, u1, v1], **shown}
