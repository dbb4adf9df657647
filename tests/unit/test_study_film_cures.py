"""Changes tried on a film: which are offered, how they are ranked, what of them gets worse; without the library."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from html import unescape
from pathlib import Path

import pytest

from platemaker.checks import seal_input
from platemaker.errors import GeometryError
from platemaker.export import Store, fingerprint
from platemaker.fields import FlowError, SealAnswer, seal_field_of
from platemaker.parts import Stack
from platemaker.project import Project, load
from platemaker.project import _seal as seal_room
from platemaker.records import replace
from platemaker.report import FilmCures, cures_text, render_html, render_json, seal_records, worded
from platemaker.study import film_cures
from platemaker.study._cures._film_changes import FilmChange, film_changes
from tests.cli_runner import run
from tests.package_tree import ROOT
from tests.seal_models import CASES, film
from tests.seal_models import box_project as project

DEMO = ROOT / "part_specs" / "pump_engine"


def answered(stack: Stack, leak: float, joint: str = "lid", at: tuple[float, float] = (3.0, 25.0)) -> SealAnswer:
    """A film whose leaks meet `leak` MPa at a place."""
    given = seal_input(stack, joint)
    if isinstance(given, str):
        raise GeometryError(given)
    return SealAnswer(given, seal_field_of(film(CASES, leak, bolts=len(given.bolts), at=at)))


def offered(spec: Project, answer: SealAnswer) -> tuple[dict[str, dict[str, object]], list[str]]:
    """What each change sets, by its words, and why there is none of a kind."""
    found = list(film_changes(spec.spec, answer))
    keys = {
        one.words: {".".join(map(str, path)): value for paths, value in one.changes for path in paths}
        for one in found
        if isinstance(one, FilmChange)
    }
    return keys, [one for one in found if isinstance(one, str)]


def test_changes_are_what_can_be_made_or_bought(tmp_path: Path) -> None:
    """Bolts stand at (+-60, +-30): a leak at (3, 25) gets out between the two at Y 30, and (0, 30) is midway.

    8 mm plate is followed by 10, 25 by 30. For a cover thicker by 2 mm no M6 is sold that is nearer than that of 20 mm.
    The pocket, 80 x 30, is the joint's opening, and both shrink by 2 mm a side.
    """
    spec = project(tmp_path)
    keys, none = offered(spec, answered(spec.stack, 0.3))
    assert none == []
    pattern = keys["one more bolt between bolts 3 and 4: (0, 30) mm"]["joints.lid.bolts.pattern"]
    assert pattern == {
        "points": {"1": [-60.0, -30.0], "2": [60.0, -30.0], "3": [60.0, 30.0], "4": [-60.0, 30.0], "5": [0.0, 30.0]}
    }
    both = keys["two more bolts, between bolts 3 and 4 and across: (0, 30) and (0, -30) mm"]["joints.lid.bolts.pattern"]
    assert list(both["points"].items())[4:] == [("5", [0.0, 30.0]), ("6", [0.0, -30.0])]  # type: ignore[index]
    assert keys["box 30 thick"] == {"parts.box.thickness": 30}
    assert keys["cover 10 thick"] == {"parts.cover.thickness": 10}
    assert keys["smaller pocket of cover: 76x26"] == {
        "parts.cover.pocket.shape.rectangle.0": 76, "joints.lid.opening.rectangle.0": 76,
        "parts.cover.pocket.shape.rectangle.1": 26, "joints.lid.opening.rectangle.1": 26,
    }  # fmt: skip
    sheets = {words: one for words, one in keys.items() if words.endswith(" of 0.8 mm")}
    assert sheets["graphite of 0.8 mm"] == {"joints.lid.gasket.material": "graphite"}
    assert "paper gasket of 0.8 mm" not in sheets
    assert len(sheets) == 6


def test_what_is_stated_of_the_present_sheet_goes_with_it(tmp_path: Path) -> None:
    spec = project(tmp_path, ("land: 5}", "land: 5, factor: 1.2, seating_stress: 4 MPa}"))
    keys, _ = offered(spec, answered(spec.stack, 0.3))
    assert keys["copper of 0.8 mm"] == {
        "joints.lid.gasket.material": "copper", "joints.lid.gasket.factor": None,
        "joints.lid.gasket.seating_stress": None,
    }  # fmt: skip


def test_holes_of_an_existing_machine_stay_and_an_opened_out_pocket_keeps_more_wall() -> None:
    stack = load(DEMO).stack
    _, none = offered(load(DEMO), answered(stack, 0.5, "blower_base"))
    assert none == [
        "no bolt more: the joint's holes are in an existing machine",
        "no smaller pocket: none with a size of its own opens into the joint",
    ]
    keys, _ = offered(load(DEMO), answered(stack, 0.5, "plate_to_plate", (0.0, -70.0)))
    assert "one more bolt between bolts 2 and 3: (0, -72) mm" in keys
    assert keys["smaller pocket of blower_plate: wall 7 and land 14"] == {
        "parts.blower_plate.pocket.wall": 7, "parts.blower_plate.pocket.land": 14,
    }  # fmt: skip
    assert "lower_plate 1-1/4 in thick, bolts of log_top 40 long" in keys


def tried(spec: Project, film_of: Callable[[Stack, str], SealAnswer]) -> FilmCures:
    return film_cures(spec.spec, answered(spec.stack, 0.3), film_of)


def test_changes_are_ranked_by_what_is_left_in_the_worst_case_and_by_what_fails(tmp_path: Path) -> None:
    """The films' worst case holds 0.3 MPa back. A leak meets 0.3 MPa, with one more bolt 0.5, with graphite 0.4, with a
    thicker cover 0.6; with copper nothing converges. m is 1.75 of paper, 2 of graphite, 1 of cork-rubber (ASME VIII-1,
    table 2-5.1). The thicker cover leaves the bolts 8.8 mm of thread, 1.5 diameters: it fails, and stands behind.
    """
    spec = project(tmp_path)
    says = {"one more": 0.5, "graphite": 0.4, "cover 10": 0.6}

    def film_of(stack: Stack, words: str) -> SealAnswer:
        if "copper" in words:
            message = "no film: boost: the contact does not converge"
            raise FlowError(message)
        return answered(stack, next((met for word, met in says.items() if word in words), 0.3))

    found = tried(spec, film_of)
    assert not found.interrupted
    by_words = {one.words.split(" between")[0]: one for one in found.ranked}
    assert {one.after is None for one in found.ranked[-2:]} == {True}
    factor = {name: one.after.spare(one.after.worst) for name, one in by_words.items() if one.after}
    assert factor["cover 10 thick"] == pytest.approx(0.6 / (1.75 * 0.3))
    assert factor["one more bolt"] == pytest.approx(0.5 / (1.75 * 0.3))
    assert factor["graphite of 0.8 mm"] == pytest.approx(0.4 / (2.0 * 0.3))
    assert next(iter(factor)) == "cork-rubber of 0.8 mm"  # m = 1: 0.3 / 0.3
    assert found.best is by_words["cork-rubber of 0.8 mm"]
    assert "fails: PM302 thread engagement of box, lid, lid_1" in [
        worded(one).metric for one in by_words["cover 10 thick"].cure.worsens
    ]
    text = cures_text(found)
    assert "copper of 0.8 mm: no film: boost: the contact does not converge" in text
    assert "joints.lid.bolts.pattern from {rectangle: [120, 60]} to {points: {" in text
    assert "mass up by 0." in text
    assert "0.57 times LEAKS  as it stands: backfire, a leak meets 0.30 MPa, needs 0.53" in text
    [said] = seal_records([found.answer], [found])
    assert said["cures"]["best"] == found.best.words
    assert json.loads(json.dumps(said["cures"]))["as_it_stands"]["leak"] == 0.3


def test_a_change_that_makes_a_check_fail_is_said_to_and_is_not_the_best(tmp_path: Path) -> None:
    """An opening of 80 x 48 reaches to Y 24, 6 mm from the new bolt's middle, whose hole is 6.6 mm wide: 2.7 are left."""
    spec = project(tmp_path, ("opening: {rectangle: [80, 30]", "opening: {rectangle: [80, 48]"),
                   ("shape: {rectangle: [80, 30]", "shape: {rectangle: [80, 48]"))  # fmt: skip
    found = tried(spec, lambda stack, words: answered(stack, 9.0 if "one more" in words else 0.3))
    bolt = next(one for one in found.tried if one.words.startswith("one more bolt"))
    assert bolt.breaks
    assert any(worded(text).metric.startswith("fails: ") for text in bolt.cure.worsens)
    assert found.best is None or found.best.words != bolt.words


def test_ctrl_c_keeps_what_was_tried(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    spec = project(tmp_path)
    calls: list[str] = []

    def film_of(stack: Stack, words: str) -> SealAnswer:
        calls.append(words)
        if len(calls) == 3:
            raise KeyboardInterrupt
        return answered(stack, 0.3)

    found = tried(spec, film_of)
    assert (len(found.tried), found.asked, found.interrupted) == (1, 11, True)
    assert calls == [
        "as it stands, then 11 changes",
        *[
            f"{n} of 11, {words}"
            for n, words in (
                (1, found.tried[0].words),
                (2, "two more bolts, between bolts 3 and 4 and across: (0, 30) and (0, -30) mm"),
            )
        ],
    ]
    assert "interrupted: 10 of 11 changes were not tried" in cures_text(found)
    monkeypatch.setattr("platemaker.project.seal", lambda stack, joint, **_: answered(stack, 0.3, joint))
    monkeypatch.setattr(seal_room, "seal", lambda stack, joint, **_: film_of(stack, joint))
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    calls.clear()
    answer = run("seal", tmp_path, "--joint", "lid", "--cures", "--out", tmp_path / "out")
    assert (answer.code, "10 of 11 changes were not tried" in answer.out) == (130, True)
    kept = json.loads((tmp_path / "out" / "small-seal" / "seal.json").read_text(encoding="utf-8"))
    assert len(kept[0]["cures"]["tried"]) == 1


def test_a_film_on_the_coarse_mesh_is_kept_apart_from_the_other(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What is calculated for a change has one mesh, is taken from the store the second time, and `check` never sees it."""
    spec, store, asked = project(tmp_path), Store(tmp_path / "store"), []

    def solved(case: dict[str, object], *_: object) -> dict[str, object]:
        asked.append(case)
        answer = film(CASES, 0.3, bolts=4)
        return {**answer, "meshes": answer["meshes"][-1:]}  # type: ignore[index]

    monkeypatch.setattr(seal_room, "solved", solved)
    monkeypatch.setattr(seal_room, "_version", lambda: "1")
    for kept in (False, True):
        found = seal_room.seal(spec.stack, "lid", coarse=True, store=store)
        assert (found.kept, len(found.field.meshes)) == (kept, 1)
    [case] = asked
    sizes = [one["size"] for one in seal_room.seal_case(found.given)["meshes"]]
    assert [one["size"] for one in case["meshes"]] == [max(sizes)]  # type: ignore[attr-defined]
    assert seal_room.stored_films(spec.stack, store) == {}


def test_the_page_shows_what_was_tried_on_exactly_this_spec(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Kept with the film, in the terminal's words; none once the spec changes, even where the film stays as it is."""
    spec, store = project(tmp_path), Store(tmp_path / "store")

    def solved(case: dict[str, object], *_: object) -> dict[str, object]:
        answer, meshes = film(CASES, 0.3, bolts=len(case["bolts"])), len(case["meshes"])  # type: ignore[arg-type]
        return {**answer, "meshes": answer["meshes"][-meshes:]}  # type: ignore[index]

    monkeypatch.setattr(seal_room, "solved", solved)
    monkeypatch.setattr(seal_room, "_version", lambda: "1")
    answer = seal_room.seal(spec.stack, "lid", store=store)
    [bare] = spec.check(samples=1000, store=store).fields.films.values()
    assert bare.cures is None
    found = seal_room.seal_cures(spec.spec, answer, lambda _: lambda *_: None, store=store)
    done = spec.check(samples=1000, store=store)
    page = render_html(done.stack, done.findings, done.meta({}), films=done.fields.films)
    shown = " ".join(re.sub(r"<[^>]*>", " ", unescape(page)).split())
    assert len(found.tried) == 11
    said = [line.strip() for line in cures_text(found).split("\n")]
    for words in (said[0], said[1], said[-1], *(line for line in said if " from " in line)):
        assert words in shown
    for one in found.tried:
        assert one.words in shown
        assert worded(one.cure.effects).metric in shown
    [record] = json.loads(render_json(done.stack, done.findings, done.meta({}), films=done.fields.films))["films"]
    [as_run] = seal_records([answer], [found])
    assert record["cures"] == as_run["cures"]
    assert fingerprint(done.fields.said) != fingerprint({"lid": bare.field})
    other = spec.with_value("parts.box.title", "Lower box").check(samples=1000, store=store)
    assert [one.cures for one in other.fields.films.values()] == [None]


def test_a_sheet_that_the_bolts_cannot_seat_is_not_tried(tmp_path: Path) -> None:
    """Four M6 of 7.7 kN at most on 108 cm2 press 2.9 MPa: nitrile (y 1.4) and cork (2.8) are seated, paper's like not.

    y of the code's table: ASME VIII-1, table 2-5.1, as the catalog has it.
    """
    spec = project(tmp_path)
    answer = answered(spec.stack, 0.3)
    wide = replace(answer.field.finest, land=10_800.0)
    keys, none = offered(spec, replace(answer, field=replace(answer.field, meshes=(answer.field.meshes[0], wide))))
    assert {words for words in keys if words.endswith(" of 0.8 mm")} == {
        "cork-rubber of 0.8 mm",
        "nitrile rubber of 0.8 mm",
    }
    assert "no copper: it is seated by 89.6 MPa (y), and the bolts press 2.9 MPa at most in the mean" in none


def test_a_leak_that_moves_to_another_gap_is_no_new_fail(tmp_path: Path) -> None:
    """Boost leaks between bolts 3 and 4 as it stands and between 1 and 2 with one more: PM924 fails in both."""
    spec = project(tmp_path)
    found = tried(spec, lambda stack, words: answered(stack, 0.01, at=(3.0, -25.0 if "one more" in words else 25.0)))
    bolt = next(one for one in found.tried if one.words.startswith("one more bolt"))
    assert not [text for text in bolt.cure.worsens if worded(text).metric.startswith("fails: PM924")]
    assert bolt.after is not None
    assert bolt.after.way_out(bolt.after.worst) == "between bolts 1 and 2"


@pytest.mark.slow
def test_two_more_bolts_press_a_cover_where_it_stood_open(tmp_path: Path) -> None:
    """On both long sides the cover stands open midway; a bolt on one side leaves the other, two leave none.

    A plate pressed down where it was not touches on more of its land: with each bolt more.
    """
    pytest.importorskip("ngsolve")
    spec = project(tmp_path)

    def film_of(stack: Stack, words: str) -> SealAnswer:
        if words.startswith("3 of"):
            raise KeyboardInterrupt
        return seal_room.seal(stack, "lid", coarse=True)

    found = film_cures(spec.spec, seal_room.seal(spec.stack, "lid", coarse=True), film_of)
    films = [found.before, *(one.after for one in found.tried if one.after)]
    assert [len(one.given.bolts) for one in films] == [4, 5, 6]
    pressed = [one.worst.contact for one in films]
    assert pressed == sorted(pressed)
    assert [one.worst.leak == 0 for one in films] == [True, True, False]
    assert found.tried[0].after is not None
    assert found.tried[0].after.between(found.tried[0].after.worst) != found.before.between(found.before.worst)
