"""What stands beside the views of a drawing: positions, bends, ordinates that find no room, tags clear of planes."""

from __future__ import annotations

import math
from itertools import pairwise
from pathlib import Path
from xml.etree import ElementTree

import pytest

from platemaker.export._paper import about_of
from platemaker.export._sheet._drawing_datums import datums_of, frames_of
from platemaker.export._sheet._drawing_sheet import drawing_pages
from platemaker.export._sheet._drawing_title import About
from platemaker.export._sheet._drawing_words import Numbers
from platemaker.export._sheet._sheet_paper import Projection
from platemaker.export._sheet._template import template_pages, tiling_of
from platemaker.export._sheet._tiles import LAP
from platemaker.parts import Mark, Side, Stack, flat_pattern, position_zones
from platemaker.plane import Box, Circle, Loop
from platemaker.records import replace
from platemaker.resolved import assemble
from platemaker.spec import load_project
from platemaker.views import hole_tags, kind_of, overlap
from platemaker.views._ink._lettering import COUNTERBORE, LEAST, width_of
from platemaker.views._ink._model import Clip, Fill, Ink, Page, Pen, Stroke, Text, View, finely, path
from platemaker.views._ink._paper_svg import svg_of
from tests import sample_parts as sample
from tests.package_tree import ROOT
from tests.plates import stack_of
from tests.sheet_boxes import collisions, strays

ABOUT = About("trial", "mm", "0123abcd", Projection.FIRST_ANGLE, 1000.0, "2026-01-31", "Checks: none fails, no caution")


def words(pages: tuple[Page, ...]) -> list[str]:
    return [text.text for page in pages for text in page.texts]


PAIR = """
project: trial
joints:
  seat:
    bolts: {pattern: {points: {a: [-30, 0], b: [30, 0]}}, thread: M6, length: 25}
    dowels: {at: {left: [-15, 0], right: [15, 0]}, diameter: 5, depth: 6, position: 0.05}
  far:
    bolts: {pattern: {points: {c: [0, 20], d: [0, -20]}}, thread: M6, length: 25}
parts:
  lid:
    kind: plate
    material: 6061-T6
    thickness: 12
    outline: {rectangle: [90, 70], corner_radius: 4}
    below:
      seat: {holes: clear, position: 0.2}
      far: {holes: clear, position: 0.4}
    holes:
      vent: {at: [38, 28], clear: M6}
  foot:
    kind: plate
    material: 6061-T6
    thickness: 20
    outline: {rectangle: [90, 70], corner_radius: 4}
    above:
      seat: {holes: tapped, thread_depth: 12, position: 0.1}
      far: {holes: tapped, thread_depth: 12}
"""


@pytest.fixture
def pair(tmp_path: Path) -> Stack:
    return stack_of(tmp_path, PAIR)


def test_positions_are_the_sides_own(pair: Stack) -> None:
    lid, foot = pair.part("lid"), pair.part("foot")
    assert position_zones(pair.joints, lid) == {
        "seat_a": 0.2, "seat_b": 0.2, "far_c": 0.4, "far_d": 0.4, "seat_dowel_left": 0.05, "seat_dowel_right": 0.05,
    }  # fmt: skip
    assert position_zones(pair.joints, foot) == {
        "seat_a": 0.1, "seat_b": 0.1, "seat_dowel_left": 0.05, "seat_dowel_right": 0.05,
    }  # fmt: skip


def test_a_zone_of_some_holes_of_a_kind_names_their_tags(pair: Stack) -> None:
    """All clear M6 holes are one kind, 6.6 mm through; their joints ask for different zones, the vent for none."""
    part = pair.part("lid")
    stated = words(drawing_pages(part, about_of(pair, part, 1000.0)))
    kinds = [hole.name for hole in part.holes if not hole.name.startswith("seat_dowel")]
    assert kinds == ["seat_a", "seat_b", "far_c", "far_d", "vent"]
    assert {"A1", "A2", "A3, A4", "⌀0.2", "⌀0.4", "⌀0.05"} <= set(stated)
    assert any(line.startswith("⌖ each axis within a cylinder") for line in stated)


def test_frames_name_the_datums_that_stand_before_their_holes(pair: Stack) -> None:
    """ISO 1101: the datum hole has no place from itself, the one that gives the direction none from itself either.

    D is the underside, E the hole A1, F the other hole of its joint, not the vent, which is farther.
    """
    part = pair.part("lid")
    tags, zones = hole_tags(part), position_zones(pair.joints, part)
    datums = datums_of(part)
    assert [(one.letter, one.hole) for one in datums.features] == [("D", ""), ("E", "seat_a"), ("F", "seat_b")]
    plain = [hole for hole in part.holes if kind_of(tags[hole.name]) == "A"]
    assert list(frames_of(plain, tags, zones, datums, Numbers("mm"))) == [
        (("⟂", "⌀0.2", "D"), "A1"),
        (("⌖", "⌀0.2", "D", "E"), "A2"),
        (("⌖", "⌀0.4", "D", "E", "F"), "A3, A4"),
    ]
    # In the table each cell is a box of its own height, the first left of the second, and its text stands inside.
    [page] = drawing_pages(part, about_of(pair, part, 1000.0))
    boxes = [box_of(one) for one in page.ink if isinstance(one, Stroke) and one.closed and one.pen is Pen.NARROW]
    cells = [text for text in page.texts if text.text == "⌀0.4"]
    [at] = [
        box
        for box in boxes
        if box[0] < cells[0].box[0] and cells[0].box[2] < box[2] and box[1] < cells[0].at[1] < box[3]
    ]
    row = sorted(box for box in boxes if box[1] == pytest.approx(at[1]) and box[3] == pytest.approx(at[3]))
    assert len(row) == 5
    assert all(left[2] == pytest.approx(right[0]) for left, right in pairwise(row))
    assert {text.text for text in page.texts if at[1] < text.at[1] < at[3] and text.at[0] > row[0][0]} == {
        "⌖", "⌀0.4", "D", "E", "F", "A3, A4",
    }  # fmt: skip


def box_of(stroke: Stroke) -> Box:
    points = [edge.start for edge in stroke.run]  # type: ignore[union-attr]
    return min(x for x, _ in points), min(y for _, y in points), max(x for x, _ in points), max(y for _, y in points)


def test_datum_triangles_stand_on_what_they_name(pair: Stack) -> None:
    """The middle of a triangle's base: 3.3 mm from the axis of a hole of 6.6 at 1:1, and on the level of the underside."""
    part = pair.part("lid")
    [page] = drawing_pages(part, replace(about_of(pair, part, 1000.0), paper="A3"))
    assert "1:1" in words((page,))
    fills = [one.points for one in page.ink if isinstance(one, Fill) and len(one.points) == 3]
    round_ = [one.run for one in page.ink if isinstance(one, Stroke) and isinstance(one.run, Circle)]
    bases = [((a[0] + b[0]) / 2, (a[1] + b[1]) / 2) for a, b, _ in fills if math.dist(a, b) > 2.5]
    bores = [one.centre for one in round_ if one.radius == pytest.approx(3.3)]
    on_bores = [base for base in bases if any(math.dist(base, at) == pytest.approx(3.3) for at in bores)]
    blank = next(
        box_of(one) for one in page.ink if isinstance(one, Stroke) and one.closed and is_blank(one, 90.0, 12.0)
    )
    on_face = [base for base in bases if base[1] == pytest.approx(blank[1]) and base[0] < blank[0]]
    assert (len(on_bores), len(on_face)) == (2, 1)


def is_blank(stroke: Stroke, wide: float, high: float) -> bool:
    if isinstance(stroke.run, Circle):
        return False
    x0, y0, x1, y1 = box_of(stroke)
    return (x1 - x0, y1 - y0) == pytest.approx((wide, high))


def test_datums_of_parts_without_holes_and_of_those_that_take_none() -> None:
    """Edges stand in for holes, the longer one first: the plate is 100 x 60. A gasket and a bent strip have no datums."""
    assert [one.words for one in datums_of(sample.plain_plate()).features[1:]] == ["the lower edge", "the left edge"]
    assert [one.hole for one in datums_of(sample.one_hole()).features] == ["", "h1", ""]
    assert datums_of(sample.drilled_casting()).side is Side.ABOVE
    for part in (sample.sheet_gasket(), sample.bent_bracket(), sample.cross_bored_rail()):
        assert datums_of(part).letters == ()


def test_no_zone_no_sign() -> None:
    part = sample.counterbore_and_pocket()
    assert not any("⌖" in line for line in words(drawing_pages(part, ABOUT)))


def test_bends_have_their_place_angle_and_way() -> None:
    stack = assemble(load_project(Path(ROOT) / "part_specs" / "pump_engine"))
    part = stack.part("rail_bracket_front")
    bent = flat_pattern(part)
    assert bent is not None
    [bend] = bent.bends
    stated = words(drawing_pages(part, ABOUT))
    assert sum(f"{bend.x:.1f}" in line for line in stated) == 1
    assert "45° up" in stated
    assert "45° up" in words(template_pages(part, ABOUT))


def wide_ends(page: Page) -> list[Box]:
    return [_box(one) for one in page.ink if isinstance(one, Stroke) and one.pen is Pen.PLANE_END]


def _box(stroke: Stroke) -> Box:
    boxes = [stroke.run.bounds] if isinstance(stroke.run, Circle) else [edge.bounds for edge in stroke.run]
    return (
        min(box[0] for box in boxes), min(box[1] for box in boxes),
        max(box[2] for box in boxes), max(box[3] for box in boxes),
    )  # fmt: skip


@pytest.mark.parametrize("paper", [None, "A4", "Letter", "Tabloid"])
def test_no_word_covers_the_end_of_a_plane(paper: str | None) -> None:
    stack = assemble(load_project(Path(ROOT) / "part_specs" / "pump_engine"))
    seen = 0
    for part in stack.parts:
        page = drawing_pages(part, replace(about_of(stack, part, 1000.0), paper=paper))[0]
        for end in wide_ends(page):
            grown = (end[0] - 0.35, end[1] - 0.35, end[2] + 0.35, end[3] + 0.35)
            assert [text.text for text in page.texts if overlap(text.box, grown)] == [], part.name
            seen += 1
    assert seen >= 8, "the examples have sections"


def test_letters_on_a_part_are_on_white_and_painted_over_its_lines() -> None:
    stack = assemble(load_project(Path(ROOT) / "part_specs" / "pump_engine"))
    page, *_ = drawing_pages(stack.part("fuel_rail"), ABOUT)
    at = next(n for n, one in enumerate(page.ink) if isinstance(one, Text) and one.text == "FRONT")
    white, letters = page.ink[at - 1], page.ink[at]
    assert isinstance(white, Fill)
    assert white.shade == 1.0
    assert isinstance(letters, Text)
    xs = [x for x, _ in white.points]
    assert (min(xs), max(xs)) == (letters.box[0], letters.box[2])
    hidden = [n for n, one in enumerate(page.ink[:at]) if isinstance(one, Stroke) and one.pen is Pen.HIDDEN_SMALL]
    assert hidden, "the passage behind the letters is painted first"


def test_no_white_hides_a_punch_cross() -> None:
    """Letters stamped right over a hole stand beside it: no white lies on the cross, or it is painted before it."""
    part = replace(sample.one_hole(), marks=(Mark("m", "OVER", (15.0, 8.0, 10.0), 6.0),))
    [hole] = part.holes
    clip = template_pages(part, ABOUT)[0].ink[0]
    assert isinstance(clip, Clip)
    cross = [
        n for n, one in enumerate(clip.ink)
        if isinstance(one, Stroke) and one.pen is Pen.NARROW and _box(one)[::2] == (hole.at[0] - 4, hole.at[0] + 4)
    ]  # fmt: skip
    white = [n for n, one in enumerate(clip.ink) if isinstance(one, Fill) and overlap(_round(one), _round(hole.centre))]
    assert len(cross) == 1
    assert max(white, default=-1) < min(cross)
    assert "OVER" in [one.text for one in clip.ink if isinstance(one, Text)]


def _round(one: Fill | tuple[float, float]) -> Box:
    points = one.points if isinstance(one, Fill) else ((one[0] - 4, one[1] - 4), (one[0] + 4, one[1] + 4))
    xs, ys = zip(*points, strict=True)
    return min(xs), min(ys), max(xs), max(ys)


def test_small_hidden_figures_have_short_dashes() -> None:
    """A 9 mm hole's edges 25 mm long at 1:5 are 1.8 x 5 mm: a dash of 2.4 mm would not go round their corners."""
    view = View(0.2, (0.0, 0.0))
    small = view.path(((0, 0), (9, 0), (9, 25), (0, 25)), Pen.HIDDEN, closed=True)
    large = replace(small, run=path(((0, 0), (9, 0), (9, 25), (0, 25)), Pen.HIDDEN, closed=True).run)
    assert _pen(small) is Pen.HIDDEN_SMALL
    assert _pen(large) is Pen.HIDDEN
    assert _pen(Stroke(Circle((0, 0), 1.0), Pen.WIDE)) is Pen.WIDE_SMALL
    assert _pen(Stroke(Circle((0, 0), 2.0), Pen.WIDE)) is Pen.WIDE
    assert sum(Pen.HIDDEN_SMALL.dashes) < 1.8


def _pen(ink: Ink) -> Pen:
    [ink] = finely([ink])
    assert isinstance(ink, Stroke)
    return ink.pen


def test_where_four_pages_meet_they_share_one_register_mark() -> None:
    """The paper's windows lap by 14 mm: the only mark within a lap of the joint corner is the shared one."""
    part = sample.plate("large", Loop.rectangle(500, 320, 10), 20)
    tiling = tiling_of(part, "mm")
    assert (tiling.rows, tiling.columns) == (3, 2)
    corner = (tiling.tiles[0].box[2] - LAP / 2, tiling.tiles[0].box[1] + LAP / 2)
    clip = template_pages(part, ABOUT)[0].ink[0]
    diamonds = {
        (round((box[0] + box[2]) / 2, 6), round((box[1] + box[3]) / 2, 6))
        for box in (_box(one) for one in clip.ink if isinstance(one, Stroke) and one.closed)  # type: ignore[union-attr]
        if box[2] - box[0] == pytest.approx(8.0)
    }
    near = [at for at in diamonds if max(abs(at[0] - corner[0]), abs(at[1] - corner[1])) < LAP]
    assert near == [(pytest.approx(corner[0]), pytest.approx(corner[1]))]


WEDGE = """
project: trial
bodies:
  block: {material: A356-T6, envelope: {box: [150, 130, 50]}, joints: {seat: {face: above, holes: tapped}}}
joints:
  seat:
    bolts: {pattern: {rectangle: [100, 75]}, thread: M8, length: 40}
    opening: {rectangle: [50, 40], corner_radius: 6}
    shim: {thickness: 2, taper: [0.4 deg, 0.2 deg], material: S235}
parts:
  lid:
    kind: plate
    material: 6061-T6
    thickness: 12
    outline: {around: [seat], margin: 10}
    below: {seat: {holes: clear}}
    opening: {match: seat}
"""


@pytest.mark.parametrize("paper", [None, "A4", "A3", "Letter", "Tabloid"])
def test_a_wedge_tells_its_corners_clear_of_all_else(tmp_path: Path, paper: str | None) -> None:
    stack = stack_of(tmp_path, WEDGE)
    part = stack.part("seat_shim")
    pages = drawing_pages(part, replace(about_of(stack, part, 1000.0), paper=paper))
    assert [fault for page in pages for fault in (*collisions(page), *strays(page))] == []
    stated = words(pages)
    assert sorted(text[:4] for text in stated if text[:1] == "T" and text[2:4] == " =") == [
        "T1 =",
        "T2 =",
        "T3 =",
        "T4 =",
    ]
    assert "THICK END" in stated


def test_words_of_the_svg_have_no_blank_at_their_ends() -> None:
    """Viewers leave such blanks out and then stretch the letters over them; they count in the next one's place."""
    root = ElementTree.fromstring(svg_of(drawing_pages(sample.counterbore_and_pocket(), ABOUT), "trial"))
    texts = [(text.text or "", float(text.get("x", "0"))) for text in root.iter("{http://www.w3.org/2000/svg}text")]
    assert all(text == text.strip() and text for text, _ in texts)
    # In "⌴ counterbore; ↧ depth from ..." each run of letters begins a blank after its sign.
    size, blank = LEAST, width_of(" ", LEAST)
    assert blank > 0.5
    [first] = [x for text, x in texts if text.startswith("counterbore;")]
    assert first == pytest.approx(width_of(COUNTERBORE, size) + blank, abs=1e-5)  # the file keeps 6 decimals
