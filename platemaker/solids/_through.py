"""Which cuts meet others, seen from above, and so which may be drawn as inner wires of the blank's face.

Inner wires that touch each other or the outline make an invalid solid without a word, so only loops that are clear of
each other and of the outline are drawn; the rest are cut out of the solid, which is slower and right for any overlap.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from platemaker.parts import Cut, Hole, Part, Profile
from platemaker.plane import Loop, Region, closest_pairs, contains, nearest, wall, wall_between

CLEAR = 1e-3
"""Loops nearer to each other than this, mm, are cut out of the solid rather than drawn as inner wires."""
TOUCHES = 1e-6
"""A wall of less, mm, is none: the grid that places are rounded to."""


def inner_loops(part: Part, blank: Region) -> dict[str, tuple[Loop, ...]]:
    """Loops to draw inside the blank, by the name of the cut that they stand for."""
    found = [(cut.name, loop) for cut in part.cuts for loop in _through_loops(cut)]
    meeting = _meeting(found, blank)
    loops: dict[str, tuple[Loop, ...]] = {}
    for name, loop in found:
        if name not in meeting:
            loops[name] = (*loops.get(name, ()), loop)
    return loops


def lone_cuts(part: Part, blank: Region) -> set[str]:
    """Names of the cuts that lie inside the blank and meet no other, seen from above: each takes something away."""
    found = [(cut.name, loop) for cut in part.cuts for loop in _plan_loops(cut)]
    return {name for name, _ in found} - _meeting(found, blank)


def touching(cuts: Sequence[Cut], blank: Region) -> Iterator[tuple[Cut, Cut | None]]:
    """Cuts that touch each other, or, with None, the outline: seen from above they neither overlap nor stand apart."""
    found = [(cut, loop) for cut in cuts for loop in _plan_loops(cut)]
    for cut, loop in found:
        if abs(wall_between(loop, blank).distance) <= TOUCHES:
            yield cut, None
    for first, second, _ in closest_pairs([loop for _, loop in found], TOUCHES):
        (one, loop), (other, second_loop) = found[first], found[second]
        if one is not other and abs(wall(loop, second_loop).distance) <= TOUCHES:
            yield one, other


def _meeting(found: list[tuple[str, Loop]], blank: Region) -> set[str]:
    """Names of the cuts that leave the blank or come near another."""
    names = {name for name, loop in found if not _inside(loop, blank)}
    for first, second, _ in closest_pairs([loop for _, loop in found], CLEAR):
        names |= {found[first][0], found[second][0]}
    return names


def _plan_loops(cut: Cut) -> tuple[Loop, ...]:
    """Loops of the cut at the face that it starts from; none for a hole on a slanted or level axis."""
    if isinstance(cut, Hole):
        return (Loop.circle(cut.centre, cut.steps[0].diameter / 2),) if cut.square else ()
    return tuple(region.outer for region in cut.regions) if isinstance(cut, Profile) else ()


def _through_loops(cut: Cut) -> tuple[Loop, ...]:
    """Loops that the cut takes out of the whole thickness, none when it does more or less than that."""
    if isinstance(cut, Hole):
        plain = cut.through and cut.square and len(cut.steps) == 1 and cut.steps[0].start == 0
        return (Loop.circle(cut.centre, cut.diameter / 2),) if plain else ()
    if not isinstance(cut, Profile) or not cut.through or any(region.holes for region in cut.regions):
        return ()
    return tuple(region.outer for region in cut.regions)


def _inside(loop: Loop, blank: Region) -> bool:
    """Whether the loop lies in the blank, clear of its edges."""
    return nearest(loop, blank).distance > CLEAR and contains(blank, loop.edges[0].start)
