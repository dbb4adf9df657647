"""The room that each tool takes over a screw's seat, by hand from the sizes of screws, keys and sockets.

M8, ISO 4762: head 13 wide and 8 high, hexagon of 6; ISO 2936: key of 6 with arms of 38 and 96. Washers are left out, so
heights count from the seat. Over it tools are drawn from 0.5 on.
"""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from platemaker.checks._stack._stack_items import contents_of
from platemaker.checks._stack._tools import ToolEnvelope, tool_envelopes
from platemaker.space import Cylinder, Prism
from tests.design_stacks import stack_of

LID = """
project: tools
bodies: {log: {envelope: {box: [200, 120, 40]}, joints: {top: {face: above, holes: tapped, thread_depth: 25}}}}
joints:
  top: {bolts: {pattern: {rectangle: [120, 70]}, thread: M8, head: socket, length: 30}}
parts:
  lid:
    kind: plate
    material: 6061-T6
    thickness: 12
    outline: {rectangle: [150, 100]}
    below: {top: {holes: clear}}
"""
SEAT = 12.0
"""The lid's upper face, where the heads sit."""


def ways(folder: Path) -> list[ToolEnvelope]:
    return list(tool_envelopes(contents_of(stack_of(folder, LID)).fasteners[0]))


def spans(figure: Cylinder | Prism) -> tuple[float, float]:
    """Lower and upper end over the seat."""
    assert isinstance(figure, Cylinder)
    return figure.start[2] - SEAT, figure.end[2] - SEAT


def test_a_bit_socket_stands_on_its_bit(tmp_path: Path) -> None:
    """A bit 15 out of the head, from 8 to 23, under a socket 23 wide that ends 60 over the head, at 68."""
    bit, body, out = ways(tmp_path)[0].figures
    assert spans(bit) == pytest.approx((8, 8 + 15))
    assert isinstance(bit, Cylinder)
    assert bit.radius == pytest.approx(6 / math.sqrt(3))
    assert spans(body) == pytest.approx((8 + 15, 8 + 60))
    assert isinstance(body, Cylinder)
    assert body.radius == pytest.approx(11.5)
    assert spans(out) == pytest.approx((0.5, 8 + 30))  # the head, drawn out by the screw's length
    assert isinstance(out, Cylinder)
    assert out.radius == pytest.approx(6.5)


@pytest.mark.parametrize(("first", "stem", "arm"), [(1, 38.0, 96.0), (25, 96.0, 38.0)])
def test_a_key_swings_60_degrees_in_each_of_24_directions(tmp_path: Path, first: int, stem: float, arm: float) -> None:
    """Half the head is hexagon: the bend's outside stands at 8 - 4 + the upright arm, the other arm 2 corners below."""
    found = ways(tmp_path)
    assert len(found) == 1 + 2 * 24
    level, corner = 8 - 4 + stem, 6 / math.sqrt(3)
    for number in range(24):
        upright, swing, _ = found[first + number].figures
        assert spans(upright) == pytest.approx((8, level))
        assert isinstance(swing, Prism)
        assert swing.frame.origin[2] - SEAT == pytest.approx(level - 2 * corner)
        assert swing.height == pytest.approx(2 * corner)
        x, y, _ = (a - b for a, b in zip(swing.frame.origin, upright.start, strict=True))  # type: ignore[union-attr]
        assert (x, y) == pytest.approx((0.0, 0.0))
        ends = sorted(
            round(math.degrees(math.atan2(edge.end[1], edge.end[0])) % 360, 6) % 360
            for edge in swing.region.outer.edges
            if math.hypot(*edge.end) > 1
        )
        assert ends == pytest.approx(sorted((15.0 * number + by) % 360 for by in (0, 60)))
        assert swing.region.area == pytest.approx(math.pi * arm**2 / 6)
