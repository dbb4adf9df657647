"""Walls in space: against the kernel's extrema over the same faces, and how the search grows. Run by hand.

Prints ratios of one run, which other load on the machine changes little, and the greatest difference of the numbers.
"""

from __future__ import annotations

import math
import random
import time
from collections.abc import Callable
from itertools import combinations

from platemaker.space import Cylinder, HalfSpace, closest_pairs, separation, trimmed

THICK = 25.0
TOP, BOTTOM = HalfSpace((0, 0, THICK), (0, 0, 1)), HalfSpace((0, 0, 0), (0, 0, -1))


def plate_bores() -> list[Cylinder]:
    """30 bores square to a plate and 6 slanted ones, each cut to the plate's faces, none meeting another."""
    bores = [
        Cylinder((22 * i, 22 * j, 0), (22 * i, 22 * j, THICK), 3.0 + (i + j) % 3) for i in range(6) for j in range(5)
    ]
    for i, lean in enumerate((10.0, 15.0, 20.0, 25.0, 5.0, 12.0)):
        shift = 40 * math.tan(math.radians(lean))
        x, y = 11.0 + 22 * (i % 5), 11.0 + 22 * (i % 4)
        long = Cylinder((x - shift, y, THICK / 2 - 40), (x + shift, y, THICK / 2 + 40), 2.0)
        cut = trimmed(long, TOP)
        cut = trimmed(cut, BOTTOM) if cut else None
        assert cut is not None
        bores.append(cut)
    return bores


def timed(work: Callable[[], object]) -> tuple[float, object]:
    begin = time.perf_counter()
    result = work()
    return time.perf_counter() - begin, result


def against_the_kernel() -> None:
    import cadquery as cq

    bores = plate_bores()
    faces = []
    slab = cq.Solid.makeBox(1000, 1000, THICK, cq.Vector(-400, -400, 0))
    for bore in bores:
        long = cq.Solid.makeCylinder(
            bore.radius,
            bore.length + 60,
            cq.Vector(*bore.start) - cq.Vector(*bore.axis) * 30,
            cq.Vector(*bore.axis),
        )
        body = slab.intersect(long)
        faces.append(next(face for face in body.Faces() if face.geomType() == "CYLINDER"))
    pairs = list(combinations(range(len(bores)), 2))
    separation(bores[0], bores[1])
    ours_time, ours = timed(lambda: [separation(bores[i], bores[j]).distance for i, j in pairs])
    kernel_time, theirs = timed(lambda: [faces[i].distance(faces[j]) for i, j in pairs])
    assert isinstance(ours, list)
    assert isinstance(theirs, list)
    worst = max(abs(a - b) for a, b in zip(ours, theirs, strict=True))
    print(f"plate of 36 bores, {len(pairs)} pairs: least metal {min(ours):.6f} mm, kernel {min(theirs):.6f} mm")
    print(f"  greatest difference {worst:.2e} mm")
    print(f"  ours {ours_time / len(pairs) * 1e3:.4f} ms a pair, kernel {kernel_time / len(pairs) * 1e3:.3f} ms a pair")
    print(f"  every pair: {kernel_time / ours_time:.0f} times faster")
    near_time, near = timed(lambda: closest_pairs(bores, 8.0))
    assert isinstance(near, list)
    print(
        f"  the {len(near)} walls up to 8 mm, pruned: {kernel_time / near_time:.0f} times faster than every kernel pair"
    )


def common_pairs() -> None:
    rng = random.Random(2)
    bores = [slanted(rng, 120.0) for _ in range(400)]
    pairs = list(zip(bores[::2], bores[1::2], strict=True))
    for one in bores:
        _ = one.body
    spent, _ = timed(lambda: [separation(a, b) for a, b in pairs])
    print(f"slanted bore to slanted bore: {spent / len(pairs) * 1e3:.4f} ms a pair")


def slanted(rng: random.Random, side: float) -> Cylinder:
    start = (rng.uniform(0, side), rng.uniform(0, side), rng.uniform(0, side))
    way = [rng.gauss(0, 1) for _ in range(3)]
    size = 30 / math.hypot(*way)
    return Cylinder(start, tuple(s + w * size for s, w in zip(start, way, strict=True)), 2.0)  # type: ignore[arg-type]


def growth() -> None:
    print("slanted bores in a block of their own density, walls up to 5 mm:")
    first = 0.0
    for count in (50, 100, 200, 400, 800, 1600):
        rng = random.Random(count)
        bores = [slanted(rng, 30.0 * count ** (1 / 3)) for _ in range(count)]
        spent, found = timed(lambda b=bores: closest_pairs(b, 5.0))  # type: ignore[misc]
        assert isinstance(found, list)
        share = spent / (count * math.log(count))
        first = first or share
        print(f"  {count:5d} bores: {len(found):5d} walls, time over n log n {share / first:.2f} of the first")
    rng = random.Random(9)
    block = [slanted(rng, 200.0) for _ in range(200)]
    pruned, _ = timed(lambda: closest_pairs(block, 5.0))
    every, _ = timed(lambda: [separation(a, b) for a, b in combinations(block, 2)])
    print(f"200 slanted bores in one block of 200 mm: {every / pruned:.0f} times faster than every pair")


if __name__ == "__main__":
    against_the_kernel()
    common_pairs()
    growth()
