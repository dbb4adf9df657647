"""Boss rows: the turned boss, and the casting that takes a row of them."""

from __future__ import annotations

import math

from platemaker.catalog import metal_named
from platemaker.errors import SpecError, unknown_name
from platemaker.parts._draft import Draft
from platemaker.parts._marks import marks_of
from platemaker.parts._records._cuts import Hole, Operation, Step
from platemaker.parts._records._design import press_fit_of
from platemaker.parts._records._figures import GRID, loop_of, on_grid
from platemaker.parts._records._part import Kind, Part
from platemaker.parts._records._stock import PlateStock
from platemaker.plane import Loop, Region
from platemaker.spec import BossRow, CastingModel


def boss_row_of(name: str, model: BossRow, draft: Draft) -> tuple[Part, Part]:
    """The boss to turn, one for each spot of the joint, and the casting to drill for them."""
    joint = draft.joint(model.joint, "parts", name, "joint")
    return _boss(name, model, len(joint.spots), draft), _casting(name, model, draft)


def _boss(name: str, model: BossRow, count: int, draft: Draft) -> Part:
    root, boss = ("parts", name), model.boss
    with draft.spec.blame(*root, "material"):
        metal = metal_named(model.material)
    if boss.bore >= boss.outside_diameter:
        problem = "the bore is as wide as the boss"
        raise SpecError(
            problem,
            where=draft.spec.where(*root, "boss", "bore"),
            met=f"{boss.bore:g} mm",
            allowed=f"less than the outside diameter, {boss.outside_diameter:g} mm",
        )
    steps: tuple[Step, ...] = (Step(Operation.BORE, boss.bore, 0.0, boss.length),)
    if boss.seat is not None:
        with draft.spec.blame(*root, "boss", "seat"):
            steps = seated(boss.seat.diameter, boss.seat.depth, boss.bore, boss.length)
    fit = None
    if model.fit is not None:
        with draft.spec.blame(*root, "fit"):
            fit = press_fit_of(model.fit, model.casting.bore, f"{name}_drilling", model.angle, draft.spec.model.units)
    _refuse_other_size(name, model, draft)
    bore = Hole("bore", (0.0, 0.0, boss.length), (0.0, 0.0, -1.0), steps, True, key=".".join((*root, "boss", "bore")))
    blank = Region.of(Loop.circle((0.0, 0.0), boss.outside_diameter / 2, "outside"))
    return Part(
        name, model.title or name, Kind.BOSS, metal, PlateStock(blank, boss.length), (bore,),
        marks_of(name, model, boss.length, draft, (bore,)), quantity=count * model.quantity, each=count,
        edge_break=model.edge_break, limits=draft.limits(model), limit_reasons=draft.limit_reasons(model),
        note=model.note or "", finish=model.finish or "", treatment=model.treatment or "", key=".".join(root), fit=fit,
    )  # fmt: skip


def _refuse_other_size(name: str, model: BossRow, draft: Draft) -> None:
    """A fit is on one size, of boss and bore; a stated interference may be drawn on the boss."""
    wide, bore = model.boss.outside_diameter, model.casting.bore
    if model.fit is None:
        return  # the stack's checks say whether it goes in
    most = bore + (model.fit.interference[1] if model.fit.interference else 0.0)
    if bore - GRID <= wide <= most + GRID:
        return
    problem = "a boss that does not fit the casting's bore"
    where = draft.spec.where("parts", name, "boss", "outside_diameter")
    raise SpecError(problem, where=where, met=f"{wide:g} mm", allowed=f"{bore:g} mm, the bore's diameter")


def seated(wide: float, deep: float, bore: float, length: float) -> tuple[Step, ...]:
    """A bore with a wider seat at its entry."""
    if wide <= bore or deep >= length:
        problem = f"a seat of {wide:g} mm, {deep:g} mm deep, does not fit a bore of {bore:g} mm, {length:g} mm long"
        raise SpecError(problem, allowed=f"a diameter above {bore:g} mm and a depth below {length:g} mm")
    return Step(Operation.COUNTERBORE, wide, 0.0, deep), Step(Operation.BORE, bore, deep, length)


def _casting(name: str, model: BossRow, draft: Draft) -> Part:
    """The machined flat with its slanted bores; the bores lean so that they go down towards -Y."""
    root, casting = ("parts", name, "casting"), model.casting
    with draft.spec.blame(*root, "material"):
        metal = metal_named(casting.material)
    with draft.spec.blame(*root, "flat"):
        flat = Region.of(loop_of(casting.flat, "flat"))
    joint, thick = draft.joints[model.joint], on_grid(casting.thickness)
    with draft.spec.blame(*root, "spotface"):
        cuts = tuple(
            _slanted(f"{model.joint}_{spot}", point, spot, model, thick, ".".join(root))
            for spot, point in joint.spots.items()
        )
    return Part(
        f"{name}_drilling", f"{model.title or name}: drilling plan", Kind.CASTING, metal, PlateStock(flat, thick), cuts,
        made=False, limits=draft.limits(model),
        limit_reasons=draft.limit_reasons(model), key=".".join(root), body=_body_of(name, casting, draft),
    )  # fmt: skip


def _body_of(name: str, casting: CastingModel, draft: Draft) -> str:
    known = sorted(draft.spec.model.bodies)
    if casting.body is None or casting.body in known:
        return casting.body or ""
    raise unknown_name(casting.body, known, "body", draft.spec.where("parts", name, "casting", "body"))


def bore_direction(angle: float) -> tuple[float, float, float]:
    """Unit axis into a flat of a bore at `angle` degrees to it.

    >>> bore_direction(90.0)
    (0.0, 0.0, -1.0)
    """
    if angle == 90.0:
        return 0.0, 0.0, -1.0
    return 0.0, -math.cos(math.radians(angle)), -math.sin(math.radians(angle))


def _slanted(name: str, point: tuple[float, float], spot: str, model: BossRow, thick: float, key: str) -> Hole:
    casting = model.casting
    lean = math.radians(model.angle)
    # Right through means past the far face over the whole circle of a slanted bore.
    through = thick / math.sin(lean) + casting.bore / 2 / math.tan(lean)
    depth = casting.depth if casting.depth is not None and casting.depth < through else through
    steps: tuple[Step, ...] = (Step(Operation.BORE, casting.bore, 0.0, depth),)
    face = casting.spotface
    if face is not None:
        if face.diameter <= casting.bore or face.depth >= depth:
            problem = f"a spotface of {face.diameter:g} mm, {face.depth:g} mm deep, does not fit the bore"
            allowed = f"wider than {casting.bore:g} mm and less than {depth:g} mm deep"
            raise SpecError(problem, allowed=allowed)
        steps = (
            Step(Operation.COUNTERBORE, face.diameter, 0.0, face.depth),
            Step(Operation.BORE, casting.bore, face.depth, depth),
        )
    return Hole(
        name, (point[0], point[1], thick), bore_direction(model.angle), steps, depth >= through,
        joint=model.joint, spot=spot, key=key,
    )  # fmt: skip
