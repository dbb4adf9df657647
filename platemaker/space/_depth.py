"""How deep two convex bodies overlap: the least translation that separates them.

It is the least distance from the origin to the boundary of A - B. A polytope is grown inside A - B from exact support
points; its nearest face bounds the depth from below, and the supporting plane square to any direction bounds it from
above (G. van den Bergh, Collision Detection in Interactive 3D Environments, ch. 4, from memory). The best direction is
then made exact by _polish.py; the difference of the two bounds is given as the error.
"""

from __future__ import annotations

import heapq
import math
from itertools import product

from platemaker.space._bodies import ConvexBody
from platemaker.space._distance import Vertex, support_of_difference
from platemaker.space._polish import Contact, gap_along, polished
from platemaker.space._vectors import Vec3, cross, dot, length, midpoint, negative, scale, sub

STEPS = 400
PROOF = 1e-8
"""The bounds are closed to this share of the bodies' size, or as near as STEPS points bring them."""
PAIRS = 400
ROUNDING = 1e-13
"""A point is outside a face when it is farther than this share of the coordinates: a few units in the last place."""
SPREADS = (1e-6, 1e-3, 0.03, 0.2)


def deepest(a: ConvexBody, b: ConvexBody) -> tuple[Contact, float]:
    """The contact of the least separating translation, and the bound of its error, mm.

    For bodies that just touch, or nearly, rounding may leave the distance a little above 0.
    """
    search = _DepthSearch(a, b)
    search.try_named_directions()
    hull = _Hull.start(a, b)
    if hull is None:
        return search.contact(), 0.0
    tolerance = PROOF * (1.0 + a.size + b.size)
    lower = -math.inf
    for step in range(STEPS):
        lower, normal, face = hull.nearest_face()
        if search.least - lower <= tolerance:
            break
        vertex = support_of_difference(a, b, normal)
        reach = dot(vertex.w, normal)
        if reach < search.least:
            search.least, search.direction = reach, normal
        if step % 8 == 7:
            search.sharpen()
        if reach - lower <= tolerance or not hull.grow(vertex, face):
            break
    search.sharpen()
    return search.contact(), max(0.0, search.least - lower)


class _DepthSearch:
    """The best direction so far: `least` is how far A must move against it."""

    def __init__(self, a: ConvexBody, b: ConvexBody) -> None:
        self.a, self.b = a, b
        self.least, self.direction = math.inf, (1.0, 0.0, 0.0)
        self.exact: Contact | None = None

    def try_named_directions(self) -> None:
        """Normals of faces, axes, and what is square to one of each body: where flats of A - B can lie."""
        own, other = self.a.directions(), self.b.directions()
        crossed = [cross(u, v) for u, v in product(own, other)][:PAIRS]
        for d in [*own, *other, *crossed]:
            size = length(d)
            if size < 1e-9:
                continue
            for sign in (1.0, -1.0):
                self._offer(scale(d, sign / size))

    def _offer(self, d: Vec3) -> None:
        reach = -gap_along(self.a, self.b, d)
        if reach < self.least:
            self.least, self.direction = reach, d

    def sharpen(self) -> None:
        """Make the best direction exact where the features that it touches allow."""
        d = self.direction
        near_a, near_b = self.a.support(d), self.b.support(negative(d))
        for spread in SPREADS:
            contact = polished(self.a, self.b, d, near_a, near_b, spread)
            if contact is not None and -contact.distance <= self.least + 1e-12:
                self.least, self.direction, self.exact = -contact.distance, contact.direction, contact
                return

    def contact(self) -> Contact:
        """The contact of the best direction."""
        self.sharpen()
        if self.exact is not None and abs(self.exact.distance + self.least) <= 1e-12 * (1.0 + self.a.size):
            return self.exact
        d = self.direction
        return Contact(-self.least, self.a.support(d), self.b.support(negative(d)), d)


class _Hull:
    """A growing polytope inside A - B, its faces in a heap by distance from the origin."""

    def __init__(self, corners: list[Vec3], rounding: float) -> None:
        self.corners, self.rounding = corners, rounding
        self.faces: dict[int, tuple[tuple[int, int, int], Vec3, float]] = {}
        self.heap: list[tuple[float, int]] = []
        self.count, self.is_closed = 0, True
        inside = midpoint(midpoint(corners[0], corners[1]), midpoint(corners[2], corners[3]))
        for i, j, k in ((0, 1, 2), (0, 1, 3), (0, 2, 3), (1, 2, 3)):
            normal = cross(sub(corners[j], corners[i]), sub(corners[k], corners[i]))
            outward = dot(normal, sub(corners[i], inside)) > 0.0
            self._add((i, j, k) if outward else (i, k, j))

    @classmethod
    def start(cls, a: ConvexBody, b: ConvexBody) -> _Hull | None:
        """A tetrahedron of support points, or None where A - B has no volume."""
        tiny = 1e-9 * (1.0 + a.size + b.size)

        def widest(d: Vec3, base: Vec3) -> Vec3:
            pair = [support_of_difference(a, b, direction).w for direction in (d, negative(d))]
            return max(pair, key=lambda w: abs(dot(sub(w, base), d)))

        p = support_of_difference(a, b, (1.0, 0.0, 0.0)).w
        q = max(
            (widest(d, p) for d in ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))), key=lambda w: math.dist(w, p)
        )
        if math.dist(p, q) < tiny:
            return None
        edge = scale(sub(q, p), 1.0 / math.dist(p, q))
        sides = [cross(edge, axis) for axis in ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))]
        side = max(sides, key=length)
        side = scale(side, 1.0 / length(side))
        r = max(
            (widest(d, p) for d in (side, cross(edge, side))),
            key=lambda w: length(cross(edge, sub(w, p))),
        )
        normal = cross(edge, sub(r, p))
        if length(normal) < tiny:
            return None
        normal = scale(normal, 1.0 / length(normal))
        s = widest(normal, p)
        if abs(dot(sub(s, p), normal)) < tiny:
            return None
        return cls([p, q, r, s], ROUNDING * (1.0 + a.size + b.size + length(a.centre) + length(b.centre)))

    def _add(self, face: tuple[int, int, int]) -> None:
        p, q, r = (self.corners[index] for index in face)
        normal = cross(sub(q, p), sub(r, p))
        size = length(normal)
        if size == 0.0:
            self.is_closed = False
            return
        normal = scale(normal, 1.0 / size)
        distance = dot(normal, p)
        self.faces[self.count] = (face, normal, distance)
        heapq.heappush(self.heap, (distance, self.count))
        self.count += 1

    def nearest_face(self) -> tuple[float, Vec3, int]:
        """Distance, outward normal and key of the face nearest to the origin."""
        while self.heap[0][1] not in self.faces:
            heapq.heappop(self.heap)
        distance, key = self.heap[0]
        return distance, self.faces[key][1], key

    def grow(self, vertex: Vertex, seen_by: int) -> bool:
        """Add a point outside the face `seen_by`; False where rounding leaves nothing to add."""
        w = vertex.w
        seen = [key for key, (_, normal, distance) in self.faces.items() if dot(normal, w) > distance + self.rounding]
        if seen_by not in seen:
            return False
        edges = {edge for key in seen for edge in _edges(self.faces[key][0])}
        rim = {i: j for i, j in edges if (j, i) not in edges}
        if not _is_one_ring(rim, sum((j, i) not in edges for i, j in edges)):
            return False
        for key in seen:
            del self.faces[key]
        self.corners.append(w)
        for i, j in rim.items():
            self._add((i, j, len(self.corners) - 1))
        return self.is_closed


def _edges(face: tuple[int, int, int]) -> tuple[tuple[int, int], ...]:
    i, j, k = face
    return (i, j), (j, k), (k, i)


def _is_one_ring(following: dict[int, int], edges: int) -> bool:
    """Whether the rim of the seen faces is one closed ring; rounding may tear it where faces are nearly level."""
    if len(following) != edges:
        return False
    start = next(iter(following))
    steps, at = 1, following[start]
    while at != start and at in following and steps <= edges:
        steps, at = steps + 1, following[at]
    return at == start and steps == edges
