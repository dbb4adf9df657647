"""The picture of a survey: its network, with 95 % ellipses and residuals drawn larger than they are."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import TYPE_CHECKING

from platemaker.plane import Box, Point
from platemaker.records import Record
from platemaker.views._frame import Sheet, finished, letter_size
from platemaker.views._ink._model import TRUE, EllipseCurve, Group, Ink, Pen, Stroke, Text, path
from platemaker.views._ink._page import ADVANCE, MIDDLE
from platemaker.views._labels import Label, grown, joined, label_ink, place
from platemaker.views._numbers import Shown

if TYPE_CHECKING:
    from platemaker.survey import JudgedReading, Survey, SurveyedEdge, SurveyedPoint

LETTERS = 78
SHARE = 0.035
"""How long the longest ellipse and the longest residual are drawn, as a share of the picture."""
STEPS = (1.0, 2.0, 5.0)
NO_SIZE = 4.0
"""Diameter of a round feature without one, mm."""


class _PictureScale(Record):
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
    ink = [
        *(_edge(edge, scale) for edge in survey.edges),
        Group(tuple(one for read in survey.readings for one in _reading(read, id(read) in suspect)), "readings"),
        *(_feature(point) for point in survey.points),
        *(one for point in survey.points for one in _ellipse(point, scale)),
        *(one for read in survey.readings for one in _residual(read, scale, id(read) in suspect)),
        *_axis(survey, scale),
        *label_ink(placed),
    ]
    extent = grown(joined([scale.box, *(spot.box for spot in placed)]), scale.size)
    lines, extent = _legend(title, survey, scale, extent)
    words = _words(title, survey)
    return finished([*ink, *lines], extent, sheet or Sheet("survey", alone=True), words, more_style="survey.css")


def _scale(survey: Survey) -> _PictureScale:
    box = grown(joined(_round_box(point) for point in survey.points), 1.0)
    ends = [end for one in survey.readings for end in one.ends]
    box = joined([box, *((x, y, x, y) for x, y in ends)])
    wide = max(box[2] - box[0], box[3] - box[1])
    ellipses = [point.ellipse.semi_major for point in survey.points]
    suspects = {id(one.judged) for one in survey.suspects}
    kept = [abs(one.residual) for one in survey.readings if one.unit == "mm" and id(one) not in suspects]
    return _PictureScale(
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


def _feature(point: SurveyedPoint) -> Stroke:
    look = "feature" if point.kind.value == "hole" else "stud"
    return TRUE.circle(point.place, _radius(point), Pen.WIDE, look)


def _ellipse(point: SurveyedPoint, scale: _PictureScale) -> Iterator[Stroke]:
    one = point.ellipse
    if one.semi_major > 0:
        long, short = one.semi_major * scale.ellipses, max(one.semi_minor * scale.ellipses, 1e-3)
        yield Stroke(EllipseCurve(point.place, long, short, one.angle), Pen.NARROW, True, "ellipse")


def _edge(edge: SurveyedEdge, scale: _PictureScale) -> Stroke:
    """The line of an edge, as far as the picture goes."""
    x0, y0, x1, y1 = scale.box
    foot, (u, v) = _foot(edge, scale)
    along = [u * (x - foot[0]) + v * (y - foot[1]) for x in (x0, x1) for y in (y0, y1)]
    ends = [(foot[0] + t * u, foot[1] + t * v) for t in (min(along), max(along))]
    return path(ends, Pen.WIDE, "edge")


def _foot(edge: SurveyedEdge, scale: _PictureScale) -> tuple[Point, Point]:
    """The point of an edge nearest to the middle of the picture, and the edge's direction."""
    c, s = math.cos(math.radians(edge.normal_angle)), math.sin(math.radians(edge.normal_angle))
    x, y = (scale.box[0] + scale.box[2]) / 2, (scale.box[1] + scale.box[3]) / 2
    off = edge.offset - (c * x + s * y)
    return (x + off * c, y + off * s), (-s, c)


def _reading(one: JudgedReading, is_suspect: bool) -> Iterator[Stroke]:
    if one.ends[0] != one.ends[1]:
        statement = one.reading is not None and one.reading.kind.is_statement
        kind = (
            "suspect" if is_suspect else "unchecked" if one.least is None else "statement" if statement else "reading"
        )
        yield path(one.ends, Pen.FINE, kind)


def _residual(one: JudgedReading, scale: _PictureScale, is_suspect: bool) -> Iterator[Stroke]:
    """A bar along the reading: as long as it was read too long or too short, enlarged. Suspects have words instead."""
    (x0, y0), (x1, y1) = one.ends
    far = math.hypot(x1 - x0, y1 - y0)
    if one.unit == "mm" and far > 0 and not is_suspect:
        half = abs(one.residual) * scale.residuals / 2 / far
        at = [(x0 + (0.5 + k * half) * (x1 - x0), y0 + (0.5 + k * half) * (y1 - y0)) for k in (-1, 1)]
        yield path(at, Pen.WIDE, "long" if one.residual < 0 else "short")


def _axis(survey: Survey, scale: _PictureScale) -> Iterator[Stroke]:
    """An arrow at the origin along X."""
    x, y = survey.point(survey.datum.origin).place
    long, barb = 5 * scale.size, 0.9 * scale.size
    for end in ((x, y), (x + long - barb, y + 0.5 * barb), (x + long - barb, y - 0.5 * barb)):
        yield path(((x + long, y), end), Pen.WIDE, "axis")


def _text(words: str) -> Shown:
    return Shown(words, words)


def _feature_labels(survey: Survey, scale: _PictureScale) -> Iterator[Label]:
    for point in survey.points:
        a = point.ellipse.semi_major * scale.ellipses
        yield Label(_text(point.name), point.place, max(_radius(point), a), 1.2 * scale.size)
    for edge in survey.edges:
        yield Label(_text(edge.name), _foot(edge, scale)[0], 0.3 * scale.size, scale.size)


def _suspect_labels(survey: Survey, scale: _PictureScale) -> Iterator[Label]:
    for one in survey.suspects:
        (x0, y0), (x1, y1) = one.judged.ends
        words = _text(f"{one.judged.title}: {one.blunder:+z.2f} {one.judged.unit}")
        yield Label(words, ((x0 + x1) / 2, (y0 + y1) / 2), 0.4 * scale.size, scale.size, "suspect")


def _legend(title: str, survey: Survey, scale: _PictureScale, extent: Box) -> tuple[list[Ink], Box]:
    """Title and scales below the picture."""
    factor = "" if not survey.points else f"95 % ellipses drawn {scale.ellipses:g} times as large"
    rows = [title, factor]
    if survey.variance.degrees_of_freedom:
        rows.append(f"bars: residuals, {scale.residuals:g} times; amber read too long, violet too short")
    if survey.suspects:
        rows.append("red: readings that are probably wrong")
    if any(one.least is None and one.ends[0] != one.ends[1] for one in survey.readings):
        rows.append("dotted amber: readings that nothing checks")
    rows = [words for words in rows if words]
    left, low, size = extent[0] + scale.size, extent[1], scale.size
    lines: list[Ink] = [
        Text(words, (left, low - ((number + 0.8) * 1.5 + MIDDLE) * size), size, look="reading")
        for number, words in enumerate(rows)
    ]
    wide = left + max(map(len, rows)) * ADVANCE * size if rows else extent[2]
    return lines, (extent[0], low - (len(rows) + 1) * 1.5 * size, max(extent[2], wide), extent[3])


def _words(title: str, survey: Survey) -> str:
    """The picture in words, for a reader who cannot see it."""
    worst = max(survey.points, key=lambda point: point.ellipse.semi_major)
    words = [
        f"{title or 'Survey'}: {len(survey.points)} round, {len(survey.edges)} straight, {len(survey.readings)} read.",
        f"Longest 95 % half axis {worst.ellipse.semi_major:.3f} mm at {worst.name}.",
        *(f"Suspect: {one.judged.title}." for one in survey.suspects),
    ]
    return " ".join(words)
