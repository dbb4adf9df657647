"""Studies of a small lid: figures by hand, faults as rows, cores, interrupts, front, files, table."""

from __future__ import annotations

import csv
import io
import json
import math
import multiprocessing
import re
from pathlib import Path

import pytest

from platemaker.catalog import material
from platemaker.errors import SpecError
from platemaker.study import Study, VariantRow, render_study, study, study_csv, study_json, write_study
from platemaker.study._front import front_of, trade_of
from platemaker.study._outcomes import STANDING
from tests.study_projects import LID, edited, project

PATTERN = "rim.bolts.pattern.rectangle[0]"
HOLE = 6.6
"""Clearance hole for M6, medium: ISO 273:1979, table."""


@pytest.fixture(scope="module")
def lid(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return project(tmp_path_factory.mktemp("study") / "lid")


@pytest.fixture(scope="module")
def grown(lid: Path) -> Study:
    """The pocket's length and corner varied."""
    return study(
        lid,
        ["lid.pocket.shape.rectangle[0]=72..76/2", "lid.pocket.shape.corner_radius=4,5"],
        shows=["PM110:lid:rim_3+pocket"],
    )


@pytest.fixture(scope="module")
def spread(lid: Path) -> Study:
    """The bolts spread from 80 mm to off the plate, which is 100 long."""
    return study(lid, [f"{PATTERN}=80,90,92,100"])


def test_area_and_mass_by_hand(grown: Study) -> None:
    """A rounded rectangle: a b - (4 - pi) r^2; the lid: stock less holes through 12 and the pocket 5 deep."""
    density = material("6061-T6").density * 1e-9
    for row in grown.rows:
        long, corner = (float(choice.value) for choice in row.choices)
        area = long * 44 - (4 - math.pi) * corner**2
        volume = 100 * 80 * 12 - 4 * math.pi * HOLE**2 / 4 * 12 - area * 5
        # Sums of a dozen doubles of this size are good to 1e-9 of themselves.
        assert row.value("area") == pytest.approx(area, rel=1e-9)
        assert row.value("mass") == pytest.approx(volume * density, rel=1e-9)
        assert row.areas == {"pocket": row.value("area")}
        assert (row.part, row.figure) == ("lid", "pocket")


def test_least_metal_by_hand(spread: Study) -> None:
    """From hole to end: 50 - w/2 - 3.3; from hole to side: 40 - 30 - 3.3 = 6.7."""
    sound = {row.choices[0].value: row for row in spread.sound}
    assert list(sound) == [80, 90, 92, 100]
    for wide, row in sound.items():
        assert row.value("wall") == pytest.approx(min(6.7, 50 - float(wide) / 2 - 3.3), abs=1e-9)
    assert sound[92].fails > 0
    least = sound[92].least
    assert least is not None
    assert (least.check, least.title, least.features[1]) == ("PM110", "wall to the edge", "outline")
    assert sound[100].fails > 0, "the holes break out of the plate"


def test_a_variant_that_cannot_be_is_a_row(lid: Path) -> None:
    done = study(lid, ["lid.thickness=-1,12,4"])
    first, second, third = done.rows
    assert "project.yaml:9: parts.lid.thickness: -1 is out of range for a length" in first.fault
    assert (first.verdict, first.outcomes, first.value("area")) == (None, {}, None)
    assert second.fault == ""
    assert third.fault != "", "the pocket is deeper than the plate"
    assert done.now == 2
    assert "not possible" in render_study(done)


def test_the_spec_as_it_is_is_found(grown: Study, spread: Study, lid: Path) -> None:
    assert grown.now == 2
    assert spread.now == 1
    assert study(lid, ["lid.thickness=11..13 mm/1"]).now == 2
    assert study(lid, ["lid.thickness=11"]).now is None


def test_the_part_and_figure_may_be_chosen(lid: Path) -> None:
    assert study(lid, ["lid.thickness=12"], part="shim").subject == "shim, opening"
    assert study(lid, [f"{PATTERN}=80"]).subject == "lid, pocket"
    assert study(lid, ["limits.minimum_wall=2,3"]).subject == "lid, pocket"
    assert study(lid, ["shim.thickness=12"], figure="opening").subject == "shim, opening"
    with pytest.raises(SpecError, match="no part is called 'shimm'; allowed: lid, shim; did you mean 'shim'"):
        study(lid, ["lid.thickness=12"], part="shimm")
    with pytest.raises(SpecError, match="no pocket or opening of lid is called 'opening'; allowed: pocket"):
        study(lid, ["lid.thickness=12"], figure="opening")


def test_a_blind_cover_is_looked_at_and_not_its_gasket(tmp_path: Path) -> None:
    """The gasket alone has an opening; the cover's stock less four holes through 12 is what is cut."""
    sealed = "thread: M6}\n    opening: {circle: 40}\n    gasket: {thickness: 0.8, land: 6}"
    text = edited(
        LID,
        {
            "thread: M6}": sealed,
            "    pocket: {shape: {rectangle: [72, 44], corner_radius: 5}, depth: 5, cutter: 8}\n": "",
        },
    )
    cover = text[: text.index("  shim:")]
    done = study(project(tmp_path / "cover", cover), ["rim.gasket.thickness=0.8,1"])
    assert done.subject == "lid"
    mass = (100 * 80 * 12 - 4 * math.pi * HOLE**2 / 4 * 12) * material("6061-T6").density * 1e-9
    assert [row.value("mass") for row in done.rows] == pytest.approx([mass] * 2, rel=1e-9)


def test_findings_asked_for(grown: Study) -> None:
    """The hole at (40, 30) against the pocket's rounded corner: centre of the corner at (L/2 - r, 22 - r)."""
    shown = next(one for one in grown.outcomes if one.name == "PM110:lid:rim_3+pocket")
    assert (shown.title, shown.unit) == ("margin PM110:lid:rim_3+pocket", "mm")
    for row in grown.rows:
        found = row.shown["PM110:lid:rim_3+pocket"]
        long, corner = (float(choice.value) for choice in row.choices)
        wall = math.hypot(40 - long / 2 + corner, 30 - 22 + corner) - corner - HOLE / 2
        assert found is not None
        # Coordinates are rounded to 1e-6 on entry; these have no more digits. Distances are sums of few doubles.
        assert found.measured == pytest.approx(wall, abs=1e-9)
        assert row.value("wall") == pytest.approx(min(wall, 6.7), abs=1e-9)


def test_a_finding_that_nothing_has(lid: Path) -> None:
    done = study(lid, ["lid.thickness=12"], shows=["PM999"])
    assert done.rows[0].shown == {"PM999": None}
    assert "PM999" not in {one.name for one in done.outcomes}


def test_two_cores_give_the_same_study(lid: Path) -> None:
    vary = ["lid.pocket.depth=1..4/1", "lid.material=6061-T6,7075-T6"]
    assert study(lid, vary, cores=2) == study(lid, vary, cores=1)


def test_what_a_killed_process_leaves_is_done_here(lid: Path) -> None:
    """The study ended as a fault of the tool's own, and all its rows were lost."""
    killed = []

    def kill(_done: int, _asked: int) -> None:
        if not killed:
            killed.extend(multiprocessing.active_children())
            for one in killed:
                one.kill()

    vary = ["lid.thickness=10..12/0.05"]
    done = study(lid, vary, cores=2, progress=kill)
    assert len(killed) == 2
    assert done == study(lid, vary, cores=1)
    assert len(done.rows) == 41


@pytest.mark.parametrize("cores", [1, 2])
def test_an_interrupt_keeps_what_is_done(lid: Path, cores: int) -> None:
    def stop(done: int, asked: int) -> None:
        assert asked == 12
        if done >= 2:
            raise KeyboardInterrupt

    done = study(lid, ["lid.pocket.depth=1..4/1", "lid.thickness=10,11,12"], cores=cores, progress=stop)
    assert done.interrupted
    assert 2 <= len(done.rows) < 12
    assert done.asked == 12
    assert f"interrupted: {len(done.rows)} of 12 variants done" in render_study(done)
    assert json.loads(study_json(done))["interrupted"] is True


def test_progress_is_told(lid: Path) -> None:
    stated: list[tuple[int, int]] = []
    study(lid, ["lid.thickness=11,12,13"], cores=1, progress=lambda done, asked: stated.append((done, asked)))
    assert stated == [(0, 3), (1, 3), (2, 3), (3, 3)]


def rows(*points: tuple[float, float, int]) -> list[VariantRow]:
    return [
        VariantRow(number, (), outcomes={"area": area, "wall": wall}, fails=fails)
        for number, (area, wall, fails) in enumerate(points, 1)
    ]


def test_the_front() -> None:
    trade = trade_of("area,wall", STANDING)
    assert front_of(rows((10, 5, 0), (12, 4, 0), (11, 4, 0), (9, 5, 0), (10, 5, 0)), trade) == (1, 5, 2)
    # What fails is no choice, unless everything does.
    assert front_of(rows((10, 5, 0), (12, 4, 1)), trade) == (1,)
    assert front_of(rows((10, 5, 1), (12, 4, 2)), trade) == (1, 2)
    # A figure that differs by less than the grid of coordinates does not differ.
    assert front_of(rows((10, 5, 0), (10 + 1e-9, 5 - 1e-9, 0)), trade) == (1, 2)
    assert front_of([*rows((10, 5, 1)), VariantRow(2, (), fault="no")], trade) == (1,)


def test_the_trade() -> None:
    trade = trade_of("mass, area:down", STANDING)
    assert [(one.name, one.more_is_better) for one in (trade.x, trade.y)] == [("mass", False), ("area", False)]
    for text, stated in [
        (
            "area",
            "not two outcomes to trade, met 'area'; allowed: two of area, wall, wall_margin, mass, loss, loss_low, loss_high, field_loss, field_low, field_high, throat, throat_mach, uneven, blank_mass, removed, drilled, tapped, tools, corners, belt_path, wrap, belt_tension",
        ),
        ("area,area:down", "not two outcomes to trade"),
        (
            "area,wal",
            "the study has no outcome 'wal'; allowed: area, wall, wall_margin, mass, loss, loss_low, loss_high, field_loss, field_low, field_high, throat, throat_mach, uneven, blank_mass, removed, drilled, tapped, tools, corners, belt_path, wrap, belt_tension; did you mean 'wall'?",
        ),
    ]:
        with pytest.raises(SpecError) as fault:
            trade_of(text, STANDING)
        assert str(fault.value).startswith(stated)


def test_a_finding_may_be_traded(lid: Path) -> None:
    done = study(lid, ["lid.pocket.depth=1,2"], shows=["PM110:lid:pocket+face"], trade="mass,PM110:lid:pocket+face:up")
    assert done.trade.y.unit == "mm"
    assert done.front == (1, 2)


def test_the_table_fits(grown: Study, spread: Study, lid: Path) -> None:
    many = study(
        lid, ["lid.pocket.depth=1,2"], shows=["PM1", "PM110:lid:rim_3+pocket", "PM110:lid:pocket+face", "PM3", "PM5"]
    )
    for done in (grown, spread, many):
        text = render_study(done)
        assert max(map(len, text.splitlines())) <= 80
        assert "\x1b" not in text
        assert "\x1b[" in render_study(done, colour=True)
    assert render_study(grown).splitlines()[0].startswith("lid: lid.pocket.shape.rectangle[0] and")


def test_inch_projects_are_shown_in_inch(tmp_path: Path) -> None:
    folder = project(
        tmp_path / "inch",
        **{
            "project: lid": "project: lid\nunits: in",
            "[80, 60]": "[3, 2]",
            "thickness: 12": "thickness: 0.5",
            "[100, 80]": "[4, 3]",
            "[72, 44], corner_radius: 5}, depth: 5, cutter: 8": "[1, 0.5], corner_radius: 0.125}, depth: 0.25",
            "thickness: 12\n    outline: {circle: 60}\n    opening: {shape: {circle: 20}}": (
                "thickness: 0.5\n    outline: {circle: 2}"
            ),
        },
    )
    done = study(folder, ["lid.pocket.depth=0.25"])
    assert done.rows[0].value("area") == pytest.approx((0.5 - (4 - math.pi) * 0.125**2) * 25.4**2, rel=1e-9)
    assert f"{0.5 - (4 - math.pi) * 0.125**2:.4f}" in render_study(done)
    assert "in2" in render_study(done)


def test_csv_and_json_hold_the_rows(lid: Path) -> None:
    done = study(lid, ["lid.thickness=-1,12"], shows=["PM110:lid:pocket+face"])
    read = list(csv.DictReader(io.StringIO(study_csv(done))))
    assert [row["lid.thickness"] for row in read] == ["-1", "12"]
    assert read[0]["fault"].startswith("project.yaml:9: parts.lid.thickness:")
    assert float(read[1]["area_mm2"]) == pytest.approx(72 * 44 - (4 - math.pi) * 25, abs=1e-6)
    assert read[1]["PM110:lid:pocket+face finding"] == "PM110:lid:pocket+face below"
    stated = json.loads(study_json(done))
    assert (stated["asked"], stated["done"], stated["now"]) == (2, 2, 2)
    assert stated["vary"] == [{"key": "lid.thickness", "path": ["parts", "lid", "thickness"], "values": [-1, 12]}]
    assert stated["variants"][1]["outcomes"]["area"] == float(read[1]["area_mm2"])
    # Floor under the pocket: 12 - 5.
    assert stated["variants"][1]["shown"]["PM110:lid:pocket+face"]["measured"] == 7.0
    assert stated["variants"][0]["fault"] == read[0]["fault"]


def test_the_least_metal_stands_with_its_kind_between_what_and_where(spread: Study) -> None:
    """Holes of 6.6 at 46 in a lid 100 wide and 12 thick: from 49.3 to 50, 0.7 mm, at Y = 30 or -30; 3 mm are asked."""
    row = list(csv.DictReader(io.StringIO(study_csv(spread))))[2]
    stated = json.loads(study_json(spread))["variants"][2]["least_metal"]
    assert float(row["wall_mm"]) == stated["value"] == 0.7
    assert float(row["wall_margin_mm"]) == stated["margin"] == pytest.approx(0.7 - 3.0)
    assert row["wall_kind"] == stated["kind"] == "wall to the edge"
    assert row["wall_between"] == " + ".join(stated["features"])
    hole = stated["features"][0]
    assert row["wall_between"] == f"{hole} + outline"
    assert (abs(float(row["wall_x_mm"])), abs(float(row["wall_y_mm"])), float(row["wall_z_mm"])) == (49.65, 30.0, 12.0)
    assert [abs(point[0]) for point in stated["points"]] == [49.3, 50.0]
    assert f"wall to the edge, {hole} + outline" in render_study(spread)


def test_the_folder_is_written_whole_and_alike(grown: Study, tmp_path: Path) -> None:
    first, second = (write_study(grown, tmp_path / name) for name in ("a", "b"))
    names = {"study.csv", "study.json", "study.svg", "study.png", "manifest.json"}
    assert {path.name for path in first.iterdir()} == names
    for name in names:
        assert (first / name).read_bytes() == (second / name).read_bytes(), name
    assert (first / "study.png").read_bytes().startswith(b"\x89PNG")
    text = (first / "study.svg").read_text(encoding="utf-8")
    for word in ("open area, mm²", "least metal, mm", "on the front", "the spec as it is", "corner_radius 4"):
        assert word in text
    assert "dc:date" not in text
    # Ids of coordinates would hang on the last bit of a layout.
    assert not re.search(r'(id="|url\(#|href="#)[A-Za-z]+[0-9a-f]{10}\b', text)
    assert set(re.findall(r"(?:url\(|href=\")#(shape_\d+)", text)) == set(re.findall(r'id="(shape_\d+)"', text))
    assert write_study(grown, first) == first


def test_words_stand_on_an_axis(lid: Path, tmp_path: Path) -> None:
    done = study(lid, ["lid.material=6061-T6,7075-T6"])
    text = (write_study(done, tmp_path / "out") / "study.svg").read_text(encoding="utf-8")
    assert "7075-T6" in text


def test_a_study_of_nothing_has_no_plot(lid: Path, tmp_path: Path) -> None:
    done = study(lid, ["lid.thickness=-1"])
    assert {path.name for path in write_study(done, tmp_path / "out").iterdir()} == {
        "study.csv",
        "study.json",
        "manifest.json",
    }
