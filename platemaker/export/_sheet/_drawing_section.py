"""Sections of a drawing: which planes show what matters."""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial

from platemaker.export._sheet._drawing_slope import slope_section
from platemaker.parts import Hole, Part
from platemaker.records import Record
from platemaker.resolved import Cutting, crossings, lies_along, resolved, through_axis
from platemaker.views import hole_tags, kind_of

MOST = 3
"""Sections on a sheet: what more planes would show is in the hole table."""
AXIS_PAST = 2.0
"""How far axes run past a hole in a section on the sheet, mm."""


class CuttingPlane(Record):
    """A cutting plane with the letter that it bears on the sheet."""

    letter: str
    cutting: Cutting
    at: float


def planes_of(part: Part, thin: tuple[Cutting, float] | None = None) -> list[CuttingPlane]:
    """Up to three planes: `thin` first, where given, then what shows every kind of cut that a plan does not show."""
    tags = hole_tags(part)
    wanted = {kind_of(tags[hole.name]) for hole in part.holes if _matters(hole)}
    wanted |= {one.name for one in part.profiles if not one.through or one.mouth_width > 0}
    shown = {plane: _shown(part, *plane, tags) for plane in _candidates(part)}
    first = dict.fromkeys(plane for plane in (thin, slope_section(part)) if plane is not None)
    chosen = [plane for plane in first if _cuts(part, plane)]
    if thin in chosen:
        wanted -= _shown(part, *thin, tags)
    while wanted and shown and len(chosen) < MOST:
        best = min(shown, key=partial(_rank, shown, wanted))
        if not shown[best] & wanted:
            break
        if _cuts(part, best):
            chosen.append(best)
            wanted -= shown[best]
        del shown[best]
    return [CuttingPlane(letter, *plane) for letter, plane in zip("ABC", chosen, strict=False)]


def _cuts(part: Part, plane: tuple[Cutting, float]) -> bool:
    """Whether a plane meets the blank; one along its edge does not."""
    return bool(resolved(part).section(*plane).blank)


def _rank(
    shown: Mapping[tuple[Cutting, float], set[str]], wanted: set[str], plane: tuple[Cutting, float]
) -> tuple[int, int, bool, float, float]:
    """Least for the plane that shows most of what is wanted, then most of all; of equals the one nearest the zero."""
    cutting, at = plane
    return -len(shown[plane] & wanted), -len(shown[plane]), cutting is Cutting.ACROSS_X, abs(at), at


def _matters(hole: Hole) -> bool:
    return hole.is_stepped or not hole.through or hole.tapping is not None or not hole.square


def _candidates(part: Part) -> list[tuple[Cutting, float]]:
    """Planes through the axes of holes and the middles of milled figures."""
    planes = set()
    for cutting in Cutting:
        for hole in part.holes:
            if lies_along(hole, cutting):
                planes.add((cutting, round(hole.at[cutting.fixed], 6)))
        for profile in part.profiles:
            for region in profile.regions:
                box = region.bounds
                planes.add((cutting, round((box[cutting.fixed] + box[cutting.fixed + 2]) / 2, 6)))
    return sorted(planes)


def _shown(part: Part, cutting: Cutting, at: float, tags: dict[str, str]) -> set[str]:
    """The kinds of cuts that a plane shows well: holes along their axis, figures across most of their width."""
    kinds = {kind_of(tags[hole.name]) for hole in part.holes if through_axis(hole, cutting, at)}
    free = 1 - cutting.fixed
    for profile in part.profiles:
        for region in profile.regions:
            wide = sum(u1 - u0 for u0, u1 in crossings(region, cutting, at))
            if wide > 0.75 * (region.bounds[free + 2] - region.bounds[free]):
                kinds.add(profile.name)
    return kinds
