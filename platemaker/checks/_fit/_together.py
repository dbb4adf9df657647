"""Joints that one part must go on together: each fits up by itself, and so must all of them at once."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import groupby

from platemaker.checks._finding import Finding, Limit, measured, not_checked
from platemaker.checks._fit._fit_up_question import Asked, question_of
from platemaker.parts import Joint, Part, Stack
from platemaker.units import said

TOGETHER = "PM807"
TITLE = "bolts of several joints start together"
LIMIT = Limit(0.0, "mm", "ASME Y14.5-2009, Appendix B: holes in their zones, both parts lined up by their datums")


def check_together(stack: Stack) -> Iterator[Finding]:
    """Every part with two bolted joints or more on one face: whether all of them fit at one place of the part."""
    joints = {joint.name: joint for joint in stack.joints}
    for part in stack.parts:
        if part.is_gasket_or_shim:
            continue
        by_face = sorted(part.mountings, key=lambda mounting: mounting.side)
        for _, group in groupby(by_face, key=lambda mounting: mounting.side):
            mine = [joints[mounting.joint] for mounting in group]
            bolted = [joint for joint in mine if joint.bolts is not None and len(joint.faces) == 2]
            if len(bolted) > 1:
                yield _together(stack, part, bolted)


def _together(stack: Stack, part: Part, joints: Sequence[Joint]) -> Finding:
    names = tuple(joint.name for joint in joints)
    others = sorted({face.owner for joint in joints for face in joint.faces} - {part.name})
    if len(others) > 1:
        reason = f"how far {' and '.join(others)} may lie off each other is not specified"
        return not_checked(TOGETHER, TITLE, part.name, names, reason)
    asked = {joint.name: question_of(stack, joint) for joint in joints}
    unknown = [said("of_joint", joint=name, why=one) for name, one in asked.items() if not isinstance(one, Asked)]
    read = next((joint.name for joint in joints if joint.surveyed or any(face.read for face in joint.faces)), "")
    if unknown or read:
        by_readings = f"{read} is known by readings of its own, which do not say where the other joint lies"
        return not_checked(TOGETHER, TITLE, part.name, names, unknown[0] if unknown else by_readings)
    name, left = _worst({name: one for name, one in asked.items() if isinstance(one, Asked)})
    if left < 0:
        return not_checked(TOGETHER, TITLE, part.name, names, said("misses", joint=name, by=(-left, "mm")))
    note = "every bolt starts with all tolerances used up, wherever the other joint draws the part"
    return measured(TOGETHER, TITLE, part.name, names, left, LIMIT, note=note)


def _worst(asked: Mapping[str, Asked]) -> tuple[str, float]:
    """The joint with the least left in its worst case, and that, mm."""
    from platemaker.fit_up import worst_cases  # noqa: PLC0415 - joints without tolerances need it not

    left = {name: min(case.margin for case in worst_cases(one.question)) for name, one in asked.items()}
    name = min(left, key=lambda key: left[key])
    return name, left[name]
