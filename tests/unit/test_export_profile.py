"""The file for waterjet and laser: what goes right through and nothing else, each hole once, read by another library."""

from __future__ import annotations

import math
from pathlib import Path

import ezdxf
import pytest

from platemaker.errors import ProofError
from platemaker.export._flat._dxf import write_drawing
from platemaker.export._flat._profile import is_profile_cut, profile_drawing
from platemaker.export._reading._read_profile import prove_profile
from platemaker.parts import Hole, Operation, Part, Step, Tapping
from platemaker.plane import Loop
from platemaker.records import replace
from tests import sample_parts as sample

DOWN = (0.0, 0.0, -1.0)


def written(part: Part, folder: Path) -> ezdxf.document.Drawing:
    path = folder / f"{part.name}_profile.dxf"
    write_drawing(profile_drawing(part), path)
    prove_profile(part, path)
    document = ezdxf.readfile(path)
    assert not document.audit().errors
    return document


def circles(document: ezdxf.document.Drawing) -> dict[tuple[float, float], tuple[str, float]]:
    found = document.modelspace().query("CIRCLE")
    at = {(round(one.dxf.center.x, 3), round(one.dxf.center.y, 3)): one for one in found}
    assert len(at) == len(found), "each hole once"
    return {spot: (one.dxf.layer, round(2 * one.dxf.radius, 6)) for spot, one in at.items()}


def three_holes() -> Part:
    """A plate 100 x 80 x 12 with a clear hole 9, an M8 thread through (drill 6.8), a bore 10, and a blind hole."""

    def hole(
        name: str, x: float, operation: Operation, size: float, depth: float, tapping: Tapping | None = None
    ) -> Hole:
        steps = (Step(operation, size, 0.0, depth),)
        return Hole(name, (x, 0.0, 12.0), DOWN, steps, depth == 12.0, None if depth == 12.0 else 118.0, tapping)

    return sample.plate(
        "three", Loop.rectangle(100, 80), 12,
        hole("clear", -30.0, Operation.DRILL, 9.0, 12.0),
        hole("tapped", -10.0, Operation.DRILL, 6.8, 12.0, Tapping("M8", 8.0, 1.25, 12.0)),
        hole("bored", 10.0, Operation.BORE, 10.0, 12.0),
        hole("blind", 30.0, Operation.DRILL, 5.0, 6.0),
    )  # fmt: skip


def test_holes_are_cut_once_at_their_size_or_undersize(tmp_path: Path) -> None:
    """1 mm of diameter is left where a drill, tap or boring bar follows; the blind hole is drilled afterwards."""
    document = written(three_holes(), tmp_path)
    assert circles(document) == {
        (-30.0, 0.0): ("CUT_INSIDE", 9.0), (-10.0, 0.0): ("CUT_UNDERSIZE", 5.8), (10.0, 0.0): ("CUT_UNDERSIZE", 9.0),
    }  # fmt: skip
    notes = [text.dxf.text for text in document.modelspace().query("TEXT")]
    assert "not in this file, drilled afterwards by the hole table: blind" in notes
    assert any(note.startswith("CUT_UNDERSIZE: holes tapped or bored afterwards, 1.0 mm smaller") for note in notes)


def test_counterbores_and_pockets_leave_no_line(tmp_path: Path) -> None:
    document = written(sample.counterbore_and_pocket(), tmp_path)
    assert {one[1] for one in circles(document).values()} == {9.0}
    assert {one.dxf.layer for one in document.modelspace()} == {"CUT_OUTLINE", "CUT_INSIDE", "NOTE"}


def test_every_hole_of_a_gasket_is_cut(tmp_path: Path) -> None:
    document = written(sample.sheet_gasket(), tmp_path)
    assert [*circles(document).values()] == [("CUT_INSIDE", 9.0)] * 4


def test_a_bent_part_is_cut_flat(tmp_path: Path) -> None:
    """Machinery's Handbook, 31st ed., p. 1421: 79.05 mm to the hole beyond the bend."""
    document = written(sample.bent_bracket(), tmp_path)
    assert max(x for x, _ in circles(document)) == pytest.approx(79.05, abs=0.01)


def test_a_hole_that_runs_into_an_opening_is_one_loop_with_it(tmp_path: Path) -> None:
    """A hole of 10 on the side of a window 40 x 30 adds half a disc."""
    window = sample.through_profile("window", Loop.rectangle(40, 30), 10)
    hole = Hole("edge", (20.0, 0.0, 10.0), DOWN, (Step(Operation.DRILL, 10.0, 0.0, 10.0),), True)
    part = replace(sample.plain_plate(), cuts=(window, hole))
    document = written(part, tmp_path)
    assert not circles(document)
    areas = sorted(abs(_area(one)) for one in document.modelspace().query("LWPOLYLINE"))
    # The library draws a quarter turn as a cubic curve, up to 2.7e-4 of the radius outside: 15.7 x 5 x 2.7e-4 mm2.
    assert areas[0] == pytest.approx(40 * 30 + math.pi * 25 / 2, abs=0.022)


def _area(polyline: object) -> float:
    """By fine flattening, an oracle."""
    points = list(ezdxf.path.make_path(polyline).flattening(1e-6))  # type: ignore[arg-type]
    return sum(a.x * b.y - b.x * a.y for a, b in zip(points, [*points[1:], points[0]], strict=True)) / 2


@pytest.mark.parametrize("fault", ["drop", "grow", "depth"])
def test_a_file_that_differs_is_refused(fault: str, tmp_path: Path) -> None:
    document = written(three_holes(), tmp_path)
    circle = document.modelspace().query("CIRCLE")[0]
    if fault == "drop":
        document.modelspace().delete_entity(circle)
    elif fault == "grow":
        circle.dxf.radius += 0.01
    else:
        circle.dxf.layer = "DRILL_5.0_DP6.0_ABOVE"
    path = tmp_path / "three_profile.dxf"
    document.saveas(path)
    with pytest.raises(ProofError, match=r"^three_profile\.dxf does not read back as the part"):
        prove_profile(three_holes(), path)


def test_only_what_is_cut_from_plate_or_sheet_has_the_file() -> None:
    assert is_profile_cut(sample.sheet_gasket())
    assert not is_profile_cut(sample.cross_bored_rail())
    assert not is_profile_cut(sample.drilled_casting())
