"""A build that is interrupted, starved, watched or raced leaves the exports before it whole, or the new ones whole."""

from __future__ import annotations

import hashlib
import json
import os
import resource
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from tests.package_tree import PACKAGE, ROOT

STARTER = PACKAGE / "project" / "data" / "starter"
INSTANTS, SIZES = 200, 20


def command(project: Path, *options: str) -> list[str]:
    out = project.parent / "exports"
    return [sys.executable, "-m", "platemaker.cli", "build", str(project), "--out", str(out), *options]


def environment(folder: Path) -> dict[str, str]:
    return {**os.environ, "XDG_CACHE_HOME": str(folder / "cache"), "PYTHONPATH": str(ROOT)}


def builds(project: Path, *options: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        command(project, *options), env=environment(project.parent), capture_output=True, text=True, check=False
    )


def whole(folder: Path) -> str:
    """The digest of an exports folder, every file of which is as its manifest says, and none is beside them."""
    manifest = (folder / "manifest.json").read_bytes()
    stated = {one["name"]: one["sha256"] for one in json.loads(manifest)["files"]}
    found = {path.name: hashlib.sha256(path.read_bytes()).hexdigest() for path in folder.iterdir()}
    found.pop("manifest.json")
    assert found == stated
    return hashlib.sha256(manifest).hexdigest()


@pytest.fixture
def project(tmp_path: Path) -> Path:
    """The starter project, built once."""
    shutil.copytree(STARTER, tmp_path / "starter")
    assert builds(tmp_path / "starter").returncode == 0
    return tmp_path / "starter"


def retitled(project: Path, title: str) -> None:
    file = project / "project.yaml"
    lines = file.read_text(encoding="utf-8").splitlines()
    at = next(number for number, line in enumerate(lines) if line.startswith("title:"))
    lines[at] = f"title: {title}"
    file.write_text("\n".join(lines), encoding="utf-8")


SWAPPED = """
import os, signal, sys
from pathlib import Path
from platemaker.export import OutputFolder
rename = Path.rename
def once(path, target):
    rename(path, target)
    os.kill(os.getpid(), signal.SIGKILL)
Path.rename = once
with OutputFolder(Path(sys.argv[1])) as folder:
    folder.path("lid", ".txt", "a test file").write_text("new")
"""


def test_a_build_killed_between_its_two_renames_loses_nothing(tmp_path: Path) -> None:
    from platemaker.export import OutputFolder

    def fill(text: str) -> None:
        with OutputFolder(tmp_path / "out") as folder:
            folder.path("lid", ".txt", "a test file").write_text(text)

    fill("old")
    done = subprocess.run([sys.executable, "-c", SWAPPED, str(tmp_path / "out")], cwd=ROOT, check=False)
    assert done.returncode == -signal.SIGKILL
    assert not (tmp_path / "out").exists(), "it was killed too late: the test has lost its object"
    with pytest.raises(RuntimeError), OutputFolder(tmp_path / "out"):
        raise RuntimeError
    assert (tmp_path / "out" / "lid.txt").read_text() == "old"
    fill("new")
    assert sorted(path.name for path in tmp_path.iterdir()) == ["out"]


@pytest.mark.slow
@pytest.mark.kernel
def test_a_build_killed_at_any_instant_leaves_a_whole_folder(project: Path) -> None:
    target = project.parent / "exports" / "starter"
    started = time.monotonic()
    retitled(project, "Number 0")
    builds(project)
    span = 1.2 * (time.monotonic() - started)
    seen = {whole(target)}
    for instant in range(INSTANTS):
        retitled(project, f"Number {instant + 1}")
        with subprocess.Popen(
            command(project), env=environment(project.parent), stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
        ) as build:
            try:
                build.wait(span * instant / INSTANTS)
            except subprocess.TimeoutExpired:
                build.kill()
        seen.add(whole(target))
    assert len(seen) > 1, "no build came to its end: the test has lost its object"
    assert builds(project).returncode == 0
    assert [path.name for path in target.parent.iterdir()] == ["starter"]


@pytest.mark.slow
@pytest.mark.kernel
def test_a_disk_that_fills_at_any_size_leaves_a_whole_folder(project: Path) -> None:
    target = project.parent / "exports" / "starter"
    before, codes = whole(target), set()
    for number in range(SIZES):
        limit = int(200 * 1.7**number)
        done = subprocess.run(
            command(project, "--fresh"), env=environment(project.parent), capture_output=True, text=True, check=False,
            preexec_fn=lambda limit=limit: resource.setrlimit(resource.RLIMIT_FSIZE, (limit, limit)),
        )  # fmt: skip
        codes.add(done.returncode)
        assert done.returncode in (0, 3), done.stderr
        assert "Traceback" not in done.stderr
        assert whole(target) == before
    assert codes == {0, 3}


@pytest.mark.slow
@pytest.mark.kernel
def test_two_builds_at_a_time_leave_one_whole_folder(project: Path) -> None:
    target = project.parent / "exports" / "starter"
    for number in range(5):
        retitled(project, f"Pair {number}")
        pair = [
            subprocess.Popen(command(project), env=environment(project.parent), stdout=subprocess.DEVNULL)
            for _ in range(2)
        ]
        codes = [one.wait() for one in pair]
        assert 0 in codes
        assert set(codes) <= {0, 3}
        whole(target)
        assert [path.name for path in target.parent.iterdir()] == ["starter"]


@pytest.mark.slow
@pytest.mark.kernel
def test_files_from_the_future_change_nothing(project: Path) -> None:
    """As after a clock that was set back: what was made before lies in the future."""
    target = project.parent / "exports" / "starter"
    before, future = whole(target), time.time() + 1e8
    for path in [*project.parent.rglob("*")]:
        os.utime(path, (future, future))
    assert builds(project).returncode == 0
    assert whole(target) == before


@pytest.mark.kernel
@pytest.mark.skipif(os.getuid() == 0 and not shutil.which("setpriv"), reason="root may write anywhere without setpriv")
def test_a_user_who_may_not_write_is_told_so(project: Path) -> None:
    target = project.parent / "exports" / "starter"
    before = whole(target)
    target.parent.chmod(0o555)
    bound = ["setpriv", "--bounding-set=-dac_override"] if os.getuid() == 0 else []
    done = subprocess.run(
        [*bound, *command(project)], env=environment(project.parent), capture_output=True, text=True, check=False
    )
    target.parent.chmod(0o755)
    assert (done.returncode, "Traceback" in done.stderr) == (3, False), done.stderr
    assert f"{target} cannot be written: Permission denied; the one before is untouched" in done.stderr
    assert whole(target) == before
