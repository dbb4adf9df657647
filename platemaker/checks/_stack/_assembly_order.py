"""In which order groups of bolts can be tightened, found by taking everything apart."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from platemaker.records import Record


class Held(Record):
    """A group of bolts: the pieces it `joins`, what goes on and off with it, and what stands `behind` its bolts.

    `beside` are bolts that are there whenever this group is tightened or undone: those that hold the same pieces.
    """

    name: str
    joins: frozenset[str]
    own: frozenset[str]
    behind: frozenset[str]
    beside: frozenset[str] = frozenset()


class Order(Record):
    """Groups in the order of tightening; `present` are the pieces there at each group's turn.

    `stuck` are the groups that nothing frees, each with what stands in the way of its bolts.
    """

    groups: tuple[str, ...]
    present: Mapping[str, frozenset[str]]
    stuck: Mapping[str, frozenset[str]]


def assembly_order(held: Sequence[Held], fixed: frozenset[str] = frozenset()) -> Order:
    """Undo whatever can be reached until nothing is left; the reverse is the order of tightening.

    A piece stands in the way only while bolts hold it, directly or through others, to what the group joins: apart from
    that it is still on the bench. What is `fixed` is always there. To undo a group never blocks another, so what is
    stuck is stuck in every order.
    """
    closed = list(held)
    undone: list[str] = []
    present: dict[str, frozenset[str]] = {}
    while closed:
        free = next((one for one in closed if not one.behind & (fixed | _held_with(one, closed))), None)
        if free is None:
            break
        present[free.name] = fixed | _held_with(free, closed)
        undone.append(free.name)
        closed.remove(free)
    present |= {one.name: fixed | _held_with(one, closed) for one in closed}
    stuck = {one.name: one.behind & present[one.name] for one in closed}
    return Order(tuple(reversed(undone)), present, stuck)


def _held_with(group: Held, closed: Iterable[Held]) -> frozenset[str]:
    """All that hangs together with a group while the closed groups are tight, the closed groups' bolts included."""
    pieces, rest = set(group.joins | group.own | group.beside), list(closed)
    growing = True
    while growing:
        growing = False
        for one in list(rest):
            if one.joins & pieces:
                pieces |= one.joins | one.own
                rest.remove(one)
                growing = True
    return frozenset(pieces)
