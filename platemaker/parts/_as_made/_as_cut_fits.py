"""Pressed bosses as they were really turned, in the bores that were really made."""

from __future__ import annotations

from platemaker.catalog import iso286
from platemaker.errors import CatalogError
from platemaker.parts._as_made._as_built import AsBuilt
from platemaker.parts._as_made._measure_ids import DIAMETER, hole_id
from platemaker.parts._records._design import PressFit
from platemaker.parts._records._figures import on_grid
from platemaker.parts._records._part import Part, Stack
from platemaker.records import replace

Range = tuple[float, float]


def fits_as_cut(stack: Stack, sheet: AsBuilt) -> Stack:
    """The stack with the interference of its pressed bosses as what was read of them and of their bores leaves it."""
    return replace(stack, parts=tuple(_fitted(part, stack, sheet) for part in stack.parts))


def _fitted(boss: Part, stack: Stack, sheet: AsBuilt) -> Part:
    casting = stack.find_part(boss.fit.casting) if boss.fit else None
    if boss.fit is None or casting is None or sheet.part not in (boss.name, casting.name):
        return boss
    fit = _read(boss.fit, boss, casting, sheet)
    return boss if fit is boss.fit else replace(boss, fit=_pressed(fit, casting))


def _read(fit: PressFit, boss: Part, casting: Part, sheet: AsBuilt) -> PressFit:
    """The fit with what a sheet reads of boss or bores, mm off its diameter; the same where it reads neither."""
    turned = sheet.value(DIAMETER) if sheet.part == boss.name else None
    if turned is not None:
        fit = replace(fit, boss_read=turned - fit.diameter)
    own = casting.holes if sheet.part == casting.name else ()
    read = {hole.name: sheet.value(hole_id(hole.name, "diameter")) for hole in own}
    bored = {name: size - fit.diameter for name, size in read.items() if size is not None}
    return replace(fit, bores_read=tuple({**dict(fit.bores_read), **bored}.items())) if bored else fit


def _pressed(fit: PressFit, casting: Part) -> PressFit:
    """The fit with its least and greatest interference; what was not read has the whole of its zone."""
    bored = dict(fit.bores_read)
    shaft = _range(fit, fit.boss_read, fit.boss_zone)
    bores = {hole.name: _range(fit, bored.get(hole.name), fit.bore_zone) for hole in casting.holes}
    known = [one for one in bores.values() if one is not None]
    if shaft is None or len(known) < len(bores):
        names = [*(["the boss"] if shaft is None else []), *(name for name, one in bores.items() if one is None)]
        return replace(fit, unread=", ".join(names))
    least, greatest = shaft[0] - max(high for _, high in known), shaft[1] - min(low for low, _ in known)
    return replace(fit, least=on_grid(least), greatest=on_grid(greatest), unread="")


def _range(fit: PressFit, off: float | None, zone: str) -> Range | None:
    """How far a size lies off the fit's diameter at least and at most, mm: as read, else by its zone, if any."""
    if off is not None:
        return off, off
    try:
        limits = iso286(fit.diameter, zone)
    except CatalogError:
        return None
    return limits.lower, limits.upper
