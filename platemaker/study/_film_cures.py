"""Changes of a joint tried on its film: each calculated, checked, and held against the film as it stands."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from itertools import permutations
from typing import TypeAlias

from platemaker.checks import check_stack
from platemaker.fields import FlowError, SealAnswer
from platemaker.parts import Stack
from platemaker.report import Cure, FilmCure, FilmCures
from platemaker.resolved import assemble
from platemaker.spec import ProjectSpec, dotted, validate
from platemaker.study._cures._effects import drawbacks, new_fails, stated
from platemaker.study._cures._film_changes import FilmChange, film_changes
from platemaker.study._cures._trial import Checks
from platemaker.study._keys import KeyPath, value_at, with_value
from platemaker.study._variant import SPEC_FAULTS

FilmOf: TypeAlias = Callable[[Stack, str], SealAnswer]
"""The film of a stack's joint; the text says which change it is of."""


def film_cures(spec: ProjectSpec, answer: SealAnswer, film: FilmOf) -> FilmCures:
    """A few changes of the joint of `answer`, the film of `spec` as it stands, each tried by `film` and by the checks.

    An interrupt ends it with what there is. Raises what `film` raises for the joint as it stands.
    """
    offered = list(film_changes(spec, answer))
    asked = [one for one in offered if isinstance(one, FilmChange)]
    left_out = tuple(one for one in offered if isinstance(one, str))
    tried: list[FilmCure] = []
    before = film(answer.given.stack, f"as it stands, then {len(asked)} changes")
    try:
        known = _checked(answer.given.stack, before)
        for number, change in enumerate(asked, 1):
            tried.append(_tried(spec, change, known, film, f"{number} of {len(asked)}"))
    except KeyboardInterrupt:
        pass  # what there is
    return FilmCures(answer, before, tuple(tried), left_out, len(asked))


def _checked(stack: Stack, film: SealAnswer) -> Checks:
    """What the checks say by a film, without the two bolts that it is between: a leak that has moved is no new fail."""
    pairs = {"-".join(pair) for pair in permutations(film.given.joint.joint.spots, 2)}
    found = [
        replace(one, features=tuple(name for name in one.features if name not in pairs))
        for one in check_stack(stack, films={film.joint: film})
    ]
    return Checks(stack, tuple(found), frozenset())


def _tried(spec: ProjectSpec, change: FilmChange, before: Checks, film: FilmOf, place: str) -> FilmCure:
    """A change's film and what the checks say of it; in words why there is none."""
    first, *also = (
        (" and ".join(map(dotted, paths)), _was(spec, paths[0]), stated(to)) for paths, to in change.changes
    )
    cure = Cure(*first, also=tuple(also))
    data = spec.data
    for paths, to in change.changes:
        for path in paths:
            data = with_value(data, path, to)
    try:
        stack = assemble(validate(spec.folder, spec.sources, data))
        after = film(stack, f"{place}, {change.words}")
    except (*SPEC_FAULTS, FlowError) as fault:
        return FilmCure(change.words, cure, None, " ".join(str(fault).split()))
    now = _checked(stack, after)
    worse = Cure(*first, worsens=drawbacks(before, now), also=tuple(also))
    return FilmCure(change.words, worse, after, breaks=bool(new_fails(before, now)))


def _was(spec: ProjectSpec, path: KeyPath) -> str:
    was = value_at(spec.data, path)
    return "its default" if was is None else stated(was)
