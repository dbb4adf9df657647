"""What heat does: limits of gasket sheets and O-ring compounds, strength of metals at a temperature."""

from __future__ import annotations

from itertools import pairwise

from platemaker.catalog._lookup import found
from platemaker.catalog._table import Row, table


class GasketLimits(Row, kw_only=True):
    """The most that a gasket sheet bears: temperature in K, pressure over ambient and compressive stress in MPa.

    `relaxation` is the share of the bolt load that it loses as it settles.
    """

    material: str
    most_temperature: float
    most_pressure: float
    crush_stress: float
    relaxation: float


class Compound(Row, kw_only=True):
    """The least and the most temperature of an O-ring compound in steady service, K."""

    compound: str
    least_temperature: float
    most_temperature: float


class InPetrol(Row, kw_only=True):
    """How an O-ring compound stands petrol: `rating` 3 good, 2 fair, 1 poor."""

    compound: str
    rating: float


class StrengthAtHeat(Row, kw_only=True):
    """Yield and tensile strength of a metal at a temperature, K, as shares of those at room temperature."""

    material: str
    temperature: float
    yield_share: float
    tensile_share: float


def gasket_limits(material: str) -> GasketLimits | None:
    """The limits of a gasket sheet; None for a material without a row.

    >>> row = gasket_limits("paper gasket")
    >>> row and round(row.most_temperature - 273.15), row and row.most_pressure
    (121, 1.1)
    """
    return next((row for row in table("gasket_limits.csv", GasketLimits) if row.material == material), None)


def o_ring_compound(name: str) -> Compound:
    """An O-ring compound: NBR, HNBR, EPDM, VMQ, FVMQ, FKM, CR. Raises CatalogError for another word.

    >>> round(o_ring_compound("NBR").most_temperature - 273.15)
    100
    """
    return found({row.compound: row for row in table("o_ring_compounds.csv", Compound)}, name, "O-ring compound")


def o_ring_in_petrol(name: str) -> InPetrol:
    """How an O-ring compound stands petrol. Raises CatalogError for another word than `o_ring_compound` knows.

    >>> o_ring_in_petrol("EPDM").rating, o_ring_in_petrol("FKM").rating
    (1.0, 3.0)
    """
    return found({row.compound: row for row in table("o_rings_in_petrol.csv", InPetrol)}, name, "O-ring compound")


def strength_at_heat(metal: str, temperature: float) -> StrengthAtHeat | None:
    """The strength that a metal keeps at a temperature, K, between the rows of its table.

    `metal` is a material's name, or `steel bolts` and `stainless bolts`. Below the first row that row holds; above the
    last nothing is known. None there, and for a metal without rows.

    >>> row = strength_at_heat("6061-T6", 273.15 + 124.5)  # half way from 100 to 149 degC
    >>> row and round(row.yield_share, 3)
    0.862
    """
    rows = [row for row in table("strength_at_heat.csv", StrengthAtHeat) if row.material == metal]
    if not rows or temperature > rows[-1].temperature:
        return None
    if temperature <= rows[0].temperature:
        return rows[0]
    low, high = next(pair for pair in pairwise(rows) if temperature <= pair[1].temperature)
    part = (temperature - low.temperature) / (high.temperature - low.temperature)
    return StrengthAtHeat(
        material=metal,
        temperature=temperature,
        yield_share=low.yield_share + part * (high.yield_share - low.yield_share),
        tensile_share=low.tensile_share + part * (high.tensile_share - low.tensile_share),
        source=high.source,
        evidence=high.evidence,
    )


def highest_known(metal: str) -> float | None:
    """The highest temperature, K, at which a metal's strength is tabled; None for a metal without rows."""
    rows = [row for row in table("strength_at_heat.csv", StrengthAtHeat) if row.material == metal]
    return rows[-1].temperature if rows else None
