"""A first drawing from the readings alone: objects are placed one after another, several drawings kept side by side.

Each new object is put where two of its clues meet (circle with circle, circle with line, ...); such clues usually
meet twice, so every drawing forks, and those that later clues contradict are dropped (a beam search). Misfits are
capped, so that one wrong reading cannot drop the right drawing. All drawings are moved at once as arrays.
"""

from __future__ import annotations

import itertools
import math

import numpy as np

from platemaker.records import Record
from platemaker.survey._adjustment._equations import Layout
from platemaker.survey._arrays import Array
from platemaker.survey._drawing._clues import Clues, Neighbours
from platemaker.survey._drawing._loci import Locus, meet, normals, rays, spread, tangents
from platemaker.survey._drawing._score import Scorer

BEAM = 32
"""Drawings kept after each placement."""
HOPELESS = 160.0
"""A drawing that much worse than the best is dropped."""
DIGITS = 6
"""Decimals of a score or a chi-square that count: the rest is rounding, which differs from machine to machine."""
ELSEWHERE = 9.0
"""How much worse clues may fit a feature in another place of a figure that is tried: by 3 deviations."""
SPOKES = 12
"""Places tried on a circle or line when only one clue holds an object."""


class FirstDrawing(Record):
    """A first drawing: centres (rounds, 2), normal angles and offsets of the edges, and how badly it fits.

    `guessed`: some object was held by a single clue when it was placed, so that drawings are a sample only.
    """

    points: Array
    angles: Array
    offsets: Array
    score: float
    guessed: bool

    def vector(self, rest: Array) -> Array:
        """The drawing as a vector of unknowns; `rest` are its diameters, shared errors and maps of pictures."""
        lines = np.column_stack([self.angles, self.offsets]).ravel()
        return np.concatenate([self.points.ravel(), rest, lines])


def first_drawings(clues: Clues, begin: int | None = None) -> list[FirstDrawing]:
    """Drawings that the readings allow, best first, no two alike or each other's mirror image.

    They are begun with the object `begin`, or with the one that most clues touch: another beginning places the others
    in another order, and so may find a drawing that errors of early places hid.
    """
    search = _BeamSearch(clues)
    for item in search.order(begin):
        search.place(item)
    return search.drawings()


def placed_again(clues: Clues, layout: Layout, unknowns: Array) -> list[Array]:
    """A figure's unknowns with one round feature elsewhere, where its clues fit no worse, the best first.

    As a clue counts no more than CAP, that is also where all but one of them fit, if one does not fit here.
    """
    search, found = _BeamSearch(clues), list[tuple[float, Array]]()
    first = layout.size - 2 * clues.edges
    search.points = unknowns[: 2 * clues.rounds].reshape(1, -1, 2)
    search.angles, search.offsets = unknowns[None, first::2], unknowns[None, first + 1 :: 2]
    for item in range(clues.rounds):
        search.placed, search.guessed = {*range(clues.rounds + clues.edges)} - {item}, False
        candidates = np.stack([search.points[:, item], *search.point_candidates(item)], axis=1)
        misfit = search.scorer.misfit(search, item, candidates)[0]
        near = np.linalg.norm(candidates[0] - candidates[0, 0], axis=1) < 2 * clues.looseness
        best = int(np.argmin(np.where(near, np.inf, np.round(misfit, DIGITS))))
        if not (search.guessed or near[best]) and misfit[best] <= misfit[0] + ELSEWHERE:
            there = unknowns.copy()
            there[2 * item : 2 * item + 2] = candidates[0, best]
            found.append((float(misfit[best] - misfit[0]), there))
    return [there for _, there in sorted(found, key=lambda one: one[0])]


class _BeamSearch:
    """The beam: `points` (drawings, rounds, 2), `angles` and `offsets` (drawings, edges), `scores`.

    While all that is placed lies on the X axis (`flat`), a place below it is the mirror image of one above.
    """

    def __init__(self, clues: Clues) -> None:
        self.clues = clues
        self.size = clues.size
        self.neighbours = Neighbours(clues)
        self.scorer = Scorer(clues, self.neighbours, clues.looseness)
        self.points = np.zeros((1, clues.rounds, 2))
        self.angles = np.zeros((1, clues.edges))
        self.offsets = np.zeros((1, clues.edges))
        self.scores = np.zeros(1)
        self.placed: set[int] = set()
        self.guessed = False
        self.flat = True
        self.near = clues.touching()

    def order(self, begin: int | None = None) -> list[int]:
        """Objects in the order of placing: always the one that the placed ones hold best."""
        everything = range(self.clues.rounds + self.clues.edges)
        done: list[int] = [] if begin is None else [begin]
        while len(done) < len(everything):
            held = set(done)
            waiting = [i for i in everything if i not in held]
            done.append(max(waiting, key=lambda i: (min(self._holds(i, held), 3), len(self.near[i]), -i)))
        return done

    def _holds(self, item: int, held: set[int]) -> int:
        spans, stands = (
            set(self.neighbours.spans.get(item, {})) & held,
            set(self.neighbours.stands.get(item, {})) & held,
        )
        if item >= self.clues.rounds:
            turned = set(self.neighbours.directions.get(item, {})) & held
            return len(stands) + bool(turned) + len(set(self.neighbours.gaps.get(item, {})) & held)
        pairs = len(spans) + len({self.neighbours.parallel[edge - self.clues.rounds] for edge in stands})
        ends = [(a, b, c) for a, b, c in (*self.clues.corners, *self.clues.straights) if item in (a, c)]
        return pairs + sum(len({a, b, c} & held) == 2 for a, b, c in ends)

    def place(self, item: int) -> None:
        """Put one more object into every drawing, fork, score, and keep the best."""
        if item < self.clues.rounds:
            found = self.point_candidates(item)
            candidates = np.stack([np.broadcast_to(p, (len(self.scores), 2)) for p in found], axis=1)
        else:
            lines = self._line_candidates(item)
            ones = np.ones(len(self.scores))
            candidates = np.stack([np.column_stack([a * ones, c * ones]) for a, c in lines], axis=1)
        misfit = self.scorer.misfit(self, item, candidates)
        if self.flat and item < self.clues.rounds:
            # Before twins are dropped: of two places just above and just below the axis the upper one stays.
            misfit[candidates[..., 1] < -1e-9 * self.size] = np.inf
            self.flat = bool((np.abs(candidates[..., 1]) < 1e-9 * self.size).all())
        misfit[self._twins(item, candidates, misfit)] = np.inf
        self.flat &= item < self.clues.rounds
        self._keep(item, candidates, misfit)
        self.placed.add(item)

    def _keep(self, item: int, candidates: Array, misfit: Array) -> None:
        totals = (self.scores[:, None] + misfit).ravel()
        best = np.argsort(np.round(totals, DIGITS), kind="stable")[:BEAM]
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

    def point_candidates(self, item: int) -> list[Array]:
        groups = self._loci(item)
        if not self.placed:
            return [np.zeros((1, 2))]
        if not groups:
            return [self.size * np.array([[0.37, 0.21]]) * (1 + item)]
        found: list[Array] = []
        for first, second in itertools.combinations(groups[:4], 2):
            for one, other in itertools.product(first, second):
                found.extend(meet(one, other))
        if found:
            return found
        along_x = len(self.placed) == 1
        self.guessed |= not along_x
        return [p for locus in groups[0] for p in spread(locus, 1 if along_x else SPOKES, self.size)]

    def _loci(self, item: int) -> list[list[Locus]]:
        """Where each clue wants the centre; a clue with two readings (either side) gives two loci."""
        none = np.zeros(len(self.scores))
        groups = [
            [Locus(self.points[:, other], distance, none)]
            for other, distance in self.neighbours.spans.get(item, {}).items()
            if other in self.placed
        ]
        for edge, distance in self.neighbours.stands.get(item, {}).items():
            if edge in self.placed:
                line = edge - self.clues.rounds
                normal, offset = normals(self.angles[:, line]), self.offsets[:, line]
                sides = (1,) if self.clues.sided[line] else (1, -1)
                groups.append([Locus(normal, None, offset + side * distance) for side in sides])
        bends = [*((c, t) for c, t in self.clues.corners.items()), *((s, math.pi) for s in self.clues.straights)]
        for (a, b, c), turn in bends:
            other = {a: c, c: a}.get(item)
            if other is not None and {b, other} <= self.placed:
                groups.append(rays(self.points[:, b], self.points[:, other], turn))
        return groups

    def _line_candidates(self, item: int) -> list[tuple[Array, Array]]:
        """Normal angles and offsets that two clues of an edge allow."""
        zero = np.zeros(len(self.scores))
        if not self.placed:
            return [(zero, zero)]
        sides = (1,) if self.clues.sided[item - self.clues.rounds] else (1, -1)
        held = [(self.points[:, p], d) for p, d in self.neighbours.stands.get(item, {}).items() if p in self.placed][:4]
        found: list[tuple[Array, Array]] = []
        for (p, r), (q, s) in itertools.combinations(held, 2):
            for side in sides:
                found.extend(tangents(p, r, q, side * s))
        for angle in self._turns(item):
            normal = normals(angle)
            found.extend((angle, (normal * p).sum(axis=1) - side * r) for p, r in held[:2] for side in (1, -1))
            for other, gap in self.neighbours.gaps.get(item, {}).items():
                line = other - self.clues.rounds
                if other in self.placed:
                    facing = np.sign(np.cos(angle - self.angles[:, line]))
                    found.extend((angle, facing * (self.offsets[:, line] + side * gap)) for side in (1, -1))
        if not found and held:
            p, r = held[0]
            self.guessed |= len(self.placed) > 1
            turns = [math.pi] if len(self.placed) == 1 else [math.tau * (k + 0.3) / SPOKES for k in range(SPOKES)]
            found = [(zero + t, (normals(zero + t) * p).sum(axis=1) - r) for t in turns]
        return found or [(angle, zero) for angle in self._turns(item)] or [(zero, zero)]

    def _turns(self, item: int) -> list[Array]:
        """Normal angles that placed edges allow."""
        found: list[Array] = []
        for other, turn in self.neighbours.directions.get(item, {}).items():
            if other in self.placed:
                base = self.angles[:, other - self.clues.rounds]
                steps = (0.0, math.pi) if turn < 1e-9 else (turn, -turn, turn + math.pi, math.pi - turn)
                found.extend(base + step for step in steps)
        return found[:4]

    def drawings(self) -> list[FirstDrawing]:
        """The drawings that are left, without mirror images of better ones."""
        kept: list[FirstDrawing] = []
        shapes: list[Array] = []
        for points, angles, offsets, score in zip(self.points, self.angles, self.offsets, self.scores, strict=True):
            shape = _signature(points, angles, offsets)
            if all(np.abs(shape - other).max(initial=0.0) > 0.01 * self.size for other in shapes):
                kept.append(FirstDrawing(points, angles, offsets, float(score), self.guessed))
                shapes.append(shape)
        return kept


def _signature(points: Array, angles: Array, offsets: Array) -> Array:
    """Numbers that a turn or a mirror does not change: all distances of points and of points from lines."""
    spans = np.linalg.norm(points[:, None] - points[None], axis=2).ravel()
    heights = np.abs(points @ normals(angles).T - offsets).ravel()
    return np.concatenate([spans, heights])
