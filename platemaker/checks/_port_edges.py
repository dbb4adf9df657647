"""Openings on either side of a joint, in its frame, and the steps that one leaves standing in the other's flow."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

from platemaker.checks._seal_lines import carriers, in_joint
from platemaker.parts import Joint, Kind, Mounting, Part, PlateStock, Profile, ProfileKind, Side, Stack, voids_of
from platemaker.plane import Arc, Edge, Measures, Point, Region, intersect, measures, moved, subtract, unite

DIRECTIONS = 8
"""Ways in which parts are pushed aside to find the worst step: along the axes and between them."""
SHARES = (0.0, 0.25, 0.5, 0.75)
"""Where on each piece of a step's edge its width is looked for first."""
FINE = 1e-4
"""The widest place is sought to this, mm along the edge."""
GOLDEN = (math.sqrt(5.0) - 1.0) / 2.0


@dataclass(frozen=True)
class Opened:
    """What is open on one side of a joint or in its gasket: whose, its figures, and how thick it is behind, mm.

    `place` is how far it can lie from where it is drawn, mm: half the play of its bolt holes.
    """

    owner: str
    regions: tuple[Region, ...]
    thickness: float | None
    place: float
    is_gasket: bool = False

    @cached_property
    def measures(self) -> Measures:
        """Area and centroid of the figures."""
        return measures(*self.regions)

    def pushed(self, dx: float, dy: float) -> tuple[Region, ...]:
        """The figures moved aside."""
        return tuple(moved(region, dx, dy) for region in self.regions)


@dataclass(frozen=True)
class Step:
    """Material of `after` that stands in the flow out of `before`: figures in the joint's frame, mm."""

    before: Opened
    after: Opened
    regions: tuple[Region, ...]

    @property
    def area(self) -> float:
        """Area that faces the flow, mm2."""
        return sum(region.area for region in self.regions)

    @property
    def edge(self) -> float:
        """Length of the edge of the opening before that the step runs along, mm."""
        return sum(edge.length for region in self.regions for edge in region.edges if self._outer(edge))

    def _outer(self, edge: Edge) -> bool:
        """Whether a piece of a step's boundary is the edge of the opening before, not of the one after."""
        return _off(edge.point(0.5), self.after.regions) > 1e-6

    def widest(self) -> tuple[float, Point]:
        """The widest place: how far the opening before reaches beyond the one after, mm, and where."""
        best, at = 0.0, (0.0, 0.0)
        for region in self.regions:
            for edge in region.edges:
                wide, share = max((_off(edge.point(share), self.after.regions), share) for share in SHARES)
                if wide <= best - edge.length / 4:
                    continue
                wide, share = _refined(edge, share, self.after.regions)
                if wide > best:
                    best, at = wide, edge.point(share)
        return best, at

    def worst(self, by: float) -> float:
        """The largest area when the part after lies `by` mm aside, in whichever of some directions."""
        if by <= 0:
            return self.area
        turns = [k * math.tau / DIRECTIONS for k in range(DIRECTIONS)]
        pushed = [self.after.pushed(by * math.cos(turn), by * math.sin(turn)) for turn in turns]
        return max(self.area, *(_left(self.before.regions, after) for after in pushed))

    def moved_area(self) -> tuple[float, float]:
        """How far to move the part after to bring both centroids together, mm, and the area then left."""
        (x0, y0), (x1, y1) = self.before.measures.centroid, self.after.measures.centroid
        by = math.dist((x0, y0), (x1, y1))
        return by, _left(self.before.regions, self.after.pushed(x0 - x1, y0 - y1)) if by > 1e-6 else self.area


def left_of(before: Sequence[Region], after: Sequence[Region]) -> tuple[Region, ...]:
    """What of some figures lies outside others."""
    return tuple(region for one in before for region in subtract(one, *after))


def _left(before: Sequence[Region], after: Sequence[Region]) -> float:
    return sum(region.area for region in left_of(before, after))


def _off(point: Point, regions: Sequence[Region]) -> float:
    """Distance of a point that lies outside, or on the edge of, some figures."""
    return min(_to_edge(point, edge) for region in regions for edge in region.edges)


def _to_edge(point: Point, edge: Edge) -> float:
    """Distance of a point from a line or an arc: to the foot of its square where that lies on it, else to an end."""
    ends = min(math.dist(point, edge.start), math.dist(point, edge.end))
    if isinstance(edge, Arc):
        x, y = point[0] - edge.centre[0], point[1] - edge.centre[1]
        start = math.atan2(edge.start[1] - edge.centre[1], edge.start[0] - edge.centre[0])
        turned = (math.atan2(y, x) - start) % math.tau
        passed = turned if edge.ccw else (math.tau - turned) % math.tau
        return abs(math.hypot(x, y) - edge.radius) if passed <= abs(edge.sweep) else ends
    (x0, y0), (u, v) = edge.start, edge.tangent(0.0)
    along = u * (point[0] - x0) + v * (point[1] - y0)
    return abs(u * (point[1] - y0) - v * (point[0] - x0)) if 0.0 <= along <= edge.length else ends


def _refined(edge: Edge, share: float, regions: Sequence[Region]) -> tuple[float, float]:
    """Golden-section search round a share of an edge for the greatest distance; ends are looked at, too."""
    low, high = max(share - 0.25, 0.0), min(share + 0.25, 1.0)
    ends = [(_off(edge.point(at), regions), at) for at in (low, share, high)]
    while (high - low) * edge.length > FINE:
        a, b = high - GOLDEN * (high - low), low + GOLDEN * (high - low)
        low, high = (low, b) if _off(edge.point(a), regions) > _off(edge.point(b), regions) else (a, high)
    middle = (low + high) / 2
    return max([*ends, (_off(edge.point(middle), regions), middle)])


def steps_of(stack: Stack, joint: Joint, towards: Side) -> Iterator[Step]:
    """The steps that a flow `towards` one side meets in a joint, in its order; none where a side has no opening."""
    sides = openings_of(stack, joint)
    ordered = list(reversed(sides)) if towards is Side.BELOW else sides
    for before, after in pairwise(ordered):
        yield Step(before, after, left_of(before.regions, after.regions))


def openings_of(stack: Stack, joint: Joint) -> list[Opened]:
    """What is open below a joint, in its gasket and shim, and above it; empty where a side is closed."""
    port = joint.opening
    if port is None:
        return []
    made = {}
    for part, mounting, stock in carriers(stack, joint):
        figures = _open_at(part, mounting, stock, port)
        made[part.name] = Opened(part.name, figures, stock.thickness, _play(part, joint), part.kind is Kind.GASKET)
    between = [part.name for kind in (Kind.GASKET, Kind.SHIM) for part, _, _ in carriers(stack, joint)
               if part.kind is kind]  # fmt: skip
    found = []
    for face in (joint.lower, *between, joint.upper):
        if face is None:
            continue
        owner = face if isinstance(face, str) else face.owner
        found.append(made.get(owner) or Opened(owner, (port,), None, 0.0))
    return found if len(found) > 1 and all(one.regions for one in found) else []


def _open_at(part: Part, mounting: Mounting, stock: PlateStock, port: Region) -> tuple[Region, ...]:
    """The openings and pockets of a part that break its face in a joint and meet the port, mouths included."""
    found = []
    for void in voids_of(part, widest=True):
        breaks = void.top >= stock.thickness - 1e-9 if mounting.side is Side.ABOVE else void.bottom <= 1e-9
        if not breaks or not isinstance(void.cut, Profile):
            continue
        if void.cut.kind in (ProfileKind.OPENING, ProfileKind.POCKET):
            region = in_joint(void.region, mounting)
            if intersect(region, port):
                found.append(region)
    return unite(*found) if len(found) > 1 else tuple(found)


def _play(part: Part, joint: Joint) -> float:
    """How far a part can be pushed aside on the joint's bolts, mm: half the least play of its clear holes."""
    bolts = joint.bolts
    wide = [min(step.diameter for step in hole.steps) for hole in part.holes
            if hole.joint == joint.name and hole.tapping is None]  # fmt: skip
    if bolts is None or not wide:
        return 0.0
    return max(0.0, (min(wide) - bolts.thread.major_diameter) / 2)
