"""A project's field: its air volume calculated, or taken from the store, beside the loss that `check` calculates."""

from __future__ import annotations

import json
import math
from collections.abc import Sequence
from dataclasses import dataclass
from importlib import metadata

from platemaker.checks import AirReport, airflow
from platemaker.errors import GeometryError
from platemaker.export import Store, fingerprint
from platemaker.fields._records import Field, field_of
from platemaker.fields._run import Progress, case_of, solved
from platemaker.fields._volume import AirVolume, air_volume
from platemaker.formulas import gas_density
from platemaker.parts import Stack

FRICTION = 0.005
"""Fanning's friction factor of the walls: smooth ducts at a Reynolds number of 6e4 by Blasius (White 7th ed., eq. 6.38,
from memory), whatever the size."""
FIELD = "field"
FAST = 0.3
"""Mach number above which constant density says too little loss."""
HEATS = 1.4
"""Ratio of specific heats of air."""


@dataclass(frozen=True)
class FlowAnswer:
    """The field of a stack's air passage with the flow in physical units.

    `density`, kg/m3, and `speed`, m/s, are those at the entry; `reduced` is the loss that `check` calculates, Pa.
    """

    report: AirReport
    volume: AirVolume
    field: Field
    density: float
    speed: float
    reduced: float
    kept: bool = False

    @property
    def dynamic(self) -> float:
        """Dynamic pressure at the entry, Pa."""
        return self.density * self.speed**2 / 2

    @property
    def loss(self) -> float | None:
        """Loss of total pressure from duct to duct, Pa; None where the field did not converge."""
        return self.field.loss * self.dynamic if self.field.converged else None

    @property
    def mach(self) -> float:
        """Mach number of the fastest air, by the temperature that its speed leaves."""
        speed = self.field.fastest * self.speed
        air = self.report.air
        stiff = HEATS * air.pressure / (self.density * air.temperature)  # k R, J/(kg K)
        cooled = air.temperature - speed**2 * (HEATS - 1) / (2 * stiff)
        return speed / math.sqrt(stiff * cooled) if cooled > 0 else math.inf

    @property
    def losses(self) -> Sequence[tuple[str, float]]:
        """What is lost in each slab, by name, Pa; the last is the duct behind."""
        lost = [0.0, *self.field.lost, self.field.loss]
        names = [slab.name for slab in self.volume.slabs]
        return [
            (name, (behind - before) * self.dynamic)
            for name, before, behind in zip(names, lost, lost[1:], strict=False)
        ]


def flow(
    stack: Stack, *, fine: bool = False, store: Store | None = None, progress: Progress | None = None
) -> FlowAnswer:
    """The field of the air through a stack. Raises GeometryError where there is no passage, FlowError as `solved`."""
    report = airflow(stack)
    if isinstance(report, str):
        message = f"no field of the air: {report}"
        raise GeometryError(message)
    volume = air_volume(report)
    case = case_of(volume, FRICTION, fine=fine)
    text = json.dumps(case)
    key = fingerprint("field of air", text, _version())
    held = store.take(key) if store else None
    answer = json.loads(held[FIELD]) if held else solved(case, progress)
    if store and not held:
        store.put(key, {FIELD: json.dumps(answer).encode()})
    density = gas_density(report.air.pressure, report.air.temperature)
    area = sum(region.area for region in volume.slabs[0].regions) * 1e-6
    speed = report.air.mass_flow / density / area
    return FlowAnswer(report, volume, field_of(answer), density, speed, report.loss, held is not None)


def _version() -> str:
    try:
        return metadata.version("ngsolve")
    except metadata.PackageNotFoundError:
        return "missing"
