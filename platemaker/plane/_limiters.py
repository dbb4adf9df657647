"""What stops a maximized pocket from being larger: each limit taken away or moved, and the pocket solved again."""

from __future__ import annotations

from collections.abc import Iterator
from enum import StrEnum

from msgspec import Struct

from platemaker.errors import GeometryError
from platemaker.plane._offset import distance_of
from platemaker.plane._pocket import CUTTER, OpenedPocket, PocketRequest, Spared, opened_area
from platemaker.plane._shapes import Edge
from platemaker.plane._transform import moved
from platemaker.records import replace


class LimiterKind(StrEnum):
    """What sort of thing stops the cutter."""

    SPARED = "spared shape"
    LAND = "land along the bounds"
    CUTTER = "radius of the cutter"
    OPENING = "outline of the opening"


class Limiter(Struct, frozen=True):
    """One limit of a pocket: the `length` of outline that it makes, mm, and the area that it `cost`s, mm2.

    The cost is what the pocket would gain without it: without the spared shape, with no land along those pieces of the
    bounds, or with a cutter of no radius. Costs of several limits do not add up. An opening's own outline costs 0.
    """

    name: str
    kind: LimiterKind
    length: float
    cost: float


def limiters(pocket: OpenedPocket) -> tuple[Limiter, ...]:
    """Every limit that makes a piece of the pocket's outline, largest first."""
    lengths: dict[str, float] = {}
    for region in pocket.regions:
        for edge in region.edges:
            lengths[edge.tag] = lengths.get(edge.tag, 0.0) + edge.length
    found = [_limiter(pocket, name, length) for name, length in lengths.items()]
    return tuple(sorted(found, key=lambda limiter: (-limiter.cost, -limiter.length, limiter.name)))


def _limiter(pocket: OpenedPocket, name: str, length: float) -> Limiter:
    request = pocket.request
    without = request
    if any(spared.name == name for spared in request.spared):
        kind = LimiterKind.SPARED
        without = replace(request, spared=tuple(s for s in request.spared if s.name != name))
    elif any(edge.tag == name for edge in request.bounds.edges):
        kind = LimiterKind.LAND
        without = _without_land(request, name)
    elif name == CUTTER:
        kind = LimiterKind.CUTTER
        without = replace(request, cutter_radius=0.0)
    else:
        kind = LimiterKind.OPENING
    cost = 0.0 if without is request else opened_area(without) - pocket.area
    return Limiter(name, kind, length, cost)


def _without_land(request: PocketRequest, tag: str) -> PocketRequest:
    def land(edge: Edge) -> float:
        return 0.0 if edge.tag == tag else distance_of(edge, request.land)

    return replace(request, land=land)


def gain_by_moving(pocket: OpenedPocket, name: str, dx: float, dy: float) -> float:
    """Area that the pocket would gain, mm2, were the spared shape `name` moved by (dx, dy), mm; below 0 a loss.

    Raises GeometryError when nothing of that name is spared.
    """
    if all(spared.name != name for spared in pocket.request.spared):
        message = f"the pocket spares nothing named {name!r}; it spares {', '.join(_names(pocket)) or 'nothing'}"
        raise GeometryError(message)
    spared = tuple(_moved(s, dx, dy) if s.name == name else s for s in pocket.request.spared)
    return opened_area(replace(pocket.request, spared=spared)) - pocket.area


def _moved(spared: Spared, dx: float, dy: float) -> Spared:
    return replace(spared, shape=moved(spared.shape, dx, dy))


def _names(pocket: OpenedPocket) -> Iterator[str]:
    return iter(dict.fromkeys(spared.name for spared in pocket.request.spared))
