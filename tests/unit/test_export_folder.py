"""The output folder: all at once, nothing lost, nowhere else."""

from __future__ import annotations

import hashlib
import json
import subprocess
import sys
from pathlib import Path

import pytest

from platemaker.errors import OutputError
from platemaker.export import MANIFEST, Made, OutputFolder


def fill(target: Path, text: str, name: str = "lid") -> None:
    with OutputFolder(target) as folder:
        folder.path(name, ".txt", "a test file", part="lid", key="parts.lid").write_text(text)


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def test_files_appear_with_their_manifest(tmp_path: Path) -> None:
    fill(tmp_path / "deep" / "out", "one")
    assert names(tmp_path / "deep") == ["out"]
    assert names(tmp_path / "deep" / "out") == ["lid.txt", MANIFEST]
    manifest = json.loads((tmp_path / "deep" / "out" / MANIFEST).read_text())
    assert manifest["files"] == [
        {
            "name": "lid.txt",
            "what": "a test file",
            "part": "lid",
            "key": "parts.lid",
            "size": 3,
            "sha256": hashlib.sha256(b"one").hexdigest(),
        }
    ]


def test_a_second_build_replaces_the_whole_folder(tmp_path: Path) -> None:
    fill(tmp_path / "out", "one", "first")
    fill(tmp_path / "out", "two", "second")
    assert names(tmp_path / "out") == [MANIFEST, "second.txt"]
    assert names(tmp_path) == ["out"]


def test_a_failed_build_leaves_the_folder_before_untouched(tmp_path: Path) -> None:
    fill(tmp_path / "out", "one")
    with pytest.raises(RuntimeError, match="no luck"), OutputFolder(tmp_path / "out") as folder:
        folder.path("lid", ".txt", "a test file").write_text("two")
        raise RuntimeError("no luck")
    assert (tmp_path / "out" / "lid.txt").read_text() == "one"
    assert names(tmp_path) == ["out"]


@pytest.mark.parametrize("stem", ["../lid", "a/b", "..", "", "/tmp/lid", "lid.txt"])
def test_no_name_leads_out_of_the_folder(tmp_path: Path, stem: str) -> None:
    with pytest.raises(OutputError, match="cannot be a file name"), OutputFolder(tmp_path / "out") as folder:
        folder.path(stem, ".txt", "a test file")
    with pytest.raises(OutputError, match="cannot be a file name"), OutputFolder(tmp_path / "out") as folder:
        folder.path("lid", "/../x", "a test file")
    assert names(tmp_path) == []


def test_a_name_is_given_once(tmp_path: Path) -> None:
    with pytest.raises(OutputError, match=r"two files of the output would be called 'lid\.txt'"):
        with OutputFolder(tmp_path / "out") as folder:
            folder.path("lid", ".txt", "one").write_text("1")
            folder.path("lid", ".txt", "two")
    with pytest.raises(OutputError, match=r"two files of the output would be called 'manifest\.json'"):
        with OutputFolder(tmp_path / "out") as folder:
            folder.path("manifest", ".json", "one")


def test_a_file_announced_must_be_written(tmp_path: Path) -> None:
    with pytest.raises(OutputError, match=r"'lid\.txt' was announced but not written"):
        with OutputFolder(tmp_path / "out") as folder:
            folder.path("lid", ".txt", "one")
    assert names(tmp_path) == []


def test_a_folder_of_someone_else_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / "out").mkdir()
    (tmp_path / "out" / "letters.txt").write_text("dear")
    with pytest.raises(OutputError, match=r"out holds files but no manifest\.json of ours; it is left alone"):
        fill(tmp_path / "out", "one")
    (tmp_path / "out" / MANIFEST).write_text('{"name": "a web page"}')
    with pytest.raises(OutputError, match="it is left alone"):
        fill(tmp_path / "out", "one")
    assert names(tmp_path / "out") == ["letters.txt", MANIFEST]


def test_a_file_in_the_folders_place_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / "out").write_text("dear")
    with pytest.raises(OutputError, match="out is a file; the exports need a folder of that name"):
        fill(tmp_path / "out", "one")
    assert (tmp_path / "out").read_text() == "dear"


def test_an_empty_folder_is_taken(tmp_path: Path) -> None:
    (tmp_path / "out").mkdir()
    fill(tmp_path / "out", "one")
    assert names(tmp_path / "out") == ["lid.txt", MANIFEST]


def test_a_place_that_cannot_be_written_is_named(tmp_path: Path) -> None:
    # A file where the parent folder should be: refused whoever runs the tests, unlike a folder without permission.
    (tmp_path / "file").write_text("dear")
    with pytest.raises(OutputError, match=r"the output folder .*file/out cannot be written: .*[Ee]xist|directory"):
        fill(tmp_path / "file" / "out", "one")


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="this system has no device that is always full")
def test_a_full_disk_is_told_and_nothing_is_lost(tmp_path: Path) -> None:
    fill(tmp_path / "out", "one")
    with pytest.raises(OutputError, match="cannot be written: No space left on device; the one before is untouched"):
        with OutputFolder(tmp_path / "out") as folder:
            path = folder.path("lid", ".txt", "a test file")
            path.symlink_to("/dev/full")
            path.write_text("two")
    assert (tmp_path / "out" / "lid.txt").read_text() == "one"
    assert names(tmp_path) == ["out"]


def test_a_disk_that_fills_half_way_leaves_the_folder_before(tmp_path: Path) -> None:
    """A limit on the size of files makes the system itself break off a write."""
    fill(tmp_path / "out", "one")
    code = f"""
import resource, signal
from pathlib import Path
from platemaker.errors import OutputError
from platemaker.export import OutputFolder
signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
resource.setrlimit(resource.RLIMIT_FSIZE, (4096, 4096))
try:
    with OutputFolder(Path({str(tmp_path / "out")!r})) as folder:
        folder.path("small", ".txt", "fits").write_text("x" * 100)
        folder.path("large", ".txt", "does not").write_text("x" * 100_000)
except OutputError as fault:
    print(fault)
"""
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert "cannot be written: File too large; the one before is untouched" in run.stdout
    assert (tmp_path / "out" / "lid.txt").read_text() == "one"
    assert names(tmp_path) == ["out"]


def test_a_run_killed_between_its_renames_is_put_right_by_the_next(tmp_path: Path) -> None:
    fill(tmp_path / "out", "one")
    (tmp_path / "out").rename(tmp_path / ".out.old")
    with pytest.raises(RuntimeError, match="no luck"), OutputFolder(tmp_path / "out"):
        raise RuntimeError("no luck")
    assert (tmp_path / "out" / "lid.txt").read_text() == "one"
    fill(tmp_path / "out", "two")
    assert names(tmp_path) == ["out"]


def test_a_run_killed_after_its_renames_is_tidied_by_the_next(tmp_path: Path) -> None:
    fill(tmp_path / "out", "one")
    fill(tmp_path / ".out.old", "older")
    fill(tmp_path / "out", "two")
    assert names(tmp_path) == ["out"]
    assert (tmp_path / "out" / "lid.txt").read_text() == "two"


def test_files_announced_so_far_are_told(tmp_path: Path) -> None:
    with OutputFolder(tmp_path / "out") as folder:
        folder.path("lid", "txt", "one", part="lid").write_text("1")
        assert folder.made == (Made("lid.txt", "one", "lid", ""),)
    with pytest.raises(OutputError, match="the output folder is not open"):
        folder.path("more", "txt", "late")


HOLD = """
import sys, time
from pathlib import Path
from platemaker.export import OutputFolder
with OutputFolder(Path(sys.argv[1])) as folder:
    (folder.folder / "half.txt").write_text("half")
    print("held", flush=True)
    time.sleep(600)
"""


def test_what_a_killed_build_left_is_swept_and_what_another_holds_is_not(tmp_path: Path) -> None:
    command = [sys.executable, "-c", HOLD, str(tmp_path / "out")]
    with subprocess.Popen(command, stdout=subprocess.PIPE) as other:
        assert other.stdout is not None
        assert other.stdout.readline() == b"held\n"
        [held] = names(tmp_path)
        fill(tmp_path / "out", "mine")
        assert names(tmp_path) == [held, "out"]
        other.kill()
    fill(tmp_path / "out", "again")
    assert names(tmp_path) == ["out"]


def test_folders_of_other_projects_are_not_swept(tmp_path: Path) -> None:
    (tmp_path / ".outer.new-1").mkdir()
    fill(tmp_path / "out", "mine")
    assert names(tmp_path) == [".outer.new-1", "out"]


def test_what_was_filled_in_or_added_is_kept_beside_the_folder(tmp_path: Path) -> None:
    fill(tmp_path / "out", "reads: null")
    (tmp_path / "out" / "lid.txt").write_text("reads: 25.39")
    (tmp_path / "out" / "letters").mkdir()
    (tmp_path / "out" / "letters" / "from_the_shop.txt").write_text("dear")
    with OutputFolder(tmp_path / "out") as folder:
        assert folder.to_keep == ("letters", "lid.txt")
        folder.path("lid", ".txt", "a test file").write_text("reads: null")
    assert names(tmp_path) == ["out", "out.kept"]
    assert (tmp_path / "out" / "lid.txt").read_text() == "reads: null"
    assert (tmp_path / "out.kept" / "lid.txt").read_text() == "reads: 25.39"
    assert (tmp_path / "out.kept" / "letters" / "from_the_shop.txt").read_text() == "dear"


def test_readings_kept_before_are_not_written_over(tmp_path: Path) -> None:
    for reading in ("one", "two", "two"):
        fill(tmp_path / "out", "blank")
        (tmp_path / "out" / "lid.txt").write_text(reading)
    fill(tmp_path / "out", "blank")
    kept = {path.name: path.read_text() for path in (tmp_path / "out.kept").iterdir()}
    assert kept == {"lid.txt": "one", "lid.2.txt": "two"}


def test_a_run_killed_after_its_renames_loses_no_reading(tmp_path: Path) -> None:
    """Both folders are there: the one before, with a reading in it, was not yet taken away."""
    fill(tmp_path / "out", "blank")
    (tmp_path / "out" / "lid.txt").write_text("read")
    (tmp_path / "out").rename(tmp_path / ".out.old")
    (tmp_path / "out").mkdir()
    fill(tmp_path / "out", "blank")
    assert (tmp_path / "out.kept" / "lid.txt").read_text() == "read"
    assert names(tmp_path) == ["out", "out.kept"]


def test_a_failed_build_moves_nothing(tmp_path: Path) -> None:
    fill(tmp_path / "out", "blank")
    (tmp_path / "out" / "lid.txt").write_text("read")
    with pytest.raises(RuntimeError, match="no luck"), OutputFolder(tmp_path / "out"):
        raise RuntimeError("no luck")
    assert (tmp_path / "out" / "lid.txt").read_text() == "read"
    assert names(tmp_path) == ["out"]
