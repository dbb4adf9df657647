"""Gaskets: derived from joints, one a joint."""

from __future__ import annotations

from platemaker.catalog import Fit, clearance_hole, material
from platemaker.parts._cuts import Cut, Hole, Operation, Profile, ProfileKind, Side, Step
from platemaker.parts._draft import Draft
from platemaker.parts._figures import loop_of, on_grid
from platemaker.parts._part import Joint, Kind, Mounting, Part, Role
from platemaker.parts._stock import PlateStock
from platemaker.plane import Region, moved, offset, rotated

BOLT_RELIEF = 1.0
"""A gasket's bolt hole is this much larger than the bolt's medium clearance hole, mm (common practice, no source)."""


def gasket_of(joint: Joint, draft: Draft, carrier: Part, mounting: Mounting) -> Part | None:
    """The gasket of a joint, in the joint's frame: the outline of the plate that carries it, its bolts and opening.

    The opening is set back from the port by the joint's `overhang` rule: 0 leaves it flush. None without a gasket.
    """
    if joint.gasket is None or not isinstance(carrier.stock, PlateStock):
        return None
    key = f"joints.{joint.name}.gasket"
    with draft.spec.blame("joints", joint.name, "gasket", "material"):
        sheet = material(joint.gasket.material)
    blank = rotated(moved(carrier.stock.region, -mounting.at[0], -mounting.at[1]), -mounting.turn)
    cuts: list[Cut] = list(_bolt_holes(joint, key))
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
