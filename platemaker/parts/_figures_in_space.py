"""Parts as exact figures in space, in their own frames: what each cut takes out, where a blank ends, what is left."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from platemaker.parts._cuts import Hole, Profile, Side, Step, Vec3, stretch_label
from platemaker.parts._part import Part
from platemaker.parts._stock import PlateStock, RoundStock, StripStock
from platemaker.parts._volume import layers_of
from platemaker.plane import Arc, Edge, Line, Loop, Region, offset
from platemaker.space import Cone, Cylinder, Frame, HalfSpace, Prism, extended, trimmed

BEYOND = 1.0
"""How far a slanted bore is drawn past the faces that it is then cut to, mm."""
SLIVER = 0.1
"""Thickness of the figure that stands for the outside along one edge of an outline, mm: distances to it are exact."""


@dataclass(frozen=True)
class VoidFigure:
    """One stretch of what a cut takes out: hole, thread, counterbore, drill point, a milled figure, or its mouth."""

    cut: Hole | Profile
    what: str
    figure: Cylinder | Cone | Prism

    @property
    def label(self) -> str:
        """The cut's name, with the stretch where that says more."""
        return stretch_label(self.cut, self.what)


@dataclass(frozen=True)
class Boundary:
    """Where a blank ends: the outside next to one of its faces, as a figure; `plane` is that face when it is flat."""

    name: str
    figure: HalfSpace | Prism
    plane: HalfSpace | None


def void_figures(part: Part, *, widest: bool = True) -> tuple[VoidFigure, ...]:
    """What the cuts of a part take out; threads have their major diameter, or the drill's without `widest`.

    With `widest`, mouths of openings too, at their full width over their depth. Slanted bores in plates are cut to the
    plate's faces. Threads' run-outs are left out.
    """
    found: list[VoidFigure] = []
    for cut in part.cuts:
        if isinstance(cut, Profile):
            found += _milled(part, cut, widest)
        elif isinstance(cut, Hole):
            found += _round(part, cut, widest)
    return tuple(found)


def _milled(part: Part, cut: Profile, widest: bool) -> Iterator[VoidFigure]:
    if not isinstance(part.stock, PlateStock):
        return
    thick = part.stock.thickness
    low = thick - cut.depth if cut.side is Side.ABOVE else 0.0
    for region in cut.regions:
        yield VoidFigure(cut, cut.kind.value, Prism(region, Frame((0.0, 0.0, low)), cut.depth))
        if widest and cut.mouth_width > 0:
            foot = thick - cut.mouth_depth if cut.mouth is Side.ABOVE else 0.0
            for wide in offset(region, cut.mouth_width):
                yield VoidFigure(cut, "mouth", Prism(wide, Frame((0.0, 0.0, foot)), cut.mouth_depth))


def _round(part: Part, hole: Hole, widest: bool) -> Iterator[VoidFigure]:
    for step in hole.steps:
        what = "hole" if step is hole.steps[-1] else step.operation.value
        for start, end, diameter, kind in _stretches(hole, step, what, widest):
            bore = Cylinder(hole.point(start), hole.point(end), diameter / 2)
            ends = (start == 0.0, hole.through and end == hole.depth)
            cut = _to_faces(bore, part.stock.thickness, ends) if isinstance(part.stock, PlateStock) else bore
            if cut is not None:
                yield VoidFigure(hole, kind, cut)
    if not hole.through and hole.tip_angle is not None:
        bottom = hole.point(hole.depth)
        yield VoidFigure(hole, "point", Cone.drill_point(bottom, hole.direction, hole.diameter, hole.tip_angle))


def _stretches(hole: Hole, step: Step, what: str, widest: bool) -> list[tuple[float, float, float, str]]:
    """A step as start, end, diameter and what it is: where it is tapped, the thread and what lies beyond."""
    tapping = hole.tapping
    if not widest or tapping is None or step.start >= tapping.depth or step.diameter >= tapping.major_diameter:
        return [(step.start, step.end, step.diameter, what)]
    end = min(step.end, tapping.depth)
    found = [(step.start, end, tapping.major_diameter, "thread")]
    return found if end == step.end else [*found, (end, step.end, step.diameter, what)]


def _to_faces(bore: Cylinder, thickness: float, ends: tuple[bool, bool]) -> Cylinder | None:
    """A slanted bore drawn out past the plate's faces at its open ends, and cut to them; None where nothing is left."""
    x, y, z = bore.axis
    across = math.hypot(x, y)
    if across < 1e-12 or abs(z) < 1e-3:
        return bore
    past = bore.radius * across / abs(z) + BEYOND
    cut: Cylinder | None = extended(bore, past if ends[0] else 0.0, past if ends[1] else 0.0)
    for face in (HalfSpace((0.0, 0.0, thickness), (0.0, 0.0, 1.0)), HalfSpace((0.0, 0.0, 0.0), (0.0, 0.0, -1.0))):
        cut = trimmed(cut, face) if cut is not None else None
    return cut


def boundaries_of(part: Part) -> tuple[Boundary, ...]:
    """Where a part's blank ends; none for round bar, whose outside is no figure of the space room.

    For strip: its edges and free ends; the faces of the legs are left out, as every hole goes through them.
    """
    if isinstance(part.stock, PlateStock):
        return tuple(_of_plate(part.stock))
    if isinstance(part.stock, StripStock):
        return tuple(_of_strip(part.stock))
    return ()


def _outside(name: str, point: Vec3, out: Vec3) -> Boundary:
    face = HalfSpace(point, out)
    return Boundary(name, face.opposite, face)


def _of_plate(stock: PlateStock) -> Iterator[Boundary]:
    yield _outside("face above", (0.0, 0.0, stock.thickness), (0.0, 0.0, 1.0))
    yield _outside("face below", (0.0, 0.0, 0.0), (0.0, 0.0, -1.0))
    for edge in stock.region.edges:
        plane = None
        if isinstance(edge, Line):
            ux, uy = edge.tangent(0.0)
            plane = HalfSpace((*edge.start, 0.0), (uy, -ux, 0.0))
        yield Boundary("outline", Prism(Region.of(_sliver(edge)), Frame(), stock.thickness), plane)


def _of_strip(stock: StripStock) -> Iterator[Boundary]:
    for side, sign in (("left edge", 1.0), ("right edge", -1.0)):
        yield _outside(side, (0.0, sign * stock.width / 2, 0.0), (0.0, sign, 0.0))
    (x, z), (u, w) = stock.corners[0], stock.directions[0]
    yield _outside("first end", (x, 0.0, z), (-u, 0.0, -w))
    (x, z), (u, w) = stock.corners[-1], stock.directions[-1]
    yield _outside("last end", (x, 0.0, z), (u, 0.0, w))


def _sliver(edge: Edge) -> Loop:
    """A thin figure along an edge, on the right of its travel: outside, as outlines run with the matter on the left."""
    if isinstance(edge, Line):
        (ux, uy), (x0, y0), (x1, y1) = edge.tangent(0.0), edge.start, edge.end
        off = (SLIVER * uy, -SLIVER * ux)
        corners = [(x0, y0), (x0 + off[0], y0 + off[1]), (x1 + off[0], y1 + off[1]), (x1, y1)]
        return Loop.rounded(corners)
    grown = edge.radius + SLIVER if edge.ccw else edge.radius - min(SLIVER, edge.radius / 2)
    far = Arc(_pushed(edge, edge.start, grown), _pushed(edge, edge.end, grown), edge.centre, grown, edge.ccw)
    ring = (edge.reversed(), Line(edge.start, far.start), far, Line(far.end, edge.end))
    return Loop(ring)


def _pushed(arc: Arc, point: tuple[float, float], radius: float) -> tuple[float, float]:
    share = radius / arc.radius
    x, y = arc.centre
    return x + share * (point[0] - x), y + share * (point[1] - y)


def matter_of(part: Part) -> tuple[Cylinder | Prism, ...]:
    """What is left of a part: prisms between the depths of its square cuts; figures together cover the part.

    Only cuts square to a plate's faces are taken out, without drill points and mouths: bores on other axes,
    holes in bar and strip, and the hollow of a bend are left filled, so nothing reads farther from the part than it is.
    """
    stock = part.stock
    if isinstance(stock, PlateStock):
        return tuple(
            Prism(region, Frame((0.0, 0.0, layer.bottom)), layer.top - layer.bottom)
            for layer in layers_of(part)
            for region in layer.regions
        )
    if isinstance(stock, RoundStock):
        half, middle = stock.length / 2, stock.diameter / 2
        return (Cylinder((-half, 0.0, middle), (half, 0.0, middle), stock.diameter / 2),)
    return tuple(_strip_pieces(stock))


def _strip_pieces(stock: StripStock) -> Iterator[Prism]:
    """The straight of each leg, raised by its thickness; each bend, drawn out across, filled to the hollow's chord."""
    edges, count = stock.profile.outer.edges, 2 * len(stock.legs) - 1
    for number in range(count):
        bottom, top = edges[number], edges[-2 - number]
        if isinstance(bottom, Line):
            (x, z), (u, w) = bottom.start, bottom.tangent(0.0)
            flat = Loop.rectangle(bottom.length, stock.width, centre=(bottom.length / 2, 0.0))
            yield Prism(Region.of(flat), Frame((x, 0.0, z), (u, 0.0, w), (0.0, 1.0, 0.0)), stock.thickness)
            continue
        arc, inner = (bottom, top.reversed()) if bottom.radius > _radius(top) else (top.reversed(), bottom)
        bend = Loop((arc, Line(arc.end, inner.end), Line(inner.end, inner.start), Line(inner.start, arc.start)))
        # The bent profile lies in (X, Z); drawn out along -Y from one edge of the strip.
        upright = Frame((0.0, stock.width / 2, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0))
        yield Prism(Region.of(bend), upright, stock.width)


def _radius(edge: Edge) -> float:
    return edge.radius if isinstance(edge, Arc) else math.inf
