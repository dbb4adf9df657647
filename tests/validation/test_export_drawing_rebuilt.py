"""Each part of both examples made again by a stranger to the package: numbers off the drawing's PDF and the hole table,
shapes by the solid kernel. What cannot be made again is a missing dimension.

The STEP that was sent with the drawing, read by the kernel, is the part that is due. The drawing leaves free half its
last decimal, of a thousandth of a millimetre in tables of shapes, over the part's whole surface.
"""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest

from tests.drawing_reader import Drawing, read_drawing, read_holes

pytestmark = pytest.mark.kernel

SPECS = Path(__file__).parents[2] / "part_specs"
HALF_DECIMAL = 0.0005
"""Half the last decimal of a shape's table, mm."""
ODD = ("blower_plate", "fuel_rail", "injector_bosses_drilling", "oil_return", "rail_bracket_front")
"""Parts of the larger example that hold every kind of shape: the others of it take longer than all tests of a room."""


@pytest.mark.parametrize(
    ("project", "only"),
    [("four_ports", None), ("pump_engine", ODD), pytest.param("pump_engine", None, marks=pytest.mark.slow)],
)
def test_drawing_and_hole_table_make_each_part(tmp_path: Path, project: str, only: tuple[str, ...] | None) -> None:
    from platemaker.export import build
    from platemaker.project import load

    stack = load(SPECS / project).stack
    build(stack, tmp_path / project, spec_folder=SPECS / project, findings=[], only=only)
    drawings = sorted((tmp_path / project).glob("*_drawing.pdf"))
    assert len(drawings) == len(only or stack.parts)
    for drawing in drawings:
        files_make_the_part(drawing.parent, drawing.name.removesuffix("_drawing.pdf"))


def files_make_the_part(folder: Path, part: str) -> None:
    """Rebuild a part from its drawing and hole table, and hold it to its STEP."""
    import cadquery as cq

    from tests.drawing_rebuilder import blank_of, rebuilt

    read, rows = read_drawing(folder / f"{part}_drawing.pdf"), read_holes(folder / f"{part}_holes.csv")
    tables_agree(read, rows)
    made = rebuilt(read, rows)
    due = cq.Compound.makeCompound(cq.importers.importStep(str(folder / f"{part}.step")).solids().vals())
    if "Existing casting" in read.words:
        due = due.intersect(blank_of(read))  # drills reach out of the face; the drawing has the casting's own metal
    free = due.Area() * HALF_DECIMAL
    assert made.Volume() == pytest.approx(due.Volume(), abs=free), part
    assert (cq.Shape.centerOfMass(made) - cq.Shape.centerOfMass(due)).Length < 0.005, part
    # The limit is of use: without one hole the volume differs by more.
    first = next(iter(read.places))
    less = {tag: at for tag, at in read.places.items() if tag != first}
    without = rebuilt(replace(read, places=less), [row for row in rows if row["tag"] != first])
    assert abs(without.Volume() - due.Volume()) > free, part


def tables_agree(read: Drawing, rows: list[dict[str, str]]) -> None:
    """Every hole of the table is on the drawing, at its place to the drawing's last decimal, with the same sizes."""
    assert {row["tag"] for row in rows} == set(read.places)
    word = "flat_" if "flat_x [mm]" in rows[0] else ""
    for row in rows:
        kind = read.kinds[re.sub(r"\d+$", "", row["tag"])]
        for axis, value in zip("xyz", read.places[row["tag"]], strict=False):
            assert value == pytest.approx(float(row[f"{word}{axis} [mm]"]), abs=0.0505)
        if row["thread"]:
            assert kind.words.startswith(row["thread"])
        else:
            assert float(row["diameter [mm]"]) in {step.diameter for step in kind.steps}
    for letter, kind in read.kinds.items():
        assert kind.count == sum(1 for tag in read.places if re.sub(r"\d+$", "", tag) == letter)
