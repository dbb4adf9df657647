"""STEP files from outside: whatever stands in them, they give a body or are refused by name."""

from __future__ import annotations

import os
import random
import re
import time
from pathlib import Path

import cadquery as cq
import pytest

from platemaker.errors import GeometryError
from platemaker.solids import _step_file, load_step
from platemaker.solids._step_child import unfit_number

pytestmark = pytest.mark.kernel


def text_of(*shapes: cq.Shape, folder: Path) -> str:
    cq.exporters.export(cq.Workplane(obj=cq.Compound.makeCompound(shapes)), str(folder / "made.step"))
    return (folder / "made.step").read_text(encoding="ascii")


def box(x: float = 0.0) -> cq.Shape:
    return cq.Solid.makeBox(12, 14, 16, cq.Vector(x, 0, 0))


def read(folder: Path, text: str) -> Path:
    path = folder / "body.step"
    path.write_text(text, encoding="ascii")
    return path


@pytest.mark.parametrize(
    ("old", "new", "reason"),
    [
        ("(12.,", "(1.E400,", r"has 1\.E400 in its line \d+, which is no finite number"),
        ("(12.,", "(NaN,", r"has NaN in its line \d+, which is no finite number"),
        ("(12.,", "(-1.#IND,", r"has -1\.#IND in its line \d+, which is no finite number"),
        ("(12.,", "(-inf,", r"has -inf in its line \d+, which is no finite number"),
        ("(12.,", "(6.E30,", r"reaches 6e\+30 mm from its origin, more than the 100000 mm that a body may"),
        ("(12.,", "(200000.,", r"reaches 200000 mm from its origin, more than the 100000 mm that a body may"),
        ("ISO-10303-21;", "nothing;", "cannot be read as a STEP file"),
        ("MANIFOLD_SOLID_BREP", "SHELL_BASED_SURFACE_MODEL", "(holds no solid|stops the kernel)"),
    ],
)
def test_a_file_that_is_no_body_is_refused_by_name(tmp_path: Path, old: str, new: str, reason: str) -> None:
    with pytest.raises(GeometryError, match=rf"^body\.step {reason}"):
        load_step(read(tmp_path, text_of(box(), folder=tmp_path).replace(old, new)))


def test_names_and_comments_may_say_what_they_like() -> None:
    assert (
        unfit_number(b"#1 = PRODUCT('NaN','1.E999 it''s inf','',()); /* nan */ #2 = X(1.E-99,.INF.,-1.5E+008);") == ""
    )


def test_a_file_of_which_the_kernel_loses_a_solid_is_refused(tmp_path: Path) -> None:
    """The second solid's shell is taken out of the file."""
    text = text_of(box(), box(30), folder=tmp_path)
    at = text.rindex("CLOSED_SHELL")
    start, end = text.rindex("\n#", 0, at), text.index(";", at) + 1
    with pytest.raises(GeometryError, match="declares 2 solids, of which the kernel can read 1"):
        load_step(read(tmp_path, text[:start] + text[end:]))


def test_a_crash_of_the_kernel_ends_the_reader_alone(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    child = tmp_path / "child.py"
    child.write_text("import os, signal\nos.kill(os.getpid(), signal.SIGSEGV)\n", encoding="ascii")
    monkeypatch.setattr(_step_file, "CHILD", child)
    with pytest.raises(GeometryError, match=r"body\.step stops the kernel that reads it \(signal 11\)"):
        load_step(read(tmp_path, "crash"))


def test_a_reader_that_does_not_end_is_ended(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    child = tmp_path / "child.py"
    child.write_text("import time\ntime.sleep(600)\n", encoding="ascii")
    monkeypatch.setattr(_step_file, "CHILD", child)
    monkeypatch.setattr(_step_file, "SECONDS", 0.2)
    with pytest.raises(GeometryError, match=r"body\.step takes longer than 0\.2 s to read"):
        load_step(read(tmp_path, "slow"))


def test_a_reader_that_fills_the_memory_ends_alone(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The reader's own limit, lowered: the kernel itself takes more than 64 MB."""
    child = tmp_path / "child.py"
    source = _step_file.CHILD.read_text(encoding="utf-8")
    child.write_text(source.replace("4 << 30", "64 << 20"), encoding="utf-8")
    monkeypatch.setattr(_step_file, "CHILD", child)
    with pytest.raises(GeometryError, match=r"body\.step stops the kernel that reads it"):
        load_step(read(tmp_path, text_of(box(), folder=tmp_path)))


def test_only_regular_files_are_read(tmp_path: Path) -> None:
    (tmp_path / "dir.step").mkdir()
    os.mkfifo(tmp_path / "pipe.step")
    for name in ("dir.step", "pipe.step"):
        with pytest.raises(GeometryError, match=f"{name} is no regular file"):
            load_step(tmp_path / name)


def test_a_file_is_read_again_only_when_it_changed(tmp_path: Path) -> None:
    path = read(tmp_path, text_of(box(), folder=tmp_path))
    first = load_step(path)
    assert load_step(path) is first
    assert first.volume == pytest.approx(12 * 14 * 16, rel=1e-12)
    again = load_step(read(tmp_path, text_of(box(), box(30), folder=tmp_path)))
    assert (again.solids, again.volume) == (2, pytest.approx(2 * 12 * 14 * 16, rel=1e-12))


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(50))
def test_a_file_with_broken_bytes_is_a_body_or_is_refused_in_words(tmp_path: Path, seed: int) -> None:
    """Cut short, lines swapped or doubled, numbers and references changed: the reader ends in time and says why."""
    rng = random.Random(f"step {seed}")
    lines = text_of(box(), cq.Solid.makeCylinder(5, 9), folder=tmp_path).splitlines()
    for _ in range(rng.choice((1, 2, 5))):
        at, other = rng.randrange(len(lines)), rng.randrange(len(lines))
        kind = rng.randrange(6)
        if kind == 0:
            del lines[at:]
            lines.append("")
        elif kind == 1:
            lines[at], lines[other] = lines[other], lines[at]
        elif kind == 2:
            lines.insert(at, lines[other])
        elif kind == 3:
            lines[at] = re.sub(r"#\d+", f"#{rng.randrange(400)}", lines[at])
        elif kind == 4:
            lines[at] = re.sub(r"\d+\.", rng.choice(("0.", "-1.", "1.E30", "1.E-30", "7")), lines[at])
        else:
            lines[at] = "".join(rng.sample(lines[at], len(lines[at])))
    started = time.monotonic()
    try:
        assert load_step(read(tmp_path, "\n".join(lines))).volume > 0
    except GeometryError as fault:
        assert str(fault).startswith("body.step ")
    assert time.monotonic() - started < _step_file.SECONDS + 10
