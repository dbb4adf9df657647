"""A plate between two published mounting patterns: its holes, read back from DXF and from STEP, against the standards.

- ISO 9409-1, designation 50-4-M6: four M6 on a 50 mm bolt circle, centring bore 31.5 mm.
- VESA FDMI, MIS-D 100: four M4 on a square of 100 mm by 100 mm.

The standards themselves were not open to reading; the figures are those of published copies of their tables.
"""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from platemaker.catalog import thread
from platemaker.export import StepItem, prove_dxf, prove_step, write_dxf, write_step
from platemaker.parts import Hole, Operation, Part, ProfileKind, Step, Tapping
from platemaker.plane import Loop
from platemaker.solids import SolidProof, prove, solid_of
from tests import sample_parts as sample

pytestmark = pytest.mark.kernel

THICKNESS = 12.0
# ISO 9409-1-50-4-M6: a bolt circle of 50; four holes stand at half of 50 / sqrt(2) in X and Y when set on 45 degrees.
FLANGE = [(sx * 25 / math.sqrt(2), sy * 25 / math.sqrt(2)) for sx in (1, -1) for sy in (1, -1)]
# VESA MIS-D 100: 100 x 100.
MOUNT = [(sx * 50.0, sy * 50.0) for sx in (1, -1) for sy in (1, -1)]
CLEARANCE_M6 = 6.6  # ISO 273, medium series
CAP_M6, CAP_DEPTH = 11.0, 6.5  # room for an ISO 4762 M6 head of 10 mm by 6 mm
PILOT = 31.5


def adapter() -> Part:
    """120 x 120 x 12: counterbored M6 on the flange's circle, tapped M4 on the mount's square, a centring bore."""
    m4 = thread("M4")
    flange = [
        sample.counterbored(f"flange_{i + 1}", at, CAP_M6, CAP_DEPTH, CLEARANCE_M6, THICKNESS)
        for i, at in enumerate(FLANGE)
    ]
    tapping = Tapping("M4", m4.major_diameter, m4.pitch, THICKNESS)
    drill = (Step(Operation.DRILL, m4.tap_drill, 0.0, THICKNESS),)
    mount = [
        Hole(f"mount_{i + 1}", (*at, THICKNESS), sample.DOWN, drill, through=True, tapping=tapping)
        for i, at in enumerate(MOUNT)
    ]
    pilot = sample.through_profile("pilot", Loop.circle((0.0, 0.0), PILOT / 2), THICKNESS, ProfileKind.OPENING)
    return sample.plate("adapter", Loop.rectangle(120, 120, 10), THICKNESS, *flange, *mount, pilot)


def volume_by_hand() -> float:
    """Area times height, feature by feature, mm3. M4 x 0.7 is drilled 3.3 mm (ISO 2306)."""
    blank = (120 * 120 - (4 - math.pi) * 10**2) * 12
    flange = 4 * math.pi / 4 * (11**2 * 6.5 + 6.6**2 * 5.5)
    mount = 4 * math.pi / 4 * 3.3**2 * 12
    return blank - flange - mount - math.pi / 4 * 31.5**2 * 12


@pytest.fixture(scope="module")
def made() -> tuple[Part, SolidProof, object]:
    part = adapter()
    solid = solid_of(part)
    return part, prove(part, solid), solid


def test_hole_coordinates_read_back_from_the_drawing(made: tuple[Part, SolidProof, object], tmp_path: Path) -> None:
    write_dxf(made[0], tmp_path / "adapter.dxf")
    circles = prove_dxf(made[0], tmp_path / "adapter.dxf").circles
    flange = sorted((x, y) for x, y, size in circles if size == CLEARANCE_M6)
    # Spec coordinates lie on a grid of 1e-6 mm, and the file keeps 16 digits.
    assert flange == [pytest.approx(at, abs=1e-6) for at in sorted(FLANGE)]
    assert [math.hypot(x, y) for x, y in flange] == pytest.approx([25.0] * 4, abs=1e-6)
    mount = sorted((x, y) for x, y, size in circles if size == 4.0)
    assert mount == sorted(MOUNT)
    assert mount[2][0] - mount[0][0] == 100.0
    assert [(x, y) for x, y, size in circles if size == PILOT] == [(0.0, 0.0)]


def test_hole_coordinates_read_back_from_the_solid_model(made: tuple[Part, SolidProof, object], tmp_path: Path) -> None:
    part, proof, solid = made
    write_step(part, solid, tmp_path / "adapter.step")
    item = prove_step(part, proof, tmp_path / "adapter.step").items[0]
    assert axes(item, CLEARANCE_M6) == [pytest.approx(at, abs=1e-6) for at in sorted(FLANGE)]
    assert axes(item, CAP_M6) == [pytest.approx(at, abs=1e-6) for at in sorted(FLANGE)]
    assert axes(item, 3.3) == [pytest.approx(at, abs=1e-6) for at in sorted(MOUNT)]
    assert axes(item, PILOT) == [pytest.approx((0.0, 0.0), abs=1e-6)]
    assert item.volume == pytest.approx(volume_by_hand(), rel=1e-9)


def axes(item: StepItem, diameter: float) -> list[tuple[float, float]]:
    """Where the cylindrical faces of a diameter stand in the plan."""
    return sorted(
        {
            (round(face.point[0], 6), round(face.point[1], 6))
            for face in item.cylinders
            if abs(face.diameter - diameter) < 1e-6 and abs(face.axis[2]) == pytest.approx(1.0)
        }
    )


def test_volume_and_mass_by_arithmetic(made: tuple[Part, SolidProof, object]) -> None:
    part, proof, _ = made
    assert proof.volume == pytest.approx(volume_by_hand(), rel=1e-12)
    # 6061-T6 at 2700 kg/m3: 2.7e-6 kg/mm3.
    assert proof.volume * part.material.density * 1e-9 == pytest.approx(volume_by_hand() * 2.7e-6, rel=1e-12)
