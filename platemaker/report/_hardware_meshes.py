"""Screws, injectors and fittings as meshes of the stack, together by what they are fitted to: for looking at."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence

from platemaker.checks import ItemKind, hardware
from platemaker.parts import Stack, Vec3
from platemaker.report._mesh import Mesh, colour_word, prism_between
from platemaker.space import Cylinder, Frame, Prism

WORDS = {ItemKind.BOLT: "screws", ItemKind.INJECTOR: "injectors", ItemKind.FITTING: "fittings"}
SIDES = 20
"""Corners of a round figure."""


def hardware_meshes(stack: Stack, goes: Mapping[str, Vec3]) -> Iterator[Mesh]:
    """A mesh for the bought pieces of a kind on each part or body; `goes` says where that goes when pulled apart."""
    # Loaded here because the room of export would cost every command that only checks.
    from platemaker.export import BOUGHT  # noqa: PLC0415

    groups: dict[tuple[str, ItemKind], list[Cylinder | Prism]] = {}
    for one in hardware(stack):
        groups.setdefault((one.on, one.kind), []).extend(one.figures)
    for (on, kind), figures in groups.items():
        vertices: list[Sequence[float]] = []
        triangles: list[tuple[int, int, int]] = []
        for figure in figures:
            first = len(vertices)
            corners, rows = prism_between(*zip(*_ring(figure), strict=True))
            vertices += corners
            triangles += [(a + first, b + first, c + first) for a, b, c in rows]
        away = goes.get(on, (0.0, 0.0, 0.0))
        yield Mesh(f"{WORDS[kind]} of {on}", vertices, triangles, colour_word(BOUGHT[kind]), away)


def _ring(figure: Cylinder | Prism) -> Iterator[tuple[Vec3, Vec3]]:
    """Corners of the figure's foot, counter-clockwise about its axis, each with the one over it."""
    if isinstance(figure, Prism):
        frame, height = figure.frame, figure.height
        corners = [edge.start for edge in figure.region.outer.edges]
    else:
        frame, height = Frame.from_normal(figure.start, figure.axis), figure.length
        turns = [math.tau * k / SIDES for k in range(SIDES)]
        corners = [(figure.radius * math.cos(turn), figure.radius * math.sin(turn)) for turn in turns]
    for x, y in corners:
        yield frame.to_world((x, y, 0.0)), frame.to_world((x, y, height))
