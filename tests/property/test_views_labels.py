"""No two labels of a drawing share area, on the samples and on random plates with many holes."""

from __future__ import annotations

import random
from itertools import combinations
from xml.etree import ElementTree

import pytest

from platemaker.checks import Limit, measured
from platemaker.parts import Part
from platemaker.plane import Box, Loop
from platemaker.views import Label, Shown, overlap, place, plan_svg, section_svg
from tests.sample_findings import plate_findings, thin_web_findings
from tests.sample_parts import SAMPLES, counterbored, drilled, plate, tapped_blind

FINDINGS = plate_findings() + thin_web_findings()


def text_boxes(svg: str) -> list[tuple[str, Box]]:
    """The boxes of all texts of a drawing: textLength wide, 1.2 letter sizes high, as the stylesheet lays them."""
    boxes = []
    for text in ElementTree.fromstring(svg).iter("{http://www.w3.org/2000/svg}text"):
        x, y, size, length = (float(text.get(name) or 0) for name in ("x", "y", "font-size", "textLength"))
        middle = y - 0.35 * size
        boxes.append((text.text or "", (x - length / 2, middle - 0.6 * size, x + length / 2, middle + 0.6 * size)))
    return boxes


def collisions(svg: str) -> list[tuple[str, str]]:
    return [(a, b) for (a, box), (b, other) in combinations(text_boxes(svg), 2) if overlap(box, other)]


def random_plate(seed: int, holes: int) -> Part:
    """A plate with holes of all kinds strewn over it, some of them crowded; seeded."""
    dice = random.Random(seed)
    kinds = [
        lambda name, at: drilled(name, at, dice.choice([3.0, 6.6, 9.0]), 30),
        lambda name, at: counterbored(name, at, 15, 8.6, 9, 30),
        lambda name, at: tapped_blind(name, at, 30),
    ]
    crowd = dice.random()
    places = [
        (dice.uniform(-140, 140) * (crowd if number % 2 else 1), dice.uniform(-90, 90) * (crowd if number % 2 else 1))
        for number in range(holes)
    ]
    cuts = [dice.choice(kinds)(f"h{number}", at) for number, at in enumerate(places)]
    return plate(f"strewn_{seed}", Loop.rectangle(300, 200, 10), 30, *cuts)


def random_findings(part: Part, seed: int) -> list:  # type: ignore[type-arg]
    dice = random.Random(seed)
    found = []
    for _ in range(8):
        a, b = dice.sample(part.holes, 2)
        distance = sum((p - q) ** 2 for p, q in zip(a.at, b.at, strict=True)) ** 0.5
        limit = Limit(distance * dice.uniform(0.5, 1.5), "mm", "common practice")
        found.append(measured("PM101", "wall", part.name, [a.name, b.name], distance, limit, points=[a.at, b.at]))
    return found


@pytest.mark.parametrize("make", SAMPLES, ids=lambda make: make.__name__)
def test_samples(make) -> None:  # type: ignore[no-untyped-def]
    part = make()
    assert collisions(plan_svg(part, FINDINGS)) == []
    assert collisions(section_svg(part, FINDINGS)) == []


@pytest.mark.parametrize("seed", range(25))
def test_random_plates(seed: int) -> None:
    part = random_plate(seed, 8 + 3 * seed)
    for unit in ("mm", "in"):
        assert collisions(plan_svg(part, random_findings(part, seed), unit=unit)) == []


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(100, 400))
def test_many_random_plates(seed: int) -> None:
    part = random_plate(seed, 5 + seed % 120)
    assert collisions(plan_svg(part, random_findings(part, seed))) == []


def test_every_tag_finds_a_place_when_all_holes_are_one() -> None:
    part = plate("heap", Loop.rectangle(100, 60), 10, *(drilled(f"h{i}", (0, 0), 6, 10) for i in range(60)))
    svg = plan_svg(part)
    tags = [text for text, _ in text_boxes(svg) if text.startswith("A")]
    assert len(tags) == 60
    assert collisions(svg) == []


def test_a_label_that_finds_no_room_inside_is_left_out() -> None:
    labels = [Label(Shown("A1", "A1"), (0.0, 0.0), 0.0, 1.0) for _ in range(40)]
    room = (-2.0, -2.0, 2.0, 2.0)
    placed = place(labels, inside=room)
    assert 0 < len(placed) < 40
    for spot in placed:
        assert room[0] <= spot.box[0]
        assert spot.box[2] <= room[2]
