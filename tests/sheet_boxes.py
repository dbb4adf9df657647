"""For tests of paper: which texts of a sheet overlap, and which leave it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import combinations

from platemaker.plane import Box
from platemaker.views._ink._model import Clip, Ink, Page, Text

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
            yield from _walk(one.ink, one.box, one.shift)


def _common(a: Box, b: Box) -> Box:
    return max(a[0], b[0]), max(a[1], b[1]), min(a[2], b[2]), min(a[3], b[3])


def _share(a: Box, b: Box) -> bool:
    x0, y0, x1, y1 = _common(a, b)
    return x1 - x0 > ROUNDING and y1 - y0 > ROUNDING
