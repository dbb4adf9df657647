"""Best placement of a part as it was read on what it is bolted to: shift, turn and what is left at every hole."""

import math

import numpy as np
import pytest
import scipy.spatial.transform

from platemaker.checks import Verdict, check_stack
from platemaker.parts import Stack
from platemaker.records import replace
from tests.design_stacks import inputs, only, stack_of
from tests.plates import note_of

PROJECT = """
project: trial
bodies: {log: {joints: {top: {holes: tapped, position: 0.2}}}}
joints:
  top: {bolts: {pattern: {points: {a: [-50, -30], b: [50, -30], c: [50, 30], d: [-50, 30]}}, thread: M8}}
parts:
  lid:
    kind: plate
    material: 6061-T6
    thickness: 10
    outline: {rectangle: [140, 100]}
    below: {top: {holes: clear}}
"""


def read(stack: Stack, moves: dict[str, tuple[float, float]]) -> Stack:
    """The stack with the lid's holes read where they were drawn, but for these moves."""
    part = stack.parts[0]
    cuts = tuple(
        replace(cut, at=(cut.at[0] + moves[spot][0], cut.at[1] + moves[spot][1], cut.at[2]))
        if (spot := getattr(cut, "spot", None)) in moves
        else cut
        for cut in part.cuts
    )
    joint = stack.joints[0]
    upper = replace(joint.upper, read=frozenset(joint.spots))
    return replace(
        stack,
        parts=(replace(part, cuts=cuts),),
        joints=(replace(joint, upper=upper),),
    )


def test_nothing_is_said_of_holes_that_were_not_read(tmp_path):
    assert "PM805" not in [finding.check for finding in check_stack(stack_of(tmp_path, PROJECT))]


def test_a_plate_that_is_shifted_alone_is_shifted_back(tmp_path):
    moves = dict.fromkeys("abcd", (0.6, -0.4))
    found = only(read(stack_of(tmp_path, PROJECT), moves), "PM805")
    assert found.verdict is Verdict.PASS
    assert found.measured == pytest.approx(0.0, abs=1e-6)
    stated = inputs(found)
    assert (stated["shift X"], stated["shift Y"], stated["turn"]) == pytest.approx((-0.6, 0.4, 0.0), abs=1e-6)
    assert note_of(found).startswith(
        "lid placed on log, in the joint's frame: least squares: shift -0.600, +0.400 mm, turn "
    )


def test_one_hole_out_of_place_is_told_with_what_is_left_at_all(tmp_path):
    moves = {"c": (1.3, 0.9)}
    found = only(read(stack_of(tmp_path, PROJECT), moves), "PM805")
    stated = inputs(found)
    # Oracle: the library's solution of Wahba's problem, turns about Z alone left by planar vectors.
    goal = np.array([(-50, -30, 0), (50, -30, 0), (50, 30, 0), (-50, 30, 0)], dtype=float)
    cut = goal + np.array([(0, 0, 0), (0, 0, 0), (1.3, 0.9, 0), (0, 0, 0)])
    _, rssd = scipy.spatial.transform.Rotation.align_vectors(goal - goal.mean(axis=0), cut - cut.mean(axis=0))
    assert stated["least squares: root mean square"] == pytest.approx(rssd / math.sqrt(4), abs=1e-6)
    # The least largest misfit lies below what least squares leaves at its worst hole, and above its mean.
    assert stated["least squares: root mean square"] < found.measured < math.hypot(1.3, 0.9) * 3 / 4
    # M8 in a 9 mm hole, tapped below: 0.5 mm each way.
    assert found.required == pytest.approx(0.5)
    assert found.verdict is Verdict.FAIL
    assert [words.split()[0] for words in note_of(found).split("left at ")[1].split(", ")] == ["a", "b", "c", "d"]
