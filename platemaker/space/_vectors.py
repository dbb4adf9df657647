"""Small vector arithmetic on plain tuples: faster than arrays for three numbers. Millimetres."""

from __future__ import annotations

import math
from typing import TypeAlias

from platemaker.errors import GeometryError

Vec3: TypeAlias = tuple[float, float, float]
Box3: TypeAlias = tuple[float, float, float, float, float, float]

CLOSE = 1e-9
"""Two points nearer than this, mm, are one point."""


def dot(a: Vec3, b: Vec3) -> float:
    """Scalar product a · b."""
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def cross(a: Vec3, b: Vec3) -> Vec3:
    """Vector product a × b."""
    return a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]


def add(a: Vec3, b: Vec3) -> Vec3:
    """Sum a + b."""
    return a[0] + b[0], a[1] + b[1], a[2] + b[2]


def sub(a: Vec3, b: Vec3) -> Vec3:
    """Difference a - b."""
    return a[0] - b[0], a[1] - b[1], a[2] - b[2]


def shifted(box: Box3, by: Vec3) -> Box3:
    """A box moved by a vector."""
    return *add(box[:3], by), *add(box[3:], by)


def scale(a: Vec3, factor: float) -> Vec3:
    """Product of a vector and a number."""
    return a[0] * factor, a[1] * factor, a[2] * factor


def along(a: Vec3, factor: float, direction: Vec3) -> Vec3:
    """Point a + factor · direction."""
    return a[0] + factor * direction[0], a[1] + factor * direction[1], a[2] + factor * direction[2]


def negative(a: Vec3) -> Vec3:
    """-a."""
    return -a[0], -a[1], -a[2]


def length(a: Vec3) -> float:
    """|a|."""
    return math.sqrt(a[0] * a[0] + a[1] * a[1] + a[2] * a[2])


def midpoint(a: Vec3, b: Vec3) -> Vec3:
    """Half way between two points."""
    return (a[0] + b[0]) / 2, (a[1] + b[1]) / 2, (a[2] + b[2]) / 2


def unit(a: Vec3, what: str = "a direction") -> Vec3:
    """Direction a / |a|. Raises GeometryError, naming `what`, when it has no length or is not finite."""
    size = length(a)
    if not CLOSE < size < math.inf:
        message = f"{what} must have a finite length above {CLOSE:g} mm, met ({a[0]:g}, {a[1]:g}, {a[2]:g})"
        raise GeometryError(message)
    return a[0] / size, a[1] / size, a[2] / size


def perpendiculars(axis: Vec3) -> tuple[Vec3, Vec3]:
    """Two unit vectors square to the unit vector `axis` and to each other; (first, second, axis) is right-handed."""
    x, y, z = abs(axis[0]), abs(axis[1]), abs(axis[2])
    helper = (1.0, 0.0, 0.0) if x <= y and x <= z else (0.0, 1.0, 0.0) if y <= z else (0.0, 0.0, 1.0)
    first = unit(cross(helper, axis))
    return first, cross(axis, first)


def vector(value: object, what: str) -> Vec3:
    """Three finite numbers as a Vec3. Raises GeometryError naming `what` otherwise."""
    try:
        x, y, z = (float(number) for number in value)  # type: ignore[attr-defined]
    except (TypeError, ValueError) as cause:
        message = f"{what} must be three numbers, mm, met {value!r}"
        raise GeometryError(message) from cause
    if not (math.isfinite(x) and math.isfinite(y) and math.isfinite(z)):
        message = f"{what} must be three finite numbers, mm, met ({x:g}, {y:g}, {z:g})"
        raise GeometryError(message)
    return x, y, z


def aside(a: Vec3, b: Vec3, axis: Vec3) -> float:
    """How far b lies off the line through a along a unit direction."""
    return math.dist(a, beside(a, b, axis))


def beside(a: Vec3, b: Vec3, axis: Vec3) -> Vec3:
    """Where b is, moved along a unit direction until level with a."""
    return sub(b, scale(axis, dot(sub(b, a), axis)))


def cosine_along(start: Vec3, end: Vec3, axis: Vec3) -> float:
    """Cosine of the angle between the way from start to end and a unit direction; 0 without a way."""
    size = math.dist(start, end)
    return dot(sub(end, start), axis) / size if size > 0.0 else 0.0
