"""`platemaker build`: the folder of files, progress, `--only`, and what happens when it cannot be written."""

from __future__ import annotations

import csv
import hashlib
import json
import os
import resource
import subprocess
import sys
import zipfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from tests.cli_runner import Answer, run
from tests.package_tree import ROOT

pytestmark = pytest.mark.kernel

GOOD = """\
project: cover
joints:
  rim:
    bolts: {pattern: {rectangle: [80, 60]}, thread: M6}
parts:
  lid:
    kind: plate
    material: 6061-T6
    thickness: 12
    outline: {rectangle: [110, 90]}
    below:
      rim: {holes: clear}
  other:
    kind: plate
    material: 6061-T6
    thickness: 5
    outline: {rectangle: [40, 30]}
"""
FILES = {
    "lid.step", "lid.dxf", "lid_holes.csv", "lid_profile.dxf", "other.step", "other.dxf", "other_profile.dxf",
    "report.json", "report.md", "report.html", "cover_page.pdf",
    "bolts.csv", "fitting_sheet.pdf", "manifest.json",
}  # fmt: skip
PAPER = ("drawing.pdf", "drawing.svg", "template.pdf", "first_article.pdf", "first_article.yaml")


def paper_of(part: str) -> set[str]:
    return {f"{part}_{name}" for name in PAPER}


@pytest.fixture
def cover(tmp_path: Path) -> Path:
    (tmp_path / "cover").mkdir()
    (tmp_path / "cover" / "project.yaml").write_text(GOOD, encoding="utf-8")
    return tmp_path / "cover"


def build(folder: Path, *options: object) -> Answer:
    return run("build", folder, "--out", folder.parent / "exports", *options)


def test_a_build_writes_every_file_and_says_where(cover: Path) -> None:
    answer = build(cover)
    target = cover.parent / "exports" / "cover"
    assert answer.code == 0, answer.out + answer.err
    assert answer.err == "[1/2] lid\n[2/2] other\n"
    names = {path.name for path in target.iterdir()}
    assert names - {"stack.step"} == FILES | paper_of("lid") | paper_of("other")
    assert answer.out.splitlines()[-1] == f"{len(names) - 1} files and their manifest in {target}"
    assert [path.name for path in target.parent.iterdir()] == ["cover"], "nothing is left beside it"


def test_the_manifest_holds_for_every_file(cover: Path) -> None:
    build(cover)
    target = cover.parent / "exports" / "cover"
    manifest = json.loads((target / "manifest.json").read_text(encoding="utf-8"))
    assert {one["name"] for one in manifest["files"]} == {path.name for path in target.iterdir()} - {"manifest.json"}
    for one in manifest["files"]:
        content = (target / one["name"]).read_bytes()
        assert (one["size"], one["sha256"]) == (len(content), hashlib.sha256(content).hexdigest())
    parts = {one["name"]: (one["part"], one["key"]) for one in manifest["files"]}
    assert parts["lid.step"] == ("lid", "parts.lid")


def test_the_reports_hold_the_proved_volumes(cover: Path) -> None:
    """The plain block is 40 x 30 x 5 mm; aluminium 6061 has 2700 kg/m3."""
    answer = build(cover, "--json")
    report = json.loads(answer.out)
    assert answer.out == (cover.parent / "exports" / "cover" / "report.json").read_text(encoding="utf-8")
    other = next(part for part in report["parts"] if part["name"] == "other")
    assert other["volume"] == pytest.approx(40 * 30 * 5, rel=1e-9), "six plane faces: rounding alone"
    assert other["mass"] == pytest.approx(40 * 30 * 5 * 2700e-9, rel=1e-6), "six decimals of a kilogram are printed"


def test_the_hole_table_has_the_holes_of_the_joint(cover: Path) -> None:
    build(cover)
    with (cover.parent / "exports" / "cover" / "lid_holes.csv").open(encoding="utf-8") as file:
        rows = list(csv.reader(line for line in file if not line.startswith("#")))
    assert len(rows) >= 1 + 4
    assert sum("rim" in " ".join(row) for row in rows) == 4


def test_only_writes_beside_the_full_build(cover: Path) -> None:
    build(cover)
    full = snapshot(cover.parent / "exports" / "cover")
    answer = build(cover, "--only", "other")
    assert answer.code == 0
    assert answer.err == "[1/1] other\n"
    assert snapshot(cover.parent / "exports" / "cover") == full
    assert {path.name for path in (cover.parent / "exports" / "cover-other").iterdir()} == {
        "other.step", "other.dxf", "other_profile.dxf", "report.json", "report.md", "report.html", "cover_page.pdf",
        "manifest.json", *paper_of("other"),
    }  # fmt: skip


def test_a_zip_for_the_mill_has_the_files_as_they_lie_in_the_folder_and_the_same_bytes_twice(cover: Path) -> None:
    target = cover.parent / "exports" / "cover"
    packed = []
    for _ in range(2):
        assert build(cover, "--for", "mill").code == 0
        packed.append((target / "for_mill.zip").read_bytes())
    assert packed[0] == packed[1]
    with zipfile.ZipFile(target / "for_mill.zip") as archive:
        names = set(archive.namelist()) - {"cover_page.pdf"}
        assert {name: archive.read(name) for name in names} == {name: (target / name).read_bytes() for name in names}
    left_out = {f"{part}_{name}" for part in ("lid", "other") for name in ("profile.dxf", "template.pdf")}
    assert (
        names == {name for name in FILES | paper_of("lid") | paper_of("other") if name[:3] in ("lid", "oth")} - left_out
    )


def test_a_shop_that_is_none_is_refused(cover: Path) -> None:
    answer = build(cover, "--for", "lathe")
    assert answer.code == 2
    assert "lathe" in answer.err


def test_a_failing_check_still_writes_and_ends_in_1(cover: Path) -> None:
    spec = cover / "project.yaml"
    spec.write_text(GOOD.replace("rectangle: [80, 60]", "rectangle: [102, 60]"), encoding="utf-8")
    answer = build(cover)
    assert answer.code == 1
    assert "\nfail " in answer.out
    assert (cover.parent / "exports" / "cover" / "lid.step").exists()
    assert "FAIL" in (cover.parent / "exports" / "cover" / "report.md").read_text(encoding="utf-8")


def test_two_builds_give_the_same_bytes(cover: Path) -> None:
    """In two processes, since a counter within one could hide."""
    build(cover)
    done = subprocess.run(
        [sys.executable, "-m", "platemaker.cli", "build", "--fresh", cover, "--out", cover.parent / "again"],
        cwd=ROOT, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    assert snapshot(cover.parent / "again") == snapshot(cover.parent / "exports")


def test_a_wrong_spec_leaves_the_last_build_as_it_was(cover: Path) -> None:
    build(cover)
    before = snapshot(cover.parent / "exports")
    (cover / "project.yaml").write_text(GOOD.replace("kind: plate", "kind: plat", 1), encoding="utf-8")
    assert build(cover).code == 2
    assert snapshot(cover.parent / "exports") == before


def test_an_output_below_a_file_cannot_be_written(cover: Path) -> None:
    (cover.parent / "exports").write_text("a file", encoding="utf-8")
    answer = build(cover)
    target = cover.parent / "exports" / "cover"
    assert (answer.code, answer.out) == (3, "")
    assert answer.err == (f"the output folder {target} cannot be written: File exists; the one before is untouched\n")
    assert (cover.parent / "exports").read_text(encoding="utf-8") == "a file"


@pytest.mark.skipif(not Path("/proc/self").exists(), reason="needs a file system in which not even root may write")
def test_an_output_folder_where_nothing_may_be_written(cover: Path) -> None:
    answer = run("build", cover, "--out", "/proc/exports")
    assert answer.code == 3
    assert answer.err == (
        "the output folder /proc/exports/cover cannot be written: No such file or directory; "
        "the one before is untouched\n"
    )


def test_a_folder_of_someone_elses_is_left_alone(cover: Path) -> None:
    target = cover.parent / "exports" / "cover"
    target.mkdir(parents=True)
    (target / "thesis.txt").write_text("dear work", encoding="utf-8")
    answer = build(cover)
    assert answer.code == 3
    assert answer.err == (f"{target} holds files but no manifest.json of ours; it is left alone: name another folder\n")
    assert [path.name for path in target.iterdir()] == ["thesis.txt"]


@pytest.mark.parametrize(
    ("pattern", "limit", "stated"),
    [
        ("circle: 80, count: 24", 40_000, "lid.step was cut short while it was written; is the disk full?"),
        (
            "rectangle: [80, 60]",
            20_000,
            "the output folder {target} cannot be written: File too large; the one before is untouched",
        ),
    ],
    ids=["in a solid", "in a report"],
)
def test_a_disk_that_fills_half_way_loses_nothing(cover: Path, pattern: str, limit: int, stated: str) -> None:
    """The system refuses every byte beyond `limit` in any one file, as a full disk would refuse every one."""
    (cover / "project.yaml").write_text(GOOD.replace("rectangle: [80, 60]", pattern), encoding="utf-8")
    build(cover)
    target = cover.parent / "exports" / "cover"
    before = snapshot(target.parent)
    sizes = {name: len(content) for name, content in before.items()}
    with no_file_longer_than(limit):
        answer = build(cover, "--fresh")
    assert (answer.code, answer.out) == (3, ""), answer.err
    assert [line for line in answer.err.splitlines() if not line.startswith("[")] == [stated.format(target=target)], (
        sizes
    )
    assert snapshot(target.parent) == before


@contextmanager
def no_file_longer_than(limit: int) -> Iterator[None]:
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (limit, hard))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))


def snapshot(folder: Path) -> dict[str, bytes]:
    """Every file below a folder with its content."""
    return {str(path.relative_to(folder)): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def test_sheets_are_nested_on_request(cover: Path) -> None:
    """The lid is 110 x 90 x 12 mm and does not go on 100 x 60; the other is 40 x 30 x 5 mm and does."""
    answer = build(cover, "--sheet", "100x60")
    assert answer.code == 0, answer.err
    too_large = "on no sheet: lid: 110.000 x 90.000 mm with a gap of 6 mm round it is larger than the sheet"
    assert answer.err.splitlines()[-1] == too_large
    sheets = {path.name for path in (cover.parent / "exports" / "cover").glob("sheet_*")}
    assert sheets == {"sheet_6061-T6_5-0_1.dxf"}


def test_a_sheet_that_is_no_size_is_refused(cover: Path) -> None:
    answer = build(cover, "--sheet", "large")
    assert answer.code == 2
    assert answer.err == "a sheet is two lengths with an x between them, such as 600x300, met 'large'\n"


def test_a_part_too_large_for_a_template_is_built_without_one_and_that_is_said(cover: Path) -> None:
    """10 m square: a thousand pages and more of true size, but a drawing."""
    spec = cover / "project.yaml"
    spec.write_text(GOOD.replace("rectangle: [40, 30]", "rectangle: [9990, 9990]"), encoding="utf-8")
    answer = build(cover)
    assert answer.code == 0, answer.err
    assert "other: no template in true size, the part is too large\n" in answer.err
    names = {path.name for path in (cover.parent / "exports" / "cover").iterdir()}
    assert "lid_template.pdf" in names
    assert "other_template.pdf" not in names
    assert "other_drawing.pdf" in names


def test_a_body_s_file_is_read_by_the_checks_first(cover: Path) -> None:
    """A pipe that nobody writes to would be read for ever."""
    (cover / "project.yaml").write_text(f"{GOOD}bodies:\n  log: {{envelope: {{step: log.step}}}}\n", encoding="utf-8")
    for make, problem in ((lambda: None, "No such file"), (lambda: os.mkfifo(cover / "log.step"), "no regular file")):
        make()
        answer = build(cover, "--fresh")
        assert (answer.code, answer.out) == (2, ""), answer.err
        assert "bodies.log.envelope.step: log.step" in answer.err
        assert problem in answer.err
