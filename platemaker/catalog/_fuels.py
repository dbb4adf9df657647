"""Fuels: the air that burns them, and their density."""

from __future__ import annotations

import re

from platemaker.catalog._lookup import missing
from platemaker.catalog._table import Row, table
from platemaker.records import Record

_BLEND = re.compile(r"E(\d{1,3})")


class Fuel(Row, kw_only=True):
    """A fuel: `air_ratio`, the mass of air that burns all of a mass of fuel, and density, kg/m3."""

    name: str
    air_ratio: float
    density: float


class FuelKind(Record):
    """A named fuel: `base` alone, or with a `share` by volume of `other` in it."""

    name: str
    base: Fuel
    other: Fuel
    share: float


def fuel(word: str) -> FuelKind:
    """The fuel of a word: petrol, ethanol, methanol, or E and the percentage of ethanol in petrol by volume.

    Raises CatalogError for an unknown one.

    >>> fuel("E85").share
    0.85
    """
    rows = {row.name: row for row in table("fuels.csv", Fuel)}
    plain = word.strip().lower()
    if plain in rows:
        return FuelKind(plain, rows[plain], rows[plain], 0.0)
    blend = _BLEND.fullmatch(word.strip().upper())
    if blend is not None and int(blend.group(1)) <= 100:
        return FuelKind(f"E{int(blend.group(1))}", rows["petrol"], rows["ethanol"], int(blend.group(1)) / 100)
    error = missing("fuel", word, (*rows, "E0 to E100"))
    raise error
