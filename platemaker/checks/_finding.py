"""Findings: what a check measured, what it required, and where. Records only."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from enum import StrEnum
from typing import TypeAlias

from platemaker.records import Record, replace
from platemaker.units import NamedQuantity, Value, Words

EQUAL = 1e-6
"""Measured and required that differ by less, in the finding's unit, are equal: the grid of spec coordinates."""


class Verdict(StrEnum):
    """What a finding says, worst last.

    >>> max(Verdict.PASS, Verdict.NOT_CHECKED, key=lambda verdict: verdict.rank).value
    'not checked'
    """

    PASS = "pass"  # noqa: S105 - a verdict, not a secret
    ACCEPTED = "accepted"
    """A caution that the spec accepts, with its reason."""
    NOT_CHECKED = "not checked"
    CAUTION = "caution"
    FAIL = "fail"

    @property
    def rank(self) -> int:
        """0 for pass up to 4 for fail."""
        return _RANKS[self]


_RANKS = {verdict: rank for rank, verdict in enumerate(Verdict)}


class Sense(StrEnum):
    """Which side of the limit is good."""

    AT_LEAST = "at least"
    AT_MOST = "at most"


PRACTICE = "common practice, no source"
"""What a limit says that no published source was found for."""


class Limit(Record):
    """A limit with its source. `fail` is the hard limit; `caution`, where given, the softer one on its good side."""

    fail: float
    unit: str
    source: str
    caution: float | None = None
    sense: Sense = Sense.AT_LEAST


class Finding(Record):
    """One measured fact of a part: signed `margin` = how far on the good side of `required` the measured value is.

    `points` are in the part's frame, mm; two where a distance was measured. `inputs` are for a reader who wants to
    redo the sum. Numbers are None when nothing could be measured. `lines` are to be drawn, as
    points in the part's frame, mm, where two points do not show what was measured. `because` is the spec's reason for
    accepting a caution.

    >>> found = not_checked("PM302", "thread engagement", "lid", ["rim_1"], "the bolt's length is missing")
    >>> found.id, found.verdict.value, found.margin
    ('PM302:lid:rim_1', 'not checked', None)
    """

    check: str
    title: str
    part: str
    features: tuple[str, ...]
    points: tuple[tuple[float, float, float], ...]
    measured: float | None
    required: float | None
    margin: float | None
    unit: str
    sense: Sense
    verdict: Verdict
    source: str
    note: Words
    inputs: tuple[NamedQuantity, ...] = ()
    lines: tuple[tuple[tuple[float, float, float], ...], ...] = ()
    because: str = ""

    @property
    def id(self) -> str:
        """Stable name: check, part, features."""
        return ":".join([self.check, self.part, "+".join(self.features)])

    def value_of(self, symbol: str) -> float | None:
        """The number among the inputs that has this symbol."""
        return next((one.value for one in self.inputs if one.symbol == symbol and isinstance(one.value, float)), None)


Input: TypeAlias = NamedQuantity | tuple[str, Value, str] | tuple[str, Value, str, Words]
"""A quantity that a finding was made from: symbol, value, unit, and where the unit does not say it, how obtained."""


def quantities(inputs: Iterable[Input]) -> tuple[NamedQuantity, ...]:
    """Inputs as records."""
    return tuple(one if isinstance(one, NamedQuantity) else NamedQuantity(*one) for one in inputs)


def measured(
    check: str,
    title: str,
    part: str,
    features: Sequence[str],
    value: float,
    limit: Limit,
    *,
    points: Sequence[tuple[float, float, float]] = (),
    note: Words = "",
    inputs: Sequence[Input] = (),
) -> Finding:
    """A finding from a measured value and its limit; equality passes. A value that is no number passes nothing.

    >>> found = measured("PM101", "wall", "lid", ["a", "b"], 2.0, Limit(3.0, "mm", "common practice", caution=4.0))
    >>> found.verdict.value, found.margin
    ('fail', -1.0)
    """
    margin = _margin(value, limit.fail, limit.sense)
    if math.isnan(margin):
        return not_checked(check, title, part, features, "the value cannot be calculated from these sizes")
    if margin < -EQUAL:
        verdict, required = Verdict.FAIL, limit.fail
    elif limit.caution is not None and (soft := _margin(value, limit.caution, limit.sense)) < -EQUAL:
        verdict, required, margin = Verdict.CAUTION, limit.caution, soft
    else:
        verdict, required = Verdict.PASS, limit.fail
    return Finding(
        check, title, part, tuple(features), tuple(points), value, required, margin, limit.unit, limit.sense,
        verdict, limit.source, note, quantities(inputs),
    )  # fmt: skip


def _margin(value: float, bound: float, sense: Sense) -> float:
    over = float(value - bound)
    return over if sense is Sense.AT_LEAST else -over


def not_checked(check: str, title: str, part: str, features: Sequence[str], reason: Words) -> Finding:
    """A finding that says why nothing was measured."""
    return Finding(
        check, title, part, tuple(features), (), None, None, None, "", Sense.AT_LEAST, Verdict.NOT_CHECKED, "", reason
    )


def unproved(check: str, title: str, part: str, features: Sequence[str], reason: Words) -> Finding:
    """A fail without a value, for what may not pass unless it is shown to hold.

    >>> unproved("PM909", "load that is not calculated", "lid", ["tank"], "no bolt is known").verdict.value
    'fail'
    """
    return replace(not_checked(check, title, part, features, reason), verdict=Verdict.FAIL)


def worst_first(findings: Sequence[Finding]) -> list[Finding]:
    """Fails, cautions, not checked, accepted, passes; within each what misses most of its limit first.

    Shares that differ by rounding alone are one: the order is the same on every machine.
    """
    return sorted(findings, key=lambda found: (-found.verdict.rank, -round(missing_share(found), 9), found.id))


def missing_share(found: Finding) -> float:
    """How much of its limit a finding misses, as a share of the limit; negative where it has some to spare.

    Infinite for a miss of a limit of 0, of which every miss is more than the whole; 0 where nothing was measured.

    >>> missing_share(measured("PM101", "wall", "lid", ["a"], 2.0, Limit(4.0, "mm", "common practice")))
    0.5
    """
    if found.margin is None or abs(found.margin) <= EQUAL:
        return 0.0
    return -found.margin / abs(found.required) if found.required else math.copysign(math.inf, -found.margin)
