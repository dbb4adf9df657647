"""The case of a volume of air: outlines, cell sizes, planes to show, the air at the entry, as plain records."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import pairwise
from typing import Any

import numpy as np

from platemaker.fields._edges import corners
from platemaker.fields._outlines import grid_lines
from platemaker.fields._records import COARSER
from platemaker.fields._solver import TYPICAL
from platemaker.fields._spacing import edge_size, layer_bounds
from platemaker.fields._volume import AirVolume

CELLS, FINE = 40_000, 160_000
"""Cells of the finer mesh, about; with `fine`."""
STEPS = 1000
"""Most steps on a mesh."""
PER_CELL = 6e-6
"""Seconds of a cell and a step, as measured on one core of a machine of 2020."""
SHOWN = (0.8, 2.5)
"""Lengths of the ducts that the picture of the section shows, in hydraulic diameters of the entry."""
LIMIT, LIMIT_FINE = 1800.0, 14_400.0
"""Most seconds on a mesh; with `fine`."""


def case_of(volume: AirVolume, speed: float, viscosity: float, *, fine: bool = False) -> dict[str, Any]:
    """The case of a volume with the mean speed at its entry, m/s, and the air's kinematic viscosity, m2/s."""
    slabs = volume.slabs
    boxes = [region.bounds for slab in slabs for region in slab.regions]
    x0, y0, x1, y1 = (f(box[k] for box in boxes) for k, f in enumerate((min, min, max, max)))
    along, at = volume.cut
    axis = 1 if along == "x" else 0
    low, high = (x0, x1) if axis else (y0, y1)
    width = max(4 * region.area / region.outer.perimeter for region in slabs[0].regions)
    before, behind = (share * width for share in SHOWN)
    plain = volume.as_case()
    size = cell_size(plain, FINE if fine else CELLS)
    return {
        **plain,
        "width": width,
        "speed": speed,
        "viscosity": viscosity,
        "sizes": [size * COARSER, size],
        "steps": STEPS,
        "limit": LIMIT_FINE if fine else LIMIT,
        "plan": {"axis": 2, "at": volume.widest.half_way, "box": _box(volume.widest.regions)},
        "section": {"axis": axis, "at": at + 1e-3, "box": [low, slabs[0].end - before, high, slabs[-1].start + behind]},
    }


def seconds_of(case: dict[str, Any], ranks: int = 1) -> float:
    """How long a case takes, about, on cores that have nothing else to do."""
    return sum(cells_of(case, size) for size in case["sizes"]) * TYPICAL * PER_CELL / ranks


def cells_of(case: Mapping[str, Any], size: float) -> float:
    """How many cells of a size, mm, a case's volume takes, about: those of the grid that lie in each slab's box."""
    slabs = case["slabs"]
    loops = [loop for slab in slabs for region in slab["regions"] for loop in region]
    lines = grid_lines(loops, size, edge_size(slabs, size))
    starts = layer_bounds(slabs, size)[1]
    total = 0.0
    for slab, (first, last) in zip(slabs, pairwise(starts), strict=True):
        for region in slab["regions"]:
            ends = np.array(corners(region[0]))
            low, high = ends.min(axis=0), ends.max(axis=0)
            steps = [((line > a) & (line <= b)).sum() for line, a, b in zip(lines, low, high, strict=True)]
            filled = slab["area"] / len(slab["regions"]) / (high - low).prod()
            total += float(np.prod(steps)) * min(filled, 1.0) * (last - first)
    return total


def cell_size(case: Mapping[str, Any], cells: int) -> float:
    """The cell size, mm, that gives about this many cells."""
    low, high = 1e-1, 1e2
    for _ in range(16):
        middle = (low * high) ** 0.5
        low, high = (middle, high) if cells_of(case, middle) > cells else (low, middle)
    return round(high, 3)


def _box(regions: Sequence[Any]) -> list[float]:
    boxes = [region.bounds for region in regions]
    return [min(b[0] for b in boxes), min(b[1] for b in boxes), max(b[2] for b in boxes), max(b[3] for b in boxes)]
