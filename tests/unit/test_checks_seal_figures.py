"""Figures in a joint's plane: the narrowest land, what is open together, what a plate spans and how thick it is there.

Sources: plane geometry by hand; a round plate's stress by Roark's 3 (3 + nu) q r2/(8 t2), a square one's by Timoshenko's
table 8: 0.0479 q a2 of moment for nu = 0.3.
"""

from __future__ import annotations

import math

import pytest

from platemaker.catalog import material
from platemaker.checks._loads._seal_lines import Named, SealLine, Space, _connected
from platemaker.checks._sealing._bending import backed_share, bending_of, least_thickness, spanning_share
from platemaker.checks._sealing._sealing import _gap, _narrowest
from platemaker.parts import Kind, Mounting, Part, PlateStock, Profile, ProfileKind, Role, Side
from platemaker.plane import Box, Loop, Point, Region, measures


def disc(x: float, y: float, radius: float) -> Region:
    return Region.of(Loop.circle((x, y), radius))


def box(wide: float, high: float, x: float = 0.0, y: float = 0.0) -> Region:
    return Region.of(Loop.rectangle(wide, high, centre=(x, y)))


PORT = disc(0.0, 0.0, 10.0)


@pytest.mark.parametrize(
    ("a", "b", "gap"),
    [
        ((0, 0, 10, 10), (13, 14, 20, 20), 5.0),  # corner to corner, 3 and 4 off
        ((0, 0, 10, 10), (12, 3, 20, 6), 2.0),
        ((0, 0, 10, 10), (3, 17, 6, 20), 7.0),
        ((0, 0, 10, 10), (5, 5, 20, 20), 0.0),
    ],
)
def test_the_gap_of_two_boxes_either_way_round(a: Box, b: Box, gap: float) -> None:
    assert _gap(a, b) == _gap(b, a) == pytest.approx(gap)


@pytest.mark.parametrize(
    ("ends", "width", "name", "points"),
    [
        ([("far", disc(40, 0, 5)), ("near", disc(0, 20, 4))], 6.0, "near", ((0, 10), (0, 16))),
        # The box of the one off the corner is 1.4 mm off, itself 16 sqrt 2 - 15 = 7.6; the other is 5 off, as its box.
        ([("corner", disc(16, 16, 5)), ("side", disc(20, 0, 5))], 5.0, "side", ((10, 0), (15, 0))),
        ([("corner", disc(16, 16, 5)), ("side", disc(24, 0, 5))], 16 * math.sqrt(2) - 15, "corner", None),
        ([("edge", box(60, 40))], 10.0, "edge", None),  # the outline round it
        ([("inside", disc(3, 0, 2))], -5.0, "inside", ((10, 0), (5, 0))),  # the opening runs over it
        ([("inside", disc(3, 0, 2)), ("near", disc(0, 20, 4))], -5.0, "inside", None),
        ([("first", disc(0, 20, 4)), ("second", disc(20, 0, 4))], 6.0, "first", None),
    ],
)
def test_the_narrowest_land_round_a_port(
    ends: list[tuple[str, Region]], width: float, name: str, points: tuple[Point, Point] | None
) -> None:
    """A port of radius 10 at the middle. A land taken too wide hides a leak."""
    found = _narrowest((PORT,), tuple(Named(*end) for end in ends))
    assert (found[0], found[1]) == (pytest.approx(width, abs=1e-9), name)
    if points is not None:
        assert found[2:] == (pytest.approx(points[0]), pytest.approx(points[1]))


def test_the_nearest_of_several_openings_counts() -> None:
    """Ports of radius 10 at 0 and 50, a hole of radius 5 at 30: 15 from the first, 5 from the second."""
    found = _narrowest((PORT, disc(50, 0, 10)), (Named("hole", disc(30, 0, 5)),))
    assert found == (pytest.approx(5.0), "hole", pytest.approx((40.0, 0.0)), pytest.approx((35.0, 0.0)))
    assert _narrowest((PORT,), ())[0] == math.inf


def named(*regions: tuple[str, Region]) -> list[Named]:
    return [Named(*each) for each in regions]


def test_cuts_that_meet_the_port_by_way_of_others_are_open_too() -> None:
    """Squares of 10 in a row overlap by 2: all of it is open, 26 by 10; what stands 1 mm off is not."""
    row = named(("b", box(10, 10, 16)), ("a", box(10, 10, 8)), ("off", box(10, 10, 0, 11)))
    opened, left = _connected(box(10, 10), row)
    assert [region.area for region in opened] == [pytest.approx(260.0)]
    assert [each.name for each in left] == ["off"]


def test_a_cut_whose_box_alone_meets_the_ports_is_not_open() -> None:
    """A disc of radius 4 at (11, 11): its box from 7 meets the port's to 10; sqrt 2 11 - 14 = 1.6 mm lie between."""
    opened, left = _connected(PORT, named(("corner", disc(11, 11, 4))))
    assert [region.area for region in opened] == [pytest.approx(100 * math.pi)]
    assert [each.name for each in left] == ["corner"]
    opened, left = _connected(PORT, named(("corner", disc(11, 11, 4)), ("bridge", disc(-10, 0, 3))))
    assert opened[0].area > 100 * math.pi
    assert [each.name for each in left] == ["corner"]


def line(*regions: Region) -> SealLine:
    spaces = tuple(Space((region,), (), (), (), None) for region in regions)
    return SealLine(spaces, regions, measures(*regions), "")


def test_a_seal_line_round_two_openings() -> None:
    """Boxes of 20 by 10 and 10 by 30, 40 mm apart: 60 + 80 long; the box round both is 55 by 30 about (17.5, 5)."""
    both = line(box(20, 10), box(10, 30, 40, 5))
    assert both.length == pytest.approx(140.0)
    assert both.whole.bounds == pytest.approx((-10.0, -10.0, 45.0, 20.0))
    assert both.filled == pytest.approx(200 + 300)
    assert both.opened == both.regions
    assert line(PORT).whole is PORT


def test_what_is_open_twice_is_filled_once() -> None:
    """Boxes of 20 by 10 that share 5 by 10; and the larger of a space's pieces, islands counted in."""
    assert line(box(20, 10), box(20, 10, 15)).filled == pytest.approx(350.0)
    ring = Region.of(Loop.rectangle(20, 20), [Loop.rectangle(10, 10)])
    assert Space((box(5, 5, 40), ring), (), (), (), None).filled.area == pytest.approx(400.0)


def plate(*cuts: Profile, mountings: tuple[Mounting, ...] = ()) -> Part:
    return Part("p", "p", Kind.PLATE, material("6061-T6"), PlateStock(box(200, 200), 12.0), cuts, mountings=mountings)


def cut(region: Region, depth: float | None = None) -> Profile:
    """A cut through, or blind from above."""
    kind = ProfileKind.OPENING if depth is None else ProfileKind.POCKET
    return Profile("cut", kind, (region,), Side.ABOVE, depth or 12.0, depth is None)


BELOW, MOVED = Mounting("j", Side.BELOW, Role.CLEAR), Mounting("j", Side.BELOW, Role.CLEAR, at=(100.0, 0.0))


@pytest.mark.parametrize(
    ("cuts", "mounting", "share"),
    [
        ((), BELOW, 1.0),
        ((cut(box(20, 10)),), BELOW, 0.5),  # 200 of 400 mm2
        ((cut(box(20, 10)), cut(box(10, 10, 0, 25))), BELOW, 0.5),  # beside it
        ((cut(box(20, 10), 5.0),), BELOW, 1.0),  # blind
        ((cut(box(10, 10, 100)),), MOVED, 0.75),  # the joint lies at X = 100
    ],
)
def test_share_of_the_pressed_figure_that_a_plate_spans(
    cuts: tuple[Profile, ...], mounting: Mounting, share: float
) -> None:
    """A pressed square of 20."""
    assert spanning_share(plate(*cuts), mounting, line(box(20, 20))) == pytest.approx(share)


@pytest.mark.parametrize(
    ("others", "share"),
    [
        ([("top", Side.ABOVE)], 0.25),  # 100 of 400 mm2
        ([("top", Side.ABOVE), ("large", Side.ABOVE)], 1.0),  # no more than all of it
        ([("top", Side.BELOW)], 0.0),  # the same face
        ([("unknown", Side.ABOVE)], 0.0),
    ],
)
def test_share_of_the_pressure_that_the_other_face_takes_back(others: list[tuple[str, Side]], share: float) -> None:
    """Taken too large, a plate that bends passes."""
    part = plate(mountings=(BELOW, *(Mounting(name, side, Role.CLEAR) for name, side in others)))
    lines = {"top": line(box(10, 10)), "large": line(box(30, 30)), "j": line(box(20, 20))}
    assert backed_share(part, BELOW, lines["j"], lines) == pytest.approx(share)


@pytest.mark.parametrize(
    ("cuts", "mounting", "left"),
    [
        ((), BELOW, 12.0),
        ((cut(box(10, 10), 5.0),), BELOW, 7.0),  # 100 of 400 mm2
        ((cut(box(6.4, 6.4), 5.0),), BELOW, 7.0),  # 41 mm2, more than a tenth
        ((cut(box(6.2, 6.2), 5.0),), BELOW, 12.0),  # 38 mm2
        ((cut(box(10, 10), 5.0), cut(box(10, 10, 0, 5), 3.0)), BELOW, 7.0),  # the deepest
        ((cut(box(10, 10), 3.0), cut(box(10, 10, 0, 5), 5.0)), BELOW, 7.0),
        ((cut(box(10, 10)),), BELOW, 12.0),  # right through, which the share counts
        ((cut(box(10, 10, 100), 5.0),), MOVED, 7.0),
        ((cut(box(10, 10), 5.0),), MOVED, 12.0),
    ],
)
def test_least_thickness_inside_the_seal_line(cuts: tuple[Profile, ...], mounting: Mounting, left: float) -> None:
    """A plate of 12 mm, a pressed square of 20."""
    assert least_thickness(plate(*cuts), mounting, line(box(20, 20))) == pytest.approx(left)


def test_a_round_figure_bends_as_a_round_plate_and_any_other_as_its_box() -> None:
    """0.2 MPa on 10 mm: round, radius 50, 3 x 3.33 x 0.2 x 2500/(8 x 100) with the nu of 6061, 0.33.

    Square of 100: 6 x 0.0479 x 0.2 x 100^2/100 at nu = 0.3 (Timoshenko); at 0.33 the moment is 1.33/1.3 of that. One of
    100 by 200 is stressed as the box of 200 by 100, and more.
    """
    part = plate()
    nu = part.material.poisson or 0.3
    circle = bending_of(disc(7, 7, 50), 10.0, 0.2, part).result
    assert circle.stress_centre == pytest.approx(3 * (3 + nu) * 0.2 * 2500 / (8 * 100))
    square = bending_of(box(100, 100, 30, 40), 10.0, 0.2, part).result
    assert square.stress_centre == pytest.approx(6 * 0.0479 * (1 + nu) / 1.3 * 0.2 * 100**2 / 100, rel=2e-3)
    wide, high = (bending_of(box(*size, 30, 40), 10.0, 0.2, part).result for size in ((200, 100), (100, 200)))
    assert wide.stress_centre == pytest.approx(high.stress_centre)
    assert wide.stress_centre > 1.5 * square.stress_centre  # table 8: 0.1017 of b/a = 2 against 0.0479
