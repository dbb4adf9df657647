"""Reads STEP files back from disk and measures them against the part or the stack."""

from __future__ import annotations

import math
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from platemaker.checks import hardware
from platemaker.export._ascii import plain
from platemaker.export._differs import differs, in_brackets
from platemaker.export._solid._step import EXISTING, bought, colour_of, drilled, existing, instance
from platemaker.export._solid._step_product import read_product
from platemaker.parts import Part, Plane, Stack, corners_of
from platemaker.records import Record, replace
from platemaker.resolved import resolved
from platemaker.solids import CylinderFace, Solid, SolidProof, bounds_of, cylinders_of, kernel, slopes_of, volume_of
from platemaker.space import Cylinder as SpaceCylinder
from platemaker.space import Frame, Prism

SAME_VOLUME = 1e-6
"""Largest share by which a volume read back may differ: the file holds some 15 digits of every coordinate."""
SAME_PLACE = 1e-5
"""Largest distance, mm, by which a place, a radius or a box may differ: the kernel's boxes are good to some 1e-7."""
SAME_COLOUR = 1e-6
SAME_TURN = 1e-9
"""Largest difference of unit axes: the file holds 15 digits."""
PLACED = b"NEXT_ASSEMBLY_USAGE_OCCURRENCE"
"""Stands in the text of an assembly and of nothing else: a product in its place in another."""

Vec3 = tuple[float, float, float]


class StepItem(Record):
    """A named solid of a STEP file in its place: colour in shares of 1, volume in mm3, box, round and sloping faces.

    `faces` are the names of those faces that have one. Of a stack's file the faces are not measured.
    """

    name: str
    place: Frame
    colour: Vec3 | None
    solids: int
    volume: float
    bounds: tuple[float, float, float, float, float, float]
    cylinders: tuple[CylinderFace, ...] = ()
    slopes: tuple[Plane, ...] = ()
    faces: tuple[str, ...] = ()


class StepReading(Record):
    """What a STEP file holds."""

    file: str
    name: str
    items: tuple[StepItem, ...]


def read_step(path: Path, *, faces: bool = True) -> StepReading:
    """Measure a STEP file on disk, an assembly or one product, with its `faces` where they are wanted.

    Raises ProofError naming a file that cannot be read.
    """
    try:
        product = None if PLACED in path.read_bytes() else read_product(path)
        if product is not None:
            item = _measured(product.name, Frame(), product.colour, product.solid, faces=faces)
            names = tuple(one.name for one in product.faces if one.name)
            return StepReading(path.name, product.name, (replace(item, faces=names),))
        whole = kernel().Assembly.importStep(str(path))
    except (ValueError, OSError, RuntimeError) as cause:
        raise differs(path, f"cannot be read: {cause}") from cause
    items = [_item(child, faces=faces) for child in whole.children]
    return StepReading(path.name, str(whole.name), tuple(items))


def prove_step(part: Part, proof: SolidProof, path: Path) -> StepReading:
    """Read a part's STEP file back and compare it with the part; raises ProofError naming file and difference."""
    reading = read_step(path)
    if [item.name for item in reading.items] != [part.name]:
        raise differs(path, f"named {reading.name!r} with {[item.name for item in reading.items]}")
    item = reading.items[0]
    _compare(path, item, colour_of(part), proof.volume)
    if any(abs(a - b) > SAME_PLACE for a, b in zip(item.bounds, proof.bounds, strict=True)):
        raise differs(path, f"box {in_brackets(item.bounds)} instead of {in_brackets(proof.bounds)}")
    for hole in (one for one in part.holes if not one.into):
        for step in (one for one in hole.bored if one.wide == one.narrow):
            found = any(face.is_wall(hole, step.wide) for face in item.cylinders)
            if not found and hole.name not in resolved(part).broken:
                raise differs(path, f"no wall of hole '{hole.name}', diameter {step.wide:g} mm, at {hole.at}")
    if part.planed is not None and not any(_same_face(part, met, part.planed.face) for met in item.slopes):
        raise differs(path, f"no face of the slope of '{part.planed.name}', {part.planed.face}")
    for hole in (one for one in part.holes if one.tapping and not one.into):
        found = any(name.startswith(plain(f"{hole.name}: ")) for name in item.faces)
        if not found and hole.name not in resolved(part).broken:
            raise differs(path, f"no face is named for the thread of '{hole.name}'")
    return reading


def prove_drilling_step(part: Part, path: Path) -> StepReading:
    """Read back what is drilled out of a casting: a solid a hole, by name, with the wall of each of its steps."""
    reading = read_step(path)
    found = {item.name: item for item in reading.items}
    due = {drilled(hole): hole for hole in part.holes}
    if reading.name != part.name or set(found) != set(due):
        raise differs(path, f"named {reading.name!r} with {sorted(found)} instead of {sorted(due)}")
    for name, hole in due.items():
        for step in (one for one in hole.bored if one.wide == one.narrow):
            if not any(face.is_wall(hole, step.wide) for face in found[name].cylinders):
                raise differs(path, f"no wall of hole '{hole.name}', diameter {step.wide:g} mm, at {hole.at}")
    return reading


def _same_face(part: Part, met: Plane, due: Plane) -> bool:
    """Whether a face stands as high as it should at every corner of the part."""
    return all(abs(met.at(*spot.at) - due.at(*spot.at)) <= SAME_PLACE for spot in corners_of(part))


def prove_stack_step(stack: Stack, proofs: Iterable[SolidProof], path: Path) -> StepReading:
    """Read the stack's STEP file back: every placed part and body once, by name, colour and volume."""
    reading = read_step(path, faces=False)
    found = {item.name: item for item in reading.items}
    volumes = {proof.part: proof.volume for proof in proofs}
    due = {
        instance(part.name, number): (part, place)
        for part in stack.parts
        for number, place in enumerate(part.places, start=1)
    }
    bodies = {existing(body): body.place for body in stack.bodies if body.envelope and body.place}
    pieces = {bought(one): one for one in hardware(stack)}
    every = {*due, *bodies, *pieces}
    if reading.name != stack.name or set(found) != every or len(found) != len(reading.items):
        raise differs(path, f"named {reading.name!r} with {sorted(found)} instead of {sorted(every)}")
    for name, one in pieces.items():
        whole = math.fsum(_volume(figure) for figure in one.figures)
        if found[name].solids != len(one.figures) or abs(found[name].volume - whole) > SAME_VOLUME * whole:
            raise differs(path, f"'{name}' holds {found[name].volume:.6f} mm3 instead of {whole:.6f} mm3")
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


def _volume(figure: SpaceCylinder | Prism) -> float:
    """Of a square cylinder or a prism, mm3."""
    if isinstance(figure, Prism):
        return figure.region.area * figure.height
    return math.pi * figure.radius**2 * figure.length


def _item(child: Any, *, faces: bool) -> StepItem:
    colour = tuple(float(share) for share in child.color.toTuple()[:3]) if child.color else None
    shares = (colour[0], colour[1], colour[2]) if colour else None
    return _measured(str(child.name), _frame(child.loc), shares, child.obj.moved(child.loc), faces=faces)


def _measured(name: str, place: Frame, colour: Vec3 | None, shape: Solid, *, faces: bool) -> StepItem:
    solids = shape.Solids()
    return StepItem(
        name,
        place,
        colour,
        len(solids),
        sum(volume_of(solid) for solid in solids),
        bounds_of(shape),
        cylinders_of(shape) if faces else (),
        slopes_of(shape) if faces else (),
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
