"""The limits and usual sizes that a spec may set in place of the catalog's."""

from functools import cache
from typing import TYPE_CHECKING, Annotated, Any, Self

from pydantic import AfterValidator, Field, Strict, WithJsonSchema, create_model, model_validator

from platemaker.catalog import UsualSize, usual_sizes
from platemaker.spec._accept_models import Reason
from platemaker.spec._base import SpecModel
from platemaker.spec._quantities import PositiveLength, Quantity
from platemaker.units import Dimension

Ratio = Annotated[float, Field(gt=0, le=1000)]
SizeRange = tuple[float, float]
"""The least and the most that are usual."""

_WIDEST = {
    Dimension.LENGTH: ("0 mm", "10 m"),
    Dimension.ANGLE: ("0 deg", "360 deg"),
    Dimension.PRESSURE: ("0 bar", "1000 GPa"),
    Dimension.TEMPERATURE: ("0 K", "2000 K"),
    Dimension.MASS: ("0 kg", "10000 kg"),
    Dimension.FORCE: ("0 N", "10000 kN"),
    Dimension.TORQUE: ("0 N.m", "100000 N.m"),
    Dimension.SPEED: ("0 rpm", "500000 rpm"),
    Dimension.VOLUME: ("0 L", "1000 L"),
    Dimension.MASS_FLOW: ("0 kg/s", "100 kg/s"),
    Dimension.FLOW: ("0 L/s", "1000 L/s"),
    Dimension.POWER: ("0 kW", "1000 kW"),
}


def _in_order(value: SizeRange) -> SizeRange:
    if value[0] > value[1]:
        message = "a usual range is [least, most]"
        raise ValueError(message)
    return value


@cache
def _range_of(dimension: Dimension | None) -> Any:
    """The type of a field that holds a range: two quantities of a dimension, or two plain ratios."""
    kind = Quantity(dimension, *_WIDEST[dimension]) if dimension else Field(ge=0, le=1000)
    one = Annotated[float, kind]
    schema = {"type": "array", "items": {"type": ["number", "string"]}, "minItems": 2, "maxItems": 2}
    return Annotated[tuple[one, one], Strict(False), AfterValidator(_in_order), WithJsonSchema(schema)]


def _field_of(size: UsualSize) -> Any:
    words = f"[least, most] of a usual {size.title}; left out, {size.words}."
    return _range_of(size.measure.dimension if size.measure else None), Field(None, description=words)


if TYPE_CHECKING:
    UsualModel = SpecModel
else:
    UsualModel = create_model(
        "UsualModel",
        __base__=SpecModel,
        __doc__="Usual sizes by name, each [least, most]: what lies outside is a caution.",
        **{name: _field_of(size) for name, size in usual_sizes().items()},
    )


class LimitsModel(SpecModel):
    """Limits by name: lengths, and multiples of the diameter, pitch, radius or thickness that each is stated in."""

    minimum_wall: PositiveLength | None = None
    minimum_floor: PositiveLength | None = None
    gasket_land: PositiveLength | None = None
    head_clearance: PositiveLength | None = None
    wrench_clearance: PositiveLength | None = None
    minimum_edge_break: PositiveLength | None = None
    edge_distance: Ratio | None = None
    thread_engagement: Ratio | None = None
    thread_runout: Ratio | None = None
    tapped_depth: Ratio | None = None
    hole_depth: Ratio | None = None
    cutter_depth: Ratio | None = None
    corner_radius: Ratio | None = None
    pocket_share: Ratio | None = None
    bend_radius: Ratio | None = None
    bend_hole_distance: Ratio | None = None
    usual: UsualModel | None = None
    because: dict[str, Reason] = Field(default_factory=dict)

    @model_validator(mode="after")
    def _reasons_of_limits(self) -> Self:
        for name in self.because:
            if name not in self.given():
                message = f"`because` names '{name}', which is not set beside it"
                raise ValueError(message)
        return self

    def given(self) -> dict[str, float]:
        """The limits that are set: lengths in mm, the others as multiples."""
        return {name: float(value) for name, value in self if value is not None and name not in ("usual", "because")}

    def ranges(self) -> dict[str, SizeRange]:
        """The usual sizes that are set, by name, in the units used inside."""
        return {name: value for name, value in self.usual or () if value is not None}
