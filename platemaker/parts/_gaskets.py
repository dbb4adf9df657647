"""Gaskets and shims: derived from joints, one of each a joint, cut for every screw that goes through them."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence

from platemaker.catalog import Fit, Material, clearance_hole, material, thread
from platemaker.errors import SpecError
from platemaker.parts._draft import Draft
from platemaker.parts._hole_making import head_seat, usual_head
from platemaker.parts._planed import corners_of, ends_of, reaching
from platemaker.parts._records._cuts import Cut, Hole, Operation, Plane, Planed, Profile, ProfileKind, Side, Step
from platemaker.parts._records._figures import loop_of, on_grid
from platemaker.parts._records._part import Joint, Kind, Mounting, Part, Role
from platemaker.parts._records._ports import Port
from platemaker.parts._records._stock import PlateStock
from platemaker.plane import Loop, Point, Region, intersect, moved, offset, overlap, rotated, subtract
from platemaker.records import Record, replace
from platemaker.spec import BodyModel, BoxEnvelope, CylinderEnvelope, PrismEnvelope
from platemaker.units import LengthUnit, format_length

BOLT_RELIEF = 1.0
"""A gasket's bolt hole is this much larger than the bolt's medium clearance hole, mm (common practice, no source)."""


class _Sheet(Record):
    """How one flat piece of a joint differs from another: its thickness, its holes, its opening's setback."""

    kind: Kind
    material: Material
    thickness: float
    relief: float
    overhang: float
    key: str


Carrier = tuple[Part, Mounting]
"""A made part on a joint, and how it carries it."""


def gasket_of(joint: Joint, draft: Draft, carriers: Sequence[Carrier]) -> Part | None:
    """The gasket of a joint, in the joint's frame: outline of the first plate that carries it, its bolts and opening.

    Screws of no joint that hold two such plates go through it as well. The outline ends where a body on the joint does,
    by its envelope. The opening is set back from the port by the joint's `overhang` rule: 0 leaves it flush. None
    without a gasket.
    """
    if joint.gasket is None:
        return None
    key = f"joints.{joint.name}.gasket"
    with draft.spec.blame("joints", joint.name, "gasket", "material"):
        metal = material(joint.gasket.material)
    model = draft.spec.model.joints[joint.name].gasket
    overhang = model.overhang if model else 0.0
    sheet = _Sheet(Kind.GASKET, metal, joint.gasket.thickness, BOLT_RELIEF, overhang, key)
    return _piece(joint, draft, carriers, sheet)


def shim_part_of(joint: Joint, draft: Draft, carriers: Sequence[Carrier]) -> Part | None:
    """The shim of a joint, cut like its gasket; its upper face is planed to its taper.

    The thick end keeps the blank's thickness. None without a shim. Raises SpecError for a taper that leaves nothing at
    its thin end.
    """
    shim = joint.shim
    if shim is None:
        return None
    sheet = _Sheet(Kind.SHIM, shim.material, shim.thickness, 0.0, 0.0, f"joints.{joint.name}.shim")
    part = _piece(joint, draft, carriers, sheet)
    if shim.is_flat:
        return part
    face = reaching(part.stock.plan, shim.thickness, shim.rise)
    thin, _ = ends_of(part.stock.plan, face)
    if thin.thickness <= 0:
        problem = f"the shim tapers to {thin.thickness:.3f} mm at its thin end"
        where = draft.spec.where("joints", joint.name, "shim", "thickness")
        raise SpecError(problem, where=where, met=f"{shim.thickness:g} mm", allowed="a thicker blank")
    unit = LengthUnit(draft.spec.model.units)
    made = replace(part, cuts=(*part.cuts, Planed("taper", face, part.key, joint=joint.name)))
    return replace(made, note=_taper_words(made, face, thin.thickness, shim.thickness, unit))


def _taper_words(part: Part, face: Plane, thin: float, thick: float, unit: LengthUnit) -> str:
    corners = ", ".join(f"T{spot.name} {format_length(spot.thickness, unit)}" for spot in corners_of(part))
    return (
        f"TAPER: upper face planed, {format_length(thick, unit)} at the thick end, {format_length(thin, unit)} at the "
        f"thin end; rises {100 * face.along_x:+z.3f} per 100 along X, {100 * face.along_y:+z.3f} along Y; corners, "
        f"counter-clockwise from the lower left: {corners}; holes square to the lower face"
    )


def seated(joint: Joint, parts: Iterable[Part]) -> Joint:
    """A joint whose shim has the upper face of the part that was made for it."""
    made = (part.planed for part in parts if part.kind is Kind.SHIM)
    found = next((planed.face for planed in made if planed is not None and planed.joint == joint.name), None)
    return joint if joint.shim is None or found is None else replace(joint, shim=replace(joint.shim, upper=found))


def _piece(joint: Joint, draft: Draft, carriers: Sequence[Carrier], sheet: _Sheet) -> Part:
    carrier, mounting = carriers[0]
    whole = mounting.in_joint(carrier.stock.plan)
    blank = _under_bodies(whole, joint, draft)
    cuts: list[Cut] = [
        *_bolt_holes(joint, sheet),
        *_dowel_holes(joint, sheet),
        *_pilot_hole(joint, sheet),
        *_single_holes(carriers, sheet),
    ]
    cuts += _openings(joint, sheet, draft)
    return Part(
        f"{joint.name}_{sheet.kind.value}", f"{sheet.kind.value.capitalize()}: {joint.title or joint.name}", sheet.kind,
        sheet.material, PlateStock(blank, sheet.thickness), tuple(cuts),
        mountings=(Mounting(joint.name, Side.BELOW, Role.CLEAR),), key=sheet.key,
        quantity=max(part.sets for part, _ in carriers),
    )  # fmt: skip


def _openings(joint: Joint, sheet: _Sheet, draft: Draft) -> Iterator[Profile]:
    """A sheet's openings, one for each of the joint's."""
    rooms = [Region.of(Loop.circle(hole.centre, hole.diameter / 2, hole.name)) for hole in _pilot_hole(joint, sheet)]
    done: list[tuple[Port, tuple[Region, ...]]] = []
    for port in joint.ports:
        name = port.name if len(joint.ports) > 1 else "opening"
        figure = Region.of(loop_of(port.shape, name))
        grown = offset(figure, sheet.overhang) if sheet.overhang else (figure,)
        for other, there in done:
            if any(overlap(a, b) for a in grown for b in there):
                problem = f"nothing of the {sheet.kind.value} is left between openings '{other.name}' and '{port.name}'"
                where = draft.spec.where("joints", joint.name, "gasket", "overhang")
                raise SpecError(problem, where=where, met=f"{sheet.overhang:g} mm", allowed="a smaller overhang")
        done.append((port, grown))
        if subtract(grown, rooms):  # else the opening lies within the room for the spigot
            yield Profile(
                name, ProfileKind.OPENING, grown, Side.ABOVE, sheet.thickness, True, joint=joint.name, key=sheet.key
            )


def _under_bodies(blank: Region, joint: Joint, draft: Draft) -> Region:
    """The blank without what would stand out from under a body on the joint, where its envelope has a plan."""
    for face in joint.faces:
        model = draft.spec.model.bodies.get(face.owner)
        plan = None if model is None else _plan_of(model)
        if model is not None and plan is not None:
            at = model.joints[joint.name]
            common = intersect(blank, rotated(moved(plan, -at.at[0], -at.at[1]), -at.turn))
            blank = common[0] if len(common) == 1 else blank
    return blank


def _plan_of(body: BodyModel) -> Region | None:
    given = body.envelope
    if isinstance(given, BoxEnvelope):
        return Region.of(Loop.rectangle(given.box[0], given.box[1], tag="outline"))
    if isinstance(given, CylinderEnvelope):
        return Region.of(Loop.circle((0.0, 0.0), given.cylinder[0] / 2, "outline"))
    if isinstance(given, PrismEnvelope):
        return Region.of(loop_of(given.prism, "outline"))
    return None


def _bolt_holes(joint: Joint, sheet: _Sheet) -> list[Hole]:
    if joint.bolts is None:
        return []
    wide = clearance_hole(joint.bolts.thread, Fit.MEDIUM).diameter + sheet.relief
    step = Step(Operation.DRILL, wide, 0.0, sheet.thickness)
    return [
        Hole(
            f"{joint.name}_{spot}", (on_grid(x), on_grid(y), sheet.thickness), (0.0, 0.0, -1.0), (step,), True,
            bolt=joint.bolts.thread.designation, joint=joint.name, spot=spot, key=sheet.key,
        )
        for spot, (x, y) in joint.spots.items()
    ]  # fmt: skip


def _dowel_holes(joint: Joint, sheet: _Sheet) -> list[Hole]:
    dowels = joint.dowels
    if dowels is None:
        return []
    step = Step(Operation.DRILL, on_grid(dowels.diameter + BOLT_RELIEF), 0.0, sheet.thickness)
    return [
        Hole(name, (x, y, sheet.thickness), (0.0, 0.0, -1.0), (step,), True, key=sheet.key)
        for name, (x, y) in joint.dowel_bores.items()
    ]


def _pilot_hole(joint: Joint, sheet: _Sheet) -> list[Hole]:
    """Room for the spigot, which goes through to the recess."""
    pilot = joint.pilot
    if pilot is None:
        return []
    step = Step(Operation.DRILL, on_grid(pilot.diameter + BOLT_RELIEF), 0.0, sheet.thickness)
    return [Hole(joint.pilot_hole, (*pilot.at, sheet.thickness), (0.0, 0.0, -1.0), (step,), True, key=sheet.key)]


def _single_holes(carriers: Sequence[Carrier], sheet: _Sheet) -> Iterator[Hole]:
    """The holes for screws of no joint that go from one plate on a joint into the other."""
    if len(carriers) < 2:
        return
    (part, mounting), (other, far) = carriers[:2]
    across = list(_single(other, far))
    for hole, at in _single(part, mounting):
        for met, there in across:
            size = next((one.bolt for one in (hole, met) if one.bolt and one.tapping), hole.bolt or met.bolt)
            both = hole.tapping is not None and met.tapping is not None
            if size is None or both or math.dist(at, there) >= max(hole.diameter, met.diameter) / 2:
                continue
            plain = max((one.diameter for one in (hole, met) if not one.bolt), default=0.0)
            if plain >= head_seat(thread(size), usual_head(size), washers=False).diameter:
                continue  # its head falls through
            wide = clearance_hole(thread(size), Fit.MEDIUM).diameter + sheet.relief
            step, entry = (
                Step(Operation.DRILL, wide, 0.0, sheet.thickness),
                (on_grid(at[0]), on_grid(at[1]), sheet.thickness),
            )
            yield Hole(f"{part.name}_{hole.name}", entry, (0.0, 0.0, -1.0), (step,), True, key=sheet.key)


def _single(part: Part, mounting: Mounting) -> Iterator[tuple[Hole, Point]]:
    """The holes of no joint and no fitting that break a plate's face on a joint, and where in the joint's frame.

    None whose head is sunk in that face.
    """
    for hole in part.holes:
        sunk, own = hole.is_stepped and hole.side is mounting.side, hole.key.startswith("parts.")
        taken = hole.joint or hole.takes_fitting or sunk
        if own and hole.square and not taken and hole.diameter_at(mounting.side) > 0:
            yield hole, mounting.in_joint(hole.centre)
