"""A field with the flow in physical units, beside the loss that `check` calculates."""

from __future__ import annotations

import math
from collections.abc import Sequence

from platemaker.fields._records import Field
from platemaker.fields._volume import AirVolume
from platemaker.formulas import gas_density
from platemaker.records import Record

FAST = 0.3
"""Mach number above which constant density says too little loss."""
MODEL = 0.20
"""Error of the model, as a share of the loss: the largest against published and computed cases (docs/limits.md)."""
HEATS = 1.4
"""Ratio of specific heats of air."""


class FlowAnswer(Record):
    """The field of a stack's air passage.

    `mass_flow`, kg/s, stagnation `pressure`, Pa absolute, and `temperature`, K, are those at the entry; `reduced` is
    the loss that `check` calculates with its least and largest value, Pa. `kept`: taken from the store.
    """

    volume: AirVolume
    field: Field
    mass_flow: float
    pressure: float
    temperature: float
    reduced: tuple[float, float, float]
    kept: bool = False

    @property
    def density(self) -> float:
        """Density at the entry, kg/m3."""
        return gas_density(self.pressure, self.temperature)

    @property
    def speed(self) -> float:
        """Mean speed at the entry, m/s."""
        area = sum(region.area for region in self.volume.slabs[0].regions) * 1e-6
        return self.mass_flow / self.density / area

    @property
    def dynamic(self) -> float:
        """Dynamic pressure at the entry, Pa."""
        return self.density * self.speed**2 / 2

    @property
    def loss(self) -> float | None:
        """Loss of total pressure from duct to duct, Pa; None where the field did not converge."""
        return self.field.loss * self.dynamic if self.field.converged else None

    @property
    def error(self) -> float:
        """Error of the loss as a share: that met in known cases on such meshes, or the mesh's where it is larger."""
        return max(MODEL, self.field.grid_error or 0.0)

    @property
    def bounds(self) -> tuple[float, float]:
        """Least and largest loss within its error, Pa; that of a field that did not converge is not a number."""
        loss = math.nan if self.loss is None else self.loss
        return loss * (1 - self.error), loss * (1 + self.error)

    @property
    def mach(self) -> float:
        """Mach number of the fastest air, by the temperature that its speed leaves."""
        speed = self.field.fastest * self.speed
        stiff = HEATS * self.pressure / (self.density * self.temperature)  # k R, J/(kg K)
        cooled = self.temperature - speed**2 * (HEATS - 1) / (2 * stiff)
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
