"""What the build store saves, as ratios in one run: `.venv/bin/python benchmarks/bench_store.py [FOLDER]`.

Each command is a process of its own, as a user starts it. What counts is its time on the processor, the best of a few:
on an idle machine that is the time that a user waits, and other work on the machine adds little to it.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).parent.parent
TIMES = 3


def run(store: Path, *arguments: object) -> float:
    """Seconds of processor that a command takes with the store at `store`."""
    command = [sys.executable, "-m", "platemaker.cli", *map(str, arguments)]
    before = os.times()
    done = subprocess.run(
        command, cwd=ROOT, env={**os.environ, "XDG_CACHE_HOME": str(store)}, capture_output=True, text=True, check=False
    )
    if done.returncode not in (0, 1):
        raise SystemExit(done.stderr)
    after = os.times()
    return after.children_user - before.children_user + after.children_system - before.children_system


def main() -> None:
    spec = Path(sys.argv[1]) if len(sys.argv) > 1 else ROOT / "part_specs" / "pump_engine"
    with tempfile.TemporaryDirectory() as name:
        work = Path(name)
        folder = work / spec.name
        shutil.copytree(spec, folder)
        out = ("--out", work / "exports")
        run(work / "warm", "check", folder)
        check = min(run(work / "warm", "check", folder) for _ in range(TIMES))
        cold = min(run(work / f"cold{turn}", "build", folder, *out) for turn in range(TIMES))
        run(work / "warm", "build", folder, *out)
        same = min(run(work / "warm", "build", folder, *out) for _ in range(TIMES))
        print(f"check {check:.2f} s, cold build {cold:.2f} s, unchanged build {same:.2f} s")
        print(f"unchanged build / check   {same / check:.2f}   (at most 1.2)")
        for part in part_names(folder):
            changed = min(run_changed(work, folder, part, turn, out) for turn in range(TIMES))
            print(f"{part:24} changed / cold   {changed / cold:.2f}   (at most 0.5)")


def part_names(folder: Path) -> list[str]:
    """The parts that the spec declares."""
    from platemaker.spec import load_project

    return list(load_project(folder).model.parts)


def run_changed(work: Path, folder: Path, part: str, turn: int, out: tuple[str, Path]) -> float:
    """Seconds for a build after the note of one part changed, which changes its fingerprint and no other's."""
    from platemaker.spec import load_project

    spec = load_project(folder)
    where = spec.where("parts", part)
    lines = where.file.read_text(encoding="utf-8").splitlines()
    kept = list(lines)
    head = next(place for place, line in enumerate(lines) if line.strip().startswith(f"{part}:"))
    indent = " " * (len(lines[head + 1]) - len(lines[head + 1].lstrip()))
    lines.insert(head + 1, f'{indent}note: "change {part} {turn}"')
    where.file.write_text("\n".join(lines) + "\n", encoding="utf-8")
    try:
        return run(work / "warm", "build", folder, *out)
    finally:
        where.file.write_text("\n".join(kept) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
