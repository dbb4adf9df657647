"""Speed of the plane room, as ratios within one run: python benchmarks/bench_plane.py

- opened-out pockets of a 20-bolt plate a second, and against the kernel's offset and boolean on the same plate;
- a plate of 500 bolts;
- walls among 1,000 to 10,000 holes, and the growth of time against n log n.
"""

from __future__ import annotations

import math
import random
import sys
import time
from collections.abc import Callable
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

from platemaker.plane import Circle, Loop, Region, Spared, closest_pairs, nearest_each, open_out


def best_of(work: Callable[[], object], runs: int = 5) -> float:
    """Least time of several runs, s: the one least disturbed by the rest of the machine."""
    times = []
    for _ in range(runs):
        begun = time.perf_counter()
        work()
        times.append(time.perf_counter() - begun)
    return min(times)


def edge_bolts(count: int, width: float, height: float) -> list[Spared]:
    """Bolts at equal steps along the edge of a plate, 12 mm in."""
    found = []
    for k in range(count):
        t = (k + 0.5) / count * 2 * (width + height)
        x, y = width / 2 - 12, height / 2 - 12
        if t < width:
            at = (t - width / 2, -y)
        elif t < width + height:
            at = (x, t - width - height / 2)
        elif t < 2 * width + height:
            at = (1.5 * width + height - t, y)
        else:
            at = (-x, 2 * width + 1.5 * height - t)
        found.append(Spared(f"b{k}", Circle(at, 4.5), 5.0))
    return found


def pockets() -> None:
    bounds, bolts = Region(Loop.rectangle(300, 200, 10, tag="edge")), edge_bolts(20, 300, 200)
    opening = Region(Loop.rectangle(118, 74, 9, tag="opening"))
    ours = best_of(lambda: open_out(bounds, cutter_radius=6.35, spared=bolts, land=6, start=opening), 20)
    print(f"20 bolts, opening joined: {1 / ours:7.0f} pockets a second ({ours * 1e3:.1f} ms)")
    # The kernel's turn: bounds set off, discs cut, set off outwards again. It names no limiter and joins no opening.
    plain = best_of(lambda: open_out(bounds, cutter_radius=6.35, spared=bolts, land=6), 20)
    theirs = best_of(kernel_pocket(bolts), 5)
    print(f"20 bolts, kernel's offset and boolean: {theirs * 1e3:.1f} ms, {theirs / plain:.0f} times ours")
    rng = random.Random(1)
    many = [Spared(f"b{k}", Circle((rng.uniform(-750, 750), rng.uniform(-500, 500)), 4.5), 5.0) for k in range(500)]
    big = Region(Loop.rectangle(1500, 1000, 10, tag="edge"))
    took = best_of(lambda: open_out(big, cutter_radius=6.35, spared=many, land=6), 3)
    print(f"500 bolts: {took:.2f} s")


def kernel_pocket(bolts: list[Spared]) -> Callable[[], object]:
    import cadquery as cq

    land, radius = 6.0, 6.35
    plate = cq.Workplane().rect(300, 200).extrude(1).edges("|Z").fillet(10).faces("<Z").wires().val()

    def work() -> object:
        [inner] = plate.offset2D(-(land + radius), "arc")
        discs = []
        for bolt in bolts:
            assert isinstance(bolt.shape, Circle)
            size = bolt.shape.radius + bolt.wall + radius
            wire = cq.Wire.makeCircle(size, cq.Vector(*bolt.shape.centre, 0), cq.Vector(0, 0, 1))
            discs.append(cq.Face.makeFromWires(wire))
        centre = cq.Face.makeFromWires(inner).cut(*discs)
        return [face.outerWire().offset2D(radius, "arc") for face in centre.Faces()]

    return work


def walls() -> None:
    rng = random.Random(2)
    for name, work in (("pairs under 6 mm", lambda s: closest_pairs(s, 6.0)), ("nearest of each", nearest_each)):
        first = 0.0
        for count in (1_000, 3_000, 10_000):
            side = math.isqrt(count) + 1
            holes = [
                Loop.circle(
                    (12 * (k % side) + rng.uniform(-2, 2), 12 * (k // side) + rng.uniform(-2, 2)), rng.uniform(1, 3)
                )
                for k in range(count)
            ]
            took = best_of(lambda work=work, holes=holes: work(holes), 3)
            unit = took / (count * math.log(count))
            first = first or unit
            print(f"{name}, {count:6d} holes: {took * 1e3:7.1f} ms; time over n log n {unit / first:.2f} of the first")


if __name__ == "__main__":
    pockets()
    walls()
