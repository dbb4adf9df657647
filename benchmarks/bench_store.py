"""What the build store saves, as ratios in one run: `.venv/bin/python benchmarks/bench_store.py`.

The example is built cold, unchanged, after a word of one part changed and after one number of one part's shape did.
Each command is a process of its own, as a user starts it. What counts is its time on the processor, the best of a few:
on an idle machine that is the time that a user waits, and other work on the machine adds little to it.
"""

from __future__ import annotations

import os
import shutil
import statistics
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).parent.parent
TIMES = 3
NUMBERS = {
    "injector_bosses": ("depth: 5}", "depth: 4.{}}}"),
    "fuel_rail": ("depth: 7}", "depth: 6.{}}}"),
    "rail_bracket_front": ("width: 30", "width: 29.{}"),
    "rail_bracket_rear": ("width: 30", "width: 29.{}"),
    "lower_plate": ("depth: 12.5", "depth: 12.{}"),
    "blower_plate": ("depth: 12,", "depth: 11.{},"),
    "oil_return": ("margin: 7}", "margin: 6.{}}}"),
}
"""What stands once in a part's lines of the example, and what is written in its place, with a digit of its own."""


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
    with tempfile.TemporaryDirectory() as name:
        work = Path(name)
        folder = work / "pump_engine"
        shutil.copytree(ROOT / "part_specs" / "pump_engine", folder)
        out = ("--out", work / "exports")
        run(work / "warm", "check", folder)
        check = min(run(work / "warm", "check", folder) for _ in range(TIMES))
        cold = min(run(work / f"cold{turn}", "build", folder, *out) for turn in range(TIMES))
        run(work / "warm", "build", folder, *out)
        same = min(run(work / "warm", "build", folder, *out) for _ in range(TIMES))
        print(f"check {check:.2f} s, cold build {cold:.2f} s, unchanged build {same:.2f} s")
        print(f"unchanged build / check   {same / check:.2f}   (at most 1.2)")
        print("changed / cold (at most 0.5)   a word   a number")
        shares = {part: [share / cold for share in changes(work, folder, part, out)] for part in NUMBERS}
        for part, both in shares.items():
            print(f"{part:28} {both[0]:8.2f} {both[1]:10.2f}")
        words, numbers = (statistics.mean(column) for column in zip(*shares.values(), strict=True))
        print(f"{'mean':28} {words:8.2f} {numbers:10.2f}")


def changes(work: Path, folder: Path, part: str, out: tuple[str, Path]) -> tuple[float, float]:
    """Seconds for a build after a note of the part changed, and after one of its numbers did."""
    file = next(path for path in folder.glob("*.yaml") if f"\n  {part}:" in path.read_text(encoding="utf-8"))
    text = file.read_text(encoding="utf-8")
    head = text.index(f"\n  {part}:") + len(f"\n  {part}:")
    old, new = NUMBERS[part]
    at = text.index(old, head)
    try:
        return (
            min(run_with(work, folder, out, file, f'{text[:head]}\n    note: "change {turn}"{text[head:]}')
                for turn in range(TIMES)),
            min(run_with(work, folder, out, file, text[:at] + new.format(turn + 1) + text[at + len(old) :])
                for turn in range(TIMES)),
        )  # fmt: skip
    finally:
        file.write_text(text, encoding="utf-8")


def run_with(work: Path, folder: Path, out: tuple[str, Path], file: Path, text: str) -> float:
    """Seconds for a build with this text in that file of the spec."""
    file.write_text(text, encoding="utf-8")
    return run(work / "warm", "build", folder, *out)


if __name__ == "__main__":
    main()
