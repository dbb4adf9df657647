"""Upper faces planed to a slope: where they are thick and thin, and what is left under them."""

from __future__ import annotations

import math
from collections.abc import Iterator

from platemaker.parts._records._cuts import Plane
from platemaker.parts._records._part import Part
from platemaker.plane import Arc, Point, Region
from platemaker.records import Record

CORNERS = ((-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0))
"""Directions from the middle to the four corners at which a planed part's thickness is stated, 1 to 4."""


class Spot(Record):
    """A place of a planed part's outline and its thickness there, mm."""

    name: str
    at: Point
    thickness: float


def top_of(part: Part) -> Plane | None:
    """The upper face of a part cut from plate; None for any other part."""
    if part.plate is None:
        return None
    return part.planed.face if part.planed else Plane(part.plate.thickness, 0.0, 0.0)


def farthest(region: Region, towards: Point) -> Point:
    """The point of a region that lies farthest in a direction; exact on lines and arcs.

    >>> from platemaker.plane import Loop
    >>> farthest(Region.of(Loop.circle((1.0, 2.0), 5.0)), (3.0, 4.0))
    (4.0, 6.0)
    """
    size = math.hypot(*towards) or 1.0  # without a direction every point is as far
    unit = (towards[0] / size, towards[1] / size)
    return max(_tips(region, unit), key=lambda point: point[0] * unit[0] + point[1] * unit[1])


def _tips(region: Region, unit: Point) -> Iterator[Point]:
    for edge in region.outer.edges:
        yield edge.start
        if isinstance(edge, Arc) and edge.covers(math.atan2(unit[1], unit[0])):
            yield edge.centre[0] + edge.radius * unit[0], edge.centre[1] + edge.radius * unit[1]


def reaching(region: Region, thick: float, rise: tuple[float, float]) -> Plane:
    """The plane of a rise, mm a mm, that stands `thick` mm high at its highest place over a region."""
    if rise == (0.0, 0.0):
        return Plane(thick, 0.0, 0.0)
    x, y = farthest(region, rise)
    return Plane(thick - x * rise[0] - y * rise[1], *rise)


def ends_of(region: Region, face: Plane) -> tuple[Spot, Spot]:
    """The thin and the thick end of a region under a sloping face."""
    spots = []
    for name, sign in (("thin end", -1.0), ("thick end", 1.0)):
        at = farthest(region, (sign * face.along_x, sign * face.along_y))
        spots.append(Spot(name, at, face.at(*at)))
    return spots[0], spots[1]


def corners_of(part: Part) -> tuple[Spot, ...]:
    """The corners of a planed part, from the lower left one counter-clockwise, with its thickness; none of a flat one.

    They are the outline's farthest places towards the four corners of its box.
    """
    planed = part.planed
    if planed is None:
        return ()
    places = [farthest(part.stock.plan, towards) for towards in CORNERS]
    return tuple(Spot(str(number), at, planed.face.at(*at)) for number, at in enumerate(places, 1))
