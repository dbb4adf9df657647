"""Joints resolved from their models: spots, bolts, openings, and who stands on either side."""

from __future__ import annotations

from collections.abc import Iterator

from platemaker.catalog import Material, material, thread
from platemaker.errors import SpecError, nearest_word
from platemaker.parts._cuts import Side
from platemaker.parts._design import Shared
from platemaker.parts._dowels import dowels_of
from platemaker.parts._figures import loop_of, spots_of
from platemaker.parts._grooves import seal_of
from platemaker.parts._hole_making import head_seat
from platemaker.parts._level import level_of, shim_of
from platemaker.parts._part import Bolts, Face, GasketSheet, Joint, Role
from platemaker.parts._surveys import surveyed_spots
from platemaker.plane import Region
from platemaker.spec import JointModel, PlateFields, ProjectSpec, SurveyPattern


def joints_of(spec: ProjectSpec) -> dict[str, Joint]:
    """Every joint of a project by name. Raises SpecError for a joint that nobody uses, or two on one face."""
    faces = _faces(spec)
    used = _used_elsewhere(spec)
    joints = {}
    for name, model in spec.model.joints.items():
        lower, upper = faces.get((name, Side.ABOVE)), faces.get((name, Side.BELOW))
        if lower is None and upper is None and name not in used:
            problem = f"joint '{name}' is used by nobody"
            raise SpecError(
                problem, where=spec.where("joints", name), allowed="a joint that a body or a part refers to"
            )
        joints[name] = _joint(name, model, lower, upper, spec)
    return joints


def _joint(name: str, model: JointModel, lower: Face | None, upper: Face | None, spec: ProjectSpec) -> Joint:
    pattern = model.bolts.pattern if model.bolts else model.spots
    bolts = None
    if model.bolts:
        with spec.blame("joints", name, "bolts"):
            given = model.bolts
            bolts = Bolts(
                thread(given.thread), given.property_class, given.fit, given.head, given.length, given.washers,
                given.torque,
            )  # fmt: skip
            head_seat(bolts.thread, bolts.head, bolts.washers)  # refuses a head that no table has in this size
    sheet = model.gasket
    gasket = None
    if sheet is not None:
        gasket = GasketSheet(
            sheet.thickness, sheet.land, sheet.material, sheet.factor, sheet.seating_stress, sheet.fitted
        )
    opening = None
    if model.opening is not None:
        with spec.blame("joints", name, "opening"):
            opening = Region.of(loop_of(model.opening, name))
    places, surveyed = None, None
    if isinstance(pattern, SurveyPattern):
        words = ("bolts", "pattern") if model.bolts else ("spots",)
        places, surveyed = surveyed_spots(spec, pattern, "joints", name, *words)
    spots = spots_of(pattern, places) if pattern else {}
    level = level_of(name, model.level, spec)
    shared = Shared(model.shared.title, model.shared.shim) if model.shared else None
    return Joint(
        name, spots, bolts, opening, gasket, lower, upper, model.source or "", f"joints.{name}",
        seal_of(name, model, lower, upper, spec), model.pressure, shared, surveyed,
        dowels_of(model.dowels), level, shim_of(name, model.shim, level, spec),
    )  # fmt: skip


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
            face = Face(name, Side(where.face), Role(where.holes), where.thread_depth, metal, where.position)
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
    known = sorted(spec.model.joints)
    if joint not in known:
        problem = f"no joint is called '{joint}'"
        raise SpecError(
            problem,
            where=spec.where(*path),
            met=joint,
            allowed=", ".join(known) or "none is declared",
            nearest=nearest_word(joint, known),
        )
