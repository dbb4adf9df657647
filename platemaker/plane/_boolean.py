"""Union, cut and intersection of regions: exact on lines and arcs, tags kept on every piece."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TypeAlias

import numpy as np

from platemaker.plane._arrange import regions_where
from platemaker.plane._boxes import near_boxes
from platemaker.plane._chain import nested
from platemaker.plane._shapes import Box, Edge, Region
from platemaker.plane._table import EdgeTable
from platemaker.plane._winding import winding
from platemaker.remembered import remembered

Regions: TypeAlias = Region | Iterable[Region]
"""One region, or several that do not overlap each other, such as an earlier result."""

NEAR = 1e-5
"""What lies nearer than this, mm, may touch, and what is no wider may be left out."""
SEVERAL = 3
"""From so many cuts on it is quicker to look first which of them are holes by themselves."""


@remembered(1024)
def unite(*parts: Regions) -> tuple[Region, ...]:
    """What any of the regions covers; they may overlap. Parts that touch in a point only stay apart.

    >>> from platemaker.plane._shapes import Loop
    >>> square = Region(Loop.rectangle(10.0, 10.0))
    >>> [r.area for r in unite(square, Region(Loop.rectangle(10.0, 10.0, centre=(5.0, 0.0))))]
    [150.0]
    """
    return regions_where([edge for part in parts for edge in _edges(part)])


@remembered(1024)
def subtract(part: Regions, *cuts: Regions) -> tuple[Region, ...]:
    """What is left of `part` when the cuts, which may overlap, are taken away; empty when nothing is.

    >>> from platemaker.plane._shapes import Loop
    >>> bar = Region(Loop.rectangle(30.0, 10.0))
    >>> [r.area for r in subtract(bar, Region(Loop.rectangle(10.0, 10.0)))]
    [100.0, 100.0]
    """
    whole, taken = as_regions(part), [region for cut in cuts for region in as_regions(cut)]
    alone = _alone(whole, taken)
    met = [edge.reversed() for cut, clear in zip(taken, alone, strict=True) if not clear for edge in cut.edges]
    left = regions_where([*_edges(whole), *met])
    inside = [cut.outer.reversed() for cut, clear in zip(taken, alone, strict=True) if clear]
    return nested([*(loop for region in left for loop in region.loops), *inside]) if inside else left


def _alone(wholes: Sequence[Region], cuts: Sequence[Region]) -> list[bool]:
    """Which cuts are plain holes inside a region: their boxes come near no edge of it, nor near another cut's box."""
    if not wholes or len(cuts) < SEVERAL:
        return [False] * len(cuts)
    boxes = list(np.array([cut.bounds for cut in cuts]).T)
    table = EdgeTable.of([edge for region in wholes for edge in region.edges])
    near = np.bincount(near_boxes(boxes, boxes, NEAR)[0], minlength=len(cuts)) - 1
    near += np.bincount(near_boxes(boxes, table.boxes, NEAR)[0], minlength=len(cuts))
    inside = winding(table, boxes[0] + 1j * boxes[1]) > 0
    plain = np.array([not cut.holes for cut in cuts])
    wide = np.minimum(boxes[2] - boxes[0], boxes[3] - boxes[1]) > NEAR
    alone: list[bool] = ((near == 0) & inside & plain & wide).tolist()
    return alone


@remembered(1024)
def intersect(*parts: Regions) -> tuple[Region, ...]:
    """What all of the parts cover, each part one region or several that do not overlap; empty when there is none."""
    held = [as_regions(part) for part in parts]
    if _apart(held):
        return ()
    return regions_where([edge for part in held for edge in _edges(part)], level=len(held))


def _apart(parts: Sequence[Sequence[Region]]) -> bool:
    """Whether the upright boxes of the parts have no place in common: then there is none that all of them cover."""
    boxes: list[list[Box]] = [[region.bounds for region in part] for part in parts]
    if not all(boxes):
        return True
    left, low = (max(min(box[side] for box in part) for part in boxes) for side in (0, 1))
    right, high = (min(max(box[side] for box in part) for part in boxes) for side in (2, 3))
    return left > right or low > high


def _edges(part: Regions) -> list[Edge]:
    return [edge for region in as_regions(part) for edge in region.edges]


def as_regions(part: Regions) -> Sequence[Region]:
    """The regions of a figure, of which there may be one."""
    return [part] if isinstance(part, Region) else list(part)
