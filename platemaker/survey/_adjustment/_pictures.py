"""Pictures as readings: points clicked in a scan or photo, adjusted together with the calipers.

A picture shows the plane by an affine map: u = t + M x, with a scale, a rotation, a shear in whatever direction, and
perhaps mirrored, as a gasket is that was laid on the glass face down. All six unknowns of it are found. Only the shear
is held loosely to none, for a scanner's axes are nearly alike and square, and a photo is taken nearly from above.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from platemaker.records import Record
from platemaker.survey._records import HALF_DIAMETERS, Network, Picture

SHEAR = 0.02
"""Standard deviation of both components of the shear, as a share of the scale; common practice, no source."""
TYPICAL_SCALE = 25.4 / 300.0
"""Millimetres a pixel where no reading gives them: 300 to the inch."""
UNKNOWNS = 6
"""Of each picture: t (2), and M row by row (4), in millimetres roughly."""

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.intp]


class Laid(Record, eq=False):
    """A picture's points in rough millimetres about their mean, Y up: (n, 2), and what a pixel is in them, mm."""

    picture: Picture
    names: tuple[str, ...]
    points: Array
    pixel: float

    @property
    def sigma(self) -> float:
        """Standard deviation of a coordinate, mm."""
        return self.picture.sigma * self.pixel


def laid_out(picture: Picture, network: Network) -> Laid:
    """A picture scaled by the readings between its features: by the median of millimetres over pixels."""
    names = tuple(sorted(picture.points))
    points = np.array([picture.points[name] for name in names], dtype=float) * np.array([1.0, -1.0])
    pixel = scale_of(picture, network) or TYPICAL_SCALE
    return Laid(picture, names, (points - points.mean(axis=0)) * pixel, pixel)


def scale_of(picture: Picture, network: Network) -> float | None:
    """Roughly how many mm a pixel is, by readings between features that the picture shows; None without one."""
    ratios = []
    for reading in network.readings:
        if reading.kind not in HALF_DIAMETERS or not set(reading.features) <= set(picture.points):
            continue
        sizes = [network.by_name[name].diameter or 0.0 for name in reading.features]
        halves = zip(HALF_DIAMETERS[reading.kind], sizes, strict=True)
        span = reading.value - sum(share * size / 2 for share, size in halves)
        (ax, ay), (bx, by) = (picture.points[name] for name in reading.features)
        apart = float(np.hypot(ax - bx, ay - by))
        if span > 0 and apart > 0:
            ratios.append(span / apart)
    return float(np.median(ratios)) if ratios else None


def starting(laid: Laid, places: Array) -> Array:
    """The unknowns of a picture that fit places (n, 2) of its points best: an affine map by least squares.

    Where they lie nearly on one line, or are too few, a similarity.
    """
    middle = places.mean(axis=0)
    arms = places - middle
    spread = np.linalg.svd(arms, compute_uv=False)
    if len(places) > 2 and spread[1] > 0.05 * spread[0]:
        matrix = np.linalg.lstsq(arms, laid.points, rcond=None)[0].T
    else:
        matrix = _similarity(arms, laid.points)
    return np.concatenate([-matrix @ middle, matrix.ravel()])


def _similarity(arms: Array, points: Array) -> Array:
    a, b = arms @ np.array([1.0, 1.0j]), points @ np.array([1.0, 1.0j])
    factor = np.vdot(a, b) / max(float(np.vdot(a, a).real), 1e-12)
    return np.array([[factor.real, -factor.imag], [factor.imag, factor.real]])


def shown(u: Array, rows: Index, columns: Index, factors: Array, computed: Array, slopes: Array) -> None:
    """Coordinates of points in their pictures: `columns` are t, M's two of the row, x and y; no `factors`."""
    t, m_x, m_y, x, y = columns
    computed[rows] = u[t] + u[m_x] * u[x] + u[m_y] * u[y]
    slopes[rows, t] = 1.0
    slopes[rows, m_x], slopes[rows, m_y] = u[x], u[y]
    slopes[rows, x], slopes[rows, y] = u[m_x], u[m_y]


def sheared(u: Array, rows: Index, columns: Index, factors: Array, computed: Array, slopes: Array) -> None:
    """The shear's components, 0 without one: a - s d and b + s c of M = ((a, b), (c, d)), with s the sign of det M.

    `columns` are a, b, c, d; `factors` 0 for the first and 1 for the second component.
    """
    a, b, c, d = columns
    sign = np.where(u[a] * u[d] - u[b] * u[c] < 0, -1.0, 1.0)
    first = factors[0] < 0.5
    one, other = np.where(first, a, b), np.where(first, d, c)
    way = np.where(first, -sign, sign)
    computed[rows] = u[one] + way * u[other]
    slopes[rows, one] += 1.0
    slopes[rows, other] += way


def rigid_part(values: Array) -> Array:
    """What a shift along X, along Y and a turn about the origin change in a picture's unknowns (6): (6, 3)."""
    matrix = values[2:].reshape(2, 2)
    modes = np.zeros((UNKNOWNS, 3))
    modes[:2, :2] = -matrix
    modes[2:, 2] = -(matrix @ np.array([[0.0, -1.0], [1.0, 0.0]])).ravel()
    return modes
