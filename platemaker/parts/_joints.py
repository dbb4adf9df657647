"""Joints resolved from their models: spots, bolts, openings, and who stands on either side."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from platemaker.catalog import Material, material, thread
from platemaker.errors import SpecError, unknown_name
from platemaker.parts._grooves import seal_of
from platemaker.parts._hole_making import head_seat, usual_class
from platemaker.parts._records._cuts import Side
from platemaker.parts._records._design import Shared
from platemaker.parts._records._dowels import dowels_of
from platemaker.parts._records._figures import spots_of
from platemaker.parts._records._level import level_of, shim_of
from platemaker.parts._records._part import Bolts, Face, GasketSheet, Joint, Role
from platemaker.parts._records._pilots import Pilot, pilot_of
from platemaker.parts._records._ports import Port, PortReader
from platemaker.parts._records._surveys import Surveyed, Surveys, surveyed_spots
from platemaker.plane import Point
from platemaker.spec import JointModel, Pattern, PlateFields, ProjectSpec, Shape, SurveyPattern


def joints_of(spec: ProjectSpec) -> tuple[dict[str, Joint], dict[tuple[str, str], Shape]]:
    """Every joint of a project by name, and all openings as shapes: by joint and owner, "" for the joint's own.

    Raises SpecError for a joint that nobody uses, two on one face, and surveys without an answer.
    """
    faces = _faces(spec)
    used, surveys = _used_elsewhere(spec), Surveys(spec)
    joints: dict[str, Joint] = {}
    ports: dict[tuple[str, str], Shape] = {}
    for name, model in spec.model.joints.items():
        sides = {side: face for side in Side if (face := faces.get((name, side))) is not None}
        if not sides and name not in used:
            problem = f"joint '{name}' is not used"
            raise SpecError(
                problem, where=spec.where("joints", name), allowed="a joint that a body or a part refers to"
            )
        places, surveyed = _places(name, model, surveys)
        reader = PortReader(name, surveys, _pattern(model), len(places), surveyed)
        found = dict(_ports(name, model, reader))
        ports |= {(name, owner): port.shape for owner, port in found.items()}
        lower, upper = (_with_port(sides.get(side), found) for side in (Side.ABOVE, Side.BELOW))
        joints[name] = _joint(name, model, (lower, upper), (places, surveyed, found.get("")), spec)
    return joints, ports


def _pattern(model: JointModel) -> Pattern | None:
    return model.bolts.pattern if model.bolts else model.spots


def _places(name: str, model: JointModel, surveys: Surveys) -> tuple[dict[str, Point], Surveyed | None]:
    """A joint's spots, and what their survey says where they have one."""
    pattern, places, surveyed = _pattern(model), None, None
    if isinstance(pattern, SurveyPattern):
        words = ("bolts", "pattern") if model.bolts else ("spots",)
        places, surveyed = surveyed_spots(surveys, pattern, "joints", name, *words)
    return (spots_of(pattern, places) if pattern else {}), surveyed


def _ports(name: str, model: JointModel, reader: PortReader) -> Iterator[tuple[str, Port]]:
    """The openings of a joint by owner: its own under "", then those of bodies that have another port there."""
    if model.opening is not None:
        yield "", reader.read(model.opening, "joints", name, "opening")
    spec = reader.surveys.spec
    for owner, body in spec.model.bodies.items():
        own = body.joints[name].opening if name in body.joints else None
        path = ("bodies", owner, "joints", name, "opening")
        if own is None:
            continue
        if model.opening is None:
            problem = f"joint '{name}' has no opening that this could differ from"
            raise SpecError(problem, where=spec.where(*path), allowed=f"joints.{name}.opening as well")
        yield owner, reader.read(own, *path)


def _with_port(face: Face | None, ports: Mapping[str, Port]) -> Face | None:
    port = ports.get(face.owner) if face is not None else None
    return replace(face, opening=port.region, surveyed_port=port.surveyed) if face and port else face


def _joint(
    name: str, model: JointModel, faces: tuple[Face | None, Face | None],
    read: tuple[Mapping[str, Point], Surveyed | None, Port | None], spec: ProjectSpec,
) -> Joint:  # fmt: skip
    (lower, upper), (spots, surveyed, port) = faces, read
    bolts = None
    if model.bolts:
        with spec.blame("joints", name, "bolts"):
            given = model.bolts
            bolts = Bolts(
                thread(given.thread), given.property_class or usual_class(given.thread, given.head), given.fit,
                given.head, given.length, given.washers, given.torque, given.metal_end,
            )  # fmt: skip
            head_seat(bolts.thread, bolts.head, bolts.washers)  # refuses a head that no table has in this size
    sheet = model.gasket
    gasket = None
    if sheet is not None:
        gasket = GasketSheet(
            sheet.thickness, sheet.land, sheet.material, sheet.factor, sheet.seating_stress, sheet.fitted
        )
    level = level_of(name, model.level, spec)
    with spec.blame("joints", name, "pilot"):
        pilot = pilot_of(model.pilot)
    _spigot_on_a_body(name, pilot, lower, upper, spec)
    shared = Shared(model.shared.title, model.shared.shim, model.shared.thickness) if model.shared else None
    return Joint(
        name, spots, bolts, port.region if port else None, gasket, lower, upper, model.source or "", f"joints.{name}",
        seal_of(name, model, lower, upper, spec), model.pressure, shared, surveyed, dowels_of(model.dowels), level,
        shim_of(name, model.shim, level, spec), port.surveyed if port else None, pilot,
    )  # fmt: skip


def _spigot_on_a_body(
    name: str, pilot: Pilot | None, lower: Face | None, upper: Face | None, spec: ProjectSpec
) -> None:
    """Refuse a spigot on a plate, which is cut from flat stock."""
    face = None if pilot is None else lower if pilot.spigot is Side.BELOW else upper
    if face is not None and face.owner not in spec.model.bodies:
        problem = f"the spigot of joint {name} would stand on {face.owner}, which is cut from flat plate"
        where = spec.where("joints", name, "pilot", "spigot")
        raise SpecError(problem, where=where, allowed="the side of an existing body")


def _faces(spec: ProjectSpec) -> dict[tuple[str, Side], Face]:
    """The claimed sides: key is the joint and the side of the owner that it lies on."""
    faces: dict[tuple[str, Side], Face] = {}
    for face, joint, path in _claims(spec):
        _known(joint, spec, path)
        if (joint, face.side) in faces:
            other = faces[joint, face.side].owner
            problem = f"'{face.owner}' and '{other}' both have joint '{joint}' on the face {face.side}"
            raise SpecError(problem, where=spec.where(*path), allowed="one owner on either side of a joint")
        faces[joint, face.side] = face
    return faces


def _claims(spec: ProjectSpec) -> Iterator[tuple[Face, str, tuple[str, ...]]]:
    for name, body in spec.model.bodies.items():
        with spec.blame("bodies", name, "material"):
            metal = material(body.material) if body.material else None
        for joint, where in body.joints.items():
            role = Role.CLEAR if where.holes == "through" else Role(where.holes)
            face = Face(
                name, Side(where.face), role, where.thread_depth, metal, where.position,
                flange_thickness=where.flange_thickness,
            )  # fmt: skip
            yield face, joint, ("bodies", name, "joints", joint)
    for name, part in spec.model.parts.items():
        if not isinstance(part, PlateFields):
            continue
        stuff = _material(spec, name, part.material)
        for side, mounts in ((Side.BELOW, part.below), (Side.ABOVE, part.above)):
            for joint, mount in mounts.items():
                face = Face(name, side, Role(mount.holes), mount.thread_depth, stuff, mount.position)
                yield face, joint, ("parts", name, side.value, joint)


def _material(spec: ProjectSpec, name: str, word: str) -> Material:
    with spec.blame("parts", name, "material"):
        return material(word)


def _used_elsewhere(spec: ProjectSpec) -> set[str]:
    """Joints that give positions to bosses and rails, or a shape to an opening."""
    used = {joint for part in spec.model.parts.values() if (joint := getattr(part, "joint", None))}
    for part in spec.model.parts.values():
        if isinstance(part, PlateFields):
            openings = [part.opening, *part.openings.values()]
            used |= {match for opening in openings if (match := getattr(opening, "match", None))}
    return used


def _known(joint: str, spec: ProjectSpec, path: tuple[str, ...]) -> None:
    if joint not in spec.model.joints:
        raise unknown_name(joint, sorted(spec.model.joints), "joint", spec.where(*path))
