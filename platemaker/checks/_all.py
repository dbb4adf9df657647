"""Every check over a stack."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from functools import partial
from types import MappingProxyType
from typing import TypeAlias

from platemaker.checks._accept import accepted
from platemaker.checks._air._airflow import check_airflow
from platemaker.checks._air._field import by_field
from platemaker.checks._air._shares import check_shares
from platemaker.checks._air._throats import check_throats
from platemaker.checks._belt._drive import check_belt
from platemaker.checks._bolts._bolts import check_bolts
from platemaker.checks._bolts._contact import check_contact
from platemaker.checks._bolts._inserts import check_inserts
from platemaker.checks._bolts._seats import check_seats
from platemaker.checks._finding import Finding, unproved, worst_first
from platemaker.checks._fit._adjust import check_adjust
from platemaker.checks._fit._best_fit import check_best_fit
from platemaker.checks._fit._bracket_loop import check_bracket_loops
from platemaker.checks._fit._fit_up import check_fit_up
from platemaker.checks._fit._hole_alignment import check_hole_alignment
from platemaker.checks._fit._level import check_level
from platemaker.checks._fit._pilots import check_pilots
from platemaker.checks._fit._together import check_together
from platemaker.checks._fittings._drains import check_drains
from platemaker.checks._fittings._fitted_holes import check_fitted_holes
from platemaker.checks._fittings._oil_feed import check_oil_feed
from platemaker.checks._fuel._fuel import check_fuel
from platemaker.checks._fuel._fuel_demand import check_fuel_demand
from platemaker.checks._fuel._injector_rings import check_injector_rings
from platemaker.checks._fuel._lead_ins import check_lead_ins
from platemaker.checks._fuel._press_fits import check_press_fits
from platemaker.checks._fuel._rail_brackets import check_rail_brackets
from platemaker.checks._loads._boost import check_boost
from platemaker.checks._loads._heat import check_heat
from platemaker.checks._machining._machining import check_machining
from platemaker.checks._machining._plausible import check_plausible
from platemaker.checks._machining._pocket_pieces import check_pocket_pieces
from platemaker.checks._metal._crossings import check_crossings
from platemaker.checks._metal._metal import check_metal
from platemaker.checks._metal._slanted_drilling import check_slanted_drilling
from platemaker.checks._ports._ports import check_ports
from platemaker.checks._sealing._faces import check_faces
from platemaker.checks._sealing._film import by_films
from platemaker.checks._sealing._joints import check_joints
from platemaker.checks._sealing._o_rings import check_o_rings
from platemaker.checks._sealing._ways_out import check_ways_out
from platemaker.checks._stack._boss_rail import check_boss_rail
from platemaker.checks._stack._whole_stack import check_whole_stack
from platemaker.errors import CatalogError, GeometryError, OutOfRange
from platemaker.fields import FlowAnswer, SealAnswer
from platemaker.parts import Stack

NO_FILMS: Mapping[str, SealAnswer] = MappingProxyType({})

STOPPED = "PM002"
Family: TypeAlias = Callable[[Stack], Iterable[Finding]]
FAMILIES: tuple[Family, ...] = (
    check_metal,
    check_crossings,
    check_boss_rail,
    check_injector_rings,
    check_lead_ins,
    check_bracket_loops,
    check_slanted_drilling,
    check_whole_stack,
    check_bolts,
    check_hole_alignment,
    check_fit_up,
    check_together,
    check_best_fit,
    check_seats,
    check_contact,
    check_fitted_holes,
    check_inserts,
    check_machining,
    check_pocket_pieces,
    check_plausible,
    check_joints,
    check_ways_out,
    check_heat,
    check_faces,
    check_o_rings,
    check_press_fits,
    check_ports,
    check_adjust,
    check_level,
    check_pilots,
    check_boost,
    check_airflow,
    check_throats,
    check_shares,
    check_fuel,
    check_fuel_demand,
    check_rail_brackets,
    check_drains,
    check_oil_feed,
    check_belt,
)


def check_stack(
    stack: Stack,
    samples: int | None = None,
    films: Mapping[str, SealAnswer] = NO_FILMS,
    flow: FlowAnswer | None = None,
) -> tuple[Finding, ...]:
    """The findings of every family of checks, worst first, with what the spec accepts marked.

    `samples` is for the chance that bolts start; `films`, by joint, and `flow` are of this very stack.
    """
    findings: list[Finding] = []
    for family in FAMILIES:
        if family is check_fit_up and samples is not None:
            findings += of_family(partial(check_fit_up, samples=samples), stack)
        else:
            findings += of_family(family, stack)
    return tuple(worst_first(accepted(stack, by_field(by_films(findings, films), flow))))


def of_family(family: Family, stack: Stack) -> Iterator[Finding]:
    """The findings of a family; a fail in place of the rest where a size lies outside of a formula or a table.

    What is left of its checks is not known, so the report must not pass; what other families found is kept.
    """
    try:
        yield from family(stack)
    except (CatalogError, GeometryError, OutOfRange) as fault:
        name = getattr(family, "__name__", "fit up").removeprefix("check_").replace("_", " ")
        title, reason = "group of checks that stopped", f"the sizes allow none: {fault}"
        yield unproved(STOPPED, title, stack.name, (name,), reason)
