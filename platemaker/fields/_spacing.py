"""How close the mesh lies: closer in a shallow chamber and at the edges of ports, where the air turns."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

Points = NDArray[np.float64]

GROWTH = 1.2
"""Step over the one before it, at most."""
LONGEST = 4.0
"""Longest step along a straight duct, in cell sizes."""
LEAST_LAYERS, CHAMBER_LAYERS = 4, 8
"""Layers of a slab of the passage, and of a chamber, at least: with 4 the jet below a port's edge is too wide, and a
chamber 6 mm deep loses a fifth too little."""
EDGE, FINEST = 4, 1 / 3
"""Across the edges of ports cells are this part of the depth of the shallowest chamber, but no less than this share of
the others' size."""
STEEP = np.pi / 6
"""Angle from the face, radians, at which the mesh of a rounding begins: what is flatter would shear its cells, and is a
step, of 13 % of the radius in height."""
ALIKE = 1.02
"""Areas whose ratio is no larger than this are one section, not a chamber and its port."""


def edge_profile(depth: float, *, rounded: bool) -> float:
    """How far an entry's edge stands out, over its width, at a depth over its own."""
    if not rounded:
        return 1 - depth
    return 1 - math.sin(max(STEEP, math.acos(min(1.0, max(0.0, 1 - depth)))))


def stepped(length: float, first: float, last: float, most: float, least: int = 1) -> Points:
    """Places from 0 to a length whose steps grow from `first` to `most` and fall to `last`, `least` of them or more."""
    at = np.linspace(0.0, length, 257)
    rate = np.minimum(most, np.minimum(first + (GROWTH - 1) * at, last + (GROWTH - 1) * (length - at)))
    passed = np.concatenate([[0.0], np.cumsum(np.diff(at) * (1 / rate[1:] + 1 / rate[:-1]) / 2)])
    count = max(least, round(float(passed[-1])))
    found: Points = np.interp(np.linspace(0.0, passed[-1], count + 1), passed, at)
    found[-1] = length
    return found


def layer_bounds(slabs: Sequence[dict[str, Any]], size: float) -> tuple[Points, list[int]]:
    """Boundaries of the layers along the flow, and the number of the first of each slab."""
    areas, last = [slab["area"] for slab in slabs], len(slabs) - 1
    least = [CHAMBER_LAYERS if is_chamber(areas, place) else LEAST_LAYERS for place in range(len(slabs))]
    even = [min(size, (slab["end"] - slab["start"]) / count) for slab, count in zip(slabs, least, strict=True)]
    heights, starts = [float(slabs[0]["start"])], [0]
    for place, slab in enumerate(slabs):
        a, b = slab["start"], slab["end"]
        most = LONGEST * size if place in (0, last) else even[place]
        before = most if place == 0 else min(even[place - 1 : place + 1])
        behind = most if place == last else min(even[place : place + 2])
        if slab["mouth"] and slab["mouth"][2]:
            heights += list(a + (b - a) * rounding(max(LEAST_LAYERS, round((b - a) / size))))
        else:
            heights += list(a + stepped(b - a, before, behind, most, 1 if place in (0, last) else LEAST_LAYERS)[1:])
        starts.append(len(heights) - 1)
    return np.array(heights), starts


def rounding(count: int) -> Points:
    """Shares of the depth of an entry's rounding at which its layers end: even angles, from STEEP on."""
    found: Points = 1 - np.cos(np.linspace(STEEP, np.pi / 2, count))
    return found


def is_chamber(areas: Sequence[float], place: int) -> bool:
    """Whether a slab is wider than those before it and behind: air goes sideways there."""
    return 0 < place < len(areas) - 1 and areas[place] > ALIKE * max(areas[place - 1], areas[place + 1])


def edge_size(slabs: Sequence[dict[str, Any]], size: float) -> float:
    """Cell size across the edges of ports: by the shallowest chamber."""
    areas = [slab["area"] for slab in slabs]
    depths = [slab["end"] - slab["start"] for at, slab in enumerate(slabs) if is_chamber(areas, at)]
    return min(size, max(min(depths, default=EDGE * size) / EDGE, FINEST * size))
