"""The finished part: readings on a first-article sheet, and what they ought to be."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Sequence
from pathlib import Path

from pydantic import ValidationError

from platemaker.errors import Location, SpecError, UnitError, nearest_word
from platemaker.parts._as_made._measure_ids import (
    DIAMETER,
    LEFT,
    LENGTH_X,
    LENGTH_Y,
    LOWER,
    THICKNESS,
    bend_id,
    cut_id,
    figure_id,
    hole_id,
    is_angle,
    is_signed,
    leg_id,
    measure_id,
)
from platemaker.parts._as_made._sheet_models import MeasureModel, SheetModel
from platemaker.parts._flat import in_plan, leg_of
from platemaker.parts._planed import corners_of
from platemaker.parts._records._cuts import Hole, Planed, Profile, ProfileKind
from platemaker.parts._records._part import Part, Stack
from platemaker.parts._records._stock import StripStock
from platemaker.plane import Point, Region, nearest
from platemaker.records import Record, replace
from platemaker.spec import ReadFile, load_yaml, located
from platemaker.units import LengthUnit, parse_angle, parse_length

SAME = 1e-4
"""A sheet's nominal that is further than this, mm or degrees, from the part's was written for another drawing."""


class AsRead(Record):
    """One measure of a sheet: its id and words, nominal, lower and upper deviation, and what it reads; see `unit`.

    A gauge has no nominal and reads True or False. `reads` is None where nothing was filled in.
    """

    id: str
    what: str
    nominal: float | None
    tolerance: tuple[float, float] | None
    reads: float | bool | None

    @property
    def unit(self) -> str:
        """The unit of its figures: mm, or degrees of an angle."""
        return "degrees" if is_angle(self.id) else "mm"


class AsBuilt(Record):
    """A filled-in sheet of one part; `datum` is the point that places were read from, mm in the part's plan.

    `sigma` is the standard deviation of a place that was read, mm.
    """

    file: str
    part: str
    datum: Point
    measures: tuple[AsRead, ...]
    sigma: float = 0.0

    def without(self, ids: Collection[str]) -> AsBuilt:
        """The sheet with some readings left empty."""
        measures = tuple(replace(one, reads=None) if one.id in ids else one for one in self.measures)
        return replace(self, measures=measures)

    def value(self, id_: str) -> float | None:
        """What a length or angle reads, mm or degrees; None where it was not read, or is a gauge."""
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
    try:
        model = SheetModel.model_validate(loaded.data)
    except ValidationError as fault:
        raise located(fault, loaded.data, lambda *path: loaded.where(path), SheetModel) from None
    names = [part.name for part in stack.parts]
    if model.part not in names:
        problem = "no part of the project has this name"
        near = nearest_word(model.part, names)
        raise SpecError(problem, where=loaded.where(("part",)), met=model.part, allowed=", ".join(names), nearest=near)
    measures = tuple(_row(loaded, number, row) for number, row in enumerate(model.measures))
    part = stack.part(model.part)
    found = AsBuilt(path.name, part.name, model.datum.at, measures, _sigma(loaded, model))
    _refuse_strangers(loaded, found, part)
    return found


def held_to(sheet: AsBuilt, blank: Sequence[AsRead]) -> AsBuilt:
    """A sheet held to the blank one of its drawing: a measure that it has no row for was not read.

    Raises SpecError for a tolerance that is not the drawing's.
    """
    rows = {one.id: one for one in sheet.measures}
    for due in blank:
        one = rows.setdefault(due.id, due)
        if one.tolerance != due.tolerance:
            problem = "the tolerance is not the drawing's: the sheet was changed, or written for another drawing"
            where, met, allowed = (Location(Path(sheet.file), None, due.id), one.tolerance, str(due.tolerance))
            raise SpecError(problem, where=where, met=met, allowed=allowed)
    return replace(sheet, measures=tuple(rows.values()))


def _sigma(loaded: ReadFile, model: SheetModel) -> float:
    """What a place was read to: the sheet's `sd`, or that of its `instrument`, a digital caliper unless it says so."""
    from platemaker.survey import INSTRUMENTS  # noqa: PLC0415 - stacks that were not read must not pay for its start-up

    if model.sd is not None:
        try:
            value = parse_length(model.sd, LengthUnit.MM)
        except UnitError as fault:
            raise SpecError(str(fault), where=loaded.where(("sd",))) from fault
        if value <= 0:
            problem = "what places were read to"
            raise SpecError(problem, where=loaded.where(("sd",)), met=model.sd, allowed="above 0 mm")
        return value
    lengths = [known for known, one in INSTRUMENTS.items() if one.unit == "mm"]
    if model.instrument not in lengths:
        problem = f"unknown instrument '{model.instrument}'"
        near = nearest_word(model.instrument, lengths)
        raise SpecError(problem, where=loaded.where(("instrument",)), allowed=", ".join(lengths), nearest=near)
    return INSTRUMENTS[model.instrument].sigma()


def _row(loaded: ReadFile, number: int, row: MeasureModel) -> AsRead:
    reads = _reading(row, loaded.where(("measures", number)))
    return AsRead(row.id, row.what or row.id, row.nominal, row.tolerance, reads)


def _reading(row: MeasureModel, where: Location) -> float | bool | None:
    """What a measure reads, mm or degrees; a gauge True or False."""
    reads = row.reads
    if row.nominal is None:
        if reads is None or isinstance(reads, bool):
            return reads
        problem = f"{row.id} is a gauge"
        raise SpecError(problem, where=where, met=reads, allowed="reads: true or false")
    if reads is None:
        return None
    try:
        value = parse_angle(reads) if is_angle(row.id) else parse_length(reads, LengthUnit.MM)
    except UnitError as fault:
        problem = f"{row.id}: {fault}"
        raise SpecError(problem, where=where) from fault
    if value <= 0 < row.nominal and not is_signed(row.id):
        problem, unit = f"{row.id} cannot read this", "degrees" if is_angle(row.id) else "mm"
        raise SpecError(problem, where=where, met=f"{value:g} {unit}", allowed=f"above 0 {unit}")
    return value


def _refuse_strangers(loaded: ReadFile, sheet: AsBuilt, part: Part) -> None:
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
            problem = f"{one.id} is {known[one.id]:g} {one.unit} now: the sheet was written for another drawing"
            raise SpecError(problem, where=where, met=one.nominal, allowed="a sheet of this build")


def nominals_of(part: Part, datum: Point) -> dict[str, float]:
    """What the part's sizes ought to read, mm and degrees, by their ids on a sheet; places are from `datum`.

    Holes of a bent part are read in its legs; its blank, and figures milled in it, are read flat.
    """
    flat = in_plan(part)
    found = dict(_sizes(flat))
    for profile in flat.profiles:
        for id_, region in figures_of(profile):
            found |= sizes_of(profile, id_, region) | middle_of(id_, region, datum)
        found |= {
            cut_id(profile.name, "depth"): profile.depth,
            cut_id(profile.name, "mouth_radius"): profile.mouth_radius,
            cut_id(profile.name, "mouth_chamfer"): profile.mouth_chamfer,
        }
    if part.strip is not None:
        found |= _of_bends(part.strip)
    for hole in part.holes:
        found |= place_of(part, hole, datum) | _of_hole(hole) | lean_of(part, hole)
    return found | outline_place(part, datum)


def middle_of(id_: str, region: Region, datum: Point) -> dict[str, float]:
    """Where the middle of a figure's box ought to lie from the datum, mm, by the ids of its two places."""
    x0, y0, x1, y1 = region.bounds
    middle = ((x0 + x1) / 2 - datum[0], (y0 + y1) / 2 - datum[1])
    return {measure_id(id_, "middle", axis): at for axis, at in zip("xy", middle, strict=True)}


def outline_place(part: Part, datum: Point) -> dict[str, float]:
    """How far the left and the lower side of a plate's outline ought to lie from the datum, mm; none from a corner."""
    x0, y0, _, _ = part.stock.plan.bounds
    if part.plate is None or not part.made or max(abs(x0 - datum[0]), abs(y0 - datum[1])) < SAME:
        return {}
    return {measure_id(LEFT, "x"): x0 - datum[0], measure_id(LOWER, "y"): y0 - datum[1]}


def lean_of(part: Part, hole: Hole) -> dict[str, float]:
    """The angles of a hole whose axis lies along none of the part's: to the face, and towards where, in degrees.

    The second is that of its direction from +X, seen from above; the first is left out where the axis lies level.
    """
    u, v, w = hole.direction
    if part.strip is not None or hole.square or (hole.level and min(abs(u), abs(v)) < 1e-9):
        return {}
    found = {} if hole.level else {hole_id(hole.name, "axis", "angle"): math.degrees(math.asin(min(1.0, abs(w))))}
    return found | {hole_id(hole.name, "towards", "angle"): math.degrees(math.atan2(v, u))}


def figures_of(profile: Profile) -> Iterator[tuple[str, Region]]:
    """The figures of a milled cut, each with its id."""
    many = len(profile.regions) > 1
    for number, region in enumerate(profile.regions, 1):
        yield figure_id(profile.name, number if many else 0), region


def step_words(hole: Hole) -> tuple[str, ...]:
    """What the steps of a hole before its last are called in ids, from its entry inwards."""
    steps = enumerate(hole.bored[:-1], 1)
    named = ("counterbore", "countersink")
    return tuple(step.what if step.what in named else f"step_{number}" for number, step in steps)


def is_read(part: Part, hole: Hole, step: int) -> bool:
    """Whether the diameter of a hole's step, counted from its entry, was read of the finished part."""
    word = (*step_words(hole), "")[step]
    return hole_id(hole.name, *([word] if word else []), "diameter") in part.read


def corner_id(planed: Planed, corner: str) -> str:
    """The id of the thickness at a corner of a planed part."""
    return cut_id(planed.name, f"corner_{corner}")


def place_of(part: Part, hole: Hole, datum: Point) -> dict[str, float]:
    """Where a hole ought to lie, mm, by the ids of its places.

    From the datum, and of a level one over the underside; in a leg of a bent part from where the leg begins, in its
    last leg from its free end, and from the edge of the bar where Y is least.
    """
    stock = part.strip
    if stock is None:
        places = {"x": hole.at[0] - datum[0], "y": hole.at[1] - datum[1]}
        if hole.level:
            # Along its axis a place would say where the outline is.
            lengthwise = {word for word, other in (("x", 1), ("y", 0)) if abs(hole.direction[other]) < 1e-9}
            places = {word: at for word, at in places.items() if word not in lengthwise} | {"z": hole.at[2]}
        return {hole_id(hole.name, word): at for word, at in places.items()}
    leg = leg_of(hole, stock)
    along = stock.along_leg(leg, hole.at)
    last = 0 < leg == len(stock.legs) - 1
    word, far = ("from_end", stock.legs[leg] - along) if last else ("along", along)
    return {hole_id(hole.name, word): far, hole_id(hole.name, "across"): stock.width / 2 + hole.at[1]}


def _sizes(part: Part) -> Iterator[tuple[str, float]]:
    x, y, z = part.stock.size
    if part.bar is not None:
        yield from ((LENGTH_X, x), (DIAMETER, part.bar.diameter))
        return
    circle = part.stock.plan.outer.as_circle()
    if part.planed is None:
        yield THICKNESS, z
    else:
        yield from ((corner_id(part.planed, spot.name), spot.thickness) for spot in corners_of(part))
    yield from ((LENGTH_X, x), (LENGTH_Y, y))
    if circle is not None:
        yield DIAMETER, 2 * circle.radius


def sizes_of(profile: Profile, id_: str, region: Region) -> dict[str, float]:
    """What a milled figure of a cut ought to read, mm: over all, and a groove's width too."""
    circle, (x0, y0, x1, y1) = region.outer.as_circle(), region.bounds
    over = {"x": x1 - x0, "y": y1 - y0} if circle is None else {"diameter": 2 * circle.radius}
    ring = profile.kind is ProfileKind.GROOVE and len(region.holes) == 1
    if ring:
        over["width"] = nearest(region.outer, region.holes[0]).distance
    return {measure_id(id_, word): size for word, size in over.items()}


def _of_bends(stock: StripStock) -> dict[str, float]:
    found = {leg_id(number): leg for number, leg in enumerate(stock.legs, 1)}
    for number, bend in enumerate(stock.bends, 1):
        found |= {bend_id(number, "angle"): abs(bend.angle), bend_id(number, "radius"): bend.radius}
    return found


def _of_hole(hole: Hole) -> dict[str, float]:
    name = hole.name
    found = {hole_id(name, "diameter"): hole.diameter, hole_id(name, "depth"): hole.depth}
    if hole.tapping:
        found[hole_id(name, "thread_depth")] = hole.tapping.depth
    for word, step in zip(step_words(hole), hole.bored, strict=False):
        found |= {hole_id(name, word, "diameter"): step.wide, hole_id(name, word, "depth"): step.end}
    return found
