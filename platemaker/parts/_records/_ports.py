"""Openings of joints, and bodies' own ports: stated as figures, or taken from surveys with their uncertainty."""

from __future__ import annotations

import math
from collections.abc import Iterable
from itertools import pairwise
from typing import TYPE_CHECKING

from platemaker.errors import SpecError, nearest_word
from platemaker.parts._records._figures import loop_of, on_grid, turned
from platemaker.parts._records._surveys import (
    Covariance,
    Surveyed,
    Surveys,
    Suspects,
    rows_of,
    suspects_of,
    turned_covariance,
)
from platemaker.plane import Loop, Point, Region, self_contact
from platemaker.records import Record
from platemaker.spec import CircleShape, LoopShape, Pattern, PortShape, Shape, SurveyOpening, SurveyPattern

if TYPE_CHECKING:
    from platemaker.survey import PortFigure, Survey, Weak


class SurveyedPort(Record):
    """What a survey says of a port besides its figure, in the joint's frame, mm.

    `values` are x y of every corner (each rounded by `corner_radius`), or x y of a round port's centre and its
    diameter. `covariance` belongs to x y of the joint's spots, in their order, then to the values. `factor` times a
    variance is the square of a 95 % half axis. `weak` are the misreadings that could move it farthest unnoticed.
    """

    file: str
    features: tuple[str, ...]
    values: tuple[float, ...]
    corner_radius: float
    covariance: Covariance
    factor: float
    suspects: Suspects = ()
    weak: tuple[Weak, ...] = ()

    @property
    def is_round(self) -> bool:
        """Whether the values are a centre and a diameter; three corners have six."""
        return len(self.values) == 3

    def figure(self, values: Iterable[float]) -> Region:
        """The port with other values than those found, its corners' radius as large as still fits."""
        given = list(values)
        if self.is_round:
            return Region(Loop.circle((given[0], given[1]), given[2] / 2))
        corners = list(zip(given[0::2], given[1::2], strict=True))
        return Region.of(Loop.rounded(corners, min(self.corner_radius, _largest_radius(corners))))


def _largest_radius(corners: list[Point]) -> float:
    """The largest radius that all corners have room for: one of angle a takes r / tan(a / 2) of both its sides."""
    sides = list(pairwise((*corners, corners[0])))
    takes = []
    for (before, at), (_, after) in zip((sides[-1], *sides[:-1]), sides, strict=True):
        bearings = [math.atan2(point[1] - at[1], point[0] - at[0]) for point in (before, after)]
        angle = abs((bearings[1] - bearings[0] + math.pi) % math.tau - math.pi)
        takes.append(1.0 / math.tan(angle / 2))
    rooms = [math.dist(*side) / (a + b) for side, a, b in zip(sides, takes, (*takes[1:], takes[0]), strict=True)]
    return (1.0 - 1e-9) * min(rooms)


class Port(Record):
    """A port of a joint: its name, its shape in the spec, its exact figure in the joint's frame, what a survey says."""

    name: str
    shape: Shape
    region: Region
    surveyed: SurveyedPort | None = None


class PortReader(Record):
    """Reads the ports of one joint: its openings, and the bodies' own. `stated` is the survey of its `count` spots."""

    joint: str
    surveys: Surveys
    pattern: Pattern | None
    count: int
    stated: Surveyed | None

    def read(self, name: str, given: PortShape, *path: str) -> Port:
        """The port called `name`, given at key `path`. Raises SpecError for whatever is wrong with it or its survey."""
        spec = self.surveys.spec
        with spec.blame(*path):
            if not isinstance(given, SurveyOpening):
                return Port(name, given, Region.of(loop_of(given, name)))
            shape, surveyed = self._surveyed(given, path)
            loop = loop_of(shape, name)
            met = self_contact(loop)
            if met is not None:
                problem = "the edges cross each other"
                raise SpecError(problem, where=spec.where(*path), allowed="`edges` in their order round the port")
            return Port(name, shape, Region.of(loop), surveyed)

    def _surveyed(self, given: SurveyOpening, path: tuple[str, ...]) -> tuple[Shape, SurveyedPort]:
        survey = self.surveys.solved(given.survey, *path)
        at, turn = self._place(given)
        figure = _figure_of(given, survey, self._holes(given), self.surveys, path)
        if figure.diameter is not None:
            [centre] = figure.corners
            x, y = turned(centre, at, turn)
            shape: Shape = CircleShape(circle=on_grid(figure.diameter), at=(on_grid(x), on_grid(y)))
        else:
            corners = tuple((x, y, given.corner_radius) for x, y in figure.corners)
            shape = LoopShape(loop=corners, at=at, turn=turn)
        placed = [value for corner in figure.corners for value in turned(corner, at, turn)]
        values = tuple(map(on_grid, placed if figure.diameter is None else (*placed, figure.diameter)))
        covariance = self._covariance(figure, given, turn)
        stated = self.stated
        factor = max(survey.factor, stated.factor) if stated else survey.factor
        return shape, SurveyedPort(
            given.survey,
            figure.features,
            values,
            given.corner_radius,
            covariance,
            factor,
            suspects_of(survey),
            figure.weak,
        )

    def _same_file(self, given: SurveyOpening) -> SurveyPattern | None:
        """The pattern of the joint, where it was taken from the same survey."""
        pattern = self.pattern
        return pattern if isinstance(pattern, SurveyPattern) and pattern.survey == given.survey else None

    def _place(self, given: SurveyOpening) -> tuple[Point, float]:
        pattern = self._same_file(given)
        at = given.at or (pattern.at if pattern else (0.0, 0.0))
        turn = given.turn if given.turn is not None else pattern.turn if pattern else 0.0
        return at, turn

    def _holes(self, given: SurveyOpening) -> tuple[str, ...]:
        """The joint's spots that the port's survey knows: what its covariance has to say of both together."""
        stated = self.stated
        return stated.spots if stated is not None and self._same_file(given) is not None else ()

    def _covariance(self, figure: PortFigure, given: SurveyOpening, turn: float) -> Covariance:
        """The covariance of the joint's spots and the port's values, turned into the joint's frame."""
        import numpy as np  # noqa: PLC0415 - specs without a survey must not pay for its start-up

        holes, size = len(self._holes(given)), len(figure.covariance)
        pattern = self._same_file(given)
        turns = [pattern.turn if pattern else 0.0] * holes + [turn] * len(figure.corners)
        own = turned_covariance(figure.covariance, turns)
        if holes:
            return own
        known = self.stated.covariance if self.stated else ()
        whole = np.zeros((2 * self.count + size, 2 * self.count + size))
        if known:  # another survey: what the one and the other have wrong has nothing in common
            whole[: len(known), : len(known)] = known
        whole[-size:, -size:] = own
        return rows_of(whole)


def _figure_of(
    given: SurveyOpening, survey: Survey, holes: tuple[str, ...], surveys: Surveys, path: tuple[str, ...]
) -> PortFigure:
    """The port of a survey; a feature that it lacks is reported at its own place."""
    from platemaker.survey import port_of_edges, port_of_round  # noqa: PLC0415 - see PortReader._covariance

    spec = surveys.spec
    if given.round is not None:
        known = [point.name for point in survey.points]
        if given.round not in known:
            problem = f"no round feature in {given.survey} is called this"
            raise SpecError(
                problem, where=spec.where(*path, "round"), met=given.round, allowed=", ".join(known),
                nearest=nearest_word(given.round, known),
            )  # fmt: skip
        with spec.blame(*path, "round"):
            return port_of_round(survey, holes, given.round)
    lines = [edge.name for edge in survey.edges]
    for place, name in enumerate(given.edges or ()):
        if name not in lines or name in (given.edges or ())[:place]:
            problem = f"no edge in {given.survey} is called this" if name not in lines else "an edge is named twice"
            raise SpecError(
                problem, where=spec.where(*path, "edges", place), met=name, allowed=", ".join(lines) or "it has none",
                nearest=nearest_word(name, lines) if name not in lines else None,
            )  # fmt: skip
    with spec.blame(*path, *(("edges",) if given.edges else ())):
        return port_of_edges(survey, holes, given.edges or ())
