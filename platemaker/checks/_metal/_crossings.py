"""Bores that are meant to meet: how far each opens into the cut that it is declared to run `into`."""

from __future__ import annotations

import math
from collections.abc import Iterator

from platemaker.checks._finding import EQUAL, Finding, Limit, measured, not_checked
from platemaker.parts import Hole, Kind, Part, Stack
from platemaker.resolved import Void, resolved
from platemaker.space import Cylinder, Frame, Prism, crossing, midpoint
from platemaker.units import said

CROSSING, TITLE = "PM611", "bore opens into what it is meant to"
BLIND = "it ends in the casting's wall: nothing says what is open under the boss's bore there"
OPEN_SHARE = Limit(0.95, "of the narrower section", "common practice, no source", caution=1.0)
"""How much of the narrower of two bores' sections their crossing must leave open."""


def check_crossings(stack: Stack) -> Iterator[Finding]:
    """Every bore that is declared to run into another cut of its part, and those that end in a casting's wall."""
    for part in stack.parts:
        for hole in part.holes:
            for name in hole.into:
                found = _crossing(part, hole, name)
                if hole.joint is None or part.kind is Kind.RAIL or found.measured:  # not all bolts of a joint need to
                    yield found
            if part.kind is Kind.CASTING and not hole.through:
                yield not_checked(CROSSING, TITLE, part.name, (hole.name, "floor"), BLIND)


def _crossing(part: Part, hole: Hole, name: str) -> Finding:
    """The open area against the narrower section: no more can flow from a wide bore into a narrow one."""
    last = hole.bored[-1]
    bore = Cylinder(hole.point(last.start), hole.point(last.end), last.wide / 2)
    others = [void for void in resolved(part).voids_named(name) if void.what not in ("point", "thread", "mouth")]
    best, narrow, spare = 0.0, bore.radius, -math.inf
    for other in others:
        if not isinstance(other.tool, Cylinder | Prism):
            continue
        area, left = _in_line(bore, other.tool) or _across(bore, other.tool)
        if area >= best:
            best, spare, narrow = area, left, min(bore.radius, _radius(other))
    section = math.pi * narrow**2
    short = spare < 0 and math.isfinite(spare) and best < section
    note = said("opens_deeper", deeper=(-spare, "mm")) if short else ""
    inputs = [("open area", best, "mm2"), ("narrower section", section, "mm2")]
    return measured(
        CROSSING, TITLE, part.name, (hole.name, name), best / section, OPEN_SHARE,
        points=[midpoint(bore.start, bore.end)], note=note, inputs=inputs,
    )  # fmt: skip


def _across(bore: Cylinder, other: Cylinder | Prism) -> tuple[float, float]:
    found = crossing(bore, other)
    return found.open_area, found.spare


def _in_line(bore: Cylinder, other: Cylinder | Prism) -> tuple[float, float] | None:
    """Shared section of two bores on parallel axes, and how far they overlap lengthwise; None for any other pair.

    The area that two circles share: two segments on their common chord (plane geometry).
    """
    if not isinstance(other, Cylinder):
        return None
    frame = Frame.from_normal(bore.start, bore.axis)
    (x, y, start), (x_end, y_end, end) = frame.to_local(other.start), frame.to_local(other.end)
    if math.hypot(x_end - x, y_end - y) > EQUAL:
        return None
    spare = min(bore.length, max(start, end)) - max(0.0, min(start, end))
    if spare < 0:
        return 0.0, spare
    apart = math.hypot(x, y)
    r, s = sorted((bore.radius, other.radius))
    if apart >= r + s:
        return 0.0, spare
    if apart <= s - r:
        return math.pi * r**2, spare
    chord = (apart**2 + r**2 - s**2) / (2 * apart)
    half, rest = math.acos(chord / r), math.acos((apart - chord) / s)
    return r**2 * (half - math.sin(2 * half) / 2) + s**2 * (rest - math.sin(2 * rest) / 2), spare


def _radius(void: Void) -> float:
    return void.tool.radius if isinstance(void.tool, Cylinder) else math.inf
