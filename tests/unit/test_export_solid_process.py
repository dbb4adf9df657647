"""Solids made by a process of their own: the same files, the same faults, and nothing is left of it."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from platemaker.export import FolderFiles, SolidProcess, Store, build
from platemaker.parts import Stack
from platemaker.records import replace
from tests.package_tree import ROOT
from tests.unit.test_export_store import placed_stack, snapshot

pytestmark = pytest.mark.kernel

BESIDE = """
import sys, tempfile
from pathlib import Path
from platemaker.errors import PlatemakerError
from platemaker.export import SolidProcess, Store, build
from platemaker.export import _solid_process as process
from tests.unit import test_export_solid_process as test
process.usable_cores = lambda: 2
if sys.argv[2]:
    process.CHILD = test.CHANGED.format(change=sys.argv[2])
out, stack = Path(sys.argv[1]), getattr(test, sys.argv[3])()
tempfile.tempdir = str(out / "tmp")
(out / "tmp").mkdir()
try:
    with SolidProcess() as beside:
        beside.ask(stack, out, None)
        build(stack, out / "exports", spec_folder=out, beside=beside)
        beside._child.wait(60)
        print("left" if [*(out / "tmp").iterdir()] else "cleared up")
except PlatemakerError as fault:
    print(f"{type(fault).__name__}: {fault}")
print("made here" if "cadquery" in sys.modules else "made there")
print([path.name for path in (out / "tmp").iterdir()])
"""
CHANGED = """
import os, sys
from platemaker.export import _solid_files
whole = _solid_files.solid_files
def solid_files(part, folder):
    if part.name == "counterbore_and_pocket":
        {change}
    return whole(part, folder)
_solid_files.solid_files = solid_files
from platemaker.export._solid_process import main
main(sys.argv[1])
"""


def beside(folder: Path, change: str = "", stack: str = "placed_stack") -> list[str]:
    """What a script says that builds with such a process, which may be changed."""
    done = subprocess.run(
        [sys.executable, "-c", BESIDE, str(folder), change, stack], cwd=ROOT, capture_output=True, text=True, check=True
    )
    assert done.stderr == ""
    return done.stdout.splitlines()


def split_stack() -> Stack:
    """With a plate of which the kernel makes two pieces, as plane geometry does."""
    from platemaker.plane import Loop
    from tests import sample_parts as sample

    stack = placed_stack()
    slit = sample.plate("split", Loop.rectangle(60, 40), 5, sample.through_profile("slit", Loop.rectangle(4, 50), 5))
    return replace(stack, parts=(*stack.parts, slit))


def test_the_process_makes_every_solid_and_the_same_bytes(tmp_path: Path) -> None:
    assert beside(tmp_path) == ["cleared up", "made there", "[]"]
    build(placed_stack(), tmp_path / "plain", spec_folder=tmp_path)
    assert snapshot(tmp_path / "exports") == snapshot(tmp_path / "plain")


@pytest.mark.parametrize("end", ["raise MemoryError", "os.kill(os.getpid(), 9)"])
def test_what_the_process_does_not_come_to_make_is_made_here(tmp_path: Path, end: str) -> None:
    assert beside(tmp_path, end) == ["left", "made here", "[]"]
    build(placed_stack(), tmp_path / "plain", spec_folder=tmp_path)
    assert snapshot(tmp_path / "exports") == snapshot(tmp_path / "plain")


def test_what_can_be_done_meanwhile_is_done_before_the_process_is_waited_for(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    done = list[str]()
    monkeypatch.setattr(SolidProcess, "_is_made", lambda *_: bool(done.append("waited")))
    process, folder = SolidProcess(), FolderFiles(tmp_path)
    process._asked = ["asked"]
    assert process.files("asked", "the stack", folder, dict, lambda: done.append("prepared")) == {}
    assert done == ["prepared", "waited"]
    process.files("made here", "the stack", folder, dict, lambda: done.append("prepared again"))
    assert done == ["prepared", "waited", "waited"], "there is nothing to wait for"


def test_a_kernel_that_crashes_names_the_part_and_leaves_no_files(tmp_path: Path) -> None:
    stopped = "ProofError: part 'counterbore_and_pocket': the solid kernel stopped while it made this"
    assert beside(tmp_path, "os.kill(os.getpid(), 11)") == [f"{stopped} (SIGSEGV)", "made there", "[]"]
    assert [path.name for path in tmp_path.iterdir()] == ["tmp"]


def test_a_part_that_does_not_come_out_is_the_same_error(tmp_path: Path) -> None:
    from platemaker.errors import PlatemakerError

    with pytest.raises(PlatemakerError) as fault:
        build(split_stack(), tmp_path / "plain", spec_folder=tmp_path)
    assert beside(tmp_path, stack="split_stack") == [
        f"{type(fault.value).__name__}: {fault.value}", "made here", "[]"
    ]  # fmt: skip
    assert [path.name for path in tmp_path.iterdir()] == ["tmp"]


def test_nothing_is_started_where_nothing_is_missing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    stack, started = placed_stack(), list[str]()
    monkeypatch.setattr(SolidProcess, "start", lambda _: started.append("once"))
    store = Store(tmp_path / "store")
    build(stack, tmp_path / "out", spec_folder=tmp_path, store=store)
    with SolidProcess() as process:
        process.ask(stack, tmp_path, store)
        process.ask(stack, tmp_path, store, ["one_hole"])
        assert started == []
        process.ask(stack, tmp_path, Store(store.folder, fresh=True))
        assert started == ["once"]
        moved = replace(stack, parts=tuple(replace(part, places=()) for part in stack.parts[:1]) + stack.parts[1:])
        process.ask(moved, tmp_path, store)
        assert started == ["once", "once"], "the whole stack is missing"


def test_nothing_is_started_beside_a_kernel_that_is_loaded_nor_on_one_core(monkeypatch: pytest.MonkeyPatch) -> None:
    from platemaker.export import _solid_process as module

    monkeypatch.setattr(module, "_started", lambda _: pytest.fail("started"))
    monkeypatch.setitem(sys.modules, "cadquery", None)
    with SolidProcess() as process:
        process.start()
    monkeypatch.delitem(sys.modules, "cadquery")
    monkeypatch.setattr(module, "usable_cores", lambda: 1)
    with SolidProcess() as process:
        process.start()
