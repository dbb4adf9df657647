"""The calculation of a field in a process of its own: a case as JSON on standard input, lines of JSON as answer.

Each line is {"progress": share, "loss": K} or, at the end, {"result": ...}. Whatever ends this process ends nothing
else: what the library raises is the last line on standard error.
"""

from __future__ import annotations

import json
import sys
import time
from typing import Any

import numpy as np
from scipy.spatial import cKDTree

from platemaker.fields._facets import Field, cells_and_facets
from platemaker.fields._flow import Flow, Setting
from platemaker.fields._mesh import Grid, meshed
from platemaker.fields._pressure import Pressure
from platemaker.fields._readings import readings
from platemaker.fields._steady import March, marched, started


def _say(**what: Any) -> None:
    sys.stdout.write(json.dumps(what) + "\n")
    sys.stdout.flush()


def _flow_of(grid: Grid, case: dict[str, Any]) -> Flow:
    cells, inner, boundary, names = cells_and_facets(grid.points, grid.cells, grid.faces, grid.names)
    return Flow(cells, inner, boundary, names, Setting(case["width"], case["friction"]))


def _guess(march: March, flow: Flow) -> Field:
    """The field of a coarser mesh at the corners of a finer one: that of the cell whose middle is nearest."""
    mean = (march.mean if march.mean is not None else march.speed).reshape(-1, 4, 3).mean(axis=1)
    guess: Field = mean[cKDTree(march.flow.cells.middle).query(flow.cells.points.reshape(-1, 3))[1]]
    return guess


def calculate(case: dict[str, Any]) -> dict[str, Any]:
    """The field on each mesh size of the case, coarse first; each starts from the one before."""
    meshes, march, begun = [], None, time.monotonic()
    sizes, most = case["sizes"], case["steps"]
    for place, size in enumerate(sizes):
        grid = meshed(case, size)
        flow = _flow_of(grid, case)
        pressure = Pressure(grid.mesh)
        march = started(flow, pressure, _guess(march, flow) if march else None)
        count = len(grid.cells)
        _say(mesh=place, cells=count, unknowns=pressure.unknowns)
        base, share = (0.0, 0.35) if len(sizes) > 1 and place == 0 else (0.35 if place else 0.0, 1.0)

        def progress(done: int, loss: float, base: float = base, share: float = share) -> None:
            _say(progress=base + (share - base) * done / most, loss=loss)

        stands = marched(march, most, progress)
        volume = float(flow.cells.volume.sum())
        meshes.append(
            {"size": size, "cells": count, "unknowns": pressure.unknowns, "loss": march.loss, "stands": stands,
             "residual": march.residual, "steps": len(march.losses), "renewal": march.renewal, "volume": volume}
        )  # fmt: skip
        if not stands and place == len(sizes) - 1:
            return {"meshes": meshes, "seconds": time.monotonic() - begun, "processor": time.process_time()}
    if march is None:
        message = "a case has at least one mesh size"
        raise ValueError(message)
    return {
        "meshes": meshes,
        "seconds": time.monotonic() - begun,
        "processor": time.process_time(),
        **readings(march, case),
    }


def main() -> None:
    """Read the case, answer, end."""
    case = json.load(sys.stdin)
    np.seterr(all="ignore")  # a field that grows out of bounds is found out and taken up again
    _say(result=calculate(case))


if __name__ == "__main__":
    main()
