"""Union, cut and intersection of regions: exact on lines and arcs, tags kept on every piece."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TypeAlias

from platemaker.plane._arrange import regions_where
from platemaker.plane._shapes import Box, Edge, Region
from platemaker.remembered import remembered

Regions: TypeAlias = Region | Iterable[Region]
"""One region, or several that do not overlap each other, such as an earlier result."""


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
    taken = [edge.reversed() for cut in cuts for edge in _edges(cut)]
    return regions_where([*_edges(part), *taken])


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
