"""Stocked cutters, drills and bolt lengths."""

from __future__ import annotations

from functools import cache

from platemaker.catalog._counterbores import HeadKind
from platemaker.catalog._lookup import found
from platemaker.catalog._table import Evidence, Row, table
from platemaker.catalog._threads import Thread, size_name
from platemaker.records import asdict, replace


class EndMill(Row, kw_only=True):
    """An end mill: diameter, flute length and the flute length of its long version, in mm."""

    name: str
    diameter: float
    flute_length: float
    long_flute_length: float


class Drill(Row, kw_only=True):
    """A jobber drill: its name, diameter and flute length in mm (None: not tabled)."""

    name: str
    diameter: float
    flute_length: float | None = None


class BoltLengths(Row, kw_only=True):
    """The nominal lengths in which screws of a size are stocked, in mm, shortest first."""

    size: str
    lengths: tuple[float, ...]


class _MetricDrillRow(Row, kw_only=True):
    name: str
    diameter: float
    flute_length: float


class _InchDrillRow(Row, kw_only=True):
    name: str
    diameter: float


class _Length(Row, kw_only=True):
    length: float


class _LengthRange(Row, kw_only=True):
    size: str
    shortest: float
    longest: float


@cache
def cutters() -> tuple[EndMill, ...]:
    """The end mills of the catalog, metric first, each by diameter."""
    return (*table("iso_1641_1_end_mills.csv", EndMill), *table("inch_end_mills.csv", EndMill))


@cache
def drills() -> tuple[Drill, ...]:
    """The jobber drills of the catalog: metric 2 to 20 mm, then inch numbers, letters and fractions by diameter."""
    return tuple(
        Drill(**asdict(row))
        for row in (
            *table("iso_235_jobber_drills.csv", _MetricDrillRow),
            *table("asme_b94_11m_drills.csv", _InchDrillRow),
        )
    )


def standard_bolt_lengths(for_thread: Thread | str, head: HeadKind = HeadKind.SOCKET) -> BoltLengths:
    """The lengths in which a screw is sold, in mm: metric ones in steps of ISO 888 in the range of their standard.

    ISO 4762 gives the range of socket heads, ISO 4017 and ISO 4014 together that of hexagon heads, which is taken for
    studs (without their metal end) too; that is common practice, no source. Lengths of inch
    screws are common practice. Raises CatalogError for an unknown thread.

    >>> standard_bolt_lengths("M8").lengths[:4]
    (10.0, 12.0, 16.0, 20.0)
    >>> standard_bolt_lengths("M8", HeadKind.HEX).lengths[:3]
    (16.0, 20.0, 25.0)
    """
    size = size_name(for_thread)
    metric = size.startswith("M")
    steps, ranges = _lengths(metric=metric, head=head)
    row = found(ranges, size, "bolt lengths for")
    chosen = [step for step in steps if row.shortest <= step.length <= row.longest]
    return BoltLengths(
        size=size,
        lengths=tuple(step.length for step in chosen),
        source=f"{chosen[0].source}; range: {row.source}" if metric else row.source,
        evidence=row.evidence if row.evidence is not Evidence.READ else chosen[0].evidence,
        note=row.note,
    )


@cache
def _lengths(*, metric: bool, head: HeadKind) -> tuple[tuple[_Length, ...], dict[str, _LengthRange]]:
    if not metric:
        return table("inch_bolt_lengths.csv", _Length), _ranges("inch_length_ranges.csv")
    steps = table("iso_888_bolt_lengths.csv", _Length)
    if head is HeadKind.SOCKET:
        return steps, _ranges("iso_4762_length_ranges.csv")
    shanked = _ranges("iso_4014_length_ranges.csv")
    return steps, {
        size: replace(
            row, longest=max(row.longest, shanked[size].longest), source=f"{row.source}; {shanked[size].source}"
        )
        for size, row in _ranges("iso_4017_length_ranges.csv").items()
    }


def _ranges(file: str) -> dict[str, _LengthRange]:
    return {row.size: row for row in table(file, _LengthRange)}
