"""No two words on a drawing overlap, no line runs through one, and none is too small to read: on the vector model."""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml

from platemaker.export._paper import about_of
from platemaker.export._sheet._drawing_sheet import drawing_pages
from platemaker.parts import Stack
from platemaker.plane import Line
from platemaker.project import load
from platemaker.views import Align, Page, Pen, Stroke, Text
from platemaker.views._ink._lettering import FALL, RISE
from tests.metal_oracle import spec_of
from tests.sheet_boxes import collisions, crossed, letters, strays

SPECS = Path(__file__).parents[2] / "part_specs"
LEAST_CAPITAL = 2.5
"""ISO 3098-1's sizes of letters begin at 1.8 and 2.5 mm (from memory); a shop's print is read at 2.5."""


def hold_readable(stack: Stack) -> None:
    for part in stack.parts:
        for page in drawing_pages(part, about_of(stack, part, None, [])):
            assert collisions(page) == [], part.name
            assert crossed(page) == [], part.name
            assert strays(page) == [], part.name
            assert min(size for _, size in letters(page)) >= LEAST_CAPITAL - 1e-9, part.name


def random_parts(folder: Path, seed: int) -> Stack:
    """The metal oracle's random part of that number, as a project."""
    (folder / "project.yaml").write_text(yaml.safe_dump(spec_of(seed)), encoding="utf-8")
    return load(folder).stack


@pytest.mark.parametrize("project", ["pump_engine", "four_ports"])
def test_examples_are_readable(project: str) -> None:
    hold_readable(load(SPECS / project).stack)


@pytest.mark.parametrize("seed", range(10))
def test_random_parts_are_readable(tmp_path: Path, seed: int) -> None:
    hold_readable(random_parts(tmp_path, seed))


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(10, 100))
def test_many_random_parts_are_readable(tmp_path: Path, seed: int) -> None:
    hold_readable(random_parts(tmp_path, seed))


def test_no_tag_of_the_examples_is_left_out() -> None:
    for project in ("pump_engine", "four_ports"):
        stack = load(SPECS / project).stack
        for part in stack.parts:
            texts = [text.text for page in drawing_pages(part, about_of(stack, part, None, [])) for text in page.texts]
            assert not any("No room in the plan" in text for text in texts), part.name


def test_the_finder_of_crossed_words_finds_them() -> None:
    """A line through a word's middle, one that white hides, and one just below its letters, which is beside it."""
    word = Text("tag", (10.0, 10.0), 4.0, Align.START)
    low, high = 10.0 - 4.0 * FALL, 10.0 + 4.0 * RISE
    through = Stroke((Line((0.0, 11.0), (50.0, 11.0)),), Pen.FINE)
    below = Stroke((Line((0.0, low - 0.1), (50.0, low - 0.1)),), Pen.FINE)
    above = Stroke((Line((0.0, high + 0.1), (50.0, high + 0.1)),), Pen.FINE)
    slanting = Stroke((Line((5.0, 5.0), (15.0, 15.0)),), Pen.FINE)
    assert crossed(Page(50, 50, (through, word))) == [("tag", "FINE")]
    assert crossed(Page(50, 50, (word, slanting))) == [("tag", "FINE")]
    assert crossed(Page(50, 50, (below, above, word))) == []
