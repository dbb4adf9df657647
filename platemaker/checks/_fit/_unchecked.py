"""Surveys that a misreading could spoil unnoticed: how far it would move a hole, and what then no longer passes.

A reading that nothing checks, or that only a large misreading would stand out in, leaves the places that hang on it in
doubt. Where such a misreading could move a hole farther than its bolt has play, nothing that rests on the survey
passes: the reading is named, and the one to take next.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from platemaker.catalog import Fit, clearance_hole
from platemaker.checks._advice import advised
from platemaker.checks._finding import PRACTICE, Finding, Limit, Sense, Verdict, measured, not_checked
from platemaker.parts import Joint, Stack
from platemaker.records import replace
from platemaker.units import Words, joined, said

if TYPE_CHECKING:
    from platemaker.survey import Weak

UNNOTICED = "PM806"
TITLE = "surveyed holes: largest shift by an undetected misreading"
ROW_HALF_AXIS = 0.2
"""How far spots without bolts may lie off, mm: a third of the 0.6 mm that an O-ring-sealed injector forgives."""
THEORY = "W. Baarda, A Testing Procedure for Use in Geodetic Networks (1968): a misreading noticed in 99 of 100 surveys"


def play_of(joint: Joint) -> float:
    """How far a hole of a joint may lie off before its bolt no longer starts, mm: half its clearance."""
    if joint.bolts is None:
        return ROW_HALF_AXIS
    hole = clearance_hole(joint.bolts.thread, Fit(joint.bolts.fit)).diameter
    return (hole - joint.bolts.thread.major_diameter) / 2


def check_unnoticed(stack: Stack, joint: Joint, owner: str, file: str, weak: tuple[Weak, ...]) -> Iterator[Finding]:
    """How well the readings of one survey check each other, as far as a joint rests on them."""
    if not weak:
        return
    worst, features = weak[0], (joint.name, file, weak[0].hole)
    if math.isinf(worst.shift):
        others = ", ".join(one.hole for one in weak[1:] if math.isinf(one.shift))
        more = f"; the same holds of {others}" if others else ""
        yield not_checked(UNNOTICED, TITLE, owner, features, _weak(file, worst, more))
        return
    source = "half the bolts' clearance" if joint.bolts is not None else PRACTICE
    limit = Limit(play_of(joint), "mm", f"{source}; {THEORY}", sense=Sense.AT_MOST)
    yield advised(measured(UNNOTICED, TITLE, owner, features, worst.shift, limit, note=_weak(file, worst)))


def _weak(file: str, one: Weak, more: str = "") -> Words:
    return said("weak", file=file, words=one.words, more=more)


def doubt_in(joint: Joint) -> Words:
    """Why nothing that rests on a joint's survey passes, in words; empty where it may."""
    resting = [(joint.surveyed.file, joint.surveyed.weak)] if joint.surveyed is not None else []
    ports = [*joint.ports, *(port for face in joint.faces for port in face.ports)]
    resting += [(port.surveyed.file, port.surveyed.weak) for port in ports if port.surveyed is not None]
    for file, weak in resting:
        if weak and weak[0].shift > play_of(joint):
            return _weak(file, weak[0])
    return ""


def guarded(joint: Joint, findings: Iterable[Finding]) -> Iterator[Finding]:
    """The findings that rest on a joint's survey; cautions in place of passes where a misreading could spoil it."""
    doubt = doubt_in(joint)
    for found in findings:
        if doubt and found.verdict is Verdict.PASS:
            yield replace(found, verdict=Verdict.CAUTION, note=joined(doubt, found.note))
        else:
            yield found
