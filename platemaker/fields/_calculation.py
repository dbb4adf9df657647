"""A field calculated on two meshes by the finite-volume solver, each from the one before."""

from __future__ import annotations

import tempfile
import time
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

import numpy as np
from scipy.spatial import cKDTree

from platemaker.fields._case_folder import write_case
from platemaker.fields._case_text import EntryAir
from platemaker.fields._plan import PlanMesh, plan_of
from platemaker.fields._prisms import PrismMesh, prisms
from platemaker.fields._read_back import ReadField, read_cells, read_solution
from platemaker.fields._records import FlowError
from platemaker.fields._run import Progress, time_left
from platemaker.fields._solver import MISSING, History, has_solver, latest, run_case

CARRIED = ("U", "p", "k", "omega")
"""Fields of a coarser mesh that a finer one starts from."""


def air_of(case: dict[str, Any]) -> EntryAir:
    """The air of a case."""
    return EntryAir(case["speed"], case["viscosity"], case["width"])


def meshed(case: dict[str, Any], size: float) -> tuple[PlanMesh, PrismMesh]:
    """The mesh of a case with cells of about `size`, mm, in the passage."""
    plan = plan_of(case["slabs"], size)
    return plan, prisms(case["slabs"], plan, size, case["mirror"])


def case_folder(case: dict[str, Any], folder: Path, ranks: int = 1) -> int:
    """Write the finer mesh's case for the solver to a folder; gives its number of cells. Raises OSError."""
    mesh = meshed(case, case["sizes"][-1])[1]
    write_case(folder, mesh, air_of(case), steps=case["steps"], ranks=ranks)
    return mesh.count


def calculated(case: dict[str, Any], progress: Progress | None = None, ranks: int = 1) -> dict[str, Any]:
    """The answer of a case as plain records, for `field_of`.

    Ctrl-C gives what has been calculated up to then, with `stopped`; before the first mesh it is raised. Raises
    FlowError where the solver is missing, stops or writes no field.
    """
    if not has_solver(ranks):
        raise FlowError(MISSING)
    begun = time.monotonic()
    done: list[tuple[Path, PrismMesh]] = []
    say = _Estimate(case["sizes"], progress or (lambda _share, _left: None))
    answer: dict[str, Any] = {"meshes": [], "seconds": 0.0}
    with tempfile.TemporaryDirectory() as kept:
        for place, size in enumerate(case["sizes"]):
            try:
                plan, mesh = meshed(case, size)
                folder = Path(kept) / str(place)
                history, reading = _on_mesh(case, (plan, mesh), folder, done, ranks, say.of(place))
            except KeyboardInterrupt:
                if not done:
                    raise
                answer["stopped"] = True
                break
            done.append((folder, mesh))
            answer["meshes"].append(_grid(size, mesh, history))
            answer["seconds"] = time.monotonic() - begun
            if reading:
                answer |= reading.readings(case)
            if not history.stands:
                break
    return answer


def _on_mesh(
    case: dict[str, Any],
    made: tuple[PlanMesh, PrismMesh],
    folder: Path,
    done: Sequence[tuple[Path, PrismMesh]],
    ranks: int,
    say: Callable[[float, float], None],
) -> tuple[History, ReadField | None]:
    (plan, mesh), air = made, air_of(case)
    start = _carried(*done[-1], mesh) if done else None
    folder.mkdir()
    write_case(folder, mesh, air, steps=case["steps"], ranks=ranks, start=start)
    history = run_case(folder, air.speed**2 / 2, ranks=ranks, limit=case["limit"], progress=say)
    if not history.stands:
        return history, None
    try:
        return history, ReadField(mesh, plan, read_solution(latest(folder), mesh), air.speed)
    except ValueError as fault:
        message = f"the solver's field cannot be read: {fault}"
        raise FlowError(message) from fault


def _carried(folder: Path, before: PrismMesh, mesh: PrismMesh) -> dict[str, Any]:
    """The fields of a coarser mesh at a finer one's cells: those of the cell whose middle is nearest."""
    nearest = cKDTree(before.middles).query(mesh.middles)[1]
    return {name: read_cells(latest(folder) / name, before.count)[nearest] for name in CARRIED}


def _grid(size: float, mesh: PrismMesh, history: History) -> dict[str, Any]:
    return {
        "size": size,
        "cells": mesh.count,
        "steps": len(history.losses),
        "loss": history.loss,
        "stands": history.stands,
        "residual": max(history.drift, history.swing) if np.isfinite(history.drift) else 1.0,
        "volume": float(mesh.volumes.sum()),
    }


class _Estimate:
    """Share and time left over all meshes: a mesh takes as long as its cells."""

    def __init__(self, sizes: Sequence[float], progress: Progress) -> None:
        effort = np.array([size**-3.0 for size in sizes])
        self.begins = np.concatenate([[0.0], np.cumsum(effort) / effort.sum()])
        self.begun, self.progress = time.monotonic(), progress

    def of(self, place: int) -> Callable[[float, float], None]:
        """What a mesh's run calls."""
        low, high = self.begins[place], self.begins[place + 1]

        def say(share: float, _loss: float) -> None:
            done = float(low + (high - low) * share)
            self.progress(done, time_left(self.begun, done))

        return say
