"""What cannot be made: cuts off the blank, loose islands, cuts that part the blank."""

from __future__ import annotations

from platemaker.errors import SpecError
from platemaker.parts import Cut, Part, PlateStock, Profile, StripStock, flat_pattern, leg_of
from platemaker.plane import Arc, Region, closest_pairs, contains, nearest, walls_inside
from platemaker.resolved._part import resolved
from platemaker.resolved._pieces import count_pieces
from platemaker.resolved._voids import Void
from platemaker.spec import ProjectSpec

TOUCHING = 1e-9
"""Figures that overlap by less than this, mm, lie beside each other."""
NEARLY = 1e-6
"""Holes nearer than this, mm, to each other or the outline may count as touching, and part a plate together."""


def refuse_useless_cuts(part: Part, spec: ProjectSpec) -> None:
    """Raise SpecError, naming the cuts, for a part that cannot be made as its spec says."""
    if isinstance(part.stock, StripStock):
        _refuse_off_strip(part, part.stock, spec)
    one = resolved(part)
    if not isinstance(one.flat.stock, PlateStock):
        return
    straight = [void for void in one.voids if void.is_straight]
    shapes = [void.upright.shape for void in straight if void.upright is not None]
    walls = walls_inside(shapes, one.blank.region)
    for void, left in zip(straight, walls, strict=True):
        if left.distance <= TOUCHING:
            _refuse_off_blank(part, void, one.blank.region, spec)
    for profile in one.flat.profiles:
        _refuse_sharp_mouth(part, profile, spec)
        _refuse_loose_island(part, profile, spec)
    meeting = (straight[i].cut is not straight[j].cut for i, j, _ in closest_pairs(shapes, NEARLY))
    # Holes that keep clear of the outline and of each other part nothing.
    if one.flat.profiles or any(meeting) or min((left.distance for left in walls), default=0.0) <= NEARLY:
        _refuse_parting(one.flat, spec)


def _where(part: Part, cut: Cut) -> tuple[str, ...]:
    return tuple((cut.key or part.key).split("."))


def _refuse_off_blank(part: Part, void: Void, blank: Region, spec: ProjectSpec) -> None:
    if nearest(void.plan, blank).distance <= TOUCHING:
        return
    larger = contains(void.plan, blank.outer.edges[0].start)
    problem = f"{void.label} is larger than {part.name}" if larger else f"{void.label} lies off {part.name}"
    allowed = "cuts that lie inside the outline; a notch belongs to the outline itself"
    raise SpecError(problem, where=spec.where(*_where(part, void.cut)), allowed=allowed)


def _refuse_sharp_mouth(part: Part, profile: Profile, spec: ProjectSpec) -> None:
    if profile.mouth_width <= 0:
        return
    kind, key = ("rounded", "mouth_radius") if profile.mouth_radius > 0 else ("chamfered", "mouth_chamfer")
    for region in profile.regions:
        for edge, following in zip(region.outer.edges, (*region.outer.edges[1:], region.outer.edges[0]), strict=True):
            u, v = edge.tangent(1.0), following.tangent(0.0)
            if abs(u[0] * v[1] - u[1] * v[0]) > 1e-6 or (isinstance(edge, Arc) and not edge.ccw):
                problem = f"a {kind} mouth needs an opening of smooth, convex outline; {profile.name} has a corner"
                raise SpecError(
                    problem,
                    where=spec.where(*_where(part, profile)),
                    allowed=f"corner radii above 0 at every corner, or no {key}",
                )


def _refuse_loose_island(part: Part, profile: Profile, spec: ProjectSpec) -> None:
    if profile.through and any(region.holes for region in profile.regions):
        problem = f"{profile.name} of {part.name} is cut all round a piece that would come loose"
        raise SpecError(problem, where=spec.where(*_where(part, profile)), allowed="an opening without islands")


def _refuse_parting(part: Part, spec: ProjectSpec) -> None:
    pieces = count_pieces(part)
    if pieces != 1:
        names = ", ".join(cut.name for cut in part.cuts if isinstance(cut, Profile)) or "its holes"
        problem = f"the cuts part {part.name} into {pieces} pieces ({names})"
        raise SpecError(problem, where=spec.where(*part.key.split(".")), allowed="cuts that leave one piece")


def _refuse_off_strip(part: Part, stock: StripStock, spec: ProjectSpec) -> None:
    """A bracket's hole stands in the flat of its leg: inside the width, clear of the bends' starts."""
    for hole in part.holes:
        leg = leg_of(hole, stock)
        along = stock.along_leg(leg, hole.at)
        radius = max(step.diameter for step in hole.steps) / 2
        first, last = stock.flat_of(leg)
        if along - radius < first or along + radius > last or abs(hole.at[1]) + radius > stock.width / 2:
            problem = f"{hole.name} does not lie in the flat of leg {leg + 1} of {part.name}"
            raise SpecError(
                problem,
                where=spec.where(*_where(part, hole)),
                allowed=f"a hole of {2 * radius:g} mm between {first:.2f} and {last:.2f} mm along the leg, "
                f"within {stock.width / 2:g} mm of its middle",
            )
    bent = flat_pattern(part)
    for profile in part.cuts:
        if not isinstance(profile, Profile) or profile.leg is None or bent is None:
            continue
        first, last = stock.flat_of(profile.leg)
        start = bent.starts[profile.leg]
        boxes = [region.bounds for region in profile.regions]
        if min(box[0] for box in boxes) < start + first - 1e-6 or max(box[2] for box in boxes) > start + last + 1e-6:
            problem = f"{profile.name} does not lie in the flat of leg {profile.leg + 1} of {part.name}"
            allowed = f"a figure between {first:.2f} and {last:.2f} mm along the leg"
            raise SpecError(problem, where=spec.where(*_where(part, profile)), allowed=allowed)
