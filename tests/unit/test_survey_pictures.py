"""A scan or photo as a reading: points in pixels adjusted together with calipers, by an affine map that is found."""

from __future__ import annotations

import math

import numpy as np
import pytest
import scipy.optimize

from platemaker.errors import SpecErrors, SurveyError
from platemaker.records import replace
from platemaker.report import worded
from platemaker.survey import Datum, Feature, FeatureKind, Network, Picture, Reading, ReadingKind, solve, solve_file

TRUE = {"A": (0.0, 0.0), "B": (120.0, 0.0), "C": (131.0, 74.0), "D": (52.0, 95.0), "E": (-8.0, 60.0), "F": (60.0, 41.0)}
LEFT = Datum("A", "B", left=("C",))


def pixels(turn=0.3, scale=11.8, shear=0.004, flip=1.0, noise=0.0, seed=0):
    """Where a scanner with these sees the holes: X right, Y down."""
    rng = np.random.default_rng(seed)
    rotation = np.array([[math.cos(turn), -math.sin(turn)], [math.sin(turn), math.cos(turn)]])
    matrix = scale * np.array([[1.0, shear], [0.0, 1.0]]) @ rotation @ np.diag([1.0, flip])
    found = {}
    for name, at in TRUE.items():
        u, v = matrix @ np.array(at) + rng.normal(0, noise, 2) if noise else matrix @ np.array(at)
        found[name] = (1200.0 + float(u), 900.0 - float(v))
    return found


def network(picture, spans=("AB", "CE"), sigma=1.0, sd=0.03):
    features = tuple(Feature(name, FeatureKind.HOLE) for name in TRUE)
    readings = tuple(
        Reading(i, ReadingKind.CENTRES, (a, b), math.dist(TRUE[a], TRUE[b]), sd) for i, (a, b) in enumerate(spans, 1)
    )
    return Network(features, readings, LEFT, pictures=(Picture("scan", picture, sigma),))


@pytest.mark.parametrize("flip", [1.0, -1.0])
@pytest.mark.parametrize("turn", [0.0, 2.0])
def test_a_scan_and_two_spans_give_all_holes(flip, turn):
    # Also of a gasket laid on the glass face down, whichever way it lay, and with a scanner that is out of square.
    spans = ("AB", "CE", "DB")
    found = solve(network(pixels(turn, flip=flip), spans, sigma=0.01, sd=0.002))
    for name, at in TRUE.items():
        # The shear of 0.004 is held to none by 0.02, and so pulled by a fifth of a deviation of the spans.
        assert found.point(name).place == pytest.approx(at, abs=2e-3)
    assert found.suspects == ()


def test_places_and_deviations_agree_with_another_solver():
    """The same sum of squares put to a general solver, with places and map as its unknowns, and its Jacobian's inverse."""
    picture, spans, sigma = pixels(noise=1.5, seed=3), ("AB", "CE", "AD", "BF", "CF"), 1.5
    found = solve(network(picture, spans, sigma=sigma))
    names = list(TRUE)
    seen = np.array([picture[name] for name in names]) * np.array([1.0, -1.0])
    ratios = [math.dist(TRUE[a], TRUE[b]) / math.dist(picture[a], picture[b]) for a, b in spans]
    pixel = float(np.median(ratios))
    seen = (seen - seen.mean(axis=0)) * pixel

    def misses(unknowns):
        at = np.concatenate([[0.0, 0.0, unknowns[0], 0.0], unknowns[1:9]]).reshape(-1, 2)
        shift, matrix = unknowns[9:11], unknowns[11:15].reshape(2, 2)
        places = dict(zip(names, at, strict=True))
        lengths = [(np.linalg.norm(places[a] - places[b]) - math.dist(TRUE[a], TRUE[b])) / 0.03 for a, b in spans]
        shown = ((at @ matrix.T + shift - seen) / (sigma * pixel)).ravel()
        shears = [(matrix[0, 0] - matrix[1, 1]) / 0.02, (matrix[0, 1] + matrix[1, 0]) / 0.02]
        return np.concatenate([lengths, shown, shears])

    start = np.concatenate([[120.0], np.array([TRUE[name] for name in names[2:]]).ravel(), [0, 0, 1, 0, 0, 1]])
    best = scipy.optimize.least_squares(misses, start, xtol=1e-14, ftol=1e-14, gtol=1e-14)
    assert found.point("B").x == pytest.approx(best.x[0], abs=1e-5)
    for number, name in enumerate(names[2:]):
        assert found.point(name).place == pytest.approx(best.x[1 + 2 * number : 3 + 2 * number], abs=1e-5)
    spread = np.sqrt(np.diag(np.linalg.inv(best.jac.T @ best.jac)))
    assert found.point("F").sigma_x == pytest.approx(spread[7], rel=1e-3)
    assert found.point("F").sigma_y == pytest.approx(spread[8], rel=1e-3)


def test_a_misclicked_point_is_named():
    picture = pixels(noise=0.5, seed=1)
    picture["D"] = (picture["D"][0] + 40.0, picture["D"][1])
    found = solve(network(picture, ("AB", "CE", "AD", "BD", "CD", "AF", "BF", "EF", "AC", "BE"), sigma=0.5))
    assert [suspect.judged.title for suspect in found.suspects] == ["picture scan, D x"]
    assert worded(found.suspects[0].message).metric.endswith("mm off; look at the picture again")


def test_a_wrong_caliper_reading_is_named_by_the_picture():
    net = network(pixels(noise=0.5, seed=1), ("AB", "CE", "AD", "BF", "DF", "EF"), sigma=0.5)
    readings = tuple(replace(one, value=one.value + 5.0) if one.number == 2 else one for one in net.readings)
    found = solve(replace(net, readings=readings))
    assert [suspect.judged.title for suspect in found.suspects] == ["reading 2, C-E centres"]
    assert found.suspects[0].blunder == pytest.approx(5.0, abs=0.3)


def test_a_picture_without_any_span_has_no_scale():
    features = tuple(Feature(name, FeatureKind.HOLE) for name in TRUE)
    with pytest.raises(SurveyError, match=r"^the readings do not hold the network: "):
        solve(Network(features, (), LEFT, pictures=(Picture("scan", pixels(), 1.0),)))


FILE = """features: {A: {hole: 8.5}, B: {hole: 8.5}, C: {hole: 8.5}, D: {hole: 8.5}, E: {hole: 8.5}, F: {hole: 8.5}}
datum: {origin: A, x_towards: B, left: [C]}
pictures:
  - {PICTURE}
readings:
  - {centres: [A, B], reads: 120}
  - {centres: [C, E], reads: 139.7}
"""


def written(tmp_path, picture, table=None):
    if table is not None:
        (tmp_path / "gasket.csv").write_bytes(table if isinstance(table, bytes) else table.encode())
    file = tmp_path / "pad.readings.yaml"
    file.write_text(FILE.replace("{PICTURE}", picture), encoding="utf-8")
    return file


@pytest.mark.parametrize("between", [",", ";"])
def test_points_come_from_a_csv_beside_the_readings(tmp_path, between):
    # Rows of a spreadsheet that holds nothing more are empty cells.
    rows = "\n".join(between.join((name, f"{x:.2f}", f" {y:.2f}")) for name, (x, y) in pixels().items())
    table = f"{between.join(('Feature', 'x', 'Y'))}\n{rows}\n{2 * between}\n"
    found = solve_file(written(tmp_path, "{file: gasket.csv, sd: 2}", table))
    assert found.point("F").place == pytest.approx(TRUE["F"], abs=0.15)


@pytest.mark.parametrize(
    ("picture", "table", "message"),
    [
        ("{file: gaskets.csv}", "feature,x,y\n", "pictures[0]: no file gaskets.csv beside the readings; allowed: gasket.csv; "
         "did you mean 'gasket.csv'?"),
        ("{file: gasket.csv}", "a,b\n", "gasket.csv:1: names of the columns, met 'a, b'; allowed: feature, "
         "x, y"),
        ("{file: gasket.csv}", "feature,x,y\nA,1\n", "gasket.csv:2: not a feature and two numbers, met 'A, 1'"),
        ("{file: gasket.csv}", "feature,x,y\nA,1,2\nA,3,4\n", "gasket.csv:3: a feature twice"),
        ("{points: {A: [1, 2], B: [3, 4], G: [5, 6]}}", None, "pictures[0]: picture 1: no round feature G; allowed: A, B"),
        ("{points: {A: [1, 2], B: [3, 4]}}", None, "pictures[0]: picture 1 shows 2 features; allowed: 3 or more"),
        ("{points: {A: [1, 2]}, file: gasket.csv}", None, "pictures[0]: a picture has its `points`, or a `file` of them"),
        ("{file: gasket.csv}", "feature,x,y\nA,1,2,3\n", "gasket.csv:2: more than three columns, met 'A, 1, 2, 3'"),
        ("{file: gasket.csv}", "", "gasket.csv:1: names of the columns, met 'nothing'; allowed: feature, x, y"),
        ("{file: gasket.csv}", b"feature,x,y\n\xc4,1,2\n", "pictures[0]: gasket.csv cannot be read: "),
        ("{file: gasket.csv}", "feature,x,y\nA,1,2\nB,3,4\nC,5,inf\n",
         "pictures[0]: picture gasket: C has no place, met '(5.0, inf)'; allowed: two numbers, in pixels"),
        ("{name: a, points: {A: [1, 2], B: [3, 4], C: [5, 7]}}\n  - {name: a, points: {A: [1, 2], B: [3, 4], C: [5, 7]}}",
         None, "yaml:5: pictures[1]: picture a is given twice"),
        ("{file: gasket.csv, sd: 0}", "feature,x,y\n", "pictures[0]: what points were clicked to, met 0.0; allowed: sd above 0"),
    ],
)  # fmt: skip
def test_bad_pictures(tmp_path, picture, table, message):
    with pytest.raises(SpecErrors) as fault:
        solve_file(written(tmp_path, picture, table))
    assert message in str(fault.value)


@pytest.mark.slow
def test_ellipses_cover_with_pictures():
    inside = []
    for seed in range(600):
        rng = np.random.default_rng(seed)
        picture = pixels(rng.uniform(0, 6), rng.uniform(4, 20), rng.normal(0, 0.01), rng.choice([-1, 1]), 1.5, seed)
        net = network(picture, ("AB", "CE", "AD", "BF"), sigma=1.5)
        readings = tuple(
            Reading(r.number, r.kind, r.features, r.value + rng.normal(0, 0.03), 0.03) for r in net.readings
        )
        found = solve(Network(net.features, readings, LEFT, pictures=net.pictures))
        for name in "CDEF":
            point = found.point(name)
            inside.append(point.ellipse.holds((TRUE[name][0] - point.x, TRUE[name][1] - point.y)))
    # 2400 points, four of each survey alike: 0.95 +- 0.01 is over two deviations.
    assert 0.94 <= np.mean(inside) <= 0.965
