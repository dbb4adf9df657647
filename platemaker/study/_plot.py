"""A study as a picture: the trade-off with its front, and each outcome against the first varied key.

The plotting library takes half a second to load and is loaded on the first plot. Same study, same bytes.
"""

from __future__ import annotations

import io
import re
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from platemaker.records import Record
from platemaker.study._outcomes import WALL_MARGIN, Outcome
from platemaker.study._shown import in_unit, short_unit
from platemaker.study._study import Study
from platemaker.study._values import Choice
from platemaker.study._variant import VariantRow

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

_HASHED, _HASHED_USE = re.compile(r'id="([A-Za-z]+[0-9a-f]{10})"'), re.compile(r"\b[A-Za-z]+[0-9a-f]{10}\b")
"""Ids that the library makes by hashing, where they are given, and wherever they stand."""

INK, FAINT, GRID, PAPER = "#27323c", "#75808a", "#dfe3e6", "#ffffff"
COLOURS = ("#1c6d86", "#b5552b", "#5d7a2a", "#7b4b86", "#a8841c", "#4c5866", "#b23a5a", "#2d8a6a")
MARKERS = ("o", "s", "^", "D", "v", "P", "X", "<", ">", "h", "p")
"""Eight colours and eleven markers share no divisor: 88 series before a pair comes again."""
# The library types its settings by the list of all their names.
_STYLE: dict[Any, Any] = {
    "font.family": ["DejaVu Sans", "sans-serif"],
    "font.size": 9,
    "text.color": INK,
    "text.parse_math": False,  # a value may hold any sign, two dollars too
    "axes.edgecolor": FAINT,
    "axes.labelcolor": INK,
    "axes.titlesize": 9,
    "axes.titlelocation": "left",
    "axes.grid": True,
    "axes.axisbelow": True,
    "axes.spines.top": False,
    "axes.spines.right": False,
    "axes.formatter.useoffset": False,
    "grid.color": GRID,
    "grid.linewidth": 0.6,
    "xtick.color": FAINT,
    "ytick.color": FAINT,
    "xtick.labelcolor": INK,
    "ytick.labelcolor": INK,
    "figure.facecolor": PAPER,
    "legend.frameon": False,
    "legend.fontsize": 8,
    "svg.fonttype": "none",
    "svg.hashsalt": "platemaker",
}
_MOST_LABELS, _MOST_SERIES = 24, 12
_TALL = 4
"""Small panels that stand in one column; more stand in two."""


class _Series(Record):
    """The rows with one value of the second key, all rows where there is none."""

    title: str
    colour: str
    marker: str
    rows: tuple[VariantRow, ...]


def plot_study(study: Study, suffix: str) -> bytes:
    """The picture as SVG or PNG. Hollow markers are variants that fail a check; impossible ones are not drawn."""
    from matplotlib import rc_context  # noqa: PLC0415 - half a second
    from matplotlib.figure import Figure  # noqa: PLC0415

    with rc_context(_STYLE):
        panels = [one for one in study.outcomes if one.name != WALL_MARGIN.name]
        columns = 1 if len(panels) <= _TALL else 2
        figure = Figure(figsize=(7.0 + 3.2 * columns, 6.4), layout="constrained")
        left, right = figure.subfigures(1, 2, squeeze=False, width_ratios=[6.4, 3.6 * columns])[0]
        series = _series(study)
        _trade(left.subplots(), study, series)
        if panels:
            rows = -(-len(panels) // columns)
            grid = right.subplots(rows, columns, squeeze=False)
            for place, axes in enumerate(grid.flat):
                if place < len(panels):
                    _panel(axes, panels[place], study, series, last=place >= len(panels) - columns)
                else:
                    axes.set_visible(False)
        return _saved(figure, suffix)


def _saved(figure: Figure, suffix: str) -> bytes:
    held = io.BytesIO()
    # What the library says of itself and of today is left out: it would change the bytes.
    gone: Mapping[str, None] = {"Date": None, "Creator": None} if suffix == "svg" else {"Software": None}
    figure.savefig(held, format=suffix, dpi=150, metadata=dict(gone))
    return _numbered(held.getvalue()) if suffix == "svg" else held.getvalue()


def _numbered(svg: bytes) -> bytes:
    """Ids by their order: the library makes them of coordinates, whose last bit its layout may round another way."""
    text = svg.decode()
    ids = dict.fromkeys(_HASHED.findall(text))
    order = {id_: f"shape_{number}" for number, id_ in enumerate(ids, start=1)}
    return _HASHED_USE.sub(lambda met: order.get(met[0], met[0]), text).encode()


def _series(study: Study) -> list[_Series]:
    seconds: Sequence[Choice | None] = study.varies[1].choices if len(study.varies) > 1 else [None]
    return [
        _Series(
            f"{_name(study, 1)} {choice.text}" if choice else "",
            COLOURS[place % len(COLOURS)],
            MARKERS[place % len(MARKERS)],
            tuple(row for row in study.sound if choice is None or row.choices[1] == choice),
        )
        for place, choice in enumerate(seconds)
    ]


def _name(study: Study, place: int) -> str:
    return study.varies[place].key.text.rpartition(".")[2]


def _trade(axes: Axes, study: Study, series: Sequence[_Series]) -> None:
    trade = study.trade
    for one in series:
        points = [(x, y, row.fails > 0) for row in one.rows if (found := _point(study, row)) for x, y in [found]]
        _markers(axes, [(x, y) for x, y, fails in points if not fails], one, hollow=False, size=34)
        _markers(axes, [(x, y) for x, y, fails in points if fails], one, hollow=True, size=34)
    by_number = {row.number: row for row in study.rows}
    front = [(row, found) for number in study.front if (found := _point(study, row := by_number[number]))]
    axes.plot([x for _, (x, _) in front], [y for _, (_, y) in front], color=INK, lw=1.0, ls=(0, (5, 3)), zorder=1)
    axes.scatter([x for _, (x, _) in front], [y for _, (_, y) in front], s=110, facecolors="none", edgecolors=INK, lw=1)
    for row, at in front[:: max(1, -(-len(front) // _MOST_LABELS))]:
        axes.annotate(row.choices[0].text, at, (7, 6), textcoords="offset points", fontsize=8)
    if study.now in by_number and (now := _point(study, by_number[study.now])):
        axes.scatter(*now, s=150, marker="+", color=INK, lw=1.2, zorder=4)
    if study.winner and (won := _point(study, study.winner)):
        axes.scatter(*won, s=190, marker="s", facecolors="none", edgecolors=INK, lw=1.2, zorder=4)
    axes.set_xlabel(_axis(trade.x, study))
    axes.set_ylabel(_axis(trade.y, study))
    axes.set_title(f"{study.project}: {study.subject}", fontsize=11, pad=12)
    axes.margins(0.09)
    _legend(axes, study, series)


def _legend(axes: Axes, study: Study, series: Sequence[_Series]) -> None:
    from matplotlib.lines import Line2D  # noqa: PLC0415 - half a second

    def key(label: str, **looks: object) -> Line2D:
        return Line2D([], [], label=label, **{"ls": "", "color": INK, **looks})  # type: ignore[arg-type]

    shown = [key(one.title, marker=one.marker, color=one.colour) for one in series[:_MOST_SERIES] if one.title]
    if len(series) > _MOST_SERIES:
        shown.append(key(f"and {len(series) - _MOST_SERIES} more"))
    if study.front:
        number = f"on the front, with its {_name(study, 0)}"
        shown.append(key(number, marker="o", ms=10, mfc="none", ls=(0, (5, 3)), lw=1))
    if any(row.fails for row in study.sound):
        shown.append(key("a check fails", marker="o", mfc="none", color=FAINT))
    if study.now is not None:
        shown.append(key("the spec as it is", marker="+", ms=11))
    if study.sought is not None and study.winner:
        shown.append(key(study.sought.aim.text, marker="s", ms=12, mfc="none"))
    axes.legend(handles=shown, loc="upper center", bbox_to_anchor=(0.5, -0.11), ncols=3, columnspacing=1.4)


def _panel(axes: Axes, outcome: Outcome, study: Study, series: Sequence[_Series], *, last: bool) -> None:
    places = _places(study.varies[0].choices)
    for one in series:
        drawn = [
            (places[row.choices[0]], in_unit(value, outcome, study.unit), row.fails > 0)
            for row in one.rows
            if (value := row.value(outcome.name)) is not None
        ]
        if _numeric(study.varies[0].choices) and study.sought is None:  # nothing lies between two words
            axes.plot([x for x, _, _ in drawn], [y for _, y, _ in drawn], color=one.colour, lw=0.9)
        _markers(axes, [(x, y) for x, y, fails in drawn if not fails], one, hollow=False, size=14)
        _markers(axes, [(x, y) for x, y, fails in drawn if fails], one, hollow=True, size=14)
    axes.set_title(_axis(outcome, study))
    axes.margins(0.06, 0.14)
    if not _numeric(study.varies[0].choices):
        axes.set_xticks(list(places.values()), [choice.text for choice in places])
    axes.tick_params(labelbottom=last)
    if last:
        unit = study.varies[0].choices[0].unit
        axes.set_xlabel(f"{_name(study, 0)}, {unit}" if unit and _numeric(study.varies[0].choices) else _name(study, 0))


def _markers(axes: Axes, points: Sequence[tuple[float, float]], series: _Series, *, hollow: bool, size: float) -> None:
    axes.scatter(
        [x for x, _ in points],
        [y for _, y in points],
        s=size,
        marker=series.marker,
        facecolors=PAPER if hollow else series.colour,
        edgecolors=series.colour,
        lw=1.0,
        zorder=3,
    )


def _point(study: Study, row: VariantRow) -> tuple[float, float] | None:
    x, y = row.value(study.trade.x.name), row.value(study.trade.y.name)
    if x is None or y is None:
        return None
    return in_unit(x, study.trade.x, study.unit), in_unit(y, study.trade.y, study.unit)


def _axis(outcome: Outcome, study: Study) -> str:
    unit = short_unit(outcome, study.unit).replace("2", "²")
    return f"{outcome.title}, {unit}" if unit else outcome.title


def _numeric(choices: Sequence[Choice]) -> bool:
    return all(choice.number is not None for choice in choices) and len({choice.unit for choice in choices}) == 1


def _places(choices: Sequence[Choice]) -> dict[Choice, float]:
    """Where each value stands on an axis: at its number, or in a row where they are words or of several units."""
    if _numeric(choices):
        return {choice: choice.number or 0.0 for choice in choices}
    return {choice: float(place) for place, choice in enumerate(choices)}
