"""From a joint to the question of its fit-up: two patterns with their position zones, bolts, slots and dowels."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from platemaker.catalog import Fit, clearance_hole, coordinate_tolerance
from platemaker.parts import Dowels, Face, Joint, Profile, Role, Stack
from platemaker.plane import Arc, Point
from platemaker.records import Record
from platemaker.resolved import resolved_stack
from platemaker.units import Words, said

if TYPE_CHECKING:
    from platemaker.fit_up import Fastener, FitUp
    from platemaker.survey import Pattern


class Zones(Record):
    """The position zones of one side's holes, mm, by spot; where they come from, in words; whether specified."""

    diameters: tuple[float, ...]
    words: Words
    specified: bool


class Asked(Record):
    """A question that can be put: what it says of each side, and the made part that takes the bolts' heads."""

    question: FitUp
    lower: Zones
    upper: Zones
    part: str

    @property
    def words(self) -> Words:
        """Where both sides' zones come from."""
        return said("zones", lower=self.lower.words, upper=self.upper.words)

    @property
    def specified(self) -> bool:
        """Whether every zone was specified, not taken from general tolerances."""
        return self.lower.specified and self.upper.specified


def question_of(stack: Stack, joint: Joint) -> Asked | Words:
    """The fit-up of a joint's bolts, or the reason why nothing can be said. The joint has bolts and two faces."""
    from platemaker.fit_up import FitUp  # noqa: PLC0415 - only stacks with tolerances pay for its start-up
    from platemaker.fit_up import PatternSide as Half  # noqa: PLC0415

    lower, upper = joint.lower, joint.upper
    if lower is None or upper is None:
        return "nothing stands on its other side"
    measured = surveyed_face(stack, joint)
    if measured is None and not any(face.position is not None or face.read for face in (lower, upper)):
        return "neither side states how far its holes may lie off: give `position` on a side, or a survey"
    zones = [_zones(stack, joint, face, face is measured) for face in (lower, upper)]
    for face, found in zip((lower, upper), zones, strict=True):
        if found is None:
            return f"how far the holes of {face.owner} lie off is not specified: give its `position`, or a survey"
    fasteners = _bolts(stack, joint, lower, upper)
    if not isinstance(fasteners, tuple):
        return fasteners
    low, high = (found for found in zones if found is not None)
    dowels = () if joint.dowels is None else (joint.dowels.position,) * len(joint.dowels.spots)
    halves = [
        Half(_pattern(stack, joint, face, surveyed=face is measured), (*found.diameters, *dowels))
        for face, found in ((lower, low), (upper, high))
    ]
    head = lower if lower.role in (Role.CLEAR, Role.COUNTERBORED) and stack.find_part(lower.owner) else upper
    question = FitUp(halves[0], halves[1], (*fasteners, *_dowels(joint.dowels)))
    return Asked(question, low, high, head.owner)


def surveyed_face(stack: Stack, joint: Joint) -> Face | None:
    """The side whose holes a joint's survey measured: an existing body's, else the lower one."""
    if joint.surveyed is None:
        return None
    bodies = {body.name for body in stack.bodies}
    faces = joint.faces
    return next((face for face in faces if face.owner in bodies), faces[0] if faces else None)


def _zones(stack: Stack, joint: Joint, face: Face, is_surveyed: bool) -> Zones | None:
    """A side's zones: none for holes that were read on the finished part."""
    if face.read >= set(joint.spots):
        words = said("zone_read", owner=face.owner, sigma=(face.read_sigma, "mm"))
        return Zones((0.0,) * len(joint.spots), words, specified=True)
    drawn = _drawn_zones(stack, joint, face, is_surveyed)
    if drawn is None or not face.read:
        return drawn
    zones = [0.0 if spot in face.read else zone for spot, zone in zip(joint.spots, drawn.diameters, strict=True)]
    words = said("zones_read", zones=drawn.words, read=(len(face.read), ""), holes=(len(joint.spots), ""))
    return Zones(tuple(zones), words, drawn.specified)


def _drawn_zones(stack: Stack, joint: Joint, face: Face, is_surveyed: bool) -> Zones | None:
    count = len(joint.spots)
    if face.position is not None:
        words = said("zone_specified", owner=face.owner, zone=(face.position, "mm"))
        return Zones((face.position,) * count, words, specified=True)
    if is_surveyed and joint.surveyed is not None:
        return Zones((0.0,) * count, f"{face.owner}: as surveyed in {joint.surveyed.file}", specified=True)
    part = stack.find_part(face.owner)
    if part is None or not part.made:
        return None
    grade = stack.drafting.tolerances
    tolerances = [[coordinate_tolerance(value, grade) for value in spot] for spot in joint.spots.values()]
    zones = tuple(2 * math.hypot(*(each.deviation for each in pair)) for pair in tolerances)
    source = f"{tolerances[0][0].source} class {grade.value}"
    words = said("zone_general", owner=face.owner, zone=(max(zones), "mm"), source=source)
    return Zones(zones, words, specified=False)


def _pattern(stack: Stack, joint: Joint, face: Face, *, surveyed: bool) -> Pattern:
    """One side's holes, where its part has them, and dowels; those that were surveyed with their covariance."""
    import numpy as np  # noqa: PLC0415 - see question_of

    from platemaker.survey import Pattern  # noqa: PLC0415

    pins = {} if joint.dowels is None else {f"dowel {name}": at for name, at in joint.dowels.spots.items()}
    places = {**joint.spots, **_cut_places(stack, joint, face), **pins}
    covariance = None
    if face.read and face.read_sigma:
        # Each place was read for itself from the datum hole, along X and Y alike.
        spread = face.read_sigma**2
        own = [spread if name in face.read and name != face.read_from else 0.0 for name in places for _ in range(2)]
        covariance = np.diag(np.array(own))
    if surveyed and joint.surveyed is not None and joint.surveyed.covariance:
        # Dowels are bored in place: the survey has nothing to say of them.
        covariance = np.pad(np.array(joint.surveyed.covariance, dtype=float), (0, 2 * len(pins)))
    return Pattern(tuple(places), tuple(places.values()), covariance)


def _cut_places(stack: Stack, joint: Joint, face: Face) -> dict[str, Point]:
    """Where a made part has its holes of a joint, in the joint's frame: as drawn, or as they were read."""
    side = resolved_stack(stack).joint(joint.name).side(face.owner)
    mounting = side.mounting if side else None
    if side is None or mounting is None:
        return {}
    return {spot: mounting.in_joint(hole.centre) for spot, hole in side.holes.items()}


def _bolts(stack: Stack, joint: Joint, lower: Face, upper: Face) -> tuple[Fastener, ...] | Words:
    """The joint's bolts with the smallest of their holes; in words why not."""
    from platemaker.fit_up import DrawnSlot, Fastener  # noqa: PLC0415 - see question_of

    bolts = joint.bolts
    through = [face for face in (upper, lower) if face.role is not Role.TAPPED]
    if bolts is None or not through:
        return "both sides are tapped: no bolt goes through"
    size, found = bolts.thread.major_diameter, []
    for spot in joint.spots:
        holes = [_passage(stack, joint, face, spot) for face in through]
        missing = next((face.owner for face, hole in zip(through, holes, strict=True) if hole is None), None)
        # A slot, where there is one, goes first: it is the hole that a fastener's `slot` draws out.
        passages = sorted((hole for hole in holes if hole is not None), key=lambda hole: hole[1] is None)
        if missing is not None:
            return f"no hole of {missing} lets the bolt at {spot} through"
        if min(width for width, _ in passages) < size:
            narrow = min(width for width, _ in passages)
            return said("hole_below_bolt", spot=spot, hole=(narrow, "mm"), bolt=(size, "mm"))
        wide, way = passages[0]
        other = passages[1][0] if len(passages) > 1 else None
        found.append(Fastener(spot, size, wide, other, DrawnSlot(*way) if way else None))
    return tuple(found)


Passage = tuple[float, tuple[float, float] | None]
"""Width of a hole, mm, and for a slot its travel, mm, and direction in the joint's frame, degrees."""


def _passage(stack: Stack, joint: Joint, face: Face, spot: str) -> Passage | None:
    part = stack.find_part(face.owner)
    if part is None:
        if face.role is Role.NONE or joint.bolts is None:
            return None
        return clearance_hole(joint.bolts.thread, Fit(joint.bolts.fit)).diameter, None
    side = resolved_stack(stack).joint(joint.name).side(face.owner)
    if side is None or spot in side.holes:
        return (side.holes[spot].diameter, None) if side else None
    if spot not in side.slots or side.mounting is None:
        return None
    travel, angle, width = slot_way(side.slots[spot])
    return width, (travel, angle - side.mounting.turn)


def slot_way(slot: Profile) -> tuple[float, float, float]:
    """Travel of a slot (centre to centre of its ends, mm), its direction in the plan (degrees) and its width, mm."""
    arcs = [edge for edge in slot.regions[0].outer.edges if isinstance(edge, Arc)]
    (x0, y0), (x1, y1) = arcs[0].centre, arcs[-1].centre
    return math.dist((x0, y0), (x1, y1)), math.degrees(math.atan2(y1 - y0, x1 - x0)), 2 * arcs[0].radius


def _dowels(dowels: Dowels | None) -> Sequence[Fastener]:
    from platemaker.fit_up import Fastener, FastenerKind  # noqa: PLC0415 - see question_of

    if dowels is None:
        return ()
    # The middle of m6 lies 3 um off that of H7: by chance the play is the stated one, at worst a dowel is thicker.
    wide, thicker = dowels.diameter + dowels.play, dowels.largest - dowels.diameter
    return [
        Fastener(f"dowel {name}", dowels.diameter, wide, kind=FastenerKind.DOWEL, thicker=thicker)
        for name in dowels.spots
    ]
