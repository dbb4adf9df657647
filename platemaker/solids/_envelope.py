"""Existing bodies as solids: the space that their envelopes take."""

from __future__ import annotations

from pathlib import Path

from platemaker.errors import GeometryError, SpecError
from platemaker.parts import Envelope, EnvelopeKind
from platemaker.solids._kernel import Solid, kernel
from platemaker.solids._step_file import load_step
from platemaker.solids._wires import prism_of


def envelope_solid(envelope: Envelope, folder: Path) -> Solid:
    """The space that an existing body takes, in its own frame; `folder` is where its STEP file lies.

    Raises SpecError, with file, line and key, for a STEP file that gives no body.
    """
    cq = kernel()
    x, y, height = envelope.size
    if envelope.kind is EnvelopeKind.STEP:
        return _of_file(envelope, folder)
    if envelope.kind is EnvelopeKind.BOX:
        return cq.Solid.makeBox(x, y, height, cq.Vector(-x / 2, -y / 2, 0))
    if envelope.kind is EnvelopeKind.CYLINDER and envelope.circle is not None:
        return cq.Solid.makeCylinder(envelope.circle.radius, height, cq.Vector(*envelope.circle.centre, 0))
    if envelope.kind is EnvelopeKind.PRISM and envelope.region is not None:
        return prism_of(envelope.region, 0.0, height)
    message = f"a {envelope.kind} envelope without its figure"
    raise GeometryError(message)


def _of_file(envelope: Envelope, folder: Path) -> Solid:
    try:
        return load_step(folder / envelope.file).shape
    except GeometryError as fault:
        raise SpecError(str(fault), where=envelope.where, allowed="a STEP file of closed solids") from fault
