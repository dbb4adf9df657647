"""Nominals of surveyed patterns: every shape that a spec spells, stated so that it can be pasted, simplest first."""

import math
from pathlib import Path

import numpy as np
import pytest
import yaml
from pydantic import TypeAdapter

from platemaker.errors import SurveyError
from platemaker.parts._records._figures import spots_of
from platemaker.report import worded
from platemaker.spec._base import Pattern as SpecPattern
from platemaker.survey import MM_STEPS, NominalKind, Pattern, nominals, surveyed_pattern

SIGMA = 0.05
READ = TypeAdapter(SpecPattern)
DEMO = Path(__file__).parents[2] / "part_specs" / "pump_engine"


def spec_places(text):
    """The holes of a pattern as the spec's own reader and the parts' own layout give them, by number."""
    return spots_of(READ.validate_python(yaml.safe_load(text)))


def surveyed(text, turn=36.87, at=(17.0, -4.0), shuffled=1, sigma=SIGMA):
    """The places of a spec's pattern, turned, moved, in no order, with independent deviations."""
    places = np.array(list(spec_places(text).values()))
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    places = places @ np.array([[c, s], [-s, c]]) + at
    places = places[np.random.default_rng(shuffled).permutation(len(places))]
    return Pattern(
        tuple(f"H{i}" for i in range(len(places))), tuple(map(tuple, places)), sigma**2 * np.eye(2 * len(places))
    )


SPELLED = [
    ("{rectangle: [142 mm, 98 mm]}", "a 142 × 98 mm rectangle"),
    ("{rectangle: [168 mm, 108 mm], rows: [3, 3]}", "8 holes, 3 and 3 along the sides of a 168 × 108 mm rectangle"),
    ("{rectangle: [232 mm, 144 mm], rows: [4, 3]}", "10 holes, 4 and 3 along the sides of a 232 × 144 mm rectangle"),
    ("{rectangle: [90 mm, 240 mm], rows: [2, 5]}", "10 holes, 2 and 5 along the sides of a 90 × 240 mm rectangle"),
    ("{rectangle: [240 mm, 90 mm], rows: [5, 2]}", "10 holes, 5 and 2 along the sides of a 240 × 90 mm rectangle"),
    ("{circle: 110 mm, count: 5}", "5 holes evenly on a 110 mm bolt circle"),
    ("{row: [0 mm, 31.5 mm, 63 mm, 94.5 mm]}", "an even row of 4 holes at 31.5 mm pitch"),
    ("{row: [0 mm, 93.5 mm, 188 mm, 281.5 mm]}", "a straight row of 4 holes, 93.5, 188, 281.5 mm from the first"),
    ("{rectangle: [6-5/8 in, 4-1/4 in], rows: [3, 2]}",
     "6 holes, 3 and 2 along the sides of a 6-5/8 × 4-1/4 in rectangle"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "words"), SPELLED)
@pytest.mark.parametrize("turn", [0.0, 36.87, 120.0, -88.0])
def test_every_pattern_of_a_spec_is_proposed_as_the_spec_spells_it(text, words, turn):
    pattern = surveyed(text, turn)
    best = nominals(pattern)[0]
    if 45 < abs(turn) < 135 and best.kind is NominalKind.RECTANGLE:
        # Seen from the side, X and Y have changed places.
        assert best.rows == tuple(READ.validate_python(yaml.safe_load(text)).rows[::-1])
    else:
        assert worded(best.message).metric.startswith(
            f"within its uncertainty this is {words} (largest misfit 0.000 mm at H"
        )
        assert worded(best.message).metric.endswith(f"; proposed, not used: {text}")


@pytest.mark.parametrize("text", [text for text, _ in SPELLED])
@pytest.mark.parametrize("turn", [0.0, 36.87, 120.0, -88.0, 179.0])
def test_a_proposal_pasted_into_a_spec_gives_the_surveyed_holes_in_the_order_told(text, turn):
    pattern = surveyed(text, turn)
    best = nominals(pattern)[0]
    pasted = spec_places(best.placed)
    held = dict(zip(pattern.names, pattern.places, strict=True))
    # `at` is stated to 0.001 mm and the turn to 0.0001 deg: 0.0005 mm on 281 mm.
    for name, place in zip(best.names, pasted.values(), strict=True):
        assert math.dist(held[name], place) < 2e-3
    assert [list(map(float, place)) for place in best.places] == [
        pytest.approx(place, abs=2e-3) for place in pasted.values()
    ]


def test_full_grid_is_listed_for_a_spec_has_no_word_for_it():
    text = "{points: [" + ", ".join(f"[{60 * i}, {40 * j}]" for j in range(3) for i in range(4)) + "]}"
    best = nominals(surveyed(text, turn=10.0))[0]
    assert worded(best.message).metric.startswith(
        "within its uncertainty this is a full grid of 4 × 3 holes over 180 × 80 mm ("
    )
    assert best.spelled.startswith("{points: [[-90 mm, -40 mm], [-30 mm, -40 mm], [30 mm, -40 mm], [90 mm, -40 mm], ")
    assert len(spec_places(best.spelled)) == 12


def test_holes_round_the_port_of_the_demo():
    best = nominals(surveyed_pattern(DEMO / "log_top.readings.yaml"))[0]
    assert best.spelled == "{rectangle: [168 mm, 108 mm], rows: [3, 3]}"
    # Its readings go round the port as a spec numbers a rectangle's holes.
    assert best.names == ("1", "2", "3", "4", "5", "6", "7", "8")


@pytest.mark.parametrize(
    "points",
    [
        [(60 * math.cos(t), 60 * math.sin(t)) for t in (0, 1.0471975512, 2.0943951024, math.pi, -1.0471975512)],
        [(0, 0), (142, 0), (142, 98), (3, 98)],
        [(0, 0), (80, 0), (160, 0), (160, 90), (80, 90), (0, 90), (0, 30), (160, 31)],
        [(0, 0), (80, 0), (160, 3)],
    ],
)
def test_no_shape_is_proposed_for_holes_that_have_none(points):
    text = f"{{points: {[list(map(float, point)) for point in points]}}}"
    assert nominals(surveyed(text)) == ()


def test_several_that_fit_are_told_the_simplest_first():
    # The corners of a 99 mm square lie on a circle of 140.007 mm: 140 is written with fewer digits than 99 and 99.
    square = nominals(surveyed("{rectangle: [99 mm, 99 mm]}"))
    assert [one.spelled for one in square] == ["{circle: 140 mm, count: 4}", "{rectangle: [99 mm, 99 mm]}"]
    assert [worded(one.message).metric.split(" a ")[0] for one in square] == ["within its uncertainty this is 4 holes evenly on",
                                                               "it may also be"]  # fmt: skip
    # 70 mm is round; 98.995 mm is not.
    assert nominals(surveyed("{rectangle: [70 mm, 70 mm]}"))[0].kind is NominalKind.RECTANGLE


def test_millimetres_and_inches_are_tried_both():
    # 254 mm are 10 in.
    both = nominals(surveyed("{rectangle: [254 mm, 127 mm]}"))
    assert [one.spelled for one in both] == ["{rectangle: [10 in, 5 in]}", "{rectangle: [254 mm, 127 mm]}"]
    assert [one.step for one in nominals(surveyed("{rectangle: [254 mm, 127 mm]}"), MM_STEPS)] == [1.0]


def test_even_row_is_not_told_again_as_a_row():
    assert {one.kind for one in nominals(surveyed("{row: [0, 50, 100, 150]}"))} == {NominalKind.EVEN_ROW}


def test_three_holes_in_line_at_uneven_steps_are_a_row():
    [found] = [one for one in nominals(surveyed("{row: [0, 50, 120]}"), MM_STEPS) if one.kind is NominalKind.ROW]
    assert found.spelled == "{row: [0 mm, 50 mm, 120 mm]}"


def test_pattern_known_exactly_has_no_uncertainty_to_judge_by():
    with pytest.raises(SurveyError, match="only for a pattern with its covariance"):
        nominals(Pattern(("A", "B"), ((0.0, 0.0), (80.0, 0.0))))
