"""What a second core gives a study: 100 variants of the demo's blower-plate pocket on one core and on two.

Run by hand from the project's root: `python benchmarks/bench_study.py [VARIANTS]`. The two runs alternate in one
process, so that a slow machine slows both; the start of the other processes is counted. The rows of both must be
equal. Aim: two cores at least 1.6 times one. On a machine that has other work the ratio of times states little; then
the processor time states more: what two cores spend beyond one core's work is what sharing costs.
"""

from __future__ import annotations

import os
import statistics
import sys
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT))
ROUNDS = 2
CUTTERS = "8,10,12,12.7,16"


def main() -> None:
    """Print the ratio, and the time a variant takes."""
    from platemaker.study import Study, study

    variants = int(sys.argv[1]) if len(sys.argv) > 1 else 100
    steps = max(1, variants // 5)
    vary = [f"blower_plate.pocket.wall=4..{4 + (steps - 1) / 10}/0.1", f"blower_plate.pocket.cutter={CUTTERS}"]

    def timed(cores: int) -> tuple[float, float, float, Study]:
        start, before = time.perf_counter(), os.times()
        done = study(ROOT / "part_specs" / "pump_engine", vary, cores=cores)
        taken, after = time.perf_counter() - start, os.times()
        own = after.user + after.system - before.user - before.system
        others = after.children_user + after.children_system - before.children_user - before.children_system
        return taken, own, others, done

    ratios, by_processor = [], []
    for _ in range(ROUNDS):
        one, work, _, first = timed(1)
        two, own, others, second = timed(2)
        if first != second:
            sys.exit("one core and two do not give the same study")
        ratios.append(one / two)
        by_processor.append(work / (own + others / 2))
        print(
            f"{first.asked} variants: one core {one:.1f} s ({work:.1f} s of processor), "
            f"two {two:.1f} s ({own:.1f} and {others:.1f} s of processor)"
        )
    print(f"two cores are {statistics.median(ratios):.2f} times one by the clock")
    print(f"and {statistics.median(by_processor):.2f} times by processor time, the work evenly shared")


if __name__ == "__main__":
    main()
