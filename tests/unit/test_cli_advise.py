"""`platemaker advise`: items with numbered cures, one of them written, reports, and what is refused."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from platemaker.cli import _builder as builder
from platemaker.export import Store
from platemaker.study import _cures
from tests.cli_runner import run
from tests.study_projects import project

DISC = """\
# A disc with an eye.
project: disc
parts:
  disc:   # turned
    kind: plate
    material: 6061-T6
    thickness: 12     # from the rack
    outline: {circle: 60}   # rim

    holes: {eye: {at: [24, 0], diameter: 8}}  # off the middle
"""
"""Wall between eye and rim: 30 - 24 - 4 = 2 mm where 3 are asked for."""


@pytest.fixture
def disc(tmp_path: Path) -> Path:
    return project(tmp_path / "disc", DISC)


def test_cures_are_listed_and_one_is_written(disc: Path) -> None:
    """A rim of 62, the eye at 23 or an eye of 6 leave 3 mm: in this order by how much changes."""
    answer = run("advise", disc)
    assert answer.code == 1
    assert max(map(len, answer.out.splitlines())) <= 80
    said = " ".join(answer.out.split())
    assert "cure 1: parts.disc.holes.eye.at[0] from 24 to 23" in said
    assert "parts.disc.outline.circle from 60 to 62: mass up by" in said
    assert "parts.disc.holes.eye.diameter from 8 to 6" in said
    assert (disc / "project.yaml").read_text("utf-8") == DISC, "nothing is written by itself"
    answer = run("advise", disc, "--apply", "1")
    assert (answer.code, answer.err) == (0, "project.yaml:10: parts.disc.holes.eye.at[0] from 24 to 23: written\n")
    assert (disc / "project.yaml").read_text("utf-8") == DISC.replace("[24, 0]", "[23, 0]")
    assert [one.name for one in disc.iterdir()] == ["project.yaml"]
    assert run("check", disc).code == 0
    answer = run("advise", disc, "--apply", "1")
    assert (answer.code, answer.err) == (2, "there is no cure 1; allowed: none: no cure was found\n")


def test_json_page_and_markdown_have_them(disc: Path, tmp_path: Path) -> None:
    answer = run("advise", disc, "--json", "--page", tmp_path / "report.html")
    [item] = [one for one in json.loads(answer.out)["items"] if one["verdict"] == "fail"]
    assert item["cures"][0] == {"key": "parts.disc.holes.eye.at[0]", "from": "24", "to": "23", "also": [],
                                "clears": [], "worsens": []}  # fmt: skip
    text = (tmp_path / "report.html").read_text("utf-8")
    assert "Cure 1: <code>parts.disc.holes.eye.at[0]</code> from 24 to <strong>23</strong>" in text
    run("advise", disc, "--page", tmp_path / "report.md")
    assert "cure 1: parts.disc.holes.eye.at" in (tmp_path / "report.md").read_text("utf-8").replace("\\", "")


def test_what_is_refused(disc: Path, tmp_path: Path) -> None:
    answer = run("advise", disc, "--apply", "9")
    assert (answer.code, answer.err) == (2, "there is no cure 9; allowed: 1 to 3\n")
    assert run("advise", disc, "--apply", "0").code == 2
    assert run("advise", disc, "--apply", "first").code == 2
    answer = run("advise", disc, "--page", tmp_path / "report.pdf")
    assert (answer.code, "allowed: a file that ends in .html or .md" in answer.err) == (2, True)
    answer = run("advise", disc, "--page", tmp_path / "none" / "report.md")
    assert (answer.code, answer.err.endswith("report.md cannot be written: No such file or directory\n")) == (3, True)
    answer = run("advise", tmp_path / "disk")
    assert (answer.code, answer.err) == (2, "disk: no such project folder; did you mean 'disc'?\n")
    assert run("advise", tmp_path).err.endswith(
        "the folder has no project.yaml; allowed: a folder with a project.yaml\n"
    )
    assert (disc / "project.yaml").read_text("utf-8") == DISC


def test_a_file_that_must_not_be_written_stays(disc: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    file = disc / "project.yaml"
    file.chmod(0o444)
    answer = run("advise", disc, "--apply", "1")
    assert (answer.code, answer.err) == (3, "project.yaml is write-protected, so nothing is written\n")
    file.chmod(0o640)
    changed = DISC.replace("thickness: 12 ", "thickness: 14 ")
    apply = _cures._apply.apply_cure

    def meanwhile(spec, change):
        file.write_text(changed, encoding="utf-8")
        return apply(spec, change)

    monkeypatch.setattr("platemaker.study.apply_cure", meanwhile)
    answer = run("advise", disc, "--apply", "1")
    assert (answer.code, answer.err.startswith("project.yaml: the file changed meanwhile")) == (2, True)
    assert file.read_text("utf-8") == changed
    monkeypatch.undo()
    file.write_text(DISC, encoding="utf-8")
    assert run("advise", disc, "--apply", "1").code == 0
    assert file.stat().st_mode & 0o777 == 0o640, "its rights stay"


def test_none_found_is_stated(tmp_path: Path) -> None:
    text = DISC.replace("project: disc", "project: disc\nlimits: {minimum_wall: 900}")
    answer = run("advise", project(tmp_path / "disc", text))
    assert answer.code == 1
    assert (
        "no cure found: no change tried, of one key or of two, settles it without making another check fail"
        in " ".join(answer.out.split())
    )


def test_an_interrupt_ends_cleanly(disc: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def stop(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("platemaker.study._cures._advise._cures", stop)
    answer = run("advise", disc, "--apply", "1")
    assert (answer.code, answer.err) == (130, "interrupted: not every item was searched, and the spec is as it was\n")
    assert (disc / "project.yaml").read_text("utf-8") == DISC


def test_a_build_and_the_watcher_put_cures_beside_their_items(disc: Path, tmp_path: Path) -> None:
    answers = list(builder.answers_of(disc, tmp_path / "out", Store(tmp_path / "store"), cures=True))
    assert [what for what, _ in answers] == ["preview", "preview", "built"]
    first, second = (texts[0] for what, texts in answers[:2])
    assert "cure 1" not in first.casefold()
    assert "cure 1" in second.casefold()
    report = json.loads((Path(answers[2][1][0]) / "report.json").read_text("utf-8"))
    assert any(item["cures"] for item in report["items"])
