"""A first drawing from the readings alone: objects are placed one after another, several drawings kept side by side.

Each new object is put where two of its clues meet (circle with circle, circle with line, ...); such clues usually
meet twice, so every drawing forks, and those that later clues contradict are dropped (a beam search). Misfits are
capped, so that one wrong reading cannot drop the right drawing. All drawings are moved at once as arrays.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from platemaker.survey._clues import Clues
from platemaker.survey._equations import Array

BEAM = 48
"""Drawings kept after each placement."""
CAP = 25.0
"""Most that one clue can count against a drawing: 5 standard deviations squared."""
HOPELESS = 160.0
"""A drawing that much worse than the best is dropped."""
PARALLEL = 0.02
"""Sine of the angle below which two lines are taken as parallel and not made to meet."""
SPOKES = 12
"""Places tried on a circle or line when only one clue holds an object."""


class _Locus(NamedTuple):
    """Where a centre may lie: a circle (`radius`) about `at`, or (radius None) the line `at`.p = `offset`."""

    at: Array
    radius: float | None
    offset: Array


@dataclass(frozen=True)
class Drawing:
    """A first drawing: centres (rounds, 2), normal angles and offsets of the edges, and how badly it fits.

    `guessed`: some object was held by a single clue when it was placed, so that drawings are a sample only.
    """

    points: Array
    angles: Array
    offsets: Array
    score: float
    guessed: bool


def first_drawings(clues: Clues) -> list[Drawing]:
    """Drawings that the readings allow, best first, no two alike or each other's mirror image."""
    search = _Search(clues)
    for item in search.order():
        search.place(item)
    return search.drawings()


class _Search:
    """The beam: `points` (drawings, rounds, 2), `angles` and `offsets` (drawings, edges), `scores`."""

    def __init__(self, clues: Clues) -> None:
        self.clues = clues
        self.size = clues.size
        self.scatter = max(3 * clues.scatter, 2e-3 * self.size)
        self.points = np.zeros((1, clues.rounds, 2))
        self.angles = np.zeros((1, clues.edges))
        self.offsets = np.zeros((1, clues.edges))
        self.scores = np.zeros(1)
        self.placed: set[int] = set()
        self.guessed = False
        self.near = clues.touching()
        self._spans = _both_ways(clues.spans)
        self._stands = _both_ways(clues.stands)
        self._directions = _both_ways(clues.directions)
        self._gaps = _both_ways(clues.gaps)
        self._parallel = _parallel_groups(clues)

    def order(self) -> list[int]:
        """Objects in the order of placing: always the one that the placed ones hold best."""
        everything = range(self.clues.rounds + self.clues.edges)
        done: list[int] = []
        while len(done) < len(everything):
            held = set(done)
            waiting = [i for i in everything if i not in held]
            done.append(max(waiting, key=lambda i: (min(self._holds(i, held), 3), len(self.near[i]), -i)))
        return done

    def _holds(self, item: int, held: set[int]) -> int:
        spans, stands = set(self._spans.get(item, {})) & held, set(self._stands.get(item, {})) & held
        if item >= self.clues.rounds:
            turned = set(self._directions.get(item, {})) & held
            return len(stands) + bool(turned) + len(set(self._gaps.get(item, {})) & held)
        pairs = len(spans) + len({self._parallel[edge - self.clues.rounds] for edge in stands})
        ends = [(a, b, c) for a, b, c in (*self.clues.corners, *self.clues.straights) if item in (a, c)]
        return pairs + sum(len({a, b, c} & held) == 2 for a, b, c in ends)

    def place(self, item: int) -> None:
        """Put one more object into every drawing, fork, score, and keep the best."""
        if item < self.clues.rounds:
            found = self._point_candidates(item)
            candidates = np.stack([np.broadcast_to(p, (len(self.scores), 2)) for p in found], axis=1)
        else:
            lines = self._line_candidates(item)
            ones = np.ones(len(self.scores))
            candidates = np.stack([np.column_stack([a * ones, c * ones]) for a, c in lines], axis=1)
        misfit = self._misfit(item, candidates)
        misfit[self._twins(item, candidates, misfit)] = np.inf
        self._keep(item, candidates, misfit)
        self.placed.add(item)

    def _keep(self, item: int, candidates: Array, misfit: Array) -> None:
        totals = (self.scores[:, None] + misfit).ravel()
        best = np.argsort(totals, kind="stable")[:BEAM]
        best = best[totals[best] <= totals[best[0]] + HOPELESS]
        drawing, choice = np.divmod(best, candidates.shape[1])
        self.points, self.angles, self.offsets = self.points[drawing], self.angles[drawing], self.offsets[drawing]
        self.scores = totals[best]
        chosen = candidates[drawing, choice]
        if item < self.clues.rounds:
            self.points[:, item] = chosen
        else:
            self.angles[:, item - self.clues.rounds] = chosen[:, 0]
            self.offsets[:, item - self.clues.rounds] = chosen[:, 1]

    def _twins(self, item: int, candidates: Array, misfit: Array) -> np.ndarray:
        """Candidates that lie on a better one of the same drawing (ties: on an earlier one)."""
        if item < self.clues.rounds:
            apart = np.linalg.norm(candidates[:, :, None] - candidates[:, None], axis=3)
        else:
            turn = np.sin((candidates[:, :, None, 0] - candidates[:, None, :, 0]) / 2) * 2 * self.size
            apart = np.hypot(turn, candidates[:, :, None, 1] - candidates[:, None, :, 1])
        better = misfit[:, None, :] < misfit[:, :, None]
        count = misfit.shape[1]
        earlier = np.arange(count)[None, None, :] < np.arange(count)[None, :, None]
        ahead = better | ((misfit[:, None, :] == misfit[:, :, None]) & earlier)
        return np.asarray(((apart < 0.02 * self.size) & ahead).any(axis=2))

    def _point_candidates(self, item: int) -> list[Array]:
        groups = self._loci(item)
        if not self.placed:
            return [np.zeros((1, 2))]
        if not groups:
            return [self.size * np.array([[0.37, 0.21]]) * (1 + item)]
        found: list[Array] = []
        for first, second in itertools.combinations(groups[:4], 2):
            for one, other in itertools.product(first, second):
                found.extend(_meet(one, other))
        if found:
            return found
        along_x = len(self.placed) == 1
        self.guessed |= not along_x
        return [p for locus in groups[0] for p in self._spread(locus, 1 if along_x else SPOKES)]

    def _loci(self, item: int) -> list[list[_Locus]]:
        """Where each clue wants the centre; a clue with two readings (either side) gives two loci."""
        none = np.zeros(len(self.scores))
        groups = [
            [_Locus(self.points[:, other], distance, none)]
            for other, distance in self._spans.get(item, {}).items()
            if other in self.placed
        ]
        for edge, distance in self._stands.get(item, {}).items():
            if edge in self.placed:
                line = edge - self.clues.rounds
                normal, offset = _normals(self.angles[:, line]), self.offsets[:, line]
                sides = (1,) if self.clues.sided[line] else (1, -1)
                groups.append([_Locus(normal, None, offset + side * distance) for side in sides])
        bends = [*((c, t) for c, t in self.clues.corners.items()), *((s, math.pi) for s in self.clues.straights)]
        for (a, b, c), turn in bends:
            other = {a: c, c: a}.get(item)
            if other is not None and {b, other} <= self.placed:
                groups.append(self._rays(b, other, turn))
        return groups

    def _rays(self, corner: int, other: int, turn: float) -> list[_Locus]:
        at = self.points[:, corner]
        arm = self.points[:, other] - at
        base = np.arctan2(arm[:, 1], arm[:, 0])
        signs = (1, -1) if 1e-6 < abs(turn) < math.pi - 1e-6 else (1,)
        normals = [_normals(base + sign * turn + math.pi / 2) for sign in signs]
        return [_Locus(normal, None, (normal * at).sum(axis=1)) for normal in normals]

    def _spread(self, locus: _Locus, count: int) -> list[Array]:
        if locus.radius is not None:
            turns = [math.tau * (k if count == 1 else k + 0.3) / count for k in range(count)]
            return [locus.at + locus.radius * np.array([math.cos(t), math.sin(t)]) for t in turns]
        along = np.column_stack([-locus.at[:, 1], locus.at[:, 0]])
        foot = locus.at * locus.offset[:, None]
        steps = [0.0] if count == 1 else np.linspace(-self.size, self.size, count)
        return [foot + step * along for step in steps]

    def _line_candidates(self, item: int) -> list[tuple[Array, Array]]:
        """Normal angles and offsets that two clues of an edge allow."""
        zero = np.zeros(len(self.scores))
        if not self.placed:
            return [(zero, zero)]
        sides = (1,) if self.clues.sided[item - self.clues.rounds] else (1, -1)
        tangents = [(self.points[:, p], d) for p, d in self._stands.get(item, {}).items() if p in self.placed][:4]
        found: list[tuple[Array, Array]] = []
        for (p, r), (q, s) in itertools.combinations(tangents, 2):
            for side in sides:
                found.extend(_tangents(p, r, q, side * s))
        for angle in self._turns(item):
            normal = _normals(angle)
            found.extend((angle, (normal * p).sum(axis=1) - side * r) for p, r in tangents[:2] for side in (1, -1))
            for other, gap in self._gaps.get(item, {}).items():
                line = other - self.clues.rounds
                if other in self.placed:
                    facing = np.sign(np.cos(angle - self.angles[:, line]))
                    found.extend((angle, facing * (self.offsets[:, line] + side * gap)) for side in (1, -1))
        if not found and tangents:
            p, r = tangents[0]
            self.guessed |= len(self.placed) > 1
            turns = [math.pi] if len(self.placed) == 1 else [math.tau * (k + 0.3) / SPOKES for k in range(SPOKES)]
            found = [(zero + t, (_normals(zero + t) * p).sum(axis=1) - r) for t in turns]
        return found or [(angle, zero) for angle in self._turns(item)] or [(zero, zero)]

    def _turns(self, item: int) -> list[Array]:
        """Normal angles that placed edges allow."""
        found: list[Array] = []
        for other, turn in self._directions.get(item, {}).items():
            if other in self.placed:
                base = self.angles[:, other - self.clues.rounds]
                steps = (0.0, math.pi) if turn < 1e-9 else (turn, -turn, turn + math.pi, math.pi - turn)
                found.extend(base + step for step in steps)
        return found[:4]

    def _misfit(self, item: int, candidates: Array) -> Array:
        """Capped squared misfit of all clues that the object closes, for every drawing and candidate."""
        total = np.zeros(candidates.shape[:2])
        for other, distance in self._spans.get(item, {}).items():
            if other in self.placed:
                arm = candidates - self.points[:, other][:, None]
                total += self._cost(np.hypot(arm[..., 0], arm[..., 1]) - distance)
        for other, distance in self._stands.get(item, {}).items():
            if other in self.placed:
                total += self._cost(np.abs(self._height(item, other, candidates)) - distance)
                if self.clues.sided[max(item, other) - self.clues.rounds]:
                    total += CAP * (self._height(item, other, candidates) < -self.scatter)
        for other, gap in self._gaps.get(item, {}).items():
            if other in self.placed:
                line = other - self.clues.rounds
                facing = np.sign(np.cos(candidates[..., 0] - self.angles[:, line][:, None]))
                total += self._cost(np.abs(candidates[..., 1] - facing * self.offsets[:, line][:, None]) - gap)
        return total + self._bend_misfit(item, candidates)

    def _bend_misfit(self, item: int, candidates: Array) -> Array:
        total = np.zeros(candidates.shape[:2])
        bends = [*self.clues.corners.items(), *((three, math.pi) for three in self.clues.straights)]
        for three, turn in bends:
            if item in three and {i for i in three if i != item} <= self.placed:
                a, b, c = (candidates if i == item else self.points[:, i][:, None] for i in three)
                u, v = a - b, c - b
                cross, dot = u[..., 0] * v[..., 1] - u[..., 1] * v[..., 0], (u * v).sum(axis=-1)
                arm = np.minimum(np.hypot(u[..., 0], u[..., 1]), np.hypot(v[..., 0], v[..., 1]))
                total += self._cost((np.abs(np.arctan2(cross, dot)) - turn) * arm)
        return total

    def _height(self, item: int, other: int, candidates: Array) -> Array:
        if item < self.clues.rounds:
            line = other - self.clues.rounds
            return np.asarray(
                (candidates * _normals(self.angles[:, line])[:, None]).sum(axis=2) - self.offsets[:, line][:, None]
            )
        at = self.points[:, other][:, None]
        cos, sin = np.cos(candidates[..., 0]), np.sin(candidates[..., 0])
        return np.asarray(cos * at[..., 0] + sin * at[..., 1] - candidates[..., 1])

    def _cost(self, misfit: Array) -> Array:
        return np.minimum((misfit / self.scatter) ** 2, CAP)

    def drawings(self) -> list[Drawing]:
        """The drawings that are left, without mirror images of better ones."""
        kept: list[Drawing] = []
        shapes: list[Array] = []
        for points, angles, offsets, score in zip(self.points, self.angles, self.offsets, self.scores, strict=True):
            shape = _signature(points, angles, offsets)
            if all(np.abs(shape - other).max(initial=0.0) > 0.01 * self.size for other in shapes):
                kept.append(Drawing(points, angles, offsets, float(score), self.guessed))
                shapes.append(shape)
        return kept


def _both_ways(pairs: dict[tuple[int, int], float]) -> dict[int, dict[int, float]]:
    found: dict[int, dict[int, float]] = {}
    for (a, b), value in sorted(pairs.items()):
        found.setdefault(a, {})[b] = value
        found.setdefault(b, {})[a] = value
    return found


def _parallel_groups(clues: Clues) -> list[int]:
    """A number per edge, alike for edges known to be parallel."""
    group = list(range(clues.edges))
    for (a, b), turn in clues.directions.items():
        if turn < PARALLEL or turn > math.pi - PARALLEL:
            old, new = group[b - clues.rounds], group[a - clues.rounds]
            group = [new if g == old else g for g in group]
    return group


def _signature(points: Array, angles: Array, offsets: Array) -> Array:
    """Numbers that a turn or a mirror does not change: all distances of points and of points from lines."""
    spans = np.linalg.norm(points[:, None] - points[None], axis=2).ravel()
    heights = np.abs(points @ _normals(angles).T - offsets).ravel()
    return np.concatenate([spans, heights])


def _normals(angles: Array) -> Array:
    return np.column_stack([np.cos(angles), np.sin(angles)])


def _meet(one: _Locus, other: _Locus) -> list[Array]:
    """Where two loci meet: two places, one for two lines, none for parallel ones; the nearest where circles miss."""
    if one.radius is None and other.radius is None:
        cross = one.at[:, 0] * other.at[:, 1] - one.at[:, 1] * other.at[:, 0]
        if float(np.median(np.abs(cross))) < PARALLEL:
            return []
        cross = np.where(np.abs(cross) < PARALLEL, PARALLEL, cross)
        x = (one.offset * other.at[:, 1] - other.offset * one.at[:, 1]) / cross
        y = (other.offset * one.at[:, 0] - one.offset * other.at[:, 0]) / cross
        return [np.column_stack([x, y])]
    if one.radius is None:
        one, other = other, one
    if other.radius is None:
        along = np.column_stack([-other.at[:, 1], other.at[:, 0]])
        gap = other.offset - (one.at * other.at).sum(axis=1)
        foot = one.at + gap[:, None] * other.at
        half = np.sqrt(np.maximum((one.radius or 0.0) ** 2 - gap**2, 0.0))[:, None]
        return [foot + half * along, foot - half * along]
    arm = other.at - one.at
    length = np.maximum(np.hypot(arm[:, 0], arm[:, 1]), 1e-6)
    unit = arm / length[:, None]
    reach = (length**2 + (one.radius or 0.0) ** 2 - other.radius**2) / (2 * length)
    half = np.sqrt(np.maximum((one.radius or 0.0) ** 2 - reach**2, 0.0))[:, None]
    foot, along = one.at + reach[:, None] * unit, np.column_stack([-unit[:, 1], unit[:, 0]])
    return [foot + half * along, foot - half * along]


def _tangents(p: Array, r: float, q: Array, s: float) -> list[tuple[Array, Array]]:
    """Lines n.x = c with n.p - c = r and n.q - c = s."""
    arm = q - p
    length = np.maximum(np.hypot(arm[:, 0], arm[:, 1]), 1e-6)
    base, lean = np.arctan2(arm[:, 1], arm[:, 0]), np.arccos(np.clip((s - r) / length, -1.0, 1.0))
    return [(angle, (_normals(angle) * p).sum(axis=1) - r) for angle in (base + lean, base - lean)]
