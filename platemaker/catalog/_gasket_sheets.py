"""What gasket sheets need to seal and how they give way."""

from __future__ import annotations

from platemaker.catalog._lookup import missing
from platemaker.catalog._table import Row, table
from platemaker.errors import CatalogError


class GasketValues(Row, kw_only=True):
    """A gasket material between two thicknesses, mm.

    `factor` is m and `seating_stress` y, MPa, of the code's flange rules. `compressibility` is the share of its
    thickness by which `test_stress`, MPa, squeezes a sheet, and `recovery` the share of that which springs back.
    """

    material: str
    over_thickness: float
    to_thickness: float
    factor: float
    seating_stress: float
    test_stress: float
    compressibility: float
    recovery: float

    @property
    def modulus(self) -> float:
        """Modulus in compression as the sheet is squeezed the first time, MPa: a secant."""
        return self.test_stress / self.compressibility


def gasket_values(material: str, thickness: float) -> GasketValues:
    """The values of a gasket material at a thickness, mm.

    Raises CatalogError for a material without a row, and for a thickness that its rows do not reach.

    >>> gasket_values("paper gasket", 0.8).factor
    1.75
    """
    rows = table("gasket_sheets.csv", GasketValues)
    of_name = [row for row in rows if row.material == material]
    if not of_name:
        error = missing("gasket sheet", material, dict.fromkeys(row.material for row in rows))
        raise error
    for row in of_name:
        if row.over_thickness < thickness <= row.to_thickness:
            return row
    msg = f"{material} is tabled over 0 and up to {of_name[-1].to_thickness:g} mm, met {thickness:g} mm"
    raise CatalogError(msg, met=f"{thickness:g}")
