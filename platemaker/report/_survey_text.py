"""A survey's answer for the terminal and for programs."""

from __future__ import annotations

import json
import math
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from platemaker.report._said import worded
from platemaker.report._terminal import wrapped
from platemaker.units import MM_PER_INCH

if TYPE_CHECKING:
    from platemaker.survey import JudgedReading, Nominal, Survey, Weak

FORMAT = 3
"""Version of the layout of the JSON; a change of meaning raises it."""
WIDTH = 100


def render_survey(survey: Survey, proposals: Sequence[Nominal], name: str, unit: str = "mm") -> str:
    """Coordinates, ellipses, readings with residuals, what is suspect, what to read next, and proposed nominals."""
    factor = MM_PER_INCH if unit == "in" else 1.0
    lines = [*_head(survey, name, unit), *_points(survey, factor), *_edges(survey, factor), "", *_readings(survey), ""]
    lines += [line for words in _words(survey, proposals) for line in wrapped(words, WIDTH)]
    return "\n".join(lines) + "\n"


def _head(survey: Survey, name: str, unit: str) -> Iterator[str]:
    redundant, datum = survey.variance.degrees_of_freedom, survey.datum
    yield (
        f"{name}: {counted(len(survey.points), 'round feature')}, {counted(len(survey.edges), 'edge')}; "
        f"{counted(len(survey.readings), 'reading')}, {redundant} redundant"
    )
    free = "; uncertainty relative to the whole network" if datum.kind.value == "free" else ""
    yield f"frame: {datum.origin} at (0, 0), X towards {datum.x_towards}{free}; lengths in {unit}"
    yield ""


def counted(number: int, word: str) -> str:
    """A number of things in words.

    >>> counted(1, "edge"), counted(0, "edge")
    ('1 edge', '0 edges')
    """
    return f"{number} {word}{'' if number == 1 else 's'}"


def _points(survey: Survey, factor: float) -> Iterator[str]:
    digits = 4 if factor > 1 else 3
    yield f"{'feature':<14}{'x':>11}{'y':>11}{'sd x':>9}{'sd y':>9}   {'95 % ellipse':<26}{'diameter':>10}"
    for one in survey.points:
        x, y, sx, sy, a, b = (
            f"{value / factor:z.{digits}f}"
            for value in (one.x, one.y, one.sigma_x, one.sigma_y, one.ellipse.semi_major, one.ellipse.semi_minor)
        )
        held = f"+-{a} x +-{b} at {one.ellipse.angle:.0f} deg" if one.ellipse.semi_major > 1e-9 else "datum"
        wide = "" if one.diameter is None else f"{one.diameter / factor:.{digits}f}"
        name = f"{one.name} {one.kind.value}"
        yield f"{name:<14}{x:>11}{y:>11}{sx:>9}{sy:>9}   {held:<34}{wide:>8}".rstrip()


def _edges(survey: Survey, factor: float) -> Iterator[str]:
    for one in survey.edges:
        yield (
            f"{one.name} {one.kind.value}: {one.offset / factor:.3f} (sd {one.offset_sigma / factor:.3f}) from the "
            f"origin along {one.normal_angle:.2f} deg (sd {one.normal_angle_sigma:.2f})"
        )


def _readings(survey: Survey) -> Iterator[str]:
    wide = max(len(one.title) for one in survey.readings)
    head = f"{'reading, mm, deg':<{wide}}{'read':>10}{'adjusted':>10}{'residual':>10}{'sd':>8}{'checked':>9}{'w':>7}"
    yield f"{head}{'noticed from':>14}  moves"
    for one in survey.readings:
        test = "" if one.test is None else f"{one.test:z.1f}"
        row = (
            f"{one.title:<{wide}}{one.read:>10.3f}{one.adjusted:>z10.3f}{one.residual:>+z10.3f}{one.sigma:>8.3f}"
            f"{one.redundancy:>8.0%} {test:>7}"
        )
        yield (row + ("" if one.excluded else _unnoticed(one)) + _flag(one)).rstrip()


def _unnoticed(one: JudgedReading) -> str:
    """The least misreading that is noticed, and the hole that it moves farthest."""
    least = "never" if one.least is None else f"{one.least:.2f}"
    moves = "" if one.moves is None else f"{one.moves[0]} by {one.moves[1]:.2f}"
    return f"{least:>14}  {moves}"


def _flag(one: JudgedReading) -> str:
    unit = "" if one.unit == "mm" else " deg"
    return unit + (" left out" if one.excluded else "")


def _words(survey: Survey, proposals: Sequence[Nominal]) -> Iterator[str]:
    yield from (f"suspect: {worded(one.message).metric}" for one in survey.suspects)
    yield from _checked(survey)
    variance = survey.variance
    share = "" if variance.probability is None else f" (chi-square {variance.chi_square:.1f})"
    yield f"{variance.verdict}{share}"
    yield from survey.notes
    yield from (f"next: {one.message}" for one in survey.suggestions[:3])
    for one in proposals:
        yield worded(one.message).metric
        yield f"in this survey's frame: {one.placed}; misfits in its holes' order: {_misfits(one)} mm"


def _checked(survey: Survey) -> Iterator[str]:
    """Whether the readings that others check agree, which are not checked, and what to read to check them."""
    unchecked = survey.unchecked
    if not survey.suspects and len(unchecked) < len(survey.readings):
        yield "no reading is suspect" + (" among those that others check" if unchecked else "")
    if unchecked:
        yield f"nothing checks, so that a misreading would go unnoticed: {'; '.join(unchecked)}"
    weak = survey.weak(placed=True)
    if weak and not survey.suspects:
        worst = weak[0]
        yield f"next: {worst.cure}; now {worst.hole} is checked least" + (
            ""
            if math.isinf(worst.shift)
            else f": a misreading of {worst.title} that goes unnoticed may move it by "
            f"{worst.shift:.2f} mm, after the best shift and turn of all holes"
        )


def _misfits(one: Nominal) -> str:
    return ", ".join(f"{name} {misfit:.3f}" for name, misfit in zip(one.names, one.misfits, strict=True))


def survey_json(survey: Survey, proposals: Sequence[Nominal], name: str) -> str:
    """The whole answer as JSON: mm and degrees, numbers rounded to 1e-9, keys in a fixed order."""
    record = {
        "format": FORMAT,
        "survey": name,
        "unit": "mm",
        "datum": {"origin": survey.datum.origin, "x_towards": survey.datum.x_towards, "kind": survey.datum.kind.value},
        "points": [
            {
                "name": one.name, "kind": one.kind.value, "x": one.x, "y": one.y, "sd_x": one.sigma_x,
                "sd_y": one.sigma_y, "diameter": one.diameter, "sd_diameter": one.diameter_sigma,
                "ellipse_95": {
                    "half_axes": [one.ellipse.semi_major, one.ellipse.semi_minor], "angle": one.ellipse.angle,
                },
            }
            for one in survey.points
        ],
        "edges": [
            {
                "name": one.name, "kind": one.kind.value, "normal_angle": one.normal_angle, "offset": one.offset,
                "sd_normal_angle": one.normal_angle_sigma, "sd_offset": one.offset_sigma,
            }
            for one in survey.edges
        ],
        "covariance": [list(map(float, row)) for row in survey.covariance],
        "readings": [_reading_record(one) for one in survey.readings],
        "suspects": [
            {"reading": one.judged.title, "blunder": one.blunder, "unit": one.judged.unit, "w": one.test,
             "or": list(one.alternatives), "message": worded(one.message).metric}
            for one in survey.suspects
        ],
        "chi_square": survey.variance.chi_square,
        "degrees_of_freedom": survey.variance.degrees_of_freedom,
        "verdict": survey.variance.verdict,
        "notes": list(survey.notes),
        "unchecked": list(survey.unchecked),
        "unnoticed": [_weak_record(one) for one in survey.weak()],
        "next": [one.message for one in survey.suggestions],
        "proposals": [_proposal_record(one) for one in proposals],
    }  # fmt: skip
    return json.dumps(_rounded(record), indent=1, ensure_ascii=False, allow_nan=False) + "\n"


def _weak_record(one: Weak) -> dict[str, object]:
    """Null where nothing limits it."""
    limited = math.isfinite(one.shift)
    return {
        "hole": one.hole, "reading": one.title, "least": one.least if limited else None, "unit": one.unit,
        "shift": one.shift if limited else None, "then": one.cure,
    }  # fmt: skip


def _proposal_record(one: Nominal) -> dict[str, object]:
    return {
        "message": worded(one.message).metric, "kind": one.kind.value, "sizes": list(one.sizes), "rows": list(one.rows),
        "pattern": one.spelled, "at": list(one.at), "turn": one.turn, "holes": list(one.names),
        "places": [list(place) for place in one.places], "misfits": list(one.misfits),
        "chi_square": one.chi_square, "degrees_of_freedom": one.degrees_of_freedom, "probability": one.probability,
    }  # fmt: skip


def _reading_record(one: JudgedReading) -> dict[str, object]:
    return {
        "reading": one.title, "features": list(one.features), "unit": one.unit, "read": one.read,
        "adjusted": one.adjusted, "residual": one.residual, "sd": one.sigma, "redundancy": one.redundancy,
        "w": one.test, "noticed_from": one.least, "moves": None if one.moves is None else one.moves[0],
        "moves_by": None if one.moves is None else one.moves[1], "left_out": one.excluded,
    }  # fmt: skip


def _rounded(value: object) -> object:
    if isinstance(value, float):
        # Variances of hundredths of a millimetre live in the fifth decimal: nine digits after the point keep them.
        return round(value, 9) + 0.0
    if isinstance(value, dict):
        return {key: _rounded(one) for key, one in value.items()}
    return [_rounded(one) for one in value] if isinstance(value, list) else value
