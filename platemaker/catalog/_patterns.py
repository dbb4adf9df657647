"""Published mounting patterns of machines, pipes, displays and pumps."""

from __future__ import annotations

from enum import Enum
from functools import cache

from platemaker.catalog._lookup import found
from platemaker.catalog._table import Row, table


class Arrangement(Enum):
    """How the holes of a pattern lie: on a circle, at the corners of a rectangle, or two on a line."""

    CIRCLE = "circle"
    RECTANGLE = "rectangle"
    LINE = "line"


class MountingPattern(Row, kw_only=True):
    """A published pattern: number of holes and their arrangement, with lengths in mm.

    A circle has its `bolt_circle`, a rectangle `pitch_x` and `pitch_y`, a line `pitch_x`. The machine's holes are
    tapped (`thread`) or plain (`hole_diameter`). Where a pattern has no pilot, or its source does not state a value,
    the field is None.
    """

    standard: str
    designation: str
    holes: int
    arrangement: Arrangement
    bolt_circle: float | None
    pitch_x: float | None
    pitch_y: float | None
    thread: str | None
    hole_diameter: float | None
    pilot_diameter: float | None
    pilot_height: float | None


_FILES = (
    "iso_9409_1_flanges.csv",
    "vesa_fdmi_patterns.csv",
    "asme_b16_5_class_150_flanges.csv",
    "iso_5211_flanges.csv",
    "iec_60072_1_flanges.csv",
    "sae_j518_1_code_61_flanges.csv",
    "sae_j744_pump_flanges.csv",
)


@cache
def mounting_patterns() -> tuple[MountingPattern, ...]:
    """All patterns of the catalog. Mind `verified`: four of the seven standards are from memory."""
    return tuple(row for file in _FILES for row in table(file, MountingPattern))


def mounting_pattern(standard: str, designation: str) -> MountingPattern:
    """The pattern that a standard designates so. Raises CatalogError for an unknown standard or designation.

    >>> mounting_pattern("ISO 9409-1", "50-4-M6").bolt_circle
    50.0
    """
    by_standard: dict[str, dict[str, MountingPattern]] = {}
    for row in mounting_patterns():
        by_standard.setdefault(row.standard, {})[row.designation] = row
    return found(found(by_standard, standard, "mounting standard"), designation, f"{standard} pattern")
