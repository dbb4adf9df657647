"""What the kernel and the DXF library were seen to do wrong or oddly, with the versions this project pins.

Each test holds a behaviour that our own code steers round. When an upgrade changes one, the test fails and the
detour may be lifted. cadquery 2.8, OCCT 7.9, ezdxf 1.4.
"""

from __future__ import annotations

import io
import math
from pathlib import Path

import pytest

from tests.package_tree import PACKAGE

pytestmark = pytest.mark.kernel

cq = pytest.importorskip("cadquery")
FONT = str(next((PACKAGE / "views" / "data" / "fonts").glob("*.ttf")))
"""The project's own: a bare machine has none."""


def plate(*holes: tuple[float, float, float], size: tuple[float, float, float] = (40, 20, 3)) -> object:
    """A plate drawn with its holes (x, y, diameter) as inner wires."""
    width, height, thick = size
    x, y = width / 2, height / 2
    outer = cq.Wire.makePolygon([cq.Vector(*p) for p in ((-x, -y), (x, -y), (x, y), (-x, y))], close=True)
    inner = [cq.Wire.makeCircle(d / 2, cq.Vector(a, b, 0), cq.Vector(0, 0, 1)) for a, b, d in holes]
    return cq.Solid.extrudeLinear(outer, inner, cq.Vector(0, 0, thick))


def box() -> object:
    return cq.Workplane().box(40, 20, 3)


def test_holes_that_overlap_as_inner_wires_are_invalid_without_an_error() -> None:
    solid = plate((-2, 0, 8), (2, 0, 8))
    lens = 2 * 16 * math.acos(0.5) - 2 * math.sqrt(12) * 2
    right = (800 - 2 * math.pi * 16 + lens) * 3
    assert not solid.isValid()
    assert solid.Volume() == pytest.approx((800 - 2 * math.pi * 16) * 3)
    assert solid.Volume() < right - 50


def test_a_hole_across_the_edge_as_an_inner_wire_takes_the_whole_circle() -> None:
    solid = plate((20, 0, 8))
    assert solid.Volume() == pytest.approx((800 - math.pi * 16) * 3)
    assert box().faces(">Z").workplane().center(20, 0).hole(8).val().Volume() == pytest.approx((800 - math.pi * 8) * 3)


def test_a_hole_off_the_plate_changes_nothing_and_says_nothing() -> None:
    solid = box().faces(">Z").workplane().center(100, 0).hole(8).val()
    assert solid.isValid()
    assert solid.Volume() == pytest.approx(40 * 20 * 3)


def test_a_hole_tangent_to_the_edge_is_valid_with_no_wall() -> None:
    solid = box().faces(">Z").workplane().center(16, 0).hole(8).val()
    assert solid.isValid()
    assert len(solid.Solids()) == 1
    assert solid.Volume() == pytest.approx((800 - math.pi * 16) * 3)


def test_a_cut_that_splits_the_plate_gives_a_valid_compound() -> None:
    halves = box().val().cut(cq.Solid.makeBox(2, 30, 10, cq.Vector(-1, -15, -5)))
    assert halves.ShapeType() == "Compound"
    assert halves.isValid()
    assert len(halves.Solids()) == 2


def test_a_fillet_of_half_the_width_fails_with_words_that_say_nothing() -> None:
    for radius in (10.0, 25.0):
        with pytest.raises(Exception, match="command not done"):
            box().edges("|Z").fillet(radius)


def test_a_chamfer_wider_than_the_corner_radius_is_invalid_without_an_error() -> None:
    rounded = box().edges("|Z").fillet(2)
    with pytest.raises(Exception, match="command not done"):
        rounded.faces(">Z").edges().chamfer(2.0)
    wide = rounded.faces(">Z").edges().chamfer(2.5).val()
    assert not wide.isValid()


def test_a_slot_as_long_as_wide_fails_and_a_shorter_one_is_invalid() -> None:
    with pytest.raises(Exception, match="command not done"):
        cq.Workplane().slot2D(8, 8).extrude(3)
    short = cq.Workplane().slot2D(6, 8).extrude(3).val()
    assert not short.isValid()


def test_counterbores_and_countersinks_deeper_than_the_plate_pass() -> None:
    bored = box().faces(">Z").workplane().cboreHole(4, 8, 5).val()
    assert bored.isValid()
    assert bored.Volume() == pytest.approx((800 - math.pi * 16) * 3)
    sunk = box().faces(">Z").workplane().cskHole(4, 12, 90).val()
    back = [edge.radius() for edge in cq.Workplane(sunk).faces("<Z").edges("%CIRCLE").vals()]
    assert back == [pytest.approx(3.0)]


def test_a_distance_of_nothing_may_mean_touching_overlapping_or_inside() -> None:
    big = cq.Solid.makeBox(10, 10, 10)
    touching = cq.Solid.makeBox(10, 10, 10, cq.Vector(10, 0, 0))
    crossing = cq.Solid.makeBox(10, 10, 10, cq.Vector(5, 5, 5))
    inside = cq.Solid.makeBox(2, 2, 2, cq.Vector(4, 4, 4))
    assert [big.distance(other) for other in (touching, crossing, inside)] == pytest.approx([0, 0, 0], abs=1e-12)


def test_a_new_dxf_declares_metres_and_r12_no_unit() -> None:
    import ezdxf

    assert ezdxf.new().header["$INSUNITS"] == 6
    old = ezdxf.new("R12")
    with pytest.raises(ezdxf.DXFVersionError, match="LWPOLYLINE requires DXF R2000"):
        old.modelspace().add_lwpolyline([(0, 0), (1, 0)])
    old.units = 4
    written = io.StringIO()
    old.write(written)
    assert "$INSUNITS" not in written.getvalue()


def test_a_layer_name_may_not_hold_a_slash() -> None:
    import ezdxf

    with pytest.raises(Exception, match=r"[Ii]nvalid"):
        ezdxf.new().layers.add("3/8-16")


def test_a_rounded_plate_is_exported_as_loose_lines_and_arcs(tmp_path: Path) -> None:
    import ezdxf

    face = box().edges("|Z").fillet(3).faces(">Z")
    cq.exporters.export(face, str(tmp_path / "face.dxf"))
    kinds = sorted(entity.dxftype() for entity in ezdxf.readfile(tmp_path / "face.dxf").modelspace())
    assert kinds == ["ARC"] * 4 + ["LINE"] * 4


def test_a_hole_seen_from_the_bottom_face_is_mirrored(tmp_path: Path) -> None:
    import ezdxf

    bored = box().faces(">Z").workplane().center(10, 5).hole(4)
    face = bored.faces("<Z")
    from_below = face.workplane(centerOption="CenterOfBoundBox").add(face.vals())
    cq.exporters.exportDXF(from_below, str(tmp_path / "below.dxf"))
    circles = ezdxf.readfile(tmp_path / "below.dxf").modelspace().query("CIRCLE")
    assert [circle.dxf.center.round(6) for circle in circles] == [(10, -5, 0)]


def test_a_solid_exported_as_dxf_draws_every_edge_twice(tmp_path: Path) -> None:
    import ezdxf

    cq.exporters.export(box(), str(tmp_path / "box.dxf"))
    assert len(ezdxf.readfile(tmp_path / "box.dxf").modelspace()) == 24


def test_letters_are_exported_as_splines(tmp_path: Path) -> None:
    import ezdxf

    letters = cq.Workplane().text("B8O", 10, 1, fontPath=FONT)
    cq.exporters.export(letters.faces("<Z"), str(tmp_path / "letters.dxf"))
    kinds = {entity.dxftype() for entity in ezdxf.readfile(tmp_path / "letters.dxf").modelspace()}
    assert "SPLINE" in kinds


def test_letters_cut_through_drop_their_islands() -> None:
    cut = cq.Workplane().box(40, 20, 3).faces(">Z").workplane().text("B8O", 10, -5, fontPath=FONT)
    assert len(cut.val().Solids()) == 6


def test_a_plain_step_export_is_named_by_a_counter(tmp_path: Path) -> None:
    names = []
    for number in (1, 2):
        box().val().exportStep(str(tmp_path / f"{number}.step"))
        text = (tmp_path / f"{number}.step").read_text()
        names.append(text[text.index("PRODUCT('") :].split("'")[1])
    assert all("STEP translator" in name for name in names)
    assert names[0] != names[1]


def test_a_name_beyond_ascii_does_not_survive_its_step_file(tmp_path: Path) -> None:
    whole = cq.Assembly(name="träger")
    whole.add(box().val(), name="träger_1")
    whole.export(str(tmp_path / "name.step"))
    assert cq.Assembly.importStep(str(tmp_path / "name.step")).name != "träger"


def test_a_colour_on_a_root_without_a_shape_is_not_written(tmp_path: Path) -> None:
    whole = cq.Assembly(name="whole", color=cq.Color(1, 0, 0))
    whole.add(box().val(), name="one")
    whole.export(str(tmp_path / "colour.step"))
    assert "COLOUR_RGB" not in (tmp_path / "colour.step").read_text()


def test_metres_in_the_file_come_back_as_millimetres(tmp_path: Path) -> None:
    whole = cq.Assembly(name="whole").add(cq.Solid.makeBox(1, 1, 1), name="one")
    whole.export(str(tmp_path / "metre.step"), unit="M")
    assert cq.importers.importStep(str(tmp_path / "metre.step")).val().BoundingBox().xlen == pytest.approx(1000)
    # The unit is a switch of the whole process: put it back.
    whole.export(str(tmp_path / "millimetre.step"), unit="MM")
    assert cq.importers.importStep(str(tmp_path / "millimetre.step")).val().BoundingBox().xlen == pytest.approx(1)
