"""Sizes that a spec names by a word, typed here by hand for the oracle: it reads none of the package's tables.

Metric coarse threads: ISO 261 pitches and ISO 2306 tap drills; clearance holes ISO 273 (medium); counterbores for socket
heads DIN 974-1 series 1: diameter, and head height (ISO 4762: the thread's diameter) plus 0.4 mm up to M6, 0.6 mm up to
M20; countersunk heads ISO 10642, theoretical diameter 2.24 d at 90 degrees. From memory, held against the printed tables as they stand in the package's CSVs by `test_checks_metal_ledger`.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Size:
    """A thread: major diameter, pitch, tap drill, clearance hole, counterbore's diameter and depth, head sunk, mm."""

    major: float
    pitch: float
    tap_drill: float
    clear: float
    wide: float
    deep: float
    sunk: float


SIZES = {
    "M4": Size(4.0, 0.7, 3.3, 4.5, 8.0, 4.4, 8.96),
    "M5": Size(5.0, 0.8, 4.2, 5.5, 10.0, 5.4, 11.2),
    "M6": Size(6.0, 1.0, 5.0, 6.6, 11.0, 6.4, 13.44),
    "M8": Size(8.0, 1.25, 6.8, 9.0, 15.0, 8.6, 17.92),
    "M10": Size(10.0, 1.5, 8.5, 11.0, 18.0, 10.6, 22.4),
    "M12": Size(12.0, 1.75, 10.2, 13.5, 20.0, 12.6, 26.88),
}

TAP_LEAD = 3.0
"""A blind tapping hole is drilled this many pitches past the full thread (common practice, plug tap)."""
POINT = 118.0
"""Included angle of a drill's point, degrees (common practice)."""

INCH = 25.4
PIPE = {
    "1/8 NPT": (0.405 * INCH, 0.332 * INCH),
    "1/4 NPT": (0.54 * INCH, 0.4375 * INCH),
    "3/8 NPT": (0.675 * INCH, 0.5625 * INCH),
}
"""Pipe's outside diameter and tap drill (ASME B1.20.1; Machinery's Handbook 31st ed., p. 1005), mm."""
PORTS = {
    "-4": (7 / 16 * INCH, 0.3906 * INCH, 0.454 * INCH, 0.547 * INCH),
    "-6": (9 / 16 * INCH, 0.5156 * INCH, 0.5 * INCH, 0.609 * INCH),
}
"""Straight ports: major diameter, tap drill, depths of full thread and of the drill (SAE J1926-1), mm."""
CONES = {"-4": (0.487 * INCH, 0.093 * INCH), "-6": (0.614 * INCH, 0.097 * INCH)}
"""Cones for their O-rings, 12 degrees a side: diameter at the face, and depth (SAE J1926-1, from memory), mm."""
RINGS = {"AS568-222": (37.69, 3.53), "AS568-228": (56.74, 3.53)}
"""O-rings: inside diameter and section (AS568), mm."""
GLANDS = {3.53: ((2.54 + 2.74) / 2, 4.57)}
"""Face glands by section: middle of the depth, and width, mm."""

LIMIT = {"6061-T6": 3.0, "A356-T6": 3.0, "S235": 2.0, "A36": 2.0, "grey cast iron": 5.0}
"""Minimum wall and floor of the material's family, mm (common practice, no source): the package's documented default."""
