"""The belt in its plane, seen along the driving pulley's axis: path, arrows, lengths, wraps, travel."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from platemaker.plane import Box, Line, Point
from platemaker.resolved import ResolvedBelt, Running
from platemaker.views._frame import Sheet, finished, letter_size, stylesheet
from platemaker.views._labels import Label, draw, grown, joined, place
from platemaker.views._numbers import Shown, shown
from platemaker.views._svg import circle, element, group, line, piece, polyline_data

LETTERS = 84
TURN = 40.0
"""Part of a turn that the arrow of a pulley's rotation covers, degrees."""


def belt_svg(belt: ResolvedBelt, unit: str, *, sheet: Sheet | None = None) -> str:
    """The belt's plane as a picture: the belt thicker where it is tight, an arrow on every span and pulley."""
    box = belt_box(belt)
    size = letter_size(box, LETTERS)
    case = belt.case(Running.DRIVING)
    middle = (case.tensions[0] + max(case.tensions)) / 2
    body = [
        element("style", stylesheet("belt.css")) if sheet is None else "",
        group((_pulley(belt, number, size) for number in range(len(belt.pulleys))), "pulleys"),
        *(_travel(belt)),
        element("path", d=_path(belt), class_="belt"),
        *(
            line(span.start, span.end, "belt tight")
            for span, tension in zip(belt.path.spans, case.tensions, strict=True)
            if tension > middle
        ),
        *(_arrowhead(arrow_on(span, size)) for span in belt.path.spans),
    ]
    busy = [(x, y, x, y) for span in belt.path.spans for x, y in (span.point(k / 24) for k in range(25))]
    placed = place(_labels(belt, size), [grown(one, 0.6 * size) for one in busy])
    body += draw(placed, unit)
    extent = grown(joined([box, *(spot.box for spot in placed)]), size)
    return finished(body, extent, sheet or Sheet("belt", alone=True), belt_words(belt))


def _arrowhead(points: Sequence[Point]) -> str:
    return element("path", d=polyline_data(points, closed=True), class_="way")


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


def arrow_on(span: Line, size: float) -> tuple[Point, Point, Point]:
    """An arrowhead in the middle of a span, the way that the belt runs."""
    (x, y), (u, v) = span.point(0.5), span.tangent(0.0)
    long, half = 1.4 * size, 0.5 * size
    tail = (x - long * u, y - long * v)
    return (x, y), (tail[0] - half * v, tail[1] + half * u), (tail[0] + half * v, tail[1] - half * u)


def pulley_words(belt: ResolvedBelt, place_: int) -> str:
    """Name and wrap of a pulley in few words."""
    return f"{belt.pulleys[place_].title}, {math.degrees(belt.path.wraps[place_]):.0f} deg"


def _path(belt: ResolvedBelt) -> str:
    edges = belt.path.edges
    x, y = edges[0].start
    return f"M{x:.6f} {-y:.6f}" + "".join(piece(edge) for edge in edges) + "Z"


def _pulley(belt: ResolvedBelt, number: int, size: float) -> str:
    wheel, one = belt.path.wheels[number], belt.pulleys[number]
    x, y = wheel.centre
    cross = 0.5 * size
    drawn = [
        circle(wheel.centre, one.rim / 2, "stock"),
        line((x - cross, y), (x + cross, y), "centre"), line((x, y - cross), (x, y + cross), "centre"),
    ]  # fmt: skip
    return "".join([*drawn, *_rotation(wheel.centre, 0.6 * one.rim / 2, wheel.ccw, size)])


def _rotation(centre: Point, radius: float, ccw: bool, size: float) -> Iterator[str]:
    """An arc with an arrowhead inside the pulley, the way that it turns."""
    sign = 1 if ccw else -1
    turns = [math.radians(90 + sign * TURN * (k / 6 - 0.5)) for k in range(7)]
    points = [(centre[0] + radius * math.cos(t), centre[1] + radius * math.sin(t)) for t in turns]
    yield element("path", d=polyline_data(points), class_="turning")
    tip = Line(points[-2], points[-1])
    (x, y), (u, v) = points[-1], tip.tangent(0.0)
    half, long = 0.35 * size, 0.9 * size
    yield _arrowhead([(x + long * u, y + long * v), (x - half * v, y + half * u), (x + half * v, y - half * u)])


def _travel(belt: ResolvedBelt) -> Iterator[str]:
    """Where the idler's middle goes, and its rim at both ends, dashed."""
    place_ = belt.belt.mover
    setting = belt.pulleys[place_].setting if place_ is not None else None
    if place_ is None or setting is None:
        return
    stops = [one for one in (belt.fitted.loose, belt.fitted.at, belt.fitted.taken_up) if one is not None]
    low, high = setting.travel or (min(stops), max(stops))
    at, _ = belt.belt.in_plane(belt.pulleys[place_].centre)
    way = [setting.moved(at, low + (high - low) * k / 24) for k in range(25)]
    yield element("path", d=polyline_data(way), class_="hidden")
    for end in (way[0], way[-1]):
        yield circle(end, belt.pulleys[place_].rim / 2, "hidden")


def _labels(belt: ResolvedBelt, size: float) -> list[Label]:
    found = []
    for number, (wheel, span) in enumerate(zip(belt.path.wheels, belt.path.spans, strict=True)):
        words = pulley_words(belt, number)
        found.append(Label(Shown(words, words), wheel.centre, belt.pulleys[number].rim / 2 + size, size, "tag"))
        found.append(Label(shown(span.length, digits=1), span.point(0.5), 1.2 * size, size, "size"))
    return found
