"""Volumes of solids against theory from outside the project and an independent polygon library.

- Two equal bores that cross at right angles share 16 r3 / 3 (Archimedes, The Method, proposition 2 of the bicylinder).
- A bore across a tube: the integral over the bore of the wall's height, by adaptive quadrature (scipy).
- A cone of height h holds a third of its cylinder (Euclid XII.10).
- Plane areas: polygons with 2048 chords a full circle, whose error is stated below (shapely).
"""

from __future__ import annotations

import math
from collections.abc import Callable
from pathlib import Path

import pytest
import shapely
from scipy.integrate import quad

from platemaker.catalog import material
from platemaker.export import prove_step, write_step
from platemaker.parts import Hole, Kind, Operation, Part, PlateStock, RoundStock, Step
from platemaker.plane import Arc, Loop, Region
from platemaker.solids import prove, solid_of, volume_of
from tests import sample_parts as sample

pytestmark = pytest.mark.kernel

CHORDS = 2048


def test_crossing_bores_share_the_bicylinder_of_archimedes() -> None:
    r, side, length = 6.0, 25.0, 60.0
    along = Hole(
        "along", (-length / 2, 0, side / 2), (1, 0, 0), (Step(Operation.BORE, 2 * r, 0, length),), through=True
    )
    across = Hole("across", (4, 0, side), (0, 0, -1), (Step(Operation.BORE, 2 * r, 0, side),), True, into=("along",))
    solid = solid_of(sample.plate("bar", Loop.rectangle(length, side), side, along, across))
    due = length * side**2 - math.pi * r**2 * (length + side) + 16 * r**3 / 3
    assert solid.isValid()
    # The kernel fits the curve where the bores meet, to some 1e-7 mm.
    assert solid.Volume() == pytest.approx(due, rel=1e-6)


def test_a_rail_with_cross_bores_against_quadrature() -> None:
    outside, inside, bore = 25.4 / 2, 14.0 / 2, 11.0 / 2

    def wall_height(y: float) -> float:
        width = 2 * math.sqrt(max(0.0, bore**2 - y**2))
        return width * (math.sqrt(outside**2 - y**2) - math.sqrt(inside**2 - y**2))

    each, error = quad(wall_height, -bore, bore, epsabs=1e-9)
    assert error < 1e-4  # mm3, against the 0.1 mm3 that the comparison below allows
    due = math.pi * (outside**2 - inside**2) * 300 - 3 * each
    assert volume_of(solid_of(sample.cross_bored_rail())) == pytest.approx(due, rel=1e-9)


# Sizes at which the kernel's plain integration is off by 1e-6 to 2e-5, in memory or read back.
TUBES = [(38.1, 16.51, 6.48), (16.0, 5.81, 2.62), (20.0, 7.74, 7.53), (30.0, 12.1, 6.64)]


@pytest.mark.parametrize(("outside", "inside", "bore"), TUBES)
def test_tubes_of_any_size_are_proved_and_read_back(outside: float, inside: float, bore: float, tmp_path: Path) -> None:
    part = tube(outside, inside, bore)
    solid = solid_of(part)
    proof = prove(part, solid)
    write_step(part, solid, tmp_path / "tube.step")
    back = prove_step(part, proof, tmp_path / "tube.step").items[0].volume

    def wall_height(y: float) -> float:
        width = 2 * math.sqrt(max(0.0, (bore / 2) ** 2 - y**2))
        return width * (math.sqrt((outside / 2) ** 2 - y**2) - math.sqrt(max(0.0, (inside / 2) ** 2 - y**2)))

    each, _ = quad(wall_height, -bore / 2, bore / 2, epsabs=1e-9, limit=200)
    due = math.pi / 4 * (outside**2 - inside**2) * 200 - 3 * each
    # The kernel fits the curves where bores meet to some 1e-7 mm.
    assert (proof.volume, back) == (pytest.approx(due, rel=1e-8), pytest.approx(due, rel=1e-8))


def tube(outside: float, inside: float, bore: float) -> Part:
    """200 long, a passage from end to end, three cross bores from the underside into it."""
    through = (Step(Operation.BORE, inside, 0.0, 200.0),)
    across = (Step(Operation.DRILL, bore, 0.0, outside / 2),)
    cuts = [Hole("passage", (-100.0, 0.0, outside / 2), (1.0, 0.0, 0.0), through, True)]
    cuts += [
        Hole(f"b{x}", (x, 0.0, 0.0), (0.0, 0.0, 1.0), across, False, into=("passage",)) for x in (-60.0, -5.5, 71.0)
    ]
    return Part("tube", "tube", Kind.RAIL, material("6061-T6"), RoundStock(outside, 200.0), tuple(cuts))


def test_a_drill_point_is_a_third_of_its_cylinder() -> None:
    solid = solid_of(sample.tapped_with_drill_point())
    height = 3.4 / math.tan(math.radians(118 / 2))
    assert 60 * 40 * 30 - solid.Volume() == pytest.approx(math.pi * 3.4**2 * (22 + height / 3), rel=1e-12)


def polygon(loop: Loop) -> shapely.Polygon:
    points = []
    for edge in loop.edges:
        count = math.ceil(CHORDS * abs(edge.sweep) / math.tau) if isinstance(edge, Arc) else 1
        points += [edge.point(step / count) for step in range(count)]
    return shapely.Polygon(points)


def area_by_polygons(region: Region) -> float:
    return float(polygon(region.outer).difference(shapely.union_all([polygon(hole) for hole in region.holes])).area)


FLAT: tuple[Callable[[], Part], ...] = (
    sample.one_hole,
    sample.slotted,
    sample.chiral_ell,
    sample.thin_web,
    sample.sheet_gasket,
)


@pytest.mark.parametrize("make", FLAT, ids=lambda make: make.__name__)
def test_plane_areas_agree_with_a_polygon_library(make: Callable[[], Part]) -> None:
    part = make()
    assert isinstance(part.stock, PlateStock)
    loops = [loop for profile in part.profiles for loop in (profile.regions[0].outer,)]
    loops += [Loop.circle(hole.centre, hole.diameter / 2) for hole in part.holes]
    region = Region.of(part.stock.region.outer, loops)
    # A chord of angle a leaves out r2 (a - sin a) / 2: summed over all arcs, the polygons' whole error.
    angle = math.tau / CHORDS
    arcs = [edge for edge in region.edges if isinstance(edge, Arc)]
    bound = sum(abs(arc.sweep) / angle * arc.radius**2 * (angle - math.sin(angle)) / 2 for arc in arcs)
    assert bound < 0.002
    assert solid_of(part).Volume() / part.stock.thickness == pytest.approx(area_by_polygons(region), abs=bound + 1e-9)
