"""Pipe threads and straight thread ports."""

from __future__ import annotations

from functools import cache

from platemaker.catalog._lookup import found
from platemaker.catalog._table import Row, table
from platemaker.units import MM_PER_INCH


class PipeThread(Row, kw_only=True):
    """A taper pipe thread, 1 in 16 on the diameter. Lengths in mm.

    `pitch_diameter_hand_tight` is E1, at the depth of hand-tight engagement `hand_tight_length` L1;
    `effective_length` is L2, the effective external thread. A tapped wall should be no thinner than about L2 (common
    practice).
    """

    designation: str
    pitch: float
    pipe_diameter: float
    pitch_diameter_hand_tight: float
    hand_tight_length: float
    effective_length: float
    tap_drill_name: str
    tap_drill: float


class StraightPort(Row, kw_only=True):
    """A straight thread port sealed by an O-ring in a chamfer. Lengths in mm, angle in degrees.

    `chamfer_angle` is measured from the axis of the port; `spotface_diameter` and the two depths are least values.
    """

    dash: str
    thread: str
    tap_drill_name: str
    tap_drill: float
    chamfer_diameter: float
    chamfer_angle: float
    chamfer_depth: float
    spotface_diameter: float
    full_thread_depth: float
    tap_drill_depth: float


@cache
def _pipe_threads() -> dict[str, PipeThread]:
    return {row.designation: row for row in table("asme_b1_20_1_pipe_threads.csv", PipeThread)}


@cache
def _ports() -> dict[str, StraightPort]:
    return {row.dash: row for row in table("sae_j1926_1_ports.csv", StraightPort)}


def pipe_thread(designation: str) -> PipeThread:
    """The NPT thread of that name: `1/4 NPT`, `1/4-18 NPT`, `1/4npt`. Raises CatalogError for an unknown one.

    >>> pipe_thread("1/4-18 NPT").tap_drill_name
    '7/16'
    """
    text = "".join(designation.upper().split()).removesuffix("NPT").rstrip("-")
    size, _, per_inch = text.partition("-")
    key = f"{size} NPT"
    row = found(_pipe_threads(), key if designation.upper().strip().endswith("NPT") else designation, "pipe thread")
    if per_inch and per_inch != f"{MM_PER_INCH / row.pitch:g}":
        return found(_pipe_threads(), designation, "pipe thread")
    return row


def straight_port(dash: str) -> StraightPort:
    """The SAE J1926-1 port of a dash size: `-6`, `6`, `ORB-6`. Raises CatalogError for an unknown one.

    >>> straight_port("-6").thread
    '9/16-18 UNF'
    """
    return found(_ports(), f"-{dash.upper().strip().removeprefix('ORB').lstrip('- ')}", "straight port")
