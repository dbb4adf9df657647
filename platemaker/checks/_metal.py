"""The one check of metal: what is left between cuts, and from each cut to every face and edge of its part."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from platemaker.catalog import LimitName
from platemaker.checks._finding import EQUAL, Finding, Limit, measured
from platemaker.checks._limits import limit_for
from platemaker.parts import Kind, Part, Stack
from platemaker.resolved import ResolvedPart, Void, Wall, resolved

METAL = "PM110"
WINDOW = 3.0
"""Walls between cuts are reported up to this many times the limit; walls to faces and edges always."""


def check_metal(stack: Stack) -> Iterator[Finding]:
    """The metal of every part; lands of gaskets and shims are left to sealing."""
    for part in stack.parts:
        if part.kind not in (Kind.GASKET, Kind.SHIM):
            wall, floor = (limit_for(part, name) for name in (LimitName.MINIMUM_WALL, LimitName.MINIMUM_FLOOR))
            if wall is not None:
                yield from part_metal(part, wall, floor or wall)


def part_metal(part: Part, wall: Limit, floor: Limit) -> Iterator[Finding]:
    """The least metal between every two cuts of a part that come near, and from each cut to every face and edge."""
    one = resolved(part)
    for found in one.walls(WINDOW * max(wall.fail, floor.fail)):
        yield _finding(part, one, found, floor if found.kind.is_floor else wall)


def _finding(part: Part, one: ResolvedPart, wall: Wall, limit: Limit) -> Finding:
    points = [one.in_part(point) for point in wall.points]
    note = ""
    if wall.distance < -EQUAL:
        meant = "; if they are meant to meet, name one under `into` of the other" if isinstance(wall.b, Void) else ""
        note = f"breaks through by {-wall.distance:.3f} mm{meant}"
    return measured(METAL, wall.kind.value, part.name, wall.features, wall.distance, limit, points=points, note=note)


def least_metal(part: str, findings: Iterable[Finding]) -> Finding | None:
    """The finding of a part's least metal; None without any."""
    found: Sequence[tuple[float, Finding]] = [
        (finding.measured, finding)
        for finding in findings
        if finding.check == METAL and finding.part == part and finding.measured is not None
    ]
    return min(found, key=lambda pair: pair[0], default=(0.0, None))[1]
