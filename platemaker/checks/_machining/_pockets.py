"""What stops an opened-out figure from growing: its limits, what each costs, and what other cutters would give."""

from __future__ import annotations

import math

from platemaker.catalog import cutters
from platemaker.checks._finding import EQUAL
from platemaker.parts import Stack
from platemaker.plane import (
    Box,
    Circle,
    LimiterKind,
    OpenedPocket,
    Point,
    gain_by_moving,
    limiters,
    measures,
    opened_area,
)
from platemaker.records import Record, replace
from platemaker.resolved import resolved
from platemaker.units import Phrase, said

MOVE = 2.0
"""How far a spared hole is moved outwards to see what it would give, mm."""
CUTTERS = (4.0, 26.0)
"""Least and greatest diameter of the end mills that are tried, mm: what a small mill holds (common practice)."""


class PocketLimit(Record):
    """One limit of a figure: boundary `length` that it makes, mm; area that it `cost`s, mm2; `gain` by moving it, mm2.

    `gain` is None for what cannot be moved: edges, the cutter, the opening.
    """

    name: str
    kind: LimiterKind
    length: float
    cost: float
    gain: float | None

    @property
    def words(self) -> Phrase:
        """The limit in a sentence."""
        cost, gain = (self.cost, "mm2"), self.gain
        if gain is None:
            return said("limit_costs", name=self.name, cost=cost)
        word = "give_nothing" if abs(gain) < 0.5 else "give" if gain > 0 else "lose"
        given = said(word, area=(abs(gain), "mm2"))
        return said("limit_moves", name=self.name, cost=cost, move=(MOVE, "mm"), given=given)


class CutterChoice(Record):
    """A standard end mill, mm, and the area of the figure that it would make, mm2."""

    diameter: float
    area: float


class PocketAccount(Record):
    """An opened-out figure: its area with the opening it joins, its limits largest first, other cutters, what it left.

    `left` are places that the cutter would fit into but cannot come to: area, mm2, and a start that would reach it.
    """

    part: str
    cut: str
    cutter: float
    area: float
    limits: tuple[PocketLimit, ...]
    cutters: tuple[CutterChoice, ...]
    left: tuple[tuple[float, Point], ...]


def pocket_accounts(stack: Stack) -> tuple[PocketAccount, ...]:
    """An account of every opened-out figure, which is solved again for every limit and cutter, some 20 ms each."""
    return tuple(
        _account(part.name, profile.name, profile.opened)
        for part in stack.parts
        for profile in resolved(part).flat.profiles
        if profile.opened is not None
    )


def _account(part: str, cut: str, opened: OpenedPocket) -> PocketAccount:
    spared = {one.name for one in opened.request.spared}
    middle = measures(max(opened.regions, key=lambda region: region.area)).centroid
    limits = tuple(
        PocketLimit(
            one.name,
            one.kind,
            one.length,
            one.cost,
            _gain(opened, one.name, middle) if one.name in spared else None,
        )
        for one in limiters(opened)
    )
    left = tuple((one.area, one.start) for one in opened.dropped if one.area > EQUAL)
    cutter = 2 * opened.request.cutter_radius
    return PocketAccount(part, cut, cutter, opened.area, limits, _choices(opened), left)


def _gain(opened: OpenedPocket, name: str, middle: Point) -> float:
    """Area gained by moving a spared shape away from the figure's middle."""
    shape = next(one.shape for one in opened.request.spared if one.name == name)
    x, y = shape.centre if isinstance(shape, Circle) else box_middle(shape.bounds)
    dx, dy = x - middle[0], y - middle[1]
    away = math.hypot(dx, dy)
    if away == 0:
        return 0.0
    return gain_by_moving(opened, name, MOVE * dx / away, MOVE * dy / away)


def box_middle(box: Box) -> Point:
    """The middle of an upright box."""
    return (box[0] + box[2]) / 2, (box[1] + box[3]) / 2


def _choices(opened: OpenedPocket) -> tuple[CutterChoice, ...]:
    least, greatest = CUTTERS
    sizes = sorted({row.diameter for row in cutters() if least <= row.diameter <= greatest})
    asked = [replace(opened.request, cutter_radius=size / 2) for size in sizes]
    return tuple(CutterChoice(size, opened_area(request)) for size, request in zip(sizes, asked, strict=True))
