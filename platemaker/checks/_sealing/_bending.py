"""Plates that bend under the pressure inside the seal line.

Rough, and on the safe side: the plate is taken as flat over the whole seal line's box, free at its edge, under the
pressure that its other face does not balance; holes and their stress concentration are left out, and so is the body
bolted to it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from platemaker.checks._advice import advised, citations, inputs_of
from platemaker.checks._bolts._pressure import Loaded
from platemaker.checks._finding import Finding, Input, Limit, Sense, measured, not_checked
from platemaker.checks._loads._heat import part_temperature, warm
from platemaker.checks._loads._joint_loads import cases_of
from platemaker.checks._loads._seal_lines import SealLine, carriers
from platemaker.checks._sealing._strips import recovery, values_of
from platemaker.errors import OutOfRange
from platemaker.formulas import PlateBending, Worked, rectangular_plate_supported, round_plate_supported, worked
from platemaker.parts import Mounting, Part
from platemaker.plane import Region, least_box, shared_area

STRESS, DEFLECTION = "PM931", "PM932"
SPANS = 0.1
"""A plate whose own opening leaves less than this share of the pressed figure spans nothing."""
LARGE = 0.1
"""A blind figure that takes less than this share of the span does not thin the plate as a whole."""
YIELD_FACTOR = (1.5, 2.0)
ROUGH = "rough: full flat span, free edge, no holes"


def check_bending(joints: Sequence[Loaded]) -> Iterator[Finding]:
    """Bending of every plate across a joint under pressure."""
    lines = {one.joint.name: one.line for one in joints if one.line is not None}
    done: set[str] = set()
    for one in joints:
        if one.line is None or one.joint.name in done:
            continue
        done.add(one.joint.name)
        worst = max(cases_of(one.design, one.joint), key=lambda case: case.pressure)
        if worst.pressure > 0:
            for part, mounting in carriers(one.stack, one.joint):
                if not part.is_gasket_or_shim:
                    backed = backed_share(part, mounting, one.line, lines)
                    yield from _plate(one, one.line, (worst.pressure, backed), part, mounting)


def spanning_share(part: Part, mounting: Mounting, line: SealLine) -> float:
    """Share of the pressed figure that the plate closes with its own metal."""
    openings = [mounting.in_joint(r) for cut in part.profiles if cut.through for r in cut.regions]
    return 1 - sum(shared_area(line.regions, opening) for opening in openings) / line.measures.area


def backed_share(part: Part, mounting: Mounting, line: SealLine, lines: Mapping[str, SealLine]) -> float:
    """Share of the pressed figure that is pressed back from the plate's other face, by the joints there."""
    back = [lines[other.joint] for other in part.mountings if other.side is not mounting.side and other.joint in lines]
    return min(sum(other.measures.area for other in back) / line.measures.area, 1.0)


def least_thickness(part: Part, mounting: Mounting, line: SealLine) -> float:
    """Thickness of a plate inside the seal line, mm: less the deepest blind figure that takes a good share of it."""
    deepest = 0.0
    for cut in part.profiles:
        if not cut.through and cut.depth > deepest:
            inside = sum(shared_area(line.regions, mounting.in_joint(region)) for region in cut.regions)
            if inside > LARGE * line.measures.area:
                deepest = cut.depth
    return part.stock.height - deepest


def bending_of(region: Region, t: float, q: float, part: Part) -> Worked[PlateBending]:
    """Bending of a flat plate over a figure: a circle as it is, anything else as its least box, free at the edge."""
    E, nu = part.material.elastic_modulus or 0.0, part.material.poisson or 0.3
    circle = region.outer.as_circle()
    if circle is not None:
        return worked(round_plate_supported, r=circle.radius, t=t, q=q, E=E, nu=nu)
    box = least_box([region])
    return worked(rectangular_plate_supported, a=box.width, b=box.height, t=t, q=q, E=E, nu=nu)


def _plate(
    one: Loaded, line: SealLine, pressed: tuple[float, float], part: Part, mounting: Mounting
) -> Iterator[Finding]:
    """One plate under a pressure, MPa, of which the other face takes a share back."""
    share, pressure = spanning_share(part, mounting, line), pressed[0] * (1 - pressed[1])
    if share < SPANS or pressure <= 0:
        return
    features, title = (one.joint.name, mounting.side.value), "bending stress of the plate"
    metal = warm(part.material, part_temperature(one.stack, part))
    if metal.yield_strength is None:
        yield not_checked(STRESS, title, part.name, features, f"the catalog has no yield strength for {metal.name}")
        return
    t = least_thickness(part, mounting, line)
    try:
        result = bending_of(line.whole, t, pressure, part)
    except OutOfRange as fault:
        yield not_checked(STRESS, title, part.name, features, str(fault.args[0]))
        return
    bent = result.result
    fail, caution = YIELD_FACTOR
    limit = Limit(
        metal.yield_strength / fail, "MPa", result.formula.citation, metal.yield_strength / caution, Sense.AT_MOST
    )
    inputs: list[Input] = [
        *inputs_of(result), ("yield strength", metal.yield_strength, "MPa"), ("metal over the span", share, ""),
        ("p", pressed[0], "MPa"), ("share of it that the other face takes back", pressed[1], ""),
    ]  # fmt: skip
    stress = max(bent.stress_centre, bent.stress_edge)
    yield measured(STRESS, title, part.name, features, stress, limit, inputs=inputs, note=ROUGH)
    values = values_of(one.joint)
    if values is not None and one.joint.gasket is not None:
        yield advised(
            measured(
                DEFLECTION, "flange bending against gasket recovery", part.name, features, bent.deflection,
                recovery(values, one.joint.gasket.thickness, citations(result)), inputs=inputs, note=ROUGH,
            )
        )  # fmt: skip
