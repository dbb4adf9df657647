"""The findings as text: numbers, terminal table, JSON, Markdown."""

from __future__ import annotations

import json

import pytest

from platemaker.checks import Finding, Limit, Sense, Verdict, measured
from platemaker.records import replace
from platemaker.report import Meta, render_json, render_markdown, render_table
from platemaker.report._records import counts_of, facts_of, identified, overall, summary_line
from platemaker.report._terminal import columns
from platemaker.units import said
from platemaker.views import Shown, finding_numbers, shown
from tests.sample_findings import plate_findings, thin_web_findings
from tests.sample_pages import HOSTILE, META, sample_page_stack
from tests.sample_parts import SAMPLES, bent_bracket, cross_bored_rail, thin_web

FINDINGS = plate_findings() + thin_web_findings()


@pytest.mark.parametrize(
    ("value", "unit", "text"),
    [
        (25.4, "mm", Shown("25.400 mm", "1.0000 in")),
        (-0.0001, "mm", Shown("0.000 mm", "0.0000 in")),
        (1.5, "d", Shown("1.500 d", "1.500 d")),
        (2.0, "", Shown("2.000", "2.000")),
        (None, "mm", Shown("", "")),
    ],
)
def test_numbers_in_both_units(value: float | None, unit: str, text: Shown) -> None:
    assert shown(value, unit) == text


@pytest.mark.parametrize("short_by", [0.0004, 0.00004, 0.0000032])
def test_a_failing_number_never_looks_like_its_limit(short_by: float) -> None:
    found = measured("PM101", "wall", "lid", ["a"], 3.0 - short_by, Limit(3.0, "mm", "common practice"))
    numbers = finding_numbers(found)
    assert found.verdict is Verdict.FAIL
    assert numbers.measured.metric not in numbers.required.metric
    assert numbers.margin.metric.startswith("-0.000")
    assert float(numbers.margin.metric.split()[0]) < 0


def test_a_limit_met_exactly_keeps_three_digits() -> None:
    found = measured("PM101", "wall", "lid", ["a"], 3.0, Limit(3.0, "mm", "common practice"))
    assert finding_numbers(found).measured.metric == "3.000 mm"
    assert finding_numbers(found).required.inch == "at least 0.1181 in"


def test_table_fits_80_columns_and_puts_the_worst_first() -> None:
    lines = render_table(FINDINGS).splitlines()
    assert max(columns(line) for line in lines) <= 80
    words = [line.split("  ")[0] for line in lines if line.startswith(("fail", "caution", "not", "pass"))]
    assert words == ["fail"] * 2 + ["caution"] * 2 + ["not checked"] + ["pass"] * 3
    assert lines[-1] == "2 fails, 2 cautions, 1 not checked, 3 passes"
    assert "1.000 mm, >= 3.000 mm, margin -2.000 mm" in lines[3]


@pytest.mark.parametrize("width", [60, 80, 120])
def test_table_holds_its_width_with_long_and_wide_names(width: int) -> None:
    features = ["板" * 70, "a_very_long_name_" * 12, "e\u0301" * 100]
    found = measured("PM101", "wall", "lid", features, 2.0, Limit(3.0, "mm", "common practice"))
    text = render_table([found], width=width)
    assert max(columns(line) for line in text.splitlines()) <= width
    assert text.count("板") == 70


def test_table_shows_the_note_of_every_finding() -> None:
    limit = Limit(3.0, "mm", "common practice", caution=4.0)
    for value in (2.0, 3.5, 5.0):
        found = measured("PM101", "wall", "lid", ["a"], value, limit, note="a thinner head")
        assert "a thinner head" in render_table([found])


def test_words_in_an_inch_project_have_the_inches_beside_every_length() -> None:
    """1 in is 25.4 mm. Words of the spec, such as a reason, keep their own unit."""
    note = said("enlarged", owner="lid", by=(12.7, "mm"), edge=(25.4, "mm"), area=(645.16, "mm2"))
    found = measured("PM101", "wall", "lid", ["a"], 2.0, Limit(3.0, "mm", "common practice"), note=note)
    kept = replace(found, because="the maker states 0.3 mm")
    for unit, words in (
        ("in", "lid by up to 12.70 mm (0.5000 in) along 25.4 mm (1.0000 in) of edge, 645.2 mm2 (1.000 in²)"),
        ("mm", "lid by up to 12.70 mm along 25.4 mm of edge, 645.2 mm2"),
    ):
        text = " ".join(render_table([kept], unit).split())
        assert words in text
        assert "accepted: the maker states 0.3 mm" in text
        assert "0.3 mm (" not in text


def test_table_without_passes_says_how_many_it_left_out() -> None:
    text = render_table(FINDINGS, passes=False)
    assert not [line for line in text.splitlines() if line.startswith("pass")]
    assert text.splitlines()[-1] == "2 fails, 2 cautions, 1 not checked, 3 passes (3 not listed)"


def test_table_is_plain_unless_colour_is_asked_for() -> None:
    assert "\x1b" not in render_table(FINDINGS)
    coloured = render_table(FINDINGS, colour=True)
    assert "\x1b[1;31mfail" in coloured
    assert [line for line in coloured.splitlines() if line.count("\x1b") not in {0, 2}] == []


def test_table_in_inches_and_of_an_at_most_limit() -> None:
    text = render_table(FINDINGS, "in")
    assert "0.0394 in, >= 0.1181 in, margin -0.0787 in" in text
    assert "2.000, <= 3.000, margin +1.000" in text


def test_no_name_can_steer_the_terminal() -> None:
    found = measured("PM101", "wa\x1b]0;x\x07ll", "lid\r", ["\u202ea"], 2.0, Limit(3.0, "mm", "common practice"))
    text = render_table([found])
    assert "\x1b" not in text
    assert "\r" not in text
    assert "\u202e" not in text


def test_counts_and_overall_verdict() -> None:
    assert overall(FINDINGS) is Verdict.FAIL
    assert overall([one for one in FINDINGS if one.verdict is Verdict.NOT_CHECKED]) is Verdict.NOT_CHECKED
    assert overall([one for one in FINDINGS if one.verdict in {Verdict.NOT_CHECKED, Verdict.PASS}]) is Verdict.PASS
    assert list(counts_of(FINDINGS).values()) == [2, 2, 1, 0, 3]
    assert summary_line(FINDINGS[:1]) == "1 fail"


def test_ids_are_unique_and_stable() -> None:
    twice = [*FINDINGS, FINDINGS[0]]
    identities = [identity for identity, _ in identified(twice)]
    assert len(set(identities)) == len(identities)
    assert identities[-1] == f"{FINDINGS[0].id}#2"


def test_ids_do_not_depend_on_the_order_of_the_findings() -> None:
    left, right = (
        measured("PM110", "wall", "lid", ["a"], size, Limit(3.0, "mm", "common practice"), points=[(x, 0.0, 0.0)])
        for x, size in ((0.0, 4.0), (9.0, 2.0))
    )
    assert dict(identified([left, right])) == dict(identified([right, left]))
    assert dict(identified([right, left])) == {"PM110:lid:a": left, "PM110:lid:a#2": right}


@pytest.mark.parametrize("make", SAMPLES, ids=lambda make: make.__name__)
def test_size_of_each_kind_of_stock(make) -> None:  # type: ignore[no-untyped-def]
    assert min(make().stock.size) > 0


def test_sizes_and_mass_by_hand() -> None:
    assert thin_web().stock.size == (50, 30, 10)
    assert cross_bored_rail().stock.size == (300, 25.4, 25.4)
    # Legs of 60 and 40 to the sharp outside corner, bent square: the bar is 60 long and 40 high, 25 wide.
    assert bent_bracket().stock.size == pytest.approx((60, 25, 40), abs=1e-9)
    # 12738.05 mm3 of 6061-T6 at 2700 kg/m3.
    assert facts_of(thin_web(), META).mass == pytest.approx((15000 - 720 * 3.141592653589793) * 2700e-9, rel=1e-12)
    assert facts_of(thin_web(), Meta("1", "0")).mass is None


def test_json_says_what_the_findings_say() -> None:
    report = json.loads(render_json(sample_page_stack(), FINDINGS, META))
    assert report["summary"] == {
        "verdict": "fail", "fail": 2, "caution": 2, "not_checked": 1, "accepted": 0, "pass": 3,
    }  # fmt: skip
    by_id = {finding["id"]: finding for finding in report["findings"]}
    web = by_id["PM101:thin_web:left+right"]
    assert (web["measured"], web["required"], web["margin"], web["unit"]) == (1.0, 3.0, -2.0, "mm")
    assert web["points"] == [[-0.5, 0, 10], [0.5, 0, 10]]
    assert by_id["PM105:counterbore_and_pocket:b2"]["measured"] is None
    assert by_id["PM104:counterbore_and_pocket:port"]["sense"] == Sense.AT_MOST.value
    assert [part["name"] for part in report["parts"]] == sorted(part["name"] for part in report["parts"])
    assert report["spec"]["sha256"] == META.spec_hash
    assert {joint["name"]: joint["thread"] for joint in report["joints"]} == {"port": "M8"}


def test_json_does_not_depend_on_the_order_of_findings_or_parts() -> None:
    stack = sample_page_stack()
    turned = replace(stack, parts=tuple(reversed(stack.parts)))
    assert render_json(stack, FINDINGS, META) == render_json(turned, list(reversed(FINDINGS)), META)


def test_json_numbers_are_on_the_grid() -> None:
    found = measured("PM101", "wall", "lid", ["a"], 0.1 + 0.2, Limit(3.0, "mm", "common practice"))
    text = render_json(sample_page_stack(), [found], META)
    assert '"measured": 0.3,' in text
    assert "-0.0," not in text


def test_markdown_keeps_hostile_words_as_text() -> None:
    text = render_markdown(sample_page_stack(), FINDINGS, META)
    assert HOSTILE not in text
    assert r"\<script\>" in text
    assert r"no bolt \<b\>length\</b\> given" in text
    assert text.startswith("# Prüfstück ")
    assert "**FAIL**: 2 fails, 2 cautions, 1 not checked, 3 passes." in text
    assert "does not replace a qualified engineer" in text


def test_markdown_tables_have_as_many_cells_as_heads() -> None:
    names = ["a|b", "c\nd"]
    found = measured("PM101", "wall", "lid", names, 2.0, Limit(3.0, "mm", "common practice"))
    rows = [
        line for line in render_markdown(sample_page_stack(), [found], META).splitlines() if line.startswith("| PM")
    ]
    assert len(rows) == 1
    assert rows[0].replace(r"\|", "").count("|") == 9, "a row of findings; that of the item begins with its verdict"
    assert "3.000 mm" in rows[0]


def thin_web_metal() -> list[Finding]:
    """Two holes of 12 at 13 mm leave 1 mm; 50 / 2 - 6.5 - 6 = 12.5 mm to the end of the plate."""
    limit, ends = Limit(3.0, "mm", "common practice"), [(-0.5, 4.0, 10), (0.5, 4.0, 10)]
    end = measured("PM110", "wall to the edge", "thin_web", ["left", "outline"], 12.5, limit, points=[(-25, 0, 10)] * 2)
    return [end, measured("PM110", "side wall", "thin_web", ["left", "right"], 1.0, limit, points=ends)]


def test_the_least_metal_of_a_part_is_told_with_place_and_neighbours() -> None:
    """A millimetre is 0.03937 in; the middle of (-0.5, 4, 10) and (0.5, 4, 10) is (0, 4, 10)."""
    findings, stack = thin_web_metal(), sample_page_stack()
    words = "1.000 mm, side wall, left + right, at X 0.00 Y 4.00 Z 10.00"
    table = " ".join(render_table(findings).split())
    assert f"least metal thin_web: {words}" in table
    assert "12.5" not in table.partition("least metal")[2]
    [row] = [line for line in render_markdown(stack, findings, META).splitlines() if line.startswith(r"| thin\_web |")]
    assert row.endswith(f"| {words} |")
    inch = render_markdown(replace(stack, unit="in"), findings, META)
    assert "0.0394 in, side wall, left + right, at X 0.000 Y 0.157 Z 0.394 |" in inch
    [part] = [one for one in json.loads(render_json(stack, findings, META))["parts"] if one["name"] == "thin_web"]
    assert part["least_metal"] == {
        "value": 1.0, "kind": "side wall", "features": ["left", "right"], "points": [[-0.5, 4, 10], [0.5, 4, 10]],
    }  # fmt: skip


def test_a_part_without_a_finding_on_metal_has_no_headline() -> None:
    assert "least metal" not in render_table(FINDINGS)
    rows = [line for line in render_markdown(sample_page_stack(), FINDINGS, META).splitlines() if "thin\\_web" in line]
    assert rows[-1].endswith("|  |")
