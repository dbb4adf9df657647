"""One pattern placed on another: least squares, or least largest misfit; as it is, mirrored, or in another order."""

from __future__ import annotations

import cmath
import itertools
import math
from enum import StrEnum

import numpy as np
import numpy.typing as npt

from platemaker.errors import SurveyError
from platemaker.records import Record, replace
from platemaker.survey._patterns import Pattern, Point

EXACT = 1e-9
"""Misfits below this, mm, are rounding: nothing is left to improve."""

COARSE = 0.05
"""Reach of a turn, radians, above which it is looked at in steps before it is narrowed down."""
SECTORS = 30
"""How many steps to either side, four times over."""

Complex = npt.NDArray[np.complex128]


class FitKind(StrEnum):
    """What the best placement makes least."""

    LEAST_SQUARES = "least squares"
    LEAST_LARGEST = "least largest misfit"


class Misfit(Record):
    """What is left at one hole after placing: placed minus wanted, mm."""

    name: str
    dx: float
    dy: float

    @property
    def distance(self) -> float:
        """Length of the misfit, mm."""
        return math.hypot(self.dx, self.dy)


class BestFit(Record):
    """A placement: turn by `turn` degrees about `middle` (the pattern's mean), then shift by `shift`, mm.

    `mirrored`: the pattern's Y was reversed before all that, as of a face read from its own front. `onto` are the
    names of the holes that the pattern's holes lie on, in the order of `misfits`.
    """

    kind: FitKind
    middle: Point
    shift: Point
    turn: float
    misfits: tuple[Misfit, ...]
    mirrored: bool = False
    onto: tuple[str, ...] = ()

    @property
    def largest(self) -> Misfit:
        """The worst hole."""
        return max(self.misfits, key=lambda misfit: misfit.distance)

    @property
    def root_mean_square(self) -> float:
        """Root of the mean squared misfit, mm."""
        return math.sqrt(sum(misfit.distance**2 for misfit in self.misfits) / len(self.misfits))

    def place(self, point: Point) -> Point:
        """Where a point of the pattern's frame comes to lie."""
        point = (point[0], -point[1]) if self.mirrored else point
        middle = complex(*self.middle)
        moved = (complex(*point) - middle) * cmath.rect(1.0, math.radians(self.turn)) + middle + complex(*self.shift)
        return moved.real, moved.imag


def best_fit(
    pattern: Pattern, onto: Pattern, kind: FitKind = FitKind.LEAST_SQUARES, *, mirrored: bool = False
) -> BestFit:
    """Place `pattern` on `onto` by a shift and a turn, no change of size and, unless `mirrored`, no mirror image.

    Holes are matched by name where both patterns have the same names, and by their order where no name is in both.
    Least squares: closed form (the plane case of the orthogonal Procrustes problem). Least largest misfit: for a given
    turn the best shift is the centre of the smallest circle around all misfits; its radius is searched over the turn,
    and never larger than the largest misfit of least squares.
    Raises SurveyError when the numbers of holes differ, or some of their names.

    >>> square = Pattern(("A", "B", "C"), ((0, 0), (80, 0), (80, 60)))
    >>> moved = Pattern(("A", "B", "C"), ((5, 5), (5, 85), (-55, 85)))
    >>> found = best_fit(square, moved)
    >>> round(found.turn, 6), round(found.largest.distance, 6)
    (90.0, 0.0)
    """
    names, goals, start, goal = _matched(pattern, onto)
    start = start.conj() if mirrored else start
    middle, goal_middle = complex(start.mean()), complex(goal.mean())
    arms, wanted = start - middle, goal - goal_middle
    turn = cmath.phase(complex(np.vdot(arms, wanted))) if len(names) > 1 else 0.0
    shift = goal_middle - middle
    apart = float(np.abs(wanted - arms * cmath.rect(1.0, turn)).max())
    if kind is FitKind.LEAST_LARGEST and len(names) > 1 and apart > EXACT:
        best, centre = _least_largest(arms, wanted, turn)
        if float(np.abs(wanted - arms * cmath.rect(1.0, best) - centre).max()) < apart:
            turn, shift = best, shift + centre
    left = arms * cmath.rect(1.0, turn) + middle + shift - goal
    return BestFit(
        kind,
        (middle.real, middle.imag),
        (shift.real, shift.imag),
        math.degrees(turn),
        tuple(Misfit(name, float(e.real), float(e.imag)) for name, e in zip(names, left, strict=True)),
        mirrored,
        goals,
    )


FITS_BETTER = 3.0
"""Another way of placing is pointed at when it leaves less than the stated one by this factor."""


def better_placed(pattern: Pattern, onto: Pattern) -> BestFit | None:
    """A placement that fits much better than the stated one: mirrored, in another order, or both; None without one.

    Of two that fit alike the first of these.
    """
    stated = best_fit(pattern, onto, FitKind.LEAST_LARGEST)
    tried = [best_fit(pattern, onto, FitKind.LEAST_LARGEST, mirrored=True)]
    for mirrored in (False, True):
        order = _best_order(pattern, onto, mirrored)
        if order is not None:
            found = Pattern(tuple(onto.names[i] for i in order), tuple(onto.places[i] for i in order))
            laid = best_fit(pattern, replace(found, names=pattern.names), FitKind.LEAST_LARGEST, mirrored=mirrored)
            tried.append(replace(laid, onto=found.names))
    least = min(fit.largest.distance for fit in tried)
    best = next(fit for fit in tried if fit.largest.distance <= 1.5 * least + EXACT)
    fits = FITS_BETTER * best.largest.distance < stated.largest.distance and stated.largest.distance > EXACT
    return best if fits else None


def _best_order(pattern: Pattern, onto: Pattern, mirrored: bool) -> list[int] | None:
    """Which hole of `onto` each hole lies on in the best placement that takes its farthest two onto any two.

    None where no such placement puts each hole next to another one.
    """
    start, goal = (one.array @ np.array([1.0, 1.0j]) for one in (pattern, onto))
    if len(start) < 2:
        return None
    start = start.conj() if mirrored else start
    i, j = divmod(int(np.argmax(np.abs(start[:, None] - start))), len(start))
    arm, best, least = start[j] - start[i], None, math.inf
    for k, m in itertools.permutations(range(len(goal)), 2):
        other = goal[m] - goal[k]
        laid = (start - (start[i] + start[j]) / 2) * (other / abs(other)) / (arm / abs(arm)) + (goal[k] + goal[m]) / 2
        apart = np.abs(laid[:, None] - goal)
        nearest = apart.argmin(axis=1)
        total = float((apart.min(axis=1) ** 2).sum())
        if total < least - EXACT and len(set(nearest)) == len(goal):
            best, least = [int(at) for at in nearest], total
    return best


def _matched(pattern: Pattern, onto: Pattern) -> tuple[tuple[str, ...], tuple[str, ...], Complex, Complex]:
    alone = sorted(set(pattern.names) ^ set(onto.names))
    unmatched = f"only in one of them {', '.join(alone)}"
    if len(pattern.names) != len(onto.names):
        message = (
            f"patterns of {len(pattern.names)} and {len(onto.names)} holes cannot be placed on each other: {unmatched}"
        )
        raise SurveyError(message)
    if alone and set(pattern.names) & set(onto.names):
        message = f"it is not specified which hole lies on which: some have the same name in both patterns; {unmatched}"
        raise SurveyError(message)
    goal, goals = onto.array @ np.array([1.0, 1.0j]), onto.names
    if set(pattern.names) == set(onto.names):
        goal, goals = goal[[onto.names.index(name) for name in pattern.names]], pattern.names
    return pattern.names, goals, pattern.array @ np.array([1.0, 1.0j]), goal


def _least_largest(arms: Complex, wanted: Complex, turn: float) -> tuple[float, complex]:
    """Turn and shift of the least largest misfit, by golden section about the best of several turns.

    The radius is convex in the turn as far as the turn is small; a turn that moves the outermost hole by four times
    the radius of least squares cannot be better.
    """
    golden = (math.sqrt(5.0) - 1.0) / 2.0

    def radius(angle: float) -> tuple[float, complex]:
        centre, size = _smallest_circle([complex(e) for e in wanted - arms * cmath.rect(1.0, angle)])
        return size, centre

    reach = 4.0 * radius(turn)[0] / float(np.abs(arms).max()) + 1e-12
    if reach > COARSE:  # wide misfits: the radius may have several valleys
        turns = np.linspace(turn - min(reach, math.pi), turn + min(reach, math.pi), 4 * SECTORS + 1)
        turn = float(min(turns, key=lambda angle: radius(angle)[0]))
        reach = min(reach, math.pi) / SECTORS
    low, high = turn - reach, turn + reach
    a, b = high - golden * (high - low), low + golden * (high - low)
    at_a, at_b = radius(a)[0], radius(b)[0]
    while high - low > 1e-13:
        if at_a <= at_b:
            high, b, at_b = b, a, at_a
            a = high - golden * (high - low)
            at_a = radius(a)[0]
        else:
            low, a, at_a = a, b, at_b
            b = low + golden * (high - low)
            at_b = radius(b)[0]
    best = (low + high) / 2
    return best, radius(best)[1]


def _smallest_circle(points: list[complex]) -> tuple[complex, float]:
    """Centre and radius of the smallest circle around points, built up point by point (E. Welzl, 1991)."""
    slack = 1e-13 * (1.0 + max(abs(p) for p in points))
    centre, radius = points[0], 0.0
    for i, p in enumerate(points):
        if abs(p - centre) > radius + slack:
            centre, radius = p, 0.0
            for j, q in enumerate(points[:i]):
                if abs(q - centre) > radius + slack:
                    centre, radius = (p + q) / 2, abs(p - q) / 2
                    for r in points[:j]:
                        if abs(r - centre) > radius + slack:
                            centre, radius = _through(p, q, r)
    return centre, radius


def _through(p: complex, q: complex, r: complex) -> tuple[complex, float]:
    a, b = q - p, r - p
    double_area = 2.0 * (a.real * b.imag - a.imag * b.real)
    if abs(double_area) < 1e-30:
        ends = max(((p, q), (p, r), (q, r)), key=lambda pair: abs(pair[0] - pair[1]))
        return (ends[0] + ends[1]) / 2, abs(ends[0] - ends[1]) / 2
    offset = 1j * (b * abs(a) ** 2 - a * abs(b) ** 2) / -double_area
    return p + offset, abs(offset)
