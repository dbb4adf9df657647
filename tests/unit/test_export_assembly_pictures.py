"""The order of assembly in pictures: what each step adds, and what stands before what."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest

from platemaker.checks import assembly_sequence
from platemaker.export._sheet._assembly_pictures import ADDED, HELD, IN_A_ROW, THERE, assembly_pictures
from platemaker.plane import Loop, Region
from platemaker.project import load
from platemaker.resolved import resolved_stack
from platemaker.space import Cylinder, Frame, Prism, box
from platemaker.views import Clip, Fill, Shaded, Text, oblique_ink, seen_box
from platemaker.views._oblique import seen_at

SPECS = Path(__file__).parents[2] / "part_specs"


def shades(clip: Clip) -> set[float]:
    return {one.shade for one in clip.ink if isinstance(one, Fill)}


def test_four_ports_goes_together_in_three_pictures() -> None:
    """Plate on head; blower on plenum plate; both halves on each other: the last adds their gasket alone."""
    stack = load(SPECS / "four_ports").stack
    order = assembly_sequence(stack)
    [row] = assembly_pictures(stack, resolved_stack(stack), order, {one: one for one in order}, 240.0)
    clips = [one for one in row.ink if isinstance(one, Clip)]
    assert [one.text for one in row.ink if isinstance(one, Text)] == [f"{n} {one}" for n, one in enumerate(order, 1)]
    assert len(clips) == 3
    assert shades(clips[0]) - {THERE} == {ADDED}
    assert shades(clips[1]) == {ADDED, THERE}
    assert shades(clips[2]) == {ADDED, HELD, THERE}
    width = 240.0 / IN_A_ROW
    assert [one.box[0] for one in clips] == pytest.approx([0.0, width, 2 * width])


def test_every_step_of_the_engine_with_bolts_has_a_picture() -> None:
    stack = load(SPECS / "pump_engine").stack
    order = assembly_sequence(stack)
    rows = list(assembly_pictures(stack, resolved_stack(stack), order, {one: one for one in order}, 273.0))
    said = [text.text.split()[0] for row in rows for text in row.ink if isinstance(text, Text)]
    assert set(said) >= {str(number) for number in range(1, len(order) + 1)}
    # A fitting goes in by itself: it is dark, and what it is screwed into light; the fitting before stands at the other end.
    last = [clip for row in rows for clip in row.ink if isinstance(clip, Clip)][-1]
    assert order[-1].endswith(" fitting")
    assert shades(last) == {ADDED, HELD, THERE}
    assert rows[0].heading.startswith("IN PICTURES")
    assert [row.heading for row in rows[1:]] == [""] * (len(rows) - 1)


def test_the_nearer_is_painted_over_the_farther() -> None:
    """One seen from the front, the right and above: what stands in front, to the right or on top comes last."""
    low = Shaded((box((0, 0, 0), (10, 10, 10)),), 0.1)
    for at in ((0, -10, 0), (0, 0, 10)):
        near = Shaded((box(at, tuple(x + 10 for x in at)),), 0.9)  # type: ignore[arg-type]
        for pieces in ((low, near), (near, low)):
            painted = [one.shade for one in oblique_ink(pieces, 1.0, (0.0, 0.0)) if isinstance(one, Fill)]
            assert painted == sorted(painted), at


def test_a_box_shows_three_faces_and_a_cylinder_its_round_side() -> None:
    drawn = list(oblique_ink([Shaded((box((0, 0, 0), (10, 10, 10)),), 0.5)], 1.0, (0.0, 0.0)))
    assert Counter(type(one).__name__ for one in drawn)["Fill"] == 3
    x0, y0, x1, y1 = seen_box([Shaded((Cylinder((0, 0, 0), (0, 0, 20), 5.0),), 1.0)])
    assert x1 - x0 == pytest.approx(10.0, abs=0.2)
    assert y1 - y0 == pytest.approx(seen_at((0, 0, 20))[1] + 2 * 5.0 * 0.42262, abs=0.2)


def test_an_opening_is_white() -> None:
    plate = Prism(Region.of(Loop.rectangle(40, 40), [Loop.circle((0, 0), 5)]), Frame(), 5.0)
    fills = [one.shade for one in oblique_ink([Shaded((plate,), 0.5)], 1.0, (0.0, 0.0)) if isinstance(one, Fill)]
    assert fills[-2:] == [0.5, 1.0]
