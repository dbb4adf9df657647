"""What nuts, threads, inserts, ports and O-rings really lie on where another cut takes the metal away.

Sources: arithmetic beside each number; M8 nut 13 across flats, its bearing face 11.6 (ISO 4032); hole for M8 9 (ISO 273);
AS568-142 59.99 inside, 2.62 thick; wire inserts wind in to L less three quarters of the pitch (ASME B18.29.2M); 1/2 NPT
hand-tight 0.320 in (ASME B1.20.1); spotface of port -6 0.969 in (SAE J1926-1).
"""

from __future__ import annotations

import math
import re
from pathlib import Path

import pytest

from platemaker.checks import Finding, Verdict
from platemaker.resolved import matter_of, resolved_stack
from tests.design_stacks import findings_of, inputs, stack_of
from tests.plates import note_of

IN = 25.4
PAIR = """
project: pair
design: {preload_share: 0.5, friction: oiled}
joints:
  j: {bolts: {pattern: {rectangle: [80, 60]}, thread: M8, head: socket, length: 45}, pressure: 0 bar}
parts:
  low: {kind: plate, material: METAL, thickness: 16, outline: {rectangle: [120, 100]}, place: {at: [0, 0, 0]},
    above: {j: {holes: clear}}LOW}
  up: {kind: plate, material: S235, thickness: 16, outline: {rectangle: [120, 100]}, below: {j: {holes: clear}}}
"""
SCREW = """
project: screw
design: {preload_share: 0.5, friction: oiled}
parts:
  low: {kind: plate, material: 6061-T6, thickness: 25, outline: {rectangle: [100, 80]}, place: {at: [0, 0, 0]},
    CUTS, holes: {MORE s: {at: [0, 0], SORT, side: above, into: [well]}}}
  up: {kind: plate, material: S235, thickness: 10, outline: {rectangle: [100, 80]}, place: {at: [0, 0, 25]},
    holes: {c: {at: [0, 0], clear: M8, side: above, screw: {length: 25}}}}
"""
BRACKET = """
project: bracket
parts:
  base: {kind: plate, material: S235, thickness: 20, outline: {rectangle: [60, 60]}, place: {at: [0, 0, 0]},
    holes: {s: {at: [0, 0], tapped: M8, side: above}}}
  foot: {kind: bracket, material: S235, width: 40, thickness: 8, legs: [80, 80], bends: [{angle: 90 deg, radius: 10}],
    holes: {c: {leg: 2, at: [50, 0], clear: M8, over: base.s, screw: {length: 20}}},
    pockets: {p: {leg: 2, side: below, depth: 3, shape: {rectangle: [30, 30], at: [50, 0]}}}}
"""
RING = """
project: ring
design: {preload_share: 0.5, friction: oiled, boost: 1 bar}
joints:
  j: {bolts: {pattern: {rectangle: [100, 80]}, thread: M8, length: 25}, opening: {circle: 40},
    seal: {o_ring: AS568-142, part: low, compound: NBR}}
parts:
  low: {kind: plate, material: 6061-T6, thickness: 20, outline: {rectangle: [130, 110]}, place: {at: [0, 0, 0]},
    above: {j: {holes: tapped}}, opening: {match: j, cutter: 12}}
  up: {kind: plate, material: 6061-T6, thickness: 12, outline: {rectangle: OUT}, below: {j: {holes: clear}},
    opening: OPENING CUTS}
"""
# Pressure lays the ring against the outer wall, which has the radius of the ring's outside; the groove is drawn 3.56 wide.
OUTER = 59.99 / 2 + 2.62
INNER = OUTER - 3.56


def one_of(folder: Path, text: str, check: str, *features: str) -> Finding:
    """The one finding of a check whose part or features hold all those words."""
    found = findings_of(stack_of(folder, text), check)
    (one,) = [it for it in found if set(features) <= {it.part, *it.features}]
    return one


def test_a_nut_needs_its_own_room_beside_a_pocket(tmp_path: Path) -> None:
    """A pocket's edge 7 from the axis: a socket head of 13 would stand there, the nut's corners do not."""
    pocket = ", pockets: {p: {shape: {rectangle: [20, 30], at: [-23, -30]}, depth: 4, side: below}}"
    text = PAIR.replace("METAL", "S235").replace("LOW", pocket)
    found = one_of(tmp_path, text, "PM401", "low", "j_1", "p")
    assert (found.verdict, found.measured) == (Verdict.FAIL, pytest.approx(7 - 13 / math.sqrt(3), abs=1e-3))
    assert one_of(tmp_path, text, "PM401", "up", "j_1").measured == pytest.approx(20 - 13 / 2)
    assert {one.part for one in findings_of(stack_of(tmp_path, text), "PM402")} == {"low"}


def test_a_nut_presses_on_its_own_metal(tmp_path: Path) -> None:
    """The head stands on steel, the nut on aluminium: the same pull on the ring between 11.6 and 9."""
    text = PAIR.replace("METAL", "6061-T6").replace("LOW", "")
    head, nut = (one_of(tmp_path, text, "PM904", part) for part in ("up", "low"))
    area = math.pi / 4 * (11.6**2 - 9**2)
    assert nut.title == "pressure under the nut"
    assert nut.measured == pytest.approx(float(inputs(head)["F"]) / area, rel=1e-9)
    assert nut.verdict is Verdict.FAIL


def test_a_head_on_another_machines_mount_is_not_checked(tmp_path: Path) -> None:
    """Its metal is not the plate's, and no key gives it."""
    text = """
project: mount
design: {preload_share: 0.5, friction: oiled}
bodies: {pad: {material: A356-T6, joints: {j: {face: above, holes: tapped, thread_depth: 20}}}}
joints:
  j: {bolts: {pattern: {rectangle: [80, 60]}, thread: M8, head: hex}, pressure: 0 bar SHARED}
parts:
  lid: {kind: plate, material: S235, thickness: 12, outline: {rectangle: [120, 100]}, below: {j: {holes: clear}}}
"""
    alone = one_of(tmp_path, text.replace("SHARED", ""), "PM904", "lid")
    assert alone.measured is not None
    shared = one_of(tmp_path, text.replace("SHARED", ", shared: {title: Engine mount, thickness: 10}"), "PM904", "lid")
    assert shared.verdict is Verdict.NOT_CHECKED
    assert note_of(shared) == "the material of Engine mount is not specified"


WELL = {
    "hole": ("note: none", "well: {at: [0, 0], diameter: 30, depth: 10, side: above},"),
    "relief": ("reliefs: {well: {at: [0, 0], diameter: 30, depth: 10, side: above}}", ""),
}


@pytest.mark.parametrize("well", sorted(WELL))
def test_a_thread_begins_where_another_cut_ends(tmp_path: Path, well: str) -> None:
    """A screw 25 long through 10 and a well of 10: 5 of thread, 0.625 d, whatever makes the well."""
    cuts, more = WELL[well]
    text = SCREW.replace("CUTS", cuts).replace("MORE", more).replace("SORT", "tapped: M8")
    found = one_of(tmp_path, text, "PM302", "low")
    assert (found.verdict, found.measured) == (Verdict.FAIL, pytest.approx(5 / 8))


BEHIND = "pockets: {well: {shape: {rectangle: [50, 50]}, depth: 17, side: below}}"


@pytest.mark.parametrize(("sort", "check", "needed"), [
    ("insert: M8", "PM984", 12.0), ("pipe_thread: 1/2 NPT", "PM980", 0.32 * IN), ("port: -6", "PM981", 0.5 * IN),
])  # fmt: skip
def test_a_pocket_behind_takes_thread_of_what_is_screwed_in(
    tmp_path: Path, sort: str, check: str, needed: float
) -> None:
    """8 of 25 are left over the pocket: too little for an insert of 12, a pipe thread and a port."""
    text = SCREW.replace("CUTS", BEHIND).replace("MORE", "").replace("SORT", sort)
    found = min(findings_of(stack_of(tmp_path, text), check), key=lambda one: one.measured or 0.0)
    assert (found.measured, found.required) == (pytest.approx(8.0), pytest.approx(needed, abs=0.01))
    assert found.verdict is Verdict.FAIL


def test_an_insert_is_pulled_out_of_the_thread_that_is_left(tmp_path: Path) -> None:
    """Shear area goes with length: 8 in place of 12 less three quarters of 1.25; none is left under a deeper pocket."""
    whole, cut = (
        one_of(tmp_path, SCREW.replace("CUTS", cuts).replace("MORE", "").replace("SORT", "insert: M8"), "PM985")
        for cuts in (BEHIND.replace("17", "4"), BEHIND)
    )
    assert (cut.measured or 0.0) / (whole.measured or 1.0) == pytest.approx(8 / (12 - 0.75 * 1.25), rel=1e-9)


def test_a_head_in_the_pocket_of_a_bent_leg(tmp_path: Path) -> None:
    """3 of 8 are milled away under the head: 5 are clamped, the screw of 20 reaches 15 into the thread, clear of all."""
    stack = stack_of(tmp_path, BRACKET)
    (bolt,) = resolved_stack(stack).bolts
    assert (bolt.grip, bolt.reach, bolt.seat.sunk) == (5.0, 15.0, True)
    assert not [one for one in findings_of(stack, "PM642") if any("head" in name for name in one.features)]
    # Legs are 80 outside; each is straight but for radius and thickness: 62. The bend is a quarter ring and the hollow.
    volume = sum(figure.region.area * figure.height for figure in matter_of(stack.part("foot")) if figure.height < 10)
    assert volume == pytest.approx(2 * 62 * 40 * 8 - 900 * 3 - math.pi * 4.5**2 * 5, rel=1e-9)


@pytest.mark.parametrize(("opening", "cuts", "outline", "land"), [
    ("{match: j, cutter: 12}", "", "[130, 110]", INNER - 20),
    ("{shape: {circle: 66}, cutter: 12}", "", "[130, 110]", INNER - 33),
    ("{match: j, cutter: 12, mouth_radius: 8.5, mouth: below}", "", "[130, 110]", INNER - 28.5),
    ("{match: j, cutter: 12}", ", holes: {p: {at: [25, 0], diameter: 6, depth: 5, side: below}}", "[130, 110]", INNER - 28),
    ("{match: j, cutter: 12}", ", holes: {p: {at: [37, 0], diameter: 6, depth: 5, side: below}}", "[130, 110]", 34 - OUTER),
    ("{match: j, cutter: 12}", "", "[130, 64]", 32 - OUTER),
])  # fmt: skip
def test_an_o_ring_lies_on_the_part_across(tmp_path: Path, opening: str, cuts: str, outline: str, land: float) -> None:
    text = RING.replace("OPENING", opening).replace("CUTS", cuts).replace("OUT", outline)
    if outline != "[130, 110]":
        text = text.replace("rectangle: [100, 80]", "rectangle: [100, 40]")
    (found,) = [one for one in findings_of(stack_of(tmp_path, text), "PM921") if "O-ring" in one.title]
    assert found.measured == pytest.approx(land, abs=0.006)
    assert found.verdict is (Verdict.FAIL if land < 0 else Verdict.CAUTION if land < 1 else Verdict.PASS)


@pytest.mark.parametrize(("along", "leaks"), [(25.5, True), (40.0, False)])
def test_a_hole_inside_the_o_ring_lets_pressure_out(tmp_path: Path, along: float, leaks: bool) -> None:
    """The ring holds the pressure, not the opening's edge: a hole between both is a way out, one outside is none."""
    hole = f", holes: {{p: {{at: [{along}, 0], diameter: 5}}}}"
    text = RING.replace("OPENING", "{match: j, cutter: 12}").replace("CUTS", hole).replace("OUT", "[130, 110]")
    found = [one for one in findings_of(stack_of(tmp_path, text), "PM920") if one.features == ("p",)]
    assert [(one.verdict, one.measured) for one in found] == (
        [(Verdict.FAIL, pytest.approx(math.pi * 2.5**2))] if leaks else []
    )


def test_a_ports_spotface_keeps_off_an_openings_mouth(tmp_path: Path) -> None:
    """40 from the middle of an opening of 40 whose mouth reaches 8 further: a face of 24 for the spotface of 24.6."""
    text = """
project: port
parts:
  lid: {kind: plate, material: 6061-T6, thickness: 30, outline: {rectangle: [160, 110]},
    opening: {shape: {circle: 40}, mouth_radius: 8, mouth: MOUTH}, holes: {p: {at: [40, 0], port: -6, side: above}}}
"""
    for mouth, wide, verdict in (("above", 24.0, Verdict.FAIL), ("below", 40.0, Verdict.PASS)):
        found = one_of(tmp_path, text.replace("MOUTH", mouth), "PM982")
        assert (found.measured, found.required) == (pytest.approx(wide), pytest.approx(0.969 * IN, abs=1e-3))
        assert found.verdict is verdict


def test_overlaps_of_all_layers_count(tmp_path: Path) -> None:
    """4 mm of a plate stand in another, half of it beside a relief of 20: 4 x 1600 less 2 x 100 pi."""
    text = """
project: overlap
parts:
  a: {kind: plate, material: S235, thickness: 10, outline: {rectangle: [40, 40]}, place: {at: [0, 0, 0]},
    reliefs: {r: {at: [0, 0], diameter: 20, depth: 5, side: above}}}
  b: {kind: plate, material: S235, thickness: 4, outline: {rectangle: [40, 40]}, place: {at: [0, 0, 3]}}
"""
    found = one_of(tmp_path, text, "PM641", "a", "b")
    volume = re.fullmatch(r"they overlap by ([\d.]+) mm3", note_of(found))
    assert volume is not None
    assert float(volume[1]) == pytest.approx(6400 - 200 * math.pi, abs=0.1)


@pytest.mark.parametrize(
    ("cut", "other", "room", "verdict"),
    [
        ("well: {at: [0, 0], diameter: 20, depth: 4, side: above},", "well point", 4.5 - 6.5, Verdict.FAIL),
        ("", "outline", 40 - 6.5, Verdict.PASS),
    ],
)
def test_no_head_bears_on_the_cone_of_a_drill(
    tmp_path: Path, cut: str, other: str, room: float, verdict: Verdict
) -> None:
    """A head of 13 in a drilled well of 20: its floor falls from its rim to its point; the flat ends at the hole of 9."""
    text = SCREW.replace("CUTS, ", "").replace("MORE ", "").replace("SORT", "tapped: M8").replace(", into: [well]", "")
    text = text.replace("thickness: 10", "thickness: 20").replace("{c: {at: [0, 0]", f"{{{cut} c: {{at: [0, 0]")
    [found] = findings_of(
        stack_of(tmp_path, text.replace("clear: M8", "clear: M8, into: [well]" if cut else "clear: M8")), "PM401"
    )
    assert (found.features, found.measured, found.verdict) == (("c", other), pytest.approx(room), verdict)
