"""Ties each formula to its source, its units and the range in which it holds, and shows a result with its inputs."""

from __future__ import annotations

import functools
import math
from collections.abc import Callable, Iterable, Mapping
from typing import Generic, ParamSpec, TypeVar

from msgspec import Struct

from platemaker.errors import OutOfRange
from platemaker.records import Record, names_of
from platemaker.units import NamedQuantity

Arguments = ParamSpec("Arguments")
Result = TypeVar("Result")


class Source(Record):
    """A standard or book. `short` is how reports cite it; a report adds the clause."""

    short: str
    title: str


class Range(Record):
    """The numbers that an argument may take, in `unit`. Infinite numbers and not-a-number are never in a range."""

    unit: str
    low: float = -math.inf
    high: float = math.inf
    open_low: bool = False

    def __contains__(self, value: float) -> bool:
        above = value > self.low if self.open_low else value >= self.low
        return math.isfinite(value) and above and value <= self.high

    def __str__(self) -> str:
        low, high = f"{self.low:g}", f"{self.high:g}"
        if math.isinf(self.low) and math.isinf(self.high):
            return "any"
        if math.isinf(self.high):
            return f"> {low}" if self.open_low else f">= {low}"
        return f"> {low} to {high}" if self.open_low else f"{low} to {high}"

    @property
    def words(self) -> str:
        """The range with its unit."""
        return f"{self} {self.unit}".removesuffix(" -")


def any_number(unit: str) -> Range:
    """Every finite number."""
    return Range(unit)


def above(low: float, unit: str, up_to: float = math.inf) -> Range:
    """Greater than `low`."""
    return Range(unit, low, up_to, open_low=True)


def at_least(low: float, unit: str) -> Range:
    """`low` or more."""
    return Range(unit, low)


def between(low: float, high: float, unit: str) -> Range:
    """From `low` to `high`, both allowed."""
    return Range(unit, low, high)


class Formula(Record):
    """What is known of a formula beside its code.

    `law` is the formula as a reader would write it. `gives` is the unit of the result, or, when several numbers
    belong together, the unit of each by name. `holds` gives unit and range of each numeric argument.
    """

    name: str
    source: Source
    clause: str
    law: str
    gives: str | Mapping[str, str]
    holds: Mapping[str, Range]

    @property
    def citation(self) -> str:
        """Source, edition and clause in one phrase."""
        return f"{self.source.short}, {self.clause}" if self.clause else self.source.short

    def refuse(self, symbol: str, value: float | str, allowed: str) -> OutOfRange:
        """The error for an argument outside its range."""
        unit = self.holds[symbol].unit if symbol in self.holds else ""
        met = NamedQuantity(symbol, value, unit)
        return OutOfRange(f"{self.name}: {met}; allowed: {allowed} ({self.citation})")


FORMULAS: dict[str, Formula] = {}
"""Every formula by name, in the order in which the modules are imported."""


def formula(
    source: Source, clause: str, *, law: str, gives: str | Mapping[str, str], **holds: Range
) -> Callable[[Callable[Arguments, Result]], Callable[Arguments, Result]]:
    """Register a function as a formula and hold its numeric arguments to their ranges.

    Source, law, units and ranges are said here alone; a docstring says what the arguments mean, and gets the ranges.
    """

    def register(function: Callable[Arguments, Result]) -> Callable[Arguments, Result]:
        code = function.__code__
        names = code.co_varnames[: code.co_argcount + code.co_kwonlyargcount]
        held = [(symbol, holds.get(symbol)) for symbol in names]
        record = Formula(function.__name__, source, clause, law, gives, holds)
        FORMULAS[record.name] = record

        @functools.wraps(function)
        def checked(*args: Arguments.args, **kwargs: Arguments.kwargs) -> Result:
            for (symbol, allowed), value in zip(held, args, strict=False):
                # Nearly every argument is a plain number well inside its range.
                if allowed and not (type(value) is float and allowed.low < value < allowed.high):
                    _hold(record, symbol, value)
            for symbol, value in kwargs.items():
                _hold(record, symbol, value)
            return function(*args, **kwargs)

        ranges = "; ".join(f"{symbol} {allowed.words}" for symbol, allowed in holds.items())
        checked.__doc__ = f"{function.__doc__}\n    Holds for {ranges}. Raises OutOfRange outside.\n    "
        return checked

    return register


def _hold(record: Formula, symbol: str, value: object) -> None:
    """Refuse a number, or a number anywhere in a sequence, that lies outside its range."""
    allowed = record.holds.get(symbol)
    if allowed is None:
        return
    if isinstance(value, (float, int)):
        if value not in allowed:
            raise record.refuse(symbol, float(value), allowed.words)
    elif isinstance(value, Iterable):
        for item in value:
            _hold(record, symbol, item)
    else:
        raise record.refuse(symbol, math.nan, allowed.words)


def about(function: Callable[..., object]) -> Formula:
    """Source, clause, units and ranges of a formula.

    >>> from platemaker.formulas import proof_load
    >>> about(proof_load).citation
    'ISO 898-1:2013, 9.6'
    """
    return FORMULAS[function.__name__]


def refuse(function: Callable[..., object], symbol: str, value: float | str, allowed: str) -> OutOfRange:
    """The error for an argument that is out of range because of another one."""
    return about(function).refuse(symbol, value, allowed)


class Worked(Record, Generic[Result]):
    """A result with everything that a reader needs to redo it by hand."""

    formula: Formula
    inputs: tuple[NamedQuantity, ...]
    result: Result

    @property
    def outputs(self) -> tuple[NamedQuantity, ...]:
        """The result as quantities: one, or one for each field of a record."""
        gives, result = self.formula.gives, self.result
        if isinstance(gives, str):
            return (_quantity(self.formula.name, result, gives),)
        if isinstance(result, Struct):
            return tuple(_quantity(name, getattr(result, name), gives.get(name, "")) for name in names_of(type(result)))
        return (_quantity(self.formula.name, result, ", ".join(gives.values())),)

    def __str__(self) -> str:
        inputs = ", ".join(map(str, self.inputs))
        outputs = ", ".join(each.text(6) for each in self.outputs)
        return f"{outputs}; {self.formula.law}; with {inputs} [{self.formula.citation}]"


def worked(function: Callable[Arguments, Result], *args: Arguments.args, **kwargs: Arguments.kwargs) -> Worked[Result]:
    """Evaluate a formula and keep its inputs, with the defaults that were used.

    >>> from platemaker.formulas import proof_load
    >>> print(worked(proof_load, A_s=36.6, S_p=580.0))
    proof_load = 21228 N; F_p = A_s S_p; with A_s = 36.6 mm2, S_p = 580 MPa [ISO 898-1:2013, 9.6]
    """
    record = about(function)
    plain: Callable[Arguments, Result] = function.__wrapped__  # type: ignore[attr-defined]
    code = plain.__code__
    names = code.co_varnames[: code.co_argcount + code.co_kwonlyargcount]
    given: dict[str, object] = dict(
        zip(names[code.co_argcount - len(plain.__defaults__ or ()) :], plain.__defaults__ or (), strict=False)
    )
    given.update(plain.__kwdefaults__ or {})
    given.update(zip(names, args, strict=False))
    given.update(kwargs)
    units = {symbol: allowed.unit for symbol, allowed in record.holds.items()}
    inputs = tuple(_quantity(name, given[name], units.get(name, "")) for name in names if name in given)
    return Worked(record, inputs, function(*args, **kwargs))


def _quantity(symbol: str, value: object, unit: str) -> NamedQuantity:
    if isinstance(value, float | int) and not isinstance(value, bool):
        return NamedQuantity(symbol, float(value), unit)
    return NamedQuantity(symbol, str(value), unit)
