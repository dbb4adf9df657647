"""One account of every screw: what it is, what it goes through and into, how it is tightened."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from platemaker.checks._bolts._preload import Preload, known_preload
from platemaker.checks._loads._heat import bolt_temperature
from platemaker.parts import Stack
from platemaker.records import Record
from platemaker.resolved import Bolt, resolved_stack


class BoltAccount(Record):
    """A screw with its preload (None without the design's friction) and the position tolerance of its holes, mm."""

    bolt: Bolt
    preload: Preload | None
    positions: Mapping[str, float]
    temperature: float | None


def bolt_accounts(stack: Stack) -> Iterator[BoltAccount]:
    """Every screw of a stack that a head can hold."""
    for bolt in resolved_stack(stack).bolts:
        faces = bolt.joint.faces if bolt.joint else ()
        positions = {face.owner: face.position for face in faces if face.position is not None}
        yield BoltAccount(
            bolt,
            known_preload(stack.design, bolt.bolts) if bolt.fits else None,
            positions,
            bolt_temperature(stack, bolt),
        )
