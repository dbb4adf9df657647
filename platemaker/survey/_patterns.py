"""Places with their uncertainty: patterns and ellipses. Records only; mm and degrees."""

from __future__ import annotations

import numpy as np

from platemaker.errors import SurveyError
from platemaker.records import Record
from platemaker.survey._arrays import Array

Point = tuple[float, float]


class Ellipse(Record):
    """Error ellipse: half axes in mm and the direction of the longer, degrees from X in (-90, 90]."""

    semi_major: float
    semi_minor: float
    angle: float

    def holds(self, offset: Point) -> bool:
        """Whether a point at `offset` from the centre lies inside or on it."""
        turn = np.radians(self.angle)
        u = offset[0] * np.cos(turn) + offset[1] * np.sin(turn)
        v = offset[1] * np.cos(turn) - offset[0] * np.sin(turn)
        if self.semi_minor <= 1e-12 or self.semi_major <= 1e-12:
            return bool(abs(v) <= self.semi_minor + 1e-9 and abs(u) <= self.semi_major + 1e-9)
        return bool((u / self.semi_major) ** 2 + (v / self.semi_minor) ** 2 <= 1.0)


class Pattern(Record, eq=False):
    """Named places (mm) with their joint covariance (mm2, x0 y0 x1 y1 ...); None for a pattern known exactly."""

    names: tuple[str, ...]
    places: tuple[Point, ...]
    covariance: Array | None = None

    def __post_init__(self) -> None:
        if len(self.names) != len(self.places) or not self.names:
            message = f"a pattern needs one place a name, met {len(self.names)} names and {len(self.places)} places"
            raise SurveyError(message)
        shape = (2 * len(self.names), 2 * len(self.names))
        if self.covariance is not None and self.covariance.shape != shape:
            message = f"covariance of {len(self.names)} places must be {shape}, met {self.covariance.shape}"
            raise SurveyError(message)

    @property
    def array(self) -> Array:
        """Places as (n, 2)."""
        return np.array(self.places, dtype=float).reshape(-1, 2)


def rigid_motions(places: Array) -> Array:
    """What a small shift along X, along Y and a turn (radians, about the origin) do to x0 y0 x1 y1 ...: (2 n, 3)."""
    motions = np.zeros((2 * len(places), 3))
    motions[0::2, 0] = motions[1::2, 1] = 1.0
    motions[0::2, 2], motions[1::2, 2] = -places[:, 1], places[:, 0]
    return motions
