"""What cannot be made of round bar: holes off it or across its sides, holes that run into each other."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import combinations

from platemaker.errors import SpecError
from platemaker.parts._cuts import Cut, Hole, Step
from platemaker.parts._stock import RoundStock
from platemaker.spec import ProjectSpec


def refuse_off_bar(part: str, stock: RoundStock, cuts: Sequence[Cut], spec: ProjectSpec) -> None:
    """Raise SpecError, naming the hole, for one that stands square to the bar's axis and cannot be made so."""
    holes = [cut for cut in cuts if isinstance(cut, Hole) and cut.square]
    for hole in holes:
        (x, y), r = hole.centre, max(step.diameter for step in hole.steps) / 2
        if abs(x) + r > stock.length / 2 or abs(y) + r >= stock.diameter / 2:
            problem = f"{hole.name}, {2 * r:g} mm wide, runs out of the side of {part}, or lies off it"
            allowed = (
                f"X within {stock.length / 2 - r:g} mm, Y within less than {stock.diameter / 2 - r:g} mm of the middle"
                if 2 * r < stock.diameter
                else f"a hole narrower than the bar, {stock.diameter:g} mm"
            )
            raise SpecError(problem, where=spec.where(*hole.key.split(".")), allowed=allowed)
    for a, b in combinations(holes, 2):
        if a.name not in b.into and b.name not in a.into and _meet(a, b):
            problem = f"{a.name} and {b.name} of {part} run into each other"
            raise SpecError(problem, where=spec.where(*b.key.split(".")), allowed="holes with a wall between them")


def _meet(a: Hole, b: Hole) -> bool:
    apart = math.dist(a.centre, b.centre)
    return any(
        apart < (one.diameter + other.diameter) / 2 and _share_height(_span(a, one), _span(b, other))
        for one in a.steps
        for other in b.steps
    )


def _span(hole: Hole, step: Step) -> tuple[float, float]:
    """Lowest and highest Z of a step, mm."""
    z, way = hole.at[2], hole.direction[2]
    low, high = sorted((z + way * step.start, z + way * step.end))
    return low, high


def _share_height(a: tuple[float, float], b: tuple[float, float]) -> bool:
    return min(a[1], b[1]) - max(a[0], b[0]) > 1e-9
