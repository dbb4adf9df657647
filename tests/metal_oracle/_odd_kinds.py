"""Odd parts of the other kinds, and odd names."""

from __future__ import annotations

import random

from tests.metal_oracle._odd_basics import add, cut, plate, round6, size
from tests.metal_oracle._reading import Spec

NAMES = (
    "stack", "stack", "stack", "report", "manifest", "holes", "p_drawing", "p_template", "p_first_article", "p_drilling", "STACK",
    "Report", "README", "con", "aux",
)  # fmt: skip
"""Names of parts, some of which files of the package have, or could have."""
CUT_NAMES = ("outline", "passage", "opening", "pocket", "face", "drain", "above", "a", "A", "front_end", "stack")


def named(rng: random.Random) -> Spec:
    """Names that files of the package or other cuts have."""
    names = [rng.choice(("stack", rng.choice(NAMES))), rng.choice(("b", "p", "Stack", "report_", "B"))]
    parts: dict[str, Spec] = {}
    for name in names:
        parts[name] = {
            "kind": "plate",
            "material": "6061-T6",
            "thickness": 10,
            "outline": {"rectangle": [60, 40]},
            "place": {"at": [0, 0, 40 * len(parts)]},
        }
    first, second = rng.sample(CUT_NAMES, 2)
    parts[names[0]]["holes"] = {first: {"at": [10, 0], "diameter": 5}, second: {"at": [-10, 0], "diameter": 5}}
    if rng.random() < 0.3:
        parts[names[1]]["pockets"] = {first: {"shape": {"circle": 10}, "depth": 3}}
        parts[names[1]]["holes"] = {first: {"at": [15, 0], "diameter": 5}}
    return {"project": rng.choice(["odd", "stack", "report"]), "parts": parts}


def rails(rng: random.Random) -> Spec:
    """Rails with passages as wide as the bar, holes over the ends and sides, cross bores into each other."""
    s = size(rng)
    wide = round6(s * rng.choice([0.1, 0.3, 0.9, 0.999]))
    row = [0.0, round6(s * rng.choice([0.05, 0.2, 1.0, 3.0]))]
    part: Spec = {
        "kind": "rail", "material": "6061-T6", "stock": rng.choice([{"bar": [s, round6(0.8 * s)]}, {"round": s}]),
        "length": round6(s * rng.choice([1.0, 4.0, 10.0])), "joint": "j", "passage": round6(s * rng.choice([0.2, 0.5, 0.79, 0.8, 0.9])),
        "cross_bore": {"diameter": wide}, "marks": {"f": {"text": "FRONT", "at": [0, 0]}},
    }  # fmt: skip
    if rng.random() < 0.4:
        part["cross_bore"]["seat"] = {
            "diameter": round6(wide * rng.choice([1.1, 2.0])),
            "depth": round6(s * rng.choice([0.05, 0.3, 0.39])),
        }
    if rng.random() < 0.4:
        part["ends"] = {"thread": rng.choice(["M8", "M16", "M24"]), "depth": round6(s * rng.choice([0.1, 0.5]))}
    part["holes"] = {
        "h": {
            "at": [round6(s * rng.choice([0.0, 0.3, 0.5])), round6(s * rng.choice([0.0, 0.2, 0.42, 0.49]))],
            "diameter": round6(0.1 * s),
        }
    }
    if rng.random() < 0.4:
        part["holes"]["h"]["depth"] = round6(s * rng.choice([0.1, 0.45, 0.79]))
    return {
        "project": "odd",
        "joints": {"j": {"spots": {"row": row, "at": [round6(-row[1] / 2), 0]}}},
        "parts": {"r": part},
    }


def brackets(rng: random.Random) -> Spec:
    """Strips that cross themselves, bends tighter than the metal, holes over bends and edges."""
    s = size(rng)
    t = round6(s * rng.choice([0.01, 0.05, 0.2]))
    count = rng.randint(1, 5)
    legs = [round6(s * rng.choice([0.3, 0.5, 1.0, 2.0])) for _ in range(count)]
    bends = [
        {"angle": rng.choice([90, 90, 45, -90, 120, 179, 180, 10]), "radius": round6(t * rng.choice([0.1, 1.0, 3.0]))}
        for _ in range(count - 1)
    ]
    part: Spec = {
        "kind": "bracket",
        "material": "S235",
        "width": round6(0.4 * s),
        "thickness": t,
        "legs": legs,
        "bends": bends,
    }
    part["holes"] = {
        "a": {
            "leg": rng.randint(1, count),
            "at": [round6(s * rng.choice([0.1, 0.15, 0.25])), round6(s * rng.choice([0.0, 0.1, 0.19]))],
            "diameter": round6(s * rng.choice([0.02, 0.1])),
        }
    }
    if rng.random() < 0.5:
        part["pockets"] = {
            "b": {
                "leg": 1,
                "shape": {
                    "rectangle": [round6(0.1 * s), round6(s * rng.choice([0.1, 0.4]))],
                    "at": [round6(0.15 * s), 0],
                },
                **({"depth": round6(0.5 * t)} if rng.random() < 0.5 else {}),
            }
        }
    return {"project": "odd", "parts": {"k": part}}


def castings(rng: random.Random) -> Spec:
    """Boss rows: spotfaces through the casting, bores over its edge, seats as wide as the boss, flat angles."""
    d, angle = round6(size(rng) / 5), rng.choice([15, 20, 30, 45, 60, 89.9, 90])
    boss: Spec = {
        "outside_diameter": d,
        "length": round6(d * rng.choice([0.5, 2.0])),
        "bore": round6(d * rng.choice([0.3, 0.9, 0.999])),
    }
    if rng.random() < 0.5:
        boss["seat"] = {"diameter": round6(d * rng.choice([0.95, 1.0, 1.1])), "depth": round6(0.2 * d)}
    casting: Spec = {
        "material": "A356-T6",
        "flat": {"rectangle": [round6(8 * d), round6(d * rng.choice([3, 10]))]},
        "thickness": round6(d * rng.choice([0.3, 1.0, 2.0])),
        "bore": d,
    }
    if rng.random() < 0.6:
        casting["spotface"] = {
            "diameter": round6(d * rng.choice([1.1, 1.5])),
            "depth": round6(d * rng.choice([0.1, 0.8, 1.5, 3.0])),
        }
    if rng.random() < 0.4:
        casting["depth"] = round6(d * rng.choice([0.2, 1.0, 5.0]))
    row = [0.0, round6(d * rng.choice([0.5, 1.0, 1.05, 2.0]))]
    part: Spec = {
        "kind": "boss_row",
        "joint": "j",
        "material": "6061-T6",
        "angle": angle,
        "boss": boss,
        "casting": casting,
    }
    return {
        "project": "odd",
        "joints": {"j": {"spots": {"row": row, "at": [round6(-row[1] / 2), 0]}}},
        "parts": {rng.choice(["b", "b", "stack"]): part},
    }


def drains(rng: random.Random) -> Spec:
    spec, s, t = plate(rng)
    part = spec["parts"]["p"]
    part |= {
        "kind": "drain_plate",
        "drain": {"at": [round6(rng.choice([0.0, 0.3, 0.5]) * s), 0.0], "side": rng.choice(["above", "below"])},
    }
    part["drain"] |= rng.choice(
        [{"pipe_thread": "1/4 NPT"}, {"port": "-6"}, {"port": "-6", "bore": 8.0}, {"port": "-10", "bore": 20.6}]
    )
    add(spec, "a", cut(rng, s, t))
    return spec
