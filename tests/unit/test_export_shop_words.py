"""What a machinist reads off the paper and would act on: radii for his cutter, fits, what to buy."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from platemaker.errors import SpecError, SpecErrors
from platemaker.export._lists._materials import bill_of_materials
from platemaker.export._paper import about_of
from platemaker.export._sheet._drawing_sheet import drawing_pages
from platemaker.export._sheet._drawing_words import Numbers, size_words
from platemaker.export._sheet._first_article import Measure, first_article
from platemaker.parts import AsBuilt, AsRead, Stack, as_cut
from tests.plates import lid_of, stack_of

MM = Numbers("mm")
NOTCHED = """
    thickness: 10
    outline: {loop: [[0, 0, 7], [90, 0, 7], [90, 30, 8], [60, 30, 6], [60, 60, 7], [0, 60, 7]]}
    pocket: {shape: {loop: [[10, 10, 5], [80, 10, 5], [80, 22, 5], [50, 22, 3], [50, 50, 5], [10, 50, 4]]}, depth: 4}
"""


def test_inside_radii_are_those_that_a_cutter_has_to_reach(tmp_path: Path) -> None:
    """The outline's one inside corner is the notch's at [60, 30]; in the pocket every corner but that at [50, 22] is."""
    lid = lid_of(tmp_path, NOTCHED).part("lid")
    assert lid.plate is not None
    assert size_words(lid.plate.region, MM, metal=True) == "90 × 60 over all, shape by its table, least inside R6"
    [pocket] = lid.profiles
    assert size_words(pocket.regions[0], MM) == "70 × 40 over all, shape by its table, least inside R4"


def test_an_outline_without_inside_corners_names_no_inside_radius(tmp_path: Path) -> None:
    lid = lid_of(tmp_path, "    thickness: 10\n    outline: {loop: [[0, 0, 5], [50, 0], [50, 40]]}\n").part("lid")
    assert lid.plate is not None
    assert size_words(lid.plate.region, MM, metal=True).endswith("over all, shape by its table")


PINNED = """
project: trial
joints:
  seat:
    bolts: {pattern: {points: {a: [-30, 0], b: [30, 0]}}, thread: M6, length: 25}
    dowels: {at: {left: [-15, 0], right: [15, 0]}, diameter: 5, depth: 6, play: 0.02}
parts:
  lid:
    {kind: plate, material: 6061-T6, thickness: 12, outline: {rectangle: [90, 40]}, below: {seat: {holes: clear}}}
  foot:
    {kind: plate, material: 6061-T6, thickness: 20, outline: {rectangle: [90, 40]}, above: {seat: {holes: tapped}}}
"""


def words_of(stack: Stack, part: str) -> list[str]:
    about = about_of(stack, stack.part(part), None)
    return [text.text for page in drawing_pages(stack.part(part), about) for text in page.texts]


@pytest.mark.parametrize(("part", "bore"), [("foot", 5.0), ("lid", 5.02)])
def test_bores_of_dowels_have_a_fit_on_drawing_and_sheet(tmp_path: Path, part: str, bore: float) -> None:
    """ISO 286-2: H7 over 3 to 6 mm is 0 to +0.012 mm; the general tolerance, +-0.1 mm, would let the dowel fall out."""
    stack = stack_of(tmp_path, PINNED)
    assert f"⌀{bore:g} H7 bored ↧6" in words_of(stack, part)
    rows = {one.id: one for one in first_article(stack.part(part), about_of(stack, stack.part(part), None))}
    assert rows["hole.seat_dowel_left.diameter"].nominal == bore
    assert rows["hole.seat_dowel_left.diameter"].tolerance == (0.0, 0.012)


@pytest.mark.parametrize(
    ("sheets", "longest"),
    [
        ("", "12 mm"),  # 6 mm in either side
        ("    opening: {circle: 6}\n    gasket: {thickness: 0.8, land: 4}\n", "12.8 mm"),
        # 90 mm at 1 degree is 1.571 mm of taper: the shim's thin end is 0.429 mm
        ("    shim: {thickness: 2, taper: [1 deg, 0 deg]}\n", "12.429 mm"),
    ],
)
def test_dowels_are_ordered_with_a_length_that_their_bores_hold(tmp_path: Path, sheets: str, longest: str) -> None:
    stack = stack_of(tmp_path, PINNED.replace("parts:\n", f"{sheets}parts:\n", 1))
    [dowel] = [one for one in bill_of_materials(stack) if one.item.startswith("dowel")]
    assert (dowel.quantity, dowel.item, dowel.where) == (
        2,
        f"dowel ⌀5 mm m6 (ISO 8734), at most {longest} long",
        "seat",
    )


def test_dowels_beyond_the_table_of_their_fit_are_refused(tmp_path: Path) -> None:
    with pytest.raises(SpecError, match=r"joints\.seat\.dowels.*H7 is tabled for diameters up to 120 mm"):
        stack_of(tmp_path, PINNED.replace("diameter: 5", "diameter: 121"))


@pytest.mark.parametrize(
    ("mount", "words"),
    [
        ("{thread_depth: 8}", "`thread_depth` goes with `holes: tapped`; these are clear"),
        ("{holes: counterbored, thread_depth: 8}", "`thread_depth` goes with `holes: tapped`; these are counterbored"),
        ("{holes: tapped, head_clearance: 1}", "`head_clearance` goes with `holes: counterbored`; these are tapped"),
    ],
)
def test_a_size_that_no_hole_of_the_joint_has_is_refused(tmp_path: Path, mount: str, words: str) -> None:
    with pytest.raises(SpecErrors, match=f"parts.lid.below.seat: {words}"):
        stack_of(tmp_path, PINNED.replace("{holes: clear}", mount))


BORED = """
    thickness: 22
    outline: {rectangle: [100, 60]}
    holes: {zero: {at: [-40, -20], diameter: 8}, far: {at: [40, 20], diameter: 8}}
    bores:
      along_x: {at: [-50, 12, 9], towards: [1, 0, 0], diameter: 6, depth: 20}
      along_y: {at: [20, 30, 14], towards: [0, -1, 0], tapped: M6, depth: 10}
      slanted: {at: [5, 0, 22], towards: [-3, 4, -5], diameter: 5, depth: 12}
    slots:
      skew: {at: [-10, -15], slot: [20, 8], turn: -30 deg, depth: 5}
      straight: {at: [20, -20], slot: [20, 8], depth: 5}
    pocket: {shape: {rectangle: [12, 18], corner_radius: 3, at: [25, 2], turn: 20 deg}, depth: 4}
"""
"""The first hole is the datum: places are from (-40, -20)."""


def measures(folder: Path, body: str = BORED) -> dict[str, Measure]:
    stack = lid_of(folder, body)
    return {one.id: one for one in first_article(stack.part("lid"), about_of(stack, stack.part("lid"), None))}


def test_level_bores_are_measured_across_their_axis_and_over_the_underside(tmp_path: Path) -> None:
    """ISO 2768-1 class m: 9 and 14 mm have +-0.2, 32 and 60 mm +-0.3. Along its axis a bore's place is the outline's."""
    found = {
        id_: (one.nominal, one.tolerance) for id_, one in measures(tmp_path).items() if id_.startswith("hole.along_")
    }
    places = {id_: row for id_, row in found.items() if id_.endswith((".x", ".y", ".z"))}
    assert places == {
        "hole.along_x.y": (32.0, (-0.3, 0.3)), "hole.along_x.z": (9.0, (-0.2, 0.2)),
        "hole.along_y.x": (60.0, (-0.3, 0.3)), "hole.along_y.z": (14.0, (-0.2, 0.2)),
    }  # fmt: skip
    assert not [id_ for id_ in found if id_.endswith("angle")], "square to their side"


def test_a_slanted_bore_is_measured_in_the_plan_too(tmp_path: Path) -> None:
    """Towards (-3, 4, -5): 45 degrees to the face; in the plan 180 - atan(4 / 3) = 126.870 degrees from +X."""
    found = measures(tmp_path)
    assert found["hole.slanted.axis.angle"].nominal == pytest.approx(45.0, abs=1e-6)
    assert found["hole.slanted.towards.angle"].nominal == pytest.approx(126.869898, abs=1e-6)
    assert found["hole.slanted.towards.angle"].tolerance == (-0.5, 0.5), "table 3, over 10 to 50 mm"


def test_a_skew_slot_or_pocket_is_measured_along_itself(tmp_path: Path) -> None:
    """Over X and Y alone the slot at -30 degrees reads as one at +30 would."""
    found = {id_: one.nominal for id_, one in measures(tmp_path).items() if one.computed}
    assert [found[f"cut.skew.{word}"] for word in ("length", "width", "turned.angle")] == [20.0, 8.0, 150.0]
    pocket = [found[f"cut.pocket.{word}"] for word in ("length", "width", "turned.angle")]
    assert pocket == pytest.approx([18.0, 12.0, 110.0], abs=1e-5), "corners lie on a grid of 1e-6 mm"
    assert not [id_ for id_ in found if id_.startswith("cut.straight")]
    stack = lid_of(tmp_path, BORED)
    told = " ".join(words_of(stack, "lid"))
    # The box of a slot at -30 degrees: 12 cos 30 + 8 by 12 sin 30 + 8.
    assert "18.39 × 14 over all, 20 × 8 at 150° from +X, shape by its table, least inside R4" in told


def test_round_bar_has_its_first_hole_measured_from_its_end(tmp_path: Path) -> None:
    text = PINNED.partition("joints:")[0] + (
        "joints: {inj: {spots: {row: [-30, 30]}}}\n"
        "parts: {tube: {kind: rail, material: 6061-T6, stock: {round: 20}, length: 100, joint: inj, passage: 10,"
        " cross_bore: {diameter: 8}}}\n"
    )
    stack = stack_of(tmp_path, text)
    found = {one.id: one for one in first_article(stack.part("tube"), about_of(stack, stack.part("tube"), None))}
    assert (found["outline.left.x"].nominal, found["outline.left.x"].tolerance) == (-20.0, (-0.2, 0.2))


def test_a_level_bore_and_a_direction_that_were_read_are_cut_so(tmp_path: Path) -> None:
    stack = lid_of(tmp_path, BORED)
    rows = {"hole.along_x.z": 9.4, "hole.along_x.y": 31.5, "hole.slanted.towards.angle": 90.0}
    sheet = AsBuilt(
        "sheet", "lid", (-40.0, -20.0), tuple(AsRead(id_, id_, 1.0, None, read) for id_, read in rows.items())
    )
    made, lost = as_cut(stack, sheet)
    holes = {hole.name: hole for hole in made.part("lid").holes}
    assert lost == ()
    assert holes["along_x"].at == (-50.0, 11.5, 9.4)
    assert holes["slanted"].direction == pytest.approx((0.0, 0.5**0.5, -(0.5**0.5)))


SEALED = """
project: trial
units: in
joints:
  seat: {bolts: {pattern: {row: [-1.5, 1.5]}, thread: 1/4-20}, opening: {circle: 0.75}, gasket: {thickness: 0.03, land: 0.1}}
  top: {bolts: {pattern: {row: [-1.5, 1.5], turn: 90 deg}, thread: 1/4-20}, opening: {circle: 0.75}, seal: {o_ring: AS568-214}}
parts:
  lid:
    kind: plate
    material: 6061-T6
    thickness: 0.75
    outline: {rectangle: [4, 4]}
    below: {seat: {holes: clear}}
    above: {top: {holes: tapped, thread_depth: 0.4}}
    opening: {match: seat}
    holes: {coil: {at: [1.5, 1.5], insert: "#10-32", depth: 0.4}}
    marks: {front: {text: "front 2", at: [-1.5, -1.5], height: 0.12}, o: {text: Rear, at: [1, -1.5], height: 0.12, letters: outlines}}
"""


def test_an_inch_drawing_has_no_roughness_in_micrometres(tmp_path: Path) -> None:
    """3.2 um are 126 uin, 1.6 um 63: the series has 125 and 63."""
    stack = stack_of(tmp_path, SEALED)
    told = " ".join(words_of(stack, "lid"))
    assert "Ra 125 µin or finer, under the gasket of seat" in told
    assert "floor and walls Ra 63 µin or finer" in told
    assert "µm" not in told
    rows = {one.id: one.what for one in first_article(stack.part("lid"), about_of(stack, stack.part("lid"), None))}
    assert rows["face.below.seat.roughness"] == "lower face: Ra 125 µin or finer"


def test_threads_for_inserts_are_not_those_of_screws(tmp_path: Path) -> None:
    told = " ".join(words_of(stack_of(tmp_path, SEALED), "lid"))
    assert "Threads STI, for wire inserts: ASME B18.29.1, with its gauges." in told
    assert "Threads UNC and UNF: class 2B (ASME B1.1)." in told, "those of the joint"
    alone = " ".join(words_of(lid_of(tmp_path, PLAIN_INSERT), "lid"))
    assert "Threads STI, for wire inserts: ASME B18.29.2M, with its gauges." in alone
    assert "ISO 965-1" not in alone


PLAIN_INSERT = (
    "    thickness: 20\n    outline: {rectangle: [60, 40]}\n    holes: {coil: {at: [0, 0], insert: M6, depth: 12}}\n"
)


def test_a_mark_reads_on_paper_as_it_stands_on_the_part(tmp_path: Path) -> None:
    """Single strokes have capitals alone; outlines of letters have small ones."""
    told = " ".join(words_of(stack_of(tmp_path, SEALED), "lid"))
    assert "MARK of the DXF: FRONT 2." in told
    assert "MARK of the DXF: Rear." in told


DRAIN = """
project: trial
parts:
  dr: {kind: drain_plate, material: A36, thickness: THICK, outline: {rectangle: [80, 60]}, drain: {at: [0, 0], DRAIN}}
"""


def test_a_bore_behind_a_port_begins_where_its_tap_drill_ends(tmp_path: Path) -> None:
    """SAE J1926-1, -6: drilled 0.609 in = 15.469 mm deep, 0.500 in of it full thread: the tap has room."""
    stack = stack_of(tmp_path, DRAIN.replace("THICK", "25").replace("DRAIN", 'port: "-6", bore: 8'))
    [drain] = stack.part("dr").holes
    assert [(step.diameter, step.end) for step in drain.steps[1:]] == [
        (pytest.approx(0.5156 * 25.4), pytest.approx(0.609 * 25.4)), (8.0, 25.0),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("thick", "drain", "words"),
    [
        ("25", "pipe_thread: 1/2 NPT, bore: 12", "a pipe thread goes right through"),
        ("15", 'port: "-6", bore: 8', "no plain bore is left behind it; allowed: material thicker than 15.4686 mm"),
    ],
)
def test_a_drains_bore_that_would_not_be_made_is_refused(tmp_path: Path, thick: str, drain: str, words: str) -> None:
    with pytest.raises((SpecError, SpecErrors), match=words):
        stack_of(tmp_path, DRAIN.replace("THICK", thick).replace("DRAIN", drain))


def test_figures_of_one_cut_are_numbered_as_their_tables_are(tmp_path: Path) -> None:
    body = (
        "    thickness: 15\n    outline: {rectangle: [120, 50]}\n    holes: {mid: {at: [0, 0], diameter: 30}}\n"
        "    pocket: {open_out: true, wall: 8, land: 5, cutter: 8, depth: 4}\n"
    )
    stack = lid_of(tmp_path, body)
    assert len(stack.part("lid").profiles[0].regions) == 2
    told = words_of(stack, "lid")
    assert {"pocket (1)", "pocket (2)"} <= set(told)
    assert {"SHAPE OF pocket (1), mm", "SHAPE OF pocket (2), mm"} <= set(told)


def test_a_drains_port_needs_no_quotes(tmp_path: Path) -> None:
    """As a hole's does not: YAML reads -8 as a number."""
    text = DRAIN.replace("THICK", "25")
    bare, quoted = (stack_of(tmp_path, text.replace("DRAIN", f"port: {port}")) for port in ("-8", '"-8"'))
    assert bare.part("dr").holes[0].steps == quoted.part("dr").holes[0].steps


def test_inch_dowels_are_not_ordered_by_a_metric_standard(tmp_path: Path) -> None:
    """The same pins of 5 mm in a project in inches: 5 / 25.4 is 0.1969."""
    text = PINNED.replace("project: trial\n", "project: trial\nunits: in\n")
    for old in ("[-30, 0], b: [30, 0]", "[-15, 0], right: [15, 0]", "[90, 40]"):
        text = text.replace(old, re.sub(r"(\d+)", lambda found: f"{found[0]} mm" if found[0] != "0" else "0", old))
    for old in ("length: 25", "diameter: 5", "depth: 6", "play: 0.02", "thickness: 12", "thickness: 20"):
        text = text.replace(old, f"{old} mm")
    [dowel] = [one for one in bill_of_materials(stack_of(tmp_path, text)) if one.item.startswith("dowel")]
    assert dowel.item.startswith("dowel ⌀0.1969 in m6, at most")
