"""No two texts of a drawing share area and none leaves its sheet: samples, both examples, random plates, all papers."""

from __future__ import annotations

import random
from collections.abc import Iterable
from functools import cache
from pathlib import Path

import pytest

from platemaker.export._paper import about_of
from platemaker.export._sheet._drawing_sheet import drawing_pages
from platemaker.export._sheet._drawing_title import About
from platemaker.export._sheet._first_article import first_article
from platemaker.export._sheet._first_article_sheet import first_article_pages
from platemaker.export._sheet._sheet_paper import Projection
from platemaker.export._sheet._template import template_pages
from platemaker.parts import Part, Stack
from platemaker.plane import Loop
from platemaker.records import replace
from platemaker.resolved import assemble
from platemaker.spec import load_project
from platemaker.views import hole_tags
from platemaker.views._ink._model import Clip, Page, Text
from tests.package_tree import ROOT
from tests.sample_parts import SAMPLES, counterbored, drilled, plate, tapped_blind
from tests.sheet_boxes import collisions, strays

ABOUT = About(
    "A project of some length", "mm", "0123abcd", Projection.FIRST_ANGLE, 1.0, "2026-01-31", "Checks: 3 cautions"
)
INCH = replace(ABOUT, unit="in", projection=Projection.THIRD_ANGLE)
PAPERS = ["A4", "A3", "Letter", "Tabloid"]
"""Chosen sheets: every word on small ones, few words on large ones."""
SMALL, LARGE = replace(INCH, paper="A4"), replace(ABOUT, paper="Tabloid")


def sheets(part: Part, about: About) -> list[Page]:
    measures = first_article(part, about)
    return [
        *drawing_pages(part, about),
        *template_pages(part, about),
        *first_article_pages(part, about, measures),
    ]


def faults(pages: Iterable[Page]) -> list[object]:
    return [fault for page in pages for fault in (*collisions(page), *strays(page))]


def random_plate(seed: int, holes: int) -> Part:
    """A plate of random size with holes of all kinds strewn over it, some of them crowded; seeded."""
    dice = random.Random(seed)
    wide, high = dice.uniform(40, 900), dice.uniform(40, 500)
    kinds = [
        lambda name, at: drilled(name, at, dice.choice([3.0, 6.6, 9.0]), 30),
        lambda name, at: counterbored(name, at, 15, 8.6, 9, 30),
        lambda name, at: tapped_blind(name, at, 30),
    ]
    crowd = dice.random()
    cuts = []
    for number in range(holes):
        share = crowd if number % 2 else 1.0
        at = (dice.uniform(-0.45, 0.45) * wide * share, dice.uniform(-0.45, 0.45) * high * share)
        cuts.append(dice.choice(kinds)(f"h{number}", at))
    return plate(f"strewn_{seed}", Loop.rectangle(wide, high, 5), 30, *cuts)


@pytest.mark.parametrize("about", [ABOUT, INCH, SMALL, LARGE], ids=["mm", "inch", "A4", "Tabloid"])
@pytest.mark.parametrize("make", SAMPLES, ids=lambda make: make.__name__)
def test_samples(make, about: About) -> None:  # type: ignore[no-untyped-def]
    part = make()
    assert faults(sheets(part, about)) == []


FIRST, THIRD = Projection.FIRST_ANGLE, Projection.THIRD_ANGLE


@pytest.mark.parametrize(
    ("paper", "projection"), [(None, FIRST), ("A4", THIRD), ("A3", THIRD), ("Letter", FIRST), ("Tabloid", THIRD)]
)
@pytest.mark.parametrize("name", ["pump_engine", "standard_faces"])
def test_examples(name: str, paper: str | None, projection: Projection) -> None:
    stack = example(name)
    for part in stack.parts:
        about = replace(about_of(stack, part, None), paper=paper, projection=projection)
        assert faults(sheets(part, about)) == [], part.name


@cache
def example(name: str) -> Stack:
    return assemble(load_project(Path(ROOT) / "part_specs" / name))


@pytest.mark.parametrize("seed", range(11))
def test_random_plates(seed: int) -> None:
    part = random_plate(seed, 2 + 6 * seed)
    about = INCH if seed % 3 == 0 else ABOUT
    for paper in (PAPERS[seed % 4], PAPERS[(seed + 1) % 4]):
        assert faults(drawing_pages(part, replace(about, paper=paper))) == [], paper
    pages = drawing_pages(part, about)
    assert faults(pages) == []
    stated = {word for page in pages for text in page.texts for word in text.text.replace(",", " ").split()}
    assert set(hole_tags(part).values()) <= stated


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(100, 220))
def test_many_random_plates(seed: int) -> None:
    part = random_plate(seed, 1 + seed % 130)
    about = INCH if seed % 3 == 0 else ABOUT
    assert faults(sheets(part, about)) == []


def test_long_and_foreign_words_stay_in_their_cells() -> None:
    part = replace(
        SAMPLES[2](),
        title="Überaus langer Titel einer Platte, die zwischen Gebläse und Ansaugrohr sitzt, mit 図面 und <script>",
        note="a_word_without_any_blank_that_is_far_longer_than_the_column_of_words_of_any_sheet_" * 2,
    )
    about = replace(ABOUT, project="Ein Vorhaben mit einem Namen, der nicht in seine Zelle passt " * 2)
    pages = drawing_pages(part, about)
    assert faults(pages) == []


def test_the_measure_itself_sees_overlaps_and_strays() -> None:
    """Two words of 2.9 mm letters that stand 2 mm apart up and down share area; 3 mm apart they do not."""
    near = Page(100, 100, (Text("A1", (10, 10), 2.9), Text("A2", (10, 12), 2.9)))
    apart = Page(100, 100, (Text("A1", (10, 10), 2.9), Text("A2", (10, 13), 2.9), Text("B1", (99, 50), 2.9)))
    hidden = Page(100, 100, (Clip((0, 0, 50, 11.5), (Text("A1", (10, 10), 2.9),)), Text("A2", (10, 13), 2.9)))
    assert collisions(near) == [("A1", "A2")]
    assert (collisions(apart), strays(apart)) == ([], ["B1"])
    assert collisions(hidden) == []
