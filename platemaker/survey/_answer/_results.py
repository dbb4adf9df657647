"""What a survey answers. Records only; mm and degrees, in the datum's frame."""

from __future__ import annotations

import numpy as np

from platemaker.errors import SurveyError, nearest_word
from platemaker.records import Record
from platemaker.survey._adjustment._equations import Layout
from platemaker.survey._answer._reliability import Reliability, Weak
from platemaker.survey._arrays import Array
from platemaker.survey._patterns import Ellipse, Pattern, Point
from platemaker.survey._records import Datum, FeatureKind, Reading
from platemaker.units import Words


class SurveyedPoint(Record):
    """A round feature: centre, standard deviations, 95 % ellipse; diameter None where none was read."""

    name: str
    kind: FeatureKind
    x: float
    y: float
    sigma_x: float
    sigma_y: float
    ellipse: Ellipse
    diameter: float | None
    diameter_sigma: float | None

    @property
    def place(self) -> Point:
        """(x, y), mm."""
        return self.x, self.y


class SurveyedEdge(Record):
    """A straight edge: the line n.p = offset, with n at `normal_angle` (degrees), pointing to the features' side."""

    name: str
    kind: FeatureKind
    normal_angle: float
    offset: float
    normal_angle_sigma: float
    offset_sigma: float


class JudgedReading(Record):
    """How a reading agrees with all others. Distances in mm, angles in degrees.

    `reading` is None for the diameter of the feature in `features`. residual = adjusted - read. redundancy: 0 (no
    other reading checks it) to 1. test: normalised residual w (None where nothing checks the reading).
    `least`: the smallest misreading that would be noticed (None where none would); `moves`: the hole that it would move
    farthest in the datum's frame, and by how much, mm (None where it moves none, or nothing limits it).
    `blunder`: how much too long (positive) or short it was read, if it alone is wrong. `ends` are two points for a
    picture. `excluded`: found wrong and left out of the answer.
    """

    reading: Reading | None
    features: tuple[str, ...]
    title: str
    unit: str
    read: float
    adjusted: float
    residual: float
    sigma: float
    redundancy: float
    test: float | None
    blunder: float | None
    least: float | None
    moves: tuple[str, float] | None
    excluded: bool
    ends: tuple[Point, Point]


class Suspect(Record):
    """A reading that is probably wrong: by how much (too long is positive) and which others it may be instead."""

    judged: JudgedReading
    test: float
    blunder: float
    blunder_sigma: float
    alternatives: tuple[str, ...]
    message: Words


class VarianceTest(Record):
    """Chi-square test of all residuals together: do the readings scatter as their deviations say?

    `probability` is that of a larger chi-square by chance (None without redundancy). `factor` = chi-square / dof.
    """

    chi_square: float
    degrees_of_freedom: int
    probability: float | None

    @property
    def factor(self) -> float:
        """A posteriori variance factor; 1 where nothing is redundant."""
        return self.chi_square / self.degrees_of_freedom if self.degrees_of_freedom else 1.0

    @property
    def scatters_more(self) -> bool:
        """Whether the readings scatter more than stated, at the 5 % level, two-sided."""
        return self.probability is not None and self.probability < 0.025

    @property
    def verdict(self) -> str:
        """One line of text, at the same level."""
        if self.probability is None:
            return "no reading is redundant: nothing checks the readings"
        if self.scatters_more:
            return "the readings scatter more than their stated deviations"
        if self.probability > 0.975:
            return "the readings agree better than their stated deviations"
        return "the readings scatter as their stated deviations say"


class Suggestion(Record):
    """A further reading, the feature with the worst ellipse now, and the worst half axis (mm) before and after."""

    features: tuple[str, ...]
    message: str
    worst_feature: str
    worst_before: float
    worst_after: float


class Survey(Record, eq=False):
    """The whole answer. `covariance` belongs to x0 y0 x1 y1 ... of `points`, in their order, mm2.

    `unknowns` is the covariance of everything that was solved for, in the order of `layout` (mm and radians): diameters
    and edges too. `factor` is what a variance is multiplied by for the square of a 95 % half axis. `reliability`: how
    far misreadings that nothing notices may move it.
    """

    datum: Datum
    points: tuple[SurveyedPoint, ...]
    edges: tuple[SurveyedEdge, ...]
    readings: tuple[JudgedReading, ...]
    suspects: tuple[Suspect, ...]
    variance: VarianceTest
    covariance: Array
    suggestions: tuple[Suggestion, ...]
    notes: tuple[str, ...]
    layout: Layout
    unknowns: Array
    factor: float
    reliability: Reliability

    def point(self, name: str) -> SurveyedPoint:
        """A round feature by name."""
        names = [point.name for point in self.points]
        if name not in names:
            near = nearest_word(name, names)
            hint = f"; did you mean '{near}'?" if near else ""
            message = f"no round feature {name!r} in the survey; there are: {', '.join(names)}{hint}"
            raise SurveyError(message)
        return self.points[names.index(name)]

    def pattern(self, names: tuple[str, ...] = ()) -> Pattern:
        """Round features (all, or those named) as a pattern with its covariance."""
        wanted = names or tuple(point.name for point in self.points)
        chosen = [self.points.index(self.point(name)) for name in wanted]
        columns = np.array([[2 * i, 2 * i + 1] for i in chosen]).ravel()
        places = tuple(self.points[i].place for i in chosen)
        return Pattern(wanted, places, self.covariance[np.ix_(columns, columns)])

    @property
    def unchecked(self) -> tuple[str, ...]:
        """The readings in use that nothing checks, each once."""
        return tuple(dict.fromkeys(one.title for one in self.readings if one.least is None and not one.excluded))

    def weak(self, names: tuple[str, ...] = (), *, placed: bool = False) -> tuple[Weak, ...]:
        """For each round feature (all, or those named) the misreading that could move it farthest unnoticed.

        The farthest first; in the datum's frame, or after the best shift and turn of all of them (`placed`).
        """
        wanted = names or tuple(point.name for point in self.points)
        return self.reliability.weakest(self.reliability.holes(wanted, placed=placed), wanted)
