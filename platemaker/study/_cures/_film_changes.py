"""Changes that may press a joint's film better: one more bolt, a thicker plate, a smaller pocket, another sheet."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from functools import partial
from typing import Any, TypeAlias

from platemaker.catalog import Family, gasket_values, materials
from platemaker.errors import CatalogError
from platemaker.fields import SealAnswer
from platemaker.parts import Mounting, Part, Role
from platemaker.plane import Point, contains
from platemaker.records import Record
from platemaker.spec import ProjectSpec
from platemaker.study._cures._steps import SteppedNumber, SteppedWord, steps_of
from platemaker.study._cures._touched import held_joints
from platemaker.study._cures._trial import Paths
from platemaker.study._keys import KeyPath, Value, value_at
from platemaker.units import LengthUnit, parse_length

PLATES = {
    "mm": (3, 4, 5, 6, 8, 10, 12, 15, 16, 20, 25, 30, 35, 40, 45, 50, 60, 70, 80, 90, 100),
    "in": tuple(Fraction(k, 16) for k in (2, 3, 4, 5, 6, 8, 10, 12, 14, 16, 20, 24, 28, 32, 40, 48, 56, 64)),
}
"""Thicknesses of plate that are sold. Common practice, no source."""
INWARD = {"mm": Fraction(2), "in": Fraction(1, 16)}
"""How far the wall of a pocket is moved in. The project's own choice."""
GRID = 0.5
"""Steps in which the place of one more bolt is stated, mm. The project's own choice."""
MAKERS = ("factor", "seating_stress", "fitted")
"""What a spec states of the very sheet that it names."""

Changed: TypeAlias = tuple[Paths, Any]
"""Keys, and the value that they all take: one value, or a mapping such as a pattern's."""


class FilmChange(Record):
    """What is changed, in words, and the keys with their new values."""

    words: str
    changes: tuple[Changed, ...]


def film_changes(spec: ProjectSpec, answer: SealAnswer) -> Iterator[FilmChange | str]:
    """A few changes of a joint that can be made or bought; of a kind that has none, why."""
    yield from _more_bolts(spec, answer)
    sides = [
        (side.part, side.mounting)
        for side in answer.given.joint.sides
        if side.part is not None and side.mounting is not None and side.part.made
    ]
    for part, _ in sides:
        yield _thicker(spec, part)
    pockets: list[FilmChange | str] = [
        one for part, mounting in sides for one in _smaller_pockets(spec, answer, part, mounting)
    ]
    yield from pockets or ["no smaller pocket: none with a size of its own opens into the joint"]
    yield from _other_sheets(spec, answer)


def _more_bolts(spec: ProjectSpec, answer: SealAnswer) -> Iterator[FilmChange | str]:
    """One bolt more, midway between the two that the worst leak passes; and two, the other across the pattern."""
    pattern = value_at(spec.data, ("joints", answer.joint, "bolts", "pattern"))
    spots, beside = answer.given.joint.joint.spots, answer.between(answer.worst)
    if answer.joint in held_joints(spec.data) or "survey" in pattern:
        yield "no bolt more: the joint's holes are in an existing machine"
        return
    if len(beside) < 2:
        yield "no bolt more: no way of a leak leads out between two bolts"
        return
    ends = [spots[name] for name in beside]
    at = _midway(ends)
    if any(contains(port.region, at) for port in answer.given.joint.joint.ports):
        yield f"no bolt more: midway between bolts {' and '.join(beside)} lies in an opening"
        return
    gap = f"between bolts {' and '.join(beside)}"
    yield _with_bolts(spec, answer, f"one more bolt {gap}", [at])
    x, y = (min(one) + max(one) for one in zip(*spots.values(), strict=True))
    across = [(x - a, y - b) for a, b in ends]
    if all(any(math.dist(one, spot) < GRID / 10 for spot in spots.values()) for one in across):
        yield _with_bolts(spec, answer, f"two more bolts, {gap} and across", [at, _midway(across)])


def _midway(ends: Sequence[Point]) -> Point:
    x, y = (GRID * round(sum(one) / 2 / GRID) for one in zip(*ends, strict=True))
    return x, y


def _with_bolts(spec: ProjectSpec, answer: SealAnswer, words: str, places: Sequence[Point]) -> FilmChange:
    spots = answer.given.joint.joint.spots
    numbered = all(one.isdigit() for one in spots)
    names = [str(len(spots) + k) if numbered else f"extra_{k}" for k in range(1, len(places) + 1)]
    points = {
        name: [_length(spec, x), _length(spec, y)]
        for name, (x, y) in {**spots, **dict(zip(names, places, strict=True))}.items()
    }
    stated = " and ".join(f"({x:g}, {y:g})" for x, y in places)
    return FilmChange(f"{words}: {stated} mm", (((("joints", answer.joint, "bolts", "pattern"),), {"points": points}),))


def _length(spec: ProjectSpec, mm: float) -> Value:
    return mm if spec.model.units == "mm" else f"{mm:g} mm"


def _thicker(spec: ProjectSpec, part: Part) -> FilmChange | str:
    """The next thickness of plate, with the bolts that go through it longer by as much, as they are sold."""
    path: KeyPath = ("parts", part.name, "thickness")
    steps = steps_of(spec, path)
    sizes = [Fraction(one) for one in PLATES[steps.kind]] if isinstance(steps, SteppedNumber) else []
    more = next((one for one in sizes if isinstance(steps, SteppedNumber) and one > steps.now), None)
    if more is None or not isinstance(steps, SteppedNumber):
        return f"no thicker {part.name}: no thickness of plate is above its own"
    value = steps.value(more)
    longer = [
        change
        for mounting in part.mountings
        if mounting.role in (Role.CLEAR, Role.COUNTERBORED)
        and (change := _longer_bolts(spec, mounting.joint, steps.cost(more)))
    ]
    with_bolts = "".join(f", bolts of {paths[0][1]} {length} long" for paths, length in longer)
    return FilmChange(f"{part.name} {value} thick{with_bolts}", (((path,), value), *longer))


def _longer_bolts(spec: ProjectSpec, joint: str, more: float) -> Changed | None:
    path: KeyPath = ("joints", joint, "bolts", "length")
    lengths = steps_of(spec, path) if value_at(spec.data, path) is not None else None
    if not isinstance(lengths, SteppedWord):
        return None
    own = lengths.entries[lengths.place]
    mm = partial(parse_length, default=LengthUnit(spec.model.units))
    length = min(lengths.entries, key=lambda one: abs(mm(one) - mm(own) - more))
    return None if length == own else ((path,), length)


def _smaller_pockets(spec: ProjectSpec, answer: SealAnswer, part: Part, mounting: Mounting) -> Iterator[FilmChange]:
    """Each pocket of a part's face in the joint with its wall moved in; the joint's opening too, if it is the same."""
    data = value_at(spec.data, ("parts", part.name)) or {}
    named = {
        "pocket": data.get("pocket"),
        **{f"pockets.{name}": one for name, one in (data.get("pockets") or {}).items()},
    }
    for key, pocket in named.items():
        if not isinstance(pocket, Mapping) or pocket.get("side", "above") != mounting.side.value:
            continue
        path: KeyPath = ("parts", part.name, *key.split("."))
        changes = [*_moved_in(spec, path, pocket)]
        if "shape" in pocket:
            changes = [*_shrunk(spec, answer.joint, (*path, "shape"), pocket["shape"])]
        if changes:
            by = " and ".join(
                dict.fromkeys(f"{paths[0][-1]} {value}" for paths, value in changes if paths[0][-1] in ("wall", "land"))
            )
            size = "x".join(str(value) for _, value in changes)
            yield FilmChange(f"smaller {key} of {part.name}: {by or size}", tuple(changes))


def _moved_in(spec: ProjectSpec, path: KeyPath, pocket: Mapping[str, Any]) -> Iterator[Changed]:
    for word in ("wall", "land"):
        steps = steps_of(spec, (*path, word)) if word in pocket else None
        if isinstance(steps, SteppedNumber):
            yield ((*path, word),), steps.value(steps.now + INWARD[steps.kind])


def _shrunk(spec: ProjectSpec, joint: str, path: KeyPath, shape: Mapping[str, Any]) -> Iterator[Changed]:
    """The sizes of a shape less twice the wall's way; the joint's opening with it where it is the same figure."""
    opening: KeyPath = ("joints", joint, "opening")
    also = [opening] if value_at(spec.data, opening) == shape else []
    for word in ("circle", "rectangle", "slot"):
        sizes = shape.get(word)
        keys: list[KeyPath] = [(word, place) for place in range(len(sizes))] if isinstance(sizes, list) else [(word,)]
        for key in keys if sizes is not None else ():
            steps = steps_of(spec, (*path, *key))
            if isinstance(steps, SteppedNumber) and steps.now > 4 * INWARD[steps.kind]:
                paths = tuple((*one, *key) for one in (path, *also))
                yield paths, steps.value(steps.now - 2 * INWARD[steps.kind])


def _other_sheets(spec: ProjectSpec, answer: SealAnswer) -> Iterator[FilmChange | str]:
    """Every other gasket sheet of the catalog that the bolts can seat; what is stated of the present one goes."""
    sheet = answer.given.joint.joint.gasket
    path: KeyPath = ("joints", answer.joint, "gasket")
    stated = value_at(spec.data, path)
    if sheet is None or stated is None:
        yield "no other sheet: the joint has no gasket"
        return
    ends, bolts = answer.given.ends, len(answer.given.bolts)
    mean = ends.most * bolts / answer.field.finest.land
    dropped = tuple((((*path, word),), None) for word in MAKERS if stated.get(word) is not None)
    for one in materials():
        if one.family is not Family.GASKET or one.name == sheet.material:
            continue
        try:
            least = gasket_values(one.name, sheet.thickness).seating_stress
        except CatalogError as fault:
            yield f"no {one.name}: {fault}"
            continue
        if mean < least:
            pressed = f"the bolts press {mean:.1f} MPa at most in the mean"
            yield f"no {one.name}: it is seated by {least:g} MPa (y), and {pressed}"
        else:
            yield FilmChange(f"{one.name} of {sheet.thickness:g} mm", ((((*path, "material"),), one.name), *dropped))
