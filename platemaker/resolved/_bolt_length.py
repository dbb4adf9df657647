"""Lengths of bolts: the spec's, else the shortest stock length that engages enough thread and does not bottom out."""

from __future__ import annotations

from platemaker.catalog import Family, HeadKind, LimitName, Thread, limits, standard_bolt_lengths
from platemaker.errors import CatalogError
from platemaker.formulas import tapped_bolt_length, through_bolt_length
from platemaker.records import Record


class BoltLength(Record):
    """The length of a bolt under its head, mm: the spec's, else the shortest stock length that does; None: none does.

    `engaged` is the thread in use, `least` what it must be, `wanted` what it had better be, `room` the most that the
    hole takes, mm. With a nut `engaged` is what stands beyond what the nut sits on.
    """

    length: float | None
    given: bool
    engaged: float | None
    least: float
    wanted: float
    room: float | None
    source: str


def nut_length(bolt: Thread, head: HeadKind, grip: float, nut: float, given: float | None) -> BoltLength:
    """The length of a bolt through a grip into a nut of a height, all mm."""
    stock = standard_bolt_lengths(bolt, head)
    least = through_bolt_length(grip, nut, bolt.pitch)
    length = given or min((each for each in stock.lengths if each >= least), default=None)
    beyond = None if length is None else length - grip
    return BoltLength(length, given is not None, beyond, nut, nut, None, stock.source)


def screw_length(
    bolt: Thread,
    head: HeadKind,
    grip: float,
    depth: float,
    family: Family,
    *,
    through: bool,
    given: float | None = None,
) -> BoltLength | None:
    """The length of a screw through `grip` into `depth` of thread in a kind of metal, mm; None without limits."""
    try:
        rows = limits(family)
    except CatalogError:
        return None
    row, runout = rows[LimitName.THREAD_ENGAGEMENT], rows[LimitName.THREAD_RUNOUT]
    least = (row.fail_below or 1.0) * bolt.major_diameter
    wanted = (row.caution_below or row.fail_below or 1.0) * bolt.major_diameter
    room = depth - (0.0 if through else (runout.fail_below or 0.0) * bolt.pitch)
    stock, length = standard_bolt_lengths(bolt, head), given
    if length is None and room > 0:
        # A hole that has not the depth for the engagement wanted still gets the longest screw that it takes.
        length = tapped_bolt_length(stock.lengths, grip, min(wanted, room), room)
        fits = [each for each in stock.lengths if 0 < each - grip <= room]
        length = max(fits, default=None) if length is None else length
    engaged = None if length is None else min(depth, length - grip)
    return BoltLength(length, given is not None, engaged, least, wanted, room, stock.source)
