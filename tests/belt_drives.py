"""Belt drives for the tests: two equal pulleys with hand geometry, and drives with an idler."""

from __future__ import annotations

from pathlib import Path

from platemaker.parts import Stack
from platemaker.resolved import ResolvedBelt, resolved_stack
from tests.design_stacks import stack_of

TWO = """
project: drive
BEFORE
belt:
  section: SPA
  strands: 2
  turns: clockwise
  speed: 1500 rpm
  service_factor: 1
  lengths: [LENGTH]
  MORE
  pulleys:
    motor: {at: [0, 0, 0], diameter: 200, drives: true}
    fan: {at: [0, -800, 0], diameter: 200, power: 12 kW, FAN}
parts:
  lid: {kind: plate, material: 6061-T6, thickness: 10, outline: {rectangle: [100, 80]}}
"""
"""Two pulleys of 200, 800 apart, seen along X: the fan to the right. Half a turn of wrap each; two spans of 800."""

IDLER = """
project: drive
BEFORE
belt:
  section: PK
  strands: 6
  turns: clockwise
  speed: 3000 rpm
  MORE
  pulleys:
    crank: {at: [0, 0, 0], diameter: 146, drives: true}
    PULLEYS
parts:
  lid: {kind: plate, material: 6061-T6, thickness: 10, outline: {rectangle: [100, 80]}, place: {at: [500, 0, 0]}}
"""
BLOWER = "blower: {at: [0, 0, 500], diameter: 96, power: 10 kW, rotors: {mass: 5 kg, diameter: 100}}"
SLACK = "idler: {at: [0, 22, 230], diameter: 80, back: true, slot: {towards: [0, -1, 0]}}"
TIGHT = "idler: {at: [0, -22, 230], diameter: 80, back: true, slot: {towards: [0, 1, 0]}}"


def two(folder: Path, more: str = "", fan: str = "", length: str = "2228.3", before: str = "") -> Stack:
    """Two equal pulleys; the belt is as long as 2 x 800 + pi x 200 unless stated."""
    text = TWO.replace("MORE", more).replace("FAN", fan).replace("LENGTH", length).replace("BEFORE", before)
    return stack_of(folder, text)


def with_idler(folder: Path, *pulleys: str, more: str = "", before: str = "") -> Stack:
    """A crankshaft, and the pulleys in the order of the belt's run."""
    text = IDLER.replace("PULLEYS", "\n    ".join(pulleys)).replace("MORE", more).replace("BEFORE", before)
    return stack_of(folder, text)


def belt_of(stack: Stack) -> ResolvedBelt:
    """The stack's belt drive."""
    found = resolved_stack(stack).belt
    if found is None:
        raise LookupError
    return found
