"""Zones in which the axes of a part's holes must lie, and how far off an axis was read."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator

from platemaker.parts._as_made._as_built import AsBuilt, place_of
from platemaker.parts._records._part import Joint, Part
from platemaker.parts._records._stack_records import RailRow


def position_zones(joints: Iterable[Joint], part: Part, rows: Iterable[RailRow] = ()) -> dict[str, float]:
    """Diameters of the zones, mm, in which the axes of a part's holes must lie, by hole, where the spec gives them.

    Bores of a rail, and those for the bosses under it, have theirs from what the rail's `alignment` allows.
    """
    zones: dict[str, float] = {}
    for joint in joints:
        for face in joint.faces:
            if face.owner != part.name:
                continue
            if face.position is not None:
                own = (hole for hole in part.holes if hole.joint == joint.name and hole.spot not in face.read)
                zones |= {hole.name: face.position for hole in own}
            if joint.dowels is not None:
                zones |= {hole.name: joint.dowels.position for hole in part.holes if hole.name in joint.dowel_bores}
    for row in rows:
        if part.name in (row.rail, row.casting):
            own = (hole for hole in part.holes if hole.joint == row.joint)
            zones = {hole.name: row.bore_zone for hole in own} | zones
    return zones


def axes_read(
    joints: Iterable[Joint], part: Part, sheet: AsBuilt, rows: Iterable[RailRow] = ()
) -> Iterator[tuple[str, float, float]]:
    """Holes with a zone of which both places were read: name, how far off the axis is, and its zone's diameter, mm."""
    zones = position_zones(joints, part, rows)
    for hole in part.holes:
        if hole.name not in zones:
            continue
        due = place_of(part, hole, sheet.datum)
        off = [reads - nominal for id_, nominal in due.items() if (reads := sheet.value(id_)) is not None]
        if len(off) == len(due):
            yield hole.name, math.hypot(*off), zones[hole.name]
