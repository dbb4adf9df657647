"""What the edge view hides, and where the holes of a bent part lie: by arithmetic on the samples' sizes."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from platemaker.export._paper import about_of
from platemaker.export._sheet._drawing_plan import edge_ink
from platemaker.export._sheet._drawing_sheet import drawing_pages
from platemaker.parts import Part
from platemaker.project import load
from platemaker.views import TRUE, Clip, Pen, Stroke
from tests.plates import lid_of

SPECS = Path(__file__).parents[2] / "part_specs"


def hidden_boxes(part: Part) -> list[tuple[float, ...]]:
    [clip] = [one for one in edge_ink(part, TRUE) if isinstance(one, Clip)]
    runs = [one.run for one in clip.ink if isinstance(one, Stroke) and one.pen is Pen.HIDDEN]
    points = [[edge.start for edge in run] for run in runs if isinstance(run, tuple)]
    return [
        (min(x for x, _ in one), min(y for _, y in one), max(x for x, _ in one), max(y for _, y in one))
        for one in points
    ]


@pytest.mark.parametrize(
    ("cut", "box"),
    [
        ("pocket: {shape: {rectangle: [40, 20], corner_radius: 5, at: [10, 0]}, side: above, depth: 4, cutter: 8}", (-10, 8, 30, 12)),
        ("pocket: {shape: {rectangle: [40, 20], corner_radius: 5, at: [10, 0]}, side: below, depth: 4, cutter: 8}", (-10, 0, 30, 4)),
        ("opening: {shape: {circle: 30}}", (-15, 0, 15, 12)),
    ],
)  # fmt: skip
def test_a_figures_sides_and_floor_are_hidden_edges(tmp_path: Path, cut: str, box: tuple[float, ...]) -> None:
    part = lid_of(tmp_path, f"    thickness: 12\n    outline: {{rectangle: [100, 60]}}\n    {cut}\n").part("lid")
    [found] = hidden_boxes(part)
    assert found == pytest.approx(box)


def test_holes_of_a_bracket_have_places_that_can_be_measured_when_bent() -> None:
    """Foot 12 from its end; rail 47.91 along a leg of 63.66: 15.75 from the free end; both in the middle of 30."""
    stack = load(SPECS / "pump_engine").stack
    part = stack.part("rail_bracket_front")
    words = " ".join(text.text for page in drawing_pages(part, about_of(stack, part, None, [])) for text in page.texts)
    assert math.isclose(63.66 - 47.91, 15.75)
    assert (
        "When bent: A1 12 from the free end of leg 1, 15 from the side -Y; B1 15.75 from the free end of the last leg, 15 "
        "from the side -Y."
    ) in words
