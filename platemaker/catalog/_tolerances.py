"""General tolerances and the few zones that dowels and their bores want."""

from __future__ import annotations

from enum import Enum

from platemaker.catalog._lookup import missing
from platemaker.catalog._table import Row, table
from platemaker.errors import CatalogError


class ToleranceClass(Enum):
    """The class of a general tolerance, by its letter in ISO 2768-1."""

    FINE = "f"
    MEDIUM = "m"
    COARSE = "c"
    VERY_COARSE = "v"


class GeneralTolerance(Row, kw_only=True):
    """The permissible deviation of what has no tolerance of its own, plus or minus: mm, or degrees of an angle.

    `length` is the length, radius or chamfer, or the shorter side of the angle, mm.
    """

    length: float
    tolerance_class: ToleranceClass
    deviation: float


class LimitDeviations(Row, kw_only=True):
    """The limit deviations of a tolerance zone at a nominal diameter, in mm: size lies between nominal plus each."""

    zone: str
    nominal: float
    lower: float
    upper: float


class _ByClass(Row, kw_only=True):
    fine: float | None
    medium: float
    coarse: float
    very_coarse: float | None


class _LinearRow(_ByClass, kw_only=True):
    over_length: float
    to_length: float


class _EdgeRow(_ByClass, kw_only=True):
    over_size: float
    to_size: float


class _AngleRow(_ByClass, kw_only=True):
    over_side: float
    to_side: float


class _ZoneRow(Row, kw_only=True):
    zone: str
    over_diameter: float
    to_diameter: float
    lower_deviation: float
    upper_deviation: float


def general_tolerance(length: float, tolerance_class: ToleranceClass = ToleranceClass.MEDIUM) -> GeneralTolerance:
    """The general tolerance of a length in mm, ISO 2768-1 classes f, m, c and v.

    Raises CatalogError below 0.5 mm, above 4000 mm, for class f above 2000 mm, and for class v up to 3 mm.

    >>> general_tolerance(25.4).deviation
    0.2
    """
    for row in table("iso_2768_1_linear.csv", _LinearRow):
        # The first range alone includes its lower end: "from 0.5 up to 3".
        within = row.over_length < length <= row.to_length or length == row.over_length == 0.5
        if within and (found := _general(length, tolerance_class, row)):
            return found
    top = 2000 if tolerance_class is ToleranceClass.FINE else 4000
    least = "above 3" if tolerance_class is ToleranceClass.VERY_COARSE else "from 0.5"
    msg = f"ISO 2768-1 class {tolerance_class.value} holds {least} to {top} mm, met {length:g} mm"
    raise CatalogError(msg, met=f"{length:g}")


def coordinate_tolerance(
    coordinate: float, tolerance_class: ToleranceClass = ToleranceClass.MEDIUM
) -> GeneralTolerance:
    """The general tolerance of a coordinate, mm, that of its length, ISO 2768-1 table 1.

    A place next to its datum, or too far off for the table, takes that of the nearest length that the class has: common
    practice, no source.

    >>> coordinate_tolerance(-25.4).deviation, coordinate_tolerance(0.0).deviation
    (0.2, 0.1)
    """
    length = abs(coordinate)
    stated = [
        (row.to_length, found)
        for row in table("iso_2768_1_linear.csv", _LinearRow)
        if (found := _general(length, tolerance_class, row))
    ]
    return next((found for longest, found in stated if length <= longest), stated[-1][1])


def edge_tolerance(size: float, tolerance_class: ToleranceClass = ToleranceClass.MEDIUM) -> GeneralTolerance:
    """The general tolerance of an external radius or the height of a chamfer, mm, ISO 2768-1 table 2.

    Raises CatalogError below 0.5 mm.

    >>> edge_tolerance(6.0).deviation
    0.5
    """
    for row in table("iso_2768_1_edges.csv", _EdgeRow):
        within = row.over_size < size <= row.to_size or size == row.over_size == 0.5
        if within and (found := _general(size, tolerance_class, row)):
            return found
    msg = f"ISO 2768-1 gives tolerances of radii and chamfers from 0.5 mm up, met {size:g} mm"
    raise CatalogError(msg, met=f"{size:g}")


def angle_tolerance(side: float, tolerance_class: ToleranceClass = ToleranceClass.MEDIUM) -> GeneralTolerance:
    """The general tolerance of an angle, in degrees, by the length of its shorter side, mm, ISO 2768-1 table 3.

    Raises CatalogError for a side that is not above 0.

    >>> angle_tolerance(62.0, ToleranceClass.COARSE).deviation
    0.5
    """
    for row in table("iso_2768_1_angles.csv", _AngleRow):
        if row.over_side < side <= row.to_side and (found := _general(side, tolerance_class, row)):
            return found
    msg = f"ISO 2768-1 gives tolerances of angles by sides above 0 and up to 4000 mm, met {side:g} mm"
    raise CatalogError(msg, met=f"{side:g}")


def _general(length: float, tolerance_class: ToleranceClass, row: _ByClass) -> GeneralTolerance | None:
    """A row's tolerance; None where it has none for the class."""
    deviation = {
        ToleranceClass.FINE: row.fine,
        ToleranceClass.MEDIUM: row.medium,
        ToleranceClass.COARSE: row.coarse,
        ToleranceClass.VERY_COARSE: row.very_coarse,
    }[tolerance_class]
    if deviation is None:
        return None
    return GeneralTolerance(
        length=length,
        tolerance_class=tolerance_class,
        deviation=deviation,
        source=row.source,
        evidence=row.evidence,
        note=row.note,
    )


def iso286(nominal: float, zone: str) -> LimitDeviations:
    """The limit deviations of a zone (H7, g6, h6, k6, m6, n6, p6) at a nominal diameter in mm.

    Raises CatalogError for another zone, and for a diameter that is not over 0 and up to 120 mm.

    >>> iso286(8.0, "H7").upper, iso286(8.0, "p6").lower
    (0.015, 0.015)
    """
    rows = table("iso_286_2_zones.csv", _ZoneRow)
    if zone not in (zones := dict.fromkeys(row.zone for row in rows)):
        error = missing("tolerance zone", zone, zones)
        raise error
    for row in rows:
        if row.zone == zone and row.over_diameter < nominal <= row.to_diameter:
            return LimitDeviations(
                zone=zone,
                nominal=nominal,
                lower=row.lower_deviation,
                upper=row.upper_deviation,
                source=row.source,
                evidence=row.evidence,
                note=row.note,
            )
    msg = f"{zone} is tabled for diameters up to 120 mm, met {nominal:g} mm"
    raise CatalogError(msg, met=f"{nominal:g}")
