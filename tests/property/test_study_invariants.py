"""Studies and comparisons on random input: ranges, fronts, and comparisons that mirror one another."""

from __future__ import annotations

import itertools
import random
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from platemaker.checks import Finding, Sense, Verdict
from platemaker.parts import Stack
from platemaker.study import Change, Difference, Fact, Snapshot, Subject, Thing, snapshot_of
from platemaker.study._compare import compared
from platemaker.study._front import undominated
from platemaker.study._values import choices_of
from tests.sample_parts import SAMPLES

decimals = st.decimals(-1000, 1000, places=3, allow_nan=False)
steps = st.decimals("0.001", 50, places=3, allow_nan=False)


@given(low=decimals, step=steps, count=st.integers(0, 60), unit=st.sampled_from(["", " mm", " in", " bar"]))
def test_a_range_holds_each_step_and_its_end(low: Decimal, step: Decimal, count: int, unit: str) -> None:
    high = low + count * step
    found = choices_of(f"{low:f}..{high:f}{unit}/{step:f}")
    assert [Fraction(choice.text.removesuffix(unit)) for choice in found] == [
        Fraction(low) + place * Fraction(step) for place in range(count + 1)
    ]
    # What a spec file would hold is the number as typed, without the dust of added steps.
    assert [choice.number for choice in found] == [float(low + place * step) for place in range(count + 1)]


@given(low=decimals, step=steps, short=st.decimals("0.001", "0.999", places=3), count=st.integers(0, 60))
def test_a_range_stops_before_an_end_that_no_step_hits(low: Decimal, step: Decimal, short: Decimal, count: int) -> None:
    high = Fraction(low) + (count + Fraction(short)) * Fraction(step)
    text = f"{float(high):.9f}"
    found = choices_of(f"{low:f}..{text}/{step:f}")
    assert len(found) == count + 1


@given(
    low=st.fractions(0, 4, max_denominator=64), step=st.fractions(Fraction(1, 64), 1, max_denominator=64), count=st.integers(0, 30)
)  # fmt: skip
def test_fractions_of_an_inch_are_exact(low: Fraction, step: Fraction, count: int) -> None:
    high = low + count * step
    found = choices_of(f"{written(low)}..{written(high)} in/{step.numerator}/{step.denominator}")
    assert [read(choice.text) for choice in found] == [low + place * step for place in range(count + 1)]


def written(value: Fraction) -> str:
    whole, part = divmod(value, 1)
    return f"{whole}-{part.numerator}/{part.denominator}" if part else str(whole)


def read(text: str) -> Fraction:
    number = text.removesuffix(" in")
    return sum((Fraction(word) for word in number.split("-")), Fraction(0))


@given(st.lists(st.tuples(st.integers(0, 6), st.integers(0, 6)), max_size=30))
def test_the_front_is_what_no_other_point_beats(points: list[tuple[int, int]]) -> None:
    """Against the definition, point by point; few whole numbers, so that ties are common."""
    numbered = {number: (float(x), float(y)) for number, (x, y) in enumerate(points)}
    expected = {
        one
        for one, (x, y) in numbered.items()
        if not any(a >= x and b >= y and (a, b) != (x, y) for a, b in numbered.values())
    }
    assert set(undominated(numbered)) == expected


facts = st.one_of(st.none(), st.booleans(), st.integers(-3, 3).map(float), st.sampled_from(["a", "b"]))


@st.composite
def snapshots(draw: st.DrawFn) -> Snapshot:
    """Things with a few names, so that two snapshots share some."""
    things = {}
    for name in draw(st.sets(st.sampled_from("abcd"))):
        thing = Thing(Subject.PART, "", name, {"size": Fact(draw(facts), "mm", Change.RESIZED)})
        things[thing.key] = thing
        for cut in draw(st.sets(st.sampled_from("xyz"))):
            stated = {
                key: Fact(draw(facts), "mm", change, rides=change is Change.MOVED)
                for key, change in (("at", Change.MOVED), ("diameter", Change.RESIZED))
            }
            thing = Thing(Subject.CUT, name, cut, stated, reported=draw(st.booleans()))
            things[thing.key] = thing
        margin = draw(st.one_of(st.none(), st.integers(-2, 2).map(float)))
        found = {"verdict": Fact("pass"), "margin": Fact(margin, "mm")}
        thing = Thing(Subject.FINDING, name, f"PM101:{name}:x", found)
        things[thing.key] = thing
    return Snapshot("made up", "mm", things)


MIRROR = {Change.APPEARED: Change.VANISHED, Change.VANISHED: Change.APPEARED}


def mirrored(one: Difference) -> tuple[object, ...]:
    return (MIRROR.get(one.change, one.change), one.subject, one.owner, one.name, one.fact, one.after, one.before)


def plain(one: Difference) -> tuple[object, ...]:
    return (one.change, one.subject, one.owner, one.name, one.fact, one.before, one.after)


@given(snapshots())
def test_a_snapshot_does_not_differ_from_itself(side: Snapshot) -> None:
    found = compared(side, side)
    assert found.differences == ()
    assert all(one.before == one.after for one in found.margins)


@given(snapshots(), snapshots())
def test_comparing_the_other_way_round_mirrors_it(a: Snapshot, b: Snapshot) -> None:
    there, back = compared(a, b), compared(b, a)
    assert {mirrored(one) for one in there.differences} == {plain(one) for one in back.differences}
    assert {(one.finding, one.before, one.after) for one in there.margins} == {
        (one.finding, one.after, one.before) for one in back.margins
    }


@given(snapshots(), snapshots())
def test_nothing_differs_only_between_equal_things(a: Snapshot, b: Snapshot) -> None:
    found = compared(a, b).differences
    values = [
        {key: {name: fact.value for name, fact in thing.facts.items()} for key, thing in side.things.items()}
        for side in (a, b)
    ]
    assert (found == ()) == (values[0] == values[1])


def finding(part: str, margin: float) -> Finding:
    return Finding(
        "PM101", "wall", part, ("x",), (), 3 + margin, 3.0, margin, "mm", Sense.AT_LEAST, Verdict.PASS, "", ""
    )


@pytest.mark.parametrize("seed", range(20))
def test_real_parts_compare_empty_and_mirrored(seed: int, tmp_path: Path) -> None:
    """Every kind of part there is: a stack against itself, and against one with other parts and findings."""
    pick = random.Random(seed)
    stacks = []
    for _ in range(2):
        parts = tuple(make() for make in pick.sample(SAMPLES, 6))
        found = [finding(part.name, pick.choice((0.5, 1.0))) for part in parts]
        stacks.append(snapshot_of(Stack("s", "s", "mm", parts, (), ()), found))
    a, b = stacks
    assert compared(a, a).differences == ()
    assert {mirrored(one) for one in compared(a, b).differences} == {plain(one) for one in compared(b, a).differences}
    names = [{name for subject, _, name in side.things if subject is Subject.PART} for side in stacks]
    stated = {(one.change, one.name) for one in compared(a, b).differences if one.subject is Subject.PART}
    assert stated == set(
        itertools.chain(
            ((Change.VANISHED, name) for name in names[0] - names[1]),
            ((Change.APPEARED, name) for name in names[1] - names[0]),
        )
    )
