"""How long `platemaker check` of the demo takes, as a whole process, against importing the solid kernel alone.

Run by hand: python benchmarks/bench_check.py. Whole processes are timed in turn, so that a busy machine slows both.
"""

from __future__ import annotations

import statistics
import subprocess
import sys
import time

ROUNDS = 7
CHECK = [sys.executable, "-m", "platemaker.cli", "check", "part_specs/pump_engine"]
KERNEL = [sys.executable, "-c", "import cadquery"]
HELP = [sys.executable, "-m", "platemaker.cli", "--help"]


def seconds(command: list[str]) -> float:
    start = time.perf_counter()
    subprocess.run(command, check=False, capture_output=True)
    return time.perf_counter() - start


def main() -> None:
    for command in (CHECK, KERNEL, HELP):
        seconds(command)
    rows = [(seconds(CHECK), seconds(KERNEL), seconds(HELP)) for _ in range(ROUNDS)]
    check, kernel, help_ = (statistics.median(column) for column in zip(*rows, strict=True))
    ratios = [a / b for a, b, _ in rows]
    print(f"check {check:.2f} s, import of the kernel {kernel:.2f} s, help {help_:.2f} s")
    print(f"check / kernel: median {statistics.median(ratios):.2f}, worst {max(ratios):.2f}; wanted at most 0.50")


if __name__ == "__main__":
    main()
