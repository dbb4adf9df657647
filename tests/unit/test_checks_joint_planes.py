"""What lies across a joint and is its own, and what only lies near it; and how gaskets move a stack's height."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from platemaker.checks._stack._height import gasket_range
from platemaker.checks._stack._joint_planes import JointPlane
from platemaker.parts import Vec3
from tests.design_stacks import stack_of

PLANE = JointPlane(("log", "lid"), (0.0, 0.0, 10.0), (0.0, 0.0, 1.0), 2.0, frozenset(("log",)))
"""The log's face at Z = 10, the lid's 2 over it, at 12; only the log's surface must lie on its face."""


@pytest.mark.parametrize(
    ("first", "second", "own"),
    [
        ((3, 4, 10), (3, 4, 12), True),
        ((3, 4, 10), (3, 4.04, 12), True),  # 0.04 aside
        ((3, 4, 10), (3, 4.06, 12), False),
        ((3, 4, 10), (3.06, 4, 12), False),
        ((3, 4, 9.96), (3, 4, 12), True),
        ((3, 4, 9.94), (3, 4, 12), False),  # the body is not cut back there
        ((3, 4, 10.04), (3, 4, 12), True),
        ((3, 4, 10.06), (3, 4, 12), False),  # it stands out of its face
        ((3, 4, 10), (3, 4, 30), True),  # a pocket in the lid, 18 deep
        ((3, 4, 10), (3, 4, 11.96), True),
        ((3, 4, 10), (3, 4, 11.94), False),  # the lid comes down beyond its face
    ],
)
def test_what_lies_across_the_joint_is_its_own(first: Vec3, second: Vec3, own: bool) -> None:
    assert PLANE.is_own(first, second, ("log", "lid")) is own
    assert PLANE.is_own(second, first, ("lid", "log")) is own


@pytest.mark.parametrize(("gap", "own"), [(2.06, True), (1.94, False)])
def test_the_plane_may_lean(gap: float, own: bool) -> None:
    """The same joint leant by 30 degrees; only the log must lie on its face, so a lid farther off is cut back."""
    out = (0.0, math.sin(math.radians(30)), math.cos(math.radians(30)))
    plane = JointPlane(("log", "lid"), (0.0, 0.0, 10.0), out, 2.0, frozenset(("log",)))
    here = (7.0, 0.0, 10.0)
    there = (7.0, out[1] * gap, 10.0 + out[2] * gap)
    assert plane.is_own(here, there, ("log", "lid")) is own


TOWER = """
project: tower
bodies: {log: {envelope: {box: [200, 120, 40]}, joints: {one: {face: above, holes: tapped, thread_depth: 25}}}}
joints:
  one:
    bolts: {pattern: {rectangle: [120, 70]}, thread: M8}
    gasket: {land: 5, thickness: 1.5, fitted: [1.25, 2.0]}
  two:
    bolts: {pattern: {rectangle: [100, 50]}, thread: M6}
    gasket: {land: 5, thickness: 1.0, fitted: [0.5, 1.125]}
parts:
  low:
    kind: plate
    material: 6061-T6
    thickness: 20
    outline: {rectangle: [150, 100]}
    below: {one: {holes: clear}}
    above: {two: {holes: tapped}}
  high:
    kind: plate
    material: 6061-T6
    thickness: 10
    outline: {rectangle: [150, 100]}
    below: {two: {holes: clear}}
"""


def test_gaskets_add_up_from_the_first_body(tmp_path: Path) -> None:
    """1.25 to 2.0 where 1.5 is drawn: -0.25 to +0.5. 0.5 to 1.125 where 1.0 is: -0.5 to +0.125, on top of those."""
    stack = stack_of(tmp_path, TOWER)
    assert gasket_range(stack, "log") == (0.0, 0.0)
    assert gasket_range(stack, "low") == (-0.25, 0.5)
    assert gasket_range(stack, "high") == (-0.75, 0.625)
    assert gasket_range(stack, "stranger") == (0.0, 0.0)
