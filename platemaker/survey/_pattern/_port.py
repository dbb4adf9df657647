"""A port from a survey: corners where its straight edges meet, or a round feature with its diameter.

Corners are linear in the edges' own unknowns near the answer, so that their covariance follows by propagation: C. D.
Ghilani and P. R. Wolf, Adjustment Computations, ch. 6 (propagation of errors), chapter number from memory.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from platemaker.errors import SurveyError, nearest_word
from platemaker.records import Record
from platemaker.survey._answer._reliability import Weak
from platemaker.survey._answer._results import Survey, SurveyedEdge
from platemaker.survey._arrays import Array
from platemaker.survey._patterns import Point
from platemaker.survey._records import FeatureKind

LEAST_CORNER = 10.0
"""Degrees between two edges that meet; nearer to parallel their corner runs away. Common practice, no source."""


class PortFigure(Record, eq=False):
    """A port in the survey's frame, mm: its corners, or one centre with a `diameter`.

    `features` are what it was taken from. `covariance` (mm2) belongs to x y of the holes that were asked for, then x y
    of every corner (or of the centre), then the diameter. `weak` are the misreadings that could move its corners
    (centre) unnoticed, as seen from those holes, or from the datum where there are fewer than two.
    """

    features: tuple[str, ...]
    corners: tuple[Point, ...]
    diameter: float | None
    covariance: Array
    weak: tuple[Weak, ...] = ()


def port_of_edges(survey: Survey, holes: Sequence[str], edges: Sequence[str] = ()) -> PortFigure:
    """The port that straight edges enclose, in their order round it; four port edges are put in order by themselves.

    Raises SurveyError for edges that the survey does not have, and for neighbours that do not meet.
    """
    chosen = [_edge(survey, name) for name in edges] if edges else _in_order(survey)
    corners, slopes = [], []
    for before, after in zip((chosen[-1], *chosen[:-1]), chosen, strict=True):
        corner, by_edges = _corner(survey, before, after)
        corners.append(corner)
        slopes.append(by_edges)
    rows = np.vstack([_hole_rows(survey, holes), *slopes])
    names = [
        f"corner {before.name}-{after.name}" for before, after in zip((chosen[-1], *chosen[:-1]), chosen, strict=True)
    ]
    weak = _weak(survey, holes, np.vstack(slopes), corners, names)
    return PortFigure(tuple(edge.name for edge in chosen), tuple(corners), None, _spread(survey, rows), weak)


def _weak(
    survey: Survey, holes: Sequence[str], rows: Array, corners: Sequence[Point], names: Sequence[str]
) -> tuple[Weak, ...]:
    if len(holes) > 1:
        rows = survey.reliability.beside(holes, rows, np.array(corners))
    return survey.reliability.weakest(rows, names)


def port_of_round(survey: Survey, holes: Sequence[str], name: str) -> PortFigure:
    """The port that is a round feature: a hole or a boss with a diameter.

    Raises SurveyError for a feature that the survey does not have, a stud, and one whose diameter was not read.
    """
    point = survey.point(name)
    if point.kind is FeatureKind.STUD:
        message = f"{name} is a stud: a port is a hole, or a boss with its outside diameter"
        raise SurveyError(message)
    if point.diameter is None or point.diameter_sigma is None:
        message = f"the diameter of {name} was not read: write {name}: {{{point.kind.value}: DIAMETER}} in the survey"
        raise SurveyError(message)
    layout, covariance = survey.layout, survey.unknowns
    rows = _hole_rows(survey, (*holes, name))
    if name in layout.sized:
        rows = np.vstack([rows, np.eye(layout.size)[[layout.diameter(name)]]])
        spread = rows @ covariance @ rows.T
    else:  # no reading leans on its diameter: it stands by itself
        spread = np.pad(rows @ covariance @ rows.T, (0, 1))
        spread[-1, -1] = point.diameter_sigma**2
    weak = _weak(survey, holes, _hole_rows(survey, (name,)), (point.place,), (name,))
    return PortFigure((name,), (point.place,), point.diameter, np.asarray(spread), weak)


def _edge(survey: Survey, name: str) -> SurveyedEdge:
    known = {edge.name: edge for edge in survey.edges}
    if name not in known:
        near = nearest_word(name, known)
        hint = f"; did you mean '{near}'?" if near else ""
        message = f"no edge {name!r} in the survey; there are: {', '.join(known) or 'none'}{hint}"
        raise SurveyError(message)
    return known[name]


def _in_order(survey: Survey) -> list[SurveyedEdge]:
    """The four port edges of a survey, the one opposite the first in the third place."""
    found = [edge for edge in survey.edges if edge.kind is FeatureKind.PORT_EDGE]
    if len(found) != 4:
        listed = ", ".join(edge.name for edge in found) or "none"
        has = f"the survey has {len(found)}: {listed}"
        message = f"name the `edges` of the port, or its `round`: only four port edges need none, {has}"
        raise SurveyError(message)
    first, *others = found
    opposite = min(others, key=lambda edge: abs(_cross(first, edge)))
    beside = [edge for edge in others if edge is not opposite]
    return [first, beside[0], opposite, beside[1]]


def _cross(a: SurveyedEdge, b: SurveyedEdge) -> float:
    return math.sin(math.radians(b.normal_angle - a.normal_angle))


def _corner(survey: Survey, before: SurveyedEdge, after: SurveyedEdge) -> tuple[Point, Array]:
    """Where two edges meet, and its derivatives by the unknowns: (2, size).

    n_i . p = c_i; with t_i the edge's direction, dn_i = t_i da, so n_i . dp = dc_i - (t_i . p) da_i.
    """
    if abs(_cross(before, after)) < math.sin(math.radians(LEAST_CORNER)):
        message = f"edges {before.name} and {after.name} do not meet: name the edges in their order round the port"
        raise SurveyError(message)
    angles = np.radians([before.normal_angle, after.normal_angle])
    normals = np.column_stack([np.cos(angles), np.sin(angles)])
    along = np.column_stack([-np.sin(angles), np.cos(angles)])
    inverse = np.linalg.inv(normals)
    at = inverse @ np.array([before.offset, after.offset])
    slopes = np.zeros((2, survey.layout.size))
    for number, edge in enumerate((before, after)):
        column = survey.layout.angle(edge.name)
        slopes[:, column] += inverse[:, number] * -float(along[number] @ at)
        slopes[:, column + 1] += inverse[:, number]
    return (float(at[0]), float(at[1])), slopes


def _hole_rows(survey: Survey, holes: Sequence[str]) -> Array:
    layout = survey.layout
    columns = [layout.x(survey.point(name).name) + axis for name in holes for axis in (0, 1)]
    return np.eye(layout.size)[columns]


def _spread(survey: Survey, rows: Array) -> Array:
    return np.asarray(rows @ survey.unknowns @ rows.T)
