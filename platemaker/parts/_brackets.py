"""Brackets: flat bar, bent, with holes in its legs."""

from __future__ import annotations

from dataclasses import replace

from platemaker.catalog import material
from platemaker.errors import SpecError
from platemaker.parts._cuts import Cut
from platemaker.parts._draft import Draft
from platemaker.parts._hole_making import single_hole
from platemaker.parts._part import Kind, Part
from platemaker.parts._plates import marks_of
from platemaker.parts._stock import Bend, StripStock
from platemaker.spec import Bracket


def bracket_of(name: str, model: Bracket, draft: Draft) -> Part:
    """A bent flat bar; its holes are entered from the face that is outside before bending."""
    root = ("parts", name)
    with draft.spec.blame(*root, "material"):
        metal = material(model.material)
    with draft.spec.blame(*root, "bends"):
        bends = tuple(Bend(bend.angle, bend.radius) for bend in model.bends)
        stock = StripStock(model.width, model.thickness, model.legs, bends)
    cuts: list[Cut] = []
    for hole_name, hole in model.holes.items():
        path = (*root, "holes", hole_name)
        with draft.spec.blame(*path):
            if hole.leg > len(model.legs):
                problem = f"leg {hole.leg} does not exist"
                raise SpecError(problem, met=hole.leg, allowed=f"1 to {len(model.legs)}")
            entry, direction = stock.leg_point(hole.leg - 1, *hole.at)
            made = single_hole(hole_name, hole, entry, direction, model.thickness, ".".join(path))
            owner, _, other = (hole.over or "").partition(".")
            cuts.append(replace(made, over=(owner, other)) if hole.over else made)
    return Part(
        name, model.title or name, Kind.BRACKET, metal, stock, tuple(cuts), marks_of(model, model.thickness),
        quantity=model.quantity, edge_break=model.edge_break, limits=draft.limits(model), note=model.note or "",
        key=".".join(root),
    )  # fmt: skip
