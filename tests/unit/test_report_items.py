"""Findings of one cause are one item; items are ordered by the share of the limit that is missing."""

from __future__ import annotations

import json
import random
import time

import pytest

from platemaker.checks import Finding, Limit, Sense, Verdict, measured, missing_share, not_checked
from platemaker.parts import Part, Stack
from platemaker.plane import Loop
from platemaker.records import replace
from platemaker.report import Cure, items_of, render_html, render_items, render_json, render_markdown
from platemaker.report._causes import CHAINS
from platemaker.report._items import share_words, where
from platemaker.report._pictures import picture_of, spot_of
from platemaker.report._ready import readiness
from platemaker.space import Frame
from platemaker.units import NamedQuantity
from tests.sample_pages import META
from tests.sample_parts import drilled, plate, tapped_blind

WALL = Limit(3.0, "mm", "common practice")


def holed(name: str, *cuts: object, places: tuple[Frame, ...] = (Frame(),)) -> Part:
    return replace(plate(name, Loop.rectangle(100, 60), 20, *cuts), places=places)  # type: ignore[arg-type]


def stack_of(*parts: Part) -> Stack:
    return Stack("sample", "Sample", "mm", parts, (), ())


def wall(part: str, features: list[str], value: float, check: str = "PM110") -> Finding:
    return measured(check, "side wall", part, features, value, WALL)


def sizes(stack: Stack, findings: list[Finding]) -> list[int]:
    return [len(item.named) for item in items_of(stack, findings)]


def test_many_equal_walls_of_one_pattern_are_one_item_with_its_worst() -> None:
    """44 rows of 44 pairs side by side: 1,936 findings, one cause; a second to group them is too long."""
    findings = [wall("grid", [f"h_{row}_{n}", f"h_{row}_{n + 1}"], 2.0) for row in range(44) for n in range(44)]
    findings[700] = replace(findings[700], measured=1.0, margin=-2.0)
    start = time.process_time()
    [item] = items_of(stack_of(), findings)
    assert time.process_time() - start < 1.0
    assert (len(item.named), item.worst.measured) == (1936, 1.0)
    assert where(item).endswith(" and 1935 more")


def test_cuts_of_one_line_of_the_spec_are_alike_and_those_of_two_are_not() -> None:
    a, b, c = (replace(drilled(name, (x, 0.0), 6, 20), key=key) for name, x, key in
               (("left", -20.0, "parts.lid.holes"), ("right", 20.0, "parts.lid.holes"), ("vent", 0.0, "parts.lid.vent")))  # fmt: skip
    stack = stack_of(holed("lid", a, b, c))
    findings = [wall("lid", ["left", "outline"], 2.0), wall("lid", ["right", "outline"], 2.5)]
    assert sizes(stack, findings) == [2]
    assert sizes(stack, [*findings, wall("lid", ["vent", "outline"], 1.5)]) == [1, 2]


def test_twins_with_the_same_numbers_are_one_item_and_others_are_not() -> None:
    stack = stack_of(holed("front"), holed("rear"))
    pair = [measured("PM301", "edge distance", part, ["foot", "outline"], 1.5, Limit(2.0, "diameters", "x"),
                     inputs=[("e", 9.0, "mm")]) for part in ("front", "rear")]  # fmt: skip
    assert sizes(stack, pair) == [2]
    assert sizes(stack, [pair[0], replace(pair[1], inputs=(NamedQuantity("e", 9.5, "mm"),))]) == [1, 1]
    assert sizes(stack, [pair[0], replace(pair[1], note="another screw")]) == [1, 1]


def test_checks_that_follow_from_one_joint_are_one_item_and_another_joint_is_another() -> None:
    """Spacing of bolts, gasket pressure and bending of the plate follow from where the bolts of the joint stand."""
    at_most = Limit(1.0, "mm", "x", sense=Sense.AT_MOST)
    findings = [
        measured("PM922", "widest spacing", "lid", ["port", "1-2"], 2.0, at_most),
        measured("PM924", "gasket pressure under boost", "lid", ["port", "port_1", "1-2"], 0.5, Limit(1.0, "MPa", "x")),
        measured("PM932", "bending", "lid", ["port", "below"], 1.5, at_most),
        measured("PM922", "widest spacing", "lid", ["other", "3-4"], 1.2, at_most),
        measured("PM902", "bolt below proof", "lid", ["port", "port_1"], 1.2, at_most),
    ]
    items = items_of(stack_of(), findings)
    assert [{found.check for _, found in item.named} for item in items] == [
        {"PM922", "PM924", "PM932"}, {"PM902"}, {"PM922"},
    ]  # fmt: skip


def test_verdicts_are_never_mixed() -> None:
    limit = Limit(3.0, "mm", "x", caution=4.0)
    findings = [measured("PM110", "wall", "lid", [f"h_{n}"], value, limit) for n, value in enumerate((2.0, 3.5, 5.0))]
    findings.append(not_checked("PM110", "wall", "lid", ["h_9"], "no size"))
    verdicts = [item.verdict for item in items_of(stack_of(), findings)]
    assert verdicts == [Verdict.FAIL, Verdict.CAUTION, Verdict.NOT_CHECKED, Verdict.PASS]


def test_every_finding_is_in_one_item_whatever_their_order() -> None:
    rng = random.Random(7)
    findings = [
        wall(rng.choice("pq"), [f"h_{rng.randrange(9)}", f"k_{rng.randrange(9)}"], rng.choice((1.0, 2.0, 5.0)), check)
        for check in ("PM110", "PM301", "PM922", "PM932")
        for _ in range(40)
    ]
    first = items_of(stack_of(), findings)
    assert sorted(identity for item in first for identity, _ in item.named) == sorted(
        {identity for item in first for identity, _ in item.named}
    )
    assert sum(len(item.named) for item in first) == len(findings)
    groups = {frozenset(map(id, (found for _, found in item.named))) for item in first}
    rng.shuffle(findings)
    again = {frozenset(map(id, (found for _, found in item.named))) for item in items_of(stack_of(), findings)}
    assert again == groups


def test_items_are_ordered_by_the_share_of_the_limit_whatever_the_unit() -> None:
    """Missing: 0.2 of 2 mm is 10 %, 400 of 1000 N is 40 %, 3 over 2 bar is 50 %; a miss of 0 mm is the whole."""
    findings = [
        measured("PM110", "wall", "a", ["x"], 1.8, Limit(2.0, "mm", "x")),
        measured("PM905", "thread", "b", ["y"], 600.0, Limit(1000.0, "N", "x")),
        measured("PM935", "pressure", "c", ["z"], 3.0, Limit(2.0, "bar", "x", sense=Sense.AT_MOST)),
        measured("PM641", "clearance", "d", ["w"], -0.01, Limit(0.0, "mm", "x")),
    ]
    items = items_of(stack_of(), findings)
    assert [item.parts for item in items] == [("d",), ("c",), ("b",), ("a",)]
    assert [item.share for item in items] == [None, pytest.approx(0.5), pytest.approx(0.4), pytest.approx(0.1)]
    assert [share_words(item) for item in items] == ["", "50 % over", "40 % short", "10 % short"]
    assert missing_share(replace(findings[0], margin=None)) == 0.0


def test_a_large_excess_is_stated_as_a_multiple() -> None:
    found = measured("PM977", "spaced out", "a", ["x"], 16.8, Limit(0.5, "mm", "x", sense=Sense.AT_MOST))
    [item] = items_of(stack_of(), [found])
    assert share_words(item) == "33.6 times as much", "16.8 / 0.5"


def test_what_lies_below_nothing_has_no_share() -> None:
    """-12.893 pitches where 2 are the least are no "745 % short"."""
    found = measured("PM303", "bottoming", "a", ["x"], -12.893, Limit(2.0, "pitches", "x"))
    [item] = items_of(stack_of(), [found])
    assert share_words(item) == ""


def test_json_states_items_with_their_cures() -> None:
    findings = [wall("grid", [f"h_{n}", "outline"], 2.0) for n in range(3)] + [wall("grid", ["vent"], 9.0)]
    stack = stack_of()
    cure = Cure("parts.grid.holes", "24 mm", "26 mm", ("3 findings",), ("mass up by 0.1 kg",),
                (("parts.grid.width", "60", "64"),))  # fmt: skip
    items = items_of(stack, findings, {"PM110:grid:h_0+outline": (cure,)})
    report = json.loads(render_json(stack, findings, META, items=items))
    [item] = report["items"]
    assert (item["verdict"], item["title"], item["count"], item["accepted"]) == ("fail", "Side wall", 3, None)
    assert item["worst"] == "PM110:grid:h_0+outline"
    assert item["findings"] == [f"PM110:grid:h_{n}+outline" for n in range(3)]
    assert item["features"] == ["h_0", "outline", "h_1", "h_2"]
    assert item["share_missing"] == pytest.approx(1 / 3, abs=1e-6)
    assert item["sentence"] == "Side wall, grid, h_0, outline and 2 more: 2.000 mm, at least 3.000 mm, 33 % short."
    assert item["cures"] == [
        {"key": "parts.grid.holes", "from": "24 mm", "to": "26 mm", "clears": ["3 findings"],
         "also": [{"key": "parts.grid.width", "from": "60", "to": "64"}], "worsens": ["mass up by 0.1 kg"]},
    ]  # fmt: skip
    assert json.loads(render_json(stack, findings, META))["items"][0]["cures"] == []
    assert len(report["findings"]) == 4
    text = render_html(stack, findings, META, items=items)
    assert text.count("<code>parts.grid.holes</code>") == 2, "on the first screen and on the card"
    assert (
        "24 mm to 26 mm, together with parts.grid.width from 60 to 64: clears 3 findings; mass up"
        in render_markdown(stack, findings, META, items=items)
    )


def test_terminal_says_whether_to_order_and_lists_items() -> None:
    findings = [wall("grid", [f"h_{n}", "outline"], 2.0) for n in range(3)] + [wall("grid", ["vent"], 9.0)]
    lines = render_items(items_of(stack_of(), findings), findings).splitlines()
    assert lines[0] == "Not ready to order: 1 item fails."
    assert [line[:4] for line in lines].count("fail") == 1
    assert "PM110" in lines[2]
    assert any("h_0, outline and 2 more" in line for line in lines)
    assert lines[-1] == "3 fails, 1 pass, in 1 item without what passes"


@pytest.mark.parametrize(
    ("verdicts", "ready", "words"),
    [
        ((), False, "Not ready to order: nothing was measured."),
        (("not checked",), False, "Not ready to order: nothing was measured."),
        (("pass",), True, "Ready to order: nothing fails."),
        (("pass", "not checked"), True, "Ready to order as far as checked: nothing fails; 1 item not checked."),
        (("pass", "accepted"), True, "Ready to order: nothing fails, and 1 item accepted."),
        (("pass", "caution"), False,
         "Not ready to order: nothing fails, but 1 item with cautions to cure or to accept in the spec."),
        (("fail", "caution", "pass"), False, "Not ready to order: 1 item fails, and 1 item with cautions to settle."),
    ],
)  # fmt: skip
def test_whether_the_parts_can_be_ordered(verdicts: tuple[str, ...], ready: bool, words: str) -> None:
    findings = [replace(wall("lid", [name], 2.0), verdict=Verdict(name)) for name in verdicts]
    said = readiness(items_of(stack_of(), findings))
    assert (said.ready, said.sentence) == (ready, words)


def test_every_check_of_a_chain_has_a_page() -> None:
    from tests.unit.test_checks_pages import SCRIPT

    chained = [check for checks in CHAINS.values() for check in checks]
    assert set(chained) <= set(SCRIPT["entries"]())
    assert len(chained) == len(set(chained)), "a check follows from one number"


def test_a_thread_is_shown_in_section_with_its_depth() -> None:
    """An M8 thread of 18 mm full depth in a plate 20 mm thick, entered from above: from 20 mm down to 2 mm."""
    part = holed("lid", tapped_blind("b", (10.0, 5.0), 20.0))
    found = measured(
        "PM304", "depth of thread", "lid", ["b"], 18 / 8, Limit(2.0, "diameters", "x", sense=Sense.AT_MOST)
    )
    picture = picture_of(part, found, "mm", "p")
    assert "section at y = 5.000" in picture
    assert 'x1="10" y1="-20" x2="10" y2="-2" class="gap v-fail"' in picture
    plan = picture_of(part, replace(found, check="PM401", unit="mm"), "mm", "p")
    assert "section at" not in plan


def test_a_place_in_the_stack_is_that_of_the_points_of_the_hole_or_of_the_part() -> None:
    frame = Frame((0.0, 0.0, 100.0), (0.0, 1.0, 0.0), (-1.0, 0.0, 0.0))
    stack = stack_of(holed("lid", drilled("b", (10.0, 5.0), 6, 20), places=(frame,)))
    found = measured("PM110", "wall", "lid", ["b"], 2.0, WALL, points=[(10.0, 0.0, 0.0), (20.0, 0.0, 0.0)])
    spots = [spot_of(stack, one) for one in (found, replace(found, points=()), replace(found, points=(), features=()))]
    # X goes to Y and Y to -X, 100 up; the hole is entered at (10, 5, 20); the middle of the plate is (0, 0, 10).
    assert [spot.at for spot in spots if spot] == [
        pytest.approx((0.0, 15.0, 100.0)), pytest.approx((-5.0, 10.0, 120.0)), pytest.approx((0.0, 0.0, 110.0)),
    ]  # fmt: skip
    assert spot_of(stack_of(holed("lid", places=())), found) is None
