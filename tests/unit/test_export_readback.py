"""Files that do not say what the part is are refused, with the difference named."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import ezdxf
import pytest

from platemaker.errors import ProofError
from platemaker.export import prove_dxf, prove_step, read_dxf, write_dxf, write_step
from platemaker.parts import Part
from platemaker.records import replace
from platemaker.solids import prove, solid_of
from tests import sample_parts as sample


def spoilt(part: Part, path: Path, spoil: Callable[[Any, Any], object]) -> Path:
    """The part's DXF, changed by `spoil(document, modelspace)` after it was written."""
    write_dxf(part, path)
    document = ezdxf.readfile(path)
    spoil(document, document.modelspace())
    document.saveas(path)
    return path


def move_hole(_: Any, space: Any) -> None:
    space.query("CIRCLE").first.dxf.center = (20.1, 10)


def grow_hole(_: Any, space: Any) -> None:
    space.query("CIRCLE").first.dxf.radius = 6.01


def drop_hole(_: Any, space: Any) -> None:
    space.delete_entity(space.query("CIRCLE").first)


def add_hole(_: Any, space: Any) -> None:
    space.add_circle((-20, 0), 3, dxfattribs={"layer": "DRILL_6.0_THRU"})


def open_outline(_: Any, space: Any) -> None:
    space.query("LWPOLYLINE").first.closed = False


def double_hole(_: Any, space: Any) -> None:
    space.add_circle((20, 10), 6, dxfattribs={"layer": "CUT_OPENING"})


def double_side(_: Any, space: Any) -> None:
    corners = [(-50, -30), (50, -30), (0, 0)]
    space.add_lwpolyline(corners, close=True, dxfattribs={"layer": "CUT_OPENING"})


def inches(document: Any, _: Any) -> None:
    document.header["$INSUNITS"] = 1


def cut_text(_: Any, space: Any) -> None:
    space.add_text("FRONT", dxfattribs={"layer": "CUT_OUTLINE"})


def loose_line(_: Any, space: Any) -> None:
    space.add_line((0, 0), (10, 0), dxfattribs={"layer": "CUT_OUTLINE"})


def spline(_: Any, space: Any) -> None:
    space.add_spline([(0, 0), (10, 0), (10, 10)], dxfattribs={"layer": "CUT_OUTLINE"})


def shift_outline(_: Any, space: Any) -> None:
    outline = space.query("LWPOLYLINE").first
    outline.set_points([(x + 0.5, y) for x, y in outline.get_points("xy")], format="xy")


def shrink_outline(_: Any, space: Any) -> None:
    outline = space.query("LWPOLYLINE").first
    outline.set_points([(x, y - 0.01 if y > 0 else y) for x, y in outline.get_points("xy")], format="xy")


def second_outline(_: Any, space: Any) -> None:
    space.add_lwpolyline([(-5, -5), (5, -5), (0, 5)], close=True, dxfattribs={"layer": "CUT_OPENING"})


def short_line(_: Any, space: Any) -> None:
    corners = [(-5, -5), (5, -5), (5, 5), (4.995, 5)]
    space.add_lwpolyline(corners, close=True, dxfattribs={"layer": "CUT_OPENING"})


def short_arc(_: Any, space: Any) -> None:
    """Chord 0.04 mm and bulge 0.1: an arc a little over 0.04 mm long."""
    corners = [(-5, -5, 0), (5, -5, 0), (5, 5, 0.1), (4.96, 5, 0)]
    space.add_lwpolyline(corners, format="xyb", close=True, dxfattribs={"layer": "CUT_OPENING"})


@pytest.mark.parametrize(
    ("spoil", "fault"),
    [
        (move_hole, r"no circle of diameter 12 at \(20, 10\)"),
        (grow_hole, r"no circle of diameter 12 at \(20, 10\)"),
        (drop_hole, r"no circle of diameter 12 at \(20, 10\)"),
        (add_hole, r"a circle too many, of diameter 6 at \(-20, 0\)"),
        (open_outline, "an open polyline on layer CUT_OUTLINE"),
        (double_hole, r"a line drawn twice on layer DRILL_12.0_THRU, at \(20.000000, 10.000000\)|on layer CUT_OPENING"),
        (double_side, "a line drawn twice on layer CUT_OPENING"),
        (inches, "version AC1024, units 1, measurement 1; not R2010 in mm"),
        (cut_text, "text on layer CUT_OUTLINE"),
        (loose_line, "a loose line on layer CUT_OUTLINE"),
        (spline, "a SPLINE on layer CUT_OUTLINE"),
        (shift_outline, r"extents \(-49.500000, .* instead of \(-50.000000"),
        (shrink_outline, r"a loop of 5999.000000 mm2 instead of 6000.000000 mm2"),
        (second_outline, "2 closed loops instead of 1"),
        (short_line, r"a piece 0.0050 mm long on layer CUT_OPENING, at \(5"),
        (short_arc, r"a piece 0.0403 mm long on layer CUT_OPENING, at \(5"),
    ],
)
def test_a_spoilt_drawing_is_refused(spoil: Callable[[Any, Any], object], fault: str, tmp_path: Path) -> None:
    path = spoilt(sample.one_hole(), tmp_path / "part.dxf", spoil)
    with pytest.raises(ProofError, match=rf"^part\.dxf does not read back as the part: .*({fault})"):
        prove_dxf(sample.one_hole(), path)


def test_an_arc_turned_over_is_seen_by_its_area(tmp_path: Path) -> None:
    def flip(_: Any, space: Any) -> None:
        outline = space.query("LWPOLYLINE").first
        outline.set_points([(x, y, -b) for x, y, b in outline.get_points("xyb")], format="xyb")

    path = spoilt(sample.slotted(), tmp_path / "part.dxf", flip)
    with pytest.raises(ProofError, match=r"a loop of .* mm2 instead of"):
        prove_dxf(sample.slotted(), path)


def test_a_mirrored_drawing_is_refused(tmp_path: Path) -> None:
    def mirror(_: Any, space: Any) -> None:
        circle = space.query("CIRCLE").first
        circle.dxf.center = (circle.dxf.center.x, 60 - circle.dxf.center.y)

    path = spoilt(sample.chiral_ell(), tmp_path / "part.dxf", mirror)
    with pytest.raises(ProofError, match=r"no circle of diameter 9 at \(60, 10\)"):
        prove_dxf(sample.chiral_ell(), path)


def test_a_file_that_is_no_drawing_is_named(tmp_path: Path) -> None:
    (tmp_path / "text.dxf").write_text("not a drawing")
    with pytest.raises(ProofError, match=r"text\.dxf does not read back as the part: cannot be read"):
        read_dxf(tmp_path / "text.dxf")


def test_a_reading_tells_circles_areas_extents_and_layers(tmp_path: Path) -> None:
    write_dxf(sample.one_hole(), tmp_path / "part.dxf")
    reading = read_dxf(tmp_path / "part.dxf")
    assert reading.circles == ((20.0, 10.0, 12.0),)
    assert reading.loop_areas == (6000.0,)
    assert reading.extents == (-50.0, -30.0, 50.0, 30.0)
    assert reading.layers == ("CUT_OUTLINE", "DRILL_12.0_THRU", "NOTE")


@pytest.mark.kernel
def test_the_step_of_another_part_is_refused(tmp_path: Path) -> None:
    part = sample.one_hole()
    proof = prove(part, solid_of(part), lambda _: None)

    def step_of(other: Part) -> Path:
        path = tmp_path / "part.step"
        write_step(other, solid_of(other), path)
        return path

    with pytest.raises(ProofError, match=r"^part\.step does not read back as it should: named 'plain_plate'"):
        prove_step(part, proof, step_of(sample.plain_plate()))
    with pytest.raises(ProofError, match=r"'one_hole' holds 60000\.000000 mm3 instead of 58869\.026645 mm3"):
        prove_step(part, proof, step_of(replace(sample.plain_plate(), name="one_hole")))
    aside = tmp_path / "part.step"
    write_step(part, solid_of(part).translate((0.0, 0.0, 0.02)), aside)
    with pytest.raises(
        ProofError, match=r"part\.step does not read back as it should: box .*, 10\.020000\) instead of"
    ):
        prove_step(part, proof, aside)
    moved = replace(part, cuts=(sample.drilled("h1", (20.001, 10), 12, 10),))
    with pytest.raises(ProofError, match=r"no wall of hole 'h1', diameter 12 mm, at \(20, 10, 10\)"):
        prove_step(part, proof, step_of(moved))
    steel = replace(part, material=sample.bent_bracket().material)
    with pytest.raises(ProofError, match=r"'one_hole' has colour .* instead of"):
        prove_step(part, proof, step_of(steel))
