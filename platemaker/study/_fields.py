"""The field of the air for variants of a study: calculated one after the other, by what the caller hands in."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeAlias

from platemaker.parts import Stack
from platemaker.records import replace
from platemaker.study._front import Trade, front_of
from platemaker.study._outcomes import FIELD
from platemaker.study._runs import Progress
from platemaker.study._variant import Setup, VariantRow, stack_of

FieldOf: TypeAlias = Callable[[Stack], tuple[float, float, float] | None]
"""Loss by the field with its least and largest value, kPa; None where it does not converge."""


def with_fields(
    setup: Setup, rows: tuple[VariantRow, ...], trade: Trade | None, field: FieldOf | None, progress: Progress
) -> tuple[tuple[VariantRow, ...], tuple[int, ...], bool]:
    """Rows with the field's loss, the numbers of those where it does not converge, whether it was interrupted.

    With a `trade` the rows on its front are taken, else all that are possible. What is done at an interrupt is kept.
    """
    if field is None:
        return rows, (), False
    chosen = front_of(rows, trade) if trade else [row.number for row in rows if not row.fault]
    found = {row.number: row for row in rows}
    unsettled: list[int] = []
    interrupted = False
    progress(0, len(chosen))
    try:
        for done, number in enumerate(chosen, 1):
            losses = field(stack_of(setup, found[number].choices))
            if losses is None:
                unsettled.append(number)
            else:
                named = dict(zip((one.name for one in FIELD), losses, strict=True))
                found[number] = replace(found[number], outcomes={**found[number].outcomes, **named})
            progress(done, len(chosen))
    except KeyboardInterrupt:
        interrupted = True
    return tuple(found.values()), tuple(unsettled), interrupted
