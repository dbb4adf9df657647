"""The turbocharger's oil feed: what pressure is left at its inlet when it takes the flow that it needs.

The line is smooth, its elbows left out. The restrictor is a drilled jet, whose discharge coefficient lies between that
of a sharp edge and that of a short tube: the least pressure is taken with the one, the greatest with the other.
"""

from __future__ import annotations

from collections.abc import Iterator

from platemaker.catalog import engine_oil
from platemaker.checks._advice import citations, inputs_of
from platemaker.checks._finding import Finding, Input, Limit, Sense, measured, not_checked
from platemaker.errors import OutOfRange
from platemaker.formulas import Worked, jet_pressure_loss, line_pressure_loss, walther_viscosity, worked
from platemaker.parts import Kind, Stack
from platemaker.spec import OilFeedModel
from platemaker.units import said

INLET, TITLE = "PM979", "oil pressure at the turbocharger's inlet"
SHARP, SHORT_TUBE = 0.61, 0.80
"""Discharge coefficients of a sharp edge and of a short tube; White 7th ed., sec. 6.12, and common practice."""
DENSITY = 850.0
"""Density of warm engine oil, kg/m3. Common practice, no source: 860 to 890 at 15 degC, 0.65 less for each degree."""
TENTH = 0.1
"""Share of the least pressure that is wanted on top of it before a caution. Common practice, no source."""


def check_oil_feed(stack: Stack) -> Iterator[Finding]:
    """The design's oil feed, where it has one."""
    feed = stack.design.oil_feed if stack.design else None
    if feed is None or not stack.parts:
        return
    drains = [part.name for part in stack.parts if part.kind is Kind.DRAIN_PLATE]
    owner = drains[0] if drains else stack.parts[0].name
    lacking = _lacking(feed)
    if lacking:
        yield not_checked(INLET, TITLE, owner, ("oil feed",), f"give {lacking} of the design's `oil_feed`")
        return
    try:
        yield from _left(feed, owner)
    except OutOfRange as fault:
        yield not_checked(INLET, TITLE, owner, ("oil feed",), str(fault.args[0]))


def _lacking(feed: OilFeedModel) -> str:
    wanted: list[tuple[str, object]] = [
        ("pressure", feed.pressure), ("temperature", feed.temperature), ("line_bore", feed.line_bore),
        ("line_length", feed.line_length), ("flow", feed.flow), ("inlet_pressure", feed.inlet_pressure),
    ]  # fmt: skip
    names = [f"`{name}`" for name, value in wanted if value is None]
    if feed.oil is None and feed.viscosity_40 is None:
        names.append("`oil`")
    return ", ".join(names)


def _viscosity(feed: OilFeedModel) -> tuple[Worked[float], str]:
    """The oil's viscosity at its temperature, and where the two points come from."""
    if feed.viscosity_40 is not None and feed.viscosity_100 is not None:
        low, high, source = feed.viscosity_40, feed.viscosity_100, "the spec"
    else:
        row = engine_oil(feed.oil or "")
        low, high, source = row.usual_40, row.usual_100, f"usual {row.grade}, common practice, no source"
    T = feed.temperature or 0.0
    return worked(walther_viscosity, T=T, T_1=313.15, nu_1=low, T_2=373.15, nu_2=high), source


def _left(feed: OilFeedModel, owner: str) -> Iterator[Finding]:
    viscosity, source = _viscosity(feed)
    flow = (feed.flow or 0.0) * 60 / 1e6
    line = worked(
        line_pressure_loss, Q=flow, D=feed.line_bore or 0.0, L=feed.line_length or 0.0, nu=viscosity.result, rho=DENSITY
    )
    least, most = feed.inlet_pressure or (0.0, 0.0)
    for word, C in (("least", SHARP), ("most", SHORT_TUBE)):
        lost, used = line.result, [viscosity, line]
        if feed.restrictor is not None:
            jet = worked(jet_pressure_loss, Q=flow, d=feed.restrictor, rho=DENSITY, C=C)
            lost, used = lost + jet.result, [*used, jet]
        left = (feed.pressure or 0.0) - lost
        inputs: list[Input] = [
            ("oil pressure", feed.pressure or 0.0, "MPa"), *inputs_of(*used), ("viscosity", viscosity.result, "mm2/s"),
            ("lost in the line", line.result, "MPa"), ("lost in all", lost, "MPa"),
        ]  # fmt: skip
        note = said("oil", source=source, density=(DENSITY, "kg/m3"))
        cited = f"{citations(*used)}; limit: the spec, design.oil_feed.inlet_pressure"
        limit = Limit(most, "MPa", cited, sense=Sense.AT_MOST)
        if word == "least":
            limit = Limit(least, "MPa", cited, least * (1 + TENTH))
        yield measured(INLET, TITLE, owner, ("oil feed", word), left, limit, inputs=inputs, note=note)
