"""A study: keys of a spec varied or searched, the same flow run for each variant, and what came of them."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from pathlib import Path
from typing import Any

from platemaker.errors import SpecError, UnitError
from platemaker.records import Record
from platemaker.spec import read_folder, validate
from platemaker.study._fields import FieldOf, with_fields
from platemaker.study._front import Trade, front_of, trade_of
from platemaker.study._keys import KeyPath, Keys, Value, value_at, with_value
from platemaker.study._outcomes import (
    AREA,
    BELT_PATH,
    COST_DRIVERS,
    STANDING,
    WALL,
    WALL_MARGIN,
    WRAP,
    Focus,
    Outcome,
    shown_outcome,
)
from platemaker.study._runs import Numbered, Progress, Spread, run_all
from platemaker.study._seek import FEW, TRIES, Aim, Keep, Search, Sought, aim_of, keep_of
from platemaker.study._seek import MOST_KEYS as MOST_SOUGHT
from platemaker.study._variant import SPEC_FAULTS, Setup, VariantRow, stack_of, varies_belt
from platemaker.study._vary import MOST_KEYS, Vary, grid, varies_of
from platemaker.units import LengthUnit, parse_length

USUAL_TRADE = f"{AREA.name},{WALL.name}"
BELT_TRADE = f"{BELT_PATH.name},{WRAP.name}"


class Study(Record):
    """What was varied and what came of it.

    `rows` are the variants done, of `asked`; `outcomes` the figures that any of them has; `front` the numbers of the
    rows on the trade-off front of `trade`, along it; `now` the row that is the spec as it stands. `unit` is the
    project's unit of length, for readers; figures are mm, mm2, kg, kPa. `sought` is there where something was sought.
    """

    project: str
    unit: str
    varies: tuple[Vary, ...]
    outcomes: tuple[Outcome, ...]
    rows: tuple[VariantRow, ...]
    asked: int
    trade: Trade
    front: tuple[int, ...]
    now: int | None
    interrupted: bool
    sought: Sought | None = None
    unsettled: tuple[int, ...] = ()
    """Numbers of the rows whose field of the air was calculated and did not converge."""

    @property
    def sound(self) -> tuple[VariantRow, ...]:
        """The rows that are not faults of the spec."""
        return tuple(row for row in self.rows if not row.fault)

    @property
    def subject(self) -> str:
        """The part and the figure that the outcomes are of."""
        names = dict.fromkeys(f"{row.part}, {row.figure}" if row.figure else row.part for row in self.sound)
        return " and ".join(names)

    @property
    def winner(self) -> VariantRow | None:
        """The variant that a search found; None without one."""
        wanted = self.sought.winner if self.sought else None
        return next((row for row in self.rows if row.number == wanted), None)


def _quiet(_done: int, _asked: int) -> None:
    """No progress shown."""


def study(
    folder: Path,
    vary: Sequence[str],
    *,
    shows: Sequence[str] = (),
    part: str | None = None,
    figure: str | None = None,
    trade: str = USUAL_TRADE,
    cores: int | None = None,
    progress: Progress = _quiet,
    changes: Sequence[tuple[KeyPath, Value]] = (),
    seek: str | None = None,
    keeps: Sequence[str] = (),
    spread: Spread | None = None,
    field: FieldOf | None = None,
    every: bool = False,
) -> Study:
    """The project in `folder` with the keys of `vary` (`blower_plate.pocket.wall=3..8/0.5`) taking each value in turn.

    `shows` are ids of checks or findings, or their beginnings, whose worst margin is read off too. `part` and `figure`
    say what area, wall and mass are of; by default the part that is varied and its pocket or opening. `trade` names
    the two outcomes of the front; where the belt is varied usually its path against the wrap. `changes` are made to
    the spec before anything is varied. With `seek`, "least mass" or "most area", up to five keys are searched for the
    variant that gives it and holds all of `keeps`: "no fails", "no cautions", "wall at least 5" in the table's unit.
    `spread` runs the variants elsewhere, see `spread_over`. `field` calculates the field of the air of each variant on
    the front, with `every` of each that can be. An interrupt ends the study early, with the rows that are done.
    Raises SpecError for what cannot be read, an unknown key, part or figure, no values; impossible variants are rows.

    Long studies start other processes, which import the caller's main module again: a script must call this under its
    `if __name__ == "__main__":`, or say `cores=1`.
    """
    folder = folder.resolve()
    sources, data = read_folder(folder)
    for path, value in changes:
        data = with_value(data, path, value)
    varies = varies_of(vary, Keys(data), MOST_KEYS if seek is None else MOST_SOUGHT)
    paths = tuple(one.key.path for one in varies)
    shows = tuple(dict.fromkeys(shows))
    usual = BELT_TRADE if trade == USUAL_TRADE and varies_belt(paths) else trade
    asked_for = _asked_for(seek, keeps, usual, shows, _units(data))
    setup = Setup(partial(validate, folder, sources), data, paths, _focus(varies, part, figure), shows)
    _refuse_focus(setup, varies, part, figure)
    search = None
    if asked_for.aim is None:
        combinations = list(enumerate(grid(varies), 1))
        rows, interrupted = run_all(setup, combinations, cores=cores, progress=progress, spread=spread)
        asked = len(combinations)
    else:
        search = _search(setup, varies, asked_for, cores, progress, spread, _present(data, varies))
        interrupted, rows = _searched(search)
        asked = len(rows)
    among, wanted = None if every else asked_for.trade, None if interrupted else field
    rows, unsettled, stopped = with_fields(setup, rows, among, wanted, progress)
    interrupted = interrupted or stopped
    outcomes = _met(rows, shows)
    trade_shown, front = _with_units(asked_for.trade, outcomes), front_of(rows, asked_for.trade)
    return Study(
        str(data.get("project", folder.name)), _units(data), varies, outcomes, rows, asked, trade_shown, front,
        _now(data, varies), interrupted, search.sought if search else None, unsettled,
    )  # fmt: skip


class _Asked(Record):
    """What is to be read off: the two outcomes of the front, and in a search what is sought and kept."""

    trade: Trade
    aim: Aim | None
    keeps: tuple[Keep, ...]


def _asked_for(
    seek: str | None, keeps: Sequence[str], trade: str, shows: Sequence[str], unit: LengthUnit
) -> _Asked:  # fmt: skip
    """A mistyped name is reported before the work, not after it; units come with the findings."""
    known = (*STANDING, *(shown_outcome(show, "") for show in shows))
    aim = None if seek is None else aim_of(seek, known)
    if keeps and aim is None:
        problem = "something to keep, and nothing to seek"
        raise SpecError(problem, met=keeps[0], allowed="with something to seek, such as least mass")
    if aim is not None and trade == USUAL_TRADE:
        other = AREA if aim.outcome in (WALL, WALL_MARGIN) else WALL
        trade = f"{aim.outcome.name}:{'up' if aim.most else 'down'},{other.name}"
    return _Asked(trade_of(trade, known), aim, tuple(keep_of(text, known, unit) for text in keeps))


def _search(
    setup: Setup, varies: Sequence[Vary], asked_for: _Asked, cores: int | None, progress: Progress,
    spread: Spread | None, present: tuple[int, ...] | None,
) -> Search:  # fmt: skip
    """A search whose variants run as those of a study do."""

    def run(variants: Sequence[Numbered]) -> tuple[VariantRow, ...]:
        before = len(search.tried)
        most = min(search.combinations, max(TRIES, before + len(variants)))
        rows, interrupted = run_all(
            setup, variants, cores=cores, progress=lambda done, _: progress(before + done, most), spread=spread
        )
        if interrupted:
            raise KeyboardInterrupt
        return rows

    if asked_for.aim is None:
        raise TypeError(asked_for)
    search = Search(varies, asked_for.aim, asked_for.keeps, run, present)
    return search


def _searched(search: Search) -> tuple[bool, tuple[VariantRow, ...]]:
    """Let a search run: whether it was interrupted, and the rows tried in order."""
    interrupted = False
    try:
        if search.combinations <= FEW:
            search.everything()
        else:
            search.evolve()
    except KeyboardInterrupt:
        interrupted = True
    return interrupted, tuple(sorted(search.tried.values(), key=lambda row: row.number))


def _focus(varies: Sequence[Vary], part: str | None, figure: str | None) -> Focus:
    usual = Focus.on(varies[0].key.path)
    if part is not None and part != usual.part:
        return Focus(part, figure)
    return Focus(usual.part, figure or usual.figure, usual.joint)


def _refuse_focus(setup: Setup, varies: Sequence[Vary], part: str | None, figure: str | None) -> None:
    """Raise SpecError before the work for a part or a figure asked for that neither the first nor last variant has."""
    if part is None and figure is None:
        return
    faults: list[SpecError] = []
    for place in (0, -1):
        try:
            stack = stack_of(setup, tuple(vary.choices[place] for vary in varies))
        except SPEC_FAULTS:
            continue
        try:
            setup.focus.figure_in(setup.focus.part_in(stack))
        except SpecError as fault:
            faults.append(fault)
        else:
            return
    if faults:
        raise faults[0]


def _met(rows: Sequence[VariantRow], shows: Sequence[str]) -> tuple[Outcome, ...]:
    """The outcomes that at least one row has a figure of; a cost driver only where it differs between rows."""
    figures = {one: {row.value(one.name) for row in rows if not row.fault} - {None} for one in STANDING}
    met = [one for one, found in figures.items() if len(found) > (1 if one in COST_DRIVERS else 0)]
    for show in shows:
        units = dict.fromkeys(found.unit for row in rows if (found := row.shown.get(show)))
        if units:
            met.append(shown_outcome(show, " or ".join(units)))
    return tuple(met)


def _with_units(trade: Trade, outcomes: Sequence[Outcome]) -> Trade:
    units = {one.name: one.unit for one in outcomes}

    def known(one: Outcome) -> Outcome:
        return Outcome(one.name, one.title, units.get(one.name, one.unit), one.more_is_better)

    return Trade(known(trade.x), known(trade.y))


def _now(data: Any, varies: Sequence[Vary]) -> int | None:
    """The number of the variant that is the spec as it is; None where none is."""
    present, number = _present(data, varies), 0
    for place, vary in zip(present or (), varies, strict=present is not None):
        number = number * len(vary.choices) + place
    return None if present is None else number + 1


def _present(data: Any, varies: Sequence[Vary]) -> tuple[int, ...] | None:
    """The place of each key's present value among its choices; None where one is not among them."""
    units = _units(data)
    places: list[int] = []
    for vary in varies:
        own = _plain(value_at(data, vary.key.path), units)
        place = next((at for at, choice in enumerate(vary.choices) if _plain(choice.value, units) == own), None)
        if place is None:
            return None
        places.append(place)
    return tuple(places)


def _units(data: Any) -> LengthUnit:
    return LengthUnit(data["units"]) if data.get("units") in list(LengthUnit) else LengthUnit.MM


def _plain(value: Any, units: LengthUnit) -> object:
    """A value such that `5`, `5.0` and `5 mm` are equal; other quantities are equal as they are written."""
    try:
        return parse_length(value, units)
    except UnitError:
        return value
