"""How long `platemaker check` of the demo takes, as a whole process, against importing the solid kernel alone.

Run by hand: python benchmarks/bench_check.py. Whole processes are timed in turn, so that a busy machine slows both.
Both find their modules compiled, as they are from the second run on. Where an environment forbids Python to keep what
it compiled, every run compiles the package again, which takes half as long as the check; the kernel came compiled.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import tempfile
import time
from typing import NamedTuple

ROUNDS = 7
CHECK = [sys.executable, "-m", "platemaker.cli", "check", "part_specs/pump_engine"]
KERNEL = [sys.executable, "-c", "import cadquery"]
HELP = [sys.executable, "-m", "platemaker.cli", "--help"]


class Spent(NamedTuple):
    """Seconds by the clock, and seconds of the processor in user and system time, which other work disturbs less."""

    clock: float
    processor: float


def spent(command: list[str], kept: str) -> Spent:
    """What a command takes that keeps its compiled modules in the folder `kept`."""
    surroundings = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    start, before = time.perf_counter(), os.times()
    subprocess.run(command, check=False, capture_output=True, env=surroundings | {"PYTHONPYCACHEPREFIX": kept})
    after = os.times()
    used = after.children_user - before.children_user + after.children_system - before.children_system
    return Spent(time.perf_counter() - start, used)


def main() -> None:
    with tempfile.TemporaryDirectory() as kept:
        for command in (CHECK, KERNEL, HELP):
            spent(command, kept)
        rounds = [(spent(CHECK, kept), spent(KERNEL, kept), spent(HELP, kept)) for _ in range(ROUNDS)]
    for kind in Spent._fields:
        rows = [tuple(getattr(one, kind) for one in row) for row in rounds]
        check, kernel, help_ = (statistics.median(column) for column in zip(*rows, strict=True))
        ratios = [a / b for a, b, _ in rows]
        print(f"{kind}: check {check:.2f} s, import of the kernel {kernel:.2f} s, help {help_:.2f} s")
        print(f"  check / kernel: median {statistics.median(ratios):.2f}, worst {max(ratios):.2f}; wanted at most 0.36")


if __name__ == "__main__":
    main()
