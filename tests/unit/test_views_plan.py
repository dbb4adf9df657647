"""Plan and section views: exact paths, marks by kind of hole, sections against arithmetic, well-formed drawings."""

from __future__ import annotations

import math
import re
from xml.etree import ElementTree

import pytest

from platemaker import checks
from platemaker.catalog import material
from platemaker.parts import Hole, Kind, Operation, Part, PlateStock, Step
from platemaker.plane import Arc, Loop, Region
from platemaker.records import replace
from platemaker.report._pictures import picture_of
from platemaker.resolved import Cutting, crossings
from platemaker.views import (
    Label,
    LimitMark,
    Sheet,
    Shown,
    busiest,
    call_out,
    cutting_of,
    edge_data,
    hole_tags,
    limited_figures,
    limits_of,
    path_data,
    place,
    plan_svg,
    region_data,
    section_svg,
    tightest,
    upright,
)
from platemaker.views._labels import label_ink
from platemaker.views._plan import _busy, _captions
from tests.sample_findings import plate_findings, thin_web_findings
from tests.sample_pages import limited_plate
from tests.sample_parts import (
    SAMPLES,
    counterbore_and_pocket,
    cross_bored_rail,
    drilled,
    drilled_casting,
    plate,
    tapped_with_drill_point,
    thin_web,
    through_profile,
)

SVG = "{http://www.w3.org/2000/svg}"
FINDINGS = plate_findings() + thin_web_findings()


def parsed(svg: str) -> ElementTree.Element:
    return ElementTree.fromstring(svg)


def of_class(root: ElementTree.Element, name: str) -> list[ElementTree.Element]:
    return [node for node in root.iter() if name in (node.get("class") or "").split()]


def test_path_of_a_rounded_rectangle_is_lines_and_true_arcs() -> None:
    # Y is turned over: SVG counts it downwards, so counter-clockwise there is sweep 0.
    assert path_data(Loop.rectangle(20, 10, 2)) == (
        "M-10 -3L-10 3A2 2 0 0 0 -8 5L8 5A2 2 0 0 0 10 3L10 -3A2 2 0 0 0 8 -5L-8 -5A2 2 0 0 0 -10 -3Z"
    )


@pytest.mark.parametrize(
    ("degrees", "ccw", "flags"),
    [(90, True, "0 0"), (90, False, "0 1"), (270, True, "1 0"), (270, False, "1 1"), (359.9, True, "1 0")],
)
def test_arc_flags(degrees: float, ccw: bool, flags: str) -> None:
    turn = math.radians(degrees) * (1 if ccw else -1)
    arc = Arc((5, 0), (5 * math.cos(turn), 5 * math.sin(turn)), (0, 0), 5, ccw)
    assert f"A5 5 0 {flags} " in edge_data(arc)


def test_path_of_a_region_with_an_island_has_a_loop_each() -> None:
    region = Region.of(Loop.rectangle(20, 10), [Loop.circle((0, 0), 2)])

    assert region_data(region).count("M") == region_data(region).count("Z") == 2


@pytest.mark.parametrize("make", SAMPLES, ids=lambda make: make.__name__)
@pytest.mark.parametrize("unit", ["mm", "in"])
def test_every_sample_draws_as_well_formed_svg(make, unit: str) -> None:  # type: ignore[no-untyped-def]
    part: Part = make()
    for svg in (plan_svg(part, FINDINGS, unit=unit), section_svg(part, FINDINGS, unit=unit)):
        root = parsed(svg)
        assert root.tag == f"{SVG}svg"
        assert (root.get("aria-label") or "").startswith(part.title)
        assert "nan" not in svg
        assert "style=" not in svg
        x, _, width, height = map(float, (root.get("viewBox") or "").split())
        assert width > 0
        assert height > 0
        for text in root.iter(f"{SVG}text"):
            half = float(text.get("textLength") or 0) / 2
            at = float(text.get("x") or 0)
            assert x <= at - half
            assert at + half <= x + width


def test_holes_are_told_apart_by_their_marks() -> None:
    bored = of_class(parsed(plan_svg(counterbore_and_pocket())), "hole")[0]
    assert [node.get("class") for node in bored.iter(f"{SVG}circle")] == ["floor", "open"]
    tapped = of_class(parsed(plan_svg(tapped_with_drill_point())), "hole")[0]
    assert [node.get("class") for node in tapped.iter(f"{SVG}circle")] == ["floor"]
    assert len(of_class(tapped, "thread")) == 1
    plain = of_class(parsed(plan_svg(thin_web())), "hole")[0]
    assert [node.get("class") for node in plain.iter(f"{SVG}circle")] == ["open"]


def test_a_slanted_bore_is_drawn_as_far_as_there_is_metal() -> None:
    """A through bore of 6 at 45 degrees, 60 deep by the spec, leaves the plate of 20 after 20 in plan, on all its lines."""
    slanted = Hole(
        "s", (0.0, 0.0, 20.0), (math.sqrt(0.5), 0.0, -math.sqrt(0.5)), (Step(Operation.DRILL, 6.0, 0.0, 60.0),), True
    )
    part = Part(
        "p", "p", Kind.PLATE, material("6061-T6"), PlateStock(Region(Loop.rectangle(100.0, 50.0)), 20.0), (slanted,)
    )
    [seen] = of_class(parsed(plan_svg(part)), "silhouette")
    numbers = [float(one) for one in re.findall(r"-?[\d.]+", seen.get("d") or "")]
    assert sorted(zip(numbers[0::2], numbers[1::2], strict=True)) == [
        (0.0, -3.0),
        (0.0, 3.0),
        (20.0, -3.0),
        (20.0, 3.0),
    ]


def test_a_slanted_bore_meets_the_face_in_its_ellipse() -> None:
    ellipse = next(parsed(plan_svg(drilled_casting())).iter(f"{SVG}ellipse"))
    assert float(ellipse.get("ry") or 0) == 6.0
    assert float(ellipse.get("rx") or 0) == pytest.approx(6 * math.sqrt(2), abs=1e-6)


def test_what_is_cut_from_below_is_dashed_and_hatched() -> None:
    root = parsed(plan_svg(counterbore_and_pocket(), sheet=Sheet("a")))
    below = of_class(root, "under")
    assert [node.get("fill") for node in below] == ["url(#a-hatch)"]
    assert root.find(f".//{SVG}pattern[@id='a-hatch']") is not None


def test_deeper_is_darker() -> None:
    part = counterbore_and_pocket()
    milled = of_class(parsed(plan_svg(part)), "milled")
    assert float(milled[0].get("fill-opacity") or 0) == pytest.approx(0.35 + 0.65 * 12 / 25.4)


def test_tags_letter_by_kind_and_number_within() -> None:
    assert hole_tags(counterbore_and_pocket()) == {"b1": "A1", "b2": "A2", "b3": "A3", "b4": "A4"}
    assert list(hole_tags(cross_bored_rail()).values()) == ["A1", "B1", "B2", "B3"]


def test_call_outs_in_both_units() -> None:
    bolt = counterbore_and_pocket().holes[0]
    assert call_out(bolt).metric == "counterbore 15.000 x 8.600 deep, drilled 9.000 through"
    assert call_out(bolt).inch == "counterbore 0.5906 x 0.3386 deep, drilled 0.3543 through"
    tapped = tapped_with_drill_point().holes[0]
    assert call_out(tapped).metric == "M8 thread 18.000 deep, drilled 6.800 x 22.000 deep, 118 degree point"


def test_tightest_walls_stand_with_number_and_sign_between_their_points() -> None:
    root = parsed(plan_svg(thin_web(), FINDINGS))
    assert [node.text for node in root.iter(f"{SVG}text") if "wall" in (node.get("class") or "")] == [
        "× 1.000",
        "= 12.500",
    ]
    first = of_class(root, "gap")[0]
    assert [first.get(name) for name in ("x1", "y1", "x2", "y2")] == ["-0.5", "0", "0.5", "0"]
    assert "v-fail" in (first.get("class") or "")
    assert "1.000 mm, fail" in (root.get("aria-label") or "")


def test_a_plan_shows_no_height() -> None:
    floor = [one for one in plate_findings() if one.title == "floor"]
    assert tightest(floor, lambda point: (point[0], point[1]), 5) == []


def test_pictures_are_taken_where_the_finding_lies() -> None:
    part = counterbore_and_pocket()
    wall, floor, bolt, reach, *_ = plate_findings()
    assert not upright(wall)
    assert upright(floor)
    assert cutting_of(floor) == (Cutting.ACROSS_Y, 0.0)
    assert "section at y = 0.000" in picture_of(part, floor, "mm", "p")
    assert "1.333 d" in picture_of(part, bolt, "mm", "p")
    assert "2.000" in picture_of(part, reach, "mm", "p")


def test_a_finding_without_a_place_is_shown_on_the_whole_plan_with_its_joint_marked() -> None:
    """Four holes of a joint are named by it alone; one hole of the part is not the joint's."""
    holes = [replace(drilled(f"seat_{n}", (x, 20), 9, 10), joint="seat") for n, x in enumerate((-30, -10, 10, 30))]
    part = plate("lid", Loop.rectangle(100, 60), 10, *holes, drilled("vent", (0, -20), 6, 10))
    limit = checks.Limit(0.048, "mm", "x", sense=checks.Sense.AT_MOST)
    found = checks.measured("PM932", "bending", "lid", ["seat", "below"], 0.077, limit)
    picture = picture_of(part, found, "mm", "p")
    root = ElementTree.fromstring(picture)
    assert picture.count('class="hole hot"') == 4
    assert picture.count('class="hole"') == 1
    x0, y0, wide, high = (float(number) for number in root.get("viewBox", "").split())
    assert x0 < -50
    assert x0 + wide > 50
    assert y0 < -30
    assert y0 + high > 30
    assert "× 0.077" in picture


def test_leaders_are_painted_under_every_label() -> None:
    far = Label(Shown("far", "far"), (0.0, 0.0), 30.0, 3.0)
    near = Label(Shown("wall", "wall"), (8.0, 8.0), 0.0, 3.0, "wall v-fail", framed=True)
    placed = place([near, far], [(-25.0, -25.0, 25.0, 25.0)])
    drawn = list(label_ink(placed))
    kinds = ["leader" if "leader" in one.look else "label" for one in drawn]
    assert "leader" in kinds
    assert kinds == sorted(kinds, key=lambda kind: kind == "label")


@pytest.mark.parametrize("name", ["b1", "b1 counterbore"])
def test_a_close_view_marks_the_cuts_that_the_finding_names(name: str) -> None:

    wall = replace(plate_findings()[5], features=(name, "pocket"))
    root = parsed(picture_of(counterbore_and_pocket(), wall, "mm", "p"))
    assert {(node.get("class") or "").split()[0] for node in of_class(root, "hot")} == {"hole", "milled"}


def test_a_section_meets_lines_and_circles_where_arithmetic_says() -> None:
    region = Region.of(Loop.rectangle(20, 10), [Loop.circle((2, 1), 3)])
    pieces = crossings(region, Cutting.ACROSS_Y, 2.0)
    # Half chord of a circle of 3 at 1 from its centre: sqrt(9 - 1). The plane lies 1.2e-6 beside the asked place.
    half = math.sqrt(8)
    assert [value for piece in pieces for value in piece] == pytest.approx([-10, 2 - half, 2 + half, 10], abs=2e-6)
    upright_pieces = crossings(region, Cutting.ACROSS_X, 2.0)
    assert [value for piece in upright_pieces for value in piece] == pytest.approx([-5, -2, 4, 5], abs=2e-6)


@pytest.mark.parametrize("level", [-5.0, -2.0, 0.0, 1.0, 4.0, 5.0])
def test_a_section_through_corners_and_tangents_still_comes_in_pairs(level: float) -> None:
    region = Region.of(Loop.rectangle(20, 10), [Loop.circle((2, 1), 3)])
    crossed = [value for piece in crossings(region, Cutting.ACROSS_Y, level) for value in piece]
    assert crossed == sorted(crossed)
    assert len(crossed) % 2 == 0


def test_the_busiest_section_of_a_plate_takes_its_bolts() -> None:
    assert busiest(counterbore_and_pocket()) == (Cutting.ACROSS_Y, -30.0)


def test_a_counterbored_section_has_the_steps_of_the_hole() -> None:
    root = parsed(section_svg(counterbore_and_pocket(), at=(Cutting.ACROSS_Y, 30.0)))
    corners = set(re.findall(r"-?[\d.]+ -?[\d.]+", " ".join(one.get("d") or "" for one in of_class(root, "cutlines"))))
    # Shank of 9 and counterbore of 15 about x = -48, their shoulder 8.6 below the face (25.4 - 8.6 = 16.8).
    assert {f"{x} {z}" for x in (-52.5, -43.5) for z in ("0", -16.8)} <= corners
    assert {f"{x} {z}" for x in (-55.5, -40.5) for z in (-16.8, -25.4)} <= corners


def test_limits_are_told_by_length_colour_and_pattern() -> None:
    part = limited_plate()
    assert limited_figures(part) == ["pocket"]
    limits = limits_of(part, "pocket")
    # Pocket of 70 x 46 with corners of 10: sides of 50 and 26, quarter arcs of 5 pi.
    lengths = {limit.tag: limit.length for limit in limits}
    assert lengths["bolt_1"] == pytest.approx(50 + 5 * math.pi)
    assert sum(lengths.values()) == pytest.approx(2 * 50 + 2 * 26 + 4 * 5 * math.pi)
    kinds = [limit.kind for limit in limits]
    assert len(set(kinds)) == len(kinds)
    root = parsed(plan_svg(part, limiters_of="pocket"))
    texts = [node.text for node in root.iter(f"{SVG}text") if node.get("class") == "legend"]
    assert texts[0] == "bolt_1  65.7 mm"
    assert len(texts) == len(limits)


def test_twenty_four_limits_differ_in_colour_or_pattern() -> None:

    kinds = [LimitMark(str(rank), (), rank).kind for rank in range(24)]
    assert len(set(kinds)) == 24


def test_limits_of_an_unknown_figure() -> None:
    with pytest.raises(KeyError, match="no_such"):
        limits_of(thin_web(), "no_such")


def test_a_view_that_stands_alone_carries_its_style() -> None:
    assert "<style>" in plan_svg(thin_web(), sheet=Sheet("x", alone=True))
    assert "<style>" not in plan_svg(thin_web())


def test_captions_of_figures_that_are_alike_stand_below_the_plan() -> None:
    """Four openings of 44 at a pitch of 92: the name of each inside; what is said of all stands once, under the plan."""
    names = [f"port_{n}" for n in range(4)]
    rings = [Loop.circle((92.0 * n - 138.0, 0.0), 22.0) for n in range(4)]
    cuts = [through_profile(name, ring, 30) for name, ring in zip(names, rings, strict=True)]
    part = plate("lid", Loop.rectangle(446, 182), 30, *cuts)
    labels = list(_captions(part, 6.0))
    assert [one.text.metric for one in labels] == [*names, f"{', '.join(names)}: through"]
    for spot in place(labels, _busy(part, [], 6.0)):
        x, (x0, y0, x1, y1) = spot.label.anchor[0], spot.box
        if spot.label.fixed:
            assert y1 < -91.0
        else:
            assert not spot.led
            assert all(math.hypot(a - x, b) < 22.0 for a in (x0, x1) for b in (y0, y1))
            assert y0 > 0.0, "it stands on the X axis"
