"""Prisms that are not convex, face by face: flat sides, curved sides, and the caps.

A curved side is a run of upright segments. The distance of one segment from a convex body is exact; along the run it
changes by no more than the arc's length, so pieces of the arc that cannot hold the least are left out, and in each
other piece the angle where the distance stops falling is closed in to rounding.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from functools import partial
from itertools import pairwise
from typing import TypeAlias

from platemaker.plane import Arc, Line, Loop, Region, contains
from platemaker.records import kept_with
from platemaker.space._bodies import ConvexBody, End, Hull
from platemaker.space._distance import nearest
from platemaker.space._figures import Prism
from platemaker.space._frame import Frame
from platemaker.space._polish import Contact
from platemaker.space._prism_body import PrismBody, halves
from platemaker.space._vectors import CLOSE, Vec3, dot, negative

Measure: TypeAlias = Callable[[Hull], Contact | None]

FINEST = math.radians(3.0)
"""Curved sides are searched at least this finely for places where the distance is locally least; two such places
within it are distinguished only by what their better one is."""
CLOSED = 1e-13


class FlatSide:
    """A straight edge of the outline, raised: a rectangle, which is convex."""

    def __init__(self, edge: Line, frame: Frame, height: float) -> None:
        outline = Loop((edge, edge.reversed()))
        self.hull: ConvexBody = PrismBody(Region(outline), frame, height)
        self.centre, self.size = self.hull.centre, self.hull.size

    def parts(self) -> list[ConvexBody]:
        """The side as convex bodies: itself."""
        return [self.hull]

    def to_body(self, other: ConvexBody, enough: float) -> Contact | None:
        """The contact with a convex body; None when they share points. `enough` is not looked at."""
        del enough
        return nearest(self.hull, other).contact


class CurvedSide:
    """An arc of the outline, of at most half a turn, raised."""

    def __init__(self, arc: Arc, frame: Frame, height: float) -> None:
        self.arc, self.frame, self.height = arc, frame, height
        self.up = frame.z_axis
        self.begin, self.sweep = arc.start_angle, arc.sweep
        convex = arc if arc.ccw else arc.reversed()
        outline = Loop((convex, Line(convex.end, convex.start)))
        self.hull: ConvexBody = PrismBody(Region(outline), frame, height)
        self.centre, self.size = self.hull.centre, self.hull.size

    def parts(self) -> list[ConvexBody]:
        """Uprights along the side that any figure passing through it without touching its rim would meet."""
        count = max(2, math.ceil(abs(self.sweep) / (2.0 * FINEST)))
        return [self.upright(self.sweep * i / count) for i in range(count + 1)]

    def upright(self, angle: float) -> Hull:
        """The upright segment at an angle, radians, on from the arc's start."""
        turned = self.begin + angle
        x = self.arc.centre[0] + self.arc.radius * math.cos(turned)
        y = self.arc.centre[1] + self.arc.radius * math.sin(turned)
        foot, top = self.frame.to_world((x, y, 0.0)), self.frame.to_world((x, y, self.height))
        return Hull((End(foot), End(top)), self.up, 0.0, ((0.0, 0.0, 0.0),) * 2)

    def tangent(self, angle: float) -> Vec3:
        """Direction in which the upright moves as the angle grows."""
        turned = self.begin + angle
        return self.frame.turn((-math.sin(turned), math.cos(turned), 0.0))

    def to_body(self, other: ConvexBody, enough: float) -> Contact | None:
        """The contact with a convex body; None when they share points.

        Where the distance is not below `enough` any contact no nearer than that may be returned.
        """
        quick = nearest(self.hull, other).contact
        if quick is not None:
            x, y, _ = self.frame.to_local(quick.point_a)
            on_arc = abs(math.dist(self.arc.centre, (x, y)) - self.arc.radius) <= CLOSE
            if on_arc or quick.distance >= enough:
                return quick
        return self._search(lambda upright: nearest(upright, other).contact, enough)

    def to_curved(self, other: CurvedSide, enough: float) -> Contact | None:
        """The contact with another curved side; None when they share points."""
        quick = nearest(self.hull, other.hull).contact
        if quick is not None and quick.distance >= enough:
            return quick
        return self._search(lambda upright: _turned(other.to_body(upright, math.inf)), enough)

    def _search(self, measure: Measure, enough: float) -> Contact | None:
        count = max(2, math.ceil(abs(self.sweep) / (4.0 * FINEST)))
        angles = [self.sweep * i / count for i in range(count + 1)]
        seen: dict[float, Contact] = {}
        for angle in angles:
            contact = measure(self.upright(angle))
            if contact is None:
                return None
            seen[angle] = contact
        best = min(seen.values(), key=_distance)
        pieces = list(pairwise(angles))
        while pieces:
            first, last = pieces.pop()
            reach = self.arc.radius * abs(last - first)
            if (seen[first].distance + seen[last].distance - reach) / 2 >= min(best.distance, enough):
                continue
            if abs(last - first) <= FINEST:
                contact = self._close_in(measure, first, last, seen)
            else:
                middle = (first + last) / 2
                contact = measure(self.upright(middle))
                pieces += [(first, middle), (middle, last)]
                if contact is not None:
                    seen[middle] = contact
            if contact is None:
                return None
            best = min(best, contact, key=_distance)
        return best

    def _slope(self, contact: Contact, angle: float) -> float:
        """How the distance changes with the angle: the contact's direction against the upright's motion."""
        return -dot(contact.direction, self.tangent(angle))

    def _close_in(self, measure: Measure, first: float, last: float, seen: dict[float, Contact]) -> Contact | None:
        """The least distance in a piece where it falls at one end and rises at the other."""
        low, high = min(first, last), max(first, last)
        best = min(seen[first], seen[last], key=_distance)
        slope_low, slope_high = self._slope(seen[low], low), self._slope(seen[high], high)
        if slope_low >= 0.0 or slope_high <= 0.0:
            return best
        for turn in range(60):
            share = slope_low / (slope_low - slope_high) if turn % 3 else 0.5
            angle = low + min(0.999, max(0.001, share)) * (high - low)
            contact = measure(self.upright(angle))
            if contact is None:
                return None
            best = min(best, contact, key=_distance)
            slope = self._slope(contact, angle)
            if slope < 0.0:
                low, slope_low = angle, slope
            else:
                high, slope_high = angle, slope
            if abs(slope) * (high - low) * self.arc.radius < CLOSED:
                break
        return best


Side: TypeAlias = FlatSide | CurvedSide


def sides(prism: Prism) -> list[Side]:
    """The upright faces of a prism, which keeps them: it is asked by one figure after another."""
    return kept_with(prism, "_sides", lambda: _drawn_sides(prism))


def _drawn_sides(prism: Prism) -> list[Side]:
    found: list[Side] = []
    for edge in prism.region.edges:
        if isinstance(edge, Line):
            found.append(FlatSide(edge, prism.frame, prism.height))
        else:
            found += [CurvedSide(part, prism.frame, prism.height) for part in halves(edge)]
    return found


def hollow_to_body(prism: Prism, other: ConvexBody) -> Contact | None:
    """The contact of a prism over any region with a convex body; None when they touch or overlap."""
    if _pokes_through(prism, other):
        return None
    pairs = [(_bound(side, other), partial(side.to_body, other)) for side in sides(prism)]
    return _least_contact(pairs, _cap_contact(prism, [other]))


def hollow_to_hollow(prism: Prism, other: Prism) -> Contact | None:
    """The contact of two prisms over any regions; None when they touch or overlap."""
    own, others = sides(prism), sides(other)
    if any(_pokes_through(prism, part) for side in others for part in side.parts()):
        return None
    if any(_pokes_through(other, part) for side in own for part in side.parts()):
        return None
    begin = [_cap_contact(prism, [side.hull for side in others])]
    begin.append(_turned(_cap_contact(other, [side.hull for side in own])))
    known = [contact for contact in begin if contact is not None]
    pairs = [(_bound(s, t), partial(_side_to_side, s, t)) for s in own for t in others]
    return _least_contact(pairs, min(known, key=_distance, default=None))


def _side_to_side(one: Side, other: Side, enough: float) -> Contact | None:
    if isinstance(other, FlatSide):
        return one.to_body(other.hull, enough)
    if isinstance(one, FlatSide):
        return _turned(other.to_body(one.hull, enough))
    return one.to_curved(other, enough)


def _bound(side: Side, other: ConvexBody | Side) -> float:
    return math.dist(side.centre, other.centre) - side.size - other.size


def _least_contact(
    pairs: Sequence[tuple[float, Callable[[float], Contact | None]]], begin: Contact | None
) -> Contact | None:
    """The least of many contacts, each with a bound below it, nearest first; None when any pair shares points."""
    best, limit = begin, math.inf if begin is None else begin.distance
    for bound, measure in sorted(pairs, key=lambda pair: pair[0]):
        if bound >= limit:
            break
        contact = measure(limit)
        if contact is None:
            return None
        if contact.distance < limit:
            best, limit = contact, contact.distance
    return best


def _pokes_through(prism: Prism, body: ConvexBody) -> bool:
    """Whether a body that does not touch the prism's sides has points in it: one point within its height shows it."""
    up = prism.frame.z_axis
    low, high = (prism.frame.to_local(body.support(d)) for d in (negative(up), up))
    if low[2] > prism.height or high[2] < 0.0:
        return False
    rise = high[2] - low[2]
    level = min(prism.height, max(0.0, low[2]))
    share = (level - low[2]) / rise if rise > 0.0 else 0.0
    return contains(prism.region, (low[0] + share * (high[0] - low[0]), low[1] + share * (high[1] - low[1])))


def _cap_contact(prism: Prism, bodies: Iterable[ConvexBody]) -> Contact | None:
    """The least contact of convex bodies with the inside of the prism's top or bottom, or None when there is none."""
    up = prism.frame.z_axis
    best: Contact | None = None
    for body in bodies:
        for level, out in ((prism.height, up), (0.0, negative(up))):
            point = body.support(negative(out))
            x, y, z = prism.frame.to_local(point)
            apart = z - level if level else -z
            if apart > 0.0 and (best is None or apart < best.distance) and contains(prism.region, (x, y)):
                best = Contact(apart, prism.frame.to_world((x, y, level)), point, out)
    return best


def lowest_point(prism: Prism, d: Vec3) -> Vec3:
    """A point of the prism that reaches least far along d."""
    return min((side.hull.support(negative(d)) for side in sides(prism)), key=lambda point: dot(point, d))


def _distance(contact: Contact) -> float:
    return contact.distance


def _turned(contact: Contact | None) -> Contact | None:
    """The same contact with the bodies in the other order."""
    if contact is None:
        return None
    return Contact(contact.distance, contact.point_b, contact.point_a, negative(contact.direction))
