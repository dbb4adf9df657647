"""The screws of a stack for report.json: one record each, every quantity with its unit."""

from __future__ import annotations

from platemaker.checks import BoltAccount
from platemaker.resolved import BearingSeat
from platemaker.units import ZERO_CELSIUS


def bolt_record(one: BoltAccount) -> dict[str, object]:
    """A screw as a record; what is not known is null."""
    bolt, tapped, pre = one.bolt, one.bolt.tapped, one.preload
    return {
        "name": bolt.name,
        "joint": bolt.joint.name if bolt.joint else None,
        "spot": bolt.spot,
        "count": bolt.count,
        "thread": bolt.thread.designation,
        "class": bolt.bolts.property_class,
        "head": bolt.bolts.head,
        "length": _quantity(bolt.long, "mm"),
        "length_from": "spec" if bolt.bolts.length is not None else "stock lengths" if bolt.long else None,
        "metal_end": _quantity(bolt.metal_end, "mm"),
        "washer": _quantity(bolt.lift or None, "mm"),
        "seat": _seat(bolt.seat),
        "nut": _seat(bolt.nut) if bolt.nut else None,
        "thread_in": tapped and {
            "owner": tapped.owner,
            "hole": tapped.hole.name if tapped.hole else None,
            "depth": _quantity(tapped.depth, "mm"),
            "through": tapped.through,
        },
        "clamped": [{"name": layer.name, "thickness": _quantity(layer.thickness, "mm")} for layer in bolt.clamped],
        "grip": _quantity(bolt.grip, "mm"),
        "engagement": _quantity(bolt.engaged, "mm"),
        "clearance": _quantity(bolt.passes, "mm"),
        "position_tolerance": {owner: _quantity(zone, "mm") for owner, zone in one.positions.items()},
        "temperature": _quantity(one.temperature - ZERO_CELSIUS if one.temperature else None, "degC"),
        "torque": _quantity(pre.torque / 1000 if pre else None, "N.m"),
        "preload": pre and {
            "low": _quantity(pre.low.result / 1000, "kN"),
            "middle": _quantity(pre.nominal / 1000, "kN"),
            "high": _quantity(pre.high.result / 1000, "kN"),
        },
        "not_known": bolt.loose or None,
    }  # fmt: skip


def _quantity(value: float | None, unit: str) -> dict[str, object] | None:
    return None if value is None else {"value": value, "unit": unit}


def _seat(seat: BearingSeat) -> dict[str, object]:
    return {
        "owner": seat.owner,
        "hole": seat.hole.name if seat.hole else None,
        "hole_diameter": _quantity(seat.bore, "mm"),
        "metal": _quantity(seat.metal, "mm"),
        "sunk": seat.sunk,
        "at": {"value": seat.at, "unit": "mm"} if seat.placed else None,
    }
