"""Random chambers: pockets with islands, of one depth or two, under openings that may overlap and reach past walls."""

from __future__ import annotations

import random
from dataclasses import dataclass

from platemaker.plane import ChamberOpening, ChamberPiece, Loop, Region, intersect, subtract
from tests.plane_oracle import random_loop


@dataclass(frozen=True)
class Chamber:
    """Pieces of a chamber as plan and depth, all on one floor, and its openings, in mm."""

    pieces: tuple[tuple[Region, float], ...]
    inflow: tuple[Region, ...]
    outflow: tuple[Region, ...]


def random_chamber(seed: int) -> Chamber:
    """A pocket of some 60 by 40 mm."""
    rng = random.Random(seed)
    wide, high = rng.uniform(45, 70), rng.uniform(30, 50)
    if rng.random() < 0.6:
        outline = Region(Loop.rectangle(wide, high, rng.choice([0, 4, 8]), tag="wall"))
    else:
        outline = Region.of(random_loop(rng, (0, 0), 32, "wall"))
    islands = []
    for k in range(rng.choice([0, 1, 2, 4, 7, 10])):
        at = (rng.uniform(-wide / 2, wide / 2), rng.uniform(-high / 2, high / 2))
        if rng.random() < 0.75:
            islands.append(Region(Loop.circle(at, rng.uniform(1, 5), f"B{k}")))
        else:
            islands.append(Region.of(random_loop(rng, at, 4, f"B{k}")))
    pocket = subtract(outline, *islands) if islands else (outline,)
    depth = rng.choice([1.0, 2.0, 4.0, 6.0, 10.0])
    pieces = [(region, depth) for region in pocket]
    if rng.random() < 0.35:
        deeper = Region(Loop.rectangle(wide * rng.uniform(0.2, 0.8), 2 * high, 0, (rng.uniform(-20, 20), 0)))
        pieces += [(region, depth * rng.choice([0.5, 1.5, 3.0])) for region in intersect(pocket, (deeper,))]
    inflow = tuple(_opening(rng) for _ in range(rng.choice([1, 1, 1, 1, 2])))
    outflow = tuple(_opening(rng) for _ in range(rng.choice([1, 1, 1, 2, 3])))
    return Chamber(tuple(pieces), inflow, outflow)


def _opening(rng: random.Random) -> Region:
    at = (rng.uniform(-25, 25), rng.uniform(-18, 18))
    kind = rng.random()
    if kind < 0.35:
        return Region(Loop.circle(at, rng.uniform(3, 9)))
    if kind < 0.8:
        return Region(Loop.rectangle(rng.uniform(6, 22), rng.uniform(6, 18), rng.choice([0, 0, 2.9]), at))
    return Region.of(random_loop(rng, at, 9))


STEP_UNDER_A_PORT = (
    [
        ChamberPiece(name, Region(Loop.rectangle(wide, 60, 0, (x, 0))), depth)
        for name, wide, x, depth in (("deep", 20, -40, 5.0), ("flat", 80, 10, 4.0))
    ],
    [ChamberOpening("A", Region(Loop.rectangle(20, 20, 0, (-30, 0))))],
    [ChamberOpening("B", Region(Loop.circle((30, 0), 10)))],
)
"""Pieces, inflow and outflow: depths of 5 and 4 that meet at x = -30, under the middle of the inflow."""
