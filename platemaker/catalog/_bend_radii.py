"""How tight sheet and plate of an alloy are bent cold."""

from __future__ import annotations

from platemaker.catalog._table import Row, table
from platemaker.errors import CatalogError


class BendRadius(Row, kw_only=True):
    """Inside radii of bends up to a thickness, mm: `least`, below which it breaks, and `ample`, in thicknesses."""

    material: str
    to_thickness: float
    least: float
    ample: float


def bend_radius(material: str, thickness: float) -> BendRadius | None:
    """The radii of an alloy at a thickness, mm: those of the next thickness tabled; None for an alloy without a row.

    Raises CatalogError for a thickness that its rows do not reach.

    >>> bend_radius("6061-T6", 6.35).ample
    3.5
    """
    rows = [row for row in table("bend_radii.csv", BendRadius) if row.material == material]
    if not rows:
        return None
    for row in rows:
        if thickness <= row.to_thickness + 1e-9:
            return row
    msg = f"bends of {material} are tabled up to {rows[-1].to_thickness:g} mm thick, met {thickness:g} mm"
    raise CatalogError(msg, met=f"{thickness:g}")
