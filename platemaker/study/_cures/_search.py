"""The value of one key that settles an item: nearly every check is linear in a length, so two checks point to it."""

from __future__ import annotations

import math
from collections.abc import Iterator
from fractions import Fraction

from msgspec import Struct

from platemaker.checks import EQUAL
from platemaker.records import Record, field
from platemaker.study._cures._steps import SteppedNumber, SteppedWord, rounded
from platemaker.study._cures._trial import Change, Harm, Paths, Seen, Target, rate

MOST_TRIES = 9
"""Checks of one key after the first: a secant finds the value in three to five where the measure is linear."""
MOST_LOST = 3
"""Tries, each half as far as the one before, none of which is better than the present number: it is the best."""
LONG = 20
"""Steps of a long try: 10 mm."""
STEPWISE = frozenset({"thread_depth"})
"""Keys of which a short step may change nothing: the longest stock bolt that a thread takes goes in steps of 5 mm."""
MOST_WORDS = 4
"""How many entries of a catalog are tried either way."""
FARTHEST = 100.0
"""Largest change of a size, mm: beyond it another design is wanted. The project's own choice."""


class Moved(Record):
    """A number that is changed, and perhaps another that changes by as much with it, or by as much the other way."""

    paths: Paths
    steps: SteppedNumber
    beside: tuple[Paths, SteppedNumber, int] | None = None

    def changes(self, number: Fraction) -> tuple[Change, ...] | None:
        """The changes that make it this number; None where one of them cannot be a size at all."""
        by, found = number - self.steps.now, [(self.paths, self.steps, number)]
        if self.beside is not None:
            paths, steps, sign = self.beside
            found.append((paths, steps, steps.now + sign * by))
        if not all(steps.allowed(to) for _, steps, to in found):
            return None
        return tuple((paths, steps.value(to)) for paths, steps, to in found)

    def seen(self, target: Target, number: Fraction) -> Seen | None:
        """What is left of the item with this number; None for one that cannot be."""
        changes = self.changes(number)
        return None if changes is None else target.at(*changes)


class Lead(Struct):
    """A key on which the item depends, and how large a change would settle it, in mm or the like: a guess from a slope.

    `tried` are the values checked so far and what they leave of the item, the present one first.
    """

    key: Moved
    way: int
    cost: float
    tried: list[tuple[Fraction, Seen]] = field(default_factory=list)


def lead_of(target: Target, key: Moved) -> Lead | None:
    """The lead that one step of a number gives, a long one where no short one can be made; None where nothing moves."""
    base, steps = target.base, key.steps
    for far, way in ((0.5, 1), (0.5, -1), (LONG, 1), (LONG, -1)):
        if far == LONG and steps.whole:
            break
        step = rounded(float(steps.now) + way * far * float(steps.grids[0]), steps.grids[0], way)
        if (seen := key.seen(target, step)) is None:
            continue
        measures = rate(base, seen)
        if seen.worst is None or measures is None:
            if seen.harm == base.harm:
                continue
            better = seen.harm < base.harm
            return Lead(key, way if better else -way, steps.cost(step), [(steps.now, base), (step, seen)])
        short, gained = measures
        if gained:
            away = short / abs(gained) * steps.cost(step)
            return Lead(key, way if gained > 0 else -way, away, [(steps.now, base), (step, seen)])
        if steps.whole or (far != LONG and key.paths[0][-1] in STEPWISE):
            continue
        if seen.worst.id in seen.known.by_id:  # what vanished may move the other way
            return None
    return None


class Best(Record):
    """The changes of a key that do most for an item; whether they `settle` the item or make a caution of a fail.

    `harm` is what they leave of the item.
    """

    changes: tuple[Change, ...]
    settles: bool
    harm: Harm


def best_number(target: Target, lead: Lead) -> Best | None:
    """The nearest step that settles the item; without one, the nearest that leaves a caution of a fail, or least harm.

    None where no step is better than the present number.
    """
    steps, points = lead.key.steps, dict(lead.tried)
    low: Fraction = steps.now  # the farthest that does not settle it
    high: Fraction | None = None  # what goes too far
    for first, seen in lead.tried[1:]:
        if (first - low) * lead.way > 0 and seen.harm < points[low].harm:
            low = first
    for tried in range(MOST_TRIES):
        lost = tried >= MOST_LOST and low == steps.now
        number = None if lost or points[low].worst is None else _next(lead, points, low, high)
        if number is None:
            break
        made = lead.key.seen(target, number)
        if made is not None:
            points[number] = made
        if made is not None and made.harm < points[low].harm:
            low = number
        else:
            high = number
    eased = sorted((number for number, seen in points.items() if target.eased(seen)), key=steps.cost)
    settles = points[low].worst is None
    best = low if settles or not eased else eased[0]
    changes = lead.key.changes(best) if best != steps.now else None
    return Best(changes, settles or bool(eased), points[best].harm) if changes else None


def _next(lead: Lead, points: dict[Fraction, Seen], low: Fraction, high: Fraction | None) -> Fraction | None:
    """The next number to try between `low` and `high`, on the coarsest grid that has one there; None without one."""
    way, steps = lead.way, lead.key.steps
    slopes = [slope for one in points if one != low and (slope := rate(points[one], points[low]))]
    if slopes and not any(gained for _, gained in slopes):
        return None  # what is left does not depend on this key
    guess = _secant(lead, points, low)
    if high is not None and guess is not None and _beyond(lead, points, low, high, guess):
        return None
    if high is not None:
        middle = (float(low) + float(high)) / 2
        last = float(high) if high in points else middle  # what cannot be made is no use as an end
        guess = middle if guess is None or (guess - last) * way >= 0 else guess
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


def _beyond(lead: Lead, points: dict[Fraction, Seen], low: Fraction, high: Fraction, guess: float) -> bool:
    """Whether what fails at `high` does so before `guess`, where what fails at `low` would be settled."""
    measures = rate(points[low], points[high]) if high in points else None
    if measures is None or measures[1] >= 0 or points[high].worst_id == points[low].worst_id:
        return False
    last = float(high) + measures[0] / measures[1] * float(high - low)
    return (guess - last) * lead.way > float(lead.key.steps.grids[-1])


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


def best_words(target: Target, paths: Paths, words: SteppedWord) -> Iterator[tuple[int, bool, Best]]:
    """Entries of a catalog that settle the item, or do most for it: how many entries away, whether a caution is left.

    Where two entries show how much one more does, those between are left out on the way.
    """

    def entry(away: int, harm: Harm, *, eases: bool = False, settles: bool = True) -> tuple[int, bool, Best]:
        return abs(away), eases, Best(((paths, words.entries[words.place + away]),), settles, harm)

    def at(away: int) -> Seen | None:
        return target.at((paths, words.entries[words.place + away]))

    for way, entries in ((1, len(words.entries) - 1 - words.place), (-1, words.place)):
        room = min(entries, words.reach)
        low, leap, before, settled = 0, 1, target.base, False
        for _ in range(MOST_WORDS):
            step = min(leap, room - abs(low))
            if settled or step < 1:
                break
            seen = at(low + way * step)
            if seen is None:
                leap = step // 2 or 2
            elif seen.worst is None:
                while step > 1 and (nearer := at(low + way * (step - 1))) is not None and nearer.worst is None:
                    step -= 1
                yield entry(low + way * step, seen.harm)
                settled = True
            elif seen.harm < before.harm:
                if target.eased(seen) and not target.eased(before):
                    yield entry(low + way * step, seen.harm, eases=True)
                measures = rate(before, seen)
                leap = math.ceil(measures[0] / measures[1] * step - EQUAL) if measures and measures[1] > 0 else 1
                low, before = low + way * step, seen
            elif step == 1:
                break
            else:
                leap = step // 2
        if low and not settled and not target.eased(before):
            yield entry(low, before.harm, settles=False)
