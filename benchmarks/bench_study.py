"""What a second core gives a study: 100 variants of the demo's blower-plate pocket on one core and on two.

Run by hand from the project's root: `python benchmarks/bench_study.py [VARIANTS]`. Both runs are in one process, one
after the other and alternating, so that a slow or busy machine slows both; the start of the other processes is
counted. The rows of both must be equal. Aim: two cores at least 1.6 times one.
"""

from __future__ import annotations

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

    def timed(cores: int) -> tuple[float, Study]:
        start = time.perf_counter()
        done = study(ROOT / "part_specs" / "pump_engine", vary, cores=cores)
        return time.perf_counter() - start, done

    ratios = []
    for _ in range(ROUNDS):
        one, first = timed(1)
        two, second = timed(2)
        if first != second:
            sys.exit("one core and two do not give the same study")
        ratios.append(one / two)
        print(f"{first.asked} variants: one core {one:.1f} s ({one / first.asked:.2f} s each), two {two:.1f} s")
    print(f"two cores are {statistics.median(ratios):.2f} times one")


if __name__ == "__main__":
    main()
