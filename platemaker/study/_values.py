"""The values of a sweep: `3..8/0.5`, `3..8 mm/0.5`, `1/4..1/2 in/1/16`, `8, 10, 12.7`, `6061-T6, 7075-T6`.

Ranges are counted in exact fractions, so that `3..8/0.1` holds 8 and each value is the number that a hand would type.
"""

from __future__ import annotations

import re
from fractions import Fraction

from platemaker.errors import SpecError
from platemaker.records import Record
from platemaker.units import Dimension, pattern

MOST_CHOICES = 2000
"""More values of one key than anyone would look at."""

_DECIMAL = r"(?:\d{1,12}(?:\.\d{0,12})?|\.\d{1,12})"
_FRACTION = r"(?:(?:\d{1,6}(?:-|\s))?\d{1,6}/\d{1,6})"
_UNIT = r"[^\d\s/.](?:\S| (?=[A-Za-z]))*"  # `N m` too
_BARE_RANGE = re.compile(rf"^\s*([+-]?{_DECIMAL})\s*\.\.\s*([+-]?{_DECIMAL})\s*/\s*({_DECIMAL})\s*$")
# Fractions need a unit behind the end of the range: `1..2/1/4` would read two ways.
_UNIT_RANGE = re.compile(
    rf"^\s*([+-]?(?:{_FRACTION}|{_DECIMAL}))\s*({_UNIT}?)?\s*\.\.\s*"
    rf"([+-]?(?:{_FRACTION}|{_DECIMAL}))\s*({_UNIT}?)\s*/\s*({_FRACTION}|{_DECIMAL})\s*({_UNIT})?\s*$"
)
_BARE_NUMBER = re.compile(rf"^[+-]?{_DECIMAL}(?:[eE][+-]?\d{{1,2}})?$")
_NUMBER = re.compile(rf"^([+-]?(?:{_FRACTION}|{_DECIMAL}))\s*([^\d\s].*)?$")
_ALLOWED = "FROM..TO/STEP, FROM..TO UNIT/STEP, or values with commas between them"


class Choice(Record):
    """One value of a key: as it is shown, and as a spec file would hold it."""

    text: str
    value: str | int | float | bool

    @property
    def number(self) -> float | None:
        """The value as a bare number, for a plot's axis: without its unit, None for words."""
        if isinstance(self.value, bool):
            return None
        if isinstance(self.value, int | float):
            return float(self.value)
        number, unit = parted(self.value)
        return float(exact(number)) if number and (not unit or _is_unit(unit)) else None

    @property
    def unit(self) -> str:
        """The unit written behind the number, or nothing."""
        _, unit = parted(self.text)
        return unit if _is_unit(unit) else ""


def choices_of(text: str, *, words: bool = False) -> tuple[Choice, ...]:
    """The values that `text` stands for. With `words` each is kept as text, whatever it looks like.

    A range ends with its end where the steps hit it. In a list a unit behind the last value goes for the bare numbers
    before it too. Raises SpecError for what is neither.

    >>> [choice.value for choice in choices_of("3..4/0.25")]
    [3, 3.25, 3.5, 3.75, 4]
    >>> [choice.value for choice in choices_of("1/4..3/8 in/1/16")]
    ['1/4 in', '5/16 in', '3/8 in']
    >>> [choice.value for choice in choices_of("8, 10, 12.7 mm")]
    ['8 mm', '10 mm', '12.7 mm']
    >>> [choice.value for choice in choices_of("1/4, 1-1/2 in")]
    ['1/4 in', '1-1/2 in']
    """
    if not words:
        bare, named = _BARE_RANGE.match(text), _UNIT_RANGE.match(text)
        if bare:
            low, high, step = bare.groups()
            return tuple(_bare(value) for value in _steps(text, low, high, step))
        if named:
            return _unit_range(text, named)
        if ".." in text:
            problem = "not a range of values"
            raise SpecError(problem, met=text, allowed=_ALLOWED)
    entries = [entry.strip() for entry in text.split(",")]
    if not all(entries):
        problem = "an empty value in the list"
        raise SpecError(problem, met=text, allowed=_ALLOWED)
    found = [Choice(entry, entry) for entry in entries] if words else _listed(entries)
    if len(set(found)) < len(found):
        problem = "a value is listed twice"
        raise SpecError(problem, met=text, allowed="each value once")
    return tuple(found)


def _listed(entries: list[str]) -> list[Choice]:
    unit = Choice(entries[-1], entries[-1]).unit
    return [_scalar(f"{entry} {unit}" if unit and _is_bare(entry) else entry) for entry in entries]


def _is_bare(entry: str) -> bool:
    """Whether an entry is a number without a unit, a fraction too."""
    number, rest = parted(entry)
    return bool(_BARE_NUMBER.match(entry)) or bool(number and not rest)


def parted(text: str) -> tuple[str, str]:
    """The number that a text begins with, and what stands behind it; nothing twice for a text that begins otherwise."""
    found = _NUMBER.match(text)
    return (found.group(1), found.group(2) or "") if found else ("", "")


def _scalar(text: str) -> Choice:
    if text in ("true", "false"):
        return Choice(text, text == "true")
    if not _BARE_NUMBER.match(text):
        return Choice(text, text)
    return _bare(Fraction(text))


def _bare(value: Fraction) -> Choice:
    """A number without a unit, as a spec file would hold it."""
    number = int(value) if value.denominator == 1 else float(value)
    return Choice(_decimal(value), number)


def _unit_range(text: str, found: re.Match[str]) -> tuple[Choice, ...]:
    low, low_unit, high, unit, step, step_unit = found.groups()
    others = {other for other in (low_unit, step_unit) if other and other != unit}
    if others:
        problem = f"a range in '{unit}' with '{others.pop()}' in it"
        raise SpecError(problem, met=text, allowed="one unit, behind the end of the range")
    if not _is_unit(unit):
        problem = f"'{unit}' is no unit"
        raise SpecError(problem, met=text, allowed=_ALLOWED)
    as_fraction = any("/" in one for one in (low, high, step))
    texts = [f"{mixed(value) if as_fraction else _decimal(value)} {unit}" for value in _steps(text, low, high, step)]
    return tuple(Choice(one, one) for one in texts)


def _steps(text: str, low_text: str, high_text: str, step_text: str) -> list[Fraction]:
    try:
        low, high, step = exact(low_text), exact(high_text), exact(step_text)
    except ZeroDivisionError:
        problem = "division by zero"
        raise SpecError(problem, met=text) from None
    if step == 0:
        problem = "a range that does not move"
        raise SpecError(problem, met=text, allowed="a step above 0")
    count = int(abs(high - low) / step) + 1
    if count > MOST_CHOICES:
        problem = f"{count} values of one key"
        raise SpecError(problem, met=text, allowed=f"at most {MOST_CHOICES}")
    way = step if high >= low else -step
    return [low + place * way for place in range(count)]


def exact(text: str) -> Fraction:
    """A decimal, a fraction or a mixed number, exactly.

    >>> exact("-1-1/4")
    Fraction(-5, 4)
    """
    sign = -1 if text.startswith("-") else 1
    whole, _, part = re.sub(r"[-\s]", " ", text.strip().lstrip("+-").strip()).rpartition(" ")
    return sign * ((Fraction(whole) if whole else 0) + Fraction(part))


def _decimal(value: Fraction) -> str:
    """The shortest text that stands for the number; every sum of decimals is one."""
    return repr(float(value)) if value.denominator > 1 else str(value.numerator)


def mixed(value: Fraction) -> str:
    """A number as a shop writes it in inches.

    >>> mixed(Fraction(17, 16))
    '1-1/16'
    """
    whole, part = divmod(abs(value), 1)
    text = f"{whole}-{part}" if whole and part else str(part if part else whole)
    return f"-{text}" if value < 0 else text


def _is_unit(word: str) -> bool:
    return bool(word) and any(re.search(pattern(dimension), f"1 {word}") for dimension in Dimension)
