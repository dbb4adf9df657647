"""A search over up to five keys: every combination where these are few, else by differential evolution.

Differential evolution (R. Storn, K. Price, Journal of Global Optimization 11, 1997, 341-359, as in scipy) tries
combinations of the given values; then every neighbour of the best is tried until none is better. Seeded: same spec,
same winner. What it finds is the best of those tried, not proved to be the best of all.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from math import inf, prod
from typing import Any, TypeAlias

import numpy as np

from platemaker.checks import EQUAL
from platemaker.errors import SpecError, nearest_word
from platemaker.records import Record
from platemaker.study._outcomes import Outcome
from platemaker.study._values import Choice
from platemaker.study._variant import VariantRow
from platemaker.study._vary import Vary
from platemaker.units import in_project_unit

MOST_KEYS = 5
"""Keys of one search."""
FEW = 256
"""Combinations up to which every one is tried."""
TRIES = 300
"""Combinations that a search tries before it looks at the neighbours of the best."""
POPULATION, SEED = 24, 1
_IMPOSSIBLE, _REFUSED = 1e15, 1e9
"""What stands in the optimiser for a variant that cannot be, and for one that is not kept: no figure is so large."""
_AIM = re.compile(r"^\s*(least|most)\s+(\S.*?)\s*$")
_KEEP = re.compile(r"^\s*(\S.*?)\s+at\s+(least|most)\s+([+-]?\d+(?:\.\d+)?)\s*$")
_VERDICTS = {"no fails": ("fails",), "no cautions": ("fails", "cautions")}

Place: TypeAlias = tuple[int, ...]
"""A combination by the place of each key's value."""
Tried: TypeAlias = dict[Place, VariantRow]


class Aim(Record):
    """What is sought: the least or the most of an outcome."""

    outcome: Outcome
    most: bool

    @property
    def text(self) -> str:
        """As it is asked for."""
        return f"{'most' if self.most else 'least'} {self.outcome.name}"


class Keep(Record):
    """What a variant must hold to count: no fails, no cautions, or an outcome at least or at most a `limit`.

    The limit is in the unit in which a project in `project_unit` shows the outcome, whose own one is `unit`.
    """

    text: str
    outcome: str = ""
    most: bool = False
    limit: float = 0.0
    unit: str = ""
    project_unit: str = "mm"

    def short(self, row: VariantRow) -> float:
        """How far a variant is off; 0 where it holds."""
        if not self.outcome:
            return float(sum(getattr(row, name) for name in _VERDICTS[self.text]))
        value = row.value(self.outcome)
        if value is None:
            return inf
        found = row.shown.get(self.outcome)
        limit = self.limit / in_project_unit(found.unit if found else self.unit, self.project_unit)[0]
        off = value - limit if self.most else limit - value
        return off if off > EQUAL else 0.0


class Sought(Record):
    """What was sought, what had to hold, the number of the variant that won (None: none holds), and whether all were
    tried. `combinations` are those that there are.
    """

    aim: Aim
    keeps: tuple[Keep, ...]
    winner: int | None
    combinations: int
    exhaustive: bool


def aim_of(text: str, outcomes: Sequence[Outcome]) -> Aim:
    """What `least mass` or `most area` asks for. Raises SpecError for anything else."""
    found = _AIM.match(text)
    if found is None:
        problem = "not something to seek"
        raise SpecError(problem, met=text, allowed="least or most, and " + ", ".join(one.name for one in outcomes))
    return Aim(_named(found.group(2), outcomes), found.group(1) == "most")


def keep_of(text: str, outcomes: Sequence[Outcome], project_unit: str = "mm") -> Keep:
    """What `no fails`, `no cautions` or `wall at least 5` asks for. Raises SpecError for anything else."""
    plain = " ".join(text.split())
    if plain in _VERDICTS:
        return Keep(plain)
    found = _KEEP.match(plain)
    if found is None:
        problem = "not something to keep"
        raise SpecError(problem, met=text, allowed="no fails, no cautions, or OUTCOME at least (at most) NUMBER")
    outcome = _named(found.group(1), outcomes)
    return Keep(plain, outcome.name, found.group(2) == "most", float(found.group(3)), outcome.unit, project_unit)


def _named(name: str, outcomes: Sequence[Outcome]) -> Outcome:
    known = {one.name: one for one in outcomes}
    if name not in known:
        problem = f"the study has no outcome '{name}'"
        raise SpecError(problem, allowed=", ".join(known), nearest=nearest_word(name, known))
    return known[name]


class Search:
    """Variants tried in batches by `run`, and the best of them so far. `present` is the spec as it is, where known."""

    def __init__(
        self,
        varies: Sequence[Vary],
        aim: Aim,
        keeps: Sequence[Keep],
        run: Callable[[Sequence[tuple[int, tuple[Choice, ...]]]], Iterable[VariantRow]],
        present: Place | None,
    ) -> None:
        self.aim, self.keeps, self.tried = aim, tuple(keeps), Tried()
        self._varies, self._run, self._present = tuple(varies), run, present
        self._counts = tuple(len(vary.choices) for vary in varies)

    @property
    def combinations(self) -> int:
        """How many there are."""
        return prod(self._counts)

    def everything(self) -> None:
        """Try every combination."""
        self.rows(list(np.ndindex(*self._counts)))

    def evolve(self, tries: int = TRIES) -> None:
        """Try about `tries` combinations, then the neighbours of the best until none is better."""
        from scipy.optimize import differential_evolution  # noqa: PLC0415 - slow to load, and few studies seek

        evolved: Any = differential_evolution  # its types know of no costs of many places at once

        rng = np.random.default_rng(SEED)
        first = rng.random((POPULATION, len(self._counts))) * (np.array(self._counts) - 1)
        first[0] = self._present if self._present is not None else np.zeros(len(self._counts))

        def costs(places: Any) -> Any:  # one column a combination
            columns = np.rint(places.reshape(len(self._counts), -1)).astype(int).T
            return np.array([self.cost(row) for row in self.rows([tuple(one) for one in columns.tolist()])])

        evolved(
            costs, [(0, count - 1) for count in self._counts], integrality=[True] * len(self._counts), seed=SEED,
            init=first, maxiter=tries, polish=False, vectorized=True, updating="deferred", tol=0.0,
            callback=lambda *_, **__: len(self.tried) >= tries,
        )  # fmt: skip
        self._neighbours()

    def _neighbours(self) -> None:
        while (best := self.best) is not None:
            beside = [
                (*best[:key], place, *best[key + 1 :])
                for key, count in enumerate(self._counts)
                for place in (best[key] - 1, best[key] + 1)
                if 0 <= place < count
            ]
            self.rows(beside)
            if self.best == best:
                return

    def rows(self, places: Sequence[Place]) -> list[VariantRow]:
        """The rows of some combinations; those not tried yet are run together."""
        fresh = [place for place in dict.fromkeys(places) if place not in self.tried]
        if fresh:
            asked = {self.number(place): place for place in fresh}
            choices = [(number, self._choices(place)) for number, place in asked.items()]
            self.tried |= {asked[row.number]: row for row in self._run(choices)}
        return [self.tried[place] for place in places]

    def number(self, place: Place) -> int:
        """The number of a combination among all, from 1."""
        found = 0
        for at, count in zip(place, self._counts, strict=True):
            found = found * count + at
        return found + 1

    def _choices(self, place: Place) -> tuple[Choice, ...]:
        return tuple(vary.choices[at] for vary, at in zip(self._varies, place, strict=True))

    def cost(self, row: VariantRow) -> float:
        """What the search makes small."""
        if row.fault:
            return _IMPOSSIBLE
        short = sum(keep.short(row) for keep in self.keeps)
        value = row.value(self.aim.outcome.name)
        if short > 0 or value is None:
            return min(_REFUSED * (1.0 + short), _IMPOSSIBLE / 10)
        return -value if self.aim.most else value

    @property
    def best(self) -> Place | None:
        """The best combination that holds what is to be kept; of equal ones the one with fewer cautions."""
        held = [(place, row) for place, row in self.tried.items() if self.cost(row) < _REFUSED]
        return min(
            held, key=lambda one: (round(self.cost(one[1]), 9), one[1].cautions, one[1].number), default=(None,)
        )[0]

    @property
    def sought(self) -> Sought:
        """What came of it."""
        best, every = self.best, self.combinations
        winner = self.tried[best].number if best is not None else None
        return Sought(self.aim, self.keeps, winner, every, len(self.tried) == every)
