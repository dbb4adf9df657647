"""Counterbores and spotfaces: room for a head, its washer and its wrench."""

from __future__ import annotations

from enum import Enum
from functools import cache

from platemaker.catalog._heads import hex_head, socket_head, washer
from platemaker.catalog._lookup import found
from platemaker.catalog._table import Evidence, Row, table
from platemaker.catalog._threads import Thread, size_name
from platemaker.catalog._wrenches import socket_wrench
from platemaker.errors import CatalogError

HEX_CLEARANCE = 2.0
"""What a counterbore is wider than the wrench or washer in it, mm on the diameter. Common practice, no source."""
HEX_ADDED_DEPTH = 0.5
"""What a counterbore for a hexagon head is deeper than head and washer, mm. Common practice, no source."""


class HeadKind(Enum):
    """What holds a part down: the head of a screw, or the nut on a stud."""

    SOCKET = "socket"
    HEX = "hex"
    STUD = "stud"


class Counterbore(Row, kw_only=True):
    """A counterbore: its diameter, and the depth that leaves the head flush, in mm."""

    size: str
    diameter: float
    depth: float


class _CounterboreRow(Row, kw_only=True):
    size: str
    diameter: float
    added_depth: float


@cache
def _rows() -> dict[str, _CounterboreRow]:
    files = ("din_974_1_counterbores.csv", "asme_b18_3_counterbores.csv")
    return {row.size: row for file in files for row in table(file, _CounterboreRow)}


def counterbore(
    for_thread: Thread | str, head: HeadKind = HeadKind.SOCKET, *, with_washer: bool = False
) -> Counterbore:
    """The counterbore that hides a head.

    A socket head sits in the tabled diameter (DIN 974-1 series 1, or the handbook's inch table); its key reaches in
    from above. A hexagon head needs its socket wrench in the counterbore: outside diameter of the wrench plus
    `HEX_CLEARANCE`. A washer widens either to its outside diameter plus the same, and deepens it by its thickness.
    Raises CatalogError for a size that the tables do not list, and for a stud, which stands out of its nut.

    >>> counterbore("M8").diameter, counterbore("M8").depth
    (15.0, 8.6)
    """
    if head is HeadKind.STUD:
        message = "a stud stands out of its nut, which no counterbore hides: give its hole `clear`"
        raise CatalogError(message)
    if head is HeadKind.SOCKET:
        row = found(_rows(), size_name(for_thread), "counterbore for")
        diameter, depth = row.diameter, socket_head(for_thread).head_height + row.added_depth
        source, evidence, note = row.source, row.evidence, row.note
    else:
        bolt = hex_head(for_thread)
        wrench = socket_wrench(bolt.across_flats)
        diameter, depth = wrench.outside_diameter + HEX_CLEARANCE, bolt.head_height + HEX_ADDED_DEPTH
        source, evidence, note = f"common practice, no source; head of {bolt.source}", Evidence.PRACTICE, ""
    if with_washer:
        ring = washer(for_thread)
        diameter, depth = max(diameter, ring.outside_diameter + HEX_CLEARANCE), depth + ring.thickness
        source += f"; washer of {ring.source}"
    return Counterbore(
        size=size_name(for_thread),
        diameter=round(diameter, 6),
        depth=round(depth, 6),
        source=source,
        evidence=evidence,
        note=note,
    )


class SpotfaceRow(Row, kw_only=True):
    """A spotface: the flat that a washer or head bears on, its diameter in mm. Only as deep as cleaning up takes."""

    size: str
    diameter: float


def spotface(for_thread: Thread | str) -> SpotfaceRow:
    """The spotface for a washer under a head: outside diameter of the washer plus 2 mm. Common practice, no source.

    Raises CatalogError for a size without a washer.

    >>> spotface("M8").diameter
    18.0
    """
    ring = washer(for_thread)
    return SpotfaceRow(
        size=ring.size,
        diameter=round(ring.outside_diameter + HEX_CLEARANCE, 6),
        source=f"common practice, no source; washer of {ring.source}",
        evidence=Evidence.PRACTICE,
    )
