"""The field of the air through a stack, calculated or taken from the store."""

from __future__ import annotations

import json
import tempfile
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import Any

from platemaker.checks import AirReport, airflow
from platemaker.errors import GeometryError, OutputError
from platemaker.export import Store, fingerprint
from platemaker.fields import (
    AirVolume,
    FlowAnswer,
    FlowError,
    air_volume,
    case_of,
    field_of,
    fields_kept,
    solver_version,
)
from platemaker.formulas import air_viscosity, gas_density
from platemaker.parts import Stack
from platemaker.project._kept import keep, taken
from platemaker.records import Record


class FlowCase(Record):
    """What is calculated for a stack: its air, its volume, and the case as plain records."""

    report: AirReport
    volume: AirVolume
    case: dict[str, Any]

    def key(self, solver: str) -> str:
        """What an answer to it by this version of the solver is kept under."""
        return fingerprint("field of air", json.dumps(self.case), solver)

    def answer(self, found: dict[str, Any], *, kept: bool) -> FlowAnswer:
        """The calculation's answer with the flow in physical units."""
        air, reduced = self.report.air, (self.report.loss, self.report.low, self.report.high)
        return FlowAnswer(
            self.volume, field_of(found), air.mass_flow, air.pressure, air.temperature, reduced, kept=kept
        )


def flow_case(stack: Stack, *, fine: bool = False) -> FlowCase:
    """The case of a stack. Raises GeometryError where there is no passage."""
    report = airflow(stack)
    if isinstance(report, str):
        message = f"no field of the air: {report}"
        raise GeometryError(message)
    volume, air = air_volume(report.path), report.air
    density = gas_density(air.pressure, air.temperature)
    area = sum(region.area for region in volume.slabs[0].regions) * 1e-6
    viscosity = air_viscosity(air.temperature) / density
    return FlowCase(report, volume, case_of(volume, air.mass_flow / density / area, viscosity, fine=fine))


def flow(
    stack: Stack,
    *,
    fine: bool = False,
    ranks: int = 1,
    store: Store | None = None,
    progress: Callable[[float, float | None], None] | None = None,
) -> FlowAnswer:
    """The field of the air through a stack, with `fine` on meshes of four times as many cells.

    Raises GeometryError where there is no passage, FlowError where the solver is missing or stops.
    """
    asked = flow_case(stack, fine=fine)
    key = asked.key(solver_version())
    held = taken(store, key)
    if held is not None:
        return asked.answer(held, kept=True)
    from platemaker.fields import calculated  # noqa: PLC0415 - `check` takes what is kept, without the libraries

    found = calculated(asked.case, progress, ranks)
    if not found.get("stopped"):
        keep(store, key, found)
    return asked.answer(found, kept=False)


def stored_flow(stack: Stack, store: Store) -> FlowAnswer | None:
    """The field that the store has for exactly this state, the finer where it has both; none is calculated."""
    if not fields_kept(store.folder):
        return None
    solver = solver_version()
    for fine in (True, False):
        with suppress(GeometryError, FlowError):  # no field can be calculated, or what was kept is none
            asked = flow_case(stack, fine=fine)
            held = taken(store, asked.key(solver))
            if held is not None:
                return asked.answer(held, kept=True)
    return None


def write_flow_case(stack: Stack, folder: Path, *, fine: bool = False, ranks: int = 1) -> int:
    """Write the case for the solver to a folder, all at once; gives its number of cells.

    Raises GeometryError where there is no passage, OutputError where the folder holds something or cannot be written.
    """
    from platemaker.fields import case_folder  # noqa: PLC0415 - as above

    case = flow_case(stack, fine=fine).case
    if folder.is_dir() and any(folder.iterdir()):
        message = f"{folder} holds something already: name a new folder for the case, or empty it"
        raise OutputError(message)
    try:
        folder.parent.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory(prefix=f".{folder.name}.new-", dir=folder.parent) as held:
            made = Path(held) / "case"
            count = case_folder(case, made, ranks)
            made.replace(folder)
    except OSError as cause:
        message = f"the case cannot be written to {folder}: {cause.strerror or cause}"
        raise OutputError(message) from cause
    return count
