"""The belt in its plane, seen along the driving pulley's axis: path, arrows, lengths, wraps, travel."""

from __future__ import annotations

import math
from collections.abc import Iterator

from platemaker.plane import Box, Line, Point
from platemaker.resolved import ResolvedBelt, Running
from platemaker.views._frame import Sheet, finished, letter_size
from platemaker.views._ink._model import TRUE, Group, Ink, Pen, Stroke, View, arrow, path
from platemaker.views._labels import Label, grown, joined, label_ink, place
from platemaker.views._numbers import Shown, shown

LETTERS = 84
TURN = 40.0
"""Part of a turn that the arrow of a pulley's rotation covers, degrees."""


def belt_svg(belt: ResolvedBelt, unit: str, *, sheet: Sheet | None = None) -> str:
    """The belt's plane as a picture: the belt thicker where it is tight, an arrow on every span and pulley."""
    box = belt_box(belt)
    size = letter_size(box, LETTERS)
    placed = place(belt_labels(belt, TRUE, size), [grown(one, 0.6 * size) for one in belt_boxes(belt, TRUE)])
    extent = grown(joined([box, *(spot.box for spot in placed)]), size)
    ink = [*belt_ink(belt, TRUE, size), *label_ink(placed)]
    return finished(ink, extent, sheet or Sheet("belt", alone=True), belt_words(belt), unit, "belt.css")


def belt_ink(belt: ResolvedBelt, view: View, size: float) -> Iterator[Ink]:
    """Pulleys, the idler's travel and the belt, whose tight spans are wider; arrows fit letters of `size`, mm."""
    for number in range(len(belt.pulleys)):
        yield Group(tuple(_pulley(belt, number, view, size)), "pulleys")
    yield from _travel(belt, view)
    yield Stroke(tuple(view.edge(edge) for edge in belt.path.edges), Pen.WIDE, True, "belt")
    tensions = belt.case(Running.DRIVING).tensions
    middle = (tensions[0] + max(tensions)) / 2
    for span, tension in zip(belt.path.spans, tensions, strict=True):
        if tension > middle:
            yield view.line(span.start, span.end, Pen.PLANE_END, "belt tight")
        yield arrow(view.at(span.point(0.5)), span.tangent(0.0), 1.4 * size, "way", slim=0.36)


def belt_box(belt: ResolvedBelt) -> Box:
    """The box round pulleys and belt, mm."""
    return grown(
        joined(
            (x - wheel.radius, y - wheel.radius, x + wheel.radius, y + wheel.radius)
            for wheel in belt.path.wheels
            for x, y in (wheel.centre,)
        ),
        belt.belt.section.height,
    )


def belt_words(belt: ResolvedBelt) -> str:
    """What the picture shows, for those who do not see it."""
    wraps = "; ".join(
        f"{one.title} wrapped {math.degrees(wrap):.0f} degrees"
        for one, wrap in zip(belt.pulleys, belt.path.wraps, strict=True)
    )
    return f"The belt in its plane, seen along the axis of {belt.pulleys[0].title}: {wraps}."


def pulley_words(belt: ResolvedBelt, place_: int) -> str:
    """Name and wrap of a pulley in few words."""
    return f"{belt.pulleys[place_].title}, {math.degrees(belt.path.wraps[place_]):.0f} deg"


def belt_labels(belt: ResolvedBelt, view: View, size: float, make: type[Label] = Label) -> list[Label]:
    """Names with wraps at the pulleys, lengths at the spans."""
    found = []
    for number, (wheel, span) in enumerate(zip(belt.path.wheels, belt.path.spans, strict=True)):
        words, reach = pulley_words(belt, number), view.scale * belt.pulleys[number].rim / 2 + size
        found.append(make(Shown(words, words), view.at(wheel.centre), reach, size, "tag"))
        found.append(make(shown(span.length, digits=1), view.at(span.point(0.5)), 1.2 * size, size, "size"))
    return found


def belt_boxes(belt: ResolvedBelt, view: View) -> list[Box]:
    """Boxes along the belt and the idler's rim at both ends of its travel, for labels to keep off."""
    points = [span.point(k / 60) for span in belt.path.spans for k in range(61)]
    way, radius = _way(belt)
    turns = [k * math.tau / 60 for k in range(60)]
    points += [(x + radius * math.cos(t), y + radius * math.sin(t)) for x, y in (*way[:1], *way[-1:]) for t in turns]
    return [(*view.at(point), *view.at(point)) for point in points]


def _pulley(belt: ResolvedBelt, number: int, view: View, size: float) -> Iterator[Ink]:
    """A pulley's rim and middle, and an arc with an arrowhead inside it, the way that it turns."""
    wheel, rim = belt.path.wheels[number], belt.pulleys[number].rim / 2
    yield view.circle(wheel.centre, rim, Pen.NARROW, "stock")
    yield from view.cross(wheel.centre, 0.5 * size / view.scale, Pen.CENTRE, "centre")
    sign = 1 if wheel.ccw else -1
    turns = [math.radians(90 + sign * TURN * (k / 6 - 0.5)) for k in range(7)]
    (x, y), radius = wheel.centre, 0.6 * rim
    points = [view.at((x + radius * math.cos(t), y + radius * math.sin(t))) for t in turns]
    yield path(points, Pen.FINE, "turning")
    (x, y), (u, v) = points[-1], Line(points[-2], points[-1]).tangent(0.0)
    yield arrow((x + 0.9 * size * u, y + 0.9 * size * v), (u, v), 0.9 * size, "way", slim=0.39)


def _travel(belt: ResolvedBelt, view: View) -> Iterator[Ink]:
    """Where the idler's middle goes, and its rim at both ends, dashed."""
    way, radius = _way(belt)
    if way:
        yield view.path(way, Pen.HIDDEN_SMALL, "hidden")
        yield from (view.circle(end, radius, Pen.HIDDEN_SMALL, "hidden") for end in (way[0], way[-1]))


def _way(belt: ResolvedBelt) -> tuple[list[Point], float]:
    """The way of the idler's middle over its travel, and the radius of its rim, mm; no way without one that is set."""
    mover = belt.belt.mover
    one = belt.pulleys[mover] if mover is not None else None
    if one is None or one.setting is None:
        return [], 0.0
    stops = [stop for stop in (belt.fitted.loose, belt.fitted.at, belt.fitted.taken_up) if stop is not None]
    low, high = one.setting.travel or (min(stops), max(stops))
    at, _ = belt.belt.in_plane(one.centre)
    return [one.setting.moved(at, low + (high - low) * k / 24) for k in range(25)], one.rim / 2
