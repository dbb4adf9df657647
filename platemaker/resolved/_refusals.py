"""What cannot be made: no solid, or cuts that are plainly nothing. Whatever passes here, the solid kernel makes."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from platemaker.errors import Location, SpecError
from platemaker.parts import Cut, FlatPattern, Part, Profile, StripStock, ends_of, leg_of
from platemaker.plane import Arc, Loop, Region, contains, nearest, necks, self_contact
from platemaker.resolved._part import ResolvedPart, resolved
from platemaker.resolved._pieces import count_pieces
from platemaker.resolved._touching import touching
from platemaker.resolved._useless import useless
from platemaker.resolved._voids import Bored, Milled, Void
from platemaker.spec import ProjectSpec

LEAST = 0.001
"""Least size of anything that is cut, mm: the kernel makes and meshes it in 5 m, and fails from some 1e-4 mm down."""
INSIDE = "cuts that lie inside the outline; a notch belongs to the outline itself"
ON_BEND = 1e-6
"""A cut that reaches no farther past the start of a bend than this, mm, ends there."""
CLOSE_LEGS = 0.01
"""Legs of a strip nearer to each other than this, mm, touch: a hole's tool stands out by half of it."""


def refuse_unmakeable(part: Part, spec: ProjectSpec) -> None:
    """Raise SpecError, with file, line and key, for a part that no solid can be made of as its spec says."""
    one = resolved(part)
    if one.made_before:
        return
    _refuse_small(one, spec)
    if one.bent is not None:
        _refuse_strip_through_itself(part, one.bent.strip, spec)
        _refuse_off_strip(part, one.bent, spec)
    for void in one.voids:
        if isinstance(void, Milled) and void.what == "mouth":
            _refuse_mouth(one, void, spec)
        elif isinstance(void, Milled) and void.profile.through and void.region.holes:
            problem = f"{void.cut.name} of {part.name} is cut all round a piece that would come loose"
            raise SpecError(problem, where=_where(part, void.cut, spec), allowed="an opening without islands")
    _refuse_larger(one, spec)
    _refuse_useless(one, spec)
    _refuse_touching(one, spec)
    _refuse_parting(one, spec)
    vars(one)["made_before"] = True


def _where(part: Part, cut: Cut | None, spec: ProjectSpec) -> Location:
    return spec.where(*((cut.key if cut else "") or part.key).split("."))


def _refuse_small(one: ResolvedPart, spec: ProjectSpec) -> None:
    for cut, what, size in _sizes(one):
        if size < LEAST:
            problem = f"{what} of {cut.name if cut else one.part.name} is only {size:g} mm"
            raise SpecError(problem, where=_where(one.part, cut, spec), allowed=f"{LEAST:g} mm or more")


def _sizes(one: ResolvedPart) -> Iterator[tuple[Cut | None, str, float]]:
    """Every size of the blank and of what is cut; the outline of an opened-up figure follows from other sizes."""
    if one.part.strip is not None:
        yield from ((None, "a bend's inside radius", bend.radius) for bend in one.part.strip.bends)
    yield None, "the thickness", one.blank.height
    if one.part.planed is not None:
        yield one.part.planed, "the thin end", ends_of(one.blank.region, one.part.planed.face)[0].thickness
    yield from ((None, what, size) for what, size in _edges(one.blank.region))
    for void in one.voids:
        if isinstance(void, Bored):
            yield void.cut, "the diameter", void.step.wide
            yield void.cut, "a step", void.step.end - void.step.start
        elif isinstance(void, Milled):
            yield void.cut, "the depth", void.span[1] - void.span[0]
            if void.profile.opened is None:
                yield from ((void.cut, what, size) for what, size in _edges(void.region))


def _edges(region: Region) -> Iterator[tuple[str, float]]:
    for edge in region.edges:
        yield "an edge", edge.length
        if isinstance(edge, Arc):
            yield "a radius", edge.radius


def _refuse_mouth(one: ResolvedPart, mouth: Milled, spec: ProjectSpec) -> None:
    profile, region = mouth.profile, mouth.region
    kind, key = ("rounded", "mouth_radius") if profile.mouth_radius > 0 else ("chamfered", "mouth_chamfer")
    where = _where(one.part, profile, spec)
    for edge, following in pairwise((*region.outer.edges, region.outer.edges[0])):
        u, v = edge.tangent(1.0), following.tangent(0.0)
        if abs(u[0] * v[1] - u[1] * v[0]) > 1e-6 or (isinstance(edge, Arc) and not edge.ccw):
            problem = f"a {kind} mouth needs an opening of smooth, convex outline; {profile.name} has a corner"
            raise SpecError(problem, where=where, allowed=f"corner radii above 0 at every corner, or no {key}")
    if profile.mouth_depth > one.blank.height - LEAST:
        problem = f"the {kind} mouth of {profile.name} is as deep as {one.part.name} is thick"
        deep = f"{profile.mouth_depth:g} mm"
        raise SpecError(problem, where=where, met=deep, allowed=f"less than {one.blank.height:g} mm deep")


def _refuse_larger(one: ResolvedPart, spec: ProjectSpec) -> None:
    """A cut that goes right through and leaves nothing of the blank."""
    region, part = one.blank.region, one.part.name
    for void in one.voids:
        if not void.is_straight or len(void.opens) < 2 or one.to_outline(void) >= 0.0:
            continue
        if nearest(void.plan, region).distance > 0.0 and contains(void.plan, region.outer.edges[0].start):
            problem = f"{void.cut.name} is larger than {part}"
            raise SpecError(problem, where=_where(one.part, void.cut, spec), allowed=INSIDE)


def _refuse_useless(one: ResolvedPart, spec: ProjectSpec) -> None:
    for void, others in useless(one):
        where, part = _where(one.part, void.cut, spec), one.part.name
        if others:
            names = " and ".join(sorted({other.cut.name for other in others}))
            problem = f"{void.cut.name} of {part} takes nothing away: it lies inside {names}"
            raise SpecError(problem, where=where, allowed="cuts that each take something away")
        problem = f"{void.cut.name} lies off {part}"
        raise SpecError(problem, where=where, allowed=INSIDE)


def _refuse_touching(one: ResolvedPart, spec: ProjectSpec) -> None:
    for void, other in touching(one):
        at = other.cut.name if isinstance(other, Void) else f"the {other.name}"
        problem = f"{void.cut.name} and {at} of {one.part.name} touch and leave a wall of no thickness"
        allowed = "cuts that stand apart, or that overlap"
        raise SpecError(problem, where=_where(one.part, void.cut, spec), allowed=allowed)


def _refuse_parting(one: ResolvedPart, spec: ProjectSpec) -> None:
    part, pieces = one.part, 1 if one.keeps_clear else count_pieces(one.flat)
    names = ", ".join(cut.name for cut in one.flat.profiles) or "its holes"
    if pieces == 1 and (broken := {void.cut.name for void in _breaking_out(one)}):
        from platemaker.resolved._columns import count_pieces_in_space  # noqa: PLC0415 - few parts need it

        pieces, names = count_pieces_in_space(one), ", ".join(sorted(broken))
    if pieces != 1:
        into = f"part {part.name} into {pieces} pieces" if pieces else f"leave nothing of {part.name}"
        where = spec.where(*part.key.split("."))
        problem = f"the cuts {into} ({names})"
        raise SpecError(problem, where=where, allowed="cuts that leave one piece")


def _breaking_out(one: ResolvedPart) -> Iterator[Void]:
    """Bores on other axes that break out of a side, or into what they are not meant to meet or is milled.

    One that has no wall to any face may have swallowed them all.
    """
    out = {id(wall.void) for wall in one.at_faces if wall.distance <= 0.0}
    walled = {wall.void.cut.name for wall in one.at_faces}
    for void in one.voids:
        met = (other for other in one.met_by(void) if other.cut is not void.cut)
        alone = id(void) in out or void.cut.name not in walled
        if void.upright is None and (alone or any(_is_odd(void, other) for other in met)):
            yield void


def _is_odd(void: Void, other: Void) -> bool:
    meant = other.cut.name in void.cut.into or void.cut.name in other.cut.into
    return not meant or isinstance(other, Milled)


def _refuse_strip_through_itself(part: Part, stock: StripStock, spec: ProjectSpec) -> None:
    outline = stock.profile.outer
    if self_contact(outline) is None and not _close_legs(stock.profile):
        return
    problem, where = f"{part.name} is bent through itself, or so that its legs touch", (*part.key.split("."), "bends")
    raise SpecError(problem, where=spec.where(*where), allowed="legs that keep clear of each other")


def _close_legs(profile: Region) -> bool:
    """Whether the gap between two legs is none: a neck of what lies round the bent strip."""
    x0, y0, x1, y1 = profile.bounds
    wide, centre = 4 * CLOSE_LEGS, ((x0 + x1) / 2, (y0 + y1) / 2)
    around = Loop.rectangle(x1 - x0 + wide, y1 - y0 + wide, centre=centre)
    return any(True for _ in necks(Region.of(around, [profile.outer]), CLOSE_LEGS))


def _clears_bends(stock: StripStock, leg: int, low: float, high: float) -> bool:
    """Whether what lies between two places along a leg keeps clear of its bends; it may run out of a free end."""
    first, last = stock.flat_of(leg)
    return (leg == 0 or low >= first - ON_BEND) and (leg == len(stock.bends) or high <= last + ON_BEND)


def _refuse_off_strip(part: Part, bent: FlatPattern, spec: ProjectSpec) -> None:
    """A bracket's cut stands in the flat of its leg: clear of the bends' starts."""
    stock = bent.strip
    for hole in part.holes:
        leg = leg_of(hole, stock)
        along = stock.along_leg(leg, hole.at)
        radius = hole.widest / 2
        if not _clears_bends(stock, leg, along - radius, along + radius):
            first, last = stock.flat_of(leg)
            problem = f"{hole.name} does not lie in the flat of leg {leg + 1} of {part.name}"
            allowed = f"a hole of {2 * radius:g} mm between {first:.2f} and {last:.2f} mm along the leg"
            raise SpecError(problem, where=_where(part, hole, spec), allowed=allowed)
    for profile in part.cuts:
        if not isinstance(profile, Profile) or profile.leg is None:
            continue
        first, last = stock.flat_of(profile.leg)
        start = bent.starts[profile.leg]
        boxes = [region.bounds for region in profile.regions]
        if not _clears_bends(
            stock, profile.leg, min(box[0] for box in boxes) - start, max(box[2] for box in boxes) - start
        ):
            problem = f"{profile.name} does not lie in the flat of leg {profile.leg + 1} of {part.name}"
            allowed = f"a figure between {first:.2f} and {last:.2f} mm along the leg"
            raise SpecError(problem, where=_where(part, profile, spec), allowed=allowed)
