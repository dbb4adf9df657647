"""The figure of a network: the best explanation of its readings, or the reason why there is no answer."""

from __future__ import annotations

import math
from collections.abc import Iterator

from platemaker.errors import SurveyError
from platemaker.records import Record
from platemaker.survey._adjustment._equations import Equations
from platemaker.survey._arrays import Array
from platemaker.survey._figure._explain import TELL_APART, Explanations, alike, different, rank
from platemaker.survey._figure._outliers import Explanation, blunder, excluding
from platemaker.survey._figure._possible import differ, on_sides
from platemaker.survey._figure._refusals import (
    require_figure,
    require_held,
    require_mirror_known,
    require_single,
    sides_of,
)
from platemaker.survey._records import Network

MOST_RIVALS = 12
"""Other figures that are looked at."""
WILDER = 3.0
"""Among readings that cannot be separated, a figure that needs one wrong by so many times more is not in doubt."""
LOOSENED = (2.0, 4.0)
"""Where no figure fits, deviations are tried that are larger by these: the readings may scatter more than stated."""


class Wrong(Record):
    """An equation that is probably wrong, by how much (too large is positive), and those that it may be instead."""

    row: int
    test: float
    size: float
    sigma: float
    instead: tuple[int, ...]


class Answer(Record, eq=False):
    """The figure that stands, with what is excluded from it, and what is wrong, the farthest off first.

    `spoiled`: a wrong reading is in it, for the readings do not show which of several it is and need all of them.
    """

    figure: Explanation
    wrong: tuple[Wrong, ...]
    spoiled: bool


def best_figure(network: Network, equations: Equations) -> Answer:
    """The figure that fits the readings, in the datum's frame.

    Raises SurveyError when no figure fits, when the figure can move, when two figures fit alike, or when the datum's
    sides fit none.
    """
    search = Explanations(network, equations)
    ranked = search.run()
    if ranked[0].held and not ranked[0].agrees:
        for factor in LOOSENED:
            looser = search.loosened(factor)
            if looser.best.agrees:
                search, ranked = looser, looser.ranked()
                break
    scatter, layout, datum = search.clues.scatter, equations.layout, network.datum
    if not ranked[0].agrees:  # what is said of it must not hang on where a hopeless adjustment was given up
        start, rows = ranked[0].fit.unknowns, ranked[0].excluded
        ranked[0] = excluding(search.equations, datum, start, rows, hopeless=math.inf)
    require_held(network, equations, ranked[0])
    require_figure(equations, ranked[0], search.most)
    allowed = [one for one in ranked if on_sides(layout, datum, one.fit.unknowns, scatter)]
    if not allowed or _worse(allowed[0], ranked[0]):
        message = f"no figure that fits the readings has {sides_of(datum)} of the line {datum.origin}-{datum.x_towards}"
        raise SurveyError(message)
    require_held(network, equations, allowed[0])
    require_mirror_known(network, layout, allowed[0].fit.unknowns, scatter)
    return _answer(equations, search, _single(search, allowed, 10 * scatter))


def all_figures(network: Network, equations: Equations) -> list[Array]:
    """The unknowns of all figures that the readings fit alike."""
    search = Explanations(network, equations)
    scatter, datum = search.clues.scatter, network.datum
    allowed = [one for one in search.run() if on_sides(equations.layout, datum, one.fit.unknowns, scatter)]
    if not allowed:
        return []
    figures = different(equations, allowed, 10 * scatter, MOST_RIVALS)
    rivals = _rivals(search, allowed[0], figures, 10 * scatter, math.inf)
    return [one.fit.unknowns for one in (allowed[0], *rivals)]


def _single(search: Explanations, allowed: list[Explanation], apart: float) -> list[Explanation]:
    """The explanations that fit alike, first one in which no other figure fits as well.

    Raises SurveyError when there is none.
    """
    explained = alike(allowed)
    wildest = WILDER if len(explained) > 1 else math.inf
    figures = different(search.equations, sorted(allowed, key=lambda one: (*rank(one), one.miss)), apart, MOST_RIVALS)
    for one in [one for one in explained if one.held][:MOST_RIVALS]:
        if next(_rivals(search, one, figures, apart, wildest), None) is None:
            return [one, *(other for other in explained if other is not one)]
    rows = dict.fromkeys(row for one in explained for row in one.excluded)
    named = dict.fromkeys(search.equations.observations[row].title for row in rows)
    doubt = f"; or a reading is wrong, read again first: {'; '.join(named)}" if named else ""
    found = different(search.equations, _rivals(search, explained[0], figures, apart, wildest), apart, MOST_RIVALS)
    rivals = [one.fit.unknowns for one in found]
    require_single(search.network, search.equations.layout, explained[0].fit.unknowns, rivals, apart, doubt)
    return explained


def _worse(one: Explanation, best: Explanation) -> bool:
    return (
        len(one.excluded) > len(best.excluded)
        or one.agrees is not best.agrees
        or one.fit.cost > best.fit.cost + TELL_APART
    )


def _rivals(
    search: Explanations, best: Explanation, figures: list[Explanation], apart: float, wildest: float
) -> Iterator[Explanation]:
    """Other figures, and its own folded, that the readings of one explanation fit alike.

    Not the same with other readings excluded, and not those in which an excluded reading would be wrong by more than
    `wildest` times as much.
    """
    layout, datum = search.equations.layout, search.network.datum
    for one in _others(search, best, figures):
        if not differ(layout, best.fit.unknowns, one.fit.unknowns, apart):
            continue
        same = one
        if set(one.excluded) != set(best.excluded):
            same = excluding(search.equations, datum, one.fit.unknowns, best.excluded)
        at = same.fit.unknowns
        if (
            same.fit.cost <= best.fit.cost + TELL_APART
            and (math.isinf(wildest) or same.miss <= wildest * best.miss)
            and differ(layout, best.fit.unknowns, at, apart)
            and search.possible(at)
            and on_sides(layout, datum, at, search.clues.scatter)
        ):
            yield same


def _others(search: Explanations, best: Explanation, figures: list[Explanation]) -> Iterator[Explanation]:
    yield from figures
    yield from search.folds(best)


def _answer(equations: Equations, search: Explanations, explained: list[Explanation]) -> Answer:
    """From the explanations that fit alike, the best first, to what stands: without all that may be wrong, if it can.

    Where the rest would not hold the figure, only what is wrong in every explanation is excluded.
    """
    best, sets = explained[0], [frozenset(one.excluded) for one in explained]
    wrong = _wrong(best, sets)
    datum, start = search.network.datum, best.fit.unknowns
    rows, spoiled = sets[0], False
    if len(sets) > 1:
        firm = excluding(search.equations, datum, start, frozenset.union(*sets))
        spoiled = not (firm.held and firm.agrees)
        rows = (frozenset.intersection if spoiled else frozenset.union)(*sets)
    return Answer(excluding(equations, datum, start, rows, hopeless=math.inf), wrong, spoiled)


def _wrong(best: Explanation, sets: list[frozenset[int]]) -> tuple[Wrong, ...]:
    found, left = list[Wrong](), set(frozenset.union(*sets)) - sets[0]
    for row in best.excluded:
        instead = [min(other - sets[0]) for other in sets[1:] if sets[0] - other == {row} and len(other - sets[0]) == 1]
        left -= set(instead)
        size, sigma = blunder(best, row)
        test = float(best.tests.test[row])
        # What the others hardly check has no normalised residual; its error over its own deviation is the same measure.
        found.append(Wrong(row, size / sigma if math.isnan(test) else test, size, sigma, tuple(instead)))
    if left:  # sets that differ from the best in two readings
        found[0] = Wrong(found[0].row, found[0].test, found[0].size, found[0].sigma, (*found[0].instead, *sorted(left)))
    return tuple(sorted(found, key=lambda one: -abs(one.test)))
