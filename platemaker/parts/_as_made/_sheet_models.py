"""Models of a first-article sheet, filled in."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, Strict

from platemaker.spec import SpecModel

Pair = Annotated[tuple[float, float], Strict(False)]
Value = str | int | float


class SheetDatumModel(SpecModel):
    """The point that places are read from."""

    hole: str | None = None
    tag: str | None = None
    at: Pair


class MeasureModel(SpecModel):
    """A measure: what was written when the sheet was made, and what it reads."""

    id: str
    what: str | None = None
    nominal: float | None = None
    tolerance: Pair | None = None
    source: str | None = None
    reads: Value | bool | None = None


class SheetModel(SpecModel):
    """A sheet; `instrument` or `sd` is what places were read to."""

    part: str
    title: str | None = None
    project: str | None = None
    revision: str | None = None
    unit: Literal["mm"] = "mm"
    datum: SheetDatumModel
    instrument: str = "digital caliper"
    sd: Value | None = None
    measures: Annotated[tuple[MeasureModel, ...], Strict(False), Field(min_length=1)]
