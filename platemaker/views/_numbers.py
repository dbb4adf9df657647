"""Numbers as a reader sees them: enough digits that a failing value never looks like its limit."""

from __future__ import annotations

import math

from platemaker.checks import EQUAL, Finding, Sense
from platemaker.records import Record
from platemaker.units import MM_PER_INCH, LengthUnit, format_length

_MOST_DIGITS = 9
_POWERS = {"mm2": 2, "mm3": 3}
_COUNTS = {"cautions", "groups", "sizes"}


class Shown(Record):
    """A number as text in a metric and in an inch project; the two are alike unless it is a length."""

    metric: str
    inch: str

    def of(self, unit: str) -> str:
        """The text for a project whose lengths are in `unit` ("mm" or "in")."""
        return self.inch if unit == LengthUnit.INCH else self.metric


NOTHING = Shown("", "")


def shown(value: float | None, unit: str = "mm", digits: int = 3, *, sign: bool = False, named: bool = True) -> Shown:
    """`value` of `unit` as text; lengths, areas and volumes also in inch with one digit more. `named` adds the unit.

    >>> shown(12.7)
    Shown(metric='12.700 mm', inch='0.5000 in')
    >>> shown(1290.32, "mm2", 0)
    Shown(metric='1290 mm2', inch='2.0 in2')
    >>> shown(0.25, "MPa", sign=True).metric
    '+0.250 MPa'
    """
    if value is None:
        return NOTHING
    plus = "+" if sign and value > 0 else ""
    if unit in _POWERS:
        inches = f"{value / MM_PER_INCH ** _POWERS[unit]:z.{digits + 1}f}"
        pair = (f"{value:z.{digits}f}", unit), (inches, unit.replace("mm", "in"))
        return Shown(*(plus + text + (f" {name}" if named else "") for text, name in pair))
    if unit != "mm":
        text = f"{value:z.{digits}f}"
        return Shown(*[f"{plus}{text} {unit}".rstrip() if named else plus + text] * 2)
    texts = format_length(value, digits=digits), format_length(value, LengthUnit.INCH, digits + 1)
    return Shown(*(plus + (text if named else text.split()[0]) for text in texts))


class FindingNumbers(Record):
    """The three numbers of a finding as text; `required` is the `limit` with its sense, such as "at least 5.000 mm"."""

    measured: Shown
    required: Shown
    margin: Shown
    limit: Shown


def finding_numbers(finding: Finding) -> FindingNumbers:
    """The numbers of a finding, with as many digits as it takes to distinguish measured from required.

    >>> from platemaker.checks import Limit, measured
    >>> close = measured("PM101", "wall", "lid", ["a"], 2.99996, Limit(3.0, "mm", "common practice"))
    >>> finding_numbers(close).measured.metric, finding_numbers(close).margin.metric
    ('2.99996 mm', '-0.00004 mm')
    """
    digits = digits_apart(finding)
    required = shown(finding.required, finding.unit, digits)
    words = finding.sense.value if finding.required is not None else ""
    return FindingNumbers(
        shown(finding.measured, finding.unit, digits),
        Shown(f"{words} {required.metric}".strip(), f"{words} {required.inch}".strip()),
        shown(finding.margin, finding.unit, digits, sign=True),
        required,
    )


def digits_apart(finding: Finding) -> int:
    """How many decimals show a finding's measured and required values as different when they differ."""
    if finding.unit in _COUNTS:
        return 0
    usual = 3 if _magnitude(finding) < 1000 else 1
    if finding.measured is None or finding.required is None or abs(finding.measured - finding.required) <= EQUAL:
        return usual
    digits = usual
    while digits < _MOST_DIGITS and f"{finding.measured:.{digits}f}" == f"{finding.required:.{digits}f}":
        digits += 1
    return digits


def limit_mark(sense: Sense) -> str:
    """A short sign for a limit's sense.

    >>> limit_mark(Sense.AT_LEAST), limit_mark(Sense.AT_MOST)
    ('>=', '<=')
    """
    return ">=" if sense is Sense.AT_LEAST else "<="


def _magnitude(finding: Finding) -> float:
    return max(abs(finding.measured or 0.0), abs(finding.required or 0.0))


def round_step(least: float) -> float:
    """The smallest of 1, 2, 5 times a power of ten that is not below a positive value.

    >>> round_step(0.11), round_step(0.3), round_step(7)
    (0.2, 0.5, 10.0)
    """
    power = 10.0 ** math.floor(math.log10(max(least, 1e-9)))
    return next(one * power for one in (1, 2, 5, 10) if one * power >= least * (1 - 1e-9))
