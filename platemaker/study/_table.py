"""A study as plain text: a table of fixed width, in bands where it has more columns than fit."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence

from platemaker.checks import Verdict
from platemaker.records import Record
from platemaker.study._outcomes import Outcome
from platemaker.study._shown import figure_text, short_unit, unit_for
from platemaker.study._study import Study
from platemaker.study._variant import VariantRow

_GAP = "  "
_COLOURS = {Verdict.FAIL: "1;31", Verdict.CAUTION: "33", Verdict.NOT_CHECKED: "36", Verdict.ACCEPTED: "32",
            Verdict.PASS: "32"}  # fmt: skip


MOST_IDS = 4
"""Checks that fail which a row of the table names."""


class _Column(Record):
    head: tuple[str, ...]
    cells: tuple[str, ...]
    left: bool = False

    @property
    def width(self) -> int:
        return max(map(len, (*self.head, *self.cells)))

    def line(self, text: str) -> str:
        return text.ljust(self.width) if self.left else text.rjust(self.width)

    def head_line(self, line: int, lines: int) -> str:
        """One line of the head, which stands on the rule."""
        missing = lines - len(self.head)
        return self.line(self.head[line - missing] if line >= missing else "")


def render_study(study: Study, *, width: int = 80, colour: bool = False) -> str:
    """The study's table, never wider than `width` columns. `*` marks the trade-off front, `=` the spec as it is."""
    lines = _wrapped(_opening(study), width)
    sound = _shown(study)
    if sound:
        fixed = [_Column((), tuple(_mark(study, row) for row in sound), left=True), *_varied(study, sound)]
        free = [
            _verdicts(sound),
            *_failing(sound),
            *(_outcome(one, study, sound) for one in study.outcomes),
            _thinnest(sound),
        ]
        for band in _bands(fixed, free, width):
            lines += ["", *_band(band, sound, width, colour)]
    for row in study.rows if study.sought is None else ():
        if row.fault:
            values = ", ".join(f"{vary.key.text}={it.text}" for vary, it in zip(study.varies, row.choices, strict=True))
            lines += ["", *_wrapped(f"{values}: {row.fault}", width)]
    return "\n".join([*lines, "", *_closing(study, width)]) + "\n"


def _shown(study: Study) -> tuple[VariantRow, ...]:
    """The rows of the table: of a search the winner, the front and the spec as it is."""
    if study.sought is None:
        return study.sound
    wanted = {*study.front, study.now, study.sought.winner}
    return tuple(row for row in study.sound if row.number in wanted)


def _opening(study: Study) -> str:
    varied = " and ".join(vary.key.text for vary in study.varies)
    subject = f"; {study.subject}" if study.subject else ""
    if study.sought is not None:
        kept = ", ".join(keep.text for keep in study.sought.keeps) or "nothing"
        return (
            f"{study.project}: {study.sought.aim.text} sought over {varied}, keeping {kept}; {study.asked} of "
            f"{study.sought.combinations} combinations tried{subject}"
        )
    return f"{study.project}: {varied} varied, {study.asked} variants{subject}"


def _closing(study: Study, width: int) -> list[str]:
    lines = []
    if study.interrupted:
        left = ", without every field of the air" if len(study.rows) == study.asked else ""
        lines += _wrapped(f"interrupted: {len(study.rows)} of {study.asked} variants done{left}", width)
    if study.unsettled:
        which = ", ".join(map(str, study.unsettled))
        lines += _wrapped(f"the field of the air did not converge for variant {which}: no loss by it", width)
    lines += _wrapped(_front(study), width) if study.sound else []
    for show in dict.fromkeys(show for row in study.sound for show in row.shown):
        if all(row.shown.get(show) is None for row in study.sound):
            lines += _wrapped(f"no finding begins with {show}", width)
    if study.now is not None:
        lines += ["= the spec as it is"]
    lines += _won(study, width)
    faults = len(study.rows) - len(study.sound)
    words = [f"{sum(row.verdict is verdict for row in study.rows)} {verdict.value}" for verdict in reversed(Verdict)]
    counts = ", ".join(word for word in words if not word.startswith("0 "))
    done = ", ".join(filter(None, [counts, f"{faults} not possible" if faults else ""]))
    return [*lines, *_wrapped(f"variants: {done or 'none done'}", width)]


def _front(study: Study) -> str:
    x, y = study.trade.x, study.trade.y
    if not study.front:
        return f"no front: no variant has both {x.title} and {y.title}"
    ways = ["more" if one.more_is_better else "less" for one in (x, y)]
    among = (
        "of those that fail no check" if any(not row.fails for row in study.sound) else "every variant fails a check"
    )
    return f"* on the front of {ways[0]} {x.title} against {ways[1]} {y.title}; {among}"


def _won(study: Study, width: int) -> list[str]:
    """What a search found, in words."""
    if study.sought is None:
        return []
    row, aim = study.winner, study.sought.aim
    if row is None:
        return _wrapped(_none_won(study, aim.outcome), width) if study.rows else []
    values = ", ".join(f"{vary.key.text}={choice.text}" for vary, choice in zip(study.varies, row.choices, strict=True))
    figure = figure_text(row.value(aim.outcome.name), aim.outcome, study.unit)
    best = "of all combinations" if study.sought.exhaustive else "of those tried, and no neighbour of it is better"
    fails = f'; it fails {_ids(row)}: --keep "no fails" leaves such variants out' if row.fails else ""
    return _wrapped(f"! {aim.text} {best}: {figure} {unit_for(aim.outcome, study.unit)} with {values}{fails}", width)


def _none_won(study: Study, outcome: Outcome) -> str:
    if not study.sound:
        return "no combination tried is possible"
    if all(row.value(outcome.name) is None for row in study.sound):
        return f"no figure of {outcome.title} in any combination tried"
    return "no combination tried holds what is to be kept"


def _mark(study: Study, row: VariantRow) -> str:
    won = study.sought is not None and row.number == study.sought.winner
    return ("!" if won else "*" if row.number in study.front else " ") + ("=" if row.number == study.now else "")


def _varied(study: Study, rows: Sequence[VariantRow]) -> list[_Column]:
    columns = []
    for place, vary in enumerate(study.varies):
        cells = tuple(row.choices[place].text for row in rows)
        columns.append(_Column(tuple(vary.key.text.split(".")[-2:]), cells))
    return columns


def _outcome(outcome: Outcome, study: Study, rows: Sequence[VariantRow]) -> _Column:
    cells = tuple(figure_text(row.value(outcome.name), outcome, study.unit) for row in rows)
    # A title is broken into short lines, so that the column is hardly wider than its figures.
    words = outcome.title.replace(":", ": ").split()
    return _Column((*words, short_unit(outcome, study.unit)), cells)


def _verdicts(rows: Sequence[VariantRow]) -> _Column:
    return _Column(("verdict",), tuple(_verdict(row) for row in rows), left=True)


def _failing(rows: Sequence[VariantRow]) -> list[_Column]:
    """Which checks fail, where any does."""
    return [_Column(("checks", "that fail"), tuple(map(_ids, rows)), left=True)] if any(map(_ids, rows)) else []


def _ids(row: VariantRow) -> str:
    more = len(row.failing) - MOST_IDS
    return ", ".join(row.failing[:MOST_IDS]) + (f" +{more}" if more > 0 else "")


def _thinnest(rows: Sequence[VariantRow]) -> _Column:
    """What kind of wall the least metal is, and between what."""
    cells = tuple(f"{row.least.title}, {' + '.join(row.least.features)}" if row.least else "" for row in rows)
    return _Column(("least metal between",), cells, left=True)


def _verdict(row: VariantRow) -> str:
    if row.fails:
        return f"fail {row.fails}"
    return f"caution {row.cautions}" if row.cautions else str(row.verdict.value if row.verdict else "")


def _bands(fixed: list[_Column], free: list[_Column], width: int) -> list[list[_Column]]:
    """The columns in bands that fit, each beginning with the fixed ones."""
    bands: list[list[_Column]] = []
    for column in free:
        last = bands[-1] if bands else None
        if last is not None and len(_GAP.join(" " * one.width for one in [*last, column])) <= width:
            last.append(column)
        else:
            bands.append([*fixed, column])
    return bands


def _band(columns: list[_Column], rows: Sequence[VariantRow], width: int, colour: bool) -> list[str]:
    high = max(len(column.head) for column in columns)
    heads = [_GAP.join(column.head_line(line, high) for column in columns) for line in range(high)]
    lines = [*heads, "-" * len(heads[0]), *(_GAP.join(_cells(columns, place)) for place in range(len(rows)))]
    shown = [line.rstrip()[:width] for line in lines]
    return [*shown[: high + 1], *map(_coloured, shown[high + 1 :], rows)] if colour else shown


def _cells(columns: list[_Column], place: int) -> list[str]:
    return [column.line(column.cells[place]) for column in columns]


def _coloured(line: str, row: VariantRow) -> str:
    """The line with its verdict coloured, in the band that shows it."""
    words = _verdict(row)
    return line.replace(words, f"\x1b[{_COLOURS[row.verdict]}m{words}\x1b[0m", 1) if row.verdict else line


def _wrapped(text: str, width: int) -> list[str]:
    safe = "".join(letter if letter.isprintable() else "?" for letter in text)
    return textwrap.wrap(safe, width, subsequent_indent="  ")
