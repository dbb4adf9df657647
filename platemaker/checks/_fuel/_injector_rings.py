"""O-rings at both ends of the injectors: squeeze and fill in the bores of rail and boss, and the gap beside them.

Without ring and groove the squeeze is not checked, but bounded: a groove is at least half as deep as its O-ring's
section and leaves half of the end's diameter. A bore in which no such ring is squeezed enough fails.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from platemaker.catalog import ORing, RadialGland, fuel, general_tolerance, iso286, o_ring_in_petrol, radial_glands
from platemaker.checks._advice import citations, inputs_of
from platemaker.checks._finding import PRACTICE, Finding, Input, Limit, Sense, Verdict, measured, not_checked
from platemaker.checks._loads._heat import RING_HEAT, RING_TITLE, part_temperature, ring_heat
from platemaker.formulas import oring_fill, oring_section_stretched, oring_squeeze, oring_stretch, worked
from platemaker.parts import Hole, Part, Stack, Stem, Vec3
from platemaker.records import Record
from platemaker.resolved import charge_temperature
from platemaker.units import said

SQUEEZE, GAP, FILL, STRETCH, FUEL = "PM714", "PM715", "PM716", "PM966", "PM967"
LOOSEST, STRETCHED = -0.03, (0.25, 0.10)
"""Stretch of a ring's inside: looser hangs in its groove; above, fail and caution. Common practice, no source."""
TITLE = "squeeze of the injector's O-ring"
LEAST_SQUEEZE, MOST_SQUEEZE = 0.10, 0.35
"""Share of the section beyond which a ring weeps or is sheared off as it goes in. Common practice, no source."""
WIDEST_GAP = Limit(0.5, "mm", f"{PRACTICE}; low pressure, 70 Shore A", 0.25, Sense.AT_MOST)
"""Radial room beside an injector's end: through a wider gap pressure blows the ring, and the end hangs askew."""
MOST_FILL = (0.95, 0.90)
RATING = (2.0, 3.0)
"""Rating in petrol below which a compound fails, or is a caution: 3 good, 2 fair, 1 poor.

Common practice, no source."""
LITTLE_ETHANOL = 0.10
"""Share of ethanol, by volume, up to which a fuel is taken as petrol for O-rings. Common practice, no source."""
IN_GROOVE = 0.5
"""Least depth of a groove in sections of its ring, and least floor of a groove in diameters of its end."""


def check_injector_rings(stack: Stack) -> Iterator[Finding]:
    """Both ends of the injectors of every row."""
    for row in stack.rows:
        rail, bosses = stack.part(row.rail), stack.part(row.bosses)
        if row.injector is None:
            reason = "the rail's `injector` is not specified: nothing of its fit, O-rings and play is checked"
            yield not_checked(SQUEEZE, TITLE, rail.name, (row.joint, "injector"), reason)
            continue
        bores = [hole for hole in rail.holes if hole.joint == row.joint]
        if bores:
            stem = row.injector.rail_end
            limits = _bore_limits(stack, rail, [(one, one.bored.index(one.seat)) for one in bores], stem)
            one = _InjectorEnd(rail, bores[0].seat.wide, limits, "rail_end", stem, bores[0].at)
            yield from one.findings()
            yield from _compound(stack, one)
        bore, stem = bosses.holes[0], row.injector.boss_end
        limits = _bore_limits(stack, bosses, [(bore, len(bore.bored) - 1)], stem)
        one = _InjectorEnd(bosses, bore.diameter, limits, "boss_end", stem, bore.at)
        yield from one.findings()
        yield from _compound(stack, one)


def _bore_limits(stack: Stack, part: Part, bores: Sequence[tuple[Hole, int]], stem: Stem) -> tuple[float, float]:
    """The least and the greatest diameter, mm, of steps of bores: as read, by their zone, or the general tolerance."""
    limits = [_limits_of(stack, part, bore, step, stem) for bore, step in bores]
    return min(low for low, _ in limits), max(high for _, high in limits)


def _limits_of(stack: Stack, part: Part, bore: Hole, step: int, stem: Stem) -> tuple[float, float]:
    wide = bore.bored[step].wide
    if part.read:
        from platemaker.parts import is_read  # noqa: PLC0415 - only what was read needs it

        if is_read(part, bore, step):
            return wide, wide
    if stem.bore_fit:
        zone = iso286(wide, stem.bore_fit)
        return wide + zone.lower, wide + zone.upper
    deviation = general_tolerance(wide, stack.drafting.tolerances).deviation
    return wide - deviation, wide + deviation


class _InjectorEnd(Record):
    """One end of an injector in its bore, mm: `limits` of the bore, `at` its entry in the part's frame."""

    part: Part
    bore: float
    limits: tuple[float, float]
    key: str
    stem: Stem
    at: Vec3

    def findings(self) -> Iterator[Finding]:
        """The gap beside the end; squeeze and fill, or what is missing for them."""
        gap = (self.limits[1] - self.stem.diameter) / 2
        yield measured(
            GAP, "gap beside the injector's O-ring", self.part.name, (self.key,), gap, WIDEST_GAP, points=[self.at],
            inputs=[("bore at its widest", self.limits[1], "mm"), ("injector's end", self.stem.diameter, "mm")],
        )  # fmt: skip
        ring, groove = self.stem.ring, self.stem.groove
        if ring is None or groove is None:
            yield self._bounded(ring)
            return
        if groove >= self.limits[0]:
            problem = said("groove_not_in_bore", groove=(groove, "mm"), bore=(self.limits[0], "mm"))
            yield not_checked(SQUEEZE, TITLE, self.part.name, (self.key,), problem)
            return
        yield from self._squeezed(ring, groove)

    def _squeezed(self, ring: ORing, groove: float) -> Iterator[Finding]:
        """The thinnest ring in the widest bore and the thickest in the narrowest, stretched over the groove's floor."""
        gland = _gland_of(ring.section)
        name = ring.designation if ring.dash else f"ring {ring.inside_diameter:g} x {ring.section:g}"
        for word, side, bore in (("least", -1.0, self.limits[1]), ("most", 1.0, self.limits[0])):
            own: list[Input] = [("bore", bore, "mm"), ("groove", groove, "mm")]
            depth = (bore - groove) / 2
            section = ring.section + side * ring.section_tolerance
            inside = ring.inside_diameter + side * ring.inside_diameter_tolerance
            laid = worked(oring_stretch, L=math.pi * (groove + section), d_1=inside, W=section)
            found = self._stretched(name, word, laid.result, own)
            yield found
            if found.verdict is Verdict.FAIL:
                return
            thinned = worked(oring_section_stretched, W=section, stretch=max(0.0, laid.result))
            squeeze = worked(oring_squeeze, W=thinned.result, h=depth)
            usual = oring_squeeze(
                section, (gland.depth_most if side < 0 else gland.depth_least) * ring.section / gland.section
            )
            source = f"{citations(squeeze, thinned)}; caution: {gland.source}; fail: {PRACTICE}"
            limit = (
                Limit(LEAST_SQUEEZE, "of section", source, usual)
                if side < 0
                else Limit(MOST_SQUEEZE, "of section", source, usual, Sense.AT_MOST)
            )
            yield measured(
                SQUEEZE, TITLE, self.part.name, (self.key, name, word), squeeze.result, limit, points=[self.at],
                inputs=[*own, ("d_1", inside, "mm"), ("W at rest", section, "mm"),
                        ("stretch", thinned.inputs[1].value, ""), *inputs_of(squeeze)],
            )  # fmt: skip
        yield self._filled(name, thinned.result, depth)

    def _stretched(self, name: str, word: str, stretch: float, own: Sequence[Input]) -> Finding:
        """How much larger the groove's floor is than the ring: a loose one, or one that hardly goes on, is wrong."""
        title = "stretch of the injector's O-ring in its groove"
        limit = (
            Limit(LOOSEST, "of its inside", PRACTICE, 0.0)
            if stretch < 0
            else Limit(STRETCHED[0], "of its inside", PRACTICE, STRETCHED[1], Sense.AT_MOST)
        )
        return measured(
            STRETCH, title, self.part.name, (self.key, name, word), stretch, limit, points=[self.at], inputs=own
        )

    def _filled(self, name: str, section: float, depth: float) -> Finding:
        """The thickest ring in the groove's rectangle."""
        title, width = "groove filled by the injector's O-ring", self.stem.groove_width
        if width is None:
            return not_checked(
                FILL, title, self.part.name, (self.key, name), "give `groove_width` of the injector's end"
            )
        fill = worked(oring_fill, W=section, h=depth, b=width)
        limit = Limit(
            MOST_FILL[0], "of the groove", f"{citations(fill)}; limit: {PRACTICE}", MOST_FILL[1], Sense.AT_MOST
        )
        return measured(
            FILL, title, self.part.name, (self.key, name), fill.result, limit, points=[self.at], inputs=inputs_of(fill)
        )

    def _bounded(self, ring: ORing | None) -> Finding:
        """The most that any ring could be squeezed here: not checked, or a fail where that is too little."""
        wanted = [word for word, value in (("o_ring", ring), ("groove", self.stem.groove)) if value is None]
        lacking = " and ".join(f"`{word}`" for word in wanted) + f" of the injector's {self.key.replace('_', ' ')}"
        most, section = self._most(ring)
        if most >= LEAST_SQUEEZE:
            return not_checked(SQUEEZE, TITLE, self.part.name, (self.key,), f"give {lacking}")
        source = f"geometry of a groove at least half as deep as its ring's section; limit: {PRACTICE}"
        note = f"{lacking} not specified: no O-ring that such an end can hold is squeezed enough in this bore"
        return measured(
            SQUEEZE, TITLE, self.part.name, (self.key,), most, Limit(LEAST_SQUEEZE, "of section", source),
            points=[self.at], note=note,
            inputs=[("bore", self.bore, "mm"), ("injector's end", self.stem.diameter, "mm"), ("W", section, "mm")],
        )  # fmt: skip

    def _most(self, ring: ORing | None) -> tuple[float, float]:
        """Greatest squeeze, and the section that has it: groove floor at D - W, gland (B - D + W)/2 deep."""
        stem = self.stem
        if ring is not None:
            sections = [ring.section]
        else:
            sections = [
                row.section
                for row in radial_glands()
                if row.width <= stem.length and row.section <= (1 - IN_GROOVE) * stem.diameter
            ]
        deep = [(oring_squeeze(W, (self.bore - stem.diameter) / 2 + IN_GROOVE * W), W) for W in sections]
        return max(deep, default=(1.0, 0.0))


def _compound(stack: Stack, end: _InjectorEnd) -> Iterator[Finding]:
    """The ring's rubber: its range of temperature, and whether it stands the fuel. The boss end wets as well."""
    design, name = stack.design, end.stem.compound
    title, lacking = "O-ring's compound in the fuel", f"give `compound` of the injector's {end.key.replace('_', ' ')}"
    if design is None:
        return
    if name is None:
        yield not_checked(RING_HEAT, RING_TITLE, end.part.name, (end.key, "compound"), lacking)
        yield not_checked(FUEL, title, end.part.name, (end.key, "compound"), lacking)
        return
    hot = [one for one in (part_temperature(stack, end.part), charge_temperature(design)) if one is not None]
    yield from ring_heat(name, max(hot, default=None), design.cold_start, end.part.name, end.key)
    yield _in_fuel(design.fuel.kind if design.fuel else None, name, title, end)


def _in_fuel(kind: str | None, name: str, title: str, end: _InjectorEnd) -> Finding:
    features = (end.key, name)
    if kind is None:
        return not_checked(FUEL, title, end.part.name, features, "give `kind` of the design's `fuel`")
    named = fuel(kind)
    if named.base.name != "petrol" or named.share > LITTLE_ETHANOL:
        reason = f"no table here rates compounds in {named.name}: ask the ring's maker"
        return not_checked(FUEL, title, end.part.name, (*features, named.name), reason)
    row = o_ring_in_petrol(name)
    limit = Limit(RATING[0], "(3 good, 2 fair, 1 poor)", f"{row.source}; limit: {PRACTICE}", RATING[1])
    return measured(FUEL, title, end.part.name, (*features, named.name), row.rating, limit, points=[end.at])


def _gland_of(section: float) -> RadialGland:
    """The tabled groove whose section is nearest."""
    return min(radial_glands(), key=lambda row: abs(row.section - section))
