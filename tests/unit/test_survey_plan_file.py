"""What a plan starts from, and the file of readings that is written from it, word for word and number for number."""

from types import SimpleNamespace

import pytest

from platemaker.errors import SpecError
from platemaker.survey import Datum, Feature, FeatureKind, Reading, ReadingKind
from platemaker.survey._planning._plan_file import PlanModel, SurveyPlan, _name, _Planner, _quoted, plan_yaml
from platemaker.survey._records import Rough
from platemaker.units import LengthUnit

HOLES = (
    Feature("A", FeatureKind.HOLE, rough=Rough((0.0, -12.7), 2.54, 8.89)),
    Feature("B", FeatureKind.STUD, rough=Rough((25.4, 50.8), 1.27)),
)
READINGS = (
    Reading(1, ReadingKind.INSIDE, ("A", "B"), 63.5, 0.03),
    Reading(2, ReadingKind.OUTSIDE, ("B", "A"), 127.0, 0.03, repeats=2),
)


def plan_in(units, datum):
    return SurveyPlan("pad", units, "digital caliper", HOLES, READINGS, datum, 0.5, 0.4)


def test_a_file_to_fill_in_in_millimetres():
    assert plan_yaml(plan_in(LengthUnit.MM, Datum("A", "B", left=("A", "B")))).splitlines() == [
        'survey: "pad"',
        "units: mm",
        "instrument: digital caliper",
        "# Write what is read in place of each ~. `at` and `nominal` are rough: what is read is held against them.",
        "features:",
        '  "A": {hole: [~, ~], at: [0, -12.7], within: 2.54, nominal: 8.89}',
        '  "B": {stud: [~, ~], at: [25.4, 50.8], within: 1.27}',
        'datum: {origin: "A", x_towards: "B", left: ["A", "B"]}',
        "readings:",
        '  - {inside: ["A", "B"], reads: ~}  # 1: roughly 63.5',
        '  - {outside: ["B", "A"], reads: [~, ~]}  # 2: roughly 127.0',
    ]


def test_a_file_to_fill_in_in_inches():
    """0.5 in, 0.1, 0.35, 1, 2, 0.05, 2.5 and 5 in; what is read roughly to a hundredth."""
    lines = plan_yaml(plan_in(LengthUnit.INCH, Datum("A", "B", right=("B",)))).splitlines()
    assert lines[1] == "units: in"
    assert lines[5:] == [
        '  "A": {hole: [~, ~], at: [0, -0.5], within: 0.1, nominal: 0.35}',
        '  "B": {stud: [~, ~], at: [1, 2], within: 0.05}',
        'datum: {origin: "A", x_towards: "B", right: ["B"]}',
        "readings:",
        '  - {inside: ["A", "B"], reads: ~}  # 1: roughly 2.50',
        '  - {outside: ["B", "A"], reads: [~, ~]}  # 2: roughly 5.00',
    ]


def test_how_often_the_caliper_is_laid_on():
    assert plan_in(LengthUnit.MM, Datum("A", "B")).count == 1 + 2


@pytest.mark.parametrize(("text", "quoted"), [("pad", '"pad"'), ('1" pad', '"1\\" pad"'), ("a\\b", '"a\\\\b"')])
def test_names_are_quoted_as_yaml_reads_them(text, quoted):
    assert _quoted(text) == quoted


@pytest.mark.parametrize("file", ["pad.plan.yaml", "pad.yaml", "pad.readings.yaml", "pad.plan", "pad"])
def test_a_plan_without_a_name_has_that_of_its_file(file):
    assert _name(SimpleNamespace(name=file)) == "pad"


def planner(spots=(), **body):
    model = PlanModel.model_validate(body, context={"units": body.get("units", "mm")})
    return _Planner(SimpleNamespace(where=lambda keys: None), model, lambda pattern: dict(spots))


@pytest.mark.parametrize(
    ("units", "body", "within", "rough"),
    [
        ("mm", {"hole": 8.5, "at": [3, -4]}, None, Rough((3, -4), 2.0, 8.5)),  # roughly: to 2 mm
        ("mm", {"stud": 8, "at": [0, 0], "within": 0.5}, 3, Rough((0, 0), 0.5, 8)),
        ("mm", {"boss": None, "at": [0, 0], "nominal": 20}, 3, Rough((0, 0), 3.0, 20)),
        ("mm", {"hole": [8.5, 8.7], "at": [0, 0], "nominal": 20}, None, Rough((0, 0), 2.0, 8.5)),
        ("in", {"hole": 0.5, "at": [1, "10 mm"]}, 0.1, Rough((25.4, 10), 2.54, 12.7)),
    ],
)
def test_a_hole_with_its_rough_place(units, body, within, rough):
    own = {} if within is None else {"within": within}
    [feature] = planner(units=units, features={"A": body}, **own)._features()
    kind = next(word for word in ("hole", "stud", "boss") if word in body)
    assert (feature.name, feature.kind) == ("A", FeatureKind(kind))
    assert (*feature.rough.at, feature.rough.sigma, feature.rough.diameter) == pytest.approx(
        (*rough.at, rough.sigma, rough.diameter)
    )


@pytest.mark.parametrize(
    ("more", "kind", "diameter", "sigma"),
    [
        ({}, FeatureKind.HOLE, None, 2.0),
        ({"hole": 8.5}, FeatureKind.HOLE, 8.5, 2.0),
        ({"stud": 8, "within": 0.5}, FeatureKind.STUD, 8.0, 0.5),
        ({"boss": 1, "units": "in", "within": 0.02}, FeatureKind.BOSS, 25.4, 0.508),
    ],
)
def test_holes_of_a_pattern_are_alike_and_in_the_order_in_which_one_counts(more, kind, diameter, sigma):
    spots = {"10": (90.0, 0.0), "9": (80.0, 5.0), "1": (0.0, 0.0)}
    found = planner(spots, pattern={"row": [0, 80, 90]}, **more)._features()
    assert [(one.name, one.rough.at) for one in found] == [("1", (0, 0)), ("9", (80, 5)), ("10", (90, 0))]
    assert {(one.kind, one.rough.sigma, one.rough.diameter) for one in found} == {(kind, sigma, diameter)}


@pytest.mark.parametrize(("holes", "refused"), [(1, True), (2, False), (60, False), (61, True)])
def test_a_plan_has_2_to_60_holes(holes, refused, monkeypatch):
    """Past the count a plan of holes on one line is refused for another reason."""
    spots = {f"{i}": (10.0 * i, 0.0) for i in range(holes)}
    one = planner(spots, pattern={"row": [0, 80]})
    monkeypatch.setattr(one, "_apart", lambda features, places: (_ for _ in ()).throw(LookupError))
    with pytest.raises(SpecError if refused else LookupError, match=rf"^{holes} holes; allowed" if refused else None):
        one.plan("pad", 0.5)


def test_lengths_are_above_nothing_but_places_may_be_below():
    assert planner()._length(-3, "at", least=None) == -3.0
    for text in (0, -1):
        with pytest.raises(SpecError, match=r"within cannot be this.*above 0 mm"):
            planner()._length(text, "within")
