"""What a survey starts from: features, readings and the datum. Records only; mm and degrees."""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum
from functools import cached_property

from platemaker.errors import Location
from platemaker.records import Record


class FeatureKind(StrEnum):
    """What can be measured to.

    An edge is an outer edge of the casting: all round features lie on one side of it, which the first drawing uses. A
    port edge may have them on both.
    """

    HOLE = "hole"
    STUD = "stud"
    BOSS = "boss"
    EDGE = "edge"
    PORT_EDGE = "port edge"

    @property
    def is_round(self) -> bool:
        """Whether the feature has a centre and a diameter; the others are straight lines."""
        return self not in (FeatureKind.EDGE, FeatureKind.PORT_EDGE)


class ReadingKind(StrEnum):
    """How a reading is taken. Distances in mm, angles in degrees.

    centres, inside, outside: between the centres, the near sides, the far sides of two round features.
    same_side: from the far side of the first round feature to the near side of the second.
    hole_to_edge, far_to_edge, centre_to_edge: from a straight edge to the near side, far side, centre.
    edge_to_edge: between two parallel edges. depth: a rod from an edge to a stud, a boss or a parallel edge.
    angle: at the middle of three round features, or between two edges.
    straight: round features on one line. square, parallel: two edges.
    diameter: of one round feature.
    """

    CENTRES = "centres"
    INSIDE = "inside"
    OUTSIDE = "outside"
    SAME_SIDE = "same_side"
    HOLE_TO_EDGE = "hole_to_edge"
    FAR_TO_EDGE = "far_to_edge"
    CENTRE_TO_EDGE = "centre_to_edge"
    EDGE_TO_EDGE = "edge_to_edge"
    DEPTH = "depth"
    ANGLE = "angle"
    STRAIGHT = "straight"
    SQUARE = "square"
    PARALLEL = "parallel"
    DIAMETER = "diameter"

    @property
    def is_statement(self) -> bool:
        """Whether it states a shape ("these lie on one line") and so has no number of its own."""
        return self in (ReadingKind.STRAIGHT, ReadingKind.SQUARE, ReadingKind.PARALLEL)

    @property
    def unit(self) -> str:
        """Unit of the value: mm or deg."""
        return "deg" if self in (ReadingKind.ANGLE, ReadingKind.SQUARE, ReadingKind.PARALLEL) else "mm"


HALF_DIAMETERS: dict[ReadingKind, tuple[float, float]] = {
    ReadingKind.CENTRES: (0.0, 0.0),
    ReadingKind.INSIDE: (-1.0, -1.0),
    ReadingKind.OUTSIDE: (1.0, 1.0),
    ReadingKind.SAME_SIDE: (1.0, -1.0),
}
"""Reading between two round features = distance of centres + these times the half diameters."""

EDGE_HALF_DIAMETER: dict[ReadingKind, float] = {
    ReadingKind.HOLE_TO_EDGE: -1.0,
    ReadingKind.DEPTH: -1.0,
    ReadingKind.FAR_TO_EDGE: 1.0,
    ReadingKind.CENTRE_TO_EDGE: 0.0,
}
"""Reading from an edge to a round feature = distance of the centre + this times the half diameter."""


class SharedErrors(Record):
    """Errors that all readings with one instrument share, each as a mean and its standard deviation.

    `zero`: mm added to every length. `scale`: mm more a metre. `inside`, `outside`: the square of the width of the
    flats of its inside and outside jaws, mm2: with a flat f a jaw in a hole of diameter D touches it
    sqrt(D^2 - f^2) / 2 from its centre, not D / 2. A deviation of 0 and a mean of 0 is no error.
    """

    name: str
    zero: tuple[float, float] = (0.0, 0.0)
    scale: tuple[float, float] = (0.0, 0.0)
    inside: tuple[float, float] = (0.0, 0.0)
    outside: tuple[float, float] = (0.0, 0.0)


class Rough(Record):
    """Roughly where a round feature lies, mm, in a frame of its own, to a standard deviation; and how large it is."""

    at: tuple[float, float]
    sigma: float
    diameter: float | None = None


class Feature(Record):
    """Something on the casting. `diameter` (mm) is its own reading with standard deviation `diameter_sigma`, mm.

    `repeats` is how often it was taken (diameter and deviation are then of the mean), `instrument` with what.
    """

    name: str
    kind: FeatureKind
    diameter: float | None = None
    diameter_sigma: float = 0.05
    where: Location | None = None
    repeats: int = 1
    instrument: str = ""
    rough: Rough | None = None


class Reading(Record):
    """One reading: `value` and standard deviation `sigma` in the kind's unit. `number` counts from 1.

    `repeats` is how often it was taken (value and sigma are then of the mean), `instrument` with what.
    """

    number: int
    kind: ReadingKind
    features: tuple[str, ...]
    value: float
    sigma: float
    where: Location | None = None
    repeats: int = 1
    instrument: str = ""

    @property
    def title(self) -> str:
        """Words for a message: `reading 7, B-D inside`."""
        return f"reading {self.number}, {'-'.join(self.features)} {self.kind.value.replace('_', ' ')}"


class DatumKind(StrEnum):
    """What the standard deviations are relative to: the origin and X direction, or the whole network's middle."""

    FIXED = "fixed"
    FREE = "free"


class Datum(Record):
    """Frame of the answer: `origin` at (0, 0), X towards `x_towards`, and who lies left (y > 0) or right of X.

    Distances do not distinguish a pattern from its mirror image; `left` and `right` do. `kind` chooses only what the
    covariance is relative to; the coordinates are the same.
    """

    origin: str
    x_towards: str
    left: tuple[str, ...] = ()
    right: tuple[str, ...] = ()
    kind: DatumKind = DatumKind.FIXED
    where: Location | None = None


class Picture(Record):
    """Points of round features in a scan or photo: `points` in pixels, Y down, to the standard deviation `sigma`."""

    name: str
    points: Mapping[str, tuple[float, float]]
    sigma: float
    where: Location | None = None


class Network(Record):
    """All that was measured on one casting. `instruments` are the errors that readings of each share.

    `waiting` are readings that are to be taken, in their order; their value is nan. `inch`: whether numbers without a
    unit were typed in inches.
    """

    features: tuple[Feature, ...]
    readings: tuple[Reading, ...]
    datum: Datum
    instruments: tuple[SharedErrors, ...] = ()
    waiting: tuple[Reading, ...] = ()
    pictures: tuple[Picture, ...] = ()
    inch: bool = False

    @cached_property
    def by_name(self) -> dict[str, Feature]:
        """Features by name."""
        return {feature.name: feature for feature in self.features}
