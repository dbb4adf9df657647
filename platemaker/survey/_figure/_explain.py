"""Which figure the readings mean, and which readings have to be wrong for it: every explanation that fits alike.

First drawings are adjusted. Where all readings agree in one of them, that is the figure. Where none does, readings are
excluded: by a robust adjustment and outlier tests, and every one and every two in turn by a linear downdate of the
adjustment, the likeliest of which are adjusted again, also from new first drawings. What needs the fewest readings
excluded explains the survey; all that fit alike are kept.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

import numpy as np

from platemaker.survey._adjustment._equations import Equations
from platemaker.survey._arrays import Array
from platemaker.survey._drawing._clues import clues_of
from platemaker.survey._drawing._start import DIGITS, FirstDrawing, first_drawings, placed_again
from platemaker.survey._figure._hinges import folded
from platemaker.survey._figure._outliers import (
    Explanation,
    cleaned,
    excluding,
    left_out,
    likeness,
    most_excluded,
    robust,
)
from platemaker.survey._figure._possible import differ, jaws_as_made, near_rough, on_one_side, overlap
from platemaker.survey._records import Network

TELL_APART = 10.83
"""Explanations with chi-squares nearer than this are alike: 0.1 % of chi-square with 1 degree of freedom."""
INSTEAD = 7.88
"""The same for what may be wrong in place of another reading: 0.5 %."""
TRIED = 6
"""First drawings adjusted at most, unless none of them fits or places were guessed."""
NEAR = 50.0
"""Drawings that are worse than the best by more are not adjusted: two clues missed altogether."""
BEGINNINGS = 6
"""How often first drawings are begun with another feature while no figure fits."""
FEW = 2
"""Excluded readings up to which a figure needs no further beginnings."""
MANY = 6
"""Readings off a robust figure above which it is not tried with the few excluded that it would take otherwise."""
DEEP = 3
"""Figures from which as many readings are excluded as may be, where none fits with fewer."""
AGAIN = 240
"""Features adjusted or drawn again in all for the likeliest of all readings: those of 6 readings in 40 features."""
BENT = 4.0
"""Shares of a length by which a figure is bent, times this, bound the change of correlations; found by trial."""
MOST_ALIKE = 24
"""Such readings that are tried for each, the likeliest first; where more than FEW are excluded, for all of them."""


class Explanations:
    """The explanations found so far of one network."""

    def __init__(self, network: Network, equations: Equations) -> None:
        self.network, self.equations = network, equations
        self.clues = clues_of(network, equations)
        self.most = most_excluded(equations)
        self.found: list[Explanation] = []
        self._firm: list[Explanation] = []
        self._starts: list[Array] = []
        self._judged: dict[int, bool] = {}
        self._folds: dict[int, list[Explanation]] = {}
        self._tried: set[frozenset[int]] = set()

    def run(self) -> list[Explanation]:
        """All explanations, the best first (see `rank`)."""
        self._begin(None)
        for number, begin in enumerate(self._beginnings()):
            if self._settled() or (many_off(self._firm) and number >= DEEP):
                break
            self._begin(begin)
        if not self.best.agrees:
            self._deeper()
        self.folds(self.best)
        self._placed_again(self.best)
        if self.best.held and (self.best.excluded or not self.best.agrees):
            self._excluded_in_turn()
            self._exchanged()
        return self.ranked()

    def loosened(self, factor: float) -> Explanations:
        """The search in the same figures with deviations larger by a factor."""
        looser = Explanations(self.network, self.equations.loosened(factor))
        for one in self._figures(DEEP):
            looser._settle(one.fit.unknowns)
        if not looser.best.agrees:
            looser._deeper()
        return looser

    @property
    def best(self) -> Explanation:
        """The best explanation so far."""
        return self.ranked()[0]

    def ranked(self) -> list[Explanation]:
        """The explanations whose edges and holes lie as they may on a casting, if any, in the order of `rank`."""
        self.found.sort(key=rank)
        kept = [one for one in self.found if self._possible(one)]
        return kept if kept and (kept[0].agrees or not self.found[0].agrees) else self.found

    def _possible(self, one: Explanation) -> bool:
        if id(one) not in self._judged:
            self._judged[id(one)] = self.possible(one.fit.unknowns)
        return self._judged[id(one)]

    def possible(self, unknowns: Array) -> bool:
        """Whether edges and holes lie as they may on a casting."""
        layout, clues = self.equations.layout, self.clues
        if not on_one_side(clues, layout, unknowns) or overlap(self.network, layout, unknowns, clues.scatter):
            return False
        return jaws_as_made(layout, unknowns) and near_rough(self.network, layout, unknowns)

    def _settled(self) -> bool:
        return self.best.agrees and len(self.best.excluded) <= FEW

    def _beginnings(self) -> Iterator[int]:
        """Other features to begin with, spread over all of them."""
        rounds = len(self.equations.layout.rounds)
        count = min(rounds, BEGINNINGS)
        yield from dict.fromkeys(round(k * (rounds - 1) / max(count - 1, 1)) for k in range(count))

    def _begin(self, begin: int | None) -> None:
        """Settle the best of the first drawings that begin with a feature."""
        if begin is None and (rough := self._rough()) is not None:
            self._settle(rough)
        drawings = first_drawings(self.clues, begin)
        for number, drawing in enumerate(drawings):
            enough = number >= TRIED and not drawing.guessed and any(one.agrees for one in self.found)
            deep = number >= DEEP and (begin is not None or many_off(self._firm))
            if enough or deep or drawing.score > drawings[0].score + NEAR:
                break
            self._settle(self._vector(drawing))

    def _settle(self, start: Array) -> None:
        """Adjust a drawing with all readings, or, where they do not agree in it, without the few that do not fit.

        Drawings that differ by no more than a first drawing is out by lead to one figure, and are adjusted once.
        """
        layout = self.equations.layout
        if not all(differ(layout, start, one, self.clues.looseness) for one in self._starts):
            return
        self._starts.append(start)
        whole = excluding(self.equations, self.network.datum, start)
        self.found.append(whole)
        if whole.agrees or not whole.held or not self.most:
            return
        datum, most = self.network.datum, min(self.most, FEW + 1)
        firm = robust(self.equations, datum, start, self.clues.looseness / self.clues.scatter)
        self._firm.append(firm)
        # A figure off which the robust one leaves many readings is not made to fit by excluding a few.
        for one in (firm, whole) if len(firm.excluded) <= MANY else ():
            if one.held and len(one.excluded) <= most:
                self.found.append(cleaned(self.equations, datum, one, most))
                if self.found[-1].agrees:
                    break

    def _rough(self) -> Array | None:
        """The drawing that rough places are, where every feature has one."""
        layout, known = self.equations.layout, self.network.by_name
        found = [rough.at for name in layout.rounds if (rough := known[name].rough) is not None]
        if layout.edges or len(found) < len(layout.rounds):
            return None
        points = np.array(found)
        return np.concatenate([points.ravel(), self.clues.diameters, self.equations.rest(points)])

    def _vector(self, drawing: FirstDrawing) -> Array:
        return drawing.vector(np.concatenate([self.clues.diameters, self.equations.rest(drawing.points)]))

    def _deeper(self) -> None:
        """Exclude as many readings as may be, from the figures that most readings fit."""
        held = sorted((one for one in self._firm if one.held), key=lambda one: len(one.excluded))
        for one in held[:DEEP]:
            if len(one.excluded) <= self.most:
                self.found.append(cleaned(self.equations, self.network.datum, one, self.most))

    def _exclude(self, start: Array, rows: Iterable[int]) -> Explanation:
        one = excluding(self.equations, self.network.datum, start, rows)
        self.found.append(one)
        return one

    def folds(self, one: Explanation) -> list[Explanation]:
        """A figure folded where it can be, the same readings excluded."""
        if id(one) not in self._folds:
            starts = folded(self.equations, one.fit)
            self._folds[id(one)] = [self._exclude(start, one.excluded) for start in starts]
        return self._folds[id(one)]

    def _placed_again(self, best: Explanation) -> None:
        """The best figure with a feature elsewhere, whatever one of its readings says."""
        for number, start in enumerate(placed_again(self.clues, self.equations.layout, best.fit.unknowns)):
            self._exclude(start, best.excluded)
            if number < DEEP and not (best.agrees and not best.excluded):
                self._settle(start)

    def _figures(self, most: int) -> list[Explanation]:
        """The first few figures that differ."""
        return different(self.equations, self.ranked(), 10 * self.clues.scatter, most)

    def _excluded_in_turn(self) -> None:
        """Every equation in turn by a downdate; what is then likeliest is adjusted, and drawn, again; then pairs."""
        if not self.most:
            return
        layout = self.equations.layout
        again = max(AGAIN // len(layout.rounds), 1)
        figures = [(one.fit.unknowns, *left_out(self.equations, one)) for one in self._figures(DEEP)]
        fits = set[int]()
        for start, single, _ in figures:
            fits |= {row for row in likeliest(single, again) if self._exclude(start, (row,)).agrees}
        for row in likeliest(np.min([single for _, single, _ in figures], axis=0), again):
            observation = self.equations.observations[row]
            if row in fits or observation.shared is not None or observation.seen is not None:
                continue  # no figure hangs on what is shared or seen alone
            drawings = first_drawings(clues_of(self.network, self.equations, observation))
            for start in map(self._vector, drawings[:DEEP]):
                new = all(differ(layout, start, one, self.clues.looseness) for one, _, _ in figures)
                if new and self._exclude(start, (row,)).agrees:
                    break
        if self.most > 1 and not self.best.agrees:
            for start, _, double in figures[:2]:
                for at in likeliest(double.ravel(), again):
                    self._exclude(start, divmod(at, len(double)))

    def _exchanged(self) -> None:
        """Other readings in place of one that the best explanations exclude, as long as more are found that fit."""
        done: set[frozenset[int]] = set()
        for _ in range(3):
            waiting = [one for one in alike(self.ranked()) if frozenset(one.excluded) not in done]
            if not waiting or not waiting[0].agrees:
                break
            # Of many that are wrong each has its own instead; all combinations would not end.
            for one in waiting[: 8 if len(waiting[0].excluded) <= FEW else 1]:
                done.add(frozenset(one.excluded))
                for rows in self._instead(one):
                    if rows not in self._tried:
                        self._tried.add(rows)
                        self._exclude(one.fit.unknowns, rows)

    def _instead(self, one: Explanation) -> Iterator[frozenset[int]]:
        """What may be wrong in place of what an explanation excludes: equations whose residuals look like its own."""
        size, most = self.clues.size, MOST_ALIKE if len(one.excluded) <= FEW else MOST_ALIKE // len(one.excluded) + 1
        for row in one.excluded:
            like = np.round(likeness(self.equations, one, row), 9)
            least = (
                1.0 - bend(self.equations, size, one, row) - (INSTEAD + TELL_APART) / float(one.tests.test[row]) ** 2
            )
            for other in np.argsort(-like, kind="stable")[:most]:
                if like[other] ** 2 > least and like[other] > 0.0:
                    yield frozenset({*one.excluded, int(other)} - {row})


def many_off(firm: Sequence[Explanation]) -> bool:
    """Whether many readings lie off every robust figure: then further drawings show no better one."""
    return min((len(one.excluded) for one in firm), default=0) > MANY


def bend(equations: Equations, length: float, one: Explanation, row: int) -> float:
    """How much the squares of correlations may change as a misreading bends the figure: by its share of a length, mm.

    To first order a reading excluded in place of another costs w^2 (1 - r^2), r their residuals' correlation.
    """
    size = abs(float(one.fit.residuals[row])) / (1.0 if equations.observations[row].is_length else 0.01)
    return min(BENT * size / length + 0.02, 0.9)


def likeliest(chi_squares: Array, most: int) -> list[int]:
    """The places of the few least finite ones."""
    order = np.argsort(np.round(chi_squares, DIGITS), kind="stable")[:most]
    return [int(at) for at in order if np.isfinite(chi_squares[at])]


def different(equations: Equations, found: Iterable[Explanation], apart: float, most: int) -> list[Explanation]:
    """The first few explanations whose figures differ by more than `apart`, mm."""
    chosen: list[Explanation] = []
    for one in found:
        if len(chosen) < most and all(
            differ(equations.layout, one.fit.unknowns, other.fit.unknowns, apart) for other in chosen
        ):
            chosen.append(one)
    return chosen


def rank(one: Explanation) -> tuple[bool, int, float, float]:
    """What agrees first, with the fewest readings excluded, then what holds every feature, then the least chi-square.

    Rounding ranks no further.
    """
    cost = round(one.fit.cost, DIGITS)
    if not one.agrees:
        return True, len(one.excluded), cost, 0.0
    return False, len(one.excluded), not one.held, cost


def alike(ranked: list[Explanation]) -> list[Explanation]:
    """Ranked explanations that cannot be distinguished from the first, one for each set of excluded readings."""
    first, found = ranked[0], dict[frozenset[int], Explanation]()
    for one in ranked:
        # A reading without which the others agree, but no longer hold every feature, may be the wrong one as well.
        same = (one.agrees, len(one.excluded)) == (first.agrees, len(first.excluded))
        if same and one.fit.cost <= first.fit.cost + INSTEAD:
            found.setdefault(frozenset(one.excluded), one)
    return list(found.values())
