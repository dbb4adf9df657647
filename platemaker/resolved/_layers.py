"""Layers: a plate seen between the heights at which its section changes, and what is left of the blank in each."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property
from itertools import pairwise

from platemaker.plane import Region, subtract
from platemaker.records import Record
from platemaker.resolved._blank import Blank
from platemaker.resolved._voids import Void

THINNEST = 1e-9
"""A layer thinner than this, mm, is no layer."""


class Layer(Record):
    """A layer of a blank with one section: `bottom` to `top`, mm, and the voids that run through all of it."""

    blank: Region
    bottom: float
    top: float
    voids: tuple[Void, ...]

    @cached_property
    def regions(self) -> tuple[Region, ...]:
        """What is left of the blank: several where cuts part it."""
        return subtract(self.blank, *(void.plan for void in self.voids))

    @property
    def volume(self) -> float:
        """Volume of the material, mm3."""
        return (self.top - self.bottom) * sum(region.area for region in self.regions)


def layers_of(blank: Blank, voids: Sequence[Void]) -> tuple[Layer, ...]:
    """The layers of a blank from the bottom up, as a drill and a straight cutter along its axis leave it.

    Threads, mouths and drill points are not among what is taken out, nor is what lies on any other axis.
    """
    straight = [void for void in voids if void.is_straight]
    heights = sorted({0.0, blank.height, *(height for void in straight for height in (void.low, void.high))})
    heights = [height for height in heights if -THINNEST <= height <= blank.height + THINNEST]
    return tuple(
        Layer(blank.region, low, high, tuple(
            void for void in straight if void.low <= low + THINNEST and void.high >= high - THINNEST
        ))
        for low, high in pairwise(heights)
        if high - low > THINNEST
    )  # fmt: skip
