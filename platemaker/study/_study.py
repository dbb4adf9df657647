"""A study: one or two keys of a spec varied, the same flow run for each variant, and what came of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Any

from platemaker.errors import UnitError
from platemaker.spec import read_folder, validate
from platemaker.study._front import Trade, front_of, trade_of
from platemaker.study._keys import KeyPath, Keys, Value, value_at, with_value
from platemaker.study._outcomes import (
    AREA,
    BELT_PATH,
    COST_DRIVERS,
    STANDING,
    WALL,
    WRAP,
    Focus,
    Outcome,
    shown_outcome,
)
from platemaker.study._runs import Progress, run_all
from platemaker.study._values import Choice
from platemaker.study._variant import Row, Setup, varies_belt
from platemaker.study._vary import Vary, grid, varies_of
from platemaker.units import LengthUnit, parse_length

USUAL_TRADE = f"{AREA.name},{WALL.name}"
BELT_TRADE = f"{BELT_PATH.name},{WRAP.name}"


@dataclass(frozen=True)
class Study:
    """What was varied and what came of it.

    `rows` are the variants done, of `asked`; `outcomes` the figures that any of them has; `front` the numbers of the
    rows on the trade-off front of `trade`, along it; `now` the row that is the spec as it stands. `unit` is the
    project's unit of length, for readers; figures are mm, mm2, kg, kPa.
    """

    project: str
    unit: str
    varies: tuple[Vary, ...]
    outcomes: tuple[Outcome, ...]
    rows: tuple[Row, ...]
    asked: int
    trade: Trade
    front: tuple[int, ...]
    now: int | None
    interrupted: bool

    @property
    def sound(self) -> tuple[Row, ...]:
        """The rows that are not faults of the spec."""
        return tuple(row for row in self.rows if not row.fault)

    @property
    def subject(self) -> str:
        """The part and the figure that the outcomes are of."""
        names = dict.fromkeys(f"{row.part}, {row.figure}" if row.figure else row.part for row in self.sound)
        return " and ".join(names)


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
) -> Study:
    """The project in `folder` with the keys of `vary` (`blower_plate.pocket.wall=3..8/0.5`) taking each value in turn.

    `shows` are ids of checks or findings, or their beginnings, whose worst margin is read off too. `part` and `figure`
    say what area, wall and mass are of; by default the part that is varied and its pocket or opening. `trade` names
    the two outcomes of the front; where the belt is varied usually its path against the wrap. `changes` are made to
    the spec before anything is varied. An interrupt ends the study early, with the rows that are done. Raises
    SpecError for a project that cannot be read, an unknown key or values that are none; variants that cannot be are
    rows.

    Long studies start other processes, which import the caller's main module again: a script must call this under its
    `if __name__ == "__main__":`, or say `cores=1`.
    """
    folder = folder.resolve()
    sources, data = read_folder(folder)
    for path, value in changes:
        data = with_value(data, path, value)
    varies = varies_of(vary, Keys(data))
    combinations = grid(varies)
    paths = tuple(one.key.path for one in varies)
    shows = tuple(dict.fromkeys(shows))
    if trade == USUAL_TRADE and varies_belt(paths):
        trade = BELT_TRADE
    # A mistyped name is reported before the work, not after it; units come with the findings.
    wanted = trade_of(trade, (*STANDING, *(shown_outcome(show, "") for show in shows)))
    setup = Setup(partial(validate, folder, sources), data, paths, _focus(varies, part, figure), shows)
    rows, interrupted = run_all(setup, combinations, cores=cores, progress=progress)
    outcomes = _met(rows, shows)
    return Study(
        str(data.get("project", folder.name)),
        data["units"] if data.get("units") in list(LengthUnit) else LengthUnit.MM,
        varies,
        outcomes,
        rows,
        len(combinations),
        _with_units(wanted, outcomes),
        front_of(rows, wanted),
        _now(data, varies, combinations),
        interrupted,
    )


def _focus(varies: Sequence[Vary], part: str | None, figure: str | None) -> Focus:
    usual = Focus.on(varies[0].key.path)
    if part is not None and part != usual.part:
        return Focus(part, figure)
    return Focus(usual.part, figure or usual.figure, usual.joint)


def _met(rows: Sequence[Row], shows: Sequence[str]) -> tuple[Outcome, ...]:
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


def _now(data: Any, varies: Sequence[Vary], combinations: Sequence[tuple[Choice, ...]]) -> int | None:
    units = LengthUnit(data["units"]) if data.get("units") in list(LengthUnit) else LengthUnit.MM
    present = [_plain(value_at(data, one.key.path), units) for one in varies]
    for number, choices in enumerate(combinations, 1):
        if [_plain(choice.value, units) for choice in choices] == present:
            return number
    return None


def _plain(value: Any, units: LengthUnit) -> object:
    """A value such that `5`, `5.0` and `5 mm` are equal; other quantities are equal as they are written."""
    try:
        return parse_length(value, units)
    except UnitError:
        return value
