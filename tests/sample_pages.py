"""A stack with findings of every verdict, hostile words in it, and meshes, for the tests of the page."""

from __future__ import annotations

import math

from platemaker.parts import Part, Profile, Stack
from platemaker.plane import Loop, Region
from platemaker.records import replace
from platemaker.report import Mesh, Meta
from tests.sample_parts import bent_bracket, counterbore_and_pocket, cross_bored_rail, sample_stack, thin_web

HOSTILE = '<script>window.hacked = true</script>"><img src=x onerror="window.hacked=true">'
META = Meta("0.1.0", "ab" * 32, "sample", {"thin_web": 50 * 30 * 10 - 2 * math.pi * 6**2 * 10})


def limited_plate() -> Part:
    """`counterbore_and_pocket` with a pocket whose sides were made by different features."""
    part = counterbore_and_pocket()
    cuts = tuple(_by_sides(cut) if isinstance(cut, Profile) and cut.name == "pocket" else cut for cut in part.cuts)
    return replace(part, cuts=cuts)


def sample_page_stack() -> Stack:
    """The sample stack with four more parts; one has a title that is markup."""
    stack = sample_stack()
    more = (limited_plate(), replace(thin_web(), title=HOSTILE), cross_bored_rail(), bent_bracket())
    return replace(stack, title=f"Prüfstück {HOSTILE}", parts=(*more, *stack.parts))


def box_mesh(name: str, size: tuple[float, float, float], at: tuple[float, float, float], colour: str) -> Mesh:
    """A box standing on `at`."""
    (w, d, h), (x, y, z) = size, at
    corners = [(x + i * w / 2, y + j * d / 2, z + k * h) for k in (0, 1) for j in (-1, 1) for i in (-1, 1)]
    quads = ((0, 2, 3, 1), (4, 5, 7, 6), (0, 1, 5, 4), (2, 6, 7, 3), (0, 4, 6, 2), (1, 3, 7, 5))
    triangles = [three for a, b, c, d_ in quads for three in ((a, b, c), (a, c, d_))]
    return Mesh(name, corners, triangles, colour, (0.0, 0.0, (z - 20) / 60))


def sample_meshes() -> list[Mesh]:
    """Three boxes that stand for the plates of a stack."""
    return [
        box_mesh("lower", (100, 70, 30), (0, 0, 0), "#8fa9b3"),
        box_mesh("sheet_gasket", (90, 60, 0.8), (0, 0, 30), "#b08d57"),
        box_mesh(HOSTILE, (100, 70, 12), (0, 0, 30.8), "#a3b18a"),
    ]


def _by_sides(profile: Profile) -> Profile:
    loop = profile.regions[0].outer
    edges = tuple(replace(edge, tag=f"bolt_{number // 2}") for number, edge in enumerate(loop.edges))
    return replace(profile, regions=(Region.of(Loop(edges)),))
