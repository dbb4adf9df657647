"""The figures of space: bores, cones, prisms, faces, and the discs and segments that help. Values only.

Every figure is immutable, in mm and degrees, and can be `placed` in a frame, `moved` and `rotated`.
"""

from __future__ import annotations

import math
from functools import cached_property
from typing import Self, TypeAlias

from msgspec.structs import force_setattr

from platemaker.errors import GeometryError
from platemaker.plane import Loop, Region
from platemaker.records import Record
from platemaker.space._bodies import ConvexBody, End, Hull, ellipse
from platemaker.space._frame import Frame, rotation
from platemaker.space._prism_body import PrismBody, is_convex
from platemaker.space._vectors import CLOSE, Vec3, along, dot, length, negative, perpendiculars, sub, unit, vector


def positive(value: float, what: str, least: float = CLOSE) -> float:
    """The value as a float. Raises GeometryError naming `what` unless it is finite and above `least`."""
    if not (isinstance(value, int | float) and least < value < math.inf):
        message = f"{what} must be finite and above {least:g} mm, met {value!r}"
        raise GeometryError(message)
    return float(value)


class Placeable(Record):
    """What every figure can do: stand elsewhere. Motions are rigid and give a new figure."""

    def placed(self, frame: Frame) -> Self:
        """The figure, which is given in `frame`, as seen from outside it."""
        raise NotImplementedError

    def moved(self, by: Vec3) -> Self:
        """The figure shifted by `by`, mm."""
        return self.placed(Frame(vector(by, "a shift")))

    def rotated(self, about: Vec3, axis: Vec3, angle: float) -> Self:
        """The figure turned by `angle` degrees, right-handed, about the line through `about` along `axis`."""
        return self.placed(rotation(about, axis, angle))


class Segment(Placeable):
    """A straight piece between two points, mm."""

    start: Vec3
    end: Vec3

    def __post_init__(self) -> None:
        force_setattr(self, "start", vector(self.start, "a segment's start"))
        force_setattr(self, "end", vector(self.end, "a segment's end"))
        unit(sub(self.end, self.start), "a segment")

    def placed(self, frame: Frame) -> Segment:
        """The segment, which is given in `frame`, as seen from outside it."""
        return Segment(frame.to_world(self.start), frame.to_world(self.end))

    @cached_property
    def body(self) -> ConvexBody:
        """The segment as the solver sees it."""
        return Hull((End(self.start), End(self.end)), unit(sub(self.end, self.start)), 0.0, ((0.0, 0.0, 0.0),) * 2)


class Disc(Placeable):
    """A flat round disc: centre, normal (any length), radius above 0 mm."""

    centre: Vec3
    normal: Vec3
    radius: float

    def __post_init__(self) -> None:
        force_setattr(self, "centre", vector(self.centre, "a disc's centre"))
        force_setattr(self, "normal", unit(vector(self.normal, "a disc's normal"), "a disc's normal"))
        force_setattr(self, "radius", positive(self.radius, "a disc's radius"))

    def placed(self, frame: Frame) -> Disc:
        """The disc, which is given in `frame`, as seen from outside it."""
        return Disc(frame.to_world(self.centre), frame.turn(self.normal), self.radius)

    @cached_property
    def body(self) -> ConvexBody:
        """The disc as the solver sees it."""
        end = ellipse(self.centre, self.radius, self.normal, self.normal, *perpendiculars(self.normal))
        return Hull((end,), self.normal, 0.0, (self.normal,))


class _Axial(Placeable):
    """What cylinders and cones share: an axis from start to end."""

    start: Vec3
    end: Vec3

    @property
    def length(self) -> float:
        """Length along the axis, mm."""
        return math.dist(self.start, self.end)

    @property
    def axis(self) -> Vec3:
        """Unit direction from start to end."""
        return unit(sub(self.end, self.start))


class Cylinder(_Axial):
    """A finite round bore on any axis, with flat ends: start and end of the axis, radius above 0 mm.

    The ends are square to the axis unless `start_normal` or `end_normal` say which plane cuts them (a slanted bore
    through a plate ends on the plate's faces). Such planes must not meet inside the bore.

    >>> Cylinder((0, 0, 0), (0, 0, 25), 4.0).length
    25.0
    """

    start: Vec3
    end: Vec3
    radius: float
    start_normal: Vec3 | None = None
    end_normal: Vec3 | None = None

    def __post_init__(self) -> None:
        force_setattr(self, "start", vector(self.start, "a cylinder's start"))
        force_setattr(self, "end", vector(self.end, "a cylinder's end"))
        force_setattr(self, "radius", positive(self.radius, "a cylinder's radius"))
        axis = unit(sub(self.end, self.start), "a cylinder's axis")
        slopes = []
        for name in ("start_normal", "end_normal"):
            given = getattr(self, name)
            if given is None:
                slopes.append((0.0, 0.0, 0.0))
                continue
            normal = unit(vector(given, f"a cylinder's {name}"), f"a cylinder's {name}")
            steep = dot(normal, axis)
            if abs(steep) < 1e-3:
                message = f"a cylinder's {name} must lean less than 89.9 degrees from its axis, met {normal}"
                raise GeometryError(message)
            force_setattr(self, name, normal)
            slopes.append(along((0.0, 0.0, 0.0), 1.0 / steep, along(normal, -steep, axis)))
        shortest = self.length - self.radius * length(sub(slopes[0], slopes[1]))
        if shortest < -CLOSE:
            message = f"the planes that cut a cylinder's ends cross inside it: its shortest side is {shortest:.6g} mm"
            raise GeometryError(message)

    @property
    def is_square(self) -> bool:
        """Whether both ends are square to the axis."""
        return self.start_normal is None and self.end_normal is None

    def placed(self, frame: Frame) -> Cylinder:
        """The cylinder, which is given in `frame`, as seen from outside it."""
        return Cylinder(
            frame.to_world(self.start),
            frame.to_world(self.end),
            self.radius,
            None if self.start_normal is None else frame.turn(self.start_normal),
            None if self.end_normal is None else frame.turn(self.end_normal),
        )

    @cached_property
    def body(self) -> Hull:
        """The cylinder as the solver sees it."""
        axis = self.axis
        across = perpendiculars(axis)
        normals = [axis if normal is None else normal for normal in (self.start_normal, self.end_normal)]
        ends = [ellipse(c, self.radius, axis, n, *across) for c, n in zip((self.start, self.end), normals, strict=True)]
        out = [
            negative(normals[0]) if dot(normals[0], axis) > 0.0 else normals[0],
            normals[1] if dot(normals[1], axis) > 0.0 else negative(normals[1]),
        ]
        return Hull(ends, axis, 0.0, out)


class Cone(_Axial):
    """A finite cone or frustum (drill point, countersink, chamfer): axis from start to end, a radius at each, mm.

    Radii are 0 or more, not both 0. Start and end on one point make an empty figure, which nothing is near: so a
    chamfer of no length needs no special care.
    """

    start: Vec3
    end: Vec3
    radius_start: float
    radius_end: float

    def __post_init__(self) -> None:
        force_setattr(self, "start", vector(self.start, "a cone's start"))
        force_setattr(self, "end", vector(self.end, "a cone's end"))
        for name in ("radius_start", "radius_end"):
            value = getattr(self, name)
            if not (isinstance(value, int | float) and 0.0 <= value < math.inf):
                message = f"a cone's {name} must be finite and 0 mm or more, met {value!r}"
                raise GeometryError(message)
            force_setattr(self, name, float(value))
        if max(self.radius_start, self.radius_end) <= CLOSE and not self.is_empty:
            message = (
                f"a cone's larger radius must be above {CLOSE:g} mm, met {max(self.radius_start, self.radius_end):g}"
            )
            raise GeometryError(message)

    @classmethod
    def drill_point(cls, centre: Vec3, direction: Vec3, diameter: float, angle: float = 118.0) -> Cone:
        """The conical bottom that a drill leaves: from the full `diameter`, mm, at `centre` to the tip ahead of it.

        `angle` is the full angle of the point, degrees, above 0 and below 180; 118 and 135 are the usual ones.
        Length of the point: diameter / 2 / tan(angle / 2) (trigonometry of the cone).

        >>> round(Cone.drill_point((0, 0, 0), (0, 0, -1), 10.0, 118.0).length, 4)
        3.0043
        """
        if not 0.0 < angle < 180.0:
            message = f"a drill point's full angle must be above 0 and below 180 degrees, met {angle:g}"
            raise GeometryError(message)
        radius = positive(diameter, "a drill's diameter") / 2
        reach = radius / math.tan(math.radians(angle) / 2)
        return cls(centre, along(centre, reach, unit(direction, "a drill's direction")), radius, 0.0)

    @property
    def is_empty(self) -> bool:
        """Whether the cone has no length, hence no points."""
        return math.dist(self.start, self.end) <= CLOSE

    def placed(self, frame: Frame) -> Cone:
        """The cone, which is given in `frame`, as seen from outside it."""
        return Cone(frame.to_world(self.start), frame.to_world(self.end), self.radius_start, self.radius_end)

    @cached_property
    def body(self) -> ConvexBody:
        """The cone as the solver sees it."""
        axis = self.axis
        across = perpendiculars(axis)
        one = ellipse(self.start, self.radius_start, axis, axis, *across)
        other = ellipse(self.end, self.radius_end, axis, axis, *across)
        shrink = self.radius_start - self.radius_end
        return Hull((one, other), axis, shrink / math.hypot(shrink, self.length), (negative(axis), axis))


class Prism(Placeable):
    """A region of the plane raised by `height` along the z axis of its frame (pocket, outline, box), mm."""

    region: Region
    frame: Frame
    height: float

    def __post_init__(self) -> None:
        force_setattr(self, "height", positive(self.height, "a prism's height"))
        if self.region.area <= 0.0:
            message = f"a prism's region must have an area above 0 mm2, met {self.region.area:g}"
            raise GeometryError(message)

    def placed(self, frame: Frame) -> Prism:
        """The prism, which is given in `frame`, as seen from outside it."""
        return Prism(self.region, self.frame.placed(frame), self.height)

    @cached_property
    def is_convex(self) -> bool:
        """Whether the region has no holes, no hollow arcs and no inward corners."""
        return is_convex(self.region)

    @cached_property
    def body(self) -> ConvexBody:
        """The prism as the solver sees it. Raises GeometryError when it is not convex."""
        if not self.is_convex:
            message = "a prism over a region with holes, hollow arcs or inward corners is not one convex body"
            raise GeometryError(message)
        return PrismBody(self.region, self.frame, self.height)


class HalfSpace(Placeable):
    """Everything behind a plane: the points x with (x - point) · normal <= 0. The normal points out of it.

    A plate's upper face at z = 25 is HalfSpace((0, 0, 25), (0, 0, 1)), with the matter behind it.
    """

    point: Vec3
    normal: Vec3

    def __post_init__(self) -> None:
        force_setattr(self, "point", vector(self.point, "a face's point"))
        force_setattr(self, "normal", unit(vector(self.normal, "a face's normal"), "a face's normal"))

    def placed(self, frame: Frame) -> HalfSpace:
        """The half-space, which is given in `frame`, as seen from outside it."""
        return HalfSpace(frame.to_world(self.point), frame.turn(self.normal))

    def height(self, point: Vec3) -> float:
        """Signed height of a point above the plane, mm; negative behind it."""
        return dot(sub(point, self.point), self.normal)

    @property
    def opposite(self) -> HalfSpace:
        """The other side of the same plane."""
        return HalfSpace(self.point, negative(self.normal))


Convex: TypeAlias = Segment | Disc | Cylinder | Cone | Prism
Figure: TypeAlias = Convex | HalfSpace


def box(corner: Vec3, opposite: Vec3) -> Prism:
    """The box between two opposite corners, edges along the axes, mm.

    >>> box((0, 0, 0), (3, 4, 5)).height
    5.0
    """
    low = tuple(min(pair) for pair in zip(corner, opposite, strict=True))
    width, depth, height = (abs(b - a) for a, b in zip(corner, opposite, strict=True))
    positive(width, "a box's width")
    positive(depth, "a box's depth")
    region = Region.of(Loop.rectangle(width, depth, centre=(width / 2, depth / 2)))
    return Prism(region, Frame((low[0], low[1], low[2])), positive(height, "a box's height"))
