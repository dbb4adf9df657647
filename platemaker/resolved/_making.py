"""What making a part costs work and metal on: stock to order, volume removed, holes, tools, corners. No prices."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Mapping
from itertools import pairwise

from platemaker.catalog import Family
from platemaker.parts import Operation, Part
from platemaker.plane import Arc, Edge, Loop, Point
from platemaker.records import Record
from platemaker.resolved._part import resolved

ALLOWANCE = 3.0
"""Metal to clean up on each sawn side of a blank, mm. Common practice, no source."""


class OrderedStock(Record):
    """Stock to order for one piece, mm: `size` over all, or diameter and length where `is_round`; volume in mm3.

    Sawn sides have ALLOWANCE on them, up to a whole millimetre. Thickness and section are the part's own: stock is
    bought to them.
    """

    size: tuple[float, ...]
    is_round: bool
    volume: float


class Tool(Record):
    """A tool: what it does, its diameter, mm, None where the spec does not say; of a tap its thread too."""

    work: str
    size: float | None
    thread: str = ""


class Making(Record):
    """One piece: its blank and the mass of that, kg; volume removed from it, mm3, None where the part's is not known.

    `drilled` counts its holes, those tapped too; `corners` are inside corners that a cutter must turn in, by the
    cutter's diameter, mm, None where the spec names no cutter. `tools` are each named once.
    """

    blank: OrderedStock
    mass: float
    removed: float | None
    drilled: int
    tapped: int
    tools: tuple[Tool, ...]
    corners: Mapping[float | None, int]


def making_of(part: Part, volume: float | None) -> Making:
    """What one piece takes to make; `volume` is that of the finished piece, mm3."""
    blank = ordered_stock(part)
    return Making(
        blank,
        blank.volume * part.material.density * 1e-9,
        None if volume is None else blank.volume - volume,
        len(part.holes),
        sum(hole.tapping is not None for hole in part.holes),
        tuple(sorted(set(_tools(part)), key=lambda tool: (tool.work, tool.size or 0.0, tool.thread))),
        _corners(part),
    )


def ordered_stock(part: Part) -> OrderedStock:
    """The stock to order for one piece: a bent part's is that of its flat blank."""
    flat = resolved(part).flat
    x, y, z = flat.stock.size
    if flat.bar is not None:
        size: tuple[float, ...] = (y, _sawn(x))
        is_round = True
    elif flat.stock.plan.outer.as_circle() is not None:
        # Turned from bar on end, or a disc out of plate.
        size, is_round = (_sawn(x), _sawn(z)), True
    elif part.strip is not None:
        size, is_round = (_sawn(x), y, z), False
    else:
        size, is_round = (_sawn(x), _sawn(y), z), False
    return OrderedStock(size, is_round, math.pi / 4 * size[0] ** 2 * size[1] if is_round else math.prod(size))


def _sawn(size: float) -> float:
    """A size with what is sawn on both sides, up to a whole millimetre."""
    return math.ceil(size + 2 * ALLOWANCE - 1e-6)


def _tools(part: Part) -> Iterator[Tool]:
    soft = part.material.family is Family.GASKET
    for hole in part.holes:
        for step in hole.bored:
            angle = f" {step.angle:g}°" if step.operation is Operation.COUNTERSINK else ""
            yield Tool("cut" if soft else f"{step.operation.value}{angle}", step.wide)
        if hole.tapping:
            yield Tool("tap", hole.tapping.major_diameter, hole.tapping.designation)
    for profile in resolved(part).flat.profiles:
        if not part.is_gasket_or_shim:
            yield Tool("cutter", profile.cutter)


def _corners(part: Part) -> dict[float | None, int]:
    found: Counter[float | None] = Counter()
    for profile in resolved(part).flat.profiles:
        if not part.is_gasket_or_shim:
            loops = (loop for region in profile.regions for loop in region.loops)
            # Round a whole circle the cutter does not turn.
            found[profile.cutter] += sum(len(list(inside_corners(loop))) for loop in loops if not loop.as_circle())
    return {cutter: count for cutter, count in sorted(found.items(), key=lambda it: it[0] or 0.0) if count}


def inside_corners(loop: Loop) -> Iterator[tuple[float, Point]]:
    """The corners that a cutter inside a counter-clockwise loop turns in: radius, mm, 0 at a sharp one, and where."""
    for edge, following in pairwise((*loop.edges, loop.edges[0])):
        if isinstance(edge, Arc) and edge.ccw:
            yield edge.radius, edge.point(0.5)
        if _turns_left(edge, following):
            yield 0.0, edge.end


def _turns_left(edge: Edge, following: Edge) -> bool:
    u, v = edge.tangent(1.0), following.tangent(0.0)
    return u[0] * v[1] - u[1] * v[0] > 1e-6
