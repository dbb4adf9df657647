"""Write docs/survey_reliability.md: simulated surveys with known truth, and what is said of them. Run at the root.

    .venv/bin/python docs/build_survey_reliability.py [--networks 200] [--clean 2000] [--coverage 1500] [--keep FILE]

The full size takes half an hour of one processor. With --keep what is done is kept in FILE, and a run that was
stopped, or one of another size, goes on from there.
"""

from __future__ import annotations

import os

# The matrices are small: threads for them cost more than they give.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import argparse
import dataclasses
import json
import statistics
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT))

from tests.survey_simulation import BLUNDERS, JAW_CASES, PLAY, TWO, clean, covered, outcome  # noqa: E402

PAGE = ROOT / "docs" / "survey_reliability.md"
SHARD = 25
"""Seeds worked out before their records are kept."""
HEAD = f"""# How far a survey can be trusted

Simulated castings with known truth, made and judged by `docs/build_survey_reliability.py`, which writes this page:
4 to 20 round features (holes, studs, bosses of like and unlike sizes) scattered, in two rows or round a flange, each
read from up to 3 to 6 others, with readings of all kinds, some pairs twice, some with edges; normal errors of 0.03 mm
in readings and diameters. *Clearance* is {PLAY:g} mm, what an M8 bolt in a 9 mm hole takes up. All is seeded: the same
run gives the same page.

    .venv/bin/python docs/build_survey_reliability.py{{sizes}}

"""


class Kept:
    """Records of what was said, by name and seeds, kept in a file as they are found."""

    def __init__(self, path: Path | None) -> None:
        self._path = path
        self._found: dict[str, list[Any]] = {}
        if path and path.is_file():
            self._found = json.loads(path.read_text(encoding="utf-8"))

    def of(self, name: str, count: int, work: Callable[[range], list[Any]]) -> list[Any]:
        """The records of `count` seeds, in shards that are worked out unless they are there."""
        records = []
        for start in range(0, count, SHARD):
            seeds = range(start, min(start + SHARD, count))
            key = f"{name}, seeds {seeds.start} to {seeds.stop - 1}"
            if key not in self._found:
                began = time.process_time()
                self._found[key] = work(seeds)
                sys.stderr.write(f"{key}: {time.process_time() - began:.0f} s\n")
                if self._path:
                    self._path.write_text(json.dumps(self._found) + "\n", encoding="utf-8")
            records += self._found[key]
        return records


def planted(kind: str, count: int, kept: Kept) -> dict[str, Any]:
    """What is said of `count` castings with one blunder of a kind."""
    found = kept.of(kind, count, lambda seeds: [dataclasses.asdict(outcome(kind, seed)) for seed in seeds])
    spoken = [one for one in found if one["spoken"]]
    return {
        "count": count,
        "silent": sum(one["silent"] for one in found),
        "silent_in_frame": sum(one["silent_in_frame"] for one in found),
        "spoken": len(spoken),
        "named": sum(one["named"] for one in spoken),
        "median": statistics.median(one["count"] for one in spoken) if spoken else 0,
        "refused": sum(one["refused"] for one in found),
        "unchecked": sum(one["unchecked"] for one in found),
        "warned": sum(one["warned"] for one in found),
        "warned_of": sum(one["warned_of"] for one in found),
    }


def without(name: str, count: int, largest: int, kept: Kept) -> dict[str, Any]:
    """What is said of `count` castings without a blunder."""
    found = kept.of(name, count, lambda seeds: [dataclasses.asdict(clean(seed, 4, largest)) for seed in seeds])
    checked = [one for one in found if one["checked"]]
    return {
        "count": count,
        "false": sum(one["false_figure"] for one in found),
        "refused": sum(one["refused"] for one in found),
        "checked": len(checked),
        "cautioned": sum(one["refused"] or one["suspects"] > 0 for one in checked),
    }


def coverage(name: str, count: int, kept: Kept) -> dict[str, Any]:
    """How often ellipses hold the truth."""
    flats, caliper = JAW_CASES[name]
    found = kept.of(name, count, lambda seeds: [bool(one) for one in covered(seeds, flats, caliper)])
    return {"points": len(found), "share": sum(found) / len(found)}


def main() -> None:
    """Work out every row and write the page."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--networks", type=int, default=200)
    parser.add_argument("--clean", type=int, default=2000)
    parser.add_argument("--coverage", type=int, default=1500)
    parser.add_argument("--keep", type=Path)
    wanted = parser.parse_args()
    kept = Kept(wanted.keep)
    blunders = {kind: planted(kind, wanted.networks, kept) for kind in [*BLUNDERS, TWO]}
    small = without("clean, 4 to 20", wanted.clean // 2, 20, kept)
    large = without("clean, 4 to 40", wanted.clean, 40, kept)
    shares = {name: coverage(name, wanted.coverage, kept) for name in JAW_CASES}
    asked = {"networks": wanted.networks, "clean": wanted.clean, "coverage": wanted.coverage}
    sizes = "".join(f" --{name} {size}" for name, size in asked.items() if size != parser.get_default(name))
    PAGE.write_text(
        HEAD.format(sizes=sizes) + _blunders(blunders) + _clean(small, large) + _coverage(shares), encoding="utf-8"
    )


def _blunders(rows: dict[str, dict[str, Any]]) -> str:
    text = """## Blunders

Each row: so many castings that their readings determine, one reading (or diameter) made wrong. *Silent*: nothing is
said (no suspect, no refusal, no warning that something goes unchecked), and a hole is wrong by more than the clearance,
after the best shift and turn of all, or in the datum's frame. *Said*: a reading is called wrong, or the survey is
refused. *Named*: of these, those in which the faulty reading is among those named (of two, both, or in a refusal one).
*Median*: how many are named. *Only warned*: a hole is wrong by more than the clearance, and all that is said is that a
misreading could go unnoticed; in brackets how often of the faulty reading itself. *Unchecked*: castings of which it is
said that a misreading could move a hole by the clearance unnoticed, whether one did or not.

| blunder | castings | silent | silent in the frame | said | named | median | refused | only warned | unchecked |
| --- | --- | --- | --- | --- | --- | --- | --- | --- | --- |
"""
    for kind, row in rows.items():
        share = 100.0 * row["named"] / max(row["spoken"], 1)
        text += (
            f"| {kind} | {row['count']} | {row['silent']} | {row['silent_in_frame']} | {row['spoken']} | "
            f"{share:.1f} % | {row['median']:g} | {row['refused']} | "
            f"{row['warned']} ({row['warned_of']}) | {row['unchecked']} |\n"
        )
    return text + "\n"


def _clean(small: dict[str, Any], large: dict[str, Any]) -> str:
    text = """## Sound readings

Castings whose readings are sound, determined or not. *Checked*: by their exact readings no misreading that goes
unnoticed could move a hole by the clearance. *Cautioned*: of the checked, those with a reading called wrong or refused.
*False figure*: a hole is off by more than the clearance and three times the longest half axis of all 95 % ellipses.
*Refused*: their readings hold some feature in two places or not at all.

| castings | count | checked | cautioned | false figure | refused |
| --- | --- | --- | --- | --- | --- |
"""
    for words, row in (("4 to 20 features", small), ("4 to 40 features", large)):
        share = 100.0 * row["cautioned"] / max(row["checked"], 1)
        text += (
            f"| {words} | {row['count']} | {row['checked']} | {row['cautioned']} ({share:.1f} %) | {row['false']} | "
            f"{row['refused']} |\n"
        )
    return text + "\n"


def _coverage(rows: dict[str, dict[str, Any]]) -> str:
    text = """## Ellipses

How often the 95 % ellipse of a hole holds its true place, the datum's two holes left out.

| jaws | holes | held |
| --- | --- | --- |
"""
    for name, row in rows.items():
        text += f"| {name} | {row['points']} | {100 * row['share']:.1f} % |\n"
    return text


if __name__ == "__main__":
    main()
