"""Throats of chambers, as ratios to one import of the solid kernel in the same run.

Run by hand: python benchmarks/bench_throat.py. The kernel is imported in a fresh process, the throats are found in this
one, with nothing remembered; printed are the medians of the ratios of processor time. The chambers: the example's own,
the example's with the lower port 60 mm aside, and a field of 500 bolts between two ports.
"""

from __future__ import annotations

import resource
import statistics
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

from platemaker.checks._air._air_path import air_path
from platemaker.checks._air._chambers import Chamber, chambers
from platemaker.parts import Side
from platemaker.plane import ChamberOpening, ChamberPiece, Loop, Region, moved, subtract, throat
from platemaker.records import replace
from platemaker.remembered import forget
from platemaker.resolved import assemble
from platemaker.spec import load_project

ROUNDS = 3
EXAMPLE = Path(__file__).resolve().parent.parent / "part_specs" / "pump_engine"
KERNEL = [sys.executable, "-c", "from platemaker.solids import kernel; kernel()"]


def example() -> Chamber:
    [chamber] = chambers(air_path(assemble(load_project(EXAMPLE)), Side.BELOW))
    return chamber


def aside(chamber: Chamber, by: float) -> Chamber:
    out = chamber.outflow
    shifted = replace(out, regions=tuple(moved(region, by, 0.0) for region in out.regions))
    return replace(chamber, stations=(*chamber.stations[:-1], shifted))


def of(chamber: Chamber) -> Callable[[], object]:
    pieces = [
        ChamberPiece(one.name, region, one.length) for one in chamber.stations[1:-1] for region in one.regions[:1]
    ]
    first, last = (
        [ChamberOpening(one.name, region) for region in one.regions] for one in (chamber.inflow, chamber.outflow)
    )
    return lambda: throat(pieces, first, last)


def field(bolts: int) -> Callable[[], object]:
    places = [(-200 + 400 / 29 * k, -100 + 200 / 24 * j) for k in range(30) for j in range(25)]
    clear = [
        (x, y)
        for x, y in places
        if not (abs(x + 120) < 50 and abs(y) < 50) and not (abs(x - 110) < 40 and abs(y - 3) < 60)
    ]
    plan = subtract(Region(Loop.rectangle(420, 220)), *(Region(Loop.circle(at, 1.5)) for at in clear[:bolts]))
    pieces = [ChamberPiece("field", region, 12.0) for region in plan]
    into = [ChamberOpening("in", Region(Loop.rectangle(90, 90, 0, (-120, 0))))]
    out = [ChamberOpening("out", Region(Loop.rectangle(70, 110, 0, (110, 3))))]
    return lambda: throat(pieces, into, out)


def kernel_time() -> float:
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run(KERNEL, check=True)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def main() -> None:
    chamber = example()
    tried = {"the example": of(chamber), "its port 60 mm aside": of(aside(chamber, 60.0)), "500 bolts": field(500)}
    ratios: dict[str, list[float]] = {name: [] for name in tried}
    for _ in range(ROUNDS):
        whole = kernel_time()
        for name, find in tried.items():
            forget()
            begin = time.process_time()
            find()
            ratios[name].append((time.process_time() - begin) / whole)
    for name, found in ratios.items():
        print(f"{name:24s} {statistics.median(found):8.4f} of one import of the kernel")


if __name__ == "__main__":
    main()
