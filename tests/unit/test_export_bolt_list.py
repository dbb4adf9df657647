"""The bolts to buy and the torques to set, as files."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from platemaker.checks import bolt_orders, torque_rows
from platemaker.export import write_bolt_list, write_torque_table
from platemaker.parts import Stack
from platemaker.records import replace
from platemaker.resolved import assemble
from platemaker.spec import load_project
from tests.design_stacks import stack_of
from tests.frozen_demo import changed_stack

TWO_JOINTS = """
project: two
DESIGN
bodies:
  pot: {material: S235, envelope: {box: [300, 300, 50]}, joints: {low: {thread_depth: 20}}}
joints:
  low: {bolts: {pattern: {rectangle: [160, 90], rows: [3, 2]}, thread: M8 WASHERS}, opening: {circle: 40}}
  high: {bolts: {pattern: {row: [-60, -20, 20, 60]}, thread: M8, head: hex, length: 30}}
  spare: {bolts: {pattern: {row: [0]}, thread: M6}}
parts:
  base: {kind: plate, material: S235, thickness: 12, outline: {rectangle: [240, 140]},
    below: {low: {holes: clear}}, above: {high: {holes: clear}, spare: {holes: tapped, thread_depth: 8}}}
  top: {kind: plate, material: S235, thickness: 8, outline: {rectangle: [160, 60]}, below: {high: {holes: clear}}}
"""


def two(folder: Path, design: str = "design: {friction: plain}", washers: str = "") -> Stack:
    return stack_of(folder, TWO_JOINTS.replace("DESIGN", design).replace("WASHERS", washers))


def rows(path: Path) -> list[dict[str, str]]:
    data = path.read_bytes()
    assert b"\r" not in data
    return list(csv.DictReader(data.decode("utf-8").splitlines()))


def test_every_bolt_once(tmp_path: Path) -> None:
    """Six screws of 20: 12 under the head and 8 (1 d in steel) engaged; four bolts with nuts; one not settled."""
    write_bolt_list(two(tmp_path), tmp_path / "bolts.csv")
    found = [tuple(row.values()) for row in rows(tmp_path / "bolts.csv")]
    assert found == [
        ("6", "M8", "20", "0.7874", "socket", "8.8", "ISO 4762", "0", "0", "stock lengths", "low", "1"),
        ("4", "M8", "30", "1.181", "hex", "8.8", "ISO 4017; nut ISO 4032", "0", "4", "spec", "high", "1"),
        ("1", "M6", "?", "?", "socket", "8.8", "?", "0", "0", "not settled", "spare", "1"),
    ]


def test_as_many_sets_are_bought_as_of_the_part_that_is_made_most_often(tmp_path: Path) -> None:
    """Three tops on two bases: 2 x 6 below, 3 x 4 above, 2 x 1 where no head's seat is known."""
    text = TWO_JOINTS.replace("base: {", "base: {quantity: 2, ").replace("top: {", "top: {quantity: 3, ")
    stack = stack_of(
        tmp_path, text.replace("DESIGN", "design: {friction: plain}").replace("WASHERS", ", washers: true")
    )
    write_bolt_list(stack, tmp_path / "bolts.csv")
    found = [(row["quantity"], row["washers"], row["nuts"], row["joints"], row["sets"])
             for row in rows(tmp_path / "bolts.csv")]  # fmt: skip
    assert found == [("12", "12", "0", "low", "2"), ("12", "0", "12", "high", "3"), ("2", "0", "0", "spare", "2")]
    assert [(row.joint, row.bolts) for row in torque_rows(stack)] == [("low", 6), ("high", 4), ("spare", 1)]


def test_washers_are_bought_with_their_bolts(tmp_path: Path) -> None:
    """A washer of 1.6 mm needs 21.6: the next stock length is 25."""
    first = bolt_orders(two(tmp_path, washers=", washers: true"))[0]
    assert (first.quantity, first.length, first.washers, first.nuts) == (6, 25.0, 6, 0)


def test_torques_in_both_units(tmp_path: Path) -> None:
    """M8 8.8: 0.75 x 36.6 x 580 = 15.92 kN; K 0.2: 25.5 N.m, 18.8 lbf.ft (1.355 818 N.m). K 0.18 to 0.25.

    A torque wrench on dry threads: 35 % either way of 15.92 kN, more than the nut factor's own range.
    """
    write_torque_table(two(tmp_path), tmp_path / "torques.csv")
    low = rows(tmp_path / "torques.csv")[0]
    assert low["torque [N.m]"] == f"{0.2 * 0.75 * 36.6 * 580 * 8 / 1000:.1f}" == "25.5"
    assert low["torque [lbf.ft]"] == f"{0.2 * 0.75 * 36.6 * 580 * 8 / 1000 / 1.355818:.1f}" == "18.8"
    assert (low["nut factor low"], low["nut factor"], low["nut factor high"]) == ("0.18", "0.2", "0.25")
    assert (low["preload low [kN]"], low["preload [kN]"], low["preload high [kN]"]) == ("10.3", "15.9", "21.5")


def test_bolts_round_an_opening_go_crosswise_and_a_row_from_its_middle(tmp_path: Path) -> None:
    found = {row.joint: row.order for row in torque_rows(two(tmp_path))}
    # Round the port: 1 2 3 below, 4 5 6 above it from the right. Corner, its opposite, then the others across.
    assert found["low"][:2] == ("1", "4")
    assert sorted(found["low"]) == ["1", "2", "3", "4", "5", "6"]
    assert {frozenset(found["low"][i : i + 2]) for i in (0, 2, 4)} == {
        frozenset("14"), frozenset("25"), frozenset("36"),
    }  # fmt: skip
    assert set(found["high"][:2]) == {"2", "3"}
    write_torque_table(two(tmp_path), tmp_path / "torques.csv")
    assert rows(tmp_path / "torques.csv")[1]["tightening order"].endswith(
        " (in three passes: a third, two thirds, full)"
    )


def test_screws_of_no_joint_have_their_own_torque(tmp_path: Path) -> None:
    found = {row.joint: row.order for row in torque_rows(changed_stack(tmp_path, {}))}
    screws = {f"rail_bracket_{which}.{end}" for which in ("front", "rear") for end in ("foot", "rail")}
    assert {name: found[name] for name in screws} == {name: (name,) for name in screws}


def test_without_design_there_is_no_torque(tmp_path: Path) -> None:
    stack = replace(two(tmp_path), design=None)
    assert torque_rows(stack) == ()
    assert len(bolt_orders(stack)) == 3


@pytest.mark.parametrize(("condition", "low", "high"), [("black", 0.225, 0.375), ("anti-seize", 0.09, 0.15)])
def test_a_nut_factor_without_range_varies_by_a_quarter(
    tmp_path: Path, condition: str, low: float, high: float
) -> None:
    found = torque_rows(two(tmp_path, f"design: {{friction: {condition}}}"))[0]
    assert (found.nut_factor[0], found.nut_factor[2]) == (pytest.approx(low), pytest.approx(high))


def test_the_same_stack_gives_the_same_bytes(tmp_path: Path) -> None:
    for name in ("a.csv", "b.csv"):
        write_bolt_list(two(tmp_path), tmp_path / name)
    assert (tmp_path / "a.csv").read_bytes() == (tmp_path / "b.csv").read_bytes()


def test_a_brackets_bolts_are_bought_too() -> None:
    """The demo's bolts: every spot of its joints, and every bracket's hole that lies over another part's."""
    stack = assemble(load_project(Path(__file__).parents[2] / "part_specs" / "pump_engine"))
    spots = sum(len(joint.spots) for joint in stack.joints if joint.bolts)
    over = [(part.name, hole.name) for part in stack.parts for hole in part.holes if hole.over]
    orders = bolt_orders(stack)
    assert sum(order.quantity for order in orders) == spots + len(over)
    named = {name for order in orders for name in order.joints}
    assert over
    assert {f"{part}.{hole}" for part, hole in over} <= named
