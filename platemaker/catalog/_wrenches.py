"""The tools that turn bolts: room for socket wrenches and hexagon keys."""

from __future__ import annotations

from platemaker.catalog._lookup import missing
from platemaker.catalog._table import Row, table

SAME_HEXAGON = 0.05
"""Two hexagons within this are one, mm: ASME prints 0.562 in for 9/16 in, while 19 mm and 3/4 in share a wrench."""


class SocketWrench(Row, kw_only=True):
    """A hand socket wrench: across flats and the outside diameter that no usual socket exceeds, in mm."""

    across_flats: float
    outside_diameter: float


class HexKey(Row, kw_only=True):
    """A hexagon key: across flats, length of its long arm (the swing) and of its short arm (the reach), in mm."""

    key: float
    long_arm: float
    short_arm: float


def socket_wrench(across_flats: float) -> SocketWrench:
    """The socket wrench for a hexagon, across flats in mm.

    Raises CatalogError when no wrench lies within `SAME_HEXAGON` of it.

    >>> socket_wrench(13.0).outside_diameter
    19.3
    """
    rows = (*table("socket_wrenches_metric.csv", SocketWrench), *table("socket_wrenches_inch.csv", SocketWrench))
    best = min(rows, key=lambda row: abs(row.across_flats - across_flats))
    if abs(best.across_flats - across_flats) <= SAME_HEXAGON:
        return best
    error = missing("socket wrench across flats", f"{across_flats:g} mm", (f"{row.across_flats:g}" for row in rows))
    raise error


def hex_key(key: float) -> HexKey:
    """The hexagon key of a size, across flats in mm. Raises CatalogError when no key has that size.

    >>> hex_key(6.0).long_arm
    96.0
    """
    rows = (*table("iso_2936_hex_keys.csv", HexKey), *table("asme_b18_3_hex_keys.csv", HexKey))
    best = min(rows, key=lambda row: abs(row.key - key))
    if abs(best.key - key) <= 0.001:  # keys differ by less than sockets: 5/32 in is not 4 mm
        return best
    error = missing("hexagon key", f"{key:g} mm", (f"{row.key:g}" for row in rows))
    raise error
