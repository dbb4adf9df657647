"""Belts: sections with what their pulleys need, and the lengths that can be bought."""

from __future__ import annotations

from enum import Enum
from functools import cache

from platemaker.catalog._lookup import found
from platemaker.catalog._table import Row, table

RIBBED_STEP = 5.0
"""Ribbed belts are sold nearly every 5 mm of effective length. Common practice, no source."""
RIBBED_RANGE = (500.0, 3000.0)
"""Effective lengths in which they are sold so, mm. Common practice, no source."""


class BeltFamily(Enum):
    """How a belt grips."""

    CLASSICAL_V = "classical V"
    NARROW_V = "narrow V"
    RIBBED = "ribbed"
    TOOTHED = "toothed"


class BeltSection(Row, kw_only=True):
    """A section: `pitch` of grooves, ribs or teeth, and `height`, mm.

    The pitch line runs `differential` mm outside a ribbed pulley's effective radius or a toothed one's tips, `back`
    mm under the belt's back. `groove_angle` is the whole angle of the widest groove, degrees. Least diameters are
    of pulleys in front and behind, mm. `mass`, kg a metre, is of one strand, one rib or one millimetre of width.
    `friction` is the effective one in the groove. `out_of_line` is the angle in degrees that a pulley may be off line;
    `fitting` and `take_up` are the shares of the length by which an idler must slacken and tighten the belt.
    """

    section: str
    family: BeltFamily
    standard: str
    pitch: float
    height: float
    differential: float
    back: float
    groove_angle: float | None
    least_diameter: float
    least_back_diameter: float
    mass: float
    friction: float | None
    out_of_line: float
    fitting: float
    take_up: float


class BeltLength(Row, kw_only=True):
    """A length in which a section is sold, mm."""

    section: str
    length: float


@cache
def belt_sections() -> dict[str, BeltSection]:
    """All sections by name."""
    return {row.section: row for row in table("belt_sections.csv", BeltSection)}


def belt_section(name: str) -> BeltSection:
    """The section called so. Raises CatalogError for an unknown one.

    >>> belt_section("PK").pitch
    3.56
    """
    return found(belt_sections(), name, "belt section")


def belt_lengths(section: BeltSection) -> tuple[float, ...]:
    """Lengths in which a section is sold, mm: datum, effective or pitch length, as its standard counts.

    >>> belt_lengths(belt_section("SPZ"))[:3]
    (630.0, 710.0, 800.0)
    """
    if section.family is BeltFamily.RIBBED:
        least, most = RIBBED_RANGE
        return tuple(least + RIBBED_STEP * place for place in range(int((most - least) / RIBBED_STEP) + 1))
    return tuple(row.length for row in table("belt_lengths.csv", BeltLength) if row.section == section.section)
