"""What was measured on reopening stands in the manifest, from a build and from the store, in the same bytes."""

from __future__ import annotations

import json
import math
from pathlib import Path

import ezdxf
import pytest

from platemaker.export import MANIFEST, BuildResult, OutputFolder, Store, build, nested, write_nests
from platemaker.export._reading._read_pdf import bars_of, read_pdf
from platemaker.plane import Line
from platemaker.report import Meta, draft_html, draft_json, draft_markdown, render_html, render_json, render_markdown
from platemaker.views._ink._model import Page, Pen, Stroke
from platemaker.views._ink._pdf import write_pdf
from tests import sample_parts as sample
from tests.unit.test_export_build import small_stack

pytestmark = pytest.mark.kernel


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> BuildResult:
    folder = tmp_path_factory.mktemp("read_back")
    return build(small_stack(), folder / "out", spec_folder=folder)


def manifest(folder: Path) -> dict[str, dict[str, object]]:
    """The records of a manifest by file name; a file that was not read back has none."""
    rows = json.loads((folder / MANIFEST).read_text(encoding="ascii"))["files"]
    return {row["name"]: row["read_back"] for row in rows if "read_back" in row}


def test_every_step_dxf_and_pdf_has_its_record(built: BuildResult) -> None:
    due = {path.name for path in built.folder.iterdir() if path.suffix in (".step", ".dxf", ".pdf")}
    assert set(manifest(built.folder)) == due


def test_a_plates_solid_as_its_record_tells_it(built: BuildResult) -> None:
    """100 x 60 x 10 with a 12 mm hole, by arithmetic; the colour is any: three shares of 1."""
    record = manifest(built.folder)["one_hole.step"]
    [colour] = record.pop("colours")  # type: ignore[attr-defined]
    assert len(colour) == 3
    assert all(0 <= share <= 1 for share in colour)
    # The record keeps six decimals; the kernel's boxes are good to some 1e-7.
    assert record.pop("extents_mm") == pytest.approx([-50, -30, 0, 50, 30, 10], abs=1e-6)
    assert record.pop("volume_mm3") == pytest.approx((100 * 60 - 36 * math.pi) * 10, abs=1e-5)
    assert record == {"names": ["one_hole"], "solids": 1}


def test_the_stacks_record_tells_all_that_is_placed(built: BuildResult) -> None:
    """The plate on a box of 50 x 40 x 30 mm below it."""
    record = manifest(built.folder)["stack.step"]
    assert record["names"] == ["one_hole.1", "log.existing"]
    assert record["solids"] == 2
    assert record["volume_mm3"] == pytest.approx((6000 - 36 * math.pi) * 10 + 50 * 40 * 30, abs=1e-5)
    low, high = record["extents_mm"][2], record["extents_mm"][5]  # type: ignore[index]
    assert (low, high) == (pytest.approx(-30, abs=1e-6), pytest.approx(10, abs=1e-6))


def test_a_plates_drawing_as_its_record_tells_it(built: BuildResult) -> None:
    record = manifest(built.folder)["one_hole.dxf"]
    drawn = ezdxf.readfile(built.folder / "one_hole.dxf").modelspace()
    assert record == {
        "units": "millimeters",
        "entities": len(drawn),
        "doubled": 0,
        "closed_loops": 1,
        "circles_mm": [[20.0, 10.0, 12.0]],
        "extents_mm": [-50.0, -30.0, 50.0, 30.0],
    }


def test_the_papers_records_tell_pages_and_the_bars_as_measured(built: BuildResult) -> None:
    records = manifest(built.folder)
    assert records["one_hole_drawing.pdf"] == {"pages": 1}
    assert records["one_hole_first_article.pdf"] == {"pages": 2}, "its table and its sketch"
    template = records["one_hole_template.pdf"]
    assert template["pages"] == 1
    # The file holds five decimals of a point.
    assert template["bars_mm"] == pytest.approx([100.0, 4 * 25.4], abs=1e-3)


def test_bars_are_measured_and_the_worst_page_is_told(tmp_path: Path) -> None:
    pages = [
        Page(297, 210, tuple(Stroke((Line((20, y), (20 + long, y)),), Pen.WIDE) for y, long in ((20, a), (30, 101.6))))
        for a in (100.0, 100.4, 99.9)
    ]
    write_pdf(tuple(pages), tmp_path / "bars.pdf", "bars")
    assert bars_of(read_pdf(tmp_path / "bars.pdf", lines=True)) == pytest.approx((100.4, 101.6), abs=1e-3)


def test_a_stored_file_keeps_its_record(tmp_path: Path) -> None:
    store = Store(tmp_path / "store")
    for name in ("first", "second"):
        build(small_stack(), tmp_path / name, spec_folder=tmp_path, store=store)
    build(small_stack(), tmp_path / "plain", spec_folder=tmp_path)
    first, second, plain = (tmp_path / name / MANIFEST for name in ("first", "second", "plain"))
    assert len(manifest(second.parent)) == 12
    assert first.read_bytes() == second.read_bytes() == plain.read_bytes()


def test_a_nested_sheet_has_its_record(tmp_path: Path) -> None:
    """One plate of 100 x 60 with one hole on a sheet of 300 x 200: two closed loops, the sheet's own among them."""
    nesting = nested((sample.one_hole(),), 300.0, 200.0)
    with OutputFolder(tmp_path / "out") as folder:
        write_nests(nesting, folder)
    [record] = manifest(tmp_path / "out").values()
    assert (record["closed_loops"], record["doubled"]) == (2, 0)
    assert record["extents_mm"] == [0.0, 0.0, 300.0, 200.0]
    assert [row[2] for row in record["circles_mm"]] == [12.0]  # type: ignore[attr-defined]


def test_the_reports_tell_what_was_read_back(built: BuildResult) -> None:
    stack, meta = small_stack(), Meta("1", "0" * 64)
    stated = json.loads(draft_json(stack, [], meta)(built.files))["read_back"]
    assert {row["file"]: row["measured"] for row in stated} == manifest(built.folder)
    assert [row["part"] for row in stated] == ["drilled_casting"] * 5 + ["one_hole"] * 6 + [""]

    plain = draft_markdown(stack, [], meta)(built.files)
    # (6000 - 36 pi) mm2 x 10 mm = 58869.03 mm3
    solid = "name one\\_hole, 1 solid, volume 58.869 cm³, extents 100.000 × 60.000 × 10.000 mm, 1 colour"
    assert f"| one\\_hole | one\\_hole.step | {solid} | yes |" in plain
    drawn = "0 doubled, 1 closed loop, 1 circle, extents 100.000 × 60.000 mm | yes |"
    assert drawn in plain
    assert "1 page, bars 100.000 and 101.600 mm | yes |" in plain

    page = draft_html(stack, [], meta)(built.files)
    assert '<a href="#read-back">Read back</a>' in page
    assert 'data-in="1 page, bars 3.9370 and 4.0000 in"' in page
    for name in manifest(built.folder):
        assert f">{name}</td>" in page


def test_without_files_the_reports_say_nothing_of_them() -> None:
    stack, meta = small_stack(), Meta("1", "0" * 64)
    assert 'id="read-back"' not in render_html(stack, [], meta)
    assert "Read back" not in render_markdown(stack, [], meta)
    assert json.loads(render_json(stack, [], meta))["read_back"] == []
