"""Strength of bolts, and the nut factor that ties torque to preload."""

from __future__ import annotations

from functools import cache

from platemaker.catalog._lookup import found, missing
from platemaker.catalog._table import Row, table
from platemaker.errors import CatalogError


class PropertyClass(Row, kw_only=True):
    """The strength of a class of bolts for diameters over one and up to another (mm), in MPa.

    None where the standard states no such value.
    """

    name: str
    over_diameter: float
    to_diameter: float
    proof_strength: float | None
    yield_strength: float | None
    tensile_strength: float


class NutFactor(Row, kw_only=True):
    """K in T = K F d for a condition of thread and bearing face, with the range that sources print (None: no range).

    `threads` is the condition in one word, as scatter is tabled: dry, plated or lubricated.
    """

    condition: str
    threads: str
    factor: float
    low: float | None
    high: float | None


_CLASS_FILES = (
    "iso_898_1_property_classes.csv",
    "sae_j429_grades.csv",
    "astm_a574_screws.csv",
    "iso_3506_1_classes.csv",
)


def property_classes() -> tuple[PropertyClass, ...]:
    """All classes and grades, each once per range of diameters."""
    return tuple(row for file in _CLASS_FILES for row in table(file, PropertyClass))


def property_class(name: str, diameter: float) -> PropertyClass:
    """The strength of a class (`8.8`, `A2-70`), grade (`grade 5`) or specification (`A574`) at a diameter in mm.

    Raises CatalogError for an unknown name, and for a diameter that the standard does not cover.

    >>> property_class("8.8", 16.0).proof_strength, property_class("8.8", 20.0).proof_strength
    (580.0, 600.0)
    """
    wanted = " ".join(name.split()).casefold()
    of_name = [row for row in property_classes() if row.name.casefold() == wanted]
    if not of_name:
        error = missing("property class", name, dict.fromkeys(row.name for row in property_classes()))
        raise error
    for row in of_name:
        if row.over_diameter < diameter <= row.to_diameter:
            return row
    msg = f"{of_name[0].name} holds for diameters over 0 and up to {of_name[-1].to_diameter:g} mm, met {diameter:g} mm"
    raise CatalogError(msg, met=f"{diameter:g}")


@cache
def _nut_factors() -> dict[str, NutFactor]:
    return {row.condition: row for row in table("nut_factors.csv", NutFactor)}


class Tightening(Row, kw_only=True):
    """By what share preload scatters, up and down, for a method and threads (`any`: whatever they are like)."""

    method: str
    threads: str
    scatter: float


def tightening(method: str, threads: str) -> Tightening:
    """The scatter of a method of tightening on dry, plated or lubricated threads. Raises CatalogError for others.

    >>> tightening("torque wrench", "lubricated").scatter, tightening("turn of nut", "dry").scatter
    (0.25, 0.15)
    """
    rows = {(row.method, row.threads): row for row in table("tightening.csv", Tightening)}
    words = {f"{a}, {b}": row for (a, b), row in rows.items()}
    return rows.get((method, "any")) or found(words, f"{method}, {threads}", "tightening")


def nut_factor(condition: str) -> NutFactor:
    """The nut factor for a condition: plain, black, zinc, cadmium, lubricated, oiled, anti-seize, waxed.

    Raises CatalogError for another word.

    >>> nut_factor("zinc").high
    0.295
    """
    return found(_nut_factors(), condition, "nut factor condition")
