"""Every sheet but the drawing, on the vector model: no words on each other or on lines, none too small, none cut off."""

from __future__ import annotations

import re
import tempfile
from collections.abc import Iterable
from pathlib import Path

import pytest

from platemaker.export._belt_sheet import DATUM, belt_page
from platemaker.export._fitting_sheet import fitting_pages
from platemaker.export._paper import about_of
from platemaker.export._sheet._first_article import first_article
from platemaker.export._sheet._first_article_sheet import first_article_pages
from platemaker.export._sheet._template import template_pages
from platemaker.export._sheet._tiles import tiling_of_box
from platemaker.export._survey_sheets import plan_pages, survey_pages
from platemaker.parts import Stack, spots_of
from platemaker.project import load
from platemaker.records import replace
from platemaker.resolved import resolved_stack
from platemaker.survey import SurveyPlan, load_plan, solve_file
from platemaker.views import Fill, Page, Pen, Text, path
from tests.sheet_boxes import collisions, crossed, letters, strays
from tests.unit.test_export_labels import LEAST_CAPITAL, SPECS, random_parts


def hold_readable(pages: Iterable[Page], *, white_hides: bool = False) -> None:
    for number, page in enumerate(pages, 1):
        assert collisions(page) == [], number
        assert crossed(page, white_hides=white_hides) == [], number
        assert strays(page) == [], number
        assert [(word, size) for word, size in letters(page) if size < LEAST_CAPITAL - 1e-9] == [], number


def hold_paper(stack: Stack) -> None:
    for part in stack.parts:
        about = about_of(stack, part, None, [])
        hold_readable(first_article_pages(part, about, first_article(part, about)))
        hold_readable(template_pages(part, about))


@pytest.mark.parametrize("project", ["pump_engine", "four_ports"])
def test_first_article_sheets_and_templates_of_the_examples(project: str) -> None:
    hold_paper(load(SPECS / project).stack)


@pytest.mark.parametrize("seed", range(5))
def test_first_article_sheets_and_templates_of_random_parts(tmp_path: Path, seed: int) -> None:
    hold_paper(random_parts(tmp_path, seed))


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(5, 100))
def test_first_article_sheets_and_templates_of_many_random_parts(tmp_path: Path, seed: int) -> None:
    hold_paper(random_parts(tmp_path, seed))


@pytest.mark.parametrize("project", ["pump_engine", "four_ports"])
def test_fitters_sheet(project: str) -> None:
    """Numbers of bolts and pictures hide what is behind them."""
    hold_readable(fitting_pages(load(SPECS / project).stack), white_hides=True)


def test_belt_sheet_measures_from_its_datum() -> None:
    """The crank lies 430 mm to the blower's right and 290 mm below: -160 - 130 in the spec, seen along X."""
    engine = load(SPECS / "pump_engine").stack
    belt = resolved_stack(engine).belt
    assert belt is not None
    page = belt_page(engine, belt)
    hold_readable([page])
    texts = [text.text for text in page.texts]
    assert DATUM in texts
    assert any("Crankshaft: 210.0 mm, 0.0 mm and 0.0 mm" in text for text in texts)


def test_belt_sheet_in_inches_has_no_length_in_mm() -> None:
    """The idler's places as the sheet in mm has them, over 25.4."""
    engine = load(SPECS / "pump_engine").stack
    belt = resolved_stack(engine).belt
    assert belt is not None
    in_mm, in_inches = (
        next(one.text for one in belt_page(replace(engine, unit=unit), belt).texts if one.text.startswith("travel of"))
        for unit in ("mm", "in")
    )
    assert " mm" in in_mm
    assert " mm" not in in_inches
    numbers = [[float(number) for number in re.findall(r"[+-][0-9.]+", text)] for text in (in_mm, in_inches)]
    assert numbers[1] == pytest.approx([number / 25.4 for number in numbers[0]], abs=0.01)


def plan_of(text: str) -> SurveyPlan:
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "pad.plan.yaml"
        file.write_text(text, encoding="utf-8")
        return load_plan(file, spots_of, 0.5)


PLANS = [
    "pattern: {rectangle: [168, 70], rows: [3, 2]}\nhole: 8.5\n",
    "pattern: {rectangle: [232, 144], rows: [4, 3]}\nhole: 8.5\n",
    "pattern: {circle: 100, count: 12}\nhole: 8.5\n",
    "units: in\npattern: {rectangle: [8, 4], rows: [5, 2]}\nhole: 0.34\n",
]


@pytest.mark.parametrize("text", PLANS)
def test_plans_of_readings(text: str) -> None:
    """The numbers of readings break their lines, as those of dimensions may."""
    plan = plan_of(text)
    pages = plan_pages(plan)
    hold_readable(pages, white_hides=True)
    words = " ".join(one.text for page in pages for one in page.texts)
    assert f"{plan.datum.origin} (datum A)" in words
    assert f"{plan.datum.x_towards} (datum B)" in words


@pytest.mark.parametrize("unit", ["mm", "in"])
def test_template_of_a_survey(unit: str) -> None:
    survey = solve_file(SPECS / "pump_engine" / "log_top.readings.yaml")
    xs, ys = [one.x for one in survey.points], [one.y for one in survey.points]
    pages = survey_pages(survey, "log_top", tiling_of_box((min(xs) - 5, min(ys) - 5, max(xs) + 5, max(ys) + 5), unit))
    hold_readable(pages)
    words = [one.text for page in pages for one in page.texts]
    assert {"A", "B"} <= set(words)
    assert any("X runs from 1 (datum A) to 3 (datum B)" in word for word in words)


def test_white_hides_only_what_the_letters_stand_on() -> None:
    word = Text("12", (10.0, 10.0), 4.0)
    line = path(((0.0, 11.0), (50.0, 11.0)), Pen.FINE)
    x0, y0, x1, y1 = word.box
    white = Fill(((x0, y0), (x1, y0), (x1, y1), (x0, y1)), 1.0)
    small = replace(white, points=((x0, y0), (x0 + 1, y0), (x0 + 1, y1), (x0, y1)))
    assert crossed(Page(50, 50, (line, white, word)), white_hides=True) == []
    assert crossed(Page(50, 50, (line, white, word))) == [("12", "FINE")]
    assert crossed(Page(50, 50, (line, small, word)), white_hides=True) == [("12", "FINE")]
