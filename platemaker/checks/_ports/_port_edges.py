"""Openings on either side of a joint, in its frame, and the steps that one leaves standing in the other's flow."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from functools import cached_property
from itertools import pairwise

from platemaker.checks._loads._seal_lines import carriers
from platemaker.checks._ports._port_doubt import Doubt, doubt_of
from platemaker.parts import Joint, Kind, Mounting, Part, Profile, ProfileKind, Side, Stack
from platemaker.plane import Arc, Edge, Measures, Point, Region, measures, moved, overlap, shared_areas, subtract, unite
from platemaker.records import Record
from platemaker.remembered import known, remembered
from platemaker.resolved import resolved

DIRECTIONS = 8
"""Ways in which parts are pushed aside at first to find the worst step: along the axes and between them."""
SHARES = (0.0, 0.25, 0.5, 0.75, 1.0)
"""Where on each piece of a step's edge its width is looked for first."""
FINE = 1e-4
"""The widest place is sought to this, mm along the edge."""
FIRST, LAST = 1.0, 0.005
"""Steps in which the best move is sought, mm: from the first, halved down to the last."""
GOLDEN = (math.sqrt(5.0) - 1.0) / 2.0


class Opened(Record):
    """What is open on one side of a joint or in its gasket: whose, its figures, and how thick it is behind, mm.

    `play` is how far it can be pushed on its dowels or bolts, mm, and `zone` how far the holes for them may lie from
    where they are drawn: half the diameter of their position zone. `doubt` is what a survey leaves open about where an
    existing body has it.
    """

    owner: str
    regions: tuple[Region, ...]
    thickness: float | None
    play: float
    is_gasket: bool = False
    doubt: Doubt | None = None
    zone: float = 0.0

    @cached_property
    def measures(self) -> Measures:
        """Area and centroid of the figures."""
        return measures(*self.regions)

    @property
    def is_body(self) -> bool:
        """Whether it exists already: it stays where it is, and how deep its port goes is not specified."""
        return self.thickness is None

    def pushed(self, dx: float, dy: float) -> tuple[Region, ...]:
        """The figures moved aside."""
        return tuple(moved(region, dx, dy) for region in self.regions)

    def shifted(self, u: float, v: float) -> tuple[Region, ...]:
        """The figures as far along a unit vector as a survey leaves open; as they are drawn where none does."""
        return (self.doubt.at(self.doubt.shift(u, v)),) if self.doubt else self.regions

    def turned(self, sense: float) -> tuple[Region, ...]:
        """The same for a turn: counter-clockwise for 1, clockwise for -1."""
        return (self.doubt.at(self.doubt.turn, sense),) if self.doubt else self.regions

    def sized(self, sense: float) -> tuple[Region, ...]:
        """The same at their largest for 1, at their smallest for -1."""
        return (self.doubt.at(self.doubt.area, sense),) if self.doubt else self.regions


class PortStep(Record):
    """Material of `after` that stands in the flow out of `before`: figures in the joint's frame, mm."""

    before: Opened
    after: Opened
    regions: tuple[Region, ...]

    @property
    def play(self) -> float:
        """How far one part can be pushed on the other, mm."""
        return self.before.play + self.after.play

    @property
    def aside(self) -> float:
        """How far the openings can come to lie aside by play and position zones, mm."""
        return self.play + self.before.zone + self.after.zone

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

    @cached_property
    def widest(self) -> tuple[float, Point]:
        """The widest place: how far the opening before reaches beyond the one after, mm, and where."""
        best, at = 0.0, (0.0, 0.0)
        edges = [edge for region in self.regions for edge in region.edges]
        first = [max((_off(edge.point(share), self.after.regions), share) for share in SHARES) for edge in edges]
        for k in sorted(range(len(edges)), key=lambda k: -first[k][0]):
            (wide, share), edge = first[k], edges[k]
            # Between two of these places a width exceeds the larger one by no more than half the way between them.
            if wide <= best - edge.length / 8:
                continue
            wide, share = _refined(edge, share, self.after.regions)
            if wide > best:
                best, at = wide, edge.point(share)
        return best, at

    @remembered(256)
    def worst(self, by: float) -> float:
        """The largest area when the part after lies `by` mm aside, in whichever direction."""
        return max(self.area, _worst_way(lambda ways: self._moved_each(by, ways))) if by > 0 else self.area

    @remembered(256)
    def worst_surveyed(self, by: float) -> float:
        """The largest area with both ports anywhere in their 95 % regions and the parts `by` mm aside as well.

        Looked for where the regions reach farthest: in whichever direction, turned either way, and with the port before
        at its largest over one after at its smallest.
        """
        before, after = self.before, self.after

        def shifted(ways: Sequence[Point]) -> list[float]:
            pushed = [[moved(region, -by * u, -by * v) for region in after.shifted(-u, -v)] for u, v in ways]
            return _left([(before.shifted(u, v), regions) for (u, v), regions in zip(ways, pushed, strict=True)])

        others = [(before.turned(sense), after.turned(-sense)) for sense in (1.0, -1.0)]
        return max(self.area, *_left([(before.sized(1.0), after.sized(-1.0)), *others]), _worst_way(shifted))

    def moved_by(self, dx: float, dy: float) -> float:
        """The area left when the part after is moved, mm2."""
        return self._moved_each(1.0, [(dx, dy)])[0]

    def _moved_each(self, by: float, ways: Sequence[Point]) -> list[float]:
        """The area left when the part after is moved `by` times as far as each of these ways, mm2."""
        return _left([(self.before.regions, self.after.pushed(by * u, by * v)) for u, v in ways])

    def best_move(self, enough: float) -> tuple[Point, float]:
        """How to move the part after, mm, and the area then left, mm2.

        Both centroids together, and better still while more than `enough` is left; no further than it needs be.
        """
        (x0, y0), (x1, y1) = self.before.measures.centroid, self.after.measures.centroid
        best, at, by = self.moved_by(x0 - x1, y0 - y1), (x0 - x1, y0 - y1), FIRST
        while best > enough and by > LAST:
            places = [(at[0] + by * u, at[1] + by * v) for u, v in ways()]
            better = min(zip(self._moved_each(1.0, places), places, strict=True))
            best, at, by = (*better, by) if better[0] < best - 1e-9 else (best, at, by / 2)
        low, high = 0.0, 1.0
        while math.hypot(*at) * (high - low) > LAST / 10:
            share = (low + high) / 2
            low, high = (low, share) if self.moved_by(share * at[0], share * at[1]) <= best + 1e-6 else (share, high)
        return (high * at[0], high * at[1]), best


def ways() -> list[tuple[float, float]]:
    """The directions in which parts are pushed aside, as unit vectors."""
    return [(math.cos(k * math.tau / DIRECTIONS), math.sin(k * math.tau / DIRECTIONS)) for k in range(DIRECTIONS)]


def _worst_way(areas_of: Callable[[Sequence[Point]], list[float]]) -> float:
    """The largest area over the directions of a shift: about the worst of `ways`, at the tops of two parabolas."""

    def at(*turned: float) -> list[float]:
        return areas_of([(math.cos(each), math.sin(each)) for each in turned])

    areas, step = areas_of(ways()), math.tau / DIRECTIONS
    worst = max(range(DIRECTIONS), key=areas.__getitem__)
    turned = _top(worst * step, step, areas[worst - 1], areas[worst], areas[(worst + 1) % DIRECTIONS])
    near = at(turned - step / 4, turned, turned + step / 4)
    return max(areas[worst], *near, *at(_top(turned, step / 4, *near)))


def _top(middle: float, step: float, before: float, there: float, after: float) -> float:
    """Where the parabola through three values, a step apart, is highest; the middle where it has no top inside."""
    bend = before - 2 * there + after
    return middle + step * (before - after) / (2 * bend) if bend < 0 and before < there > after else middle


def left_of(before: Sequence[Region], after: Sequence[Region]) -> tuple[Region, ...]:
    """What of some figures lies outside others."""
    return tuple(region for one in before for region in subtract(one, *after))


def _left(cases: Sequence[tuple[Sequence[Region], Sequence[Region]]]) -> list[float]:
    """Area of figures before that lies outside those after, mm2, case by case."""
    shared = shared_areas(cases)
    return [sum(region.area for region in before) - same for (before, _), same in zip(cases, shared, strict=True)]


def _off(point: Point, regions: Sequence[Region]) -> float:
    """Distance of a point that lies outside, or on the edge of, some figures."""
    return min(_to_edge(point, edge) for region in regions for edge in region.edges)


def _to_edge(point: Point, edge: Edge) -> float:
    """Distance of a point from a line or an arc: to the foot of its square where that lies on it, else to an end."""
    # A search asks this of one piece after another: for `plane.nearest`, which asks many at once, that is slow.
    if isinstance(edge, Arc):
        x, y = point[0] - edge.centre[0], point[1] - edge.centre[1]
        if edge.covers(math.atan2(y, x)):
            return abs(math.hypot(x, y) - edge.radius)
    else:
        (x0, y0), (u, v) = edge.start, edge.tangent(0.0)
        x, y = point[0] - x0, point[1] - y0
        if 0.0 <= u * x + v * y <= edge.length:
            return abs(u * y - v * x)
    return min(math.dist(point, edge.start), math.dist(point, edge.end))


def _refined(edge: Edge, share: float, regions: Sequence[Region]) -> tuple[float, float]:
    """Golden-section search round a share of an edge for the greatest distance; ends are looked at, too."""
    low, high = max(share - 0.25, 0.0), min(share + 0.25, 1.0)

    def off(at: float) -> tuple[float, float]:
        return _off(edge.point(at), regions), at

    ends = [off(at) for at in (low, share, high)]
    a, b = off(high - GOLDEN * (high - low)), off(low + GOLDEN * (high - low))
    while (high - low) * edge.length > FINE:
        if a[0] > b[0]:
            high, b = b[1], a
            a = off(high - GOLDEN * (high - low))
        else:
            low, a = a[1], b
            b = off(low + GOLDEN * (high - low))
    return max(*ends, off((low + high) / 2))


def steps_of(sides: Sequence[Opened], towards: Side) -> Iterator[PortStep]:
    """The steps that a flow `towards` one side meets in a joint of these openings, bottom up, in its order."""
    ordered = list(reversed(sides)) if towards is Side.BELOW else sides
    for before, after in pairwise(ordered):
        yield known(PortStep(before, after, left_of(before.regions, after.regions)))


def openings_of(stack: Stack, joint: Joint, name: str) -> list[Opened]:
    """What is open at one opening of a joint below it, in its gasket and shim, and above it, closed sides included."""
    every = (*joint.ports, *(port for face in joint.faces for port in face.ports))
    ports = [port.region for port in every if port.name == name]
    made = {}
    for part, mounting in carriers(stack, joint):
        figures = _open_at(part, mounting, ports)
        made[part.name] = Opened(part.name, figures, part.stock.height, _play(part, joint), part.kind is Kind.GASKET,
                                 zone=_zone(joint, part.name))  # fmt: skip
    between = [part.name for kind in (Kind.GASKET, Kind.SHIM) for part, _ in carriers(stack, joint)
               if part.kind is kind]  # fmt: skip
    found = []
    for face in (joint.lower, *between, joint.upper):
        if face is None:
            continue
        owner = face if isinstance(face, str) else face.owner
        if owner not in made:
            [there] = [port.region for port in joint.ports_of(owner) if port.name == name]
            doubt, play = doubt_of(stack, joint, owner, name), _dowel_play(joint, owner) or 0.0
            made[owner] = Opened(owner, (there,), None, play, doubt=doubt, zone=0.0 if doubt else _zone(joint, owner))
        found.append(made[owner])
    return found


@remembered(256)
def _open_at(part: Part, mounting: Mounting, ports: Sequence[Region]) -> tuple[Region, ...]:
    """The openings and pockets of a part that break its face in a joint and meet a port there, mouths included."""
    found = []
    for void in resolved(part).breaking(mounting.side):
        if isinstance(void.cut, Profile) and void.cut.kind in (ProfileKind.OPENING, ProfileKind.POCKET):
            region = mounting.in_joint(void.plan)
            if any(overlap(region, port) for port in ports):
                found.append(region)
    return unite(*found) if len(found) > 1 else tuple(found)


def _play(part: Part, joint: Joint) -> float:
    """How far a part can be pushed aside, mm: half the play of its dowels' bores, or the least of its bolts' holes."""
    bolts = joint.bolts
    wide = [hole.diameter for hole in part.holes
            if hole.joint == joint.name and hole.tapping is None]  # fmt: skip
    if bolts is None or not wide:
        return 0.0
    loose = max(0.0, (min(wide) - bolts.thread.major_diameter) / 2)
    held = _dowel_play(joint, part.name)
    return loose if held is None else min(loose, held)


def _dowel_play(joint: Joint, owner: str) -> float | None:
    """How far an owner of a face can be pushed on the joint's dowels, mm; None where no two of them hold it."""
    dowels = joint.dowels
    if dowels is None or len(dowels.spots) < 2 or all(face.owner != owner for face in joint.faces):
        return None  # about a single dowel a part still turns as far as its bolts let it
    below = joint.lower is not None and joint.lower.owner == owner
    return 0.0 if dowels.pressed is (Side.BELOW if below else Side.ABOVE) else dowels.most_play / 2


def _zone(joint: Joint, owner: str) -> float:
    """How far the holes that place an owner may lie from where they are drawn, mm: its dowels', else its bolts'."""
    for face in joint.faces:
        if face.owner != owner:
            continue
        if joint.dowels is not None:
            return joint.dowels.position / 2
        if not face.read.issuperset(joint.spots):  # else they lie where they were read
            return (face.position or 0.0) / 2
    return 0.0
