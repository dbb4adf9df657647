"""Errors that readings with one instrument share, as unknowns: zero, scale, and the flats of the jaws.

Each is an unknown with an observation of its own, its stated mean and deviation. Where readings of different kinds
allow it the adjustment finds it; where they do not, its deviation goes into that of every place that it touches.
"""

from __future__ import annotations

import math
from enum import StrEnum

import numpy as np

from platemaker.records import Record
from platemaker.survey._records import (
    EDGE_HALF_DIAMETER,
    HALF_DIAMETERS,
    Feature,
    FeatureKind,
    Network,
    Reading,
    ReadingKind,
    SharedErrors,
)

SCALED = 100.0
"""The unknown of a scale is mm on this length, mm, so that its size is like that of the others."""
CERTAIN = 1e-3
"""Least deviation of a shared error, mm or mm2: one stated as certain is certain to this."""


class ErrorKind(StrEnum):
    """Which error readings share."""

    ZERO = "zero"
    SCALE = "scale"
    INSIDE = "inside jaws"
    OUTSIDE = "outside jaws"
    SHEAR = "shear"


class SharedError(Record):
    """One unknown: whose and which error, with the mean and deviation that are stated.

    zero: mm; scale: mm on SCALED mm; jaws: the square of their flats, mm2.
    """

    instrument: str
    kind: ErrorKind
    mean: float
    sigma: float

    @property
    def title(self) -> str:
        """Its name in words."""
        return {
            ErrorKind.ZERO: f"zero of {self.instrument}",
            ErrorKind.SCALE: f"scale of {self.instrument}",
            ErrorKind.INSIDE: f"flats of the inside jaws of {self.instrument}",
            ErrorKind.OUTSIDE: f"flats of the outside jaws of {self.instrument}",
            ErrorKind.SHEAR: f"shear of picture {self.instrument}",
        }[self.kind]

    def words(self, value: float, sigma: float) -> str:
        """A value of the unknown with its deviation, as one would measure it."""
        if self.kind is ErrorKind.SCALE:
            return f"{value * 1000 / SCALED:+z.2f} mm a metre (sd {sigma * 1000 / SCALED:.2f})"
        if self.kind is ErrorKind.SHEAR:
            return f"{100 * value:+z.1f} % (sd {100 * sigma:.1f})"
        if self.kind is ErrorKind.ZERO:
            return f"{value:+z.3f} mm (sd {sigma:.3f})"
        wide = math.sqrt(max(value, 0.0))
        # sd of the width: half that of its square over the width; near zero the root of the square's.
        return f"{wide:.2f} mm wide (sd {min(sigma / (2 * wide) if wide else math.inf, math.sqrt(sigma)):.2f})"


def shared_errors(network: Network) -> tuple[SharedError, ...]:
    """The shared errors that touch some reading, in an order that does not depend on how the network was written."""
    known = {one.name: one for one in network.instruments}
    features = network.by_name
    touched = {found for reading in network.readings for found in _of_reading(reading, features)}
    touched |= {found for feature in network.features for found in of_feature(feature)}
    order = list(ErrorKind)
    return tuple(
        error
        for name, kind in sorted(touched, key=lambda one: (one[0], order.index(one[1])))
        if name in known and (error := _error(known[name], kind)) is not None
    )


def _error(instrument: SharedErrors, kind: ErrorKind) -> SharedError | None:
    mean, sigma = getattr(instrument, kind.value.split(" ", maxsplit=1)[0])
    if mean == 0.0 and sigma == 0.0:
        return None
    share = SCALED / 1000.0 if kind is ErrorKind.SCALE else 1.0
    return SharedError(instrument.name, kind, mean * share, max(sigma * share, CERTAIN))


def of_feature(feature: Feature) -> list[tuple[str, ErrorKind]]:
    """What the reading of a feature's own diameter shares: inside jaws in a hole."""
    if feature.diameter is None:
        return []
    found = [(feature.instrument, ErrorKind.ZERO), (feature.instrument, ErrorKind.SCALE)]
    return [*found, (feature.instrument, ErrorKind.INSIDE)] if feature.kind is FeatureKind.HOLE else found


def _of_reading(reading: Reading, features: dict[str, Feature]) -> list[tuple[str, ErrorKind]]:
    if reading.kind.unit != "mm" or reading.kind.is_statement:
        return []
    found = [(reading.instrument, ErrorKind.ZERO), (reading.instrument, ErrorKind.SCALE)]
    return [*found, *((reading.instrument, jaw) for _, jaw, _ in jaws_of(reading, features))]


def jaws_of(reading: Reading, features: dict[str, Feature]) -> list[tuple[str, ErrorKind, float]]:
    """The holes that a reading has a jaw in, which jaw it is, and how many half diameters of the hole it counts.

    At the side of a hole that faces the reading's other end an outside jaw presses outwards from it; at the far side an
    inside jaw.
    """
    kind = reading.kind
    if kind is ReadingKind.DIAMETER:
        factors = [(reading.features[0], 2.0)]
    elif kind in HALF_DIAMETERS:
        factors = list(zip(reading.features, HALF_DIAMETERS[kind], strict=True))
    else:
        factors = [(name, EDGE_HALF_DIAMETER.get(kind, 0.0)) for name in reading.features]
    return [
        (name, ErrorKind.INSIDE if factor > 0 else ErrorKind.OUTSIDE, factor)
        for name, factor in factors
        if factor and features[name].kind is FeatureKind.HOLE
    ]


def half_short(diameter: np.ndarray, square: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """How much less than half its diameter from a hole's centre a jaw with flats touches it, and the derivatives.

    (D - sqrt(D^2 - q)) / 2 of the diameter D and the flats' square q, mm and mm2. A flat 1 mm wide in a hole of 8.5 mm:

    >>> short, _, _ = half_short(np.array([8.5]), np.array([1.0]))
    >>> round(float(short[0]), 4)   # (8.5 - sqrt(72.25 - 1)) / 2
    0.0295
    """
    root = np.sqrt(np.maximum(diameter**2 - square, 0.25 * diameter**2 + 1e-12))
    return (diameter - root) / 2, (1.0 - diameter / root) / 2, 0.25 / root
