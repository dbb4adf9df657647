"""A joint as the calculation wants it: bodies with their voids, faces, bolts, sheet, pressures and loads."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from platemaker.errors import GeometryError
from platemaker.fields._volume import plain
from platemaker.parts import Kind, Mounting, Part, Side, Stack
from platemaker.plane import Loop, Region, moved
from platemaker.records import Record, asdict
from platemaker.resolved import BearingSeat, Bolt, JointSide, ResolvedJoint, TappedEnd, resolved, resolved_stack

FINEST, COARSER = 4.0, 1.6
"""Least cell size on the face, mm, and that of the coarser mesh over that of the finer."""
CELLS = 900.0
"""Squares of the cell size that the larger face is about as large as."""
PER_CELL, CLOSEST = 4.0, 1.25
"""Cells of the film a cell of the mesh; least pitch of the film, mm."""
ROUND = (0.7, 1.2)
"""How finely round walls are meshed, coarser and finer; the mesher's own measure."""
HEAD = 0.25
"""Cell size where a head bears over the width of the ring that it bears on: it presses as one that stays plane does."""
METAL = 2e4
"""How stiff bare faces press on each other, MPa a mm: 20 MPa close them by a micrometre. Common practice, no source."""
FLAT = 1e-6


class Ends(Record):
    """The force of each bolt, N: as tightened at least, settled, then hot and cold, and the most that it comes to.

    `hot` is None where no temperature is known.
    """

    tightened: float
    settled: float
    hot: float | None
    cold: float
    most: float


class Push(Record):
    """One combination of the loads' ways: in words, what pulls the joint apart, N, and its moments about the frame.

    The moments are the sums of pull times y and pull times x, N mm.
    """

    words: str
    pull: float
    along_y: float
    along_x: float


class Pressed(Record):
    """A pressure, MPa, that the joint has to hold, `sealed`, and what of it pulls the joint apart, `pulling`."""

    name: str
    sealed: float
    pulling: float


class SealInput(Record):
    """All of a joint that the calculation needs; lengths in mm, stresses in MPa.

    `stiffness` is that of each bolt, N/mm. `modulus` and `recovery` of the gasket are for its first closing and its
    return, `factor` is what it needs over the pressure; `modulus` and `factor` are None for bare faces. `opened`,
    `exits` and `outline` are what is open, what else leads out and where the faces end, `figures` what the pressure
    acts on, in the joint's frame. `faults` say what the bolts' forces lack.
    """

    stack: Stack
    joint: ResolvedJoint
    bolts: tuple[Bolt, ...]
    stiffness: tuple[float, ...]
    ends: Ends
    modulus: float | None
    recovery: float
    factor: float | None
    opened: tuple[Region, ...]
    exits: tuple[Region, ...]
    outline: tuple[Region, ...]
    figures: tuple[Region, ...]
    pressures: tuple[Pressed, ...]
    pushes: tuple[Push, ...]
    faults: tuple[str, ...] = ()

    @property
    def rigid(self) -> tuple[str, ...]:
        """The bodies that are taken as rigid: those whose flange has no stated thickness."""
        return tuple(
            side.owner
            for side in self.joint.sides
            if side.part is None
            and (side.face.flange_thickness is None or not (side.face.material and side.face.material.elastic_modulus))
        )


def seal_case(given: SealInput) -> dict[str, Any]:
    """The case of a joint as plain records. Raises GeometryError naming what cannot be calculated."""
    joint = given.joint.joint
    bodies, owners, faces = [], list[str](), []
    for side in given.joint.sides:
        body, face = _body(given, side)
        faces.append(face)
        if body is not None:
            bodies.append(body)
            owners.append(side.owner)
    if not bodies:
        message = f"joint {joint.name} has no plate that is made: both of its sides are taken as rigid"
        raise GeometryError(message)
    if joint.gasket is not None:
        sheet = next(
            (part for part in given.stack.parts if part.name in given.joint.sheets and part.kind is Kind.GASKET), None
        )
        if sheet is not None:
            faces.append(_face(sheet, None, resolved(sheet).blank.region, resolved(sheet).upright))
    wide = max(given.outline, key=lambda region: region.area)
    size = max(FINEST, (wide.area / CELLS) ** 0.5)
    sheet_k = given.modulus / joint.gasket.thickness if given.modulus and joint.gasket else METAL
    return {
        "bodies": bodies,
        "faces": faces,
        "opened": _plain(given.opened),
        "exits": _plain(given.exits),
        "outline": _plain(given.outline),
        "pressed": _plain(given.figures),
        "k": sheet_k,
        "thick": joint.gasket.thickness if given.modulus and joint.gasket else None,
        "back": sheet_k / (given.recovery if given.modulus else 1.0),
        "bolts": [_bolt(given, bolt, k, owners) for bolt, k in zip(given.bolts, given.stiffness, strict=True)],
        "ends": asdict(given.ends),
        "pressures": [asdict(one) for one in given.pressures],
        "pushes": [asdict(one) for one in given.pushes],
        "meshes": [
            {"size": one, "round": bend, "head": HEAD * one / size, "pitch": max(CLOSEST, one / PER_CELL)}
            for one, bend in ((size * COARSER, ROUND[0]), (size, ROUND[1]))
        ],
    }  # fmt: skip


def _plain(regions: Iterable[Region]) -> list[Any]:
    return [plain(region) for region in regions]


def _body(given: SealInput, side: JointSide) -> tuple[dict[str, Any] | None, dict[str, Any]]:
    """One side as an elastic body, None where it is taken as rigid, and its face."""
    part, mounting = side.part, side.mounting
    if part is not None and mounting is not None:
        return _plate(given, side, part, mounting)
    ports = [port.region for port in side.joint.ports_of(side.owner)]
    wide = max(given.outline, key=lambda region: region.area)
    face = {"in": _plain([wide]), "out": _plain(ports)}
    metal, depth = side.face.material, side.face.flange_thickness
    if depth is None or metal is None or metal.elastic_modulus is None:
        return None, face
    holes = [_circle(at, given.bolts[0].d / 2 + 0.5) for at in side.joint.spots.values()] if given.bolts else []
    voids = [{"region": plain(region), "low": 0.0, "high": depth} for region in (*ports, *holes)]
    return {
        "name": side.owner, "up": side.face.side is Side.BELOW, "E": metal.elastic_modulus,
        "nu": metal.poisson or 0.3, "height": depth, "blank": plain(wide), "voids": voids, "far": face,
    }, face  # fmt: skip


def _circle(at: tuple[float, float], radius: float) -> Region:
    return moved(Region(Loop.circle((0.0, 0.0), radius)), *at)


def _plate(
    given: SealInput, side: JointSide, part: Part, mounting: Mounting
) -> tuple[dict[str, Any] | None, dict[str, Any]]:
    made = resolved(part)
    if part.plate is None or made.flat is not part:
        message = f"{part.name} is no flat plate: its bending is not calculated"
        raise GeometryError(message)
    modulus = part.material.elastic_modulus
    if modulus is None:
        message = f"the catalog has no modulus of {part.material.name}, of which {part.name} is made"
        raise GeometryError(message)
    up, height = mounting.side is Side.BELOW, made.blank.height
    blank = mounting.in_joint(made.blank.region)
    voids = []
    for void in made.voids:
        if void.is_straight and void.high - void.low > FLAT:
            low, high = (void.low, void.high) if up else (height - void.high, height - void.low)
            voids.append({"region": plain(mounting.in_joint(void.plan)), "low": low, "high": high})
    other = Side.ABOVE if up else Side.BELOW
    far = _face(part, mounting, blank, tuple(made.breaking(other)))
    far["in"] = _next_gasket(given, part, mounting, other) or far["in"]
    face = _face(part, mounting, blank, tuple(made.breaking(mounting.side)))
    return {
        "name": part.name, "up": up, "E": modulus, "nu": part.material.poisson or 0.3, "height": height,
        "blank": plain(blank), "voids": voids, "far": far,
    }, face  # fmt: skip


def _face(part: Part, mounting: Mounting | None, blank: Region, voids: Sequence[Any]) -> dict[str, Any]:
    plans = [void.plan if mounting is None else mounting.in_joint(void.plan) for void in voids]
    return {"in": [plain(blank)], "out": _plain(plans)}


def _next_gasket(given: SealInput, part: Part, mounting: Mounting, other: Side) -> list[Any]:
    """Where the next joint's gasket lies on a plate's far face, in this joint's frame; empty without one."""
    joints = [far for far in part.mountings if far.side is other and far.joint != mounting.joint]
    return [
        plain(mounting.in_joint(far.in_plan(resolved(sheet).blank.region)))
        for far in joints
        for sheet in given.stack.parts
        if sheet.name in resolved_stack(given.stack).joint(far.joint).sheets
    ]


def _bolt(given: SealInput, bolt: Bolt, stiffness: float, owners: Sequence[str]) -> dict[str, Any]:
    joint = given.joint
    upper = joint.joint.upper.owner if joint.joint.upper else ""
    sides = {side.owner for side in joint.sides}
    ends = list(_ends(bolt))
    for owner, _ in ends:
        if owner not in sides:
            message = f"bolt {bolt.name} of joint {bolt.group} bears on {owner}, which is no side of the joint"
            raise GeometryError(message)
    return {
        "name": bolt.spot,
        "at": joint.joint.spots[bolt.spot],
        "k": stiffness,
        "head": _end(ends[0], owners),
        "foot": _end(ends[1], owners),
        "up": ends[0][0] == upper,
    }


def _ends(bolt: Bolt) -> Iterator[tuple[str, dict[str, Any]]]:
    def seat(one: BearingSeat) -> tuple[str, dict[str, Any]]:
        return one.owner, {"away": one.metal, "inner": one.bore / 2, "outer": bolt.bearing_diameter / 2}

    yield seat(bolt.seat)
    if bolt.nut is not None:
        yield seat(bolt.nut)
    elif bolt.tapped is not None:
        yield bolt.tapped.owner, _thread(bolt, bolt.tapped)


def _thread(bolt: Bolt, tapped: TappedEnd) -> dict[str, Any]:
    radius = (tapped.hole.diameter if tapped.hole else bolt.d + 1.0) / 2
    engaged = min(bolt.engaged or bolt.d, tapped.depth or bolt.d)
    return {"radius": radius, "low": tapped.sunk, "high": tapped.sunk + engaged}


def _end(end: tuple[str, dict[str, Any]], owners: Sequence[str]) -> dict[str, Any] | None:
    owner, figures = end
    return {"body": owners.index(owner), **figures} if owner in owners else None
