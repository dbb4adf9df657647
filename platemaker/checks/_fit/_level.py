"""Nose height and squareness: how a machine leans by readings at its corners, and the shims that square it."""

from __future__ import annotations

import math
from collections.abc import Iterator

from platemaker.checks._advice import advised
from platemaker.checks._finding import Finding, Limit, Sense, measured, not_checked
from platemaker.parts import Joint, Level, Part, Planed, Stack, ends_of

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
        ("rise along X", 100 * planed.face.along_x, "mm per 100 mm"),
        ("rise along Y", 100 * planed.face.along_y, "mm per 100 mm"),
    ]  # fmt: skip
    title, features = "thin end of a tapered shim", (planed.name,)
    return measured(THIN, title, part.name, features, thin.thickness, THIN_END, points=points, inputs=inputs)


def _unread(joint: Joint, part: Part, planed: Planed) -> Finding:
    """A taper whose need no reading shows: whether it squares what lies on it cannot be said."""
    reason = (
        f"the stack stands square over {part.name}, {planed.face.at(*joint.middle):.3f} mm thick in the middle of the "
        "bolts; no `level` readings state what its taper squares"
    )
    return not_checked(SQUARE, "machine square on a tapered shim", part.name, (joint.name, planed.name), reason)


def _lean(joint: Joint, level: Level, owner: str) -> Finding:
    """The tilt that is left: the readings' plane with what a tapered shim takes up."""
    plane = level.plane
    u, v = joint.lean_left or (0.0, 0.0)
    slope = math.hypot(u, v)
    inputs = [
        ("as read, along X", 100 * plane.along_x, "mm per 100 mm"),
        ("as read, along Y", 100 * plane.along_y, "mm per 100 mm"),
        ("left, along X", 100 * u, "mm per 100 mm"), ("left, along Y", 100 * v, "mm per 100 mm"),
        ("left, steepest", 100 * slope, "mm per 100 mm"),
    ]  # fmt: skip
    if joint.shim is not None:
        inputs.append(("shim in the middle of the bolts", joint.shim.upper.at(*joint.middle), "mm"))
    if level.nose is not None:
        x, y, z = level.nose
        inputs += [("nose rises by", x * u + y * v + plane.height, "mm"),
                   ("nose moves along X", -z * u, "mm"), ("nose moves along Y", -z * v, "mm")]  # fmt: skip
    words = [_shims(level), _taper(u, v)] if math.degrees(math.atan(slope)) > (LIMIT.caution or 0.0) else []
    return measured(
        LEAN, TITLE, owner, (joint.name,), math.degrees(math.atan(slope)), LIMIT, inputs=inputs, note="; ".join(words)
    )


def _shims(level: Level) -> str:
    """Shims at the corners that bring the seat level with its highest corner, on the plane of the readings."""
    heights = {name: level.plane.at(*at) for name, (at, _) in level.corners.items()}
    top = max(heights.values())
    return "square with " + ", ".join(f"{top - height:.2f} mm more at {name}" for name, height in heights.items())


def _taper(u: float, v: float) -> str:
    return f"or a taper shim rising {-100 * u:+z.3f} mm per 100 mm along X and {-100 * v:+z.3f} along Y: shim.squares"


def _rocks(joint: Joint, level: Level, owner: str) -> Finding:
    title = "corner readings out of plane"
    if len(level.corners) == PLANE:
        return not_checked(ROCKS, title, owner, (joint.name,), "three corners always lie on one plane: read a fourth")
    off = level.off_plane()
    worst = max(off, key=lambda name: abs(off[name]))
    note = f"{worst} lies {off[worst]:+z.3f} mm over it: the seat rocks, or is twisted as it is pulled down"
    inputs = [(name, value, "mm") for name, value in off.items()]
    return advised(measured(ROCKS, title, owner, (joint.name, worst), abs(off[worst]), SOFT_FOOT, inputs=inputs,
                            note=note if abs(off[worst]) > SOFT_FOOT.fail else ""))  # fmt: skip
