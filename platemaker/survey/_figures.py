"""Which figure the readings mean: the best of several first drawings."""

from __future__ import annotations

import math

import numpy as np

from platemaker.errors import SurveyError
from platemaker.survey._adjust import Fit, adjusted, vector_of
from platemaker.survey._clues import Clues, clues_of
from platemaker.survey._equations import Array, Equations, Layout
from platemaker.survey._hinges import folded
from platemaker.survey._rank import loose_modes
from platemaker.survey._records import Datum, Network
from platemaker.survey._refusals import all_lengths, require_held, require_mirror_known, require_single, sides_of
from platemaker.survey._report import title
from platemaker.survey._score import CAP
from platemaker.survey._snoop import Search, exchanged, search
from platemaker.survey._start import DIGITS, first_drawings
from platemaker.survey._statistics import chi_square_above

TELL_APART = 10.83
"""Two figures whose chi-squares differ by less cannot be told apart: 0.1 % of chi-square with 1 degree of freedom."""
IN_DOUBT = 50.0
"""The same where the readings disagree in the best figure too: one that is wrong may be what speaks against another."""
SAME_SIZE = 1.25
"""Holes whose diameters differ by a smaller factor are no hole and its counterbore; common practice, no source."""
TRIED = 6
"""First drawings adjusted at most, unless none of them fits or places were guessed."""
UNLIKELY = 1e-4
"""Probability of a chi-square as large below which a figure is said not to fit."""
NEAR = 50.0
"""Drawings that are worse than the best by more are not adjusted: two clues missed altogether."""


def best_figure(network: Network, equations: Equations) -> Fit:
    """The figure that fits the readings, adjusted, in the datum's frame.

    First drawings are adjusted and compared by chi-square; where none fits, by chi-square after the search for gross
    errors, so that one wrong reading does not choose the figure. Raises SurveyError when the figure can move, when
    two figures fit alike, or when the datum's sides fit none.
    """
    clues = clues_of(network, equations)
    layout, datum = equations.layout, network.datum
    fits, costs = _figures(network, equations, clues)
    fits = _held_first(equations, fits, costs)
    require_held(network, equations, fits[0])
    allowed = [solved for solved in fits if _on_sides(layout, datum, solved.unknowns, clues.scatter)]
    if not allowed or costs[id(allowed[0])] > costs[id(fits[0])] + TELL_APART:
        message = f"no figure that fits the readings has {sides_of(datum)} of the line {datum.origin}-{datum.x_towards}"
        raise SurveyError(message)
    if allowed[0] is not fits[0]:
        require_held(network, equations, allowed[0])
    require_mirror_known(network, layout, allowed[0].unknowns, clues.scatter)
    agreed = _agrees(allowed[0])
    most = costs[id(allowed[0])] + (TELL_APART if agreed else IN_DOUBT)
    rivals = [
        solved.unknowns
        for solved in allowed[1:]
        if costs[id(solved)] <= most and _is_other(equations, datum, allowed[0], solved, 10 * clues.scatter)
    ]
    doubt = "" if agreed else _first_suspect(equations, datum, allowed[0])
    require_single(network, layout, allowed[0].unknowns, rivals, 10 * clues.scatter, doubt)
    return allowed[0]


def _figures(network: Network, equations: Equations, clues: Clues) -> tuple[list[Fit], dict[int, float]]:
    """The figures that first drawings lead to, the best first, and their costs by identity."""
    fits: list[Fit] = []
    costs: dict[int, float] = {}

    def settle(start: Array) -> None:
        solved, cost = _settled(equations, network.datum, start, clues)
        fits.append(solved)
        costs[id(solved)] = round(cost, DIGITS)

    def sorted_out() -> list[Fit]:
        fits.sort(key=lambda solved: costs[id(solved)])
        kept = [solved for solved in fits if _on_one_side(clues, equations.layout, solved.unknowns)] or fits
        clear = [one for one in kept if not _overlap(network, equations.layout, one.unknowns, clues.scatter)]
        return clear if clear and costs[id(clear[0])] <= costs[id(kept[0])] + TELL_APART else kept

    drawings = first_drawings(clues)
    for drawing in drawings:
        enough = len(fits) >= TRIED and not drawing.guessed and any(_plausible(one) for one in fits)
        if enough or drawing.score > drawings[0].score + NEAR:
            break
        settle(vector_of(drawing, clues.diameters))
    best = sorted_out()[0]
    if not _agrees(best) or _overlap(network, equations.layout, best.unknowns, clues.scatter):
        for start in folded(equations, best):
            settle(start)
        for found in exchanged(equations, network.datum, sorted_out()[0]):
            fits.append(found.fit)
            costs[id(found.fit)] = round(_robust_cost(found), DIGITS)
    return sorted_out(), costs


def _held_first(equations: Equations, fits: list[Fit], costs: dict[int, float]) -> list[Fit]:
    """The same order, but of the best, where several fit alike, those that can move come last: rounding ranks them."""
    if not _moves(equations, fits[0]):
        return fits
    best = costs[id(fits[0])]
    return sorted(fits, key=lambda one: (costs[id(one)], costs[id(one)] == best and _moves(equations, one)))


def _moves(equations: Equations, solved: Fit) -> bool:
    return bool(loose_modes(equations, solved).shape[1])


def _agrees(solved: Fit) -> bool:
    """Whether no reading had to be set aside and the rest scatter as stated."""
    return _plausible(solved) and bool(solved.weights.all())


def _is_other(equations: Equations, datum: Datum, best: Fit, rival: Fit, apart: float) -> bool:
    """Whether a rival is another figure, and not the same one with another reading said to be wrong.

    With the best one's readings alone it then does not fall back into the best one.
    """
    lengths = all_lengths(equations.layout, best.unknowns)

    def away(one: Fit) -> bool:
        return float(np.abs(all_lengths(equations.layout, one.unknowns) - lengths).max(initial=0.0)) > apart

    return away(rival) and away(adjusted(equations, datum, rival.unknowns, (best.weights > 0).astype(float)))


def _first_suspect(equations: Equations, datum: Datum, solved: Fit) -> str:
    found = search(equations, datum, solved)
    rows = (*found.set_aside, *found.tied)
    return f"; or {title(equations.observations[rows[0]])} is wrong: read it again first" if rows else ""


def _plausible(solved: Fit) -> bool:
    """Whether the readings agree in this figure as far as chance allows (1 in 10 000)."""
    dof = int((solved.weights > 0).sum()) - (len(solved.unknowns) - 3)
    return solved.cost < TELL_APART if dof <= 0 else chi_square_above(solved.cost, dof) > UNLIKELY


def _settled(equations: Equations, datum: Datum, start: Array, clues: Clues) -> tuple[Fit, float]:
    """A drawing adjusted, with its chi-square.

    Where that is not plausible: the same after the search for gross errors (see `_robust_cost`); once from the
    adjustment of all readings, once without those that miss the drawing widely, for a gross error of many standard
    deviations drags the adjustment of all readings away.
    """
    solved = adjusted(equations, datum, start)
    if _plausible(solved) or _moves(equations, solved):
        return solved, solved.cost
    found = [search(equations, datum, solved)]
    misses = np.abs(equations.evaluate(start)[0] - equations.values) / equations.sigmas
    near = (misses <= math.sqrt(CAP) * clues.looseness / clues.scatter).astype(float)
    if 0 < (near == 0).sum() <= (len(near) - len(start) + 3) / 2:
        without = adjusted(equations, datum, start, near)
        if not _moves(equations, without):
            found.append(search(equations, datum, without))
    costs = [_robust_cost(one) for one in found]
    best = int(np.argmin(costs))
    return found[best].fit, costs[best]


def _robust_cost(found: Search) -> float:
    """Chi-square, in which readings set aside (and one of a tie) count little more the more they are wrong.

    CAP (1 + ln(w^2 / CAP)) in place of w^2: a figure that needs one reading wrong by 1 mm comes before one that needs
    it wrong by 50 mm, and this before one that needs three wrong.
    """
    cost, wrong = found.fit.cost, [float(found.tests.test[row]) ** 2 for row in found.set_aside]
    if found.tied:
        wrong.append(float(found.tests.test[found.tied[0]]) ** 2)
        cost = max(cost - wrong[-1], 0.0)
    # A reading that nothing else checks has no test (nan) and cannot be called wrong.
    return cost + sum(math.inf if math.isnan(w2) else CAP * (1 + math.log(max(w2 / CAP, 1.0))) for w2 in wrong)


def _on_one_side(clues: Clues, layout: Layout, moved: Array) -> bool:
    """Whether no edge of the casting has round features on both of its sides."""
    points = moved[: 2 * len(layout.rounds)].reshape(-1, 2)
    for sided, name in zip(clues.sided, layout.edges, strict=True):
        angle, offset = moved[layout.angle(name) : layout.angle(name) + 2]
        heights = points @ np.array([math.cos(angle), math.sin(angle)]) - offset
        if sided and points.size and heights.min() < -3 * clues.scatter and heights.max() > 3 * clues.scatter:
            return False
    return True


def _overlap(network: Network, layout: Layout, moved: Array, scatter: float) -> bool:
    """Whether two round features of one kind and size lie on each other, as they cannot on a casting."""
    points = moved[: 2 * len(layout.rounds)].reshape(-1, 2)
    features = [network.by_name[name] for name in layout.rounds]
    near = np.linalg.norm(points[:, None] - points[None], axis=2)
    for i, j in np.argwhere(np.triu(near < max(f.diameter or 0.0 for f in features) + 10 * scatter, 1)):
        one, other = features[i], features[j]
        if one.kind is other.kind and (one.diameter is None) is (other.diameter is None):
            a, b = one.diameter or 10 * scatter, other.diameter or 10 * scatter
            if max(a, b) < SAME_SIZE * min(a, b) and near[i, j] < (a + b) / 2:
                return True
    return False


def _on_sides(layout: Layout, datum: Datum, moved: Array, scatter: float) -> bool:
    ys = {name: moved[layout.x(name) + 1] for name in (*datum.left, *datum.right)}
    slack = 3 * scatter
    return all(ys[name] >= -slack for name in datum.left) and all(ys[name] <= slack for name in datum.right)
