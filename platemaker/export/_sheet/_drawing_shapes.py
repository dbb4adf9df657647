"""Tables that give a shape point by point, where its size over all and its radii do not."""

from __future__ import annotations

import math
from collections.abc import Iterator

from platemaker.export._sheet._drawing_words import Numbers, tabled
from platemaker.parts import Part, ProfileKind
from platemaker.plane import Arc, Loop, Point
from platemaker.records import Record

_HALF = math.pi - 0.05
"""An arc that turns more, radians, is given in two pieces: its ends and its radius would leave two arcs open."""


class ShapePoint(Record):
    """A corner of a shape, mm, and the radius of the arc to the next: 0 for a straight side, below 0 clockwise."""

    at: Point
    radius: float


def tabled_shapes(part: Part) -> Iterator[tuple[str, Loop]]:
    """The shapes of a flat part that want a table, by the words of their headings."""
    if part.plate is not None and tabled(part.plate.region.outer):
        yield "outline", part.plate.region.outer
    for profile in part.profiles:
        for number, region in enumerate(profile.regions, start=1):
            name = profile.name + (f" ({number})" if len(profile.regions) > 1 else "")
            if tabled(region.outer):
                yield name, region.outer
            for island, loop in enumerate(region.holes, start=1):
                if tabled(loop) and profile.kind is not ProfileKind.GROOVE:
                    yield f"{name}, island {island}", loop


def points_of(loop: Loop) -> Iterator[ShapePoint]:
    """The corners of a shape in the order of its edges."""
    for edge in loop.edges:
        if not isinstance(edge, Arc):
            yield ShapePoint(edge.start, 0.0)
            continue
        signed = edge.radius if edge.ccw else -edge.radius
        yield ShapePoint(edge.start, signed)
        if abs(edge.sweep) > _HALF:
            yield ShapePoint(edge.point(0.5), signed)


def point_cells(point: ShapePoint, numbers: Numbers) -> tuple[str, str, str]:
    """X, Y and R as a table has them."""
    sign = "-" if point.radius < 0 else "+"
    radius = f"{sign}{numbers.fixed(abs(point.radius))}" if point.radius else ""
    return numbers.fixed(point.at[0]), numbers.fixed(point.at[1]), radius


def shape_words(part: Part) -> Iterator[str]:
    """How to read the tables, as a note."""
    if any(True for _ in tabled_shapes(part)):
        yield (
            "SHAPE tables: corners in order round the shape, X and Y from the part's zero; R is that of the arc from a "
            "corner to the next, + anticlockwise, - clockwise; without R the side is straight."
        )
