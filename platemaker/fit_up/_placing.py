"""The clearance that a sample needs, all its fasteners at once: bracketed from both sides until a question is settled.

The half clearance of a bolt is k t (k = 1/2 with one clearance hole, 1 with two; t the clearance of each hole), that of
a dowel is its own g. A sample needs the least t for which some shift and turn of the upper part brings every offset
|e_i| within its half clearance. Any placement bounds t from above: max |e_i| / k_i. From below, any weights lambda do:
at t the sum of lambda |e|^2 is at most the sum of lambda times half clearance squared, so it is no less than its least
over all placements, a plain least-squares fit. Weights multiplied by their share of the clearance bring the bounds
together (C. L. Lawson, 1961, as given by J. R. Rice and K. H. Usow, Mathematics of Computation 22 (1968) 118-127; both
from memory); by its power of 1.5 they do so sooner, found by trial: the bounds hold whatever the weights are.

A slot holds what lies past its end as a round hole there would, and nothing along itself between its ends. Which of the
three a fit meets is taken from the fit before; its bound from below counts when it meets what was taken.

Stated simplifications: the turn is linear (a turn of 0.1 degree 200 mm from the middle errs by 0.0003 mm). Where the
bounds stay apart the upper one, the larger clearance, counts: for three dowels or more that only another than their
least-squares placement lets in, and for the few samples that stay undecided. Both parts are rigid and flat; bolts stand
square.
"""

from __future__ import annotations

from functools import cached_property
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from platemaker.fit_up._arrays import Array, Index
from platemaker.fit_up._records import Fastener, FitUp, Freedom
from platemaker.records import Record

Flags = npt.NDArray[np.bool_]

CHUNK = 2048
"""Samples worked on at a time, so that they stay in the processor's cache."""
ROUNDS = 200
"""Steps after which the bounds of a sample are left as they are."""
TIGHT = 1e-6
"""Clearances below this, mm, are looked at as this: nothing is divided by zero."""
FAR = 1e3
"""A clearance, mm, or a multiple of what there is, that no hole has: what needs more never starts."""
LIGHTEST = 1e-5
"""Weight that no fastener falls below, or it would take many steps to come back."""
LOOSE = 1e-9
"""Weight, beside that across it, of an offset along a slot: it only centres what nothing else places."""


class PlacementEquations(Record, eq=False):
    """Equations of the placement: row i is along X (along the slot), row n + i across; columns shift x, y and turn.

    `slotted`: which fasteners stand in slots; `reaches`: half the travel of these.
    """

    directions: Array
    slopes: Array
    slotted: Index
    reaches: Array
    held: bool

    @property
    def is_round(self) -> bool:
        """Whether no hole is a slot."""
        return not self.slotted.size

    @cached_property
    def products(self) -> tuple[Array, Array]:
        """Products of the slopes' columns, six in the order of the normal equations, along and across: (6, n) each."""
        along, across = (
            np.array([half[:, i] * half[:, j] for i, j in ((0, 0), (0, 1), (0, 2), (1, 1), (1, 2), (2, 2))])
            for half in np.split(self.slopes, 2)
        )
        return along, across

    def rows(self, offsets: Array) -> Array:
        """Offsets (2, n, samples) in every fastener's own directions: (2 n, samples)."""
        if self.is_round:
            return offsets.reshape(2 * offsets.shape[1], -1)
        (c, s), (x, y) = self.directions[:, :, None], offsets
        return np.concatenate([c * x + s * y, c * y - s * x])

    def ends(self, left: Array) -> Array:
        """The end that lies nearest where a bolt stands past it, mm along its slot from the middle; 0 between them."""
        along = left[self.slotted]
        return np.asarray(np.sign(along) * (np.abs(along) > self.reaches[:, None]) * self.reaches[:, None])

    def squares(self, left: Array) -> Array:
        """Squares of what is left at every fastener: (n, samples), mm2."""
        along, across = np.split(left, 2)
        found = along * along
        if not self.is_round:
            found[self.slotted] = np.maximum(np.abs(along[self.slotted]) - self.reaches[:, None], 0.0) ** 2
        return np.asarray(found + across * across)


def frame_of(question: FitUp) -> PlacementEquations:
    """Rows of the placement equations, about the middle of the pattern."""
    x, y = (question.upper.pattern.array - question.upper.pattern.array.mean(axis=0)).T
    slots = [slot if slot and slot.travel > 0.0 else None for slot in (one.slot for one in question.fasteners)]
    turns = np.radians([slot.angle if slot else 0.0 for slot in slots])
    c, s = np.cos(turns), np.sin(turns)
    slopes = np.concatenate([np.stack([c, s, c * -y + s * x], axis=1), np.stack([-s, c, s * y + c * x], axis=1)])
    slotted = np.array([i for i, slot in enumerate(slots) if slot], dtype=np.intp)
    reaches = np.array([slot.travel / 2.0 for slot in slots if slot])
    return PlacementEquations(np.array([c, s]), slopes, slotted, reaches, question.freedom is Freedom.HELD)


class Widths(Record, eq=False):
    """Half clearances: `fixed` of dowels, mm (0 for bolts), and `shares` of t of bolts (0 for dowels)."""

    fixed: Array
    shares: Array

    @property
    def dowels(self) -> Flags:
        """Which fasteners' clearance stays as it is."""
        return np.asarray(self.shares == 0.0)

    def squared(self, t: Array) -> Array:
        """Squares of the half clearances at t: (n, samples), mm2."""
        fixed = np.where(self.dowels, np.maximum(self.fixed, TIGHT), 0.0)
        wide = fixed[:, None] + self.shares[:, None] * t
        return np.asarray(wide * wide)

    def least(self, t: Array, weights: Array, ratios: Array) -> Array:
        """The bound from below: t at which the weighted squares are used up; `ratios`: squares over `squared(t)`."""
        spent, bolts = np.einsum("ij,ij->j", weights, ratios), weights
        if self.dowels.any():
            spent, bolts = np.maximum(spent - weights[self.dowels].sum(axis=0), 0.0), weights[~self.dowels]
        return np.asarray(t * np.sqrt(spent / bolts.sum(axis=0)))

    def needed(self, t: Array, ratios: Array) -> Array:
        """The bound from above: t that a placement needs; infinite where it bars a dowel."""
        if not self.dowels.any():
            return np.asarray(t * np.sqrt(ratios.max(axis=0)))
        barred = (ratios[self.dowels] > 1.0 + 1e-9).any(axis=0)
        return np.where(barred, np.inf, t * np.sqrt(ratios[~self.dowels].max(axis=0)))


class Bounds(Record, eq=False):
    """Bounds of t of every sample, and what the next look starts from: the weights of its fasteners, each sample's sum
    1, and the ends of slots that bolts stand past.

    The arrays are written over as the bounds come closer.
    """

    rows: Array
    lower: Array
    upper: Array
    weights: Array
    ends: Array

    def only(self, chosen: Index) -> Bounds:
        """Some of the samples."""
        rows, weights, ends = self.rows[:, chosen], self.weights[:, chosen], self.ends[:, chosen]
        return Bounds(rows, self.lower[chosen], self.upper[chosen], weights, ends)

    def scaled(self, factor: float) -> Bounds:
        """The same with t in another unit."""
        return Bounds(self.rows, self.lower * factor, self.upper * factor, self.weights, self.ends)


class Look(NamedTuple):
    """What one look at some samples found: their bounds, and what the next one starts from."""

    lower: Array
    upper: Array
    weights: Array
    ends: Array


def bracket(frame: PlacementEquations, widths: Widths, rows: Array, start: float) -> Bounds:
    """First bounds of every sample, from one least-squares fit with half clearances taken at t = `start`."""
    n, samples = len(widths.fixed), rows.shape[1]
    found = Bounds(
        rows, np.empty(samples), np.empty(samples), np.empty((n, samples)), np.empty((frame.slotted.size, samples))
    )
    common, between = np.full((n, 1), 1.0 / n), np.zeros((frame.slotted.size, 1))
    look = _held if frame.held else _look
    for begin in range(0, samples, CHUNK):
        part = slice(begin, begin + CHUNK)
        seen = look(frame, widths, rows[:, part], common, between, np.array([start]))
        found.lower[part], found.upper[part] = np.minimum(seen.lower, seen.upper), seen.upper
        found.weights[:, part], found.ends[:, part] = seen.weights, seen.ends
    return found


def draw_closer(frame: PlacementEquations, widths: Widths, bounds: Bounds, waiting: Index) -> None:
    """Another look at some of the samples."""
    for begin in range(0, waiting.size, CHUNK):
        part = waiting[begin : begin + CHUNK]
        at, some = bounds.lower[part], (bounds.rows[:, part], bounds.weights[:, part], bounds.ends[:, part])
        seen = _look(frame, widths, *some, at)
        bounds.upper[part] = np.minimum(bounds.upper[part], seen.upper)
        bounds.lower[part] = np.minimum(np.maximum(at, seen.lower), bounds.upper[part])
        bounds.weights[:, part], bounds.ends[:, part] = seen.weights, seen.ends


def _held(frame: PlacementEquations, widths: Widths, rows: Array, _: Array, ends: Array, at: Array) -> Look:
    """Parts that something else holds: nothing to place, both bounds are one; the worst fastener bears all weight."""
    ratios = frame.squares(rows) / widths.squared(at)
    needed = widths.needed(at, ratios)
    worst = (ratios >= ratios.max(axis=0)).astype(float)
    return Look(needed, needed, worst / worst.sum(axis=0), ends)


def _look(frame: PlacementEquations, widths: Widths, rows: Array, weights: Array, ends: Array, at: Array) -> Look:
    """Bounds from one weighted fit, half clearances taken at t = `at`."""
    at = np.clip(at, TIGHT, FAR)
    wide = widths.squared(at)
    left = rows + frame.slopes @ _placement(frame, weights / wide, rows, ends)
    ratios = frame.squares(left) / wide
    lower = widths.least(at, weights, ratios)
    if not frame.is_round:
        met = frame.ends(left)
        lower, ends = np.where((met == ends).all(axis=0), lower, 0.0), met
    upper = widths.needed(at, ratios)
    if widths.dowels.any():
        upper = np.minimum(upper, widths.needed(at, frame.squares(_pulled_back(frame, widths, rows, left)) / wide))
    heavier = weights * np.sqrt(ratios * np.sqrt(ratios))
    return Look(lower, upper, heavier / (heavier.sum(axis=0) + LIGHTEST**2) + LIGHTEST, ends)


def _placement(frame: PlacementEquations, weights: Array, rows: Array, ends: Array) -> Array:
    """Weighted least-squares shift and turn of every sample, by Cramer's rule on the 3 x 3 normal equations."""
    (along, across), (first, second) = np.split(rows, 2), np.split(frame.slopes, 2)
    bound = weights
    if not frame.is_round:
        along, bound = along.copy(), np.broadcast_to(weights, along.shape).copy()
        along[frame.slotted] -= ends
        bound[frame.slotted] *= np.where(ends == 0.0, LOOSE, 1.0)
    a, b, c, d, e, f = frame.products[0] @ bound + frame.products[1] @ weights
    trace = 1e-12 * (a + d)
    a, d, f = a + trace, d + trace, f + 1e-12 * f + 1e-30
    p, q, r = -(first.T @ (bound * along) + second.T @ (weights * across))
    aa, bb, cc = d * f - e * e, c * e - b * f, b * e - c * d
    dd, ee, ff = a * f - c * c, b * c - a * e, a * d - b * b
    scale = 1.0 / (a * aa + b * bb + c * cc)
    placed = np.stack([aa * p + bb * q + cc * r, bb * p + dd * q + ee * r, cc * p + ee * q + ff * r])
    return np.asarray(placed * scale)


def _pulled_back(frame: PlacementEquations, widths: Widths, rows: Array, left: Array) -> Array:
    """What is left when the placement is drawn back towards the dowels' own, as far as lets every dowel in.

    A dowel in a slot counts as if the slot had no ends.
    """
    dowels = np.flatnonzero(widths.dowels)
    weights = np.where(widths.dowels, 1.0, 1e-9)[:, None]
    between = np.zeros((frame.slotted.size, 1))
    safe = rows + frame.slopes @ _placement(frame, weights, rows, between)
    both = np.concatenate([dowels, dowels + len(widths.fixed)])
    start, way = safe[both].reshape(2, -1, rows.shape[1]), (left - safe)[both].reshape(2, -1, rows.shape[1])
    factors = np.stack([~np.isin(dowels, frame.slotted), np.ones(dowels.size)])[:, :, None]
    a = (factors * way**2).sum(axis=0) + 1e-30
    b = (factors * start * way).sum(axis=0)
    c = (factors * start**2).sum(axis=0) - widths.fixed[dowels, None] ** 2
    share = (np.sqrt(np.maximum(b * b - a * c, 0.0)) - b) / a
    return np.asarray(safe + np.clip(share.min(axis=0), 0.0, 1.0) * (left - safe))


def half_clearances(fasteners: tuple[Fastener, ...]) -> Array:
    """Half the diametral clearance of every fastener, both parts together, mm."""
    return np.array([fastener.clearance / 2.0 for fastener in fasteners])
