"""What no film can be calculated for is said by name, and no number is given; without the finite-element library."""

from __future__ import annotations

import sys
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest

from platemaker.checks import seal_input
from platemaker.errors import GeometryError, SpecError
from platemaker.fields import FlowError, SealInput, seal_case, seal_field_of
from platemaker.fields._seal import _child, _solids
from platemaker.fields._seal._contact import Balance
from platemaker.fields._seal._loading import _named, _thick_enough
from platemaker.fields._seal._solids import NotSettledError, solids_of
from platemaker.project import seal
from platemaker.records import replace
from tests.seal_models import box_project, case_of, circle, plate, rectangle, ring

PATTERN = "bolts: {pattern: {rectangle: [120, 60]}, thread: M6, head: hex, length: 20, washers: true}"
DESIGN = "design: {boost: 1 bar, friction: lubricated, preload_share: 0.5, temperature: 80 degC}\n"
POCKET = "    pocket: {shape: {rectangle: [80, 30], corner_radius: 6}, side: below, depth: 3, cutter: 10}\n"


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        (PATTERN, "spots: {rectangle: [120, 60]}", "no film: joint lid has no bolts"),
        ("    opening: {rectangle: [80, 30], corner_radius: 6}\n", "", "no film: joint lid has no opening: there is nothing"),
        (DESIGN, "", "no film: the spec has no `design`, and so neither preload nor pressures"),
        ("{holes: tapped, thread_depth: 16}", "{holes: none}",
         "no film: joint lid: the preload is not known: what its bolts are screwed into, or what their heads sit on"),
        ("land: 5}", "land: 5, material: 6061-T6}", "no film: joint lid: no curve of the gasket: no gasket sheet '6061-T6'"),
        ("thickness: 0.8", "thickness: 7", "no curve of the gasket: paper gasket is tabled over 0 and up to 6 mm, met 7 mm"),
    ],
)  # fmt: skip
def test_a_spec_that_says_too_little_is_refused_by_name(tmp_path: Path, old: str, new: str, said: str) -> None:
    changes = [(old, new)]
    if "opening" in old:
        changes += [("opening: {match: lid, cutter: 10}", "edge_break: 0.5"), (POCKET, "")]
    stack = box_project(tmp_path, *changes).stack
    with pytest.raises(GeometryError) as caught:
        seal(stack, "lid")
    assert str(caught.value).startswith("no film: ")
    assert said in str(caught.value)


def test_parts_that_do_not_overlap_are_refused_with_their_place_in_the_spec(tmp_path: Path) -> None:
    """A cover 300 mm beside its box has none of the joint's holes: the spec's line, and no film is asked for."""
    project = box_project(
        tmp_path, (POCKET, ""),
        ("thickness: 8\n    outline: {around: [lid], margin: 9}", "thickness: 8\n    outline: {rectangle: [60, 60], at: [300, 0]}"),
    )  # fmt: skip
    with pytest.raises(SpecError, match=r"project\.yaml:27: parts\.cover\.below\.lid: lid_4 lies off cover"):
        seal(project.stack, "lid")


def given(tmp_path: Path) -> SealInput:
    found = seal_input(box_project(tmp_path).stack, "lid")
    assert not isinstance(found, str)
    return found


def test_a_bolt_that_bears_beside_the_joint_is_refused(tmp_path: Path) -> None:
    one = given(tmp_path)
    bolt = replace(one.bolts[0], seat=replace(one.bolts[0].seat, owner="shelf"))
    with pytest.raises(
        GeometryError, match=f"bolt {bolt.name} of joint lid bears on shelf, which is no side of the joint"
    ):
        seal_case(replace(one, bolts=(bolt, *one.bolts[1:])))


def test_a_mesh_that_cannot_be_made_is_tried_with_smaller_cells_and_then_said(monkeypatch: pytest.MonkeyPatch) -> None:
    """Three times, each 0.85 as large; the child's answer and the film's fault say so, and give no number."""
    tried: list[float] = []

    class MesherError(Exception):
        pass

    def gives_up(_bodies: object, size: float, *_: object) -> None:
        tried.append(size)
        raise MesherError

    monkeypatch.setitem(sys.modules, "netgen.libngpy._meshing", SimpleNamespace(NgException=MesherError))
    for name in ("netgen", "netgen.libngpy"):
        monkeypatch.setitem(sys.modules, name, SimpleNamespace())
    monkeypatch.setattr(_solids, "_meshed", gives_up)
    blank = [rectangle(0, 0, 30, 20), circle(15.0, 10.0, 3.0)]
    with pytest.raises(NotSettledError, match="the plates cannot be meshed"):
        solids_of([plate(blank, 10.0)], 4.0)
    assert tried == pytest.approx([4.0, 3.4, 2.89])
    case = case_of([plate(blank, 10.0)], [blank], 10.0, [ring("one", (5.0, 5.0), 10.0, 2.0, 5.0)])
    said = _child.calculate({**case, "meshes": [{"size": 4.0, "round": 0.8, "head": 0.25, "pitch": 2.0}]})
    assert said == {"fault": "the plates cannot be meshed"}
    with pytest.raises(FlowError, match="no film: the plates cannot be meshed"):
        seal_field_of(said)


def test_a_contact_that_does_not_converge_names_its_case() -> None:
    message = "the contact does not converge"
    with (
        pytest.raises(NotSettledError, match=r"^backfire, pull to the left: the contact does not converge$"),
        _named("backfire, pull to the left"),
    ):
        raise NotSettledError(message)


def test_a_sheet_closed_by_all_of_its_thickness_has_no_film() -> None:
    none = np.zeros(2)
    state = Balance(none, np.array([0.3, 0.81]), none, none, none, none, 1, 0.0)
    with pytest.raises(
        NotSettledError, match=r"the gasket of 0\.8 mm would be closed by 0\.81 mm: its curve ends before"
    ):
        _thick_enough(0.8, state)
    _thick_enough(0.82, state)
    _thick_enough(None, state)
