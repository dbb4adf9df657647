"""Odd plates: taken in two, cut across the outline, crossing cuts, outlines that are none."""

from __future__ import annotations

import random

from tests.metal_oracle._odd_basics import SMALLEST, add, cut, plate, round6, size
from tests.metal_oracle._reading import Spec


def splitting(rng: random.Random) -> Spec:
    """Bores, slots and openings that take the part in two, or nearly."""
    t = rng.choice([10.0, 25.4, 0.2, 1000.0])
    spec: Spec = {
        "project": "odd",
        "parts": {
            "p": {"kind": "plate", "material": "6061-T6", "thickness": t, "outline": {"rectangle": [4 * t, 3 * t]}}
        },
    }
    share = rng.choice([0.98, 0.999999, 1.0, 1.02, 1.6])
    draw = rng.randrange(5)
    if draw == 0:
        add(
            spec,
            "a",
            ("bores", {"at": [-2 * t, 0, t / 2], "towards": [1, 0, 0], "diameter": round6(share * t), "depth": 9 * t}),
        )
    elif draw == 1:
        add(spec, "a", ("slots", {"at": [0, 0], "slot": [round6(share * 3 * t), t / 2], "turn": 90}))
    elif draw == 2:
        add(spec, "a", ("openings", {"shape": {"rectangle": [t, round6(share * 3 * t)]}}))
    elif draw == 3:
        for i, y in enumerate((-t, 0.0, t)):
            add(spec, f"h{i}", ("holes", {"at": [0, y], "diameter": round6(share * t)}))
    else:
        add(
            spec,
            "a",
            (
                "bores",
                {
                    "at": [0, -1.5 * t, t / 2],
                    "towards": [0.1, 1, 0.05],
                    "diameter": round6(share * 0.9 * t),
                    "depth": 6 * t,
                },
            ),
        )
        add(
            spec,
            "b",
            (
                "bores",
                {
                    "at": [-2 * t, 0.3 * t, t / 2],
                    "towards": [1, 0, 0],
                    "diameter": round6(share * 0.5 * t),
                    "depth": 6 * t,
                },
            ),
        )
    return spec


def across(rng: random.Random) -> Spec:
    """Cuts over the outline, off the plate, or as large as it."""
    spec, s, t = plate(rng)
    section, model = cut(rng, s, t)
    at = [round6(rng.choice([0.35, 0.45, 0.499999, 0.5, 0.55, 2.0]) * s), round6(rng.choice([0.0, 0.2, 0.5]) * s)]
    moved = (
        {**model, "at": [*at, *model["at"][2:]]} if "at" in model else {**model, "shape": {**model["shape"], "at": at}}
    )
    add(spec, "a", (section, moved))
    if rng.random() < 0.3:
        add(spec, "b", ("openings", {"shape": {"circle": round6(rng.choice([0.9, 1.0, 1.5]) * s)}}))
    return spec


def crossing(rng: random.Random) -> Spec:
    """Slots and bores that cross, rings of slots that cut a piece out."""
    t = rng.choice([5.0, 20.0, 80.0])
    spec: Spec = {
        "project": "odd",
        "parts": {
            "p": {
                "kind": "plate",
                "material": "S235",
                "thickness": t,
                "outline": {"rectangle": [10 * t, 8 * t], "corner_radius": t},
            }
        },
    }
    draw = rng.randrange(4)
    if draw == 0:
        add(spec, "a", ("slots", {"at": [0, 0], "slot": [4 * t, t]}))
        add(
            spec,
            "b",
            ("slots", {"at": [rng.choice([0, t]), 0], "slot": [4 * t, t], "turn": rng.choice([90, 45, 0, 1])}),
        )
    elif draw == 1:
        for i, (x, y, turn) in enumerate(((0, 2, 0), (0, -2, 0), (2, 0, 90), (-2, 0, 90))):
            add(
                spec,
                f"s{i}",
                (
                    "slots",
                    {
                        "at": [x * t, y * t],
                        "slot": [5 * t, 0.6 * t],
                        "turn": turn,
                        **(
                            {"depth": round6(0.7 * t), "side": rng.choice(["above", "below"])}
                            if rng.random() < 0.4
                            else {}
                        ),
                    },
                ),
            )
    elif draw == 2:
        add(spec, "a", ("bores", {"at": [0, 0, t], "towards": [1, 0, -1], "diameter": round6(0.4 * t), "depth": 3 * t}))
        add(
            spec,
            "b",
            (
                "bores",
                {
                    "at": [0, 0, 0],
                    "towards": [1, rng.choice([0, 0.1]), 1],
                    "diameter": round6(0.4 * t),
                    "depth": 3 * t,
                    "into": rng.choice([["a"], []]),
                },
            ),
        )
    else:
        add(spec, "a", ("pockets", {"shape": {"rectangle": [4 * t, 2 * t]}, "depth": round6(0.6 * t), "side": "above"}))
        add(
            spec,
            "b",
            (
                "pockets",
                {
                    "shape": {"rectangle": [2 * t, 4 * t]},
                    "depth": round6(rng.choice([0.3, 0.4, 0.6]) * t),
                    "side": rng.choice(["above", "below"]),
                },
            ),
        )
    return spec


def outlines(rng: random.Random) -> Spec:
    """Outlines that cross themselves, have spikes, points twice, hair-thin necks, corners rounder than their sides."""
    s = size(rng)
    loops: list[list[list[float]]] = [
        [[0, 0], [1, 1], [1, 0], [0, 1]],
        [[0, 0], [1, 0], [1, 1], [1.2, 1], [1, 1], [0, 1]],
        [[0, 0], [1, 0], [1, 0], [1, 1], [0, 1]],
        [[0, 0], [1, 0], [1, 1], [0.5, 1e-7], [0, 1]],
        [[0, 0], [1, 0], [1, 1], [0.5, 0], [0, 1]],
        [[0, 0], [1, 0], [2, 0], [2, 1], [0, 1]],
        [[0, 0], [1, 0], [0.5, 1e-6]],
        [[0, 0], [1, 0], [1, 1], [0.6, 1], [0.6, 0.2], [0.6000001, 0.2], [0.6000001, 1], [0, 1]],
        [[0, 0], [1, 0], [0.3, 0.3], [0, 1]],
    ]
    loop = [[round6(x * s), round6(y * s)] for x, y in rng.choice(loops)]
    if rng.random() < 0.4:
        loop[rng.randrange(len(loop))].append(round6(rng.choice([0.01, 0.2, 0.5, 2.0]) * s))
    part: Spec = {
        "kind": "plate",
        "material": "6061-T6",
        "thickness": round6(0.1 * s) or SMALLEST,
        "outline": {"loop": loop},
    }
    if rng.random() < 0.3:
        part["outline"] = rng.choice(
            [
                {"rectangle": [s, s], "corner_radius": round6(rng.choice([0.5, 0.5000001, 0.7]) * s)},
                {"slot": [s, round6(rng.choice([1.0, 1.1]) * s)]},
            ]
        )
    spec = {"project": "odd", "parts": {"p": part}}
    add(spec, "a", ("holes", {"at": [round6(0.5 * s), round6(0.2 * s)], "diameter": round6(0.1 * s)}))
    if rng.random() < 0.3:
        add(
            spec,
            "o",
            (
                "openings",
                {
                    "shape": {
                        "loop": [
                            [round6(x * 0.3 * s + 0.2 * s), round6(y * 0.3 * s + 0.2 * s)] for x, y in rng.choice(loops)
                        ]
                    }
                },
            ),
        )
    return spec


def maximized(rng: random.Random) -> Spec:
    """Pockets and openings as large as possible, with holes in their way, thin walls and heights shared by rounding."""
    spec, s, t = plate(rng)
    model: Spec = {
        "open_out": True,
        "wall": round6(s * rng.choice([0.01, 0.05])),
        "land": round6(s * rng.choice([0.01, 0.1])),
        "cutter": round6(s * rng.choice([0.02, 0.1, 0.3])),
    }
    for i in range(rng.randint(0, 4)):
        add(
            spec,
            f"h{i}",
            (
                "holes",
                {
                    "at": [round6(rng.uniform(-0.4, 0.4) * s), round6(rng.uniform(-0.4, 0.4) * s)],
                    "diameter": round6(0.06 * s),
                    "side": "below",
                    **({"depth": round6(rng.choice([0.3, 0.4, 0.6]) * t)} if rng.random() < 0.5 else {}),
                },
            ),
        )
    if rng.random() < 0.3:
        spec["parts"]["p"]["opening"] = {**model, "mouth_radius": round6(0.1 * t)}
    else:
        spec["parts"]["p"]["pocket"] = {
            **model,
            "depth": round6(rng.choice([0.3, 0.6, 0.7, 0.999]) * t),
            "side": "above",
        }
    return spec


def deep(rng: random.Random) -> Spec:
    """Pockets deeper than counterbores, drill points in pockets, floors that meet from both faces."""
    t = rng.choice([12.0, 16.0, 20.0])
    spec: Spec = {
        "project": "odd",
        "parts": {"p": {"kind": "plate", "material": "6061-T6", "thickness": t, "outline": {"rectangle": [100, 70]}}},
    }
    word = rng.choice(["M5", "M6", "M8"])
    deep = {"M5": 5.4, "M6": 6.4, "M8": 8.6}[word]
    add(spec, "a", ("holes", {"at": [0, 0], "counterbored": word, "side": "above"}))
    depth = round6(
        min(t - 0.01, rng.choice([t - deep - 0.2, t - deep, t - deep + 1e-7, t - deep + 0.5, deep, deep + 1e-9]))
    )
    side = rng.choice(["above", "below"])
    add(
        spec,
        "b",
        (
            "pockets",
            {
                "shape": {
                    "rectangle": [rng.choice([8, 14, 30]), 20],
                    "corner_radius": 3,
                    "at": rng.choice([[0, 0], [6, 0], [15, 0]]),
                },
                "depth": depth,
                "side": side,
            },
        ),
    )
    add(
        spec,
        "c",
        (
            "holes",
            {
                "at": [rng.choice([4, 20, 25]), 5],
                "diameter": 8,
                "depth": round6(rng.choice([0.3, 0.6, 0.8]) * t),
                "side": rng.choice(["above", "below"]),
            },
        ),
    )
    return spec
