"""Surveyed patterns: a joint's spots, with their uncertainty, from a file of caliper readings beside the spec."""

from __future__ import annotations

import math
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from platemaker.errors import SpecError, nearest_word
from platemaker.plane import Point
from platemaker.records import Record
from platemaker.spec import READINGS, ProjectSpec, SurveyPattern
from platemaker.units import Words

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

    from platemaker.survey import Survey, Weak

    Array = npt.NDArray[np.float64]

Covariance = tuple[tuple[float, ...], ...]
"""Rows of a covariance, mm2, for x0 y0 x1 y1 ... of some spots in their order."""


class SuspectReading(Record):
    """A reading that is probably wrong: what to say of it, its normalised residual, and whether it was left out."""

    name: str
    words: Words
    test: float
    left_out: bool


Suspects = tuple[SuspectReading, ...]


class Surveyed(Record):
    """What a survey gives of a joint's spots besides their places, in the joint's frame.

    `worst` is the spot with the longest 95 % half axis, `half_axis` mm. `proposals` are drawings that the survey does
    not contradict, in words; they are not used. `weak` are the misreadings that could move the spots farthest
    unnoticed, after the best shift and turn of all of them. A variance times `factor` is the square of a 95 % half
    axis.
    """

    file: str
    spots: tuple[str, ...]
    covariance: Covariance
    worst: str
    half_axis: float
    readings: int
    redundant: int
    suspects: Suspects
    proposals: tuple[Words, ...]
    factor: float
    weak: tuple[Weak, ...] = ()


class Surveys:
    """The surveys beside a spec; each is solved once."""

    def __init__(self, spec: ProjectSpec) -> None:
        self.spec = spec
        self._solved: dict[Path, Survey] = {}

    def solved(self, name: str, *path: str) -> Survey:
        """The survey in the file `name`, wanted at key `path`.

        Raises SpecError for a file that is not there and readings that determine nothing.
        """
        # Specs without a survey must not pay for its start-up.
        from platemaker.survey import solve_file  # noqa: PLC0415

        file = _file(self.spec, name, *path)
        if file not in self._solved:
            with self.spec.blame(*path, "survey"):
                self._solved[file] = solve_file(file)
        return self._solved[file]


def surveyed_spots(surveys: Surveys, pattern: SurveyPattern, *path: str) -> tuple[dict[str, Point], Surveyed]:
    """The survey's coordinates of the holes that `pattern` at key `path` wants, before it is placed, and the rest.

    Raises SpecError for a file that is not there, features that it lacks, and readings that determine nothing.
    """
    from platemaker.survey import nominals  # noqa: PLC0415 - see Surveys.solved

    survey = surveys.solved(pattern.survey, *path)
    names = pattern.features or ()
    if len(set(names)) != len(names):
        twice = next(name for name in names if names.count(name) > 1)
        problem = f"feature '{twice}' is listed twice"
        raise SpecError(problem, where=surveys.spec.where(*path, "features"), allowed="each hole once")
    with surveys.spec.blame(*path, "survey"):
        chosen = survey.pattern(tuple(names))
    places = dict(zip(chosen.names, chosen.places, strict=True))
    turns = [pattern.turn] * len(places)
    spread = () if chosen.covariance is None else turned_covariance(chosen.covariance, turns)
    # A drawing guessed from readings of which one is wrong would be a wrong drawing.
    asked = len(places) > 1 and not survey.suspects
    proposals = tuple(nominal.message for nominal in nominals(chosen)) if asked else ()
    return places, _told(pattern, survey, chosen.names, spread, proposals)


def _told(
    pattern: SurveyPattern, survey: Survey, names: tuple[str, ...], spread: Covariance, proposals: tuple[Words, ...]
) -> Surveyed:
    worst = max((survey.point(name) for name in names), key=lambda point: point.ellipse.semi_major)
    return Surveyed(
        pattern.survey, names, spread, worst.name, worst.ellipse.semi_major, len(survey.readings),
        survey.variance.degrees_of_freedom, suspects_of(survey), proposals, survey.factor,
        survey.weak(names, placed=True),
    )  # fmt: skip


def suspects_of(survey: Survey) -> Suspects:
    """The readings of a survey that are probably wrong."""
    kept = {reading.title for reading in survey.readings if not reading.excluded}
    return tuple(
        SuspectReading(one.judged.title, one.message, abs(one.test), one.judged.title not in kept)
        for one in survey.suspects
    )


def _file(spec: ProjectSpec, name: str, *path: str) -> Path:
    file = spec.folder / name
    if not file.is_file():
        there = sorted(one.name for one in spec.folder.glob(f"*{READINGS}"))
        problem = f"no file {name} beside the spec"
        raise SpecError(
            problem,
            where=spec.where(*path, "survey"),
            allowed=", ".join(there) or f"a file of readings, NAME{READINGS}",
            nearest=nearest_word(name, there),
        )
    return file


def turned_covariance(covariance: Array, turns: Sequence[float]) -> Covariance:
    """R C R': a covariance of x0 y0 x1 y1 ... seen from a frame in which each place is turned, by `turns` degrees.

    What follows the places in it, such as a diameter, is left as it is.
    """
    import numpy as np  # noqa: PLC0415 - see Surveys.solved

    rotation = np.eye(len(covariance))
    for place, turn in enumerate(turns):
        c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
        rotation[2 * place : 2 * place + 2, 2 * place : 2 * place + 2] = [[c, -s], [s, c]]
    return rows_of(rotation @ covariance @ rotation.T)


def rows_of(table: Array) -> Covariance:
    """An array as rows of plain numbers."""
    return tuple(tuple(float(value) for value in row) for row in table)
