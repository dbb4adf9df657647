"""The case of a volume of air: outlines, cell sizes, planes to show, the air at the entry, as plain records."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import Any

from platemaker.fields._prisms import layer_bounds
from platemaker.fields._records import COARSER
from platemaker.fields._solver import TYPICAL
from platemaker.fields._volume import AirVolume

CELLS, FINE = 40_000, 160_000
"""Cells of the finer mesh, about; with `fine`."""
STEPS = 1000
"""Most steps on a mesh."""
PER_CELL = 6e-6
"""Seconds of a cell and a step, as measured on one core of a machine of 2020."""
LIMIT, LIMIT_FINE = 1800.0, 14_400.0
"""Most seconds on a mesh; with `fine`."""


def case_of(volume: AirVolume, speed: float, viscosity: float, *, fine: bool = False) -> dict[str, Any]:
    """The case of a volume with the mean speed at its entry, m/s, and the air's kinematic viscosity, m2/s."""
    slabs = volume.slabs
    inner = slabs[1:-1] or slabs
    largest = max(inner, key=lambda slab: sum(region.area for region in slab.regions))
    boxes = [region.bounds for slab in slabs for region in slab.regions]
    x0, y0, x1, y1 = (f(box[k] for box in boxes) for k, f in enumerate((min, min, max, max)))
    along, at = volume.mirror or ("x", (slabs[0].regions[0].bounds[1] + slabs[0].regions[0].bounds[3]) / 2)
    axis = 1 if along == "x" else 0
    low, high = (x0, x1) if axis else (y0, y1)
    size = cell_size(volume, FINE if fine else CELLS)
    return {
        **volume.as_case(),
        "width": max(4 * region.area / region.outer.perimeter for region in slabs[0].regions),
        "speed": speed,
        "viscosity": viscosity,
        "sizes": [size * COARSER, size],
        "steps": STEPS,
        "limit": LIMIT_FINE if fine else LIMIT,
        "plan": {"axis": 2, "at": (largest.start + largest.end) / 2, "box": _box(largest.regions)},
        "section": {"axis": axis, "at": at + 1e-3, "box": [low, 0.0, high, slabs[-1].end]},
    }


def seconds_of(volume: AirVolume, case: dict[str, Any], ranks: int = 1) -> float:
    """How long a case takes, about, on cores that have nothing else to do."""
    half = 0.5 if volume.mirror else 1.0
    return sum(cells_of(volume, size) * half for size in case["sizes"]) * TYPICAL * PER_CELL / ranks


def cells_of(volume: AirVolume, size: float) -> float:
    """How many cells of a size, mm, a volume takes, about, before symmetry halves it."""
    plain = [{"start": slab.start, "end": slab.end, "mouth": slab.mouth} for slab in volume.slabs]
    starts = layer_bounds(plain, size)[1]
    areas = [sum(region.area for region in slab.regions) for slab in volume.slabs]
    layers = [after - before for before, after in pairwise(starts)]
    return sum(area * count for area, count in zip(areas, layers, strict=True)) / size**2


def cell_size(volume: AirVolume, cells: int) -> float:
    """The cell size, mm, that gives about this many cells."""
    low, high = 1e-2, 1e2
    for _ in range(40):
        middle = (low * high) ** 0.5
        low, high = (middle, high) if cells_of(volume, middle) > cells else (low, middle)
    return round(high, 3)


def _box(regions: Sequence[Any]) -> list[float]:
    boxes = [region.bounds for region in regions]
    return [min(b[0] for b in boxes), min(b[1] for b in boxes), max(b[2] for b in boxes), max(b[3] for b in boxes)]
