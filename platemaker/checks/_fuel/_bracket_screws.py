"""The screws of a rail's brackets: do they stay closed, below proof and in place under all that acts on the rail.

Each bracket is held by one screw at either end, and tilts about the nearest edge of what that screw clamps. Preload is
the budget of a joint's bolts, without a gasket.
"""

from __future__ import annotations

from collections.abc import Iterator

from platemaker.checks._advice import citations, inputs_of
from platemaker.checks._bolts._preload import Budget, Preload, budget_of, preload_of
from platemaker.checks._bolts._pressure import CLOSED, FACE_FRICTION, PROOF, SLIP
from platemaker.checks._bolts._stiffness import Stiffness, stiffness_of
from platemaker.checks._finding import PRACTICE, Finding, Input, Limit, measured, not_checked
from platemaker.checks._fuel._rail_loads import BracketLoad
from platemaker.checks._loads._heat import bolt_share, bolt_temperature
from platemaker.errors import CatalogError, OutOfRange
from platemaker.formulas import separation_factor, worked, yield_factor
from platemaker.parts import Design, Hole, Part, Stack, Vec3
from platemaker.records import Record
from platemaker.resolved import Bolt, resolved, resolved_stack
from platemaker.space import dot, scale

TITLES = {
    CLOSED: "bracket's screw stays closed under the rail's loads",
    PROOF: "bracket's screw below proof under the rail's loads",
    SLIP: "friction holds the bracket sideways under the rail's loads",
}


class _Held(Record):
    """A screw with its preload budget and stiffness, and what pulls and shears it, N."""

    bolt: Bolt
    preload: Preload
    stiffness: Stiffness
    budget: Budget
    share: float
    pull: float
    shear: float
    inputs: tuple[Input, ...]


def check_screw(
    stack: Stack, design: Design, part: Part, rail: Part, hole: Hole, load: BracketLoad
) -> Iterator[Finding]:
    """The screw in one hole of a bracket; `rail` is the rail that it holds, there or at its other end."""
    bolt = resolved_stack(stack).bolt_in(part.name, hole.name)
    lacking = _lacking(bolt)
    found = None if lacking or bolt is None else _held(stack, design, part, rail, hole, bolt, load)
    if not isinstance(found, _Held):
        reason = lacking or found or "nothing is in its hole"
        for check, title in TITLES.items():
            yield not_checked(check, title, part.name, (hole.name, rail.name), reason)
        return
    yield from _findings(part, rail, hole, found)


def _lacking(bolt: Bolt | None) -> str:
    if bolt is None:
        return "no screw stands in its hole"
    if bolt.loose or not bolt.fits:
        return bolt.loose or "its screw does not pass its holes"
    return "" if bolt.length and bolt.length.length else "the length of its screw is not specified"


def _held(
    stack: Stack, design: Design, part: Part, rail: Part, hole: Hole, bolt: Bolt, load: BracketLoad
) -> _Held | str:
    holds_rail = rail.name in {name for name, _ in bolt.through}
    if holds_rail and rail.bar is not None:
        return "the bracket stands on a line of a round rail: what it tilts about is not known"
    length = bolt.length.length if bolt.length else None
    try:
        preload, stiffness = preload_of(design, bolt.bolts), stiffness_of(bolt, length or 0.0)
    except (CatalogError, OutOfRange) as fault:
        return str(fault.args[0])
    hot = bolt_temperature(stack, bolt)
    budget = budget_of(design, bolt, preload, stiffness, None, hot)
    if budget.faults:
        return "; ".join(budget.faults)
    at, out = _face(part, hole, bolt)
    lever = _lever(part, hole, rail if holds_rail else None)
    if lever <= 0:
        return "its screw stands in a bend or off the strip: what it tilts about is not known"
    # What acts on the rail parts the rail from the bracket; beneath the bracket it parts that from what is under it.
    pull, shear = load.on_screw(at, scale(out, -1.0) if holds_rail else out, lever)
    inputs = (
        *load.inputs, ("weight on the bracket", load.weight, "N"),
        ("loads of the design", ", ".join(one.name for one in load.acting) or "none", ""),
        ("from the screw to the edge it tilts about", lever, "mm"), ("pull at the screw", pull, "N"),
        ("shear at the screw", shear, "N"), ("k_b", stiffness.bolt, "N/mm"), ("k_m", stiffness.members, "N/mm"),
        ("k_m without gasket", stiffness.members_hard, "N/mm"),
    )  # fmt: skip
    return _Held(bolt, preload, stiffness, budget, bolt_share(bolt.bolts, hot), pull, shear, inputs)


def _face(part: Part, hole: Hole, bolt: Bolt) -> tuple[Vec3, Vec3]:
    """Where a screw leaves the bracket for the part that it is held to, and the way out of that part, in its frame."""
    names = [name for name, _ in bolt.through]
    head_first = names.index(part.name) == 0
    out = part.places[0].unturn(bolt.seat.out)
    away = out if head_first else scale(out, -1.0)
    entry, end = hole.at, hole.point(hole.depth)
    return min((entry, end), key=lambda point: dot(point, away)), away


def _lever(part: Part, hole: Hole, rail: Part | None) -> float:
    """From a screw to the nearest edge of the face that it clamps, mm: the strip's, a bend's, or the rail's."""
    solved = resolved(part)
    flat, bent, strip = solved.flat, solved.bent, part.strip
    x, y, _ = next(one.at for one in flat.holes if one.name == hole.name)
    x0, _, _, x1, _, _ = flat.stock.box
    edges = [x - x0, x1 - x, (strip.width if strip else 0.0) / 2 - abs(y)]
    edges += [abs(x - line.x) - line.width / 2 for line in (bent.bends if bent else ())]
    return min([*edges, *([rail.stock.size[1] / 2] if rail else [])])


def _findings(part: Part, rail: Part, hole: Hole, one: _Held) -> Iterator[Finding]:
    features, C, low = (hole.name, rail.name), one.stiffness.share_hard, one.budget.low
    points, at = [hole.at], one.inputs
    if one.pull > 0:
        factor = worked(separation_factor, C=C, P=one.pull, F_i=low)
        limit = Limit(1.5, "times the load", f"{factor.formula.citation}; limit: {PRACTICE}", 2.0)
        yield measured(
            CLOSED, TITLES[CLOSED], part.name, features, factor.result, limit, points=points,
            inputs=[*at, *inputs_of(factor)],
        )  # fmt: skip
    proof = worked(
        yield_factor, S_p=one.preload.strength * one.share, A_t=one.bolt.thread.stress_area, C=one.stiffness.share,
        P=one.pull, F_i=one.budget.high,
    )  # fmt: skip
    limit = Limit(1.0, "times proof", f"{citations(proof)}; limit: {PRACTICE}", 1.05)
    yield measured(
        PROOF, TITLES[PROOF], part.name, features, proof.result, limit, points=points, inputs=[*at, *inputs_of(proof)]
    )
    if one.shear > 0:
        held = FACE_FRICTION * max(low - (1 - C) * one.pull, 0.0) / one.shear
        limit = Limit(1.0, "times the shear", f"friction of the clamp left; {PRACTICE}", 1.5)
        more: list[Input] = [*at, ("friction", FACE_FRICTION, ""), ("F_i", low, "N"), ("C", C, "")]
        yield measured(SLIP, TITLES[SLIP], part.name, features, held, limit, points=points, inputs=more)
