"""Write docs/survey_reliability.md: simulated surveys with known truth, and what is said of them. Run at the root.

    .venv/bin/python docs/build_survey_reliability.py [--networks 200] [--clean 2000] [--coverage 1500] [--keep FILE]

The full size takes about an hour of one processor. With --keep the rows that are done are kept in FILE, and a run that
was stopped goes on from there.
"""

from __future__ import annotations

import os

# The matrices are small: threads for them cost more than they give.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import argparse
import json
import statistics
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT))

from platemaker.survey import Shared  # noqa: E402
from platemaker.survey._instruments import JAWS  # noqa: E402
from tests.survey_simulation import BLUNDERS, PLAY, TWO, clean, covered, outcome  # noqa: E402

PAGE = ROOT / "docs" / "survey_reliability.md"
HEAD = f"""# How far a survey can be trusted

Simulated castings with known truth, made and judged by `docs/build_survey_reliability.py`, which writes this page:
4 to 20 round features (holes, studs, bosses of like and unlike sizes) scattered, in two rows or round a flange, each
read from up to 3 to 6 others, with readings of all kinds, some pairs twice, some with edges; normal errors of 0.03 mm
in readings and diameters. *Clearance* is {PLAY:g} mm, what an M8 bolt in a 9 mm hole takes up.

"""


class Kept:
    """Results by name, kept in a file as they are found."""

    def __init__(self, path: Path | None) -> None:
        self._path = path
        self._found: dict[str, Any] = json.loads(path.read_text(encoding="utf-8")) if path and path.is_file() else {}

    def of(self, name: str, work: Callable[[], dict[str, Any]]) -> dict[str, Any]:
        """The result of this name, worked out unless it is there."""
        if name not in self._found:
            started = time.process_time()
            self._found[name] = work()
            sys.stderr.write(f"{name}: {self._found[name]} in {time.process_time() - started:.0f} s\n")
            if self._path:
                self._path.write_text(json.dumps(self._found, indent=1) + "\n", encoding="utf-8")
        return dict(self._found[name])


def planted(kind: str, count: int) -> dict[str, Any]:
    """What is said of `count` castings with one blunder of a kind."""
    found = [outcome(kind, seed) for seed in range(count)]
    spoken = [one for one in found if one.spoken]
    return {
        "count": count,
        "silent": sum(one.silent for one in found),
        "silent_in_frame": sum(one.silent_in_frame for one in found),
        "spoken": len(spoken),
        "named": sum(one.named for one in spoken),
        "median": statistics.median(one.count for one in spoken) if spoken else 0,
        "refused": sum(one.refused for one in found),
        "unchecked": sum(one.unchecked for one in found),
    }


def without(count: int, smallest: int, largest: int) -> dict[str, Any]:
    """What is said of `count` castings without a blunder."""
    found = [clean(seed, smallest, largest) for seed in range(count)]
    checked = [one for one in found if one.checked]
    return {
        "count": count,
        "false": sum(one.false_figure for one in found),
        "refused": sum(one.refused for one in found),
        "checked": len(checked),
        "cautioned": sum(one.refused or one.suspects > 0 for one in checked),
    }


def coverage(count: int, flats: Callable[[Any], tuple[float, float]], caliper: Shared | None) -> dict[str, Any]:
    """How often ellipses hold the truth."""
    found = covered(range(count), flats, caliper)
    return {"points": len(found), "share": sum(found) / len(found)}


JAW_CASES: dict[str, tuple[Callable[[Any], tuple[float, float]], Shared | None]] = {
    "knife-edged jaws": (lambda rng: (0.0, 0.0), None),
    "flats of 0 to 1 mm, nothing stated": (
        lambda rng: (rng.uniform(0, 1), rng.uniform(0, 1)), Shared("caliper", inside=JAWS, outside=JAWS),
    ),
    "inside jaws 1 mm, outside none, nothing stated": (
        lambda rng: (1.0, 0.0), Shared("caliper", inside=JAWS, outside=JAWS),
    ),
    "flats of 1 mm to 0.1 mm, stated": (
        lambda rng: (rng.normal(1, 0.1), rng.normal(1, 0.1)), Shared("caliper", inside=(1, 0.2), outside=(1, 0.2)),
    ),
    "inside jaws 1 mm, counted as none": (lambda rng: (1.0, 0.0), None),
}  # fmt: skip
"""Flats of the inside and outside jaws, and what the survey is given of them; the last shows what is then lost."""


def main() -> None:
    """Work out every row and write the page."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--networks", type=int, default=200)
    parser.add_argument("--clean", type=int, default=2000)
    parser.add_argument("--coverage", type=int, default=1500)
    parser.add_argument("--keep", type=Path)
    wanted = parser.parse_args()
    kept = Kept(wanted.keep)
    blunders = {kind: kept.of(kind, lambda kind=kind: planted(kind, wanted.networks)) for kind in [*BLUNDERS, TWO]}
    small = kept.of("clean, 4 to 20", lambda: without(wanted.clean // 2, 4, 20))
    large = kept.of("clean, 4 to 40", lambda: without(wanted.clean, 4, 40))
    shares = {
        name: kept.of(name, lambda case=case: coverage(wanted.coverage, *case)) for name, case in JAW_CASES.items()
    }
    PAGE.write_text(HEAD + _blunders(blunders) + _clean(small, large) + _coverage(shares), encoding="utf-8")


def _blunders(rows: dict[str, dict[str, Any]]) -> str:
    text = """## Blunders

Each row: so many castings that their readings determine, one reading (or diameter) made wrong. *Silent*: nothing is
said (no suspect, no refusal, no warning that something goes unchecked), and a hole is wrong by more than the clearance,
after the best shift and turn of all, or in the datum's frame. *Said*: a reading is called wrong, or the survey is
refused. *Named*: of these, those in which the faulty reading is among those named (of two, both, or in a refusal one).
*Median*: how many are named. *Unchecked*: castings of which it is said that a misreading could move a hole by the
clearance unnoticed, whether one did or not.

| blunder | castings | silent | silent in the frame | said | named | median | refused | unchecked |
| --- | --- | --- | --- | --- | --- | --- | --- | --- |
"""
    for kind, row in rows.items():
        share = 100.0 * row["named"] / max(row["spoken"], 1)
        text += (
            f"| {kind} | {row['count']} | {row['silent']} | {row['silent_in_frame']} | {row['spoken']} | "
            f"{share:.1f} % | {row['median']:g} | {row['refused']} | {row['unchecked']} |\n"
        )
    return text + "\n"


def _clean(small: dict[str, Any], large: dict[str, Any]) -> str:
    share = 100.0 * small["cautioned"] / max(small["checked"], 1)
    return f"""## Sound readings

Of {small["count"]} castings of 4 to 20 features with sound readings, {small["checked"]} are *checked*: by their exact
readings no misreading that goes unnoticed could move a hole by the clearance. Of these {small["cautioned"]}
({share:.1f} %) get a caution all the same: a reading called wrong, or a refusal.

Of {large["count"]} castings of 4 to 40 features, {large["false"]} are given a false figure. {large["refused"]} are
refused, for their readings hold some feature in two places or not at all: these castings need not be determined.

"""


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
