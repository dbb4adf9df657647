"""A plate with two openings between a plenum above and a head below, for the tests of joints with several openings."""

from __future__ import annotations

from pathlib import Path

from platemaker.parts import Stack
from tests.design_stacks import stack_of

PROJECT = """
project: trial
design: {air: {AIR}, boost: 0.5 bar, friction: lubricated, preload_share: 0.6}
bodies:
  head: {material: A356-T6, joints: {ports: {face: above, holes: tapped, thread_depth: 20 OWN}}}
  plenum: {material: A356-T6, joints: {top: {face: below, holes: tapped, thread_depth: 20}}}
joints:
  ports:
    bolts: {pattern: {rectangle: [200, 80], rows: [3, 2]}, thread: M8, length: 35}
    openings: {OPENINGS}
    MORE
  top:
    bolts: {pattern: {rectangle: [230, 92], rows: [4, 2]}, thread: M6, length: 35}
    opening: {rectangle: [180, 60], corner_radius: 10}
parts:
  plate: {kind: plate, material: 6061-T6, thickness: 20, outline: {rectangle: [260, 110]},
    below: {ports: {holes: clear}}, above: {top: {holes: clear}}, CUT}
"""
TWO = "one: {circle: 40, at: [-40, 0]}, two: {circle: 40, at: [40, 0]}"
ALL = "opening: {match: ports}"


def two_openings(
    folder: Path, openings: str = TWO, own: str = "", more: str = "", cut: str = ALL, air: str = "mass_flow: 0.06 kg/s"
) -> Stack:
    """The stack; `more` is of the joint, `own` of the head on it, `cut` of the plate."""
    text = PROJECT.replace("OPENINGS", openings).replace("OWN", own and f", {own}").replace("MORE", more)
    return stack_of(folder, text.replace("CUT", cut).replace("AIR", air))
