"""Two values of one fact as text, with as many digits as it takes to distinguish them."""

from __future__ import annotations

from platemaker.study._snapshot import Value
from platemaker.units import in_project_unit

_USUAL_DIGITS, _MOST_DIGITS = 3, 9


def pair_text(before: Value, after: Value, unit: str, project_unit: str, *, sign: bool = False) -> tuple[str, str]:
    """Two values as text, with as many digits as it takes to distinguish them; the unit stands behind the last number.

    >>> pair_text(2.99996, 3.0, "mm", "mm"), pair_text(30.0, None, "mm", "mm")
    (('2.99996', '3.00000 mm'), ('30.000 mm', 'none'))
    """
    shown = in_project_unit(unit, project_unit)
    for digits in range(_USUAL_DIGITS, _MOST_DIGITS + 1):
        texts = [_text(value, unit, project_unit, digits, sign) for value in (before, after)]
        if texts[0] != texts[1]:
            break
    last = 0 if after is None and before is not None else 1
    texts[last] = f"{texts[last]} {shown[1]}".rstrip()
    return texts[0], texts[1]


def _text(value: Value, unit: str, project_unit: str, digits: int, sign: bool) -> str:
    if value is None:
        return "none"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, str):
        return " / ".join(value.splitlines())
    if isinstance(value, int) and not unit:
        return str(value)
    if isinstance(value, tuple):
        return "(" + ", ".join(_text(one, unit, project_unit, digits, sign) for one in value) + ")"
    factor, _ = in_project_unit(unit, project_unit)
    text = f"{value * factor:{'+' if sign else ''}.{digits}f}"
    return text.lstrip("+-") if float(text) == 0 else text
