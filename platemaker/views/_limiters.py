"""What keeps a milled figure from being larger: its boundary by limiting feature, with a legend."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence

from platemaker.parts import Part
from platemaker.plane import Box, Edge
from platemaker.records import Record
from platemaker.views._ink._model import Group, Ink, Pen, Stroke, Text, path
from platemaker.views._ink._page import ADVANCE, MIDDLE
from platemaker.views._numbers import Shown, shown

COLOURS, DASHES = 6, 4
"""How many colours and line patterns the stylesheet has; together they distinguish 24 limiters before they repeat."""


class LimitMark(Record):
    """A feature that limits a figure, and the boundary pieces that it made; `rank` picks colour and line pattern."""

    tag: str
    edges: tuple[Edge, ...]
    rank: int

    @property
    def length(self) -> float:
        """Length of boundary that the feature made, mm."""
        return sum(edge.length for edge in self.edges)

    @property
    def kind(self) -> str:
        """The stylesheet's classes for it: neighbours in rank differ in both colour and pattern."""
        return f"limit colour-{self.rank % COLOURS} dash-{(self.rank + self.rank // COLOURS) % DASHES}"


def limits_of(part: Part, figure: str) -> list[LimitMark]:
    """The limits of the milled figure called `figure`, longest boundary first; KeyError when there is none."""
    by_tag: dict[str, list[Edge]] = defaultdict(list)
    for profile in part.profiles:
        if profile.name == figure:
            for region in profile.regions:
                for edge in region.edges:
                    by_tag[edge.tag].append(edge)
            break
    else:
        raise KeyError(figure)
    ordered = sorted(by_tag.items(), key=lambda item: (-round(sum(edge.length for edge in item[1]), 6), item[0]))
    return [LimitMark(tag or "given outline", tuple(edges), rank) for rank, (tag, edges) in enumerate(ordered)]


def limited_figures(part: Part) -> list[str]:
    """The milled figures whose boundary was made by more than one feature."""
    return [
        profile.name
        for profile in part.profiles
        if len({edge.tag for region in profile.regions for edge in region.edges}) > 1
    ]


def limit_ink(limits: Sequence[LimitMark]) -> Group:
    """The boundary pieces, each in its limit's colour and line pattern."""
    return Group(tuple(Stroke((edge,), Pen.WIDE, look=one.kind) for one in limits for edge in one.edges), "limits")


def legend(limits: Sequence[LimitMark], extent: Box, size: float) -> tuple[Group, Box]:
    """A legend below a view, in as many columns as fit, and the view's extent with it."""
    x0, y0, x1, y1 = extent
    texts = [_legend_text(limit) for limit in limits]
    widest = max(max(len(text.metric), len(text.inch)) for text in texts)
    column = (widest + 9) * ADVANCE * size
    columns = max(1, int((x1 - x0) / column))
    rows = -(-len(limits) // columns)
    ink: list[Ink] = []
    for place, (limit, text) in enumerate(zip(limits, texts, strict=True)):
        x, y = x0 + (place // rows) * column + size, y0 - (1 + place % rows) * 1.7 * size
        ink.append(path(((x, y), (x + 2.4 * size, y)), Pen.WIDE, limit.kind))
        line = x + 3.0 * size, y - MIDDLE * size
        ink.append(Text(text.metric, line, size, look="legend", inch=text.inch))
    wide = max(x1, x0 + columns * column)
    return Group(tuple(ink), "limits"), (x0, y0 - (rows + 1) * 1.7 * size, wide, y1)


def _legend_text(limit: LimitMark) -> Shown:
    length = shown(limit.length, digits=1)
    return Shown(f"{limit.tag}  {length.metric}", f"{limit.tag}  {length.inch}")
