"""Frames: where a figure stands, and rigid motion of frames."""

from __future__ import annotations

import math
from functools import cached_property

from msgspec.structs import force_setattr

from platemaker.errors import GeometryError
from platemaker.records import Record
from platemaker.space._vectors import Vec3, add, along, cross, dot, scale, sub, unit, vector


class Frame(Record):
    """A right-handed frame: `origin`, mm, and two axes square to each other; the third is x × y.

    The axes may come in any length and are kept as unit vectors. Raises GeometryError when they are not square
    within 1e-6.

    >>> Frame((0, 0, 5)).to_world((1, 2, 3))
    (1.0, 2.0, 8.0)
    """

    origin: Vec3 = (0.0, 0.0, 0.0)
    x_axis: Vec3 = (1.0, 0.0, 0.0)
    y_axis: Vec3 = (0.0, 1.0, 0.0)

    def __post_init__(self) -> None:
        x = unit(vector(self.x_axis, "a frame's x axis"), "a frame's x axis")
        y = unit(vector(self.y_axis, "a frame's y axis"), "a frame's y axis")
        lean = dot(x, y)
        if abs(lean) > 1e-6:
            met = math.degrees(math.acos(lean))
            message = f"a frame's axes must be square within 1e-6, met an angle of {met:.6f} degrees"
            raise GeometryError(message)
        force_setattr(self, "origin", vector(self.origin, "a frame's origin"))
        force_setattr(self, "x_axis", x)
        force_setattr(self, "y_axis", unit(along(y, -lean, x)))

    @classmethod
    def from_normal(cls, origin: Vec3, normal: Vec3, x_towards: Vec3 | None = None) -> Frame:
        """A frame whose z axis is `normal`; its x axis lies as near `x_towards` as it can (any, when not given)."""
        z = unit(vector(normal, "a frame's normal"), "a frame's normal")
        helper = x_towards or ((1.0, 0.0, 0.0) if abs(z[0]) < 0.9 else (0.0, 1.0, 0.0))
        x = unit(along(helper, -dot(helper, z), z), "the x axis of a frame, seen along its normal,")
        return cls(origin, x, cross(z, x))

    @cached_property
    def z_axis(self) -> Vec3:
        """Their product x × y, of unit length."""
        return cross(self.x_axis, self.y_axis)

    def to_world(self, point: Vec3) -> Vec3:
        """A point given in this frame, in the outer one."""
        return add(self.origin, self.turn(point))

    def turn(self, direction: Vec3) -> Vec3:
        """A direction given in this frame, in the outer one."""
        x, y, z = self.x_axis, self.y_axis, self.z_axis
        a, b, c = direction
        return (
            a * x[0] + b * y[0] + c * z[0],
            a * x[1] + b * y[1] + c * z[1],
            a * x[2] + b * y[2] + c * z[2],
        )

    def to_local(self, point: Vec3) -> Vec3:
        """A point of the outer frame, in this one."""
        return self.unturn(sub(point, self.origin))

    def unturn(self, direction: Vec3) -> Vec3:
        """A direction of the outer frame, in this one."""
        return dot(direction, self.x_axis), dot(direction, self.y_axis), dot(direction, self.z_axis)

    def placed(self, outer: Frame) -> Frame:
        """The frame, which is given in `outer`, as seen from outside `outer`: composition of motions.

        >>> Frame((1, 0, 0)).placed(Frame((0, 0, 0), (0, 1, 0), (-1, 0, 0))).origin
        (0.0, 1.0, 0.0)
        """
        return Frame(outer.to_world(self.origin), outer.turn(self.x_axis), outer.turn(self.y_axis))

    def inverse(self) -> Frame:
        """The frame that undoes this one: `frame.placed(frame.inverse())` stands at the origin."""
        x = self.unturn((1.0, 0.0, 0.0))
        y = self.unturn((0.0, 1.0, 0.0))
        return Frame(self.to_local((0.0, 0.0, 0.0)), x, y)

    def moved(self, by: Vec3) -> Frame:
        """The frame shifted by `by`, mm."""
        return Frame(add(self.origin, by), self.x_axis, self.y_axis)

    def rotated(self, about: Vec3, axis: Vec3, angle: float) -> Frame:
        """The frame turned by `angle` degrees, right-handed, about the line through `about` along `axis`."""
        return self.placed(rotation(about, axis, angle))


def rotation(about: Vec3, axis: Vec3, angle: float) -> Frame:
    """The rigid motion that turns by `angle` degrees about a line, as the frame that the origin's frame becomes.

    Source: Rodrigues' rotation formula (H. Goldstein, Classical Mechanics, ch. 4; from memory).

    >>> [round(c, 12) for c in rotation((0, 0, 0), (0, 0, 1), 90.0).to_world((1, 0, 0))]
    [0.0, 1.0, 0.0]
    """
    k = unit(vector(axis, "an axis of rotation"), "an axis of rotation")
    centre = vector(about, "a point on the axis of rotation")
    sine, cosine = math.sin(math.radians(angle)), math.cos(math.radians(angle))

    def turned(v: Vec3) -> Vec3:
        return along(along(scale(v, cosine), sine, cross(k, v)), dot(k, v) * (1.0 - cosine), k)

    return Frame(sub(centre, turned(centre)), turned((1.0, 0.0, 0.0)), turned((0.0, 1.0, 0.0)))
