"""Readings of the finished part against their tolerances. What was really cut is checked by the other families."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from platemaker.checks._all import check_stack
from platemaker.checks._finding import Finding, Limit, Sense, Verdict, measured, not_checked, worst_first
from platemaker.parts import AsBuilt, AsRead, Stack, as_cut, axes_read
from platemaker.records import replace
from platemaker.units import Unit, Words, convert, joined, said

DEVIATION, GAUGE, UNREAD, NOT_RUN, ZONE = "PM851", "PM852", "PM853", "PM854", "PM855"
TITLE = "reading within its tolerance"
NEAR_ZERO = 3.0
"""A nominal of fewer tolerances is so near to zero that any small reading would do with its point elsewhere."""


def check_as_built(stack: Stack, sheets: Sequence[AsBuilt], samples: int | None = None) -> tuple[Finding, ...]:
    """Deviations of the finished parts, and every check run again with what was read in place of what was drawn.

    Worst first. Parts that were not read are checked as drawn.
    """
    findings: list[Finding] = []
    for sheet in sheets:
        findings += _of_sheet(sheet)
        findings += _zones(stack, sheet)
        slips = {one.id: words for one in sheet.measures if (words := _slip_of(one))}
        if slips:
            reason = said("slips", slips=[said("slip_of", id=id_, slip=words) for id_, words in slips.items()])
            findings.append(not_checked(NOT_RUN, "checks on what was cut", sheet.part, tuple(slips), reason))
        stack, lost = as_cut(stack, sheet.without(slips))
        if lost:
            lost_words = joined(*lost, "the checks are run on what was drawn there")
            findings.append(not_checked(NOT_RUN, "checks on what was cut", sheet.part, ("figures",), lost_words))
    return tuple(worst_first([*findings, *check_stack(stack, samples)]))


def _of_sheet(sheet: AsBuilt) -> Iterator[Finding]:
    unread = [one.id for one in sheet.measures if one.reads is None]
    for one in sheet.measures:
        if one.reads is not None:
            yield _gauge(sheet, one) if isinstance(one.reads, bool) else _deviation(sheet, one, one.reads)
    if unread:
        ids: list[Words] = list(dict.fromkeys((unread[0], unread[-1])))
        reason = said("unread", unread=(len(unread), ""), of=(len(sheet.measures), ""), file=sheet.file, ids=ids)
        yield not_checked(UNREAD, "measurements taken", sheet.part, ("sheet",), reason)


def _deviation(sheet: AsBuilt, one: AsRead, reads: float) -> Finding:
    if one.tolerance is None or one.nominal is None:
        return not_checked(DEVIATION, TITLE, sheet.part, (one.id,), f"{one.what}: no tolerance is specified")
    lower, upper = one.tolerance
    off, room = reads - one.nominal, _room(reads, one.nominal, one.tolerance)
    inputs = [("nominal", one.nominal, one.unit), ("reads", reads, one.unit), ("lower", lower, one.unit),
              ("upper", upper, one.unit)]  # fmt: skip
    note: Words = said("deviation", what=one.what, off=(off, one.unit), allowed=((lower, upper), one.unit))
    if slip := _slip_of(one):
        note = joined(note, said("read_again", slip=slip))
    limit = Limit(0.0, one.unit, f"{sheet.file}: room left inside the tolerance")
    return measured(DEVIATION, TITLE, sheet.part, (one.id,), room, limit, note=note, inputs=inputs)


def _room(reads: float, nominal: float, tolerance: tuple[float, float]) -> float:
    """How far a reading lies inside its tolerance; below 0 when it lies outside."""
    (lower, upper), off = tolerance, reads - nominal
    return min(upper - off, off - lower)


def _slip_of(one: AsRead) -> Words:
    """What a reading out of its tolerance was obviously meant as; empty where nothing suggests itself."""
    if one.reads is None or isinstance(one.reads, bool) or one.nominal is None or one.tolerance is None:
        return ""
    return (
        ""
        if _room(one.reads, one.nominal, one.tolerance) >= 0
        else _slip(one.reads, one.nominal, one.tolerance, one.unit)
    )


def _slip(reads: float, nominal: float, tolerance: tuple[float, float], unit: str) -> Words:
    if abs(nominal) < NEAR_ZERO * max(abs(deviation) for deviation in tolerance):
        return ""
    meant = [(reads * 10.0**power, "with its decimal point elsewhere") for power in (-2, -1, -3, 1, 2, 3)]
    if unit == "mm":
        meant.append((convert(reads, Unit.INCH, Unit.MILLIMETRE), "taken as inches"))
    for value, words in [*meant, (-reads, "with the other sign")]:
        if _room(value, nominal, tolerance) >= 0:
            return said("slip", reads=(reads, ""), how=words, meant=(value, unit))
    return ""


def _zones(stack: Stack, sheet: AsBuilt) -> Iterator[Finding]:
    """Axes with a zone of their own: what counts is how far off the axis is, whichever way."""
    for hole, off, zone in axes_read(stack.joints, stack.part(sheet.part), sheet, stack.rows):
        limit = Limit(zone / 2, "mm", "half the zone that the spec gives", sense=Sense.AT_MOST)
        yield measured(ZONE, "hole axis within its position tolerance", sheet.part, (hole,), off, limit)


def _gauge(sheet: AsBuilt, one: AsRead) -> Finding:
    limit = Limit(1.0, "", f"{sheet.file}: 1 for a gauge that says good")
    found = measured(GAUGE, "GO / NO-GO result", sheet.part, (one.id,), float(bool(one.reads)), limit, note=one.what)
    return found if one.reads else replace(found, verdict=Verdict.FAIL)
