"""Materials of plates, bosses, rails, brackets and gaskets."""

from __future__ import annotations

from enum import Enum
from functools import cache

from platemaker.catalog._lookup import found
from platemaker.catalog._table import Row, table


class Family(Enum):
    """What a material is, as far as limits of design and machining go."""

    ALUMINIUM = "aluminium"
    STEEL = "steel"
    STAINLESS = "stainless"
    CAST_IRON = "cast_iron"
    COPPER_ALLOY = "copper_alloy"
    GASKET = "gasket"


class Form(Enum):
    """How a metal is made: wrought metal is bent cold, a casting breaks."""

    WROUGHT = "wrought"
    CAST = "cast"


class Material(Row, kw_only=True):
    """A material at room temperature; what is sold as sheet for gaskets has no form.

    density in kg/m³, elastic_modulus, yield_strength (0.2 %) and tensile_strength in MPa, thermal_expansion in 1/K.
    A value that a material has not, or that no source at hand gives, is None.
    """

    name: str
    family: Family
    form: Form | None
    density: float
    elastic_modulus: float | None
    poisson: float | None
    yield_strength: float | None
    tensile_strength: float | None
    thermal_expansion: float | None


def material(name: str) -> Material:
    """The material of that name; case, blanks and hyphens do not count. Raises CatalogError for an unknown name.

    >>> material("6061-t6").density
    2700.0
    """
    key = _by_plain_name().get(_plain(name), name)
    return found(_by_name(), key, "material")


def metal_named(name: str) -> Material:
    """The metal of that name, as `material` finds it. Raises CatalogError for any other, such as a gasket's sheet.

    >>> metal_named("copper").elastic_modulus
    117000.0
    """
    rows = {row.name: row for row in materials() if row.elastic_modulus is not None}
    return found(rows, _by_plain_name().get(_plain(name), name), "metal")


def materials() -> tuple[Material, ...]:
    """All materials of the catalog."""
    return table("materials.csv", Material)


@cache
def _by_name() -> dict[str, Material]:
    return {row.name: row for row in materials()}


@cache
def _by_plain_name() -> dict[str, str]:
    return {_plain(name): name for name in _by_name()}


def _plain(name: str) -> str:
    return "".join(character for character in name.lower() if character.isalnum())
