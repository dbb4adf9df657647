"""Cautions that the spec accepts, and limits that it sets with a reason."""

from __future__ import annotations

from pathlib import Path

import pytest

from platemaker.checks import Finding, Limit, Sense, Verdict, accepted, check_stack, held_to_accepted, measured
from platemaker.errors import SpecErrors
from platemaker.parts import Acceptance
from platemaker.records import replace
from platemaker.resolved import assemble
from platemaker.spec import load_project
from tests.cli_runner import run
from tests.plates import note_of

# A hole of 10 mm, 17 mm from the next: a wall of 7 mm. A thread 3 diameters deep warns (PM304), a wall under 8 fails.
SPEC = """
project: trial
accept: {accept}
parts:
  lid:
    kind: plate
    material: 6061-T6
    thickness: 30 mm
    outline: {{rectangle: [100 mm, 60 mm]}}
    limits: {limits}
    holes:
      a: {{at: [-10 mm, 0], diameter: 10 mm}}
      b: {{at: [7 mm, 0], diameter: 10 mm}}
      deep: {{at: [35 mm, 0], tapped: M8}}
"""
WHY = "tapped through, with room for the tap below"


def project(tmp_path: Path, accept: str = "[]", limits: str = "{}") -> Path:
    (tmp_path / "project.yaml").write_text(SPEC.format(accept=accept, limits=limits), encoding="utf-8")
    return tmp_path


def findings(folder: Path) -> tuple[Finding, ...]:
    return check_stack(assemble(load_project(folder)))


def of(found: tuple[Finding, ...], check: str) -> list[Finding]:
    return [one for one in found if one.check == check]


def test_a_caution_is_accepted_with_its_reason(tmp_path: Path) -> None:
    [before] = of(findings(project(tmp_path)), "PM304")
    assert before.verdict is Verdict.CAUTION
    found = findings(project(tmp_path, f"[{{check: PM304, feature: deep, because: '{WHY}'}}]"))
    [after] = of(found, "PM304")
    assert (after.verdict, after.because, after.id) == (Verdict.ACCEPTED, WHY, before.id)
    assert (after.measured, after.margin) == (before.measured, before.margin)
    assert of(found, "PM001") == []


@pytest.mark.parametrize(
    ("check", "feature", "limits", "words"),
    [
        ("PM304", "lip", "{}", "PM304 finds nothing on lip"),
        ("PM110", "a", "{}", "PM110 no longer warns about a"),
        ("PM110", "a", "{minimum_wall: 8}", "PM110 fails on a, and a fail cannot be accepted"),
    ],
)
def test_an_acceptance_that_applies_to_nothing_is_a_caution(
    tmp_path: Path, check: str, feature: str, limits: str, words: str
) -> None:
    found = findings(project(tmp_path, f"[{{check: {check}, feature: {feature}, because: '{WHY}'}}]", limits))
    [stale] = of(found, "PM001")
    assert (stale.verdict, stale.features) == (Verdict.CAUTION, (check, feature))
    assert words in note_of(stale)
    assert all(one.verdict is not Verdict.ACCEPTED for one in found)


def test_a_caution_that_gets_worse_than_its_acceptance_counts_again(tmp_path: Path) -> None:
    """The thread is as long as the plate is thick: 30 mm of M8, 3.75 diameters."""
    for limit, verdict in (("3.75", Verdict.ACCEPTED), ("3.7", Verdict.CAUTION)):
        found = findings(project(tmp_path, f"[{{check: PM304, feature: deep, limit: {limit}, because: '{WHY}'}}]"))
        [one] = of(found, "PM304")
        assert (one.measured, one.verdict) == (pytest.approx(3.75), verdict)
        assert bool(of(found, "PM001")) is (verdict is Verdict.CAUTION)
    [stale] = of(found, "PM001")
    assert "PM304 on deep is now 3.75 diameters, and is accepted to 3.7 diameters: look at it again" in note_of(stale)


@pytest.mark.parametrize(("unit", "limit"), [("mm", 1.0), ("mm2", 25.4), ("diameters", 25.4)])
def test_a_limit_is_in_the_unit_that_the_report_shows(tmp_path: Path, unit: str, limit: float) -> None:
    """25.4 mm is 1 inch, 25.4 in2 are 25.4 times 645.16 mm2, and a ratio has no inches."""
    value = 25.4**3 if unit == "mm2" else 25.4
    caution = measured("PM304", "depth", "lid", ["deep"], value, Limit(2 * value, unit, "", value / 2, Sense.AT_MOST))
    stack = replace(assemble(load_project(project(tmp_path))), unit="in")
    for factor, verdict in ((1.001, Verdict.ACCEPTED), (0.999, Verdict.CAUTION)):
        line = Acceptance("PM304", "deep", WHY, limit * factor)
        found = accepted(replace(stack, accept=(line,)), [caution])
        assert [one.verdict for one in of(tuple(found), "PM304")] == [verdict]


@pytest.mark.parametrize(("sense", "more"), [(Sense.AT_LEAST, -1.0), (Sense.AT_MOST, 1.0)])
def test_a_cure_is_held_to_what_is_accepted(tmp_path: Path, sense: Sense, more: float) -> None:
    """A limit of 10 warns, of 10 less 4, or more 4, fails; off by 1 is accepted, of two acceptances the wider counts."""
    stack = assemble(load_project(project(tmp_path)))
    lines = tuple(Acceptance("PM304", "deep", WHY, 10.0 + more * off) for off in (0.5, 1.0))
    depths = [measured("PM304", "depth", "lid", ["deep"], 10.0 + more * off, Limit(10.0 + more * 4.0, "mm", "", 10.0, sense))
              for off in (-1.0, 0.75, 1.5, 5.0)]  # fmt: skip
    found = held_to_accepted(replace(stack, accept=lines), depths)
    assert [one.verdict for one in found] == [Verdict.PASS, Verdict.ACCEPTED, Verdict.CAUTION, Verdict.FAIL]
    assert [one.required for one in found[2:]] == [10.0 + more, 10.0 + more * 4.0]
    assert (found[2].margin, found[3].margin) == (-0.5, -1.0)


def test_a_fail_stays_a_fail(tmp_path: Path) -> None:
    folder = project(tmp_path, f"[{{check: PM110, feature: a, because: '{WHY}'}}]", "{minimum_wall: 8}")
    assert any(one.verdict is Verdict.FAIL and "a" in one.features for one in of(findings(folder), "PM110"))
    assert run("check", folder).code == 1


def test_what_was_not_checked_cannot_be_accepted(tmp_path: Path) -> None:
    bare = findings(project(tmp_path))
    missing = next(one for one in bare if one.verdict is Verdict.NOT_CHECKED)
    text = f"[{{check: {missing.check}, feature: {(missing.features or (missing.part,))[0]}, because: '{WHY}'}}]"
    found = findings(project(tmp_path, text))
    assert any(one.id == missing.id and one.verdict is Verdict.NOT_CHECKED for one in found)
    [stale] = of(found, "PM001")
    assert "only a caution can be accepted" in note_of(stale)


@pytest.mark.parametrize(
    ("accept", "words"),
    [
        ("[{check: PM304, feature: deep}]", "accept[0].because"),
        ("[{check: PM304, feature: deep, because: ok}]", "accept[0].because"),
        ("[{check: thread, feature: deep, because: 'a long enough reason'}]", "accept[0].check"),
    ],
)
def test_an_acceptance_needs_a_check_and_a_reason(tmp_path: Path, accept: str, words: str) -> None:
    with pytest.raises(SpecErrors, match="accept") as caught:
        load_project(project(tmp_path, accept))
    assert words in str(caught.value)


def test_a_limit_states_its_reason_as_its_source(tmp_path: Path) -> None:
    limits = "{minimum_wall: 6.5, because: {minimum_wall: 'the shop holds walls to 0.05 mm'}}"
    [found] = [
        one for one in of(findings(project(tmp_path, limits=limits)), "PM110") if set(one.features) == {"a", "b"}
    ]
    assert (found.required, found.verdict) == (6.5, Verdict.PASS)
    assert found.source == "the spec, limits.minimum_wall, because the shop holds walls to 0.05 mm"


def test_a_reason_without_its_limit_is_refused(tmp_path: Path) -> None:
    with pytest.raises(SpecErrors, match="`because` names 'minimum_wall', which is not set beside it"):
        load_project(project(tmp_path, limits="{because: {minimum_wall: 'the shop holds walls'}}"))
