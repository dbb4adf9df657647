"""What is bought and fitted in the stack, as figures where it stands: screws, nuts, washers, injectors, fittings."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise

from platemaker.checks._stack._own_bores import own_bores
from platemaker.checks._stack._stack_items import ItemKind, fittings_of, injectors_of
from platemaker.parts import Stack
from platemaker.plane import Line, Loop, Region
from platemaker.records import Record
from platemaker.resolved import Bolt, resolved_stack
from platemaker.space import Cylinder, Frame, Prism


class Hardware(Record):
    """One bought piece with its washers and nut: name, what it is, what it is fitted to, figures in the stack's frame.

    For looking at: threads are plain, heads without their sockets, hexagons turned any way.
    """

    name: str
    kind: ItemKind
    on: str
    figures: tuple[Cylinder | Prism, ...]


def hardware(stack: Stack) -> tuple[Hardware, ...]:
    """Every bought piece that stands in the stack; none of a part or body without a place."""
    return tuple(_all(stack))


def _all(stack: Stack) -> Iterator[Hardware]:
    for bolt in resolved_stack(stack).bolts:
        if bolt.seat.placed and (bolt.nut is None or bolt.nut.placed):
            yield Hardware(bolt.name, ItemKind.BOLT, bolt.owner, tuple(_bolt(bolt)))
    for item in (*injectors_of(stack, own_bores(stack)), *fittings_of(stack.parts)):
        figures = tuple(one for one in item.figures if isinstance(one, Cylinder | Prism))
        yield Hardware(item.name, item.kind, item.on, figures)


def _bolt(bolt: Bolt) -> Iterator[Cylinder | Prism]:
    for what, figure in bolt.figures().items():
        is_hexagon = what == "nut" or (what == "head" and bolt.bolts.head in ("hex", "stud"))
        yield _hexagon(figure) if is_hexagon else figure


def _hexagon(round_it: Cylinder) -> Prism:
    """The hexagonal prism whose corners lie on a cylinder."""
    corners = [(math.cos(turn), math.sin(turn)) for turn in (k * math.pi / 3 for k in range(6))]
    points = [(round_it.radius * x, round_it.radius * y) for x, y in corners]
    sides = tuple(Line(a, b) for a, b in pairwise((*points, points[0])))
    return Prism(Region(Loop(sides)), Frame.from_normal(round_it.start, round_it.axis), round_it.length)
