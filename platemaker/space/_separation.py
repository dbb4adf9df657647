"""The signed separation of two figures, with the points where it is measured."""

from __future__ import annotations

import math

from platemaker.errors import GeometryError
from platemaker.records import Record
from platemaker.remembered import remembered
from platemaker.space._ball import largest_ball
from platemaker.space._depth import deepest
from platemaker.space._distance import axis_contact, nearest
from platemaker.space._figures import Cone, Convex, Cylinder, HalfSpace, Prism
from platemaker.space._flare import AnyFigure, Flare
from platemaker.space._hollow import hollow_to_body, hollow_to_hollow, lowest_point
from platemaker.space._polish import Contact
from platemaker.space._search import least_along
from platemaker.space._upright import is_parallel, parallel_contact
from platemaker.space._vectors import Vec3, along, negative

PROVED = 1e-10
"""Upper and lower bound of a distance that differ by less, mm, are one number."""
SLICES = 24
"""Slices of a flare that are looked at first."""
NOWHERE: Vec3 = (math.nan, math.nan, math.nan)


class Separation(Record):
    """How far two figures lie apart, mm: positive a gap, 0 touching, negative an overlap.

    `point_a` on the first and `point_b` on the second figure are where it is measured. `error` bounds what the
    distance may be off beyond rounding, mm: for gaps it is 0 or below 1e-10, since their upper and lower bound meet.
    """

    distance: float
    point_a: Vec3
    point_b: Vec3
    error: float = 0.0

    @property
    def swapped(self) -> Separation:
        """The same separation with the figures in the other order."""
        return Separation(self.distance, self.point_b, self.point_a, self.error)


FAR = Separation(math.inf, NOWHERE, NOWHERE)


@remembered(4096)
def separation(a: AnyFigure, b: AnyFigure) -> Separation:
    """Signed separation of two figures, mm, with the points where it is measured.

    Apart: the least distance and the nearest points. Touching: 0. Overlapping: minus a depth, which is

    - for two convex figures, the least translation of one that separates them; the points lie on the two surfaces, and
      moving the first by point_b - point_a does it;
    - for a half-space, how far the other figure reaches behind its plane;
    - for a flare, that of the slice of it that lies deepest;
    - where a prism is not convex, the diameter of the largest ball in the overlap (never more than the least
      translation, and the same for a shallow breakthrough); both points are the ball's centre.

    An empty figure (a cone of no length) is infinitely far from everything; its points are not numbers.
    Raises GeometryError for two half-spaces.

    >>> from platemaker.space import Cylinder
    >>> across = Cylinder((-50, 0, 20), (50, 0, 20), 4.0)
    >>> separation(Cylinder((0, -50, 0), (0, 50, 0), 5.0), across).distance
    11.0
    """
    if is_empty(a) or is_empty(b):
        return FAR
    if isinstance(b, HalfSpace):
        return to_half_space(a, b)
    if isinstance(a, HalfSpace):
        return to_half_space(b, a).swapped
    if isinstance(a, Flare):
        return _flare_separation(a, b)
    if isinstance(b, Flare):
        return _flare_separation(b, a).swapped
    if isinstance(a, Prism) and not a.is_convex:
        return _hollow_separation(a, b)
    if isinstance(b, Prism) and not b.is_convex:
        return _hollow_separation(b, a).swapped
    return convex_separation(a, b)


@remembered(4096)
def apart(a: AnyFigure, b: AnyFigure) -> Separation | None:
    """The separation of two figures that do not overlap; None where they do, found without measuring how deep.

    Depth is what takes time in `separation` where prisms are hollow. Figures that touch within rounding may be taken
    either way. Raises GeometryError for two half-spaces.

    >>> from platemaker.space import box
    >>> apart(box((0, 0, 0), (1, 1, 1)), box((0.5, 0, 0), (2, 1, 1))) is None
    True
    """
    hollow = [one for one in (a, b) if isinstance(one, Prism) and not one.is_convex]
    if is_empty(a) or is_empty(b):
        return FAR
    if isinstance(a, HalfSpace | Flare) or isinstance(b, HalfSpace | Flare):
        found = separation(a, b)
        return found if found.distance >= 0.0 else None
    if hollow:
        first, other = (a, b) if hollow[0] is a else (b, a)
        contact = _hollow_contact(hollow[0], other)
        if contact is None or contact.distance < 0.0:
            return None
        return _separation(contact) if first is a else _separation(contact).swapped
    contact = nearest(a.body, b.body).contact
    return None if contact is None else _separation(contact)


def is_empty(figure: AnyFigure) -> bool:
    """Whether a figure has no points: a cone of no length."""
    return isinstance(figure, Cone) and figure.is_empty


def convex_separation(a: Convex, b: Convex) -> Separation:
    """Separation of two convex figures: see `separation`."""
    if isinstance(a, Cylinder) and isinstance(b, Cylinder) and a.is_square and b.is_square:
        contact = axis_contact((a.start, a.end, a.radius), (b.start, b.end, b.radius))
        if contact is not None:
            return _separation(contact)
    found = nearest(a.body, b.body)
    if found.contact is not None and found.error <= PROVED:
        return _separation(found.contact, found.error)
    contact, error = deepest(a.body, b.body)
    if found.contact is None or contact.distance <= 0.0:
        return _separation(contact, error)
    # All but touching: the plane that parts them gives the distance, the search its points.
    upper = found.contact.distance
    lower = max(contact.distance, upper - found.error)
    return Separation(lower, found.contact.point_a, found.contact.point_b, upper - lower)


def to_half_space(a: AnyFigure, b: HalfSpace) -> Separation:
    """Separation of a figure from a half-space: the height of its lowest point over the plane, exact at any sign."""
    if isinstance(a, HalfSpace):
        message = (
            f"two half-spaces have no separation: faces at {a.point} and {b.point}; give one as a figure with ends"
        )
        raise GeometryError(message)
    if isinstance(a, Flare):
        return min((to_half_space(end, b) for end in a.ends), key=lambda found: found.distance)
    if isinstance(a, Prism) and not a.is_convex:
        point = lowest_point(a, b.normal)
    else:
        point = a.body.support(negative(b.normal))
    height = b.height(point)
    return Separation(height, point, along(point, -height, b.normal))


def _flare_separation(a: Flare, b: Convex | Flare) -> Separation:
    return least_along(lambda z: separation(a.slice_at(z), b), 0.0, a.height, SLICES)


def _hollow_contact(a: Prism, b: Convex) -> Contact | None:
    if is_parallel(b, a):
        return parallel_contact(a, b)
    hollow = isinstance(b, Prism) and not b.is_convex
    return hollow_to_hollow(a, b) if hollow and isinstance(b, Prism) else hollow_to_body(a, b.body)


def _hollow_separation(a: Prism, b: Convex) -> Separation:
    contact = _hollow_contact(a, b)
    if contact is not None:
        return _separation(contact)
    diameter, centre, error = largest_ball(a, b)
    return Separation(-diameter, centre, centre, error)


def _separation(contact: Contact, error: float = 0.0) -> Separation:
    return Separation(contact.distance, contact.point_a, contact.point_b, error)
