"""A joint for the fitter: the plate's outline, opening and bolts, numbered in the order of tightening."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence

from platemaker.export._sheet._drawing_tags import kept_box
from platemaker.parts import Part, Stack
from platemaker.plane import Box, Point, Region
from platemaker.resolved import ResolvedJoint
from platemaker.views import (
    LEAST,
    TRUE,
    Align,
    Fill,
    Ink,
    Label,
    Lettered,
    Pen,
    Shown,
    Text,
    View,
    joined,
    known,
    label_ink,
    path,
    place,
)

WIDE, HIGH = (104.0, 150.0), (66.0, 116.0)
"""Room of a picture, mm: usual, and where bolts stand close."""
BALL, APART = 3.3, 7.2
"""Radius of a number's circle, and least distance of two that do not touch, mm."""
RIM = 5.0
"""Room round the picture for circles on the edge, mm."""


def joint_picture(stack: Stack, one: ResolvedJoint, order: Sequence[str]) -> tuple[float, float, tuple[Ink, ...]]:
    """Width and height, mm, and the ink of a joint seen from its upper side; numbers follow `order`, spots by name."""
    spots = one.joint.spots
    outlines = list(_outlines(stack, one))
    box = joined([*(region.bounds for region in outlines), _around(list(spots.values()))])
    gap = min((math.dist(a, b) for a, b in itertools.combinations(spots.values(), 2)), default=math.inf)
    view, size = _laid(box, gap)
    ink: list[Ink] = [view.loop(loop, Pen.WIDE) for region in outlines for loop in region.loops]
    ink += [view.loop(loop, Pen.NARROW) for port in one.joint.ports for loop in port.region.loops]
    ink += _marks(stack, one, view)
    for number, name in enumerate(order, start=1):
        ink += _ball(view.at(spots[name]), str(number))
    return (*size, tuple(ink))


def _outlines(stack: Stack, one: ResolvedJoint) -> Iterator[Region]:
    """The outline of the first part that carries the joint, else of its gasket, in the joint's frame."""
    for part in _carriers(stack, one):
        mounting = part.mounting(one.joint.name)
        if mounting is not None:
            yield mounting.in_joint(part.stock.plan)
            return


def _carriers(stack: Stack, one: ResolvedJoint) -> list[Part]:
    parts = [side.part for side in one.sides if side.part is not None]
    return [*parts, *(stack.part(name) for name in one.sheets)]


def _marks(stack: Stack, one: ResolvedJoint, view: View) -> Iterator[Ink]:
    """The marks of the part that is drawn, such as FRONT, by which the fitter turns the picture; beside all numbers."""
    rooms = [(x - BALL - 1.2, y - BALL, x + BALL + 1.2, y + BALL) for x, y in map(view.at, one.joint.spots.values())]
    labels: list[Label] = [kept_box(room) for room in rooms]
    for part in _carriers(stack, one)[:1]:
        mounting = part.mounting(one.joint.name)
        for mark in part.marks if mounting is not None else ():
            at = view.at(mounting.in_joint((mark.at[0], mark.at[1]))) if mounting else (0.0, 0.0)
            words = known(mark.text)
            labels.append(Lettered(Shown(words, words), at, 0.0, LEAST))
    yield from label_ink(spot for spot in place(labels) if spot.label.kind != "kept")


def _around(points: Sequence[Point]) -> Box:
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return min(xs), min(ys), max(xs), max(ys)


def _laid(box: Box, gap: float) -> tuple[View, tuple[float, float]]:
    """The view into a room that keeps the numbers apart, if either does."""
    x0, y0, x1, y1 = box
    view, size = TRUE, (0.0, 0.0)
    for room_x, room_y in zip(WIDE, HIGH, strict=True):
        wide, high = room_x - 2 * RIM, room_y - 2 * RIM
        scale = min(wide / max(x1 - x0, 1.0), high / max(y1 - y0, 1.0), 2.0)
        size = room_x, scale * (y1 - y0) + 2 * RIM
        left = RIM + (wide - scale * (x1 - x0)) / 2
        view = View(scale, (left - scale * x0, RIM - scale * y0))
        if scale * gap >= APART:
            break
    return view, size


def _ball(at: Point, words: str) -> Iterator[Ink]:
    """A number in a circle on white."""
    x, y = at
    turns = (turn * math.tau / 24 for turn in range(24))
    yield Fill(tuple((x + BALL * math.cos(turn), y + BALL * math.sin(turn)) for turn in turns), 1.0)
    yield TRUE.circle(at, BALL, Pen.NARROW)
    yield Text(words, (x, y - 0.36 * LEAST), LEAST, Align.MIDDLE)
    yield path(((x - BALL - 1.2, y), (x - BALL, y)), Pen.FINE)
    yield path(((x + BALL, y), (x + BALL + 1.2, y)), Pen.FINE)
