"""The ledger of false passes: the package's walls against an independent oracle's, pair by pair, on random parts.

The oracle (`tests/metal_oracle`, its rules in the docstring there) makes the voids of a part from the spec's numbers with
the solid kernel's primitives and asks the kernel for the distances. A difference is a missed pair, a wrong value (more than
1e-6 mm), a false fail, a pair under three times the limit that is not listed, a headline or a place that is not so. A
failure prints the table of differences and the smallest spec that still shows the first of them.
"""

from __future__ import annotations

import dataclasses
import itertools
import math
from collections import Counter
from collections.abc import Iterable

import pytest

from platemaker.catalog import (
    clearance_hole,
    counterbore,
    countersunk_head,
    face_gland,
    limits,
    material,
    pipe_thread,
    straight_port,
    thread,
)
from platemaker.checks import Verdict
from platemaker.records import replace
from tests.metal_oracle import (
    CASES,
    Case,
    Count,
    Difference,
    Ledger,
    answer_of,
    differences,
    hard_parts,
    parts_of,
    shrunk,
    spec_of,
    text_of,
)
from tests.metal_oracle import _second_way as second_way
from tests.metal_oracle import _sizes as sizes
from tests.metal_oracle._kernel import distance, pieces_of
from tests.metal_oracle._reading import Milled, Slab, Spec

pytestmark = pytest.mark.kernel

NORMAL, SLOW, CHUNK = 30, 2000, 50
ONCE_WRONG = (840, 1247, 1270)
"""Seeds of parts with countersunk holes that open into each other, and with a relief and a drill point across the outline."""
EVERY = 82
"""One hard part in so many is in the normal run."""


def ledger_of(specs: Iterable[tuple[str, Spec]]) -> Count:
    """Compares all specs; fails with the whole table, and the smallest spec for its first line."""
    found: list[tuple[str, Spec, Difference]] = []
    count = Count()
    for name, spec in specs:
        wrong, seen = differences(spec)
        count.add(seen)
        found += [(name, spec, one) for one in wrong]
    if found:
        totals = ", ".join(f"{number} {what}" for what, number in Counter(one.what for *_, one in found).items())
        table = "\n".join(f"{name}: {one}" for name, _, one in found[:60])
        pytest.fail(f"{totals}; {count}\n{table}\n\nThe first of them, made smaller:\n{smallest(*found[0][1:])}")
    return count


def smallest(spec: Spec, difference: Difference) -> str:
    """The smallest spec that has a difference of this kind between the same features."""

    def still(trial: Spec) -> bool:
        return any((one.what, one.key) == (difference.what, difference.key) for one in differences(trial)[0])

    small = shrunk(spec, still)
    lines = [str(one) for one in differences(small)[0]]
    return "\n".join([*lines, text_of(small)])


# The package against the oracle


def test_no_wall_is_missed() -> None:
    count = ledger_of((f"seed {seed}", spec_of(seed)) for seed in (*range(NORMAL), *ONCE_WRONG))
    assert count.below > 20, count  # walls under their limit, or nothing was tried
    assert count.walls > 200, count


@pytest.mark.slow
@pytest.mark.parametrize("first", range(NORMAL, NORMAL + SLOW, CHUNK))
def test_no_wall_is_missed_at_length(first: int) -> None:
    count = ledger_of((f"seed {seed}", spec_of(seed)) for seed in range(first, first + CHUNK))
    assert count.below > CHUNK / 2, count
    assert count.refused < CHUNK / 4, count


def test_no_wall_is_missed_where_voids_come_near_on_purpose() -> None:
    count = ledger_of((one.name, one.spec) for one in hard_parts(every=EVERY))
    assert count.below >= 6, count


@pytest.mark.slow
@pytest.mark.parametrize("gaps", [(0.001, 0.01, 0.05, 0.3), (0.15, 0.003, 0.25, 0.02)])
def test_no_wall_is_missed_wherever_voids_come_near_on_purpose(gaps: tuple[float, ...]) -> None:
    count = ledger_of((one.name, one.spec) for one in hard_parts(gaps))
    assert count.below > 400, count


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_the_package_finds_walls_worked_out_by_hand(case: Case) -> None:
    ledger_of([(case.name, case.spec)])


def test_each_part_has_its_least_metal_as_a_headline() -> None:
    counts = [differences(case.spec)[1] for case in CASES]
    assert all(count.least == count.parts for count in counts if not count.refused)


# The oracle against what is known otherwise


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_the_oracle_gives_walls_worked_out_by_hand(case: Case) -> None:
    [ledger] = [one for part in parts_of(case.spec) if case.key[0] in (one := Ledger(part)).cuts]
    row = ledger.row(case.key)
    assert row is not None
    assert row.value == pytest.approx(case.value, abs=1e-9)
    assert row.beside == (None if case.beside is None else pytest.approx(case.beside, abs=1e-9))


def convex_pairs(seeds: Iterable[int]) -> Iterable[tuple[str, float, float]]:
    """Pairs of convex steps of plates, by the kernel and by the second way."""
    for seed in seeds:
        for part in parts_of(spec_of(seed)):
            ledger = Ledger(part)
            for a, b in itertools.combinations(part.cuts, 2):
                for p, q in itertools.product(a.steps, b.steps):
                    if not (second_way.convex(p, part.blank) and second_way.convex(q, part.blank)):
                        continue
                    [one], [two] = pieces_of(p, part.blank) or [None], pieces_of(q, part.blank) or [None]
                    if one is None or two is None or ledger.bound(tuple(sorted((a.name, b.name)))) > 12:  # type: ignore[arg-type]
                        continue
                    assert isinstance(part.blank, Slab)
                    way = second_way.distance(p, q, part.blank)
                    yield f"{seed}: {a.name} {p.what} to {b.name} {q.what}", distance(one, two), way


def assert_two_ways_agree(seeds: Iterable[int], least: int) -> None:
    pairs = [one for one in convex_pairs(seeds) if one[2] < math.inf]
    off = [(name, kernel, way) for name, kernel, way in pairs if abs(kernel - way) > 1e-6 and max(kernel, way) > 1e-4]
    assert not off, "\n".join(f"{name}: kernel {kernel:.9f}, optimiser {way:.9f}" for name, kernel, way in off)
    assert len(pairs) >= least


def test_the_kernels_distances_are_those_of_a_general_optimiser() -> None:
    assert_two_ways_agree((3, 4, 5, 15, 16), 12)


@pytest.mark.slow
def test_the_kernels_distances_are_those_of_a_general_optimiser_at_length() -> None:
    assert_two_ways_agree((seed for seed in range(600) if seed % 12 in (3, 4, 5)), 400)


def test_walls_of_square_cuts_are_gap_in_height_and_gap_in_plan() -> None:
    """Prisms that stand on one plane: Pythagoras over the gap in height and the gap between their plans."""
    seen = 0
    for seed in (0, 1, 2, 12, 13, 14):
        [part] = parts_of(spec_of(seed))
        for a, b in itertools.combinations(part.cuts, 2):
            for p, q in itertools.product(a.steps, b.steps):
                if not isinstance(p, Milled) or not isinstance(q, Milled) or p.island or q.island:
                    continue
                flat = Slab(part.blank.ring, 1.0)  # type: ignore[union-attr]
                plans = [pieces_of(dataclasses.replace(one, low=0.0, high=1.0), flat) for one in (p, q)]
                plan = min(distance(u, v) for u, v in itertools.product(*plans))
                height = max(0.0, p.low - q.high, q.low - p.high)
                [u], [v] = pieces_of(p, part.blank), pieces_of(q, part.blank)
                assert distance(u, v) == pytest.approx(math.hypot(plan, height), abs=1e-9)
                seen += 1
    assert seen >= 4


def test_sizes_typed_for_the_oracle_are_the_catalogs() -> None:
    """The oracle's table was typed on its own; a slip in either shows here."""
    for word, one in sizes.SIZES.items():
        bolt, bore = thread(word), counterbore(word)
        theirs = (
            bolt.major_diameter,
            bolt.pitch,
            bolt.tap_drill,
            clearance_hole(word).diameter,
            bore.diameter,
            bore.depth,
            countersunk_head(word).head_diameter,
        )
        assert theirs == (one.major, one.pitch, one.tap_drill, one.clear, one.wide, one.deep, one.sunk), word
    for word, (major, drill) in sizes.PIPE.items():
        pipe = pipe_thread(word)
        assert (pipe.pipe_diameter, pipe.tap_drill) == pytest.approx((major, drill), abs=1e-9)
    for word, typed in sizes.PORTS.items():
        port = straight_port(word)
        theirs = (
            thread(port.thread).major_diameter,
            port.tap_drill,
            port.full_thread_depth,
            port.tap_drill_depth,
        )
        assert theirs == pytest.approx(typed, abs=1e-9)
        assert (port.chamfer_diameter, port.chamfer_depth) == pytest.approx(sizes.CONES[word], abs=1e-9)
        assert port.chamfer_angle == 12
    for section, (depth, width) in sizes.GLANDS.items():
        gland = face_gland(section)
        assert ((gland.depth_least + gland.depth_most) / 2, gland.width) == pytest.approx((depth, width))
    for word, least in sizes.LIMIT.items():
        row = limits(material(word).family)
        assert {one.fail_below for name, one in row.items() if name.value in ("minimum_wall", "minimum_floor")} == {
            least
        }


# Planted faults: what the comparison has to catch

TRIED = {
    "project": "tried", "units": "mm",
    "parts": {
        "p": {
            "kind": "plate", "material": "6061-T6", "thickness": 16, "outline": {"rectangle": [120, 80]},
            "holes": {"a": {"at": [0, 0], "diameter": 10}, "b": {"at": [12, 0], "diameter": 10}, "c": {"at": [0, 15], "diameter": 10}},
        },
    },
}  # fmt: skip
"""Through holes: walls of 12 - 10 = 2 and 15 - 10 = 5 between them."""


@pytest.mark.parametrize(
    ("fault", "caught"),
    [
        ("none", set()),
        ("too thick by 2e-6", {"wrong value"}),
        ("thick enough to pass", {"missed"}),
        ("left out", {"missed"}),
        ("thick pair left out", {"not listed"}),
        ("thick pair fails", {"false fail"}),
        ("points moved", {"points"}),
        ("refused", {"refused without need"}),
    ],
)
def test_a_planted_fault_is_caught(fault: str, caught: set[str]) -> None:
    ledgers = [Ledger(part) for part in parts_of(TRIED)]
    answer = answer_of(TRIED, ledgers)
    answer.least.clear()
    thin, thick = ("p", ("a", "b")), ("p", ("a", "c"))
    [near], [far] = answer.findings[thin], answer.findings[thick]
    assert (near.measured, far.measured) == pytest.approx((2.0, 5.0))
    if fault == "too thick by 2e-6":
        answer.findings[thin] = [replace(near, measured=2.000002)]
    elif fault == "thick enough to pass":
        answer.findings[thin] = [replace(near, measured=3.5, verdict=Verdict.PASS)]
    elif fault == "left out":
        del answer.findings[thin]
    elif fault == "thick pair left out":
        del answer.findings[thick]
    elif fault == "thick pair fails":
        answer.findings[thick] = [replace(far, verdict=Verdict.FAIL)]
    elif fault == "points moved":
        (x, y, z), other = near.points
        answer.findings[thin] = [replace(near, points=((x, y + 0.1, z), (other[0], other[1] + 0.1, other[2])))]
    elif fault == "refused":
        answer.refused = "no reason"
    assert {one.what for one in differences(TRIED, answer)[0]} == caught


@pytest.mark.parametrize(
    ("value", "features", "points", "caught"),
    [
        (2.0, ["a", "b"], [[5, 0, 8], [7, 0, 8]], False),
        (2.00001, ["a", "b"], [[5, 0, 8], [7, 0, 8]], True),
        (5.0, ["a", "c"], [[0, 5, 8], [0, 10, 8]], True),
        (2.0, ["a", "c"], [[5, 0, 8], [7, 0, 8]], True),
        (2.0, ["a", "b"], [[5, 0, 8], [7, 0.5, 8]], True),
    ],
)
def test_a_false_headline_is_caught(value: float, features: list[str], points: list[list[float]], caught: bool) -> None:
    answer = answer_of(TRIED, [Ledger(part) for part in parts_of(TRIED)])
    answer.least["p"] = {"value": value, "features": features, "points": points}
    assert bool(differences(TRIED, answer)[0]) is caught


def test_a_failing_spec_is_made_smaller() -> None:
    """Of three holes only the two stay between which the wall is."""
    key = ("a", "b")

    def thin(trial: Spec) -> bool:
        row = Ledger(parts_of(trial)[0]).row(key)
        return row is not None and row.value < 3

    small = shrunk(TRIED, thin)
    assert sorted(small["parts"]["p"]["holes"]) == ["a", "b"]
