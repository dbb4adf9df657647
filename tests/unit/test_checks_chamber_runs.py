"""Which stations of the air's way make one chamber: pockets, what lies between them, and gaskets wider than the port."""

from __future__ import annotations

import pytest

from platemaker.checks._air._air_path import Station
from platemaker.checks._air._chambers import _is_rim, _runs
from platemaker.plane import Loop, Region


def station(radius: float, length: float, *, pocket: bool = False, x: float = 0.0) -> Station:
    """A round section; a radius of 0 is solid metal."""
    regions = (Region.of(Loop.circle((x, 0.0), radius)),) if radius else ()
    return Station("one", "lid", "port", 0.0, length, regions, pocket=pocket)


PORT, POCKET, SOLID = station(10, 20), station(30, 20, pocket=True), station(0, 20)
SMALL = station(20, 20, pocket=True)
WIDE = station(15, 3)  # a gasket of 3 at most, wider than the port
TIGHT = station(10, 3)  # one that is not
THICK = station(15, 3.1)


@pytest.mark.parametrize(
    ("path", "runs"),
    [
        ((PORT, POCKET, PORT), [(1, 1)]),
        ((PORT, WIDE, POCKET, PORT), [(1, 2)]),
        ((PORT, WIDE, station(20, 3), POCKET, PORT), [(1, 3)]),  # two gaskets, each wider than what is beyond
        ((PORT, POCKET, WIDE, PORT), [(1, 2)]),
        ((PORT, TIGHT, POCKET, TIGHT, PORT), [(2, 2)]),
        ((PORT, THICK, POCKET, THICK, PORT), [(2, 2)]),
        ((PORT, POCKET, POCKET, PORT), [(1, 2)]),
        ((PORT, POCKET, TIGHT, POCKET, PORT), [(1, 3)]),  # a gasket between two pockets
        ((PORT, POCKET, PORT, POCKET, PORT), [(1, 1), (3, 3)]),  # a wall with a port in it
        ((PORT, POCKET, station(30, 20), POCKET, PORT), [(1, 3)]),  # as wide as what they share
        ((PORT, SMALL, station(20, 20), POCKET, PORT), [(1, 3)]),  # a wall open as wide as the smaller pocket
        ((PORT, POCKET, station(20, 20), SMALL, PORT), [(1, 3)]),
        ((SOLID, POCKET, PORT), []),
        ((PORT, POCKET, SOLID), []),
        ((POCKET, PORT, POCKET), []),  # a chamber has a station before it and one behind
        ((WIDE, POCKET, WIDE), [(1, 1)]),
    ],
)
def test_a_chamber_runs_from_port_to_port(path: tuple[Station, ...], runs: list[tuple[int, int]]) -> None:
    assert list(_runs(path)) == runs


@pytest.mark.parametrize(
    ("gasket", "rim"),
    [
        (WIDE, True), (TIGHT, False), (THICK, False), (station(15, 3, x=5), True),
        (station(15, 3, x=6), False),  # it covers some of the port: 6 + 10 > 15
    ],
)  # fmt: skip
def test_a_rim_is_a_gasket_wider_than_all_of_the_port(gasket: Station, rim: bool) -> None:
    assert _is_rim(gasket, PORT) is rim
