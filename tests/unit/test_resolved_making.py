"""What a part costs metal and work on, against arithmetic by hand."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from platemaker.project import load
from platemaker.records import replace
from platemaker.resolved import expected_volume, making_of
from tests import sample_parts as sample


def test_a_plate_is_sawn_three_millimetres_larger_on_each_side() -> None:
    """100 x 60 x 10 of 6061 at 2700 kg/m3: 106 x 66 x 10 are 69 960 mm3, 0.188 892 kg; 9 960 mm3 are cut off."""
    part = sample.plain_plate()
    found = making_of(part, 60_000.0)
    assert (found.blank.size, found.blank.is_round) == ((106.0, 66.0, 10.0), False)
    assert (found.mass, found.removed) == (pytest.approx(0.188892), pytest.approx(9_960.0))
    assert (found.drilled, found.tapped, found.tools, found.corners) == (0, 0, (), {})
    assert making_of(part, None).removed is None


def test_a_turned_boss_is_sawn_from_bar() -> None:
    part = sample.turned_boss()
    wide, _, high = part.stock.size
    found = making_of(part, expected_volume(part))
    assert (found.blank.size, found.blank.is_round) == ((wide + 6, high + 6), True)
    assert found.blank.volume == pytest.approx(math.pi / 4 * (wide + 6) ** 2 * (high + 6))


def test_holes_and_tools_are_counted_once_each() -> None:
    """Four holes tapped M8 x 1.25 from a drill of 6.8, and two of 6 right through: six holes, three tools."""
    holes = [sample.tapped_blind(f"m{n}", (10 * n, 0), 20) for n in range(4)]
    holes += [sample.drilled(f"d{n}", (10 * n, 20), 6, 20) for n in range(2)]
    found = making_of(replace(sample.plain_plate(), cuts=tuple(holes)), None)
    assert (found.drilled, found.tapped) == (6, 4)
    assert [(tool.work, tool.thread or tool.size) for tool in found.tools] == [
        ("drill", 6),
        ("drill", 6.8),
        ("tap", "M8"),
    ]


def test_corners_are_counted_by_the_cutter(tmp_path: Path) -> None:
    """A pocket with four rounded corners and a round relief, by cutters of 12 and 8: the relief has no corner."""
    (tmp_path / "project.yaml").write_text(SPEC, encoding="utf-8")
    found = making_of(load(tmp_path).stack.part("lid"), None)
    assert found.corners == {12.0: 4}
    assert [(tool.work, tool.size) for tool in found.tools] == [("cutter", 8), ("cutter", 12), ("drill", 9)]


SPEC = """
project: lid
parts:
  lid:
    kind: plate
    material: 6061-T6
    thickness: 12
    outline: {rectangle: [160, 130]}
    pocket: {shape: {rectangle: [60, 40], corner_radius: 7}, depth: 5, cutter: 12}
    reliefs: {stud: {at: [60, 50], diameter: 16, depth: 4, cutter: 8}}
    holes: {a: {at: [-60, -50], diameter: 9}, b: {at: [60, -50], diameter: 9}}
"""


def test_a_study_has_the_cost_drivers_that_differ(tmp_path: Path) -> None:
    """Thickness 12 or 20 of 166 x 136: the blank is 0.731 or 1.219 kg; holes and corners stay as they are."""
    (tmp_path / "project.yaml").write_text(SPEC, encoding="utf-8")
    done = load(tmp_path).study("lid.thickness=12,20")
    masses = [row.value("blank_mass") for row in done.rows]
    assert masses == [pytest.approx(166 * 136 * high * 2700e-9) for high in (12, 20)]
    shown = {one.name for one in done.outcomes}
    # The pocket, 60 x 40 less the four corners (4 - pi) 7², and relief and holes 12 or 20 deep, are left out of the part.
    assert {"blank_mass", "removed"} <= shown
    assert not shown & {"drilled", "tapped", "tools", "corners"}
    [first, _] = done.rows
    pocket, relief, holes = (60 * 40 - (4 - math.pi) * 49) * 5, math.pi * 64 * 4, 2 * math.pi / 4 * 81 * 12
    edges = 166 * 136 * 12 - 160 * 130 * 12
    assert first.value("removed") == pytest.approx(pocket + relief + holes + edges)
