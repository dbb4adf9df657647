"""An idler's bracket under the belt's pull: how far its pulley tilts, and how hard the metal works.

The plate is a cantilever from the middle of its bolts to the stud, as narrow all along as at its narrowest; the pull
acts at the middle of the pulley's rim. Pull along the arm bends the plate out of its plane, pull across it twists it.
"""

from __future__ import annotations

import math

from platemaker.formulas import (
    strip_bending_stress,
    strip_end_slope,
    strip_torsion_stress,
    strip_twist,
    stud_bending_stress,
    stud_end_slope,
)
from platemaker.parts import Part, Pulley, Stack, Vec3
from platemaker.plane import Point, lengths_inside
from platemaker.records import Record
from platemaker.remembered import remembered
from platemaker.resolved._belt import BeltCase, ResolvedBelt
from platemaker.resolved._part import resolved
from platemaker.units import Words, said

STEEL_MODULUS = 205e3
"""Of a steel stud, MPa."""
POISSON = 0.33
"""Where the material's own is not tabled."""
STATIONS = 40
"""Sections along the arm at which its width is measured."""


class IdlerPlate(Record):
    """A plate that holds an idler, in one case of the belt. Lengths mm, angles degrees, stresses MPa.

    `arm` is from the middle of its bolts to the stud, `width` the least metal across it, `overhang` from the plate's
    mid-plane to the middle of the rim. `force` is the pull, N: along the arm and across it. `bend`, `twist` and `stud`
    tilt the pulley; `stud` is None where no stud's diameter is stated. `towards` is a unit vector of the plate's plan:
    the way that the pulley's outer side leans.
    """

    place: int
    part: Part
    case: BeltCase
    arm: float
    width: float
    overhang: float
    force: Point
    bend: float
    twist: float
    stud: float | None
    stress: float
    stud_stress: float | None
    towards: Point

    @property
    def tilt(self) -> float:
        """How far the pulley's axis leans under load, degrees."""
        return math.hypot(*_leaning(self.force, self.bend, self.twist, self.stud))


def _leaning(force: Point, bend: float, twist: float, stud: float | None) -> Point:
    """How far a pulley leans along the arm and across it, degrees, the way that it is pulled."""
    along, across = force
    size, lean = math.hypot(along, across) or 1.0, stud or 0.0
    return (
        math.copysign(bend + lean * abs(along) / size, along),
        math.copysign(twist + lean * abs(across) / size, across),
    )


def brackets_of(stack: Stack, belt: ResolvedBelt) -> tuple[IdlerPlate | tuple[str, Words], ...]:
    """The bracket of every idler that is on a made plate, where the pull is largest; or part, and what is missing."""
    found: list[IdlerPlate | tuple[str, Words]] = []
    for place, one in enumerate(belt.pulleys):
        part = stack.find_part(one.owner) if one.is_idler and one.owner else None
        if part is None or not part.made:
            continue
        bracket = _bracket(belt, place, one, part)
        found.append(bracket if isinstance(bracket, IdlerPlate) else (part.name, bracket))
    return tuple(found)


def _bracket(belt: ResolvedBelt, place: int, pulley: Pulley, part: Part) -> IdlerPlate | Words:
    if part.plate is None or len(part.places) != 1:
        return f"{part.name}, which holds {pulley.name}, is no plate with one place: its bending is not calculated"
    frame = part.places[0]
    if not pulley.is_square_to(frame):
        return f"{part.name} does not stand square to the axis of {pulley.name}: its bending is not calculated"
    holes = [hole.centre for hole in part.holes if hole.bolt is not None or hole.joint is not None]
    if not holes:
        return f"{part.name}, which holds {pulley.name}, has no bolts that hold it"
    foot = (math.fsum(p[0] for p in holes) / len(holes), math.fsum(p[1] for p in holes) / len(holes))
    stud = frame.to_local(belt.centre(place))
    arm = math.dist(foot, stud[:2])
    metal = part.material
    if metal.elastic_modulus is None:
        return f"the elastic modulus of {metal.name} is not tabled"
    if arm < 1e-6:
        return f"{pulley.name} stands in the middle of the bolts of {part.name}: its bending is not calculated"
    u = ((stud[0] - foot[0]) / arm, (stud[1] - foot[1]) / arm)
    width = _least_width(part, foot, u, arm)
    thick = part.stock.height
    if width < thick:
        return said("bracket_narrow", part=part.name, width=(width, "mm"))
    case = max(belt.cases, key=lambda one: math.hypot(*one.forces[place]))
    return _loaded(belt, place, part, case, (foot, u, arm, width), stud)


def _loaded(
    belt: ResolvedBelt, place: int, part: Part, case: BeltCase, strip: tuple[Point, Point, float, float], stud: Vec3
) -> IdlerPlate:
    _, u, arm, width = strip
    pulley, thick, frame = belt.pulleys[place], part.stock.height, part.places[0]
    fx, fy, _ = frame.unturn(case.forces[place])
    along, across = fx * u[0] + fy * u[1], fy * u[0] - fx * u[1]
    overhang = abs(stud[2] - thick / 2)
    modulus = part.material.elastic_modulus or 0.0
    shear = modulus / (2 * (1 + (part.material.poisson or POISSON)))
    out, torque, sideways = abs(along) * overhang, abs(across) * overhang, abs(across) * arm
    sigma = strip_bending_stress(out, width, thick) + strip_bending_stress(sideways, thick, width)
    sigma += abs(along) / (width * thick)
    tau = strip_torsion_stress(torque, width, thick) + 1.5 * abs(across) / (width * thick)
    pull = math.hypot(along, across)
    reach = pulley.overhang if pulley.overhang is not None else overhang - thick / 2
    lean = stress = None
    if pulley.stud is not None:
        lean = stud_end_slope(pull, reach, pulley.stud, STEEL_MODULUS)
        stress = stud_bending_stress(pull * reach, pulley.stud)
    bend, twist = strip_end_slope(out, arm, width, thick, modulus), strip_twist(torque, arm, width, thick, shear)
    a, b = _leaning((along, across), bend, twist, lean)
    tilt = math.hypot(a, b) or 1.0
    towards = ((a * u[0] - b * u[1]) / tilt, (a * u[1] + b * u[0]) / tilt)
    return IdlerPlate(
        place, part, case, arm, width, overhang, (along, across), bend, twist, lean,
        math.sqrt(sigma**2 + 3 * tau**2), stress, towards,
    )  # fmt: skip


@remembered(64)
def _least_width(part: Part, foot: Point, u: Point, arm: float) -> float:
    """The least metal across the arm between its bolts and the stud, mm, slots and holes taken off."""
    along = [arm * number / STATIONS for number in range(1, STATIONS)]
    through = [(foot[0] + far * u[0], foot[1] + far * u[1]) for far in along]
    across = [
        [lengths_inside(region, through, (-u[1], u[0])) for region in layer.regions] for layer in resolved(part).layers
    ]
    return min(math.fsum(each) for layer in across for each in zip(*layer, strict=True))


def wedge(bracket: IdlerPlate) -> float:
    """Rise of the wedge that makes the pulley run true under this load, mm per 100 mm, towards the pull."""
    return 100 * math.tan(math.radians(bracket.tilt))
