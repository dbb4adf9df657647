"""The field of the air beside the estimate of the loss: the larger is measured, and what either may be counts."""

from __future__ import annotations

from collections.abc import Sequence

from platemaker.checks._advice import advised
from platemaker.checks._air._airflow import AIR_LOSS, BOOST, SHARE_OF_BOOST
from platemaker.checks._finding import Finding, Input, Limit, Sense, measured, quantities
from platemaker.fields import FAST, FlowAnswer
from platemaker.records import replace
from platemaker.units import joined, said

FIELD = "field of the air (`platemaker flow`)"


def by_field(findings: Sequence[Finding], answer: FlowAnswer | None) -> list[Finding]:
    """The findings with a kept field's loss beside the estimate of the whole loss; the same without a field."""
    whole = (AIR_LOSS, ("air",))
    return [_beside(one, answer) if answer and (one.check, one.features) == whole else one for one in findings]


def _beside(found: Finding, answer: FlowAnswer) -> Finding:
    loss = answer.loss
    if loss is None:
        return replace(found, note=joined(found.note, f"the {FIELD} did not converge: no loss of it"))
    low, high = answer.bounds
    fast = said("loss_is_larger", mach=(answer.mach, "")) if answer.mach > FAST else ""
    bounds = (low / 1000, high / 1000)
    words = said("loss_by_field", field=FIELD, loss=(loss / 1000, "kPa"), bounds=(bounds, ""))
    inputs: list[Input] = [*found.inputs, ("loss by the field", loss, "Pa"), ("by the field at most", high, "Pa")]
    note = joined(found.note, words, fast)
    boost = found.value_of(BOOST)
    if found.measured is None or not boost:
        return replace(found, note=note, inputs=quantities(inputs))
    fail, caution = SHARE_OF_BOOST
    limit = Limit(fail, found.unit, found.source, caution, Sense.AT_MOST)
    made, most = (
        measured(AIR_LOSS, found.title, found.part, found.features, share, limit, inputs=inputs, note=note)
        for share in (max(found.measured, loss / boost), high / boost)
    )
    worst = max(found.verdict, made.verdict, advised(most).verdict, key=lambda one: one.rank)
    return replace(made, verdict=worst)
