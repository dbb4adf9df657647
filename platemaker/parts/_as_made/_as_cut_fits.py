"""Pressed bosses as they were really turned, in the bores that were really made."""

from __future__ import annotations

from collections.abc import Iterable

from platemaker.catalog import iso286
from platemaker.errors import CatalogError
from platemaker.parts._records._design import PressFit
from platemaker.parts._records._figures import GRID
from platemaker.parts._records._part import Part, Stack
from platemaker.records import replace


def fits_as_cut(stack: Stack) -> Stack:
    """The stack with the interference of its pressed bosses as their sizes and their bores' leave it.

    What reads exactly its nominal size counts as not read: it has the whole of its zone.
    """
    return replace(stack, parts=tuple(_fitted(part, stack) if part.fit else part for part in stack.parts))


def _fitted(boss: Part, stack: Stack) -> Part:
    fit = boss.fit
    outside = boss.stock.plan.outer.as_circle()
    casting = stack.find_part(fit.casting) if fit else None
    if fit is None or outside is None or casting is None:
        return boss
    shaft = _off(fit, [2 * outside.radius], fit.boss_zone)
    bores = _off(fit, [hole.diameter for hole in casting.holes], fit.bore_zone)
    if shaft is None or bores is None:
        return boss
    least, greatest = shaft[0] - bores[1], shaft[1] - bores[0]
    return replace(boss, fit=replace(fit, least=round(least, 6), greatest=round(greatest, 6)))


def _off(fit: PressFit, sizes: Iterable[float], zone: str) -> tuple[float, float] | None:
    """How far sizes lie off the fit's diameter at least and at most, mm; those not read, by their zone."""
    ranges = []
    for size in sizes:
        off = size - fit.diameter
        if abs(off) > GRID:
            ranges.append((off, off))
            continue
        try:
            limits = iso286(fit.diameter, zone)
        except CatalogError:
            return None
        ranges.append((limits.lower, limits.upper))
    return (min(low for low, _ in ranges), max(high for _, high in ranges)) if ranges else None
