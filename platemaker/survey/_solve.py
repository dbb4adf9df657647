"""From a network of readings to the answer."""

from __future__ import annotations

import math

import numpy as np

from platemaker.errors import SurveyError
from platemaker.survey._adjust import Fit, adjusted, datum_constraints, transformed, vector_of
from platemaker.survey._clues import Clues, clues_of
from platemaker.survey._equations import Array, Equations, Layout
from platemaker.survey._input import require_sound
from platemaker.survey._rank import Candidate, candidates, cures, islands, loose_modes, movers, taken_pairs
from platemaker.survey._records import Datum, Network
from platemaker.survey._report import judged_readings, suspects_of
from platemaker.survey._results import Survey, SurveyedEdge, SurveyedPoint, VarianceTest
from platemaker.survey._snoop import search
from platemaker.survey._start import first_drawings
from platemaker.survey._statistics import chi_square_2, chi_square_above, ellipse, f_2
from platemaker.survey._suggest import suggestions

TELL_APART = 10.83
"""Two figures whose chi-squares differ by less cannot be told apart: 0.1 % of chi-square with 1 degree of freedom."""
TRIED = 6
"""First drawings adjusted at most, unless none of them fits (chi-square above 4 a reading) or places were guessed."""
NEAR = 50.0
"""Drawings that are worse than the best by more are not adjusted: two clues missed altogether."""


def solve(network: Network) -> Survey:
    """Coordinates, their uncertainty, and what the readings say about each other.

    Raises SpecErrors for readings that cannot be (see `require_sound`) and SurveyError when the readings do not
    determine the network: islands, features that can move, two figures that fit alike, an unknown mirror image.
    """
    require_sound(network)
    _require_joined(network)
    equations = Equations(network)
    solved = _best_figure(network, equations)
    found = search(equations, network.datum, solved)
    layout, unknowns = equations.layout, found.fit.unknowns
    constraints = datum_constraints(layout, network.datum, unknowns)
    covariance = transformed(found.cofactors, layout, unknowns, constraints)
    variance = _variance(equations, found.fit)
    factor, note = _ellipse_factor(variance)
    if variance.probability is not None and variance.probability < 0.025:
        covariance = covariance * variance.factor
    judged = judged_readings(equations, found)
    return Survey(
        datum=network.datum,
        points=_points(network, layout, unknowns, covariance, factor),
        edges=_edges(network, layout, unknowns, covariance),
        readings=judged,
        suspects=suspects_of(equations, found, judged),
        variance=variance,
        covariance=covariance[: 2 * len(layout.rounds), : 2 * len(layout.rounds)],
        suggestions=suggestions(network, equations, unknowns, covariance, factor),
        notes=(note,),
    )


def _require_joined(network: Network) -> None:
    groups = islands(network)
    if len(groups) == 1:
        return
    kinds = network.by_name
    first, other = groups[0], groups[1]
    mainland = [name for name in first if kinds[name].kind.is_round] or list(first)
    away = [name for name in other if kinds[name].kind.is_round] or list(other)
    pairs = [(mainland[0], away[0]), (mainland[-1], away[0]), (mainland[0], away[-1])]
    wanted = ", ".join(dict.fromkeys(f"{a}-{b}" for a, b in pairs))
    told = "; ".join(", ".join(group) for group in groups)
    message = f"the readings leave {len(groups)} islands that nothing joins: {told}; take readings such as {wanted}"
    raise SurveyError(message)


def _best_figure(network: Network, equations: Equations) -> Fit:
    clues, plausible = clues_of(network, equations), 4.0 * len(equations.values)
    layout, datum = equations.layout, network.datum
    fits: list[Fit] = []
    drawings = first_drawings(clues)
    for drawing in drawings:
        enough = len(fits) >= TRIED and not drawing.guessed and min(f.cost for f in fits) < plausible
        if enough or drawing.score > drawings[0].score + NEAR:
            break
        fits.append(adjusted(equations, datum, vector_of(drawing, clues.diameters)))
    fits.sort(key=lambda solved: solved.cost)
    fits = [solved for solved in fits if _on_one_side(clues, layout, solved.unknowns)] or fits
    _require_held(network, equations, fits[0])
    allowed = [solved for solved in fits if _on_sides(layout, datum, solved.unknowns)]
    if not allowed or allowed[0].cost > fits[0].cost + TELL_APART:
        message = f"no figure that fits the readings has {_sides(datum)} of the line {datum.origin}-{datum.x_towards}"
        raise SurveyError(message)
    _require_mirror_known(network, layout, allowed[0].unknowns, clues.scatter)
    _require_single(network, layout, allowed, clues.scatter)
    return allowed[0]


def _require_held(network: Network, equations: Equations, solved: Fit) -> None:
    free = loose_modes(equations, solved)
    if not free.shape[1]:
        return
    layout = equations.layout
    moving = movers(layout, solved, free)
    wanted = ", ".join(str(cure) for cure in cures(network, layout, solved, free))
    verb = "is" if len(moving) == 1 else "are"
    cure = f"take also {wanted}" if wanted else "state which features lie on one line, or measure from an edge"
    message = f"the readings do not hold the network: {', '.join(moving)} {verb} free to move; {cure}"
    raise SurveyError(message)


def _on_one_side(clues: Clues, layout: Layout, moved: Array) -> bool:
    """Whether no edge of the casting has measured features on both of its sides."""
    for edge, name in zip(clues.sided, layout.edges, strict=True):
        if edge:
            angle, offset = moved[layout.angle(name) : layout.angle(name) + 2]
            line = len(layout.rounds) + layout.edges.index(name)
            points = np.array([moved[2 * i : 2 * i + 2] for (e, i) in clues.stands if e == line]).reshape(-1, 2)
            heights = points @ np.array([math.cos(angle), math.sin(angle)]) - offset
            if heights.size and heights.min() < -3 * clues.scatter and heights.max() > 3 * clues.scatter:
                return False
    return True


def _on_sides(layout: Layout, datum: Datum, moved: Array) -> bool:
    ys = {name: moved[layout.x(name) + 1] for name in (*datum.left, *datum.right)}
    return all(ys[name] >= 0 for name in datum.left) and all(ys[name] <= 0 for name in datum.right)


def _sides(datum: Datum) -> str:
    told = [f"{', '.join(names)} {side}" for names, side in ((datum.left, "left"), (datum.right, "right")) if names]
    return " and ".join(told)


def _require_mirror_known(network: Network, layout: Layout, moved: Array, scatter: float) -> None:
    datum = network.datum
    if datum.left or datum.right:
        return
    heights = moved[1 : 2 * len(layout.rounds) : 2]
    if np.abs(heights).max(initial=0.0) > 3 * scatter:
        name = layout.rounds[int(np.argmax(np.abs(heights)))]
        message = (
            f"readings cannot tell the pattern from its mirror image: state in the datum whether {name} lies left or "
            f"right of the line from {datum.origin} to {datum.x_towards}"
        )
        raise SurveyError(message)


def _require_single(network: Network, layout: Layout, allowed: list[Fit], scatter: float) -> None:
    best, last = allowed[0], 2 * len(layout.rounds)
    here = best.unknowns
    for other in allowed[1:]:
        there = other.unknowns
        apart = np.hypot(*(here[:last] - there[:last]).reshape(-1, 2).T)
        if other.cost > best.cost + TELL_APART or apart.max() <= 10 * scatter:
            continue
        names = [name for name, distance in zip(layout.rounds, apart, strict=True) if distance > 10 * scatter]
        pairs, _ = candidates(layout, here, taken_pairs(network))
        changes = [abs(_length(layout, pair, here) - _length(layout, pair, there)) for pair in pairs]
        verb = "fits" if len(names) == 1 else "fit"
        message = f"the readings allow two figures: {', '.join(names)} {verb} in two places"
        if changes:
            wanted = pairs[int(np.argmax(np.round(changes, 6)))]
            message += f"; read also {wanted}, or state in the datum on which side of the X line they lie"
        raise SurveyError(message)


def _length(layout: Layout, pair: Candidate, unknowns: Array) -> float:
    a, b = pair.features
    x, y = unknowns[layout.x(b) : layout.x(b) + 2]
    if a in layout.edges:
        angle, offset = unknowns[layout.angle(a) : layout.angle(a) + 2]
        return float(abs(math.cos(angle) * x + math.sin(angle) * y - offset))
    return math.dist((x, y), unknowns[layout.x(a) : layout.x(a) + 2])


def _variance(equations: Equations, solved: Fit) -> VarianceTest:
    dof = int((solved.weights > 0).sum()) - (equations.layout.size - 3)
    if dof <= 0:
        return VarianceTest(solved.cost, 0, None)
    return VarianceTest(solved.cost, dof, chi_square_above(solved.cost, dof))


def _ellipse_factor(variance: VarianceTest) -> tuple[float, str]:
    if variance.probability is not None and variance.probability < 0.025:
        r = variance.degrees_of_freedom
        factor = 2 * f_2(r)
        return factor, (
            f"ellipses at 95 %: deviations enlarged by {math.sqrt(variance.factor):.2f} because the readings scatter "
            f"more than stated; factor 2 F(0.95; 2, {r}) = {factor:.3f}"
        )
    return chi_square_2(), "ellipses at 95 % from the stated deviations; chi-square(0.95; 2) = 5.991"


def _points(
    network: Network, layout: Layout, unknowns: Array, covariance: Array, factor: float
) -> tuple[SurveyedPoint, ...]:
    found = []
    for name in layout.rounds:
        i, feature = layout.x(name), network.by_name[name]
        block = covariance[i : i + 2, i : i + 2]
        sigma_x, sigma_y = np.sqrt(np.maximum(np.diag(block), 0.0))
        diameter, sigma = feature.diameter, feature.diameter_sigma if feature.diameter is not None else None
        if name in layout.sized:
            column = layout.diameter(name)
            diameter, sigma = float(unknowns[column]), math.sqrt(max(covariance[column, column], 0.0))
        found.append(
            SurveyedPoint(
                name, feature.kind, float(unknowns[i]), float(unknowns[i + 1]), float(sigma_x), float(sigma_y),
                ellipse(block, factor), diameter, sigma,
            )
        )  # fmt: skip
    return tuple(found)


def _edges(network: Network, layout: Layout, unknowns: Array, covariance: Array) -> tuple[SurveyedEdge, ...]:
    found = []
    for name in layout.edges:
        i = layout.angle(name)
        spread = np.sqrt(np.maximum(np.diag(covariance)[i : i + 2], 0.0))
        angle = math.degrees(unknowns[i])
        found.append(
            SurveyedEdge(
                name, network.by_name[name].kind, angle, float(unknowns[i + 1]),
                math.degrees(spread[0]), float(spread[1]),
            )
        )  # fmt: skip
    return tuple(found)
