"""Pressed bosses: pressure and stress of the fit at its tightest, hold-out force at its loosest, heat to assemble.

The casting round a bore is a ring out to the nearest edge or bore; a slanted bore's contact is its mean length.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from platemaker.checks._advice import advised, citations, inputs_of
from platemaker.checks._finding import Finding, Input, Limit, Sense, measured, not_checked
from platemaker.checks._loads._heat import COMPOUND_HEAT, COMPOUND_MOST, warm
from platemaker.errors import OutOfRange
from platemaker.formulas import (
    Worked,
    assembly_temperature_rise,
    bore_hoop_stress,
    hold_out_force,
    inner_part_stress,
    interference_when_hot,
    plane_equivalent_stress,
    press_fit_pressure,
    worked,
)
from platemaker.parts import Design, Hole, Kind, Part, PressFit, Stack
from platemaker.plane import Circle, nearest
from platemaker.records import Record
from platemaker.resolved import boost_of, charge_temperature
from platemaker.units import ROOM_TEMPERATURE, ZERO_CELSIUS

HUB, BOSS, HOLDS, COMPOUND, LEFT, HEAT = "PM941", "PM942", "PM943", "PM944", "PM945", "PM946"
FRICTION = 0.12
"""Friction of a dry press fit of metals, taken low. Common practice, no source."""
COMPOUND_SHEAR = 10.0
"""Shear strength of a cured retaining compound on clean metal, warm, MPa, taken low. Common practice, no source."""
CLEARANCE = 0.02
"""Clearance wanted while a warm casting is slipped over a boss, mm. Common practice, no source."""
HEAT_LIMIT = (473.15, 443.15)
"""A heat-treated casting softens: fail, caution, K. Common practice, from memory."""


class _Fitted(Record):
    """A boss in its casting: diameters and mean contact length, mm."""

    boss: Part
    casting: Part
    fit: PressFit
    hub: float
    bore: float
    length: float

    @property
    def d(self) -> float:
        return self.fit.diameter

    def pressure(self, interference: float) -> Worked[float]:
        """Pressure of the fit, MPa, at an interference, mm."""
        hub, boss = self.casting.material, self.boss.material
        return worked(
            press_fit_pressure, delta=max(interference, 0.0), d=self.d, D=self.hub, d_i=self.bore,
            E_o=hub.elastic_modulus or 0.0, nu_o=hub.poisson or 0.3,
            E_i=boss.elastic_modulus or 0.0, nu_i=boss.poisson or 0.3,
        )  # fmt: skip


def check_press_fits(stack: Stack) -> Iterator[Finding]:
    """Every boss that is pressed into its casting."""
    for boss in stack.parts:
        if boss.kind is not Kind.BOSS or boss.fit is None:
            continue
        fit = boss.fit
        casting = stack.find_part(fit.casting)
        if casting is None:
            continue
        if fit.unread:
            reason = f"the spec gives the interference itself: read {fit.unread}, too, of the finished parts"
            yield not_checked(HUB, "press fit", boss.name, (fit.words,), reason)
            continue
        one = _fitted(boss, casting, fit)
        try:
            yield from _stresses(one, stack.design)
            yield from _holding(one, stack.design)
            yield from _heat(one)
        except OutOfRange as fault:
            yield not_checked(HUB, "press fit", boss.name, (fit.words,), str(fault.args[0]))


def _fitted(boss: Part, casting: Part, fit: PressFit) -> _Fitted:
    bores = [hole for hole in casting.holes if hole.joint]
    hub = 2 * min(_free(bore, bores, casting) for bore in bores)
    step = bores[0].bored[-1]
    run = min(step.end - step.start, casting.stock.height / math.sin(math.radians(fit.angle)) - step.start)
    return _Fitted(boss, casting, fit, hub, boss.holes[0].entry_diameter, run)


def _free(bore: Hole, bores: list[Hole], casting: Part) -> float:
    """From a bore's axis to the nearest edge of the flat, or half way to the next bore, mm."""
    edge = nearest(Circle(bore.centre, 1e-6), casting.stock.plan).distance
    return min([edge, *(math.dist(bore.centre, other.centre) / 2 for other in bores if other is not bore)])


def _inputs(one: _Fitted, *results: Worked[float]) -> list[Input]:
    return [("fit", one.fit.words, ""), ("from", one.fit.source, ""), *inputs_of(*results)]


def _hottest(design: Design | None) -> float | None:
    """How warm bosses get, K: they stand in the castings that the charge air flows through."""
    if design is None:
        return None
    found = (design.temperature, charge_temperature(design))
    return max((each for each in found if each is not None), default=None)


def _stresses(one: _Fitted, design: Design | None) -> Iterator[Finding]:
    """Hub and boss at the greatest interference, against the yield strength that they keep when warm."""
    states = _states(one, one.fit.greatest, design)
    grown = max(states, key=lambda state: state.result, default=None)
    tight = one.pressure(max(one.fit.greatest, grown.result if grown else 0.0))
    hoop = worked(bore_hoop_stress, p=tight.result, d=one.d, D=one.hub)
    hub = worked(plane_equivalent_stress, sigma_A=hoop.result, sigma_B=-tight.result)
    boss = worked(inner_part_stress, p=tight.result, d=one.d, d_i=one.bore)
    rows = (
        (HUB, "stress in the casting round a pressed boss", one.casting, (hoop, hub)),
        (BOSS, "compressive hoop stress in the boss", one.boss, (boss,)),
    )
    for check, title, part, results in rows:
        strength = warm(part.material, _hottest(design)).yield_strength
        features = (one.boss.name, one.fit.words)
        if strength is None:
            yield not_checked(
                check, title, part.name, features, f"the catalog has no yield strength for {part.material.name}"
            )
            continue
        limit = Limit(strength, "MPa", citations(tight, *results), 0.8 * strength, Sense.AT_MOST)
        at = [hole.at for hole in part.holes[:1]]
        inputs = _inputs(one, tight, *results)
        yield measured(check, title, part.name, features, abs(results[-1].result), limit, points=at, inputs=inputs)


def _states(one: _Fitted, interference: float, design: Design | None) -> tuple[Worked[float], ...]:
    """An interference, mm, when boss and casting are at the engine's temperature, and at a cold start."""
    inside, outside = one.boss.material.thermal_expansion, one.casting.material.thermal_expansion
    if design is None or inside is None or outside is None:
        return ()
    known = [each for each in (_hottest(design), design.cold_start) if each is not None]
    return tuple(
        worked(interference_when_hot, delta=interference, alpha_i=inside, alpha_o=outside,
               rise=each - ROOM_TEMPERATURE, d=one.d)
        for each in known
    )  # fmt: skip


def _holding(one: _Fitted, design: Design | None) -> Iterator[Finding]:
    """Hold-out force at the least interference, hot or at a cold start, against pressure on the boss."""
    features, title = (one.boss.name, one.fit.words), "retention force over ejection force"
    looser = min(_states(one, one.fit.least, design), key=lambda state: state.result, default=None)
    if design is not None:
        yield _left(one, looser, _hottest(design) is not None)
    pressure = max(boost_of(design).governing, design.backfire) if design else 0.0
    if design is None or pressure == 0:
        yield not_checked(HOLDS, title, one.boss.name, features, "the spec's `design` has no pressure")
        return
    least = min(one.fit.least, looser.result) if looser is not None else one.fit.least
    loose = one.pressure(least)
    force = worked(hold_out_force, mu=FRICTION, p=loose.result, d=one.d, l_f=one.length)
    out = pressure * math.pi * one.d**2 / 4
    inputs = [*_inputs(one, loose, force), ("pressure", pressure, "MPa"), ("pushes out", out, "N")]
    limit = Limit(1.0, "times the ejection force", f"{citations(loose, force)}; limit: common practice, no source", 2.0)
    found = measured(HOLDS, title, one.boss.name, features, force.result / out, limit, inputs=inputs)
    if not one.fit.retaining_compound:
        yield found
        return
    yield advised(found)
    temperature = _hottest(design)
    if temperature is None:
        reason = "the design's `temperature` is not specified, and no air gives one"
        yield not_checked(COMPOUND_HEAT, "temperature of the retaining compound", one.boss.name, features, reason)
    else:
        limit = Limit(
            COMPOUND_MOST, "degC", "usual anaerobic compounds, -40 to 150 degC; a primer", sense=Sense.AT_MOST
        )
        yield measured(
            COMPOUND_HEAT,
            "temperature of the retaining compound",
            one.boss.name,
            features,
            temperature - ZERO_CELSIUS,
            limit,
        )
    glued = COMPOUND_SHEAR * math.pi * one.d * one.length
    more: list[Input] = [*inputs, ("shear of the compound", COMPOUND_SHEAR, "MPa"), ("compound holds", glued, "N")]
    yield measured(
        COMPOUND, "retention force over ejection force, with retaining compound", one.boss.name, features,
        (force.result + glued) / out, Limit(2.0, "times the ejection force", "common practice, no source", 4.0),
        inputs=more,
    )  # fmt: skip


def _left(one: _Fitted, looser: Worked[float] | None, heat_known: bool) -> Finding:
    """The interference left in the worse of heat and cold."""
    features, title = (one.boss.name, one.fit.words), "interference left, hot or cold"
    if looser is None:
        reason = f"the catalog has no thermal expansion for {one.boss.material.name} or {one.casting.material.name}"
        return not_checked(LEFT, title, one.boss.name, features, reason)
    if not heat_known:
        reason = "the design's `temperature` is not specified, and no air gives one"
        return not_checked(LEFT, title, one.boss.name, features, reason)
    limit = Limit(0.0, "mm", f"{looser.formula.citation}; below 0 the fit is loose", 0.005)
    found = measured(LEFT, title, one.boss.name, features, looser.result, limit, inputs=_inputs(one, looser))
    return advised(found) if one.fit.retaining_compound else found  # the compound holds then, by PM944


def _heat(one: _Fitted) -> Iterator[Finding]:
    """How warm the casting must be for the boss to slip in."""
    alpha = one.casting.material.thermal_expansion
    if alpha is None or one.fit.greatest <= 0:
        return
    rise = worked(assembly_temperature_rise, delta=one.fit.greatest, clearance=CLEARANCE, alpha=alpha, d=one.d)
    fail, caution = (limit - ZERO_CELSIUS for limit in HEAT_LIMIT)
    limit = Limit(fail, "degC", f"{rise.formula.citation}; limit: common practice, no source", caution, Sense.AT_MOST)
    yield measured(
        HEAT, "casting temperature to drop the boss in", one.casting.name, (one.boss.name, one.fit.words),
        ROOM_TEMPERATURE - ZERO_CELSIUS + rise.result, limit, inputs=_inputs(one, rise),
        note="with the boss at 20 degC; cold helps too",
    )  # fmt: skip
