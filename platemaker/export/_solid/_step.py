"""STEP of a part and of the whole stack: named, coloured, millimetres, the same bytes for the same part."""

from __future__ import annotations

import math
import os
from collections.abc import Callable, Mapping
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import platemaker
from platemaker.catalog import Family
from platemaker.checks import Hardware, ItemKind, hardware
from platemaker.errors import OutputError
from platemaker.export._names import safe_name
from platemaker.export._solid._named_faces import HOLES, named_faces
from platemaker.export._solid._step_product import Colour, Product, write_product
from platemaker.export._solid._step_text import settled
from platemaker.parts import Body, Hole, Operation, Part, Stack
from platemaker.solids import Solid, envelope_solid, figure_solid, kernel, location_of, tools_of

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
BOUGHT: dict[ItemKind, Colour] = {
    ItemKind.BOLT: (0.80, 0.80, 0.76),
    ItemKind.INJECTOR: (0.52, 0.46, 0.58),
    ItemKind.FITTING: (0.74, 0.60, 0.30),
}
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


def bought(one: Hardware) -> str:
    """The name in a STEP file of a bought piece."""
    return f"{one.name.replace(' ', '_')}.bought"


def drilled(hole: Hole) -> str:
    """The name in a STEP file of what a hole takes out of a casting."""
    return f"{safe_name(hole.name)}.drilled"


def write_step(part: Part, solid: Solid, path: Path) -> None:
    """Write the part's solid as one product of its name; round walls of holes say what makes them."""
    product = Product(safe_name(part.name), solid, colour_of(part), tuple(named_faces(part, solid)))
    _write(lambda: write_product(product, path), path)


def write_drilling_step(part: Part, path: Path) -> None:
    """Write what is drilled out of an existing casting: a named solid for each hole, in the casting's frame.

    It reaches out of the face as far as the drill comes in.
    """
    cq = kernel()
    whole = cq.Assembly(name=safe_name(part.name))
    for hole in part.holes:
        shape = cq.Compound.makeCompound(tools_of(part, hole))
        whole.add(shape, name=drilled(hole), color=cq.Color(*HOLES[Operation.DRILL]))
    _write_assembly(whole, path)


def write_stack_step(stack: Stack, solids: Mapping[str, Solid], path: Path, folder: Path) -> None:
    """Write every placed part, body and bought piece; `solids` by part name, `folder` is where bodies' files lie."""
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
    for one in hardware(stack):
        shape = cq.Compound.makeCompound([figure_solid(figure) for figure in one.figures])
        whole.add(shape, name=bought(one), color=cq.Color(*BOUGHT[one.kind]))
    _write_assembly(whole, path)


def _write_assembly(whole: Any, path: Path) -> None:
    _write(lambda: whole.export(str(path), exportType="STEP", unit="MM", write_pcurves=False), path)


def _write(export: Callable[[], object], path: Path) -> None:
    try:
        export()
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
