"""A case folder for the finite-volume solver: mesh, fields to start from, dictionaries, and a script that runs it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from platemaker.fields._case_text import HEAD, EntryAir, dictionaries, fields
from platemaker.fields._prisms import Patch, PrismMesh

KINDS = {"wall": "wall", "mirror": "symmetryPlane"}
"""Patch types other than the general one."""
SCRIPT = """\
#!/bin/sh
# Runs this case: ./run, or ./run 4 on four ranks by MPI. The solver's programs are looked for on PATH.
set -e
cd "$(dirname "$0")"
: "${{WM_PROJECT_DIR:=/usr/share/openfoam}}"
export WM_PROJECT_DIR
ranks="${{1:-1}}"
checkMesh > log.mesh
if [ "$ranks" -gt 1 ]; then
    sed -i "s/^numberOfSubdomains .*/numberOfSubdomains $ranks;/; s/ n ([0-9]* / n ($ranks /" system/decomposeParDict
    decomposePar -force > log.parts
    mpirun -np "$ranks" simpleFoam -parallel > log.solver
    reconstructPar -latestTime > log.joined
else
    simpleFoam > log.solver
fi
# Loss of total pressure over the entry's dynamic pressure, averaged over the last {window} steps.
paste postProcessing/entry/0/surfaceFieldValue.dat postProcessing/exit/0/surfaceFieldValue.dat |
    grep -v '^#' | tail -n {window} |
    awk '{{ s += ($2 - $4) / {dynamic:.8g} }} END {{ print "loss coefficient", s / NR }}'
"""


def write_case(
    folder: Path,
    mesh: PrismMesh,
    air: EntryAir,
    *,
    steps: int,
    ranks: int = 1,
    window: int = 100,
    start: Mapping[str, NDArray[np.float64]] | None = None,
) -> None:
    """Write a case; `start` are values of fields by cell, in m/s and the like. Raises OSError."""
    for name in ("constant/polyMesh", "system", "0"):
        (folder / name).mkdir(parents=True, exist_ok=True)
    for path, text in dictionaries(air, steps, ranks, steps).items():
        _write(folder / path, text)
    for name, text in _mesh_texts(mesh).items():
        _write(folder / "constant/polyMesh" / name, text)
    mirror = any(patch.name == "mirror" for patch in mesh.patches)
    for name, (kind, dimensions, even, boundary) in fields(air).items():
        values = None if start is None else start.get(name)
        inside = f"uniform {even}" if values is None else _values(values)
        sides = boundary + ("mirror { type symmetryPlane; }\n" if mirror else "")
        _write(
            folder / "0" / name,
            HEAD.format(kind=kind, name=name)
            + f"dimensions {dimensions};\ninternalField {inside};\nboundaryField\n{{\n{sides}}}\n",
        )
    script = folder / "run"
    _write(script, SCRIPT.format(window=window, dynamic=air.speed**2 / 2))
    script.chmod(0o755)


def _write(path: Path, text: str) -> None:
    path.write_text(text, encoding="utf-8")


def _mesh_texts(mesh: PrismMesh) -> dict[str, str]:
    inner = len(mesh.neighbour)
    note = f'note "nPoints:{len(mesh.points)} nCells:{mesh.count} nFaces:{len(mesh.faces)} nInternalFaces:{inner}"; '
    faces = [f"4({a} {b} {c} {d})" if d >= 0 else f"3({a} {b} {c})" for a, b, c, d in mesh.faces.tolist()]
    points = [f"({x:.9g} {y:.9g} {z:.9g})" for x, y, z in (mesh.points / 1000).tolist()]
    return {
        "points": _listed("vectorField", "points", points),
        "faces": _listed("faceList", "faces", faces),
        "owner": _listed("labelList", "owner", map(str, mesh.owner.tolist()), note),
        "neighbour": _listed("labelList", "neighbour", map(str, mesh.neighbour.tolist()), note),
        "boundary": _listed("polyBoundaryMesh", "boundary", map(_patch, mesh.patches)),
    }


def _patch(patch: Patch) -> str:
    kind = KINDS.get(patch.name, "patch")
    return f"{patch.name} {{ type {kind}; nFaces {patch.count}; startFace {patch.first}; }}"


def _listed(kind: str, name: str, lines: Iterable[str], note: str = "") -> str:
    every = list(lines)
    head = HEAD.format(kind=kind, name=name).replace("object", note + "object")
    return f"{head}{len(every)}\n(\n" + "\n".join(every) + "\n)\n"


def _values(values: NDArray[np.float64]) -> str:
    if values.ndim == 1:
        return (
            f"nonuniform List<scalar>\n{len(values)}\n(\n" + "\n".join(f"{one:.8g}" for one in values.tolist()) + "\n)"
        )
    lines = [f"({x:.8g} {y:.8g} {z:.8g})" for x, y, z in values.tolist()]
    return f"nonuniform List<vector>\n{len(lines)}\n(\n" + "\n".join(lines) + "\n)"
