"""From a network of readings to the answer."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from platemaker.remembered import remembered
from platemaker.survey._adjustment._adjust import Adjusted, datum_constraints, transformed
from platemaker.survey._adjustment._equations import Equations, Layout
from platemaker.survey._adjustment._statistics import chi_square_2, chi_square_above, ellipse, f_2
from platemaker.survey._answer._reliability import reliability_of
from platemaker.survey._answer._report import judged_readings, suspects_of
from platemaker.survey._answer._results import Survey, SurveyedEdge, SurveyedPoint, VarianceTest
from platemaker.survey._answer._suggest import suggestions
from platemaker.survey._arrays import Array
from platemaker.survey._figure._figures import best_figure
from platemaker.survey._figure._refusals import require_joined
from platemaker.survey._input import require_sound
from platemaker.survey._records import Network

FOUND = 0.7
"""An error that readings share counts as found by them when its deviation is less than this share of the stated one."""


@remembered(32)
def solve(network: Network) -> Survey:
    """Coordinates, their uncertainty, and what the readings say about each other.

    Raises SpecErrors for readings that cannot be (see `require_sound`) and SurveyError when the readings do not
    determine the network: islands, features that can move, two figures that fit alike, an unknown mirror image.
    """
    require_sound(network)
    require_joined(network)
    equations = Equations(network)
    answer = best_figure(network, equations)
    found = answer.figure
    layout, unknowns = equations.layout, found.fit.unknowns
    constraints = datum_constraints(layout, network.datum, unknowns)
    covariance = transformed(found.cofactors, layout, unknowns, constraints)
    variance = _variance(equations, found.fit)
    factor, note = _ellipse_factor(variance)
    wider = math.sqrt(variance.factor) if variance.scatters_more else 1.0
    reliability = reliability_of(equations, found, covariance, wider)
    covariance = covariance * wider**2
    judged = judged_readings(equations, found, reliability)
    return Survey(
        datum=network.datum,
        points=_points(network, layout, unknowns, covariance, factor),
        edges=_edges(network, layout, unknowns, covariance),
        readings=tuple(one for one, row in zip(judged, equations.observations, strict=True) if row.shared is None),
        suspects=suspects_of(equations, answer.wrong, judged),
        variance=variance,
        covariance=covariance[: 2 * len(layout.rounds), : 2 * len(layout.rounds)],
        suggestions=suggestions(network, equations, found.fit, covariance, factor),
        notes=(note, *_instruments(layout, unknowns, covariance), *_waiting(network)),
        layout=layout,
        unknowns=covariance,
        factor=factor,
        reliability=reliability,
    )


def _instruments(layout: Layout, unknowns: Array, covariance: Array) -> Iterator[str]:
    """The errors that readings share, where the readings determine them better than was stated."""
    for error in layout.shared:
        column = layout.error(error.instrument, error.kind)
        if column is not None and (sigma := math.sqrt(max(covariance[column, column], 0.0))) < FOUND * error.sigma:
            yield f"{error.title}, from the readings: {error.words(float(unknowns[column]), sigma)}"


def _waiting(network: Network) -> tuple[str, ...]:
    titles = [reading.title for reading in network.waiting]
    return (f"not read yet: {'; '.join(titles)}",) if titles else ()


def _variance(equations: Equations, solved: Adjusted) -> VarianceTest:
    dof = int((solved.weights > 0).sum()) - (equations.layout.size - 3)
    if dof <= 0:
        return VarianceTest(solved.cost, 0, None)
    return VarianceTest(solved.cost, dof, chi_square_above(solved.cost, dof))


def _ellipse_factor(variance: VarianceTest) -> tuple[float, str]:
    if variance.scatters_more:
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
