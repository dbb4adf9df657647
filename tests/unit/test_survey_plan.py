"""Plans of readings: the shortest list that holds, is single and is checked; what the next should read."""

from __future__ import annotations

import itertools
import json
import math
import re
import tempfile
from collections import Counter
from functools import cache
from pathlib import Path

import numpy as np
import pypdfium2
import pytest

from platemaker.errors import SpecError, SpecErrors, SurveyError
from platemaker.parts import spots_of
from platemaker.report import worded
from platemaker.survey import (
    Datum,
    Feature,
    FeatureKind,
    Network,
    Reading,
    ReadingKind,
    load_network,
    load_plan,
    plan_yaml,
    progress,
    solve,
)
from platemaker.survey._planning._plan import (
    Criterion,
    RoughHoles,
    _deciding,
    candidate_pairs,
    fewest,
    single,
    unfolding,
)
from tests.cli_runner import run

SIX = "pattern: {rectangle: [168, 70], rows: [3, 2]}\nhole: 8.5\n"


@cache
def six():
    """The plan of six holes, which many tests fill in."""
    with tempfile.TemporaryDirectory() as folder:
        return planned(Path(folder), SIX)


def planned(tmp_path, text, checked=0.5):
    file = tmp_path / "pad.plan.yaml"
    file.write_text(text, encoding="utf-8")
    return load_plan(file, spots_of, checked)


def network_of(plan, pairs=None):
    """The plan's readings, all exact, or those of some pairs (listed twice: read twice), and every diameter twice."""
    places = {feature.name: feature.rough.at for feature in plan.features}
    sized = tuple(
        Feature(one.name, FeatureKind.HOLE, 8.5, plan.readings[0].sigma / math.sqrt(2), repeats=2)
        for one in plan.features
    )
    readings = plan.readings
    if pairs is not None:
        sigma = max(reading.sigma for reading in plan.readings)
        readings = tuple(
            Reading(
                i, ReadingKind.INSIDE, pair, math.dist(places[pair[0]], places[pair[1]]) - 8.5, sigma / math.sqrt(times),
                repeats=times,
            )
            for i, (pair, times) in enumerate(Counter(pairs).items(), start=1)
        )  # fmt: skip
    return Network(sized, readings, plan.datum)


def will_do(network, checked):
    """Whether readings hold, are single and are checked, as the survey itself says of them."""
    try:
        found = solve(network)
    except SurveyError:
        return False
    return all(weak.shift <= checked for weak in found.weak(placed=True))


def test_the_planned_readings_hold_every_hole_as_stated(tmp_path):
    plan = planned(tmp_path, SIX)
    found = solve(network_of(plan))
    assert found.weak(placed=True)[0].shift == pytest.approx(plan.worst, abs=1e-6)
    assert plan.worst <= 0.5


def test_no_four_or_five_holes_need_fewer(tmp_path):
    """Every smaller set of pairs, put to the survey itself: an adjustment and its search for other figures."""
    points = "pattern: {points: [[0, 0], [90, 0], [100, 55], [20, 70], [-10, 40]]}\nhole: 8.5\n"
    plan = planned(tmp_path, points)
    pairs = list(itertools.combinations([feature.name for feature in plan.features], 2))
    smaller = itertools.combinations(pairs, plan.count - 1)
    assert not any(will_do(network_of(plan, some), 0.5) for some in smaller)


@pytest.mark.slow
@pytest.mark.parametrize("text", [SIX, "pattern: {circle: 120, count: 6}\nhole: 8.5\n"])
def test_no_six_holes_need_fewer(tmp_path, text):
    """Every smaller set, pairs read once or twice, put to the survey itself."""
    plan = planned(tmp_path, text)
    pairs = list(itertools.combinations([feature.name for feature in plan.features], 2))
    # Fewer than three other holes leave a hole on a hinge: such sets need not be solved.
    smaller = [
        some + again
        for size in range(9, plan.count)
        for some in itertools.combinations(pairs, size)
        if min(sum(name in pair for pair in some) for name in "123456") > 2
        for again in itertools.combinations(some, plan.count - 1 - size)
    ]
    assert smaller
    assert not any(will_do(network_of(plan, some), 0.5) for some in smaller)


def rough_places(count, form):
    """Scattered holes, or two rows of them a few tenths off, as on a casting."""
    rng = np.random.default_rng(count)
    if form == "scattered":
        return rng.uniform(0, 60 * math.sqrt(count), (count, 2))
    return np.array([(60.0 * (i // 2), 90.0 * (i % 2)) for i in range(count)]) + rng.normal(0, 0.3, (count, 2))


def short_plans(criterion, checked, orders, most):
    """Plans made by dropping readings in random order (k, pairs), those that end with at most so many readings.

    First the longest run of drops that leaves a plan, by bisection, then one drop at a time; a plan is given up as soon
    as more readings than `most` could not be dropped. Cheap refusals come first: holes with fewer than three readings.
    """
    count, pairs = criterion.spots.count, np.array(criterion.pairs)
    ends = np.zeros((len(pairs), count), dtype=int)
    ends[np.arange(len(pairs)), pairs[:, 0]] = ends[np.arange(len(pairs)), pairs[:, 1]] = 1

    def will_do(sets):
        good = np.flatnonzero((sets @ ends).min(axis=1) > 2)
        good = good[criterion.worst(sets[good]) <= checked]
        return [at for at in map(int, good) if unfolding(criterion, map(int, np.flatnonzero(sets[at])))]

    when, plans = np.argsort(orders, axis=1), np.arange(len(orders))
    low, high = np.zeros(len(orders), dtype=int), np.full(len(orders), len(pairs))
    while (high - low).max() > 1:
        middle = (low + high) // 2
        passed = np.isin(plans, will_do((when >= middle[:, None]).astype(int)))
        low, high = np.where(passed, middle, low), np.where(passed, high, middle)
    chosen, kept = (when >= low[:, None]).astype(int), np.zeros(len(orders), dtype=int)
    for step in range(len(pairs)):
        live = plans[(kept <= most) & (low + step < len(pairs))]
        rows = orders[live, low[live] + step]
        tried = chosen[live]
        tried[np.arange(len(live)), rows] = 0
        dropped = np.isin(np.arange(len(live)), will_do(tried))
        chosen[live[dropped]] = tried[dropped]
        kept[live[~dropped]] += 1
    return chosen[kept <= most]


def test_of_many_holes_those_near_and_those_far_away_are_read():
    """Twenty holes every 10 mm: of the sixth the eight nearest are 1 to 9, the three farthest 17 to 19."""
    pairs = set(candidate_pairs(np.column_stack([np.arange(20) * 10.0, np.zeros(20)])))
    assert {j for i, j in pairs if i == 5} >= {6, 7, 8, 9, 17, 18, 19}
    # Neither is among the other's nearest eight or farthest three.
    assert not {(5, 12), (5, 13), (5, 16), (6, 13)} & pairs
    assert all(i < j for i, j in pairs)


@pytest.mark.parametrize("count", [5, 7])
def test_a_figure_that_fits_alike_is_told_apart_by_a_reading(count):
    """What fits the first set alike has a hole of an unread pair 6 mm aside: a pair with that hole alone shows it."""
    places = rough_places(count, "scattered")
    pairs = candidate_pairs(places)
    spots = RoughHoles(places, np.full(count, 8.5), 0.03, 0.03)
    criterion, asked = Criterion(spots, pairs, [(-1.0, -1.0)] * len(pairs)), []
    moved = []

    def others(chosen):
        asked.append(chosen)
        hole = pairs[int(np.flatnonzero(chosen == 0)[0])][0]
        moved.append(hole)
        return [places + np.outer(np.arange(count) == hole, (6.0, 0.0))] if len(asked) == 1 else []

    found = single(criterion, 0.5, others)
    new = [pair for pair, first, last in zip(pairs, asked[0], found, strict=True) if last and not first]
    assert any(moved[0] in pair for pair in new)
    assert float(criterion.worst(found[None])[0]) <= 0.5


@pytest.mark.parametrize(("sigma", "pairs"), [(0.01, {(0, 3), (1, 3), (2, 3)}), (0.03, {(0, 3), (1, 3)})])
def test_pairs_that_tell_figures_apart_differ_by_ten_deviations(sigma, pairs):
    """The last hole of a square 0.2 along X and 0.66 along Y: 0.61 along the diagonal, 0.66 and 0.2 along its sides."""
    at = np.array([(0.0, 0.0), (100.0, 0.0), (0.0, 100.0), (100.0, 100.0)])
    every = candidate_pairs(at)
    criterion = Criterion(RoughHoles(at, np.full(4, 8.5), sigma, sigma), every, [(-1.0, -1.0)] * 6)
    found = _deciding(criterion, at + np.array([(0, 0), (0, 0), (0, 0), (0.2, 0.66)]), np.zeros(6, dtype=int))
    assert {every[row] for row in found} == pairs
    # What was read did not show it, and is not named.
    assert _deciding(criterion, at + 1.0, np.ones(6, dtype=int)) == frozenset()


def test_where_every_pair_once_is_not_enough_some_are_read_twice():
    places = rough_places(7, "scattered")
    pairs = candidate_pairs(places)
    criterion = Criterion(RoughHoles(places, np.full(7, 8.5), 0.03, 0.03), pairs, [(-1.0, -1.0)] * len(pairs))
    once, twice = (float(criterion.worst(np.full((1, len(pairs)), times))[0]) for times in (1, 2))
    checked = (once + twice) / 2
    found = fewest(criterion, checked)
    assert float(criterion.worst(found[None])[0]) <= checked
    assert found.max() == 2
    assert found.sum() < 2 * len(pairs)


@pytest.mark.slow
@pytest.mark.parametrize("count", [8, 9, 10, 11, 12])
@pytest.mark.parametrize("form", ["scattered", "rectangle"])
def test_no_random_plan_is_much_shorter(tmp_path, count, form):
    """10 000 random plans: the planned list has at most a tenth more readings than the shortest that will do."""
    listed = ", ".join(f"[{x:.2f}, {y:.2f}]" for x, y in rough_places(count, form))
    plan = planned(tmp_path, f"pattern: {{points: [{listed}]}}\nhole: 8.5\n")
    at = np.array([feature.rough.at for feature in plan.features])
    sigma = max(reading.sigma for reading in plan.readings)
    pairs = candidate_pairs(at)
    criterion = Criterion(RoughHoles(at, np.full(count, 8.5), sigma, sigma), pairs, [(-1.0, -1.0)] * len(pairs))
    orders = np.random.default_rng(count).permuted(np.tile(np.arange(len(pairs)), (10_000, 1)), axis=1)
    shortest = math.ceil(plan.count / 1.1) - 1  # more than a tenth less
    names = [feature.name for feature in plan.features]
    for chosen in short_plans(criterion, 0.5, orders, shortest):
        some = [(names[i], names[j]) for (i, j), read in zip(pairs, chosen, strict=True) if read]
        assert not will_do(network_of(plan, some), 0.5), some


def test_random_plans_are_found_where_they_are_short_enough(tmp_path):
    """What the comparison rests on: with no bound on their length every random plan is found, and each will do."""
    places = rough_places(7, "scattered")
    pairs = candidate_pairs(places)
    criterion = Criterion(RoughHoles(places, np.full(7, 8.5), 0.03, 0.03), pairs, [(-1.0, -1.0)] * len(pairs))
    orders = np.random.default_rng(1).permuted(np.tile(np.arange(len(pairs)), (20, 1)), axis=1)
    found = short_plans(criterion, 0.5, orders, len(pairs))
    assert len(found) == 20
    assert (criterion.worst(found) <= 0.5).all()
    least = int(found.sum(axis=1).min())
    assert len(short_plans(criterion, 0.5, orders, least)) == int((found.sum(axis=1) == least).sum())
    assert len(short_plans(criterion, 0.5, orders, least - 1)) == 0


def test_three_holes_are_read_twice(tmp_path):
    # Three spans hold three holes and nothing checks them: each must be taken twice.
    plan = planned(tmp_path, "pattern: {points: [[0, 0], [80, 0], [80, 60]]}\nhole: 8.5\n")
    assert [reading.repeats for reading in plan.readings] == [2, 2, 2]


def test_studs_are_read_over_and_webs_between(tmp_path):
    features = "".join(
        f'  {name}: {{{kind}: 8, at: [{x}, {y}]}}\n'
        for name, kind, x, y in [("A", "stud", 0, 0), ("B", "stud", 90, 0), ("C", "hole", 90, 70), ("D", "hole", 0, 70)]
    )  # fmt: skip
    plan = planned(tmp_path, f"features:\n{features}")
    kinds = {frozenset(reading.features): reading.kind for reading in plan.readings}
    assert kinds[frozenset("AB")] is ReadingKind.OUTSIDE
    assert kinds[frozenset("CD")] is ReadingKind.INSIDE
    # Roughly: 90 and two half diameters.
    assert [r.value for r in plan.readings if set(r.features) == set("AB")] == pytest.approx([98.0])


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("hole: 8\n", "a plan starts from `features` with rough places, or from a `pattern`"),
        ("features: {A: {hole: 8}, B: {hole: 8, at: [9, 9]}}\n", "feature A: no rough place; allowed: at: [x, y]"),
        ("features: {A: {hole: 8, at: [9, 9]}}\n", "1 holes; allowed: 2 to 60"),
        ("features: {A: {hole: 8, at: [9, 9]}, B: {hole: 8, at: [9, 9.2]}}\n", "A and B lie 0.20 mm apart"),
        ("pattern: {row: [0, 80, 150, 230]}\n", "they lie nearly on one line. Measure them from an edge"),
        (f"{SIX}instrument: digital calliper\n", "instrument: unknown instrument 'digital calliper'; allowed: "),
        (f"{SIX}stud: 8\n", "stud: the holes of a pattern are of one kind: hole and stud; allowed: one of hole, stud"),
        ("features: {A: {at: [0, 0]}, B: {hole: 8, at: [9, 9]}}\n", "feature A; allowed: one of hole, stud, boss"),
        (f"{SIX}datum: {{origin: '1', x_towards: '7'}}\n", "datum: no hole 7; allowed: 1, 2, 3, 4, 5, 6"),
        (f"{SIX}within: 3 furlongs\n", "within: "),
        (f"{SIX}within: 0\n", "within: within cannot be this, met 0; allowed: above 0 mm"),
        (f"{SIX}instrument: plain protractor\n", "a plain protractor reads no lengths"),
    ],
)
def test_what_cannot_be_planned_is_refused(tmp_path, text, message):
    with pytest.raises((SpecError, SpecErrors, SurveyError), match=re.escape(message)):
        planned(tmp_path, text)


def test_too_small_a_size_is_refused_with_what_can_be_had(tmp_path):
    with pytest.raises(
        SurveyError, match=r"^even every pair read twice leaves shifts of 0\.\d\d mm unnoticed, more than 0\.01"
    ):
        planned(tmp_path, SIX, 0.01)


def test_the_command_writes_a_sheet_and_a_file_to_fill_in(tmp_path):
    file = tmp_path / "pad.plan.yaml"
    file.write_text(SIX, encoding="utf-8")
    answer = run("survey", "--plan", file, "--out", tmp_path / "made")
    assert answer.code == 0
    assert answer.out.startswith("pad: 6 holes, 10 readings with a digital caliper, and every diameter twice")
    network = load_network(tmp_path / "made" / "pad.readings.yaml")
    assert (len(network.readings), len(network.waiting)) == (0, 10)
    # The sheet, read by another library, has every reading of the file with its number, and every diameter.
    words = pypdfium2.PdfDocument(tmp_path / "made" / "pad_plan.pdf")[0].get_textpage().get_text_range()
    words = re.sub(r"\s+", " ", words)
    for reading in network.waiting:
        assert f"{reading.number} {reading.title.split(', ')[1]} " in words
    assert all(f"diameter of {name} 8.5" in words for name in "123456")
    # Readings are never written over.
    again = run("survey", "--plan", file, "--out", tmp_path / "made")
    assert again.code == 3
    assert "readings are never written over" in again.err
    stated = json.loads(run("survey", "--plan", file, "--checked", "0.6", "--json").out)
    assert stated["unnoticed"] <= 0.6
    assert len(stated["readings"]) <= 10


def filled(tmp_path, truth, **typed):
    """A plan of six holes filled in by true places, but for some readings, by number, as they were typed."""
    plan = six()
    lines = []
    for line in plan_yaml(plan).splitlines():
        pair = re.search(r'inside: \["(\d)", "(\d)"\].*# (\d+):', line)
        value = f"{math.dist(truth[pair[1]], truth[pair[2]]) - 8.5:.2f}" if pair else ""
        read = str(typed.get(f"r{pair[3]}", value)) if pair else "~"
        lines.append(line.replace("[~, ~]", "[8.5, 8.5]") if "hole" in line else line.replace("~", read))
    file = tmp_path / "pad.readings.yaml"
    file.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return file


TRUE = {"1": (0, 0), "2": (84.4, 0.3), "3": (167.2, -0.5), "4": (168.1, 70.6), "5": (83.2, 69.5), "6": (-0.4, 70.2)}


def test_the_next_reading_is_expected_near_what_it_must_be(tmp_path):
    file = filled(tmp_path, TRUE, r10="~")
    found = progress(load_network(file))
    assert (found.taken, found.waiting, found.questioned) == (15, 1, ())
    true = math.dist(TRUE["5"], TRUE["6"]) - 8.5
    assert found.next.title == "10, 5-6 inside"
    assert abs(found.next.value - true) <= found.next.half
    answer = run("survey", file)
    assert re.search(r"^next 10, 5-6 inside: expect \d+\.\d ± \d\.\d mm$", answer.out, re.MULTILINE)


def test_a_reading_that_cannot_be_is_questioned_at_once(tmp_path):
    # 3-4 is 62.6: typed 26.6 it has its digits swapped.
    value = math.dist(TRUE["3"], TRUE["4"]) - 8.5
    swapped = f"{value:.2f}"[1] + f"{value:.2f}"[0] + f"{value:.2f}"[2:]
    found = progress(load_network(filled(tmp_path, TRUE, r7=swapped)))
    (asked,) = found.questioned
    assert asked.title == "7, 3-4 inside"
    assert asked.cause == f"with two digits swapped it is {value:.2f} mm"


@pytest.mark.parametrize(
    ("change", "cause"),
    [
        (8.5, "as centres it would do"),  # half a hole more at each end
        (17.0, "as outside it would do"),
        (-20.0, ""),  # neither half holes nor a common typing error
    ],
)
def test_a_reading_of_another_kind_is_named_as_that(tmp_path, change, cause):
    value = math.dist(TRUE["3"], TRUE["4"]) - 8.5 + change
    (asked,) = progress(load_network(filled(tmp_path, TRUE, r7=f"{value:.2f}"))).questioned
    assert (asked.title, asked.cause) == ("7, 3-4 inside", cause)


def test_a_file_in_inches_is_answered_in_inches(tmp_path):
    # 3 and 4 lie 5.25 in apart, 4.92 in between holes of 0.33 in; typed 4.29 its digits are swapped.
    plan = planned(tmp_path, "units: in\npattern: {rectangle: [6, 5.25], rows: [3, 2]}\nhole: 0.33\n")
    text = re.sub(r"\[~, ~\], at", "[0.33, 0.33], at", plan_yaml(plan))
    for pair, read in (("1, 2", "2.67"), ("3, 4", "4.29")):
        a, b = pair.split(", ")
        text = text.replace(f'["{a}", "{b}"], reads: ~', f'["{a}", "{b}"], reads: {read}')
    file = tmp_path / "pad.readings.yaml"
    file.write_text(text, encoding="utf-8")
    (asked,) = progress(load_network(file)).questioned
    assert re.fullmatch(
        r"\d+, 3-4 inside reads 4\.29 in, 4\.9\d\d ± 0\.\d\d\d in expected: with two digits swapped it is 4\.92 in; "
        "read it again", asked.words)  # fmt: skip
    assert progress(load_network(file)).next.words.endswith(" in")


def test_rough_places_tell_which_reading_is_wrong(tmp_path):
    # With one redundant reading ten would explain it; places to 2 mm leave one.
    file = filled(tmp_path, TRUE, r7="16.25")
    found = solve(load_network(file))
    assert [(one.judged.title, one.alternatives) for one in found.suspects] == [("reading 7, 3-4 inside", ())]


def test_a_typing_error_is_named_where_it_explains_the_misreading(tmp_path):
    # 62.60 typed 26.60: too short by the 36 mm that swapping them back takes off.
    (suspect,) = solve(load_network(filled(tmp_path, TRUE, r7="26.60"))).suspects
    assert suspect.blunder == pytest.approx(26.6 - 62.6, abs=0.1)
    assert worded(suspect.message).metric.endswith(
        "mm too short (with two digits swapped it is 62.6 mm); read it again"
    )


def test_a_survey_without_rough_places_has_no_progress():
    features = (Feature("A", FeatureKind.HOLE), Feature("B", FeatureKind.HOLE))
    assert progress(Network(features, (), Datum("A", "B"))) is None


def test_watching_a_file_says_what_is_next(tmp_path):
    from platemaker.cli._watch_readings import follow

    file, said = filled(tmp_path, TRUE, r10="~"), []
    follow(file, said.append, lambda: bool(said))
    assert said[0].splitlines()[-1].startswith("next 10, 5-6 inside: expect ")
    file, said = filled(tmp_path, TRUE), []
    follow(file, said.append, lambda: bool(said))
    assert "all is read: " in said[0]


def test_x_runs_as_in_the_plan(tmp_path):
    # The corner across is farther, but X of the answer is then no X of the drawing.
    assert planned(tmp_path, SIX).datum == Datum("1", "3", left=("4",))


def test_while_planned_readings_wait_no_others_are_named(tmp_path):
    answer = run("survey", filled(tmp_path, TRUE, **{f"r{number}": "~" for number in range(2, 11)}))
    assert answer.code == 2
    assert "next 2, " in answer.out
    assert "that nothing joins: " in answer.err
    assert "take readings such as" not in answer.err


def test_a_plan_taken_for_readings_and_the_other_way_round_is_said(tmp_path):
    file = tmp_path / "pad.plan.yaml"
    file.write_text(SIX, encoding="utf-8")
    answer = run("survey", file)
    assert answer.code == 2
    assert "a plan of what to read, not readings; allowed: a plan with --plan" in re.sub(r"\s+", " ", answer.err)
    with pytest.raises(SpecErrors, match=r"unknown key; allowed: survey, .*pattern, hole, stud, boss, within"):
        load_plan(filled(tmp_path, TRUE), spots_of, 0.5)


def test_lines_on_the_sheet_run_round_wide_features():
    from platemaker.export._survey_sheets import _run

    # From (0, 0) to (60, 50) past a boss of radius 10 in the middle, and past one that lies a little to either side.
    reading = Reading(1, ReadingKind.INSIDE, ("A", "C"), 70.0, 0.03)
    for middle in ((30.0, 25.0), (27.0, 28.0), (35.0, 24.0)):
        places = {"A": (0.0, 0.0), "C": (60.0, 50.0), "E": middle}
        line = _run(reading, places, {"A": 3.0, "C": 3.0, "E": 10.0})
        assert (line[0], line[-1]) == ((0.0, 0.0), pytest.approx((60.0, 50.0)))
        assert min(math.dist(at, middle) for at in line) > 10.0
