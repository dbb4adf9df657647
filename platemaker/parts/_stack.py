"""The stack: where every part and body stands, found by walking from joint to joint."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from platemaker.catalog import metal_named
from platemaker.parts._draft import Draft
from platemaker.parts._over import bracket_frames
from platemaker.parts._records._cuts import Side
from platemaker.parts._records._figures import loop_of
from platemaker.parts._records._part import Body, Envelope, EnvelopeKind, Joint, Kind, Part, flat_frame
from platemaker.parts._records._stack_records import RailRow
from platemaker.parts._rows import boss_depth, rail_frames
from platemaker.plane import Circle, Region
from platemaker.records import replace
from platemaker.space import Frame, scale
from platemaker.spec import BossRow, BoxEnvelope, CylinderEnvelope, PlaceModel, PrismEnvelope, ProjectSpec


def frame_of(place: PlaceModel) -> Frame:
    """The frame of a place: turned about X, then Y, then Z of the stack, then moved."""
    frame = Frame()
    for axis, angle in zip(((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)), place.turn, strict=True):
        if angle:
            frame = frame.rotated((0.0, 0.0, 0.0), axis, angle)
    return frame.moved(place.at)


def bodies_of(spec: ProjectSpec) -> tuple[Body, ...]:
    """The bodies with their envelopes; those without a place of their own are placed later, through their joints."""
    made = []
    for name, model in spec.model.bodies.items():
        place = frame_of(model.place) if model.place else None
        with spec.blame("bodies", name, "material"):
            metal = metal_named(model.material) if model.material else None
        made.append(Body(name, model.title or name, metal, _envelope(name, spec), place, f"bodies.{name}"))
    return tuple(made)


def _envelope(name: str, spec: ProjectSpec) -> Envelope | None:
    given = spec.model.bodies[name].envelope
    if given is None:
        return None
    if isinstance(given, BoxEnvelope):
        return Envelope(EnvelopeKind.BOX, given.box)
    if isinstance(given, CylinderEnvelope):
        diameter, height = given.cylinder
        circle = Circle((0.0, 0.0), diameter / 2)
        return Envelope(EnvelopeKind.CYLINDER, (diameter, diameter, height), circle=circle)
    if isinstance(given, PrismEnvelope):
        with spec.blame("bodies", name, "envelope"):
            region = Region.of(loop_of(given.prism, name))
        x0, y0, x1, y1 = region.bounds
        return Envelope(EnvelopeKind.PRISM, (x1 - x0, y1 - y0, given.height), region=region)
    where = spec.where("bodies", name, "envelope", "step")
    return Envelope(EnvelopeKind.STEP, (0.0, 0.0, 0.0), file=given.step, where=where)


def place_all(
    draft: Draft, parts: Sequence[Part], bodies: Sequence[Body], rows: Sequence[RailRow] = ()
) -> tuple[tuple[Part, ...], tuple[Body, ...]]:
    """Parts and bodies with their places, as far as places, joints, rows of bosses and shared holes state.

    Where no other body gives the first body a place, it carries the stack: the face of its first joint lies on Z = 0.
    """
    frames, datum = _given(draft, bodies), ""
    faces = _face_frames(draft, parts, bodies)
    if bodies and bodies[0].name not in frames:
        first = bodies[0].name
        # Only bodies give another body its place: a part's own place may be wrong, which its joints must show.
        held = {body.name: body.place for body in bodies if body.place is not None}
        _spread(draft.joints, faces, held)
        if first not in held:
            datum = next((joint for owner, joint in faces if owner == first), "")
        frames[first] = held.get(first) or Frame((0.0, 0.0, -faces[first, datum].origin[2] if datum else 0.0))
    _spread(draft.joints, faces, frames)
    frames.update(rail_frames(draft, rows, frames))
    frames.update(bracket_frames(draft, parts, frames))
    placed_bodies = tuple(
        replace(body, place=frames.get(body.name), datum="" if number else datum) for number, body in enumerate(bodies)
    )
    return tuple(replace(part, places=_places(part, draft, frames, faces)) for part in parts), placed_bodies


def _given(draft: Draft, bodies: Sequence[Body]) -> dict[str, Frame]:
    frames = {body.name: body.place for body in bodies if body.place is not None}
    for name, model in draft.spec.model.parts.items():
        if model.place is not None:
            frames[name] = frame_of(model.place)
        if isinstance(model, BossRow) and model.casting.place is not None:
            frames[f"{name}_drilling"] = frame_of(model.casting.place)
    return frames


def _face_frames(draft: Draft, parts: Sequence[Part], bodies: Sequence[Body]) -> dict[tuple[str, str], Frame]:
    """The frame of each joint in its owner's frame, keyed by owner and joint."""
    found: dict[tuple[str, str], Frame] = {}
    for body in bodies:
        high = body.envelope.size[2] if body.envelope else 0.0
        for joint, face in draft.spec.model.bodies[body.name].joints.items():
            z = high if Side(face.face) is Side.ABOVE else 0.0
            found[body.name, joint] = flat_frame(face.at, face.turn, z)
    for part in parts:
        if part.is_gasket_or_shim:
            continue
        for mounting in part.mountings:
            found[part.name, mounting.joint] = part.joint_frame(mounting)
    return found


def _spread(joints: Mapping[str, Joint], faces: Mapping[tuple[str, str], Frame], frames: dict[str, Frame]) -> None:
    moving = True
    while moving:
        moving = False
        for joint in joints.values():
            if joint.lower is None or joint.upper is None:
                continue
            gap = joint.gap
            low, high = joint.lower.owner, joint.upper.owner
            if low in frames and high not in frames:
                plane = faces[low, joint.name].placed(frames[low])
                up = plane.moved(scale(plane.z_axis, gap))
                frames[high] = faces[high, joint.name].inverse().placed(up)
                moving = True
            elif high in frames and low not in frames:
                plane = faces[high, joint.name].placed(frames[high])
                down = plane.moved(scale(plane.z_axis, -gap))
                frames[low] = faces[low, joint.name].inverse().placed(down)
                moving = True


def _places(
    part: Part, draft: Draft, frames: Mapping[str, Frame], faces: Mapping[tuple[str, str], Frame]
) -> tuple[Frame, ...]:
    if part.kind is Kind.BOSS:
        return _boss_places(part, draft, frames)
    if part.is_gasket_or_shim:
        joint = draft.joints[part.mountings[0].joint]
        lower = joint.lower
        if lower is None or lower.owner not in frames:
            return ()
        plane = faces[lower.owner, joint.name].placed(frames[lower.owner])
        over = joint.gasket.thickness if joint.gasket and part.kind is Kind.SHIM else 0.0
        return (plane.moved(scale(plane.z_axis, over)),)
    return (frames[part.name],) if part.name in frames else ()


def _boss_places(part: Part, draft: Draft, frames: Mapping[str, Frame]) -> tuple[Frame, ...]:
    """A boss stands in each slanted bore; its lower end is at the bore's end, or flush with the casting's inside."""
    model = draft.spec.model.parts[part.name]
    flat = frames.get(f"{part.name}_drilling")
    if flat is None or not isinstance(model, BossRow):
        return ()
    lean, thick, depth = math.radians(model.angle), model.casting.thickness, boss_depth(model)
    axis = (0.0, math.cos(lean), math.sin(lean))
    places = []
    for x, y in draft.joints[model.joint].spots.values():
        foot = (x, y - depth * axis[1], thick - depth * axis[2])
        places.append(Frame(foot, (1.0, 0.0, 0.0), (0.0, math.sin(lean), -math.cos(lean))).placed(flat))
    return tuple(places)
