"""`build --release`: the package filed under its revision, and what the next build says has changed since."""

from __future__ import annotations

from pathlib import Path

import pytest

from platemaker.errors import OutputError
from platemaker.export._reading._read_pdf import read_pdf
from platemaker.project import load
from platemaker.project._releases import changes_since, file_release, refuse_release
from tests.cli_runner import Answer, run

SPEC = """\
project: pot
drawing: {revisions: [{revision: A, change: first release}]}
joints:
  rim:
    bolts: {pattern: {rectangle: [80, 60]}, thread: M6}
parts:
  lid:
    kind: plate
    material: 6061-T6
    thickness: 12
    outline: {rectangle: [110, 90]}
    below: {rim: {holes: clear, position: 0.3}}
    pocket: {shape: {rectangle: [30, 20], corner_radius: 5}, depth: 4, cutter: 8}
"""


@pytest.fixture
def pot(tmp_path: Path) -> Path:
    (tmp_path / "pot").mkdir()
    write(tmp_path / "pot")
    return tmp_path / "pot"


def write(folder: Path, *changes: tuple[str, str]) -> None:
    text = SPEC
    for was, to in changes:
        assert was in text
        text = text.replace(was, to)
    (folder / "project.yaml").write_text(text, encoding="utf-8")


def build(folder: Path, *options: object) -> Answer:
    return run("build", folder, "--out", folder.parent / "out", *options)


def words(file: Path) -> str:
    return " ".join(word for page in read_pdf(file).pages for word in page.words)


@pytest.mark.kernel
def test_the_next_build_lists_what_changed_since_the_release(pot: Path) -> None:
    """Pocket 4 to 5 deep, zones 0.3 to 0.2, plate 12 to 14 thick: a cut, a tolerance and a size."""
    package, filed = pot.parent / "out" / "pot", pot.parent / "out" / "pot.releases" / "A"
    assert build(pot, "--release", "A").code == 0
    assert "SINCE" not in words(package / "cover_page.pdf")
    before = {file.name: file.read_bytes() for file in package.iterdir()}
    assert {file.name: file.read_bytes() for file in filed.iterdir() if file.is_file()} == before
    assert (filed / "spec" / "project.yaml").read_text(encoding="utf-8") == SPEC

    write(pot, ("depth: 4", "depth: 5"), ("position: 0.3", "position: 0.2"), ("thickness: 12", "thickness: 14"))
    assert build(pot).code == 0
    cover, drawing = words(package / "cover_page.pdf"), words(package / "lid_drawing.pdf")
    assert "CHANGED SINCE REVISION A" in cover
    for said in ("depth from 4.000 to 5.000 mm", "position tolerance from 0.300 to 0.200 mm", "12.000) to (110.000"):
        assert said in cover
    assert "since A pocket: depth from 4.000 to 5.000 mm" in drawing
    twice = {file.name: file.read_bytes() for file in package.iterdir()}
    assert build(pot, "--fresh").code == 0
    assert {file.name: file.read_bytes() for file in package.iterdir()} == twice, "with the store and without"
    assert {file.name: file.read_bytes() for file in filed.iterdir() if file.is_file()} == before


def test_a_revision_that_the_spec_does_not_end_with_is_refused(pot: Path) -> None:
    answer = build(pot, "--release", "B")
    assert answer.code == 2
    assert "`drawing.revisions`" in answer.err
    assert "met 'B'; allowed: A" in answer.err
    assert not (pot.parent / "out").exists()


def test_a_release_is_never_overwritten_and_never_of_what_fails(pot: Path) -> None:
    out, done = pot.parent / "out", load(pot).check()
    package = out / "pot"
    package.mkdir(parents=True)
    (package / "lid.step").write_bytes(b"step")
    refuse_release(done, out, "A")
    filed = file_release(done, package, out, "A")
    assert (filed / "lid.step").read_bytes() == b"step"
    with pytest.raises(OutputError, match="revision A is released already"):
        refuse_release(done, out, "A")
    with pytest.raises(OutputError, match="of the whole project"):
        refuse_release(done.only("lid"), out, "A")
    write(pot, ("rectangle: [80, 60]", "rectangle: [102, 60]"))
    with pytest.raises(OutputError, match="revision A is not released: a check fails"):
        refuse_release(load(pot).check(), out, "A")
    assert [file.name for file in filed.parent.iterdir()] == ["A"], "nothing is left beside it"


def test_changes_are_since_the_last_release_of_the_list(pot: Path) -> None:
    out = pot.parent / "out"
    (out / "pot").mkdir(parents=True)
    assert changes_since(load(pot).check(), out).release == ""
    file_release(load(pot).check(), out / "pot", out, "A")
    two = ("first release}", "first release}, {revision: B, change: deeper}")
    write(pot, two, ("depth: 4", "depth: 5"))
    found = changes_since(load(pot).check(), out)
    assert (found.release, found.of_part("lid")) == ("A", ("pocket: depth from 4.000 to 5.000 mm",))
    file_release(load(pot).check(), out / "pot", out, "B")
    assert changes_since(load(pot).check(), out).lines == ()
    (out / "pot.releases" / "B" / "spec" / "project.yaml").write_text("project: [", encoding="utf-8")
    assert changes_since(load(pot).check(), out).lines[0][2].startswith("not compared")
