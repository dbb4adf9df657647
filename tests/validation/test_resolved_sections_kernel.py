"""Cut faces of sections against the solid kernel's: area of the plane's common face with the solid.

The kernel makes each solid from the part's stock and tools and cuts it with a plane; the sections come from the voids.
Rectangles, circles and arcs agree to rounding. An ellipse is drawn as a polygon of 144 points, whose area is short by
1 - sin(2 pi / 144) / (2 pi / 144), 0.032 %; a mouth's wall that a plane meets obliquely in 24 chords a side.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from pathlib import Path

import pytest

from platemaker.parts import Hole, Operation, Part, Side, Step
from platemaker.plane import Loop, Region
from platemaker.records import replace
from platemaker.resolved import Cutting, resolved
from platemaker.solids import solid_of
from tests.plates import stack_of
from tests.sample_parts import SAMPLES, counterbore_and_pocket, drilled, plate
from tests.unit.test_parts_leg_pockets import BRACKET, LIGHT, RECESS, WINDOW

pytestmark = pytest.mark.kernel
ROUNDING = 1e-9
"""Share of a face's area that sums of doubles of its size leave, as both ways have some dozens of them."""
ELLIPSE = 1 - math.sin(math.tau / 144) / (math.tau / 144)
CHORD = 1 - math.cos(math.pi / 4 / 24)
"""Greatest height of a chord over a 24th of a quarter circle, in radii."""


def kernel_area(part: Part, cutting: Cutting, places: list[float]) -> list[float]:
    import cadquery

    solid = solid_of(part)
    found = []
    for at in places:
        origin, normal = ((0, at, 0), (0, 1, 0)) if cutting is Cutting.ACROSS_Y else ((at, 0, 0), (1, 0, 0))
        face = cadquery.Face.makePlane(2000, 2000, origin, normal)
        found.append(face.intersect(solid).Area())
    return found


def agree(part: Part, drawn: float = 0.0, planes: int = 7) -> None:
    """The faces of planes across a part are the kernel's, but for `drawn`, mm2, that curves as chords may leave."""
    box = part.stock.box
    for cutting in Cutting:
        low, high = box[cutting.fixed], box[cutting.fixed + 3]
        # Odd places, so that no plane lies along a wall.
        places = [low + (high - low) * (number + 0.5137) / planes for number in range(planes)]
        for at, due in zip(places, kernel_area(part, cutting, places), strict=True):
            section = resolved(part).section(cutting, at)
            ours, whole = (sum(region.area for region in faces) for faces in (section.faces, section.blank))
            assert ours == pytest.approx(due, rel=0.0, abs=ROUNDING * whole + drawn), (cutting, at)


@pytest.mark.parametrize("make", SAMPLES, ids=lambda make: make.__name__)
def test_cut_faces_of_every_sample_are_the_kernels(make: Callable[[], Part]) -> None:
    part = make()
    # Ellipses of bores of 12 at 45 degrees, two in a face; a mouth of 6 round corners of 9, a wall on either side.
    ellipses = 2 * ELLIPSE * math.pi * 6**2 * math.sqrt(2) if part.name == "drilled_casting" else 0.0
    mouths = 2 * 2 * CHORD * 6 * math.pi / 2 * 6 if part.name == "counterbore_and_pocket" else 0.0
    # A drill point of 6.8, of which a plane beside its axis shows a hyperbola, as chords of lines along the cone.
    points = (1 - math.cos(math.pi / 144)) * 3.4 * 6.8 if part.name == "tapped_with_drill_point" else 0.0
    agree(part, ellipses + mouths + points)


def test_chamfered_and_rounded_mouths_beside_their_middles() -> None:
    """Planes through round walls and corners meet a mouth obliquely, and some meet the mouth alone.

    Chamfers of 5 x 8.66 mm on a circle of 28 are cut in hyperbolas, quarter rounds of 6 mm round corners of 9.
    """
    [rounded] = [one for one in counterbore_and_pocket().profiles if one.mouth_radius > 0]
    chamfered = replace(
        rounded, regions=(Region.of(Loop.circle((3.0, -2.0), 14.0)),), mouth_radius=0.0, mouth_chamfer=5.0,
        mouth_angle=30.0, mouth=Side.ABOVE,
    )  # fmt: skip
    for opening in (chamfered, rounded):
        # A chord may stand 0.01 mm off along walls of up to 9 mm.
        agree(plate("lid", Loop.rectangle(90, 60), 25.4, opening), 2 * 0.01 * 9, planes=23)


def test_slanted_stepped_bores_in_any_direction() -> None:
    """A stepped bore at 30 degrees, ending in a drill point, a level one at 20 degrees to X, and a hole beside them."""
    s, c = math.sin(math.radians(30)), math.cos(math.radians(30))
    steps = (Step(Operation.COUNTERBORE, 18.0, 0.0, 9.0), Step(Operation.DRILL, 11.0, 9.0, 24.0))
    leaning = Hole("leaning", (5.0, 4.0, 40.0), (0.6 * s, 0.8 * s, -c), steps, False, tip_angle=118.0)
    u, v = math.cos(math.radians(20)), math.sin(math.radians(20))
    level = Hole("level", (-60.0, -20.0, 17.0), (u, v, 0.0), (Step(Operation.DRILL, 8.0, 0.0, 50.0),), False)
    part = plate("block", Loop.rectangle(120, 80), 40.0, leaning, level, drilled("h", (40, 20), 9, 40.0))
    # Planes meet the bores in ellipses of up to 18 x 36 and 11 x 24 mm; the level one, 20 degrees off, in 8 x 23.4.
    agree(part, ELLIPSE * math.pi / 4 * (18 * 36 + 11 * 24 + 8 * 23.4), planes=15)


def test_figures_milled_in_bent_legs_stand_where_their_legs_do(tmp_path: Path) -> None:
    part = stack_of(tmp_path, BRACKET + LIGHT + WINDOW + RECESS).part("zed")
    places = [-23.0, -9.0, 3.0, 8.7]
    cuts = set()
    for at, due in zip(places, kernel_area(part, Cutting.ACROSS_Y, places), strict=True):
        section = resolved(part).section(Cutting.ACROSS_Y, at)
        cuts |= {one.void.cut.name for one in section.taken}
        assert sum(region.area for region in section.faces) == pytest.approx(due, rel=1e-7), at
    assert cuts == {"b", "light", "window", "recess"}
