"""From a good direction to the exact one: a small Newton solve on the features that the direction touches.

The signed distance of two convex bodies A and B is the greatest value over unit vectors d (from A to B) of
    g(d) = min over B of x · d  -  max over A of x · d,
the gap that a plane square to d leaves between them (S. Boyd, L. Vandenberghe, Convex Optimization, section 8.2,
from memory). On one feature of each body g is
    d · (qB - qA) - |(a1 · d, a2 · d)|A - |(a1 · d, a2 · d)|B,
and up to two bonds d · n = s hold d to a circle or to a point of the unit sphere. So d follows in closed form from two
bonds, by Newton's method in one angle from one bond, in two from none.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import product
from typing import NamedTuple

from platemaker.space._bodies import Bond, ConvexBody, End, Support
from platemaker.space._vectors import Vec3, along, cross, dot, length, negative, perpendiculars, scale, sub

ROUNDS = 30
EXACT = 1e-11
"""Points and planes must agree to this share of the bodies' size: rounding of double precision, some 1e-15 times the
coordinates, with room for the two square roots between them."""


class Contact(NamedTuple):
    """A signed distance with its points and its direction from A to B."""

    distance: float
    point_a: Vec3
    point_b: Vec3
    direction: Vec3


def gap_along(a: ConvexBody, b: ConvexBody, d: Vec3) -> float:
    """g(d): the signed gap between the supporting planes of A and B square to the unit vector d."""
    return dot(sub(b.support(negative(d)), a.support(d)), d)


def polished(a: ConvexBody, b: ConvexBody, d: Vec3, near_a: Vec3, near_b: Vec3, angle: float) -> Contact | None:
    """The exact contact whose direction lies within `angle`, radians, of d, or None when no features meet there.

    A contact is returned only when its points lie on both bodies' supporting planes square to its direction and
    opposite to each other, so for bodies apart it is proved to be the least distance.
    """
    limit = EXACT * (1.0 + a.size + b.size + math.dist(a.centre, b.centre))
    pairs = list(product(a.features(d, angle), b.features(negative(d), angle)))
    pairs.sort(key=lambda pair: -len(pair[0].bonds) - len(pair[1].bonds) - (pair[0].face is not None))
    for one, other in pairs:
        bonds = [*one.bonds, *((n, -s) for n, s in other.bonds)]
        for exact in _directions(one.ends[0], other.ends[0], bonds, d):
            if dot(exact, d) < math.cos(min(2.0 * angle, 1.5)):
                continue
            gap = gap_along(a, b, exact)
            point_a, point_b = _meeting_points(one, other, exact, near_a, near_b)
            miss = sub(sub(point_b, point_a), scale(exact, gap))
            if length(miss) <= limit:
                return Contact(gap, point_a, point_b, exact)
    return None


def _directions(a: End, b: End, bonds: list[Bond], start: Vec3) -> Iterator[Vec3]:
    for n, s in bonds:
        if abs(s) == 1.0:
            yield scale(n, s)
            return
    if len(bonds) == 2:
        (n, s), (m, t) = bonds
        across = cross(n, m)
        if dot(across, across) > 1e-20:
            yield from _two_bonds(n, s, m, t, across, start)
            return
        bonds = bonds[:1]
    found = _one_bond(a, b, bonds[0], start) if bonds else _no_bond(a, b, start)
    if found is not None:
        yield found


def _two_bonds(n: Vec3, s: float, m: Vec3, t: float, across: Vec3, start: Vec3) -> Iterator[Vec3]:
    """Unit vectors with d · n = s and d · m = t, the one nearer to `start` first."""
    size = dot(across, across)
    lean = dot(n, m)
    flat = along(scale(n, (s - t * lean) / size), (t - s * lean) / size, m)
    rest = 1.0 - dot(flat, flat)
    if rest < 0.0:
        return
    side = math.copysign(math.sqrt(rest / size), dot(across, start))
    yield along(flat, side, across)


class _Gap:
    """g on one feature of each body, with its first and second derivatives."""

    def __init__(self, a: End, b: End) -> None:
        self.offset = sub(b.centre, a.centre)
        self.rounds = [(e.first, e.second) for e in (a, b) if e.first is not None and e.second is not None]

    def at(self, d: Vec3) -> tuple[Vec3, list[Vec3]]:
        """The gradient of g, and vectors t such that the second derivative along v is minus the sum of (t · v)²."""
        gradient, bends = self.offset, []
        for first, second in self.rounds:
            a, b = dot(first, d), dot(second, d)
            size = math.hypot(a, b)
            if size == 0.0:
                continue
            gradient = along(along(gradient, -a / size, first), -b / size, second)
            bend = sub(scale(second, a), scale(first, b))
            bends.append(scale(bend, size**-1.5))
        return gradient, bends


def _one_bond(a: End, b: End, bond: Bond, start: Vec3) -> Vec3 | None:
    """Newton's method in the angle about the bond's normal."""
    n, s = bond
    radius = math.sqrt(max(0.0, 1.0 - s * s))
    e1 = along(start, -dot(start, n), n)
    size = length(e1)
    if size < 1e-12:
        return None
    e1 = scale(e1, radius / size)
    e2 = cross(n, e1)
    gap, angle = _Gap(a, b), 0.0
    for _ in range(ROUNDS):
        cosine, sine = math.cos(angle), math.sin(angle)
        inward = along(scale(e1, cosine), sine, e2)
        along_circle = along(scale(e2, cosine), -sine, e1)
        gradient, bends = gap.at(along(inward, s, n))
        slope = dot(gradient, along_circle)
        curve = -dot(gradient, inward) - sum(dot(t, along_circle) ** 2 for t in bends)
        if curve == 0.0:
            break
        step = -slope / curve
        angle += max(-0.3, min(0.3, step))
        if abs(step) < 1e-16:
            break
    inward = along(scale(e1, math.cos(angle)), math.sin(angle), e2)
    return along(inward, s, n)


def _no_bond(a: End, b: End, start: Vec3) -> Vec3 | None:
    """Newton's method in two tangent directions of the unit sphere."""
    gap, d = _Gap(a, b), start
    for _ in range(ROUNDS):
        u, v = perpendiculars(d)
        gradient, bends = gap.at(d)
        pull = dot(gradient, d)
        gu, gv = dot(gradient, u), dot(gradient, v)
        huu = -pull - sum(dot(t, u) ** 2 for t in bends)
        hvv = -pull - sum(dot(t, v) ** 2 for t in bends)
        huv = -sum(dot(t, u) * dot(t, v) for t in bends)
        determinant = huu * hvv - huv * huv
        if determinant == 0.0:
            return None
        x, y = (huv * gv - hvv * gu) / determinant, (huv * gu - huu * gv) / determinant
        step = math.hypot(x, y)
        if not math.isfinite(step):
            return None
        if step > 0.3:
            x, y = x * 0.3 / step, y * 0.3 / step
        d = along(along(d, x, u), y, v)
        d = scale(d, 1.0 / length(d))
        if step < 1e-16:
            break
    return d


def _meeting_points(one: Support, other: Support, d: Vec3, near_a: Vec3, near_b: Vec3) -> tuple[Vec3, Vec3]:
    """Points of the two features that lie opposite each other along d, as nearly as there are any."""
    back = negative(d)
    if one.face is None and other.face is None:
        first = [end.point(d) for end in one.ends]
        last = [end.point(back) for end in other.ends]
        return _nearest_of_segments(first, last, d)
    point_a, point_b = near_a, near_b
    for _ in range(40):
        before = point_a
        point_a = _onto(one, d, point_b)
        point_b = _onto(other, back, point_a)
        if math.dist(before, point_a) < 1e-14:
            break
    return point_a, point_b


def _onto(feature: Support, d: Vec3, point: Vec3) -> Vec3:
    if feature.face is not None:
        return feature.face.project(point)
    ends = [end.point(d) for end in feature.ends]
    if len(ends) == 1:
        return ends[0]
    return along(ends[0], _share(ends[0], ends[1], point), sub(ends[1], ends[0]))


def _share(start: Vec3, end: Vec3, point: Vec3) -> float:
    direction = sub(end, start)
    size = dot(direction, direction)
    return min(1.0, max(0.0, dot(sub(point, start), direction) / size)) if size > 0.0 else 0.0


def _nearest_of_segments(first: list[Vec3], last: list[Vec3], d: Vec3) -> tuple[Vec3, Vec3]:
    """Nearest points, seen along d, of two segments or points; the middle of what they share when parallel."""
    if len(first) == 1:
        if len(last) == 1:
            return first[0], last[0]
        return first[0], along(last[0], _share(last[0], last[1], first[0]), sub(last[1], last[0]))
    if len(last) == 1:
        return along(first[0], _share(first[0], first[1], last[0]), sub(first[1], first[0])), last[0]
    u, v = sub(first[1], first[0]), sub(last[1], last[0])
    w = sub(last[0], first[0])
    w = along(w, -dot(w, d), d)
    uu, vv, uv = dot(u, u), dot(v, v), dot(u, v)
    across = uu * vv - uv * uv
    if across > 1e-18 * uu * vv:
        s = (dot(w, u) * vv - dot(w, v) * uv) / across
        s = min(1.0, max(0.0, s))
        point = along(first[0], s, u)
    else:
        shares = sorted((_share(first[0], first[1], last[0]), _share(first[0], first[1], last[1])))
        point = along(first[0], (shares[0] + shares[1]) / 2, u)
    opposite = along(last[0], _share(last[0], last[1], point), v)
    return along(first[0], _share(first[0], first[1], opposite), u), opposite
