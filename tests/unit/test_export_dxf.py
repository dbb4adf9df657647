"""DXF files: form, content and repeatability."""

from __future__ import annotations

import os
import subprocess
import sys
from collections import Counter
from collections.abc import Callable
from pathlib import Path

import ezdxf
import pytest

from platemaker.errors import GeometryError
from platemaker.export import prove_dxf, write_dxf
from platemaker.export._flat._drawing import Drawing
from platemaker.export._flat._dxf import write_drawing
from platemaker.parts import Mark, Part
from platemaker.plane import Arc, Circle, Line, Loop
from platemaker.records import replace
from platemaker.views import Align, Clip, Fill, Ink, Pen, Stroke, Text, hole_tags
from platemaker.views._ink._model import Area, EllipseCurve
from tests import sample_parts as sample


def drawn(part: Part, tmp_path: Path) -> ezdxf.document.Drawing:
    write_dxf(part, tmp_path / "part.dxf")
    return ezdxf.readfile(tmp_path / "part.dxf")


def kinds(part: Part, tmp_path: Path) -> Counter[tuple[str, str]]:
    space = drawn(part, tmp_path).modelspace()
    return Counter((entity.dxftype(), entity.dxf.layer) for entity in space if entity.dxf.layer != "NOTE")


def notes(part: Part, tmp_path: Path) -> list[str]:
    return [text.dxf.text for text in drawn(part, tmp_path).modelspace().query('TEXT[layer=="NOTE"]')]


@pytest.mark.parametrize("make", sample.SAMPLES, ids=lambda make: make.__name__)
def test_every_sample_reads_back(make: Callable[[], Part], tmp_path: Path) -> None:
    write_dxf(make(), tmp_path / "part.dxf")
    assert prove_dxf(make(), tmp_path / "part.dxf").file == "part.dxf"


@pytest.mark.parametrize("make", sample.SAMPLES, ids=lambda make: make.__name__)
def test_every_sample_is_flat_closed_and_in_millimetres(make: Callable[[], Part], tmp_path: Path) -> None:
    document = drawn(make(), tmp_path)
    assert (document.dxfversion, document.header["$INSUNITS"], document.header["$MEASUREMENT"]) == ("AC1024", 4, 1)
    assert not document.audit().has_errors
    for entity in document.modelspace():
        if entity.dxftype() == "LWPOLYLINE":
            assert entity.closed or entity.dxf.layer == "MARK"
            assert (entity.dxf.elevation, entity.dxf.extrusion) == (0.0, (0, 0, 1))
        elif entity.dxftype() == "CIRCLE":
            assert (entity.dxf.center.z, entity.dxf.extrusion) == (0.0, (0, 0, 1))
        elif entity.dxftype() == "TEXT":
            assert entity.dxf.layer in ("NOTE", "MARK")
        else:
            assert entity.dxftype() == "LINE"
            assert entity.dxf.layer == "MARK" or entity.dxf.layer.startswith(("BEND_", "CENTRE_"))


def test_each_operation_and_depth_has_its_layer(tmp_path: Path) -> None:
    assert kinds(sample.counterbore_and_pocket(), tmp_path) == {
        ("LWPOLYLINE", "CUT_OUTLINE"): 1,
        ("LWPOLYLINE", "CUT_OPENING"): 1,
        ("LWPOLYLINE", "POCKET_DP12.0_ABOVE"): 1,
        ("CIRCLE", "RELIEF_DP12.5_BELOW"): 1,
        ("CIRCLE", "CBORE_15.0_DP8.6_ABOVE"): 4,
        ("CIRCLE", "DRILL_9.0_THRU"): 4,
    }


def test_the_ell_is_not_mirrored(tmp_path: Path) -> None:
    space = drawn(sample.chiral_ell(), tmp_path).modelspace()
    (hole,) = space.query("CIRCLE")
    assert (hole.dxf.center.x, hole.dxf.center.y, hole.dxf.radius) == (60.0, 10.0, 4.5)
    (outline,) = space.query('LWPOLYLINE[layer=="CUT_OUTLINE"]')
    assert max(y for x, y in outline.get_points("xy") if x > 30) == 20.0
    # The strokes of FRONT, 4 mm high: the stem of the F stands at its beginning.
    letters = [point for one in space.query('LWPOLYLINE[layer=="MARK"]') for point in one.get_points("xy")]
    assert min(letters) == (5.0, 8.0)
    assert (min(y for _, y in letters), max(y for _, y in letters)) == (8.0, 12.0)


def test_a_turned_part_a_bar_and_a_casting_have_no_contour_to_cut(tmp_path: Path) -> None:
    assert ("CIRCLE", "TURN_OUTLINE") in kinds(sample.turned_boss(), tmp_path)
    assert ("LWPOLYLINE", "STOCK_OUTLINE") in kinds(sample.cross_bored_rail(), tmp_path)
    assert kinds(sample.drilled_casting(), tmp_path) == {
        ("LWPOLYLINE", "STOCK_OUTLINE"): 1,
        ("LINE", "CENTRE_ABOVE"): 4,
    }


def test_slanted_and_level_bores_are_told_in_words(tmp_path: Path) -> None:
    assert (
        "A1 bore_1: from X -30.000 Y 0.000 Z 40.000, axis 45.000 deg to the face, going in towards +Y: "
        "bore 12.0 to 30.0 along the axis"
    ) in notes(sample.drilled_casting(), tmp_path)
    assert "CENTRE layers show where slanted axes meet a face; they are neither cut nor scribed" in notes(
        sample.drilled_casting(), tmp_path
    )
    assert (
        "A1 passage: from X -150.000 Y 0.000 Z 12.700, level, towards +X: drill 14.0 thru, tap M16x1.5 15.0 deep"
    ) in notes(sample.cross_bored_rail(), tmp_path)


def test_the_notes_say_what_a_plan_cannot_show(tmp_path: Path) -> None:
    said = notes(sample.counterbore_and_pocket(), tmp_path)
    assert "material 6061-T6, overall 120.000 x 80.000 x 25.400 mm" in said
    assert "break sharp edges 0.5 mm" in said
    assert "port: edge rounded all round on the face below, radius 6.0 mm" in said


def test_a_bracket_is_drawn_flat_with_its_bend(tmp_path: Path) -> None:
    space = drawn(sample.bent_bracket(), tmp_path).modelspace()
    (outline,) = space.query("LWPOLYLINE")
    (bend,) = space.query("LINE")
    # Straight parts 50 and 30; allowance of the bend by its neutral line, 90 deg about 5 + k 5 mm.
    length = max(x for x, _ in outline.get_points("xy"))
    neutral = (length - 50 - 30) / (3.14159265 / 2)
    assert 5 < neutral < 7.5
    assert bend.dxf.layer == "BEND_UP_90.0_R5.0"
    assert bend.dxf.start.x == pytest.approx(50 + (length - 80) / 2)
    circles = sorted((c.dxf.center.x, c.dxf.radius) for c in space.query("CIRCLE"))
    assert circles[0] == (20.0, 3.5)
    assert circles[1] == pytest.approx((50 + (length - 80) + 28 - 10, 3.5), abs=1e-6)


def test_words_from_the_spec_are_made_plain(tmp_path: Path) -> None:
    part = replace(
        sample.plain_plate(),
        title="Träger\nvorn",
        note="Kanten\tbrechen\nzweite",
        marks=(Mark("m", "VÖRN", (0, 0, 0), 3),),
    )
    said = notes(part, tmp_path)
    assert "plain_plate: Trager vorn, quantity 1" in said
    assert {"Kanten brechen", "zweite"} <= set(said)
    assert (tmp_path / "part.dxf").read_bytes().isascii()


def test_the_same_part_gives_the_same_bytes_in_two_processes(tmp_path: Path) -> None:
    code = (
        "import sys; from pathlib import Path; from tests import sample_parts as s; from platemaker.export import write_dxf\n"
        "write_dxf(s.counterbore_and_pocket(), Path(sys.argv[1]))"
    )
    for name, seed in (("a.dxf", "1"), ("b.dxf", "2")):
        env = {**os.environ, "PYTHONHASHSEED": seed}
        subprocess.run([sys.executable, "-c", code, str(tmp_path / name)], check=True, env=env)
    assert (tmp_path / "a.dxf").read_bytes() == (tmp_path / "b.dxf").read_bytes()


def test_the_librarys_own_setting_is_put_back(tmp_path: Path) -> None:
    before = ezdxf.options.write_fixed_meta_data_for_testing
    write_dxf(sample.plain_plate(), tmp_path / "part.dxf")
    assert ezdxf.options.write_fixed_meta_data_for_testing == before


def test_holes_bear_the_tags_of_the_drawing_and_each_kind_tells_its_point_once(tmp_path: Path) -> None:
    holes = [sample.tapped_blind(f"t{n}", (30 * n - 30, 0), 30) for n in range(3)]
    part = sample.plate("lid", Loop.rectangle(120, 60), 30, sample.drilled("a", (0, 20), 9, 30), *holes)
    said = notes(part, tmp_path)
    assert hole_tags(part) == {"a": "A1", "t0": "B1", "t1": "B2", "t2": "B3"}
    assert {"A1", "B1", "B2", "B3"} <= set(said)
    assert "holes B: drill point 118 deg beyond the depth" in said
    assert sum("drill point" in line for line in said) == 1
    assert "letter and number beside a hole: its tag in drawing, hole table and first-article sheet" in said


LINE = Line((0.0, 0.0), (3.0, 4.0))
ARC = Arc((5.0, 0.0), (0.0, 5.0), (0.0, 0.0), 5.0, ccw=True)


def test_lines_arcs_circles_and_text_are_drawn_as_they_are(tmp_path: Path) -> None:
    ink = (
        Stroke((LINE,), Pen.NARROW, look="MARK"),
        Stroke((ARC,), Pen.NARROW, look="MARK"),
        Stroke((replace(ARC, start=(0.0, 5.0), end=(5.0, 0.0), ccw=False),), Pen.NARROW, look="NOTE"),
        Stroke(Circle((1.0, 2.0), 3.0), Pen.WIDE, closed=True, look="MARK"),
        Text("A1", (1.0, 1.0), 2.0, look="NOTE"),
    )
    write_drawing(Drawing(ink, (0.0, 0.0, 5.0, 5.0)), tmp_path / "a.dxf")
    drawn = {entity.dxftype(): entity.dxf for entity in ezdxf.readfile(tmp_path / "a.dxf").modelspace()}
    assert set(drawn) == {"LINE", "ARC", "CIRCLE", "TEXT"}
    arcs = ezdxf.readfile(tmp_path / "a.dxf").modelspace().query("ARC")
    # A quarter from +X to +Y, whichever way it is travelled; a DXF's arcs run counter-clockwise.
    assert {(one.dxf.radius, one.dxf.start_angle % 360, one.dxf.end_angle % 360) for one in arcs} == {(5.0, 0.0, 90.0)}


@pytest.mark.parametrize(
    "ink",
    [
        Stroke(EllipseCurve((0.0, 0.0), 3.0, 2.0), Pen.WIDE, closed=True, look="MARK"),
        Stroke((LINE, Line((3.0, 4.0), (6.0, 0.0))), Pen.WIDE, look="CUT_INSIDE"),
        Fill(((0.0, 0.0), (1.0, 0.0), (0.0, 1.0)), look="MARK"),
        Clip((0.0, 0.0, 1.0, 1.0), (Stroke((LINE,), Pen.WIDE),)),
        Area((Stroke((LINE,), Pen.WIDE),), "MARK"),
        Text("A1", (0.0, 0.0), 2.0, turned=True, look="NOTE"),
        Text("A1", (0.0, 0.0), 2.0, Align.MIDDLE, look="NOTE"),
    ],
    ids=lambda ink: type(ink).__name__,
)
def test_what_a_machine_cannot_follow_is_refused(tmp_path: Path, ink: Ink) -> None:
    with pytest.raises(GeometryError, match="a DXF holds lines, arcs, circles and level text; it cannot hold"):
        write_drawing(Drawing((ink,), (0.0, 0.0, 1.0, 1.0)), tmp_path / "a.dxf")  # type: ignore[arg-type]
    assert not (tmp_path / "a.dxf").exists()


def test_the_file_states_its_extents(tmp_path: Path) -> None:
    """100 x 60 about the zero: what a reader zooms to."""
    write_dxf(sample.plain_plate(), tmp_path / "a.dxf")
    header = ezdxf.readfile(tmp_path / "a.dxf").header
    x0, y0, x1, y1 = sample.plain_plate().stock.plan.bounds
    assert (*header["$EXTMIN"], *header["$EXTMAX"]) == (x0, y0, 0.0, x1, y1, 0.0)
