"""Cuts that take nothing away: off the blank, inside other cuts, or twice the same."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from platemaker.plane import intersect, subtract, total_area
from platemaker.resolved._part import ResolvedPart
from platemaker.resolved._sections import section
from platemaker.resolved._voids import Bored, Void
from platemaker.space import Cylinder, Flare, depth, perpendiculars, pieces_in, volume_left

NOTHING = 1e-9
"""A cut that takes no more than this, mm2 of a section or mm3, takes nothing: that is rounding."""
SHARES = (0.01, 0.25, 0.5, 0.75, 0.99)
"""Where points are taken on a piece of a line, as shares of its length."""
INSIDE = 1e-9
"""How far inside the ends of a stretch of heights a section is looked at, as a share of it."""


def useless(one: ResolvedPart) -> Iterator[tuple[Void, tuple[Void, ...]]]:
    """A void of each cut that takes nothing away, and the voids that it lies in; none where it lies off the blank."""
    by_cut: dict[int, list[Void]] = {}
    for void in one.voids:
        by_cut.setdefault(id(void.cut), []).append(void)
    gone: set[int] = set()
    # From the last on: of two that are the same, the later one is named, and the earlier one takes something.
    for own in reversed(list(by_cut.values())):
        if not any(_takes(void, one, gone) for void in own):
            gone.add(id(own[0].cut))
            yield own[0], tuple(other for void in own for other in _others(void, one, gone))


def _others(void: Void, one: ResolvedPart, gone: set[int]) -> list[Void]:
    """The voids of other cuts that a void meets: of a thread other threads too, which are not cut into the solid."""
    threads = ("thread",) if void.what != "thread" else ()
    found = [other for other in one.met_by(void) if other.cut is not void.cut and other.what not in threads]
    return [other for other in found if id(other.cut) not in gone]


def _takes(void: Void, one: ResolvedPart, gone: set[int]) -> bool:
    others = _others(void, one, gone)
    if void.upright is None:
        return _takes_aslant(void, one, others)
    reaches_out = one.to_outline(void) < 0.0
    others = [other for other in others if other.upright is not None]
    if not others and not reaches_out:
        return True
    low, high = max(void.low, 0.0), min(void.high, one.blank.height)
    ends = (min(max(z, low), high) for other in others for z in (other.low, other.high))
    for bottom, top in pairwise(sorted({low, high, *ends})):
        for share in (0.5, INSIDE, 1.0 - INSIDE):
            z = bottom + share * (top - bottom)
            own = section(void, z)
            if own is None:
                continue
            over = [part for other in others if other.low < z < other.high if (part := section(other, z))]
            kept = intersect(own, one.blank.region) if reaches_out else (own,)
            if total_area(kept) > 2 * total_area(over) or total_area(subtract(kept, *over)) > NOTHING:
                return True
    return False


def _points_of(void: Bored, one: ResolvedPart) -> NDArray[np.float64]:
    """Points of a bore inside the blank, along lines on its axis and just inside its surface."""
    tool = void.tool
    wide, narrow = (tool.radius,) * 2 if isinstance(tool, Cylinder) else (tool.radius_start, tool.radius_end)
    ways = [np.zeros(3)] + [sign * np.array(way) for way in perpendiculars(tool.axis) for sign in (0.99, -0.99)]
    starts = np.array([np.array(tool.start) + wide * way for way in ways])
    ends = np.array([np.array(tool.end) + narrow * way for way in ways])
    first, last, _ = pieces_in(one.blank.prism, starts, ends)
    return np.vstack([first + share * (last - first) for share in SHARES])


def _takes_aslant(void: Void, one: ResolvedPart, others: list[Void]) -> bool:
    if not isinstance(void, Bored):
        raise TypeError(void)
    tools = [other.tool for other in others if not isinstance(other.tool, Flare)]
    points = _points_of(void, one)
    if len(points) and (np.array([depth(tool, points) for tool in tools]) < 0.0).all(axis=0).any():
        return True
    left, error = volume_left(void.tool, one.blank.prism, tools)
    return left > error + NOTHING
