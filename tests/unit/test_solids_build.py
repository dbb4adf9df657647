"""Solids of the sample parts against arithmetic written out from plane geometry."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest
from scipy.integrate import quad

from platemaker.formulas import mouth_volume
from platemaker.parts import Hole, Operation, Part, Profile, ProfileKind, Side, Step
from platemaker.plane import Loop, Region
from platemaker.records import replace
from platemaker.solids import prove, solid_of, volume_of
from tests import sample_parts as sample

pytestmark = pytest.mark.kernel

PI = math.pi


def rounded(width: float, height: float, radius: float) -> float:
    """Area of a rectangle with rounded corners."""
    return width * height - (4 - PI) * radius**2


def counterbored_volume() -> float:
    t = 25.4
    blank = rounded(120, 80, 8) * t
    bolts = 4 * PI / 4 * (15**2 * 8.6 + 9**2 * (t - 8.6))
    opening, pocket = rounded(50, 30, 9), rounded(70, 46, 10)
    milled = opening * t + (pocket - opening) * 12
    relief = PI * 4**2 * 12.5
    # Pappus: corner area (1 - pi/4) r2, its centroid r (5/6 - pi/4) / (1 - pi/4) outside the wall.
    r, path = 6.0, 2 * (50 - 18) + 2 * (30 - 18) + 2 * PI * 9
    mouth = (1 - PI / 4) * r**2 * path + 2 * PI * r**3 * (5 / 6 - PI / 4)
    return blank - bolts - milled - relief - mouth


def ell_volume() -> float:
    corners = (4 * 1 - PI) / 4 * (5 * 3**2 - 6**2)
    return (80 * 20 + 25 * 40 - corners - PI / 4 * 9**2) * 8


VOLUMES: dict[Callable[[], Part], float] = {
    sample.plain_plate: 100 * 60 * 10,
    sample.one_hole: (100 * 60 - PI * 36) * 10,
    sample.counterbore_and_pocket: counterbored_volume(),
    sample.slotted: (rounded(80, 40, 5) - (16 * 8 + PI * 16)) * 6,
    sample.tapped_with_drill_point: 60 * 40 * 30 - PI * 3.4**2 * (22 + 3.4 / math.tan(math.radians(59)) / 3),
    sample.chiral_ell: ell_volume(),
    sample.thin_web: (50 * 30 - 2 * PI * 36) * 10,
    sample.turned_boss: PI / 4 * (22**2 * 30 - 16**2 * 5 - 13.5**2 * 25),
    # Legs less their setbacks of 10 mm, a quarter ring between radii 5 and 10, two holes.
    sample.bent_bracket: 25 * (5 * (60 - 10 + 40 - 10) + PI / 4 * (10**2 - 5**2)) - 2 * PI * 3.5**2 * 5,
    sample.sheet_gasket: (rounded(90, 60, 10) - rounded(50, 30, 9) - 4 * PI * 4.5**2) * 0.8,
}


@pytest.mark.parametrize("make", VOLUMES, ids=lambda make: make.__name__)
def test_prismatic_samples_hold_the_volume_of_plane_geometry(make: Callable[[], Part]) -> None:
    solid = solid_of(make())
    assert solid.isValid()
    assert len(solid.Solids()) == 1
    # The kernel integrates planes, cylinders, cones and tori in closed form; 1e-12 is its rounding.
    assert solid.Volume() == pytest.approx(VOLUMES[make], rel=1e-12)


def test_a_slanted_bore_takes_its_section_times_its_depth() -> None:
    # The oblique entry cuts as much off one side of the cylinder as it adds on the other.
    solid = solid_of(sample.drilled_casting())
    assert solid.Volume() == pytest.approx(120 * 60 * 40 - 2 * PI * 6**2 * 30, rel=1e-9)


def test_the_mirror_image_of_the_ell_is_another_solid() -> None:
    centre = solid_of(sample.chiral_ell()).Center()
    # Two rectangles less the hole; the five corner fillets, left out, move the centroid by less than 0.1 mm.
    hole = PI * 4.5**2
    area = 1600 + 1000 - hole
    due = (1600 * 40 + 1000 * 12.5 - hole * 60) / area, (1600 * 10 + 1000 * 40 - hole * 10) / area
    assert (centre.x, centre.y) == pytest.approx(due, abs=0.1)


def test_every_arc_direction_comes_out_as_drawn() -> None:
    # A figure with convex and concave arcs, its loop given clockwise: 40 x 20 with two bites of radius 5 and two ears.
    corners = [(-20.0, -10.0), (-20.0, 10.0), (20.0, 10.0), (20.0, -10.0)]
    loop = Loop.rounded(corners, 3.0)
    part = sample.plate("turned_round", loop.reversed(), 4)
    solid = solid_of(part)
    assert solid.Volume() == pytest.approx(rounded(40, 20, 3) * 4, rel=1e-12)
    assert solid.isValid()


def test_holes_that_meet_are_cut_not_drawn() -> None:
    # Drawn as inner wires these give an invalid solid of 2098 mm3 without a word.
    holes = (sample.drilled("a", (-2, 0), 8, 5), sample.drilled("b", (2, 0), 8, 5))
    solid = solid_of(sample.plate("meeting", Loop.rectangle(40, 20), 5, *holes))
    lens = 2 * 16 * math.acos(2 / 4) - 2 * math.sqrt(16 - 4) * 2
    assert solid.isValid()
    assert solid.Volume() == pytest.approx((800 - 2 * PI * 16 + lens) * 5, rel=1e-9)


def test_a_hole_across_the_edge_is_cut_not_drawn() -> None:
    solid = solid_of(sample.plate("edge", Loop.rectangle(40, 20), 5, sample.drilled("a", (20, 0), 8, 5)))
    assert solid.isValid()
    assert solid.Volume() == pytest.approx((800 - PI * 8) * 5, rel=1e-9)


def test_a_hole_in_the_hollow_of_an_ell_is_not_drawn_outside_it() -> None:
    ell = sample.chiral_ell()
    off = replace(ell, cuts=(*ell.cuts, sample.drilled("off", (60, 45), 9, 8)))
    solid = solid_of(off)
    assert solid.isValid()
    assert solid.Volume() == pytest.approx(ell_volume(), rel=1e-12)


def test_a_level_bore_runs_through_a_square_bar() -> None:
    step = Step(Operation.BORE, 10.0, 0.0, 200.0)
    passage = Hole("passage", (-100.0, 0.0, 12.5), (1.0, 0.0, 0.0), (step,), through=True)
    solid = solid_of(sample.plate("bar", Loop.rectangle(200, 25), 25, passage))
    assert solid.isValid()
    assert solid.Volume() == pytest.approx((25 * 25 - PI * 25) * 200, rel=1e-12)


def test_a_bore_slanted_against_a_side_face_clears_its_whole_rim() -> None:
    # From the face x = 20 inwards at 30 degrees to its normal, 20 deep: volume is section times depth, as above.
    direction = (-math.cos(math.radians(30)), math.sin(math.radians(30)), 0.0)
    bore = Hole("bore", (20.0, -5.0, 10.0), direction, (Step(Operation.DRILL, 6.0, 0.0, 20.0),), through=False)
    solid = solid_of(sample.plate("side", Loop.rectangle(40, 40), 20, bore))
    assert solid.Volume() == pytest.approx(40 * 40 * 20 - PI * 9 * 20, rel=1e-9)


def mouthed(loop: Loop, radius: float, mouth: Side = Side.BELOW) -> Part:
    opening = Profile(
        "port", ProfileKind.OPENING, (Region.of(loop),), Side.ABOVE, 20, True, mouth_radius=radius, mouth=mouth
    )
    return sample.plate("mouthed", Loop.rectangle(90, 70), 20, opening)


@pytest.mark.parametrize("mouth", Side)
def test_a_round_mouth_takes_what_pappus_says(mouth: Side) -> None:
    solid = solid_of(mouthed(Loop.circle((3, 4), 15), 5, mouth))
    # Volume of revolution by shells: 2 pi times the integral of rho times the height of the corner over u = 0 to r,
    # height 5 - sqrt(25 - (5 - u)2) at rho = 15 + u, in closed form.
    corner, moment = (1 - PI / 4) * 25, (5 / 6 - PI / 4) * 125
    due = 2 * PI * (15 * corner + moment)
    assert solid.Volume() == pytest.approx((90 * 70 - PI * 225) * 20 - due, rel=1e-12)
    assert mouth_volume(2 * PI * 15, 5) == pytest.approx(due, rel=1e-12)
    rim = [edge for edge in solid.Edges() if edge.geomType() == "CIRCLE" and abs(edge.radius() - 20) < 1e-9]
    assert [edge.Center().z for edge in rim] == pytest.approx([0.0 if mouth is Side.BELOW else 20.0])


@pytest.mark.parametrize("mouth", Side)
@pytest.mark.parametrize("angle", [45.0, 30.0])
def test_a_chamfered_mouth_is_a_frustum(mouth: Side, angle: float) -> None:
    wide, deep = 5.0, 5 / math.tan(math.radians(angle))
    opening = ProfileKind.OPENING
    cut = Profile(
        "port", opening, (Region.of(Loop.circle((3, 4), 15)),), Side.ABOVE, 20, True, mouth=mouth, mouth_chamfer=wide,
        mouth_angle=angle,
    )  # fmt: skip
    solid = solid_of(sample.plate("broken", Loop.rectangle(90, 70), 20, cut))
    frustum = PI * deep / 3 * (20**2 + 20 * 15 + 15**2) - PI * 15**2 * deep
    assert solid.Volume() == pytest.approx(90 * 70 * 20 - PI * 15**2 * 20 - frustum, rel=1e-9)
    rim = [edge for edge in solid.Edges() if edge.geomType() == "CIRCLE" and edge.radius() == pytest.approx(20)]
    assert [edge.Center().z for edge in rim] == pytest.approx([0.0 if mouth is Side.BELOW else 20.0])


def test_a_chamfer_goes_round_rounded_corners() -> None:
    """Straight sides sweep the triangle, corners turn it through one whole turn: a frustum of 4 + 3 over 4."""
    cut = Profile(
        "port", ProfileKind.OPENING, (Region.of(Loop.rectangle(40, 30, 4)),), Side.ABOVE, 20, True, mouth_chamfer=3.0
    )
    part = sample.plate("broken", Loop.rectangle(90, 70), 20, cut)
    corners = PI * 3 / 3 * (7**2 + 7 * 4 + 4**2) - PI * 4**2 * 3
    taken = (2 * 32 + 2 * 22) * 3 * 3 / 2 + corners
    solid = solid_of(part)
    assert solid.Volume() == pytest.approx(90 * 70 * 20 - 20 * (40 * 30 - (4 - PI) * 4**2) - taken, rel=1e-9)
    assert prove(part, solid).expected == pytest.approx(solid.Volume(), rel=1e-9)


def test_a_mouth_that_runs_out_of_the_plate_is_cut() -> None:
    """Theory: a round mouth of radius 5 about a circle of 15 is 5 - sqrt(25 - (5 - d)^2) wide at depth d.

    Its section is a ring; beyond the plate's edges, 18 mm from the middle, two segments are not there to take.
    """
    [opening] = mouthed(Loop.circle((0, 0), 15), 5, Side.ABOVE).profiles
    part = sample.plate("edge", Loop.rectangle(36, 70), 20, opening)
    solid = solid_of(part)
    assert solid.isValid()

    def ring(depth: float) -> float:
        wide = 15 + 5 - math.sqrt(25 - (5 - depth) ** 2)
        beyond = wide**2 * math.acos(18 / wide) - 18 * math.sqrt(wide**2 - 324) if wide > 18 else 0.0
        return PI * (wide**2 - 225) - 2 * beyond

    taken, _ = quad(ring, 0, 5, epsabs=1e-10, limit=200)
    assert volume_of(solid) == pytest.approx((36 * 70 - PI * 225) * 20 - taken, abs=1e-5)
    assert prove(part, solid).expected_error < 0.1
