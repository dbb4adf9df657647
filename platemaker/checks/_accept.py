"""Cautions that the spec accepts with a reason. A fail cannot be accepted; an acceptance of nothing is a caution."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from platemaker.checks._finding import EQUAL, PRACTICE, Finding, Limit, Sense, Verdict, measured
from platemaker.parts import Acceptance, Stack
from platemaker.records import replace
from platemaker.units import Words, in_project_unit, joined, said

NO_LONGER = "PM001"
TITLE = "acceptance that applies to nothing"


def accepted(stack: Stack, findings: Sequence[Finding]) -> list[Finding]:
    """The findings with the cautions marked that `stack.accept` names, and one for each acceptance that names none."""
    named = [(one, [found for found in findings if _names(one, found)]) for one in stack.accept]
    reasons = {id(found): one.because for one, ones in named for found in ones if _within(stack, one, found)}
    marked = [
        replace(found, verdict=Verdict.ACCEPTED, because=reasons[id(found)]) if id(found) in reasons else found
        for found in findings
    ]
    stale = [(one, ones) for one, ones in named if not any(_within(stack, one, found) for found in ones)]
    return [*marked, *(_stale(stack, one, ones) for one, ones in stale)]


def held_to_accepted(stack: Stack, findings: Iterable[Finding]) -> list[Finding]:
    """The findings as a cure is sought for them: what is accepted is marked, a worse caution held to what would be."""
    return [_held(stack, found) for found in findings]


def _held(stack: Stack, found: Finding) -> Finding:
    named = [one for one in stack.accept if _names(one, found)] if found.verdict is Verdict.CAUTION else []
    if any(_within(stack, one, found) for one in named):
        return replace(found, verdict=Verdict.ACCEPTED)
    limits = [limit for one in named if (limit := _limit(stack, one, found.unit)) is not None]
    if not limits or found.measured is None:
        return found
    limit = min(limits) if found.sense is Sense.AT_LEAST else max(limits)
    return replace(found, required=limit, margin=-abs(found.measured - limit))


def _names(one: Acceptance, found: Finding) -> bool:
    return found.check == one.check and one.feature in (found.part, *found.features)


def _limit(stack: Stack, one: Acceptance, unit: str) -> float | None:
    """How far an acceptance goes, in `unit`: the spec states lengths as its reports show them, in inches or mm."""
    return None if one.limit is None else one.limit / in_project_unit(unit, stack.unit)[0]


def _within(stack: Stack, one: Acceptance, found: Finding) -> bool:
    """Whether it is a caution, and no worse than the acceptance goes."""
    if found.verdict is not Verdict.CAUTION:
        return False
    limit = _limit(stack, one, found.unit)
    if limit is None or found.measured is None:
        return True
    sign = 1.0 if found.sense is Sense.AT_LEAST else -1.0
    return sign * (found.measured - limit) >= -EQUAL


def _stale(stack: Stack, one: Acceptance, findings: Sequence[Finding]) -> Finding:
    limit = Limit(0.0, "cautions", PRACTICE, caution=1.0)
    note = joined(*_why(stack, one, findings))
    return measured(NO_LONGER, TITLE, stack.name, (one.check, one.feature), 0.0, limit, note=note)


def _why(stack: Stack, one: Acceptance, findings: Sequence[Finding]) -> Iterator[Words]:
    if not findings:
        yield f"{one.check} finds nothing on {one.feature}: correct the names, or remove the line"
    elif any(found.verdict is Verdict.FAIL for found in findings):
        yield f"{one.check} fails on {one.feature}, and a fail cannot be accepted: cure it"
    elif worse := next((found for found in findings if found.verdict is Verdict.CAUTION), None):
        now = (worse.measured or 0.0, worse.unit)
        yield said(
            "worse_than_accepted",
            check=one.check,
            feature=one.feature,
            now=now,
            accepted=(_limit(stack, one, worse.unit) or 0.0, worse.unit),
        )
    elif any(found.verdict is Verdict.NOT_CHECKED for found in findings):
        yield f"{one.check} was not checked on {one.feature}, and only a caution can be accepted: remove the line"
    else:
        yield f"{one.check} no longer warns about {one.feature}: remove the line"
