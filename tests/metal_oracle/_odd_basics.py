"""Blanks and cuts for odd specs, of any size."""

from __future__ import annotations

import math
import random
from typing import Any

from tests.metal_oracle._reading import Spec

SMALLEST, LARGEST = 0.01, 5000.0


def size(rng: random.Random) -> float:
    """A length between the smallest and the largest, each decade as likely; half of all are such as shops cut."""
    if rng.random() < 0.5:
        return round(rng.uniform(30, 200), 2)
    return float(f"{math.exp(rng.uniform(math.log(SMALLEST), math.log(LARGEST))):.3g}")


def round6(value: float) -> float:
    return float(f"{value:.6g}")


def plate(rng: random.Random, *, thin: float | None = None, **more: Any) -> tuple[Spec, float, float]:
    """A project of one plate, its length and thickness."""
    long = size(rng)
    t = thin or round6(long * rng.choice([0.05, 0.1, 0.2, 0.5, 1.0, 3.0]))
    t = min(max(t, SMALLEST), LARGEST)
    wide = round6(long * rng.choice([1.0, 0.7, 0.3]))
    outline: Spec = rng.choice(
        [
            {"rectangle": [long, wide]},
            {"rectangle": [long, wide], "corner_radius": round6(0.1 * wide)},
            {"circle": long},
            {"slot": [round6(1.5 * long), wide]},
        ]
    )
    part: Spec = {
        "kind": "plate",
        "material": rng.choice(["6061-T6", "S235"]),
        "thickness": t,
        "outline": outline,
        **more,
    }
    return {"project": "odd", "units": "mm", "parts": {"p": part}}, wide, t


def cut(rng: random.Random, s: float, t: float, at: tuple[float, float] = (0.0, 0.0)) -> tuple[str, Spec]:
    """One cut of a share of the plate's size."""
    d, place = round6(s * rng.uniform(0.05, 0.3)), [round6(at[0]), round6(at[1])]
    side, deep = rng.choice(["above", "below"]), round6(t * rng.choice([0.1, 0.5, 0.9, 0.999, 0.999999, 1.0, 1.2]))
    draw = rng.randrange(9)
    if draw == 0:
        return "holes", {"at": place, "diameter": d}
    if draw == 1:
        return "holes", {"at": place, "diameter": d, "depth": deep, "side": side}
    if draw == 2:
        return "holes", {
            "at": place,
            rng.choice(["tapped", "counterbored", "clear"]): rng.choice(["M3", "M8", "M16"]),
            "side": side,
        }
    if draw == 3:
        return "pockets", {
            "shape": {"rectangle": [d, round6(0.7 * d)], "corner_radius": round6(0.1 * d), "at": place},
            "depth": deep,
            "side": side,
        }
    if draw == 4:
        return "openings", {
            "shape": {"circle": d, "at": place},
            rng.choice(["mouth_radius", "mouth_chamfer"]): round6(rng.choice([0.2, 0.9, 1.0, 1.1]) * t),
        }
    if draw == 5:
        return "slots", {"at": place, "slot": [round6(1.6 * d), d], "turn": round6(rng.uniform(0, 180))}
    if draw == 6:
        return "reliefs", {"at": place, "diameter": d, "depth": deep, "side": side}
    if draw == 7:
        lean = rng.uniform(-1, 1)
        return "bores", {
            "at": [*place, t if side == "above" else 0.0],
            "towards": [lean, 0.3, -1 if side == "above" else 1],
            "diameter": d,
            "depth": round6(t * rng.uniform(0.3, 4)),
        }
    return "openings", {
        "shape": {"rectangle": [d, d], "at": place, "corner_radius": rng.choice([0.0, round6(d / 4), round6(d / 2)])}
    }


def add(spec: Spec, name: str, cut: tuple[str, Spec]) -> None:
    part = next(iter(spec["parts"].values()))
    part.setdefault(cut[0], {})[name] = cut[1]
