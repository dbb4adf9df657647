"""Holes in words: tags by kind of hole, and the call-out of each kind."""

from __future__ import annotations

import math
from collections.abc import Iterator

from platemaker.parts import Hole, Operation, Part
from platemaker.views._numbers import Shown, shown

_LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ"  # without I and O, which are misread as digits
_WORDS = {
    Operation.DRILL: "drilled",
    Operation.TAP: "drilled",
    Operation.BORE: "bored",
    Operation.COUNTERBORE: "counterbore",
    Operation.COUNTERSINK: "countersink",
    Operation.MILL: "milled",
}


def hole_tags(part: Part) -> dict[str, str]:
    """A short tag for each hole by its name: a letter for each kind of hole, a number within the kind.

    Kinds are lettered in the order in which they first appear.
    """
    letters: dict[object, str] = {}
    numbers: dict[str, int] = {}
    tags = {}
    for hole in part.holes:
        kind = (hole.direction, hole.steps, hole.through, hole.tip_angle, hole.tapping)
        letter = letters.setdefault(kind, _letter(len(letters)))
        numbers[letter] = numbers.get(letter, 0) + 1
        tags[hole.name] = f"{letter}{numbers[letter]}"
    return tags


def kind_of(tag: str) -> str:
    """The letters of a hole's tag, which stand for its kind.

    >>> kind_of("AB12")
    'AB'
    """
    return tag.rstrip("0123456789")


def call_out(hole: Hole) -> Shown:
    """What the shop does at a hole, from its entry inwards: thread, then each step, then the drill point."""
    phrases = list(_phrases(hole))
    return Shown(", ".join(phrase.metric for phrase in phrases), ", ".join(phrase.inch for phrase in phrases))


def side_words(hole: Hole) -> str:
    """The face that a hole is entered from."""
    if not hole.square:
        dx, dy, dz = hole.direction
        if abs(dz) > 1e-12:
            return f"at {math.degrees(math.asin(min(abs(dz), 1.0))):g} deg to the face"
        axis = "X" if abs(dx) > abs(dy) else "Y"
        return f"along {axis}, from its {'negative' if dx + dy > 0 else 'positive'} end"
    return "from above" if hole.direction[2] < 0 else "from below"


def _phrases(hole: Hole) -> Iterator[Shown]:
    if hole.tapping:
        thread, whole = f"{hole.tapping.designation} thread", hole.is_threaded_through
        yield _said(thread, " through") if whole else _said(thread + " ", hole.tapping.depth, " deep")
        if hole.tapping.insert > 0:
            yield _said("wire insert ", hole.tapping.insert, " long")
    for step in hole.bored:
        word = _WORDS[step.operation]
        if step.operation is Operation.COUNTERSINK:
            yield _said(f"{word} ", step.wide, f" x {step.angle:.4g} deg")
        elif step.through:
            yield _said(f"{word} ", step.wide, " through")
        else:
            yield _said(f"{word} ", step.wide, " x ", step.end, " deep")
    if hole.point_angle is not None:
        yield _said(f"{hole.point_angle:g} degree point")


def _said(*words: str | float) -> Shown:
    pairs = [Shown(word, word) if isinstance(word, str) else shown(word, named=False) for word in words]
    return Shown("".join(pair.metric for pair in pairs), "".join(pair.inch for pair in pairs))


def _letter(place: int) -> str:
    """A, B, ... Z, AA, AB, ...

    >>> _letter(0), _letter(7), _letter(8), _letter(24)
    ('A', 'H', 'J', 'AA')
    """
    more, last = divmod(place, len(_LETTERS))
    return (_letter(more - 1) if more else "") + _LETTERS[last]
