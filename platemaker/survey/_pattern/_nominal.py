"""What a surveyed pattern probably is on its drawing: a rectangle, a bolt circle, a row. Proposed only."""

from __future__ import annotations

import math
from collections.abc import Iterable
from fractions import Fraction

import numpy as np

from platemaker.errors import SurveyError
from platemaker.records import Record, replace
from platemaker.remembered import remembered
from platemaker.survey._adjustment._statistics import chi_square_above
from platemaker.survey._arrays import Array
from platemaker.survey._pattern._shapes import NominalKind, Shape, shapes
from platemaker.survey._patterns import Pattern, Point, rigid_motions
from platemaker.units import MM_PER_INCH, Words, said

MM_STEPS = (10.0, 5.0, 1.0, 0.5, 0.25, 0.1)
"""Steps to which a drawing's dimensions are rounded, mm; common practice, no source."""
INCH_STEPS = (25.4, 12.7, 6.35, 3.175, 1.5875, 0.79375)
"""The same in inches: 1, 1/2, 1/4, 1/8, 1/16, 1/32."""
ACCEPTED = 1.0 - math.sqrt(0.95)
"""Probability of a larger chi-square below which a nominal is refused, in each of two independent tests: a true one
passes both in 95 of 100 surveys."""


class Nominal(Record):
    """A drawing that the survey does not contradict.

    `sizes`, mm: width and height; diameter; pitch; or the distances of a row's holes from its first. `step`: what they
    are rounded to. `rows`: holes along a rectangle's or grid's two sides, corners included. `chi_square` of all
    misfits with its `degrees_of_freedom`; `probability`: the lesser of those of a larger chi-square by chance if the
    shape were true, and if the sizes were. `places`: the nominal's holes laid on the survey, in the order of `names`,
    which is that in which a spec numbers them, and their `misfits`, mm; `at` and `turn` (degrees): where its origin
    lies, in the survey's frame.
    `offsets`: the holes about that origin. `simplest`: no other nominal takes fewer digits.
    """

    kind: NominalKind
    sizes: tuple[float, ...]
    step: float
    rows: tuple[int, int]
    chi_square: float
    degrees_of_freedom: int
    probability: float
    names: tuple[str, ...]
    places: tuple[Point, ...]
    misfits: tuple[float, ...]
    at: Point
    turn: float
    offsets: tuple[Point, ...]
    simplest: bool = True

    @property
    def is_inch(self) -> bool:
        """Whether the sizes are round in inches."""
        return self.step in INCH_STEPS

    @property
    def digits(self) -> float:
        """How many digits it takes to write down the sizes that differ: fewer is simpler."""
        return sum(math.log10(1.0 + size / self.step) for size in set(self.sizes))

    @property
    def spelled(self) -> str:
        """The pattern as a spec spells it, about its own origin.

        A full grid has no word of its own: its places are listed.
        """
        if self.kind is NominalKind.RECTANGLE:
            rows = "" if self.rows == (2, 2) else f", rows: [{self.rows[0]}, {self.rows[1]}]"
            return f"{{rectangle: {self._lengths(self.sizes)}{rows}}}"
        if self.kind is NominalKind.CIRCLE:
            return f"{{circle: {self._lengths(self.sizes)[1:-1]}, count: {len(self.names)}}}"
        if self.kind is NominalKind.GRID:
            return f"{{points: [{', '.join(self._lengths(offset) for offset in self.offsets)}]}}"
        return f"{{row: {self._lengths(x for x, _ in self.offsets)}}}"

    @property
    def placed(self) -> str:
        """The same in the survey's frame."""
        at = ", ".join(f"{round(value, 3) + 0.0:g} mm" for value in self.at)
        return f"{self.spelled[:-1]}, at: [{at}], turn: {round(self.turn, 4) + 0.0:g}}}"

    @property
    def message(self) -> Words:
        """One line of text."""
        begin = "within its uncertainty this is" if self.simplest else "it may also be"
        largest = max(self.misfits)
        return said(
            "nominal", begin=begin, shape=self._shape(), misfit=(largest, "mm"),
            at=self.names[self.misfits.index(largest)], chi=(self.chi_square, ""),
            of=(self.degrees_of_freedom, ""), spelled=self.spelled,
        )  # fmt: skip

    def _shape(self) -> Words:
        count, rows = (len(self.names), ""), (self.rows, "")
        size = self._size(", " if self.kind is NominalKind.ROW else " × ")
        if self.kind is NominalKind.RECTANGLE:
            return said("rectangle", count=count, rows=rows, size=size) if count[0] > 4 else said("of_four", size=size)
        if self.kind is NominalKind.GRID:
            return said("grid", rows=rows, size=size)
        name = {NominalKind.CIRCLE: "bolt_circle", NominalKind.EVEN_ROW: "even_row", NominalKind.ROW: "row"}[self.kind]
        return said(name, count=count, size=size)

    def _size(self, between: str) -> Words:
        """The first two sizes, or those of a row; one of an even row and of a circle."""
        most = {NominalKind.ROW: None, NominalKind.EVEN_ROW: 1, NominalKind.CIRCLE: 1}.get(self.kind, 2)
        sizes = self.sizes[:most]
        if self.is_inch:
            return f"{between.join(map(self._number, sizes))} in"
        return said("by_each_other" if between == " × " else "one_by_one", size=(sizes, "mm"))

    def _lengths(self, values: Iterable[float]) -> str:
        """With their unit, so that they can stand in any spec."""
        unit = "in" if self.is_inch else "mm"
        return f"[{', '.join(f'{self._number(value)} {unit}' for value in values)}]"

    def _number(self, length: float) -> str:
        ticks = length / INCH_STEPS[-1]
        if not self.is_inch or abs(ticks - round(ticks)) > 1e-6:
            return f"{round(length / (MM_PER_INCH if self.is_inch else 1.0), 6) + 0.0:.9g}"
        whole, part = divmod(abs(Fraction(round(ticks), 32)), 1)
        sign = "-" if ticks < -0.5 else ""
        return sign + (str(whole) if not part else f"{whole}-{part}" if whole else str(part))


@remembered(64)
def nominals(pattern: Pattern, steps: tuple[float, ...] = (*MM_STEPS, *INCH_STEPS)) -> tuple[Nominal, ...]:
    """Nominals that agree with a surveyed pattern, the simplest first: the one whose sizes take the fewest digits.

    For each shape the sizes are estimated by least squares weighted with the covariance (shift and turn left free).
    Of n holes and k sizes the shape must pass the chi-square test on 2 n - 3 - k degrees of freedom, and the sizes
    rounded to the coarsest possible of `steps` (mm) the test of their distance from the estimated ones on k; both
    at ACCEPTED. Millimetres and inches are tried apart. Steps finer than two standard deviations of a size say nothing
    and are not tried. Raises SurveyError without covariance.
    """
    if pattern.covariance is None:
        message = "a nominal can be proposed only for a pattern with its covariance"
        raise SurveyError(message)
    series = [[step for step in steps if (step in INCH_STEPS) is inch] for inch in (False, True)]
    found = [nominal for shape in shapes(pattern.array) for nominal in _judged(pattern, shape, series)]
    if any(nominal.kind is NominalKind.EVEN_ROW for nominal in found):
        found = [nominal for nominal in found if nominal.kind is not NominalKind.ROW]
    found.sort(key=lambda nominal: (round(nominal.digits, 6), -nominal.probability))
    return tuple(replace(nominal, simplest=nominal is found[0]) for nominal in found)


def _judged(pattern: Pattern, shape: Shape, series: list[list[float]]) -> list[Nominal]:
    places = pattern.array[shape.order]
    columns = np.array([[2 * i, 2 * i + 1] for i in shape.order]).ravel()
    covariance = np.asarray(pattern.covariance)[np.ix_(columns, columns)] + 1e-12 * np.eye(len(columns))
    free = _without_rigid_motion(places)
    weight = np.linalg.inv(free.T @ covariance @ free)
    sizes, cofactor, least = _estimated(places, shape, free, weight)
    count = len(sizes)
    of_shape = _above(least, len(columns) - 3 - count)
    if of_shape < ACCEPTED:
        return []
    coarse = 2.0 * math.sqrt(float(np.diag(cofactor).max()))
    found = []
    for steps in series:
        for step in steps:
            rounded = np.round(sizes / step) * step
            away = rounded - sizes
            of_sizes = _above(float(away @ np.linalg.solve(cofactor, away)), count)
            if step >= coarse and of_sizes >= ACCEPTED and rounded.min() > 0:
                found.append(_told(pattern, shape, rounded, step, (free, weight, min(of_shape, of_sizes))))
                break
    return found


def _above(chi_square: float, degrees_of_freedom: int) -> float:
    return chi_square_above(chi_square, degrees_of_freedom) if degrees_of_freedom > 0 else 1.0


def _without_rigid_motion(places: Array) -> Array:
    """An orthonormal basis (2 n, 2 n - 3) of displacements without shift and turn."""
    return np.asarray(np.linalg.svd(rigid_motions(places))[0][:, 3:])


def _estimated(places: Array, shape: Shape, free: Array, weight: Array) -> tuple[Array, Array, float]:
    """Sizes by weighted least squares, their covariance, and the chi-square that is left."""
    sizes = shape.start
    for _ in range(4):
        laid, turn, _ = _laid(places, shape.bases, sizes)
        slopes = free.T @ np.stack([(base @ turn.T).ravel() for base in shape.bases], axis=1)
        cofactor = np.linalg.inv(slopes.T @ weight @ slopes)
        sizes = sizes + cofactor @ slopes.T @ weight @ (free.T @ (places - laid).ravel())
    return sizes, cofactor, _chi_square(places, _laid(places, shape.bases, sizes)[0], free, weight)


def _chi_square(places: Array, laid: Array, free: Array, weight: Array) -> float:
    left = free.T @ (places - laid).ravel()
    return float(left @ weight @ left)


def _told(pattern: Pattern, shape: Shape, sizes: Array, step: float, judged: tuple[Array, Array, float]) -> Nominal:
    free, weight, probability = judged
    places = pattern.array[shape.order]
    laid, turn, at = _laid(places, shape.bases, sizes)
    offsets = np.tensordot(sizes, shape.bases, axes=1)
    return Nominal(
        kind=shape.kind,
        sizes=tuple(float(size) for size in sizes),
        step=step,
        rows=shape.rows,
        chi_square=_chi_square(places, laid, free, weight),
        degrees_of_freedom=2 * len(places) - 3,
        probability=probability,
        names=tuple(pattern.names[i] for i in shape.order),
        places=_points(laid),
        misfits=tuple(float(misfit) for misfit in np.hypot(*(places - laid).T)),
        at=(float(at[0]), float(at[1])),
        turn=math.degrees(math.atan2(turn[1, 0], turn[0, 0])),
        offsets=_points(offsets),
    )


def _points(array: Array) -> tuple[Point, ...]:
    return tuple((float(x), float(y)) for x, y in array)


def _laid(places: Array, bases: Array, sizes: Array) -> tuple[Array, Array, Array]:
    """The shape laid on the places by least squares, its turn as a matrix, and where its origin comes to lie."""
    shape = np.tensordot(sizes, bases, axes=1)
    middle, own = places.mean(axis=0), shape.mean(axis=0)
    a, b = shape - own, places - middle
    turn = math.atan2(float((a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]).sum()), float((a * b).sum()))
    matrix = np.array([[math.cos(turn), -math.sin(turn)], [math.sin(turn), math.cos(turn)]])
    return a @ matrix.T + middle, matrix, middle - matrix @ own
