"""A field calculated in a process of its own, whose end, whatever it is, ends nothing here."""

from __future__ import annotations

import importlib.util
import json
import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Mapping
from typing import IO, Any

from platemaker.fields._records import FlowError
from platemaker.fields._volume import AirVolume

CHILD = (sys.executable, "-P", "-m", "platemaker.fields._child")
SEAL_CHILD = (*CHILD[:-1], "platemaker.fields._seal._child")
LIBRARY = "ngsolve"
MISSING = (
    'the field needs the finite-element library: pip install "platemaker[flow]"; `check` has the throat and the '
    "loss of each chamber without it"
)
CELLS, FINE = 6000, 20000
"""Cells of the finer mesh, about; with `fine`."""
COARSER = 1.35
"""Cell size of the coarser mesh over that of the finer."""
DEEP = 0.75
"""Largest cell size over the depth of the shallowest slab."""
PER_CUBE = 8.5
"""Tetrahedra of an edge's length that fill its cube."""
DUCT = 2.5
"""Cell size in the ducts over that in the passage."""
WORST = 1.8
"""How many times too large or too small the loss may be. Five computed chambers were met within 18 %, but the mixing
length was chosen with three of them in sight; a plain sudden expansion, in trials that did not settle, came out 1.4 to
1.8 times as large as by Borda and Carnot."""
FRICTION = 0.005
"""Fanning's friction factor of the walls: smooth ducts at a Reynolds number of 6e4 by Blasius (White 7th ed., eq. 6.38,
from memory), whatever the size."""
STEPS = 2000
"""Most steps on a mesh; with `fine` twice as many, since steps are shorter."""

Progress = Callable[[float, float | None], None]
"""Called with the share that is done and the seconds that are left, if known."""


def case_of(volume: AirVolume, friction: float, *, fine: bool = False) -> dict[str, Any]:
    """The case of a volume: outlines, cell sizes, planes to show."""
    slabs = volume.slabs
    inner = slabs[1:-1] or slabs
    largest = max(inner, key=lambda slab: sum(region.area for region in slab.regions))
    size = cell_size(volume, FINE if fine else CELLS)
    boxes = [region.bounds for slab in slabs for region in slab.regions]
    x0, y0, x1, y1 = (f(box[k] for box in boxes) for k, f in enumerate((min, min, max, max)))
    along, at = volume.mirror or ("x", (slabs[0].regions[0].bounds[1] + slabs[0].regions[0].bounds[3]) / 2)
    axis = 1 if along == "x" else 0
    low, high = (x0, x1) if axis else (y0, y1)
    return {
        **volume.as_case(),
        "width": max(4 * region.area / region.outer.perimeter for region in slabs[0].regions),
        "friction": friction,
        "sizes": [size * COARSER, size],
        "steps": STEPS * (2 if fine else 1),
        "plan": {"axis": 2, "at": (largest.start + largest.end) / 2, "box": largest_box(largest.regions)},
        "section": {"axis": axis, "at": at + 1e-3, "box": [low, 0.0, high, slabs[-1].end]},
    }


def largest_box(regions: tuple[Any, ...]) -> list[float]:
    """The box round all of some regions."""
    boxes = [region.bounds for region in regions]
    return [min(b[0] for b in boxes), min(b[1] for b in boxes), max(b[2] for b in boxes), max(b[3] for b in boxes)]


def cell_size(volume: AirVolume, cells: int) -> float:
    """Cell size in the passage, mm, that gives about this many cells, or smaller where a slab is shallow."""
    slabs, share = volume.slabs, 0.5 if volume.mirror else 1.0
    ducts, inner = slabs[0].volume + slabs[-1].volume, sum(slab.volume for slab in slabs[1:-1])
    size = (PER_CUBE * share * (inner + ducts / DUCT**3) / cells) ** (1 / 3)
    wide = max((sum(region.area for region in slab.regions), slab.end - slab.start) for slab in slabs[1:-1] or slabs)
    return float(min(size, DEEP * wide[1]))


def has_library() -> bool:
    """Whether the finite-element library is installed; it is not loaded."""
    return importlib.util.find_spec(LIBRARY) is not None


def solved(
    case: Mapping[str, Any],
    progress: Progress | None = None,
    command: tuple[str, ...] = CHILD,
    missing: str = MISSING,
) -> dict[str, Any]:
    """The answer of a case as plain records, such as for `field_of`; Ctrl-C ends its process.

    `command` starts the calculation; the library is needed by those of this package. Raises FlowError where it is
    `missing`, in these words, or where the process stops.
    """
    if command in (CHILD, SEAL_CHILD) and not has_library():
        raise FlowError(missing)
    threads = {**os.environ, "OMP_NUM_THREADS": "1", "OPENBLAS_NUM_THREADS": "1"}
    with (
        tempfile.TemporaryFile() as said,
        subprocess.Popen(  # noqa: S603 - this interpreter and a module of this package
            command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=said, env=threads
        ) as child,
    ):
        try:
            answer = _answer(child, json.dumps(case).encode(), progress or (lambda _share, _left: None))
        finally:
            child.kill()  # does nothing to a process that has ended
        if answer is None:
            child.wait()
            raise FlowError(_end(child.returncode, said))
    result: dict[str, Any] = answer["result"]
    return result


def _answer(child: subprocess.Popen[bytes], case: bytes, progress: Progress) -> dict[str, Any] | None:
    """The line that ends the child's answer; None where it stops without one. Other lines are progress."""
    if child.stdin is None or child.stdout is None:
        return None
    try:
        child.stdin.write(case)
        child.stdin.close()
    except BrokenPipeError:
        return None
    begun = time.monotonic()
    for line in child.stdout:
        try:
            said = json.loads(line)
        except ValueError:
            continue  # the library's own words
        if not isinstance(said, dict):
            continue
        if "result" in said:
            return said
        if "progress" in said:
            share = float(said["progress"])
            progress(share, (time.monotonic() - begun) * (1 / share - 1) if share > 0.02 else None)
    return None


def _end(code: int, said: IO[bytes]) -> str:
    said.seek(0)
    last = said.read()[-300:].decode(errors="replace").strip().splitlines()
    how = f"signal {-code}" if code < 0 else f"code {code}"
    return f"the calculation of the field stopped ({how})" + (f": {last[-1]}" if last else "")
