"""Reads STEP files back from disk and measures them against the part or the stack."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from platemaker.errors import ProofError
from platemaker.export._step import EXISTING, colour_of, existing, instance
from platemaker.parts import Hole, Part, PlateStock, RoundStock, Stack, Step, Stock
from platemaker.solids import SolidProof

SAME_VOLUME = 1e-6
"""Largest share by which a volume read back may differ: the file holds some 15 digits of every coordinate."""
SAME_PLACE = 1e-5
"""Largest distance, mm, by which a place, a radius or a box may differ: the kernel's boxes are good to some 1e-7."""
SAME_COLOUR = 1e-6

Vec3 = tuple[float, float, float]


@dataclass(frozen=True)
class Cylinder:
    """A cylindrical face: a point of its axis, the axis's unit direction, and its diameter, mm."""

    point: Vec3
    axis: Vec3
    diameter: float


@dataclass(frozen=True)
class StepItem:
    """A named solid of a STEP file in its place: colour in shares of 1, volume in mm3, box, cylindrical faces."""

    name: str
    colour: Vec3 | None
    solids: int
    volume: float
    bounds: tuple[float, float, float, float, float, float]
    cylinders: tuple[Cylinder, ...]


@dataclass(frozen=True)
class StepReading:
    """What a STEP file holds."""

    file: str
    name: str
    items: tuple[StepItem, ...]


def read_step(path: Path) -> StepReading:
    """Measure a STEP file on disk. Raises ProofError naming a file that cannot be read."""
    import cadquery as cq  # noqa: PLC0415 - takes two seconds

    try:
        whole = cq.Assembly.importStep(str(path))
    except (ValueError, OSError, RuntimeError) as cause:
        raise _differs(path, f"cannot be read: {cause}") from cause
    items = [_item(child) for child in whole.children]
    return StepReading(path.name, str(whole.name), tuple(items))


def prove_step(part: Part, proof: SolidProof, path: Path) -> StepReading:
    """Read a part's STEP file back and compare it with the part; raises ProofError naming file and difference."""
    reading = read_step(path)
    if reading.name != part.name or [item.name for item in reading.items] != [instance(part.name)]:
        raise _differs(path, f"named {reading.name!r} with {[item.name for item in reading.items]}")
    item = reading.items[0]
    _compare(path, item, colour_of(part), proof.volume)
    due = _stock_box(part.stock)
    if any(abs(a - b) > SAME_PLACE for a, b in zip(item.bounds, due, strict=True)):
        raise _differs(path, f"box {_numbers(item.bounds)} instead of {_numbers(due)}")
    for hole in part.holes:
        for step in hole.steps:
            if not hole.into and not any(_is_wall(face, hole, step) for face in item.cylinders):
                raise _differs(path, f"no wall of hole '{hole.name}', diameter {step.diameter:g} mm, at {hole.at}")
    return reading


def prove_stack_step(stack: Stack, proofs: Iterable[SolidProof], path: Path) -> StepReading:
    """Read the stack's STEP file back: every placed part and body once, by name, colour and volume."""
    reading = read_step(path)
    found = {item.name: item for item in reading.items}
    volumes = {proof.part: proof.volume for proof in proofs}
    due = {
        instance(part.name, number): (colour_of(part), volumes[part.name])
        for part in stack.parts
        for number, _ in enumerate(part.places, start=1)
    }
    bodies = {existing(body) for body in stack.bodies if body.envelope is not None and body.place is not None}
    if reading.name != stack.name or set(found) != set(due) | bodies or len(found) != len(reading.items):
        raise _differs(path, f"named {reading.name!r} with {sorted(found)} instead of {sorted({*due, *bodies})}")
    for name, (colour, volume) in due.items():
        _compare(path, found[name], colour, volume)
    for name in bodies:
        if not _same_colour(found[name].colour, EXISTING):
            raise _differs(path, f"'{name}' has colour {found[name].colour} instead of {EXISTING}")
    return reading


def _compare(path: Path, item: StepItem, colour: Vec3, volume: float) -> None:
    if item.solids != 1:
        raise _differs(path, f"'{item.name}' is {item.solids} solids instead of one")
    if abs(item.volume - volume) > SAME_VOLUME * volume:
        raise _differs(path, f"'{item.name}' holds {item.volume:.6f} mm3 instead of {volume:.6f} mm3")
    if not _same_colour(item.colour, colour):
        raise _differs(path, f"'{item.name}' has colour {item.colour} instead of {colour}")


def _same_colour(met: Vec3 | None, due: Vec3) -> bool:
    return met is not None and all(abs(a - b) <= SAME_COLOUR for a, b in zip(met, due, strict=True))


def _item(child: Any) -> StepItem:
    shape = child.obj.moved(child.loc)
    box = shape.BoundingBox()
    solids = shape.Solids()
    colour = tuple(float(share) for share in child.color.toTuple()[:3]) if child.color else None
    return StepItem(
        str(child.name),
        (colour[0], colour[1], colour[2]) if colour else None,
        len(solids),
        sum(float(solid.Volume()) for solid in solids),
        (box.xmin, box.ymin, box.zmin, box.xmax, box.ymax, box.zmax),
        tuple(_cylinders(shape)),
    )


def _cylinders(shape: Any) -> Iterator[Cylinder]:
    for face in shape.Faces():
        if face.geomType() == "CYLINDER":
            cylinder = face._geomAdaptor().Cylinder()
            point, axis = cylinder.Axis().Location(), cylinder.Axis().Direction()
            yield Cylinder(
                (point.X(), point.Y(), point.Z()), (axis.X(), axis.Y(), axis.Z()), 2 * float(cylinder.Radius())
            )


def _is_wall(face: Cylinder, hole: Hole, step: Step) -> bool:
    """Whether a cylindrical face lies on the hole's axis and has the step's diameter."""
    if abs(face.diameter - step.diameter) > SAME_PLACE:
        return False
    off = tuple(a - b for a, b in zip(face.point, hole.at, strict=True))
    along = sum(a * b for a, b in zip(off, hole.direction, strict=True))
    aside = math.dist(off, tuple(along * component for component in hole.direction))
    lean = abs(sum(a * b for a, b in zip(face.axis, hole.direction, strict=True)))
    return aside <= SAME_PLACE and lean > 1 - 1e-9


def _stock_box(stock: Stock) -> tuple[float, float, float, float, float, float]:
    """The blank's box, from its own numbers; every part reaches all six sides of its blank."""
    if isinstance(stock, PlateStock):
        x0, y0, x1, y1 = stock.region.bounds
        return x0, y0, 0.0, x1, y1, stock.thickness
    if isinstance(stock, RoundStock):
        half, radius = stock.length / 2, stock.diameter / 2
        return -half, -radius, 0.0, half, radius, stock.diameter
    x0, z0, x1, z1 = stock.profile.bounds
    return x0, -stock.width / 2, z0, x1, stock.width / 2, z1


def _numbers(values: Iterable[float]) -> str:
    return "(" + ", ".join(f"{value:.6f}" for value in values) + ")"


def _differs(path: Path, what: str) -> ProofError:
    return ProofError(f"{path.name} does not read back as it should: {what}")
