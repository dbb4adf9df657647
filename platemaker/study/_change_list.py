"""What changed between two states of a project, as lines for a list of revisions."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby

from platemaker.records import Record
from platemaker.study._compare import Comparison, Difference
from platemaker.study._pair_text import pair_text
from platemaker.study._snapshot import Change, Subject

DERIVED, FOLLOWS = ("place", "axes of place", "volume", "mass"), ("area", "boundary")
"""How facts begin that are never listed: they are of the stack, or follow from cuts. Facts left out beside others."""
PLAIN = {"at": "position"}
"""What facts are called in a list that people read."""
LONG = 60
"""Letters of the longest value that is stated; of others only that they differ."""


class ChangedThing(Record):
    """A thing that changed: its part, joint or body, its own name, and how."""

    owner: str
    name: str
    words: str


def changed_things(comparison: Comparison) -> tuple[ChangedThing, ...]:
    """Cuts, sizes, tolerances and all else of parts, joints and bodies that differs; findings and places left out."""
    things = [one for one in comparison.differences if one.subject is not Subject.FINDING]
    found = []
    for (_, owner, name), group in groupby(things, key=lambda one: (one.subject, one.owner, one.name)):
        words = list(_words(list(group), comparison.unit))
        if words:
            found.append(ChangedThing(owner or name, name, "; ".join(words)))
    return tuple(found)


def _words(group: list[Difference], unit: str) -> Iterator[str]:
    shown = [one for one in group if not one.fact.startswith(DERIVED)]
    main = [one for one in shown if one.fact not in FOLLOWS]
    for one in main or shown:
        if one.change in (Change.APPEARED, Change.VANISHED):
            yield one.change.value
        else:
            before, after = pair_text(one.before, one.after, one.unit, unit)
            stated = f"from {before} to {after}" if max(len(before), len(after)) <= LONG else "differs"
            yield f"{PLAIN.get(one.fact, one.fact)} {stated}"
