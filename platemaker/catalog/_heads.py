"""Heads, nuts and washers."""

from __future__ import annotations

import math
from enum import Enum
from functools import cache
from typing import TypeVar

from platemaker.catalog._lookup import found
from platemaker.catalog._table import Row, table
from platemaker.catalog._threads import Thread, size_name


class SocketHead(Row, kw_only=True):
    """The head of a hexagon socket cap screw: largest diameter and height, and its key across flats, in mm."""

    size: str
    head_diameter: float
    head_height: float
    key: float


class HexHead(Row, kw_only=True):
    """The head of a hexagon bolt or screw: across flats and height, in mm."""

    size: str
    across_flats: float
    head_height: float

    @property
    def across_corners(self) -> float:
        """Across sharp corners, across flats times 2/√3: no real corner lies further out. mm."""
        return self.across_flats * 2 / math.sqrt(3)


class HexNut(Row, kw_only=True):
    """A hexagon nut: across flats, largest and least height, smallest diameter of its bearing face d_w, in mm."""

    size: str
    across_flats: float
    nut_height: float
    least_height: float
    bearing_diameter: float

    @property
    def across_corners(self) -> float:
        """Across sharp corners, across flats times 2/√3. mm."""
        return self.across_flats * 2 / math.sqrt(3)


class CountersunkHead(Row, kw_only=True):
    """A countersunk head: theoretical (sharp) diameter, height and key in mm, included angle in degrees."""

    size: str
    head_diameter: float
    head_height: float
    key: float
    angle: float


class WasherStyle(Enum):
    """The width of a plain washer."""

    REGULAR = "regular"
    WIDE = "wide"


class Washer(Row, kw_only=True):
    """A plain washer: inside and outside diameter and thickness, in mm."""

    size: str
    style: WasherStyle
    inside_diameter: float
    outside_diameter: float
    thickness: float


Sized = TypeVar("Sized", SocketHead, HexHead, HexNut, CountersunkHead)


def _by_size(row_type: type[Sized], *files: str) -> dict[str, Sized]:
    return {row.size: row for file in files for row in table(file, row_type)}


@cache
def _socket_heads() -> dict[str, SocketHead]:
    return _by_size(SocketHead, "iso_4762_socket_heads.csv", "asme_b18_3_socket_heads.csv")


@cache
def _hex_heads() -> dict[str, HexHead]:
    return _by_size(HexHead, "iso_4014_hex_heads.csv", "asme_b18_2_1_hex_heads.csv")


@cache
def _hex_nuts() -> dict[str, HexNut]:
    return _by_size(HexNut, "iso_4032_hex_nuts.csv", "asme_b18_2_2_hex_nuts.csv")


@cache
def _countersunk_heads() -> dict[str, CountersunkHead]:
    return _by_size(CountersunkHead, "iso_10642_countersunk_heads.csv", "asme_b18_3_flat_heads.csv")


@cache
def _washers(style: WasherStyle) -> dict[str, Washer]:
    files = ("iso_7089_washers.csv", "asme_b18_21_1_washers.csv")
    return {row.size: row for file in files for row in table(file, Washer) if row.style is style}


def socket_head(of_thread: Thread | str) -> SocketHead:
    """The socket cap screw head for a thread: ISO 4762 for metric, ASME B18.3 for inch threads.

    Raises CatalogError for a size that the table does not list.

    >>> socket_head("M8").head_diameter
    13.0
    """
    return found(_socket_heads(), size_name(of_thread), "socket head for")


def hex_head(of_thread: Thread | str) -> HexHead:
    """The hexagon head for a thread: ISO 4014 and 4017 for metric, ASME B18.2.1 (largest) for inch threads.

    Raises CatalogError for a size that the table does not list.

    >>> hex_head("M10").across_flats
    16.0
    """
    return found(_hex_heads(), size_name(of_thread), "hex head for")


def hex_nut(of_thread: Thread | str) -> HexNut:
    """The hexagon nut for a thread: ISO 4032 (style 1) for metric, ASME B18.2.2 for inch threads.

    Raises CatalogError for a size that the table does not list.

    >>> round(hex_nut("3/8-16").nut_height / 25.4, 3)
    0.337
    """
    return found(_hex_nuts(), size_name(of_thread), "hex nut for")


def countersunk_head(of_thread: Thread | str) -> CountersunkHead:
    """The socket countersunk head for a thread: ISO 10642 (90°) for metric, ASME B18.3 (82°) for inch threads.

    Raises CatalogError for a size that the table does not list.
    """
    return found(_countersunk_heads(), size_name(of_thread), "countersunk head for")


def washer(of_thread: Thread | str, style: WasherStyle = WasherStyle.REGULAR) -> Washer:
    """The plain washer for a thread: ISO 7089 for metric, ASME B18.21.1 type A for inch threads.

    Raises CatalogError for a size that the table does not list in this style.

    >>> washer("M8").outside_diameter
    16.0
    """
    return found(_washers(style), size_name(of_thread), f"{style.value} washer for")
