"""The picture of a survey: its network, with 95 % ellipses and residuals drawn larger than they are."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from platemaker.plane import Box, Point
from platemaker.views._frame import Sheet, finished, letter_size, stylesheet
from platemaker.views._labels import Label, draw, grown, joined, place
from platemaker.views._numbers import Shown
from platemaker.views._svg import circle, element, group, line

if TYPE_CHECKING:
    from platemaker.survey import JudgedReading, Survey, SurveyedEdge, SurveyedPoint

LETTERS = 78
SHARE = 0.035
"""How long the longest ellipse and the longest residual are drawn, as a share of the picture."""
STEPS = (1.0, 2.0, 5.0)
NO_SIZE = 4.0
"""Diameter of a round feature without one, mm."""


@dataclass(frozen=True)
class _Scale:
    """What the picture shows: its box, the letters' size, and how many times larger small things are drawn."""

    box: Box
    size: float
    ellipses: float
    residuals: float


def survey_svg(survey: Survey, title: str = "", *, sheet: Sheet | None = None) -> str:
    """The network seen from above, Y up: features, readings, ellipses, residuals; suspect readings stand out.

    Ellipses and residuals are enlarged by round factors that the picture states. A residual is drawn along its reading
    from the middle: the length by which the reading was too long or too short.
    """
    scale = _scale(survey)
    suspect = {id(one.judged) for one in survey.suspects}
    labels = [*_feature_labels(survey, scale), *_suspect_labels(survey, scale)]
    busy = [_round_box(point) for point in survey.points]
    placed = place(labels, busy)
    body = [
        element("style", stylesheet("survey.css")),
        *(_edge(edge, scale) for edge in survey.edges),
        group((_reading(one, id(one) in suspect) for one in survey.readings), "readings"),
        *(_feature(point) for point in survey.points),
        *(_ellipse(point, scale) for point in survey.points),
        *(_residual(one, scale, id(one) in suspect) for one in survey.readings),
        *_axis(survey, scale),
        *draw(placed, "mm"),
    ]
    extent = grown(joined([scale.box, *(spot.box for spot in placed)]), scale.size)
    lines, extent = _legend(title, survey, scale, extent)
    return finished([*body, *lines], extent, sheet or Sheet("survey", alone=True), _words(title, survey))


def _scale(survey: Survey) -> _Scale:
    box = grown(joined(_round_box(point) for point in survey.points), 1.0)
    ends = [end for one in survey.readings for end in one.ends]
    box = joined([box, *((x, y, x, y) for x, y in ends)])
    wide = max(box[2] - box[0], box[3] - box[1])
    ellipses = [point.ellipse.semi_major for point in survey.points]
    suspects = {id(one.judged) for one in survey.suspects}
    kept = [abs(one.residual) for one in survey.readings if one.unit == "mm" and id(one) not in suspects]
    return _Scale(
        box, letter_size(box, LETTERS), _times(SHARE * wide, max(ellipses, default=0.0)),
        _times(SHARE * wide, max(kept, default=0.0)),
    )  # fmt: skip


def _times(wanted: float, most: float) -> float:
    """The largest factor 1, 2 or 5 times a power of ten that draws `most` no longer than `wanted`; at least 1."""
    if most <= 1e-9:
        return 1.0
    power = math.floor(math.log10(wanted / most)) if wanted > most else 0
    return max(step * 10.0**power for step in STEPS if step == 1.0 or step * 10.0**power * most <= wanted)


def _radius(point: SurveyedPoint) -> float:
    return (point.diameter or NO_SIZE) / 2


def _round_box(point: SurveyedPoint) -> Box:
    r = _radius(point)
    return point.x - r, point.y - r, point.x + r, point.y + r


def _feature(point: SurveyedPoint) -> str:
    return circle(point.place, _radius(point), "feature" if point.kind.value == "hole" else "stud")


def _ellipse(point: SurveyedPoint, scale: _Scale) -> str:
    a, b = point.ellipse.semi_major * scale.ellipses, point.ellipse.semi_minor * scale.ellipses
    if a <= 0:
        return ""
    turn = f"rotate({-point.ellipse.angle:.4f} {point.x:.6f} {-point.y:.6f})"
    return element("ellipse", cx=point.x, cy=-point.y, rx=a, ry=max(b, 1e-3), transform=turn, class_="ellipse")


def _edge(edge: SurveyedEdge, scale: _Scale) -> str:
    """The line of an edge, as far as the picture goes."""
    x0, y0, x1, y1 = scale.box
    foot, (u, v) = _foot(edge, scale)
    along = [u * (x - foot[0]) + v * (y - foot[1]) for x in (x0, x1) for y in (y0, y1)]
    ends = [(foot[0] + t * u, foot[1] + t * v) for t in (min(along), max(along))]
    return line(ends[0], ends[1], "edge")


def _foot(edge: SurveyedEdge, scale: _Scale) -> tuple[Point, Point]:
    """The point of an edge nearest to the middle of the picture, and the edge's direction."""
    c, s = math.cos(math.radians(edge.normal_angle)), math.sin(math.radians(edge.normal_angle))
    x, y = (scale.box[0] + scale.box[2]) / 2, (scale.box[1] + scale.box[3]) / 2
    off = edge.offset - (c * x + s * y)
    return (x + off * c, y + off * s), (-s, c)


def _reading(one: JudgedReading, is_suspect: bool) -> str:
    if one.ends[0] == one.ends[1]:
        return ""
    statement = one.reading is not None and one.reading.kind.is_statement
    kind = "suspect" if is_suspect else "unchecked" if one.least is None else "statement" if statement else "reading"
    return line(*one.ends, kind)


def _residual(one: JudgedReading, scale: _Scale, is_suspect: bool) -> str:
    """A bar along the reading: as long as it was read too long or too short, enlarged. Suspects have words instead."""
    (x0, y0), (x1, y1) = one.ends
    far = math.hypot(x1 - x0, y1 - y0)
    if one.unit != "mm" or far <= 0 or is_suspect:
        return ""
    half = abs(one.residual) * scale.residuals / 2 / far
    at = [(x0 + (0.5 + k * half) * (x1 - x0), y0 + (0.5 + k * half) * (y1 - y0)) for k in (-1, 1)]
    return line(at[0], at[1], "long" if one.residual < 0 else "short")


def _axis(survey: Survey, scale: _Scale) -> Iterator[str]:
    """An arrow at the origin along X."""
    x, y = survey.point(survey.datum.origin).place
    long, barb = 5 * scale.size, 0.9 * scale.size
    yield line((x, y), (x + long, y), "axis")
    yield line((x + long, y), (x + long - barb, y + 0.5 * barb), "axis")
    yield line((x + long, y), (x + long - barb, y - 0.5 * barb), "axis")


def _text(words: str) -> Shown:
    return Shown(words, words)


def _feature_labels(survey: Survey, scale: _Scale) -> Iterator[Label]:
    for point in survey.points:
        a = point.ellipse.semi_major * scale.ellipses
        yield Label(_text(point.name), point.place, max(_radius(point), a), 1.2 * scale.size)
    for edge in survey.edges:
        yield Label(_text(edge.name), _foot(edge, scale)[0], 0.3 * scale.size, scale.size)


def _suspect_labels(survey: Survey, scale: _Scale) -> Iterator[Label]:
    for one in survey.suspects:
        (x0, y0), (x1, y1) = one.judged.ends
        words = _text(f"{one.judged.title}: {one.blunder:+.2f} {one.judged.unit}")
        yield Label(words, ((x0 + x1) / 2, (y0 + y1) / 2), 0.4 * scale.size, scale.size, "suspect")


def _legend(title: str, survey: Survey, scale: _Scale, extent: Box) -> tuple[list[str], Box]:
    """Title and scales below the picture."""
    factor = "" if not survey.points else f"95 % ellipses drawn {scale.ellipses:g} times as large"
    rows = [title, factor]
    if survey.variance.degrees_of_freedom:
        rows.append(f"bars: residuals, {scale.residuals:g} times; amber read too long, violet too short")
    if survey.suspects:
        rows.append("red: readings that are probably wrong")
    if any(one.least is None and one.ends[0] != one.ends[1] for one in survey.readings):
        rows.append("dotted amber: readings that nothing checks")
    left, low, size = extent[0] + scale.size, extent[1], scale.size
    drawn = []
    for number, words in enumerate(row for row in rows if row):
        wide = len(words) * 0.6 * size
        at = (left + wide / 2, low - (number + 0.8) * 1.5 * size)
        drawn.append(Label(_text(words), at, 0.0, size, "reading", fixed=True))
    placed = place(drawn)
    wide = max((spot.box[2] for spot in placed), default=extent[2])
    return list(draw(placed, "mm")), (extent[0], low - (len(placed) + 1) * 1.5 * size, max(extent[2], wide), extent[3])


def _words(title: str, survey: Survey) -> str:
    """The picture in words, for a reader who cannot see it."""
    worst = max(survey.points, key=lambda point: point.ellipse.semi_major)
    words = [
        f"{title or 'Survey'}: {len(survey.points)} round, {len(survey.edges)} straight, {len(survey.readings)} read.",
        f"Longest 95 % half axis {worst.ellipse.semi_major:.3f} mm at {worst.name}.",
        *(f"Suspect: {one.message}." for one in survey.suspects),
    ]
    return " ".join(words)
