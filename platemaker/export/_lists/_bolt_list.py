"""Bolts to buy and torques to set, as CSV."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence
from pathlib import Path

from platemaker.checks import BoltOrder, bolt_orders, torque_rows
from platemaker.formulas import newton_metres_to_pound_feet
from platemaker.parts import Stack
from platemaker.units import LengthUnit, in_project_unit

BOLTS = (
    "quantity", "thread", "length [mm]", "length [in]", "head", "class", "standard", "washers", "nuts", "length from",
    "joints", "sets",
)  # fmt: skip
TORQUES = (
    "joint", "bolts", "thread", "class", "threads and heads", "nut factor low", "nut factor", "nut factor high",
    "torque [N.m]", "torque [lbf.ft]", "preload low [kN]", "preload [kN]", "preload high [kN]", "tightening order",
)  # fmt: skip
PASSES = "in three passes: a third, two thirds, full"
"""How a torque is reached. Common practice, no source."""


def bolt_list_text(stack: Stack) -> str:
    """The bolts to buy as CSV, LF line ends: of each joint as many sets as its parts are made. `?` is not settled."""
    rows = [
        (
            row.quantity, row.thread, *_lengths(row), row.head, row.property_class, row.standard or "?", row.washers,
            row.nuts, _length_from(row), " ".join(row.joints), " ".join(map(str, row.sets)),
        )
        for row in bolt_orders(stack)
    ]  # fmt: skip
    return _csv(BOLTS, rows)


def _lengths(row: BoltOrder) -> tuple[str, str]:
    """In mm and in inches, in which inch screws are sold."""
    if row.length is None:
        return "?", "?"
    factor, _ = in_project_unit("mm", LengthUnit.INCH)
    return f"{row.length:g}", f"{row.length * factor:.4g}"


def _length_from(row: BoltOrder) -> str:
    if row.length is None:
        return "not settled"
    return "stock lengths" if row.chosen else "spec"


def torque_table_text(stack: Stack) -> str:
    """The torque of every joint as CSV, LF line ends: N.m and lbf.ft, the preload that it gives, the order of bolts."""
    rows = []
    for row in torque_rows(stack):
        torque = row.torque / 1000
        rows.append(
            (
                row.joint, row.bolts, row.thread, row.property_class, row.condition,
                *(f"{factor:g}" for factor in row.nut_factor), f"{torque:.1f}",
                f"{newton_metres_to_pound_feet(torque):.1f}", *(f"{force / 1000:.1f}" for force in row.preload),
                f"{' '.join(row.order)} ({PASSES})",
            )
        )  # fmt: skip
    return _csv(TORQUES, rows)


def _csv(heads: Sequence[str], rows: Iterable[Sequence[object]]) -> str:
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(heads)
    writer.writerows(rows)
    return out.getvalue()


def write_bolt_list(stack: Stack, path: Path) -> None:
    """Write the bolts to buy as UTF-8 CSV."""
    path.write_text(bolt_list_text(stack), encoding="utf-8", newline="\n")


def write_torque_table(stack: Stack, path: Path) -> None:
    """Write the torque table as UTF-8 CSV."""
    path.write_text(torque_table_text(stack), encoding="utf-8", newline="\n")
