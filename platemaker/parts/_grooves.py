"""O-ring grooves: cut round each of a joint's openings in the face of the part that carries the seal."""

from __future__ import annotations

import math
from collections.abc import Iterator

from platemaker.catalog import face_gland
from platemaker.errors import SpecError
from platemaker.parts._draft import Draft
from platemaker.parts._hole_making import HoleSlab
from platemaker.parts._records._cuts import Profile, ProfileKind
from platemaker.parts._records._design import Seal, ring_of
from platemaker.parts._records._figures import loop_of, on_grid
from platemaker.parts._records._part import Face, Joint, Mounting
from platemaker.parts._records._ports import Port
from platemaker.plane import Region, offset
from platemaker.spec import JointModel, PlateFields, ProjectSpec

WALL = 0.1
"""Deviation of the outer wall's sizes over all, mm, either way; common practice, no source."""
WIDER = 0.2
"""How much wider than the table's width a groove may be cut, mm. Common practice, no source."""


def seal_of(name: str, model: JointModel, lower: Face | None, upper: Face | None, spec: ProjectSpec) -> Seal | None:
    """The O-ring of a joint and the part that its groove is cut in: the one named, else the lower made one."""
    if model.seal is None:
        return None
    path = ("joints", name, "seal")
    with spec.blame(*path, "o_ring"):
        ring = ring_of(model.seal)
        gland = face_gland(ring.section)
    sides = [face.owner for face in (lower, upper) if face is not None]
    made = [owner for owner in sides if isinstance(spec.model.parts.get(owner), PlateFields)]
    owner = model.seal.part or (made[0] if made else "")
    if owner not in made:
        problem = "an O-ring's groove is cut in a plate that has the joint"
        raise SpecError(problem, where=spec.where(*path, "part"), met=owner or None, allowed=", ".join(made) or "none")
    depth = model.seal.depth or on_grid((gland.depth_least + gland.depth_most) / 2)
    half = (gland.depth_most - gland.depth_least) / 2
    depths, widths = (on_grid(depth - half), on_grid(depth + half)), (gland.width, on_grid(gland.width + WIDER))
    return Seal(ring, owner, depth, gland.width, depths, widths, WALL, model.seal.compound, model.seal.flatness)


def grooves_of(part: str, mountings: tuple[Mounting, ...], slab: HoleSlab, draft: Draft) -> Iterator[Profile]:
    """The grooves that a plate's joints ask of it."""
    for mounting in mountings:
        seal = draft.joints[mounting.joint].seal
        if seal is not None and seal.owner == part:
            joint = draft.joints[mounting.joint]
            yield from (_groove(seal, joint, port, mounting, slab, draft) for port in joint.ports)


def _groove(seal: Seal, joint: Joint, port: Port, mounting: Mounting, slab: HoleSlab, draft: Draft) -> Profile:
    """The ring lies slack against the outer wall, as pressure inside presses it: its own length fixes the line.

    Round a convex opening of outline L a line at distance s is L + 2 π s long (Steiner); the ring's middle line is
    π (d_1 + W) long, and its outer wall lies W/2 further out.
    """
    path = ("joints", joint.name, "seal")
    words = "".join(f"opening '{name}' of " for name in joint.called(port))
    if seal.depth >= slab.thickness:
        problem = f"the groove of joint '{joint.name}' is as deep as the plate"
        raise SpecError(
            problem,
            where=draft.spec.where(*path),
            met=f"{seal.depth:g} mm",
            allowed=f"less than the thickness, {slab.thickness:g} mm",
        )
    name = joint.groove(port)
    opening = Region.of(loop_of(port.shape, name, mounting.at, mounting.turn))
    ring = seal.ring
    middle = (math.pi * (ring.inside_diameter + ring.section) - opening.perimeter) / (2 * math.pi)
    outer = on_grid(middle + ring.section / 2)
    inner = on_grid(outer - seal.width)
    if inner <= 0:
        problem = f"O-ring {ring.dash} is too short for {words or 'the opening of '}joint '{joint.name}'"
        least = (opening.perimeter + 2 * math.pi * (seal.width - ring.section / 2)) / math.pi - ring.section
        raise SpecError(
            problem,
            where=draft.spec.where(*path, "o_ring"),
            met=f"inside diameter {ring.inside_diameter:g} mm",
            allowed=f"an inside diameter above {least:.2f} mm for section {ring.section:g} mm",
        )
    [hole], [rim] = offset(opening, inner), offset(opening, outer)
    if abs(rim.perimeter - opening.perimeter - 2 * math.pi * outer) > 1e-3:
        problem = f"an O-ring's groove goes round a convex opening; {words or 'that of '}joint '{joint.name}' is not"
        raise SpecError(problem, where=draft.spec.where(*path), allowed="a gasket, or a convex opening")
    return Profile(
        name, ProfileKind.GROOVE, (Region.of(rim.outer, [hole.outer]),), mounting.side, seal.depth, False,
        joint=joint.name, key=".".join(path),
    )  # fmt: skip
