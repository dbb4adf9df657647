"""Changes of a joint tried on its film: each calculated, checked, and held against the film as it stands."""

from __future__ import annotations

from collections.abc import Callable
from itertools import permutations
from typing import TypeAlias

from platemaker.checks import check_stack
from platemaker.fields import FlowError, SealAnswer
from platemaker.parts import Stack
from platemaker.records import replace
from platemaker.report import Cure, FilmCure, FilmCures
from platemaker.resolved import assemble
from platemaker.spec import ProjectSpec
from platemaker.study._cures._effects import drawbacks, keyed, new_fails
from platemaker.study._cures._film_changes import FilmChange, film_changes
from platemaker.study._cures._trial import Checks, changed
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
    return Checks(stack, tuple(found))


def _tried(spec: ProjectSpec, change: FilmChange, before: Checks, film: FilmOf, place: str) -> FilmCure:
    """A change's film and what the checks say of it; in words why there is none."""
    first, *also = keyed(spec, change.changes)
    cure = Cure(*first, also=tuple(also))
    try:
        stack = assemble(changed(spec, change.changes))
        after = film(stack, f"{place}, {change.words}")
    except (*SPEC_FAULTS, FlowError) as fault:
        return FilmCure(change.words, cure, None, " ".join(str(fault).split()))
    now = _checked(stack, after)
    worse = replace(cure, worsens=drawbacks(before, now))
    return FilmCure(change.words, worse, after, breaks=bool(new_fails(before, now)))
