"""STEP of a part and of the whole stack: named, coloured, millimetres, the same bytes for the same part."""

from __future__ import annotations

import math
import os
from collections.abc import Mapping
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import platemaker
from platemaker.catalog import Family
from platemaker.errors import OutputError
from platemaker.export._names import safe_name
from platemaker.export._solid._step_text import settled
from platemaker.parts import Body, Part, Stack
from platemaker.solids import Solid, envelope_solid, kernel, location_of

Colour = tuple[float, float, float]

COLOURS: dict[Family, Colour] = {
    Family.ALUMINIUM: (0.66, 0.72, 0.74),
    Family.STEEL: (0.42, 0.46, 0.52),
    Family.STAINLESS: (0.60, 0.60, 0.55),
    Family.CAST_IRON: (0.33, 0.31, 0.30),
    Family.COPPER_ALLOY: (0.71, 0.52, 0.30),
    Family.GASKET: (0.36, 0.50, 0.42),
}
EXISTING: Colour = (0.78, 0.70, 0.60)
"""Existing bodies: sand, so that nobody takes them for what is to be made."""
NO_TIME = "1980-01-01T00:00:00"
LAST_SECOND = 253_402_300_799
"""The last second of the year 9999, from 1970: the form of time holds four digits of a year."""


def instance(name: str, number: int = 1) -> str:
    """The name in a STEP file of copy `number` of a part; the dot keeps it apart from every name of the spec."""
    return f"{safe_name(name)}.{number}"


def existing(body: Body) -> str:
    """The name in a STEP file of an existing body."""
    return f"{safe_name(body.name)}.existing"


def colour_of(part: Part) -> Colour:
    """The part's colour by what it is made of; three shares of 1."""
    return COLOURS[part.material.family]


def write_step(part: Part, solid: Solid, path: Path) -> None:
    """Write the part's solid as the one child of an assembly that bears the part's name."""
    cq = kernel()
    whole = cq.Assembly(name=safe_name(part.name))
    whole.add(solid, name=instance(part.name), color=cq.Color(*colour_of(part)))
    _write(whole, path)


def write_stack_step(stack: Stack, solids: Mapping[str, Solid], path: Path, folder: Path) -> None:
    """Write every placed part and body in its place; `solids` by part name, `folder` is where bodies' files lie."""
    cq = kernel()
    whole = cq.Assembly(name=safe_name(stack.name))
    for part in stack.parts:
        for number, place in enumerate(part.places, start=1):
            colour = cq.Color(*colour_of(part))
            whole.add(solids[part.name], name=instance(part.name, number), loc=location_of(place), color=colour)
    for body in stack.bodies:
        if body.envelope is not None and body.place is not None:
            shape = envelope_solid(body.envelope, folder)
            whole.add(shape, name=existing(body), loc=location_of(body.place), color=cq.Color(*EXISTING))
    _write(whole, path)


def _write(whole: Any, path: Path) -> None:
    try:
        whole.export(str(path), exportType="STEP", unit="MM", write_pcurves=False)
        text = path.read_text(encoding="ascii")
    except (OSError, RuntimeError, UnicodeDecodeError) as cause:
        message = f"{path.name} cannot be written: {cause}"
        raise OutputError(message) from cause
    # The kernel does not say when the disk is full: a whole file ends so.
    if not text.rstrip().endswith("END-ISO-10303-21;"):
        message = f"{path.name} was cut short while it was written; is the disk full?"
        raise OutputError(message)
    maker = f"platemaker {platemaker.__version__}"
    path.write_text(settled(text, path.name, timestamp(), maker), encoding="ascii", newline="\n")


def timestamp() -> str:
    """The time written into files: that of SOURCE_DATE_EPOCH (seconds since 1970, UTC) where it is set, else fixed."""
    epoch = os.environ.get("SOURCE_DATE_EPOCH")
    if epoch is None:
        return NO_TIME
    seconds = int(epoch) if epoch.isdecimal() else math.inf
    if seconds > LAST_SECOND:
        message = (
            f"SOURCE_DATE_EPOCH: met {epoch!r}; allowed: a whole number of seconds since 1970, up to {LAST_SECOND}"
        )
        raise OutputError(message)
    return datetime.fromtimestamp(seconds, tz=UTC).strftime("%Y-%m-%dT%H:%M:%S")
