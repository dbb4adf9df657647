"""Sections as pictures: which plane shows most of a part or of a finding, and the box that it fills."""

from __future__ import annotations

from collections.abc import Iterable

from platemaker.checks import Finding, least_metal
from platemaker.parts import Part
from platemaker.plane import Box
from platemaker.resolved import Cutting, crossings, lies_along, meets_hole, resolved
from platemaker.views._holes import hole_tags, kind_of

_ALONG = 1e-9
"""A rise below this, mm, is none."""
_SLIVER = 0.05
"""Pieces of a section narrower than this, mm, are no sight of a figure."""


THIN = 2.0
"""A section goes through a part's least metal where this is less than so many times its limit."""


def through_least_metal(part: Part, findings: Iterable[Finding]) -> tuple[Cutting, float] | None:
    """The plane through a part's least metal where this is thin; None where it is not, or lies off the part.

    The points of `findings` are in the frame of `part`.
    """
    least = least_metal(part.name, findings)
    if least is None or least.measured is None or least.required is None or least.measured >= THIN * least.required:
        return None
    plane = cutting_of(least)
    return plane if resolved(part).section(*plane).blank else None


def most_telling(part: Part, findings: Iterable[Finding]) -> tuple[Cutting, float]:
    """The plane of a part's one section: through its least metal where this is thin, else where most cuts are met."""
    return through_least_metal(part, findings) or busiest(part)


def busiest(part: Part) -> tuple[Cutting, float]:
    """The plane that meets most kinds of cuts, then most cuts; of equals one across Y, nearest the datum."""
    letters = {name: kind_of(tag) for name, tag in hole_tags(part).items()}

    def rank(plane: tuple[Cutting, float]) -> tuple[int, int, bool, float, float]:
        names = _met(part, *plane)
        kinds = {letters.get(name, name) for name in names}
        return -len(kinds), -len(names), plane[0] is Cutting.ACROSS_X, abs(plane[1]), plane[1]

    return min(_planes(part), key=rank)


def cutting_of(finding: Finding) -> tuple[Cutting, float]:
    """The plane in which a finding's points lie best: through their middle, across the lesser of X and Y."""
    xs, ys, _ = zip(*finding.points, strict=True)
    across_x = max(xs) - min(xs) < max(ys) - min(ys)
    values = xs if across_x else ys
    return (Cutting.ACROSS_X if across_x else Cutting.ACROSS_Y), round(sum(values) / len(values), 6)


def upright(finding: Finding) -> bool:
    """Whether a finding's distance runs more up and down than across, so that a section shows it best."""
    if len(finding.points) != 2:
        return False
    (x0, y0, z0), (x1, y1, z1) = finding.points
    return abs(z1 - z0) > min(abs(x1 - x0), abs(y1 - y0)) + _ALONG


def section_box(part: Part, cutting: Cutting) -> Box:
    """The box of a section over all, mm."""
    box = part.stock.box
    return (*cutting.flat(box[:3]), *cutting.flat(box[3:]))


def _planes(part: Part) -> set[tuple[Cutting, float]]:
    """Planes worth a look: through the datum, and along the axis of each hole."""
    planes = {(Cutting.ACROSS_Y, 0.0)}
    for hole in part.holes:
        for cutting in Cutting:
            if lies_along(hole, cutting):
                planes.add((cutting, round(hole.at[cutting.fixed], 6)))
    return planes


def _met(part: Part, cutting: Cutting, at: float) -> list[str]:
    """The names of the cuts that a plane meets in a way that a section shows."""
    names = [hole.name for hole in part.holes if meets_hole(hole, cutting, at)]
    return names + [
        one.name
        for one in part.profiles
        if any(u1 - u0 > _SLIVER for region in one.regions for u0, u1 in crossings(region, cutting, at))
    ]
