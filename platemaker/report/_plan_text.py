"""A plan of readings, and how far a survey has come, for the terminal and for programs."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from platemaker.report._survey_text import WIDTH, counted
from platemaker.report._terminal import wrapped
from platemaker.units import MM_PER_INCH

if TYPE_CHECKING:
    from platemaker.survey import Progress, SurveyPlan


def render_plan(plan: SurveyPlan) -> str:
    """The list of readings, in the plan's unit."""
    inch = plan.units.value == "in"
    factor, unit = (MM_PER_INCH, "inches") if inch else (1.0, "mm")
    head = f"{plan.title}: {counted(len(plan.features), 'hole')}, {counted(plan.count, 'reading')} with a "
    head += f"{plan.instrument}, and every diameter twice; lengths in {unit}"
    frame = f"frame: {plan.datum.origin} at (0, 0), X towards {plan.datum.x_towards}; a misreading that goes unnoticed "
    frame += f"moves no hole by more than {plan.worst / factor:.{3 if inch else 2}f} {'in' if inch else 'mm'}"
    lines = [*wrapped(head, WIDTH), *wrapped(frame, WIDTH), "", f"{'No.':>4}  {'read':<24}{'roughly':>10}"]
    for one in plan.readings:
        words = f"{'-'.join(one.features)} {one.kind.value.replace('_', ' ')}"
        again = "  twice" if one.repeats > 1 else ""
        lines.append(f"{one.number:>4}  {words:<24}{one.value / factor:>10.{2 if inch else 1}f}{again}")
    return "\n".join(lines) + "\n"


def plan_json(plan: SurveyPlan) -> str:
    """The plan as JSON, mm."""
    record = {
        "plan": plan.title,
        "unit": "mm",
        "datum": {
            "origin": plan.datum.origin, "x_towards": plan.datum.x_towards, "left": list(plan.datum.left),
            "right": list(plan.datum.right),
        },
        "checked": plan.checked,
        "unnoticed": round(plan.worst, 6),
        "diameters": [{"feature": one.name, "times": 2} for one in plan.features],
        "readings": [
            {
                "number": one.number, "kind": one.kind.value, "features": list(one.features),
                "roughly": round(one.value, 6), "times": one.repeats,
            }
            for one in plan.readings
        ],
    }  # fmt: skip
    return json.dumps(record, indent=1, ensure_ascii=False) + "\n"


def render_progress(progress: Progress) -> str:
    """What is in question, how many are taken, and the next one with what it should read; empty where all is well."""
    lines = [line for one in progress.questioned for line in wrapped(one.words, WIDTH)]
    if progress.waiting:
        lines.append(f"{progress.taken} of {progress.taken + progress.waiting} taken")
    if progress.next is not None:
        lines.append(progress.next.words)
    return "\n".join(lines) + "\n" if lines else ""
