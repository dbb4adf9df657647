"""A sketch with balloons for the first-article sheet: each has the numbers of the rows that measure its feature."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise

from platemaker.export._sheet._datum_ink import datum_box, datum_ink, edge_spots, face_ink, hole_labels
from platemaker.export._sheet._drawing_datums import datums_of
from platemaker.export._sheet._drawing_plan import CENTRE_PAST, THREAD_APART, edge_box, edge_ink
from platemaker.export._sheet._drawing_tags import busy_boxes, kept_box
from platemaker.export._sheet._first_article import Measure
from platemaker.parts import (
    DIAMETER,
    FLATNESS,
    LEFT,
    LENGTH_X,
    LENGTH_Y,
    LOWER,
    OUTLINE,
    THICKNESS,
    Part,
    Side,
    bend_id,
    corner_id,
    corners_of,
    cut_id,
    figures_of,
    hole_id,
    is_of,
    leg_id,
    measure_id,
)
from platemaker.plane import Arc, Box, Line, Point
from platemaker.records import Record
from platemaker.resolved import resolved
from platemaker.views import (
    CAPITAL,
    LEAST,
    Align,
    Fill,
    Ink,
    Label,
    Lines,
    Pen,
    PlacedLabel,
    Shown,
    Stroke,
    Text,
    View,
    arrow,
    finely,
    leader,
    mark_size,
    path,
    place,
    plan_ink,
    width_of,
    wrapped,
)

HIGH = 5.2
"""Height of a balloon, mm."""
ROUND, BETWEEN, WORDS = 24.0, 16.0, 14.0
"""Room round the views, between them, and for words at the foot, mm."""
LEADER = 1.5
"""Least length of a balloon's leader, mm."""
MOST = 3.0
"""Small parts are drawn no larger than so many times."""
OFF = 9.0
"""How far the lines of sizes over all stand beside the plan, mm."""


class Balloon(Label):
    """Numbers of rows in a round frame; `rim` is how far from the anchor its leader begins, mm."""

    rim: float = 0.0

    @property
    def width(self) -> float:
        """Width of the frame, mm."""
        return max(HIGH, width_of(self.text.metric, self.size) + 3.0)

    @property
    def height(self) -> float:
        """Height of the frame, mm."""
        return HIGH

    @property
    def is_always_led(self) -> bool:
        """A balloon stands on nothing that it names."""
        return True

    def leader(self, centre: Point) -> tuple[Point, Point]:
        """From the rim of what is named to the frame, towards its middle."""
        (x, y), (u, v) = self.anchor, centre
        far, straight = max(math.dist(self.anchor, centre), 1e-9), (self.width - HIGH) / 2
        low, high = 0.0, 1.0
        for _ in range(40):  # where the line enters the frame, by halving
            middle = (low + high) / 2
            dx, dy = (1 - middle) * (x - u), (1 - middle) * (y - v)
            inside = math.hypot(max(abs(dx) - straight, 0.0), dy) < HIGH / 2
            low, high = (low, middle) if inside else (middle, high)
        start, end = ((x + part * (u - x), y + part * (v - y)) for part in (min(self.rim / far, high), high))
        return start, end


class _Views(Record):
    """The part flat and whole, and its plan and edge view on the page."""

    flat: Part
    whole: Part
    plan: View
    edge: View


def row_words(numbers: Sequence[int]) -> str:
    """Rising numbers with runs closed up.

    >>> row_words([3, 4, 5, 8, 10, 11])
    '3–5, 8, 10–11'
    """
    runs: list[list[int]] = []
    for number in numbers:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    return ", ".join(f"{run[0]}–{run[-1]}" if len(run) > 1 else str(run[0]) for run in runs)


def sketch_ink(part: Part, measures: Sequence[Measure], box: Box) -> list[Ink]:
    """Plan and edge view with balloons, in a box of the page. Not at a standard scale: nothing is measured off it."""
    views = _laid(part, box)
    balloons, without = _balloons(views, measures)
    ink: list[Ink] = [*finely(plan_ink(views.flat, views.plan, CENTRE_PAST, apart=THREAD_APART))]
    ink += finely(edge_ink(part, views.edge))
    ink += _size_lines(views)
    spots, lost = _places(views, balloons, box, Lines.of(ink))
    unseen = sorted({number for numbers in (*without, *lost) for number in numbers})
    ink += [one for spot in spots if spot.label.kind == "datum" for one in datum_ink(spot)]
    own = [spot for spot in spots if isinstance(spot.label, Balloon)]
    ink += [path(leader(spot), Pen.FINE) for spot in own]
    ink += [one for spot in own for one in _balloon_ink(spot)]
    ink += face_ink(datums_of(part), views.edge.box(edge_box(part)), sized=False, caption=0.0)
    words = "Not to scale. Balloons have the numbers of the rows. Upper view: from the front. Lower view: from above"
    words += ", flat before bending." if part.strip is not None else "."
    if unseen:
        words += f" Not in the sketch: rows {row_words(unseen)}."
    lines = wrapped(words, LEAST, box[2] - box[0])[:3]
    return [*ink, *(Text(line, (box[0], box[1] + 4.3 * (len(lines) - n - 1)), LEAST) for n, line in enumerate(lines))]


def _laid(part: Part, box: Box) -> _Views:
    """Both views in the middle of the box, as large as its room allows."""
    flat = resolved(part).flat
    (x0, y0, x1, y1), (u0, z0, u1, z1) = flat.stock.plan.bounds, edge_box(part)
    wide, high = box[2] - box[0] - 2 * ROUND, box[3] - box[1] - 2 * ROUND - BETWEEN - WORDS
    scale = min(MOST, wide / max(x1 - x0, u1 - u0), high / (y1 - y0 + z1 - z0))
    spare = high - scale * (y1 - y0 + z1 - z0)
    middle, top = (box[0] + box[2]) / 2, box[3] - ROUND - spare / 2
    low = top - scale * (z1 - z0)
    edge = View(scale, (middle - scale * (u0 + u1) / 2, low - scale * z0))
    return _Views(flat, part, View(scale, (middle - scale * (x0 + x1) / 2, low - BETWEEN - scale * y1)), edge)


def _balloons(views: _Views, measures: Sequence[Measure]) -> tuple[list[tuple[Balloon, list[int]]], list[list[int]]]:
    """A balloon for each feature with the numbers of its rows, and the numbers of rows that belong to none."""
    anchors = dict(_anchors(views))
    rows: dict[str, list[int]] = {}
    for number, measure in enumerate(measures, start=1):
        rows.setdefault(_feature(measure.id, anchors), []).append(number)
    found = []
    for key, numbers in rows.items():
        if key in anchors:
            at, reach = anchors[key]
            words = row_words(numbers)
            found.append((Balloon(Shown(words, words), at, reach + LEADER, LEAST, "balloon", rim=reach), numbers))
    return found, [numbers for key, numbers in rows.items() if key not in anchors]


def _feature(id_: str, anchors: Mapping[str, object]) -> str:
    """The feature that a measure belongs to: the longest id of one that its own begins with."""
    own = [key for key in anchors if is_of(id_, key)]
    return max(own, key=len, default="")


def _anchors(views: _Views) -> Iterator[tuple[str, tuple[Point, float]]]:
    """Where on the page each feature is, by the head of the ids of its measures, and how large it is there, mm."""
    flat, plan = views.flat, views.plan
    for hole in flat.holes:
        upright = not hole.level
        yield hole_id(hole.name), (plan.at(hole.centre), mark_size(hole) * plan.scale + 0.2 if upright else 0.8)
    for profile in flat.profiles:
        figures = list(figures_of(profile))
        for id_, region in figures:
            edge = max(region.outer.edges, key=lambda one: (round(one.length, 6), one.bounds))
            yield id_, (plan.at(edge.point(0.3)), 0.3)
        if len(figures) > 1:
            edge = figures[0][1].outer.edges[0]
            yield cut_id(profile.name), (plan.at(edge.point(0.7)), 0.3)
    for spot in corners_of(flat):
        if flat.planed is not None:
            yield corner_id(flat.planed, spot.name), (plan.at(spot.at), 0.3)
    yield from _of_outline(views)
    yield from _of_edge(views)


def _of_outline(views: _Views) -> Iterator[tuple[str, tuple[Point, float]]]:
    x0, y0, x1, y1 = views.plan.box(views.flat.stock.plan.bounds)
    circle = views.flat.stock.plan.outer.as_circle()
    share = 0.5 if circle else 0.35
    yield LEFT, ((x0, y0 + share * (y1 - y0)), 0.3)
    yield LOWER, ((x0 + share * (x1 - x0), y0), 0.3)
    arcs = [edge for edge in views.flat.stock.plan.outer.edges if isinstance(edge, Arc)]
    if arcs:
        yield measure_id(OUTLINE, "radius"), (views.plan.at(arcs[-1].point(0.5)), 0.3)
    yield LENGTH_X, (((x0 + x1) / 2, y0 - OFF), 0.3)
    yield LENGTH_Y, ((x1 + OFF, (y0 + y1) / 2), 0.3)
    if circle is not None:
        away = 0.7071 * circle.radius
        yield DIAMETER, (views.plan.at((circle.centre[0] + away, circle.centre[1] - away)), 0.3)
    else:
        yield DIAMETER, ((x1 + OFF, (y0 + y1) / 2), 0.3)


def _of_edge(views: _Views) -> Iterator[tuple[str, tuple[Point, float]]]:
    x0, z0, x1, z1 = views.edge.box(edge_box(views.whole))
    strip = views.whole.strip
    if strip is None:
        yield THICKNESS, ((x1, (z0 + z1) / 2), 0.3)
        for face, z in ((FLATNESS, z0), (measure_id("face", "below"), z0), (measure_id("face", "above"), z1)):
            yield face, ((x0 + 0.25 * (x1 - x0), z), 0.3)
        return
    yield THICKNESS, (views.edge.at(strip.corners[0]), 0.3)
    yield FLATNESS, (views.edge.at(strip.corners[-1]), 0.3)
    for number, (a, b) in enumerate(pairwise(strip.corners), start=1):
        yield leg_id(number), (views.edge.at(((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)), 0.3)
    for number, corner in enumerate(strip.corners[1:-1], start=1):
        yield bend_id(number), (views.edge.at(corner), 0.3)


def _places(
    views: _Views, balloons: Sequence[tuple[Balloon, list[int]]], box: Box, lines: Lines
) -> tuple[list[PlacedLabel], list[list[int]]]:
    """Balloons and datum letters where they found room, and the numbers of those that found none."""
    zone = (box[0], box[1] + WORDS, box[2], box[3])
    busy = [*busy_boxes(views.flat, views.plan, LEAST), *_line_boxes(views)]
    datums = datums_of(views.whole)
    marked = place(list(hole_labels(views.flat, views.plan, datums)), busy, zone, lines)
    marked += edge_spots(datums, views.plan, [spot.box for spot in marked], busy)
    kept = [kept_box(datum_box(spot)) for spot in marked]
    if datums.features:
        x0, z0, _, z1 = views.edge.box(edge_box(views.whole))
        kept.append(kept_box((x0 - 19, z0 - 7, x0, z0) if datums.side is Side.BELOW else (x0 - 19, z1, x0, z1 + 7)))
    spots = [
        spot
        for spot in place([*kept, *(one for one, _ in balloons)], busy, zone, lines)
        if spot.label.kind == "balloon"
    ]
    found = {spot.label for spot in spots}
    return [*marked, *spots], [numbers for one, numbers in balloons if one not in found]


def _size_lines(views: _Views) -> Iterator[Ink]:
    """Lines of the sizes over all, below and right of the plan."""
    x0, y0, x1, y1 = views.plan.box(views.flat.stock.plan.bounds)
    if views.flat.stock.plan.outer.as_circle() is not None or not views.whole.made:
        return
    for a, b, way in (((x0, y0 - OFF), (x1, y0 - OFF), (1.0, 0.0)), ((x1 + OFF, y0), (x1 + OFF, y1), (0.0, 1.0))):
        yield path((a, b), Pen.NARROW)
        yield arrow(b, way)
        yield arrow(a, (-way[0], -way[1]))
    for x in (x0, x1):
        yield path(((x, y0 - 1.0), (x, y0 - OFF - 1.5)), Pen.FINE)
    for y in (y0, y1):
        yield path(((x1 + 1.0, y), (x1 + OFF + 1.5, y)), Pen.FINE)


def _line_boxes(views: _Views) -> Iterator[Box]:
    """What balloons keep off where they can, beside the plan: the edge view and the lines of sizes."""
    x0, z0, x1, z1 = views.edge.box(edge_box(views.whole))
    if views.whole.strip is None:
        yield x0, z0, x1, z1
    else:
        for edge in views.whole.strip.profile.edges:
            points = [views.edge.at(edge.point(share / 12)) for share in range(13)]
            for a, b in pairwise(points):
                yield min(a[0], b[0]), min(a[1], b[1]), max(a[0], b[0]) + 0.1, max(a[1], b[1]) + 0.1
    x0, y0, x1, y1 = views.plan.box(views.flat.stock.plan.bounds)
    yield x0, y0 - OFF - 0.3, x1, y0 - OFF + 0.3
    yield x1 + OFF - 0.3, y0, x1 + OFF + 0.3, y1


def _balloon_ink(spot: PlacedLabel) -> Iterator[Ink]:
    x0, y0, x1, y1 = spot.box
    r, middle = (y1 - y0) / 2, spot.centre[1]
    left, right = (x0 + r, middle), (x1 - r, middle)
    yield Fill(((left[0], y0), (right[0], y0), (x1, middle), (right[0], y1), (left[0], y1), (x0, middle)), 1.0)
    run: list[Line | Arc] = [Arc((right[0], y0), (right[0], y1), right, r, True)]
    back: list[Line | Arc] = [Arc((left[0], y1), (left[0], y0), left, r, True)]
    if right[0] - left[0] > 1e-6:
        run += [Line((right[0], y1), (left[0], y1)), *back, Line((left[0], y0), (right[0], y0))]
    else:
        run += back
    yield Stroke(tuple(run), Pen.NARROW, closed=True)
    text = spot.label.text.metric
    yield Text(text, (spot.centre[0], middle - CAPITAL * LEAST / 2), LEAST, Align.MIDDLE)
