"""Sealing faces as the drawing lets them be made: uneven ones against what the gasket between them gives."""

from __future__ import annotations

from collections.abc import Iterator

from platemaker.checks._advice import advised
from platemaker.checks._finding import PRACTICE, Finding, Limit, Sense, measured, not_checked
from platemaker.checks._sealing._strips import values_of
from platemaker.parts import Joint, Stack

FLATNESS, TITLE = "PM930", "uneven faces against gasket compression"
SIDES = ("lower", "upper")
SHARE = 0.5
"""Share of a sheet's compression that both faces may use up together. Common practice, no source."""
SOFT = 0.01
"""Compressibility below which a sheet seals by yielding, not by giving way: metal."""


def check_faces(stack: Stack) -> Iterator[Finding]:
    """Both faces of every joint with a gasket, each as uneven as it was measured or as the `flatness` lets it be."""
    for joint in stack.joints:
        sheet, values = joint.gasket, values_of(joint)
        if sheet is None or not joint.ports:
            continue
        if values is None or values.compressibility < SOFT:
            why = "metal seals by yielding" if values else f"the catalog has no row for {sheet.material} so thick"
            yield not_checked(FLATNESS, TITLE, joint.name, ("gasket",), why)
            continue
        gives = values.compressibility * sheet.thickness
        limit = Limit(gives, "mm", f"compressibility: {values.source}; limit: {PRACTICE}", SHARE * gives, Sense.AT_MOST)
        inputs = [
            *flatness_inputs(joint), ("gasket", sheet.thickness, "mm"), ("compressibility", values.compressibility, ""),
        ]  # fmt: skip
        yield advised(
            measured(
                FLATNESS, TITLE, joint.name, ("gasket",), sum(joint.flatness), limit, inputs=inputs,
                note=unmeasured(stack, joint),
            )
        )  # fmt: skip


def flatness_inputs(joint: Joint) -> list[tuple[str, float, str]]:
    """The flatness of both faces as rows for who redoes the sum."""
    return [(f"flatness of the {side} face", flat, "mm") for side, flat in zip(SIDES, joint.flatness, strict=True)]


def unmeasured(stack: Stack, joint: Joint) -> str:
    """What to do where the flatness of an existing machine's face is assumed; empty where both are stated."""
    bodies = {body.name for body in stack.bodies}
    cast = [face.owner for face in joint.faces if face.owner in bodies and face.flatness is None]
    return f"flatness of {' and '.join(cast)} is assumed: lay a straightedge there before fitting" if cast else ""
