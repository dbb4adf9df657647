"""How badly a drawing misses the clues that an object closes."""

from __future__ import annotations

import math
from typing import Protocol

import numpy as np

from platemaker.survey._arrays import Array
from platemaker.survey._drawing._clues import Clues, Neighbours
from platemaker.survey._drawing._loci import normals

CAP = 25.0
"""Most that one clue can count against a drawing: 5 standard deviations squared."""


class Drawn(Protocol):
    """Drawings side by side: `points` (drawings, rounds, 2), `angles` and `offsets` (drawings, edges)."""

    points: Array
    angles: Array
    offsets: Array
    placed: set[int]


class Scorer:
    """Capped squared misfits in units of `scatter`, mm: what a first drawing may be out by."""

    def __init__(self, clues: Clues, near: Neighbours, scatter: float) -> None:
        self.clues, self.near, self.scatter = clues, near, scatter

    def misfit(self, drawn: Drawn, item: int, candidates: Array) -> Array:
        """Capped squared misfit of all clues that the object closes, for every drawing and candidate."""
        total = np.zeros(candidates.shape[:2])
        for other, distance in self.near.spans.get(item, {}).items():
            if other in drawn.placed:
                arm = candidates - drawn.points[:, other][:, None]
                total += self._cost(np.hypot(arm[..., 0], arm[..., 1]) - distance)
        for other, distance in self.near.stands.get(item, {}).items():
            if other in drawn.placed:
                total += self._cost(np.abs(self._height(drawn, item, other, candidates)) - distance)
                if self.clues.sided[max(item, other) - self.clues.rounds]:
                    total += CAP * (self._height(drawn, item, other, candidates) < -self.scatter)
        for other, gap in self.near.gaps.get(item, {}).items():
            if other in drawn.placed:
                line = other - self.clues.rounds
                facing = np.sign(np.cos(candidates[..., 0] - drawn.angles[:, line][:, None]))
                total += self._cost(np.abs(candidates[..., 1] - facing * drawn.offsets[:, line][:, None]) - gap)
        return total + self._bend_misfit(drawn, item, candidates)

    def _bend_misfit(self, drawn: Drawn, item: int, candidates: Array) -> Array:
        total = np.zeros(candidates.shape[:2])
        bends = [*self.clues.corners.items(), *((three, math.pi) for three in self.clues.straights)]
        for three, turn in bends:
            if item in three and {i for i in three if i != item} <= drawn.placed:
                a, b, c = (candidates if i == item else drawn.points[:, i][:, None] for i in three)
                u, v = a - b, c - b
                cross, dot = u[..., 0] * v[..., 1] - u[..., 1] * v[..., 0], (u * v).sum(axis=-1)
                arm = np.minimum(np.hypot(u[..., 0], u[..., 1]), np.hypot(v[..., 0], v[..., 1]))
                total += self._cost((np.abs(np.arctan2(cross, dot)) - turn) * arm)
        return total

    def _height(self, drawn: Drawn, item: int, other: int, candidates: Array) -> Array:
        if item < self.clues.rounds:
            line = other - self.clues.rounds
            return np.asarray(
                (candidates * normals(drawn.angles[:, line])[:, None]).sum(axis=2) - drawn.offsets[:, line][:, None]
            )
        at = drawn.points[:, other][:, None]
        cos, sin = np.cos(candidates[..., 0]), np.sin(candidates[..., 0])
        return np.asarray(cos * at[..., 0] + sin * at[..., 1] - candidates[..., 1])

    def _cost(self, misfit: Array) -> Array:
        return np.minimum((misfit / self.scatter) ** 2, CAP)
