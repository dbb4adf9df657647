"""From a stack to its folder of files: each part made, proved, written and read back, then the whole stack."""

from __future__ import annotations

from collections.abc import Callable, Collection
from dataclasses import dataclass
from pathlib import Path

from platemaker.errors import SpecError, nearest_word
from platemaker.export._dxf import write_dxf
from platemaker.export._folder import Made, OutputFolder
from platemaker.export._holes import write_hole_table
from platemaker.export._read_dxf import DxfReading, prove_dxf
from platemaker.export._read_step import StepReading, prove_stack_step, prove_step
from platemaker.export._step import write_stack_step, write_step
from platemaker.parts import Part, Stack
from platemaker.solids import Solid, SolidProof, prove, solid_of

Progress = Callable[[str, int, int], None]
"""Told the part at hand, its number from 1, and of how many."""


@dataclass(frozen=True)
class BuiltPart:
    """What was proved of one part. An existing casting is drilled, not made: it has no STEP file of its own."""

    part: str
    solid: SolidProof
    step: StepReading | None
    dxf: DxfReading


@dataclass(frozen=True)
class BuildResult:
    """What a build wrote. `stack` is None when only some parts were asked for or nothing is placed."""

    folder: Path
    parts: tuple[BuiltPart, ...]
    stack: StepReading | None
    files: tuple[Made, ...]


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
) -> BuildResult:
    """Write the stack's files to the folder `out`, all at once or not at all.

    `spec_folder` is where the bodies' own STEP files lie; `only` names the parts wanted, None for all and the stack.
    Raises GeometryError or ProofError for a part that does not come out as specified, OutputError for the folder,
    SpecError for a name in `only` that no part has.
    """
    wanted = [part for part in stack.parts if only is None or part.name in only]
    for name in sorted(set(only or ()) - {part.name for part in wanted}):
        names = [part.name for part in stack.parts]
        problem = "no part has this name"
        raise SpecError(problem, met=name, allowed=", ".join(names), nearest=nearest_word(name, names))
    with OutputFolder(out) as folder:
        built: list[BuiltPart] = []
        solids: dict[str, Solid] = {}
        for number, part in enumerate(wanted, start=1):
            if progress:
                progress(part.name, number, len(wanted))
            solids[part.name] = solid_of(part)
            built.append(_part_files(part, solids[part.name], folder))
        whole = _stack_file(stack, solids, built, folder, spec_folder) if only is None else None
        result = BuildResult(folder.target, tuple(built), whole, folder.made)
        if extra:
            extra(folder, result)
        return BuildResult(folder.target, tuple(built), whole, folder.made)


def _part_files(part: Part, solid: Solid, folder: OutputFolder) -> BuiltPart:
    proof = prove(part, solid)
    step = None
    if part.made:
        path = folder.path(part.name, "step", "solid model, mm", part=part.name, key=part.key)
        write_step(part, solid, path)
        step = prove_step(part, proof, path)
    path = folder.path(part.name, "dxf", "flat drawing, mm", part=part.name, key=part.key)
    write_dxf(part, path)
    dxf = prove_dxf(part, path)
    if part.holes:
        path = folder.path(f"{part.name}_holes", "csv", "hole table, mm", part=part.name, key=part.key)
        write_hole_table(part, path)
    return BuiltPart(part.name, proof, step, dxf)


def _stack_file(
    stack: Stack, solids: dict[str, Solid], built: list[BuiltPart], folder: OutputFolder, spec_folder: Path
) -> StepReading | None:
    placed = any(part.places for part in stack.parts) or any(body.envelope and body.place for body in stack.bodies)
    if not placed:
        return None
    path = folder.path("stack", "step", "every part and body in its place, mm")
    write_stack_step(stack, solids, path, spec_folder)
    return prove_stack_step(stack, [it.solid for it in built], path)
