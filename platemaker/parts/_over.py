"""Brackets over other parts' holes: where the first such hole puts the bracket."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from platemaker.errors import SpecError, nearest_word
from platemaker.parts._draft import Draft
from platemaker.parts._flat import leg_of
from platemaker.parts._records._cuts import Hole
from platemaker.parts._records._part import Part
from platemaker.space import Frame, cross, rotation
from platemaker.spec import Bracket


def bracket_frames(draft: Draft, parts: Sequence[Part], frames: Mapping[str, Frame]) -> dict[str, Frame]:
    """The places of brackets whose first leg has a hole over that of a part with a place; others are left out.

    Raises SpecError for a hole that no part has.
    """
    named = {part.name: part for part in parts}
    found: dict[str, Frame] = {}
    waiting = [part for part in parts if any(hole.over for hole in part.holes)]
    for part in waiting:
        for hole in part.holes:
            if hole.over is not None:
                _known(part, hole, named, draft)
    for part in waiting:
        _refuse_circle(part, named, draft)
    moving = True
    while moving:
        moving = False
        for part in waiting:
            place = None if part.name in found else _place(part, draft, named, {**frames, **found})
            if place is not None:
                found[part.name], moving = place, True
    return found


def foot_of(part: Part) -> Hole | None:
    """The hole that gives a bracket its place: the first of its first leg that lies over another part's."""
    stock = part.strip
    if stock is None:
        return None
    return next((hole for hole in part.holes if hole.over and leg_of(hole, stock) == 0), None)


def _refuse_circle(part: Part, parts: Mapping[str, Part], draft: Draft) -> None:
    """Raise SpecError for a bracket whose place would follow from its own."""
    way, at = [part.name], part
    while (foot := foot_of(at)) is not None and foot.over is not None:
        at = parts[foot.over[0]]
        if at.name == part.name:
            problem = f"the place of {part.name} follows from its own: {' over '.join([*way, part.name])}"
            own = foot_of(part)
            where = draft.spec.where("parts", part.name, "holes", own.name if own else "", "over")
            raise SpecError(problem, where=where, allowed="a first leg over a part that has a place of its own")
        if at.name in way:
            return
        way.append(at.name)


def _place(part: Part, draft: Draft, parts: Mapping[str, Part], frames: Mapping[str, Frame]) -> Frame | None:
    """The far face of the bracket lies on the face that the other hole is entered from, the two holes in line."""
    stock, model = part.strip, draft.spec.model.parts[part.name]
    if stock is None or not isinstance(model, Bracket) or part.name in frames:
        return None
    foot = foot_of(part)
    if foot is None or foot.over is None or foot.over[0] not in frames:
        return None
    under = parts[foot.over[0]].cut(foot.over[1])
    if not isinstance(under, Hole):
        return None
    x, y, z = under.direction
    face = Frame.from_normal(under.at, (-x, -y, -z), (1.0, 0.0, 0.0) if abs(x) < 0.9 else None)
    ahead = rotation((0.0, 0.0, 0.0), face.z_axis, model.turn).turn(face.x_axis)
    down = Frame(under.at, ahead, cross(under.direction, ahead))
    corner = down.to_world((-foot.at[0], -foot.at[1], -stock.thickness))
    return Frame(corner, down.x_axis, down.y_axis).placed(frames[foot.over[0]])


def _known(part: Part, hole: Hole, parts: Mapping[str, Part], draft: Draft) -> None:
    owner, name = hole.over or ("", "")
    where = draft.spec.where("parts", part.name, "holes", hole.name, "over")
    if owner not in parts:
        problem = f"no part is called '{owner}'"
        known = sorted(parts)
    else:
        known = sorted(one.name for one in parts[owner].holes)
        if name in known:
            return
        problem = f"'{owner}' has no hole called '{name}'"
    met = owner if owner not in parts else name
    raise SpecError(
        problem, where=where, met=f"{owner}.{name}", allowed=", ".join(known), nearest=nearest_word(met, known)
    )
