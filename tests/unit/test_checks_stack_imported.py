"""Clearance of a body that a STEP file gives: the kernel measures it, and is not loaded without one."""

from __future__ import annotations

import math
import subprocess
import sys
from pathlib import Path

import pytest

from platemaker.checks import Finding, Verdict
from platemaker.checks._stack._whole_stack import check_whole_stack
from platemaker.parts import Stack
from platemaker.resolved import assemble
from platemaker.spec import load_project
from tests.plates import note_of

TEXT = """
project: imported
stack: {{clearance: 1.5, ceiling: 60}}
bodies:
  housing: {{envelope: {{step: housing.step}}, place: {{at: [{x}, 0, 0], turn: [0, 0, 90]}}}}
parts:
  lid:
    kind: plate
    material: 6061-T6
    thickness: 10
    outline: {{circle: 60}}
    place: {{at: [0, 0, 0]}}
"""


def imported_stack(folder: Path, text: str) -> Stack:
    import cadquery as cq

    # 20 along X and 40 along Y before it is turned by a quarter: then it reaches 20 mm either way along X.
    cq.exporters.export(cq.Workplane("XY").box(20, 40, 30), str(folder / "housing.step"))
    (folder / "project.yaml").write_text(text, encoding="utf-8")
    return assemble(load_project(folder))


def housing_and_lid(folder: Path, x: float) -> Finding:
    stack = imported_stack(folder, TEXT.format(x=x))
    return next(one for one in check_whole_stack(stack) if {"lid", "housing"} == set(one.features))


@pytest.mark.kernel
def test_an_imported_body_keeps_its_clearance(tmp_path: Path) -> None:
    """The lid's rim at X = 30, the housing's side at X = 52 - 20."""
    found = housing_and_lid(tmp_path, 52.0)
    assert found.check == "PM641"
    assert found.measured == pytest.approx(2.0, abs=1e-6)
    assert found.verdict is Verdict.PASS
    assert housing_and_lid(tmp_path, 51.0).verdict is Verdict.FAIL


@pytest.mark.kernel
def test_an_imported_body_that_overlaps_tells_the_volume(tmp_path: Path) -> None:
    """The housing covers the lid's right half but for X under 5, as high as the lid within its own 15 mm.

    Both are convex: the least shift that parts them is that of the housing down, by its 15 mm over the lid's underside.
    """
    found = housing_and_lid(tmp_path, 25.0)
    assert found.verdict is Verdict.FAIL
    volume = found.value_of("overlap")
    # Between X = 5 and the rim, |Y| < 10, 10 mm high: ∫ (√(900 - y²) - 5) dy.
    area = 10 * (900 - 100) ** 0.5 + 900 * 0.3398369094541219 - 5 * 20  # asin(1/3) = 0.33983690945
    assert volume == pytest.approx(area * 10, rel=1e-6)
    assert found.measured == pytest.approx(-15.0, abs=1e-6)


@pytest.mark.kernel
def test_an_imported_body_stands_below_the_ceiling(tmp_path: Path) -> None:
    """30 mm high about its middle and leant by 30 degrees about Y, 20 mm wide there after its turn: 15 cos + 20 sin."""
    stack = imported_stack(tmp_path, TEXT.format(x=80).replace("turn: [0, 0, 90]", "turn: [0, 30, 90]"))
    found = next(one for one in check_whole_stack(stack) if one.check == "PM681" and one.part == "housing")
    top = 15 * math.cos(math.radians(30)) + 10 * math.sin(math.radians(30))
    assert found.measured == pytest.approx(60 - top, abs=1e-6)
    assert found.verdict is Verdict.PASS


@pytest.mark.kernel
@pytest.mark.parametrize("x", [61.0, -61.0])
def test_an_imported_body_is_passed_over_the_whole_travel(tmp_path: Path, x: float) -> None:
    """A plate 70 mm wide, its slots 8 mm longer than wide: 4 mm of travel either way, housing 20 mm either way."""
    stack = imported_stack(tmp_path, SLIDING.format(x=x))
    found = next(one for one in check_whole_stack(stack) if {"lid", "housing"} == set(one.features))
    assert found.measured == pytest.approx(61 - 20 - 35 - 4, abs=1e-6)
    assert "of its travel, 4.000 mm from the middle" in note_of(found)


SLIDING = """
project: sliding
stack: {{clearance: 1.5}}
bodies:
  base:
    material: grey cast iron
    envelope: {{box: [40, 60, 20]}}
    joints: {{top: {{face: above, holes: tapped, thread_depth: 15}}}}
  housing: {{envelope: {{step: housing.step}}, place: {{at: [{x}, 0, 0], turn: [0, 0, 90]}}}}
joints: {{top: {{bolts: {{pattern: {{row: [-15, 15]}}, thread: M6, length: 20}}}}}}
parts:
  lid:
    kind: plate
    material: 6061-T6
    thickness: 10
    outline: {{rectangle: [70, 30]}}
    below: {{top: {{holes: none}}}}
    slots:
      a: {{slot: [14.6, 6.6], at: [-15, 0], adjusts: top}}
      b: {{slot: [14.6, 6.6], at: [15, 0], adjusts: top}}
"""


@pytest.mark.kernel
def test_two_imported_bodies_keep_their_clearance(tmp_path: Path) -> None:
    """Housings 40 mm wide along X with their middles 43 mm apart."""
    text = TEXT.format(x=80).replace(
        "parts:", "  other: {envelope: {step: housing.step}, place: {at: [123, 0, 0], turn: [0, 0, 90]}}\nparts:"
    )
    stack = imported_stack(tmp_path, text)
    found = next(one for one in check_whole_stack(stack) if {"other", "housing"} == set(one.features))
    assert found.measured == pytest.approx(3.0, abs=1e-6)


def test_a_check_without_step_files_does_not_load_the_kernel() -> None:
    demo = Path(__file__).parents[2] / "part_specs" / "pump_engine"
    script = (
        "import sys; from pathlib import Path; from platemaker.spec import load_project; "
        "from platemaker.resolved import assemble; from platemaker.checks import check_stack; "
        f"check_stack(assemble(load_project(Path({str(demo)!r})))); "
        "print(sorted({'cadquery', 'OCP', 'scipy.optimize', 'trimesh'} & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
