"""Area, centroid and second moments of regions: exact, by Green's theorem over lines and arcs."""

from __future__ import annotations

import numpy as np
from msgspec import Struct

from platemaker.errors import GeometryError
from platemaker.plane._arrays import Floats
from platemaker.plane._shapes import Circle, Loop, Point, Region
from platemaker.plane._table import EdgeTable, edges_of


class Measures(Struct, frozen=True):
    """Area, mm2; centroid, mm; second moments about axes through the centroid, mm4: Ixx of y², Iyy of x², Ixy of xy."""

    area: float
    centroid: Point
    i_xx: float
    i_yy: float
    i_xy: float

    @property
    def i_polar(self) -> float:
        """Polar second moment about the centroid, mm4."""
        return self.i_xx + self.i_yy


def measures(*shapes: Circle | Loop | Region) -> Measures:
    """Measures of one shape, or of several that do not overlap taken as one.

    Green's theorem over the polygon of chords, and the closed moments of the circular segments between chords and
    arcs. Raises GeometryError when the area is 0.

    >>> measures(Loop.rectangle(50.0, 100.0)).i_xx == 50 * 100**3 / 12
    True
    """
    # Loops stand as they travel in a region; a lone loop is filled whichever way it travels.
    parts = [(np.sign(s.area) if isinstance(s, Loop) else 1.0, EdgeTable.of(edges_of(s))) for s in shapes]
    origin = complex(np.mean(np.concatenate([table.start for _, table in parts]))) if parts else 0j
    total = sum((sign * _integrals(table, origin) for sign, table in parts), np.zeros(6))
    area, sx, sy, xx, yy, xy = total.tolist()
    if area <= 0:
        message = f"a shape's measures need an area above 0 mm2, met {area:g}"
        raise GeometryError(message)
    x, y = sx / area, sy / area
    return Measures(
        area,
        (origin.real + x, origin.imag + y),
        yy - area * y * y,
        xx - area * x * x,
        xy - area * x * y,
    )


def _integrals(table: EdgeTable, origin: complex) -> Floats:
    """Integrals of 1, x, y, x², y², xy over the inside, about `origin`: of the polygon of chords, then of segments."""
    return _under_chords(table, origin) + _segments(table.take(table.arcs), origin)


def _under_chords(table: EdgeTable, origin: complex) -> Floats:
    a, b = table.start - origin, table.end - origin
    x0, y0, x1, y1 = a.real, a.imag, b.real, b.imag
    cross = x0 * y1 - x1 * y0
    return np.array(
        [
            (cross / 2).sum(),
            (cross * (x0 + x1) / 6).sum(),
            (cross * (y0 + y1) / 6).sum(),
            (cross * (x0 * x0 + x0 * x1 + x1 * x1) / 12).sum(),
            (cross * (y0 * y0 + y0 * y1 + y1 * y1) / 12).sum(),
            (cross * (2 * x0 * y0 + x0 * y1 + x1 * y0 + 2 * x1 * y1) / 24).sum(),
        ]
    )


def _segments(arcs: EdgeTable, origin: complex) -> Floats:
    """The circular segments between arcs and their chords; negative where the arc turns clockwise.

    `along` is the second moment of the segment along its own axis, `across` the one square to it, about the centre.
    """
    half = arcs.sweep / 2
    axis = (arcs.start - arcs.centre) / np.abs(arcs.start - arcs.centre) * np.exp(1j * half)
    c, s, centre = axis.real, axis.imag, arcs.centre - origin
    sin_cos, cube = np.sin(half) * np.cos(half), np.sin(half) ** 3
    area = arcs.radius**2 * (half - sin_cos)
    moment = arcs.radius**3 * cube * 2 / 3
    along = arcs.radius**4 / 4 * (half - sin_cos + 2 * cube * np.cos(half))
    across = arcs.radius**4 / 12 * (3 * half - 3 * sin_cos - 2 * cube * np.cos(half))
    x, y = centre.real, centre.imag
    return np.array(
        [
            area.sum(),
            (area * x + moment * c).sum(),
            (area * y + moment * s).sum(),
            (area * x * x + 2 * x * moment * c + along * c * c + across * s * s).sum(),
            (area * y * y + 2 * y * moment * s + along * s * s + across * c * c).sum(),
            (area * x * y + x * moment * s + y * moment * c + (along - across) * c * s).sum(),
        ]
    )
