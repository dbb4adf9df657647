"""Tapered shims as the stack counts them, by hand."""

from __future__ import annotations

from platemaker.checks._stack._squared import _cut_to
from tests.sample_parts import counterbored, drilled


def test_a_hole_from_a_lower_face_starts_and_ends_lower() -> None:
    """A face of 6 mm that is cut to 4.5 mm: a through hole is 4.5 mm long from there."""
    hole = _cut_to(drilled("a", (10.0, -3.0), 9.0, 6.0), 1.5)
    assert hole.at == (10.0, -3.0, 4.5)
    assert [(step.start, step.end) for step in hole.steps] == [(0.0, 4.5)]
    assert hole.point(hole.depth) == (10.0, -3.0, 0.0)


def test_a_face_that_is_higher_makes_its_holes_longer() -> None:
    hole = drilled("a", (0.0, 0.0), 9.0, 6.0)
    assert [(step.start, step.end) for step in _cut_to(hole, -2.0).steps] == [(0.0, 8.0)]
    sunk = _cut_to(counterbored("c", (0.0, 0.0), 14.0, 3.0, 9.0, 6.0), 1.0)
    assert sunk.at[2] == 5.0
