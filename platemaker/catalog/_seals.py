"""O-rings and the grooves of face seals."""

from __future__ import annotations

from functools import cache

from platemaker.catalog._lookup import found, missing
from platemaker.catalog._table import Row, table


class ORing(Row, kw_only=True):
    """An O-ring by its dash number: inside diameter and section with their tolerances (plus or minus), in mm."""

    dash: str
    inside_diameter: float
    section: float
    inside_diameter_tolerance: float
    section_tolerance: float

    @property
    def designation(self) -> str:
        """Its number in full; inside diameter and section of a ring that has none."""
        return f"AS568-{self.dash}" if self.dash else f"{self.inside_diameter:g} x {self.section:g} mm"


class FaceGland(Row, kw_only=True):
    """The groove of a static face seal for an O-ring section: least and most depth, and width, in mm."""

    section: float
    depth_least: float
    depth_most: float
    width: float


class RadialGland(Row, kw_only=True):
    """The groove of a static seal between a plug and a bore for an O-ring section: depth and width, in mm."""

    section: float
    depth_least: float
    depth_most: float
    width: float


@cache
def _o_rings() -> dict[str, ORing]:
    return {row.dash: row for row in table("as568_o_rings.csv", ORing)}


def o_ring(designation: str) -> ORing:
    """The O-ring of a dash number: `AS568-214`, `-214`, `214`. Raises CatalogError for an unknown one.

    >>> o_ring("AS568-214").section
    3.53
    """
    text = designation.upper().strip().removeprefix("AS568").lstrip("A- ")
    if text in _o_rings():
        return _o_rings()[text]
    spans = ("001 to 050", "102 to 178", "201 to 284", "309 to 395", "425 to 475")
    error = missing("O-ring AS568", designation, spans)
    raise error


def face_gland(section: float) -> FaceGland:
    """The face seal groove for an O-ring section in mm. Raises CatalogError for a section that is not tabled.

    >>> face_gland(3.53).width
    4.57
    """
    rows = {f"{row.section:g}": row for row in table("face_glands.csv", FaceGland)}
    return found(rows, f"{section:g}", "face gland for an O-ring section of")


def o_rings() -> tuple[ORing, ...]:
    """All O-rings of the catalog."""
    return table("as568_o_rings.csv", ORing)


def radial_glands() -> tuple[RadialGland, ...]:
    """The grooves between plug and bore, by section."""
    return table("radial_glands.csv", RadialGland)
