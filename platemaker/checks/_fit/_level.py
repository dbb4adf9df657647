"""Nose height and squareness: how a machine leans by readings at its corners, and the shims that square it."""

from __future__ import annotations

import math
from collections.abc import Iterator

from platemaker.checks._advice import advised
from platemaker.checks._finding import Finding, Limit, Sense, measured, not_checked
from platemaker.parts import Joint, Level, Part, Planed, Stack, ends_of
from platemaker.units import Words, joined, said

LEAN, ROCKS, THIN, SQUARE = "PM836", "PM837", "PM838", "PM839"
TITLE = "tilt of the machine on its joint"
LIMIT = Limit(
    0.5, "degrees",
    "published practice of belt alignment: V-belts 0.5 degrees, 8.7 mm a metre; V-ribbed 0.25 (from memory)",
    caution=0.25, sense=Sense.AT_MOST,
)  # fmt: skip
SOFT_FOOT = Limit(0.05, "mm", "common practice for machine feet, no source", sense=Sense.AT_MOST)
THIN_END = Limit(
    0.2, "mm", "common practice, no source: a thinner edge curls under the cutter and is crushed under the bolts",
    caution=0.5,
)  # fmt: skip
PLANE = 3
"""Heights that always lie on one plane."""


def check_level(stack: Stack) -> Iterator[Finding]:
    """Every joint with readings of its squareness."""
    for joint in stack.joints:
        if joint.level is not None:
            owner = joint.upper.owner if joint.upper is not None else joint.name
            yield _lean(joint, joint.level, owner)
            yield _rocks(joint, joint.level, owner)
    for part in stack.parts:
        if part.planed is not None and part.planed.joint:
            joint = stack.joint(part.planed.joint)
            yield _thin_end(joint, part, part.planed)
            if joint.level is None:
                yield _unread(joint, part, part.planed)


def _thin_end(joint: Joint, part: Part, planed: Planed) -> Finding:
    """What a tapered shim keeps at its thin end."""
    thin, thick = ends_of(part.stock.plan, planed.face)
    points = [(*thin.at, 0.0), (*thin.at, thin.thickness)]
    inputs = [
        ("thick end", thick.thickness, "mm"), ("in the middle of the bolts", planed.face.at(*joint.middle), "mm"),
        ("rise along X", 100 * planed.face.along_x, "per 100"),
        ("rise along Y", 100 * planed.face.along_y, "per 100"),
    ]  # fmt: skip
    title, features = "thin end of a tapered shim", (planed.name,)
    return measured(THIN, title, part.name, features, thin.thickness, THIN_END, points=points, inputs=inputs)


def _unread(joint: Joint, part: Part, planed: Planed) -> Finding:
    """A taper whose need no reading shows: whether it squares what lies on it cannot be said."""
    reason = said("taper_unread", part=part.name, thick=(planed.face.at(*joint.middle), "mm"))
    return not_checked(SQUARE, "machine square on a tapered shim", part.name, (joint.name, planed.name), reason)


def _lean(joint: Joint, level: Level, owner: str) -> Finding:
    """The tilt that is left: the readings' plane with what a tapered shim takes up."""
    plane = level.plane
    u, v = joint.lean_left or (0.0, 0.0)
    slope = math.hypot(u, v)
    inputs = [
        ("as read, along X", 100 * plane.along_x, "per 100"),
        ("as read, along Y", 100 * plane.along_y, "per 100"),
        ("left, along X", 100 * u, "per 100"), ("left, along Y", 100 * v, "per 100"),
        ("left, steepest", 100 * slope, "per 100"),
    ]  # fmt: skip
    if joint.shim is not None:
        inputs.append(("shim in the middle of the bolts", joint.shim.upper.at(*joint.middle), "mm"))
    if level.nose is not None:
        x, y, z = level.nose
        inputs += [("nose rises by", x * u + y * v + plane.height, "mm"),
                   ("nose moves along X", -z * u, "mm"), ("nose moves along Y", -z * v, "mm")]  # fmt: skip
    words = [_shims(level), _taper(u, v)] if math.degrees(math.atan(slope)) > (LIMIT.caution or 0.0) else []
    return measured(
        LEAN, TITLE, owner, (joint.name,), math.degrees(math.atan(slope)), LIMIT, inputs=inputs, note=joined(*words)
    )


def _shims(level: Level) -> Words:
    """Shims at the corners that bring the seat level with its highest corner, on the plane of the readings."""
    heights = {name: level.plane.at(*at) for name, (at, _) in level.corners.items()}
    top = max(heights.values())
    return said("shims", more=[said("shim_at", more=(top - at, "mm"), corner=name) for name, at in heights.items()])


def _taper(u: float, v: float) -> Words:
    return said("or_taper", along_x=(-100 * u, "per 100"), along_y=(-100 * v, "per 100"))


def _rocks(joint: Joint, level: Level, owner: str) -> Finding:
    title = "corner readings out of plane"
    if len(level.corners) == PLANE:
        return not_checked(ROCKS, title, owner, (joint.name,), "three corners always lie on one plane: read a fourth")
    off = level.off_plane()
    worst = max(off, key=lambda name: abs(off[name]))
    note = said("rocks", corner=worst, off=(off[worst], "mm"))
    inputs = [(name, value, "mm") for name, value in off.items()]
    return advised(measured(ROCKS, title, owner, (joint.name, worst), abs(off[worst]), SOFT_FOOT, inputs=inputs,
                            note=note if abs(off[worst]) > SOFT_FOOT.fail else ""))  # fmt: skip
