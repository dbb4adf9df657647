"""A joint's film beside what its sheet needs: what leaks, where, and which bolts it passes between."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping
from typing import Any

from platemaker.fields._seal._case import SealInput
from platemaker.fields._seal._records import FilmCase, SealField
from platemaker.records import Record

REACH = 2.0
"""How many cells from a bolt's shank a way may end that leads out by its hole."""


class SealAnswer(Record):
    """The field of a joint with what it was asked. `kept`: taken from the store.

    `cures` are the changes that were tried on it, as plain records; None where none were.
    """

    given: SealInput
    field: SealField
    kept: bool = False
    cures: Mapping[str, Any] | None = None

    @property
    def joint(self) -> str:
        """The joint's name."""
        return self.given.joint.joint.name

    def holds_any(self, owners: Collection[str]) -> bool:
        """Whether the joint has a face on one of these parts or bodies."""
        return any(side.owner in owners for side in self.given.joint.sides)

    def needed(self, case: FilmCase) -> float | None:
        """What the sheet needs where a leak meets most, MPa: its factor times the pressure; None where nothing says."""
        return None if self.given.factor is None else self.given.factor * case.sealed

    def least(self, case: FilmCase) -> float | None:
        """The leak's pressure less the difference between two meshes, MPa; None where no way leads out."""
        return None if case.leak is None else max(case.leak - self.field.doubt(case), 0.0)

    def holds(self, case: FilmCase) -> bool | None:
        """Whether a case seals; None where it holds no pressure back or nothing says what the sheet needs."""
        needed, least = self.needed(case), self.least(case)
        if needed is None or least is None or case.sealed <= 0:
            return None
        return least >= needed

    @property
    def passed(self) -> bool:
        """Whether every case that holds a pressure back seals, none is open, and all is known."""
        held = [self.holds(case) for case in self.field.cases if case.sealed > 0]
        return bool(held) and all(held) and not self.given.faults

    def between(self, case: FilmCase) -> tuple[str, ...]:
        """The two bolts, by spot, that the leak passes between as they stand round what is open."""
        if case.at is None:
            return ()
        spots = self.given.joint.joint.spots
        whole = max(self.given.opened, key=lambda region: region.area)
        x0, y0, x1, y1 = whole.bounds
        middle = (x0 + x1) / 2, (y0 + y1) / 2
        if len(spots) < 3:
            return tuple(sorted(spots, key=lambda name: math.dist(spots[name], case.at or middle)))

        def turn(at: tuple[float, float]) -> float:
            return math.atan2(at[1] - middle[1], at[0] - middle[0])

        ring = sorted(spots, key=lambda name: turn(spots[name]))
        behind = [name for name in ring if turn(spots[name]) <= turn(case.at)]
        last = behind[-1] if behind else ring[-1]
        return last, ring[(ring.index(last) + 1) % len(ring)]

    def met(self, case: FilmCase) -> str:
        """What a leak meets and what the sheet needs, in words."""
        leak = "no way leads out" if case.leak is None else f"a leak meets {case.leak:.2f} MPa"
        needed = self.needed(case) if case.sealed > 0 else None
        return leak if needed is None else f"{leak}, needs {needed:.2f}"

    def way_out(self, case: FilmCase) -> str:
        """Where the leak gets out, in words: by a bolt's hole, or between two bolts; empty where no way leads out."""
        passed = self.passed_by(case)
        if not passed:
            return ""
        return f"by the hole of bolt {passed[0]}" if len(passed) == 1 else f"between bolts {' and '.join(passed)}"

    def passed_by(self, case: FilmCase) -> tuple[str, ...]:
        """The bolt whose hole the leak gets out by, else the two that it passes between; none without a way out."""
        spots, near = self.given.joint.joint.spots, REACH * self.field.finest.pitch
        for bolt in self.given.bolts:
            if case.path and math.dist(spots[bolt.spot], case.path[-1]) <= bolt.d / 2 + near:
                return (bolt.spot,)
        return self.between(case)

    @property
    def worst(self) -> FilmCase:
        """The case with the least to spare, where a pressure is held back."""
        held = [case for case in self.field.cases if case.sealed > 0] or list(self.field.cases)
        return min(held, key=self.spare)

    def spare(self, case: FilmCase) -> float:
        """What a leak meets, on its safe side, over what is needed; over the pressure where nothing says that."""
        needed, least = self.needed(case), self.least(case)
        return math.inf if least is None else least / (needed or max(case.sealed, 1e-9))
