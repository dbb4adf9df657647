"""The film of a joint, calculated or taken from the store."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Mapping
from contextlib import suppress
from importlib import metadata
from typing import TYPE_CHECKING, Any, TypeAlias

from platemaker.checks import seal_input
from platemaker.errors import GeometryError, unknown_name
from platemaker.export import Store, fingerprint
from platemaker.fields import (
    SEAL_CHILD,
    FlowError,
    SealAnswer,
    SealInput,
    seal_case,
    seal_field_of,
    solved,
)
from platemaker.parts import Stack
from platemaker.project._kept import keep, taken

if TYPE_CHECKING:
    from platemaker.report import FilmCures
    from platemaker.spec import ProjectSpec

Progress: TypeAlias = Callable[[float, float | None], None]

TRIED = "tried"
"""Key of a kept answer under which the changes stand that were tried on it, by the fingerprint of their spec."""

MISSING = (
    'the film needs the finite-element library: pip install "platemaker[seal]"; `check` has first estimates of each '
    "gasket without it"
)


def sealed_joints(stack: Stack) -> tuple[str, ...]:
    """The joints that have bolts and an opening, in their order."""
    return tuple(joint.name for joint in stack.joints if joint.bolts is not None and joint.ports)


def seal(
    stack: Stack,
    joint: str,
    *,
    coarse: bool = False,
    store: Store | None = None,
    progress: Progress | None = None,
) -> SealAnswer:
    """The film of a joint between its faces, on two meshes, or on the `coarse` one alone.

    Raises SpecError for a name that no joint has, GeometryError where the spec says too little for it, FlowError where
    the library is missing, its process stops, or the contact does not converge.
    """
    known = [one.name for one in stack.joints]
    if joint not in known:
        raise unknown_name(joint, known, "joint")
    given = seal_input(stack, joint)
    if isinstance(given, str):
        message = f"no film: {given}"
        raise GeometryError(message)
    plain = seal_case(given)
    case = json.dumps({**plain, "meshes": plain["meshes"][:1]} if coarse else plain)
    kept = _taken(given, case, store)
    if kept is not None:
        return kept
    answer = solved(json.loads(case), progress, SEAL_CHILD, MISSING)
    field = seal_field_of(answer)
    keep(store, _key(case), answer)
    return SealAnswer(given, field)


def seal_cures(
    spec: ProjectSpec, answer: SealAnswer, watch: Callable[[str], Progress], *, store: Store | None = None
) -> FilmCures:
    """A few changes of the joint of `answer`, a film of the spec as it stands, each tried on the coarser mesh.

    `watch` gives the progress of the film of what its words say. Ctrl-C ends it with what there is. Raises FlowError
    where the film as it stands cannot be calculated.
    """
    from platemaker.report import cures_json  # noqa: PLC0415 - a film alone has no need of them
    from platemaker.study import film_cures  # noqa: PLC0415

    def film(stack: Stack, words: str) -> SealAnswer:
        return seal(stack, answer.joint, coarse=True, store=store, progress=watch(words))

    found = film_cures(spec, answer, film)
    key = _key(json.dumps(seal_case(answer.given)))
    held = taken(store, key)
    if held is not None:
        keep(store, key, {**held, TRIED: {fingerprint(spec.data): cures_json(found)}})
    return found


def stored_films(stack: Stack, store: Store, spec: Mapping[str, Any] | None = None) -> dict[str, SealAnswer]:
    """The films that the store has for exactly this state, by joint, none calculated.

    With them what was tried on each of exactly this `spec`.
    """
    return dict(_stored(stack, store, spec)) if _version() != "missing" else {}


def _stored(stack: Stack, store: Store, spec: Mapping[str, Any] | None) -> Iterator[tuple[str, SealAnswer]]:
    for name in sealed_joints(stack):
        given = seal_input(stack, name)
        if isinstance(given, str):
            continue
        with suppress(GeometryError, FlowError):  # no film can be calculated, or what was kept is none
            found = _taken(given, json.dumps(seal_case(given)), store, spec)
            if found is not None:
                yield name, found


def _taken(
    given: SealInput, case: str, store: Store | None, spec: Mapping[str, Any] | None = None
) -> SealAnswer | None:
    held = taken(store, _key(case))
    if held is None:
        return None
    cures = held[TRIED].get(fingerprint(spec)) if TRIED in held else None
    return SealAnswer(given, seal_field_of(held), kept=True, cures=cures)


def _key(case: str) -> str:
    return fingerprint("film of a joint", case, _version())


def _version() -> str:
    try:
        return metadata.version("ngsolve")
    except metadata.PackageNotFoundError:
        return "missing"
