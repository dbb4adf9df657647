"""What is left of a part, as figures in space that together cover it: for whatever must keep clear of the part."""

from __future__ import annotations

import math
from collections.abc import Iterator

from platemaker.parts import Envelope, Part, StripStock, leg_frame
from platemaker.plane import Arc, Edge, Line, Loop, Region, intersect
from platemaker.resolved._part import ResolvedPart, resolved
from platemaker.space import Cylinder, Frame, Prism


def matter_of(part: Part) -> tuple[Cylinder | Prism, ...]:
    """What is left of a part: prisms between the depths of its upright cuts; figures together cover the part.

    Only cuts along the thickness of a plate or a strip are taken out, without drill points and mouths: bores on other
    axes, holes in round bar and the hollow of a bend are left filled, so nothing reads farther from it than it is.
    """
    one = resolved(part)
    if part.strip is not None:
        return (*_legs(one, part.strip), *_bends(part.strip))
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


def _legs(one: ResolvedPart, stock: StripStock) -> Iterator[Prism]:
    """What the cuts leave of the straight of each leg, layer by layer."""
    for leg, start in enumerate(one.bent.starts if one.bent else ()):
        first, last = stock.flat_of(leg)
        straight = Region.of(Loop.rectangle(last - first, stock.width, centre=(start + (first + last) / 2, 0.0)))
        frame = leg_frame(one.part, start + first)
        for layer in one.layers:
            foot = frame.moved(frame.turn((0.0, 0.0, layer.bottom)))
            for region in intersect(straight, layer.regions):
                yield Prism(region, foot, layer.top - layer.bottom)


def _bends(stock: StripStock) -> Iterator[Prism]:
    """Each bend, drawn out across, filled to the hollow's chord."""
    edges = stock.profile.outer.edges
    for number in range(1, 2 * len(stock.legs) - 1, 2):
        bottom, top = edges[number], edges[-2 - number]
        if not isinstance(bottom, Arc):
            continue
        arc, inner = (bottom, top.reversed()) if bottom.radius > _radius(top) else (top.reversed(), bottom)
        bend = Loop((arc, Line(arc.end, inner.end), Line(inner.end, inner.start), Line(inner.start, arc.start)))
        # The bent profile lies in (X, Z); drawn out along -Y from one edge of the strip.
        upright = Frame((0.0, stock.width / 2, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0))
        yield Prism(Region.of(bend), upright, stock.width)


def _radius(edge: Edge) -> float:
    return edge.radius if isinstance(edge, Arc) else math.inf
