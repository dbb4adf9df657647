"""What a survey says of small networks: places, suspects, further readings, and networks that do not hold."""

import itertools
import math

import pytest

from platemaker.errors import SpecErrors, SurveyError
from platemaker.report import worded
from platemaker.survey import Datum, Feature, FeatureKind, Network, Reading, ReadingKind, nominals, solve

K = ReadingKind
LEFT_C = Datum("A", "B", left=("C",))
RECTANGLE = {"A": (0, 0), "B": (142, 0), "C": (142, 98), "D": (0, 98)}


def network(spans, datum=LEFT_C, extra=(), sigma=0.05):
    names = sorted({name for a, b, _ in spans for name in (a, b)})
    readings = [Reading(i, K.CENTRES, (a, b), value, sigma) for i, (a, b, value) in enumerate(spans, start=1)]
    return Network(tuple(Feature(name, FeatureKind.HOLE) for name in names), (*readings, *extra), datum)


def places(found):
    return {point.name: point.place for point in found.points}


TRIANGLE = [("A", "B", 80.0), ("B", "C", 60.0), ("A", "C", 100.0)]
FLEXING = [("A", "B", 80.0), ("B", "C", 60.0), ("C", "D", 80.0), ("D", "A", 60.0)]


def test_triangle_left_and_right():
    assert places(solve(network(TRIANGLE)))["C"] == pytest.approx((80, 60))
    assert places(solve(network(TRIANGLE, Datum("A", "B", right=("C",)))))["C"] == pytest.approx((80, -60))


@pytest.mark.parametrize(
    ("spans", "datum", "message"),
    [
        (
            # Either diagonal holds four bars in a ring.
            FLEXING,
            LEFT_C,
            "the readings do not hold the network: C, D are free to move; take also B-D",
        ),
        (
            [*TRIANGLE, ("C", "D", 80.0)],
            LEFT_C,
            "the readings do not hold the network: D is free to move; take also B-D",
        ),
        (
            [*TRIANGLE, ("D", "E", 80.0)],
            LEFT_C,
            "the readings leave 2 islands that nothing joins: A, B, C; D, E; take readings such as A-D, C-D, A-E",
        ),
        (
            [*FLEXING, ("A", "C", 100.0)],
            LEFT_C,
            "the readings allow two figures: D fits in two places; read also B-D, or state in the datum on which side "
            "of the X line it lies",
        ),
        (
            TRIANGLE,
            Datum("A", "B"),
            "the readings do not distinguish the pattern from its mirror image: state in the datum whether C lies left or right "
            "of the line from A to B",
        ),
        (
            [("A", "B", 80.0), ("B", "C", 60.0), ("A", "C", 140.0), ("C", "D", 60.0), ("B", "D", 120.0)],
            Datum("A", "C"),
            "the readings do not hold the network: C, D are free to move; state which features lie on one line, or "
            "measure from an edge",
        ),
        (
            # 80 + 20 is less than 150: no triangle.
            [("A", "B", 80.0), ("B", "C", 20.0), ("A", "C", 150.0)],
            LEFT_C,
            "the readings contradict each other: no figure fits reading 1, A-B centres; reading 2, B-C centres; "
            "reading 3, A-C centres: read them again",
        ),
        (
            # 100 lies more than 6 from 116.6.
            [("A", "B", 100.0), ("B", "C", 60.0), ("A", "C", 116.6), ("C", "D", 100.0), ("A", "D", 6.0)],
            LEFT_C,
            "the readings do not hold the network: D is free to move; take also B-D; and the readings contradict each "
            "other: no figure fits reading 3, A-C centres; reading 4, C-D centres; reading 5, A-D centres: read them "
            "again",
        ),
        (
            [*FLEXING, ("A", "C", 100.0), ("B", "D", 100.0)],
            Datum("A", "B", left=("C",), right=("D",)),
            "no figure that fits the readings has C left and D right of the line A-B",
        ),
    ],
)
def test_networks_that_do_not_hold(spans, datum, message):
    with pytest.raises(SurveyError) as fault:
        solve(network(spans, datum))
    assert str(fault.value) == message


def test_a_reading_named_as_the_cure_cures():
    found = solve(network([*FLEXING, ("A", "C", 100.0)], Datum("A", "B", left=("C", "D"))))
    assert places(found)["D"] == pytest.approx((0, 60), abs=1e-6)


def test_network_without_triangles_is_not_settled_by_luck():
    # K(3,3) is rigid but not placed point by point, and its distances allow several figures.
    where = {"A": (9, 24), "B": (80, 58), "C": (9, 43), "D": (48, 16), "E": (73, 11), "F": (39, 52)}
    spans = [(a, b, math.dist(where[a], where[b])) for a in "ABC" for b in "DEF"]
    with pytest.raises(SurveyError, match=r"the readings allow (two|several) figures"):
        solve(network(spans, Datum("A", "D", left=("C",))))


@pytest.mark.parametrize("noise", range(6))
def test_rounding_of_exact_readings_does_not_choose_the_figure(noise):
    """Figures that fit K(3,3) alike, one of which can nearly move: what is reported on them must not hang on last digits."""
    where = {"A": (9, 24), "B": (80, 58), "C": (9, 43), "D": (48, 16), "E": (73, 11), "F": (39, 52)}
    turn = 1e-9 * noise
    spans = [(a, b, math.dist(where[a], where[b]) * (1 + turn)) for a in "ABC" for b in "DEF"]
    with pytest.raises(SurveyError, match=r"the readings allow several figures"):
        solve(network(spans, Datum("A", "D", left=("C",))))


def folding_rows(wrong=0.0, second=60.0, at="CE"):
    """Two rows of three holes, both rectangles braced by their diagonals: the second may fold over onto the first."""
    far = 90.0 + second
    where = {"A": (0, 0), "B": (90, 0), "C": (far, 0), "D": (0, 100), "E": (90, 100), "F": (far, 100)}
    pairs = ["AB", "BC", "DE", "EF", "AD", "BE", "CF", "AE", "BD", "BF", "CE"]
    return [(a, b, math.dist(where[a], where[b]) + (wrong if a + b == at else 0.0)) for a, b in pairs]


def test_braced_rectangles_that_share_a_side_may_fold():
    with pytest.raises(SurveyError, match=r"^the readings allow two figures: C, F fit in two places; read also A-C, "):
        solve(network(folding_rows(), Datum("A", "B", left=("E",))))
    held = [*folding_rows(), ("A", "C", 150.0)]
    assert places(solve(network(held, Datum("A", "B", left=("E",)))))["C"] == pytest.approx((150, 0))


def test_squares_do_not_fold_onto_each_other():
    # Folded, C would lie in A and F in D: two holes cannot.
    found = places(solve(network(folding_rows(second=90.0), Datum("A", "B", left=("E",)))))
    assert (found["C"], found["F"]) == (pytest.approx((180, 0)), pytest.approx((180, 100)))


@pytest.mark.parametrize("wrong", [1.5, -5.0, 15.0])
def test_doubt_about_a_figure_names_the_reading_to_look_at(wrong):
    with pytest.raises(
        SurveyError, match=r"; or a reading is wrong, read again first: (reading \d+, [A-F]-[A-F] centres(; |$)){5}"
    ):
        solve(network(folding_rows(wrong), Datum("A", "B", left=("E",))))


@pytest.mark.parametrize("wrong", [1.5, -5.0, 15.0])
@pytest.mark.parametrize("at", ["AC", "DF", "BC", "EF"])
def test_wrong_reading_is_named_where_two_readings_hold_the_fold(wrong, at):
    spans = [*folding_rows(wrong, at=at), *((a, b, 150.0 + (wrong if a + b == at else 0.0)) for a, b in ("AC", "DF"))]
    found = solve(network(spans, Datum("A", "B", left=("E",))))
    assert [suspect.judged.features for suspect in found.suspects] == [tuple(at)]
    # All other readings are exact.
    assert found.suspects[0].blunder == pytest.approx(wrong, abs=1e-6)
    assert places(found)["C"] == pytest.approx((150, 0), abs=1e-6)


@pytest.mark.parametrize(("at", "wrong"), [("BF", 1.5), ("CE", 1.5), ("CF", 1.5), ("BF", 15.0), ("CF", 15.0)])
def test_one_of_several_that_explain_it_as_well_is_told_with_the_others(wrong, at):
    # Within one braced rectangle six readings hold five freedoms: which of them is wrong is not known.
    spans = [*folding_rows(wrong, at=at), ("A", "C", 150.0)]
    found = solve(network(spans, Datum("A", "B", left=("E",))))
    (suspect,) = found.suspects
    assert any(f"{at[0]}-{at[1]} " in title for title in (suspect.judged.title, *suspect.alternatives))
    assert worded(suspect.message).metric.endswith("the readings do not show which)")
    assert not any(reading.excluded for reading in found.readings)


def test_a_wrong_angle_is_told_in_degrees():
    """All distances of the rectangle are exact, so the angle at B is 90 degrees."""
    spans = [(a, b, math.dist(RECTANGLE[a], RECTANGLE[b])) for a, b in itertools.combinations("ABCD", 2)]
    found = solve(network(spans, extra=(Reading(7, K.ANGLE, ("A", "B", "C"), 92.0, 0.1),)))
    [suspect] = found.suspects
    assert (suspect.judged.reading.number, suspect.judged.unit) == (7, "deg")
    assert suspect.judged.blunder == pytest.approx(2.0, abs=1e-6)
    assert suspect.blunder == pytest.approx(2.0, abs=1e-6)
    assert worded(suspect.message).metric.endswith("2.00 deg too wide; read it again")


def test_a_wide_blunder_bends_the_figure_enough_to_be_told():
    # C-E 15 mm too long turns C about B by 17 mm: A-C, two sides of a triangle with that angle, would then read
    # sqrt(90^2 + 60^2 + 2 90 60 cos(17 / 60)) = 148.6, and not 150.
    found = solve(network([*folding_rows(15.0, at="CE"), ("A", "C", 150.0)], Datum("A", "B", left=("E",))))
    assert [suspect.judged.features for suspect in found.suspects] == [("C", "E")]
    assert found.suspects[0].alternatives == ()


def test_readings_that_nothing_checks_are_told():
    found = solve(network([*TRIANGLE]))
    assert found.unchecked == ("reading 1, A-B centres", "reading 2, B-C centres", "reading 3, A-C centres")
    assert found.variance.verdict == "no reading is redundant: nothing checks the readings"


def test_a_statement_on_several_holes_is_told_once():
    row = [("A", "B", 80.0), ("B", "C", 60.0), ("C", "D", 60.0), ("A", "D", 200.0)]
    found = solve(network(row, Datum("A", "D"), [Reading(5, K.STRAIGHT, ("A", "B", "C", "D"), 0.0, 0.05)]))
    assert found.unchecked == ("reading 5, A-B-C-D straight",)


def test_an_edge_that_two_holes_alone_tell_is_named_with_the_third():
    # A port edge 14 from A and from B lies on either side of them, or crosses between them; the casting's own edge,
    # which has all holes on one side, does not.
    edges = [Feature("outer", FeatureKind.EDGE), Feature("port", FeatureKind.PORT_EDGE)]
    more = [Reading(4 + i, K.CENTRE_TO_EDGE, (hole, edge.name), 14.0, 0.05)
            for i, (hole, edge) in enumerate((hole, edge) for edge in edges for hole in "AB")]  # fmt: skip
    net = network(TRIANGLE, LEFT_C, more)
    with pytest.raises(SurveyError) as fault:
        solve(Network((*net.features, *edges), net.readings, net.datum))
    assert str(fault.value) == "the readings allow several figures: port fits in two places; read also port-C"


EIGHT = {
    "A": (0, 0), "B": (120, 0), "C": (131, 74), "D": (52, 95), "E": (-8, 60), "F": (60, 41), "G": (95, 130), "H": (20, 140),
}  # fmt: skip
OFF = {"BG": 30.0, "DE": -12.0, "AB": 21.0, "CF": 8.0, "EH": -5.0}


def all_spans(wrong):
    """All 28 spans of eight holes, some of them wrong by what OFF says."""
    return [
        (a, b, math.dist(EIGHT[a], EIGHT[b]) + (OFF[a + b] if a + b in wrong else 0.0))
        for a, b in itertools.combinations(EIGHT, 2)
    ]


@pytest.mark.parametrize("count", [1, 2, 3, 4])
def test_as_many_as_15_percent_may_be_wrong_and_are_named(count):
    # 0.15 x 28 = 4.2.
    wrong = list(OFF)[:count]
    found = solve(network(all_spans(wrong)))
    assert {"".join(suspect.judged.features) for suspect in found.suspects} == set(wrong)
    assert found.point("H").place == pytest.approx(EIGHT["H"], abs=1e-6)


def test_more_than_15_percent_wrong_is_no_figure_and_no_verdict_on_the_readings():
    with pytest.raises(
        SurveyError, match=r"^no figure found: at most 4 of 28 readings and diameters may be wrong, and "
    ):
        solve(network(all_spans(OFF)))


def test_readings_that_pull_two_holes_into_one_point_are_refused():
    # A-B is 103, B-C 15, A-C 58, three times over, and the angle at B says that C lies beyond B.
    spans = [("A", "B", 103.226), ("B", "C", 14.93), ("A", "C", 58.09)]
    more = [
        Reading(4, K.STRAIGHT, ("C", "B", "A"), 0.0, 0.03), Reading(5, K.ANGLE, ("A", "B", "C"), 171.7, 0.055),
        Reading(6, K.OUTSIDE, ("A", "C"), 66.1, 0.03), Reading(7, K.INSIDE, ("A", "C"), 50.09, 0.03),
        Reading(8, K.INSIDE, ("B", "C"), 6.97, 0.03),
    ]  # fmt: skip
    with pytest.raises(
        SurveyError, match=r"^the readings contradict each other: no figure fits reading 1, A-B centres; "
    ):
        solve(network(spans, LEFT_C, more, sigma=0.03))


def test_a_straight_row_that_may_fold_back_is_refused():
    # Steps of 80, 60 and 60 along one line: each may go on or back. With C at 140 D lies at 200 (at 80 it would lie in
    # B), with C at 20 it lies at -40.
    row = [("A", "B", 80.0), ("B", "C", 60.0), ("C", "D", 60.0)]
    straight = Reading(4, K.STRAIGHT, ("A", "B", "C", "D"), 0.0, 0.05)
    with pytest.raises(SurveyError, match=r"^the readings allow two figures: A fits in two places; read also A-D"):
        solve(network(row, Datum("A", "D"), [straight]))


def test_row_held_by_a_statement():
    row = [("A", "B", 80.0), ("B", "C", 60.0), ("A", "C", 140.0), ("C", "D", 60.0), ("B", "D", 120.0)]
    straight = Reading(6, K.STRAIGHT, ("A", "B", "C", "D"), 0.0, 0.05)
    found = solve(network(row, Datum("A", "D"), [straight]))
    assert places(found)["C"] == pytest.approx((140, 0), abs=1e-6)


def holes_from_edges(width=None):
    """Four holes each read from two square edges, as one lays out a pattern by hand."""
    where = {"A": (10, 12), "B": (90, 13), "C": (92, 70), "D": (11, 71)}
    features = [Feature(name, FeatureKind.HOLE, 8.0) for name in where]
    features += [Feature("side", FeatureKind.EDGE), Feature("front", FeatureKind.EDGE)]
    readings = []

    def read(kind, names, value, sigma=0.05):
        readings.append(Reading(len(readings) + 1, kind, names, value, sigma))

    for name, (x, y) in where.items():
        read(K.HOLE_TO_EDGE, ("side", name), x - 4.0)
        read(K.FAR_TO_EDGE, ("front", name), y + 4.0)
    read(K.SQUARE, ("side", "front"), 90.0, 0.1)
    if width:
        features.append(Feature("far", FeatureKind.EDGE))
        read(K.EDGE_TO_EDGE, ("side", "far"), width)
        read(K.CENTRE_TO_EDGE, ("far", "B"), width - 90)
    return Network(tuple(features), tuple(readings), LEFT_C), where


@pytest.mark.parametrize("width", [None, 104.0])
def test_holes_from_two_square_edges(width):
    network, where = holes_from_edges(width)
    found = solve(network)
    for a in where:
        for b in where:
            assert math.dist(places(found)[a], places(found)[b]) == pytest.approx(math.dist(where[a], where[b]))
    side = next(edge for edge in found.edges if edge.name == "side")
    # The side edge lies 10 mm from A, the datum's origin.
    assert side.offset == pytest.approx(-10.0)


def test_angle_in_place_of_a_third_distance():
    right = Reading(3, K.ANGLE, ("A", "B", "C"), 90.0, 0.1)
    found = solve(network(TRIANGLE[:2], extra=[right]))
    assert places(found)["C"] == pytest.approx((80, 60))


def test_unread_diameters_follow_from_inside_and_outside():
    readings = []
    for a, b, span in TRIANGLE:
        for kind, size in ((K.INSIDE, -10.0), (K.OUTSIDE, 10.0)):
            readings.append(Reading(len(readings) + 1, kind, (a, b), span + size, 0.05))
    features = tuple(Feature(name, FeatureKind.HOLE) for name in "ABC")
    found = solve(Network(features, tuple(readings), LEFT_C))
    assert [point.diameter for point in found.points] == pytest.approx([10.0] * 3)
    with pytest.raises(SurveyError, match=r"take also diameter of A, diameter of C, diameter of B$"):
        solve(Network(features, tuple(r for r in readings if r.kind is K.INSIDE), LEFT_C))


def test_same_side_reading_of_unlike_holes():
    # From the far side of A (radius 5) to the near side of B (radius 3): 80 + 5 - 3.
    features = (
        Feature("A", FeatureKind.HOLE, 10.0),
        Feature("B", FeatureKind.HOLE, 6.0),
        Feature("C", FeatureKind.HOLE),
    )
    readings = (
        Reading(1, K.SAME_SIDE, ("A", "B"), 82.0, 0.05),
        Reading(2, K.CENTRES, ("B", "C"), 60.0, 0.05),
        Reading(3, K.CENTRES, ("A", "C"), 100.0, 0.05),
    )
    assert places(solve(Network(features, readings, LEFT_C)))["B"] == pytest.approx((80, 0))


def five_holes(wrong=0.0):
    where = {"A": (0, 0), "B": (142, 0), "C": (142, 98), "D": (0, 98), "E": (70, 40)}
    features = tuple(Feature(name, FeatureKind.HOLE, 8.0, 0.03) for name in where)
    names = sorted(where)
    pairs = [(a, b) for i, a in enumerate(names) for b in names[i + 1 :]]
    readings = [
        Reading(i, K.INSIDE, (a, b), math.dist(where[a], where[b]) - 8.0 + (wrong if i == 7 else 0.0), 0.05)
        for i, (a, b) in enumerate(pairs, start=1)
    ]
    return Network(features, tuple(readings), LEFT_C)


@pytest.mark.parametrize(("wrong", "word"), [(1.92, "long"), (-1.92, "short")])
def test_suspect_is_named_with_its_size(wrong, word):
    # All other readings are exact, so the estimate of the blunder is exact too.
    found = solve(five_holes(wrong))
    assert worded(found.suspects[0].message).metric == f"reading 7, B-E inside: 1.92 mm too {word}; read it again"
    assert found.suspects[0].blunder == pytest.approx(wrong)
    assert len(found.suspects) == 1
    assert [reading.excluded for reading in found.readings if reading.reading].count(True) == 1
    assert places(found)["E"] == pytest.approx((70, 40), abs=1e-6)


def test_one_redundant_reading_cannot_tell_which_is_wrong():
    quad = [*FLEXING, ("A", "C", 100.0), ("B", "D", 101.5)]
    found = solve(network(quad))
    (suspect,) = found.suspects
    assert len(suspect.alternatives) == 5
    assert worded(suspect.message).metric.endswith("the readings do not show which)")
    assert not any(reading.excluded for reading in found.readings)


def test_sum_of_redundancies_is_the_degrees_of_freedom():
    found = solve(five_holes())
    # 10 readings and 5 diameters, less 5 x 3 unknowns, and 3 for the rigid motion.
    assert found.variance.degrees_of_freedom == 10 + 5 - 15 + 3
    assert sum(reading.redundancy for reading in found.readings) == pytest.approx(3.0)


def test_best_further_reading_does_what_it_promises():
    spans = [*FLEXING, ("A", "C", 100.0)]
    datum = Datum("A", "B", left=("C", "D"))
    best = solve(network(spans, datum)).suggestions[0]
    assert best.features == ("B", "D")
    after = solve(network([*spans, ("B", "D", 100.0)], datum))
    assert max(point.ellipse.semi_major for point in after.points) == pytest.approx(best.worst_after, rel=1e-6)


def test_nominal_is_proposed_not_used():
    where = {name: (x + 0.01, y - 0.02) if name == "C" else (x, y) for name, (x, y) in RECTANGLE.items()}
    names = sorted(where)
    spans = [(a, b, math.dist(where[a], where[b])) for i, a in enumerate(names) for b in names[i + 1 :]]
    found = solve(network(spans))
    best = nominals(found.pattern())[0]
    assert worded(best.message).metric.startswith("within its uncertainty this is a 142 × 98 mm rectangle")
    assert best.sizes == (142.0, 98.0)
    assert places(found)["C"] == pytest.approx((142.01, 97.98), abs=0.02)
    assert places(found)["C"] != (142.0, 98.0)


def test_faults_of_the_input_are_told_without_a_file():
    readings = (Reading(1, K.CENTRES, ("A", "Q"), 80.0, 0.05), Reading(2, K.CENTRES, ("A", "B"), -1.0, 0.0))
    features = (
        Feature("A", FeatureKind.HOLE, -2.0),
        Feature("B", FeatureKind.HOLE),
        Feature("B", FeatureKind.EDGE, 3.0),
    )
    with pytest.raises(SpecErrors) as fault:
        solve(Network(features, readings, Datum("A", "A", left=("A",))))
    text = str(fault.value)
    for stated in (
        "diameter of A, met -2.0; allowed: above 0 mm",
        "feature B is named twice",
        "edge B is a straight line and has no diameter, met 3.0",
        "reading 1, A-Q centres: no feature Q; allowed: A, B",
        "X runs from A to itself",
        "A cannot also lie left of the X line",
    ):
        assert stated in text


def test_pattern_of_an_unknown_feature():
    with pytest.raises(
        SurveyError, match=r"no round feature 'AA' in the survey; there are: A, B, C; did you mean 'A'\?"
    ):
        solve(network(TRIANGLE)).pattern(("AA",))
