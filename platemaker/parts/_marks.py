"""Marks on parts, and the numbers of a joint's bolts in the order in which they are tightened."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from platemaker.errors import SpecError
from platemaker.formulas import pattern_properties, tightening_order, tightening_order_outwards
from platemaker.parts._draft import Draft
from platemaker.parts._records._cuts import Cut, Hole, Mark
from platemaker.parts._records._figures import on_grid
from platemaker.parts._records._part import Joint
from platemaker.spec import MarkModel, PartFields

NUMBER = "{number}"
"""Stands for the part's drawing number in the text of a mark."""
BESIDE = 0.5
"""Room between a hole and its number, over the height of the letters."""


def marks_of(name: str, model: PartFields, top: float, draft: Draft, cuts: Sequence[Cut]) -> tuple[Mark, ...]:
    """The marks of a part, on the face at height `top`."""
    return tuple(
        mark
        for word, one in model.marks.items()
        for mark in (
            _numbers(name, word, one, top, draft, cuts) if one.bolts else (_text(name, word, one, top, draft),)
        )
    )


def _text(part: str, word: str, model: MarkModel, top: float, draft: Draft) -> Mark:
    text, drawing = model.text or "", draft.spec.model.drawing
    if NUMBER in text and not drawing.number:
        problem, where = "the project has no drawing number", draft.spec.where("parts", part, "marks", word, "text")
        raise SpecError(problem, where=where, met=text, allowed="`drawing: {number: ...}` as well")
    x, y = model.at or (0.0, 0.0)
    text = text.replace(NUMBER, f"{drawing.number}-{part}")
    # Single strokes have capitals alone, and what is said of a mark is what stands on the part.
    text = text.upper() if model.letters == "strokes" else text
    return Mark(word, text, (on_grid(x), on_grid(y), top), model.height, model.letters)


def _numbers(part: str, word: str, model: MarkModel, top: float, draft: Draft, cuts: Sequence[Cut]) -> Iterator[Mark]:
    """A number beside each hole of a joint, right of it where the spec gives no other place."""
    path = ("parts", part, "marks", word, "bolts")
    joint = draft.joint(model.bolts or "", *path)
    holes = {cut.spot: cut for cut in cuts if isinstance(cut, Hole) and cut.joint == joint.name}
    if not holes:
        problem = "this part has no hole of that joint"
        raise SpecError(problem, where=draft.spec.where(*path), met=joint.name, allowed="a joint that is bolted to it")
    for number, spot in enumerate(tightening_sequence(joint), 1):
        if (hole := holes.get(spot)) is not None:
            dx, dy = model.at or (hole.widest / 2 + BESIDE * model.height, -model.height / 2)
            at = (on_grid(hole.centre[0] + dx), on_grid(hole.centre[1] + dy), top)
            yield Mark(f"{word}_{number}", str(number), at, model.height, model.letters)


def tightening_sequence(joint: Joint) -> tuple[str, ...]:
    """The order in which a joint's bolts are tightened: crosswise round an opening, else from the middle outwards.

    Several openings lie along a flange, whose bolts are tightened from the middle as a cylinder head's.
    """
    names, points = list(joint.spots), list(joint.spots.values())
    if len(joint.ports) != 1:
        return tuple(names[place] for place in tightening_order_outwards(points))
    centre = pattern_properties(points)
    bearings = [math.degrees(math.atan2(y - centre.y, x - centre.x)) for x, y in points]
    return tuple(names[place] for place in tightening_order(bearings))
