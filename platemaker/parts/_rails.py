"""Rails: a bar or tube with one passage and a cross bore at every spot of a joint."""

from __future__ import annotations

from platemaker.catalog import metal_named, straight_port, thread
from platemaker.errors import SpecError
from platemaker.parts._bosses import seated
from platemaker.parts._draft import Draft
from platemaker.parts._hole_making import HoleSlab, fitting_of, into, port_steps, single_hole, tapped_hole
from platemaker.parts._marks import marks_of
from platemaker.parts._records._cuts import Cut, Hole, Operation, Side, Step, Tapping
from platemaker.parts._records._figures import on_grid
from platemaker.parts._records._part import Kind, Part
from platemaker.parts._records._stock import PlateStock, RoundStock
from platemaker.parts._rows import refuse_unmarked
from platemaker.plane import Loop, Region
from platemaker.spec import BarStockModel, Rail, RailEnds

PASSAGE = "passage"


def rail_of(name: str, model: Rail, draft: Draft) -> Part:
    """A rail along X, centred on its length; the joint's spots are taken as X along it, from the joint's origin."""
    root = ("parts", name)
    refuse_unmarked(name, model, list(draft.joint(model.joint, *root, "joint").spots.values()), draft)
    with draft.spec.blame(*root, "material"):
        metal = metal_named(model.material)
    stock, high = _stock(model)
    _refuse_wide_passage(model, draft, root)
    middle = high / 2
    cuts: list[Cut] = [_passage(model, middle, ".".join((*root, "passage")))]
    cuts += _ends(model, middle, draft, root)
    cuts += _cross_bores(model, middle, draft, root)
    for hole_name, hole in model.holes.items():
        path = (*root, "holes", hole_name)
        with draft.spec.blame(*path):
            if isinstance(stock, RoundStock) and (hole.countersunk or hole.port):
                problem = "a countersink or port is not cut into the round side of a bar"
                raise SpecError(problem, allowed="a bar with flat sides")
            slab, side = HoleSlab(0.0, high), Side(hole.side)
            cuts.append(
                single_hole(hole_name, hole, slab.entry(hole.at, side), into(side), high, ".".join(path), hole.into)
            )
    return Part(
        name,
        model.title or name,
        Kind.RAIL,
        metal,
        stock,
        tuple(cuts),
        marks_of(name, model, high, draft, cuts),
        quantity=model.quantity,
        edge_break=model.edge_break,
        limits=draft.limits(model),
        limit_reasons=draft.limit_reasons(model),
        note=model.note or "",
        finish=model.finish or "",
        treatment=model.treatment or "",
        key=".".join(root),
    )


def _stock(model: Rail) -> tuple[PlateStock | RoundStock, float]:
    if isinstance(model.stock, BarStockModel):
        across, high = model.stock.bar
        return PlateStock(Region.of(Loop.rectangle(model.length, across, tag="outline")), high), high
    return RoundStock(model.stock.round, model.length), model.stock.round


def _refuse_wide_passage(model: Rail, draft: Draft, root: tuple[str, ...]) -> None:
    narrow = min(model.stock.bar) if isinstance(model.stock, BarStockModel) else model.stock.round
    if model.passage >= narrow:
        problem = f"the passage is as wide as the stock, {narrow:g} mm"
        where = draft.spec.where(*root, "passage")
        raise SpecError(problem, where=where, met=f"{model.passage:g} mm", allowed=f"less than {narrow:g} mm")


def _passage(model: Rail, middle: float, key: str) -> Hole:
    steps = (Step(Operation.BORE, model.passage, 0.0, model.length),)
    return Hole(PASSAGE, (-model.length / 2, 0.0, middle), (1.0, 0.0, 0.0), steps, True, key=key)


def _ends(model: Rail, middle: float, draft: Draft, root: tuple[str, ...]) -> list[Cut]:
    ends = model.ends
    if ends is None:
        return []
    with draft.spec.blame(*root, "ends"):
        steps, tapping = _end_steps(ends, model.length)
        drill, deep = steps[-1].diameter, steps[-1].end
        if drill < model.passage:
            problem = f"the passage of {model.passage:g} mm is wider than the tap drill of {tapping.designation}"
            raise SpecError(problem, allowed=f"a passage up to {drill:g} mm, or a larger thread")
        if 2 * deep >= model.length:
            problem = f"two end threads drilled {deep:g} mm deep do not fit a rail of {model.length:g} mm"
            raise SpecError(problem)
        room, bore = fitting_of(ends.fitting, drill)
    made: list[Cut] = []
    for name, sign in (("front_end", -1.0), ("rear_end", 1.0)):
        at = (sign * model.length / 2, 0.0, middle)
        made.append(
            Hole(
                name,
                at,
                (-sign, 0.0, 0.0),
                steps,
                False,
                None,
                tapping,
                into=(PASSAGE,),
                key=".".join((*root, "ends")),
                fitting=room,
                fitting_bore=bore,
                port=ends.port,
            )
        )
    return made


def _end_steps(ends: RailEnds, length: float) -> tuple[tuple[Step, ...], Tapping]:
    """Steps and thread of an end: a port's in the form of its standard, or a thread as deep as the spec has it."""
    if ends.port is not None:
        steps, tapping, _ = port_steps(straight_port(ends.port), length)
        return steps, tapping
    made, tapping, _ = tapped_hole(thread(ends.thread or ""), length, ends.depth)
    return made, tapping


def _cross_bores(model: Rail, middle: float, draft: Draft, root: tuple[str, ...]) -> list[Cut]:
    joint = draft.joint(model.joint, *root, "joint")
    bore, key = model.cross_bore, ".".join((*root, "cross_bore"))
    steps: tuple[Step, ...] = (Step(Operation.DRILL, bore.diameter, 0.0, middle),)
    if bore.seat is not None:
        with draft.spec.blame(*root, "cross_bore", "seat"):
            steps = seated(bore.seat.diameter, bore.seat.depth, bore.diameter, middle)
    return [
        Hole(
            f"{joint.name}_{spot}",
            (on_grid(x), on_grid(y), 0.0),
            (0.0, 0.0, 1.0),
            steps,
            False,
            joint=joint.name,
            spot=spot,
            into=(PASSAGE,),
            key=key,
        )
        for spot, (x, y) in joint.spots.items()
    ]
