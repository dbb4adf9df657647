"""Surveys that nothing checks: what rests on them does not pass, and names the reading and the one to take next."""

from __future__ import annotations

import math

import pytest

from platemaker.checks import Verdict, check_stack
from platemaker.records import replace
from tests.design_stacks import FOUR_SLOTS, PLATE_ON_LOG, by_check, only, stack_of
from tests.plates import note_of

SPANS = {"AB": 100.0, "BC": 60.0, "AC": math.hypot(100, 60), "CD": 100.0, "AD": 60.0, "BD": math.hypot(100, 60)}
PLATE = PLATE_ON_LOG.replace("{rectangle: [100, 60]}", "{survey: a.readings.yaml, at: [-50, -30]}")
SLIDING = f"""{PLATE}    below: {{top: {{holes: none}}}}
    opening: {{shape: {{rectangle: [50, 24]}}}}
{FOUR_SLOTS}"""
BOLTED = f"{PLATE}    below: {{top: {{holes: clear, position: 0.2}}}}\n"


def surveyed(folder, text, checked):
    """The stack of a project whose four holes were read along sides and diagonals, each twice; or once, but for B-D."""
    spans = SPANS if checked else {pair: span for pair, span in SPANS.items() if pair != "BD"}
    rows = "".join(
        f"  - {{centres: [{a}, {b}], reads: {[round(span, 2)] * (2 if checked else 1)}}}\n"
        for (a, b), span in spans.items()
    )
    head = "features: {A: {hole: 6.8}, B: {hole: 6.8}, C: {hole: 6.8}, D: {hole: 6.8}}\n"
    head += "datum: {origin: A, x_towards: B, left: [C, D]}\nreadings:\n"
    (folder / "a.readings.yaml").write_text(head + rows, encoding="utf-8")
    return stack_of(folder, text)


def test_a_checked_survey_lets_the_travel_pass(tmp_path):
    findings = check_stack(surveyed(tmp_path, SLIDING, checked=True))
    assert [found.verdict for found in by_check(findings, "PM806")] == [Verdict.PASS]
    for check in ("PM831", "PM832", "PM833"):
        assert {found.verdict for found in by_check(findings, check)} == {Verdict.PASS}, check


def test_the_travel_of_slots_does_not_pass_on_a_survey_that_nothing_checks(tmp_path):
    findings = check_stack(surveyed(tmp_path, SLIDING, checked=False))
    assert [found.verdict for found in by_check(findings, "PM806")] == [Verdict.NOT_CHECKED]
    for check in ("PM831", "PM832", "PM833"):
        for found in by_check(findings, check):
            assert found.verdict is Verdict.CAUTION, check
            assert note_of(found).startswith("a.readings.yaml: nothing checks reading ")
            assert "; read B-D" in note_of(found)


@pytest.mark.parametrize(("checked", "verdict"), [(True, Verdict.PASS), (False, Verdict.CAUTION)])
def test_the_best_fit_of_a_part_as_read_does_not_pass_on_it(tmp_path, checked, verdict):
    stack = surveyed(tmp_path, BOLTED, checked)
    joint = stack.joints[0]
    upper = replace(joint.upper, read=frozenset(joint.spots))
    stack = replace(stack, joints=(replace(joint, upper=upper),))
    assert only(stack, "PM805").verdict is verdict
