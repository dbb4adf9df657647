"""Whether the parts can be ordered, in one sentence."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from platemaker.checks import Verdict
from platemaker.records import Record
from platemaker.report._items import Item


class Readiness(Record):
    """Whether nothing is left to settle, the answer in a few words, and why in one sentence."""

    ready: bool
    answer: str
    why: str

    @property
    def sentence(self) -> str:
        """Answer and reason."""
        return f"{self.answer}: {self.why}."


def readiness(items: Sequence[Item]) -> Readiness:
    """Ready is what has no fail and no caution that the spec does not accept.

    All numbers are of items, and say so: the counts beside them are of findings.

    >>> readiness(()).sentence
    'Not ready to order: nothing was measured.'
    """
    counts = {verdict: sum(item.verdict is verdict for item in items) for verdict in Verdict}
    fails, cautions, unchecked = (counts[one] for one in (Verdict.FAIL, Verdict.CAUTION, Verdict.NOT_CHECKED))
    if fails:
        also = f", and {_number(cautions, 'item')} with cautions to settle" if cautions else ""
        return Readiness(False, "Not ready to order", f"{_number(fails, 'item')} {_fail(fails)}{also}")
    if cautions:
        why = f"nothing fails, but {_number(cautions, 'item')} with cautions to cure or to accept in the spec"
        return Readiness(False, "Not ready to order", why)
    if not counts[Verdict.PASS] and not counts[Verdict.ACCEPTED]:
        return Readiness(False, "Not ready to order", "nothing was measured")
    accepted = counts[Verdict.ACCEPTED]
    fine = f"nothing fails, and {_number(accepted, 'item')} accepted" if accepted else "nothing fails"
    if unchecked:
        why = f"{fine}; {_number(unchecked, 'item')} not checked"
        return Readiness(True, "Ready to order as far as checked", why)
    return Readiness(True, "Ready to order", fine)


def _number(count: int, word: str) -> str:
    return f"{count} {word}{'' if count == 1 else 's'}"


def _fail(count: int) -> str:
    return "fails" if count == 1 else "fail"


def unsettled(items: Iterable[Item]) -> list[Item]:
    """Fails and cautions that nothing accepts, worst first."""
    return [item for item in items if item.verdict in (Verdict.FAIL, Verdict.CAUTION)]


def of(items: Iterable[Item], verdict: Verdict) -> list[Item]:
    """The items of one verdict."""
    return [item for item in items if item.verdict is verdict]
