"""The field of the air through a stack, calculated or taken from the store."""

from __future__ import annotations

import json
from collections.abc import Callable
from importlib import metadata

from platemaker.checks import airflow
from platemaker.errors import GeometryError
from platemaker.export import Store, fingerprint
from platemaker.fields import FRICTION, FlowAnswer, air_volume, case_of, field_of, solved
from platemaker.parts import Stack

FIELD = "field"


def flow(
    stack: Stack,
    *,
    fine: bool = False,
    store: Store | None = None,
    progress: Callable[[float, float | None], None] | None = None,
) -> FlowAnswer:
    """The field of the air through a stack, with `fine` on meshes of three times as many cells.

    Raises GeometryError where there is no passage, FlowError where the library is missing or its process stops.
    """
    report = airflow(stack)
    if isinstance(report, str):
        message = f"no field of the air: {report}"
        raise GeometryError(message)
    volume = air_volume(report.path)
    case = case_of(volume, FRICTION, fine=fine)
    key = fingerprint("field of air", json.dumps(case), _version())
    held = store.take(key) if store else None
    answer = json.loads(held[FIELD]) if held else solved(case, progress)
    if store and not held:
        store.put(key, {FIELD: json.dumps(answer).encode()})
    air, reduced = report.air, (report.loss, report.low, report.high)
    return FlowAnswer(
        volume, field_of(answer), air.mass_flow, air.pressure, air.temperature, reduced, kept=held is not None
    )


def _version() -> str:
    try:
        return metadata.version("ngsolve")
    except metadata.PackageNotFoundError:
        return "missing"
