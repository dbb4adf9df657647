"""The page's sections on opened-out pockets and the air, and the meshes of the stack."""

from __future__ import annotations

import json
import re
from array import array
from functools import cache
from pathlib import Path

import pytest

from platemaker.checks import AirReport, CutterChoice, PocketAccount, PocketLimit, airflow
from platemaker.export import BuildResult, Skin
from platemaker.parts import Body, Envelope, EnvelopeKind, Stack
from platemaker.plane import LimiterKind
from platemaker.records import replace
from platemaker.report import render_html, render_json, render_markdown, stack_meshes, worded
from platemaker.report._areas import area
from platemaker.resolved import assemble
from platemaker.space import Frame
from platemaker.spec import load_project
from tests.package_tree import ROOT
from tests.sample_pages import META, limited_plate
from tests.sample_parts import plain_plate
from tests.unit.test_report_html import Page

LIMITS = (
    PocketLimit("bolt_0", LimiterKind.SPARED, 31.0, 1290.32, 64.516),
    PocketLimit("<b>bolt_1</b>", LimiterKind.SPARED, 12.0, 100.0, -0.2),
    PocketLimit("outline", LimiterKind.LAND, 99.0, 50.0, None),
)
ACCOUNT = PocketAccount(
    "counterbore_and_pocket", "pocket", 12.7, 2000.0, LIMITS,
    (CutterChoice(6.0, 2100.0), CutterChoice(12.7, 2000.0), CutterChoice(20.0, 1354.84)),
    ((42.0, (10.0, -5.0)),),
)  # fmt: skip


def pocket_stack() -> Stack:
    return Stack("sample", "Sample", "mm", (limited_plate(),), (), ())


def words_of(page: Page) -> str:
    return " ".join(" ".join(page.words).split())


def test_areas_in_both_units() -> None:
    """1 in is 25.4 mm (ISO 80000-3), so 2 in² are 1290.32 mm²."""
    assert (area(1290.32).metric, area(1290.32).inch) == ("1290 mm²", "2.000 in²")
    assert (area(-0.2).metric, area(-0.2).inch) == ("0 mm²", "0.000 in²")
    assert area(None).metric == ""


def test_a_limit_says_what_moving_it_gives() -> None:
    first, second, third = LIMITS
    assert worded(first.words).metric == "bolt_0 costs 1290 mm2; moving it outward 2 mm would give 65 mm2"
    assert worded(second.words).metric.endswith("costs 100 mm2; moving it outward 2 mm would give nothing")
    assert worded(third.words).metric == "outline costs 50 mm2"
    lost = replace(first, gain=-8.0)
    assert worded(lost.words).metric == "bolt_0 costs 1290 mm2; moving it outward 2 mm would lose 8 mm2"


def test_pockets_stand_on_the_page_with_limits_cutters_and_what_is_left() -> None:
    page = Page(render_html(pocket_stack(), [], META, pockets=[ACCOUNT]))
    said = words_of(page)
    assert page.open == []
    assert [tag for tag, _ in page.elements if tag == "b"] == [], "names stay text"
    for text in (
        "bolt_0 costs 1290 mm2; moving it outward 2 mm would give 65 mm2",
        "gives up 645 mm²",
        "gains 100 mm²",
        "as it is",
        "42 mm² at X 10.000 Y -5.000 (mm)",
    ):
        assert text in said
    rows = re.findall(r"<tr>.*?</tr>", render_html(pocket_stack(), [], META, pockets=[ACCOUNT]))
    order = [row for row in rows if "bolt_0" in row or "bolt_1" in row or ">outline" in row]
    assert len(order) >= 3, "the limits in the order of the account, largest first"
    assert any(attributes.get("href") == "#pockets" for _, attributes in page.elements)


def test_a_figure_with_an_account_is_drawn_once_by_its_limits() -> None:
    plain = render_html(pocket_stack(), [], META)
    with_account = render_html(pocket_stack(), [], META, pockets=[ACCOUNT])
    caption = "What keeps pocket from being larger"
    assert (plain.count(caption), with_account.count(caption)) == (1, 1)
    assert "Maximized pockets" not in plain


def test_inch_project_shows_pockets_in_inches() -> None:
    inch = replace(pocket_stack(), unit="in")
    said = words_of(Page(render_html(inch, [], META, pockets=[ACCOUNT])))
    assert "0.5000 in" in said, "the cutter of 12.7 mm"
    assert "gives up 1.000 in²" in said, "(2000 - 1354.84) / 25.4² is 1"


def test_pockets_stand_in_json_and_markdown() -> None:
    report = json.loads(render_json(pocket_stack(), [], META, pockets=[ACCOUNT]))
    [pocket] = report["pockets"]
    assert [limit["cost"] for limit in pocket["limits"]] == [1290.32, 100.0, 50.0]
    assert pocket["limits"][2]["gain"] is None
    assert pocket["left"] == [{"area": 42.0, "at": [10.0, -5.0]}]
    text = render_markdown(pocket_stack(), [], META, pockets=[ACCOUNT])
    assert "## Maximized:" in text
    assert "gives up 645 mm²" in text
    assert "<b>" not in text.replace("\\<b\\>", "")


@cache
def demo_air() -> AirReport:
    report = airflow(assemble(load_project(Path(ROOT / "part_specs" / "pump_engine"))))
    assert isinstance(report, AirReport)
    return report


def test_the_air_is_plotted_station_by_station() -> None:
    report = demo_air()
    page = render_html(pocket_stack(), [], META, air=report)
    plot = re.search(r'<svg class="view air".*?</svg>', page)
    assert plot
    names = re.findall(r'class="said">([^<]*)</text>', plot[0])
    assert names[: len(report.steps)] == [step.station.name for step in report.steps]
    lengths = [float(width) for width in re.findall(r'width="([\d.]+)" height="14" class="bar loss"', plot[0])]
    losses = [step.loss for step in report.steps if step.loss > 0]
    assert len(lengths) == len(losses) > 1
    ratio = [length / max(lengths) for length in lengths]
    assert ratio == pytest.approx([loss / max(losses) for loss in losses], abs=1e-4), "widths have a few decimals"
    assert f"{report.loss / 1000:.3f} kPa" in page


def test_a_choked_station_is_said_to_choke() -> None:
    report = demo_air()
    choked = replace(report.steps[0], state=replace(report.steps[0].state, choked=True))
    page = render_html(pocket_stack(), [], META, air=replace(report, steps=(choked,)))
    assert "not known: " in page
    assert page.count("chokes") >= 3


def test_no_air_no_section() -> None:
    assert 'id="air"' not in render_html(pocket_stack(), [], META)


TRIANGLE = Skin(array("f", [0, 0, 0, 10, 0, 0, 0, 10, 4]), array("I", [0, 1, 2]))


def test_meshes_stand_where_their_parts_do() -> None:
    """A quarter turn about Z and 5 up: (10, 0, 0) goes to (0, 10, 5)."""
    turned = Frame((0.0, 0.0, 5.0), (0.0, 1.0, 0.0), (-1.0, 0.0, 0.0))
    part = replace(plain_plate(), places=(turned, Frame((0.0, 0.0, 50.0))))
    body = Body("log", "log", None, Envelope(EnvelopeKind.BOX, (1.0, 1.0, 1.0)), Frame((0.0, 0.0, -30.0)))
    stack = Stack("s", "S", "mm", (part,), (body,), ())
    result = BuildResult(Path(), (), None, (), {part.name: TRIANGLE}, {"log": TRIANGLE})
    first, second, log = stack_meshes(stack, result)
    assert [mesh.name for mesh in (first, second, log)] == ["plain_plate 1 of 2", "plain_plate 2 of 2", "log, existing"]
    assert [list(map(float, vertex)) for vertex in first.vertices] == [[0, 0, 5], [0, 10, 5], [-10, 0, 9]]
    assert [list(triangle) for triangle in first.triangles] == [[0, 1, 2]]
    assert [mesh.offset_direction for mesh in (log, first, second)] == [(0, 0, -0.5), (0, 0, 0), (0, 0, 0.5)]


def test_skins_survive_as_bytes() -> None:
    assert Skin.from_bytes(TRIANGLE.to_bytes()) == TRIANGLE


def test_joints_tell_the_survey_that_their_coordinates_come_from() -> None:
    stack = assemble(load_project(Path(ROOT) / "part_specs" / "pump_engine"))
    # The file has 24 lines over and between studs, and the diameters of its eight studs.
    stated = "survey log_top.readings.yaml, 32 readings"
    assert stated in words_of(Page(render_html(stack, [], META)))
    assert r"survey log\_top.readings.yaml, 32 readings" in render_markdown(stack, [], META)
