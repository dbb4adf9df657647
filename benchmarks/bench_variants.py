"""What a variant of a study costs beside a whole check: 100 variants of the demo's blower-plate pocket, on one core.

Run by hand from the project's root: `python benchmarks/bench_variants.py [VARIANTS]`. A whole check begins with nothing
remembered, as the first one of a process does; a variant with what the variants before it left. The two alternate in
blocks of ten, so that a slow machine slows both, and what they find must be equal. Times are the processor's. Aim: a
variant takes at most a quarter of a whole check.
"""

from __future__ import annotations

import gc
import sys
import time
from itertools import product
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT))
CUTTERS = (8, 10, 12, 12.7, 16)
BLOCK = 10


def main() -> None:
    """Print the ratio, and the time that each takes."""
    from platemaker.checks import Finding, check_stack
    from platemaker.remembered import forget
    from platemaker.resolved import assemble
    from platemaker.spec import read_folder, validate
    from platemaker.study import with_value

    gc.set_threshold(200_000, 20, 100)  # as the commands do
    folder = ROOT / "part_specs" / "pump_engine"
    sources, data = read_folder(folder)
    variants = int(sys.argv[1]) if len(sys.argv) > 1 else 100
    walls = [round(4 + step / 10, 1) for step in range(-(-variants // len(CUTTERS)))]
    grid = list(product(walls, CUTTERS))[:variants]

    def found(wall: float, cutter: float) -> tuple[Finding, ...]:
        pocket = ("parts", "blower_plate", "pocket")
        changed = with_value(with_value(data, (*pocket, "wall"), wall), (*pocket, "cutter"), cutter)
        return check_stack(assemble(validate(folder, sources, changed)))

    whole = variant = 0.0
    found(*grid[0])  # tables and libraries are loaded on first use
    for low in range(0, len(grid), BLOCK):
        block, forgetful, remembering = grid[low : low + BLOCK], [], []
        for values in block:
            forget()
            start = time.process_time()
            forgetful.append(found(*values))
            whole += time.process_time() - start
        forget()
        for values in grid[max(0, low - 2) : low]:
            found(*values)
        for values in block:
            start = time.process_time()
            remembering.append(found(*values))
            variant += time.process_time() - start
        if list(map(repr, forgetful)) != list(map(repr, remembering)):
            sys.exit("a variant does not find what a whole check finds")
        done = low + len(block)
        print(
            f"{done}: a whole check {whole / done:.3f} s, a variant {variant / done:.3f} s, {variant / whole:.2f} of it"
        )


if __name__ == "__main__":
    main()
