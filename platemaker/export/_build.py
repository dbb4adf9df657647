"""From a stack to its folder of files: each part made, proved, written and read back, then the whole stack."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from functools import partial
from pathlib import Path

from msgspec import json

from platemaker.checks import Finding, hardware
from platemaker.errors import SpecError, nearest_word
from platemaker.export._flat._dxf import write_drawing, write_dxf
from platemaker.export._flat._profile import is_profile_cut, profile_drawing
from platemaker.export._folder._fingerprint import fingerprint
from platemaker.export._folder._folder import Made, OutputFolder
from platemaker.export._folder._kept import kept
from platemaker.export._folder._store import Store
from platemaker.export._lists._holes import write_hole_table
from platemaker.export._paper import PaperReading, about_of, write_paper
from platemaker.export._reading._read_back import dxf_record, step_record
from platemaker.export._reading._read_dxf import DxfReading, prove_dxf
from platemaker.export._reading._read_profile import prove_profile
from platemaker.export._reading._read_step import StepReading, prove_drilling_step, prove_stack_step, prove_step
from platemaker.export._sheet._drawing_title import About
from platemaker.export._solid._skin import Skin
from platemaker.export._solid._step import write_drilling_step, write_stack_step, write_step
from platemaker.parts import Body, Envelope, PackageFile, Part, PartFile, Stack
from platemaker.records import Record, field, replace
from platemaker.solids import SolidProof, envelope_solid, prove, solid_from_bytes, solid_of, solid_to_bytes

Progress = Callable[[str, int, int], None]
"""Given the part at hand, its number from 1, and of how many."""

Pieces = Mapping[str, bytes]
READING, SOLID, SKIN = "reading", "solid", "skin "
"""What the store keeps of a part, and of the stack, besides files."""


class BuiltPart(Record):
    """What was proved of one part. An existing casting is drilled, not made: it has no STEP file of its own."""

    part: str
    solid: SolidProof
    step: StepReading | None
    dxf: DxfReading


class BuildResult(Record):
    """What a build wrote. `stack` is None when only some parts were asked for or nothing is placed.

    `skins` are those of the parts, and `bodies` those of the bodies in the stack, by name and each in its own frame.
    `papers` state what was read back of drawings, templates and first-article sheets; `kept` are names of files that
    were changed or added in the folder before, and now lie in `NAME.kept` beside it.
    """

    folder: Path
    parts: tuple[BuiltPart, ...]
    stack: StepReading | None
    files: tuple[Made, ...]
    skins: Mapping[str, Skin] = field(default_factory=dict)
    bodies: Mapping[str, Skin] = field(default_factory=dict)
    papers: tuple[PaperReading, ...] = ()
    kept: tuple[str, ...] = ()

    @property
    def volumes(self) -> dict[str, float]:
        """The proved volumes of the parts that were built, mm3."""
        return {part.part: part.solid.volume for part in self.parts}


SOLID_READING, DXF = json.Decoder(tuple[SolidProof, StepReading | None]), json.Decoder(DxfReading)
STACK, PAPER = json.Decoder(StepReading), json.Decoder(PaperReading)
"""How the store writes what was proved."""

Extra = Callable[[OutputFolder, BuildResult], None]
"""Adds files of its own, each under `folder.path(...)`, before the folder is swapped in."""


def build(
    stack: Stack,
    out: Path,
    *,
    spec_folder: Path,
    only: Collection[str] | None = None,
    progress: Progress | None = None,
    extra: Extra | None = None,
    store: Store | None = None,
    findings: Sequence[Finding] | None = None,
    changes: Mapping[str, tuple[str, ...]] | None = None,
    since: str = "",
) -> BuildResult:
    """Write the stack's files to the folder `out`, all at once or not at all.

    `spec_folder` is where the bodies' own STEP files lie; `only` names the parts wanted, None for all and the stack.
    What `store` holds is not made again; the files are the same with and without it. Drawings say in a line what
    `findings` found of their part, and list its `changes`, by part, since the release `since`.
    Raises GeometryError or ProofError for a part that does not come out as specified, OutputError for the folder,
    SpecError for a name in `only` that no part has.
    """
    wanted = [part for part in stack.parts if only is None or part.name in only]
    for name in sorted(set(only or ()) - {part.name for part in wanted}):
        names = [part.name for part in stack.parts]
        problem = "no part has this name"
        raise SpecError(problem, met=name, allowed=", ".join(names), nearest=nearest_word(name, names))
    with OutputFolder(out) as folder:
        done: list[_Done] = []
        for number, part in enumerate(wanted, start=1):
            if progress:
                progress(part.name, number, len(wanted))
            changed = tuple((f"since {since}", words) for words in (changes or {}).get(part.name, ()))
            done.append(_one(stack, part, findings, changed, folder, store))
        whole: Pieces = {}
        if only is None and _anything_placed(stack):
            key = _stack_key(stack, done, spec_folder)
            whole = kept(store, key, folder, lambda: _stack_files(stack, done, folder, spec_folder))
        result = BuildResult(
            folder.target,
            tuple(one.built for one in done),
            STACK.decode(whole[READING]) if whole else None,
            folder.made,
            {one.built.part: Skin.from_bytes(one.pieces[SKIN]) for one in done},
            {name.removeprefix(SKIN): Skin.from_bytes(data) for name, data in whole.items() if name.startswith(SKIN)},
            tuple(one.paper for one in done),
            folder.to_keep,
        )
        if extra:
            extra(folder, result)
        return replace(result, files=folder.made)


class _Done(Record):
    """A part whose files are in the folder: `key` and `pieces` are what the store knows and holds of its solid."""

    built: BuiltPart
    paper: PaperReading
    key: str
    pieces: Pieces


def _one(
    stack: Stack,
    part: Part,
    findings: Sequence[Finding] | None,
    changed: tuple[tuple[str, str], ...],
    folder: OutputFolder,
    store: Store | None,
) -> _Done:
    key, flat_key = solid_key(part), part_key(part)
    pieces = kept(store, key, folder, partial(_solid_files, part, folder))
    proof, step = SOLID_READING.decode(pieces[READING])
    flat = kept(store, flat_key, folder, partial(_flat_files, part, folder))
    about = replace(about_of(stack, part, proof.volume, findings), changes=changed)
    paper = _paper(part, flat_key, about, folder, store)
    return _Done(BuiltPart(part.name, proof, step, DXF.decode(flat[READING])), paper, key, pieces)


def part_key(part: Part) -> str:
    """What the store knows a part's files by: all of the part but its place in the stack."""
    return fingerprint("part", replace(part, places=()))


def solid_key(part: Part) -> str:
    """What the store knows a part's solid by: what it is cut from and how, not what is said of it."""
    return fingerprint("solid", part.name, part.key, part.made, part.material.family, part.stock, part.cuts)


def _solid_files(part: Part, folder: OutputFolder) -> Pieces:
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


def _flat_files(part: Part, folder: OutputFolder) -> Pieces:
    path = folder.path(PartFile.MODEL.of(part), "dxf", "flat drawing, mm", part=part.name, key=part.key)
    write_dxf(part, path)
    dxf = prove_dxf(part, path)
    folder.read_back(path, dxf_record(dxf))
    if is_profile_cut(part):
        path = folder.path(PartFile.PROFILE.of(part), "dxf", "waterjet or laser, mm", part=part.name, key=part.key)
        write_drawing(profile_drawing(part), path)
        folder.read_back(path, dxf_record(prove_profile(part, path)))
    if part.holes:
        path = folder.path(PartFile.HOLES.of(part), "csv", "hole table, mm", part=part.name, key=part.key)
        write_hole_table(part, path)
    return {READING: json.encode(dxf)}


def _paper(part: Part, key: str, about: About, folder: OutputFolder, store: Store | None) -> PaperReading:
    def write() -> Pieces:
        return {READING: json.encode(write_paper(part, about, folder))}

    pieces = kept(store, fingerprint("paper", key, about), folder, write)
    return PAPER.decode(pieces[READING])


def _anything_placed(stack: Stack) -> bool:
    return any(part.places for part in stack.parts) or bool(_standing(stack))


def _standing(stack: Stack) -> list[tuple[Body, Envelope]]:
    """The bodies that stand in the stack, each with the space that it takes."""
    return [(body, body.envelope) for body in stack.bodies if body.envelope is not None and body.place is not None]


def _stack_key(stack: Stack, done: Sequence[_Done], folder: Path) -> str:
    files = [(folder / envelope.file).read_bytes() for _, envelope in _standing(stack) if envelope.file]
    parts = [(one.key, part.places) for one, part in zip(done, stack.parts, strict=True)]
    bodies = [replace(body, envelope=body.envelope and replace(body.envelope, where=None)) for body in stack.bodies]
    return fingerprint("stack", stack.name, parts, bodies, files, hardware(stack))


def _stack_files(stack: Stack, done: Sequence[_Done], folder: OutputFolder, spec_folder: Path) -> Pieces:
    path = folder.path(PackageFile.STACK, "step", "every part, body and bought piece in its place, mm")
    solids = {one.built.part: solid_from_bytes(one.pieces[SOLID]) for one in done}
    write_stack_step(stack, solids, path, spec_folder)
    reading = prove_stack_step(stack, [one.built.solid for one in done], path)
    folder.read_back(path, step_record(reading))
    skins = {
        SKIN + body.name: Skin.of(envelope_solid(envelope, spec_folder)).to_bytes()
        for body, envelope in _standing(stack)
    }
    return {READING: json.encode(reading), **skins}
