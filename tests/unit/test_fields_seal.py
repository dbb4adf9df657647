"""Leak paths, records, refusals and messages of films; without the finite-element library."""

from __future__ import annotations

import heapq
import io
import json
import os
import shutil
import signal
import sys
import time
from pathlib import Path

import numpy as np
import pypdfium2
import pytest
from PIL import Image

from platemaker.checks import ESTIMATES, check_stack, seal_input
from platemaker.checks._sealing._film import _bow
from platemaker.errors import GeometryError, SpecError
from platemaker.export import FilmShown, Store, fingerprint, write_fitting_sheet
from platemaker.fields import FlowError, SealAnswer, seal_case, seal_field_of, solved
from platemaker.fields._seal._contact import SheetSpring
from platemaker.fields._seal._film import film_of, shares, within
from platemaker.fields._seal._joint import MeshedJoint
from platemaker.fields._seal._leak import leak_path, least_barrier
from platemaker.fields._seal._solids import NotSettledError
from platemaker.parts import Stack
from platemaker.project import _seal as seal_room
from platemaker.project import load, seal, sealed_joints
from platemaker.project._kept import keep
from platemaker.records import replace
from platemaker.report import Meta, film_picture, render_html, render_json, seal_json, seal_text
from platemaker.units import NamedQuantity
from platemaker.views import Page, Raster, dots, svg_of
from tests.cli_runner import run
from tests.package_tree import ROOT
from tests.plates import note_of
from tests.seal_models import CASES, case_of, circle, film, plate, rectangle, ring

DEMO = ROOT / "part_specs" / "pump_engine"


def barrier_by_hand(pressure: np.ndarray, inside: np.ndarray, outside: np.ndarray) -> float:
    """By another way than the one under test: cells taken up in the order of the greatest pressure met so far."""
    rows, columns = pressure.shape
    queue = [(float(pressure[at]), at) for at in zip(*np.nonzero(inside), strict=True)]
    heapq.heapify(queue)
    seen = set()
    while queue:
        met, at = heapq.heappop(queue)
        if at in seen:
            continue
        seen.add(at)
        if outside[at]:
            return met
        for i in range(max(at[0] - 1, 0), min(at[0] + 2, rows)):
            for j in range(max(at[1] - 1, 0), min(at[1] + 2, columns)):
                heapq.heappush(queue, (max(met, float(pressure[i, j])), (i, j)))
    raise AssertionError("nothing leads out")


def test_a_leak_meets_what_a_search_of_all_ways_meets() -> None:
    """300 random maps of 3 to 9 cells a side, whole numbers among them, so that many ways are alike."""
    rng = np.random.default_rng(20)
    for _ in range(300):
        shape = tuple(rng.integers(3, 10, size=2))
        pressure = rng.integers(0, 6, size=shape).astype(float)
        inside, outside = np.zeros(shape, bool), np.zeros(shape, bool)
        inside[tuple(rng.integers(0, n) for n in shape)] = True
        outside[0, :] = outside[-1, :] = True
        outside &= ~inside
        expected = barrier_by_hand(pressure, inside, outside)
        assert least_barrier(pressure, inside, outside) == expected
        found = leak_path(pressure, inside, outside)
        assert found is not None
        along = [pressure[cell] for cell in found.path]
        assert (max(along), pressure[found.at], found.pressure) == (expected,) * 3
        assert inside[found.path[0]] and outside[found.path[-1]]
        steps = np.abs(np.diff(np.array(found.path), axis=0))
        assert steps.max(initial=0) <= 1


def test_every_way_out_of_a_small_map_is_tried() -> None:
    """Brute force: all ways that meet no cell twice, over maps of three by three cells."""
    rng = np.random.default_rng(5)

    def best(at: tuple[int, int], met: float, seen: frozenset[tuple[int, int]]) -> float:
        met = max(met, pressure[at])
        if at[0] == 2:
            return met
        ways = [(at[0] + i, at[1] + j) for i in (-1, 0, 1) for j in (-1, 0, 1)]
        return min(
            (best(one, met, seen | {one}) for one in ways if one not in seen and 0 <= one[0] <= 2 and 0 <= one[1] <= 2),
            default=np.inf,
        )

    for _ in range(20):
        pressure = rng.random((3, 3))
        inside, outside = np.zeros((3, 3), bool), np.zeros((3, 3), bool)
        inside[0, 1], outside[2, :] = True, True
        assert least_barrier(pressure, inside, outside) == best((0, 1), 0.0, frozenset({(0, 1)}))


def test_no_way_out_is_said() -> None:
    nothing = np.zeros((3, 3), bool)
    assert least_barrier(np.ones((3, 3)), nothing, nothing) is None
    assert leak_path(np.ones((3, 3)), ~nothing, nothing) is None


def test_cells_have_the_area_of_their_figures() -> None:
    wheel = [circle(0.0, 0.0, 20.0), circle(0.0, 0.0, 8.0)]
    share = shares([wheel], (-25.0, -25.0), 1.0, (50, 50))
    assert share.sum() == pytest.approx(np.pi * (20**2 - 8**2), rel=3e-3)  # arcs are chords, cells have 16 places
    at = np.array([[0.0, 0.0], [10.0, 0.0], [0.0, 21.0], [-15.0, 3.0]])
    assert within([wheel], at).tolist() == [False, True, False, True]


def test_a_film_knows_inside_from_outside() -> None:
    """A frame 60 x 40 round a window 20 x 10, with a bolt hole that leads out."""
    frame, window, hole = [rectangle(0, 0, 60, 40)], [rectangle(20, 15, 40, 25)], [circle(10.0, 20.0, 4.0)]
    film = film_of(
        {"faces": [{"in": [frame], "out": [hole]}], "opened": [window], "exits": [hole], "outline": [frame],
         "pressed": [window]}, 1.0,
    )  # fmt: skip
    assert film.area.sum() == pytest.approx(60 * 40 - 20 * 10 - np.pi * 16, rel=2e-3)
    assert film.inside.sum() == pytest.approx(200, abs=1)
    leak = leak_path(film.spread(np.ones(len(film.area))), film.inside, film.outside)
    assert leak is not None
    assert len(leak.path) == 20 - 14 + 2  # to the hole's nearest edge, 6 cells, and the two cells at its ends


def test_a_cell_that_lies_on_the_land_in_part_is_asked_for_where_it_does() -> None:
    """Land 0 to 10 by 0 to 4.5: with cells of 1 mm the topmost row has its middles at 4.25, the lower ones at 0.5, ..."""
    strip = [rectangle(0, 0, 10, 4.5)]
    film = film_of(
        {"faces": [{"in": [strip], "out": []}], "opened": [], "exits": [], "outline": [strip], "pressed": []}, 1.0
    )
    assert sorted(set(film.points[:, 1].round(6))) == [0.5, 1.5, 2.5, 3.5, 4.25]
    assert film.points[:, 0].round(6).tolist() == [0.5 + k for k in range(10)] * 5
    assert film.area.sum() == 45.0


def test_faces_that_do_not_overlap_are_said_to() -> None:
    """Two faces side by side: no mesh is asked for."""
    left, right = [rectangle(0, 0, 30, 20)], [rectangle(40, 0, 70, 20)]
    case = case_of([plate(left, 10.0)], [left], 10.0, [ring("one", (5.0, 5.0), 10.0, 2.0, 5.0)])
    case["faces"].append({"in": [right], "out": []})
    with pytest.raises(NotSettledError, match="the faces of the joint do not overlap: no land is left"):
        MeshedJoint(case, 5.0, 2.0)


def test_a_sheet_presses_by_its_curve() -> None:
    """Closed to 0.2 mm at 30 MPa a mm, then let go at 75: it presses 6 MPa, 4.5 at 0.18 mm, nothing below 0.12 mm."""
    sheet = SheetSpring(30.0, 75.0)
    closure, most = np.array([0.2, 0.18, 0.12, 0.1, 0.25, -0.1]), np.full(6, 0.2)
    pressure, slope = sheet.pressure(closure, most)
    assert pressure == pytest.approx([6.0, 4.5, 0.0, 0.0, 7.5, 0.0])
    assert slope.tolist() == [75.0, 75.0, 0.0, 0.0, 30.0, 0.0]  # at the corner it springs back
    first, _ = sheet.pressure(closure, None)
    assert first == pytest.approx([6.0, 5.4, 3.6, 3.0, 7.5, 0.0])


def answered(leak: float, coarse: float | None = None, joint: str = "plate_to_plate") -> SealAnswer:
    given = seal_input(load(DEMO).stack, joint)
    assert not isinstance(given, str)
    return SealAnswer(given, seal_field_of(film(CASES, leak, coarse=coarse)))


def test_an_answer_that_is_none_is_refused_by_name() -> None:
    with pytest.raises(FlowError, match="no film: the contact does not converge"):
        seal_field_of({"fault": "the contact does not converge: the joint opens"})
    with pytest.raises(FlowError, match=r"cannot be read: KeyError 'meshes'"):
        seal_field_of({})
    loose = film(CASES, 2.0)
    loose["meshes"][0]["cases"][1]["balance"] = 0.002  # type: ignore[index]
    with pytest.raises(FlowError, match=r"do not balance by 0.20% of the bolts', more than 0.1%"):
        seal_field_of(loose)
    short = film(CASES, 2.0)
    short["meshes"][1]["cases"][0]["pressure"] = [1.0]  # type: ignore[index]
    with pytest.raises(FlowError, match="a film of 2 cells has other numbers of values"):
        seal_field_of(short)


def test_the_difference_of_two_meshes_counts_against_the_joint() -> None:
    """Backfire of 0.3 MPa needs 1.75 x 0.3 = 0.525 MPa of a paper gasket (m of the code's table)."""
    tight, leaks = answered(0.6, 0.62), answered(0.6, 0.7)
    case = tight.field.case("backfire")
    assert case is not None
    assert (tight.needed(case), tight.least(case)) == (pytest.approx(0.525), pytest.approx(0.58))
    assert (tight.passed, leaks.passed) == (True, False)
    assert "seals in every case" in seal_text(tight)
    assert "leaks under backfire" in seal_text(leaks)
    assert [one["name"] for one in seal_json(leaks)["cases"] if one["seals"] is False] == ["backfire"]
    assert film_picture(tight).startswith(b"\x89PNG")


def test_a_leak_by_a_bolts_hole_is_said_to_and_its_bow_is_held_against_that_bolt() -> None:
    """Bolt 5 stands at (116, 0), 10 at (-116, 0); the film's cells lie at x -0.5, closed by 5 um, and 0.5, by 10 um."""
    answer = answered(0.5)
    case = answer.field.case("backfire")
    assert case is not None
    right = replace(case, path=((0.0, 0.0), (113.0, 1.0)))
    left = replace(case, path=((0.0, 0.0), (-113.0, 1.0)))
    away = replace(case, path=((0.0, 0.0), (130.0, 40.0)), at=(125.0, 40.0))
    assert [answer.way_out(one) for one in (right, left)] == ["by the hole of bolt 5", "by the hole of bolt 10"]
    assert answer.way_out(away) == "between bolts 5 and 6"
    assert [_bow(answer, one, 0.005) for one in (right, left)] == pytest.approx([0.005, 0.0])
    assert answer.way_out(replace(case, at=None, path=())) == ""


def test_the_page_shows_every_film_that_there_is_and_no_other() -> None:
    stack, films = load(DEMO).stack, {"plate_to_plate": answered(0.5)}
    meta = Meta("1", "0", "demo", {})
    page = render_html(stack, [], meta, films=films)
    assert page.count('<svg class="film"') == page.count("data:image/png;base64,") == 1
    assert "Pressure between the faces of plate_to_plate. bolted up, low: a leak meets 0.50 MPa; " in page
    assert "leaks under backfire" in page
    assert 'href="#films"' in page
    assert 'id="films"' not in render_html(stack, [], meta)
    [said] = json.loads(render_json(stack, [], meta, films=films))["films"]
    assert (said["joint"], said["seals"], "seconds" in said) == ("plate_to_plate", False, False)


def test_the_fitters_sheet_shows_every_case_and_the_gap(tmp_path: Path) -> None:
    stack, answer = load(DEMO).stack, answered(0.5)
    plain = write_fitting_sheet(stack, tmp_path / "plain.pdf")
    shown = write_fitting_sheet(stack, tmp_path / "shown.pdf", [FilmShown(answer, ("leaks under backfire",))])
    assert len(shown.pages) > len(plain.pages)
    words = [word for page in shown.pages[-3:] for word in page.words]
    assert {"PRESSURE", "backfire:", "0.50", "0.53", "gap"} <= set(words)
    document = pypdfium2.PdfDocument(tmp_path / "shown.pdf")
    images = [one for page in document for one in page.get_objects(filter=[pypdfium2.raw.FPDF_PAGEOBJ_IMAGE])]
    assert len(images) == len(CASES) + 1  # and the scale
    document.close()


def test_dots_are_painted_by_their_pressure() -> None:
    """The first row lies at the foot; what is 0 is grey, what is beside the land white, more is lighter."""
    with Image.open(io.BytesIO(dots(np.array([[0.0, 1.0], [np.nan, 2.0]]), 2.0))) as picture:
        (beside, high), (none, low) = ([picture.getpixel((x, y)) for x in (0, 1)] for y in (0, 1))
    assert (beside, none) == ((255, 255, 255), (0xB9, 0xC0, 0xC7))
    assert sum(high) > sum(low)
    page = Page(10.0, 10.0, (Raster(dots(np.ones((1, 1)), 1.0), (1.0, 2.0, 3.0, 5.0)),))
    assert '<image href="data:image/png;base64,' in svg_of([page], "dots")


@pytest.mark.parametrize(("leak", "verdict"), [(0.6, "pass"), (0.5, "fail")])
def test_a_film_decides_in_place_of_the_first_estimate(leak: float, verdict: str) -> None:
    stack = load(DEMO).stack
    before = {one.id: one for one in check_stack(stack, samples=1000) if one.check in ESTIMATES}
    after = {
        one.id: one for one in check_stack(stack, 1000, {"plate_to_plate": answered(leak)}) if one.check in ESTIMATES
    }
    assert before.keys() == after.keys()
    assert all("estimate: `platemaker seal` calculates it" in note_of(one) for one in before.values() if one.measured)
    own = next(
        one
        for one in after.values()
        if one.check == "PM924" and one.features[-1] == "backfire" and "plate_to_plate" in one.features
    )
    assert (own.measured, own.verdict.value) == (pytest.approx(leak), verdict)
    assert NamedQuantity("first estimate", before[own.id].measured, "MPa") in own.inputs
    other = next(one for one in after.values() if one.check == "PM924" and "log_top" in one.features)
    assert other == before[other.id]


def test_what_cannot_be_calculated_is_said_by_name(tmp_path: Path) -> None:
    stack = load(DEMO).stack
    assert sealed_joints(stack) == ("log_top", "plate_to_plate", "blower_base", "old_pad")
    with pytest.raises(SpecError, match=r"no joint is called 'plate_to_plat'; .*did you mean 'plate_to_plate'"):
        seal(stack, "plate_to_plat")
    with pytest.raises(GeometryError, match="no film: joint injectors has no bolts"):
        seal(stack, "injectors")
    with pytest.raises(GeometryError, match="joint idler_foot has no opening: there is nothing to seal"):
        seal(stack, "idler_foot")
    bare = load(ROOT / "part_specs" / "standard_faces").stack
    assert sealed_joints(bare) == ()
    thick = load(DEMO).with_value("joints.plate_to_plate.gasket.thickness", 20).stack
    assert "no curve of the gasket: paper gasket is tabled over 0 and up to 6 mm" in seal_input(thick, "plate_to_plate")
    loose = load(DEMO).with_value("joints.plate_to_plate.bolts.torque", "0.2 N.m").stack
    assert "nothing is left of its preload in the worst corner" in seal_input(loose, "plate_to_plate")


def test_a_stored_film_is_used_for_exactly_its_state_and_no_other(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What is kept for the demo counts for the demo, not for one with another torque, thickness, pressure or load."""
    monkeypatch.setattr(seal_room, "_version", lambda: "1")
    store, project = Store(tmp_path), load(DEMO)
    given = seal_input(project.stack, "plate_to_plate")
    assert not isinstance(given, str)
    case = json.dumps(seal_case(given))
    keep(store, seal_room._key(case), film(CASES, 0.5))
    assert list(seal_room.stored_films(project.stack, store)) == ["plate_to_plate"]
    found = project.check(samples=1000, store=store)
    assert list(found.fields.films) == ["plate_to_plate"]
    assert fingerprint(found.fields.said) != fingerprint({})
    assert [bool(found.only(name).fields.films) for name in ("blower_plate", "fuel_rail")] == [True, False]
    assert any(one.check == "PM924" and one.measured == pytest.approx(0.5) for one in found.findings)
    for key, value in (
        ("joints.plate_to_plate.bolts.torque", "15 N.m"), ("parts.blower_plate.thickness", 25.5),
        ("design.backfire", "3.1 bar"), ("parts.blower_plate.pocket.depth", 11), ("design.temperature", "115 degC"),
        ("design.loads.blower_weight.mass", "17 kg"), ("parts.lower_plate.material", "7075-T6"),
    ):  # fmt: skip
        assert seal_room.stored_films(project.with_value(key, value).stack, store) == {}, key
    monkeypatch.setattr(seal_room, "_version", lambda: "2")
    assert seal_room.stored_films(project.stack, store) == {}


def changed(tmp_path: Path, old: str, new: str) -> Stack:
    """The demo with other words in its spec."""
    folder = tmp_path / "demo"
    shutil.copytree(DEMO, folder)
    spec = folder / "project.yaml"
    text = spec.read_text(encoding="utf-8")
    assert text.count(old) == 1
    spec.write_text(text.replace(old, new), encoding="utf-8")
    return load(folder).stack


def test_bare_faces_have_a_film_and_no_verdict(tmp_path: Path) -> None:
    stack = changed(tmp_path, "    gasket: {thickness: 0.8, land: 4, overhang: 4.5}\n", "")
    given = seal_input(stack, "plate_to_plate")
    assert not isinstance(given, str)
    answer = SealAnswer(given, seal_field_of(film(CASES, 5.0)))
    assert (answer.passed, seal_json(answer)["seals"]) == (False, None)
    assert "nothing says what bare faces need to seal: no verdict" in seal_text(answer)
    [found] = [one for one in check_stack(stack, 1000) if "bare faces" in one.features]
    assert (found.check, found.verdict.value) == ("PM924", "not checked")
    assert "nothing between the faces: no source says what they need" in note_of(found)


def test_an_o_ring_is_judged_by_its_squeeze(tmp_path: Path) -> None:
    old = "    gasket: {thickness: 0.8, land: 5}\n  injectors:"
    stack = changed(tmp_path, old, "    seal: {o_ring: AS568-152}\n  injectors:")
    given = seal_input(stack, "blower_base")
    assert not isinstance(given, str)
    answer = SealAnswer(given, seal_field_of(film(CASES, 5.0, bolts=len(given.bolts))))
    assert "bare faces, O-ring" in seal_text(answer)
    assert "the O-ring seals by its squeeze (PM926)" in seal_text(answer)
    assert not [one for one in check_stack(stack, 1000) if "bare faces" in one.features]


def test_ctrl_c_ends_the_process_that_calculates(tmp_path: Path) -> None:
    noted = tmp_path / "pid"
    code = f"import os, time, pathlib; pathlib.Path({str(noted)!r}).write_text(str(os.getpid())); time.sleep(60)"

    def interrupt(*_: object) -> None:
        while not (noted.exists() and noted.read_text()):
            time.sleep(0.05)
        raise KeyboardInterrupt

    before = signal.signal(signal.SIGALRM, interrupt)
    signal.setitimer(signal.ITIMER_REAL, 0.5)
    try:
        with pytest.raises(KeyboardInterrupt):
            solved({}, None, (sys.executable, "-c", code))
    finally:
        signal.signal(signal.SIGALRM, before)
    with pytest.raises(ProcessLookupError):
        os.kill(int(noted.read_text()), 0)


def test_without_the_library_it_says_how_to_get_it(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setattr("platemaker.fields._run.has_library", lambda: False)
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    answer = run("seal", str(DEMO), "--joint", "plate_to_plate", "--out", str(tmp_path))
    assert answer.code == 3
    assert 'the film needs the finite-element library: pip install "platemaker[seal]"' in answer.out
    assert run("seal", str(DEMO), "--joint", "nowhere").code == 2
    assert run("seal", str(ROOT / "part_specs" / "standard_faces")).code == 2


def test_a_joint_without_a_film_keeps_none_of_the_others_from_theirs(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """Of four joints one does not converge, and one more lacks what it needs: two films, and both faults by name."""

    def calculated(stack: Stack, joint: str, **_: object) -> SealAnswer:
        if joint == "old_pad":
            message = "no film: backfire: the joint opens"
            raise FlowError(message)
        if joint == "log_top":
            message = "no film: the length of a bolt is not known"
            raise GeometryError(message)
        given = seal_input(stack, joint)
        assert not isinstance(given, str)
        return SealAnswer(given, seal_field_of(film(CASES, 5.0, bolts=len(given.bolts))))

    monkeypatch.setattr(seal_room, "seal", calculated)
    monkeypatch.setattr("platemaker.project.seal", calculated)
    monkeypatch.setattr("platemaker.fields.has_library", lambda: True)
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    answer = run("seal", str(DEMO), "--out", str(tmp_path))
    assert answer.code == 3
    assert answer.out.count("seals in every case") == 2
    assert "old_pad: no film: backfire: the joint opens" in answer.out
    assert "log_top: no film: the length of a bolt is not known" in answer.out
    pictures = sorted(path.name for path in (tmp_path / "pump_engine-seal").glob("*.png"))
    assert pictures == ["blower_base_film.png", "plate_to_plate_film.png"]
    both = ("--joint", "blower_base", "--joint", "log_top")
    said = json.loads(run("seal", str(DEMO), *both, "--json", "--out", str(tmp_path)).out)
    assert [one.get("fault") for one in said] == [None, "no film: the length of a bolt is not known"]
    none = run("seal", str(DEMO), "--joint", "log_top", "--out", str(tmp_path))
    assert (none.code, "log_top: no film: the length of a bolt" in none.err) == (2, True)


def test_a_process_that_stops_is_no_more_than_that() -> None:
    with pytest.raises(FlowError, match="stopped"):
        solved({}, None, (sys.executable, "-c", "raise SystemExit(4)"))
