"""Engine oils by grade."""

from __future__ import annotations

from functools import cache

from platemaker.catalog._lookup import found
from platemaker.catalog._table import Row, table


class EngineOil(Row, kw_only=True):
    """An oil's kinematic viscosities, mm²/s: the grade's least and most at 100 °C, and usual ones at 40 and 100 °C.

    The usual ones are common practice, no source: a data sheet goes before them.
    """

    grade: str
    least_100: float
    most_100: float
    usual_40: float
    usual_100: float


@cache
def _oils() -> dict[str, EngineOil]:
    return {row.grade: row for row in table("engine_oils.csv", EngineOil)}


def engine_oil(grade: str) -> EngineOil:
    """The oil of a grade: `15W-40`, `SAE 30`. Raises CatalogError for an unknown one.

    >>> engine_oil("sae 15w40").grade
    '15W-40'
    """
    text = "".join(grade.upper().split()).removeprefix("SAE")
    if "W" in text and "W-" not in text:
        text = text.replace("W", "W-")
    return found(_oils(), text, "engine oil")
