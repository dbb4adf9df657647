"""What a reading may say: faults of the input, each with its place in the file."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Iterator

from platemaker.errors import SpecError, SpecErrors, nearest_word
from platemaker.survey._records import (
    EDGE_HALF_DIAMETER,
    HALF_DIAMETERS,
    Datum,
    Feature,
    FeatureKind,
    Network,
    Reading,
    ReadingKind,
)

AGREE = 6.0
"""Two entries of one reading that differ by more standard deviations contradict each other."""

_WANTS = {
    **dict.fromkeys(HALF_DIAMETERS, "two round features"),
    **dict.fromkeys(EDGE_HALF_DIAMETER, "an edge and a round feature"),
    ReadingKind.DEPTH: "an edge and a stud, boss or parallel edge",
    ReadingKind.EDGE_TO_EDGE: "two edges",
    ReadingKind.SQUARE: "two edges",
    ReadingKind.PARALLEL: "two edges",
    ReadingKind.ANGLE: "two edges, or three round features with the corner in the middle",
    ReadingKind.STRAIGHT: "three or more round features",
    ReadingKind.DIAMETER: "one round feature",
}


def require_sound(network: Network) -> None:
    """Raise SpecErrors with every fault of features, readings and datum at once."""
    faults = faults_in(network)
    if faults:
        raise SpecErrors(in_order(faults))


def faults_in(network: Network) -> list[SpecError]:
    """Every fault of features, readings and datum."""
    return [*_feature_faults(network), *_reading_faults(network), *_datum_faults(network)]


def in_order(faults: Iterable[SpecError]) -> list[SpecError]:
    """Faults by their lines in the file."""
    return sorted(faults, key=lambda fault: (fault.where and fault.where.line) or 0)


def _feature_faults(network: Network) -> Iterator[SpecError]:
    seen: set[str] = set()
    for feature in network.features:
        if feature.name in seen:
            yield SpecError(f"feature {feature.name} is named twice", where=feature.where)
        seen.add(feature.name)
        if not feature.kind.is_round and feature.diameter is not None:
            yield SpecError(
                f"{feature.kind.value} {feature.name} is a straight line and has no diameter",
                where=feature.where, met=feature.diameter,
            )  # fmt: skip
        for what, value in (("diameter", feature.diameter), ("diameter's deviation", feature.diameter_sigma)):
            if value is not None and not (math.isfinite(value) and value > 0):
                yield SpecError(
                    f"{what} of {feature.name}", where=feature.where, met=value, allowed="above 0 mm"
                )  # fmt: skip


def _reading_faults(network: Network) -> Iterator[SpecError]:
    sound = []
    for reading in network.readings:
        own = [*_name_faults(network, reading)] or [*_value_faults(reading)]
        yield from own
        if not own:
            sound.append(reading)
    yield from _repeat_faults(sound)
    yield from _order_faults(sound)


def _name_faults(network: Network, reading: Reading) -> Iterator[SpecError]:
    known = network.by_name
    unknown = [name for name in dict.fromkeys(reading.features) if name not in known]
    for name in unknown:
        yield SpecError(
            f"{reading.title}: no feature {name}", where=reading.where,
            allowed=", ".join(known), nearest=nearest_word(name, known),
        )  # fmt: skip
    if unknown:
        return
    twice = next((name for name in reading.features if reading.features.count(name) > 1), None)
    if twice is not None:
        yield SpecError(f"{reading.title}: {twice} is measured with itself", where=reading.where)
    elif not _suits(reading.kind, [known[name] for name in reading.features]):
        kinds = ", ".join(f"{known[name].kind.value} {name}" for name in reading.features)
        problem = f"{reading.title}: met {kinds}"
        if reading.kind is ReadingKind.DEPTH and FeatureKind.HOLE in {known[n].kind for n in reading.features}:
            problem += " (a depth rod meets nothing at a hole: use hole_to_edge)"
        yield SpecError(problem, where=reading.where, allowed=_WANTS[reading.kind])


def _suits(kind: ReadingKind, features: list[Feature]) -> bool:
    rounds = sum(feature.kind.is_round for feature in features)
    lines = len(features) - rounds
    if kind is ReadingKind.ANGLE:
        return (rounds, lines) in ((3, 0), (0, 2))
    if kind is ReadingKind.STRAIGHT:
        return rounds >= 3 and not lines
    if kind is ReadingKind.DEPTH:
        hole = any(feature.kind is FeatureKind.HOLE for feature in features)
        return not hole and (rounds, lines) in ((1, 1), (0, 2))
    wanted = {"two round features": (2, 0), "an edge and a round feature": (1, 1), "two edges": (0, 2)}
    return (rounds, lines) == wanted.get(_WANTS[kind], (1, 0))


def allowed_instead(kind: ReadingKind, value: float) -> str | None:
    """What a reading may say in place of a value (mm or deg) that it cannot have; None where it can.

    >>> allowed_instead(ReadingKind.INSIDE, 0.0), allowed_instead(ReadingKind.ANGLE, 90.0)
    ('above 0 mm', None)
    """
    sound = math.isfinite(value) and value > 0 and (kind.unit == "mm" or value < 180)
    if sound:
        return None
    return "above 0 and below 180 deg" if kind.unit == "deg" else "above 0 mm"


def _value_faults(reading: Reading) -> Iterator[SpecError]:
    value, unit = reading.value, reading.kind.unit
    allowed = None if reading.kind.is_statement else allowed_instead(reading.kind, value)
    if allowed:
        yield SpecError(f"{reading.title}: value", where=reading.where, met=value, allowed=allowed)
    if not (math.isfinite(reading.sigma) and reading.sigma > 0):
        yield SpecError(
            f"{reading.title}: standard deviation", where=reading.where, met=reading.sigma, allowed=f"above 0 {unit}"
        )


def _same(reading: Reading) -> tuple[object, ...]:
    """What makes two entries the same reading."""
    ordered = reading.kind in (ReadingKind.SAME_SIDE, ReadingKind.STRAIGHT)
    if reading.kind is ReadingKind.ANGLE and len(reading.features) == 3:
        a, b, c = reading.features
        return reading.kind, b, frozenset((a, c))
    return reading.kind, reading.features if ordered else frozenset(reading.features)


def _repeat_faults(readings: list[Reading]) -> Iterator[SpecError]:
    seen: dict[tuple[object, ...], Reading] = {}
    for reading in readings:
        before = seen.setdefault(_same(reading), reading)
        if before is reading:
            continue
        apart, unit = abs(reading.value - before.value), reading.kind.unit
        if apart == 0:
            problem = f"{reading.title}: repeats reading {before.number} word for word"
        elif apart > AGREE * math.hypot(reading.sigma, before.sigma):
            problem = (
                f"{reading.title}: contradicts reading {before.number} ({before.value:g} {unit} there, "
                f"{reading.value:g} {unit} here); keep the right one"
            )
        else:
            problem = f"{reading.title}: was read before as reading {before.number}"
        yield SpecError(problem, where=reading.where, allowed="several values of one reading as a list in one entry")


def _order_faults(readings: list[Reading]) -> Iterator[SpecError]:
    """Near sides lie closer than centres, and these closer than far sides."""
    order = (ReadingKind.INSIDE, ReadingKind.CENTRES, ReadingKind.OUTSIDE)
    pairs: dict[frozenset[str], list[Reading]] = {}
    for reading in readings:
        if reading.kind in order:
            pairs.setdefault(frozenset(reading.features), []).append(reading)
    for group in pairs.values():
        group.sort(key=lambda reading: order.index(reading.kind))
        for near, far in itertools.pairwise(group):
            if near.kind is not far.kind and near.value >= far.value:
                problem = (
                    f"{far.title}: {far.value:g} mm contradicts {near.title}: {near.value:g} mm there, which must be "
                    "shorter"
                )
                yield SpecError(problem, where=far.where)


def _datum_faults(network: Network) -> Iterator[SpecError]:
    datum, known = network.datum, network.by_name
    rounds = [name for name, feature in known.items() if feature.kind.is_round]
    for role, name in _roles(datum):
        if name not in rounds:
            yield SpecError(
                f"{role} {name} is not a round feature", where=datum.where,
                allowed=", ".join(rounds), nearest=nearest_word(name, rounds),
            )  # fmt: skip
    if datum.origin == datum.x_towards:
        yield SpecError(f"X runs from {datum.origin} to itself", where=datum.where)
    for name in sorted(set(datum.left) & {*datum.right, datum.origin, datum.x_towards}):
        yield SpecError(f"{name} cannot also lie left of the X line", where=datum.where)
    for name in sorted(set(datum.right) & {datum.origin, datum.x_towards}):
        yield SpecError(f"{name} cannot also lie right of the X line", where=datum.where)


def _roles(datum: Datum) -> Iterator[tuple[str, str]]:
    yield "origin", datum.origin
    yield "x_towards", datum.x_towards
    yield from (("left", name) for name in datum.left)
    yield from (("right", name) for name in datum.right)
