"""The tutorial's commands run as they stand; the gallery shows the specs and pictures that its script makes."""

from __future__ import annotations

import re
import runpy
import shlex
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.cli_runner import Answer, run
from tests.package_tree import ROOT

DOCS = ROOT / "docs"
BLOCK = re.compile(r"^```(sh|text|yaml \S+)\n(.*?)^```$", re.DOTALL | re.MULTILINE)


QUICK = ("survey", "new", "check")
"""Commands of the tutorial that answer at once."""


def test_the_tutorials_quick_commands_say_what_it_says(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    assert go_through(tmp_path, lambda command, *more: command in QUICK and "--as-built" not in more) >= 4


@pytest.mark.slow
@pytest.mark.kernel
def test_the_tutorials_commands_run_and_say_what_it_says(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    assert go_through(tmp_path, lambda *_: True) >= 6
    page = tmp_path / "exports" / "pump_engine" / "report.html"
    assert 500_000 < page.stat().st_size < 6_000_000, "with the stack in three dimensions, and yet quick to open"


def go_through(folder: Path, wanted: Callable[..., bool]) -> int:
    """Runs the tutorial's wanted commands in their order, with its changes to the specs; how many there were."""
    shutil.copytree(ROOT / "part_specs", folder / "part_specs")
    last: Answer | None = None
    commands = 0
    for kind, content in BLOCK.findall((DOCS / "tutorial.md").read_text(encoding="utf-8")):
        for line in content.splitlines():
            if kind == "sh":
                program, *arguments = shlex.split(line)
                assert program == "platemaker"
                last = run(*arguments) if wanted(*arguments) else None
                assert last is None or last.code == 0, f"{line}: {last.out}{last.err}"
                commands += last is not None
            elif kind.startswith("yaml"):
                write_down(folder / "part_specs" / "pump_engine" / kind.removeprefix("yaml "), line)
            elif last is not None:
                assert line in " ".join((last.out + last.err).split()), f"{line!r} is not said any more"
    return commands


def write_down(spec: Path, line: str) -> None:
    """The line in place of the only one in the file that is alike up to its first comma."""
    lines = spec.read_text(encoding="utf-8").splitlines()
    [place] = [k for k, old in enumerate(lines) if old.strip().partition(",")[0] == line.partition(",")[0]]
    indent = len(lines[place]) - len(lines[place].lstrip())
    lines[place] = " " * indent + line
    spec.write_text("\n".join([*lines, ""]), encoding="utf-8")


@pytest.mark.parametrize(
    "page", sorted(path.relative_to(ROOT).as_posix() for path in [ROOT / "README.md", *DOCS.glob("*.md")])
)
def test_links_of_the_docs_lead_somewhere(page: str) -> None:
    text = (ROOT / page).read_text(encoding="utf-8")
    for link in re.findall(r"\]\(([^)#]+)\)", text):
        assert (ROOT / page).parent.joinpath(link).exists(), link


def test_limits_name_checks_that_exist() -> None:
    named = set(re.findall(r"PM\d{3}", (DOCS / "limits.md").read_text(encoding="utf-8")))
    assert named <= {path.stem for path in (DOCS / "checks").glob("PM*.md")}


def test_the_gallery_is_as_its_script_makes_it() -> None:
    """Page and pictures, word for word: `python docs/build_gallery.py` makes them again."""
    script = runpy.run_path(str(DOCS / "build_gallery.py"))
    assert (DOCS / "gallery.md").read_text(encoding="utf-8") == script["gallery"]()
    for name, text in script["pictures"]().items():
        assert (DOCS / "pictures" / name).read_text(encoding="utf-8") == text, name
