"""A whole build: files, proofs, manifest, and what happens when it fails."""

from __future__ import annotations

import hashlib
import json
import math
import os
import subprocess
import sys
from pathlib import Path

import pytest

from platemaker.errors import OutputError, ProofError, SpecError
from platemaker.export import MANIFEST, BuildResult, OutputFolder, build
from platemaker.parts import Body, Envelope, EnvelopeKind, ProfileKind, Stack
from platemaker.plane import Loop
from platemaker.records import replace
from platemaker.space import Frame
from tests import sample_parts as sample

pytestmark = pytest.mark.kernel


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def paper_of(part: str) -> list[str]:
    paper = ("drawing.pdf", "drawing.svg", "first_article.pdf", "first_article.yaml", "template.pdf")
    return [f"{part}_{name}" for name in paper]


def small_stack() -> Stack:
    """One placed plate, the drilled casting, and one body."""
    plate = replace(sample.one_hole(), places=(Frame(),), key="parts.one_hole")
    body = Body("log", "log", None, Envelope(EnvelopeKind.BOX, (50.0, 40.0, 30.0)), Frame((0.0, 0.0, -30.0)))
    return Stack("small", "small", "mm", (plate, sample.drilled_casting()), (body,), ())


def test_a_build_writes_every_file_and_lists_it(tmp_path: Path) -> None:
    seen: list[tuple[str, int, int]] = []
    result = build(small_stack(), tmp_path / "out", spec_folder=tmp_path, progress=lambda *stated: seen.append(stated))
    assert names(tmp_path / "out") == sorted(
        [
            "drilled_casting.dxf",
            "drilled_casting.step",
            "drilled_casting_holes.csv",
            *paper_of("drilled_casting"),
            MANIFEST,
            "one_hole.dxf",
            "one_hole.step",
            "one_hole_holes.csv",
            "one_hole_profile.dxf",
            *paper_of("one_hole"),
            "stack.step",
        ]
    )
    assert seen == [("one_hole", 1, 2), ("drilled_casting", 2, 2)]
    plate, casting = result.parts
    assert plate.solid.expected == pytest.approx((6000 - 36 * math.pi) * 10, rel=1e-12)
    assert plate.dxf.circles == ((20.0, 10.0, 12.0),)
    assert casting.step is not None
    assert [item.name for item in casting.step.items] == ["bore_1.drilled", "bore_2.drilled"]
    assert result.stack is not None
    assert [item.name for item in result.stack.items] == ["one_hole.1", "log.existing"]
    manifest = json.loads((tmp_path / "out" / MANIFEST).read_text())["files"]
    assert [row["name"] for row in manifest] == [name for name in names(tmp_path / "out") if name != MANIFEST]
    for row in manifest:
        data = (tmp_path / "out" / row["name"]).read_bytes()
        assert (row["size"], row["sha256"]) == (len(data), hashlib.sha256(data).hexdigest())
    assert {row["part"] for row in manifest} == {"one_hole", "drilled_casting", ""}
    assert {row["key"] for row in manifest if row["part"] == "one_hole"} == {"parts.one_hole"}


def test_other_rooms_add_their_files(tmp_path: Path) -> None:
    def add_page(folder: OutputFolder, result: BuildResult) -> None:
        folder.path("report", "md", "check report").write_text(f"{len(result.parts)} parts\n")

    result = build(small_stack(), tmp_path / "out", spec_folder=tmp_path, extra=add_page)
    assert (tmp_path / "out" / "report.md").read_text() == "2 parts\n"
    assert result.files[-1].name == "report.md"


def test_one_part_alone(tmp_path: Path) -> None:
    result = build(small_stack(), tmp_path / "out", spec_folder=tmp_path, only=["one_hole"])
    cut_files = ["one_hole.dxf", "one_hole.step", "one_hole_holes.csv", "one_hole_profile.dxf"]
    assert names(tmp_path / "out") == sorted([MANIFEST, *cut_files, *paper_of("one_hole")])
    assert result.stack is None
    with pytest.raises(
        SpecError, match=r"no part has this name, met 'one_hol'; allowed: .*; did you mean 'one_hole'\?"
    ):
        build(small_stack(), tmp_path / "out", spec_folder=tmp_path, only=["one_hol"])


def test_a_part_that_fails_its_proof_leaves_the_exports_before(tmp_path: Path) -> None:
    good = small_stack()
    build(good, tmp_path / "out", spec_folder=tmp_path)
    before = {name: (tmp_path / "out" / name).read_bytes() for name in names(tmp_path / "out")}
    across = sample.through_profile("across", Loop.rectangle(6, 80), 10, ProfileKind.SLOT)
    bad = replace(good, parts=(sample.plain_plate(), replace(sample.one_hole(), cuts=(across,))))
    with pytest.raises(ProofError, match="part 'one_hole', cut 'across': the solid is 2 pieces"):
        build(bad, tmp_path / "out", spec_folder=tmp_path)
    assert {name: (tmp_path / "out" / name).read_bytes() for name in names(tmp_path / "out")} == before
    assert names(tmp_path) == ["out"]


def test_a_name_that_is_a_path_is_refused(tmp_path: Path) -> None:
    bad = replace(small_stack(), parts=(replace(sample.plain_plate(), name="../plate"),))
    with pytest.raises(OutputError, match=r"'\.\./plate' cannot be a file name"):
        build(bad, tmp_path / "out", spec_folder=tmp_path)
    assert names(tmp_path) == []


def test_a_part_called_like_the_stacks_file_is_refused(tmp_path: Path) -> None:
    bad = replace(small_stack(), parts=(replace(sample.plain_plate(), name="stack"),))
    with pytest.raises(OutputError, match=r"two files of the output would be called 'stack\.step'"):
        build(bad, tmp_path / "out", spec_folder=tmp_path)


def test_a_disk_that_fills_half_way_through_a_build(tmp_path: Path) -> None:
    """The system itself breaks off every file at 12 kB: some are written before one is not."""
    build(small_stack(), tmp_path / "out", spec_folder=tmp_path)
    before = {name: (tmp_path / "out" / name).read_bytes() for name in names(tmp_path / "out")}
    code = f"""
import resource, signal
from pathlib import Path
from platemaker.errors import OutputError
from platemaker.export import build
from tests.unit import test_export_build
signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
resource.setrlimit(resource.RLIMIT_FSIZE, (12288, 12288))
try:
    build(test_export_build.small_stack(), Path({str(tmp_path / "out")!r}), spec_folder=Path())
except OutputError as fault:
    print(fault)
"""
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert "cannot be written: File too large; the one before is untouched" in run.stdout
    assert {name: (tmp_path / "out" / name).read_bytes() for name in names(tmp_path / "out")} == before
    assert names(tmp_path) == ["out"]


def test_the_same_stack_gives_the_same_manifest_in_two_processes(tmp_path: Path) -> None:
    """Whatever the process wrote before, and in whatever order its sets run."""
    code = """
import sys
from pathlib import Path
from platemaker.export import build, write_step
from platemaker.solids import solid_of
from tests import sample_parts
for make in sample_parts.SAMPLES[: int(sys.argv[2])]:
    write_step(make(), solid_of(make()), Path(sys.argv[1] + ".step"))
build(sample_parts.sample_stack(), Path(sys.argv[1]), spec_folder=Path())
"""
    runs = [
        subprocess.Popen(
            [sys.executable, "-c", code, str(tmp_path / name), before], env={**os.environ, "PYTHONHASHSEED": seed}
        )
        for name, seed, before in (("a", "1", "0"), ("b", "2", "5"))
    ]
    assert [run.wait() for run in runs] == [0, 0]
    # The manifest holds every file's digest.
    assert (tmp_path / "a" / MANIFEST).read_bytes() == (tmp_path / "b" / MANIFEST).read_bytes()
