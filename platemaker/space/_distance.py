"""Least distance of two convex bodies that lie apart.

The search walks the difference of the bodies towards the origin, keeping the point, segment, triangle or tetrahedron of
support points that is nearest (E. G. Gilbert, D. W. Johnson, S. S. Keerthi, IEEE Journal of Robotics and Automation
4 (1988) 193-203, from memory); every step also gives a plane between the bodies, hence a lower bound. As soon as the
direction is good enough to show which features meet, _polish.py solves for the exact contact, and the lower bound
proves it.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from platemaker.space._bodies import ConvexBody
from platemaker.space._polish import Contact, gap_along, polished
from platemaker.space._vectors import Vec3, along, cross, dot, length, negative, scale, sub

STEPS = 200
TOUCHING = 1e-11


class Vertex(NamedTuple):
    """A support point of A - B with the points that made it."""

    w: Vec3
    a: Vec3
    b: Vec3


class SearchEnd(NamedTuple):
    """What the search ended with: a contact, or None when the bodies share points; `simplex` is where it stood."""

    contact: Contact | None
    simplex: list[Vertex]
    error: float


def support_of_difference(a: ConvexBody, b: ConvexBody, d: Vec3) -> Vertex:
    """The point of A - B that reaches farthest along d."""
    one, other = a.support(d), b.support(negative(d))
    return Vertex(sub(one, other), one, other)


def nearest(a: ConvexBody, b: ConvexBody) -> SearchEnd:
    """The exact contact of two bodies apart, or none when they touch or overlap.

    `error` bounds the distance's error: zero where the polished contact is proved (to rounding), else what is left
    between the upper and the lower bound.
    """
    toward = sub(a.centre, b.centre)
    if length(toward) < TOUCHING:
        toward = (1.0, 0.0, 0.0)
    scale_of_pair = 1.0 + a.size + b.size + length(toward)
    simplex = [support_of_difference(a, b, negative(toward))]
    shares = [1.0]
    v, size = simplex[0].w, length(simplex[0].w)
    lower, best_gap = -math.inf, math.inf
    for _ in range(STEPS):
        if size <= TOUCHING * scale_of_pair:
            return SearchEnd(None, simplex, 0.0)
        vertex = support_of_difference(a, b, negative(v))
        lower = max(lower, dot(v, vertex.w) / size)
        gap = size - lower
        if lower > 0.0 and gap < 0.1 * best_gap:
            best_gap = gap
            contact = _try_polish(a, b, v, size, simplex, shares, gap)
            if contact is not None:
                return SearchEnd(contact, simplex, 0.0)
        if gap <= TOUCHING * scale_of_pair or any(vertex.w == kept.w for kept in simplex):
            break
        simplex, shares = _closest([*simplex, vertex])
        if len(simplex) == 4:
            return SearchEnd(None, simplex, 0.0)
        v = _combined([s.w for s in simplex], shares)
        before, size = size, length(v)
        if size >= before * (1.0 - 1e-15):
            break
    return _rough(a, b, v, size, simplex, shares, lower)


def _rough(
    a: ConvexBody, b: ConvexBody, v: Vec3, size: float, simplex: list[Vertex], shares: list[float], lower: float
) -> SearchEnd:
    """The last word where no feature could be polished: the search's own points, with what is left unproved."""
    for angle in (1e-5, 1e-3, 1e-1):
        contact = _try_polish(a, b, v, size, simplex, shares, 0.0, angle)
        if contact is not None and contact.distance > 0.0:
            return SearchEnd(contact, simplex, 0.0)
    direction = scale(v, -1.0 / size)
    points = _combined([s.a for s in simplex], shares), _combined([s.b for s in simplex], shares)
    lower = max(lower, gap_along(a, b, direction))
    return SearchEnd(Contact(size, *points, direction), simplex, max(0.0, size - lower))


def _try_polish(
    a: ConvexBody,
    b: ConvexBody,
    v: Vec3,
    size: float,
    simplex: list[Vertex],
    shares: list[float],
    gap: float,
    angle: float | None = None,
) -> Contact | None:
    # A plane that leaves `lower` between bodies `size` apart stands within acos(lower / size) of the right one.
    spread = angle if angle is not None else math.acos(max(-1.0, min(1.0, 1.0 - gap / size))) * 1.01 + 1e-9
    if spread > 0.7:
        return None
    near_a, near_b = _combined([s.a for s in simplex], shares), _combined([s.b for s in simplex], shares)
    return polished(a, b, scale(v, -1.0 / size), near_a, near_b, spread)


def _combined(points: list[Vec3], shares: list[float]) -> Vec3:
    x = y = z = 0.0
    for point, share in zip(points, shares, strict=True):
        x += share * point[0]
        y += share * point[1]
        z += share * point[2]
    return x, y, z


def _closest(simplex: list[Vertex]) -> tuple[list[Vertex], list[float]]:
    """The part of the simplex nearest to the origin, and the shares of its corners in the nearest point."""
    if len(simplex) == 1:
        return simplex, [1.0]
    if len(simplex) == 2:
        return _on_segment(simplex[0], simplex[1])
    if len(simplex) == 3:
        return _on_triangle(simplex[0], simplex[1], simplex[2])
    return _in_tetrahedron(simplex)


def _on_segment(p: Vertex, q: Vertex) -> tuple[list[Vertex], list[float]]:
    edge = sub(q.w, p.w)
    size = dot(edge, edge)
    share = -dot(p.w, edge) / size if size > 0.0 else 0.0
    if share <= 0.0:
        return [p], [1.0]
    if share >= 1.0:
        return [q], [1.0]
    return [p, q], [1.0 - share, share]


def _on_triangle(p: Vertex, q: Vertex, r: Vertex) -> tuple[list[Vertex], list[float]]:
    pq, pr = sub(q.w, p.w), sub(r.w, p.w)
    normal = cross(pq, pr)
    size = dot(normal, normal)
    if size > 1e-28 * max(dot(pq, pq), dot(pr, pr)) ** 2:
        foot = scale(normal, dot(p.w, normal) / size)
        share_q = dot(cross(sub(foot, p.w), pr), normal) / size
        share_r = dot(cross(pq, sub(foot, p.w)), normal) / size
        if share_q >= 0.0 and share_r >= 0.0 and share_q + share_r <= 1.0:
            return [p, q, r], [1.0 - share_q - share_r, share_q, share_r]
    return _least([_on_segment(p, q), _on_segment(p, r), _on_segment(q, r)])


def _in_tetrahedron(simplex: list[Vertex]) -> tuple[list[Vertex], list[float]]:
    p, q, r, s = simplex
    inside = True
    for one, two, three, rest in ((p, q, r, s), (p, q, s, r), (p, r, s, q), (q, r, s, p)):
        normal = cross(sub(two.w, one.w), sub(three.w, one.w))
        if dot(normal, negative(one.w)) * dot(normal, sub(rest.w, one.w)) <= 0.0:
            inside = False
            break
    if inside:
        return simplex, [0.25] * 4
    return _least([_on_triangle(p, q, s), _on_triangle(p, r, s), _on_triangle(q, r, s), _on_triangle(p, q, r)])


def _least(parts: list[tuple[list[Vertex], list[float]]]) -> tuple[list[Vertex], list[float]]:
    def size(part: tuple[list[Vertex], list[float]]) -> float:
        return length(_combined([vertex.w for vertex in part[0]], part[1]))

    return min(parts, key=size)


def axis_contact(first: tuple[Vec3, Vec3, float], last: tuple[Vec3, Vec3, float]) -> Contact | None:
    """The contact of two round cylinders (start, end, radius) on their lateral surfaces, in closed form.

    The axes' common perpendicular, less the radii. None where it misses either cylinder's length, where the axes are
    nearly parallel, or where the cylinders overlap: then the general search decides.
    """
    (p, p1, ra), (q, q1, rb) = first, last
    u, v, w = sub(p1, p), sub(q1, q), sub(q, p)
    uu, vv, uv, uw, vw = dot(u, u), dot(v, v), dot(u, v), dot(u, w), dot(v, w)
    across = uu * vv - uv * uv
    if across < 1e-8 * uu * vv:
        return None
    s, t = (uw * vv - vw * uv) / across, (uw * uv - vw * uu) / across
    if not (0.0 <= s <= 1.0 and 0.0 <= t <= 1.0):
        return None
    normal = cross(u, v)
    size = length(normal)
    apart = dot(w, normal) / size
    distance = abs(apart) - ra - rb
    if distance <= 0.0:
        return None
    d = scale(normal, math.copysign(1.0, apart) / size)
    return Contact(distance, along(along(p, s, u), ra, d), along(along(q, t, v), -rb, d), d)
