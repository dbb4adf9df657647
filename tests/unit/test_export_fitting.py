"""The fitter's sheet as it reads back: order, numbers in the pictures, torques, seals and the bill of materials."""

from __future__ import annotations

from pathlib import Path

import pytest

from platemaker.checks import assembly_sequence
from platemaker.export import write_fitting_sheet
from platemaker.export._lists._materials import bill_of_materials
from platemaker.export._reading._read_pdf import read_pdf
from platemaker.export._sheet._joint_picture import joint_picture
from platemaker.export._sheet._list_sheet import Column, Head, Table, list_pages
from platemaker.export._sheet._sheet_paper import list_paper
from platemaker.parts import Stack, tightening_sequence
from platemaker.resolved import resolved_stack
from platemaker.views._ink._model import Text
from tests.plates import stack_of

SPEC = """
project: pot
drawing: {number: PE-12}
design: {boost: 0.6 bar, friction: lubricated, preload_share: 0.65}
bodies:
  pot: {material: A356-T6, envelope: {box: [200, 200, 50]}, joints: {top: {thread_depth: 20}}}
joints:
  top:
    title: Lid to pot
    bolts: {pattern: {rectangle: [120, 90], rows: [3, 2]}, thread: M8, length: 30, washers: true, torque: 21 N.m}
    gasket: {thickness: 0.8, land: 4}
parts:
  lid:
    kind: drain_plate
    material: 6061-T6
    thickness: 12
    outline: {rectangle: [160, 130]}
    below: {top: {holes: clear}}
    drain: {at: [0, 0], pipe_thread: 1/4 NPT, side: above}
    marks: {front: {text: FRONT, at: [-70, 0]}}
"""


@pytest.fixture(scope="module")
def pot(tmp_path_factory: pytest.TempPathFactory) -> Stack:
    return stack_of(tmp_path_factory.mktemp("pot"), SPEC)


def test_the_bolts_of_a_picture_are_numbered_from_the_middle_outwards(pot: Stack) -> None:
    """Three by two without an opening: the two in the middle come first, then the four corners; FRONT is at the left."""
    [one] = resolved_stack(pot).joints
    wide, high, ink = joint_picture(pot, one, tightening_sequence(one.joint))
    texts = {one.text: one.at for one in ink if isinstance(one, Text)}
    assert set(texts) == {*"123456", "FRONT"}
    middle = (texts["1"][0] + texts["2"][0]) / 2
    assert texts["1"][0] == pytest.approx(texts["2"][0])
    assert all(abs(texts[word][0] - middle) > 10 for word in "3456")
    assert texts["FRONT"][0] < middle
    assert all(0 < x < wide and 0 < y < high for x, y in texts.values())


def test_the_sheet_says_what_the_fitter_asks(pot: Stack, tmp_path: Path) -> None:
    """21 N.m in passes of 7, 14 and 21; 21 / 1.355818 = 15.5 lbf.ft; at K from 0.15 to 0.20 on 8 mm 13.1 to 17.5 kN."""
    reading = write_fitting_sheet(pot, tmp_path / "fitting.pdf")
    words = " ".join(word for page in reading.pages for word in page.words)
    assert assembly_sequence(pot)[0] == "top"
    assert "1 Lid to pot (top) lid on pot; between them top_gasket" in words
    assert "6 bolts: M8 × 30 mm, socket, 8.8 with washers." in words
    assert "Torque 21.0 N.m (15.5 lbf.ft)" in words
    assert "7.0, 14.0, 21.0 N.m." in words
    assert "nut factor 0.15 to 0.2" in words
    assert "Threads and under heads: lubricated." in words
    assert "Gasket top_gasket, PE-12-top_gasket: paper gasket, 0.8 mm." in words
    assert "licensed or qualified" in words
    assert read_pdf(tmp_path / "fitting.pdf") == reading


def test_the_bill_of_materials_has_all_that_is_bought(pot: Stack) -> None:
    found = {(one.quantity, one.item.split(",")[0]) for one in bill_of_materials(pot)}
    assert found == {
        (6, "bolt M8 × 30 mm"),
        (6, "washer M8"),
        (1, "gasket top_gasket"),
        (1, "fitting or plug"),
        (1, "for taper pipe threads: sealant that stands what flows there"),
        (1, "for threads and under heads"),
    }


def test_what_is_bought_is_counted_for_all_lids_that_are_made(tmp_path: Path) -> None:
    """Two lids, two dowels, one O-ring, one screwed-on plate: 2 x 6 bolts and washers, 2 x 1 of the others, 2 x 2 dowels. M5: 3 + 7.5 (1.5 d)
    is 10.5, so 12 long.

    The fitter puts one together: 6 bolts, one screw.
    """
    text = SPEC.replace(
        "    title: Lid to pot", "    dowels: {at: {a: [60, 0], b: [-60, 0]}, diameter: 5, depth: 8}"
    ).replace(
        "    gasket: {thickness: 0.8, land: 4}", "    opening: {circle: 30}\n    seal: {o_ring: AS568-230, part: lid}"
    )
    text = (
        text.replace("    material: 6061-T6\n", "    material: 6061-T6\n    quantity: 2\n")
        + """\
    holes: {foot: {at: [30, 45], tapped: M5, side: above}}
  tag:
    kind: bracket
    material: S235
    width: 20
    thickness: 3
    legs: [40]
    holes: {foot: {leg: 1, at: [10, 0], clear: M5, over: lid.foot}}
"""
    )
    stack = stack_of(tmp_path, text)
    found = {(one.quantity, one.item.split(",")[0]) for one in bill_of_materials(stack)}
    assert {(12, "bolt M8 × 30 mm"), (12, "washer M8"), (2, "bolt M5 × 12 mm"), (2, "O-ring AS568-230"),
            (4, "dowel ⌀5 mm m6 (ISO 8734)"), (2, "fitting or plug")} <= found  # fmt: skip
    words = " ".join(word for page in write_fitting_sheet(stack, tmp_path / "a.pdf").pages for word in page.words)
    assert "6 bolts: M8" in words
    assert "1× tag.foot M5 × 12 mm" in words
    assert "Counted for all parts that are made, not for one assembly." in words


def test_a_gasket_is_cut_for_each_lid(tmp_path: Path) -> None:
    stack = stack_of(tmp_path, SPEC.replace("    material: 6061-T6\n", "    material: 6061-T6\n    quantity: 3\n"))
    assert stack.part("top_gasket").quantity == 3


def test_rows_of_bosses_are_made_as_often_as_the_spec_says(tmp_path: Path) -> None:
    """Two rows of three bosses are six; a rail that is made once has three injectors, but both rows want their own.

    Each injector has its rings: one by its number, one of a size of its own.
    """
    stack = stack_of(
        tmp_path,
        """
project: rows
joints: {j: {spots: {row: [0, 60, 120]}}}
parts:
  bosses:
    kind: boss_row
    quantity: 2
    joint: j
    material: 6061-T6
    boss: {outside_diameter: 24, length: 40, bore: 14}
    casting: {material: A356-T6, flat: {rectangle: [400, 100]}, thickness: 20, bore: 24}
  rail:
    kind: rail
    material: 6061-T6
    stock: {bar: [26, 32]}
    length: 300
    joint: j
    passage: 11
    cross_bore: {diameter: 8}
    bosses: bosses
    injector: {length: 50, diameter: 16, boss_end: {diameter: 13.7, length: 12, ring_size: [7.5, 3.5]},
               rail_end: {diameter: 13.2, length: 9, o_ring: AS568-203, compound: FKM}}
    standoff: 40
    marks: {front: {text: FRONT}}
""",
    )
    assert (stack.part("bosses").quantity, stack.part("bosses").sets) == (6, 2)
    assert {(6, "injector"), (6, "O-ring 7.5 x 3.5 mm, compound not specified"), (6, "O-ring AS568-203, FKM")} <= {
        (one.quantity, one.item) for one in bill_of_materials(stack)
    }


def test_compounds_that_the_spec_names_are_on_sheet_and_bill(tmp_path: Path) -> None:
    spec = SPEC.replace("preload_share", "compounds: {threads: oil, pipe_threads: paste}, preload_share")
    stack = stack_of(
        tmp_path,
        spec.replace("    gasket:", "    sealant: thin film of grease\n    opening: {circle: 40}\n    gasket:"),
    )
    words = " ".join(word for page in write_fitting_sheet(stack, tmp_path / "a.pdf").pages for word in page.words)
    assert "Threads and under heads: lubricated, oil." in words
    assert "Sealant on the faces: thin film of grease." in words
    assert "Both faces clean and flat within 0.05 mm: lay a straightedge on them first." in words
    assert "as its maker states paste" in words
    items = {one.item for one in bill_of_materials(stack)}
    assert {"for taper pipe threads: paste", "sealant for faces: thin film of grease"} <= items
    assert "for threads and under heads, friction as lubricated: oil" in items


def test_what_is_not_specified_says_so(tmp_path: Path) -> None:
    bare = "\n".join(line for line in SPEC.splitlines() if not line.startswith("design"))
    stack = stack_of(tmp_path, bare.replace(", torque: 21 N.m", ""))
    words = " ".join(word for page in write_fitting_sheet(stack, tmp_path / "a.pdf").pages for word in page.words)
    assert "Torque, lubricant: not specified." in words
    assert "Sealant on the faces: none specified." in words


def test_a_heading_and_its_note_stay_with_the_first_row() -> None:
    """A table that begins at the foot of a sheet goes to the next one whole: heading, note, heads and first row."""
    last = Table("LAST", (Column("B", 1.0),), (("the first of it",),), "A note.")
    for count in range(14, 32):
        fill = Table("FIRST", (Column("A", 1.0),), tuple((f"row {n}",) for n in range(count)))
        pages = list_pages(list_paper("mm"), Head("trial", "TRIAL"), [fill, last])
        [own] = [page for page in pages if any(text.text == "LAST" for text in page.texts)]
        assert {"LAST", "A note.", "B", "the first of it"} <= {text.text for text in own.texts}, count
