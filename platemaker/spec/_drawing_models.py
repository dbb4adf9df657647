"""How the shop wants its paper."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from platemaker.spec._base import SpecModel


class DrawingModel(SpecModel):
    """Projection, class of general tolerances and paper of every sheet; what is left out follows `units`."""

    projection: Annotated[
        Literal["first", "third"] | None,
        Field(description="Angle of projection: first where units are mm, else third."),
    ] = None
    tolerance: Annotated[Literal["f", "m", "c", "v"], Field(description="Class of general tolerances, ISO 2768-1.")] = (
        "m"
    )
    paper: Annotated[
        Literal["A4", "A3", "Letter", "Tabloid"] | None,
        Field(description="Size of every drawing and template; left out, A4 or A3, Letter or Tabloid as it takes."),
    ] = None
