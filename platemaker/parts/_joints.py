"""Joints resolved from their models: spots, bolts, openings, and who stands on either side."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from platemaker.catalog import Material, metal_named, thread
from platemaker.errors import SpecError, nearest_word, unknown_name
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
from platemaker.plane import Point, overlap
from platemaker.records import replace
from platemaker.spec import BodyFace, JointModel, Pattern, PlateFields, PortShape, ProjectSpec, SurveyPattern


def joints_of(spec: ProjectSpec) -> dict[str, Joint]:
    """Every joint of a project by name.

    Raises SpecError for a joint that nobody uses, two on one face, openings that overlap, surveys without an answer.
    """
    faces = _faces(spec)
    used, surveys = _used_elsewhere(spec), Surveys(spec)
    joints: dict[str, Joint] = {}
    for name, model in spec.model.joints.items():
        sides = {side: face for side in Side if (face := faces.get((name, side))) is not None}
        if not sides and name not in used:
            problem = f"joint '{name}' is not used"
            raise SpecError(
                problem, where=spec.where("joints", name), allowed="a joint that a body or a part refers to"
            )
        places, surveyed = _places(name, model, surveys)
        reader = PortReader(name, surveys, _pattern(model), len(places), surveyed)
        ports = _ports_at(name, model, reader, "joints", name)
        own = {owner: _own_ports(name, owner, ports, reader) for owner in spec.model.bodies}
        lower, upper = (_with_ports(sides.get(side), own) for side in (Side.ABOVE, Side.BELOW))
        joints[name] = _joint(name, model, (lower, upper), (places, surveyed, ports), spec)
    return joints


def _pattern(model: JointModel) -> Pattern | None:
    return model.bolts.pattern if model.bolts else model.spots


def _places(name: str, model: JointModel, surveys: Surveys) -> tuple[dict[str, Point], Surveyed | None]:
    """A joint's spots, and what their survey says where they have one."""
    pattern, places, surveyed = _pattern(model), None, None
    if isinstance(pattern, SurveyPattern):
        words = ("bolts", "pattern") if model.bolts else ("spots",)
        places, surveyed = surveyed_spots(surveys, pattern, "joints", name, *words)
    return (spots_of(pattern, places) if pattern else {}), surveyed


def _named(name: str, model: JointModel | BodyFace) -> dict[str, tuple[PortShape, tuple[str, ...]]]:
    """The openings of a model by name, with their keys in it; a single `opening` has the joint's name."""
    if model.opening is not None:
        return {name: (model.opening, ("opening",))}
    return {key: (shape, ("openings", key)) for key, shape in (model.openings or {}).items()}


def _ports_at(name: str, model: JointModel | BodyFace, reader: PortReader, *path: str) -> tuple[Port, ...]:
    """The openings given at key `path`, which must stand apart."""
    spec = reader.surveys.spec
    ports = tuple(reader.read(key, given, *path, *at) for key, (given, at) in _named(name, model).items())
    _refuse_overlaps(ports, spec, *path)
    return ports


def _refuse_overlaps(ports: Sequence[Port], spec: ProjectSpec, *path: str) -> None:
    for place, port in enumerate(ports):
        for other in ports[:place]:
            if overlap(port.region, other.region):
                problem = f"openings '{other.name}' and '{port.name}' overlap"
                where = spec.where(*path, "openings", port.name)
                raise SpecError(problem, where=where, allowed="openings that stand apart")


def _own_ports(name: str, owner: str, ports: Sequence[Port], reader: PortReader) -> tuple[Port, ...]:
    """The ports of a body that differ from the joint's, each the counterpart of one of them."""
    spec = reader.surveys.spec
    model, path = spec.model.bodies[owner].joints.get(name), ("bodies", owner, "joints", name)
    if model is None:
        return ()
    for key, (_, at) in _named(name, model).items():
        _refuse_without_counterpart(name, key, (*path, *at), spec)
    own = _ports_at(name, model, reader, *path)
    there = {port.name: port for port in own}
    _refuse_overlaps([there.get(port.name, port) for port in ports], spec, *path)
    return own


def _refuse_without_counterpart(name: str, key: str, path: tuple[str, ...], spec: ProjectSpec) -> None:
    """Raise SpecError for a body's opening that none of the joint's is called like."""
    model, where = spec.model.joints[name], spec.where(*path)
    known, single = list(model.openings or ()), path[-1] == "opening"
    if model.opening is None and not known:
        problem = f"joint '{name}' has no opening that this could differ from"
        raise SpecError(problem, where=where, allowed=f"joints.{name}.{'.'.join(path[4:])} as well")
    if single is not (model.opening is not None):
        problem = f"joint '{name}' has {'several openings' if single else 'a single opening'}"
        raise SpecError(problem, where=where, allowed=f"`openings`: {', '.join(known)}" if single else "`opening`")
    if not single and key not in known:
        problem = f"joint '{name}' has no opening called '{key}'"
        raise SpecError(problem, where=where, met=key, allowed=", ".join(known), nearest=nearest_word(key, known))


def _with_ports(face: Face | None, own: Mapping[str, tuple[Port, ...]]) -> Face | None:
    ports = own.get(face.owner) if face is not None else None
    return replace(face, ports=ports) if face and ports else face


def _joint(
    name: str, model: JointModel, faces: tuple[Face | None, Face | None],
    read: tuple[Mapping[str, Point], Surveyed | None, tuple[Port, ...]], spec: ProjectSpec,
) -> Joint:  # fmt: skip
    (lower, upper), (spots, surveyed, ports) = faces, read
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
            sheet.thickness,
            sheet.land,
            sheet.material,
            sheet.factor,
            sheet.seating_stress,
            sheet.fitted,
            sheet.flatness,
        )
    level = level_of(name, model.level, spec)
    with spec.blame("joints", name, "pilot"):
        pilot = pilot_of(model.pilot)
    with spec.blame("joints", name, "dowels"):
        dowels = dowels_of(model.dowels)
    _spigot_on_a_body(name, pilot, lower, upper, spec)
    shared = Shared(model.shared.title, model.shared.shim, model.shared.thickness) if model.shared else None
    return Joint(
        name, spots, bolts, ports, gasket, lower, upper, model.source or "", f"joints.{name}",
        seal_of(name, model, lower, upper, spec), model.pressure, shared, surveyed, dowels, level,
        shim_of(name, model.shim, level, spec), pilot, model.title or "", model.sealant or "",
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
            metal = metal_named(body.material) if body.material else None
        for joint, where in body.joints.items():
            role = Role.CLEAR if where.holes == "through" else Role(where.holes)
            face = Face(
                name, Side(where.face), role, where.thread_depth, metal, where.position,
                flange_thickness=where.flange_thickness, at=where.at, turn=where.turn, flatness=where.flatness,
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
        return metal_named(word)


def _used_elsewhere(spec: ProjectSpec) -> set[str]:
    """Joints that give positions to bosses and rails, or a shape to an opening."""
    used = {joint for part in spec.model.parts.values() if (joint := getattr(part, "joint", None))}
    for part in spec.model.parts.values():
        if isinstance(part, PlateFields):
            openings = [part.opening, *part.openings.values()]
            used |= {match.split(".")[0] for opening in openings if (match := getattr(opening, "match", None))}
    return used


def _known(joint: str, spec: ProjectSpec, path: tuple[str, ...]) -> None:
    if joint not in spec.model.joints:
        raise unknown_name(joint, sorted(spec.model.joints), "joint", spec.where(*path))
