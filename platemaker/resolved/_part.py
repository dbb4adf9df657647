"""What follows from a part's stock and cuts, each thing worked out when it is first asked for and then only read."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from platemaker.parts import Hole, Part, Profile, Side, Vec3, bent_point, in_plan
from platemaker.resolved._blank import Blank, blank_of
from platemaker.resolved._cut_faces import Section, section_of
from platemaker.resolved._cutting import Cutting
from platemaker.resolved._layers import Layer, layers_of
from platemaker.resolved._stacked import FLUSH
from platemaker.resolved._voids import Void, voids_of
from platemaker.resolved._walls import Wall, walls_of


@dataclass(frozen=True)
class ResolvedPart:
    """A part with what follows from it. `flat` is the part itself, or the flat pattern of one bent from strip."""

    part: Part
    flat: Part

    @cached_property
    def blank(self) -> Blank:
        """The blank that the cuts are made in."""
        return blank_of(self.flat)

    @cached_property
    def voids(self) -> tuple[Void, ...]:
        """What every step of every cut takes out of the blank."""
        return voids_of(self.flat, self.blank)

    @cached_property
    def layers(self) -> tuple[Layer, ...]:
        """The material of a plate, layer by layer from the bottom up, as its square cuts leave it."""
        return layers_of(self.blank, self.voids)

    @cached_property
    def upright(self) -> tuple[Void, ...]:
        """The voids along the blank's axis, threads and mouths included, drill points not."""
        return tuple(void for void in self.voids if void.upright is not None and void.what != "point")

    def breaking(self, side: Side) -> Iterator[Void]:
        """The upright voids that break the lower or upper face of a plate."""
        for void in self.upright:
            if void.high >= self.blank.height - FLUSH if side is Side.ABOVE else void.low <= FLUSH:
                yield void

    def voids_by(self, cut: Hole | Profile) -> tuple[Void, ...]:
        """The voids of one cut."""
        return tuple(void for void in self.voids if void.cut is cut)

    def section(self, cutting: Cutting, at: float) -> Section:
        """The part as it stands, bent where it is, cut by an upright plane square to X or Y at a place, mm."""
        return section_of(self.part, self.blank, self.voids, cutting, at)

    def walls(self, window: float) -> tuple[Wall, ...]:
        """The least metal between its cuts where they come within `window`, mm, and from each to every face."""
        kept = vars(self).setdefault("_walls", {})
        if window not in kept:
            kept[window] = walls_of(self.blank, self.voids, window)
        found: tuple[Wall, ...] = kept[window]
        return found

    def in_part(self, point: Vec3) -> Vec3:
        """A point of the flat pattern where it lies in the part."""
        return point if self.flat is self.part else bent_point(self.part, point)


def resolved(part: Part) -> ResolvedPart:
    """What follows from a part; kept with it, so that every reader reads the same."""
    kept = vars(part)
    if "_resolved" not in kept:
        kept["_resolved"] = ResolvedPart(part, in_plan(part))
    found: ResolvedPart = kept["_resolved"]
    return found
