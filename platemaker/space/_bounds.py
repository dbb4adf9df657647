"""Exact bounding boxes, from support points."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from platemaker.remembered import remembered
from platemaker.space._figures import Cone, HalfSpace, Prism
from platemaker.space._flare import AnyFigure, Flare
from platemaker.space._frame import Frame
from platemaker.space._hollow import lowest_point
from platemaker.space._vectors import Box3, Vec3, dot, negative


def reach(figure: AnyFigure, d: Vec3) -> float:
    """The largest x · d of the figure's points x; infinite for a half-space unless d is its normal."""
    if isinstance(figure, HalfSpace):
        return dot(figure.point, d) if math.dist(d, figure.normal) < 1e-12 else math.inf
    if isinstance(figure, Cone) and figure.is_empty:
        return -math.inf
    if isinstance(figure, Flare):
        return max(reach(end, d) for end in figure.ends)
    if isinstance(figure, Prism) and not figure.is_convex:
        return dot(lowest_point(figure, negative(d)), d)
    return dot(figure.body.support(d), d)


@remembered(8192)
def bounding_box(figure: AnyFigure) -> Box3:
    """(x_min, y_min, z_min, x_max, y_max, z_max), mm, exact for round figures on any axis.

    A half-space is unbounded but along its normal; an empty figure gives +inf to -inf.

    >>> from platemaker.space import Cylinder
    >>> bounding_box(Cylinder((0, 0, 0), (0, 0, 10), 3.0))
    (-3.0, -3.0, 0.0, 3.0, 3.0, 10.0)
    """
    x, y, z = (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)
    back = [-reach(figure, negative(d)) for d in (x, y, z)]
    front = [reach(figure, d) for d in (x, y, z)]
    return back[0], back[1], back[2], front[0], front[1], front[2]


def local_bounds(figure: AnyFigure, frame: Frame) -> NDArray[np.float64]:
    """The bounding box along a frame's axes, in its coordinates, as six numbers."""
    axes = (frame.x_axis, frame.y_axis, frame.z_axis)
    back = [-reach(figure, negative(d)) - dot(frame.origin, d) for d in axes]
    front = [reach(figure, d) - dot(frame.origin, d) for d in axes]
    return np.array(back + front)


def box_gap(a: Box3, b: Box3) -> float:
    """Distance between two boxes, mm; 0 where they meet."""
    x = max(0.0, a[0] - b[3], b[0] - a[3])
    y = max(0.0, a[1] - b[4], b[1] - a[4])
    z = max(0.0, a[2] - b[5], b[2] - a[5])
    return math.sqrt(x * x + y * y + z * z)
