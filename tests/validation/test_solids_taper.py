"""Wedges against theory and a library of meshes.

The volume between a plane figure and a sloping plane is the figure's area times the plane's height over its centroid
(the mean of a linear function; any calculus text). Here it is set beside the volume of the kernel's mesh by trimesh,
which sums tetrahedra and knows neither figure nor centroid, and beside closed sums of the wedge's own pieces.
"""

from __future__ import annotations

import math

import pytest
import trimesh

from platemaker.parts import Part, Plane, Planed, PlateStock
from platemaker.plane import Loop, Region
from platemaker.records import replace
from platemaker.resolved import expected_volume
from platemaker.solids import prove, solid_of, volume_of
from tests import sample_parts as sample

pytestmark = pytest.mark.kernel


def planed(part: Part, region: Region, thick: float, face: Plane) -> Part:
    """A sample's holes and openings in another blank, planed."""
    cuts = tuple(cut for cut in part.cuts if cut.through)
    return replace(part, stock=PlateStock(region, thick), cuts=(*cuts, Planed("taper", face)))


def test_a_disc_cut_slanting_is_half_its_cylinder():
    """A cylinder r = 20 cut from 4 mm at one side to 0.4 at the other holds pi r2 times the mean of both, 2.2 mm."""
    disc = Region.of(Loop.circle((30.0, -10.0), 20.0))
    face = Plane(2.2 - 0.09 * 30.0, 0.09, 0.0)
    part = planed(sample.plain_plate(), disc, 4.0, face)
    solid = solid_of(part)
    assert volume_of(solid) == pytest.approx(math.pi * 400 * 2.2, rel=1e-10)
    assert expected_volume(part) == pytest.approx(math.pi * 400 * 2.2, rel=1e-12)


@pytest.mark.parametrize(
    "turn", [0.0, *(pytest.param(turn, marks=pytest.mark.slow) for turn in (20.0, 130.0, 250.0)), 65.0]
)
def test_mesh_of_a_gasket_s_outline_planed_all_ways(turn):
    sheet = sample.sheet_gasket()
    region = sheet.stock.region
    rise = (0.02 * math.cos(math.radians(turn)), 0.02 * math.sin(math.radians(turn)))
    x0, y0, x1, y1 = region.bounds
    reach = (x1 - x0) * abs(rise[0]) / 2 + (y1 - y0) * abs(rise[1]) / 2
    face = Plane(4.0 - reach - ((x0 + x1) * rise[0] + (y0 + y1) * rise[1]) / 2, *rise)
    cuts = tuple(
        replace(cut, depth=4.0) if hasattr(cut, "regions") else
        replace(cut, at=(*cut.at[:2], 4.0), steps=tuple(replace(step, end=4.0) for step in cut.steps))
        for cut in sheet.cuts
    )  # fmt: skip
    part = planed(replace(sheet, cuts=cuts), region, 4.0, face)
    solid = solid_of(part)
    proof = prove(part, solid)
    points, faces = solid.tessellate(0.002, 0.02)
    mesh = trimesh.Trimesh([point.toTuple() for point in points], faces)
    assert mesh.is_watertight
    # Chords of 0.002 mm on walls of some 500 mm length and 4 mm height: 500 x 4 x 0.002 mm3 at the very most.
    assert mesh.volume == pytest.approx(proof.volume, abs=4.0)
    assert proof.expected == pytest.approx(proof.volume, rel=1e-9)
