"""Reads the file for waterjet and laser back, and measures it against the part. Shares no code with what wrote it."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

from platemaker.catalog import Family
from platemaker.export._differs import differs
from platemaker.export._names import MARK, NOTE
from platemaker.export._reading._read_dxf import DxfReading, prove_marks, read_dxf
from platemaker.parts import Operation, Part
from platemaker.plane import Loop, Region, subtract, without_slivers
from platemaker.resolved import resolved

SMALLER = 1.0
"""How much smaller in diameter a hole is cut that is tapped or bored afterwards, mm; one under 2 mm by half."""
SAME = 1e-6
"""Areas that differ by less, mm2 per mm2, agree."""
GRID = 5
"""Decimals of a millimetre to which read and expected places and sizes are rounded before they are compared."""

Round = tuple[float, float, float]


def prove_profile(part: Part, path: Path) -> DxfReading:
    """Read the file back: the metal that is left has the part's area, and every hole stands there once at its size.

    Where cuts meet, or one reaches the outline, there are fewer loops than cuts, and the area alone is compared.
    Raises ProofError naming file and fault.
    """
    reading, flat = read_dxf(path), resolved(part).flat
    if odd := [layer for layer in reading.layers if layer not in (NOTE, MARK) and not layer.startswith("CUT_")]:
        raise differs(path, f"layer {odd[0]} is not cut through", due="the part")
    prove_marks(part, reading, path)
    openings = [region for cut in flat.profiles if cut.through for region in cut.regions]
    holes = list(_rounds(part))
    met = sorted([*reading.loop_areas, *(math.pi / 4 * size**2 for *_, size in reading.circles)])
    discs = [Region(Loop.circle((x, y), size / 2)) for x, y, size in holes]
    left = subtract((flat.stock.plan,), *((one,) for one in (*openings, *discs)))
    if len(left) == 1:
        # What is too short to be cut is not drawn: it counts where a whole figure is hardly longer.
        due, read = without_slivers(left[0]).area, 2 * met[-1] - sum(met)
        if abs(due - read) > SAME * due:
            raise differs(path, f"{read:.3f} mm2 of metal instead of {due:.3f} mm2", due="the part")
    loops = [loop for region in (flat.stock.plan, *openings) for loop in region.loops]
    if len(met) == len(loops) + len(holes):
        round_loops = (one for one in (loop.as_circle() for loop in loops) if one is not None)
        expected = Counter(map(_rounded, [*holes, *((*one.centre, 2 * one.radius) for one in round_loops)]))
        found = Counter(map(_rounded, reading.circles))
        for x, y, size in ((expected - found) | (found - expected)).elements():
            raise differs(path, f"circle of diameter {size:g} at ({x:g}, {y:g})", due="the part")
    return reading


def _rounds(part: Part) -> Iterator[Round]:
    """Place and diameter to cut of each hole that goes right through, square to the face."""
    flat = resolved(part).flat
    for hole in flat.holes:
        if not (hole.square and hole.through):
            continue
        size = min(step.wide for step in hole.bored)
        later = hole.tapping or Operation.BORE in [step.operation for step in hole.bored]
        if later and part.material.family is not Family.GASKET:
            size -= min(SMALLER, size / 2)
        yield (*hole.centre, size)


def _rounded(numbers: Round) -> tuple[float, ...]:
    return tuple(round(number, GRID) + 0.0 for number in numbers)
