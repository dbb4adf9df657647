"""Fit-up: seeded, monotone in the hole, honest about dowels and slots, and its advice."""

import numpy as np
import pytest

from platemaker.errors import SurveyError
from platemaker.fit_up import (
    DrawnSlot,
    Fastener,
    FastenerKind,
    FitUp,
    Freedom,
    PatternSide,
    chance,
    fit_up,
    worst_cases,
)
from platemaker.report import worded
from platemaker.survey import Pattern, best_fit
from platemaker.units import Words

RECTANGLE = ((0.0, 0.0), (142.0, 0.0), (142.0, 98.0), (0.0, 98.0))
NAMES = ("front_left", "front_right", "rear_right", "rear_left")


def lines(advice: tuple[Words, ...]) -> list[str]:
    return [worded(one).metric for one in advice]


def joint(hole=8.6, zone=0.3, sigma=0.15, places=RECTANGLE, **more):
    covariance = sigma**2 * np.eye(2 * len(places)) if sigma else None
    names = NAMES[: len(places)]
    fasteners = tuple(Fastener(name, 8.0, hole) for name in names)
    return FitUp(
        PatternSide(Pattern(names, places, covariance)), PatternSide(Pattern(names, places), zone), fasteners, **more
    )


def test_same_seed_same_answer():
    first, again, other = (chance(joint(), 4000, seed) for seed in (1, 1, 2))
    assert first == again
    assert first.probability != other.probability


def test_larger_holes_never_hurt():
    found = [chance(joint(hole), 4000).probability for hole in (8.2, 8.4, 8.6, 8.8, 9.0)]
    assert found == sorted(found)
    assert found[0] < 0.5 < found[-1]


def test_smallest_hole_for_the_share_starts_as_promised():
    found = fit_up(joint(), 10_000)
    assert found.hole_999 is not None
    hole = found.hole_999
    assert (hole.share, hole.samples, hole.seed) == (0.999, 10_000, 1)
    # The same samples: the hole lets 99.9 % of them start, two steps of its grid less do not.
    assert chance(joint(hole.diameter), 10_000).probability >= 0.999
    assert chance(joint(hole.diameter - 0.02), 10_000).probability < 0.999
    assert hole.high is not None
    assert hole.low < hole.diameter < hole.high


def test_smallest_hole_does_not_ask_which_holes_there_are():
    # One and the same question of the samples, whatever is drilled now; two steps of 0.002 mm and the grid apart.
    holes = [fit_up(joint(hole), 4000).hole_999 for hole in (8.2, 8.6, 9.4)]
    assert [hole.diameter for hole in holes if hole] == pytest.approx([holes[0].diameter] * 3, abs=0.0101)  # type: ignore[union-attr]


def test_bolts_with_unlike_holes_get_one_size():
    question = joint()
    unlike = tuple(
        Fastener(one.name, 8.0, hole) for one, hole in zip(question.fasteners, (8.2, 9, 8.6, 8.4), strict=True)
    )
    found = fit_up(FitUp(question.lower, question.upper, unlike), 4000).hole_999
    alike = fit_up(question, 4000).hole_999
    assert found is not None
    assert alike is not None
    assert found.diameter == pytest.approx(alike.diameter, abs=0.0101)


def test_few_samples_bound_the_hole_from_below_only():
    # 0.999^3000 = 0.0497: even if none of 3000 fails, the true hole lies over the largest need in 5 % of cases.
    hole = fit_up(joint(), 3000).hole_999
    assert hole is not None
    assert hole.high is None


def test_smallest_hole_of_the_worst_case():
    found = fit_up(joint(sigma=0.0, zone=0.8), 2000)
    # Fixed: T1 + T2 = 0 + 0.8 needs H = 8.8.
    assert found.hole_worst_case == 8.8
    assert not found.worst_case_holds
    assert fit_up(joint(8.8, sigma=0.0, zone=0.8), 2000).worst_case_holds
    question = joint(sigma=0.0, zone=0.8)
    floating = tuple(Fastener(one.name, 8.0, 8.1, 8.5) for one in question.fasteners)
    # Floating, both holes of one size: 2 (H - F) = 0.8.
    assert fit_up(FitUp(question.lower, question.upper, floating), 2000).hole_worst_case == 8.4


def test_transfer_punching_that_holds_at_worst_is_told():
    # Zone 0.4 by the punch against 8.6 - 8.
    assert lines(fit_up(joint(sigma=0.0, zone=0.8), 1000).worst_case_advice) == [
        "transfer-punch the holes from the other part (zone 0.4 mm): 0.20 mm left at worst"
    ]
    assert fit_up(joint(8.3, sigma=0.0, zone=0.8), 1000).worst_case_advice == ()


def test_worst_case_that_holds_always_starts_and_needs_no_advice():
    found = fit_up(joint(8.8, sigma=0.0, zone=0.8), 5000)
    assert found.chance.probability == 1.0
    assert found.advice == ()


def test_known_mismatch_counts_after_the_best_placement():
    # Lower pattern 0.2 mm longer: the best placement leaves 0.1 mm at every hole, 0.2 mm in diameter.
    longer = ((-0.1, 0.0), (142.1, 0.0), (142.1, 98.0), (-0.1, 98.0))
    question = joint(sigma=0.0, zone=0.0)
    question = FitUp(PatternSide(Pattern(NAMES, longer)), question.upper, question.fasteners)
    assert [case.needed for case in worst_cases(question)] == pytest.approx([0.2] * 4, abs=1e-6)


def test_shift_and_turn_of_a_whole_pattern_cost_nothing():
    turned = tuple(
        (x * np.cos(0.001) - y * np.sin(0.001) + 5, x * np.sin(0.001) + y * np.cos(0.001)) for x, y in RECTANGLE
    )
    question = joint(8.1, sigma=0.0, zone=0.0)
    moved = FitUp(PatternSide(Pattern(NAMES, turned)), question.upper, question.fasteners)
    assert chance(moved, 100).probability == 1.0
    assert chance(FitUp(moved.lower, moved.upper, moved.fasteners, Freedom.HELD), 100).probability == 0.0


def test_one_long_hole_needs_a_slot():
    # The fourth hole lies 1 mm too far out along X: a slot of that travel takes it.
    places = (*RECTANGLE[:3], (-1.0, 98.0))
    question = joint(8.4, sigma=0.0, zone=0.1)
    wrong = FitUp(PatternSide(Pattern(NAMES, places)), question.upper, question.fasteners)
    assert chance(wrong, 2000).probability == 0.0
    slotted = (*question.fasteners[:3], Fastener(NAMES[3], 8.0, 8.4, slot=DrawnSlot(2.0, 0.0)))
    assert chance(FitUp(wrong.lower, wrong.upper, slotted), 2000).probability > 0.99
    across = (*question.fasteners[:3], Fastener(NAMES[3], 8.0, 8.4, slot=DrawnSlot(2.0, 90.0)))
    assert chance(FitUp(wrong.lower, wrong.upper, across), 2000).probability == 0.0
    short = (*question.fasteners[:3], Fastener(NAMES[3], 8.0, 8.4, slot=DrawnSlot(0.2, 0.0)))
    assert chance(FitUp(wrong.lower, wrong.upper, short), 2000).probability < 0.01


def dowelled():
    question = joint()
    dowel = FastenerKind.DOWEL
    fasteners = (
        Fastener(NAMES[0], 6.0, 6.02, kind=dowel),
        question.fasteners[1],
        Fastener(NAMES[2], 6.0, 6.02, slot=DrawnSlot(1.0, 34.6), kind=dowel),
        question.fasteners[3],
    )
    return FitUp(question.lower, question.upper, fasteners)


def test_dowels_take_the_freedom_to_shift():
    assert chance(dowelled(), 5000).probability < chance(joint(), 5000).probability - 0.1


def test_advice_for_dowels_is_to_ream_in_place():
    found = fit_up(dowelled(), 4000)
    assert found.hole_worst_case is None
    assert any(
        line.startswith("drill and ream the dowel holes through both parts together") for line in lines(found.advice)
    )
    assert not any("transfer-punch" in line for line in lines(found.advice))


def test_no_hole_is_advised_that_the_head_falls_through():
    # The head of an M8 screw is 13 mm wide (ISO 4762); zones of 6 mm would want holes of more than 12.
    found = fit_up(joint(zone=6.0), 4000)
    assert found.hole_999 is not None
    assert found.hole_999.diameter > 12.0
    assert found.advice
    assert not any(line.startswith("open the clearance holes") for line in lines(found.advice))


def test_advice_states_the_chance_that_it_gives():
    found = fit_up(joint(), 4000)
    # The upper end of the interval, upwards to the next tenth.
    assert found.hole_999 is not None
    assert (found.hole_999.high or 0.0) <= 9.1 < (found.hole_999.high or 0.0) + 0.1
    assert lines(found.advice)[0] == "open the clearance holes to 9.1 mm: 99.9 % start"
    assert any(
        line.startswith("transfer-punch the holes from the other part (zone 0.4 mm): ") for line in lines(found.advice)
    )
    shares = [float(line.split(": ")[1].removesuffix(" % start")) for line in lines(found.advice)[1:]]
    assert shares == sorted(shares, reverse=True)
    assert shares[-1] > 100 * found.chance.probability
    assert abs(sum(share for _, share in found.chance.binding) - 1.0) < 1e-9


def test_advice_for_one_hole_off_is_to_ream_that_hole():
    # The fourth stud stands 0.8 mm too far out: after the best placement some 0.2 mm are left at every bolt.
    question = joint(8.3, sigma=0.0, zone=0.1, places=(*RECTANGLE[:3], (-0.8, 98.0)))
    wrong = FitUp(question.lower, PatternSide(Pattern(NAMES, RECTANGLE), 0.1), question.fasteners)
    found = fit_up(wrong, 2000)
    assert found.chance.probability == 0.0
    [line] = [line for line in lines(found.advice) if line.startswith("ream ")]
    assert "alone to 9.3 mm: " in line
    assert float(line.split(": ")[1].removesuffix(" % start")) > 95.0


def test_advice_to_ream_or_slot_names_no_dowel():
    question = dowelled()
    poor = FitUp(
        question.lower,
        question.upper,
        tuple(
            Fastener(one.name, 6.0, 6.5, slot=one.slot, kind=one.kind) if one.kind is FastenerKind.DOWEL else one
            for one in question.fasteners
        ),
    )
    for line in lines(fit_up(poor, 2000).advice):
        if line.startswith(("ream", "slot")):
            assert not {"front_left", "rear_right"} & set(line.split())


def test_interval_holds_the_share():
    found = chance(joint(), 3000)
    assert found.low < found.probability < found.high
    assert found.undecided <= 3


@pytest.mark.parametrize(
    ("make", "message"),
    [
        (
            lambda: Fastener("a", 8.0, 7.9),
            "hole of bolt a: 7.9 mm, must be at least its diameter 8 mm (above 0)",
        ),
        (lambda: Fastener("a", 8.0, 9.0, slot=DrawnSlot(-1.0, 0.0)), "slot of a: travel -1 mm, must not be negative"),
        (
            lambda: FitUp(joint().lower, joint().upper, joint().fasteners[:3]),
            "fit-up: lower pattern, upper pattern and fasteners must be as many, met (4, 4, 3)",
        ),
        (
            lambda: joint(zone=(0.1, 0.2)),
            "fit-up: zone of the upper side must be one or 4 diameters, 0 mm or more",
        ),
        (lambda: joint(zone=-0.1), "fit-up: zone of the upper side must be one or 4 diameters, 0 mm or more"),
        (
            lambda: best_fit(joint().lower.pattern, Pattern(("a",), ((0.0, 0.0),))),
            "patterns of 4 and 1 holes cannot be placed on each other: only in one of them a, front_left, front_right, "
            "rear_left, rear_right",
        ),
        (lambda: Pattern((), ()), "a pattern needs one place a name, met 0 names and 0 places"),
    ],
)
def test_impossible_questions(make, message):
    with pytest.raises(SurveyError) as fault:
        make()
    assert str(fault.value) == message
