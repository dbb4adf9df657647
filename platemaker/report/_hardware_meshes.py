"""Screws, injectors and fittings as meshes of the stack, together by what they are fitted to: for looking at."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping

from platemaker.checks import ItemKind, hardware
from platemaker.parts import Stack, Vec3
from platemaker.report._mesh import Mesh
from platemaker.space import Cylinder, Frame, Prism

COLOURS = {ItemKind.BOLT: "#c9c9c0", ItemKind.INJECTOR: "#8d7f9c", ItemKind.FITTING: "#bd994d"}
WORDS = {ItemKind.BOLT: "screws", ItemKind.INJECTOR: "injectors", ItemKind.FITTING: "fittings"}
SIDES = 20
"""Corners of a round figure."""


def hardware_meshes(stack: Stack, goes: Mapping[str, Vec3]) -> Iterator[Mesh]:
    """A mesh for the bought pieces of a kind on each part or body; `goes` says where that goes when pulled apart."""
    groups: dict[tuple[str, ItemKind], list[Cylinder | Prism]] = {}
    for one in hardware(stack):
        groups.setdefault((one.on, one.kind), []).extend(one.figures)
    for (on, kind), figures in groups.items():
        vertices, triangles = _joined(figures)
        yield Mesh(f"{WORDS[kind]} of {on}", vertices, triangles, COLOURS[kind], goes.get(on, (0.0, 0.0, 0.0)))


def _joined(figures: Iterable[Cylinder | Prism]) -> tuple[list[Vec3], list[tuple[int, int, int]]]:
    vertices: list[Vec3] = []
    triangles: list[tuple[int, int, int]] = []
    for figure in figures:
        first = len(vertices)
        ring = list(_ring(figure))
        number = len(ring)
        vertices += [*(low for low, _ in ring), *(high for _, high in ring)]
        for k in range(number):
            a, b = first + k, first + (k + 1) % number
            triangles += [(a, b, a + number), (b, b + number, a + number)]
        for k in range(1, number - 1):
            a, b, c = first, first + k, first + k + 1
            triangles += [(b, a, c), (a + number, b + number, c + number)]
    return vertices, triangles


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
