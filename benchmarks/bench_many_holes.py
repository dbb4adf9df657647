"""How `platemaker check` grows with the number of holes, as ratios to one import of the solid kernel in the same run.

Run by hand: python benchmarks/bench_many_holes.py. Each command is a fresh process, start-up included, and is timed in
turn with the import, so that a busy machine slows both; what is printed are seconds of the processor and the median of
the ratios. Plates are written to a temporary folder: a square field of through holes, the same with holes of four
kinds, one column, and a plate whose opened-out pocket spares 400 holes.
"""

from __future__ import annotations

import math
import os
import statistics
import subprocess
import sys
import tempfile
from collections.abc import Sequence
from pathlib import Path

ROUNDS = 5
KERNEL = [sys.executable, "-c", "from platemaker.solids import kernel; kernel()"]
ASSEMBLE = (
    "import sys; from pathlib import Path; from platemaker.resolved import assemble; "
    "from platemaker.spec import load_project; assemble(load_project(Path(sys.argv[1])))"
)
PITCH = 20.0
KINDS = ("clear: M6", "tapped: M6", "tapped: M6, depth: 7", "counterbored: M5")
POCKET = "pocket: {open_out: true, wall: 1.5, land: 8, cutter: 4, depth: 5}"


def plate(folder: Path, width: float, height: float, holes: Sequence[str], more: str = "") -> Path:
    """A project of one plate; each hole is the text of its mapping."""
    folder.mkdir()
    lines = [
        "project: many_holes",
        "parts:",
        "  plate:",
        "    kind: plate",
        "    material: 6061-T6",
        "    thickness: 20",
        f"    outline: {{rectangle: [{width:g}, {height:g}], corner_radius: 5}}",
        *([f"    {more}"] if more else []),
        "    holes:",
        *(f"      h{number}: {{{hole}}}" for number, hole in enumerate(holes)),
    ]
    (folder / "project.yaml").write_text("\n".join(lines) + "\n", encoding="utf-8")
    return folder


def field(folder: Path, count: int, kinds: Sequence[str] = ("diameter: 6",), more: str = "") -> Path:
    """A square field of holes, the kinds in turn."""
    side = math.ceil(math.sqrt(count))
    middle = (side - 1) / 2
    holes = [
        f"at: [{PITCH * (k % side - middle):g}, {PITCH * (k // side - middle):g}], {kinds[k % len(kinds)]}"
        for k in range(count)
    ]
    return plate(folder, side * PITCH + 20, side * PITCH + 20, holes, more)


def column(folder: Path, count: int) -> Path:
    """Holes in one line across the plate."""
    holes = [f"at: [0, {6.6 * (k - (count - 1) / 2):g}], diameter: 3" for k in range(count)]
    return plate(folder, 60, 6.6 * count + 20, holes)


def spent(command: Sequence[str]) -> float:
    """Seconds of the processor that a process takes."""
    before = os.times()
    done = subprocess.run(command, check=False, capture_output=True, text=True)
    after = os.times()
    if done.returncode > 1:
        sys.exit(done.stdout + done.stderr)
    return after.children_user - before.children_user + after.children_system - before.children_system


def main() -> None:
    with tempfile.TemporaryDirectory() as name:
        out = Path(name)
        sizes = {count: field(out / f"field{count}", count) for count in (1, 1_000, 5_000, 10_000)}
        check = [sys.executable, "-m", "platemaker.cli", "check"]
        pocket = field(out / "pocket", 400, ("clear: M5",), POCKET)
        commands = {
            "check, 1 hole (start-up)": [*check, str(sizes[1])],
            "check, 1,000 holes": [*check, str(sizes[1_000])],
            "check, 5,000 holes": [*check, str(sizes[5_000])],
            "check, 10,000 holes": [*check, str(sizes[10_000])],
            "check, 1,500 holes in one column": [*check, str(column(out / "column", 1_500))],
            "check, 1,000 holes of four kinds": [*check, str(field(out / "kinds", 1_000, KINDS))],
            "check, pocket opened out among 400 holes": [*check, str(pocket)],
            "assemble, 1 hole (start-up)": [sys.executable, "-c", ASSEMBLE, str(sizes[1])],
            "assemble, pocket opened out among 400 holes": [sys.executable, "-c", ASSEMBLE, str(pocket)],
        }
        spent(KERNEL)
        kernels: list[float] = []
        times: dict[str, list[float]] = {title: [] for title in commands}
        ratios: dict[str, list[float]] = {title: [] for title in commands}
        for _ in range(ROUNDS):
            for title, command in commands.items():
                kernels.append(spent(KERNEL))
                times[title].append(spent(command))
                ratios[title].append(times[title][-1] / kernels[-1])
    print(f"one import of the kernel: {statistics.median(kernels):.2f} s")
    for title in commands:
        print(f"{title:45s} {statistics.median(times[title]):6.2f} s, {statistics.median(ratios[title]):5.2f} imports")
    start, few, many = (
        statistics.median(times[f"check, {count}"]) for count in ("1 hole (start-up)", "1,000 holes", "10,000 holes")
    )
    for what, growth in (("in all", many / few), ("over start-up", (many - start) / (few - start))):
        print(
            f"1,000 to 10,000 holes {what}: {growth:.1f} times, {growth / (10 * 4 / 3):.2f} times n log n; wanted 1.50"
        )


if __name__ == "__main__":
    main()
