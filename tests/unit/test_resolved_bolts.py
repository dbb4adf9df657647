"""Every screw of a stack: which hole lies over which, what it clamps, where its head and its nut bear.

Expected numbers are arithmetic on the spec's own sizes, beside each; ISO 273 medium: M6 6.6, M8 9; ISO 4032: M8 nut 6.8.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from platemaker.catalog import Family, HeadKind, thread
from platemaker.checks import Verdict, check_stack
from platemaker.errors import SpecError
from platemaker.parts import Stack
from platemaker.records import replace
from platemaker.resolved import Bolt, alike, resolved_stack
from platemaker.resolved._bolt_length import screw_length
from tests.plates import note_of, stack_of

PLATES = """
project: covers
parts:
  base:
    kind: plate
    material: 6061-T6
    thickness: 20
    outline: {rectangle: [100, 60]}
    place: {at: [0, 0, 0]}
    holes: {under: {at: [10, 5], TAPPED}}
  lid:
    kind: plate
    material: S235
    thickness: 6
    outline: {rectangle: [100, 60]}
    place: {at: [0, 0, HEIGHT]}
    holes: {over: {at: [ALONG, 5], clear: CLEAR, side: SIDE SCREW}}
MORE"""


def covers(folder: Path, tapped: str = "tapped: M6, depth: 12", **words: str) -> Stack:
    """The lid on the base; other words than usual stand for those in capitals."""
    usual = {"TAPPED": tapped, "HEIGHT": "20", "ALONG": "10", "SCREW": "", "SIDE": "above", "CLEAR": "M6", "MORE": ""}
    text = PLATES
    for word, value in {**usual, **{key.upper(): value for key, value in words.items()}}.items():
        text = text.replace(word, value)
    return stack_of(folder, text)


def only(stack: Stack) -> Bolt:
    (bolt,) = resolved_stack(stack).bolts
    return bolt


def test_a_hole_over_a_tapped_hole_is_a_bolt(tmp_path: Path) -> None:
    """6 mm under the head; 1.5 to 2 d of thread wanted: 18 long engages 12, 16 engages 10, and 12 less a pitch is 11."""
    bolt = only(covers(tmp_path))
    assert (bolt.name, bolt.thread.designation, bolt.grip) == ("lid.over", "M6", 6.0)
    assert bolt.seat.at == (10.0, 5.0, 26.0)
    assert bolt.seat.out == (0.0, 0.0, 1.0)
    assert (bolt.tapped and bolt.tapped.owner, bolt.long, bolt.reach) == ("base", 16.0, 10.0)
    assert bolt.passes == pytest.approx(0.6)
    assert bolt.bolts.property_class == "8.8"


@pytest.mark.parametrize(
    ("height", "along", "meets"),
    [("20.4", "10", True), ("20.6", "10", False), ("20", "13.2", True), ("20", "13.4", False), ("40", "10", False)],
)
def test_how_near_holes_must_lie(tmp_path: Path, height: str, along: str, meets: bool) -> None:
    """Faces within 0.5 mm, and axes within half the wider hole, 3.3 mm."""
    stack = covers(tmp_path, height=height, along=along)
    assert bool(resolved_stack(stack).bolts) is meets
    loose = [(one.part, one.hole.name) for one in resolved_stack(stack).loose_holes]
    assert loose == ([] if meets else [("base", "under"), ("lid", "over")])


def test_the_head_stands_on_the_free_side_of_a_hole_drilled_from_below(tmp_path: Path) -> None:
    """The lid's hole is entered from the base's side: its head still stands on the lid's top, 26 up."""
    bolt = only(covers(tmp_path, side="below"))
    assert (bolt.seat.at, bolt.seat.out, bolt.grip) == ((10.0, 5.0, 26.0), (0.0, 0.0, 1.0), 6.0)


def test_two_clear_holes_take_a_nut(tmp_path: Path) -> None:
    """26 of plates, a nut of 5.2 and two pitches of 1: 33.2, so 35. Its nut bears on the base's underside."""
    bolt = only(covers(tmp_path, "clear: M6"))
    assert bolt.nut is not None
    assert (bolt.nut.owner, bolt.nut.at, bolt.nut.out) == ("base", (10.0, 5.0, 0.0), (0.0, 0.0, -1.0))
    assert (bolt.grip, bolt.long) == (26.0, 35.0)


def test_three_plates_share_one_bolt(tmp_path: Path) -> None:
    """6 and 8 mm over the thread: the head stands on the topmost, and the middle hole has no bolt of its own."""
    middle = """
  shim:
    kind: plate
    material: 6061-T6
    thickness: 8
    outline: {rectangle: [100, 60]}
    place: {at: [0, 0, 20]}
    holes: {middle: {at: [10, 5], clear: M6}}
"""
    bolt = only(covers(tmp_path, height="28", more=middle))
    assert [(layer.name, layer.thickness) for layer in bolt.clamped] == [("lid", 6.0), ("shim", 8.0)]
    assert (bolt.owner, bolt.tapped and bolt.tapped.owner) == ("lid", "base")
    assert bolt.joins == {"lid", "shim", "base"}


def test_the_wrong_thread_is_seen(tmp_path: Path) -> None:
    """An M6 hole of 6.6 over an M8 thread: 1.4 mm too narrow; nothing else of that bolt is checked."""
    stack = covers(tmp_path, "tapped: M8, depth: 12")
    (found,) = [one for one in check_stack(stack, samples=50) if one.check == "PM305"]
    assert (found.verdict, found.measured, found.features) == (
        Verdict.FAIL,
        pytest.approx(-1.4),
        ("over", "base under"),
    )
    assert not [one for one in check_stack(stack, samples=50) if one.check in ("PM302", "PM303", "PM907")]


def test_a_hole_too_wide_for_its_bolt_is_seen(tmp_path: Path) -> None:
    """An M6 hole of 6.6 over an M4 thread, whose loose fit of ISO 273 is 4.8: 2.6 mm of play against 0.8."""
    stack = covers(tmp_path, "tapped: M4, depth: 8")
    (found,) = [one for one in check_stack(stack, samples=50) if one.check == "PM305"]
    assert (found.verdict, found.measured, found.required) == (Verdict.FAIL, pytest.approx(2.6), pytest.approx(1.6))


def test_a_screw_of_a_single_hole_has_its_own_head_and_length(tmp_path: Path) -> None:
    stack = covers(tmp_path, screw=", screw: {head: hex, class: 10.9, length: 17, washers: true}")
    bolt = only(stack)
    assert (bolt.bolts.head, bolt.bolts.property_class, bolt.long) == ("hex", "10.9", 17.0)
    (sold,) = [one for one in check_stack(stack, samples=50) if one.check == "PM308"]
    assert (sold.verdict, sold.measured) == (Verdict.CAUTION, 1.0)
    assert note_of(sold) == "M6 x 17 mm is not sold; the nearest is M6 x 16 mm"


@pytest.mark.parametrize(
    ("along", "clear", "verdict"),
    [
        # M6 in 6.6: 0.3 of room. ISO 2768-1 m on coordinates up to 30 and up to 6: 0.2 and 0.1 for each hole, 0.447 both.
        ("10", "M6", Verdict.PASS), ("10.25", "M6", Verdict.CAUTION), ("10.35", "M6", Verdict.FAIL),
    ],
)  # fmt: skip
def test_holes_off_each_other(tmp_path: Path, along: str, clear: str, verdict: Verdict) -> None:
    (found,) = [one for one in check_stack(covers(tmp_path, along=along, clear=clear), 50) if one.check == "PM307"]
    assert (found.verdict, found.measured) == (verdict, pytest.approx(float(along) - 10, abs=1e-9))
    assert {one.symbol: one.value for one in found.inputs}["play"] == pytest.approx(0.6)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("clear: M6, screw: {class: grade 5}", "no M6 screw with a socket head is made in class grade 5"),
        (
            "tapped: M6, screw: {head: hex}",
            "a `screw` goes through a hole that is `clear`, `counterbored` or `countersunk`",
        ),
    ],
)
def test_screws_that_are_not_made(tmp_path: Path, text: str, message: str) -> None:
    with pytest.raises(SpecError, match=message):
        covers(tmp_path, text)


def test_inch_threads_have_inch_classes(tmp_path: Path) -> None:
    """A socket head on an inch thread is ASTM A574, whatever thread the hole over it was drilled for."""
    for clear in ("M6", "1/4-20"):
        (tmp_path / clear[:1]).mkdir()
        bolt = only(covers(tmp_path / clear[:1], "tapped: 1/4-20, depth: 14", clear=clear))
        assert (bolt.thread.designation, bolt.bolts.property_class) == ("1/4-20 UNC", "A574")


def test_a_screw_into_an_insert(tmp_path: Path) -> None:
    """Insert of 1.5 d = 9 mm less 0.75 pitch: 8.25 of thread of steel, which needs 0.8 d; 6 of lid and 8 make 14: 12 fits.

    One pitch of 1 stays free: 7.25 of room; 12 engages 6, which is the 1 d wanted in steel.
    """
    stack = covers(tmp_path, "insert: M6, depth: 12")
    bolt = only(stack)
    assert (bolt.thread.designation, bolt.fits, bolt.tapped and bolt.tapped.depth) == ("M6", True, pytest.approx(8.25))
    assert bolt.long == 12.0
    checks = {one.check: one for one in check_stack(stack, samples=50)}
    assert (checks["PM302"].measured, checks["PM302"].verdict) == (1.0, Verdict.PASS)
    assert "PM905" not in checks


def test_a_countersunk_screw_is_measured_over_its_head(tmp_path: Path) -> None:
    """Its length counts from the face: through 6 mm a 16 reaches 10 into the thread; its head lies in the metal."""
    text = PLATES.replace("clear: CLEAR", "countersunk: CLEAR")
    for word, value in {"TAPPED": "tapped: M6, depth: 12", "HEIGHT": "20", "ALONG": "10", "SCREW": "", "SIDE": "above",
                        "CLEAR": "M6", "MORE": ""}.items():  # fmt: skip
        text = text.replace(word, value)
    bolt = only(stack_of(tmp_path, text))
    assert (bolt.bolts.head, bolt.grip, bolt.long, bolt.reach) == ("countersunk", 6.0, 16.0, 10.0)
    assert (bolt.seat.at[2], "head" in bolt.figures()) == (26.0, False)


def test_a_pipe_thread_takes_no_screw(tmp_path: Path) -> None:
    stack = covers(tmp_path, "pipe_thread: 1/8 NPT")
    assert not resolved_stack(stack).bolts
    assert [one.hole.name for one in resolved_stack(stack).loose_holes] == ["over"]


FLANGE = """
project: flange
bodies:
  pump:
    material: grey cast iron
    envelope: {cylinder: [110, 60]}
    joints: {pad: {face: SIDE, holes: through, flange_thickness: 12}}
joints:
  pad: {bolts: {pattern: {row: [-40, 40]}, thread: M8}, opening: {circle: 20}, gasket: {thickness: 0.8, land: 5}}
parts:
  plate:
    kind: plate
    material: 6061-T6
    thickness: 20
    outline: {rectangle: [120, 60]}
    place: {at: [0, 0, 0]}
    opening: {match: pad, cutter: 10}
    FACE: {pad: {holes: tapped}}
"""


@pytest.mark.parametrize(
    ("side", "face", "height", "out"),
    [
        ("below", "above", 20 + 0.8 + 12, 1.0),  # the pump stands on the plate's upper face
        ("above", "below", -0.8 - 12, -1.0),  # it hangs from the lower one
    ],
)
def test_bolts_through_a_flange_bear_on_its_far_side(
    tmp_path: Path, side: str, face: str, height: float, out: float
) -> None:
    """12 of flange and 0.8 of gasket; 30 long engages 17.2, above the 2 d = 16 wanted in aluminium."""
    stack = stack_of(tmp_path, FLANGE.replace("SIDE", side).replace("FACE", face))
    bolts = resolved_stack(stack).bolts
    assert [(one.seat.at, one.seat.out) for one in bolts] == [
        (pytest.approx((x, 0.0, height)), (0.0, 0.0, out)) for x in (-40.0, 40.0)
    ]
    assert {(one.owner, one.tapped and one.tapped.owner, one.long) for one in bolts} == {("pump", "plate", 30.0)}
    assert {one.grip for one in bolts} == {12.8}


def test_screws_that_end_in_different_things_are_not_alike(tmp_path: Path) -> None:
    """One with a nut, one that nothing holds, and one through a wider hole: what is found on one holds for no other."""
    first, second = resolved_stack(stack_of(tmp_path, FLANGE.replace("SIDE", "below").replace("FACE", "above"))).bolts
    held = replace(first, tapped=None, nut=first.seat)
    lost = replace(second, tapped=None, loose="what they are screwed into is not specified")
    wide = replace(held, seat=replace(held.seat, bore=held.seat.bore + 1))
    assert alike([held, lost, wide]) == [(held, 1), (lost, 1), (wide, 1)]


PLATE = """  {name}:
    kind: plate
    material: 6061-T6
    thickness: {thick}
    outline: {{rectangle: [100, 60]}}
    place: {{at: [0, 0, {height}]}}
    holes: {{h: {{at: [10, 5], {hole}}}}}
    {more}
"""


def pile(folder: Path, *plates: tuple[float, str, str]) -> Stack:
    """Plates on each other from Z = 0 up, each with its thickness, its hole and what else it has."""
    text, height = "project: pile\ndesign: {friction: oiled, preload_share: 0.5}\nparts:\n", 0.0
    for name, (thick, hole, more) in zip(("base", "mid", "top"), plates, strict=False):
        text += PLATE.format(name=name, thick=thick, height=height, hole=hole, more=more or "quantity: 1")
        height += thick
    return stack_of(folder, text)


POCKET = "pockets: {n: {shape: {circle: 30, at: [10, 5]}, DEPTH, side: SIDE, cutter: 6}}"


def pocket(depth: float, side: str) -> str:
    return POCKET.replace("DEPTH", f"depth: {depth:g}").replace("SIDE", side)


def test_a_counterbore_in_the_middle_takes_no_grip(tmp_path: Path) -> None:
    """Washer of ISO 7089 1.6 (1.8 at most), and 10 and 10 of plates, whatever the middle one's counterbore takes."""
    stack = pile(tmp_path, (30, "tapped: M6, depth: 15", ""), (10, "counterbored: M6", ""),
                 (10, "clear: M6, screw: {washers: true}", ""))  # fmt: skip
    assert only(stack).grip == pytest.approx(1.8 + 10 + 10)


def test_a_thread_in_a_pocket_is_what_the_pocket_leaves(tmp_path: Path) -> None:
    """15 of thread from the face, 10 of them in the pocket: 5 are left, 0.83 diameters, and 10 more to cross: no stock length ends in them."""
    stack = pile(tmp_path, (30, "tapped: M6, depth: 15, into: [n]", pocket(10, "above")), (10, "clear: M6", ""))
    bolt = only(stack)
    assert (bolt.tapped and bolt.tapped.depth, bolt.grip) == (5.0, 20.0)
    (found,) = [one for one in check_stack(stack, samples=50) if one.check == "PM302"]
    assert (found.verdict, found.measured) == (Verdict.FAIL, pytest.approx(5 / 6))


def test_a_pocket_on_the_far_face_takes_thread_too(tmp_path: Path) -> None:
    """Tapped through 20, 16 of them taken from below: 4 are left."""
    bolt = only(pile(tmp_path, (20, "tapped: M6, into: [n]", pocket(16, "below")), (10, "clear: M6", "")))
    assert bolt.tapped is not None
    assert bolt.tapped.depth == pytest.approx(4.0)


def test_a_head_in_a_pocket_of_the_far_face_stands_on_its_floor(tmp_path: Path) -> None:
    """The top's hole is drilled from below; its head stands in the pocket, 8 of 14 deep: 6 of grip, 36 up."""
    bolt = only(pile(tmp_path, (30, "tapped: M6, depth: 15", ""),
                     (14, "clear: M6, side: below, into: [n]", pocket(8, "above"))))  # fmt: skip
    assert (bolt.seat.at[2], bolt.grip, bolt.seat.sunk) == (36.0, 6.0, True)


def test_a_nut_sits_where_its_hole_ends_away_from_the_head(tmp_path: Path) -> None:
    """The base's hole is drilled from below, from where the nut is put on."""
    bolt = only(pile(tmp_path, (20, "clear: M6, side: below", ""), (10, "clear: M6", "")))
    assert bolt.nut is not None
    assert (bolt.nut.at[2], bolt.nut.out[2], bolt.grip) == (0.0, -1.0, 30.0)


def test_plates_screwed_from_below(tmp_path: Path) -> None:
    """The thread is in the topmost: the head stands on the base's underside."""
    stack = pile(tmp_path, (10, "clear: M6, side: below", ""), (10, "clear: M6", ""),
                 (30, "tapped: M6, depth: 15, side: below", ""))  # fmt: skip
    bolt = only(stack)
    assert (bolt.name, bolt.seat.at[2], bolt.seat.out[2]) == ("base.h", 0.0, -1.0)
    assert (bolt.grip, bolt.tapped and bolt.tapped.owner) == (20.0, "top")


@pytest.mark.parametrize(("side", "hole"), [("above", 1), ("below", 0)])
def test_heads_and_nuts_half_over_a_pocket(tmp_path: Path, side: str, hole: int) -> None:
    """M12 hexagon with a washer of 24; a pocket of radius 8 whose edge comes to 10.3 of the axis: 1.7 too near."""
    near = f"pockets: {{n: {{shape: {{circle: 16, at: [28.3, 5]}}, depth: 4, side: {side}, cutter: 6}}}}"
    plates = [(20, "clear: M12", ""), (20, "clear: M12, side: below, screw: {head: hex, washers: true}", "")]
    plates[hole] = (*plates[hole][:2], near)
    found = [one for one in check_stack(pile(tmp_path, *plates), samples=50) if one.check == "PM401"]
    assert (min(one.measured or 0.0 for one in found)) == pytest.approx(10.3 - 12, abs=1e-6)


def test_preload_of_a_single_screw_is_held_against_proof(tmp_path: Path) -> None:
    """40 N.m on an M6 of 8.8: some 37 kN by T/(K d) at K 0.18, where 20.1 mm2 at 580 MPa proof at 11.7."""
    plates = ((20, "tapped: M6, depth: 15", ""), (10, "clear: M6, screw: {torque: 40 N.m}", ""))
    (found,) = [one for one in check_stack(pile(tmp_path, *plates), samples=50) if one.check == "PM903"]
    assert found.verdict is Verdict.FAIL
    assert (found.measured or 0.0) > 37_000 / 11_700


def test_a_class_of_the_other_system_is_not_ordered(tmp_path: Path) -> None:
    """A574 is for inch screws: an M6 thread takes 8.8."""
    plates = ((20, "tapped: M6, depth: 15", ""), (10, "clear: 1/4-20, screw: {class: A574}", ""))
    assert only(pile(tmp_path, *plates)).bolts.property_class == "8.8"


def test_a_size_without_socket_heads_takes_a_hexagon(tmp_path: Path) -> None:
    """ISO 4762 lists no M18."""
    plates = ((40, "tapped: M18, depth: 30", ""), (10, "clear: M18", ""))
    assert only(pile(tmp_path, *plates)).bolts.head == "hex"
    with pytest.raises(SpecError, match="no socket head for 'M18'"):
        pile(tmp_path, plates[0], (10, "clear: M18, screw: {length: 40}", ""))


def test_a_thread_over_a_thread_fails(tmp_path: Path) -> None:
    """No bolt passes a tapped hole, of two plates or of a joint."""
    stack = pile(tmp_path, (20, "tapped: M6, depth: 15", ""), (10, "tapped: M6", ""))
    found = [one for one in check_stack(stack, samples=50) if one.check == "PM305"]
    assert {(one.part, one.features) for one in found} == {("base", ("h", "mid h")), ("mid", ("h", "base h"))}
    assert {one.verdict for one in found} == {Verdict.FAIL}


@pytest.mark.parametrize(
    ("wide", "verdict"),
    [("6.6", Verdict.PASS), ("5.5", Verdict.FAIL), ("9", Verdict.FAIL)],
)
def test_a_plain_hole_over_a_thread_takes_its_screw(tmp_path: Path, wide: str, verdict: Verdict) -> None:
    """M6 through 6.6 has 0.6 mm of play; through 5.5 it does not pass, and 9 is 3 mm wider (ISO 273 coarse: 7)."""
    stack = plain(tmp_path, wide)
    bolt = only(stack)
    assert (bolt.thread.designation, bolt.through) == ("M6", (("lid", "over"), ("base", "under")))
    assert bolt.passes == pytest.approx(float(wide) - 6)
    (found,) = [one for one in check_stack(stack, samples=50) if one.check == "PM305"]
    assert found.verdict is verdict


def plain(folder: Path, wide: str, tapped: str = "tapped: M6, depth: 12") -> Stack:
    """The lid with a hole of a diameter alone."""
    text = PLATES.replace("clear: CLEAR", f"diameter: {wide}").replace("TAPPED", tapped).replace("HEIGHT", "20")
    for word, value in {"ALONG": "10", " SCREW": "", "SIDE": "above", "MORE": ""}.items():
        text = text.replace(word, value)
    return stack_of(folder, text)


@pytest.mark.parametrize(("wide", "tapped"), [("20", "tapped: M6, depth: 12"), ("6", "counterbored: M6")])
def test_an_access_hole_takes_no_screw(tmp_path: Path, wide: str, tapped: str) -> None:
    """The head of M6, 10 mm (ISO 4762), falls through 20; and a key's hole lies over a head in its counterbore."""
    assert resolved_stack(plain(tmp_path, wide, tapped)).bolts == ()


def test_plain_holes_alone_are_no_screw(tmp_path: Path) -> None:
    assert resolved_stack(plain(tmp_path, "6", "diameter: 6")).bolts == ()


@pytest.mark.parametrize(("through", "length"), [(True, 16.0), (False, 12.0)])
def test_a_screw_may_fill_a_through_thread_and_not_a_blind_one(through: bool, length: float) -> None:
    """M6 through 8 into 8 of thread in aluminium: of the preferred lengths 12 and 16 a blind hole takes the shorter."""
    found = screw_length(thread("M6"), HeadKind.HEX, 8.0, 8.0, Family.ALUMINIUM, through=through)
    assert found is not None
    assert (found.length, found.engaged) == (length, length - 8.0)
