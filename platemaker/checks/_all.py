"""Every check over a stack."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from platemaker.checks._bolts import check_bolts
from platemaker.checks._crossings import check_crossings
from platemaker.checks._finding import Finding, worst_first
from platemaker.checks._floors import check_floors
from platemaker.checks._machining import check_machining
from platemaker.checks._seats import check_seats
from platemaker.checks._space_walls import check_space_walls
from platemaker.checks._walls import check_walls
from platemaker.parts import Stack

FAMILIES: tuple[Callable[[Stack], Iterable[Finding]], ...] = (
    check_walls,
    check_space_walls,
    check_crossings,
    check_floors,
    check_bolts,
    check_seats,
    check_machining,
)


def check_stack(stack: Stack) -> tuple[Finding, ...]:
    """The findings of every family of checks, worst first."""
    return tuple(worst_first([finding for family in FAMILIES for finding in family(stack)]))
