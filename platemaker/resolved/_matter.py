"""What is left of a part, as figures in space that together cover it: for whatever must keep clear of the part."""

from __future__ import annotations

import math
from collections.abc import Iterator

from platemaker.parts import Envelope, Part, StripStock
from platemaker.plane import Arc, Edge, Line, Loop, Region
from platemaker.resolved._part import resolved
from platemaker.space import Cylinder, Frame, Prism


def matter_of(part: Part) -> tuple[Cylinder | Prism, ...]:
    """What is left of a part: prisms between the depths of its upright cuts; figures together cover the part.

    Only cuts along a plate's thickness are taken out, without drill points and mouths: bores on other axes, holes in
    round bar and strip, and the hollow of a bend are left filled, so nothing reads farther from the part than it is.
    """
    if part.strip is not None:
        return tuple(_strip_pieces(part.strip))
    one = resolved(part)
    if part.bar is not None:
        foot, top = (one.blank.frame.to_world((0.0, 0.0, z)) for z in (0.0, one.blank.height))
        return (Cylinder(foot, top, part.bar.diameter / 2),)
    return tuple(
        Prism(region, Frame((0.0, 0.0, layer.bottom)), layer.top - layer.bottom)
        for layer in one.layers
        for region in layer.regions
    )


def exact_figure(given: Envelope) -> Cylinder | Prism:
    """The figure of an envelope that is no STEP file, in the body's frame."""
    height = given.size[2]
    if given.circle is not None:
        x, y = given.circle.centre
        return Cylinder((x, y, 0.0), (x, y, height), given.circle.radius)
    return Prism(given.plan, Frame(), height)


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
