"""The hole table: one row for each operation of each hole, in the order the shop makes them."""

from __future__ import annotations

import csv
import io
import math
from dataclasses import astuple, dataclass, fields
from pathlib import Path

from platemaker.export._names import side_of
from platemaker.parts import Hole, Operation, Part, StepVoid
from platemaker.views import hole_tags


@dataclass(frozen=True)
class HoleRow:
    """One operation of a hole, by its tag in the drawing and its name in the spec. Lengths mm.

    `x`, `y`, `z` are the entry in the part's frame, `side` is the face that it starts from, `axis` the angle between
    its axis and that face, degrees (90 is square); `depth` is None right through. A tapped hole has a row for its drill
    and one for its thread.
    """

    tag: str
    hole: str
    x: float
    y: float
    z: float
    side: str
    axis: float
    operation: str
    diameter: float
    depth: float | None
    thread: str
    tap_drill: float | None
    joint: str


def hole_table(part: Part) -> tuple[HoleRow, ...]:
    """The part's holes, operation by operation."""
    tags = hole_tags(part)
    return tuple(row for hole in part.holes for row in _rows(hole, tags[hole.name]))


def _rows(hole: Hole, tag: str) -> list[HoleRow]:
    side = side_of(hole)
    # A level hole starts from a side face that it stands square on.
    axis = 90.0 if side == "SIDE" else math.degrees(math.asin(min(1.0, abs(hole.direction[2]))))
    place = (tag, hole.name, *hole.at, side.lower(), axis)
    joint = hole.joint or ""
    rows = [HoleRow(*place, _operation(step), step.wide, step.depth, "", None, joint) for step in hole.bored]
    if hole.tapping:
        it = hole.tapping
        depth = None if hole.is_threaded_through else it.depth
        wider = (Operation.COUNTERBORE, Operation.COUNTERSINK)
        drill = next(step.wide for step in hole.bored if step.operation not in wider)
        rows.append(HoleRow(*place, "tap", it.major_diameter, depth, it.designation, drill, joint))
    return rows


def _operation(step: StepVoid) -> str:
    """The operation; of a countersink with its included angle."""
    word = step.operation.value
    return f"{word} {step.angle:.4g} deg" if step.operation is Operation.COUNTERSINK else word


def hole_table_text(part: Part) -> str:
    """The hole table as CSV: three decimals, `THRU` for a depth right through, LF line ends."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(
        f"{field.name} [deg]"
        if field.name == "axis"
        else f"{field.name} [mm]"
        if "float" in str(field.type)
        else field.name
        for field in fields(HoleRow)
    )
    for row in hole_table(part):
        cells = ["THRU" if name == "depth" and value is None else _cell(value) for name, value in _items(row)]
        writer.writerow(cells)
    return out.getvalue()


def _items(row: HoleRow) -> list[tuple[str, object]]:
    return list(zip((field.name for field in fields(row)), astuple(row), strict=True))


def _cell(value: object) -> str:
    if isinstance(value, float | int):
        return f"{value + 0.0:.3f}"
    return "" if value is None else str(value)


def write_hole_table(part: Part, path: Path) -> None:
    """Write the hole table as UTF-8 CSV."""
    path.write_text(hole_table_text(part), encoding="utf-8", newline="\n")
