"""What follows from a part's stock and cuts, each thing worked out when it is first asked for and then only read."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from functools import cached_property
from typing import TYPE_CHECKING

from platemaker.parts import FlatPattern, Hole, Part, Profile, Side, Vec3, bent_point, flat_pattern
from platemaker.plane import Loop, Nearest, Region, closest_pairs
from platemaker.records import Record, kept_with
from platemaker.resolved._blank import Blank, blank_of
from platemaker.resolved._faces import ToFace, slanted_walls, thin, to_outline
from platemaker.resolved._layers import Layer, layers_of
from platemaker.resolved._stacked import FLUSH, TOUCHING
from platemaker.resolved._voids import Milled, Void, voids_of
from platemaker.resolved._walls import Wall, walls_of
from platemaker.space import Cylinder, HalfSpace, apart, entry, near_pairs

if TYPE_CHECKING:
    from platemaker.resolved._cut_faces import Section
    from platemaker.resolved._cutting import Cutting

USUAL = 10.0
"""Walls to the faces are asked for up to this, mm, or less as a rule: three times the limit of most metals."""


class ResolvedPart(Record):
    """A part with what follows from it; `bent` is the flat pattern of one bent from strip, None for any other."""

    part: Part
    bent: FlatPattern | None

    @cached_property
    def made_before(self) -> bool:
        """Whether it was found before that a solid can be made of it: it need not be asked again."""
        return False

    @property
    def flat(self) -> Part:
        """The part as a plate or bar: of one bent from strip its flat blank, of any other the part itself."""
        return self.bent.part if self.bent else self.part

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

    @cached_property
    def _meeting(self) -> dict[int, list[Void]]:
        upright = [void for void in self.voids if void.upright is not None]
        shapes = [void.plan if void.what == "mouth" else void.upright.shape for void in upright if void.upright]
        found = [(upright[i], upright[j]) for i, j, _ in closest_pairs(shapes, TOUCHING)]
        if len(upright) < len(self.voids):
            voids = self.voids
            for i, j in near_pairs([void.tool for void in voids], 0.0, lambda i, j: _in_space(voids[i], voids[j])):
                if apart(voids[i].tool, voids[j].tool) is None:
                    found.append((voids[i], voids[j]))
        met = dict[int, list[Void]]()
        for a, b in found:
            met.setdefault(id(a), []).append(b)
            met.setdefault(id(b), []).append(a)
        return met

    @cached_property
    def _to_outline(self) -> dict[int, Nearest]:
        return to_outline(self.voids, self.blank)

    def to_outline(self, void: Void) -> float:
        """From an upright void, where it is widest, to the outline, mm; below 0 how far it reaches out."""
        way = self._to_outline[id(void)]
        return way.distance - void.upright.widens if void.upright else way.distance

    @cached_property
    def keeps_clear(self) -> bool:
        """Whether no cut leaves an island, and all are clear of each other and of the outline: such part nothing."""
        alone = (_is_one(void, other) for void in self.voids for other in self.met_by(void))
        islands = any(isinstance(void, Milled) and void.region.holes for void in self.voids)
        return not islands and all(alone) and all(self.to_outline(void) > 0.0 for void in self.upright)

    def met_by(self, void: Void) -> list[Void]:
        """The voids that one of this part overlaps or touches: upright ones seen along the axis, others in space."""
        return self._meeting.get(id(void), [])

    def met_by_cut(self, name: str) -> list[Void]:
        """The voids of other cuts that those of the cut of a name overlap or touch, each once."""
        met = {id(void): void for own in self.voids_named(name) for void in self.met_by(own)}
        return [void for void in met.values() if void.cut.name != name]

    def breaking(self, side: Side) -> Iterator[Void]:
        """The upright voids that break the lower or upper face of a plate."""
        return (void for void in self.upright if self.breaks(void, side))

    def breaks(self, void: Void, side: Side) -> bool:
        """Whether a void is upright and breaks the lower or upper face of a plate."""
        if void.upright is None or void.what == "point":
            return False
        return void.high >= self.blank.height - FLUSH if side is Side.ABOVE else void.low <= FLUSH

    def mouth(self, void: Void, side: Side) -> Region | None:
        """Where a void breaks a plate's lower or upper face; of a slanted bore the slot that its ellipse lies in."""
        if void.upright is not None:
            return void.plan if self.breaks(void, side) else None
        bore, height = void.tool, self.blank.height if side is Side.ABOVE else 0.0
        if int(side is Side.ABOVE) not in void.opens or not isinstance(bore, Cylinder):
            return None
        met = entry(bore, HalfSpace((0.0, 0.0, height), (0.0, 0.0, -math.copysign(1.0, bore.axis[2]))))
        (x0, y0, _), (x1, y1, _) = met.first, met.last
        turn = math.degrees(math.atan2(y1 - y0, x1 - x0))
        return Region(Loop.slot(2 * met.section.major, 2 * met.section.minor, met.centre[:2], turn))

    def voids_by(self, cut: Hole | Profile) -> tuple[Void, ...]:
        """The voids of one cut."""
        return tuple(void for void in self.voids_named(cut.name) if void.cut is cut)

    def voids_named(self, name: str) -> Sequence[Void]:
        """The voids of the cut of a name, of a bent part as they are in its flat pattern."""
        return self._by_name.get(name, ())

    @cached_property
    def _by_name(self) -> dict[str, list[Void]]:
        found = dict[str, list[Void]]()
        for void in self.voids:
            found.setdefault(void.cut.name, []).append(void)
        return found

    @cached_property
    def at_faces(self) -> tuple[ToFace, ...]:
        """Where voids on another axis than the blank reach its faces; besides, the least wall of each hole."""
        return tuple(self._slanted(TOUCHING))

    def _slanted(self, window: float) -> Iterator[ToFace]:
        """Walls from voids on any other axis to the faces, up to `window` mm: looked for once up to what is usual."""
        wide = max(window, USUAL)
        if wide not in self._slanted_up_to:
            self._slanted_up_to[wide] = tuple(slanted_walls(self.voids, self.blank, wide))
        return thin(self._slanted_up_to[wide], window)

    @cached_property
    def _slanted_up_to(self) -> dict[float, tuple[ToFace, ...]]:
        return {}

    def section(self, cutting: Cutting, at: float) -> Section:
        """The part as it stands, bent where it is, cut by an upright plane square to X or Y at a place, mm."""
        from platemaker.resolved._cut_faces import section_of  # noqa: PLC0415 - only drawings and meshes need it

        return section_of(self.part, self.blank, self.voids, cutting, at)

    def walls(self, window: float) -> tuple[Wall, ...]:
        """The least metal between its cuts where they come within `window`, mm, and from each to every face."""
        if window not in self._walls:
            slanted = self._slanted(window)
            self._walls[window] = walls_of(self.blank, self.voids, self._to_outline, slanted, window)
        return self._walls[window]

    @cached_property
    def _walls(self) -> dict[float, tuple[Wall, ...]]:
        return {}

    @cached_property
    def broken(self) -> frozenset[str]:
        """Names of the cuts that break out of the blank or into one that they are not meant to meet."""
        walls = self.walls(max(self._walls, default=0.0))
        through = [wall for wall in walls if wall.distance <= FLUSH]
        return frozenset(void.cut.name for wall in through for void in (wall.a, wall.b) if isinstance(void, Void))

    def in_part(self, point: Vec3) -> Vec3:
        """A point of the flat pattern where it lies in the part."""
        return point if self.flat is self.part else bent_point(self.part, point)


def resolved(part: Part) -> ResolvedPart:
    """What follows from a part; kept with it, so that every reader reads the same."""
    return kept_with(part, "_resolved", lambda: ResolvedPart(part, flat_pattern(part)))


def _is_one(a: Void, b: Void) -> bool:
    """Whether two voids are steps of one hole, or of one piece of a milled cut."""
    pieces = {void.piece for void in (a, b) if isinstance(void, Milled)}
    return a.cut is b.cut and len(pieces) < 2


def _in_space(a: Void, b: Void) -> bool:
    """Whether two voids meet in space rather than along one axis, and are not steps of one hole."""
    return a.cut is not b.cut and (a.upright is None or b.upright is None)
