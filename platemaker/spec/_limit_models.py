"""The limits that a spec may set in place of the catalog's."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from platemaker.spec._base import SpecModel
from platemaker.spec._quantities import PositiveLength

Ratio = Annotated[float, Field(gt=0, le=1000)]


class LimitsModel(SpecModel):
    """Limits by name: lengths, and multiples of the diameter, pitch, radius or thickness that each is told in."""

    minimum_wall: PositiveLength | None = None
    minimum_floor: PositiveLength | None = None
    gasket_land: PositiveLength | None = None
    head_clearance: PositiveLength | None = None
    wrench_clearance: PositiveLength | None = None
    minimum_edge_break: PositiveLength | None = None
    edge_distance: Ratio | None = None
    bolt_spacing: Ratio | None = None
    gasket_bolt_spacing: Ratio | None = None
    thread_engagement: Ratio | None = None
    thread_runout: Ratio | None = None
    blind_thread_allowance: Ratio | None = None
    tapped_depth: Ratio | None = None
    hole_depth: Ratio | None = None
    cutter_depth: Ratio | None = None
    corner_radius: Ratio | None = None
    bend_radius: Ratio | None = None
    bend_hole_distance: Ratio | None = None

    def given(self) -> dict[str, float]:
        """The limits that are set: lengths in mm, the others as multiples."""
        return {name: float(value) for name, value in self if value is not None}
