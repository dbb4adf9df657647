"""Reads STEP files back from disk and measures them against the part or the stack."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from platemaker.export._differs import differs, in_brackets
from platemaker.export._solid._step import EXISTING, colour_of, existing, instance
from platemaker.parts import Part, Plane, Stack, corners_of
from platemaker.resolved import resolved
from platemaker.solids import Cylinder, SolidProof, bounds_of, cylinders_of, kernel, slopes_of, volume_of
from platemaker.space import Frame

SAME_VOLUME = 1e-6
"""Largest share by which a volume read back may differ: the file holds some 15 digits of every coordinate."""
SAME_PLACE = 1e-5
"""Largest distance, mm, by which a place, a radius or a box may differ: the kernel's boxes are good to some 1e-7."""
SAME_COLOUR = 1e-6
SAME_TURN = 1e-9
"""Largest difference of unit axes: the file holds 15 digits."""

Vec3 = tuple[float, float, float]


@dataclass(frozen=True)
class StepItem:
    """A named solid of a STEP file in its place: colour in shares of 1, volume in mm3, box, round and sloping faces."""

    name: str
    place: Frame
    colour: Vec3 | None
    solids: int
    volume: float
    bounds: tuple[float, float, float, float, float, float]
    cylinders: tuple[Cylinder, ...]
    slopes: tuple[Plane, ...] = ()


@dataclass(frozen=True)
class StepReading:
    """What a STEP file holds."""

    file: str
    name: str
    items: tuple[StepItem, ...]


def read_step(path: Path) -> StepReading:
    """Measure a STEP file on disk. Raises ProofError naming a file that cannot be read."""
    try:
        whole = kernel().Assembly.importStep(str(path))
    except (ValueError, OSError, RuntimeError) as cause:
        raise differs(path, f"cannot be read: {cause}") from cause
    items = [_item(child) for child in whole.children]
    return StepReading(path.name, str(whole.name), tuple(items))


def prove_step(part: Part, proof: SolidProof, path: Path) -> StepReading:
    """Read a part's STEP file back and compare it with the part; raises ProofError naming file and difference."""
    reading = read_step(path)
    if reading.name != part.name or [item.name for item in reading.items] != [instance(part.name)]:
        raise differs(path, f"named {reading.name!r} with {[item.name for item in reading.items]}")
    item = reading.items[0]
    _compare(path, item, colour_of(part), proof.volume)
    if any(abs(a - b) > SAME_PLACE for a, b in zip(item.bounds, proof.bounds, strict=True)):
        raise differs(path, f"box {in_brackets(item.bounds)} instead of {in_brackets(proof.bounds)}")
    broken = resolved(part).broken
    for hole in (one for one in part.holes if not one.into and one.name not in broken):
        for step in (one for one in hole.bored if one.wide == one.narrow):
            if not any(face.is_wall(hole, step.wide) for face in item.cylinders):
                raise differs(path, f"no wall of hole '{hole.name}', diameter {step.wide:g} mm, at {hole.at}")
    if part.planed is not None and not any(_same_face(part, met, part.planed.face) for met in item.slopes):
        raise differs(path, f"no face of the slope of '{part.planed.name}', {part.planed.face}")
    return reading


def _same_face(part: Part, met: Plane, due: Plane) -> bool:
    """Whether a face stands as high as it should at every corner of the part."""
    return all(abs(met.at(*spot.at) - due.at(*spot.at)) <= SAME_PLACE for spot in corners_of(part))


def prove_stack_step(stack: Stack, proofs: Iterable[SolidProof], path: Path) -> StepReading:
    """Read the stack's STEP file back: every placed part and body once, by name, colour and volume."""
    reading = read_step(path)
    found = {item.name: item for item in reading.items}
    volumes = {proof.part: proof.volume for proof in proofs}
    due = {
        instance(part.name, number): (part, place)
        for part in stack.parts
        for number, place in enumerate(part.places, start=1)
    }
    bodies = {existing(body): body.place for body in stack.bodies if body.envelope and body.place}
    if reading.name != stack.name or set(found) != set(due) | set(bodies) or len(found) != len(reading.items):
        raise differs(path, f"named {reading.name!r} with {sorted(found)} instead of {sorted({*due, *bodies})}")
    for name, (part, place) in due.items():
        _compare(path, found[name], colour_of(part), volumes[part.name])
        _compare_place(path, found[name], place)
    for name, place in bodies.items():
        _compare_place(path, found[name], place)
        if not _same_colour(found[name].colour, EXISTING):
            raise differs(path, f"'{name}' has colour {found[name].colour} instead of {EXISTING}")
    return reading


def _compare_place(path: Path, item: StepItem, due: Frame) -> None:
    if not _same_frame(item.place, due):
        raise differs(path, f"'{item.name}' stands at {item.place} instead of {due}")


def _compare(path: Path, item: StepItem, colour: Vec3, volume: float) -> None:
    if item.solids != 1:
        raise differs(path, f"'{item.name}' is {item.solids} solids instead of one")
    if abs(item.volume - volume) > SAME_VOLUME * volume:
        raise differs(path, f"'{item.name}' holds {item.volume:.6f} mm3 instead of {volume:.6f} mm3")
    if not _same_colour(item.colour, colour):
        raise differs(path, f"'{item.name}' has colour {item.colour} instead of {colour}")


def _same_colour(met: Vec3 | None, due: Vec3) -> bool:
    return met is not None and all(abs(a - b) <= SAME_COLOUR for a, b in zip(met, due, strict=True))


def _item(child: Any) -> StepItem:
    shape = child.obj.moved(child.loc)
    solids = shape.Solids()
    colour = tuple(float(share) for share in child.color.toTuple()[:3]) if child.color else None
    return StepItem(
        str(child.name),
        _frame(child.loc),
        (colour[0], colour[1], colour[2]) if colour else None,
        len(solids),
        sum(volume_of(solid) for solid in solids),
        bounds_of(shape),
        cylinders_of(shape),
        slopes_of(shape),
    )


def _frame(location: Any) -> Frame:
    """Where a location of the kernel puts the origin and the axes."""
    turn = location.wrapped.Transformation()
    rows = [[float(turn.Value(row, column)) for column in (1, 2, 3, 4)] for row in (1, 2, 3)]
    x, y, _, origin = ((rows[0][i], rows[1][i], rows[2][i]) for i in range(4))
    return Frame(origin, x, y)


def _same_frame(met: Frame, due: Frame) -> bool:
    return all(
        math.dist(a, b) <= tolerance
        for a, b, tolerance in (
            (met.origin, due.origin, SAME_PLACE),
            (met.x_axis, due.x_axis, SAME_TURN),
            (met.y_axis, due.y_axis, SAME_TURN),
        )
    )
