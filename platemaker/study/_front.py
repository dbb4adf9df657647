"""The trade-off front: variants of which no other is better in one respect and as good in the other."""

from __future__ import annotations

from collections.abc import Sequence

from platemaker.errors import SpecError, nearest_word
from platemaker.records import Record
from platemaker.study._outcomes import Outcome
from platemaker.study._variant import VariantRow

GRID = 6
"""Decimals in which two figures that agree are taken as equal: the grid of spec coordinates."""


class Trade(Record):
    """Two outcomes that pull against each other."""

    x: Outcome
    y: Outcome


def trade_of(text: str, outcomes: Sequence[Outcome]) -> Trade:
    """The trade that a text such as `area,wall` or `area,mass:up` names; `:up` and `:down` turn what is better.

    Raises SpecError for an outcome that the study does not have.
    """
    words = [word.strip() for word in text.split(",")]
    if len(words) != 2 or words[0].partition(":")[0] == words[1].partition(":")[0]:
        problem = "not two outcomes to trade"
        raise SpecError(problem, met=text, allowed="two of " + ", ".join(one.name for one in outcomes))
    return Trade(_outcome(words[0], outcomes), _outcome(words[1], outcomes))


def _outcome(word: str, outcomes: Sequence[Outcome]) -> Outcome:
    # Ids of findings hold colons too: only a last `up` or `down` is a direction.
    head, _, way = word.rpartition(":")
    name = head if way in ("up", "down") else word
    known = {one.name: one for one in outcomes}
    if name not in known:
        problem = f"the study has no outcome '{name}'"
        raise SpecError(problem, allowed=", ".join(known), nearest=nearest_word(name, known))
    found = known[name]
    return Outcome(found.name, found.title, found.unit, way == "up") if name == head else found


def front_of(rows: Sequence[VariantRow], trade: Trade) -> tuple[int, ...]:
    """The numbers of the rows on the front, along it.

    Rows with a failing check are left out, unless every row has one; so are rows without both figures.
    """
    sound = [row for row in rows if not row.fault and row.fails == 0] or list(rows)
    points = {
        row.number: (_gain(x, trade.x), _gain(y, trade.y))
        for row in sound
        if (x := row.value(trade.x.name)) is not None and (y := row.value(trade.y.name)) is not None
    }
    return tuple(sorted(undominated(points), key=lambda number: (points[number], number)))


def undominated(points: dict[int, tuple[float, float]]) -> list[int]:
    """The keys of the points (more is better in both) that no other point beats; equal ones stand together.

    >>> undominated({1: (1, 3), 2: (2, 2), 3: (1, 2), 4: (2, 2)})
    [2, 4, 1]
    """
    best, kept, here = float("-inf"), [], float("-inf")
    for key, (x, y) in sorted(points.items(), key=lambda item: (-item[1][0], -item[1][1], item[0])):
        if y > best or (y == best and x == here):
            kept.append(key)
            best, here = y, x
    return kept


def _gain(value: float, outcome: Outcome) -> float:
    return round(value if outcome.more_is_better else -value, GRID)
