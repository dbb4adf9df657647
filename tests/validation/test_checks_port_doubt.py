"""Steps between ports and what a survey leaves open about them, against outside answers.

Areas: shapely's polygons, arcs split into 256 pieces a quarter turn, and the closed form of two circles' lens.
Covariance: 600 simulated surveys, each adjusted by scipy's least squares (no code of the survey room), the part laid on
the true holes by a singular value decomposition (Kabsch), and the port seen from there. Worst steps: 4,000 ports drawn by
numpy from the covariance, their steps by shapely. All seeded.
"""

from __future__ import annotations

import math
import random
from collections.abc import Iterator
from itertools import pairwise

import numpy as np
import pytest
import shapely
from scipy.optimize import least_squares

from platemaker.checks._ports._port_doubt import Doubt, doubt_of
from platemaker.checks._ports._port_edges import Opened, PortStep, left_of
from platemaker.parts import Stack, SurveyedPort
from platemaker.plane import Loop, Region
from tests.design_stacks import findings_of, inputs, stack_of
from tests.plates import note_of

FINE = 256
SPAN, STAND = 0.05, 0.1
"""Standard deviations of the readings, mm."""
HOLES = {"A": (0.0, 0.0), "B": (120.0, 0.0), "C": (120.0, 90.0), "D": (0.0, 90.0)}
SPANS = ("AB", "BC", "CD", "AD", "AC", "BD")
EDGES = {"left": (0.0, 35.0, "ADB"), "right": (180.0, -85.0, "BCA"), "near": (90.0, 30.0, "ABC"),
         "far": (-90.0, -60.0, "CDA")}  # fmt: skip
"""Normal angle, offset of n.p = c, and the holes from which the edge is read."""
PROJECT = """
project: trial
design: {air: {towards: below}, boost: 0.5 bar}
bodies: {log: {joints: {foot: {holes: tapped OWN}}}}
joints:
  foot: {bolts: {pattern: {survey: top.readings.yaml}, thread: M8}, opening: {rectangle: [50, 30], corner_radius: 4, at: [60, 45]}}
parts:
  plate: {kind: plate, material: 6061-T6, thickness: 20, outline: {rectangle: [200, 200], at: [60, 45]},
    below: {foot: {holes: clear}}, opening: {match: foot}}
"""
OWN = ", opening: {survey: top.readings.yaml, edges: [left, far, right, near], corner_radius: 4}"


def height(hole: str, angle: float, offset: float) -> float:
    x, y = HOLES[hole]
    return abs(math.cos(math.radians(angle)) * x + math.sin(math.radians(angle)) * y - offset)


def readings(kind: str = "fixed") -> str:
    lines = [f"  - {{centres: [{a}, {b}], reads: {math.dist(HOLES[a], HOLES[b])}, sd: {SPAN}}}" for a, b in SPANS]
    lines += [
        f"  - {{centre_to_edge: [{hole}, {name}], reads: {height(hole, angle, offset)}, sd: {STAND}}}"
        for name, (angle, offset, holes) in EDGES.items() for hole in holes
    ]  # fmt: skip
    features = ", ".join([*(f"{hole}: {{hole: 8}}" for hole in HOLES), *(f"{edge}: port edge" for edge in EDGES)])
    head = f"features: {{{features}}}\ndatum: {{origin: A, x_towards: B, left: [D], kind: {kind}}}\nreadings:\n"
    return head + "\n".join(lines) + "\n"


def stack(folder, own: str = OWN, kind: str = "fixed") -> Stack:
    (folder / "top.readings.yaml").write_text(readings(kind), encoding="utf-8")
    return stack_of(folder, PROJECT.replace("OWN", own))


def doubt(folder, own: str = OWN, kind: str = "fixed") -> Doubt:
    made = stack(folder, own, kind)
    found = doubt_of(made, made.joint("foot"), "log", "foot")
    assert found is not None
    return found


def polygon(width: float, height_: float, radius: float, at: tuple[float, float]) -> shapely.Polygon:
    half = (width / 2 - radius, height_ / 2 - radius)
    core = shapely.box(at[0] - half[0], at[1] - half[1], at[0] + half[0], at[1] + half[1])
    return core.buffer(radius, quad_segs=FINE)


@pytest.mark.parametrize("seed", range(20))
def test_area_of_a_step_between_rounded_ports(seed):
    source = random.Random(seed)
    sizes = [(source.uniform(60, 80), source.uniform(40, 50), source.uniform(2, 18), (source.uniform(-3, 3),
              source.uniform(-3, 3))) for _ in range(2)]  # fmt: skip
    regions = [Region.of(Loop.rounded([(x + sx * w / 2, y + sy * h / 2) for sx, sy in ((-1, -1), (1, -1), (1, 1), (-1, 1))],
                                      r)) for w, h, r, (x, y) in sizes]  # fmt: skip
    exact = sum(region.area for region in left_of(regions[:1], regions[1:]))
    before, after = (polygon(*size) for size in sizes)
    # Inscribed arcs of up to 18 mm miss pi r2 (1 - sin(x)/x), x = pi / 512: below 0.007 mm2 a port.
    assert exact == pytest.approx(before.difference(after).area, abs=0.015)


@pytest.mark.parametrize(("r1", "r2", "d"), [(20, 20, 1.5), (21, 20, 2.5), (18, 22, 5.0), (25, 10, 16.0)])
def test_area_of_a_step_between_round_ports(r1, r2, d):
    a, b = (Region.of(Loop.circle((x, 0.0), r)) for x, r in ((0.0, r1), (d, r2)))
    cos1, cos2 = (d * d + r1 * r1 - r2 * r2) / (2 * d * r1), (d * d + r2 * r2 - r1 * r1) / (2 * d * r2)
    kite = math.sqrt((-d + r1 + r2) * (d + r1 - r2) * (d - r1 + r2) * (d + r1 + r2)) / 2
    lens = r1 * r1 * math.acos(cos1) + r2 * r2 * math.acos(cos2) - kite
    assert sum(region.area for region in left_of((a,), (b,))) == pytest.approx(math.pi * r1 * r1 - lens, abs=1e-9)


def adjusted(read: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Holes and edges that fit readings best, A at the origin and B on X: (4, 2), (4, 2) angle and offset."""
    names = list(HOLES)

    def unpacked(u: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        return np.array([[0.0, 0.0], [u[0], 0.0], u[1:3], u[3:5]]), u[5:].reshape(4, 2)

    def misfit(u: np.ndarray) -> np.ndarray:
        points, lines = unpacked(u)
        spans = [np.hypot(*(points[names.index(a)] - points[names.index(b)])) for a, b in SPANS]
        stands = [
            abs(math.cos(angle) * points[names.index(h)][0] + math.sin(angle) * points[names.index(h)][1] - offset)
            for (angle, offset), (_, _, holes) in zip(lines, EDGES.values(), strict=True) for h in holes
        ]  # fmt: skip
        return (np.array([*spans, *stands]) - read) / SIGMAS

    start = [120, 120, 90, 0, 90, *(v for angle, offset, _ in EDGES.values() for v in (math.radians(angle), offset))]
    return unpacked(least_squares(misfit, np.array(start, dtype=float), method="lm", xtol=1e-12, ftol=1e-12).x)


SIGMAS = np.array([SPAN] * len(SPANS) + [STAND] * 12)


def corners(lines: np.ndarray) -> np.ndarray:
    """Left-far, far-right, right-near and near-left after the one before each: near-left first."""
    order = [list(EDGES).index(name) for name in ("near", "left", "far", "right", "near")]
    found = []
    for i, j in pairwise(order):
        normals = np.array([[math.cos(lines[k][0]), math.sin(lines[k][0])] for k in (i, j)])
        found.append(np.linalg.solve(normals, [lines[i][1], lines[j][1]]))
    return np.array(found)


def laid_back(pattern: np.ndarray, onto: np.ndarray, places: np.ndarray) -> np.ndarray:
    """Places of the frame of `onto` as seen from `pattern` when that is laid on it by Kabsch's algorithm."""
    a, b = pattern - pattern.mean(axis=0), onto - onto.mean(axis=0)
    u, _, vt = np.linalg.svd(a.T @ b)
    turn = u @ np.diag([1.0, np.sign(np.linalg.det(u @ vt))]) @ vt
    return (places - onto.mean(axis=0)) @ turn.T + pattern.mean(axis=0)


@pytest.fixture(scope="module")
def simulated() -> tuple[np.ndarray, np.ndarray]:
    """Corners of the surveyed port, and shift and turn of a drawn one, off from where the bolted part expects them."""
    truth = np.array(list(HOLES.values()))
    true_lines = np.array([[math.radians(angle), offset] for angle, offset, _ in EDGES.values()])
    exact = np.array([*(math.dist(HOLES[a], HOLES[b]) for a, b in SPANS),
                      *(height(h, angle, offset) for angle, offset, holes in EDGES.values() for h in holes)])  # fmt: skip
    generator = np.random.default_rng(5)
    of_corners, of_drawn = [], []
    middle = np.array([[60.0, 45.0], [61.0, 45.0]])
    for _ in range(600):
        points, lines = adjusted(exact + generator.standard_normal(len(exact)) * SIGMAS)
        of_corners.append((laid_back(points, truth, corners(true_lines)) - corners(lines)).ravel())
        here, ahead = laid_back(points, truth, middle)
        of_drawn.append([*(here - middle[0]), math.atan2(*(ahead - here)[::-1])])
    return np.array(of_corners), np.array(of_drawn)


def agree(covariance: np.ndarray, samples: np.ndarray) -> None:
    """Variances within 4 deviations of their estimate, 23 % for 600 samples; so the mean squared distance as a whole."""
    count, size = samples.shape
    assert np.diag(np.cov(samples.T)) == pytest.approx(np.diag(covariance), rel=4 * math.sqrt(2 / count))
    distance = np.einsum("ij,jk,ik->i", samples, np.linalg.inv(covariance), samples).mean() / size
    assert distance == pytest.approx(1.0, abs=4 * math.sqrt(2 / (count * size)))


def test_covariance_of_a_surveyed_port_about_the_bolts(tmp_path, simulated):
    found = doubt(tmp_path)
    assert found.port is not None
    # The first corner is where the last edge stated meets the first: near and left.
    assert found.port.values[:2] == pytest.approx((35.0, 30.0), abs=1e-6)
    agree(found.covariance, simulated[0])


def test_covariance_of_a_drawn_port_about_surveyed_bolts(tmp_path, simulated):
    agree(doubt(tmp_path, "").covariance, simulated[1])


def test_datum_drops_out_where_holes_and_port_are_of_one_survey(tmp_path):
    fixed, free = doubt(tmp_path), doubt(tmp_path, kind="free")
    np.testing.assert_allclose(fixed.covariance, free.covariance, atol=1e-9)


def test_reach_is_the_ellipses_support(tmp_path):
    found = doubt(tmp_path, "")
    block = found.covariance[:2, :2]
    # -2 ln(1 - 0.95): chi-square with 2 degrees of freedom, any statistics table 5.991.
    factor = -2 * math.log(0.05)
    for turn in np.radians([0, 45, 77, 90, 135]):
        d = np.array([math.cos(turn), math.sin(turn)])
        assert found.reach(found.shift(*d)) == pytest.approx(math.sqrt(factor * d @ block @ d), rel=1e-9)
    assert found.farthest == pytest.approx(math.sqrt(factor * np.linalg.eigvalsh(block)[-1]), rel=1e-9)


def steps_over(found: Doubt, plate: shapely.Polygon) -> Iterator[float]:
    assert found.port is not None
    generator = np.random.default_rng(11)
    for values in generator.multivariate_normal(found.port.values, found.covariance, 4000):
        sharp = shapely.Polygon(values.reshape(-1, 2))
        port = sharp.buffer(-4, join_style="mitre").buffer(4, quad_segs=16)
        yield plate.difference(port).area


def test_worst_step_holds_in_95_percent_of_drawn_ports(tmp_path):
    [finding] = [one for one in findings_of(stack(tmp_path), "PM821") if one.features[1] == "plate to log"]
    found = doubt(tmp_path)
    plate = polygon(50, 30, 4, (60, 45))
    step = PortStep(Opened("plate", (Region.of(Loop.rounded([(35, 30), (85, 30), (85, 60), (35, 60)], 4)),), 20.0, 0.0),
                Opened("log", (found.region,), None, 0.0, doubt=found), ())  # fmt: skip
    stated = step.worst_surveyed(0.0)
    areas = np.array(list(steps_over(found, plate)))
    share = float((areas <= stated).mean())
    # A bound for single ways (shift, turn, size) holds for more than 95 % of all; it is no bound for every one.
    assert 0.95 <= share < 1.0
    shown = inputs(finding)
    assert finding.measured == pytest.approx(0.0, abs=1e-3)
    assert float(shown["step at 95 % worst, survey and play"]) > stated
    worst = float(shown["step at 95 % worst, survey and play"])
    assert worst > float(shown["worst step then"])
    # Before it stands that nothing checks some of the readings.
    held = f"as drawn it holds; at the 95 % worst over survey and play {worst:.1f} mm2 stand in the flow"
    assert note_of(finding).endswith(f"; {held}")
    assert note_of(finding).startswith("top.readings.yaml: nothing checks reading ")


def test_turning_the_pattern_turns_the_region_with_it(tmp_path):
    straight = doubt(tmp_path)
    text = PROJECT.replace("OWN", OWN).replace("[200, 200]", "[500, 500]")
    made = stack_of(
        tmp_path, text.replace("{survey: top.readings.yaml}, thread", "{survey: top.readings.yaml, turn: 30}, thread")
    )
    turned = doubt_of(made, made.joint("foot"), "log", "foot")
    assert turned is not None
    for bearing in (0, 30, 75, 120):
        here, there = np.radians([bearing, bearing + 30])
        assert turned.reach(turned.shift(math.cos(there), math.sin(there))) == pytest.approx(
            straight.reach(straight.shift(math.cos(here), math.sin(here))), rel=1e-6
        )
    for way in ("turn", "area"):
        assert turned.reach(getattr(turned, way)) == pytest.approx(straight.reach(getattr(straight, way)), rel=1e-6)
    # At its largest the port has grown by what the region of its area reaches, but for second order: 10 mm2 of 1500
    # by edges that move some 0.1 mm, so a hundredth of a mm2 a corner.
    grown = straight.at(straight.area).area - straight.region.area
    assert grown == pytest.approx(straight.reach(straight.area), abs=0.1)


def test_area_of_a_surveyed_port_by_numbers(tmp_path):
    """The gradient of the area by the corners, by differences of shapely's area."""
    found = doubt(tmp_path)
    assert found.port is not None
    assert found.area is not None
    values = np.array(found.port.values)
    for place, slope in enumerate(found.area):
        areas = []
        for step in (-1e-3, 1e-3):
            changed = values.copy()
            changed[place] += step
            areas.append(shapely.Polygon(changed.reshape(-1, 2)).area)
        assert slope == pytest.approx((areas[1] - areas[0]) / 2e-3, abs=1e-6)


def test_a_surveyed_opening_of_the_joint_is_the_bodys_port_and_not_the_plates(tmp_path):
    own = doubt(tmp_path)
    (tmp_path / "joint").mkdir()
    drawn = "opening: {rectangle: [50, 30], corner_radius: 4, at: [60, 45]}"
    assert drawn in PROJECT
    made = stack_of(tmp_path, PROJECT.replace(drawn, OWN.removeprefix(", ")).replace("OWN", ""))
    joint = made.joint("foot")
    found = doubt_of(made, joint, "log", "foot")
    assert found is not None
    np.testing.assert_allclose(found.covariance, own.covariance, atol=1e-15)
    assert doubt_of(made, joint, "plate", "foot") is None
    # The plate is cut to what was found: no step as drawn, but one at the 95 % worst.
    [stated] = [one for one in findings_of(made, "PM821") if one.features[1] == "plate to log"]
    assert stated.measured == pytest.approx(0.0, abs=1e-9)
    assert float(inputs(stated)["step at 95 % worst, survey and play"]) > float(inputs(stated)["worst step then"])


def test_only_the_side_whose_holes_were_measured_owes_its_bolts_to_the_survey(tmp_path):
    text = PROJECT.replace("OWN", "").replace(
        "bodies: {", "bodies: {blower: {joints: {foot: {face: below, holes: clear OTHER}}}, "
    )
    text = text.replace("    below: {foot: {holes: clear}}, opening: {match: foot}}", "    opening: {match: foot}}")
    (tmp_path / "top.readings.yaml").write_text(readings(), encoding="utf-8")
    made = stack_of(tmp_path, text.replace("OTHER", OWN).replace("holes: tapped }", "face: above, holes: tapped}"))
    joint = made.joint("foot")
    # The log lies below: the pattern was measured on it. The blower's own port was surveyed, its holes were not.
    log, blower = doubt_of(made, joint, "log", "foot"), doubt_of(made, joint, "blower", "foot")
    stated = joint.ports_of("blower")[0].surveyed
    assert log is not None
    assert log.port is None
    assert blower is not None
    assert stated is not None
    np.testing.assert_allclose(blower.covariance, np.array(stated.covariance)[8:, 8:], atol=1e-15)


RECTANGLE = Region(Loop.rectangle(40, 20))
CORNERS = SurveyedPort("f", ("a", "b", "c", "d"), (-20.0, -10.0, 20.0, -10.0, 20.0, 10.0, -20.0, 10.0), 0.0, (), 4.0)
ROUND = SurveyedPort("f", ("p",), (0.0, 0.0, 40.0), 0.0, (), 4.0)
DISC = Region(Loop.circle((0, 0), 20))


def uncertain(port: SurveyedPort | None, *variances: float, xy: float = 0.0) -> Doubt:
    """A port of 40 x 20 or a round of 40 about (0, 0), its values with these variances; 95 % reaches 2 deviations."""
    covariance = np.diag(variances)
    covariance[0, 1] = covariance[1, 0] = xy
    return Doubt(DISC if port is ROUND else RECTANGLE, port, covariance, 4.0)


def test_a_drawn_figure_shifts_as_a_whole_and_turns() -> None:
    """Deviations of 0.1 and 0.2 mm and of 1 mrad, each twice; where x and y go together, along both at once."""
    doubt = uncertain(None, 0.01, 0.04, 1e-6)
    assert doubt.at(doubt.shift(1.0, 0.0)).bounds == pytest.approx((-20 + 0.2, -10, 20 + 0.2, 10))
    assert doubt.at(doubt.shift(0.0, 1.0), -1.0).bounds == pytest.approx((-20, -10 - 0.4, 20, 10 - 0.4))
    turned = doubt.at(doubt.turn)
    assert turned.bounds == pytest.approx([sign * (a * math.cos(0.002) + b * math.sin(0.002))
                                           for sign in (-1, 1) for a, b in ((20, 10), (10, 20))])  # fmt: skip
    assert doubt.at(doubt.turn, -1.0).bounds == pytest.approx(turned.bounds)
    assert doubt.area is None
    assert doubt.at(None) is RECTANGLE
    together = uncertain(None, 0.01, 0.04, 1e-6, xy=0.02)
    assert together.at(together.shift(1.0, 0.0)).bounds == pytest.approx((-20 + 0.2, -10 + 0.4, 20 + 0.2, 10 + 0.4))
    # Fully together they lie on one line, whose deviation is the root of both squares.
    assert together.farthest == pytest.approx(2 * math.sqrt(0.01 + 0.04))


def test_corners_that_are_read_alike_move_a_port_by_their_mean() -> None:
    """Eight values of 0.1 mm: the mean of four has half of that; a turn, and a scaling, by sqrt(sum r²) = sqrt(2000)."""
    doubt = uncertain(CORNERS, *[0.01] * 8)
    assert doubt.deviation(doubt.shift(1.0, 0.0)) == pytest.approx(0.05)
    assert doubt.turn is not None
    assert doubt.deviation(doubt.turn) == pytest.approx(0.1 / math.sqrt(2000))
    # A rectangle's area changes by half the other side's length for each mm that a corner goes out along a side.
    assert doubt.area is not None
    assert doubt.deviation(doubt.area) == pytest.approx(0.1 * math.sqrt(4 * (10**2 + 20**2)))
    more, less = doubt.at(doubt.area), doubt.at(doubt.area, -1.0)
    assert more.area > 800 > less.area
    assert (more.area - less.area) / 2 == pytest.approx(2 * doubt.deviation(doubt.area))
    for sense in (1.0, -1.0):
        x, y = min((edge.start for edge in doubt.at(doubt.turn, sense).edges), key=lambda at: math.dist(at, (20, 10)))
        assert (x - 20, y - 10) == pytest.approx(
            (-sense * 10 * 0.2 / math.sqrt(2000), sense * 20 * 0.2 / math.sqrt(2000))
        )


@pytest.mark.parametrize(("before", "after"), [(40.0 + 2 * 0.5, 40.0), (40.0, 40.0 - 2 * 0.5)])
def test_a_round_port_of_uncertain_diameter_leaves_a_ring(before: float, after: float) -> None:
    """0.5 mm of deviation: two more on the opening before, or two less on the one after."""
    sure, doubt = Opened("plate", (DISC,), 20.0, 0.0), uncertain(ROUND, 0.0, 0.0, 0.25)
    other = Opened("log", (DISC,), None, 0.0, doubt=doubt)
    step = PortStep(other, sure, ()) if before > after == 40.0 else PortStep(sure, other, ())
    assert doubt.turn is None
    assert step.worst_surveyed(0.0) == pytest.approx(math.pi / 4 * (before**2 - after**2))


@pytest.mark.parametrize("by", [0.0, 1.5])
def test_a_round_port_that_may_lie_aside_leaves_two_circles_without_their_lens(by: float) -> None:
    """0.3 mm of deviation along Y is 0.6 aside, and the parts lie `by` more."""
    doubt = uncertain(ROUND, 0.0, 0.09, 0.0)
    step = PortStep(Opened("plate", (DISC,), 20.0, 0.0), Opened("log", (DISC,), None, 0.0, doubt=doubt), ())
    off = 0.6 + by
    lens = 2 * 400 * math.acos(off / 40) - off / 2 * math.sqrt(4 * 400 - off**2)
    assert step.worst_surveyed(by) == pytest.approx(400 * math.pi - lens, rel=1e-3)
