"""Fuel that the air takes against what the injectors give.

Where the spec names no fuel, the least demanding is tried: petrol, burnt without excess, injectors always open. What
fails even so fails; else it is not checked until the fuel is named.
"""

from __future__ import annotations

from collections.abc import Iterator

from platemaker.catalog import FuelKind, fuel
from platemaker.checks._advice import citations, inputs_of
from platemaker.checks._air._airflow import mass_flow_of
from platemaker.checks._finding import Finding, Input, Limit, Verdict, measured, not_checked
from platemaker.checks._fuel._fuel import injector_bores
from platemaker.formulas import (
    Worked,
    blend_air_ratio,
    blend_density,
    fuel_needed,
    injected_fuel,
    injector_flow,
    worked,
)
from platemaker.parts import Design, Kind, Part, Stack
from platemaker.records import replace
from platemaker.spec import AirModel, FuelModel
from platemaker.units import Words, joined, said

DEMAND, TITLE = "PM965", "fuel delivered over fuel needed for the air"
ENOUGH = (1.0, 1.15)
"""Fuel given over fuel taken: fail, caution. Common practice, no source, for the caution."""
LEAST_DEMANDING = "petrol"
RICH = 0.9
"""Usual mixture under full load: most power near an equivalence ratio of 1.1 (Heywood 1988, from memory)."""
DUTY = 0.85
"""Usual greatest duty of an injector. Common practice, no source."""
BURNS = (0.6, 1.3)
"""Air over what burns all of the fuel, within which a spark engine runs. Common practice, no source."""


def check_fuel_demand(stack: Stack) -> Iterator[Finding]:
    """The rails of the project together, where fuel is specified: the engine burns what all of them give."""
    design, rails = stack.design, [part for part in stack.parts if part.kind is Kind.RAIL]
    if rails and design is not None and design.fuel is not None:
        yield _demand(rails[0], design, design.fuel, injector_bores(stack))


def _demand(rail: Part, design: Design, given: FuelModel, bores: int) -> Finding:
    features = ("injectors",)
    air = mass_flow_of(design, design.air or AirModel())
    if isinstance(air, str):
        return not_checked(DEMAND, TITLE, rail.name, features, air)
    flow, words = air[0].mass_flow, air[1]
    count = given.injectors or max(1, bores)
    named = given.kind is not None
    kind = fuel(given.kind or LEAST_DEMANDING)
    lam = given.mixture or (RICH if named else max(1.0, RICH))
    duty = given.duty or (DUTY if named else 1.0)
    rated = worked(
        injector_flow, Q_1=given.injector_flow * 60 / 1000, p_1=given.rated_pressure or given.pressure or 1.0,
        p_2=given.pressure if given.rated_pressure else given.pressure or 1.0,
    )  # fmt: skip
    density, ratio = _of(kind)
    gives = worked(injected_fuel, n=count, Q=rated.result, duty=duty, rho=density.result)
    takes = worked(fuel_needed, m_a=flow, lam=lam, A=ratio.result)
    always = worked(injected_fuel, n=count, Q=rated.result, duty=1.0, rho=density.result).result
    if always <= 0 or takes.result <= 0:
        return not_checked(DEMAND, TITLE, rail.name, features, "no fuel or no air flows")
    mixture = said("mixture", ratio=(flow / always, ""), burns=(ratio.result, ""))
    enough = gives.result / takes.result
    inputs: list[Input] = [
        ("air", flow, "kg/s", words), ("fuel", kind.name, ""), *inputs_of(density, ratio, rated, gives, takes),
        ("fuel given", gives.result, "kg/s"), ("fuel taken", takes.result, "kg/s"),
    ]  # fmt: skip
    if not named:
        if enough >= ENOUGH[0]:
            reason = said("name_the_fuel", mixture=mixture)
            return not_checked(DEMAND, TITLE, rail.name, features, reason)
        note = said("no_fuel_named", lam=(lam, ""), duty=(duty, ""), mixture=mixture)
    else:
        from_books = "" if given.mixture else " (most power, Heywood 1988, from memory)"
        usual = "" if given.duty else " (common practice, no source)"
        note = said(
            "fuel",
            fuel=kind.name,
            lam=(lam, ""),
            lam_from=from_books,
            duty=(duty, ""),
            duty_from=usual,
            mixture=mixture,
        )
    source = f"{citations(takes, gives)}; {kind.base.source}; caution: common practice, no source"
    limit = Limit(ENOUGH[0], "times the fuel taken", source, ENOUGH[1])
    found = measured(DEMAND, TITLE, rail.name, features, enough, limit, inputs=inputs, note=note)
    odd = list(_odd(bores, lam, count))
    if odd and found.verdict is Verdict.PASS:
        found = replace(found, verdict=Verdict.CAUTION)
    return replace(found, note=joined(note, *odd))


def _odd(bores: int, lam: float, count: int) -> Iterator[Words]:
    """What of the design's fuel can hardly be meant."""
    if not BURNS[0] <= lam <= BURNS[1]:
        yield said("hardly_burns", lam=(lam, ""), burns=(BURNS, ""))
    if count > bores > 0:
        yield said("injectors_and_bores", injectors=(count, ""), bores=(bores, ""))


def _of(kind: FuelKind) -> tuple[Worked[float], Worked[float]]:
    """Density, kg/m3, and the air that burns a mass of a fuel."""
    density = worked(blend_density, x=kind.share, rho_a=kind.base.density, rho_b=kind.other.density)
    ratio = worked(
        blend_air_ratio, x=kind.share, rho_a=kind.base.density, rho_b=kind.other.density, A_a=kind.base.air_ratio,
        A_b=kind.other.air_ratio,
    )  # fmt: skip
    return density, ratio
