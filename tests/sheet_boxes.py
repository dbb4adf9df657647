"""For tests of paper: which texts of a sheet overlap, and which leave it."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from itertools import combinations, pairwise

from platemaker.plane import Arc, Box, Circle, Point
from platemaker.views import CAPITAL, Clip, EllipseCurve, Fill, Ink, Page, Stroke, Text, on_paper

ROUNDING = 1e-6
"""Boxes that share less, mm, only touch."""


def seen_boxes(page: Page) -> list[tuple[str, Box]]:
    """The boxes of all texts, from the font's descent to its ascent, as far as they are seen."""
    everywhere = (-1e9, -1e9, 1e9, 1e9)
    return [(text.text, seen) for text, seen in _walk(page.ink, everywhere) if text.text.strip()]


def collisions(page: Page) -> list[tuple[str, str]]:
    """Pairs of texts whose boxes share area."""
    return [(a, b) for (a, box), (b, other) in combinations(seen_boxes(page), 2) if _share(box, other)]


def strays(page: Page) -> list[str]:
    """Texts that leave the sheet."""
    return [
        text for text, (x0, y0, x1, y1) in seen_boxes(page) if x0 < 0 or y0 < 0 or x1 > page.width or y1 > page.height
    ]


def _walk(ink: Iterable[Ink], window: Box, shift: tuple[float, float] = (0.0, 0.0)) -> Iterator[tuple[Text, Box]]:
    for one in ink:
        if isinstance(one, Text):
            x0, y0, x1, y1 = one.box
            box = (x0 + shift[0], y0 + shift[1], x1 + shift[0], y1 + shift[1])
            if _share(box, window):
                yield one, _common(box, window)
        elif isinstance(one, Clip):
            inner, both = _inside(one, window, shift)
            yield from _walk(one.ink, inner, both)


def _inside(one: Clip, window: Box, shift: Point) -> tuple[Box, Point]:
    """What a clip shows of the sheet, and how far what is in it is moved: clips stand in clips."""
    (x0, y0, x1, y1), (dx, dy) = one.box, shift
    return _common((x0 + dx, y0 + dy, x1 + dx, y1 + dy), window), (one.shift[0] + dx, one.shift[1] + dy)


def _common(a: Box, b: Box) -> Box:
    return max(a[0], b[0]), max(a[1], b[1]), min(a[2], b[2]), min(a[3], b[3])


def _share(a: Box, b: Box) -> bool:
    x0, y0, x1, y1 = _common(a, b)
    return x1 - x0 > ROUNDING and y1 - y0 > ROUNDING


def crossed(page: Page, *, white_hides: bool = False) -> list[tuple[str, str]]:
    """Texts that a line runs through or a filled figure covers, with the pen; a line that white hides counts too.

    The letters' own box, from below their line to their ascent, is shrunk by the line's half width and a little: what
    only touches it is beside the letters. With `white_hides` lines under white that the letters stand on do not count:
    numbers that break a line, as those of dimensions do.
    """
    everywhere = (-1e9, -1e9, 1e9, 1e9)
    pieces = list(_lines(page.ink, everywhere, (0.0, 0.0)))
    whites = list(_whites(page.ink, everywhere, (0.0, 0.0))) if white_hides else []
    found = []
    for text, box in _walk(page.ink, everywhere):
        if text.text.strip():
            shrunk = (box[0] + TOUCH, box[1] + TOUCH, box[2] - TOUCH, box[3] - TOUCH)
            # White begins a little above the descent of letters, which numbers have none of.
            seen = (shrunk[0], box[1] + 2 * TOUCH, *shrunk[2:])
            if not any(_holds(white, seen) for white in whites):
                found += [(text.text, pen) for a, b, pen in pieces if _enters(a, b, shrunk)][:1]
    return found


def _whites(ink: Iterable[Ink], window: Box, shift: Point) -> Iterator[list[Point]]:
    """White figures, which are convex here."""
    for one in on_paper(ink):
        if isinstance(one, Clip):
            yield from _whites(one.ink, *_inside(one, window, shift))
        elif isinstance(one, Fill) and one.shade == 1.0:
            yield [(x + shift[0], y + shift[1]) for x, y in one.points]


def _holds(ring: list[Point], box: Box) -> bool:
    """Whether a convex figure holds a box but for its corners' tips."""
    x0, y0, x1, y1 = box
    middles = [((x0 + x1) / 2, y0), ((x0 + x1) / 2, y1), (x0, (y0 + y1) / 2), (x1, (y0 + y1) / 2)]
    turns = [
        (b[0] - a[0]) * (y - a[1]) - (b[1] - a[1]) * (x - a[0])
        for a, b in pairwise([*ring, ring[0]])
        for x, y in middles
    ]
    return min(turns) >= -1e-9 or max(turns) <= 1e-9


TOUCH = 0.2
"""How far a line may reach into the box of letters, mm: less than what lies between them and their box."""


def _lines(ink: Iterable[Ink], window: Box, shift: Point) -> Iterator[tuple[Point, Point, str]]:
    """All strokes and black figures as short straight pieces, cut to what their windows show."""
    for one in on_paper(ink):
        if isinstance(one, Clip):
            yield from _lines(one.ink, *_inside(one, window, shift))
            continue
        if isinstance(one, Text) or (isinstance(one, Fill) and one.shade == 1.0):
            continue
        pen = "fill" if isinstance(one, Fill) else one.pen.name
        for start, end in _straight(one):
            a, b = (start[0] + shift[0], start[1] + shift[1]), (end[0] + shift[0], end[1] + shift[1])
            cut = clipped(a, b, window)
            if cut is not None:
                yield *cut, pen


def _straight(one: Stroke | Fill) -> Iterator[tuple[Point, Point]]:
    if isinstance(one, Fill):
        yield from zip(one.points, [*one.points[1:], one.points[0]], strict=True)
    elif isinstance(one.run, Circle):
        (x, y), r = one.run.centre, one.run.radius
        ring = [(x + r * math.cos(n * math.tau / 48), y + r * math.sin(n * math.tau / 48)) for n in range(49)]
        yield from pairwise(ring)
    else:
        for edge in one.run.run if isinstance(one.run, EllipseCurve) else one.run:
            steps = 16 if isinstance(edge, Arc) else 1
            yield from pairwise(edge.point(n / steps) for n in range(steps + 1))


def clipped(a: Point, b: Point, box: Box) -> tuple[Point, Point] | None:
    """The piece of a line that lies in a box (Liang and Barsky 1984)."""
    first, last = 0.0, 1.0
    for way, low, high, start in ((b[0] - a[0], box[0], box[2], a[0]), (b[1] - a[1], box[1], box[3], a[1])):
        if abs(way) < 1e-12:
            if not low <= start <= high:
                return None
            continue
        ends = sorted(((low - start) / way, (high - start) / way))
        first, last = max(first, ends[0]), min(last, ends[1])
    if first > last:
        return None
    return (
        (a[0] + first * (b[0] - a[0]), a[1] + first * (b[1] - a[1])),
        (a[0] + last * (b[0] - a[0]), a[1] + last * (b[1] - a[1])),
    )


def _enters(a: Point, b: Point, box: Box) -> bool:
    return clipped(a, b, box) is not None


def letters(page: Page) -> Iterator[tuple[str, float]]:
    """Every text with the height of its capitals on the paper, mm."""
    yield from ((text.text, text.size * CAPITAL) for text, _ in _walk(page.ink, (-1e9, -1e9, 1e9, 1e9)))
