"""Drawings: what stands on the sheets, where, and that both files say the same."""

from __future__ import annotations

import math
import re
from pathlib import Path
from xml.etree import ElementTree

import pytest

from platemaker.checks import Limit, Verdict, measured
from platemaker.errors import GeometryError, ProofError
from platemaker.export import OutputFolder
from platemaker.export._paper import about_of, code_of, standing_of, write_paper
from platemaker.export._reading._read_pdf import prove_drawing, prove_template, read_pdf
from platemaker.export._sheet._drawing_layout import layouts
from platemaker.export._sheet._drawing_ordinates import datum_of, ordinates, spread
from platemaker.export._sheet._drawing_section import AXIS_PAST, planes_of
from platemaker.export._sheet._drawing_shapes import points_of
from platemaker.export._sheet._drawing_sheet import drawing_pages
from platemaker.export._sheet._drawing_title import About, mass_words
from platemaker.export._sheet._drawing_words import Numbers, call_out_lines, figure_words, given_whole, tabled
from platemaker.export._sheet._sheet_paper import A3, A4, Projection
from platemaker.export._sheet._template import template_pages, tiling_of
from platemaker.parts import Mounting, Part, Profile, ProfileKind, Role, Side
from platemaker.plane import Circle, Loop, Region, intersect
from platemaker.project import load
from platemaker.records import replace
from platemaker.resolved import Cutting
from platemaker.space import Frame
from platemaker.views import hole_tags, on_paper, section_ink
from platemaker.views._ink._lettering import fitted, known, pieces, width_of, wrapped
from platemaker.views._ink._model import Clip, Page, Pen, Stroke, View
from platemaker.views._ink._paper_svg import svg_of
from platemaker.views._ink._pdf import pdf_bytes, write_pdf
from tests import sample_parts as sample

ABOUT = About("trial", "mm", "0123abcd", Projection.FIRST_ANGLE, 1000.0, "2026-01-31", "Checks: none fails, no caution")


def words(pages: tuple[Page, ...]) -> str:
    return "\n".join(text.text for page in pages for text in page.texts)


def circles(page: Page, pen: Pen) -> list[Circle]:
    return [one.run for one in page.ink if isinstance(one, Stroke) and one.pen is pen and isinstance(one.run, Circle)]


def test_a_plate_is_drawn_in_true_size_with_its_holes_where_they_belong() -> None:
    """100 x 60 with a 12 mm hole 20 right of and 10 above the middle: on paper the hole is 70 from the left edge."""
    [page] = drawing_pages(sample.one_hole(), ABOUT)
    hole = next(circle for circle in circles(page, Pen.WIDE) if circle.radius == pytest.approx(6.0))
    corners = [
        [edge.start for edge in one.run]
        for one in page.ink
        if isinstance(one, Stroke) and one.closed and isinstance(one.run, tuple)
    ]
    boxes = [(min(xs), min(ys), max(xs), max(ys)) for xs, ys in (zip(*row, strict=True) for row in corners)]
    [(left, low, *_)] = [box for box in boxes if (box[2] - box[0], box[3] - box[1]) == pytest.approx((100.0, 60.0))]
    assert (hole.centre[0] - left, hole.centre[1] - low) == (pytest.approx(70.0), pytest.approx(40.0))
    assert (page.width, page.height) == (A4.width, A4.height)
    assert "1:1" in words((page,)).split("\n")


def test_large_parts_are_reduced_and_small_ones_enlarged() -> None:
    small = sample.plate("small", Loop.rectangle(12, 8), 3)
    large = sample.plate("large", Loop.rectangle(900, 500), 20)
    assert "5:1" in words(drawing_pages(small, ABOUT)).split("\n")
    assert "1:5" in words(drawing_pages(large, ABOUT)).split("\n")


def test_a_part_larger_than_any_sheet_at_any_scale_is_refused() -> None:
    huge = sample.plate("huge", Loop.rectangle(6_000_000, 500), 20)
    with pytest.raises(GeometryError, match=r"part 'huge', 6e\+06 x 500 mm, fits no sheet at any standard scale"):
        drawing_pages(huge, ABOUT)


@pytest.mark.parametrize(("projection", "above"), [(Projection.FIRST_ANGLE, True), (Projection.THIRD_ANGLE, False)])
def test_the_edge_view_stands_where_the_stated_projection_puts_it(projection: Projection, above: bool) -> None:
    """ISO 5456-2: in first angle the view from above stands under the front view, in third angle over it."""
    part = sample.one_hole()
    layout = next(iter(layouts(part, part, [], (A4, A3), projection)))
    assert (layout.edge.box[1] > layout.plan.box[3]) is above
    assert projection.value.split("-", maxsplit=1)[0].upper() + " ANGLE" in words(
        drawing_pages(part, replace(ABOUT, projection=projection))
    )


def test_call_outs_by_signs() -> None:
    """Signs of ISO 129-1 and ASME Y14.5: diameter, counterbore, depth."""
    mm = Numbers("mm")
    assert call_out_lines(sample.counterbored("a", (0, 0), 15, 8.6, 9, 25.4), mm) == ["⌀9 THRU", "⌴⌀15 ↧8.6"]
    assert call_out_lines(sample.tapped_blind("a", (0, 0), 30), mm) == ["M8×1.25 ↧18", "⌀6.8 ↧22, point 118°"]
    [bore] = sample.turned_boss().holes
    assert call_out_lines(bore, mm, "H7") == ["⌀13.5 H7 bored THRU", "⌴⌀16 ↧5"]
    assert call_out_lines(bore, Numbers("in")) == ["⌀0.5315 bored THRU", "⌴⌀0.6299 ↧0.197"]


def test_the_tables_hold_every_hole_in_the_projects_unit() -> None:
    part = sample.counterbore_and_pocket()
    stated = words(drawing_pages(part, ABOUT)).split("\n")
    for hole in part.holes:
        assert hole_tags(part)[hole.name] in stated
    assert {"-48", "48", "-30", "30"} <= set(stated)
    inch = words(drawing_pages(part, replace(ABOUT, unit="in"))).split("\n")
    # 48 / 25.4 = 1.88976, 30 / 25.4 = 1.18110; ISO 2768-m: 0.3 mm, of whose whole width 0.0236 in a fifth is 0.0047 in.
    assert {"-1.890", "1.890", "-1.181", "1.181"} <= set(inch)


def test_decimals_follow_the_tolerance() -> None:
    """ISO 2768-m above 120 to 400 mm: 0.5. A place in a zone of 0.2 has hundredths; the general tolerance has tenths."""
    holes = [sample.drilled(name, at, 9, 10) for name, at in (("a", (-130.0, 0.0)), ("b", (131.0163, 0.0)))]
    part = sample.plate("lid", Loop.rectangle(265.011, 60, centre=(0.0, 5.0)), 10, *holes)
    stated = words(drawing_pages(part, ABOUT)).split("\n")
    assert {"265.0 × 60", "132.5", "-132.5", "131.0", "-130.0"} <= set(stated)
    close = words(drawing_pages(part, replace(ABOUT, positions={"a": 0.2, "b": 0.2}))).split("\n")
    assert {"131.02", "-130.00", "132.5"} <= set(close)


def test_a_long_table_goes_to_further_sheets() -> None:
    holes = [sample.drilled(f"h{i}_{j}", (12 * i, 12 * j), 6, 5) for i in range(14) for j in range(10)]
    part = sample.plate("many", Loop.rectangle(178, 130, 3, centre=(78, 54)), 5, *holes)
    pages = drawing_pages(part, ABOUT)
    assert len(pages) == 2
    stated = set(words(pages).split("\n"))
    assert set(hole_tags(part).values()) <= stated
    assert {"1 of 2", "2 of 2"} <= stated


def test_ordinates_are_from_the_parts_zero_as_the_tables_are() -> None:
    part = sample.counterbore_and_pocket()
    assert ordinates(part, 0) == [-60, 0, 60]
    off = sample.plate("off", Loop.rectangle(20, 10, centre=(30, 5)), 10)
    assert (ordinates(off, 0), ordinates(off, 1)) == ([20, 40], [0, 10])
    stated = words(drawing_pages(part, ABOUT)).split("\n")
    assert {"-60", "0", "60"} <= set(stated)
    assert any("All X and Y are from the part's zero" in line for line in stated)


def test_no_coordinate_of_a_hole_or_a_figure_stands_twice() -> None:
    """Two holes at (-31.7, 12.3) and (28.9, -17.1), and an opening about (4.6, -2.2): each number once, on all sheets."""
    opening = Profile(
        "port", ProfileKind.OPENING, (Region.of(Loop.rectangle(21, 13, centre=(4.6, -2.2))),), Side.ABOVE, 10, True
    )
    holes = [sample.drilled(name, at, 5, 10) for name, at in (("a", (-31.7, 12.3)), ("b", (28.9, -17.1)))]
    part = replace(sample.plate("lid", Loop.rectangle(100, 60), 10, *holes), cuts=(*holes, opening))
    stated = words(drawing_pages(part, ABOUT))
    for number in ("31.7", "12.3", "28.9", "17.1", "4.6", "2.2"):
        assert len(re.findall(rf"(?<![\d.]){re.escape(number)}(?![\d])", stated)) == 1, number
    # Ends of the opening, 4.6 - 21/2 and -2.2 + 13/2, follow from its middle and its size.
    assert not re.search(r"-5\.9|15\.1|4\.3\b|8\.7", stated)


def test_the_datum_hole_is_the_lowest_of_the_first_kind() -> None:
    datum = datum_of(sample.counterbore_and_pocket())
    assert (datum.name, datum.at) == ("b1", (-48.0, -30.0))


def test_a_hole_at_the_parts_zero_is_the_datum() -> None:
    holes = [sample.drilled(name, at, 9, 10) for name, at in (("a", (-30, 0)), ("middle", (0, 0)), ("b", (30, 0)))]
    assert datum_of(sample.plate("lid", Loop.rectangle(100, 60), 10, *holes)).name == "middle"
    assert datum_of(sample.plain_plate()).at == (-50.0, -30.0)


def test_spread_keeps_order_and_pitch_and_moves_as_little_as_may_be() -> None:
    """Three numbers at 10 want 3 mm each: least squares puts them at 7, 10 and 13; one far off stays."""
    assert spread([10.0, 10.0, 10.0, 40.0], 3.0) == pytest.approx([7.0, 10.0, 13.0, 40.0])


def test_sections_show_what_a_plan_does_not() -> None:
    part = sample.counterbore_and_pocket()
    planes = planes_of(part)
    assert [plane.letter for plane in planes] == list("ABC")[: len(planes)]
    assert any(plane.cutting is Cutting.ACROSS_Y and plane.at in (-30.0, 30.0) for plane in planes), "the counterbores"
    assert planes_of(sample.one_hole()) == [], "a plain hole needs none"


def test_a_sections_outline_is_the_plates_own(tmp_path: Path) -> None:
    """Cut through two counterbores: heights of the corners are 0, the shoulder 25.4 - 8.6 = 16.8, and 25.4."""
    part = sample.counterbore_and_pocket()
    plane = next(one for one in planes_of(part) if one.cutting is Cutting.ACROSS_Y)
    ink = list(on_paper(section_ink(part, plane.cutting, plane.at, View(1.0, (0.0, 0.0)), AXIS_PAST)))
    loops = [one for one in ink if isinstance(one, Stroke) and one.closed and one.pen is Pen.WIDE]
    heights = {round(edge.start[1], 6) for loop in loops for edge in loop.run}  # type: ignore[union-attr]
    assert {0.0, 16.8, 25.4} <= heights
    across = {round(edge.start[0], 6) for loop in loops for edge in loop.run}  # type: ignore[union-attr]
    assert {-60.0, -55.5, -52.5, -43.5, -40.5, 40.5, 43.5, 52.5, 55.5, 60.0} <= across


def test_mass_is_volume_times_density() -> None:
    """6061 has 2700 kg/m3: 100 x 60 x 10 mm are 60 000 mm3 and 162 g; the casting is not made."""
    assert mass_words(sample.plain_plate(), 60_000.0) == "0.162 kg"
    assert mass_words(sample.plain_plate(), 1000.0) == "2.7 g"
    assert mass_words(sample.plain_plate(), 60_000.0, "in") == "0.357 lb"  # 162 / 453.59237
    assert mass_words(sample.drilled_casting(), 1000.0) == "–"


def test_the_revision_follows_the_part_and_not_its_place() -> None:
    part = sample.one_hole()
    assert code_of(part) == code_of(replace(part, places=(Frame(),)))
    assert code_of(part) != code_of(replace(part, note="new"))


def test_the_standing_names_failed_checks() -> None:
    limit = Limit(3.0, "mm", "common practice", caution=4.0)
    bad = measured("PM101", "wall", "lid", ["a", "b"], 2.0, limit)
    soft = measured("PM102", "wall", "lid", ["a", "c"], 3.5, limit)
    good = measured("PM103", "wall", "lid", ["a", "d"], 9.0, limit)
    lid = replace(sample.one_hole(), name="lid")
    assert standing_of(lid, [bad, soft, good]) == "NOT RELEASED: 1 check fails (PM101)"
    accepted = replace(soft, verdict=Verdict.ACCEPTED, because="looked at, and left as it is")
    assert standing_of(lid, [soft, accepted, good]) == "", "cautions are for the report"
    assert standing_of(replace(lid, name="other"), [bad]) == "NOT RELEASED: no check was made of this part"


def test_a_fail_of_a_joint_stands_on_every_part_that_carries_it() -> None:
    """The thread is too short in the casting: the plate that its bolts hold, and that gets their length, waits too."""
    limit = Limit(1.5, "", "common practice")
    bad = measured("PM302", "engagement", "log", ["top", "top_1"], 1.0, limit)
    lid = replace(sample.one_hole(), name="lid")
    carrier = replace(lid, mountings=(Mounting("top", Side.BELOW, Role.CLEAR),))
    good = measured("PM103", "wall", "lid", ["a", "d"], 9.0, limit)
    assert standing_of(carrier, [bad, good]) == "NOT RELEASED: 1 check fails (PM302)"
    assert standing_of(lid, [bad, good]) == ""


def test_date_is_that_of_the_given_time_or_blank(monkeypatch: pytest.MonkeyPatch) -> None:
    stack = sample.sample_stack()
    monkeypatch.delenv("SOURCE_DATE_EPOCH", raising=False)
    assert about_of(stack, stack.parts[0], None).date == ""
    # 1 000 000 000 s after 1970 is 2001-09-09, 01:46:40 UTC.
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1000000000")
    assert about_of(stack, stack.parts[0], None).date == "2001-09-09"


def test_what_the_font_lacks_is_replaced_in_sight() -> None:
    assert known("Blöwer 図\t面") == "Blöwer � �"
    part = replace(sample.one_hole(), title="Platte 図")
    stated = words(drawing_pages(part, ABOUT))
    assert "Platte �" in stated
    assert "stands for a letter that the drawing's font lacks" in stated


def test_letters_that_do_not_fit_shrink_and_then_are_cut() -> None:
    text, size = fitted("a rather long title", 4.0, 30.0)
    assert (text, width_of(text, size)) == ("a rather long title", pytest.approx(30.0))
    short, small = fitted("a rather long title " * 20, 4.0, 30.0)
    assert short.endswith("…")
    assert width_of(short, small) <= 30.0
    assert [
        width_of(line, 3.0) <= 20.0 for line in wrapped("some words and one-that-is-far-too-long-for-a-line", 3.0, 20.0)
    ].count(False) == 0
    assert "".join(wrapped("some words", 3.0, 12.0)) == "somewords"


def test_signs_are_drawn_and_count_in_the_width() -> None:
    runs = [piece if isinstance(piece, str) else "sign" for _, piece in pieces("⌴⌀15 ↧8.6")]
    assert runs == ["sign", "sign", "15 ", "sign", "8.6"]
    assert width_of("⌴15", 2.0) == pytest.approx(width_of("⌴", 2.0) + width_of("15", 2.0))


def test_pdf_and_svg_say_the_same(tmp_path: Path) -> None:
    part = sample.counterbore_and_pocket()
    pages = drawing_pages(part, ABOUT)
    root = ElementTree.fromstring(svg_of(pages, "trial <&>"))
    assert root.get("width") == f"{A3.width:.3f}mm"
    assert root[0].text == "trial <&>"
    written = " ".join(text.text or "" for text in root.iter("{http://www.w3.org/2000/svg}text"))
    write_pdf(pages, tmp_path / "a.pdf", "trial")
    reading = read_pdf(tmp_path / "a.pdf")
    # Signs are lines to the SVG; the PDF has their letters too, unseen, so that they are found and copied.
    signs = str.maketrans("", "", "⌀⌴⌵↧⌖⟂")
    read = [word.translate(signs) for page in reading.pages for word in page.words]
    assert sorted(written.split()) == sorted(word for word in read if word)
    joined = " ".join(word for page in reading.pages for word in page.words)
    assert re.search("⌴ ?⌀ ?15 ↧ ?8.6", joined)


def test_shapes_that_words_do_not_give_are_tabled() -> None:
    """A hull, a rounded rectangle with a side cut off, a slanting slot and an island; a round slot needs none."""
    hull = Loop.rounded([(0, 0), (80, 0), (60, 50), (10, 50)], (5.0, 5.0, 5.0, 5.0))
    assert not given_whole(hull)
    assert tabled(hull)
    assert given_whole(Loop.rectangle(60, 40, 5))
    assert given_whole(Loop.slot(24, 8, (5, 2), 0.0))
    assert not given_whole(Loop.slot(24, 8, (5, 2), 30.0))
    [cut] = intersect(Region.of(Loop.rectangle(60, 40, 5)), Region.of(Loop.rectangle(60, 36)))
    assert (len(cut.outer.edges), given_whole(cut.outer)) == (8, False)
    island = Region.of(Loop.rectangle(60, 40, 5), [Loop.circle((3.0, 4.0), 6.0)])
    pocket = Profile("pocket", ProfileKind.POCKET, (island,), Side.ABOVE, 4.0, through=False)
    [said] = figure_words(pocket, Numbers("mm"))
    assert "leaving ⌀12 standing at X3 Y4" in said


def test_a_tables_corners_close_the_shape() -> None:
    """Corners joined by lines and by arcs of less than half a turn have the shape's area, by the shoelace and segments."""
    slot = Loop.slot(24, 8, (5, 2), 30.0)
    points = list(points_of(slot))
    area = 0.0
    for one, after in zip(points, [*points[1:], points[0]], strict=True):
        (x0, y0), (x1, y1) = one.at, after.at
        area += (x0 * y1 - x1 * y0) / 2
        if one.radius:
            turn = 2 * math.asin(math.dist(one.at, after.at) / 2 / abs(one.radius))
            area += math.copysign(one.radius**2 / 2 * (turn - math.sin(turn)), one.radius)
    # A slot 24 over all and 8 wide: 16 x 8 and a circle of 8.
    assert area == pytest.approx(16 * 8 + math.pi * 16)


def test_markup_in_a_title_stays_text() -> None:
    part = replace(sample.one_hole(), title="<script>alert(1)</script>")
    svg = svg_of(drawing_pages(part, ABOUT), part.title)
    assert "<script>" not in svg
    assert "&lt;script&gt;alert(1)&lt;/script&gt;" in svg


def test_the_same_pages_give_the_same_bytes() -> None:
    pages = drawing_pages(sample.counterbore_and_pocket(), ABOUT)
    assert pdf_bytes(pages, "a") == pdf_bytes(pages, "a")
    assert pdf_bytes(pages, "a").startswith(b"%PDF")


def test_a_straight_line_reads_back_where_it_was_drawn(tmp_path: Path) -> None:
    """Page of 100 x 50 mm, a line from (10, 20) to (40, 60 - 0) seen through a window that moves it by (5, 5)."""
    line = View(1.0, (0.0, 0.0)).line((10.0, 20.0), (40.0, 30.0), Pen.NARROW)
    write_pdf([Page(100.0, 50.0, (line, Clip((0.0, 0.0, 100.0, 50.0), (line,), (5.0, 5.0))))], tmp_path / "a.pdf", "a")
    [page] = read_pdf(tmp_path / "a.pdf", lines=True).pages
    assert (page.width, page.height) == (pytest.approx(100.0, abs=1e-3), pytest.approx(50.0, abs=1e-3))
    ends = [(*line.start, *line.end) for line in page.lines]
    assert ends[0] == pytest.approx((10.0, 20.0, 40.0, 30.0), abs=1e-3)
    assert ends[1] == pytest.approx((15.0, 25.0, 45.0, 35.0), abs=1e-3)
    assert page.lines[0].length == pytest.approx(math.hypot(30, 10), abs=1e-3)


def test_a_drawing_that_lacks_a_tag_or_a_sheet_fails_its_proof(tmp_path: Path) -> None:
    part = sample.counterbore_and_pocket()
    pages = drawing_pages(part, ABOUT)
    path = tmp_path / "lid_drawing.pdf"
    write_pdf(pages, path, "lid")
    prove_drawing(part, path, 1, ABOUT.code, hole_tags(part))
    with pytest.raises(ProofError, match=r"lid_drawing\.pdf does not read back as it was drawn: 1 pages instead of 2"):
        prove_drawing(part, path, 2, ABOUT.code, hole_tags(part))
    with pytest.raises(ProofError, match=r"the word 'Z9' is not on it"):
        prove_drawing(part, path, 1, ABOUT.code, {"b1": "Z9"})
    path.write_bytes(b"no pdf")
    with pytest.raises(ProofError, match=r"lid_drawing\.pdf does not read back as it was drawn: cannot be read"):
        read_pdf(path)


def test_a_template_off_by_a_tenth_of_a_millimetre_fails_its_proof(tmp_path: Path) -> None:
    part = sample.one_hole()
    path = tmp_path / "t.pdf"
    write_pdf(template_pages(part, ABOUT), path, "t")
    prove_template(part, path, tiling_of(part, "mm"))
    moved = replace(part, cuts=(sample.drilled("h1", (20.1, 10), 12, 10),))
    with pytest.raises(ProofError, match=r"page 1 has no punch cross for hole 'h1'"):
        prove_template(moved, path, tiling_of(part, "mm"))


def test_a_template_that_was_printed_to_another_size_fails_its_proof(tmp_path: Path) -> None:
    part = sample.one_hole()
    [page] = template_pages(part, ABOUT)
    path = tmp_path / "t.pdf"
    write_pdf([replace(page, ink=page.ink[:1])], path, "t")
    with pytest.raises(ProofError, match=r"page 1 has no bar of 100 mm"):
        prove_template(part, path, tiling_of(part, "mm"))
    write_pdf([replace(page, width=page.width - 1)], path, "t")
    with pytest.raises(ProofError, match=r"page 1 is .* mm"):
        prove_template(part, path, tiling_of(part, "mm"))


@pytest.mark.parametrize("make", sample.SAMPLES, ids=lambda make: make.__name__)
def test_every_sample_has_its_paper(make, tmp_path: Path) -> None:  # type: ignore[no-untyped-def]
    part: Part = make()
    with OutputFolder(tmp_path / "out") as folder:
        reading = write_paper(part, ABOUT, folder)
    # Measured from the file, which holds five decimals of a point and is read in single precision.
    assert reading.bars == pytest.approx((100.0, 101.6), abs=1e-4)
    assert min(reading.drawing, reading.template, reading.first_article) >= 1


def test_threads_of_fittings_are_noted_by_their_standards() -> None:
    """Port -6: 9/16-18 UNF, cone of 12 degrees to the axis, spotface 0.969 in = 24.613 mm; 1/2 NPT tapers 1 in 16."""
    stack = load(Path(__file__).parents[2] / "part_specs" / "pump_engine").stack
    rail, drain = (
        " ".join(words(drawing_pages(stack.part(name), ABOUT)).split()) for name in ("fuel_rail", "oil_return")
    )
    assert "Port -6 (SAE J1926-1): thread 9/16-18 UNF-2B; cone 12° to the axis;" in rail
    assert "over ⌀24.613 at least" in rail
    assert "NPT" not in rail
    assert "Thread 1/2 NPT (ASME B1.20.1): taper 1 in 16 on the diameter; plug gauge L1" in drain
