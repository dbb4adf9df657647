"""Odd specs for `check` and `build`: sizes from 0.01 mm to 5 m, and arrangements that no kernel likes."""

from __future__ import annotations

import random
from collections.abc import Callable

from tests.metal_oracle._odd_cuts import inside, mouths, plain, tangent, twice
from tests.metal_oracle._odd_kinds import NAMES, brackets, castings, drains, named, rails
from tests.metal_oracle._odd_plates import across, crossing, deep, maximized, outlines, splitting
from tests.metal_oracle._reading import Spec

ARRANGEMENTS: tuple[Callable[[random.Random], Spec], ...] = (
    plain, twice, inside, tangent, mouths, splitting, deep, across, crossing, outlines, named, rails, brackets, castings, drains,
    maximized, plain, tangent, inside, mouths,
)  # fmt: skip
"""One after another, so that any 20 seeds in a row have them all."""


def odd_spec(seed: int) -> Spec:
    """Spec number `seed`: an ordinary blank of some size with one odd arrangement, now and then with two."""
    rng = random.Random(f"odd {seed}")
    make = ARRANGEMENTS[seed % len(ARRANGEMENTS)]
    spec = make(rng)
    if rng.random() < 0.15:
        name, part = next(iter(spec["parts"].items()))
        spec["parts"] = {rng.choice(NAMES): part, **{k: v for k, v in spec["parts"].items() if k != name}}
    return spec
