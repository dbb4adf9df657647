"""Models of how two sides find and fit each other: dowels."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, StringConstraints

from platemaker.spec._base import SpecModel
from platemaker.spec._quantities import Point, PositiveLength

SpotName = Annotated[str, StringConstraints(pattern=r"^[A-Za-z0-9][A-Za-z0-9_]{0,19}$")]


class DowelsModel(SpecModel):
    """Dowels that place a joint's sides: bored `depth` deep into both, pressed into one, sliding in the other.

    `play` is the diametral play on the sliding side, `position` the diameter of the zone of their axes on either side.
    """

    at: Annotated[dict[SpotName, Point], Field(min_length=1, max_length=20)]
    diameter: PositiveLength
    depth: PositiveLength
    pressed: Literal["lower", "upper"] = "lower"
    play: PositiveLength = 0.02
    position: PositiveLength = 0.01
