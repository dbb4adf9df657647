"""Lightening pockets and windows in the legs of brackets: in the flat pattern, in the solid, and refused by name."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from platemaker.checks import check_stack, pocket_accounts
from platemaker.errors import SpecError
from platemaker.export import prove_dxf, write_dxf
from platemaker.parts import Part, Profile, bent_point, flat_pattern
from platemaker.plane import nearest
from platemaker.resolved import expected_volume
from platemaker.solids import prove, solid_of
from tests.plates import stack_of

BRACKET = """project: trial
parts:
  zed:
    kind: bracket
    material: 6061-T6
    width: 60
    thickness: 8
    legs: [90, 120, 70]
    bends: [{angle: 90 deg, radius: 8}, {angle: -60 deg, radius: 8}]
    holes: {b: {leg: 2, at: [60, 0], diameter: 12}}
    pockets:
"""
LIGHT = "      light: {leg: 2, open_out: true, wall: 5, land: 6, cutter: 8, depth: 4, side: above}\n"
WINDOW = "      window: {leg: 1, shape: {slot: [30, 10], at: [50, -10]}, cutter: 8}\n"
RECESS = "      recess: {leg: 3, shape: {rectangle: [14, 20], at: [30, 0], corner_radius: 5}, depth: 3, side: below}\n"
# Setbacks: (8 + 8) tan 45 = 16 and (8 + 8) tan 30.
FIRST, SECOND = 16.0, 16 * math.tan(math.radians(30))
# The pocket: leg 2's flat less 6 all round, corners of the cutter's radius 4, less the hole's 6 + 5.
LONG = 120 - FIRST - SECOND - 12
LIGHT_AREA = LONG * 48 - (4 - math.pi) * 16 - math.pi * 11**2


def zed(folder: Path, *pockets: str) -> Part:
    return stack_of(folder, BRACKET + "".join(pockets)).part("zed")


def test_an_opened_out_pocket_keeps_off_holes_edges_and_bends(tmp_path: Path) -> None:
    part = zed(tmp_path, LIGHT)
    bent = flat_pattern(part)
    assert bent is not None
    (light,) = bent.part.profiles
    assert sum(region.area for region in light.regions) == pytest.approx(LIGHT_AREA, abs=1e-6)
    hole = bent.part.holes[0]
    assert nearest(hole.centre, light.regions[0]).distance == pytest.approx(6 + 5, abs=1e-9)
    # The bends are what ends it along the leg.
    tags = {edge.tag for edge in light.regions[0].edges}
    assert {"bend 1", "bend 2", "outline", "b"} <= tags


def test_pockets_and_windows_take_area_times_depth(tmp_path: Path) -> None:
    plain, cut = zed(tmp_path, LIGHT).stock.volume, zed(tmp_path, LIGHT, WINDOW, RECESS)
    window = (20 * 10 + math.pi * 25) * 8
    recess = (14 * 20 - (4 - math.pi) * 25) * 3
    due = plain - math.pi * 36 * 8 - LIGHT_AREA * 4 - window - recess
    assert expected_volume(cut) == pytest.approx(due, rel=1e-9)


@pytest.mark.kernel
def test_they_stand_in_the_solid_on_their_legs_and_faces(tmp_path: Path) -> None:
    part = zed(tmp_path, LIGHT, WINDOW, RECESS)
    solid = solid_of(part)
    prove(part, solid)
    bent = flat_pattern(part)
    assert bent is not None
    # In each figure: just inside its floor's metal, and just outside it; along its own leg, heights from the lower face.
    places = {"light": (30.0, 10.0, 3.9, 4.1), "recess": (30.0, 0.0, 3.1, 2.9), "window": (50.0, -10.0, None, 4.0)}
    for name, (along, across, metal, air) in places.items():
        cut = part.cut(name)
        assert isinstance(cut, Profile)
        assert cut.leg is not None
        x = bent.starts[cut.leg] + along
        assert not solid.isInside(bent_point(part, (x, across, air)))
        if metal is not None:
            assert solid.isInside(bent_point(part, (x, across, metal)))


@pytest.mark.kernel
def test_the_flat_drawing_holds_them(tmp_path: Path) -> None:
    part = zed(tmp_path, LIGHT, WINDOW, RECESS)
    write_dxf(part, tmp_path / "zed.dxf")
    reading = prove_dxf(part, tmp_path / "zed.dxf")
    assert {"POCKET_DP4.0_ABOVE", "CUT_OPENING", "POCKET_DP3.0_BELOW"} <= set(reading.layers)


def test_their_walls_floors_and_tools_are_checked(tmp_path: Path) -> None:
    stack = stack_of(tmp_path, BRACKET + LIGHT + RECESS)
    found = {(one.check, one.features): one for one in check_stack(stack)}
    assert found["PM110", ("b", "light pocket")].measured == pytest.approx(5, abs=1e-9)
    assert found["PM110", ("light pocket", "outline")].measured == pytest.approx(6, abs=1e-9)
    assert found["PM110", ("light pocket", "face below")].measured == pytest.approx(8 - 4)
    assert found["PM501", ("light",)].measured == pytest.approx(1.0)
    # The second leg stands upright, its outside face at X = 90: its upper face is 8 mm nearer to the first leg's end.
    wall = found["PM110", ("b", "light pocket")]
    assert all(82 - 1e-9 <= point[0] <= 90 + 1e-9 for point in wall.points)
    (account,) = pocket_accounts(stack)
    assert (account.part, account.cut) == ("zed", "light")
    assert account.area == pytest.approx(LIGHT_AREA, abs=1e-6)
    assert {"b", "bend 1", "bend 2"} <= {limit.name for limit in account.limits}


CASES = {
    "a leg that is not there": (
        WINDOW.replace("leg: 1", "leg: 4"),
        "project.yaml:12: parts.zed.pockets.window: leg 4 does not exist, met 4; allowed: 1 to 3",
    ),
    "deeper than the bar": (
        LIGHT.replace("depth: 4", "depth: 8"),
        "project.yaml:12: parts.zed.pockets.light.depth: pocket is deeper than the bar, met '8 mm'; "
        "allowed: less than 8 mm, or no depth for a window",
    ),
    "into the bend": (
        WINDOW.replace("[50, -10]", "[65, -10]"),
        "project.yaml:12: parts.zed.pockets.window: window does not lie in the flat of leg 1 of zed; "
        "allowed: a figure between 0.00 and 74.00 mm along the leg",
    ),
    "off the bar": (
        WINDOW.replace("[50, -10]", "[50, -40]"),
        "project.yaml:12: parts.zed.pockets.window: window lies off zed; "
        "allowed: cuts that lie inside the outline; a notch belongs to the outline itself",
    ),
    "a window round a hole": (
        LIGHT.replace("depth: 4, ", ""),
        "project.yaml:12: parts.zed.pockets.light: light of zed is cut all round a piece that would come loose; "
        "allowed: an opening without islands",
    ),
    "no room for the cutter": (
        LIGHT.replace("cutter: 8", "cutter: 50"),
        "project.yaml:12: parts.zed.pockets.light: light: a cutter of 50 mm finds no room; "
        "allowed: a smaller cutter, wall or land, or a start point where there is room",
    ),
}


@pytest.mark.parametrize("case", CASES)
def test_what_cannot_be_made_is_refused_by_name(tmp_path: Path, case: str) -> None:
    pocket, message = CASES[case]
    with pytest.raises(SpecError) as caught:
        zed(tmp_path, pocket)
    assert str(caught.value) == message
