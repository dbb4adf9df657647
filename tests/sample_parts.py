"""A handful of hand-made parts and a stack, every kind once, for the tests of all rooms.

Dimensions are round numbers so that a test can write the expected area or volume out as arithmetic.
"""

from __future__ import annotations

import math
from collections.abc import Callable

from platemaker.catalog import material, thread
from platemaker.parts import (
    Bend,
    Body,
    Bolts,
    Envelope,
    EnvelopeKind,
    Face,
    GasketSheet,
    Hole,
    Joint,
    Kind,
    Mark,
    Mounting,
    Operation,
    Part,
    PlateStock,
    Port,
    Profile,
    ProfileKind,
    Role,
    RoundStock,
    Side,
    Stack,
    Step,
    StripStock,
    Tapping,
)
from platemaker.plane import Loop, Point, Region
from platemaker.records import replace
from platemaker.space import Frame
from platemaker.spec import RectangleShape

DOWN, UP = (0.0, 0.0, -1.0), (0.0, 0.0, 1.0)


def drilled(name: str, at: Point, diameter: float, thickness: float, joint: str | None = None) -> Hole:
    """A through hole drilled from above."""
    step = Step(Operation.DRILL, diameter, 0.0, thickness)
    return Hole(name, (*at, thickness), DOWN, (step,), through=True, joint=joint, spot=name if joint else None)


def counterbored(name: str, at: Point, head: float, depth: float, shank: float, thickness: float) -> Hole:
    """A through hole with a counterbore from above."""
    steps = (Step(Operation.COUNTERBORE, head, 0.0, depth), Step(Operation.DRILL, shank, depth, thickness))
    return Hole(name, (*at, thickness), DOWN, steps, through=True, bolt="M8")


def tapped_blind(name: str, at: Point, thickness: float, drill_depth: float = 22.0, full: float = 18.0) -> Hole:
    """An M8 thread from above in a 6.8 mm hole that ends in a 118 degree drill point."""
    step = Step(Operation.DRILL, 6.8, 0.0, drill_depth)
    tapping = Tapping("M8", 8.0, 1.25, full)
    return Hole(name, (*at, thickness), DOWN, (step,), False, tip_angle=118.0, tapping=tapping, bolt="M8")


def through_profile(name: str, loop: Loop, thickness: float, kind: ProfileKind = ProfileKind.OPENING) -> Profile:
    """A figure milled through from above."""
    return Profile(name, kind, (Region.of(loop),), Side.ABOVE, thickness, through=True)


def plate(name: str, outline: Loop, thickness: float, *cuts: Hole | Profile, **more: object) -> Part:
    """A plate of 6061-T6."""
    stock = PlateStock(Region.of(outline), thickness)
    return Part(name, name.replace("_", " "), Kind.PLATE, material("6061-T6"), stock, cuts, **more)  # type: ignore[arg-type]


def plain_plate() -> Part:
    """100 x 60 x 10, nothing cut."""
    return plate("plain_plate", Loop.rectangle(100, 60), 10)


def one_hole() -> Part:
    """100 x 60 x 10 with a 12 mm hole at (20, 10)."""
    return plate("one_hole", Loop.rectangle(100, 60), 10, drilled("h1", (20, 10), 12, 10))


def counterbore_and_pocket() -> Part:
    """120 x 80 x 25.4, corners 8: counterbores above, a pocket below, an opening with a rounded mouth, a relief."""
    t = 25.4
    corners = [(-48.0, -30.0), (48.0, -30.0), (48.0, 30.0), (-48.0, 30.0)]
    bolts = [counterbored(f"b{i + 1}", at, 15, 8.6, 9, t) for i, at in enumerate(corners)]
    opening = Profile(
        "port",
        ProfileKind.OPENING,
        (Region.of(Loop.rectangle(50, 30, 9)),),
        Side.ABOVE,
        t,
        through=True,
        cutter=12.7,
        mouth_radius=6.0,
        mouth=Side.BELOW,
    )
    pocket = Profile(
        "pocket",
        ProfileKind.POCKET,
        (Region.of(Loop.rectangle(70, 46, 10)),),
        Side.ABOVE,
        12.0,
        through=False,
        cutter=12.7,
        into=("port",),
    )
    relief = Profile(
        "stud_relief",
        ProfileKind.RELIEF,
        (Region.of(Loop.circle((0.0, -32.0), 4.0)),),
        Side.BELOW,
        12.5,
        through=False,
        cutter=8.0,
    )
    outline = Loop.rectangle(120, 80, 8)
    return plate("counterbore_and_pocket", outline, t, *bolts, opening, pocket, relief, edge_break=0.5)


def slotted() -> Part:
    """80 x 40 x 6 with a 24 x 8 slot turned by 30 degrees."""
    slot = through_profile("slot", Loop.slot(24, 8, (5, 2), 30.0), 6, ProfileKind.SLOT)
    return plate("slotted", Loop.rectangle(80, 40, 5), 6, slot)


def tapped_with_drill_point() -> Part:
    """60 x 40 x 30 with one M8 blind tapped hole."""
    return plate("tapped_with_drill_point", Loop.rectangle(60, 40), 30, tapped_blind("t1", (10, -5), 30))


def chiral_ell() -> Part:
    """An L of 80 x 60, arms 25 and 20 wide, 8 thick; one hole: its mirror image is another part. Marked FRONT."""
    corners = [(0.0, 0.0), (80.0, 0.0), (80.0, 20.0), (25.0, 20.0), (25.0, 60.0), (0.0, 60.0)]
    outline = Loop.rounded(corners, (3.0, 3.0, 3.0, 6.0, 3.0, 3.0))
    mark = Mark("front", "FRONT", (5.0, 8.0, 8.0), 4.0)
    return plate("chiral_ell", outline, 8, drilled("h1", (60, 10), 9, 8), marks=(mark,))


def thin_web() -> Part:
    """50 x 30 x 10 with two 12 mm holes whose web is 1 mm."""
    holes = drilled("left", (-6.5, 0), 12, 10), drilled("right", (6.5, 0), 12, 10)
    return plate("thin_web", Loop.rectangle(50, 30), 10, *holes)


def turned_boss() -> Part:
    """A boss of 22 outside, 30 long: a 13.5 bore and a 16 x 5 seat from above."""
    steps = (Step(Operation.COUNTERBORE, 16.0, 0.0, 5.0), Step(Operation.BORE, 13.5, 5.0, 30.0))
    bore = Hole("bore", (0.0, 0.0, 30.0), DOWN, steps, through=True)
    stock = PlateStock(Region.of(Loop.circle((0.0, 0.0), 11.0)), 30.0)
    return Part("turned_boss", "turned boss", Kind.BOSS, material("6061-T6"), stock, (bore,), quantity=4)


def cross_bored_rail() -> Part:
    """Round bar of 25.4, 300 long: a 14 mm passage along it, three 11 mm cross bores from below, tapped ends."""
    d, length = 25.4, 300.0
    through = Hole(
        "passage",
        (-length / 2, 0.0, d / 2),
        (1.0, 0.0, 0.0),
        (Step(Operation.DRILL, 14.0, 0.0, length),),
        through=True,
        tapping=Tapping("M16x1.5", 16.0, 1.5, 15.0),
    )
    bores = [
        Hole(
            f"bore_{number + 1}",
            (x, 0.0, 0.0),
            UP,
            (Step(Operation.BORE, 11.0, 0.0, d / 2),),
            through=False,
            joint="injectors",
            spot=f"i{number + 1}",
            into=("passage",),
        )
        for number, x in enumerate((-110.0, -8.0, 96.0))
    ]
    mark = Mark("front", "FRONT", (-140.0, 0.0, d), 4.0)
    stock = RoundStock(d, length)
    return Part(
        "cross_bored_rail", "rail", Kind.RAIL, material("6061-T6"), stock, (through, *bores), (mark,),
    )  # fmt: skip


def bent_bracket() -> Part:
    """Flat bar 25 x 5, legs 60 and 40, bent up 90 degrees over 5 mm, a 7 mm hole in each leg."""
    stock = StripStock(25.0, 5.0, (60.0, 40.0), (Bend(90.0, 5.0),))
    holes = []
    for leg, along in enumerate((20.0, 28.0)):
        at, direction = stock.leg_point(leg, along, 0.0)
        step = Step(Operation.DRILL, 7.0, 0.0, 5.0)
        holes.append(Hole(f"leg_{leg + 1}", at, direction, (step,), through=True))
    return Part("bent_bracket", "bracket", Kind.BRACKET, material("A36"), stock, tuple(holes))


def sheet_gasket() -> Part:
    """A 0.8 mm gasket, 90 x 60 with corners 10: an opening of 50 x 30 with corners 9, four 9 mm holes."""
    corners = [(-37.0, -22.0), (37.0, -22.0), (37.0, 22.0), (-37.0, 22.0)]
    holes = [drilled(f"b{i + 1}", at, 9, 0.8, "port") for i, at in enumerate(corners)]
    stock = PlateStock(Region.of(Loop.rectangle(90, 60, 10)), 0.8)
    opening = through_profile("opening", Loop.rectangle(50, 30, 9), 0.8)
    return Part(
        "sheet_gasket", "gasket of the port", Kind.GASKET, material("fibre gasket"), stock, (opening, *holes),
    )  # fmt: skip


def drilled_casting() -> Part:
    """A block 120 x 60 x 40 that stands for a casting's machined flat: two 12 mm bores at 45 degrees, 30 deep."""
    s = math.sqrt(0.5)
    bores = [
        Hole(f"bore_{i + 1}", (x, 0.0, 40.0), (0.0, s, -s), (Step(Operation.BORE, 12.0, 0.0, 30.0),), through=False)
        for i, x in enumerate((-30.0, 25.0))
    ]
    stock = PlateStock(Region.of(Loop.rectangle(120, 60)), 40)
    return Part(
        "drilled_casting", "casting", Kind.CASTING, material("A356-T6"), stock, tuple(bores), made=False,
    )  # fmt: skip


SAMPLES: tuple[Callable[[], Part], ...] = (
    plain_plate,
    one_hole,
    counterbore_and_pocket,
    slotted,
    tapped_with_drill_point,
    chiral_ell,
    thin_web,
    turned_boss,
    cross_bored_rail,
    bent_bracket,
    sheet_gasket,
    drilled_casting,
)
"""Every sample part once; call to make it."""


def sample_joint() -> Joint:
    """A joint of four M8 bolts on 74 x 44 round an opening of 50 x 30."""
    spots = {"b1": (-37.0, -22.0), "b2": (37.0, -22.0), "b3": (37.0, 22.0), "b4": (-37.0, 22.0)}
    bolts = Bolts(thread("M8"), "8.8", "medium", "socket", 35.0, washers=False)
    lower = Face("lower", Side.ABOVE, Role.TAPPED, 18.0, material("6061-T6"))
    upper = Face("upper", Side.BELOW, Role.CLEAR, None, material("6061-T6"))
    sheet = GasketSheet(0.8, 6.0, "fibre gasket")
    shape = RectangleShape(rectangle=(50.0, 30.0), corner_radius=9.0)
    port = Port("port", shape, Region.of(Loop.rectangle(50, 30, 9)))
    return Joint("port", spots, bolts, (port,), sheet, lower, upper, "made up for tests")


def sample_stack() -> Stack:
    """Two plates, a gasket, two bosses and two bodies in their places."""
    joint = sample_joint()
    lower = plate(
        "lower",
        Loop.rectangle(100, 70, 8),
        30,
        through_profile("opening", Loop.rectangle(50, 30, 9), 30),
        *(tapped_blind(name, at, 30) for name, at in joint.spots.items()),
        places=(Frame(),),
        mountings=(Mounting("port", Side.ABOVE, Role.TAPPED),),
    )
    upper = plate(
        "upper",
        Loop.rectangle(100, 70, 8),
        12,
        through_profile("opening", Loop.rectangle(50, 30, 9), 12),
        *(drilled(name, at, 9, 12, "port") for name, at in joint.spots.items()),
        places=(Frame((0.0, 0.0, 30.8)),),
        mountings=(Mounting("port", Side.BELOW, Role.CLEAR),),
    )
    gasket, boss = sheet_gasket(), turned_boss()
    placed_gasket = _placed(gasket, Frame((0.0, 0.0, 30.0)))
    bosses = _placed(boss, Frame((80.0, 0.0, 0.0)), Frame((80.0, 40.0, 0.0), (0.0, 1.0, 0.0), (-1.0, 0.0, 0.0)))
    bodies = (
        Body("log", "intake log", None, Envelope(EnvelopeKind.BOX, (120.0, 80.0, 50.0)), Frame((0.0, 0.0, -50.0))),
        Body(
            "blower",
            "blower case",
            None,
            Envelope(EnvelopeKind.PRISM, (0.0, 0.0, 40.0), region=Region.of(Loop.rectangle(60, 40, 5))),
            Frame((0.0, 0.0, 42.8)),
        ),
    )
    return Stack("sample", "sample stack", "mm", (lower, upper, placed_gasket, bosses), bodies, (joint,))


def _placed(part: Part, *places: Frame) -> Part:
    return replace(part, places=places)
