"""The values that a key may take, as a spec states them: numbers on a shop's grid, or the next entry of a catalog."""

from __future__ import annotations

import math
from collections.abc import Sequence
from fractions import Fraction
from typing import Any

from platemaker.catalog import (
    Family,
    HeadKind,
    cutters,
    material,
    materials,
    o_ring,
    o_rings,
    standard_bolt_lengths,
    thread,
    threads,
)
from platemaker.errors import CatalogError
from platemaker.records import Record
from platemaker.spec import ProjectSpec
from platemaker.study._cures._touched import words_of
from platemaker.study._keys import KeyPath, Value, value_at
from platemaker.study._values import exact, mixed, parted
from platemaker.units import MM_PER_INCH

MM_OF = {"mm": 1.0, "in": MM_PER_INCH}
TORQUE_STEP = 0.1
"""Millimetres that one more of a torque's unit counts as: no metal is cut for it. The project's own choice."""
GRIDS = {
    "mm": (Fraction(1, 2), Fraction(1, 10), Fraction(1, 100)),
    "in": (Fraction(1, 16), Fraction(1, 64), Fraction(1, 1000)),
    "deg": (Fraction(1), Fraction(1, 10)),
    "count": (Fraction(1),),
    "diameters": (Fraction(1, 2),),
    "torque": (Fraction(1), Fraction(1, 10)),
}
"""Steps in which a shop states sizes, coarsest first. Common practice, no source."""
SMALL, SMALL_GRIDS = 3, (Fraction(1, 10), Fraction(1, 100))
"""Sizes below 3 mm go in steps of 0.1 mm. Common practice, no source."""
SHEETS = (0.25, 0.5, 0.8, 1.0, 1.5, 2.0, 3.0)
"""Thicknesses of gasket sheet, mm. Common practice, no source."""
WORD_STEP = 5.0
"""Millimetres that a step to the next catalog entry counts as where changes are compared. The project's own choice."""

NEAR, FAR = 3, 20
"""Entries tried either way: of threads and materials, and of lengths and the like. The project's own choice."""

COUNTS = frozenset({"count", "rows"})
"""Keys that say how many bolts there are."""
_ANGLES = frozenset({"angle", "turn", "start", "mouth_angle"})
_PLACES = frozenset({"at", "turn", "row", "points", "loop", "start"})
_THREADS = frozenset({"thread", "clear", "tapped", "counterbored", "countersunk", "insert"})
_FITS = ("close", "medium", "loose")
_CLASSES = (("8.8", "10.9", "12.9"), ("grade 2", "grade 5", "grade 8"))
_STOCK_LENGTHS = frozenset({"bolts.length", "holes.screw.length"})


class SteppedNumber(Record):
    """A number in its own `unit`, which may be unwritten, and the steps to round it to."""

    now: Fraction
    kind: str
    written: str
    grids: tuple[Fraction, ...]
    signed: bool
    whole: bool

    def value(self, number: Fraction) -> Value:
        """A number as the spec would state it."""
        bare: Value = int(number) if self.whole or number.denominator == 1 else float(number)
        if not self.written:
            return bare
        inches = self.kind == "in" and number.denominator in (1, 2, 4, 8, 16, 32, 64)
        return f"{mixed(number) if inches else bare} {self.written}"

    def allowed(self, number: Fraction) -> bool:
        """Whether it can be a size at all."""
        return self.signed or number > 0

    def cost(self, number: Fraction) -> float:
        """How large a change is, mm; a degree counts as a millimetre, one more of a count as a catalog step."""
        scale = WORD_STEP if self.whole else TORQUE_STEP if self.kind == "torque" else MM_OF.get(self.kind, 1.0)
        return abs(float(number - self.now)) * scale


class SteppedWord(Record):
    """The entries of a catalog in their order, the place of the present one, and how many either way are tried."""

    entries: tuple[Value, ...]
    place: int
    reach: int = FAR


def steps_of(spec: ProjectSpec, path: KeyPath) -> SteppedNumber | SteppedWord | None:
    """How the value at a key may change; None for one that has no shop step."""
    was = value_at(spec.data, path)
    words = words_of(path)
    try:
        row = _row(spec, path, words, was)
    except CatalogError:
        return None
    if row is not None:
        return row
    return _numbers(spec, words, was)


def _numbers(spec: ProjectSpec, words: tuple[str, ...], was: Any) -> SteppedNumber | None:
    if isinstance(was, bool) or not isinstance(was, int | float | str):
        return None
    number, unit = (str(was), "") if isinstance(was, int | float) else parted(was)
    if not number:
        return None
    last = words[-1]
    kind = "deg" if last in _ANGLES else "count" if last in COUNTS else unit or spec.model.units
    kind = {"insert_length": "diameters", "torque": "torque"}.get(last, kind)
    if kind not in GRIDS or (kind == "deg" and unit not in ("", "deg")):
        return None
    now = Fraction(number) if isinstance(was, int | float) else exact(number)
    signed = last in _PLACES
    grids = SMALL_GRIDS if kind == "mm" and not signed and now < SMALL else GRIDS[kind]
    return SteppedNumber(now, kind, unit, grids, signed, kind == "count")


def _row(spec: ProjectSpec, path: KeyPath, words: tuple[str, ...], was: Any) -> SteppedWord | None:
    last = words[-1]
    if isinstance(was, bool):
        return SteppedWord((False, True), int(was))
    if last in _THREADS:
        own = thread(str(was))
        return _at(was, [one.designation for one in threads() if one.series is own.series], own.designation, NEAR)
    if last == "material":
        return _materials(was, gasket=words[0] == "gasket")
    if last == "fit":
        return _at(was, _FITS, was)
    if last == "class":
        return next((_at(was, row, str(was)) for row in _CLASSES if str(was) in row), None)
    if last == "o_ring":
        own_ring = o_ring(str(was))
        dashes = [one.dash for one in o_rings() if one.section == own_ring.section]
        prefix = str(was)[: -len(own_ring.dash)] if str(was).endswith(own_ring.dash) else "AS568"
        return _at(was, [prefix + dash for dash in dashes], prefix + own_ring.dash)
    if ".".join(words) in _STOCK_LENGTHS:
        return _lengths(spec, was, standard_bolt_lengths(*_screw(spec, path)).lengths)
    if last == "cutter":
        return _lengths(spec, was, sorted({one.diameter for one in cutters()}))
    if words == ("gasket", "thickness"):
        return _lengths(spec, was, SHEETS)
    return None


def _screw(spec: ProjectSpec, path: KeyPath) -> tuple[str, HeadKind]:
    """Thread and head of the screw whose length a path is."""
    screw = value_at(spec.data, path[:-1])
    hole = value_at(spec.data, path[:-2])
    named = screw.get("thread") or next(str(hole[word]) for word in _THREADS if word in hole)
    return str(named), HeadKind(screw.get("head", "socket"))


def _materials(was: Any, *, gasket: bool) -> SteppedWord | None:
    own = material(str(was))
    alike = [one for one in materials() if one.family is own.family and (gasket or one.yield_strength is not None)]
    if own.family is not Family.GASKET:
        alike.sort(key=lambda one: one.yield_strength or 0.0)
    return _at(was, [one.name for one in alike], own.name, NEAR)


def _at(was: Any, names: Sequence[str], own: str, reach: int = FAR) -> SteppedWord | None:
    """The names as values of the kind that `was` is: a class such as 8.8 is a number to YAML."""
    if own not in names:
        return None
    entries = tuple(float(name) if isinstance(was, float) else name for name in names)
    return SteppedWord(entries, names.index(own), reach)


def _lengths(spec: ProjectSpec, was: Any, lengths: Sequence[float]) -> SteppedWord | None:
    """Lengths of a catalog, mm, in the unit of `was`, whose own place among them need not be one of theirs."""
    own = _numbers(spec, ("length",), was)
    if own is None or own.kind not in MM_OF:
        return None
    scale = Fraction(str(MM_OF[own.kind]))
    numbers = sorted({Fraction(str(length)) / scale for length in lengths} | {own.now})
    step = Fraction(1, 64) if own.kind == "in" else Fraction(1, 1000)
    shop = [one for one in numbers if (one / step).denominator == 1 or one == own.now]
    return SteppedWord(tuple(own.value(one) for one in shop), shop.index(own.now))


def rounded(number: float, grid: Fraction, way: int) -> Fraction:
    """The next number of a grid at or beyond `number`, in the direction `way`.

    >>> rounded(12.1, Fraction(1, 2), 1), rounded(12.1, Fraction(1, 2), -1)
    (Fraction(25, 2), Fraction(12, 1))
    """
    steps = number / float(grid)
    return grid * (math.ceil(steps - 1e-9) if way > 0 else math.floor(steps + 1e-9))


def nearest(steps: SteppedNumber, by: float, slack: float) -> Fraction:
    """The present number changed by `by`, on the coarsest grid that is off that by `slack` at most, else the finest."""
    wanted = float(steps.now) + by
    tried = [grid * round(wanted / float(grid)) for grid in steps.grids]
    return next((one for one in tried if abs(float(one) - wanted) <= slack), tried[-1])


def cost_of(spec: ProjectSpec, path: KeyPath, to: Value) -> float:
    """How large a change of a key is, mm or what counts as that, for a value that its steps can give."""
    steps = steps_of(spec, path)
    if isinstance(steps, SteppedWord):
        return WORD_STEP * abs(steps.entries.index(to) - steps.place)
    if steps is None or isinstance(to, bool):
        return WORD_STEP
    number = Fraction(str(to)) if isinstance(to, int | float) else exact(parted(to)[0])
    return steps.cost(number)
