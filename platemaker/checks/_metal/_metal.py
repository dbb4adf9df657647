"""The one check of metal: what is left between cuts, and from each cut to every face and edge of its part."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from platemaker.catalog import LimitName
from platemaker.checks._finding import EQUAL, Finding, Limit, measured
from platemaker.checks._limits import limit_for
from platemaker.parts import Part, Stack
from platemaker.records import replace
from platemaker.remembered import remembered
from platemaker.resolved import ResolvedPart, Void, Wall, are_meant_to_meet, resolved
from platemaker.units import joined, said

METAL, SEAT_LEFT = "PM110", "PM111"
WINDOW = 3.0
"""Walls between cuts are reported up to this many times the limit; walls to faces and edges always."""


def check_metal(stack: Stack) -> Iterator[Finding]:
    """The metal of every part; lands of gaskets and shims are left to sealing."""
    for part in stack.parts:
        if not part.is_gasket_or_shim:
            wall, floor = (limit_for(part, name) for name in (LimitName.MINIMUM_WALL, LimitName.MINIMUM_FLOOR))
            if wall is not None:
                yield from part_metal(part, wall, floor or wall)


@remembered(256)
def part_metal(part: Part, wall: Limit, floor: Limit) -> tuple[Finding, ...]:
    """The least metal between every two cuts of a part that come near, and from each cut to every face and edge."""
    one = resolved(part)
    walls = one.walls(WINDOW * max(wall.fail, floor.fail))
    return tuple(_finding(part, one, found, floor if found.kind.is_floor else wall) for found in walls)


def _finding(part: Part, one: ResolvedPart, wall: Wall, limit: Limit) -> Finding:
    check, cure = METAL, ""
    if isinstance(wall.b, Void):
        if wall.a is not None and are_meant_to_meet(wall.a, wall.b):
            # The spec accepts that the two cuts meet: what is left is asked to carry the head, and no more.
            check, limit = SEAT_LEFT, replace(limit, fail=0.0, caution=limit.fail)
        elif wall.distance < -EQUAL:
            cure = "if they are meant to meet, name one under `into` of the other"
    through = said("breaks_through", depth=(-wall.distance, "mm"))
    note = joined(through, cure) if wall.distance < -EQUAL else ""
    points = [one.in_part(point) for point in wall.points]
    return measured(check, wall.kind.value, part.name, wall.features, wall.distance, limit, points=points, note=note)


def least_metal(part: str, findings: Iterable[Finding]) -> Finding | None:
    """The finding of a part's least metal; None without any."""
    found: Sequence[tuple[float, Finding]] = [
        (finding.measured, finding)
        for finding in findings
        if finding.check == METAL and finding.part == part and finding.measured is not None
    ]
    return min(found, key=lambda pair: pair[0], default=(0.0, None))[1]
