"""Gaskets: derived from joints, one a joint."""

from __future__ import annotations

from platemaker.catalog import Fit, clearance_hole, material
from platemaker.parts._cuts import Cut, Hole, Operation, Profile, ProfileKind, Side, Step
from platemaker.parts._draft import Draft
from platemaker.parts._figures import loop_of, on_grid
from platemaker.parts._part import Joint, Kind, Mounting, Part, Role
from platemaker.parts._stock import PlateStock
from platemaker.plane import Loop, Region, intersect, moved, offset, rotated
from platemaker.spec import BodyModel, BoxEnvelope, CylinderEnvelope, PrismEnvelope

BOLT_RELIEF = 1.0
"""A gasket's bolt hole is this much larger than the bolt's medium clearance hole, mm (common practice, no source)."""


def gasket_of(joint: Joint, draft: Draft, carrier: Part, mounting: Mounting) -> Part | None:
    """The gasket of a joint, in the joint's frame: the outline of the plate that carries it, its bolts and opening.

    The outline ends where a body on the joint does, as its envelope tells. The opening is set back from the port by the
    joint's `overhang` rule: 0 leaves it flush. None without a gasket.
    """
    if joint.gasket is None or not isinstance(carrier.stock, PlateStock):
        return None
    key = f"joints.{joint.name}.gasket"
    with draft.spec.blame("joints", joint.name, "gasket", "material"):
        sheet = material(joint.gasket.material)
    whole = rotated(moved(carrier.stock.region, -mounting.at[0], -mounting.at[1]), -mounting.turn)
    blank = _under_bodies(whole, joint, draft)
    cuts: list[Cut] = [*_bolt_holes(joint, key), *_dowel_holes(joint, key)]
    model = draft.spec.model.joints[joint.name]
    if model.opening is not None:
        port = Region.of(loop_of(model.opening, "opening"))
        overhang = model.gasket.overhang if model.gasket else 0.0
        grown = offset(port, overhang) if overhang else (port,)
        cuts.append(
            Profile(
                "opening",
                ProfileKind.OPENING,
                grown,
                Side.ABOVE,
                joint.gasket.thickness,
                True,
                joint=joint.name,
                key=key,
            )
        )
    return Part(
        f"{joint.name}_gasket",
        f"Gasket of {joint.name}",
        Kind.GASKET,
        sheet,
        PlateStock(blank, joint.gasket.thickness),
        tuple(cuts),
        mountings=(Mounting(joint.name, Side.BELOW, Role.CLEAR),),
        key=key,
    )


def _under_bodies(blank: Region, joint: Joint, draft: Draft) -> Region:
    """The blank without what would stand out from under a body on the joint, where its envelope has a plan."""
    for face in (joint.lower, joint.upper):
        model = draft.spec.model.bodies.get(face.owner) if face else None
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


def _bolt_holes(joint: Joint, key: str) -> list[Hole]:
    if joint.bolts is None or joint.gasket is None:
        return []
    wide = clearance_hole(joint.bolts.thread, Fit.MEDIUM).diameter + BOLT_RELIEF
    step = Step(Operation.DRILL, wide, 0.0, joint.gasket.thickness)
    return [
        Hole(
            f"{joint.name}_{spot}",
            (on_grid(x), on_grid(y), joint.gasket.thickness),
            (0.0, 0.0, -1.0),
            (step,),
            True,
            bolt=joint.bolts.thread.designation,
            joint=joint.name,
            spot=spot,
            key=key,
        )
        for spot, (x, y) in joint.spots.items()
    ]


def _dowel_holes(joint: Joint, key: str) -> list[Hole]:
    dowels, sheet = joint.dowels, joint.gasket
    if dowels is None or sheet is None:
        return []
    step = Step(Operation.DRILL, on_grid(dowels.diameter + BOLT_RELIEF), 0.0, sheet.thickness)
    return [
        Hole(f"{joint.name}_dowel_{name}", (x, y, sheet.thickness), (0.0, 0.0, -1.0), (step,), True, key=key)
        for name, (x, y) in dowels.spots.items()
    ]
