"""The table of hard parts: every kind of cut by every other, beside, diagonal, above, and by the faces of the blank.

A plan is a spec with one number left open; `_hard` closes it so that the wall in question is as thin as asked.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import TypeAlias

from tests.metal_oracle._reading import Milled, Mouth, Spec, parts_of

Maker: TypeAlias = Callable[[float, str, float, float], tuple[str, Spec]]
"""From X, the face it is cut from, the depth and the plate's thickness to a section of the spec and the cut."""

WIDTH, HEIGHT, THICK = 160.0, 90.0, 24.0


@dataclass(frozen=True)
class Plan:
    """A spec by a number and the gap asked for; which wall, of the last part; where the number starts, and its sense.

    `over` plans go on until the two overlap by about the gap.
    """

    name: str
    make: Callable[[float, float], Spec]
    key: tuple[str, str]
    start: float
    way: float
    over: bool = False


def _toward(side: str, *way: float) -> list[float]:
    return [way[0], way[1], -way[2] if side == "above" else way[2]]


def _face(side: str, t: float) -> float:
    return t if side == "above" else 0.0


BLIND: dict[str, Maker] = {
    "drill": lambda x, side, d, t: ("holes", {"at": [x, 0], "diameter": 8, "depth": d, "side": side}),
    "tapped hole": lambda x, side, d, t: ("holes", {"at": [x, 0], "tapped": "M8", "depth": d, "side": side}),
    "counterbore": lambda x, side, d, t: ("holes", {"at": [x, 0], "counterbored": "M10", "side": side}),
    "pocket": lambda x, side, d, t: ("pockets", {"shape": {"rectangle": [20, 16], "corner_radius": 4, "at": [x, 0]}, "depth": d, "side": side}),
    "turned pocket": lambda x, side, d, t: ("pockets", {"shape": {"rectangle": [20, 16], "at": [x, 0], "turn": 30}, "depth": d, "side": side}),
    "relief": lambda x, side, d, t: ("reliefs", {"at": [x, 0], "diameter": 16, "depth": d, "side": side}),
    "slot": lambda x, side, d, t: ("slots", {"at": [x, 0], "slot": [20, 8], "turn": 20, "depth": d, "side": side}),
    "rounded mouth": lambda x, side, d, t: ("openings", {"shape": {"rectangle": [20, 16], "corner_radius": 5, "at": [x, 0]}, "mouth_radius": 6, "mouth": side}),
    "tapered mouth": lambda x, side, d, t: ("openings", {"shape": {"circle": 18, "at": [x, 0]}, "mouth_chamfer": 5, "mouth_angle": 35, "mouth": side}),
    "slanted blind bore": lambda x, side, d, t: ("bores", {"at": [x, 0, _face(side, t)], "towards": _toward(side, 0.5, 0.3, 1), "diameter": 6, "depth": d}),
    "slanted tapped bore": lambda x, side, d, t: ("bores", {"at": [x, 0, _face(side, t)], "towards": _toward(side, -0.4, 0.2, 1), "tapped": "M6", "depth": d}),
}  # fmt: skip
"""Cuts that end, or narrow, inside the plate."""

THROUGH: dict[str, Maker] = {
    "through drill": lambda x, side, d, t: ("holes", {"at": [x, 0], "diameter": 8, "side": side}),
    "through thread": lambda x, side, d, t: ("holes", {"at": [x, 0], "tapped": "M10", "side": side}),
    "opening": lambda x, side, d, t: ("openings", {"shape": {"slot": [24, 10], "at": [x, 0], "turn": 15}}),
    "through slot": lambda x, side, d, t: ("slots", {"at": [x, 0], "slot": [22, 9], "turn": 70}),
    "slanted through bore": lambda x, side, d, t: ("bores", {"at": [x, 0, _face(side, t)], "towards": _toward(side, 0.4, 0.3, 1), "diameter": 7, "depth": 60}),
    "bore from the edge": lambda x, side, d, t: ("bores", {"at": [x, -HEIGHT / 2, t / 2], "towards": [0, 1, 0.02], "diameter": 6, "depth": HEIGHT / 2 + 12}),
}  # fmt: skip


def plate(t: float, *cuts: tuple[str, Spec]) -> Spec:
    """A plate with the cuts `a`, `b` and so on."""
    part: Spec = {"kind": "plate", "material": "6061-T6", "thickness": t, "outline": {"rectangle": [WIDTH, HEIGHT]}}
    for name, (section, model) in zip("abcd", cuts, strict=False):
        part.setdefault(section, {})[name] = model
    return {"project": "hard", "units": "mm", "parts": {"p": part}}


def beside() -> Iterator[Plan]:
    """Every kind beside every kind, from the same face and from opposite ones, as deep as to share heights."""
    for (one, a), (two, b) in itertools.combinations_with_replacement({**BLIND, **THROUGH}.items(), 2):
        for other in ("above", "below"):

            def make(x: float, _: float, a: Maker = a, b: Maker = b, other: str = other) -> Spec:
                return plate(THICK, a(0.0, "above", 15.0, THICK), b(x, other, 14.0, THICK))

            yield Plan(f"{one} beside {two} from {other}", make, ("a", "b"), 55.0, -1.0)


def overlapping() -> Iterator[Plan]:
    """The same, run into each other by little; and what runs out of the edge or through the far face."""
    for number, (plan, gone) in enumerate(zip(beside(), itertools.cycle((True, False, False)), strict=False)):
        if gone or number % 2:
            yield Plan(plan.name.replace(" beside ", " into "), plan.make, plan.key, plan.start, plan.way, over=True)
    for plan in near_faces():
        yield Plan(f"{plan.name}, and through it", plan.make, plan.key, plan.start, plan.way, over=True)


def diagonal() -> Iterator[Plan]:
    """Blind kinds from opposite faces that share no height, nearly over each other's rim."""
    for (one, a), (two, b) in itertools.combinations_with_replacement(BLIND.items(), 2):

        def make(x: float, gap: float, a: Maker = a, b: Maker = b) -> Spec:
            t = round(_tall(a, 6.0) + _tall(b, 7.0) + 0.6 * gap, 4)
            return plate(t, a(0.0, "above", 6.0, t), b(x, "below", 7.0, t))

        yield Plan(f"{one} diagonal to {two}", make, ("a", "b"), 50.0, -1.0)


def _tall(make: Maker, depth: float) -> float:
    """How far a cut reaches from its face without its drill point, mm."""
    [part] = parts_of(plate(80.0, make(0.0, "above", depth, 80.0)))
    reach = 0.0
    for step in (step for cut in part.cuts for step in cut.steps):
        if isinstance(step, Mouth):
            reach = max(reach, step.deep)
        elif isinstance(step, Milled):
            reach = max(reach, 80.0 - step.low if step.what != "opening" else 0.0)
        elif not step.cone and not step.leaves:
            reach = max(reach, 80.0 - step.end[2] + step.radius * math.sqrt(max(0.0, 1 - step.way[2] ** 2)))
    return reach


RIMS = {"counterbore": 7.3, "rounded mouth": 12.5, "tapered mouth": 11.5}
"""Cuts that go on narrower, and where under their wide part something else can end, mm off the middle."""


def above() -> Iterator[Plan]:
    """Blind kinds over each other, the plate made thinner; and each over a bore from the edge."""
    for (one, a), (two, b) in itertools.product(BLIND.items(), repeat=2):
        x = RIMS[one] + _reach(b) if one in RIMS else -RIMS[two] - _reach(a) if two in RIMS else 0.0

        def make(t: float, _: float, a: Maker = a, b: Maker = b, x: float = x) -> Spec:
            return plate(t, a(0.0, "above", 6.0, t), b(round(x, 3), "below", 7.0, t))

        yield Plan(f"{one} over {two}", make, ("a", "b"), 60.0, -1.0)
    for one, a in BLIND.items():
        if one not in RIMS:

            def under(z: float, _: float, a: Maker = a) -> Spec:
                bore = {"at": [0, -HEIGHT / 2, z], "towards": [0, 1, 0], "diameter": 6, "depth": HEIGHT / 2 + 9}
                return plate(40.0, a(0.0, "above", 12.0, 40.0), ("bores", bore))

            yield Plan(f"{one} over a bore from the edge", under, ("a", "b"), 4.0, 1.0)


def _reach(make: Maker) -> float:
    """Half the width of a cut along X at its deepest, mm: it is set off by that to lie under the rim of another."""
    section, model = make(0.0, "above", 6.0, 60.0)
    shape = model.get("shape", model)
    if "rectangle" in shape:
        return 10.0
    wide = {"slots": 9.5, "reliefs": 8.0, "holes": 4.0, "bores": 2.0}.get(section, 9.0)
    return 9.0 if "counterbored" in model else wide


def near_faces() -> Iterator[Plan]:
    """Every blind kind over the far face, and every kind beside the edge, square and slanted."""
    for one, a in BLIND.items():

        def thin(t: float, _: float, a: Maker = a) -> Spec:
            return plate(t, a(0.0, "above", 7.0, t))

        yield Plan(f"{one} over the far face", thin, ("a", "*below"), 40.0, -1.0)
    for one, a in {**BLIND, **THROUGH}.items():
        for sign, word in ((1.0, "right"), (-1.0, "left")):

            def aside(x: float, _: float, a: Maker = a) -> Spec:
                return plate(THICK, a(x, "above", 12.0, THICK))

            yield Plan(f"{one} beside the {word} edge", aside, ("a", "*side"), sign * 40.0, sign)
    for lean, sign in itertools.product((0.0, 0.03, -0.2), (1.0, -1.0)):

        def bore(z: float, _: float, lean: float = lean) -> Spec:
            model = {"at": [WIDTH / 2, 5, z], "towards": [-1, 0.1, lean], "diameter": 7, "depth": 31}
            return plate(THICK, ("bores", model))

        where = "under the face above" if sign > 0 else "over the face below"
        key = ("a", "*above" if sign > 0 else "*below")
        yield Plan(f"bore from the edge, leaning {lean:g}, {where}", bore, key, THICK / 2, sign)


Try: TypeAlias = tuple[str, Callable[[float], Spec], tuple[str, str], float, float]
"""What it is, the spec by a number, the wall, where the number starts, and its sense."""


def _plans(what: str, tries: list[Try]) -> Iterator[Plan]:
    for name, make, key, start, way in tries:
        yield Plan(f"{what}: {name}", lambda value, _, make=make: make(value), key, start, way)


def rails() -> Iterator[Plan]:
    """Bars and round bars: holes by the passage, the cross bores, their seats, the end threads, the sides, the far side."""
    yield from _plans("bar", _rail_tries({"bar": [40.0, 40.0]}, "*below"))
    yield from _plans("round bar", _rail_tries({"round": 44.0}, "*side"))


def _rail_tries(stock: Spec, far: str) -> list[Try]:
    def rail(hole: Spec, **more: object) -> Spec:
        part = {
            "kind": "rail", "material": "6061-T6", "stock": stock, "length": 160.0, "joint": "j", "passage": 10.0,
            "cross_bore": {"diameter": 8.0, "seat": {"diameter": 13.0, "depth": 6.0}}, "holes": {"a": hole},
            "marks": {"f": {"text": "FRONT", "at": [0, 0]}}, **more,
        }  # fmt: skip
        joint = {"spots": {"row": [0, 50], "at": [-25, 0]}}
        return {"project": "hard", "units": "mm", "joints": {"j": joint}, "parts": {"r": part}}

    ends = {"thread": "M12", "depth": 18.0}
    return [
        ("hole by the passage", lambda y: rail({"at": [0, y], "diameter": 5}), ("a", "passage"), 17.0, -1.0),
        ("counterbored hole by the passage", lambda y: rail({"at": [0, y], "counterbored": "M5"}), ("a", "passage"), 16.0, -1.0),
        ("blind hole over the passage", lambda d: rail({"at": [0, 0], "diameter": 5, "depth": d}), ("a", "passage"), 2.0, 1.0),
        ("hole by a cross bore", lambda x: rail({"at": [x, 8], "diameter": 5}), ("a", "j_1"), 0.0, -1.0),
        ("blind hole from below by a seat", lambda x: rail({"at": [x, 0], "diameter": 5, "depth": 5, "side": "below"}), ("a", "j_1"), 0.0, -1.0),
        ("tapped hole by the end", lambda x: rail({"at": [x, 8], "tapped": "M6"}), ("a", "*side"), 60.0, 1.0),
        ("hole by an end thread", lambda y: rail({"at": [70, y], "diameter": 5}, ends=ends), ("a", "rear_end"), 17.0, -1.0),
        ("blind hole over an end thread", lambda d: rail({"at": [70, 0], "diameter": 5, "depth": d}, ends=ends), ("a", "rear_end"), 2.0, 1.0),
        ("hole by the side", lambda y: rail({"at": [0, y], "diameter": 5}), ("a", "*side"), 12.0, 1.0),
        ("blind hole by the side", lambda y: rail({"at": [0, y], "diameter": 5, "depth": 30}), ("a", "*side"), 12.0, 1.0),
        ("blind hole to the far side", lambda d: rail({"at": [0, 9], "diameter": 5, "depth": d}), ("a", far), 24.0, 1.0),
    ]  # fmt: skip


def castings() -> Iterator[Plan]:
    """Drilled castings: bores and spotfaces by each other, by the edges and the faces."""
    for angle in (90.0, 60.0, 45.0, 30.0):
        yield from _plans(f"casting at {angle:g}", _casting_tries(angle))


def _casting_tries(angle: float) -> list[Try]:
    def row(pitch: float = 60.0, y: float = 20.0, **casting: object) -> Spec:
        part = {
            "kind": "boss_row", "joint": "j", "material": "6061-T6", "angle": angle,
            "boss": {"outside_diameter": 20.0, "length": 40.0, "bore": 12.0},
            "casting": {"material": "A356-T6", "flat": {"rectangle": [200.0, 130.0]}, "thickness": 25.0, "bore": 20.0, **casting},
        }  # fmt: skip
        joint = {"spots": {"row": [0.0, pitch], "at": [-50.0, y]}}
        return {"project": "hard", "units": "mm", "joints": {"j": joint}, "parts": {"b": part}}

    face = {"diameter": 26.0, "depth": 6.0}
    return [
        ("bore by bore", row, ("j_1", "j_2"), 60.0, -1.0),
        ("spotface by spotface", lambda p: row(p, spotface=face), ("j_1", "j_2"), 60.0, -1.0),
        ("spotface by the edge", lambda y: row(y=y, spotface=face), ("j_1", "*side"), 30.0, 1.0),
        ("spotface over the far face", lambda d: row(spotface={"diameter": 26.0, "depth": d}), ("j_1", "*below"), 3.0, 1.0),
        ("blind bore over the far face", lambda d: row(depth=d), ("j_1", "*below"), 5.0, 1.0),
        ("blind bore by the lower edge", lambda y: row(y=y, depth=14.0), ("j_1", "*side"), 0.0, -1.0),
    ]  # fmt: skip


def plans() -> Iterator[Plan]:
    """The whole table."""
    for family in (beside, diagonal, above, near_faces, rails, castings, overlapping):
        yield from family()
