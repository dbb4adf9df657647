"""Solids of parts and of the stack: made, proved, written to STEP and read back; and what the store knows them by."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path

from msgspec import json

from platemaker.checks import hardware
from platemaker.export._folder._fingerprint import fingerprint
from platemaker.export._folder._folder import FolderFiles
from platemaker.export._reading._read_back import step_record
from platemaker.export._reading._read_step import StepReading, prove_drilling_step, prove_stack_step, prove_step
from platemaker.export._solid._skin import Skin
from platemaker.export._solid._step import timestamp, write_drilling_step, write_stack_step, write_step
from platemaker.parts import Body, Envelope, PackageFile, Part, PartFile, Stack
from platemaker.records import kept_with, replace
from platemaker.solids import SolidProof, envelope_solid, prove, solid_from_bytes, solid_of, solid_to_bytes

Pieces = Mapping[str, bytes]
READING, SOLID, SKIN = "reading", "solid", "skin"
"""What the store keeps of a part, and of the stack, besides files."""

SOLID_READING, STACK = json.Decoder(tuple[SolidProof, StepReading | None]), json.Decoder(StepReading)
"""How the store writes what was proved."""


def solid_key(part: Part) -> str:
    """What the store knows a part's solid by: what it is cut from and how, not what is said of it."""
    said = ("solid", part.name, part.key, part.made, part.material.family, part.stock, part.cuts)
    return kept_with(part, f"solid key {timestamp()}", lambda: fingerprint(*said))


def solid_files(part: Part, folder: FolderFiles) -> Pieces:
    """Make and prove a part's solid, and write its STEP file and read it back."""
    solid = solid_of(part)
    proof = prove(part, solid)
    step = None
    if part.made:
        path = folder.path(PartFile.MODEL.of(part), "step", "solid model, mm", part=part.name, key=part.key)
        write_step(part, solid, path)
        step = prove_step(part, proof, path)
        folder.read_back(path, step_record(step))
    elif part.holes:
        path = folder.path(PartFile.MODEL.of(part), "step", "what is drilled out, mm", part=part.name, key=part.key)
        write_drilling_step(part, path)
        step = prove_drilling_step(part, path)
        folder.read_back(path, step_record(step))
    reading = json.encode((proof, step))
    return {READING: reading, SOLID: solid_to_bytes(solid), SKIN: Skin.of(solid).to_bytes()}


def anything_placed(stack: Stack) -> bool:
    """Whether the stack has a file of its own."""
    return any(part.places for part in stack.parts) or bool(_standing(stack))


def _standing(stack: Stack) -> list[tuple[Body, Envelope]]:
    """The bodies that stand in the stack, each with the space that it takes."""
    return [(body, body.envelope) for body in stack.bodies if body.envelope is not None and body.place is not None]


def stack_key(stack: Stack, keys: Sequence[str], folder: Path) -> str:
    """What the store knows the stack by: `keys` of its parts' solids, and its bodies, whose files are in `folder`."""
    parts = [(key, part.places) for key, part in zip(keys, stack.parts, strict=True)]
    return fingerprint("stack", stack.name, parts, bodies_key(stack, folder), hardware(stack))


def bodies_key(stack: Stack, folder: Path) -> str:
    """What the store knows the bodies of the stack by, whose files are in `folder`."""
    files = [(folder / envelope.file).read_bytes() for _, envelope in _standing(stack) if envelope.file]
    bodies = [replace(body, envelope=body.envelope and replace(body.envelope, where=None)) for body in stack.bodies]
    return fingerprint("bodies", bodies, files)


def body_skins(stack: Stack, folder: Path) -> Pieces:
    """The skins of the bodies in the stack, by name; `folder` is where their files are."""
    return {body.name: Skin.of(envelope_solid(envelope, folder)).to_bytes() for body, envelope in _standing(stack)}


def stack_files(stack: Stack, solids: Sequence[Pieces], folder: FolderFiles, spec_folder: Path) -> Pieces:
    """Write the stack's STEP file and read it back; `solids` are what `solid_files` gave for each part, in order."""
    path = folder.path(PackageFile.STACK, "step", "every part, body and bought piece in its place, mm")
    shapes = {part.name: solid_from_bytes(one[SOLID]) for part, one in zip(stack.parts, solids, strict=True)}
    write_stack_step(stack, shapes, path, spec_folder)
    reading = prove_stack_step(stack, [SOLID_READING.decode(one[READING])[0] for one in solids], path)
    folder.read_back(path, step_record(reading))
    return {READING: json.encode(reading)}
