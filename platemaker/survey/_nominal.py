"""What a surveyed pattern probably is on its drawing: a rectangle, a bolt circle, an even row. Proposed only."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from platemaker.errors import SurveyError
from platemaker.survey._equations import Array
from platemaker.survey._results import Pattern, Point
from platemaker.survey._statistics import chi_square_above

MM_STEPS = (10.0, 5.0, 1.0, 0.5, 0.25, 0.1)
"""Steps to which a drawing's dimensions are rounded, mm; common practice, no source."""
INCH_STEPS = (25.4, 12.7, 6.35, 3.175, 1.5875, 0.79375)
"""The same in inches: 1, 1/2, 1/4, 1/8, 1/16, 1/32."""
ACCEPTED = 0.05
"""Probability of a larger chi-square below which a nominal is not proposed."""


class NominalKind(StrEnum):
    """Shapes that are tried."""

    RECTANGLE = "rectangle"
    GRID = "grid"
    CIRCLE = "bolt circle"
    ROW = "even row"


@dataclass(frozen=True)
class Nominal:
    """A drawing that the survey does not contradict.

    `sizes`: width and height, diameter, or pitch, mm. `rows`: holes along each of the two sides. `probability`: of a
    larger chi-square by chance if the nominal were true. `places`: the nominal's holes laid on the survey, in the
    order of `names`. `largest_misfit`, mm.
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
    largest_misfit: float

    @property
    def message(self) -> str:
        """One line of text."""
        a, *rest = (f"{size:g}" for size in self.sizes)
        shape = {
            NominalKind.RECTANGLE: f"a {a} × {''.join(rest)} mm rectangle",
            NominalKind.GRID: f"a grid of {self.rows[0]} × {self.rows[1]} holes over {a} × {''.join(rest)} mm",
            NominalKind.CIRCLE: f"{len(self.names)} holes evenly on a {a} mm bolt circle",
            NominalKind.ROW: f"an even row of {len(self.names)} holes at {a} mm pitch",
        }[self.kind]
        return (
            f"within its uncertainty this is {shape} (largest misfit {self.largest_misfit:.3f} mm, "
            f"chi-square {self.chi_square:.1f} of {self.degrees_of_freedom}); proposed, not used"
        )


@dataclass(frozen=True, eq=False)
class _Shape:
    """Holes as a sum of sizes times `bases` (sizes, n, 2), in the order in which `order` takes the pattern's."""

    kind: NominalKind
    bases: Array
    order: list[int]
    rows: tuple[int, int]


def nominals(pattern: Pattern, steps: tuple[float, ...] = MM_STEPS) -> tuple[Nominal, ...]:
    """Nominals that agree with a surveyed pattern at the 5 % level, the most probable first.

    For each shape the sizes are estimated by least squares weighted with the covariance (shift and turn left free),
    rounded to the coarsest of `steps` (mm) that the chi-square test on 2 n - 3 degrees of freedom accepts. Steps
    finer than two standard deviations of a size say nothing and are not tried. Raises SurveyError without covariance.
    """
    if pattern.covariance is None:
        message = "a nominal can be proposed only for a pattern with its covariance"
        raise SurveyError(message)
    found = [nominal for shape in _shapes(pattern.array) if (nominal := _judged(pattern, shape, steps))]
    return tuple(sorted(found, key=lambda nominal: (-nominal.step, -nominal.probability)))


def _judged(pattern: Pattern, shape: _Shape, steps: tuple[float, ...]) -> Nominal | None:
    places = pattern.array[shape.order]
    columns = np.array([[2 * i, 2 * i + 1] for i in shape.order]).ravel()
    covariance = np.asarray(pattern.covariance)[np.ix_(columns, columns)] + 1e-12 * np.eye(len(columns))
    sizes = _sizes(places, shape.bases)
    rigid = np.zeros((len(columns), 3))
    rigid[0::2, 0] = rigid[1::2, 1] = 1.0
    rigid[0::2, 2], rigid[1::2, 2] = -places[:, 1], places[:, 0]
    free = np.linalg.svd(rigid)[0][:, 3:]
    weight = np.linalg.inv(free.T @ covariance @ free)
    for _ in range(4):
        laid, turn = _laid(places, shape.bases, sizes)
        slopes = free.T @ np.stack([(base @ turn.T).ravel() for base in shape.bases], axis=1)
        spread = np.linalg.inv(slopes.T @ weight @ slopes)
        sizes = sizes + spread @ slopes.T @ weight @ (free.T @ (places - laid).ravel())
    dof = len(columns) - 3
    for step in steps:
        if step < 2.0 * math.sqrt(float(np.diag(spread).max())):
            return None
        rounded = np.round(sizes / step) * step
        laid, _ = _laid(places, shape.bases, rounded)
        left = free.T @ (places - laid).ravel()
        chi_square = float(left @ weight @ left)
        probability = chi_square_above(chi_square, dof)
        if probability >= ACCEPTED and rounded.min() > 0:
            misfit = float(np.hypot(*(places - laid).T).max())
            return Nominal(
                shape.kind, tuple(float(size) for size in rounded), step, shape.rows, chi_square, dof, probability,
                tuple(pattern.names[i] for i in shape.order), tuple((float(x), float(y)) for x, y in laid), misfit,
            )  # fmt: skip
    return None


def _laid(places: Array, bases: Array, sizes: Array) -> tuple[Array, Array]:
    """The shape laid on the places by least squares, and its turn as a matrix."""
    shape = np.tensordot(sizes, bases, axes=1)
    middle, own = places.mean(axis=0), shape.mean(axis=0)
    a, b = shape - own, places - middle
    turn = math.atan2(float((a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]).sum()), float((a * b).sum()))
    matrix = np.array([[math.cos(turn), -math.sin(turn)], [math.sin(turn), math.cos(turn)]])
    return a @ matrix.T + middle, matrix


def _sizes(places: Array, bases: Array) -> Array:
    """First sizes: least squares after laying the shape on with sizes as large as the pattern."""
    sizes = np.full(len(bases), float(np.ptp(places, axis=0).max()) or 1.0)
    for _ in range(20):
        _, turn = _laid(places, bases, sizes)
        matrix = np.stack([((base - base.mean(axis=0)) @ turn.T).ravel() for base in bases], axis=1)
        sizes = np.linalg.lstsq(matrix, (places - places.mean(axis=0)).ravel(), rcond=None)[0]
    return np.asarray(sizes)


def _shapes(places: Array) -> Iterator[_Shape]:
    n = len(places)
    arms = places - places.mean(axis=0)
    if n >= 2:
        axis = np.linalg.eigh(arms.T @ arms)[1][:, 1]
        base = np.column_stack([np.arange(n) - (n - 1) / 2, np.zeros(n)])
        yield _Shape(NominalKind.ROW, base[None], _ordered(arms @ axis), (n, 1))
    if n >= 3:
        angles = np.arange(n) * math.tau / n
        base = np.column_stack([np.cos(angles), np.sin(angles)]) / 2
        yield _Shape(NominalKind.CIRCLE, base[None], _ordered(np.arctan2(arms[:, 1], arms[:, 0])), (n, 1))
    for rows in range(2, math.isqrt(n) + 1):
        if n % rows == 0:
            yield _grid(places, n // rows, rows)


def _ordered(keys: Array) -> list[int]:
    return [int(i) for i in np.argsort(keys, kind="stable")]


def _grid(places: Array, columns: int, rows: int) -> _Shape:
    """A grid with `columns` holes along its first side; tried along every direction from the first hole."""
    x, y = np.tile(np.linspace(-0.5, 0.5, columns), rows), np.repeat(np.linspace(-0.5, 0.5, rows), columns)
    bases = np.array([np.column_stack([x, 0 * x]), np.column_stack([0 * y, y])])
    best: tuple[float, list[int]] | None = None
    for arm in places[1:] - places[0]:
        along = arm / np.hypot(*arm)
        u, v = places @ along, places @ np.array([-along[1], along[0]])
        by_row = np.argsort(v, kind="stable").reshape(rows, columns)
        order = [int(i) for row in by_row for i in row[np.argsort(u[row], kind="stable")]]
        laid, _ = _laid(places[order], bases, _sizes(places[order], bases))
        misfit = float(((laid - places[order]) ** 2).sum())
        if best is None or misfit < best[0] - 1e-9:
            best = misfit, order
    order = best[1] if best else []
    width, height = _sizes(places[order], bases)
    if columns == rows and width < height:
        order = [int(i) for i in np.rot90(np.array(order).reshape(rows, columns)).ravel()]
    return _Shape(NominalKind.RECTANGLE if columns == rows == 2 else NominalKind.GRID, bases, order, (columns, rows))
