"""The figure that pressure acts on in a joint: what is open there, set out to where the seal holds."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from functools import cached_property

from platemaker.parts import Hole, Joint, Kind, Mounting, Part, Port, Profile, ProfileKind, Stack
from platemaker.plane import Box, Measures, Region, contains, least_box, measures, offset, unite
from platemaker.records import Record
from platemaker.remembered import remembered
from platemaker.resolved import resolved


class Named(Record):
    """A figure in a joint's frame, and what it is; `covered` when nothing leads out of it."""

    name: str
    region: Region
    covered: bool = False


class Space(Record):
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


class SealLine(Record):
    """The pressed figures of a joint, in the joint's frame, and in words where their edges were taken.

    `spaces` are what is open at each of its openings, in their order.
    """

    spaces: tuple[Space, ...]
    regions: tuple[Region, ...]
    measures: Measures
    how: str

    @property
    def length(self) -> float:
        """Length of the seal lines, mm."""
        return math.fsum(region.outer.perimeter for region in self.regions)

    @cached_property
    def whole(self) -> Region:
        """The pressed figure; of several the least box round them all."""
        return self.regions[0] if len(self.regions) == 1 else least_box(self.regions).region

    @property
    def opened(self) -> tuple[Region, ...]:
        """Everything that is open."""
        return tuple(region for space in self.spaces for region in space.opened)

    @property
    def filled(self) -> float:
        """Area inside the edges of what is open, islands counted in, mm2."""
        return math.fsum(region.area for region in _apart([space.filled for space in self.spaces]))


def seal_line(stack: Stack, joint: Joint) -> SealLine | None:
    """The figures under pressure in a joint; None where nothing is open.

    The edge of what is open is set out to the middle of the land that the spec asks for round a gasket, or to the
    middle of the O-ring as it lies; metal on metal, it is the opening's own edge.
    """
    if not joint.ports:
        return None
    spaces = tuple(space_of(stack, joint, port) for port in joint.ports)
    seal, sheet = joint.seal, joint.gasket
    regions, how = [space.filled for space in spaces], "the opening's own edge: nothing seals further out"
    if seal is not None and (rings := ring_lines(stack, joint)):
        regions, how = rings, f"to the middle of O-ring {seal.ring.dash}"
    elif sheet is not None:
        regions = [region for space in spaces for region in offset(space.filled, sheet.land / 2)]
        how = "opening set out by half the land asked for"
    pressed = _apart(regions)
    if len(joint.ports) > 1:
        how = f"{len(joint.ports)} openings, each: {how}"
    return SealLine(spaces, pressed, measures(*pressed), how)


@remembered(256)
def _apart(figures: Sequence[Region]) -> tuple[Region, ...]:
    """Figures that each count once, islands counted in: those that overlap as one."""
    return tuple(figures) if len(figures) == 1 else tuple(Region(piece.outer) for piece in unite(*figures))


def ports_there(stack: Stack, joint: Joint, port: Port) -> dict[str, Region]:
    """An opening of a joint in the existing bodies on it, by owner: what is open there whatever is cut in the parts."""
    bodies = {body.name for body in stack.bodies}
    return {
        face.owner: there.region
        for face in joint.faces if face.owner in bodies
        for there in joint.ports_of(face.owner) if there.name == port.name
    }  # fmt: skip


def space_of(stack: Stack, joint: Joint, port: Port) -> Space:
    """What is open in a joint at one of its openings, and what ends the land round it: the other openings, too.

    A body's own port stands in place of the joint's opening, which then nothing but a cut makes.
    """
    there = list(ports_there(stack, joint, port).items())
    opening = there[0][1] if there else port.region
    figures = [Named(f"port of {owner}", region) for owner, region in there[1:] if region != opening]
    for other in joint.ports:
        if other.name != port.name:
            around = ports_there(stack, joint, other).items()
            figures += [Named(f"port {other.name} of {owner}", region) for owner, region in around]
    own: list[Named] = []
    outlines: list[Named] = []
    gasket = None
    for part, mounting in carriers(stack, joint):
        outlines.append(Named(f"{part.name} outline", mounting.in_joint(part.stock.plan)))
        gasket = part if part.kind is Kind.GASKET else gasket
        for is_own, found in cuts_at(part, mounting, joint):
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


@remembered(256)
def cuts_at(part: Part, mounting: Mounting, joint: Joint) -> tuple[tuple[bool, Named], ...]:
    """The cuts that break a part's face in a joint, in the joint's frame, and whether they are its own bolt holes."""
    found = []
    for void in resolved(part).breaking(mounting.side):
        region, cut = void.plan, void.cut
        if isinstance(cut, Profile) and cut.kind is ProfileKind.GROOVE and cut.joint == joint.name:
            continue
        is_own = isinstance(cut, Hole) and cut.joint == joint.name
        covered = not cut.through or (isinstance(cut, Hole) and cut.joint is not None)
        found.append((is_own, Named(f"{part.name} {void.label}", mounting.in_joint(region), covered)))
    return tuple(found)


@remembered(256)
def _connected(opening: Region, figures: Sequence[Named]) -> tuple[tuple[Region, ...], Sequence[Named]]:
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


def ring_lines(stack: Stack, joint: Joint) -> list[Region]:
    """The middle lines of a joint's O-rings: half a section inside the groove's outer wall."""
    found: list[Region] = []
    for part, mounting in carriers(stack, joint):
        for cut in part.profiles:
            if joint.seal and cut.kind is ProfileKind.GROOVE and cut.joint == joint.name:
                rim = Region(cut.regions[0].outer)
                found += offset(mounting.in_joint(rim), -joint.seal.ring.section / 2)
    return found
