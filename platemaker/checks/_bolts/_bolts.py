"""Every screw in its holes and its thread: does it pass, how far is it engaged, does it bottom out."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from platemaker.catalog import Family, Fit, LimitName, clearance_hole, limits
from platemaker.checks._bolts._preload import known_preload
from platemaker.checks._finding import Finding, Limit, Sense, measured, not_checked, unproved
from platemaker.checks._limits import limit_for
from platemaker.errors import CatalogError
from platemaker.parts import Part, Role, Stack
from platemaker.resolved import Bolt, alike, resolved_stack
from platemaker.units import Words, said

ENGAGEMENT, BOTTOMING, TAPPED_DEPTH, PASSES, UNMATCHED = "PM302", "PM303", "PM304", "PM305", "PM306"
STUD_TURNS = "PM309"
MANY = 12
"""Single holes that one finding names; the rest it counts."""
ROOM = Limit(0.0, "mm", "the bolt's nominal diameter against the narrowest hole that it goes through")


def check_bolts(stack: Stack) -> Iterator[Finding]:
    """Whether every screw passes its holes, how its thread is engaged, and the depth of every tapped hole."""
    for bolt, _ in alike(resolved_stack(stack).bolts):
        yield _passage(bolt)
        if bolt.loose:
            yield not_checked(ENGAGEMENT, "thread engagement", bolt.owner, bolt.features_on(bolt.owner), bolt.loose)
        elif bolt.tapped is not None and bolt.fits:
            yield _engagement(stack, bolt)
            if not bolt.tapped.through:
                yield _bottoming(bolt)
            if bolt.is_stud:
                yield _held_stud(stack, bolt, bolt.tapped.owner)
    yield from _unheld(stack)
    for part in stack.parts:
        yield from _tapped_depths(part)
        yield from _unmatched(stack, part)


def _passage(bolt: Bolt) -> Finding:
    """The bolt in the narrowest hole on its way: below 0 it does not pass, far above it is the wrong bolt."""
    d, bore = bolt.d, bolt.d + bolt.passes
    loose = clearance_hole(bolt.thread, Fit.LOOSE)
    title, owner = "bolt through its hole", bolt.owner
    inputs = [("hole", bore, "mm"), (f"bolt {bolt.thread.designation}", d, "mm")]
    features, points = bolt.features_on(owner), bolt.points_on(owner)
    if bolt.passes < 0:
        note = f"the thread under it takes {bolt.thread.designation}" if bolt.tapped and bolt.tapped.designation else ""
        return measured(PASSES, title, owner, features, bolt.passes, ROOM, points=points, note=note, inputs=inputs)
    limit = Limit(
        2 * loose.diameter - d - d,
        "mm",
        f"{loose.source}: twice the loose fit's room",
        loose.diameter - d,
        Sense.AT_MOST,
    )
    return measured(PASSES, title, owner, features, bolt.passes, limit, points=points, inputs=inputs)


def _limit(stack: Stack, bolt: Bolt, name: LimitName) -> Limit | None:
    tapped = bolt.tapped
    part = stack.find_part(tapped.owner) if tapped else None
    if part is not None and tapped is not None and not tapped.insert:
        return limit_for(part, name)
    if tapped is None or tapped.material is None:
        return None
    try:  # an insert is of steel; what pulls it out of its metal is checked by itself
        row = limits(tapped.family or Family.STEEL)[name]
    except (CatalogError, KeyError):
        return None
    if row.fail_below is None:
        return None
    return Limit(row.fail_below, row.unit, row.source, row.caution_below)


def _engagement(stack: Stack, bolt: Bolt) -> Finding:
    title, tapped, limit = "thread engagement", bolt.tapped, _limit(stack, bolt, LimitName.THREAD_ENGAGEMENT)
    owner = tapped.owner if tapped else bolt.owner
    features = bolt.features_on(owner)
    if tapped is None or limit is None:
        return not_checked(ENGAGEMENT, title, owner, features, f"the material of {owner} is not specified")
    if tapped.depth is None:
        return not_checked(ENGAGEMENT, title, owner, features, f"the thread depth in {owner} is not specified")
    engaged = tapped.depth if bolt.engaged is None else bolt.engaged
    inputs = [("d", bolt.d, "mm"), ("thread depth", tapped.depth, "mm"), ("grip", bolt.grip, "mm")]
    note: Words = "full thread in the hole; no stock length fits"
    if bolt.is_stud:
        inputs.append(("metal end of the stud", bolt.metal_end or 0.0, "mm"))
        note = "" if bolt.bolts.metal_end is not None else f"studs with the usual metal end for {owner}'s metal"
    elif bolt.long is not None:
        inputs.append(("bolt length", bolt.long, "mm"))
        proposed = said("length_proposed", thread=bolt.thread.designation, length=(bolt.long, "mm"))
        note = "" if bolt.bolts.length is not None else proposed
    points = bolt.points_on(owner)
    return measured(
        ENGAGEMENT, title, owner, features, engaged / bolt.d, limit, points=points, note=note, inputs=inputs
    )


def _bottoming(bolt: Bolt) -> Finding:
    title, tapped, reach = "bolt bottoming clearance", bolt.tapped, bolt.reach
    owner = tapped.owner if tapped else bolt.owner
    features = bolt.features_on(owner)
    if tapped is None or reach is None or tapped.depth is None:
        missing = (
            f"the thread depth in {owner} is not specified"
            if tapped is None or tapped.depth is None
            else "no bolt length fits"
        )
        return not_checked(BOTTOMING, title, owner, features, missing)
    row = limits(tapped.family)[LimitName.THREAD_RUNOUT] if tapped.family else None
    if row is None or row.fail_below is None:
        return not_checked(BOTTOMING, title, owner, features, f"the material of {owner} is not specified")
    limit, pitch = Limit(row.fail_below, row.unit, row.source, row.caution_below), bolt.thread.pitch
    inputs = [("thread depth", tapped.depth, "mm"), ("bolt in thread", reach, "mm"), ("pitch", pitch, "mm")]
    left, points = (tapped.depth - reach) / pitch, bolt.points_on(owner)
    note = said("bottoms", over=(reach - tapped.depth, "mm")) if left < 0 else ""
    return measured(BOTTOMING, title, owner, features, left, limit, points=points, note=note, inputs=inputs)


def _held_stud(stack: Stack, bolt: Bolt, owner: str) -> Finding:
    """A stud in its thread while its nut is tightened: how it is held is not in a spec."""
    pre = known_preload(stack.design, bolt.bolts)
    torque = said("with_torque", torque=(pre.torque / 1000, "N.m")) if pre else ""
    reason = said("stud_may_turn", torque=torque)
    return not_checked(STUD_TURNS, "stud held from turning", owner, bolt.features_on(owner), reason)


def _both_tapped(owner: str, features: Sequence[str]) -> Finding:
    reason = "both holes are tapped: no bolt passes one of them"
    return unproved(PASSES, "bolt through its hole", owner, features, reason)


def _unheld(stack: Stack) -> Iterator[Finding]:
    """Joints whose bolts have a head side or a thread that the spec does not give."""
    known = resolved_stack(stack)
    for joint in stack.joints:
        if joint.bolts is None or known.bolts_of(joint.name) or not joint.faces:
            continue
        if len(joint.faces) == 2 and all(face.role is Role.TAPPED for face in joint.faces):
            yield _both_tapped(joint.faces[0].owner, (joint.name, joint.faces[1].owner))
            continue
        reason = "what the heads of its bolts bear on is not specified"
        yield not_checked(ENGAGEMENT, "thread engagement", joint.faces[0].owner, (joint.name,), reason)


def _unmatched(stack: Stack, part: Part) -> Iterator[Finding]:
    """Holes for bolts that no other part's hole lies over or under: their bolts are not the stack's."""
    loose = [one for one in resolved_stack(stack).loose_holes if one.part == part.name]
    for one in loose:
        if one.facing:
            yield _both_tapped(part.name, (one.hole.name, one.facing))
    names = [one.hole.name for one in loose if not one.facing]
    if len(names) > MANY:
        names = [*names[:MANY], f"{len(names) - MANY} more"]
    if names:
        reason = "no hole of another part lies over or under it, so its bolt is not checked"
        yield not_checked(UNMATCHED, "bolt of a single hole", part.name, names, reason)


def _tapped_depths(part: Part) -> Iterator[Finding]:
    limit = limit_for(part, LimitName.TAPPED_DEPTH)
    if limit is None:
        return
    for hole in part.holes:
        tapping = hole.tapping
        if tapping is None:
            continue
        ratio = tapping.depth / tapping.major_diameter
        inputs = [("depth", tapping.depth, "mm"), ("d", tapping.major_diameter, "mm")]
        yield measured(
            TAPPED_DEPTH, "depth of thread", part.name, (hole.name,), ratio, limit, points=[hole.at], inputs=inputs
        )
