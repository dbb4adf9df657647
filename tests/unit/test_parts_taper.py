"""Tapered shims: a planed face whose thickness, volume and files are those of a wedge, by arithmetic.

The wedge of most tests: 160 x 100 mm, rising 0.5 mm per 100 mm along X and falling 0.6 along Y from 3 mm at its
thickest corner (80, -50). So z = 3 - 0.4 - 0.3 + 0.005 x - 0.006 y = 2.3 + 0.005 x - 0.006 y.
"""

from __future__ import annotations

import math

import ezdxf
import pytest

from platemaker.checks import Verdict
from platemaker.errors import ProofError, SpecError
from platemaker.export import prove_dxf, prove_step, read_step, write_dxf, write_step
from platemaker.export._sheet._drawing_section import planes_of
from platemaker.export._sheet._drawing_sheet import drawing_pages
from platemaker.export._sheet._drawing_slope import profiles_of
from platemaker.export._sheet._drawing_title import About
from platemaker.export._sheet._sheet_paper import Projection
from platemaker.parts import Plane, Planed, Stack, corners_of, ends_of, farthest
from platemaker.plane import Arc, Line, Loop, Region
from platemaker.records import replace
from platemaker.resolved import Cutting, expected_volume, heights_at
from platemaker.solids import prove, solid_of
from platemaker.views._ink._model import texts_in
from tests.design_stacks import findings_of, inputs, only, stack_of
from tests.plates import note_of

PROJECT = """
project: trial
bodies: {blower: {material: A356-T6, envelope: {box: [150, 90, 60]}, joints: {base: {face: below, holes: tapped, thread_depth: 20}}}}
joints:
  base:
    bolts: {pattern: {rectangle: [120, 60]}, thread: M8, length: 30}
    opening: {circle: 40, at: [20, 10]}
    gasket: {thickness: 1, land: 4}
    level: {corners: {a: {at: [-80, -50], reads: 1.6}, b: {at: [80, -50], reads: 0.8}, c: {at: [80, 50], reads: 1.4},
      d: {at: [-80, 50], reads: 2.2}}, nose: [-150, 0, 100]}
    shim: {thickness: 3, squares: true}
parts:
  base_plate: {kind: plate, material: 6061-T6, thickness: 12, outline: {rectangle: [160, 100]},
    above: {base: {holes: clear}}, opening: {match: base}}
"""


@pytest.fixture
def stack(tmp_path) -> Stack:
    return wedge(tmp_path)


def wedge(folder, *changes: tuple[str, str]) -> Stack:
    text = PROJECT.replace("[150, 90, 60]", "[160, 100, 60]")
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    return stack_of(folder, text)


def test_the_wedge_is_a_cut_of_the_part(stack):
    shim = stack.part("base_shim")
    assert shim.planed is not None
    assert (shim.planed.name, shim.planed.key) == ("taper", "joints.base.shim")
    face = shim.planed.face
    assert (face.height, face.along_x, face.along_y) == pytest.approx((2.3, 0.005, -0.006))
    assert [(spot.at, round(spot.thickness, 9)) for spot in corners_of(shim)] == [
        ((-80.0, -50.0), 2.2), ((80.0, -50.0), 3.0), ((80.0, 50.0), 2.4), ((-80.0, 50.0), 1.6),
    ]  # fmt: skip


def test_volume_is_area_times_thickness_at_the_centroid(stack):
    shim = stack.part("base_shim")
    # Blank and bolt holes (9 mm) are symmetrical about (0, 0), where it is 2.3 thick; the port's middle is (20, 10).
    expected = (160 * 100 - 4 * math.pi * 4.5**2) * 2.3 - math.pi * 20**2 * (2.3 + 0.005 * 20 - 0.006 * 10)
    assert expected_volume(shim) == pytest.approx(expected, rel=1e-12)


def test_no_closed_volume_where_the_plane_leaves_the_blank(stack):
    shim = stack.part("base_shim")
    cuts = tuple(Planed("taper", Plane(2.4, 0.005, -0.006)) if isinstance(cut, Planed) else cut for cut in shim.cuts)
    assert expected_volume(replace(shim, cuts=cuts)) is None


def test_the_farthest_point_of_an_outline_is_exact_on_arcs():
    half = Region.of(Loop((Arc((5, 0), (-5, 0), (0, 0), 5.0, True), Line((-5, 0), (5, 0)))))
    assert farthest(half, (0.0, 2.0)) == pytest.approx((0.0, 5.0))
    assert farthest(half, (3.0, 4.0)) == pytest.approx((3.0, 4.0))
    assert farthest(half, (3.0, -4.0)) == (5, 0)
    thin, thick = ends_of(half, Plane(10.0, 0.0, 1.0))
    assert (thin.thickness, thick.thickness) == pytest.approx((10.0, 15.0))


def test_the_stack_stands_square_on_its_middle(stack):
    """Plate 12, gasket 1, and 2.3 mm of shim in the middle of the bolts: not the 3 mm of its thick end."""
    [blower] = [body.place for body in stack.bodies]
    plate, shim = (stack.part(name).places[0] for name in ("base_plate", "base_shim"))
    assert blower is not None
    assert blower.z_axis == plate.z_axis == (0.0, 0.0, 1.0)
    assert blower.origin[2] - plate.origin[2] == pytest.approx(12 + 1 + 2.3)
    assert shim.origin[2] - plate.origin[2] == pytest.approx(13.0)
    assert [one for one in findings_of(stack, "PM642") if (one.measured or 0.0) < -1e-9] == []


def test_bolts_have_the_grip_of_their_own_place(stack):
    """Bolts at (+-60, +-30): 2.3 - 0.3 - 0.18 = 1.82 mm where the shim is thinnest, 2.78 where it is thickest."""
    grips = [inputs(found)["grip"] for found in findings_of(stack, "PM302")]
    assert sorted(grips) == pytest.approx([12 + 1 + 1.82, 12 + 1 + 2.78])  # type: ignore[type-var]


def test_squareness_tells_what_is_left_and_how_thick_the_middle_is(stack):
    found = only(stack, "PM836")
    assert found.measured == pytest.approx(0.0, abs=1e-9)
    assert inputs(found)["shim in the middle of the bolts"] == pytest.approx(2.3)


@pytest.mark.parametrize(
    ("thickness", "thin", "verdict"),
    [("3", 1.6, Verdict.PASS), ("1.85", 0.45, Verdict.CAUTION), ("1.55", 0.15, Verdict.FAIL)],
)
def test_the_thin_end_has_a_limit(tmp_path, thickness, thin, verdict):
    found = only(wedge(tmp_path, ("thickness: 3,", f"thickness: {thickness},")), "PM838")
    assert (found.measured, found.verdict) == (pytest.approx(thin), verdict)
    assert found.points[1] == pytest.approx((-80.0, 50.0, thin))


def test_a_taper_without_readings_says_what_is_not_known(tmp_path):
    start, end = PROJECT.index("    level:"), PROJECT.index("    shim:")
    text = (PROJECT[:start] + PROJECT[end:]).replace("squares: true", "taper: [0.2, 0]")
    stack = stack_of(tmp_path, text)
    found = only(stack, "PM839")
    # The blower's box, 150 mm long, bounds the shim.
    middle = 3 - 75 * math.tan(math.radians(0.2))
    assert (found.verdict, found.features) == (Verdict.NOT_CHECKED, ("base", "taper"))
    assert note_of(found) == (
        f"the stack stands square over base_shim, {middle:.3f} mm thick in the middle of the bolts; no `level` readings "
        "state what its taper squares"
    )
    assert findings_of(wedge(tmp_path), "PM839") == []


def test_a_taper_that_leaves_nothing_is_refused(tmp_path):
    with pytest.raises(SpecError, match=r"the shim tapers to -0\.400 mm at its thin end, met '1 mm'"):
        wedge(tmp_path, ("thickness: 3,", "thickness: 1,"))


def test_a_thin_end_that_nobody_can_cut_is_refused(tmp_path):
    """From end to end it falls by 1.4 mm: 0.5 % of 160 and 0.6 % of 100."""
    with pytest.raises(SpecError, match=r"the thin end of taper is only 0\.0005 mm"):
        wedge(tmp_path, ("thickness: 3,", "thickness: 1.4005,"))


def test_dxf_marks_the_thick_end_and_the_corners(stack, tmp_path):
    shim = stack.part("base_shim")
    write_dxf(shim, tmp_path / "shim.dxf")
    prove_dxf(shim, tmp_path / "shim.dxf")
    texts = list(ezdxf.readfile(tmp_path / "shim.dxf").modelspace().query("TEXT"))
    corners = {
        text.dxf.text: text.dxf.insert for text in texts if text.dxf.text.startswith("T") and text.dxf.layer == "NOTE"
    }
    assert {"T1 2.200", "T2 3.000", "T3 2.400", "T4 1.600"} <= set(corners)
    assert (corners["T4 1.600"].x < -70, corners["T4 1.600"].y > 40) == (True, True)
    [thick] = [text for text in texts if text.dxf.text == "THICK"]
    assert (thick.dxf.layer, thick.dxf.insert.x > 60, thick.dxf.insert.y < -40) == ("MARK", True, True)


@pytest.mark.kernel
def test_step_is_the_wedge_and_is_read_back_so(stack, tmp_path):
    shim, path = stack.part("base_shim"), tmp_path / "shim.step"
    solid = solid_of(shim)
    write_step(shim, solid, path)
    proof = prove(shim, solid)
    prove_step(shim, proof, path)
    [item] = read_step(path).items
    [slope] = item.slopes
    assert [slope.at(*spot.at) for spot in corners_of(shim)] == pytest.approx([2.2, 3.0, 2.4, 1.6], abs=1e-6)
    # Turned round, it has the same volume and box: only its face states.
    turned = replace(shim, cuts=(*shim.cuts[:-1], Planed("taper", Plane(2.3, -0.005, 0.006))))
    with pytest.raises(ProofError, match="no face of the slope of 'taper'"):
        prove_step(turned, proof, path)


def test_sections_and_edge_view_show_the_slope(stack):
    """Square to Y at its edge Y = 50 it runs from 1.6 to 2.4; from the front one sees the higher edge, at Y = -50."""
    shim = stack.part("base_shim")
    assert heights_at(shim, Cutting.ACROSS_Y, 50.0, -80.0, 80.0) == pytest.approx([1.6, 2.4])
    assert heights_at(shim, Cutting.ACROSS_X, 80.0, -50.0, 50.0) == pytest.approx([3.0, 2.4])
    assert [(plane.cutting, plane.at) for plane in planes_of(shim)] == [(Cutting.ACROSS_X, 0.0)], (
        "along the steeper way"
    )
    high, low = profiles_of(shim)
    assert [high[0][1], high[-1][1]] == pytest.approx([2.2, 3.0], abs=1e-4)
    assert [low[0][1], low[-1][1]] == pytest.approx([1.6, 2.4], abs=1e-4)


def test_the_drawing_tells_thick_and_thin(stack):
    pages = drawing_pages(stack.part("base_shim"), About("trial", "mm", "1", Projection.FIRST_ANGLE))
    words = {text.text for page in pages for text in texts_in(page.ink)}
    assert {"T1 = 2.200", "T2 = 3.000", "T3 = 2.400", "T4 = 1.600", "THICK END"} <= words
    assert {"2.200", "3.000"} <= words, "both ends of the edge view"
    assert {"2.600", "2.000"} <= words, "both ends of the section at X0"
