"""Small specs whose least walls are arithmetic on paper: they hold the oracle itself, and the package, to the truth.

Each value is written as the sum that gives it. 0 stands for an overlap; `beside` for the wall next to a passage through a
floor. No other source than plane and solid geometry is needed.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import yaml

from tests.metal_oracle._reading import Spec


@dataclass(frozen=True)
class Case:
    """A spec, the pair in question, and its wall in mm; `beside` as in a row."""

    name: str
    spec: Spec
    key: tuple[str, str]
    value: float
    beside: float | None = None


def _plate(body: str, thickness: float = 16, outline: str = "{rectangle: [120, 80]}", metal: str = "6061-T6") -> Spec:
    head = f"kind: plate, material: {metal}, thickness: {thickness}, outline: {outline}"
    return {"project": "hand", "units": "mm", "parts": {"p": yaml.safe_load(f"{{{head}, {body}}}")}}


def _rail(body: str, stock: str, aside: float = 0) -> Spec:
    head = f"kind: rail, material: 6061-T6, stock: {stock}, length: 200, joint: j, passage: 11, cross_bore: {{diameter: 8, seat: {{diameter: 13.5, depth: 7}}}}"
    joints = {"j": {"spots": {"row": [0, 90], "at": [-45, aside]}}}
    return {"project": "hand", "units": "mm", "joints": joints, "parts": {"p": yaml.safe_load(f"{{{head}, {body}}}")}}


def _casting(angle: float, depth: float) -> Spec:
    part = yaml.safe_load(
        f"{{kind: boss_row, joint: j, material: 6061-T6, angle: {angle}, boss: {{outside_diameter: 24, length: 60, bore: 14, "
        "seat: {diameter: 17, depth: 5}}, casting: {material: A356-T6, flat: {rectangle: [420, 160]}, thickness: 20, "
        f"bore: 24, spotface: {{diameter: 30, depth: {depth}}}}}}}"
    )
    joints = {"j": {"spots": {"row": [0, 83.7, 190.1, 261.4], "at": [-130, 0]}}}
    return {"project": "hand", "units": "mm", "joints": joints, "parts": {"p": part}}


def _adapter() -> Spec:
    return yaml.safe_load("""
project: hand
units: mm
bodies:
  manifold: {material: A356-T6, envelope: {box: [120, 120, 40]}, joints: {man: {face: above, holes: tapped, thread_depth: 18}}}
  throttle: {material: A356-T6, envelope: {cylinder: [96, 60]}, joints: {thr: {face: below, holes: clear}}}
joints:
  man: {bolts: {pattern: {rectangle: [90, 90]}, thread: M8, length: 30}, opening: {circle: 62}}
  thr: {bolts: {pattern: {circle: 72, count: 4}, thread: M6, length: 25}, opening: {circle: 50}}
parts:
  p:
    kind: plate
    material: 6061-T6
    thickness: 30
    outline: {rectangle: [120, 120], corner_radius: 10}
    below: {man: {holes: counterbored}}
    above: {thr: {holes: tapped, thread_depth: 14}}
    opening: {match: thr, mouth: below, mouth_chamfer: 6, mouth_angle: 13.5, cutter: 12}
""")  # type: ignore[no-any-return]


def _TAN(angle: float) -> float:
    return math.tan(math.radians(angle))


def _COS(angle: float) -> float:
    return math.cos(math.radians(angle))


def _SIN(angle: float) -> float:
    return math.sin(math.radians(angle))


_SLOPE = math.hypot(15, 20)
_LIP = math.hypot(1, 0.5)

CASES = (
    # M8 socket head: counterbore 8 + 0.6 deep; the drill passes the pocket's floor.
    Case(
        "shoulder over a pocket",
        _plate("holes: {cb: {at: [0, 0], counterbored: M8, side: above}}, pockets: {under: {shape: {rectangle: [40, 30], corner_radius: 5}, depth: 7.2, side: below}}"),
        ("cb", "under"), 0.0, 16 - 8.6 - 7.2,
    ),
    Case(
        "counterbore without a seat",
        _plate("holes: {cb: {at: [0, 0], counterbored: M8, side: above}}, pockets: {under: {shape: {rectangle: [40, 30], corner_radius: 5}, depth: 9.5, side: below}}"),
        ("cb", "under"), 0.0,
    ),
    # 0.1 + 0.1 apart sideways and 20 - 9.9 - 9.9 in height.
    Case(
        "pockets on a diagonal",
        _plate("pockets: {top: {shape: {rectangle: [40, 40], corner_radius: 6, at: [-20.1, 0]}, depth: 9.9, side: above}, bot: {shape: {rectangle: [40, 40], corner_radius: 6, at: [20.1, 0]}, depth: 9.9, side: below}}", 20),
        ("bot", "top"), math.hypot(0.2, 0.2),
    ),
    Case(
        "blind hole beside a pocket from below",
        _plate("holes: {h: {at: [25.1, 0], diameter: 10, depth: 13.3, side: above}}, pocket: {shape: {rectangle: [40, 40]}, depth: 12, side: below}", 25.4),
        ("h", "pocket"), math.hypot(25.1 - 5 - 20, 25.4 - 13.3 - 12),
    ),
    # The pocket's near edge lies 26.6 - 20 = 6.6 from the axis: outside the drill (4.5), inside the counterbore (7.5).
    Case(
        "pocket over a counterbore",
        _plate("holes: {c: {at: [0, 0], counterbored: M8, side: below}}, pockets: {q: {shape: {rectangle: [40, 40], at: [26.6, 0]}, depth: 16.3, side: above}}", 25, metal="S235"),
        ("c", "q"), 25 - 8.6 - 16.3,
    ),
    Case(
        "drill point into a pocket",
        _plate("holes: {a: {at: [0, 0], diameter: 8, depth: 9, side: above}}, pockets: {p: {shape: {rectangle: [30, 20], corner_radius: 5, at: [15, 0]}, depth: 6, side: below}}"),
        ("a", "p"), 0.0,
    ),
    Case(
        "hole inside an opening",
        _plate("holes: {a: {at: [5, 0], clear: M6}}, opening: {shape: {circle: 30}}"),
        ("a", "opening"), 0.0,
    ),
    # The axis meets the edge x = 60 at z = 25.4 - 15 x 20/15 = 5.4; the lower rim there is 2.5 / cos(lean) below it.
    Case(
        "bore leaves by the side",
        _plate("bores: {s: {at: [45, 0, 25.4], towards: [15, 0, -20], diameter: 5, depth: 40}}", 25.4),
        ("s", "*below"), 25.4 - 15 * 20 / 15 - 2.5 / (15 / _SLOPE),
    ),
    # The same edge at z = 25.4 - 17 x 20/15 = 2.73; the rim lies 4 / 0.6 = 6.67 below: out of the face below.
    Case(
        "bore breaks the lower edge",
        _plate("bores: {s: {at: [43, 0, 25.4], towards: [15, 0, -20], diameter: 8, depth: 60}}", 25.4),
        ("s", "*below"), 0.0,
    ),
    Case(
        "side bore one degree down, at its mouth",
        _plate(f"bores: {{s: {{at: [60, 0, 12.7], towards: [-1, 0, {-_TAN(1)!r}], diameter: 12, depth: 30}}}}", 25.4),
        ("s", "*above"), 12.7 - 6 / _COS(1),
    ),
    Case(
        "side bore one degree down, at its end",
        _plate(f"bores: {{s: {{at: [60, 0, 12.7], towards: [-1, 0, {-_TAN(1)!r}], diameter: 12, depth: 30}}}}", 25.4),
        ("s", "*below"), 12.7 - 30 * _SIN(1) - 6 * _COS(1),
    ),
    Case("side wall in a round rail", _rail("holes: {m: {at: [0, 16.8], diameter: 6}}", "{round: 40}"), ("m", "*side"), 20 - 16.8 - 3),
    # Its axis enters at 20 + sqrt(400 - 14^2) and ends at 40 - 18 = 22: its middle lies between; the bar's axis lies at 20.
    Case(
        "side wall of a blind hole in a round rail",
        _rail("holes: {m: {at: [0, 14], diameter: 6, depth: 18}}", "{round: 40}"),
        ("m", "*side"), 20 - math.hypot(14 + 3, (20 + math.sqrt(400 - 14**2) + 22) / 2 - 20),
    ),
    # From above at y = 9, r = 3: the rim of the bottom at z = 6, past the axis, straight out to the round.
    Case(
        "bottom of a blind hole to the far side of a round rail",
        _rail("holes: {m: {at: [0, 9], diameter: 6, depth: 30, into: [passage]}}", "{round: 40}"),
        ("m", "*side"), 20 - math.hypot(9 + 3, 10),
    ),
    # Its floor's low rim lies at 20 - 22 sin 30 - 15 cos 30 = -4.0.
    Case("spotface through a casting", _casting(30, 22), ("j_1", "*below"), 0.0),
    Case("spotface over the far face of a casting", _casting(30, 8), ("j_1", "*below"), 20 - 8 * _SIN(30) - 15 * _COS(30)),
    # At the edge x = 50 the bore's upper rim lies 4 / cos(lean) over z = 20.
    Case(
        "slanted bore with a lip",
        _plate("bores: {s: {at: [50, 0, 20], towards: [-1, 0, -0.5], diameter: 8, depth: 45}}", 30, "{rectangle: [100, 70]}"),
        ("s", "*above"), 30 - 20 - 4 * _LIP,
    ),
    # Cone: 25 + 6 at z = 0, its wall square to the cone. Tap drill: r 2.5 at 36 down to z = 30 - 17 = 13.
    Case("tapered mouth beside a tapped hole", _adapter(), ("opening", "thr_1"), (36 - 2.5 - 31 + 13 * _TAN(13.5)) * _COS(13.5)),
    Case("tapered mouth over the far face", _adapter(), ("opening", "*above"), 30 - 6 / _TAN(13.5)),
    Case(
        "slots that are the same",
        _plate("slots: {a: {at: [0, 0], slot: [20, 8]}, b: {at: [0, 0], slot: [20, 8]}}", 12),
        ("a", "b"), 0.0,
    ),
    Case(
        "mouth as deep as the plate",
        _plate("opening: {shape: {circle: 30}, mouth_radius: 12, mouth: above}", 12),
        ("opening", "*below"), 0.0,
    ),
    # A quarter round of 6 on a bore of 15: at the face it is 21 wide.
    Case(
        "rounded mouth beside a blind hole",
        _plate("opening: {shape: {circle: 30}, mouth_radius: 6, mouth: above}, holes: {h: {at: [30, 0], diameter: 3, depth: 4, side: above}}"),
        ("h", "opening"), 30 - 1.5 - 21,
    ),
    # The metal is round about (21, 10); a relief from below has its rim in it at (20.3, 11): straight out from the middle.
    Case(
        "rounded mouth over a relief",
        _plate("opening: {shape: {circle: 30}, mouth_radius: 6, mouth: above}, reliefs: {r: {at: [40, 0], diameter: 39.4, depth: 11, side: below}}"),
        ("opening", "r"), 6 - math.hypot(21 - 20.3, 11 - 10),
    ),
    # Two bores square to each other, their axes 12.5 apart: radii 5 and 6 leave 1.5.
    Case(
        "crossing bores",
        _plate("bores: {a: {at: [-30, 0, 14], towards: [1, 0, 0], diameter: 10, depth: 90}, b: {at: [0, -30, 26.5], towards: [0, 1, 0], diameter: 12, depth: 90}}", 40, "{rectangle: [60, 60]}"),
        ("a", "b"), 12.5 - 5 - 6,
    ),
    # Threads at their major diameter: M8 and M10 at 20 leave 20 - 4 - 5.
    Case("threads", _plate("holes: {a: {at: [0, 0], tapped: M8}, b: {at: [20, 0], tapped: M10}}"), ("a", "b"), 20 - 4 - 5),
    # A drill of 8 to 10 deep has a point of 4 / tan 59 more.
    Case("drill point over the far face", _plate("holes: {a: {at: [0, 0], diameter: 8, depth: 10}}"), ("a", "*below"), 16 - 10 - 4 / _TAN(59)),
    Case("shoulder under a head", _plate("holes: {a: {at: [0, 0], counterbored: M8}}"), ("a", "*below"), 16 - 8.6),
    Case("seat in a boss", _casting(90, 3), ("bore", "*side"), 12 - 8.5),
    Case("counterbore to the edge", _plate("holes: {a: {at: [50, 0], counterbored: M8}}"), ("a", "*side"), 60 - 50 - 7.5),
    # The edge x = 60 cuts a circle about (65, 0) at y = -sqrt(100 - 25): that corner is nearest, not the rim past the edge.
    Case(
        "relief across the edge",
        _plate("reliefs: {r: {at: [65, 0], diameter: 20, depth: 5, side: above}}, holes: {h: {at: [55, -19], diameter: 6}}"),
        ("h", "r"), math.hypot(60 - 55, 19 - math.sqrt(100 - 25)) - 3,
    ),
    # Circles about (66, 9) and (66, -9) run into each other past the edge only: on it they end at 9 - sqrt(100 - 36) = 1.
    Case(
        "reliefs that meet past the edge",
        _plate("reliefs: {r: {at: [66, 9], diameter: 20, depth: 5, side: above}, s: {at: [66, -9], diameter: 20, depth: 5, side: above}}"),
        ("r", "s"), 2 * (9 - math.sqrt(100 - 36)),
    ),
    # The tip of the drill is 1 past the edge: in the plate its point is deepest on the edge, 4 - 1 from the rim.
    Case(
        "drill point across the edge",
        _plate("holes: {a: {at: [61, 0], diameter: 8, depth: 10}}"), ("a", "*below"), 16 - 10 - (4 - 1) / _TAN(59),
    ),
    Case("passage to the side of a bar", _rail("marks: {f: {text: F}}", "{bar: [26, 44]}"), ("passage", "*side"), 13 - 5.5),
    # The cross bores of a row 3 beside the middle: their seats of 13.5 end 3 + 6.75 from it.
    Case("cross bore to the side of a bar", _rail("marks: {f: {text: F}}", "{bar: [26, 44]}", 3), ("j_1", "*side"), 13 - 3 - 6.75),
    Case("passage to the outside of round bar", _rail("marks: {f: {text: F}}", "{round: 40}"), ("passage", "*side"), 20 - 5.5),
)  # fmt: skip
