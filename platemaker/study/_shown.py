"""Figures of a study as a reader of the project's unit sees them."""

from __future__ import annotations

from platemaker.study._outcomes import Outcome
from platemaker.units import in_project_unit

_DIGITS = {"count": 0, "mm3": 0, "in3": 3, "mm2": 1, "mm": 3, "kg": 4, "kPa": 3, "in2": 4, "in": 4}
_SHORT = {"diameters": "dia"}


def unit_for(outcome: Outcome, unit: str) -> str:
    """The unit in which an outcome is shown in a project whose lengths are in `unit`."""
    return in_project_unit(outcome.unit, unit)[1]


def in_unit(value: float, outcome: Outcome, unit: str) -> float:
    """A figure of an outcome in the unit in which it is shown."""
    return value * in_project_unit(outcome.unit, unit)[0]


def figure_text(value: float | None, outcome: Outcome, unit: str) -> str:
    """A figure as text without its unit; nothing for none.

    >>> from platemaker.study._outcomes import AREA
    >>> figure_text(645.16, AREA, "in"), figure_text(31177.53, AREA, "mm")
    ('1.0000', '31177.5')
    """
    if value is None:
        return ""
    text = f"{in_unit(value, outcome, unit):.{_DIGITS.get(unit_for(outcome, unit), 3)}f}"
    return text.lstrip("-") if float(text) == 0 else text


def short_unit(outcome: Outcome, unit: str) -> str:
    """The unit for the head of a column."""
    word = unit_for(outcome, unit)
    return _SHORT.get(word, word)
