"""Surveyed patterns: a joint's spots from a file of caliper readings beside the spec."""

from __future__ import annotations

from collections.abc import Mapping

from platemaker.errors import SpecError
from platemaker.plane import Point
from platemaker.spec import ProjectSpec, SurveyPattern


def surveyed_spots(spec: ProjectSpec, pattern: SurveyPattern, joint: str) -> Mapping[str, Point]:
    """The coordinates that a survey gives to a joint's holes."""
    problem = f"joint '{joint}' asks for a survey, which is not read yet"
    raise SpecError(problem, where=spec.where("joints", joint), met=pattern.survey)
