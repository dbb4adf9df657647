"""A build that is interrupted, starved, watched or raced leaves the exports before it whole, or the new ones whole."""

from __future__ import annotations

import contextlib
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

from platemaker.export import usable_cores
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


def processes_of(folder: Path) -> list[str]:
    """What still runs for files in a folder."""
    found = []
    for line in Path("/proc").glob("[0-9]*/cmdline"):
        with contextlib.suppress(OSError):
            found += [line.parent.name] if str(folder).encode() in line.read_bytes() else []
    return found


def ends(temporary: Path) -> bool:
    """Whether within a minute no process and no file of a build's second process is left."""
    until = time.monotonic() + 60
    while processes_of(temporary) or any(temporary.iterdir()):
        if time.monotonic() > until:
            return False
        time.sleep(0.1)
    return True


@pytest.mark.kernel
@pytest.mark.skipif(usable_cores() < 2 or not Path("/proc/self").exists(), reason="there is no second process")
@pytest.mark.parametrize("end", [signal.SIGINT, signal.SIGTERM, signal.SIGKILL])
def test_the_process_that_makes_the_solids_ends_with_the_build(project: Path, end: signal.Signals) -> None:
    target, temporary = project.parent / "exports" / "starter", project.parent / "tmp"
    temporary.mkdir()
    before, surroundings = whole(target), {**environment(project.parent), "TMPDIR": str(temporary)}
    with subprocess.Popen(
        command(project, "--fresh"), env=surroundings, stderr=subprocess.PIPE, stdout=subprocess.DEVNULL, text=True
    ) as build:
        assert build.stderr is not None
        assert build.stderr.readline().startswith("[1/")
        assert len(processes_of(temporary)) == 1, "no solid is being made: the test has lost its object"
        build.send_signal(end)
        rest = build.stderr.read()
    assert "Traceback" not in rest
    assert ends(temporary)
    assert whole(target) == before
    if end != signal.SIGKILL:
        assert [path.name for path in target.parent.iterdir()] == ["starter"]


@pytest.mark.kernel
@pytest.mark.skipif(usable_cores() < 2 or not Path("/proc/self").exists(), reason="there is no second process")
def test_a_wrong_spec_leaves_no_process(project: Path) -> None:
    temporary = project.parent / "tmp"
    temporary.mkdir()
    retitled(project, "[1, 2]")
    done = subprocess.run(
        command(project, "--fresh"), env={**environment(project.parent), "TMPDIR": str(temporary)}, check=False,
        capture_output=True, text=True,
    )  # fmt: skip
    assert done.returncode == 2, done.stderr
    assert processes_of(temporary) == []
    assert list(temporary.iterdir()) == []
