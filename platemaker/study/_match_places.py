"""Holes and spots of two states of a project matched by place: one hole more in a pattern renames the rest."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from typing import TypeAlias

from platemaker.checks import EQUAL
from platemaker.records import replace
from platemaker.study._snapshot import Fact, Snapshot, Subject, Thing, Value

NEAR = 10.0
"""Distance up to which holes of different names are taken for one that moved, mm. The project's own choice."""
SPOT, NAME = "spot ", "name"
FRESH = " (new)"
"""Behind the name of a new hole whose name another hole of the first state has."""
Key: TypeAlias = tuple[Subject, str, str]
Places: TypeAlias = Mapping[str, tuple[float, ...]]
Names: TypeAlias = dict[str, str]


def matched(old: Snapshot, new: Snapshot) -> tuple[Snapshot, Snapshot]:
    """Both, the second's holes and spots under their names in the first; those renamed have a fact of it."""
    joints = {key: _pairs(_spots(thing), _spots(new.things[key])) for key, thing in old.things.items()
              if key[0] is Subject.JOINT and key in new.things}  # fmt: skip
    owners = {owner for subject, owner, _ in old.things if subject is Subject.CUT}
    holes = {owner: _pairs(_holes(old, owner), _holes(new, owner)) for owner in sorted(owners)}
    after = [_named(thing, joints, holes) for thing in new.things.values()]
    both = {thing.key for thing in after if NAME in thing.facts}
    before = {key: replace(thing, facts={**thing.facts, NAME: Fact(thing.name)}) if key in both else thing
              for key, thing in old.things.items()}  # fmt: skip
    return replace(old, things=before), replace(new, things={thing.key: thing for thing in after})


def _named(thing: Thing, joints: Mapping[Key, Names], holes: Mapping[str, Names]) -> Thing:
    if thing.subject is Subject.FINDING:
        return replace(thing, name=_renamed(thing.name, thing.owner, holes))
    if thing.subject is Subject.JOINT:
        spots = {SPOT + one: SPOT + other for one, other in joints.get(thing.key, {}).items()}
        return replace(thing, facts={spots.get(name, name): fact for name, fact in thing.facts.items()})
    own = holes.get(thing.owner, {}).get(thing.name) if thing.subject is Subject.CUT else None
    if own is None:
        return thing
    facts = thing.facts if own.endswith(FRESH) else {**thing.facts, NAME: Fact(thing.name)}
    return replace(thing, name=own, facts=facts)


def _holes(side: Snapshot, owner: str) -> Places:
    return _places((thing.name, thing.facts["at"].value) for (subject, own, _), thing in side.things.items()
                   if subject is Subject.CUT and own == owner and "direction" in thing.facts)  # fmt: skip


def _spots(joint: Thing) -> Places:
    return _places((name.removeprefix(SPOT), fact.value) for name, fact in joint.facts.items() if name.startswith(SPOT))


def _places(named: Iterable[tuple[str, Value]]) -> Places:
    return {name: at for name, at in named if isinstance(at, tuple)}


def _pairs(old: Places, new: Places) -> Names:
    """The names of `new` that change: those at a place of `old`, then those of one name, then those nearby.

    >>> _pairs({"a": (0.0, 0.0), "b": (9.0, 0.0)}, {"a": (0.0, 0.0), "b": (4.0, 0.0), "c": (9.0, 0.0)})
    {'c': 'b', 'b': 'b (new)'}
    """
    apart = sorted(
        (round(math.dist(at, place), 6), one != other, one, other)
        for one, at in new.items() for other, place in old.items() if len(at) == len(place)
    )  # fmt: skip
    found: Names = {}
    for most, alike in ((EQUAL, False), (math.inf, True), (NEAR, False)):
        for off, differ, one, other in apart:
            if off <= most and not (alike and differ) and one not in found and other not in found.values():
                found[one] = other
    taken = set(found.values())
    found |= {one: f"{one}{FRESH}" for one in new if one not in found and one in taken}
    return {one: other for one, other in found.items() if one != other}


def _renamed(finding: str, part: str, holes: Mapping[str, Names]) -> str:
    """The id of a finding with the names of its holes: of its own part, or of the part that stands before one."""
    check, owner, features = (*finding.split(":", 2), "", "")[:3]
    words = []
    for feature in features.split("+"):
        names, said = holes.get(part, {}), []
        for word in feature.split(" "):
            said.append(names.get(word, word))
            names = holes.get(word, names)
        words.append(" ".join(said))
    return ":".join((check, owner, "+".join(words))) if features else finding
