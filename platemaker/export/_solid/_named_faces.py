"""The round walls of a part's holes, by what makes them: names and colours for the faces of a STEP file."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from platemaker.export._ascii import plain
from platemaker.export._solid._step_product import Colour, ProductFace
from platemaker.parts import Hole, Operation, Part, StepVoid
from platemaker.solids import SAME_PLACE, Solid, round_faces
from platemaker.space import dot, sub

HOLES: dict[Operation, Colour] = {
    Operation.DRILL: (0.45, 0.58, 0.66),
    Operation.TAP: (0.13, 0.36, 0.58),
    Operation.BORE: (0.86, 0.62, 0.20),
    Operation.COUNTERBORE: (0.56, 0.74, 0.62),
}
"""Colours of round walls by what makes them; they differ in lightness, so that hue is not needed."""


def named_faces(part: Part, solid: Solid) -> Iterator[ProductFace]:
    """Every round wall of a hole, named for it; walls of mouths and pockets have no name."""
    steps = [(hole, step) for hole in part.holes for step in hole.bored if step.wide == step.narrow]
    wide = np.array([step.wide for _, step in steps])
    for face, wall in round_faces(solid):
        middle = face.Center().toTuple()
        for k in np.nonzero(np.abs(wide - wall.diameter) <= SAME_PLACE)[0].tolist():
            hole, step = steps[k]
            deep = dot(sub(middle, hole.at), hole.direction)
            if step.start <= deep <= step.end and wall.is_wall(hole, step.wide):
                yield _named(face, hole, step)
                break


def _named(face: Solid, hole: Hole, step: StepVoid) -> ProductFace:
    thread = hole.tapping
    if thread is not None and step.wide < thread.major_diameter and step.start < thread.depth:
        words = f"{hole.name}: {thread.designation} thread, full to {thread.depth:g} mm"
        return ProductFace(face, plain(words), HOLES[Operation.TAP])
    return ProductFace(face, plain(f"{hole.name}: {step.what} {step.wide:g} mm"), HOLES.get(step.operation))
