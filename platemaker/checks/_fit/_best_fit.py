"""Two patterns that meet and are both known: the best placement of one on the other, and what is left at every hole."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import TYPE_CHECKING

from platemaker.checks._finding import Finding, Limit, Sense, measured, not_checked
from platemaker.checks._fit._fit_up_question import Asked, question_of
from platemaker.checks._fit._unchecked import guarded
from platemaker.parts import Joint, Stack
from platemaker.units import Words, said

if TYPE_CHECKING:
    from platemaker.survey import BestFit

BEST_FIT = "PM805"
TITLE = "best placement: largest misfit left at a bolt"
SOURCE = "the play of a bolt in its holes, half of hole less bolt; ASME Y14.5-2009, Appendix B"


def check_best_fit(stack: Stack) -> Iterator[Finding]:
    """Joints of which a side's holes were read: placed on the other side's, surveyed or drawn, by shift and turn."""
    for joint in stack.joints:
        faces = joint.faces
        if joint.bolts is None or len(faces) < 2 or not any(face.read for face in faces):
            continue
        asked = question_of(stack, joint)
        if not isinstance(asked, Asked):
            yield not_checked(BEST_FIT, TITLE, faces[1].owner, (joint.name,), asked)
        elif any(fastener.slot is not None for fastener in asked.question.fasteners):
            reason = "a slot lets its bolt lie anywhere along it: the chance that all bolts start counts that"
            yield not_checked(BEST_FIT, TITLE, asked.part, (joint.name,), reason)
        else:
            yield from guarded(joint, [_placed(joint, asked, faces[0].owner, faces[1].owner)])


def _placed(joint: Joint, asked: Asked, lower: str, upper: str) -> Finding:
    from platemaker.survey import FitKind, Pattern, best_fit  # noqa: PLC0415 - only parts that were read need it

    low, high = (
        Pattern(tuple(joint.spots), tuple(dict(zip(one.names, one.places, strict=True))[spot] for spot in joint.spots))
        for one in (asked.question.lower.pattern, asked.question.upper.pattern)
    )
    squares, largest = (best_fit(high, low, kind) for kind in FitKind)
    play = min(one.clearance / 2 for one in asked.question.fasteners if one.name in joint.spots)
    left: list[Words] = [said("left_at", hole=one.name, left=(one.distance, "mm")) for one in largest.misfits]
    return measured(
        BEST_FIT, TITLE, asked.part, (joint.name, largest.largest.name), largest.largest.distance,
        Limit(play, "mm", SOURCE, sense=Sense.AT_MOST),
        note=said("placed", upper=upper, lower=lower, fits=[_told(squares), _told(largest)], left=left),
        inputs=[
            ("shift X", largest.shift[0], "mm"), ("shift Y", largest.shift[1], "mm"), ("turn", largest.turn, "deg"),
            ("least squares: root mean square", squares.root_mean_square, "mm"),
        ],
    )  # fmt: skip


def _told(fit: BestFit) -> Words:
    worst = fit.largest
    return said(
        "best_fit", kind=fit.kind.value, shift=(fit.shift, "mm"), turn=(math.fmod(fit.turn, 360.0), "deg"),
        about=(fit.middle, "mm"), most=(worst.distance, "mm"), at=worst.name,
    )  # fmt: skip
