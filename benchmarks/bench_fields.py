"""How long the film of the example's largest joint takes beside the field of its air, each as its command makes it.

Run by hand from the project's root: `python benchmarks/bench_fields.py`, with the extra `seal` and the finite-volume
solver installed. Both run as whole processes, one after the other, and nothing is taken from a store. Aim: the film
at most 3 times.
"""

from __future__ import annotations

import os
import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent


def taken(*arguments: str) -> tuple[float, float]:
    """Seconds of processors, of the process and all that it starts, and of the clock."""
    before, begun = resource.getrusage(resource.RUSAGE_CHILDREN), time.monotonic()
    with tempfile.TemporaryDirectory() as out:
        quiet = {**os.environ, "PYTHONPATH": str(ROOT), "XDG_CACHE_HOME": out}
        command = (sys.executable, "-m", "platemaker.cli", *arguments, "--fresh", "--out", out)
        done = subprocess.run(command, check=False, cwd=ROOT, env=quiet, capture_output=True, text=True)
    after, whole = resource.getrusage(resource.RUSAGE_CHILDREN), time.monotonic() - begun
    if done.returncode > 1:  # 1: it leaks, or does not converge
        sys.exit(done.stdout + done.stderr)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime, whole


def main() -> None:
    demo = "part_specs/pump_engine"
    film, air = taken("seal", demo, "--joint", "plate_to_plate"), taken("flow", demo)
    for name, (cores, clock) in (("film of plate_to_plate", film), ("field of the air", air)):
        print(f"{name:24} {cores:6.0f} s of processors, {clock:6.0f} s of the clock")
    print(f"film over air            {film[0] / air[0]:6.2f}")


if __name__ == "__main__":
    main()
