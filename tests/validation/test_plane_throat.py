"""The throat of a chamber against closed forms: perimeters, gaps, areas and fillets written out as arithmetic.

Where the air goes sideways the throat is depth times the shortest line that parts the openings, or an opening's area.
A straight corner of an opening is rounded off by an arc of the depth h: two straight pieces of h, 2 h h in area, become
a quarter turn, (pi/2) h h, and the corner that is left out passes (1 - pi/4) h h by its own area.
"""

from __future__ import annotations

import math
import random
import re
from collections.abc import Sequence

import pytest

from platemaker.errors import GeometryError
from platemaker.plane import ChamberOpening, ChamberPiece, Loop, Region, Throat, ThroatKind, subtract, throat
from tests.raster_flow import raster_throat

EXACT = 1e-6
"""mm2: contacts are placed to 1e-4 mm, and an area depends on the square of how far they are off."""


def chamber(
    pocket: Region, depth: float, inflow: Region, outflow: Region, islands: Sequence[Region] = (), name: str = "pocket"
) -> Throat:
    pieces = [ChamberPiece(name, region, depth) for region in (subtract(pocket, *islands) if islands else (pocket,))]
    return throat(pieces, [ChamberOpening("A", inflow)], [ChamberOpening("B", outflow)])


def circle(x: float, y: float, diameter: float, tag: str = "wall") -> Region:
    return Region(Loop.circle((x, y), diameter / 2, tag))


def rectangle(x: float, y: float, wide: float, high: float, tag: str = "wall") -> Region:
    return Region(Loop.rectangle(wide, high, 0, (x, y), tag))


@pytest.mark.parametrize("depth", [2.0, 5.0, 9.9, 10.1, 30.0])
def test_a_round_port_amid_a_round_pocket_is_its_curtain_or_its_area(depth: float) -> None:
    """Port of 40 mm in a pocket of 200 mm: the curtain is pi 40 h, the port pi 400; below h = 10 the curtain is less."""
    found = chamber(circle(0, 0, 200), depth, circle(-40, 0, 40), circle(50, 0, 60))
    assert found.area == pytest.approx(min(math.pi * 40 * depth, math.pi * 20**2), abs=EXACT)
    assert found.parts[0].kind is (ThroatKind.CURTAIN if depth < 10 else ThroatKind.OPENING)
    assert "A" in found.between


def test_a_square_port_rounds_its_corners_off() -> None:
    """40 x 40, 3 deep: 160 x 3 less (2 - pi/2) 9 at each of four corners, and (1 - pi/4) 9 of the port's area there."""
    found = chamber(rectangle(0, 0, 200, 200), 3.0, rectangle(-40, 0, 40, 40), circle(50, 0, 80))
    assert found.area == pytest.approx(160 * 3 - 4 * (2 - math.pi / 2) * 9 + 4 * (1 - math.pi / 4) * 9, abs=EXACT)


@pytest.mark.parametrize("gap", [0.0, 2.0])
def test_a_port_beside_a_wall_loses_that_side(gap: float) -> None:
    """A port 30 x 30 whose left side lies on the wall of the pocket, or 2 mm off: then two gaps of 2 mm close it.

    Right side and two long sides, two corners rounded off.
    """
    found = chamber(rectangle(0, 0, 160, 100), 2.0, rectangle(-80 + gap + 15, 0, 30, 30), circle(50, 0, 50))
    corners = 2 * ((2 - math.pi / 2) - (1 - math.pi / 4)) * 4
    assert found.area == pytest.approx(2 * (30 + 30 + 30 + 2 * gap) - corners, abs=EXACT)
    assert set(found.between) - {"wall"} == {"A"}


def test_two_islands_leave_three_gaps() -> None:
    """A pocket 50 wide, islands of 12 mm at y = 9 and y = -9 across it: gaps 10, 6 and 10 mm, 4 deep."""
    islands = [circle(0, y, 12, tag) for y, tag in ((9, "B3"), (-9, "B4"))]
    found = chamber(rectangle(0, 0, 200, 50), 4.0, circle(-60, 0, 46), circle(60, 0, 46), islands)
    assert found.area == pytest.approx(4 * (10 + 6 + 10), abs=EXACT)
    assert set(found.between) == {"B3", "B4", "wall"}
    assert sorted(part.length for part in found.parts) == pytest.approx([6, 10, 10], abs=EXACT)


@pytest.mark.parametrize(("count", "rows"), [(8, 1), (9, 1), (10, 2), (12, 3)])
def test_many_islands_leave_the_gaps_of_a_row(count: int, rows: int) -> None:
    """Rows of islands of 3 mm straight across a channel 60 wide, 12 mm from row to row: 60 less 3 each, 3 deep."""
    islands = [
        circle(12 * row, -30 + 60 * (k + 0.5) / count, 3, f"P{row}.{k}") for row in range(rows) for k in range(count)
    ]
    found = chamber(rectangle(0, 0, 240, 60), 3.0, circle(-80, 0, 54), circle(80, 0, 54), islands)
    assert found.area == pytest.approx(3 * (60 - 3 * count), abs=EXACT)


@pytest.mark.parametrize("inner", [False, True])
def test_a_ring_of_many_islands_round_a_port_is_its_gaps(inner: bool) -> None:
    """Twelve islands of 8 mm on a circle of 60 mm round a port of 40, 2 deep: chords of 60 sin 15 degrees less 8.

    With twelve of 6 mm on a circle of 48 mm as well, each between two of the others, from one to the next of the other
    circle: by the law of cosines, less both radii.
    """
    islands = [circle(30 * math.cos(a), 30 * math.sin(a), 8, f"P{k}") for k, a in enumerate(_twelfths(0.0))]
    islands += [circle(24 * math.cos(a), 24 * math.sin(a), 6) for a in _twelfths(15.0)] if inner else []
    found = chamber(rectangle(20, 0, 200, 300), 2.0, circle(0, 0, 40), circle(80, 0, 60), islands)
    chord = 60 * math.sin(math.radians(15)) - 8
    across = math.sqrt(30**2 + 24**2 - 2 * 30 * 24 * math.cos(math.radians(15))) - 4 - 3
    assert found.area == pytest.approx(2 * (24 * across if inner else 12 * chord), abs=EXACT)


def _twelfths(start: float) -> list[float]:
    return [math.radians(start + 30 * k) for k in range(12)]


def _strewn(seed: int) -> list[Region]:
    """Fourteen islands of 4 to 12 mm in the middle of a pocket, 1 mm apart or more."""
    rng, at = random.Random(seed), list[tuple[float, float, float]]()
    while len(at) < 14:
        x, y, wide = rng.uniform(-45, 45), rng.uniform(-32, 32), rng.uniform(4, 12)
        if all(math.hypot(x - a, y - b) > (wide + other) / 2 + 1 for a, b, other in at):
            at.append((x, y, wide))
    return [circle(x, y, wide, f"P{k}") for k, (x, y, wide) in enumerate(at)]


ROOM, IN, OUT, SHALLOW = rectangle(0, 0, 160, 80), circle(-65, 0, 24), circle(65, 0, 24), 0.05
"""So shallow that no port is the tightest place."""


@pytest.mark.parametrize("seed", range(4))
def test_ways_left_out_among_many_islands_are_not_needed(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    found = chamber(ROOM, SHALLOW, IN, OUT, _strewn(seed))
    monkeypatch.setattr("platemaker.plane._throat._walls.NEIGHBOURS", 14)
    assert found.area == pytest.approx(chamber(ROOM, SHALLOW, IN, OUT, _strewn(seed)).area, rel=1e-9)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(4))
def test_many_islands_pass_the_largest_flow_through_a_raster(seed: int) -> None:
    """A raster of 0.5 mm is shut for up to a step at each of the throat's ends, and its lengths are true to 2 %."""
    found = chamber(ROOM, SHALLOW, IN, OUT, _strewn(seed))
    raster = raster_throat([(one, SHALLOW) for one in subtract(ROOM, *_strewn(seed))], [IN], [OUT], 0.5)
    assert 0.98 * raster <= found.area <= 1.02 * raster + 2 * len(found.parts) * SHALLOW * 0.5


def test_an_island_anywhere_on_the_way_narrows_it() -> None:
    """The shortest line across a channel 50 wide leads over an island of 5 mm in it: 45, 4 deep."""
    held = chamber(rectangle(0, 0, 200, 50), 4.0, circle(-70, 0, 20), circle(70, 0, 46), [circle(0, 0, 5)])
    assert held.area == pytest.approx(4 * 45, abs=EXACT)


def test_what_lies_over_one_another_passes_straight_through() -> None:
    """Ports 40 x 58 and 60 x 70, 25 mm apart: 25 x 58 pass straight, the rest through the pocket 140 wide, 6 deep."""
    found = chamber(rectangle(25, 0, 200, 140), 6.0, rectangle(25, 0, 40, 58), rectangle(0, 0, 60, 70))
    assert found.area == pytest.approx(25 * 58 + 140 * 6, abs=EXACT)
    whole = chamber(rectangle(25, 0, 200, 140), 6.0, rectangle(0, 0, 40, 58), rectangle(0, 0, 60, 70))
    assert whole.area == pytest.approx(40 * 58, abs=EXACT)


def test_of_two_depths_the_shallow_one_is_the_throat() -> None:
    """A channel 50 wide, 10 deep to the left and 3 deep to the right of x = 0; both from the same face."""
    deep = ChamberPiece("deep", rectangle(-50, 0, 100, 50), 10.0)
    shallow = ChamberPiece("shallow", rectangle(50, 0, 100, 50), 3.0)
    found = throat([deep, shallow], [ChamberOpening("A", circle(-70, 0, 46))], [ChamberOpening("B", circle(70, 0, 46))])
    assert found.area == pytest.approx(3 * 50, abs=EXACT)


def test_pieces_over_one_another_count_their_depths_together() -> None:
    lower = ChamberPiece("lower", rectangle(0, 0, 200, 50), 3.0)
    upper = ChamberPiece("upper", rectangle(0, 0, 200, 20), 2.0, level=3.0)
    found = throat([lower, upper], [ChamberOpening("A", circle(-70, 0, 18))], [ChamberOpening("B", circle(70, 0, 18))])
    assert found.area == pytest.approx(3 * 50 + 2 * 20, abs=EXACT)


@pytest.mark.parametrize(("x", "wide"), [(32.0, 62.0), (15.0, 80.0)], ids=["apart", "one partly over the other"])
def test_islands_over_the_edge_of_a_port_leave_slivers_that_are_cut_off_by_themselves(x: float, wide: float) -> None:
    """Two islands stand over the rim of the outflow; only a gasket's thickness is open between them and the port.

    So shallow that no port is the tightest place, against the largest flow through a raster of 1 mm, within 3 %.
    """
    floor = rectangle(0, 0, 200, 122)
    pocket = subtract(floor, circle(0, 47, 28), circle(0, -47, 28))[0]
    inflow, outflow = rectangle(-30, 0, 46, 58), rectangle(x, 0, wide, 74)
    pieces = [ChamberPiece("gasket", floor, 0.008), ChamberPiece("pocket", pocket, 0.12, level=0.008)]
    found = throat(pieces, [ChamberOpening("A", inflow)], [ChamberOpening("B", outflow)])
    straight = max(0.0, -7 - (x - wide / 2)) * 58
    sideways = raster_throat(
        [(floor, 0.008), (pocket, 0.128)], subtract(inflow, outflow), subtract(outflow, inflow), 1.0
    )  # fmt: skip
    assert found.area - straight == pytest.approx(sideways, rel=0.03)


def test_several_openings_pass_what_each_passes() -> None:
    """Four outlets of 10 mm, far apart, and one inlet of 60 mm: their areas together, 12 deep."""
    out = [ChamberOpening(f"B{k}", circle(x, 40, 10)) for k, x in enumerate((-60, -20, 20, 60))]
    found = throat(
        [ChamberPiece("pocket", rectangle(0, 0, 200, 120), 12.0)], [ChamberOpening("A", circle(0, -25, 60))], out
    )
    assert found.area == pytest.approx(4 * math.pi * 25, abs=EXACT)


@pytest.mark.parametrize(("x", "y"), [(-20.0, -30.0), (-50.0, 0.0), (20.0, -20.0)])
@pytest.mark.parametrize("radius", [3.0, 9.5])
def test_an_island_in_one_of_two_ports_takes_its_area_from_that_port(x: float, y: float, radius: float) -> None:
    """Ports of 20 mm with an island in it, and of 60 x 10, 8 deep: both pass their own areas.

    The curtains are more, 20 pi 8 = 502.7 and 140 x 8 less corners, and so is the way across the pocket, 120 x 8.
    """
    pocket = Region.of(Loop.rectangle(200, 120), [Loop.circle((x, y), radius)])
    ports = [ChamberOpening("A", circle(x, y, 20)), ChamberOpening("B", rectangle(0, 40, 60, 10))]
    found = throat([ChamberPiece("pocket", pocket, 8.0)], ports, [ChamberOpening("C", rectangle(70, 0, 40, 100))])
    assert found.area == pytest.approx(math.pi * (10**2 - radius**2) + 600, abs=EXACT)
    assert found.between == ("A", "B")


def test_a_closed_pocket_says_what_closes_it() -> None:
    bar = rectangle(0, 0, 10, 60, "bar")
    found = chamber(rectangle(0, 0, 200, 50), 4.0, circle(-60, 0, 30), circle(60, 0, 30), [bar])
    assert found.area == 0
    assert found.closed == "air cannot pass from 'A' to 'B': closed by bar, wall"


def test_openings_that_no_pocket_joins() -> None:
    a, b = circle(-60, 0, 30), circle(60, 0, 30)
    found = throat([], [ChamberOpening("A", a)], [ChamberOpening("B", b)])
    assert found.area == 0
    assert "air cannot pass from 'A' to 'B'" in found.closed
    off = chamber(rectangle(0, 0, 60, 60), 4.0, circle(0, 0, 30), b)
    assert off.closed == "air cannot pass from 'A' to 'B': 'B' does not lie over the chamber"


def test_bad_input_is_refused() -> None:
    port = ChamberOpening("A", circle(0, 0, 10))
    with pytest.raises(GeometryError, match=re.escape("piece 'p' of a chamber needs a depth above 0 mm, met 0")):
        throat([ChamberPiece("p", circle(0, 0, 50), 0.0)], [port], [port])
    with pytest.raises(GeometryError, match="needs an outflow opening"):
        throat([ChamberPiece("p", circle(0, 0, 50), 1.0)], [port], [])
    low, high = (ChamberPiece(name, circle(0, 0, 50), 1.0, level) for name, level in (("low", 0.0), ("high", 5.0)))
    with pytest.raises(GeometryError, match="'low' and 'high' of a chamber lie over one another, metal between"):
        throat([low, high], [port], [port])
