"""Clearance holes for bolts and screws."""

from __future__ import annotations

from enum import Enum
from functools import cache

from platemaker.catalog._lookup import found
from platemaker.catalog._table import Row, table
from platemaker.catalog._threads import Thread, size_name


class Fit(Enum):
    """How freely a bolt passes its hole. ISO 273 says fine, medium, coarse; ASME B18.2.8 close, normal, loose."""

    CLOSE = "close"
    MEDIUM = "medium"
    LOOSE = "loose"


class ClearanceHole(Row, kw_only=True):
    """A clearance hole: for which size, how free, its diameter in mm and, where the table has one, its drill."""

    size: str
    fit: Fit
    diameter: float
    drill_name: str


class _ClearanceRow(Row, kw_only=True):
    size: str
    close: float
    medium: float
    loose: float
    drill_close: str | None
    drill_medium: str | None
    drill_loose: str | None


@cache
def _rows() -> dict[str, _ClearanceRow]:
    files = ("iso_273_clearance_holes.csv", "asme_b18_2_8_clearance_holes.csv")
    return {row.size: row for file in files for row in table(file, _ClearanceRow)}


def clearance_hole(for_thread: Thread | str, fit: Fit = Fit.MEDIUM) -> ClearanceHole:
    """The clearance hole for a thread. ISO 273 for metric, ASME B18.2.8 for inch threads; diameter in mm.

    Raises CatalogError for an unknown thread and for a size that the table does not list.

    >>> clearance_hole("M8").diameter
    9.0
    >>> clearance_hole("1/4-20", Fit.CLOSE).drill_name
    '17/64'
    """
    row = found(_rows(), size_name(for_thread), "clearance hole for")
    diameters = {Fit.CLOSE: row.close, Fit.MEDIUM: row.medium, Fit.LOOSE: row.loose}
    drills = {Fit.CLOSE: row.drill_close, Fit.MEDIUM: row.drill_medium, Fit.LOOSE: row.drill_loose}
    return ClearanceHole(
        size=row.size,
        fit=fit,
        diameter=diameters[fit],
        drill_name=drills[fit] or f"{diameters[fit]:g}",
        source=row.source,
        evidence=row.evidence,
        note=row.note,
    )
