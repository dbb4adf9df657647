"""The hole table: one row for each operation of each hole, in the order the shop makes them."""

from __future__ import annotations

import csv
import io
import math
from pathlib import Path

from platemaker.export._names import side_of
from platemaker.parts import Hole, Operation, Part, StepVoid, Vec3
from platemaker.plane import Point
from platemaker.records import Record
from platemaker.resolved import resolved
from platemaker.views import hole_tags


class HoleRow(Record):
    """One operation of a hole, by its tag in the drawing and its name in the spec. Lengths mm.

    `x`, `y`, `z` are the entry in the part's frame, of a bent part when it is bent; `flat` is where a bent part's
    hole lies in its flat blank, None for other parts. `direction` is the unit vector of the axis, into the
    material. `side` is the face that it starts from, `axis` the angle between its axis and that face, degrees (90
    is square); both are those of the flat blank of a bent part. `depth` is None right through. A tapped hole has a
    row for its drill and one for its thread.
    """

    tag: str
    hole: str
    x: float
    y: float
    z: float
    flat: Point | None
    direction: Vec3
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
    tags, resolution = hole_tags(part), resolved(part)
    pairs = zip(part.holes, resolution.flat.holes, strict=True)
    return tuple(row for hole, lying in pairs for row in _rows(hole, lying, tags[hole.name], bool(resolution.bent)))


def _rows(hole: Hole, lying: Hole, tag: str, bent: bool) -> list[HoleRow]:
    """`lying` is the same hole in the flat blank: the machine that drills it sees that face."""
    side = side_of(lying)
    # A level hole starts from a side face that it stands square on.
    axis = 90.0 if side == "SIDE" else math.degrees(math.asin(min(1.0, abs(lying.direction[2]))))
    place = (tag, hole.name, *hole.at, lying.centre if bent else None, hole.direction, side.lower(), axis)
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
    """The hole table as CSV: three decimals, `THRU` for a depth right through, LF line ends.

    Places of a bent part stand twice, by names that say which: `flat_x` and `flat_y` in the blank before bending,
    `bent_x`, `bent_y` and `bent_z` in the finished part. Directions have six decimals.
    """
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    bent = resolved(part).bent is not None
    writer.writerow(_heads("bent_" if bent else "", flat=bent))
    writer.writerows(_cells(row) for row in hole_table(part))
    return out.getvalue()


def _heads(word: str, *, flat: bool) -> list[str]:
    places = [f"{word}{axis} [mm]" for axis in "xyz"]
    lying = ["flat_x [mm]", "flat_y [mm]"] if flat else []
    ways = [f"{word}direction_{axis}" for axis in "xyz"]
    sizes = ["diameter [mm]", "depth [mm]", "thread", "tap_drill [mm]", "joint"]
    return ["tag", "hole", *lying, *places, *ways, "side", "axis [deg]", "operation", *sizes]


def _cells(row: HoleRow) -> list[str]:
    places = map(_length, [*(row.flat or ()), row.x, row.y, row.z])
    ways = [f"{part:z.6f}" for part in row.direction]
    depth = "THRU" if row.depth is None else _length(row.depth)
    drill = "" if row.tap_drill is None else _length(row.tap_drill)
    sizes = [_length(row.diameter), depth, row.thread, drill, row.joint]
    return [row.tag, row.hole, *places, *ways, row.side, _length(row.axis), row.operation, *sizes]


def _length(value: float) -> str:
    return f"{value:z.3f}"


def write_hole_table(part: Part, path: Path) -> None:
    """Write the hole table as UTF-8 CSV."""
    path.write_text(hole_table_text(part), encoding="utf-8", newline="\n")
