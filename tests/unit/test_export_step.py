"""STEP files: names, colours, places and repeatability."""

from __future__ import annotations

import math
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from platemaker.catalog import Family
from platemaker.errors import OutputError, ProofError
from platemaker.export import prove_stack_step, prove_step, read_step, write_stack_step, write_step
from platemaker.export._reading._read_step import prove_drilling_step
from platemaker.export._solid import _step
from platemaker.export._solid._named_faces import HOLES
from platemaker.export._solid._step import COLOURS, write_drilling_step
from platemaker.parts import Part
from platemaker.records import replace
from platemaker.solids import prove, solid_of
from platemaker.space import Frame
from tests import sample_parts as sample

pytestmark = pytest.mark.kernel


def unforetold(part: Part) -> None:
    """No closed formula."""


@pytest.mark.parametrize("make", sample.SAMPLES, ids=lambda make: make.__name__)
def test_every_sample_reads_back(make: Callable[[], Part], tmp_path: Path) -> None:
    part = make()
    solid = solid_of(part)
    proof = prove(part, solid, unforetold)
    write_step(part, solid, tmp_path / "part.step")
    item = prove_step(part, proof, tmp_path / "part.step").items[0]
    assert item.name == part.name
    assert "NEXT_ASSEMBLY_USAGE_OCCURRENCE" not in (tmp_path / "part.step").read_text()
    assert item.volume == pytest.approx(proof.volume, rel=1e-6)


def test_walls_of_holes_say_what_makes_them(tmp_path: Path) -> None:
    """M8 with a 6.8 drill: one round wall. The plate with counterbores of 15 and holes of 9: two for each of its four."""
    named = {}
    for make in (sample.tapped_with_drill_point, sample.counterbore_and_pocket):
        part = make()
        write_step(part, solid_of(part), tmp_path / "part.step")
        named[make] = sorted(read_step(tmp_path / "part.step").items[0].faces)
    [thread] = named[sample.tapped_with_drill_point]
    assert thread.startswith("t1: M8 thread, full to ")
    assert [name for name in named[sample.counterbore_and_pocket] if name.startswith("b2")] == [
        "b2: counterbore 15 mm", "b2: hole 9 mm",
    ]  # fmt: skip
    assert len(set(HOLES.values())) == len(HOLES)


def test_a_thread_without_its_name_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    part = sample.tapped_with_drill_point()
    solid = solid_of(part)
    monkeypatch.setattr(_step, "named_faces", lambda *_: ())
    write_step(part, solid, tmp_path / "part.step")
    with pytest.raises(ProofError, match="no face is named for the thread of 't1'"):
        prove_step(part, prove(part, solid, unforetold), tmp_path / "part.step")


def test_what_is_drilled_out_of_a_casting(tmp_path: Path) -> None:
    """Two bores of 12 at 45 degrees, 30 deep; out of the face they reach until the whole rim is out, 6 mm, and 1 more."""
    part = sample.drilled_casting()
    write_drilling_step(part, tmp_path / "casting.step")
    first, second = prove_drilling_step(part, tmp_path / "casting.step").items
    assert (first.name, second.name) == ("bore_1.drilled", "bore_2.drilled")
    assert math.pi * 36 * 30 < first.volume < math.pi * 36 * (30 + 6 + 1.1)
    write_drilling_step(replace(part, cuts=part.cuts[:1]), tmp_path / "casting.step")
    with pytest.raises(ProofError, match=r"instead of \['bore_1.drilled', 'bore_2.drilled'\]"):
        prove_drilling_step(part, tmp_path / "casting.step")


def test_every_material_has_a_colour_of_its_own() -> None:
    assert set(COLOURS) == set(Family)
    assert len(set(COLOURS.values())) == len(COLOURS)


def test_the_stack_stands_in_its_places(tmp_path: Path) -> None:
    stack = sample.sample_stack()
    solids = {part.name: solid_of(part) for part in stack.parts}
    proofs = [prove(part, solids[part.name], unforetold) for part in stack.parts]
    write_stack_step(stack, solids, tmp_path / "stack.step", tmp_path)
    reading = prove_stack_step(stack, proofs, tmp_path / "stack.step")
    boxes = {item.name: item.bounds for item in reading.items}
    assert list(boxes) == [
        "lower.1",
        "upper.1",
        "sheet_gasket.1",
        "turned_boss.1",
        "turned_boss.2",
        "log.existing",
        "blower.existing",
        *(f"port_{spot}.bought" for spot in ("b1", "b2", "b3", "b4")),
    ]
    assert boxes["upper.1"] == pytest.approx((-50, -35, 30.8, 50, 35, 42.8), abs=1e-6)
    assert boxes["turned_boss.2"] == pytest.approx((69, 29, 0, 91, 51, 30), abs=1e-6)
    assert boxes["log.existing"] == pytest.approx((-60, -40, -50, 60, 40, 0), abs=1e-6)


def test_a_stack_whose_part_stands_elsewhere_is_refused(tmp_path: Path) -> None:
    """Two hundredths of a millimetre: more than the file's digits, less than one sees on a screen."""
    stack = sample.sample_stack()
    solids = {part.name: solid_of(part) for part in stack.parts}
    proofs = [prove(part, solids[part.name], unforetold) for part in stack.parts]
    moved = tuple(
        replace(part, places=(Frame((0.0, 0.0, 30.82)),)) if part.name == "upper" else part for part in stack.parts
    )
    write_stack_step(replace(stack, parts=moved), solids, tmp_path / "stack.step", tmp_path)
    with pytest.raises(ProofError, match=r"'upper\.1' stands at .*30\.82.* instead of"):
        prove_stack_step(stack, proofs, tmp_path / "stack.step")


def test_the_header_tells_no_time_of_day(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    part = sample.plain_plate()
    monkeypatch.delenv("SOURCE_DATE_EPOCH", raising=False)
    write_step(part, solid_of(part), tmp_path / "fixed.step")
    assert "FILE_NAME('fixed.step','1980-01-01T00:00:00'," in (tmp_path / "fixed.step").read_text()
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1000000000")
    write_step(part, solid_of(part), tmp_path / "given.step")
    assert "FILE_NAME('given.step','2001-09-09T01:46:40'," in (tmp_path / "given.step").read_text()
    for met in ("yesterday", "-5", "1.5", "", "253402300800", "9" * 40):
        monkeypatch.setenv("SOURCE_DATE_EPOCH", met)
        with pytest.raises(OutputError, match=f"SOURCE_DATE_EPOCH: met '{met}'; allowed: a whole number of seconds"):
            write_step(part, solid_of(part), tmp_path / "wrong.step")


def test_no_place_to_write_is_told(tmp_path: Path) -> None:
    part = sample.plain_plate()
    with pytest.raises(OutputError, match=r"part\.step cannot be written"):
        write_step(part, solid_of(part), tmp_path / "gone" / "part.step")


def test_a_file_without_its_end_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def half(_: object, path: Path) -> None:
        path.write_text("ISO-10303-21;\nHEADER;\n")

    monkeypatch.setattr(_step, "write_product", half)
    with pytest.raises(OutputError, match=r"part\.step was cut short while it was written; is the disk full\?"):
        write_step(sample.plain_plate(), solid_of(sample.plain_plate()), tmp_path / "part.step")


@pytest.mark.slow
def test_a_file_cut_short_by_the_system_is_told(tmp_path: Path) -> None:
    """The kernel reports success on a full disk; the missing end of the file gives it away."""
    code = f"""
import resource, signal
from pathlib import Path
from platemaker.errors import OutputError, ProofError
from platemaker.export import write_step
from platemaker.solids import solid_of
from tests import sample_parts
part = sample_parts.counterbore_and_pocket()
solid = solid_of(part)
signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
resource.setrlimit(resource.RLIMIT_FSIZE, (8192, 8192))
try:
    write_step(part, solid, Path({str(tmp_path / "part.step")!r}))
except OutputError as fault:
    print(fault)
"""
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert "part.step was cut short while it was written; is the disk full?" in run.stdout


def test_a_file_that_is_no_step_file_is_named(tmp_path: Path) -> None:
    from platemaker.errors import ProofError

    (tmp_path / "text.step").write_text("not a model")
    with pytest.raises(ProofError, match=r"text\.step does not read back as it should: cannot be read"):
        read_step(tmp_path / "text.step")
