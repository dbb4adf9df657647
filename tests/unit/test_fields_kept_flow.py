"""A kept field of the air: for exactly its state, beside the estimate of the loss, and on the page."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from platemaker.checks import Verdict, airflow
from platemaker.checks._air._airflow import check_airflow
from platemaker.checks._air._field import by_field
from platemaker.export import Store, fingerprint
from platemaker.fields import FlowAnswer, field_of
from platemaker.project import _flow as flow_room
from platemaker.project import flow_case, load, stored_flow
from platemaker.project._kept import keep
from platemaker.records import replace
from platemaker.report import Meta, render_html, render_json
from platemaker.report._flow_meshes import flow_meshes
from platemaker.report._mesh import packed
from tests.package_tree import ROOT
from tests.plates import note_of

DEMO = ROOT / "part_specs" / "pump_engine"
GRID = {"size": 5.0, "cells": 10, "steps": 300, "loss": 4.0, "stands": True, "residual": 0.004, "volume": 1.0}
META = Meta("0.1.0", "ab" * 32)


def plane(box: list[float], across: int, down: int) -> dict[str, object]:
    count = across * down
    return {
        "columns": across, "rows": down, "box": box, "x": [1.0] * count, "y": [0.2] * count,
        "z": [None if k % across < 3 else 0.5 for k in range(count)],
    }  # fmt: skip


ANSWER = {
    "meshes": [{**GRID, "loss": 4.1}, GRID], "seconds": 3.0, "shares": [1.0], "uniformity": [0.9, 0.8],
    "back": {"share": 0.05, "reach": 40.0}, "lost": [0.1, 1.5, 1.6, 1.7, 2.0], "fastest": 2.0,
    "plan": plane([-121, -77, 121, 77], 60, 40), "section": plane([-121, 106, 121, 365], 60, 64),
}  # fmt: skip


def answer(loss: float = 4.0, *, stands: bool = True) -> FlowAnswer:
    asked = flow_case(load(DEMO).stack)
    meshes = [{**GRID, "loss": loss, "stands": stands}] * 2
    return asked.answer({**ANSWER, "meshes": meshes}, kept=True)


def test_a_kept_field_is_used_for_exactly_its_state_and_no_other(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What is kept for the demo counts for the demo, not for one with another pocket, edge, flow, port or solver."""
    monkeypatch.setattr(flow_room, "solver_version", lambda: "1")
    store, project = Store(tmp_path), load(DEMO)
    assert stored_flow(project.stack, store) is None
    keep(store, flow_case(project.stack).key("1"), ANSWER)
    found = stored_flow(project.stack, store)
    assert found is not None and found.kept and found.field == field_of(ANSWER)
    done = project.check(samples=1000, store=store)
    assert done.fields.flow is not None
    assert fingerprint(done.fields.said) != fingerprint(project.check(samples=1000).fields.said)
    assert any(one.check == "PM952" and "platemaker flow" in note_of(one) for one in done.findings)
    for key, value in (
        ("parts.blower_plate.pocket.depth", 11), ("parts.lower_plate.thickness", "28"),
        ("design.blower.per_turn", "1.9 L"), ("parts.lower_plate.opening.mouth_radius", 4),
    ):  # fmt: skip
        assert stored_flow(project.with_value(key, value).stack, store) is None, key
    monkeypatch.setattr(flow_room, "solver_version", lambda: "2")
    assert stored_flow(project.stack, store) is None
    monkeypatch.setattr(flow_room, "solver_version", lambda: "1")
    keep(store, flow_case(project.stack, fine=True).key("1"), {**ANSWER, "seconds": 7.0})
    finer = stored_flow(project.stack, store)
    assert finer is not None and finer.field.seconds == 7.0


@pytest.mark.parametrize(
    ("share", "verdict"), [(0.03, "caution"), (0.10, "caution"), (0.19, "caution"), (0.21, "fail")]
)
def test_the_larger_of_estimate_and_field_is_measured(share: float, verdict: str) -> None:
    """60 kPa of boost: a fail above 12 kPa, a caution above 3. The estimate says 2.67, at most more than 3."""
    project = load(DEMO)
    unit = answer().dynamic
    boost = 60e3
    given = answer(share * boost / unit)
    before = [one for one in check_airflow(project.stack) if one.check == "PM952"]
    [after] = by_field(before, given)
    report = airflow(project.stack)
    assert not isinstance(report, str)
    assert after.measured == pytest.approx(max(share, report.loss / boost), rel=1e-6)
    assert after.verdict.value == verdict
    value = share * boost / 1000
    error = given.error
    assert f"{value:.2f} kPa ({value * (1 - error):.2f} to {value * (1 + error):.2f})" in note_of(after)
    assert after.value_of("loss by the field") == pytest.approx(share * boost)


def test_what_a_field_may_be_at_most_is_no_pass() -> None:
    """A pass by the estimate and by the field, but not by what the field may be: a caution."""
    [found] = [one for one in load(DEMO).check(samples=1000).findings if one.check == "PM952"]
    passed = replace(found, measured=0.02, margin=0.03, verdict=Verdict.PASS)
    unit = answer().dynamic
    for share, verdict in ((0.049, Verdict.CAUTION), (0.02, Verdict.PASS)):
        [after] = by_field([passed], answer(share * 60e3 / unit))
        assert after.verdict is verdict


def test_a_field_that_did_not_converge_changes_no_verdict_and_is_said() -> None:
    [found] = [one for one in load(DEMO).check(samples=1000).findings if one.check == "PM952"]
    [after] = by_field([found], answer(stands=False))
    assert (after.measured, after.verdict) == (found.measured, found.verdict)
    assert note_of(after).endswith("did not converge: no loss of it")
    assert by_field([found], None) == [found]


def test_the_page_shows_the_field_beside_the_loss_and_in_its_section() -> None:
    project, given = load(DEMO), answer()
    stack, findings = project.stack, project.check(samples=1000).findings
    report = airflow(stack)
    assert not isinstance(report, str)
    page = render_html(stack, by_field(findings, given), META, air=report, flow=given)
    assert page.count('id="field-picture"') == 1
    assert page.count("data:image/png;base64,") == 1
    assert 'href="#field-picture"' in page
    low, high = given.bounds
    assert given.loss is not None
    assert f"{given.loss / 1000:.2f} kPa ({low / 1000:.2f} to {high / 1000:.2f})" in page
    assert f"{report.loss / 1000:.2f} kPa ({report.low / 1000:.2f} to {report.high / 1000:.2f})" in page
    assert re.search(r'aria-label="Speed of the air in plan and in section, 52 m/s, Mach 0.13. Lost: ', page)
    without = render_html(stack, findings, META, air=report)
    assert "field-picture" not in without and "data:image" not in without
    stopped = render_html(stack, findings, META, air=report, flow=answer(stands=False))
    assert "field-picture" not in stopped and "did not converge" in stopped
    stated = render_json(stack, findings, META, flow=given)
    assert '"flow": {' in stated and '"seconds"' not in stated[stated.index('"flow"') :][:3000]
    assert '"flow": null' in render_json(stack, findings, META)


def test_sheets_of_speed_stand_where_the_air_flows_and_go_with_their_part() -> None:
    """From the log's face up: gasket 0.8, plate 25.4, gasket 0.8, plate 25.4 with a pocket 12 deep from below, gasket
    0.8. The pocket's middle is at 27 + 6, the passage ends at 0 and 53.2. The speed is sqrt(1 + 0.2^2 + 0.5^2) of 2.
    """
    project, passage = load(DEMO), answer()
    report, slabs = airflow(project.stack), passage.volume.slabs
    assert not isinstance(report, str)
    section = plane([-121, slabs[1].start, 121, slabs[-2].end], 60, 40)
    given = replace(passage, field=field_of({**ANSWER, "section": section}))
    goes = {"blower": (0, 0, 0.5), "blower_plate": (0, 0, 0.2), "lower_plate": (0, 0, -0.2), "intake_log": (0, 0, -0.5)}
    plan, upper, lower = flow_meshes(given, report, project.stack, goes)
    assert [point[2] for point in plan.vertices] == pytest.approx([33.0] * len(plan.vertices))
    assert plan.offset_direction == upper.offset_direction == (0, 0, 0.2)
    assert lower.offset_direction == (0, 0, -0.2)
    heights = [point[2] for mesh in (upper, lower) for point in mesh.vertices]
    assert (min(heights), max(heights)) == (pytest.approx(0.0, abs=1e-9), pytest.approx(53.2))
    assert min(point[2] for point in upper.vertices) == pytest.approx(26.5, abs=53.2 / 20)
    assert {point[1] for point in upper.vertices} == {0.0}
    # A twentieth of the columns holds no air: 28.5 of 30 squares wide, two triangles each.
    assert plan.shades is not None and len(plan.triangles) == len(plan.shades.numbers) == 2 * 29 * 20
    assert set(plan.shades.numbers) == {int(12 * 1.29**0.5 / 2)}
    assert json.loads(packed([plan])[0])[0]["colours"][0] == "#00224d"
    assert flow_meshes(replace(given, field=replace(given.field, plan=None)), report, project.stack, goes) == []
