"""The proof of a solid: what it measures, and that it names the cut that goes wrong."""

from __future__ import annotations

import math

import pytest
from scipy.integrate import quad

from platemaker.errors import ProofError
from platemaker.parts import Part, PlateStock, Profile, ProfileKind, Side
from platemaker.plane import Loop, Region
from platemaker.records import replace
from platemaker.resolved import Predicted
from platemaker.solids import prove, solid_of
from tests import sample_parts as sample

pytestmark = pytest.mark.kernel


def blank_less_round_holes(part: Part) -> Predicted:
    """Volume of a plate whose cuts are plain through holes, clear of each other."""
    assert isinstance(part.stock, PlateStock)
    holes = sum(math.pi / 4 * hole.diameter**2 for hole in part.holes)
    return Predicted((part.stock.region.area - holes) * part.stock.thickness, 0.0)


def unforetold(part: Part) -> None:
    """No closed formula."""


def plate_with(*cuts: object) -> Part:
    return sample.plate("lid", Loop.rectangle(100, 60), 10, *cuts)  # type: ignore[arg-type]


def test_a_good_plate_is_proved_with_its_figures() -> None:
    part = sample.one_hole()
    proof = prove(part, solid_of(part), blank_less_round_holes)
    due = (6000 - math.pi * 36) * 10
    assert (proof.part, proof.faces) == ("one_hole", 7)
    assert proof.expected == pytest.approx(due, rel=1e-15)
    assert proof.volume == pytest.approx(due, rel=1e-12)
    # The mesh's polygon lies inside the hole: more material, by less than chord error times wall area.
    assert due < proof.mesh_volume < due + proof.mesh_bound
    assert proof.mesh_bound == pytest.approx(0.02 * math.pi * 12 * 10, rel=1e-3)


@pytest.mark.parametrize("make", sample.SAMPLES, ids=lambda make: make.__name__)
def test_every_sample_is_proved_without_a_formula(make: object) -> None:
    part = make()  # type: ignore[operator]
    assert prove(part, solid_of(part), unforetold).volume > 0


def test_a_hole_partly_off_the_plate_is_named_by_its_volume() -> None:
    cuts = [sample.drilled(f"h{i}", (-40 + 10 * i, 10), 6, 10) for i in range(8)]
    part = plate_with(*cuts, sample.drilled("edge", (50, 0), 8, 10), sample.drilled("last", (0, -20), 6, 10))
    with pytest.raises(ProofError, match=r"^part 'lid', cut 'edge': the solid holds .* plane geometry says"):
        prove(part, solid_of(part), blank_less_round_holes)


def test_a_cut_that_splits_the_plate_is_named() -> None:
    slot = sample.through_profile("slot", Loop.rectangle(6, 80), 10, ProfileKind.SLOT)
    part = plate_with(sample.drilled("good", (30, 0), 8, 10), slot)
    with pytest.raises(
        ProofError,
        match=r"^part 'lid', cut 'slot': the solid is 2 pieces instead of one; no solid can be made with cuts",
    ):
        prove(part, solid_of(part), unforetold)


def test_a_cut_that_eats_the_plate_is_named() -> None:
    part = plate_with(sample.through_profile("all", Loop.rectangle(120, 80), 10))
    with pytest.raises(
        ProofError, match=r"^part 'lid', cut 'all': the solid is nothing instead of one; no solid can be made with cuts"
    ):
        prove(part, solid_of(part), unforetold)


def test_the_key_in_the_spec_is_told() -> None:
    slot = replace(sample.through_profile("slot", Loop.rectangle(6, 80), 10), key="parts.lid.slots.slot")
    part = plate_with(slot)
    with pytest.raises(ProofError, match=r"cut 'slot' \(parts\.lid\.slots\.slot\): the solid is 2 pieces"):
        prove(part, solid_of(part), unforetold)


def test_the_solid_of_another_part_is_refused() -> None:
    part, other = sample.one_hole(), sample.plain_plate()
    with pytest.raises(ProofError, match=r"^part 'one_hole': the solid holds 60000\.000000 mm3"):
        prove(part, solid_of(other), blank_less_round_holes)


def test_a_wrong_blank_is_said_to_be_the_blank() -> None:
    part = sample.one_hole()
    with pytest.raises(ProofError, match="and so does its blank without a cut"):
        prove(part, solid_of(part), lambda _: Predicted(61_000.0, 0.0))


def test_an_open_shell_is_not_a_solid() -> None:
    import cadquery as cq

    solid = solid_of(sample.plain_plate())
    shell = cq.Shell.makeShell(solid.Faces()[:5])
    with pytest.raises(ProofError, match="the solid is nothing instead of one"):
        prove(sample.plain_plate(), shell, blank_less_round_holes)


def test_a_counterbore_that_runs_into_a_mouth_is_proved_by_sections() -> None:
    # The mouth reaches from the opening's edge at y = 15 to y = 21; the counterbore from y = 20.5 up.
    opening = Profile(
        "port", ProfileKind.OPENING, (Region.of(Loop.rectangle(50, 30, 9)),), Side.ABOVE, 20, True, mouth_radius=6.0
    )
    for mouth, apart in ((Side.ABOVE, False), (Side.BELOW, True)):
        bolt = sample.counterbored("bolt", (0, 28), 15, 8, 9, 20)
        part = sample.plate("lid", Loop.rectangle(100, 90), 20, replace(opening, mouth=mouth), bolt)
        proof = prove(part, solid_of(part))
        corner = (1 - math.pi / 4) * 36 * (2 * 32 + 2 * 12 + 18 * math.pi) + 2 * math.pi * 216 * (5 / 6 - math.pi / 4)
        both = 9000 * 20 - (1500 - (4 - math.pi) * 81) * 20 - math.pi / 4 * (15**2 * 8 + 9**2 * 12) - corner
        # What both take away is taken once. The mouth at depth d below its face is 6 - sqrt(36 - (6 - d)^2) wide, so
        # it meets the counterbore's circle (radius 7.5 at 13 mm from the wall) where that is over 5.5: a segment.
        shared, _ = quad(lambda d: segment(7.5, 13 - (6 - math.sqrt(36 - (6 - d) ** 2))), 0.0, 6.0, epsabs=1e-12)
        due = both if apart else both + shared
        assert proof.volume == pytest.approx(due, abs=1e-6)
        assert proof.expected == pytest.approx(due, abs=1e-6 + proof.expected_error)
        assert proof.expected_error < 0.01 * shared


def segment(radius: float, off: float) -> float:
    """Area of a circle beyond a straight line `off` from its centre (any handbook of mathematics)."""
    if off >= radius:
        return 0.0
    return radius**2 * math.acos(off / radius) - off * math.sqrt(radius**2 - off**2)


def pocket(name: str, x: float, depth: float = 4.0) -> Profile:
    region = Region.of(Loop.rectangle(20, 20, centre=(x, 0)))
    return Profile(name, ProfileKind.POCKET, (region,), Side.ABOVE, depth, False)


def test_cuts_near_each_other_and_figures_of_other_depths_are_proved() -> None:
    near = plate_with(sample.drilled("a", (0, 0), 10, 10), sample.drilled("b", (10.01, 0), 10, 10))
    assert prove(near, solid_of(near), blank_less_round_holes).faces == 8
    step = plate_with(pocket("left", 0), pocket("right", 20, depth=6.0))
    # A blank of 6000 mm2 by 10 mm, less 400 mm2 by 4 and 400 mm2 by 6 mm.
    assert prove(step, solid_of(step), unforetold).volume == pytest.approx(60_000 - 1600 - 2400, rel=1e-12)
