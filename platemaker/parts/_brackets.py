"""Brackets: flat bar, bent, with holes and lightening pockets in its legs."""

from __future__ import annotations

from collections.abc import Iterator

from platemaker.catalog import metal_named
from platemaker.errors import SpecError
from platemaker.parts._draft import Draft
from platemaker.parts._flat import flat_pattern, leg_of
from platemaker.parts._hole_making import HoleSlab, single_hole
from platemaker.parts._marks import marks_of
from platemaker.parts._opened import opened_in_leg
from platemaker.parts._records._cuts import Cut, Profile, ProfileKind, Side
from platemaker.parts._records._figures import loop_of, on_grid
from platemaker.parts._records._part import Kind, Part
from platemaker.parts._records._stock import Bend, StripStock
from platemaker.plane import Line, Loop, Region
from platemaker.records import replace
from platemaker.spec import Bracket, LegOpenOutPocket

LEAST_BEND, MOST_BEND = 0.1, 179.0
"""Angles that a strip is bent by, degrees: bent right over, its sharp outside corner lies infinitely far away."""


def bracket_of(name: str, model: Bracket, draft: Draft) -> Part:
    """A bent flat bar; its holes are entered from the face that is outside before bending."""
    root = ("parts", name)
    with draft.spec.blame(*root, "material"):
        metal = metal_named(model.material)
    for number, bend in enumerate(model.bends):
        if not LEAST_BEND <= abs(bend.angle) <= MOST_BEND:
            problem, where = "a strip cannot be bent so", draft.spec.where(*root, "bends", number, "angle")
            allowed = f"from {LEAST_BEND:g} to {MOST_BEND:g} degrees, up or down"
            raise SpecError(problem, where=where, met=f"{bend.angle:g} degrees", allowed=allowed)
    with draft.spec.blame(*root, "bends"):
        bends = tuple(Bend(bend.angle, bend.radius) for bend in model.bends)
        stock = StripStock(model.width, model.thickness, model.legs, bends)
    cuts: list[Cut] = []
    for hole_name, hole in model.holes.items():
        path = (*root, "holes", hole_name)
        with draft.spec.blame(*path):
            _refuse_unknown_leg(hole.leg, stock)
            if not 0 <= hole.at[0] <= stock.legs[hole.leg - 1]:
                problem = f"{hole_name} lies off leg {hole.leg}"
                allowed = f"from 0 to {stock.legs[hole.leg - 1]:g} mm along it"
                raise SpecError(problem, met=f"{hole.at[0]:g} mm", allowed=allowed)
            entry, direction = stock.leg_point(hole.leg - 1, *hole.at)
            made = single_hole(hole_name, hole, entry, direction, model.thickness, ".".join(path))
            owner, _, other = (hole.over or "").partition(".")
            cuts.append(replace(made, over=(owner, other)) if hole.over else made)
    part = Part(
        name, model.title or name, Kind.BRACKET, metal, stock, tuple(cuts),
        marks_of(name, model, model.thickness, draft, cuts), quantity=model.quantity, edge_break=model.edge_break,
        limits=draft.limits(model), limit_reasons=draft.limit_reasons(model), note=model.note or "",
        finish=model.finish or "", treatment=model.treatment or "", key=".".join(root),
    )  # fmt: skip
    return replace(part, cuts=(*cuts, *_pockets(part, stock, model, draft, root))) if model.pockets else part


def _pockets(part: Part, stock: StripStock, model: Bracket, draft: Draft, root: tuple[str, ...]) -> Iterator[Profile]:
    """The lightening pockets and windows of the legs, in the flat pattern."""
    bent = flat_pattern(part)
    if bent is None:
        return
    for name, pocket in model.pockets.items():
        path = (*root, "pockets", name)
        with draft.spec.blame(*path):
            _refuse_unknown_leg(pocket.leg, stock)
            leg, at = pocket.leg - 1, (bent.starts[pocket.leg - 1], 0.0)
            if pocket.depth is not None and pocket.depth >= stock.thickness:
                problem = "pocket is deeper than the bar"
                allowed = f"less than {stock.thickness:g} mm, or no depth for a window"
                where = draft.spec.where(*path, "depth")
                raise SpecError(problem, where=where, met=f"{pocket.depth:g} mm", allowed=allowed)
            opened = None
            if isinstance(pocket, LegOpenOutPocket):
                here = [
                    flat for flat, hole in zip(bent.part.holes, part.holes, strict=True) if leg_of(hole, stock) == leg
                ]
                slab = HoleSlab(0.0, stock.thickness)
                opened = opened_in_leg(name, pocket, _flat_of(stock, leg, at[0]), slab, here, at)
                regions = opened.regions
            else:
                regions = (Region.of(loop_of(pocket.shape, name, at)),)
            through = pocket.depth is None
            yield Profile(
                name, ProfileKind.OPENING if through else ProfileKind.POCKET, regions, Side(pocket.side),
                stock.thickness if pocket.depth is None else on_grid(pocket.depth), through, pocket.cutter,
                opened=opened, leg=leg, key=".".join(path),
            )  # fmt: skip


def _flat_of(stock: StripStock, leg: int, start: float) -> Region:
    """The flat of a leg in the flat pattern, its ends named for the bends that it runs out into."""
    first, last = stock.flat_of(leg)
    low, high, half = start + first, start + last, stock.width / 2
    ends = ["outline" if not 0 <= bend < len(stock.bends) else f"bend {bend + 1}" for bend in (leg - 1, leg)]
    corners = [(low, -half), (high, -half), (high, half), (low, half)]
    sides = zip(corners, (*corners[1:], corners[0]), ("outline", ends[1], "outline", ends[0]), strict=True)
    return Region.of(Loop(tuple(Line(a, b, tag) for a, b, tag in sides)))


def _refuse_unknown_leg(leg: int, stock: StripStock) -> None:
    if leg > len(stock.legs):
        problem = f"leg {leg} does not exist"
        raise SpecError(problem, met=leg, allowed=f"1 to {len(stock.legs)}")
