"""The value of one key that settles an item: nearly every check is linear in a length, so two checks point to it."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, field
from fractions import Fraction

from platemaker.study._cures._steps import WORD_STEP, Numbers, Words, rounded
from platemaker.study._cures._trial import Paths, Seen, Target, rate
from platemaker.study._keys import Value

MOST_TRIES = 9
"""Checks of one key after the first: a secant finds the value in three to five where the measure is linear."""
LONG = 20
"""Steps of a long try: 10 mm."""
MOST_WORDS = 3
"""How many entries of a catalog are tried either way."""
FARTHEST = 100.0
"""Largest change of a size, mm: beyond it another design is wanted. The project's own choice."""


@dataclass
class Lead:
    """A key on which the item depends, and how large a change would settle it, in mm or the like: a guess from a slope.

    `tried` are the values checked so far and what they leave of the item, the present one first.
    """

    paths: Paths
    steps: Numbers
    way: int
    cost: float
    tried: list[tuple[Fraction, Seen]] = field(default_factory=list)


def lead_of(target: Target, paths: Paths, steps: Numbers) -> Lead | None:
    """The lead that one step of a number gives, a long one where no short one can be made; None where nothing moves."""
    base = target.base
    for far, way in ((0.5, 1), (0.5, -1), (LONG, 1), (LONG, -1)):
        if far == LONG and steps.whole:
            break
        step = rounded(float(steps.now) + way * far * float(steps.grids[0]), steps.grids[0], way)
        if not steps.allowed(step) or (seen := target.at(paths, steps.value(step))) is None:
            continue
        measures = rate(base, seen)
        if seen.worst is None or measures is None:
            if seen.harm == base.harm:
                continue
            better = seen.harm < base.harm
            return Lead(paths, steps, way if better else -way, steps.cost(step), [(steps.now, base), (step, seen)])
        short, gained = measures
        if gained:
            away = short / abs(gained) * steps.cost(step)
            return Lead(paths, steps, way if gained > 0 else -way, away, [(steps.now, base), (step, seen)])
        if steps.whole:
            continue
        if seen.worst.id in seen.known:  # what vanished may move the other way
            return None
    return None


def settled_numbers(target: Target, lead: Lead) -> Iterator[Value]:
    """The nearest step that settles the item; without one, the nearest that leaves a caution of a fail."""
    steps, points = lead.steps, dict(lead.tried)
    low: Fraction = steps.now  # the farthest that does not settle it
    high: Fraction | None = None  # what goes too far
    for first, seen in lead.tried[1:]:
        if (first - low) * lead.way > 0 and seen.harm < points[low].harm:
            low = first
    for _ in range(MOST_TRIES):
        number = None if points[low].worst is None else _next(lead, points, low, high)
        if number is None:
            break
        made = target.at(lead.paths, steps.value(number)) if steps.allowed(number) else None
        if made is not None:
            points[number] = made
        if made is not None and made.harm < points[low].harm:
            low = number
        else:
            high = number
    eased = [number for number, seen in points.items() if target.eased(seen)]
    for number in [low] if points[low].worst is None else sorted(eased, key=steps.cost)[:1]:
        yield steps.value(number)


def _next(lead: Lead, points: dict[Fraction, Seen], low: Fraction, high: Fraction | None) -> Fraction | None:
    """The next number to try between `low` and `high`, on the coarsest grid that has one there; None without one."""
    way, steps = lead.way, lead.steps
    slopes = [slope for one in points if one != low and (slope := rate(points[one], points[low]))]
    if slopes and not any(gained for _, gained in slopes):
        return None  # what is left does not depend on this key
    guess = _secant(lead, points, low)
    if high is not None and (guess is None or (guess - float(high)) * way >= 0):
        guess = (float(low) + float(high)) / 2
    if guess is None:
        guess = float(low) + 2 * (float(low - steps.now) or way * float(steps.grids[0]))
    for grid in steps.grids:
        number = rounded(guess, grid, way)
        if (number - low) * way <= 0:
            number = rounded(float(low) + way * float(grid) / 2, grid, way)
        inside = high is None or (high - number) * way > 0
        if inside and number not in points and steps.cost(number) <= FARTHEST:
            return number
    return None


def _secant(lead: Lead, points: dict[Fraction, Seen], low: Fraction) -> float | None:
    """Where the line through `low` and its nearest neighbour meets the limit; None where that is the wrong way."""
    for other in sorted((one for one in points if one != low), key=lambda one: (abs(one - low), one)):
        measures = rate(points[other], points[low])
        if measures is None or not measures[1]:
            continue
        guess = float(low) + measures[0] * float(low - other) / measures[1]
        if math.isfinite(guess) and (guess - float(low)) * lead.way > 0:
            return guess
    return None


def settled_words(target: Target, paths: Paths, words: Words) -> Iterator[tuple[bool, float, Value]]:
    """Entries of a catalog that settle the item, the next ones first: whether a caution is left, cost, entry."""
    for way in (1, -1):
        before = target.base
        for count in range(1, MOST_WORDS + 1):
            place = words.place + way * count
            seen = target.at(paths, words.entries[place]) if 0 <= place < len(words.entries) else None
            if seen is None:
                continue
            if seen.worst is None or (target.eased(seen) and not target.eased(before)):
                yield seen.worst is not None, WORD_STEP * count, words.entries[place]
            if seen.worst is None or seen.harm >= before.harm:
                break
            before = seen
