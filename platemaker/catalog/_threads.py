"""Screw threads: metric coarse and fine, UNC and UNF, with stress area and tap drill."""

from __future__ import annotations

import re
from enum import Enum
from functools import cache

from platemaker.catalog._lookup import missing
from platemaker.catalog._table import Row, table
from platemaker.errors import CatalogError
from platemaker.records import asdict


class Series(Enum):
    """The family a thread belongs to."""

    METRIC_COARSE = "metric coarse"
    METRIC_FINE = "metric fine"
    UNC = "UNC"
    UNF = "UNF"


class Thread(Row, kw_only=True):
    """One screw thread. Lengths in mm, area in mm².

    `size` is the name of the diameter, under which the tables of holes, heads and washers list it: `M8`, `#10`, `3/8`.
    `pitch` of an inch thread is 25.4 mm divided by its threads per inch.
    """

    designation: str
    size: str
    series: Series
    major_diameter: float
    pitch: float
    stress_area: float
    tap_drill: float
    tap_drill_name: str
    tap_drill_source: str

    @property
    def metric(self) -> bool:
        """Whether it is an ISO metric thread."""
        return self.series in (Series.METRIC_COARSE, Series.METRIC_FINE)


class _ThreadRow(Row, kw_only=True):
    designation: str
    size: str
    series: Series
    major_diameter: float
    pitch: float
    stress_area: float


class _TapDrillRow(Row, kw_only=True):
    designation: str
    drill_name: str
    drill_diameter: float


_METRIC = re.compile(r"M(\d+(?:\.\d+)?)(?:[X×*-](\d+(?:\.\d+)?))?")
_UNIFIED = re.compile(r"(?:#|NO\.?)?(\d+(?:/\d+)?)(?:\"|IN)?(?:-(\d+))?(UNC|UNF)?")


@cache
def threads() -> tuple[Thread, ...]:
    """All threads of the catalog, metric first, each series by diameter."""
    drills = {
        row.designation: row
        for file in ("iso_2306_tap_drills.csv", "asme_b1_1_tap_drills.csv")
        for row in table(file, _TapDrillRow)
    }
    rows = (*table("iso_898_1_threads.csv", _ThreadRow), *table("asme_b1_1_threads.csv", _ThreadRow))
    return tuple(_with_drill(row, drills[row.designation]) for row in rows)


def _with_drill(row: _ThreadRow, drill: _TapDrillRow) -> Thread:
    return Thread(
        **asdict(row),
        tap_drill=drill.drill_diameter,
        tap_drill_name=drill.drill_name,
        tap_drill_source=drill.source,
    )


@cache
def thread(designation: str) -> Thread:
    """The thread of that name, written as in the trade; case and blanks do not count.

    `M8`, `M8x1.25`, `M10x1.25`, `3/8-16`, `3/8-16 UNC`, `3/8 UNC`, `#10-32`, `10-32`, `No. 10-32 UNF`, `1/4"-20`.
    Raises CatalogError with the nearest thread for a name that the tables do not hold.

    >>> thread("m10 X 1.25").tap_drill
    8.75
    >>> thread("1/4-20").designation
    '1/4-20 UNC'
    """
    text = "".join(designation.upper().split())
    if match := _METRIC.fullmatch(text):
        chosen = _metric(float(match.group(1)), match.group(2))
    elif match := _UNIFIED.fullmatch(text):
        chosen = _unified(*match.groups())
    else:
        chosen = []
    if len(chosen) == 1:
        return chosen[0]
    if chosen:
        both = " or ".join(entry.designation for entry in chosen)
        msg = f"thread {designation!r} does not state its pitch: write {both}"
        raise CatalogError(msg, [entry.designation for entry in chosen], designation)
    metric = text.startswith("M")
    names = [entry.designation for entry in threads() if entry.metric == metric]
    error = missing("thread", designation, names, _nearest(text))
    raise error


def size_name(of_thread: Thread | str) -> str:
    """The name of the diameter, `M8` or `3/8`, under which the other tables list a thread."""
    return (of_thread if isinstance(of_thread, Thread) else thread(of_thread)).size


def _metric(diameter: float, pitch: str | None) -> list[Thread]:
    of_size = [entry for entry in threads() if entry.metric and entry.major_diameter == diameter]
    if pitch is None:
        return [entry for entry in of_size if entry.series is Series.METRIC_COARSE]
    return [entry for entry in of_size if entry.pitch == float(pitch)]


def _unified(size: str, per_inch: str | None, series: str | None) -> list[Thread]:
    # A gauge number is never a size in inches here: "10-32" is #10, "1-8" is one inch.
    sizes = {size, f"#{size}"}
    return [
        entry
        for entry in threads()
        if not entry.metric
        and entry.size in sizes
        and (series is None or entry.series.value == series)
        and (per_inch is None or entry.designation.split()[0].endswith(f"-{per_inch}"))
    ]


def _nearest(text: str) -> str | None:
    """The thread closest in diameter, then in pitch; None leaves the choice to the spelling."""
    if match := _METRIC.fullmatch(text):
        diameter, pitch = float(match.group(1)), float(match.group(2) or 0)
        metric = [entry for entry in threads() if entry.metric]
        # Coarse threads come first in the table, so that a bare "M9" is answered with one.
        return min(
            metric, key=lambda t: (abs(t.major_diameter - diameter), abs(t.pitch - pitch) if pitch else 0.0)
        ).designation
    if match := _UNIFIED.fullmatch(text):
        size, per_inch, _ = match.groups()
        near = _unified(size, per_inch, None) or _unified(size, None, None)
        return near[0].designation if near else None
    return None
