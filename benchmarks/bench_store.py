"""What the build store saves, as ratios in one run: `.venv/bin/python benchmarks/bench_store.py`.

The example is built cold, unchanged, after a word of one part changed and after one number of one part's shape did.
Each command is a process of its own, as a user starts it; the last column is the same change of a number in a process
that stays, as that of `watch` does, against a cold build there. What counts is time on the processor, by the median of
a few rounds: on an idle machine that is the time that a user waits, and other work on the machine adds little to it.
"""

from __future__ import annotations

import gc
import os
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

from platemaker.export import Store
from platemaker.project import build_files, load

ROOT = Path(__file__).parent.parent
TIMES = 5
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
        run(work / "warm", "build", folder, "--out", work / "exports")
        once = typical(one_round(work, folder, turn) for turn in range(1, TIMES + 1))
        stay(work, folder, work / "loaded")
        stays = typical(one_round_staying(work, folder, turn) for turn in range(1, TIMES + 1))
    print(f"cold build {once['seconds']:.2f} s, check {once['check'] * once['seconds']:.2f} s")
    print(f"unchanged build / check   {once['same'] / once['check']:.2f}   (at most 1.2)")
    print("changed / cold (at most 0.5)   a word   a number   a number, in a process that stays")
    shares = [(once["word", part], once["number", part], stays["number", part]) for part in NUMBERS]
    means = tuple(statistics.mean(column) for column in zip(*shares, strict=True))
    for part, (word, number, staying) in zip([*NUMBERS, "mean"], [*shares, means], strict=True):
        print(f"{part:28} {word:8.2f} {number:10.2f} {staying:10.2f}")


def typical(rounds: Iterator[dict[object, float]]) -> dict[object, float]:
    """Of each time its share of the cold build of its round, the median: a machine's speed drifts between rounds."""
    shares = [{"seconds": took["cold"]} | {what: took[what] / took["cold"] for what in took} for took in rounds]
    return {what: statistics.median(one[what] for one in shares) for what in shares[0]}


def one_round(work: Path, folder: Path, turn: int) -> dict[object, float]:
    """Seconds of each command."""
    out = ("--out", work / "exports")
    took: dict[object, float] = {
        "check": run(work / "warm", "check", folder),
        "cold": run(work / f"cold{turn}", "build", folder, *out),
        "same": run(work / "warm", "build", folder, *out),
    }
    for part, kind in changes(folder, turn):
        took[kind, part] = run(work / "warm", "build", folder, *out)
    return took


def one_round_staying(work: Path, folder: Path, turn: int) -> dict[object, float]:
    """Seconds of each build in this process, which has loaded everything."""
    took: dict[object, float] = {"cold": stay(work, folder, work / f"cold-staying{turn}")}
    stay(work, folder, work / "staying")
    for part, kind in changes(folder, turn):
        took[kind, part] = stay(work, folder, work / "staying")
    return took


def stay(work: Path, folder: Path, store: Path) -> float:
    """Seconds of a build in this process."""
    gc.collect()
    started = time.process_time()
    build_files(load(folder).check(), work / "exports", store=Store(store))
    return time.process_time() - started


def changes(folder: Path, turn: int) -> Iterator[tuple[str, str]]:
    """Changes one thing at a time in the folder and puts it back; states the part, and whether a word or a number."""
    for part, (old, new) in NUMBERS.items():
        file = next(path for path in folder.glob("*.yaml") if f"\n  {part}:" in path.read_text(encoding="utf-8"))
        text = file.read_text(encoding="utf-8")
        head = text.index(f"\n  {part}:") + len(f"\n  {part}:")
        at = text.index(old, head)
        file.write_text(f'{text[:head]}\n    note: "change {turn}"{text[head:]}', encoding="utf-8")
        yield part, "word"
        file.write_text(text[:at] + new.format(turn) + text[at + len(old) :], encoding="utf-8")
        yield part, "number"
        file.write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main()
