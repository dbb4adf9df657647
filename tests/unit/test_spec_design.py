"""What a spec says of its design: read as meant, refused in plain words where it cannot be."""

from __future__ import annotations

import math
import re
from pathlib import Path

import pytest

from platemaker.errors import SpecError
from platemaker.parts import Stack
from platemaker.parts._records._design import press_fit_of
from platemaker.resolved import assemble
from platemaker.spec import PressFitModel, load_project
from tests.design_stacks import stack_of

SPEC = """
project: pot
design: {DESIGN}
bodies:
  pot: {material: A356-T6, envelope: {box: [200, 200, 50]}, joints: {lid: {thread_depth: 20}}}
joints:
  lid:
    bolts: {pattern: {rectangle: [120, 90]}, thread: M8, length: 25}
    opening: {rectangle: [80, 50], corner_radius: 10}
    JOINT
parts:
  lid: {kind: plate, material: 6061-T6, thickness: 12, outline: {rectangle: [160, 130]}, below: {lid: {holes: clear}}}
"""


def pot(folder: Path, design: str = "boost: 1 bar", joint: str = "") -> Stack:
    text = SPEC.replace("DESIGN", design).replace("JOINT", joint)
    (folder / "project.yaml").write_text(text, encoding="utf-8")
    return assemble(load_project(folder))


@pytest.mark.parametrize(
    ("design", "joint", "message"),
    [
        (
            "boost: 0.8",
            "",
            "project.yaml:3: design.boost: 0.8 is not a pressure: missing unit; "
            "allowed: MPa, Pa, kPa, GPa, bar, mbar, psi, ksi, inH2O",
        ),
        (
            "boost: -0.2 bar",
            "",
            "project.yaml:3: design.boost: '-0.2 bar' is out of range for a pressure; allowed: from 0 bar to 1000 bar",
        ),
        (
            "vacuum: 1.2 bar",
            "",
            "project.yaml:3: design.vacuum: '1.2 bar' is out of range for a pressure; allowed: from 0 bar to 1.01325 bar",
        ),
        (
            "preload_share: 1.2",
            "",
            "project.yaml:3: design.preload_share: out of range, met 1.2; allowed: above 0, at most 1",
        ),
        (
            "air: {inlet_temperature: -300 degC}",
            "",
            "project.yaml:3: design.air.inlet_temperature: '-300 degC' is not a temperature: below absolute zero "
            "(0 K, -273.15 degC, -459.67 degF)",
        ),
        (
            "air: {inlet_temperature: 30}",
            "",
            "project.yaml:3: design.air.inlet_temperature: 30 is not a temperature: missing unit; "
            "allowed: K, degC, degF",
        ),
        (
            "friction: greasy",
            "",
            "project.yaml:3: design.friction: no nut factor condition 'greasy' in the catalog; "
            "allowed: plain, black, zinc, cadmium, lubricated, oiled, anti-seize, waxed",
        ),
        (
            "loads: {a: {mass: 5 kg, at: [0, 0, 9], joints: [lidd]}}",
            "",
            "project.yaml:3: design.loads.a.joints[0]: no joint is called 'lidd', met 'lidd'; allowed: lid; "
            "did you mean 'lid'?",
        ),
        (
            "loads: {a: {at: [0, 0, 9], joints: [lid]}}",
            "",
            "project.yaml:3: design.loads.a: a load has either `mass` or `force`",
        ),
        (
            "loads: {a: {force: 1 kN, towards: [0, 0, 0], at: [0, 0, 9], joints: [lid]}}",
            "",
            "project.yaml:3: design.loads.a: `towards` must point somewhere, not be [0, 0, 0]",
        ),
        (
            "air: {bends: [{angle: 150 deg}]}",
            "",
            "project.yaml:3: design.air.bends[0]: a bend of more than 120 deg needs a `radius`, met 150 deg",
        ),
        (
            "blower: {per_turn: 1 L}",
            "",
            "project.yaml:3: design.blower: a blower has either `speed` or `ratio`",
        ),
        (
            "blower: {per_turn: 1 L, ratio: 2}",
            "",
            "project.yaml:3: design: a blower's `ratio` needs `engine` with its speed",
        ),
        (
            "boost: 1 bar",
            "gasket: {thickness: -0.8, land: 5}",
            "project.yaml:10: joints.lid.gasket.thickness: -0.8 is out of range for a length; "
            "allowed: above 0 mm, at most 10 m",
        ),
        (
            "boost: 1 bar",
            "gasket: {thickness: 0.8, land: 5}\n    seal: {o_ring: AS568-244}",
            "project.yaml:7: joints.lid: a joint has either `gasket` or `seal`",
        ),
        (
            "boost: 1 bar",
            "seal: {o_ring: AS568-999}",
            "project.yaml:10: joints.lid.seal.o_ring: no O-ring AS568 'AS568-999' in the catalog; "
            "allowed: 001 to 050, 102 to 178, 201 to 284, 309 to 395, 425 to 475",
        ),
        (
            # (P + 2 pi (b - W/2))/pi - W with P = 2 (60 + 30) + 20 pi: 79.38
            "boost: 1 bar",
            "seal: {o_ring: AS568-210}",
            "project.yaml:10: joints.lid.seal.o_ring: O-ring 210 is too short for the opening of joint 'lid', "
            "met 'inside diameter 18.64 mm'; allowed: an inside diameter above 79.38 mm for section 3.53 mm",
        ),
        (
            "boost: 1 bar",
            "seal: {o_ring: AS568-244, part: pot}",
            "project.yaml:10: joints.lid.seal.part: an O-ring's groove is cut in a plate that has the joint, "
            "met 'pot'; allowed: lid",
        ),
        (
            "boost: 1 bar",
            "seal: {o_ring: AS568-244, depth: 12}",
            "project.yaml:10: joints.lid.seal: the groove of joint 'lid' is as deep as the plate, met '12 mm'; "
            "allowed: less than the thickness, 12 mm",
        ),
    ],
)
def test_refused(tmp_path: Path, design: str, joint: str, message: str) -> None:
    with pytest.raises(SpecError) as met:
        pot(tmp_path, design, joint)
    assert str(met.value) == message


def test_a_mouth_is_told_in_one_way(tmp_path: Path) -> None:
    text = SPEC.replace("DESIGN", "").replace("JOINT", "seal: {o_ring: AS568-244}")
    mouth = ", opening: {match: lid, mouth_radius: 2, mouth_chamfer: 2}}\n"
    (tmp_path / "project.yaml").write_text(
        text.replace("holes: clear}}}\n", "holes: clear}}" + mouth), encoding="utf-8"
    )
    with pytest.raises(SpecError) as met:
        load_project(tmp_path)
    assert str(met.value) == (
        "project.yaml:12: parts.lid.opening: an opening's mouth has either `mouth_radius` or `mouth_chamfer`"
    )


def test_a_seal_needs_an_opening(tmp_path: Path) -> None:
    text = SPEC.replace("DESIGN", "").replace("JOINT", "seal: {o_ring: AS568-244}")
    (tmp_path / "project.yaml").write_text(
        text.replace("    opening: {rectangle: [80, 50], corner_radius: 10}\n", ""), encoding="utf-8"
    )
    with pytest.raises(SpecError) as met:
        load_project(tmp_path)
    assert str(met.value) == "project.yaml:7: joints.lid: a `seal` goes round an `opening`: give the joint one"


BOSSES = """
project: row
joints: {spots: {spots: {row: [0, 60]}}}
parts:
  boss: {kind: boss_row, joint: spots, material: 6061-T6, angle: 90 deg, fit: FIT,
    boss: {outside_diameter: 24, length: 30, bore: 12},
    casting: {material: A356-T6, flat: {rectangle: [160, 60]}, thickness: 20, bore: 24}}
"""


@pytest.mark.parametrize(
    ("boss", "fit", "allowed"),
    [
        (23, "{hole: H7, shaft: p6}", "24 mm, the bore's diameter"),
        (24.05, "{hole: H7, shaft: p6}", "24 mm, the bore's diameter"),
        (24.05, "{interference: [0.02, 0.04]}", "24 mm, the bore's diameter"),
        (24.03, "{interference: [0.02, 0.04]}", None),
        (23, "null", None),
        (24.05, "null", None),  # without a fit it is for the checks to say
    ],
)
def test_a_boss_has_the_size_of_its_bore(tmp_path: Path, boss: float, fit: str, allowed: str | None) -> None:
    """A fit is on one size: a boss of 23 drops through a bore of 24, whatever its zones say."""
    text = BOSSES.replace("outside_diameter: 24", f"outside_diameter: {boss}").replace("FIT", fit)
    if allowed is None:
        assert stack_of(tmp_path, text).parts
        return
    with pytest.raises(SpecError, match=re.escape(f"met '{boss} mm'; allowed: {allowed}")):
        stack_of(tmp_path, text)


@pytest.mark.parametrize(
    ("fit", "message"),
    [
        ("{hole: H7}", "a fit has either `hole` and `shaft` zones or an `interference` [least, greatest]"),
        (
            "{hole: H7, shaft: p6, interference: [0.01, 0.02]}",
            "a fit has either `hole` and `shaft` zones or an `interference` [least, greatest]",
        ),
        ("{interference: [0.03, 0.02]}", "an `interference` is [least, greatest]"),
    ],
)
def test_a_fit_is_told_in_one_way(tmp_path: Path, fit: str, message: str) -> None:
    (tmp_path / "project.yaml").write_text(BOSSES.replace("FIT", fit), encoding="utf-8")
    with pytest.raises(SpecError) as met:
        load_project(tmp_path)
    assert str(met.value) == f"project.yaml:5: parts.boss.fit: {message}"


def test_a_fit_of_zones_is_read_from_the_table(tmp_path: Path) -> None:
    """24 mm H7/p6: +21/0 and +35/+22 um, so 1 to 35 um (ISO 286-2)."""
    (tmp_path / "project.yaml").write_text(BOSSES.replace("FIT", "{hole: H7, shaft: p6}"), encoding="utf-8")
    fit = assemble(load_project(tmp_path)).part("boss").fit
    assert fit is not None
    assert (fit.words, fit.diameter) == ("H7/p6", 24.0)
    assert (fit.least, fit.greatest) == pytest.approx((0.001, 0.035))


def test_an_unknown_zone_is_told_at_its_place(tmp_path: Path) -> None:
    (tmp_path / "project.yaml").write_text(BOSSES.replace("FIT", "{hole: H7, shaft: s6}"), encoding="utf-8")
    with pytest.raises(SpecError) as met:
        assemble(load_project(tmp_path))
    assert str(met.value).startswith("project.yaml:5: parts.boss.fit: no tolerance zone 's6' in the catalog; allowed: ")


def test_loads_become_forces(tmp_path: Path) -> None:
    """10 kg three times over: 10 x 9.80665 x 3 = 294.1995 N down; 5 kN along 3-4-0."""
    design = (
        "loads: {weight: {mass: 10 kg, times: 3, at: [0, 0, 100], joints: [lid]}, "
        "belt: {force: 5 kN, towards: [3, 4, 0], at: [0, 0, 100], joints: [lid]}}"
    )
    found = pot(tmp_path, design).design
    assert found is not None
    weight, belt = found.loads
    assert weight.force == pytest.approx((0.0, 0.0, -294.1995))
    assert belt.force == pytest.approx((3000.0, 4000.0, 0.0))


def test_pressures_are_read_in_their_own_units(tmp_path: Path) -> None:
    found = pot(tmp_path, "boost: 10 psi, backfire: 3 bar, vacuum: 10 inH2O").design
    assert found is not None
    # 10 psi is 0.068 947 57 MPa and 10 inH2O 2490.889 Pa (NIST SP 811, B.8).
    assert (found.boost, found.backfire, found.vacuum) == pytest.approx((0.06894757, 0.3, 0.002490889), rel=1e-6)


def test_a_groove_lies_where_the_ring_lies(tmp_path: Path) -> None:
    """Round a convex opening of outline P a line at distance s is P + 2 pi s long (Steiner).

    AS568-244: 107.54 inside, 3.53 thick. The ring's middle line is pi x 111.07 = 348.94; P = 180 + 20 pi = 242.83, so
    it lies 16.887 out; the outer wall W/2 = 1.765 further, the inner one 4.57 nearer. Depth: middle of 2.54 and 2.74.
    """
    stack = pot(tmp_path, "boost: 1 bar", "seal: {o_ring: AS568-244}")
    [groove] = [cut for cut in stack.part("lid").profiles if cut.kind.value == "groove"]
    [ring] = groove.regions
    outline = 180 + math.tau * 10
    outer = (math.pi * (107.54 + 3.53) - outline) / math.tau + 3.53 / 2
    assert ring.outer.perimeter == pytest.approx(outline + math.tau * outer, abs=1e-5)  # placed on the 1e-6 mm grid
    assert ring.holes[0].perimeter == pytest.approx(outline + math.tau * (outer - 4.57), abs=1e-5)
    assert (groove.side.value, groove.depth, groove.name) == ("below", pytest.approx(2.64), "lid_groove")


def test_a_head_that_no_table_has_is_refused(tmp_path: Path) -> None:
    with pytest.raises(SpecError) as met:
        text = SPEC.replace("DESIGN", "").replace("JOINT", "").replace("thread: M8", "thread: M18")
        (tmp_path / "project.yaml").write_text(text, encoding="utf-8")
        assemble(load_project(tmp_path))
    assert str(met.value).startswith("project.yaml:8: joints.lid.bolts: no socket head for 'M18' in the catalog")


@pytest.mark.parametrize(("units", "words"), [("mm", "0.02 to 0.04 mm"), ("in", "0.0007874 to 0.001575 in")])
def test_a_stated_interference_reads_in_the_projects_unit(units: str, words: str) -> None:
    """0.02 mm are 0.02 / 25.4 = 0.000787402 in, 0.04 mm 0.00157480 in."""
    model = PressFitModel.model_validate({"interference": [0.02, 0.04]}, context={"units": "mm"})
    assert press_fit_of(model, 24.0, "casting", 0.0, units).words == words
