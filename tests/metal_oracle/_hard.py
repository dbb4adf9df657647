"""Parts whose voids come 0.001 to 0.3 mm near on purpose: every kind of cut by every other, beside, diagonal, above.

One number of each spec is moved until the oracle's wall is as thin as asked: a step by what is too much never overlaps.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import TypeAlias

from tests.metal_oracle._ledger import Ledger
from tests.metal_oracle._reading import Spec, parts_of

Maker: TypeAlias = Callable[[float, str, float, float], tuple[str, Spec]]
"""From X, the face it is cut from, the depth and the plate's thickness to a section of the spec and the cut."""

WIDTH, HEIGHT, THICK = 160.0, 90.0, 24.0
GAPS = (0.001, 0.01, 0.05, 0.3)


@dataclass(frozen=True)
class Hard:
    """A spec with a thin wall, by a name that says between what and how."""

    name: str
    spec: Spec


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


def narrowed(make: Callable[[float], Spec], key: tuple[str, str], gap: float, start: float, way: float) -> Spec | None:
    """`make` at the value where the wall `key` is `gap` mm, reached from `start` in the sense `way`; None if never."""
    value = start
    for _ in range(40):
        spec = make(round(value, 5))
        try:
            row = Ledger(parts_of(spec)[-1]).row(key)
        except KeyError:
            return None
        if row is None or row.value <= 0:
            return None
        if row.value - gap < 2e-5:
            return spec
        value += way * 0.98 * (row.value - gap)
    return None


def beside(gaps: tuple[float, ...] = GAPS) -> Iterator[Hard]:
    """Every kind beside every kind, from the same face and from opposite ones, as deep as to share heights."""
    kinds = {**BLIND, **THROUGH}
    turn = itertools.cycle(gaps)
    for (one, a), (two, b) in itertools.combinations_with_replacement(kinds.items(), 2):
        for other in ("above", "below"):
            gap = next(turn)
            spec = narrowed(
                lambda x, a=a, b=b, other=other: plate(THICK, a(0.0, "above", 15.0, THICK), b(x, other, 14.0, THICK)),
                ("a", "b"), gap, 55.0, -1.0,
            )  # fmt: skip
            if spec:
                yield Hard(f"{one} beside {two} from {other}, {gap:g}", spec)


def diagonal(gaps: tuple[float, ...] = GAPS) -> Iterator[Hard]:
    """Blind kinds from opposite faces that share no height, nearly over each other's rim."""
    turn = itertools.cycle(gaps)
    for (one, a), (two, b) in itertools.combinations_with_replacement(BLIND.items(), 2):
        gap = next(turn)

        def make(x: float, a: Maker = a, b: Maker = b, gap: float = gap) -> Spec:
            deep = {"a": 6.0, "b": 7.0}
            tall = _tall(a, deep["a"]) + _tall(b, deep["b"]) + 0.6 * gap
            t = round(tall, 4)
            return plate(t, a(0.0, "above", deep["a"], t), b(x, "below", deep["b"], t))

        spec = narrowed(make, ("a", "b"), gap, 50.0, -1.0)
        if spec:
            yield Hard(f"{one} diagonal to {two}, {gap:g}", spec)


def _tall(make: Maker, depth: float) -> float:
    """How far a cut reaches from its face without its drill point, mm."""
    trial = Ledger(parts_of(plate(80.0, make(0.0, "above", depth, 80.0)))[0])
    steps = [step for cut in trial.part.cuts for step in cut.steps]
    reach = 0.0
    for step in steps:
        name, low = step.what, getattr(step, "low", None)
        if name in ("point", "opening") or getattr(step, "leaves", False):
            continue
        if hasattr(step, "deep"):
            reach = max(reach, step.deep)
        elif low is not None:
            reach = max(reach, 80.0 - low)
        else:
            reach = max(reach, 80.0 - step.end[2] + step.radius * math.sqrt(max(0.0, 1 - step.way[2] ** 2)))  # type: ignore[union-attr]
    return reach


def above(gaps: tuple[float, ...] = GAPS) -> Iterator[Hard]:
    """Blind kinds over each other, the plate made thinner; and each over a bore from the edge."""
    turn = itertools.cycle(gaps)
    for (one, a), (two, b) in itertools.product(BLIND.items(), repeat=2):
        gap = next(turn)
        x = {"counterbore": 7.3, "rounded mouth": 12.5, "tapered mouth": 11.5}.get(one, 0.0)
        x += _reach(b) if x else 0.0
        if not x:
            x = -{"counterbore": 7.3, "rounded mouth": 12.5, "tapered mouth": 11.5}.get(two, 0.0)
            x -= _reach(a) if x else 0.0
        spec = narrowed(
            lambda t, a=a, b=b, x=x: plate(t, a(0.0, "above", 6.0, t), b(round(x, 3), "below", 7.0, t)),
            ("a", "b"), gap, 60.0, -1.0,
        )  # fmt: skip
        if spec:
            yield Hard(f"{one} over {two}, {gap:g}", spec)
    for one, a in BLIND.items():
        gap = next(turn)
        if one in ("rounded mouth", "tapered mouth", "counterbore"):
            continue

        def under(z: float, a: Maker = a) -> Spec:
            bore = {"at": [0, -HEIGHT / 2, z], "towards": [0, 1, 0], "diameter": 6, "depth": HEIGHT / 2 + 9}
            return plate(40.0, a(0.0, "above", 12.0, 40.0), ("bores", bore))

        spec = narrowed(under, ("a", "b"), gap, 4.0, 1.0)
        if spec:
            yield Hard(f"{one} over a bore from the edge, {gap:g}", spec)


def _reach(make: Maker) -> float:
    """Half the width of a cut along X at its deepest, mm: it is set off by that to lie under the rim of another."""
    section, model = make(0.0, "above", 6.0, 60.0)
    shape = model.get("shape", model)
    if "rectangle" in shape:
        return 10.0
    wide = {"slots": 9.5, "reliefs": 8.0, "holes": 4.0, "bores": 2.0}.get(section, 9.0)
    return 9.0 if "counterbored" in model else wide


def near_faces(gaps: tuple[float, ...] = GAPS) -> Iterator[Hard]:
    """Every blind kind over the far face, and every kind beside the edge, square and slanted."""
    turn = itertools.cycle(gaps)
    for one, a in BLIND.items():
        gap = next(turn)
        spec = narrowed(lambda t, a=a: plate(t, a(0.0, "above", 7.0, t)), ("a", "*below"), gap, 40.0, -1.0)
        if spec:
            yield Hard(f"{one} over the far face, {gap:g}", spec)
    for one, a in {**BLIND, **THROUGH}.items():
        for sign in (1.0, -1.0):
            gap = next(turn)
            spec = narrowed(
                lambda x, a=a: plate(THICK, a(x, "above", 12.0, THICK)), ("a", "*side"), gap, sign * 40.0, sign
            )
            if spec:
                yield Hard(f"{one} beside the {'right' if sign > 0 else 'left'} edge, {gap:g}", spec)
    for lean, sign in itertools.product((0.0, 0.03, -0.2), (1.0, -1.0)):
        gap = next(turn)

        def bore(z: float, lean: float = lean) -> Spec:
            model = {"at": [WIDTH / 2, 5, z], "towards": [-1, 0.1, lean], "diameter": 7, "depth": 31}
            return plate(THICK, ("bores", model))

        spec = narrowed(bore, ("a", "*above" if sign > 0 else "*below"), gap, THICK / 2, sign)
        if spec:
            yield Hard(f"bore from the edge, leaning {lean:g}, {'under' if sign > 0 else 'over'} a face, {gap:g}", spec)


Try: TypeAlias = tuple[str, Callable[[float], Spec], tuple[str, str], float, float]
"""What it is, the spec by a number, the wall, where the number starts, and which way it moves."""


def _narrowed(what: str, tries: list[Try], turn: Iterator[float]) -> Iterator[Hard]:
    for name, make, key, start, way in tries:
        gap = next(turn)
        spec = narrowed(make, key, gap, start, way)
        if spec:
            yield Hard(f"{what}: {name}, {gap:g}", spec)


def rails(gaps: tuple[float, ...] = GAPS) -> Iterator[Hard]:
    """Bars and round bars: holes by the passage, the cross bores, their seats, the end threads, the sides, the far side."""
    turn = itertools.cycle(gaps)
    yield from _narrowed("bar", _rail_tries({"bar": [40.0, 40.0]}, "*below"), turn)
    yield from _narrowed("round bar", _rail_tries({"round": 44.0}, "*side"), turn)


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


def castings(gaps: tuple[float, ...] = GAPS) -> Iterator[Hard]:
    """Drilled castings: bores and spotfaces by each other, by the edges and the faces."""
    turn = itertools.cycle(gaps)
    for angle in (90.0, 60.0, 45.0, 30.0):
        yield from _narrowed(f"casting at {angle:g}", _casting_tries(angle), turn)


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


def hard_parts(gaps: tuple[float, ...] = GAPS) -> Iterator[Hard]:
    """The whole table."""
    yield from beside(gaps)
    yield from diagonal(gaps)
    yield from above(gaps)
    yield from near_faces(gaps)
    yield from rails(gaps)
    yield from castings(gaps)
