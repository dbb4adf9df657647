"""Odd arrangements of cuts in plates: twice the same, inside each other, touching, mouths that do not fit."""

from __future__ import annotations

import math
import random

from tests.metal_oracle._odd_basics import add, cut, plate, round6
from tests.metal_oracle._reading import Spec


def plain(rng: random.Random) -> Spec:
    spec, s, t = plate(rng)
    for i in range(rng.randint(0, 5)):
        add(spec, f"c{i}", cut(rng, s, t, (rng.uniform(-0.3, 0.3) * s, rng.uniform(-0.3, 0.3) * s)))
    return spec


def twice(rng: random.Random) -> Spec:
    """The same cut under two names, and now and then a third time, off by next to nothing."""
    spec, s, t = plate(rng)
    same = cut(rng, s, t)
    add(spec, "a", same)
    add(spec, "b", same)
    if rng.random() < 0.5:
        section, model = cut(rng, s, t)
        off = rng.choice([1e-9, 1e-7, 1e-6, 1e-5, 1e-3]) * max(1.0, s)
        add(spec, "c", (section, model))
        moved = (
            {**model, "at": [off, 0.0, *model["at"][2:]]}
            if "at" in model
            else {**model, "shape": {**model["shape"], "at": [off, 0.0]}}
        )
        add(spec, "d", (section, moved))
    return spec


def inside(rng: random.Random) -> Spec:
    """One cut wholly inside another, or exactly on its rim."""
    spec, s, t = plate(rng)
    d = round6(0.4 * s)
    outer = rng.choice(
        [
            ("openings", {"shape": {"circle": d}}),
            ("pockets", {"shape": {"circle": d}, "depth": round6(0.5 * t), "side": "above"}),
            ("holes", {"at": [0, 0], "diameter": d}),
            ("slots", {"at": [0, 0], "slot": [round6(1.5 * d), d]}),
        ]
    )
    add(spec, "a", outer)
    share = rng.choice([0.3, 0.5, 1.0])
    at = [round6(rng.choice([0.0, d / 2 - share * d / 2])), 0.0]
    inner = rng.choice(
        [
            ("holes", {"at": at, "diameter": round6(share * d)}),
            ("holes", {"at": at, "diameter": round6(share * d), "depth": round6(0.4 * t), "side": "above"}),
            ("holes", {"at": at, "diameter": round6(share * d), "into": ["a"]}),
            ("pockets", {"shape": {"circle": round6(share * d), "at": at}, "depth": round6(0.3 * t), "side": "above"}),
            ("reliefs", {"at": at, "diameter": round6(share * d), "depth": round6(0.5 * t), "side": "below"}),
            ("openings", {"shape": {"circle": round6(share * d), "at": at}}),
            (
                "bores",
                {
                    "at": [*at, t],
                    "towards": [0.2, 0, -1],
                    "diameter": round6(0.3 * share * d),
                    "depth": round6(0.3 * t),
                },
            ),
        ]
    )
    add(spec, "b", inner)
    return spec


def tangent(rng: random.Random) -> Spec:
    """Cuts that touch an edge, a face or each other, or miss it by next to nothing."""
    t = rng.choice([10.0, 20.0, 0.5, 400.0])
    w, h = 12 * t, 8 * t
    spec: Spec = {
        "project": "odd",
        "parts": {"p": {"kind": "plate", "material": "6061-T6", "thickness": t, "outline": {"rectangle": [w, h]}}},
    }
    off = rng.choice([0.0, 0.0, 1e-9, -1e-9, 1e-7, -1e-7, 1e-6, -1e-6, 1e-4, -1e-4]) * t
    r = t / 4
    draw = rng.randrange(7)
    if draw == 0:
        add(spec, "a", ("holes", {"at": [w / 2 - r - off, 0], "diameter": 2 * r}))
    elif draw == 1:
        add(
            spec,
            "a",
            (
                "bores",
                {
                    "at": [-w / 2, 0, r + off],
                    "towards": [1, 0, 0],
                    "diameter": 2 * r,
                    "depth": rng.choice([2 * w, w / 3]),
                },
            ),
        )
    elif draw == 2:
        add(spec, "a", ("holes", {"at": [0, 0], "diameter": 2 * r}))
        add(spec, "b", ("holes", {"at": [2 * r + off, 0], "diameter": 2 * r}))
    elif draw == 3:
        add(spec, "a", ("bores", {"at": [-w / 2, 0, t / 2], "towards": [1, 0, 0], "diameter": 2 * r, "depth": 2 * w}))
        add(spec, "b", ("holes", {"at": [0, 2 * r + off], "diameter": 2 * r}))
    elif draw == 4:
        add(spec, "a", ("pockets", {"shape": {"rectangle": [4 * r, 4 * r]}, "depth": t / 2, "side": "above"}))
        add(
            spec,
            "b",
            (
                "pockets",
                {
                    "shape": {"rectangle": [4 * r, 4 * r], "at": rng.choice([[0, 0], [4 * r, 0], [2 * r, 0]])},
                    "depth": t / 2 - off,
                    "side": "below",
                },
            ),
        )
    elif draw == 5:
        add(spec, "a", ("openings", {"shape": {"rectangle": [4 * r, 4 * r]}}))
        add(spec, "b", ("slots", {"at": [4 * r + off, 0], "slot": [4 * r, 2 * r]}))
    else:
        add(
            spec,
            "a",
            ("bores", {"at": [0, 0, t], "towards": [1, 0, -1], "diameter": 2 * r, "depth": t * math.sqrt(2) + off}),
        )
    return spec


def mouths(rng: random.Random) -> Spec:
    """Mouths as deep as the plate, wider than what is round them, over holes, on corners."""
    spec, s, t = plate(rng)
    d = round6(0.3 * s)
    shape = rng.choice(
        [
            {"circle": d},
            {"rectangle": [d, d], "corner_radius": round6(d / 5)},
            {"rectangle": [d, d]},
            {"slot": [round6(1.4 * d), d]},
        ]
    )
    opening: Spec = {"shape": shape, "mouth": rng.choice(["above", "below"])}
    if rng.random() < 0.5:
        opening["mouth_radius"] = round6(rng.choice([0.1, 0.5, 0.999999, 1.0, 1.5]) * rng.choice([t, d]))
    else:
        opening |= {
            "mouth_chamfer": round6(rng.choice([0.1, 0.5, 1.0, 2.0]) * rng.choice([t, d])),
            "mouth_angle": rng.choice([10, 30, 45, 80]),
        }
    add(spec, "a", ("openings", opening))
    add(spec, "b", cut(rng, s, t, (rng.uniform(0.15, 0.4) * s, 0.0)))
    if rng.random() < 0.3:
        add(
            spec,
            "c",
            (
                "pockets",
                {
                    "shape": {"rectangle": [round6(1.3 * d), round6(1.3 * d)], "corner_radius": round6(0.1 * d)},
                    "depth": round6(0.3 * t),
                    "side": rng.choice(["above", "below"]),
                },
            ),
        )
    return spec
