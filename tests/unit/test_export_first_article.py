"""First-article sheets: what is measured, with tolerances out of the standards' tables.

ISO 2768-1:1989 table 1, class m: over 6 to 30 mm +-0.2, over 30 to 120 mm +-0.3, over 120 to 400 mm +-0.5.
ISO 286-2:2010: H7 over 18 to 30 mm is 0 to +0.021 mm, p6 is +0.022 to +0.035 mm.
"""

from __future__ import annotations

import math
from pathlib import Path

import pytest
import yaml

from platemaker.catalog import ToleranceClass
from platemaker.export._paper import about_of
from platemaker.export._sheet._drawing_title import About
from platemaker.export._sheet._drawing_words import call_out_lines
from platemaker.export._sheet._first_article import Measure, first_article, fits_of, write_first_article
from platemaker.export._sheet._first_article_sheet import _cells, first_article_pages
from platemaker.export._sheet._sheet_paper import Projection
from platemaker.parts import PressFit, Stack
from platemaker.plane import Circle, Point
from platemaker.project import load
from platemaker.records import replace
from platemaker.resolved import assemble
from platemaker.spec import load_project, load_yaml
from platemaker.views import hole_tags
from platemaker.views._ink._model import Pen, Stroke, Text
from tests import sample_parts as sample
from tests.package_tree import ROOT

ABOUT = About("trial", "mm", "0123abcd", Projection.FIRST_ANGLE)


def by_id(measures: list[Measure]) -> dict[str, Measure]:
    assert len({one.id for one in measures}) == len(measures), "ids name one measure each"
    return {one.id: one for one in measures}


def test_a_plate_with_everything() -> None:
    found = by_id(first_article(sample.counterbore_and_pocket(), ABOUT))
    assert (found["thickness"].nominal, found["thickness"].tolerance) == (25.4, (-0.2, 0.2))
    assert (found["size.x"].nominal, found["size.x"].tolerance) == (120.0, (-0.3, 0.3))
    assert (found["cut.port.x"].nominal, found["cut.port.y"].nominal) == (50.0, 30.0)
    assert found["cut.port.y"].tolerance == (-0.2, 0.2)
    assert (found["cut.pocket.depth"].nominal, found["cut.pocket.depth"].tolerance) == (12.0, (-0.2, 0.2))
    assert "cut.port.depth" not in found
    assert found["hole.b2.x"].nominal == 96.0
    assert found["hole.b3.y"].nominal == 60.0
    assert (found["hole.b2.y"].nominal, found["hole.b2.y"].tolerance) == (0.0, (-0.1, 0.1)), "that of the least length"
    assert {"hole.b1.x", "hole.b1.y"} & set(found) == set(), "the datum hole is where measuring starts"
    assert found["hole.b1.counterbore.depth"].nominal == 8.6
    assert found["flatness"].nominal is None


def test_another_class_of_general_tolerances() -> None:
    found = by_id(first_article(sample.plain_plate(), replace(ABOUT, tolerances=ToleranceClass.FINE)))
    assert found["size.x"].tolerance == (-0.15, 0.15), "ISO 2768-1 table 1, class f, over 30 to 120 mm"


def test_sizes_that_the_standard_tells_no_general_tolerance_for_have_none() -> None:
    """ISO 2768-1 begins at 0.5 mm, and its class v above 3 mm; a place next to the datum has one all the same."""
    plate = sample.counterbore_and_pocket()
    foil = by_id(
        first_article(replace(sample.plain_plate(), stock=replace(sample.plain_plate().stock, thickness=0.4)), ABOUT)
    )
    assert (foil["thickness"].tolerance, foil["thickness"].source) == (None, "no general tolerance for this size")
    coarse = by_id(first_article(plate, replace(ABOUT, tolerances=ToleranceClass.VERY_COARSE)))
    assert coarse["hole.b2.y"].tolerance == (-0.5, 0.5)
    assert coarse["thickness"].tolerance == (-1.0, 1.0)


def test_a_hole_with_a_position_zone_keeps_to_it() -> None:
    """A round zone of 0.3 mm lets an axis lie 0.15 mm off whichever way; other holes keep the general tolerance."""
    found = by_id(first_article(sample.counterbore_and_pocket(), replace(ABOUT, positions={"b3": 0.3})))
    assert found["hole.b3.x"].tolerance == found["hole.b3.y"].tolerance == (-0.15, 0.15)
    assert found["hole.b3.y"].source == "position, zone 0.3: both places together"
    assert found["hole.b2.x"].source == "ISO 2768-m"
    true = found["hole.b3.position"]
    assert (true.nominal, true.tolerance, true.computed) == (0.0, (0.0, 0.3), True)
    assert "hole.b2.position" not in found


def test_a_round_zone_is_printed_as_such_and_the_places_are_basic(tmp_path: Path) -> None:
    """Limits of X and Y would allow a square: its corner lies 0.21 mm off where the zone of 0.3 allows 0.15."""
    part, about = sample.counterbore_and_pocket(), replace(ABOUT, positions={"b3": 0.3})
    measures = first_article(part, about)
    number = next(i for i, one in enumerate(measures, 1) if one.id == "hole.b3.x")
    assert list(_cells(measures[number - 1], number, about.numbers))[3:] == ["basic", "basic"]
    position = next(one for one in measures if one.id == "hole.b3.position")
    assert list(_cells(position, 1, about.numbers))[2:] == ["0.000", "0.000", "0.300"]
    write_first_article(part, about, measures, tmp_path / "sheet.yaml")
    ids = [row["id"] for row in load_yaml(tmp_path / "sheet.yaml").data["measures"]]
    assert "hole.b3.x" in ids
    assert "hole.b3.position" not in ids, "it follows from what is read"


def test_the_datum_hole_itself_is_held_perpendicular_to_the_face(tmp_path: Path) -> None:
    part, about = sample.counterbore_and_pocket(), replace(ABOUT, positions={"b1": 0.3, "b3": 0.3})
    measures = first_article(part, about)
    upright = by_id(measures)["hole.b1.perpendicularity"]
    assert (upright.what, upright.tolerance) == ("A1: axis perpendicular to datum D, ⌀ over the thickness", (0.0, 0.3))
    write_first_article(part, about, measures, tmp_path / "sheet.yaml")
    assert "perpendicularity" not in (tmp_path / "sheet.yaml").read_text(encoding="utf-8"), "places alone are read"


@pytest.mark.parametrize("make", sample.SAMPLES, ids=lambda make: make.__name__)
def test_every_row_has_its_balloon_whose_leader_begins_at_its_feature(make) -> None:  # type: ignore[no-untyped-def]
    """Rows of a sheet are counted from 1; a square hole's balloon has all rows that name its tag, and no other."""
    part = make()
    measures = first_article(part, ABOUT)
    ink = first_article_pages(part, ABOUT, measures)[-1].ink
    rows = {text.text: numbers_of(text.text) for text in ink if isinstance(text, Text) and text.text[0].isdigit()}
    assert sorted(number for row in rows.values() for number in row) == list(range(1, len(measures) + 1))
    leaders = [one.run[0] for one in ink if isinstance(one, Stroke) and one.pen is Pen.FINE and len(lines(one)) == 1]
    circles = [one.run for one in ink if isinstance(one, Stroke) and isinstance(one.run, Circle)]
    balloons = [one for one in ink if isinstance(one, Text) and one.text in rows]
    found: list[tuple[Point, Point]] = []
    for hole in (hole for hole in part.holes if hole.square and part.strip is None):
        tag = f"{hole_tags(part)[hole.name]}:"
        due = [number for number, one in enumerate(measures, 1) if one.what.startswith(tag)]
        [balloon] = [one for one in balloons if rows[one.text] == due]
        middle = balloon.at[0], balloon.at[1] + 1.25
        leader = min(leaders, key=lambda one: math.dist(one.end, middle))
        # It ends at the balloon's rim, on its way to the middle.
        reach = math.dist(leader.start, middle)
        assert math.dist(leader.start, leader.end) + math.dist(leader.end, middle) == pytest.approx(reach, abs=0.01)
        assert 1.25 < math.dist(leader.end, middle) < balloon.width / 2 + 2.5
        off = [(abs(math.dist(leader.start, circle.centre) - circle.radius), circle.centre) for circle in circles]
        gap, seen = min(off)
        assert gap < (1.7 if hole.tapping else 0.25), "a thread is an arc outside its drill"
        found.append((hole.centre, seen))
    # The circles that leaders begin at lie as the holes do: all vectors from the first one by the same factor.
    (p0, q0), *others = found or [((0.0, 0.0), (0.0, 0.0))]
    factors = {round(math.dist(q, q0) / math.dist(p, p0), 4) for p, q in others}
    assert len(factors) <= 1
    for p, q in others:
        scale = math.dist(q, q0) / math.dist(p, p0)
        assert (q[0] - q0[0], q[1] - q0[1]) == pytest.approx((scale * (p[0] - p0[0]), scale * (p[1] - p0[1])))


def numbers_of(words: str) -> list[int]:
    """What a balloon says: "3–5, 8" is 3, 4, 5 and 8."""
    runs = [[int(end) for end in run.split("–")] for run in words.split(", ")]
    return [number for run in runs for number in range(run[0], run[-1] + 1)]


def lines(stroke: Stroke) -> tuple[object, ...]:
    return stroke.run if isinstance(stroke.run, tuple) else ()


def test_figures_and_outline_have_places_from_the_datum() -> None:
    """The plate is 120 x 80 about its zero, the datum hole b1 at (-48, -30), the port 50 x 30 about the zero."""
    found = by_id(first_article(sample.counterbore_and_pocket(), ABOUT))
    assert (found["cut.port.middle.x"].nominal, found["cut.port.middle.y"].nominal) == (48.0, 30.0)
    assert found["cut.port.middle.x"].tolerance == (-0.3, 0.3), "ISO 2768-1 table 1, class m, over 30 to 120 mm"
    assert (found["outline.left.x"].nominal, found["outline.lower.y"].nominal) == (-12.0, -10.0)


def test_a_slanted_bore_has_its_angle() -> None:
    found = by_id(first_article(sample.drilled_casting(), ABOUT))
    angle = found["hole.bore_1.axis.angle"]
    assert angle.nominal == 45.0
    assert angle.tolerance == (-0.5, 0.5), "ISO 2768-1 table 3, class m, shorter side over 10 to 50 mm"


def test_a_thread_is_gauged_and_its_depth_may_not_be_less() -> None:
    """Full thread of 18 mm in a drill of 22 mm: up to 4 mm more is harmless."""
    found = by_id(first_article(sample.tapped_with_drill_point(), ABOUT))
    assert found["hole.t1.thread"].nominal is None
    assert (found["hole.t1.thread_depth"].nominal, found["hole.t1.thread_depth"].tolerance) == (18.0, (0.0, 4.0))


def test_pressed_bosses_and_their_bores_have_their_zones() -> None:
    fit = PressFit(
        22.0, 0.001, 0.035, "H7/p6", "ISO 286-2", "drilled_casting", 45.0, retaining_compound=False, bore_zone="H7",
        boss_zone="p6",
    )  # fmt: skip
    boss, casting = replace(sample.turned_boss(), fit=fit), sample.drilled_casting()
    outside = by_id(first_article(boss, ABOUT))["size.diameter"]
    assert (outside.nominal, outside.tolerance) == (22.0, (0.022, 0.035))
    bored = replace(casting.holes[0].steps[0], diameter=22.0)
    casting = replace(casting, cuts=tuple(replace(hole, steps=(bored,)) for hole in casting.holes))
    fits = fits_of(Stack("s", "s", "mm", (boss, casting), (), ()).parts, casting)
    bore = by_id(first_article(casting, replace(ABOUT, fits=fits)))["hole.bore_1.diameter"]
    assert (bore.nominal, bore.tolerance, bore.source) == (22.0, (0.0, 0.021), "ISO 286-2 H7")
    assert fits_of((boss,), sample.one_hole()) == {}


def test_bores_of_injectors_have_the_zone_of_their_end() -> None:
    """H7 over 10 to 18 mm is 0 to 0.018 (ISO 286-2): the seat in the rail is a counterbore, the boss's the bore itself."""
    stack = assemble(load_project(ROOT / "part_specs" / "pump_engine"))
    for name, id_, said in (
        ("fuel_rail", "hole.injectors_2.counterbore.diameter", "⌴⌀13.5 H7 ↧7"),
        ("injector_bosses", "hole.bore.diameter", "⌀14 H7 bored THRU"),
    ):
        part = stack.part(name)
        about = about_of(stack, part, None)
        [bore] = [one for one in first_article(part, about) if one.id == id_]
        assert bore.tolerance == (0.0, 0.018)
        [hole] = [one for one in part.holes if one.name == id_.split(".")[1]]
        zones = [about.fits.get(key, "") for key in (hole.name, f"{hole.name}.counterbore")]
        assert said in call_out_lines(hole, about.numbers, *zones)


def test_a_casting_is_measured_where_it_is_drilled_alone() -> None:
    found = by_id(first_article(sample.drilled_casting(), ABOUT))
    assert {one.split(".")[0] for one in found} == {"hole"}
    assert found["hole.bore_2.x"].nominal == 55.0


def test_the_twin_reads_as_yaml_with_blanks(tmp_path: Path) -> None:
    part = replace(sample.counterbore_and_pocket(), title='Deckel "größer": {a}')
    measures = first_article(part, ABOUT)
    write_first_article(part, ABOUT, measures, tmp_path / "a.yaml")
    read = yaml.safe_load((tmp_path / "a.yaml").read_text(encoding="utf-8"))
    assert (read["part"], read["title"], read["unit"]) == (part.name, part.title, "mm")
    assert read["datum"] == {"hole": "b1", "tag": "A1", "at": [-48.0, -30.0]}
    assert [row["id"] for row in read["measures"]] == [one.id for one in measures if not one.computed]
    assert {tuple(row) for row in read["measures"]} == {("id", "what", "nominal", "tolerance", "source", "reads")}
    assert {row["reads"] for row in read["measures"]} == {None}
    assert read["measures"][0]["tolerance"] == [-0.2, 0.2]


@pytest.mark.parametrize("text", ["642e9086", "01234567", "12345678", "1e5", "0123abcd"])
def test_a_revision_is_text_whatever_its_digits(tmp_path: Path, text: str) -> None:
    part = replace(sample.one_hole(), title=text)
    write_first_article(part, replace(ABOUT, code=text), first_article(part, ABOUT), tmp_path / "a.yaml")
    read = load_yaml(tmp_path / "a.yaml").data
    assert (read["revision"], read["title"]) == (text, text)


def test_every_measure_has_a_line_of_its_own(tmp_path: Path) -> None:
    part = sample.one_hole()
    write_first_article(part, ABOUT, first_article(part, ABOUT), tmp_path / "a.yaml")
    lines = (tmp_path / "a.yaml").read_text(encoding="utf-8").splitlines()
    assert sum("reads: null" in line for line in lines) == len(first_article(part, ABOUT))


@pytest.mark.parametrize("make", sample.SAMPLES, ids=lambda make: make.__name__)
def test_ids_are_unique_on_every_sample(make) -> None:  # type: ignore[no-untyped-def]
    assert by_id(first_article(make(), ABOUT))


def test_corners_of_rectangles_have_their_radius() -> None:
    """R17 outside and R9 in the opening of the lower plate: over 6 mm, +-1 by table 2 of ISO 2768-1. A slot has none."""
    stack = load(ROOT / "part_specs" / "pump_engine").stack
    part = stack.part("lower_plate")
    rows = by_id(first_article(part, about_of(stack, part, None, [])))
    found = {id_: (row.nominal, row.tolerance) for id_, row in rows.items() if id_.endswith(".radius")}
    assert found == {"outline.radius": (17.0, (-1.0, 1.0)), "cut.opening.radius": (9.0, (-1.0, 1.0))}
    ports = load(ROOT / "part_specs" / "four_ports").stack
    plenum = ports.part("plenum_plate")
    ids = by_id(first_article(plenum, about_of(ports, plenum, None, [])))
    assert "cut.pocket.radius" not in ids


def test_a_turned_boss_has_a_length_and_an_outside_diameter() -> None:
    found = by_id(first_article(sample.turned_boss(), ABOUT))
    assert found["thickness"].what == "length"
    assert found["outline.left.x"].what.startswith("left side of the outside diameter: X from")
