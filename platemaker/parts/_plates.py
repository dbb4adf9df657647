"""Plates and drain plates from their models."""

from __future__ import annotations

from collections.abc import Iterator

from platemaker.catalog import metal_named
from platemaker.errors import SpecError, unknown_name
from platemaker.parts._bores import bore_of
from platemaker.parts._draft import Draft
from platemaker.parts._drain import drain_hole
from platemaker.parts._grooves import grooves_of
from platemaker.parts._hole_making import (
    HoleSlab,
    counterbored_seat,
    dowel_holes,
    into,
    joint_holes,
    pilot_recess,
    seat_of,
    single_hole,
)
from platemaker.parts._marks import marks_of
from platemaker.parts._opened import opened_opening, opened_pocket
from platemaker.parts._records._cuts import Cut, Hole, Profile, ProfileKind, Side
from platemaker.parts._records._figures import loop_of, on_grid, placed_points, sharp_corners, turned
from platemaker.parts._records._hull import hull_of_discs
from platemaker.parts._records._part import Kind, Mounting, Part, Role
from platemaker.parts._records._ports import Port
from platemaker.parts._records._stock import PlateStock
from platemaker.plane import Circle, Loop, Region
from platemaker.spec import (
    AroundOutline,
    DrainPlate,
    MatchOpening,
    Mount,
    Opening,
    OpenOutOpening,
    OpenOutPocket,
    Plate,
    PlateFields,
    Pocket,
    Shape,
)


def plate_of(name: str, model: Plate | DrainPlate, draft: Draft) -> Part:
    """A plate: its blank, then holes, openings, reliefs, slots and pockets, in the order in which they are cut."""
    root = ("parts", name)
    with draft.spec.blame(*root, "material"):
        metal = metal_named(model.material)
    mountings = tuple(mounting for mounting, _ in _mounts(model, draft, root))
    with draft.spec.blame(*root, "outline"):
        outline = Region.of(_outline(model, draft, root))
    slab = HoleSlab(0.0, on_grid(model.thickness))
    cuts: list[Cut] = list(_all_holes(model, draft, root, slab))
    if isinstance(model, DrainPlate):
        with draft.spec.blame(*root, "drain"):
            cuts.append(drain_hole(model.drain, slab, ".".join((*root, "drain"))))
    others = [*_reliefs_and_slots(model, draft, root, slab), *grooves_of(name, mountings, slab, draft)]
    cuts.extend(_openings(model, draft, root, outline, slab, [*cuts, *others]))
    cuts.extend(others)
    cuts.extend(_pockets(model, draft, root, outline, slab, cuts))
    for bore_name, bore in model.bores.items():
        path = (*root, "bores", bore_name)
        with draft.spec.blame(*path):
            cuts.append(bore_of(bore_name, bore, outline, slab, ".".join(path)))
    kind = Kind.DRAIN_PLATE if isinstance(model, DrainPlate) else Kind.PLATE
    return Part(
        name, model.title or name, kind, metal, PlateStock(outline, slab.thickness), tuple(cuts),
        marks_of(name, model, slab.top, draft, cuts), mountings, quantity=model.quantity, edge_break=model.edge_break,
        limits=draft.limits(model), limit_reasons=draft.limit_reasons(model), note=model.note or "",
        finish=model.finish or "", treatment=model.treatment or "", key=".".join(root),
    )  # fmt: skip


def _mounts(
    model: PlateFields, draft: Draft, root: tuple[str, ...]
) -> Iterator[tuple[Mounting, tuple[Mount, tuple[str, ...]]]]:
    for side, mounts in ((Side.BELOW, model.below), (Side.ABOVE, model.above)):
        for joint, mount in mounts.items():
            path = (*root, side.value, joint)
            draft.joint(joint, *path)
            yield Mounting(joint, side, Role(mount.holes), mount.at, mount.turn), (mount, path)


def _outline(model: PlateFields, draft: Draft, root: tuple[str, ...]) -> Loop:
    if not isinstance(model.outline, AroundOutline):
        return loop_of(model.outline, "outline")
    discs: list[Circle] = []
    carried = {mounting.joint: (mounting, mount) for mounting, (mount, _) in _mounts(model, draft, root)}
    for place, name in enumerate(model.outline.around):
        joint = draft.joint(name, *root, "outline", "around", str(place))
        mounting, _ = carried.get(name, (Mounting(name, Side.ABOVE, Role.NONE), None))
        margin = model.outline.margin
        if joint.bolts is not None:
            wide = counterbored_seat(joint.bolts) if mounting.role is Role.COUNTERBORED else 0.0
            radius = max(wide, seat_of(joint.bolts).diameter) / 2
            discs += [Circle(turned(p, mounting.at, mounting.turn), radius + margin) for p in joint.spots.values()]
        for port in (*joint.ports, *(own for face in joint.faces for own in face.ports)):
            corners, _ = sharp_corners(port.shape)
            placed = placed_points(corners, port.shape.at, port.shape.turn, mounting.at, mounting.turn)
            discs += [Circle(point, margin) for point in placed]
    return hull_of_discs(discs, "outline")


def _all_holes(model: PlateFields, draft: Draft, root: tuple[str, ...], slab: HoleSlab) -> Iterator[Hole]:
    for mounting, (mount, path) in _mounts(model, draft, root):
        with draft.spec.blame(*path):
            yield from joint_holes(draft.joints[mounting.joint], mount, mounting, slab, ".".join(path))
            yield from dowel_holes(draft.joints[mounting.joint], mounting, slab, f"joints.{mounting.joint}.dowels")
        with draft.spec.blame("joints", mounting.joint, "pilot", "depth"):
            yield from pilot_recess(draft.joints[mounting.joint], mounting, slab, f"joints.{mounting.joint}.pilot")
    for name, hole in model.holes.items():
        path = (*root, "holes", name)
        side = Side(hole.side)
        with draft.spec.blame(*path):
            entry = slab.entry(hole.at, side)
            yield single_hole(name, hole, entry, into(side), slab.thickness, ".".join(path), hole.into)


def _openings(
    model: PlateFields, draft: Draft, root: tuple[str, ...], outline: Region, slab: HoleSlab, cuts: list[Cut]
) -> Iterator[Profile]:
    named: dict[str, tuple[Opening, tuple[str, ...]]] = {
        name: (opening, (*root, "openings", name)) for name, opening in model.openings.items()
    }
    if model.opening is not None:
        named = {"opening": (model.opening, (*root, "opening")), **named}
    # An opening lies within the recess of its joint's pilot.
    pilots = tuple(draft.joints[mounting.joint].pilot_hole for mounting, _ in _mounts(model, draft, root))
    recesses = tuple(cut.name for cut in cuts if cut.name in pilots)
    for name, (opening, path) in named.items():
        with draft.spec.blame(*path):
            joint, opened = None, None
            if isinstance(opening, OpenOutOpening):
                opened = opened_opening(name, opening, outline, slab, cuts, _seats(draft))
                figures = {name: opened.regions}
            elif isinstance(opening, MatchOpening):
                joint = opening.match.split(".")[0]
                figures = {tag: (_laid(port.shape, tag, joint, model, draft, root),)
                           for tag, port in _matched(draft, path, name, opening.match)}  # fmt: skip
            else:
                figures = {name: (Region.of(loop_of(opening.shape, name)),)}
            for tag, regions in figures.items():
                yield Profile(
                    tag, ProfileKind.OPENING, regions, Side.ABOVE, slab.thickness, True, opening.cutter,
                    opening.mouth_radius, Side(opening.mouth), joint=joint, opened=opened, key=".".join(path),
                    mouth_chamfer=opening.mouth_chamfer, mouth_angle=opening.mouth_angle,
                    into=(*opening.into, *recesses),
                )  # fmt: skip


def _matched(draft: Draft, path: tuple[str, ...], name: str, word: str) -> list[tuple[str, Port]]:
    """The openings of a joint that an opening called `name` is matched to: by the names of the cuts for them.

    One named as joint.opening, else all of the joint's: several have their own names, those of `openings` before them.
    """
    [first, *rest] = word.split(".")
    joint = draft.joint(first, *path, "match")
    where = draft.spec.where(*path, "match")
    if not joint.ports:
        problem = f"joint {joint.name} has no opening to match"
        raise SpecError(problem, where=where, allowed="a joint with an `opening`")
    if not rest:
        several, single = len(joint.ports) > 1, name == "opening"
        return [((port.name if single else f"{name}_{port.name}") if several else name, port) for port in joint.ports]
    known = {f"{joint.name}.{port.name}": port for port in joint.ports}
    if word not in known:
        raise unknown_name(word, known, "opening", where)
    return [(name, known[word])]


def _laid(shape: Shape, tag: str, joint: str, model: PlateFields, draft: Draft, root: tuple[str, ...]) -> Region:
    """A shape of a joint's frame where the joint lies in the plate's plan."""
    places = {mounting.joint: mounting for mounting, _ in _mounts(model, draft, root)}
    mounting = places.get(joint, Mounting(joint, Side.BELOW, Role.NONE))
    return Region.of(loop_of(shape, tag, mounting.at, mounting.turn))


def _other_ports(model: PlateFields, draft: Draft, root: tuple[str, ...], side: Side) -> Iterator[tuple[str, Region]]:
    """Ports of joints on a face that no opening of the plate is matched to: their gasket lines are to be kept whole."""
    openings = [model.opening, *model.openings.values()]
    matched = {opening.match for opening in openings if isinstance(opening, MatchOpening)}
    matched |= {word.split(".")[0] for word in matched}
    facing = [mounting for mounting, _ in _mounts(model, draft, root) if mounting.side is side]
    for mounting in facing:
        if mounting.joint in matched or len(facing) == 1:
            continue
        joint = draft.joints[mounting.joint]
        there = [(port, "") for port in joint.ports]
        there += [(port, f" of {face.owner}") for face in joint.faces for port in face.ports]
        for port, owner in there:
            name = ".".join((joint.name, *joint.called(port))) + owner
            yield name, _laid(port.shape, name, joint.name, model, draft, root)


def _reliefs_and_slots(model: PlateFields, draft: Draft, root: tuple[str, ...], slab: HoleSlab) -> Iterator[Profile]:
    for name, relief in model.reliefs.items():
        path = (*root, "reliefs", name)
        with draft.spec.blame(*path):
            region = Region.of(Loop.circle((on_grid(relief.at[0]), on_grid(relief.at[1])), relief.diameter / 2, name))
            depth = _blind(relief.depth, slab, "relief", draft, (*path, "depth"))
            side = Side(relief.side)
            key = ".".join(path)
            yield Profile(
                name, ProfileKind.RELIEF, (region,), side, depth, False, relief.cutter, key=key, stud=relief.stud,
                into=relief.into,
            )  # fmt: skip
    for name, slot in model.slots.items():
        path = (*root, "slots", name)
        with draft.spec.blame(*path):
            loop = Loop.slot(*slot.slot, (on_grid(slot.at[0]), on_grid(slot.at[1])), slot.turn, name)
            through = slot.depth is None or slot.depth >= slab.thickness
            depth = slab.thickness if slot.depth is None or through else slot.depth
            side = Side(slot.side)
            joint = None if slot.adjusts is None else draft.joint(slot.adjusts, *path, "adjusts").name
            yield Profile(
                name, ProfileKind.SLOT, (Region.of(loop),), side, depth, through, slot.cutter, joint=joint,
                into=slot.into, key=".".join(path),
            )  # fmt: skip


def _pockets(
    model: PlateFields, draft: Draft, root: tuple[str, ...], outline: Region, slab: HoleSlab, cuts: list[Cut]
) -> Iterator[Profile]:
    named: dict[str, tuple[Pocket, tuple[str, ...]]] = {
        name: (pocket, (*root, "pockets", name)) for name, pocket in model.pockets.items()
    }
    if model.pocket is not None:
        named = {"pocket": (model.pocket, (*root, "pocket")), **named}
    for name, (pocket, path) in named.items():
        with draft.spec.blame(*path):
            depth = _blind(pocket.depth, slab, "pocket", draft, (*path, "depth"))
            side = Side(pocket.side)
            opened = None
            if isinstance(pocket, OpenOutPocket):
                ports = dict(_other_ports(model, draft, root, side))
                opened = opened_pocket(name, pocket, outline, slab, cuts, ports, _seats(draft))
                regions = opened.regions
            else:
                regions = (Region.of(loop_of(pocket.shape, name)),)
            yield Profile(
                name, ProfileKind.POCKET, regions, side, depth, False, pocket.cutter, opened=opened, into=pocket.into,
                key=".".join(path),
            )  # fmt: skip


def _seats(draft: Draft) -> dict[str, float]:
    """Diameter of what stands under the head of each joint's bolts, mm."""
    return {joint.name: seat_of(joint.bolts).diameter for joint in draft.joints.values() if joint.bolts}


def _blind(depth: float, slab: HoleSlab, what: str, draft: Draft, path: tuple[str, ...]) -> float:
    if depth >= slab.thickness:
        problem = f"{what} is deeper than the plate"
        raise SpecError(
            problem,
            where=draft.spec.where(*path),
            met=f"{depth:g} mm",
            allowed=f"less than the thickness, {slab.thickness:g} mm",
        )
    return on_grid(depth)
