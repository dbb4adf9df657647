"""Convex bodies as the solver sees them: exact support points, and the features that a direction can touch.

Every convex figure here is the hull of points and ellipses (circles among them), its *ends*. In a direction d an end
reaches q · d + |(a1 · d, a2 · d)|, where q is its centre and a1, a2 are conjugate half-diameters. Where two ends reach
equally far (a ruling of a cylinder, an edge of a prism) or a whole face does, d is bound: d · n = s. A feature is one
end and up to two such bonds; see _polish.py for what is done with it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple, Protocol

from platemaker.space._vectors import Vec3, along, cross, dot, sub

Bond = tuple[Vec3, float]


class End(NamedTuple):
    """A point (no half-diameters) or an ellipse: centre and two conjugate half-diameters, mm."""

    centre: Vec3
    first: Vec3 | None = None
    second: Vec3 | None = None

    def reach(self, d: Vec3) -> float:
        """How far the end reaches along d: the largest x · d of its points x."""
        value = dot(self.centre, d)
        if self.first is not None and self.second is not None:
            value += math.hypot(dot(self.first, d), dot(self.second, d))
        return value

    def point(self, d: Vec3) -> Vec3:
        """The point that reaches farthest along d; the centre when all do equally."""
        if self.first is None or self.second is None:
            return self.centre
        a, b = dot(self.first, d), dot(self.second, d)
        size = math.hypot(a, b)
        if size == 0.0:
            return self.centre
        return along(along(self.centre, a / size, self.first), b / size, self.second)


class ConvexFace(Protocol):
    """A flat convex face that a point can be dropped on."""

    def project(self, point: Vec3) -> Vec3:
        """The face's point nearest to `point`."""
        ...


class Support(NamedTuple):
    """What a direction touches: ends that reach equally far, the bonds that make them do so, a face if it is one."""

    ends: tuple[End, ...]
    bonds: tuple[Bond, ...] = ()
    face: ConvexFace | None = None


class ConvexBody(Protocol):
    """What the distance solver asks of a convex body."""

    centre: Vec3
    size: float

    def support(self, d: Vec3) -> Vec3:
        """A point of the body that reaches farthest along d (any length)."""
        ...

    def features(self, d: Vec3, angle: float) -> list[Support]:
        """Features that may be touched by some direction within `angle`, radians, of the unit vector d."""
        ...

    def directions(self) -> list[Vec3]:
        """Directions in which a shallow overlap may be least: normals of faces, directions of edges and axes."""
        ...


class EllipseFace:
    """The flat end of a cylinder or cone: an ellipse with its inside."""

    def __init__(self, end: End, normal: Vec3) -> None:
        self.end, self.normal = end, normal

    def project(self, point: Vec3) -> Vec3:
        """The face's point nearest to `point`; for an ellipse, the point in the direction of it from the centre."""
        first, second = self.end.first, self.end.second
        if first is None or second is None:
            return self.end.centre
        offset = sub(point, self.end.centre)
        flat = along(offset, -dot(offset, self.normal), self.normal)
        # Coordinates in the conjugate half-diameters: inside the ellipse where their sum of squares is below one.
        n = cross(first, second)
        scale = dot(n, n)
        a, b = dot(cross(flat, second), n) / scale, dot(cross(first, flat), n) / scale
        size = max(1.0, math.hypot(a, b))
        return along(along(self.end.centre, a / size, first), b / size, second)


class Hull:
    """The hull of one or two ends: segment, disc, cylinder, cone, cylinder cut by slanted planes."""

    def __init__(self, ends: Sequence[End], axis: Vec3, rise: float, normals: Sequence[Vec3]) -> None:
        """`rise` is d · axis on the lateral surface; `normals` point out of the flat ends, in the order of `ends`."""
        self.ends, self.axis, self.rise = tuple(ends), axis, rise
        self.faces = [
            (n, EllipseFace(end, n), end) for end, n in zip(self.ends, normals, strict=True) if end.first is not None
        ]
        if len(self.ends) == 1:
            self.faces += [(sub((0.0, 0.0, 0.0), n), face, end) for n, face, end in self.faces]
        first, last = self.ends[0].centre, self.ends[-1].centre
        self.centre: Vec3 = ((first[0] + last[0]) / 2, (first[1] + last[1]) / 2, (first[2] + last[2]) / 2)
        widths = [math.hypot(*end.first, *(end.second or ())) for end in self.ends if end.first is not None]
        self.size = math.dist(first, last) / 2 + max(widths, default=0.0)

    def support(self, d: Vec3) -> Vec3:
        """A point that reaches farthest along d."""
        if len(self.ends) == 1:
            return self.ends[0].point(d)
        one, other = self.ends
        return one.point(d) if one.reach(d) >= other.reach(d) else other.point(d)

    def features(self, d: Vec3, angle: float) -> list[Support]:
        """Flat ends, the lateral surface and the rims within `angle` of d."""
        near = math.cos(min(angle, 1.5))
        found = [Support((end,), ((n, 1.0),), face) for n, face, end in self.faces if dot(d, n) >= near]
        if len(self.ends) == 1:
            return [*found, Support(self.ends)]
        lean = dot(d, self.axis) - self.rise
        if abs(lean) <= angle:
            found.append(Support(self.ends, ((self.axis, self.rise),)))
            found += [Support((end,)) for end in self.ends]
        else:
            found.append(Support((self.ends[1 if lean > 0 else 0],)))
        return found

    def directions(self) -> list[Vec3]:
        """The axis."""
        return [self.axis, *(n for n, _, _ in self.faces)]


def ellipse(centre: Vec3, radius: float, axis: Vec3, normal: Vec3, first: Vec3, second: Vec3) -> End:
    """The end of a bore of `radius` along `axis` cut square to `normal`; `first`, `second` are square to the axis."""
    if radius == 0.0:
        return End(centre)
    steep = dot(normal, axis)
    one, two = (along(e, -dot(normal, e) / steep, axis) for e in (first, second))
    return End(
        centre,
        (one[0] * radius, one[1] * radius, one[2] * radius),
        (two[0] * radius, two[1] * radius, two[2] * radius),
    )
