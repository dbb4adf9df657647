"""The blank of a part: a region drawn out along an axis, and its faces, each as the figure next to it outside."""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import cached_property

from platemaker.parts import Part, Vec3
from platemaker.plane import Arc, Edge, Line, Loop, Region, nearest
from platemaker.records import Record
from platemaker.space import Frame, HalfSpace, Prism

ON_FACE = 1e-5
"""A point nearer to a face than this, mm, lies on it: places on arcs are rounded to the grid of a spec's lengths."""
SLIVER = 1e-3
"""Thickness of the figure that stands for the outside along one edge, mm: distances to it from inside are exact."""
CAPS = 2
"""Faces of a lower number are the ends of a blank."""
SMOOTH = 1e-6
"""Sine of the angle below which one edge runs smoothly on into the next."""


class BlankFace(Record):
    """A face of a blank. `figure` is the outside next to it; `plane` has the matter behind it when the face is flat.

    `smooth` are the numbers of the faces that it runs smoothly on into.
    """

    number: int
    name: str
    figure: HalfSpace | Prism
    plane: HalfSpace | None
    smooth: tuple[int, ...] = ()

    @property
    def is_flat(self) -> bool:
        """Whether the face is flat."""
        return self.plane is not None


class Blank(Record):
    """A blank as one prism in the part's frame: plates and bars along their thickness, round bar along its length.

    `caps` are the names of its lower and upper end, `side` that of what is round it.
    """

    prism: Prism
    caps: tuple[str, str]
    side: str

    @property
    def region(self) -> Region:
        """Its section."""
        return self.prism.region

    @property
    def height(self) -> float:
        """How far it is drawn out along the Z axis of its frame, mm."""
        return self.prism.height

    @property
    def frame(self) -> Frame:
        """The frame in which its section lies in the XY plane, from Z = 0 upwards."""
        return self.prism.frame

    @cached_property
    def faces(self) -> tuple[BlankFace, ...]:
        """Its lower and upper end, then a face for each edge of its section."""
        return tuple(self._faces())

    def _faces(self) -> Iterator[BlankFace]:
        frame = self.frame
        for number, (z, out) in enumerate(((0.0, -1.0), (self.height, 1.0))):
            plane = HalfSpace(frame.to_world((0.0, 0.0, z)), frame.turn((0.0, 0.0, out)))
            yield BlankFace(number, self.caps[number], plane.opposite, plane)
        number = CAPS
        for loop in self.region.loops:
            count = len(loop.edges)
            joined = [_runs_on(edge, loop.edges[(i + 1) % count]) for i, edge in enumerate(loop.edges)]
            for i, edge in enumerate(loop.edges):
                beside = {(i - 1) % count: joined[i - 1], (i + 1) % count: joined[i]}
                smooth = tuple(number + j for j, runs_on in beside.items() if runs_on and j != i)
                figure = Prism(Region.of(_sliver(edge)), frame, self.height)
                yield BlankFace(number + i, self.side, figure, _plane(edge, frame), smooth)
            number += count

    def at(self, point: Vec3) -> frozenset[int]:
        """Numbers of the faces that a point of the part's frame lies on."""
        x, y, z = self.frame.to_local(point)
        found = {number for number, level in ((0, 0.0), (1, self.height)) if abs(z - level) <= ON_FACE}
        if not found or nearest((x, y), self.region).distance <= ON_FACE:
            edges = enumerate(self.region.edges, 2)
            found |= {number for number, edge in edges if nearest((x, y), edge).distance <= ON_FACE}
        return frozenset(found)


def blank_of(part: Part) -> Blank:
    """The blank of a part; one bent from strip is given as its flat pattern."""
    bar = part.bar
    if bar is None:
        return Blank(Prism(part.stock.plan, Frame(), part.stock.height), ("face below", "face above"), "outline")
    middle = bar.diameter / 2
    frame = Frame((-bar.length / 2, 0.0, middle), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
    section = Region.of(Loop.circle((0.0, 0.0), middle, "outside"))
    return Blank(Prism(section, frame, bar.length), ("front end", "rear end"), "outside")


def _runs_on(edge: Edge, following: Edge) -> bool:
    """Whether an edge meets the next one without a corner."""
    u, v = edge.tangent(1.0), following.tangent(0.0)
    return abs(u[0] * v[1] - u[1] * v[0]) <= SMOOTH and u[0] * v[0] + u[1] * v[1] > 0.0


def _plane(edge: Edge, frame: Frame) -> HalfSpace | None:
    if not isinstance(edge, Line):
        return None
    ux, uy = edge.tangent(0.0)
    return HalfSpace(frame.to_world((*edge.start, 0.0)), frame.turn((uy, -ux, 0.0)))


def _sliver(edge: Edge) -> Loop:
    """A thin figure along an edge, on the right of its travel: outside, as outlines run with the matter on the left."""
    if isinstance(edge, Line):
        (ux, uy), (x0, y0), (x1, y1) = edge.tangent(0.0), edge.start, edge.end
        off = (SLIVER * uy, -SLIVER * ux)
        return Loop.rounded([(x0, y0), (x0 + off[0], y0 + off[1]), (x1 + off[0], y1 + off[1]), (x1, y1)])
    grown = edge.radius + SLIVER if edge.ccw else edge.radius - min(SLIVER, edge.radius / 2)
    far = Arc(_pushed(edge, edge.start, grown), _pushed(edge, edge.end, grown), edge.centre, grown, edge.ccw)
    return Loop((edge.reversed(), Line(edge.start, far.start), far, Line(far.end, edge.end)))


def _pushed(arc: Arc, point: tuple[float, float], radius: float) -> tuple[float, float]:
    share = radius / math.dist(arc.centre, point)
    x, y = arc.centre
    return x + share * (point[0] - x), y + share * (point[1] - y)
