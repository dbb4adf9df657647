"""`platemaker survey`: the answer in words, in JSON and as a picture; how it ends."""

from __future__ import annotations

import json
import re
from pathlib import Path
from xml.etree import ElementTree

import pytest

from tests.cli_runner import run

SVG = "{http://www.w3.org/2000/svg}"
SPANS = {"AB": 40, "BC": 30, "CD": 40, "AD": 30, "AC": 50, "BD": 50}


def readings(folder: Path, more: str = "", **changed: float) -> Path:
    """A rectangle of 40 by 30 read along all sides and diagonals, with chosen readings changed."""
    spans = {**SPANS, **changed}
    lines = [f"  - {{centres: [{pair[0]}, {pair[1]}], reads: {value}}}" for pair, value in spans.items()]
    file = folder / "pad.readings.yaml"
    head = "features: {A: {hole: 8}, B: {hole: 8}, C: {hole: 8}, D: {hole: 8}, front: edge}\n"
    head += "datum: {origin: A, x_towards: B, left: [D]}\nreadings:\n"
    edges = ["  - {centre_to_edge: [A, front], reads: 12}", "  - {centre_to_edge: [B, front], reads: 12}"]
    file.write_text(head + "\n".join([*lines, *edges]) + "\n" + more, encoding="utf-8")
    return file


def test_coordinates_in_words(tmp_path):
    answer = run("survey", readings(tmp_path))
    assert answer.code == 0
    lines = answer.out.splitlines()
    assert lines[0] == "pad: 4 round features, 1 edge; 8 readings, 1 redundant"
    assert re.search(r"^C hole +40\.000 +30\.000", answer.out, re.MULTILINE)
    assert "front edge: -12.000" in answer.out
    assert "no reading is suspect" in answer.out
    assert "within its uncertainty this is a 40 × 30 mm rectangle" in answer.out


def test_next_reading_is_proposed(tmp_path):
    file = readings(tmp_path)
    kept = [line for line in file.read_text(encoding="utf-8").splitlines() if "[B, D]" not in line]
    file.write_text("\n".join(kept).replace("left: [D]", "left: [C, D]"), encoding="utf-8")
    # Without B-D the rectangle hangs on one diagonal; the other one checks it.
    assert "next: a reading between B and D" in run("survey", file).out


def test_inches(tmp_path):
    answer = run("survey", readings(tmp_path), "--inch")
    assert re.search(r"^C hole +1\.5748 +1\.1811", answer.out, re.MULTILINE)  # 40 / 25.4, 30 / 25.4


def test_suspect_reading_ends_with_1_and_is_named(tmp_path):
    more = "".join(f"  - {{inside: [{a}, {b}], reads: {SPANS[a + b] - 8}}}\n" for a, b in ["AB", "BC", "AC", "BD"])
    answer = run("survey", readings(tmp_path, more, BD=51.5))
    assert answer.code == 1
    assert re.search(r"suspect: reading 6, B-D centres: 1\.[45]\d mm too long; read it again", answer.out)


def test_json_is_the_same_answer(tmp_path):
    stated = json.loads(run("survey", readings(tmp_path), "--json").out)
    places = {one["name"]: (one["x"], one["y"]) for one in stated["points"]}
    assert places["C"] == pytest.approx((40, 30), abs=1e-6)
    assert len(stated["covariance"]) == 8
    assert stated["suspects"] == []
    assert [one["name"] for one in stated["edges"]] == ["front"]


def test_out_writes_a_picture_and_the_answer(tmp_path):
    answer = run("survey", readings(tmp_path), "--out", tmp_path / "made")
    assert answer.code == 0
    picture = ElementTree.fromstring((tmp_path / "made" / "pad_survey.svg").read_text(encoding="utf-8"))
    words = {text.text for text in picture.iter(f"{SVG}text")}
    assert {"A", "B", "C", "D", "front"} <= words
    rounds = [one for one in picture.iter(f"{SVG}circle") if one.get("class") == "feature"]
    assert [float(one.get("r", "")) for one in rounds] == [4.0] * 4
    # A is the origin: it has no ellipse. B lies on X: its ellipse is flat, but drawn.
    assert len(list(picture.iter(f"{SVG}ellipse"))) == 3
    again = json.loads((tmp_path / "made" / "pad_survey.json").read_text(encoding="utf-8"))
    assert again == json.loads(run("survey", readings(tmp_path), "--json").out)


def test_ellipses_are_enlarged_by_the_factor_that_the_picture_tells(tmp_path):
    run("survey", readings(tmp_path), "--out", tmp_path)
    picture = ElementTree.fromstring((tmp_path / "pad_survey.svg").read_text(encoding="utf-8"))
    stated = next(text.text for text in picture.iter(f"{SVG}text") if "ellipses drawn" in (text.text or ""))
    factor = float(re.search(r"drawn ([\d.]+) times", stated or "")[1])  # type: ignore[index]
    half_axes = sorted(
        one["ellipse_95"]["half_axes"][0]
        for one in json.loads(run("survey", readings(tmp_path), "--json").out)["points"]
    )[1:]
    drawn = sorted(float(one.get("rx", "")) for one in picture.iter(f"{SVG}ellipse"))
    assert drawn == pytest.approx([factor * a for a in half_axes], abs=1e-5)


def test_picture_shows_the_suspect_in_words(tmp_path):
    more = "".join(f"  - {{inside: [{a}, {b}], reads: {SPANS[a + b] - 8}}}\n" for a, b in ["AB", "BC", "AC", "BD"])
    run("survey", readings(tmp_path, more, BD=51.5), "--out", tmp_path)
    text = (tmp_path / "pad_survey.svg").read_text(encoding="utf-8")
    assert "reading 6, B-D centres: +1." in text
    assert 'class="suspect"' in text


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ("reads: 40}", "reads: -40}", "pad.readings.yaml:4: readings"),
        ("[A, B], reads", "[A, Bx], reads", "did you mean 'B'?"),
        ("reads: 30}", "reads: thirty}", "pad.readings.yaml:5: readings"),
    ],
)
def test_faults_end_with_2_and_name_the_line(tmp_path, old, new, message):
    file = readings(tmp_path)
    file.write_text(file.read_text(encoding="utf-8").replace(old, new, 1), encoding="utf-8")
    answer = run("survey", file)
    assert answer.code == 2
    assert message in answer.err
    assert answer.out == ""


def test_missing_file(tmp_path):
    answer = run("survey", tmp_path / "no.readings.yaml")
    assert (answer.code, answer.err) == (2, "no.readings.yaml: no such file of readings\n")


def test_folder_that_cannot_be_written_ends_with_3(tmp_path):
    (tmp_path / "taken").write_text("", encoding="utf-8")
    answer = run("survey", readings(tmp_path), "--out", tmp_path / "taken")
    assert answer.code == 3
    assert "cannot write to" in answer.err
