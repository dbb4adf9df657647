"""Nesting: nothing overlaps or leaves its sheet, nothing is lost, and files read back."""

from __future__ import annotations

import random
from itertools import combinations
from pathlib import Path

import ezdxf
import pytest

from platemaker.catalog import material
from platemaker.errors import ProofError, SpecError
from platemaker.export import OutputFolder, read_dxf
from platemaker.export._flat._drawing import drawing_of
from platemaker.export._flat._dxf import write_drawing
from platemaker.export._names import MARK
from platemaker.export._nest import (
    GAP,
    NestedCopy,
    NestedSheet,
    Nesting,
    nested,
    prove_sheet,
    sheet_drawing,
    sheet_name,
    sheet_size,
    write_nests,
)
from platemaker.parts import Mark, Part
from platemaker.plane import Box, Circle, Loop, Region
from platemaker.records import replace
from platemaker.views import Stroke, Text, overlap
from tests import sample_parts as sample


def box_of(spot: NestedCopy) -> Box:
    x0, y0, x1, y1 = drawing_of(spot.part).bounds
    wide, high = (y1 - y0, x1 - x0) if spot.turned else (x1 - x0, y1 - y0)
    return spot.x, spot.y, spot.x + wide, spot.y + high


def apart(a: Box, b: Box) -> float:
    """How far two boxes stand apart along the axis in which they do most."""
    return max(a[0] - b[2], b[0] - a[2], a[1] - b[3], b[1] - a[3])


def check(sheet: NestedSheet) -> None:
    """Every part lies a gap inside the sheet and a gap from every other; a micrometre is the packing's grid."""
    boxes = [box_of(spot) for spot in sheet.spots]
    for x0, y0, x1, y1 in boxes:
        assert min(x0, y0, sheet.width - x1, sheet.height - y1) >= GAP - 1e-3
    for a, b in combinations(boxes, 2):
        assert apart(a, b) >= GAP - 1e-3


def parts_of(nesting: Nesting) -> list[tuple[str, int]]:
    return sorted((spot.part.name, spot.copy) for sheet in nesting.sheets for spot in sheet.spots)


def test_parts_of_a_kind_share_sheets_and_others_do_not() -> None:
    plates = [replace(sample.one_hole(), quantity=3), sample.plain_plate()]
    thin, steel = sample.slotted(), replace(sample.plain_plate(), name="steel", material=material("A36"))
    nesting = nested([*plates, thin, steel], 300, 200)
    kinds = [(sheet.material, sheet.thickness, len(sheet.spots)) for sheet in nesting.sheets]
    assert kinds == [("6061-T6", 6.0, 1), ("6061-T6", 10.0, 4), ("A36", 10.0, 1)]
    assert parts_of(nesting) == [
        ("one_hole", 1),
        ("one_hole", 2),
        ("one_hole", 3),
        ("plain_plate", 1),
        ("slotted", 1),
        ("steel", 1),
    ]
    for sheet in nesting.sheets:
        check(sheet)


def test_what_does_not_fit_is_told_and_what_is_no_sheet_part_too() -> None:
    nesting = nested([sample.plain_plate(), sample.turned_boss(), sample.drilled_casting()], 90, 90)
    assert nesting.sheets == ()
    assert nesting.left_out == (
        ("plain_plate", "100.000 x 60.000 mm with a gap of 6 mm round it is larger than the sheet"),
        ("turned_boss", "a boss is not cut from sheet"),
    )


def test_a_part_that_just_fits_turned_is_turned() -> None:
    """100 x 60 with a gap all round takes 112 x 72."""
    [sheet] = nested([sample.plain_plate()], 72, 112).sheets
    assert sheet.spots[0].turned
    check(sheet)
    assert nested([sample.plain_plate()], 71.99, 112).sheets == ()


def test_more_than_a_sheet_holds_goes_to_further_sheets() -> None:
    nesting = nested([replace(sample.plain_plate(), quantity=5)], 230, 80)
    assert [(sheet.number, len(sheet.spots)) for sheet in nesting.sheets] == [(1, 2), (2, 2), (3, 1)]
    assert sheet_name(nesting.sheets[0]) == "sheet_6061-T6_10-0_1"


@pytest.mark.parametrize("seed", range(12))
def test_random_parts_keep_their_distance(seed: int) -> None:
    dice = random.Random(seed)
    parts = [
        replace(
            sample.plate(f"p{number}", Loop.rectangle(dice.uniform(10, 150), dice.uniform(10, 150)), 6),
            quantity=dice.randint(1, 3),
        )
        for number in range(20)
    ]
    nesting = nested(parts, 400, 300)
    assert nesting.left_out == ()
    assert parts_of(nesting) == sorted((part.name, copy) for part in parts for copy in range(1, part.quantity + 1))
    for sheet in nesting.sheets:
        check(sheet)


def chiral() -> Part:
    return sample.chiral_ell()


@pytest.mark.parametrize(("size", "turned"), [((100.0, 80.0), False), ((80.0, 100.0), True)])
def test_a_chiral_part_is_never_mirrored(size: tuple[float, float], turned: bool, tmp_path: Path) -> None:
    """The L's hole stands at (60, 10) of its 80 x 60; turned by 90 degrees to the left it stands at (60 - 10, 60)."""
    [sheet] = nested([chiral()], *size).sheets
    assert sheet.spots[0].turned is turned
    write_drawing(sheet_drawing(sheet), tmp_path / "s.dxf")
    prove_sheet(sheet, tmp_path / "s.dxf")
    [(x, y, diameter)] = read_dxf(tmp_path / "s.dxf").circles
    assert (x - GAP, y - GAP) == (pytest.approx(50.0), pytest.approx(60.0)) if turned else (60.0, 10.0)
    assert diameter == 9.0


def test_names_stand_on_the_note_layer_alone(tmp_path: Path) -> None:
    part = replace(sample.one_hole(), quantity=2)
    with OutputFolder(tmp_path / "out") as folder:
        write_nests(nested([part], 300, 200), folder)
    document = ezdxf.readfile(tmp_path / "out" / "sheet_6061-T6_10-0_1.dxf")
    texts = [entity for entity in document.modelspace() if entity.dxftype() == "TEXT"]
    on_sheet = [entity for entity in texts if entity.dxf.insert.y > 0]
    assert sorted(entity.dxf.text for entity in on_sheet) == ["one_hole 1", "one_hole 2"]
    below = " ".join(entity.dxf.text for entity in texts if entity.dxf.insert.y < 0)
    assert "waterjet or laser: cut through all CUT layers" in below
    assert {entity.dxf.layer for entity in texts} == {"NOTE"}
    layers = {entity.dxf.layer for entity in document.modelspace()}
    assert layers == {"NOTE", "STOCK_OUTLINE", "CUT_OUTLINE", "CUT_INSIDE"}


def test_a_sheet_that_lacks_a_hole_fails_its_proof(tmp_path: Path) -> None:
    [sheet] = nested([sample.one_hole()], 300, 200).sheets
    bare = replace(sheet, spots=(replace(sheet.spots[0], part=replace(sample.one_hole(), cuts=())),))
    write_drawing(sheet_drawing(bare), tmp_path / "s.dxf")
    with pytest.raises(ProofError, match=r"s\.dxf does not read back as it was nested: 0 circles, .* instead of 1"):
        prove_sheet(sheet, tmp_path / "s.dxf")


def test_sizes_of_sheets() -> None:
    assert sheet_size("600x300", "mm") == (600.0, 300.0)
    assert sheet_size("24 X 12", "in") == (pytest.approx(609.6), pytest.approx(304.8))
    for wrong in ("600", "600x", "axb", "1x2x3", ""):
        with pytest.raises(SpecError, match="a sheet is two lengths with an x between them, such as 600x300"):
            sheet_size(wrong, "mm")
    with pytest.raises(SpecError, match="a sheet of this size cannot be nested, met '12x300'; allowed: sides over 12"):
        sheet_size("12x300", "mm")


def test_an_outline_with_no_straight_side_is_nested_by_its_box() -> None:
    disc = sample.plate("disc", Loop.circle((5.0, 7.0), 30.0), 6)
    assert Region.of(Loop.circle((5.0, 7.0), 30.0)).bounds == (-25.0, -23.0, 35.0, 37.0)
    [sheet] = nested([replace(disc, quantity=4)], 150, 150).sheets
    assert len(sheet.spots) == 4
    check(sheet)


def test_a_name_crosses_no_edge_of_its_part() -> None:
    """A hole where the name would stand: 0.8 of the height is what a letter takes (the drawing's own calculation)."""
    holes = (sample.drilled("a", (-40, -24), 9, 10), sample.drilled("b", (-10, -24), 9, 10))
    part = sample.plate("cover", Loop.rectangle(100, 60), 10, *holes)
    [sheet] = nested([part], 300, 200).sheets
    drawing = sheet_drawing(sheet)
    [name] = [one for one in drawing.ink if isinstance(one, Text) and one.at[1] > 0]
    box = (name.at[0], name.at[1], name.at[0] + 0.8 * name.size * len("cover"), name.at[1] + name.size)
    circles = [drawn.bounds for drawn in drawing.strokes if isinstance(drawn.run, Circle)]
    assert len(circles) == 2
    assert not any(overlap(box, circle) for circle in circles)
    assert GAP < box[0] < box[2] < GAP + 100
    assert GAP < box[1] < box[3] < GAP + 60


def test_a_sheet_has_nothing_that_is_not_cut_through(tmp_path: Path) -> None:
    """A waterjet cuts whatever it finds: blind holes, counterbores and threads are not there; a note names the rest."""
    part = sample.plate(
        "lid", Loop.rectangle(100, 60), 25.4,
        sample.counterbored("c", (-30, 0), 15, 8.6, 9, 25.4), sample.tapped_blind("t", (30, 0), 25.4),
    )  # fmt: skip
    with OutputFolder(tmp_path / "out") as folder:
        write_nests(nested([part], 300, 200), folder)
    file = tmp_path / "out" / "sheet_6061-T6_25-4_1.dxf"
    document = ezdxf.readfile(file)
    assert [round(2 * one.dxf.radius, 6) for one in document.modelspace().query("CIRCLE")] == [9.0]
    notes = [one.dxf.text for one in document.modelspace().query("TEXT")]
    assert "not in this file, drilled afterwards by the hole table: t" in notes
    assert (*document.header["$EXTMIN"][:2], *document.header["$EXTMAX"][:2]) == (0.0, 0.0, 300.0, 200.0)


def test_a_mark_off_its_part_is_on_no_neighbour() -> None:
    """Two plates 100 x 60 with a gap of 6: letters 80 to the right of the middle lie 30 off the edge, on the other one."""
    plate = sample.plate("cover", Loop.rectangle(100, 60), 10)
    marks = [Mark("m", "IO", (at, 0.0, 10.0), 5.0) for at in (-10.0, 80.0)]
    on, off = (replace(plate, marks=(mark,), quantity=2) for mark in marks)
    assert len(strokes_of_marks(on)) > 0
    assert strokes_of_marks(off) == []


def strokes_of_marks(part: Part) -> list[Stroke]:
    [sheet] = nested([part], 300, 200).sheets
    return [drawn for drawn in sheet_drawing(sheet).strokes if drawn.look == MARK]
