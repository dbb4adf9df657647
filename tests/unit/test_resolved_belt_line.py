"""How true a pulley runs on a joint that leans, has play or a gasket, by hand.

A fan of 200 stands over a body's joint whose bolts are at (+-40, +-30), a diagonal of 100; its axis runs along X, 100 over
the joint and 800 beside the middle of its bolts.
"""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from platemaker.checks import Verdict
from platemaker.resolved import PulleyLine, resolved_stack
from tests.design_stacks import findings_of, stack_of
from tests.plates import note_of

DRIVE = """
project: drive
bodies:
  log: {material: S235, envelope: {box: [120, 100, 40]}, joints: {top: {holes: tapped, thread_depth: 25}}}
joints:
  top: {bolts: {pattern: {rectangle: [80, 60]}, thread: M8, length: 30}, MORE}
belt:
  section: SPA
  strands: 2
  turns: clockwise
  speed: 1500 rpm
  lengths: [2228.3]
  pulleys:
    motor: {at: [0, 0, 100], diameter: 200, drives: true, AXIS}
    fan: {at: [OFF, -800, 100], diameter: 200, power: 12 kW, joints: [top], AXIS}
parts:
  lid: {kind: plate, material: 6061-T6, thickness: 10, outline: {rectangle: [120, 100]}, below: {top: {holes: clear}}}
"""


def text(more: str, off: float = 0.0, axis: str = "axis: [1, 0, 0]") -> str:
    return DRIVE.replace("MORE", more or "pressure: 1 bar").replace("OFF", f"{off}").replace("AXIS", axis)


def line(folder: Path, more: str = "", off: float = 0.0, axis: str = "axis: [1, 0, 0]") -> PulleyLine:
    [found] = resolved_stack(stack_of(folder, text(more, off, axis))).pulley_lines
    return found


def test_play_shifts_and_turns_it(tmp_path: Path) -> None:
    """Holes of 9 round M8 give 0.5 mm of play: 0.5 along the axis, and 2 x 0.5 / 100 rad about the bolts' middle."""
    found = line(tmp_path)
    [free] = found.free
    assert (found.offset, found.angle, found.unread) == (0.0, 0.0, ())
    assert (free.joint, free.words) == ("top", "play in its holes")
    assert free.offset == pytest.approx(0.5 + 0.01 * 800)
    assert free.angle == pytest.approx(math.degrees(0.01))
    assert (found.worst_offset, found.worst_angle) == pytest.approx((8.5, math.degrees(0.01)))


def test_dowels_hold_it_instead_of_the_bolts(tmp_path: Path) -> None:
    """The widest bore, 6.02 H7 + 0.015 (over 6), on the thinnest dowel, 6 m6 + 0.004: 0.031 of play, 120 apart."""
    dowels = "dowels: {at: {l: [-60, 0], r: [60, 0]}, diameter: 6, depth: 8, play: 0.02}"
    [free] = line(tmp_path, dowels).free
    assert free.offset == pytest.approx(0.0155 + 0.031 / 120 * 800)
    assert free.angle == pytest.approx(math.degrees(0.031 / 120))


def test_a_gasket_may_be_squeezed_more_on_one_side(tmp_path: Path) -> None:
    """0.7 to 1.2 mm as fitted, over bolts 80 apart along the axis: 0.5 / 80, on a lever of 100 less the gasket's 1."""
    _, free = line(tmp_path, "opening: {circle: 20}, gasket: {thickness: 1, land: 4, fitted: [0.7, 1.2]}").free
    assert (free.joint, free.words) == ("top", "gasket squeezed unevenly")
    assert free.angle == pytest.approx(math.degrees(math.atan(0.5 / 80)))
    assert free.offset == pytest.approx(0.5 / 80 * 99)


LEVEL = "level: {{corners: {{a: {{at: [-40, -30], reads: 0}}, b: {{at: [40, -30], reads: {x}}}, c: {{at: [40, 30], reads: {xy}}}}}}}"


@pytest.mark.parametrize("axis", ["axis: [1, 0, 0]", "axis: [-1, 0, 0]"])
@pytest.mark.parametrize("off", [0.0, 1.0, -1.0])
def test_what_leans_stands_off_and_at_an_angle(tmp_path: Path, axis: str, off: float) -> None:
    """0.4 mm up over 80 along X and 0.3 up over 60 along Y, 0.005 both.

    The rise along X tips the axis by 0.005 and moves what is 100 up by 0.5 to -X; that along Y leaves the axis alone.
    """
    found = line(tmp_path, LEVEL.format(x=0.4, xy=0.7), off, axis)
    assert found.angle == pytest.approx(math.degrees(math.atan(0.005)), rel=1e-4)
    assert abs(found.offset) == pytest.approx(abs(off - 0.5), abs=1e-9)


def test_a_taper_that_nothing_backs_is_not_checked(tmp_path: Path) -> None:
    shim = "shim: {thickness: 3, taper: [0.005, 0]}"
    assert line(tmp_path, shim).unread == ("top",)
    found = [one for one in findings_of(stack_of(tmp_path, text(shim)), "PM995") if "fan" in one.features]
    assert [one.verdict for one in found] == [Verdict.NOT_CHECKED]
    assert note_of(found[0]) == "top has a tapered shim and no `level` readings: how it leans is not known"
