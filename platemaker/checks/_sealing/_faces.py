"""Sealing faces as the drawing lets them be made: uneven ones against what the gasket between them gives."""

from __future__ import annotations

from collections.abc import Iterator

from platemaker.checks._advice import advised
from platemaker.checks._finding import PRACTICE, Finding, Limit, Sense, measured, not_checked
from platemaker.checks._sealing._strips import values_of
from platemaker.parts import Stack

FLATNESS, TITLE = "PM930", "uneven faces against gasket compression"
SHARE = 0.5
"""Share of a sheet's compression that both faces may use up together. Common practice, no source."""
SOFT = 0.01
"""Compressibility below which a sheet seals by yielding, not by giving way: metal."""


def check_faces(stack: Stack) -> Iterator[Finding]:
    """Both faces of every joint with a gasket, each as uneven as the joint's `flatness` lets it be."""
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
        cast = [face.owner for face in joint.faces if any(body.name == face.owner for body in stack.bodies)]
        note = f"lay a straightedge on {' and '.join(cast)} before fitting" if cast else ""
        inputs = [
            ("flatness of each face", sheet.flatness, "mm"), ("gasket", sheet.thickness, "mm"),
            ("compressibility", values.compressibility, ""),
        ]  # fmt: skip
        yield advised(
            measured(
                FLATNESS, TITLE, joint.name, ("gasket",), 2 * sheet.flatness, limit, inputs=inputs, note=note
            )
        )  # fmt: skip
