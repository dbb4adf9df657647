"""What was read back of a file, as the record that the manifest keeps. Names that end in a unit are numbers of it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from platemaker.export._reading._read_dxf import DxfReading
    from platemaker.export._reading._read_pdf import PdfReading
    from platemaker.export._reading._read_step import StepReading

ReadBack = Mapping[str, object]
"""Texts, whole numbers, numbers, and lists of these: what JSON gives back as it was."""

DIGITS = 6
"""Decimals that a record keeps; the finest comparison of a file with its part is 1e-6."""


def step_record(reading: StepReading) -> ReadBack:
    """Names, count of solids, volume of all, box of all and colours of a STEP file."""
    boxes = [item.bounds for item in reading.items]
    lows = [min(box[axis] for box in boxes) for axis in range(3)]
    highs = [max(box[axis] for box in boxes) for axis in range(3, 6)]
    return {
        "names": [item.name for item in reading.items],
        "solids": sum(item.solids for item in reading.items),
        "volume_mm3": _rounded(sum(item.volume for item in reading.items)),
        "extents_mm": _all_rounded([*lows, *highs]),
        "colours": [_all_rounded(item.colour or ()) for item in reading.items],
    }


def dxf_record(reading: DxfReading) -> ReadBack:
    """Units, counts of entities, of doubled ones and of closed loops, circles and extents of a DXF."""
    return {
        "units": reading.units,
        "entities": reading.entities,
        "doubled": reading.doubled,
        "closed_loops": len(reading.loop_areas),
        "circles_mm": [_all_rounded(circle) for circle in reading.circles],
        "extents_mm": _all_rounded(reading.extents),
    }


def pdf_record(reading: PdfReading, bars: Sequence[float] = ()) -> ReadBack:
    """Count of pages of a PDF and, of a template, the lengths measured of its check bars."""
    pages = {"pages": len(reading.pages)}
    return {**pages, "bars_mm": _all_rounded(bars)} if bars else pages


def _all_rounded(values: Iterable[float]) -> list[float]:
    return [_rounded(value) for value in values]


def _rounded(value: float) -> float:
    return round(value, DIGITS) + 0.0
