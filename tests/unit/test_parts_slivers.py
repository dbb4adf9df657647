"""Parts are made without pieces too short to cut; files and checks read the same outline."""

from __future__ import annotations

from pathlib import Path

import ezdxf
import pytest

from platemaker.export import write_dxf
from tests.design_stacks import stack_of

SPEC = """
project: window
parts:
  lid:
    kind: plate
    material: 6061-T6
    thickness: 10
    outline: {rectangle: [80, 60], corner_radius: 6}
    opening: {shape: {rectangle: [20, 20], corner_radius: 9.997}}
"""


def test_a_nearly_round_window_is_drawn_round(tmp_path: Path) -> None:
    """20 x 20 with corners of 9.997 mm would have four sides of 6 µm."""
    [lid] = stack_of(tmp_path, SPEC).parts
    write_dxf(lid, tmp_path / "lid.dxf")
    space = ezdxf.readfile(tmp_path / "lid.dxf").modelspace()
    assert [len(loop) for loop in space.query("LWPOLYLINE")] == [8], "the outline alone"
    [window] = space.query("CIRCLE")
    assert 2 * window.dxf.radius == pytest.approx(20.0, abs=1e-9)
