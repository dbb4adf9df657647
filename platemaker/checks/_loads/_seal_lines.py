"""The figure that pressure acts on in a joint: what is open there, set out to where the seal holds."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

from platemaker.parts import Hole, Joint, Kind, Mounting, Part, Profile, ProfileKind, Stack
from platemaker.plane import Box, Measures, Region, contains, measures, offset, unite
from platemaker.resolved import resolved


@dataclass(frozen=True)
class Named:
    """A figure in a joint's frame, and what it is; `covered` when nothing leads out of it."""

    name: str
    region: Region
    covered: bool = False


@dataclass(frozen=True)
class Space:
    """What is open in a joint, all its made faces and its gasket laid on each other, in the joint's frame.

    `opened` is the port with every cut that meets it there, but for the joint's own bolt holes. `exits` are those and
    whatever else leads out, `cavities` what the other face covers: blind cuts, and heads in their counterbores.
    `outlines` are the edges of the faces.
    """

    opened: tuple[Region, ...]
    exits: tuple[Named, ...]
    cavities: tuple[Named, ...]
    outlines: tuple[Named, ...]
    gasket: Part | None

    @cached_property
    def filled(self) -> Region:
        """The largest of the open figures, islands counted in."""
        return max((Region(region.outer) for region in self.opened), key=lambda region: region.area)


@dataclass(frozen=True)
class SealLine:
    """The pressed figure of a joint, in the joint's frame, and in words where its edge was taken."""

    space: Space
    region: Region
    measures: Measures
    how: str

    @property
    def length(self) -> float:
        """Length of the seal line, mm."""
        return self.region.outer.perimeter


def seal_line(stack: Stack, joint: Joint) -> SealLine | None:
    """The figure under pressure in a joint; None where nothing is open.

    The edge of what is open is set out to the middle of the land that the spec asks for round a gasket, or to the
    middle of the O-ring as it lies; metal on metal, it is the opening's own edge.
    """
    if joint.opening is None:
        return None
    space = space_of(stack, joint, joint.opening)
    seal, sheet = joint.seal, joint.gasket
    region, how = space.filled, "the opening's own edge: nothing seals further out"
    if seal is not None and (ring := _ring_line(stack, joint)) is not None:
        region, how = ring, f"to the middle of O-ring {seal.ring.dash}"
    elif sheet is not None:
        [region] = offset(space.filled, sheet.land / 2)
        how = f"opening set out by {sheet.land / 2:g} mm, half the land asked for"
    return SealLine(space, region, measures(region), how)


def ports_there(stack: Stack, joint: Joint) -> dict[str, Region]:
    """The ports of the existing bodies on a joint, by owner: what is open there whatever is cut in the parts."""
    bodies = {body.name for body in stack.bodies}
    ports = {face.owner: joint.port(face.owner) for face in joint.faces if face.owner in bodies}
    return {owner: port for owner, port in ports.items() if port is not None}


def space_of(stack: Stack, joint: Joint, opening: Region) -> Space:
    """What is open in a joint with the port `opening`, and what ends the land round it.

    A body's own port stands in place of the joint's opening, which then nothing but a cut makes.
    """
    there = list(ports_there(stack, joint).items())
    opening = there[0][1] if there else opening
    figures = [Named(f"port of {owner}", port) for owner, port in there[1:] if port != opening]
    own: list[Named] = []
    outlines: list[Named] = []
    gasket = None
    for part, mounting in carriers(stack, joint):
        outlines.append(Named(f"{part.name} outline", mounting.in_joint(part.stock.plan)))
        gasket = part if part.kind is Kind.GASKET else gasket
        for is_own, found in _cuts_at(part, mounting, joint):
            (own if is_own else figures).append(found)
    opened, left = _connected(opening, figures)
    exits = (*own, *(figure for figure in left if not figure.covered))
    return Space(opened, exits, tuple(figure for figure in left if figure.covered), tuple(outlines), gasket)


def carriers(stack: Stack, joint: Joint) -> Iterator[tuple[Part, Mounting]]:
    """The made parts on either side of a joint, and its gasket."""
    for part in stack.parts:
        for mounting in part.mountings:
            if mounting.joint == joint.name:
                yield part, mounting


def _cuts_at(part: Part, mounting: Mounting, joint: Joint) -> Iterator[tuple[bool, Named]]:
    """The cuts that break a part's face in a joint, in the joint's frame, and whether they are its own bolt holes."""
    for void in resolved(part).breaking(mounting.side):
        region, cut = void.plan, void.cut
        if isinstance(cut, Profile) and cut.kind is ProfileKind.GROOVE and cut.joint == joint.name:
            continue
        is_own = isinstance(cut, Hole) and cut.joint == joint.name
        covered = not cut.through or (isinstance(cut, Hole) and cut.joint is not None)
        yield is_own, Named(f"{part.name} {void.label}", mounting.in_joint(region), covered)


def _connected(opening: Region, figures: Sequence[Named]) -> tuple[tuple[Region, ...], list[Named]]:
    """The opening united with all figures that meet it, directly or by way of others; and those that do not.

    Only figures whose boxes hang together with the opening's are united, all at once.
    """
    near, boxes, left = list[Named](), [opening.bounds], list(figures)
    while grown := [figure for figure in left if _near(boxes, figure.region.bounds)]:
        near += grown
        boxes = [figure.region.bounds for figure in grown]
        left = [figure for figure in left if figure not in grown]
    if not near:
        return (opening,), left
    pieces = unite(opening, *(figure.region for figure in near))
    if len(pieces) == 1:
        return pieces, left
    space = tuple(piece for piece in pieces if _part_of(opening, piece))
    return space, [*left, *(it for it in near if not any(_part_of(it.region, piece) for piece in space))]


def _part_of(figure: Region, piece: Region) -> bool:
    """Whether a figure went into a piece of the union: then all its points lie in it, edge included."""
    return contains(piece, figure.outer.edges[0].start)


def _near(boxes: Sequence[Box], figure: Box) -> bool:
    """Whether boxes overlap: cheaper to ask than the figures themselves."""
    a0, b0, a1, b1 = figure
    return any(x0 < a1 and a0 < x1 and y0 < b1 and b0 < y1 for x0, y0, x1, y1 in boxes)


def _ring_line(stack: Stack, joint: Joint) -> Region | None:
    """The middle line of a joint's O-ring: half a section inside the groove's outer wall."""
    for part, mounting in carriers(stack, joint):
        for cut in part.profiles:
            if joint.seal and cut.kind is ProfileKind.GROOVE and cut.joint == joint.name:
                rim = Region(cut.regions[0].outer)
                [line] = offset(mounting.in_joint(rim), -joint.seal.ring.section / 2)
                return line
    return None
