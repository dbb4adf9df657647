"""The finished part: readings on a first-article sheet, and what they ought to be."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from platemaker.errors import SpecError, UnitError, nearest_word
from platemaker.parts._cuts import Hole, Operation
from platemaker.parts._flat import flat_pattern
from platemaker.parts._part import Part, Stack
from platemaker.parts._stock import PlateStock, RoundStock
from platemaker.plane import Point
from platemaker.spec import Loaded, load_yaml
from platemaker.units import LengthUnit, parse_length

SAME = 1e-4
"""A sheet's nominal that is further than this, mm, from the part's was written for another drawing."""
ROW_KEYS = frozenset({"id", "what", "nominal", "tolerance", "source", "reads"})


@dataclass(frozen=True)
class AsRead:
    """One measure of a sheet: its id and words, nominal, lower and upper deviation, and what it reads, mm.

    A gauge has no nominal and reads True or False. `reads` is None where nothing was filled in.
    """

    id: str
    what: str
    nominal: float | None
    tolerance: tuple[float, float] | None
    reads: float | bool | None


@dataclass(frozen=True)
class AsBuilt:
    """A filled-in sheet of one part; `datum` is the point that places were read from, mm in the part's plan."""

    file: str
    part: str
    datum: Point
    measures: tuple[AsRead, ...]

    def value(self, id_: str) -> float | None:
        """What a length reads, mm; None where it was not read, or is no length."""
        for one in self.measures:
            if one.id == id_ and one.reads is not None and not isinstance(one.reads, bool):
                return one.reads
        return None


def read_as_built(path: Path, stack: Stack) -> AsBuilt:
    """A sheet filled in for a part of the stack. Raises SpecError with file and line for whatever is wrong in it."""
    if not path.is_file():
        problem = f"no such sheet of readings: {path.name}"
        raise SpecError(problem, allowed="a first-article sheet, NAME_first_article.yaml of the exports, filled in")
    loaded = load_yaml(path)
    names = [part.name for part in stack.parts]
    name, rows = loaded.data.get("part"), loaded.data.get("measures")
    if name not in names:
        problem = "no part of the project has this name"
        near = nearest_word(str(name), names)
        raise SpecError(problem, where=loaded.where(("part",)), met=name, allowed=", ".join(names), nearest=near)
    if not isinstance(rows, list) or not rows:
        problem = "a sheet has a list of `measures`"
        raise SpecError(problem, where=loaded.where(("measures",)))
    measures = tuple(_row(loaded, number, row) for number, row in enumerate(rows))
    part = stack.part(str(name))
    found = AsBuilt(path.name, part.name, _datum(loaded), measures)
    _refuse_strangers(loaded, found, part)
    return found


def _datum(loaded: Loaded) -> Point:
    datum = loaded.data.get("datum")
    at = datum.get("at") if isinstance(datum, dict) else None
    if not isinstance(at, list) or len(at) != 2 or not all(isinstance(one, int | float) for one in at):
        problem = "a sheet tells the point that places are read from"
        raise SpecError(problem, where=loaded.where(("datum",)), met=datum, allowed="datum: {at: [x, y]}")
    return float(at[0]), float(at[1])


def _row(loaded: Loaded, number: int, row: object) -> AsRead:
    where = loaded.where(("measures", number))
    if not isinstance(row, dict) or not isinstance(row.get("id"), str) or set(row) - ROW_KEYS:
        problem = "a measure is a mapping with its `id` and what it `reads`"
        odd = sorted(set(row) - ROW_KEYS) if isinstance(row, dict) else []
        raise SpecError(problem, where=where, met=odd[0] if odd else row, allowed=", ".join(sorted(ROW_KEYS)))
    reads, nominal, tolerance = row.get("reads"), row.get("nominal"), row.get("tolerance")
    if nominal is None and reads is not None and not isinstance(reads, bool):
        problem = f"{row['id']} is a gauge"
        raise SpecError(problem, where=where, met=reads, allowed="reads: true or false")
    if nominal is not None and reads is not None:
        try:
            reads = parse_length(reads, LengthUnit.MM)
        except UnitError as fault:
            problem = f"{row['id']}: {fault}"
            raise SpecError(problem, where=where) from fault
        if reads <= 0 < nominal and not row["id"].endswith((".x", ".y")):
            problem = f"{row['id']} cannot read this"
            raise SpecError(problem, where=where, met=f"{reads:g} mm", allowed="above 0 mm")
    band = None if tolerance is None else (float(tolerance[0]), float(tolerance[1]))
    return AsRead(row["id"], str(row.get("what", row["id"])), nominal, band, reads)


def _refuse_strangers(loaded: Loaded, sheet: AsBuilt, part: Part) -> None:
    """Ids that the part does not have, ids twice, and nominals of another drawing."""
    known = nominals_of(part, sheet.datum)
    seen: set[str] = set()
    for number, one in enumerate(sheet.measures):
        where = loaded.where(("measures", number))
        if one.id in seen:
            problem = f"'{one.id}' is measured twice"
            raise SpecError(problem, where=where, allowed="each id once")
        seen.add(one.id)
        if one.nominal is None:
            continue
        if one.id not in known:
            problem = f"'{one.id}' is nothing to measure on {part.name}"
            raise SpecError(problem, where=where, met=one.id, nearest=nearest_word(one.id, known))
        if abs(known[one.id] - one.nominal) > SAME:
            problem = f"{one.id} is {known[one.id]:g} mm now: the sheet was written for another drawing"
            raise SpecError(problem, where=where, met=one.nominal, allowed="a sheet of this build")


def nominals_of(part: Part, datum: Point) -> dict[str, float]:
    """What the part's lengths ought to read, mm, by their ids on a sheet; places are from `datum`.

    A bent part is read flat, as its blank is cut.
    """
    flat = flat_pattern(part)
    part = flat.part if flat else part
    found = dict(_sizes(part))
    for profile in part.profiles:
        many = len(profile.regions) > 1
        for number, region in enumerate(profile.regions, 1):
            id_ = f"cut.{profile.name}" + (f".{number}" if many else "")
            circle, (x0, y0, x1, y1) = region.outer.as_circle(), region.bounds
            found |= {f"{id_}.diameter": 2 * circle.radius} if circle else {f"{id_}.x": x1 - x0, f"{id_}.y": y1 - y0}
        found[f"cut.{profile.name}.depth"] = profile.depth
    for hole in part.holes:
        found |= _of_hole(hole, datum)
    return found


def _sizes(part: Part) -> Iterator[tuple[str, float]]:
    if isinstance(part.stock, RoundStock):
        yield from (("size.x", part.stock.length), ("size.diameter", part.stock.diameter))
    if not isinstance(part.stock, PlateStock):
        return
    x0, y0, x1, y1 = part.stock.region.bounds
    circle = part.stock.region.outer.as_circle()
    yield "thickness", part.stock.thickness
    yield from (("size.x", x1 - x0), ("size.y", y1 - y0))
    if circle is not None:
        yield "size.diameter", 2 * circle.radius


def _of_hole(hole: Hole, datum: Point) -> dict[str, float]:
    id_ = f"hole.{hole.name}"
    found = {f"{id_}.x": hole.at[0] - datum[0], f"{id_}.y": hole.at[1] - datum[1], f"{id_}.diameter": hole.diameter}
    found[f"{id_}.depth"] = hole.depth
    if hole.tapping:
        found[f"{id_}.thread_depth"] = hole.tapping.depth
    for number, step in enumerate(hole.steps[:-1], 1):
        word = "counterbore" if step.operation is Operation.COUNTERBORE else f"step_{number}"
        found |= {f"{id_}.{word}.diameter": step.diameter, f"{id_}.{word}.depth": step.end}
    return found
