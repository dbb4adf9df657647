"""How far an existing body's port may lie from where it is drawn: its survey's covariance about the joint's bolts.

A part is drilled to the places that a survey found. Bolted to the true holes it settles, by least squares, on their
best rigid fit; what counts is where the port lies after that. Both are linear in the errors e of holes and port:
values = port(e) - G M e, with M the best fit's shift and turn (`survey.best_fit`, linearised) and G what these do to
the port's values. So the covariance R C R' of the values carries every covariance of the survey. With holes and port
from one survey its datum drops out; a port that is drawn lies exactly in the survey's datum.

The 95 % region is x' S^-1 x <= k: `factor` k is chi-square with 2 degrees of freedom, 5.991, as for the survey's own
ellipses (2 F where the readings scatter more than stated). Along any combination a of the values it reaches
sqrt(k a' S a), at the point k S a / sqrt(k a' S a) (Lagrange). Along one direction alone that is more than the 1.96
deviations of 95 %: the region holds in all directions at once.
"""

from __future__ import annotations

import math
from functools import cached_property
from typing import TYPE_CHECKING

from platemaker.checks._fit._fit_up_question import surveyed_face
from platemaker.parts import Joint, Stack, SurveyedPort
from platemaker.plane import Point, Region, measures, moved, rotated
from platemaker.records import Record

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

    Array = npt.NDArray[np.float64]

Way = tuple[float, ...]
"""A combination of a port's values: a shift in some direction, a turn, or more area."""


class Doubt(Record, eq=False):
    """A port whose place is not known exactly: its figure in the joint's frame, and the covariance of its values.

    Values are those of `port` (corners, or centre and diameter); of a drawn figure (`port` None) the shift of its
    centroid, mm, and its turn, radians.
    """

    region: Region
    port: SurveyedPort | None
    covariance: Array
    factor: float

    def shift(self, u: float, v: float) -> Way:
        """The port's middle moving along a unit vector: of corners their mean, of a figure its centroid."""
        if self.port is None or self.port.is_round:
            return u, v, 0.0
        count = len(self.port.values) // 2
        return (u / count, v / count) * count

    @cached_property
    def turn(self) -> Way | None:
        """The port turning about its middle, radians; None for a round one."""
        if self.port is None:
            return 0.0, 0.0, 1.0
        if self.port.is_round:
            return None
        arms = _arms(self.port)
        square = sum(x * x + y * y for x, y in arms)
        return tuple(value / square for x, y in arms for value in (-y, x))

    @cached_property
    def area(self) -> Way | None:
        """The port growing, mm2 (its corners' radii left out), or a round one's diameter; None for a drawn figure."""
        if self.port is None:
            return None
        if self.port.is_round:
            return 0.0, 0.0, 1.0
        arms = _arms(self.port)
        following, leading = (*arms[1:], arms[0]), (arms[-1], *arms[:-1])
        twice = sum(a[0] * b[1] - a[1] * b[0] for a, b in zip(arms, following, strict=True))
        half = math.copysign(0.5, twice)
        return tuple(half * value for before, after in zip(leading, following, strict=True)
                     for value in (after[1] - before[1], before[0] - after[0]))  # fmt: skip

    def reach(self, way: Way) -> float:
        """How far the 95 % region reaches along a way, in that way's unit."""
        return math.sqrt(max(self.factor * sum(a * b for a, b in zip(way, self._spread(way), strict=True)), 0.0))

    def deviation(self, way: Way) -> float:
        """The standard deviation along a way."""
        return self.reach(way) / math.sqrt(self.factor)

    @property
    def farthest(self) -> float:
        """The longest half axis of the region of the port's middle, mm."""
        xx, yy = self.deviation(self.shift(1.0, 0.0)) ** 2, self.deviation(self.shift(0.0, 1.0)) ** 2
        xy = self.together
        return math.sqrt(self.factor * ((xx + yy) / 2 + math.hypot((xx - yy) / 2, xy)))

    @property
    def together(self) -> float:
        """The covariance of the middle's x and y, mm2."""
        return sum(a * b for a, b in zip(self.shift(1.0, 0.0), self._spread(self.shift(0.0, 1.0)), strict=True))

    def at(self, way: Way | None, sense: float = 1.0) -> Region:
        """The port where its 95 % region reaches farthest along a way, or (`sense` -1) the other way.

        As it is drawn where it cannot change that way.
        """
        reach = 0.0 if way is None else self.reach(way)
        if way is None or reach <= 0.0:
            return self.region
        changes = [sense * self.factor * value / reach for value in self._spread(way)]
        if self.port is None:
            about = measures(self.region).centroid
            return moved(rotated(self.region, math.degrees(changes[2]), about), changes[0], changes[1])
        return self.port.figure(value + change for value, change in zip(self.port.values, changes, strict=True))

    def _spread(self, way: Way) -> list[float]:
        return [float(value) for value in self.covariance @ way]


def _arms(port: SurveyedPort) -> list[Point]:
    """The corners of a port as seen from their mean."""
    xs, ys = port.values[0::2], port.values[1::2]
    x0, y0 = sum(xs) / len(xs), sum(ys) / len(ys)
    return [(x - x0, y - y0) for x, y in zip(xs, ys, strict=True)]


def doubt_of(stack: Stack, joint: Joint, owner: str, name: str) -> Doubt | None:
    """How far a port of an existing body may lie from where it is drawn; None where no survey shows."""
    there = next((port for port in joint.ports_of(owner) if port.name == name), None)
    region, port = (there.region, there.surveyed) if there else (None, None)
    face = surveyed_face(stack, joint)
    holes = joint.surveyed if face is not None and face.owner == owner and joint.surveyed else None
    if region is None or owner not in {body.name for body in stack.bodies} or (port is None and holes is None):
        return None
    import numpy as np  # noqa: PLC0415 - stacks without a survey must not pay for its start-up

    count = 2 * len(joint.spots)
    if port is not None:
        errors, factor = np.array(port.covariance), port.factor
    elif holes is not None and holes.covariance:
        errors, factor = np.pad(np.array(holes.covariance), (0, 3)), holes.factor
    else:
        return None
    if holes is None:  # the survey of the holes is that of the other side
        errors[:count], errors[:, :count] = 0.0, 0.0
    rows = np.eye(len(errors))[count:]
    rows[:, :count] = -_carried(joint, region, port) @ _best_fit(joint)
    return Doubt(region, port, np.asarray(rows @ errors @ rows.T), factor)


def _best_fit(joint: Joint) -> Array:
    """Shift and turn about the spots' mean of the best rigid fit to spots with small errors: (3, 2 n)."""
    import numpy as np  # noqa: PLC0415 - see doubt_of

    places = np.array(list(joint.spots.values()), dtype=float)
    arms = places - places.mean(axis=0)
    square = float((arms**2).sum())
    turn = np.column_stack([-arms[:, 1], arms[:, 0]]).ravel() / square if square > 0 else np.zeros(places.size)
    shifts = np.tile(np.eye(2), len(places)) / len(places)
    return np.vstack([shifts, turn])


def _carried(joint: Joint, region: Region, port: SurveyedPort | None) -> Array:
    """What a shift along X, along Y and a turn about the spots' mean do to a port's values."""
    import numpy as np  # noqa: PLC0415 - see doubt_of

    x0, y0 = np.array(list(joint.spots.values()), dtype=float).mean(axis=0)
    if port is None:
        x, y = measures(region).centroid
        return np.array([[1.0, 0.0, y0 - y], [0.0, 1.0, x - x0], [0.0, 0.0, 1.0]])
    flat = port.values[:2] if port.is_round else port.values
    rows = [
        row for x, y in zip(flat[0::2], flat[1::2], strict=True) for row in ([1.0, 0.0, y0 - y], [0.0, 1.0, x - x0])
    ]
    return np.array([*rows, [0.0, 0.0, 0.0]] if port.is_round else rows)
