"""The flat under a head: where mouths of openings and slanted bores end it, by plane geometry beside each number."""

from __future__ import annotations

import math

import pytest

from platemaker.catalog import material
from platemaker.checks._bolts._seats import check_seats
from platemaker.parts import (
    Bend,
    Hole,
    Kind,
    Operation,
    Part,
    PlateStock,
    Profile,
    ProfileKind,
    Screw,
    Side,
    Stack,
    Step,
    StripStock,
)
from platemaker.plane import Loop, Region

THICK = 20.0
SEAT = 13.0
"""Head of an M8 cap screw, ISO 4762, mm."""
BOLT = Hole(
    "bolt", (-30.0, 0.0, THICK), (0.0, 0.0, -1.0), (Step(Operation.DRILL, 9.0, 0.0, THICK),), True, bolt="M8",
    screw=Screw(),
)  # fmt: skip


def room(*cuts: Hole | Profile) -> tuple[str, float]:
    """What ends the flat round the bolt, and the room there."""
    stock = PlateStock(Region.of(Loop.rectangle(160, 120)), THICK)
    part = Part("plate", "plate", Kind.PLATE, material("6061-T6"), stock, (BOLT, *cuts))
    found = next(f for f in check_seats(Stack("s", "s", "mm", (part,), (), ())) if f.check == "PM401")
    assert found.measured is not None
    return found.features[1], found.measured


@pytest.mark.parametrize(("mouth", "wide"), [(Side.ABOVE, 4.0), (Side.BELOW, 0.0)])
def test_a_mouth_on_the_heads_face_takes_from_its_flat(mouth: Side, wide: float) -> None:
    """An opening of 20 mm about the origin, its edge rounded by 4 mm on one face."""
    shape = (Region.of(Loop.circle((0.0, 0.0), 10.0)),)
    opening = Profile("port", ProfileKind.OPENING, shape, Side.ABOVE, THICK, True, mouth_radius=4.0, mouth=mouth)
    assert room(opening) == ("port", pytest.approx(30 - 10 - wide - SEAT / 2, abs=1e-9))


@pytest.mark.parametrize("lean", [20.0, 45.0])
def test_a_slanted_bore_takes_its_ellipse_from_the_flat(lean: float) -> None:
    """Half axes r / cos along the lean and r across it, about the point where the axis meets the face."""
    sine, cosine = math.sin(math.radians(lean)), math.cos(math.radians(lean))
    steps = (Step(Operation.DRILL, 8.0, 0.0, THICK / cosine),)
    for way, half in (
        ((sine, 0.0, -cosine), 4 / cosine),
        ((-sine, 0.0, -cosine), 4 / cosine),
        ((0.0, sine, -cosine), 4),
    ):
        name, free = room(Hole("feed", (0.0, 0.0, THICK), way, steps, through=True))
        assert name == "feed"
        assert free == pytest.approx(30 - half - SEAT / 2, abs=2e-6)  # the slice is 1e-6 mm thick


def test_a_slanted_bore_that_stops_short_of_the_face_takes_nothing() -> None:
    """Entered from below, 10 mm deep in 20 mm: the outline, 50 mm off, ends the flat."""
    steps = (Step(Operation.DRILL, 8.0, 0.0, 10.0),)
    feed = Hole("feed", (0.0, 0.0, 0.0), (math.sin(0.5), 0.0, math.cos(0.5)), steps, through=False)
    assert room(feed) == ("outline", pytest.approx(50 - SEAT / 2, abs=1e-9))


def test_a_bend_ends_the_flat_under_a_head() -> None:
    """Leg of 30 to the sharp corner, bar of 4 bent square at radius 5: its flat ends 9 before that, 21 from the end.

    A hole 12 from the end leaves 9 to the bend; half an M8 head is 6.5.
    """
    bracket = StripStock(40.0, 4.0, (30.0, 40.0), (Bend(90.0, 5.0),))
    at, way = bracket.leg_point(0, 12.0, 0.0)
    hole = Hole("foot", at, way, (Step(Operation.DRILL, 9.0, 0.0, 4.0),), True, bolt="M8", screw=Screw())
    part = Part("bracket", "bracket", Kind.BRACKET, material("S235"), bracket, (hole,))
    found = {f.check: f for f in check_seats(Stack("s", "s", "mm", (part,), (), ()))}
    assert found["PM401"].features == ("foot", "bend 1")
    assert found["PM401"].measured == pytest.approx(9 - SEAT / 2, abs=1e-6)
    assert found["PM301"].measured == pytest.approx(12 / 8)
    assert found["PM301"].points[0] == pytest.approx(at)
