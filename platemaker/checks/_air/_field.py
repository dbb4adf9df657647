"""The field of the air beside the estimate of the loss: the larger is measured, and what either may be counts."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from platemaker.checks._advice import advised
from platemaker.checks._air._airflow import SHARE_OF_BOOST, TOTAL
from platemaker.checks._finding import Finding, Limit, Sense, measured
from platemaker.fields import FAST, FlowAnswer

FIELD = "field of the air (`platemaker flow`)"


def by_field(findings: Sequence[Finding], answer: FlowAnswer | None) -> list[Finding]:
    """The findings with a kept field's loss beside the estimate of the whole loss; the same without a field."""
    whole = (TOTAL, ("air",))
    return [_beside(one, answer) if answer and (one.check, one.features) == whole else one for one in findings]


def _beside(found: Finding, answer: FlowAnswer) -> Finding:
    loss = answer.loss
    if loss is None:
        return replace(found, note=f"{found.note}; the {FIELD} did not converge: no loss of it")
    low, high = answer.bounds
    words = f"{FIELD}: {loss / 1000:.2f} kPa ({low / 1000:.2f} to {high / 1000:.2f}), with straight ducts"
    if answer.mach > FAST:
        words += f"; Mach {answer.mach:.2f}, where the true loss is larger"
    inputs = [*found.inputs, ("loss by the field", loss, "Pa"), ("by the field at most", high, "Pa")]
    note = f"{found.note}; {words}"
    boost = next((value for name, value, _ in found.inputs if name == "boost"), 0.0)
    if found.measured is None or not isinstance(boost, float) or not boost:
        return replace(found, note=note, inputs=tuple(inputs))
    fail, caution = SHARE_OF_BOOST
    limit = Limit(fail, found.unit, found.source, caution, Sense.AT_MOST)
    made, most = (
        measured(TOTAL, found.title, found.part, found.features, share, limit, inputs=inputs, note=note)
        for share in (max(found.measured, loss / boost), high / boost)
    )
    worst = max(found.verdict, made.verdict, advised(most).verdict, key=lambda one: one.rank)
    return replace(made, verdict=worst)
