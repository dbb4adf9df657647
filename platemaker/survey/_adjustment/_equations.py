"""Readings as equations: what each would read at given unknowns, and how it changes with them.

Unknowns, in this order: x, y of every round feature; diameter of those whose diameter matters; for every edge the
angle of its normal (radians) and the offset c of the line n.p = c (mm). Before the edges stand the errors that readings
with one instrument share.
"""

from __future__ import annotations

import copy
import math
from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from platemaker.records import Record
from platemaker.survey._adjustment._pictures import (
    SHEAR,
    UNKNOWNS,
    Laid,
    laid_out,
    rigid_part,
    sheared,
    shown,
    starting,
)
from platemaker.survey._adjustment._shared import SCALED, ErrorKind, SharedError, half_short, jaws_of, shared_errors
from platemaker.survey._arrays import Array, Index
from platemaker.survey._records import (
    EDGE_HALF_DIAMETER,
    HALF_DIAMETERS,
    FeatureKind,
    Network,
    Reading,
    ReadingKind,
)

PARALLEL_SIGMA = 0.1
"""Degrees to which edges are held parallel when a width between them was read; common practice, no source."""


class Layout(Record):
    """Which unknown stands where."""

    rounds: tuple[str, ...]
    sized: tuple[str, ...]
    edges: tuple[str, ...]
    shared: tuple[SharedError, ...] = ()
    pictures: tuple[str, ...] = ()

    @property
    def size(self) -> int:
        """Number of unknowns."""
        own = 2 * len(self.rounds) + len(self.sized) + len(self.shared)
        return own + UNKNOWNS * len(self.pictures) + 2 * len(self.edges)

    def x(self, name: str) -> int:
        """Column of a round feature's x; y follows."""
        return 2 * self.rounds.index(name)

    def diameter(self, name: str) -> int:
        """Column of a round feature's diameter."""
        return 2 * len(self.rounds) + self.sized.index(name)

    def angle(self, name: str) -> int:
        """Column of an edge's normal angle; the offset follows."""
        return self.size - 2 * len(self.edges) + 2 * self.edges.index(name)

    def error(self, instrument: str, kind: ErrorKind) -> int | None:
        """Column of an error that readings with an instrument share; None where they share none."""
        for number, one in enumerate(self.shared):
            if (one.instrument, one.kind) == (instrument, kind):
                return 2 * len(self.rounds) + len(self.sized) + number
        return None

    def picture(self, number: int) -> int:
        """Column of the first unknown of a picture, by its number from 0."""
        return 2 * len(self.rounds) + len(self.sized) + len(self.shared) + UNKNOWNS * number

    def scale(self, lever: float) -> Array:
        """Factors that turn mm into unknowns: 1, but 1 / lever for angles and maps, so that all steps are lengths."""
        factors = np.ones(self.size)
        for number in range(len(self.pictures)):
            factors[self.picture(number) + 2 : self.picture(number) + UNKNOWNS] = 1.0 / lever
        factors[self.size - 2 * len(self.edges) :: 2] = 1.0 / lever
        return factors

    def rigid_modes(self, unknowns: Array) -> Array:
        """Change of the unknowns with a shift along X, along Y, and a turn about the origin: (size, 3)."""
        modes = np.zeros((self.size, 3))
        last = 2 * len(self.rounds)
        modes[0:last:2, 0] = 1.0
        modes[1:last:2, 1] = 1.0
        modes[0:last:2, 2] = -unknowns[1:last:2]
        modes[1:last:2, 2] = unknowns[0:last:2]
        first = self.size - 2 * len(self.edges)
        angles = unknowns[first::2]
        modes[first::2, 2] = 1.0
        modes[first + 1 :: 2, 0] = np.cos(angles)
        modes[first + 1 :: 2, 1] = np.sin(angles)
        for at in map(self.picture, range(len(self.pictures))):
            modes[at : at + UNKNOWNS] = rigid_part(unknowns[at : at + UNKNOWNS])
        return modes


class _Term(NamedTuple):
    """One equation of a family: its row, columns of its unknowns and factors of half diameters."""

    row: int
    columns: tuple[int, ...]
    factors: tuple[float, ...] = ()


class Observation(Record):
    """One equation: `reading` is None for a feature's own diameter, and for what is reported on a `shared` error.

    `value` and `sigma` in mm or radians. `seen`: the picture of a point's coordinate, which one, and what it shows.
    """

    reading: Reading | None
    features: tuple[str, ...]
    value: float
    sigma: float
    repeats: int = 1
    shared: SharedError | None = None
    seen: tuple[str, str, tuple[str, ...]] | None = None

    @property
    def joins(self) -> tuple[str, ...]:
        """The features that it holds together."""
        return self.seen[2] if self.seen else self.features

    @property
    def title(self) -> str:
        """Words for it: `reading 7, B-D inside` or `diameter of B`."""
        if self.shared is not None:
            return self.shared.title
        if self.seen is not None:
            return f"picture {self.seen[0]}, {self.features[0]} {self.seen[1]}"
        return f"diameter of {self.features[0]}" if self.reading is None else self.reading.title

    @property
    def is_length(self) -> bool:
        """Whether it is in mm. The parallel condition of a width is an angle."""
        kind = ReadingKind.DIAMETER if self.reading is None else self.reading.kind
        if self.shared is not None:
            return False
        held_parallel = kind in (ReadingKind.EDGE_TO_EDGE, ReadingKind.DEPTH) and self.value == 0.0
        return kind.unit == "mm" and not held_parallel

    @property
    def shown(self) -> tuple[float, str]:
        """The factor that gives its value in the reading's own unit, and that unit."""
        if self.shared is not None:
            return 1.0, "mm2" if self.shared.kind in (ErrorKind.INSIDE, ErrorKind.OUTSIDE) else "mm"
        return (1.0, "mm") if self.is_length else (math.degrees(1.0), "deg")


class Equations:
    """All equations of a network, grouped by family so that each is evaluated at once."""

    def __init__(self, network: Network) -> None:
        self.layout = layout_of(network)
        self.observations: list[Observation] = []
        self._families: dict[str, list[_Term]] = {}
        self._features = network.by_name
        self.inch = network.inch
        for name in self.layout.sized:
            feature = network.by_name[name]
            if feature.diameter is not None:
                observation = Observation(None, (name,), feature.diameter, feature.diameter_sigma, feature.repeats)
                jaws = [(name, ErrorKind.INSIDE, 2.0)] if feature.kind is FeatureKind.HOLE else []
                self._share(feature.instrument, jaws)
                self._add("size", observation, (self.layout.diameter(name),))
        for reading in network.readings:
            if reading.kind.unit == "mm" and not reading.kind.is_statement:
                self._share(reading.instrument, jaws_of(reading, self._features))
            self._read(reading)
        self.pictures = tuple(laid_out(picture, network) for picture in network.pictures)
        for number, laid in enumerate(self.pictures):
            self._see(number, laid)
        for number, error in enumerate(self.layout.shared):
            stated = Observation(None, (), error.mean, error.sigma, shared=error)
            self._add("size", stated, (2 * len(self.layout.rounds) + len(self.layout.sized) + number,))
        self.values = np.array([observation.value for observation in self.observations])
        self.sigmas = np.array([observation.sigma for observation in self.observations])
        self._packed = {family: _pack(terms) for family, terms in self._families.items()}

    def _add(
        self, family: str, observation: Observation, columns: tuple[int, ...], factors: tuple[float, ...] = ()
    ) -> None:
        self._families.setdefault(family, []).append(_Term(len(self.observations), columns, factors))
        self.observations.append(observation)

    def _share(self, instrument: str, jaws: list[tuple[str, ErrorKind, float]]) -> None:
        """Enter what the next equation shares with others of its instrument."""
        row, layout = len(self.observations), self.layout
        zero, scale = layout.error(instrument, ErrorKind.ZERO), layout.error(instrument, ErrorKind.SCALE)
        for name, jaw, factor in jaws:
            column = layout.error(instrument, jaw)
            if column is not None:
                self._families.setdefault("jaw", []).append(_Term(row, (layout.diameter(name), column), (factor,)))
        if scale is not None:
            self._families.setdefault("scale", []).append(_Term(row, (scale,)))
        if zero is not None:
            self._families.setdefault("zero", []).append(_Term(row, (zero,)))

    def _see(self, number: int, laid: Laid) -> None:
        """Enter the points of a picture, and that its shear is small."""
        at, name = self.layout.picture(number), laid.picture.name
        for feature, point in zip(laid.names, laid.points, strict=True):
            x = self.layout.x(feature)
            for axis, word in enumerate("xy"):
                value = float(point[axis])
                seen = Observation(None, (feature,), value, laid.sigma, seen=(name, word, laid.names))
                self._add("picture", seen, (at + axis, at + 2 + 2 * axis, at + 3 + 2 * axis, x, x + 1))
        for component in (0.0, 1.0):
            small = Observation(None, (), 0.0, SHEAR, shared=SharedError(name, ErrorKind.SHEAR, 0.0, SHEAR))
            self._add("shear", small, tuple(range(at + 2, at + UNKNOWNS)), (component,))

    def rest(self, points: Array) -> Array:
        """Unknowns to begin with after the diameters: shared errors as stated, maps of pictures of these points."""
        stated = [np.array([error.mean for error in self.layout.shared])]
        order = {name: i for i, name in enumerate(self.layout.rounds)}
        maps = [starting(laid, points[[order[name] for name in laid.names]]) for laid in self.pictures]
        return np.concatenate([*stated, *maps])

    def _read(self, reading: Reading) -> None:
        kind, names, layout = reading.kind, reading.features, self.layout
        edges = [name for name in names if name in layout.edges]
        plain = Observation(reading, names, reading.value, reading.sigma, reading.repeats)
        turned = Observation(reading, names, math.radians(reading.value), math.radians(reading.sigma), reading.repeats)
        if kind is ReadingKind.DIAMETER:
            self._add("size", plain, (layout.diameter(names[0]),))
        elif kind in HALF_DIAMETERS:
            factors = HALF_DIAMETERS[kind]
            self._add("span", plain, (*map(layout.x, names), *map(self._size_column, names, factors)), factors)
        elif kind in (ReadingKind.ANGLE, ReadingKind.SQUARE, ReadingKind.PARALLEL):
            columns = tuple(map(layout.angle if edges else layout.x, names))
            self._add("turn" if edges else "corner", turned, columns)
        elif kind is ReadingKind.STRAIGHT:
            for middle in names[1:-1]:
                three = (names[0], middle, names[-1])
                self._add("sag", Observation(reading, three, 0.0, reading.sigma), tuple(map(layout.x, three)))
        elif len(edges) == 2:
            columns = tuple(map(layout.angle, names))
            self._add("gap", plain, columns)
            self._add("turn", Observation(reading, names, 0.0, math.radians(PARALLEL_SIGMA)), columns)
        else:
            factor = EDGE_HALF_DIAMETER[kind]
            name = next(name for name in names if name not in edges)
            columns = (layout.angle(edges[0]), layout.x(name), self._size_column(name, factor))
            self._add("stand", plain, columns, (factor,))

    def _size_column(self, name: str, factor: float) -> int:
        return self.layout.diameter(name) if factor else 0

    def loosened(self, factor: float) -> Equations:
        """The same equations with deviations larger by a factor."""
        looser = copy.copy(self)
        looser.sigmas = self.sigmas * factor
        return looser

    def evaluate(self, unknowns: Array) -> tuple[Array, Array]:
        """What each would read (mm, radians) and its derivatives by the unknowns: (k,), (k, size)."""
        computed = np.zeros(len(self.observations))
        slopes = np.zeros((len(self.observations), len(unknowns)))
        for family in (*_FAMILIES, "gap", "turn", *_SHARED):
            if family not in self._packed:
                continue
            rows, columns, factors = self._packed[family]
            if family in _SHARED:  # on what the others computed: jaws first, then scale, then zero
                _SHARED[family](unknowns, rows, columns, factors, computed, slopes)
            elif family == "gap":
                _gap(unknowns, self.layout, rows, columns, computed, slopes)
            elif family == "turn":
                _turn(unknowns, self.values[rows], rows, columns, computed, slopes)
            else:
                _FAMILIES[family](unknowns, rows, columns, factors, computed, slopes)
        return computed, slopes


def layout_of(network: Network) -> Layout:
    """Unknowns of a network, in an order that does not depend on how it was written."""
    used: set[str] = set()
    for reading in network.readings:
        if reading.kind in HALF_DIAMETERS:
            used.update(n for n, s in zip(reading.features, HALF_DIAMETERS[reading.kind], strict=True) if s)
        elif EDGE_HALF_DIAMETER.get(reading.kind) or reading.kind is ReadingKind.DIAMETER:
            used.update(reading.features)
    rounds = tuple(sorted(f.name for f in network.features if f.kind.is_round))
    edges = tuple(sorted(f.name for f in network.features if not f.kind.is_round))
    sized, pictures = tuple(name for name in rounds if name in used), tuple(one.name for one in network.pictures)
    return Layout(rounds, sized, edges, shared_errors(network), pictures)


def _pack(terms: Sequence[_Term]) -> tuple[Index, Index, Array]:
    rows = np.array([term.row for term in terms], dtype=np.intp)
    return rows, np.array([t.columns for t in terms], dtype=np.intp).T, np.array([t.factors for t in terms]).T


def _size(u: Array, rows: Index, columns: Index, _factors: Array, computed: Array, slopes: Array) -> None:
    computed[rows] = u[columns[0]]
    slopes[rows, columns[0]] = 1.0


def _span(u: Array, rows: Index, columns: Index, factors: Array, computed: Array, slopes: Array) -> None:
    a, b, size_a, size_b = columns
    dx, dy = u[b] - u[a], u[b + 1] - u[a + 1]
    length = np.maximum(np.hypot(dx, dy), 1e-9)
    computed[rows] = length + (factors[0] * u[size_a] + factors[1] * u[size_b]) / 2
    for column, slope in ((a, -dx), (a + 1, -dy), (b, dx), (b + 1, dy)):
        slopes[rows, column] = slope / length
    slopes[rows, size_a] += factors[0] / 2
    slopes[rows, size_b] += factors[1] / 2


def _stand(u: Array, rows: Index, columns: Index, factors: Array, computed: Array, slopes: Array) -> None:
    edge, at, size = columns
    cos, sin, x, y = np.cos(u[edge]), np.sin(u[edge]), u[at], u[at + 1]
    signed = cos * x + sin * y - u[edge + 1]
    side = np.where(signed < 0, -1.0, 1.0)
    computed[rows] = np.abs(signed) + factors[0] * u[size] / 2
    slopes[rows, edge] = side * (cos * y - sin * x)
    slopes[rows, edge + 1] = -side
    slopes[rows, at] = side * cos
    slopes[rows, at + 1] = side * sin
    slopes[rows, size] += factors[0] / 2


def _corner(u: Array, rows: Index, columns: Index, _factors: Array, computed: Array, slopes: Array) -> None:
    a, b, c = columns
    ax, ay, cx, cy = u[a] - u[b], u[a + 1] - u[b + 1], u[c] - u[b], u[c + 1] - u[b + 1]
    signed = np.arctan2(ax * cy - ay * cx, ax * cx + ay * cy)
    side = np.where(signed < 0, -1.0, 1.0)
    aa, cc = np.maximum(ax**2 + ay**2, 1e-18), np.maximum(cx**2 + cy**2, 1e-18)
    computed[rows] = np.abs(signed)
    for offset, by_a, by_c in ((0, ay / aa, -cy / cc), (1, -ax / aa, cx / cc)):
        slopes[rows, a + offset] = side * by_a
        slopes[rows, c + offset] = side * by_c
        slopes[rows, b + offset] = -side * (by_a + by_c)


def _sag(u: Array, rows: Index, columns: Index, _factors: Array, computed: Array, slopes: Array) -> None:
    """Signed distance of the middle point from the line through the outer two."""
    a, b, c = columns
    dx, dy, px, py = u[c] - u[a], u[c + 1] - u[a + 1], u[b] - u[a], u[b + 1] - u[a + 1]
    length = np.maximum(np.hypot(dx, dy), 1e-9)
    sag, share = (dx * py - dy * px) / length, (dx * px + dy * py) / length**2
    nx, ny = -dy / length, dx / length
    computed[rows] = sag
    for offset, n in ((0, nx), (1, ny)):
        slopes[rows, b + offset] = n
        slopes[rows, c + offset] = -share * n
        slopes[rows, a + offset] = -(1 - share) * n


def _turn(u: Array, target: Array, rows: Index, columns: Index, computed: Array, slopes: Array) -> None:
    """Angle between two lines on that one of its branches (sign, half turns) that lies nearest the reading."""
    difference = u[columns[0]] - u[columns[1]]
    ahead, behind = _half_turn(difference - target), _half_turn(-difference - target)
    side = np.where(np.abs(ahead) <= np.abs(behind), 1.0, -1.0)
    computed[rows] = target + np.where(side > 0, ahead, behind)
    slopes[rows, columns[0]] = side
    slopes[rows, columns[1]] = -side


def _half_turn(angle: Array) -> Array:
    return np.asarray((angle + math.pi / 2) % math.pi - math.pi / 2)


def _gap(u: Array, layout: Layout, rows: Index, columns: Index, computed: Array, slopes: Array) -> None:
    """Distance between two nearly parallel lines, taken abreast of the mean of the round features."""
    last, e, f = 2 * len(layout.rounds), columns[0], columns[1]
    middle = u[:last].reshape(-1, 2).mean(axis=0) if last else np.zeros(2)
    facing = np.where(np.cos(u[e] - u[f]) < 0, -1.0, 1.0)
    signed, normals = [], []
    for edge in (e, f):
        normals.append(np.column_stack([np.cos(u[edge]), np.sin(u[edge])]))
        signed.append(normals[-1] @ middle - u[edge + 1])
    gap = signed[0] - facing * signed[1]
    side = np.where(gap < 0, -1.0, 1.0)
    computed[rows] = np.abs(gap)
    for edge, normal, factor in ((e, normals[0], side), (f, normals[1], -side * facing)):
        slopes[rows, edge] = factor * (normal[:, 0] * middle[1] - normal[:, 1] * middle[0])
        slopes[rows, edge + 1] = -factor
        if last:
            slopes[rows[:, None], np.arange(last)] += np.tile(factor[:, None] * normal * 2 / last, last // 2)


def _jaw(u: Array, rows: Index, columns: Index, factors: Array, computed: Array, slopes: Array) -> None:
    short, by_diameter, by_square = half_short(u[columns[0]], u[columns[1]])
    np.add.at(computed, rows, -factors[0] * short)
    np.add.at(slopes, (rows, columns[0]), -factors[0] * by_diameter)
    np.add.at(slopes, (rows, columns[1]), -factors[0] * by_square)


def _scale(u: Array, rows: Index, columns: Index, _factors: Array, computed: Array, slopes: Array) -> None:
    longer = 1.0 + u[columns[0]] / SCALED
    slopes[rows] *= longer[:, None]
    slopes[rows, columns[0]] += computed[rows] / SCALED
    computed[rows] *= longer


def _zero(u: Array, rows: Index, columns: Index, _factors: Array, computed: Array, slopes: Array) -> None:
    computed[rows] += u[columns[0]]
    slopes[rows, columns[0]] += 1.0


_SHARED = {"jaw": _jaw, "scale": _scale, "zero": _zero}
_FAMILIES = {
    "size": _size, "span": _span, "stand": _stand, "corner": _corner, "sag": _sag, "picture": shown, "shear": sheared,
}  # fmt: skip
