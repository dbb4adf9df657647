"""Will it bolt up: the chance by Monte Carlo, the smallest holes that would do, and advice."""

from __future__ import annotations

import math

import numpy as np

from platemaker.fit_up._arrays import Array, Index
from platemaker.fit_up._placing import (
    ROUNDS,
    Bounds,
    PlacementEquations,
    Widths,
    bracket,
    draw_closer,
    frame_of,
    half_clearances,
)
from platemaker.fit_up._records import Chance, FastenerKind, FitUp, FitUpResult, HoleForShare
from platemaker.fit_up._remedies import exact_remedies, remedies
from platemaker.fit_up._samples import draw
from platemaker.fit_up._worst_case import GRID, hole_worst_case, rounded_up, thickest, worst_cases
from platemaker.remembered import remembered
from platemaker.units import Words, said

WANTED = 0.999
"""Share of assemblies that must start."""
HEAD = 1.5
"""Diameters that heads of bolts are wide at least: ISO 4762 from M12 up. They fall through larger holes."""
WILSON_Z = 1.959964
"""97.5 % point of the normal distribution: any table."""
TAIL = 0.025
"""What a 95 % interval leaves out on either side."""
ENOUGH = 1.0 + 1e-9
"""A sample that needs just the clearance that there is starts."""
AHEAD = 16
"""So many times as many samples as decide are looked at together."""
NEAR = 0.2 * GRID
"""Clearances are found to this, mm, and rounded up to GRID."""


def wilson_interval(successes: int, samples: int) -> tuple[float, float]:
    """95 % interval of a share: E. B. Wilson, Journal of the American Statistical Association 22 (1927) 209-212.

    >>> low, high = wilson_interval(10, 10)
    >>> round(low, 3), round(high, 3)   # all 10 of 10: from 10 / (10 + z^2) to 1
    (0.722, 1.0)
    """
    z2, share = WILSON_Z**2, successes / samples
    middle = (share + z2 / (2 * samples)) / (1 + z2 / samples)
    half = WILSON_Z / (1 + z2 / samples) * math.sqrt(share * (1 - share) / samples + z2 / (4 * samples**2))
    return max(0.0, middle - half), min(1.0, middle + half)


def failure_ranks(samples: int, wanted: float = WANTED) -> tuple[int, int, int | None]:
    """How many samples may fail with a hole that estimates the share `wanted`, and at the ends of its 95 % interval.

    The number that needs more than the true hole is binomial with n = samples and p = 1 - wanted. The lower end lets so
    many fail that the true hole lies under it in 2.5 % at most, the upper end so few that it lies over it in 2.5 % at
    most; None when even 0 are not few enough. Source: order statistics, H. A. David and H. N. Nagaraja, Order
    Statistics, 3rd edition, sec. 7.1 (from memory; the sums are elementary).

    >>> failure_ranks(10_000)
    (10, 17, 3)
    """
    share, failures, below = 1.0 - wanted, 0, 0.0
    few: int | None = None
    while True:
        term = math.lgamma(samples + 1) - math.lgamma(failures + 1) - math.lgamma(samples - failures + 1)
        at = math.exp(term + failures * math.log(share) + (samples - failures) * math.log1p(-share))
        if below + at <= TAIL:
            few = failures
        if 1.0 - (below + at) <= TAIL:
            return math.floor(samples * share + 1e-9), failures, few
        below, failures = below + at, failures + 1


def chance(question: FitUp, samples: int = 20_000, seed: int = 1) -> Chance:
    """Share of samples in which all fasteners start, each sample with its own best placement (see _placing)."""
    return _chance(question, frame_of(question), samples, seed)[0]


def _chance(question: FitUp, frame: PlacementEquations, samples: int, seed: int) -> tuple[Chance, Bounds]:
    """The chance, and the bounds that decided it: in multiples of the clearances that there are."""
    fasteners = question.fasteners
    widths = Widths(np.zeros(len(fasteners)), np.maximum(half_clearances(fasteners), 1e-12))
    bounds = bracket(frame, widths, frame.rows(draw(question, samples, seed)), 1.0)
    for _ in range(ROUNDS):
        waiting = np.flatnonzero((bounds.lower <= ENOUGH) & (bounds.upper > ENOUGH))
        if not waiting.size:
            break
        draw_closer(frame, widths, bounds, waiting)
    else:
        # Parts laid on each other as drawn: whatever the worst case allows starts, however near its limit.
        drawn = frame.squares(bounds.rows[:, waiting]) / widths.squared(np.ones(1))
        bounds.upper[waiting] = np.minimum(bounds.upper[waiting], widths.needed(np.ones(1), drawn))
    starts = bounds.upper <= ENOUGH
    starting, undecided = int(starts.sum()), int((~starts & (bounds.lower <= ENOUGH)).sum())
    blame = bounds.weights[:, ~starts].sum(axis=1)
    named = zip(fasteners, blame / max(float(blame.sum()), 1e-12), strict=True)
    binding = tuple(sorted(((f.name, float(b)) for f, b in named if b > 0), key=lambda share: -share[1]))
    low, high = wilson_interval(starting, samples)
    return Chance(starting / samples, low, high, samples, seed, undecided, binding), bounds


@remembered(128)
def fit_up(question: FitUp, samples: int = 20_000, seed: int = 1) -> FitUpResult:
    """Worst case, chance, the smallest clearance holes and advice for one joint.

    `samples` of 20 000 give 99.9 % to within about 0.05 %. Same question, samples and seed: same answer.
    """
    cases = worst_cases(question)
    frame = frame_of(question)
    found, bounds = _chance(question, frame, samples, seed)
    hole = _hole(question, frame, found, bounds)
    holds = all(case.holds for case in cases)
    return FitUpResult(
        cases, found, hole_worst_case(question.fasteners, cases), hole,
        _advice(question, found, hole) if found.low < WANTED else (),
        () if holds else tuple(_worst_case_advice(question)),
    )  # fmt: skip


def _hole(question: FitUp, frame: PlacementEquations, found: Chance, bounds: Bounds) -> HoleForShare | None:
    """The smallest hole for WANTED, from the chance's own samples."""
    fasteners = question.fasteners
    is_bolt = np.array([fastener.kind is FastenerKind.BOLT for fastener in fasteners])
    if not is_bolt.any():
        return None
    gaps, shares = half_clearances(fasteners), np.array([fastener.holes / 2.0 for fastener in fasteners])
    widths = Widths(np.where(is_bolt, 0.0, gaps), np.where(is_bolt, shares, 0.0))
    own = gaps / shares
    if is_bolt.all() and own[0] > 0.0 and float(np.ptp(own)) <= 1e-9 * own[0]:
        # The chance's bounds are multiples of a clearance that all share: nothing need be placed again.
        bounds = bounds.scaled(float(own[0]))
    else:
        bounds = bracket(frame, widths, bounds.rows, max(float(own[is_bolt].mean()), GRID))
    ranks = failure_ranks(found.samples)
    clearances = _clearances(frame, widths, bounds, [rank for rank in ranks if rank is not None])
    size = thickest(fasteners)
    diameter, low, *high = (rounded_up(size + t) if math.isfinite(t) else None for t in clearances)
    if diameter is None or low is None:
        return None
    return HoleForShare(diameter, low, high[0] if high else None, WANTED, found.samples, found.seed)


def _clearances(frame: PlacementEquations, widths: Widths, bounds: Bounds, ranks: list[int]) -> list[float]:
    """The clearances with which as many samples as each rank fail, from above, to NEAR."""
    most = max(ranks)

    def ranked(values: Array) -> list[float]:
        ordered = np.partition(values, [-rank - 1 for rank in ranks])
        return [float(ordered[-rank - 1]) for rank in ranks]

    for _ in range(ROUNDS):
        lows, highs = ranked(bounds.lower), ranked(bounds.upper)
        # Samples that surely need less than the least of the answers have no say.
        bounds = bounds.only(np.flatnonzero(bounds.upper >= lows[ranks.index(most)]))
        waiting = np.zeros(bounds.lower.size, dtype=bool)
        for low, high in zip(lows, highs, strict=True):
            if high - low > NEAR:
                waiting |= (bounds.lower < high) & (bounds.upper > low)
        waiting &= np.isfinite(bounds.upper) & (bounds.upper - bounds.lower > NEAR / 10)
        if frame.held or not waiting.any():
            break
        draw_closer(frame, widths, bounds, _foremost(bounds.upper, np.flatnonzero(waiting), AHEAD * (most + 1)))
    return ranked(bounds.upper)


def _foremost(upper: Array, waiting: Index, count: int) -> Index:
    """Those that may need most: once they are known, many others have no say."""
    if waiting.size <= count:
        return waiting
    return waiting[np.argpartition(upper[waiting], -count)[-count:]]


def _advice(question: FitUp, found: Chance, hole: HoleForShare | None) -> tuple[Words, ...]:
    """Ways out, each with the chance that it would give, of those that help."""
    ways: list[Words] = []
    bolts = [fastener.hole for fastener in question.fasteners if fastener.kind is FastenerKind.BOLT]
    if hole is not None and hole.diameter > min(bolts):
        # The interval's upper end: a hole that is sure to do, not one that does as often as not.
        size = math.ceil((hole.high or hole.diameter) * 10 - 1e-6) / 10
        if size < HEAD * thickest(question.fasteners):
            ways.append(said("open_holes", hole=(size, "mm")))
    tried = [(text, chance(changed, found.samples, found.seed)) for text, changed in remedies(question, found)]
    tried.sort(key=lambda one: -one[1].probability)
    return (
        *ways,
        *(
            said("would_start", way=way, share=(100 * one.probability, "%"))
            for way, one in tried
            if one.probability > found.probability
        ),
    )


def _worst_case_advice(question: FitUp) -> list[Words]:
    ways: list[Words] = []
    for text, change in exact_remedies():
        changed = change(question)
        if changed is not None:
            least = min(worst_cases(changed), key=lambda case: case.margin)
            if least.holds:
                ways.append(said("would_leave", way=text, left=(least.margin, "mm")))
    return ways
