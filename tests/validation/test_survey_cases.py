"""Surveys whose truth is known, each of which once led to a false answer. The readings stand in tests/readings.

Expected: the truth that the readings were made from, and which readings, left out one at a time, let all the others fit
(by least squares from that truth, worked out apart from the package).
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from platemaker.checks import Verdict, check_stack
from platemaker.errors import SurveyError
from platemaker.resolved import assemble
from platemaker.spec import load_project
from platemaker.survey import solve_file
from tests.cli_runner import run
from tests.package_tree import ROOT
from tests.plates import note_of

READINGS = ROOT / "tests" / "readings"


def of(name: str) -> Path:
    return READINGS / f"{name}.readings.yaml"


def named(name: str) -> set[str]:
    """Every reading that a survey says may be wrong."""
    return {
        title for suspect in solve_file(of(name)).suspects for title in (suspect.judged.title, *suspect.alternatives)
    }


def test_clean_20_holes():
    # Least squares from the truth leaves chi-square 65.6 of 48. A false figure, 175 mm off, rejects 16 readings.
    found = solve_file(of("clean_20_holes"))
    assert found.suspects == ()
    assert (round(found.variance.chi_square, 1), found.variance.degrees_of_freedom) == (65.6, 48)


def test_inch_typed_as_mm():
    # 7.384 in is 187.55 mm. Without reading 2 the others miss by chi-square 0.15; without any other one by over 67 000.
    assert named("inch_typed_as_mm") == {"reading 2, A-C inside"}
    suspect = solve_file(of("inch_typed_as_mm")).suspects[0]
    assert suspect.blunder == pytest.approx(7.384 - 187.55, abs=0.1)


def test_outside_for_inside():
    # Any of these five left out lets all the others fit.
    assert named("outside_for_inside") == {
        "reading 1, A-B inside", "reading 6, C-B inside", "reading 7, B-D centres", "reading 8, C-D outside",
        "diameter of B",
    }  # fmt: skip


def test_folded():
    # The side of C is given. D, held by A and B alone, is what may lie on either side.
    with pytest.raises(SurveyError, match="the readings allow two figures: D fits in two places; read also C-D"):
        solve_file(of("folded"))


def test_survey_without_redundancy():
    """A rectangle of 90 x 70 with A-D read 5 mm short, which nothing checks."""
    findings = check_stack(assemble(load_project(READINGS / "without_redundancy")))
    for check in ("PM801", "PM802", "PM806", "PM821"):
        (found,) = (found for found in findings if found.check == check)
        assert found.verdict in (Verdict.CAUTION, Verdict.NOT_CHECKED), check
        assert "nothing checks reading " in note_of(found)
        assert "read B-D" in note_of(found)
    answer = run("survey", READINGS / "without_redundancy" / "a.readings.yaml")
    assert "suspect" not in answer.out
    assert "nothing checks, so that a misreading would go unnoticed: " in answer.out
    assert "reading 5, A-D inside" in answer.out


def test_face_b_mirrored():
    # Two mating faces, each read from its own front: the rectangles agree to about 0.1 mm once one is turned over.
    answer = run("survey", of("face_b_mirrored"), "--onto", of("face_a"))
    assert re.search(r"^fits mirrored to 0\.1\d mm, as stated to 69\.97 mm: you read each face from its own front$",
                     answer.out, re.MULTILINE)  # fmt: skip
