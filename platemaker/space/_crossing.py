"""Where a bore meets another void on purpose, and where a slanted bore meets a flat."""

from __future__ import annotations

import math
from itertools import pairwise

from platemaker.errors import GeometryError
from platemaker.records import Record
from platemaker.remembered import remembered
from platemaker.space._figures import Cylinder, HalfSpace, Prism, positive
from platemaker.space._frame import Frame
from platemaker.space._slices import Polygon, Slicer, axis_of, cut
from platemaker.space._vectors import Vec3, along, cross, dot, length, perpendiculars, unit

SAMPLES = 96


class Crossing(Record):
    """How a bore opens into another void.

    `open_area` is the part of the bore's cross-section, mm2, measured square to its axis, whose lines along the axis
    reach the other void within the bore's length; `own_area` is the whole cross-section. `spare` is how far the bore's
    end lies beyond where the last of its section enters the other void, mm: negative, how much deeper it must go;
    minus infinity, no depth would open it fully.
    """

    open_area: float
    own_area: float
    spare: float

    @property
    def share(self) -> float:
        """Open area as a share of the bore's own, 0 to 1."""
        return self.open_area / self.own_area

    @property
    def is_full(self) -> bool:
        """Whether the whole section opens into the other void."""
        return self.spare >= -1e-9


@remembered(256)
def crossing(bore: Cylinder, into: Cylinder | Prism) -> Crossing:
    """How a bore, from its start towards its end, opens into another void.

    Both are cut by planes parallel to both axes, where the other void's slice is a rectangle with exact corners (or
    rectangles), and the open widths are integrated over the section to 1e-9 of its area. For a bore across a larger
    one this is the area that a disc shares with a strip, for parallel axes with a disc.

    >>> rail = Cylinder((-100, 0, 0), (100, 0, 0), 6.0)
    >>> crossing(Cylinder((0, 0, 30), (0, 0, 0), 4.0), rail).share
    1.0
    """
    axis, radius = bore.axis, bore.radius
    square = cross(axis, axis_of(into))
    normal = unit(square) if length(square) > 1e-9 else perpendiculars(axis)[0]
    # x runs along the bore, y across it in the slice, z from slice to slice.
    frame = Frame(bore.start, axis, cross(normal, axis))
    slicer = Slicer(into, frame)
    own = math.pi * radius * radius
    spare = bore.length - _full_entry(slicer, radius)
    if spare >= 0.0:
        return Crossing(own, own, spare)
    return Crossing(min(_open_area(slicer, radius, bore.length), own), own, spare)


def _open_area(slicer: Slicer, radius: float, depth: float) -> float:
    from scipy.integrate import quad  # noqa: PLC0415 - slow to load, and few bores open in part

    inner = sorted({s for s in slicer.marks if -radius < s < radius})

    def open_width(s: float) -> float:
        half = math.sqrt(max(0.0, radius * radius - s * s))
        return _covered(_spans(slicer.at(s), depth), -half, half)

    area = 0.0
    stops = [-radius, *inner, radius]
    for begin, end in pairwise(stops):
        middle, half = (begin + end) / 2, (end - begin) / 2
        area += quad(
            lambda t, m=middle, h=half: open_width(m + h * math.sin(t)) * h * math.cos(t),
            -math.pi / 2,
            math.pi / 2,
            epsabs=1e-11 * radius * radius,
            epsrel=1e-9,
            limit=60,
            full_output=1,
        )[0]
    return area


def _spans(slices: list[Polygon], end: float) -> list[tuple[float, float]]:
    """Ranges across the bore whose lines meet a slice between the bore's start and `end`."""
    spans = []
    for polygon in slices:
        kept = cut(cut(polygon, 1.0, 0.0, end), -1.0, 0.0, 0.0)
        if kept:
            spans.append((min(y for _, y in kept), max(y for _, y in kept)))
    return sorted(spans)


def _covered(spans: list[tuple[float, float]], low: float, high: float) -> float:
    """Length of [low, high] that sorted spans cover."""
    total, reached = 0.0, low
    for begin, end in spans:
        fresh = max(begin, reached)
        if min(end, high) > fresh:
            total, reached = total + min(end, high) - fresh, min(end, high)
    return total


def _entry(slices: list[Polygon], y: float) -> float:
    """Where the line at y first enters a slice, ahead of the bore's start; infinite where it never does."""
    first = math.inf
    for polygon in slices:
        places = []
        for (x0, y0), (x1, y1) in zip(polygon, (*polygon[1:], *polygon[:1]), strict=True):
            if min(y0, y1) - 1e-9 <= y <= max(y0, y1) + 1e-9:
                share = min(1.0, max(0.0, (y - y0) / (y1 - y0))) if abs(y1 - y0) > 1e-12 else 0.0
                places.append(x0 + share * (x1 - x0))
        if places and max(places) >= 0.0:
            first = min(first, max(0.0, min(places)))
    return first


def _full_entry(slicer: Slicer, radius: float) -> float:
    """The bore's depth at which the last line of its section enters; infinite where some line never does.

    Entry is latest on the rim, so the rim is searched: by samples, then between the best one's neighbours.
    """

    def at(angle: float) -> float:
        s = radius * math.sin(angle) * (1.0 - 1e-12)
        return _entry(slicer.at(s), radius * math.cos(angle))

    step = math.tau / SAMPLES
    depths = [at(i * step) for i in range(SAMPLES)]
    best = max(range(SAMPLES), key=depths.__getitem__)
    if not math.isfinite(depths[best]):
        return math.inf
    low, high = (best - 1) * step, (best + 1) * step
    golden = (math.sqrt(5.0) - 1.0) / 2.0
    while high - low > 1e-10:
        one, other = high - golden * (high - low), low + golden * (high - low)
        if at(one) < at(other):
            low = one
        else:
            high = other
    return max(depths[best], at((low + high) / 2))


class ObliqueSection(Record):
    """The ellipse in which a plane cuts a round bore: semi-axes, mm."""

    minor: float
    major: float

    @property
    def area(self) -> float:
        """Area of the ellipse, mm2."""
        return math.pi * self.minor * self.major


def oblique_section(radius: float, angle: float) -> ObliqueSection:
    """The ellipse that a bore of `radius`, mm, cuts in a flat whose normal leans `angle` degrees from the bore's axis.

    Semi-axes radius and radius / cos(angle) (plane section of a right circular cylinder, elementary analytic geometry).
    Holds for angles from 0 to below 90; raises GeometryError outside.

    >>> round(oblique_section(5.0, 60.0).major, 9)
    10.0
    """
    positive(radius, "a bore's radius")
    _check_lean(angle)
    return ObliqueSection(radius, radius / math.cos(math.radians(angle)))


def _check_lean(angle: float) -> None:
    if not 0.0 <= angle < 90.0:
        message = (
            f"the angle between a bore's axis and a flat's normal must be from 0 to below 90 degrees, met {angle:g}"
        )
        raise GeometryError(message)


class Entry(Record):
    """Where a bore enters a flat: the ellipse in place.

    `centre` is where the axis meets the flat, `angle` the lean of the axis from the flat's normal, degrees. Seen along
    the bore, the drill touches at `first` and has its whole section in the flat at `last`; `lead` is the travel between
    the two, 2 · radius · tan(angle), mm: over this length the drill cuts on one side and wants a guide or a spotface.
    """

    centre: Vec3
    angle: float
    section: ObliqueSection
    first: Vec3
    last: Vec3
    lead: float


def entry(bore: Cylinder, face: HalfSpace) -> Entry:
    """Where a bore, running from start to end into the matter behind `face`, enters it.

    Raises GeometryError when the axis runs along the face or out of it.
    """
    axis = bore.axis
    steep = -dot(axis, face.normal)
    if steep < 1e-3:
        lean = math.degrees(math.acos(max(-1.0, min(1.0, steep))))
        message = f"a bore must enter a face at less than 89.9 degrees from its normal, met {lean:.6g} degrees"
        raise GeometryError(message)
    centre = along(bore.start, face.height(bore.start) / steep, axis)
    angle = math.degrees(math.acos(min(1.0, steep)))
    section = oblique_section(bore.radius, angle)
    # The flat's direction of steepest approach: the axis without its part along the normal.
    flat = along(axis, steep, face.normal)
    size = length(flat)
    way = (flat[0] / size, flat[1] / size, flat[2] / size) if size > 1e-12 else perpendiculars(face.normal)[0]
    first, last = along(centre, -section.major, way), along(centre, section.major, way)
    return Entry(centre, angle, section, first, last, 2.0 * bore.radius * math.tan(math.radians(angle)))


def spotface_depth(radius: float, angle: float) -> float:
    """How deep a spotface square to a slanted bore must go to seat whole, mm, from where the axis meets the flat.

    radius · tan(angle), for a spotface of `radius`, mm, and an axis that leans `angle` degrees from the flat's normal:
    the high side of its floor then just reaches the flat (trigonometry). Raises GeometryError outside 0 to 90 degrees.

    >>> round(spotface_depth(8.0, 45.0), 9)
    8.0
    """
    positive(radius, "a spotface's radius")
    _check_lean(angle)
    return radius * math.tan(math.radians(angle))
