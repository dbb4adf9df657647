"""Which through cuts may be drawn as inner wires of the blank's face.

Inner wires that touch each other or the outline make an invalid solid without a word, so only loops that are clear of
each other and of the outline are drawn; the rest are cut out of the solid, which is slower and right for any overlap.
"""

from __future__ import annotations

from platemaker.plane import Loop, Region, closest_pairs, contains, nearest
from platemaker.resolved import ResolvedPart, Void

CLEAR = 1e-3
"""Loops nearer to each other than this, mm, are cut out of the solid rather than drawn as inner wires."""


def inner_loops(one: ResolvedPart) -> dict[str, tuple[Loop, ...]]:
    """Loops to draw inside the blank of a plate, by the name of the cut that they stand for."""
    found = [(void.cut.name, void.plan.outer) for void in one.voids if _is_drawn(void)]
    near = {name for name, loop in found if not _inside(loop, one.blank.region)}
    for first, second, _ in closest_pairs([loop for _, loop in found], CLEAR):
        near |= {found[first][0], found[second][0]}
    loops: dict[str, tuple[Loop, ...]] = {}
    for name, loop in found:
        if name not in near:
            loops[name] = (*loops.get(name, ()), loop)
    return loops


def _is_drawn(void: Void) -> bool:
    """Whether a void is all that its cut takes out of the whole thickness, a mouth or a thread aside."""
    if not void.is_straight or void.low > 0.0 or void.high < void.blank.height:
        return False
    return not void.plan.holes


def _inside(loop: Loop, blank: Region) -> bool:
    """Whether the loop lies in the blank, clear of its edges."""
    return nearest(loop, blank).distance > CLEAR and contains(blank, loop.edges[0].start)
