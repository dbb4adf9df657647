"""Names of files and layers: plain ASCII, so that no reader and no file system trips over them."""

from __future__ import annotations

import re

from platemaker.errors import OutputError
from platemaker.parts import BendLine, Hole, Kind, Operation, Part, Profile, StepVoid, Tapping

OUTLINE, NOTE, MARK, CENTRE = "CUT_OUTLINE", "NOTE", "MARK", "CENTRE"
STOCK, TURNED = "STOCK_OUTLINE", "TURN_OUTLINE"

_WORDS = {
    Operation.DRILL: "DRILL",
    Operation.TAP: "TAP",
    Operation.BORE: "BORE",
    Operation.COUNTERBORE: "CBORE",
    Operation.COUNTERSINK: "CSINK",
    Operation.MILL: "MILL",
}
_SAFE = re.compile(r"[A-Za-z0-9_-]+")
_FRACTION = re.compile(r"(\d+)/(\d+)")


def safe_name(name: str) -> str:
    """The name itself; raises OutputError when it could lead out of the output folder or is not plain ASCII."""
    if not _SAFE.fullmatch(name):
        message = f"{name!r} cannot be a file name; allowed: letters a to z, digits, '_' and '-'"
        raise OutputError(message)
    return name


def number(value: float) -> str:
    """A size or depth in mm as layers and notes print it: one to four decimals.

    >>> number(9.0), number(12.7), number(1.5875)
    ('9.0', '12.7', '1.5875')
    """
    whole, decimals = f"{value:.4f}".split(".")
    return f"{whole}.{decimals.rstrip('0') or '0'}"


def thread_word(tapping: Tapping) -> str:
    """A thread's designation in letters that a layer name may hold; an inch fraction becomes its decimal.

    >>> thread_word(Tapping("M8", 8.0, 1.25, 18.0)), thread_word(Tapping("3/8-16 UNC", 9.525, 1.5875, 12.0))
    ('M8X1.25', '0.375-16-UNC')
    """
    text = tapping.designation.strip().upper()
    if text.startswith("M") and "X" not in text:
        text += f"X{tapping.pitch:g}"
    text = _FRACTION.sub(lambda match: f"{int(match[1]) / int(match[2]):g}", text).replace("#", "NO")
    return re.sub(r"[^A-Z0-9.]+", "-", text)


def outline_layer(part: Part) -> str:
    """The layer of the blank's outline: cut, turned, or bar and castings that are there already."""
    if part.kind is Kind.BOSS:
        return TURNED
    return STOCK if part.kind in (Kind.RAIL, Kind.CASTING) else OUTLINE


def profile_layer(profile: Profile) -> str:
    """`CUT_OPENING` for a figure cut right through, else such as `POCKET_DP16.0_ABOVE`."""
    kind = profile.kind.value.upper()
    return f"CUT_{kind}" if profile.through else f"{kind}_DP{number(profile.depth)}_{profile.side.value.upper()}"


def step_layer(hole: Hole, step: StepVoid) -> str:
    """Such as `DRILL_9.0_THRU`, or `CBORE_15.0_DP8.6_ABOVE`: operation, diameter, depth and the face it starts from.

    A countersink has its included angle in place of its depth: `CSINK_17.92_A90.0_ABOVE`.
    """
    word = f"{_WORDS[step.operation]}_{number(step.wide)}"
    if step.operation is Operation.COUNTERSINK:
        return f"{word}_A{number(round(step.angle, 4))}_{side_of(hole)}"
    if step.through:
        return f"{word}_THRU"
    return f"{word}_DP{number(step.end)}_{side_of(hole)}"


def tap_layer(hole: Hole, tapping: Tapping) -> str:
    """Such as `TAP_M8X1.25_DP18.0_ABOVE`, the depth being that of full thread."""
    word = f"TAP_{thread_word(tapping)}"
    if hole.is_threaded_through:
        return f"{word}_THRU"
    return f"{word}_DP{number(tapping.depth)}_{side_of(hole)}"


def centre_layer(hole: Hole) -> str:
    """Where a slanted bore's axis meets a face, `CENTRE_ABOVE` or `CENTRE_BELOW`: neither cut nor scribed."""
    return f"{CENTRE}_{side_of(hole)}"


def bend_layer(bend: BendLine) -> str:
    """Such as `BEND_UP_90.0_R5.0`: angle in degrees and inside radius."""
    return f"BEND_{'UP' if bend.angle > 0 else 'DOWN'}_{number(abs(bend.angle))}_R{number(bend.radius)}"


def side_of(hole: Hole) -> str:
    """The face that a hole starts from, `ABOVE` or `BELOW`; `SIDE` for one that runs level."""
    return "SIDE" if hole.level else hole.side.value.upper()
