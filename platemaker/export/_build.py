"""From a stack to its folder of files: each part made, proved, written and read back, then the whole stack."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from functools import partial
from pathlib import Path

from msgspec import json

from platemaker.checks import Finding
from platemaker.errors import SpecError, nearest_word
from platemaker.export._flat._dxf import write_drawing, write_dxf
from platemaker.export._flat._profile import is_profile_cut, profile_drawing
from platemaker.export._folder._fingerprint import fingerprint
from platemaker.export._folder._folder import FolderFiles, Made, OutputFolder
from platemaker.export._folder._kept import kept
from platemaker.export._folder._store import Store
from platemaker.export._lists._holes import write_hole_table
from platemaker.export._paper import PaperReading, about_of, write_paper
from platemaker.export._reading._read_back import dxf_record
from platemaker.export._reading._read_dxf import DxfReading, prove_dxf
from platemaker.export._reading._read_profile import prove_profile
from platemaker.export._reading._read_step import StepReading
from platemaker.export._sheet._drawing_title import About
from platemaker.export._solid._skin import Skin
from platemaker.export._solid._step import timestamp
from platemaker.export._solid_files import (
    READING,
    SKIN,
    SOLID_READING,
    STACK,
    Pieces,
    anything_placed,
    bodies_key,
    body_skins,
    solid_files,
    solid_key,
    stack_files,
    stack_key,
)
from platemaker.export._solid_process import SolidProcess
from platemaker.parts import Part, PartFile, Stack
from platemaker.records import Record, field, kept_with, replace
from platemaker.solids import SolidProof

Progress = Callable[[str, int, int], None]
"""Given the part at hand, its number from 1, and of how many."""


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


DXF, PAPER = json.Decoder(DxfReading), json.Decoder(PaperReading)
"""How the store writes what was proved."""

Before = Callable[[OutputFolder], None]
"""Writes files that need no solid, before the first solid is wanted, aside: `Extra` joins them."""
Meanwhile = Callable[[BuildResult], None]
"""Prepares what needs every part but not the whole stack, while that is made elsewhere."""
Extra = Callable[[OutputFolder, BuildResult], None]
"""Adds files of its own, each under `folder.path(...)`, before the folder is swapped in."""


def build(
    stack: Stack,
    out: Path,
    *,
    spec_folder: Path,
    only: Collection[str] | None = None,
    progress: Progress | None = None,
    before: Before | None = None,
    meanwhile: Meanwhile | None = None,
    extra: Extra | None = None,
    store: Store | None = None,
    beside: SolidProcess | None = None,
    findings: Sequence[Finding] | None = None,
    changes: Mapping[str, tuple[str, ...]] | None = None,
    since: str = "",
) -> BuildResult:
    """Write the stack's files to the folder `out`, all at once or not at all.

    `spec_folder` is where the bodies' own STEP files lie; `only` names the parts wanted, None for all and the stack.
    What `store` holds is not made again, and what `beside` was asked for is made there; the files are the same with and
    without either. Drawings say in a line what `findings` found of their part, and list its `changes`, by part, since
    the release `since`.
    Raises GeometryError or ProofError for a part that does not come out as specified, OutputError for the folder,
    SpecError for a name in `only` that no part has.
    """
    wanted = [part for part in stack.parts if only is None or part.name in only]
    for name in sorted(set(only or ()) - {part.name for part in wanted}):
        names = [part.name for part in stack.parts]
        problem = "no part has this name"
        raise SpecError(problem, met=name, allowed=", ".join(names), nearest=nearest_word(name, names))
    with OutputFolder(out) as folder:
        make = _Making(stack, spec_folder, folder, store, beside or SolidProcess())
        flats = [make.flat(part, folder.aside()) for part in wanted]
        if before:
            before(folder)
        done: list[_Done] = []
        for number, (part, flat) in enumerate(zip(wanted, flats, strict=True), start=1):
            if progress:
                progress(part.name, number, len(wanted))
            changed = tuple((f"since {since}", words) for words in (changes or {}).get(part.name, ()))
            done.append(make.part(part, *flat, findings, changed))
        whole = only is None and anything_placed(stack)
        result = BuildResult(
            folder.target,
            tuple(one.built for one in done),
            None,
            folder.made,
            {one.built.part: Skin.from_bytes(one.pieces[SKIN]) for one in done},
            {name: Skin.from_bytes(data) for name, data in make.bodies().items()} if whole else {},
            tuple(one.paper for one in done),
            folder.to_keep,
        )
        if whole:
            pieces = make.stack(done, partial(meanwhile, result) if meanwhile else None)
            result = replace(result, stack=STACK.decode(pieces[READING]), files=folder.made)
        if extra:
            extra(folder, result)
        return replace(result, files=folder.made)


class _Done(Record):
    """A part whose files are in the folder: `key` and `pieces` are what the store knows and holds of its solid."""

    built: BuiltPart
    paper: PaperReading
    key: str
    pieces: Pieces


class _Making(Record):
    """Files of one stack, from where they are made before or made now, into one folder."""

    of: Stack
    spec_folder: Path
    folder: OutputFolder
    store: Store | None
    beside: SolidProcess

    def flat(self, part: Part, files: FolderFiles) -> tuple[Pieces, FolderFiles]:
        """The flat files of a part, which need no solid."""
        return kept(self.store, part_key(part), files, partial(_flat_files, part, files)), files

    def part(
        self,
        part: Part,
        flat: Pieces,
        flat_files: FolderFiles,
        findings: Sequence[Finding] | None,
        changed: tuple[tuple[str, str], ...],
    ) -> _Done:
        """The solid and the paper of a part whose flat files are there."""
        key = solid_key(part)
        pieces = self._solid(key, f"part '{part.name}'", partial(solid_files, part, self.folder))
        self.folder.join(flat_files)
        proof, step = SOLID_READING.decode(pieces[READING])
        about = replace(about_of(self.of, part, proof.volume, findings), changes=changed)
        paper = self._kept(fingerprint("paper", part_key(part), about), lambda: self._paper(part, about))
        built = BuiltPart(part.name, proof, step, DXF.decode(flat[READING]))
        return _Done(built, PAPER.decode(paper[READING]), key, pieces)

    def bodies(self) -> Pieces:
        """The skins of the bodies in the stack, by name."""
        key = bodies_key(self.of, self.spec_folder)
        return self._solid(key, "the bodies", partial(body_skins, self.of, self.spec_folder))

    def stack(self, done: Sequence[_Done], meanwhile: Callable[[], None] | None) -> Pieces:
        """The file of the whole stack; `done` are its parts."""
        key, solids = stack_key(self.of, [one.key for one in done], self.spec_folder), [one.pieces for one in done]
        make = partial(stack_files, self.of, solids, self.folder, self.spec_folder)
        return self._solid(key, "the stack", make, meanwhile)

    def _solid(
        self, key: str, what: str, make: Callable[[], Pieces], meanwhile: Callable[[], None] | None = None
    ) -> Pieces:
        return self._kept(key, lambda: self.beside.files(key, what, self.folder, make, meanwhile))

    def _paper(self, part: Part, about: About) -> Pieces:
        return {READING: json.encode(write_paper(part, about, self.folder))}

    def _kept(self, key: str, make: Callable[[], Pieces]) -> Pieces:
        return kept(self.store, key, self.folder, make)


def part_key(part: Part) -> str:
    """What the store knows a part's files by: all of the part but its place in the stack."""
    return kept_with(part, f"part key {timestamp()}", lambda: fingerprint("part", replace(part, places=())))


def _flat_files(part: Part, folder: FolderFiles) -> Pieces:
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
