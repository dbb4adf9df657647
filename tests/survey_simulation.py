"""Simulated surveys of castings with known truth, planted blunders, and what is said of them.

Used by the tests and by docs/build_survey_reliability.py. Noise is normal with the stated deviations. All is drawn from
seeded generators: the same seed gives the same survey.
"""

from __future__ import annotations

import functools
import math
import re
from collections.abc import Callable

import numpy as np

from platemaker.errors import SpecError, SpecErrors, SurveyError
from platemaker.records import Record, field, replace
from platemaker.survey import (
    Datum,
    Feature,
    FeatureKind,
    Network,
    Pattern,
    Reading,
    ReadingKind,
    SharedErrors,
    Survey,
    best_fit,
    solve,
)

PLAY = 0.5
"""How far a hole may lie off before its bolt does not start, mm: half of 9 less 8, an M8 bolt in an ISO 273 medium hole."""
SIGMA, DIAMETER_SIGMA = 0.03, 0.03
"""Deviations of a reading and of a diameter, mm: a digital caliper."""
HALVES = {
    ReadingKind.INSIDE: (-0.5, -0.5),
    ReadingKind.OUTSIDE: (0.5, 0.5),
    ReadingKind.SAME_SIDE: (0.5, -0.5),
    ReadingKind.CENTRES: (0.0, 0.0),
}
"""What each kind of reading adds to the distance of centres, in diameters of its two features."""


class Casting(Record):
    """A simulated survey with its truth: places in the datum's frame and diameters by name."""

    network: Network
    places: dict[str, tuple[float, float]]
    diameters: dict[str, float]
    flats: dict[str, tuple[float, float]] = field(default_factory=dict)

    def true_value(self, kind: ReadingKind, names: tuple[str, str]) -> float:
        """What a reading between two round features would be without any error."""
        first, second = HALVES[kind]
        span = math.dist(self.places[names[0]], self.places[names[1]])
        return span + self.reach(names[0], first) + self.reach(names[1], second)

    def reach(self, name: str, share: float) -> float:
        """A share of the diameter as a jaw meets it: `flats` are those of the inside and outside jaws in a hole, mm."""
        inside, outside = self.flats.get(name, (0.0, 0.0))
        return share * math.sqrt(self.diameters[name] ** 2 - (inside if share > 0 else outside) ** 2)


def laid_out(rng: np.random.Generator, count: int) -> np.ndarray:
    """Places of holes: scattered, two rows, or round a flange; none nearer than 16 mm to another."""
    form = rng.integers(3)
    while True:
        if form == 0:
            places = rng.uniform(0, 60 * math.sqrt(count), (count, 2))
        elif form == 1:
            pitch, apart, row = rng.uniform(40, 90), rng.uniform(60, 150), (count + 1) // 2
            rough = [(i * pitch, 0.0) for i in range(row)] + [(i * pitch, apart) for i in range(count - row)]
            places = np.array(rough) + rng.normal(0, float(rng.choice([0.3, 3.0, 8.0])), (count, 2))
        else:
            turns = np.linspace(0, math.tau, count, endpoint=False) + rng.normal(0, 0.1 / count, count)
            radius = 20 + 20 * count / math.pi
            places = radius * np.column_stack([np.cos(turns), 0.6 * np.sin(turns)])
            places += rng.normal(0, float(rng.choice([0.3, 3.0])), (count, 2))
        apart_all = np.linalg.norm(places[:, None] - places[None], axis=2) + np.eye(count) * 1e9
        if apart_all.min() > 16:
            return places[rng.permutation(count)]


def casting(
    seed: int, count: int, links: int = 5, noise: float = 1.0, flats: tuple[float, float] = (0.0, 0.0),
    caliper: SharedErrors | None = None,
) -> Casting:  # fmt: skip
    """A casting of `count` round features, each read from up to `links` earlier ones; some with edges.

    `noise` multiplies the errors of the readings (0 for exact ones). `flats`, mm, are those of the caliper's inside and
    outside jaws; `caliper` what is reported on it.
    """
    rng = np.random.default_rng(seed)
    own = caliper.name if caliper else ""
    places = laid_out(rng, count)
    names = [f"H{i:02d}" for i in range(count)]
    same = float(rng.choice([8.4, 10.5, 13.0]))
    diameters = np.where(rng.random(count) < 0.5, same, rng.uniform(6, 15, count))
    kinds = [list(FeatureKind)[i] for i in rng.choice(3, count, p=[0.6, 0.2, 0.2])]
    arm = places[1] - places[0]
    turn = math.atan2(arm[1], arm[0])
    matrix = np.array([[math.cos(turn), math.sin(turn)], [-math.sin(turn), math.cos(turn)]])
    truth = (places - places[0]) @ matrix.T
    made = Casting(
        Network((), (), Datum("", "")),
        dict(zip(names, ((float(x), float(y)) for x, y in truth), strict=True)),
        dict(zip(names, map(float, diameters), strict=True)),
        {name: flats for name, kind in zip(names, kinds, strict=True) if kind is FeatureKind.HOLE},
    )
    features = [
        Feature(
            name, kind, made.reach(name, 1.0) + float(noise * rng.normal(0, DIAMETER_SIGMA)), DIAMETER_SIGMA,
            instrument=own,
        )
        for name, kind in zip(names, kinds, strict=True)
    ]  # fmt: skip
    readings: list[Reading] = []

    def read(kind: ReadingKind, pair: tuple[str, ...], value: float) -> None:
        error = noise * rng.normal(0, SIGMA)
        readings.append(Reading(len(readings) + 1, kind, pair, float(value + error), SIGMA, instrument=own))

    pairs = {(int(j), i) for i in range(1, count) for j in rng.choice(i, min(i, links), replace=False)}
    for i, j in sorted(pairs):
        pair = (names[i], names[j]) if rng.random() < 0.5 else (names[j], names[i])
        chosen = rng.permutation(len(HALVES))[: 2 if rng.random() < 0.25 else 1]
        for kind in (list(HALVES)[k] for k in chosen):
            read(kind, pair, made.true_value(kind, pair))
    if rng.random() < 0.3:
        for edge, angle in (("E1", 0.02), ("E2", 0.02 + math.pi / 2)):
            normal = np.array([math.cos(angle), math.sin(angle)])
            heights = places @ normal
            features.append(Feature(edge, FeatureKind.EDGE))
            for i in rng.choice(count, min(5, count), replace=False):
                read(
                    ReadingKind.HOLE_TO_EDGE,
                    (names[i], edge),
                    heights[i] - heights.min() + 15 + made.reach(names[i], -0.5),
                )
    far = int(np.argmax(np.abs(truth[:, 1])))
    side = {"left" if truth[far, 1] > 0 else "right": (names[far],)}
    return replace(
        made,
        network=Network(
            tuple(features), tuple(readings), Datum(names[0], names[1], **side), (caliper,) if caliper else ()
        ),
    )


Planted = tuple[Network, str]
"""A network with a blunder, and the title of what is wrong in it."""


def _spans(one: Casting) -> list[Reading]:
    return [reading for reading in one.network.readings if reading.kind in HALVES]


def _pick(rng: np.random.Generator, among: list[Reading]) -> Reading:
    return among[int(rng.integers(len(among)))]


def _with_value(one: Casting, reading: Reading, value: float) -> Planted:
    changed = replace(reading, value=round(value, 4))
    readings = tuple(changed if other is reading else other for other in one.network.readings)
    return replace(one.network, readings=readings), reading.title


def _off_by(one: Casting, rng: np.random.Generator, size: float) -> Planted:
    reading = _pick(rng, list(one.network.readings))
    size *= float(rng.choice([-1, 1]))
    return _with_value(one, reading, reading.value + (size if reading.value + size > 1 else -size))


def _not_seated(one: Casting, rng: np.random.Generator) -> Planted:
    return _off_by(one, rng, rng.uniform(0.2, 1.0))


def _millimetres(one: Casting, rng: np.random.Generator) -> Planted:
    return _off_by(one, rng, float(rng.integers(1, 6)))


def _centimetres(one: Casting, rng: np.random.Generator) -> Planted:
    return _off_by(one, rng, 10.0 * float(rng.integers(1, 6)))


def _digits_swapped(one: Casting, rng: np.random.Generator) -> Planted:
    while True:
        reading = _pick(rng, list(one.network.readings))
        digits = list(f"{reading.value:.2f}")
        at = [i for i in range(len(digits) - 1) if digits[i] != digits[i + 1] and "." not in digits[i : i + 2]]
        at = [i for i in at if not (i == 0 and digits[1] == "0")]
        if at:
            i = at[int(rng.integers(len(at)))]
            digits[i], digits[i + 1] = digits[i + 1], digits[i]
            return _with_value(one, reading, float("".join(digits)))


def _point_shifted(one: Casting, rng: np.random.Generator) -> Planted:
    reading = _pick(rng, list(one.network.readings))
    return _with_value(one, reading, reading.value * float(rng.choice([0.1, 10.0])))


def _digit_left_out(one: Casting, rng: np.random.Generator) -> Planted:
    while True:
        reading = _pick(rng, list(one.network.readings))
        text = f"{reading.value:.2f}"
        at = [i for i, digit in enumerate(text) if digit != "."]
        left = text[: at[(k := int(rng.integers(len(at))))]] + text[at[k] + 1 :]
        if left[0] != "." and float(left) > 0 and abs(float(left) - reading.value) > 0.005:
            return _with_value(one, reading, float(left))


def _inches(one: Casting, rng: np.random.Generator) -> Planted:
    reading = _pick(rng, list(one.network.readings))
    return _with_value(one, reading, reading.value / 25.4)


def _other_kind(one: Casting, rng: np.random.Generator) -> Planted:
    reading = _pick(rng, _spans(one))
    names = (reading.features[0], reading.features[1])
    others = [kind for kind in HALVES if kind is not reading.kind]
    kind = others[int(rng.integers(len(others)))]
    error = reading.value - one.true_value(reading.kind, names)
    return _with_value(one, reading, one.true_value(kind, names) + error)


def _other_hole(one: Casting, rng: np.random.Generator) -> Planted:
    while True:
        reading = _pick(rng, _spans(one))
        names = (reading.features[0], reading.features[1])
        near = sorted(one.places, key=lambda name: math.dist(one.places[name], one.places[names[1]]))
        near = [name for name in near if name not in names][:3]
        if near:
            other = near[int(rng.integers(len(near)))]
            error = reading.value - one.true_value(reading.kind, names)
            return _with_value(one, reading, one.true_value(reading.kind, (names[0], other)) + error)


def _diameter(one: Casting, rng: np.random.Generator) -> Planted:
    used = {
        name for reading in one.network.readings for name in reading.features if reading.kind is not ReadingKind.CENTRES
    }
    chosen = sorted(used & set(one.diameters))
    name = chosen[int(rng.integers(len(chosen)))]
    off = float(rng.uniform(0.5, 4.0) * rng.choice([-1, 1]))
    features = tuple(
        replace(feature, diameter=(feature.diameter or 0.0) + off) if feature.name == name else feature
        for feature in one.network.features
    )
    return replace(one.network, features=features), f"diameter of {name}"


BLUNDERS: dict[str, Callable[[Casting, np.random.Generator], Planted]] = {
    "jaws not seated, 0.2 to 1 mm": _not_seated,
    "1 to 5 mm misread": _millimetres,
    "10 to 50 mm misread": _centimetres,
    "two digits swapped": _digits_swapped,
    "a digit left out": _digit_left_out,
    "decimal point shifted": _point_shifted,
    "inches written as mm": _inches,
    "outside for inside and the like": _other_kind,
    "a neighbouring hole read": _other_hole,
    "a diameter wrong by 0.5 to 4 mm": _diameter,
}
"""Kinds of blunder, one reading or diameter wrong in each."""
TWO = "two readings wrong, one by 1 to 5, one by 10 to 50 mm"


class Said(Record):
    """What a survey says: whether it was refused, which readings it names, and how far the answer is off, mm.

    `off`: the largest misfit of the holes after the best shift and turn; `in_frame`: the same in the datum's frame.
    `unchecked`, `unchecked_in_frame`: whether it says that an unnoticed misreading could move a hole by more than PLAY.
    """

    refused: bool
    named: tuple[str, ...]
    off: float
    in_frame: float
    unchecked: bool
    unchecked_in_frame: bool
    survey: Survey | None = None

    @property
    def warned_of(self) -> set[str]:
        """The readings of which it says that they could be wrong unnoticed."""
        if self.survey is None:
            return set()
        weak = (*self.survey.weak(placed=True), *self.survey.weak())
        return {*self.survey.unchecked, *(one.title for one in weak if one.shift > PLAY)}

    @property
    def silent(self) -> bool:
        """Whether nothing at all is said against the answer."""
        return not (self.refused or self.named or self.unchecked)


def said_of(one: Casting, network: Network | None = None) -> Said:
    """What is said of a survey, and how far its answer is off."""
    try:
        found = solve(network or one.network)
    except (SurveyError, SpecError, SpecErrors) as fault:
        named = re.findall(r"reading \d+, \S+ [a-z ]+?(?=[;:,]|$)|diameter of \w+", str(fault))
        return Said(True, tuple(dict.fromkeys(named)), math.nan, math.nan, True, True)
    named = tuple(title for suspect in found.suspects for title in (suspect.judged.title, *suspect.alternatives))
    names = tuple(one.places)
    truth = Pattern(names, tuple(one.places[name] for name in names))
    off = best_fit(found.pattern(names), truth).largest.distance
    in_frame = max(math.dist(found.point(name).place, one.places[name]) for name in names)
    return Said(
        False, named, off, in_frame,
        any(weak.shift > PLAY for weak in found.weak(placed=True)),
        any(weak.shift > PLAY for weak in found.weak()),
        found,
    )  # fmt: skip


@functools.lru_cache(maxsize=1024)
def determined(seed: int, smallest: int, largest: int) -> Casting:
    """A casting whose readings, without a blunder, determine it."""
    rng = np.random.default_rng(10_000_000 + seed)
    count, links = int(rng.integers(smallest, largest + 1)), int(rng.integers(3, 7))
    for number in range(100):
        one = casting(100 * seed + number, count, links)
        if not said_of(one).refused:
            return one
    message = f"no casting of {count} holes is determined"
    raise RuntimeError(message)


class Outcome(Record):
    """What became of one planted blunder; `named` of those that something is said of.

    `warned`: a hole is wrong by more than PLAY, and all that is said is that a misreading could go unnoticed;
    `warned_of`: it is said of the reading that is wrong.
    """

    silent: bool
    silent_in_frame: bool
    spoken: bool
    named: bool
    count: int
    refused: bool
    unchecked: bool
    warned: bool
    warned_of: bool


def outcome(kind: str, seed: int) -> Outcome:
    """Plant one blunder of a kind (or TWO) in a determined casting of 4 to 20 holes, and hear what is said."""
    rng = np.random.default_rng(20_000_000 + seed)
    one = determined(seed, 4, 20)
    if kind == TWO:
        network, first = _millimetres(one, rng)
        network, second = _centimetres(replace(one, network=network), rng)
        wrong = {first, second}
    else:
        network, title = BLUNDERS[kind](one, rng)
        wrong = {title}
    said = said_of(one, network)
    spoken = said.refused or bool(said.named)
    # A refusal names what to look at first; the rest follows when that is right.
    found = bool(wrong & set(said.named)) if said.refused else wrong <= set(said.named)
    warned = not spoken and max(said.off, said.in_frame) > PLAY
    return Outcome(
        said.silent and said.off > PLAY,
        not (spoken or said.unchecked_in_frame) and said.in_frame > PLAY,
        spoken, spoken and found, len(set(said.named)), said.refused, said.unchecked,
        warned, warned and wrong <= said.warned_of,
    )  # fmt: skip


class Clean(Record):
    """What is said of readings without a blunder: found, refused or a false figure; `checked`: by its exact readings."""

    refused: bool
    false_figure: bool
    suspects: int
    checked: bool


def clean(seed: int, smallest: int, largest: int) -> Clean:
    """A casting without a blunder, whether its readings determine it or not."""
    rng = np.random.default_rng(30_000_000 + seed)
    count, links = int(rng.integers(smallest, largest + 1)), int(rng.integers(3, 7))
    one = casting(40_000_000 + seed, count, links)
    said = said_of(one)
    exact = said_of(casting(40_000_000 + seed, count, links, noise=0.0))
    reach = max((point.ellipse.semi_major for point in said.survey.points), default=0.0) if said.survey else 0.0
    # A hole outside three times the longest 95 % half axis of all: by chance once in 10^12.
    return Clean(
        said.refused, said.off > max(PLAY, 3 * reach), len(said.named), not exact.refused and not exact.unchecked
    )


JAWS = (0.0, math.sqrt(0.2))
JAW_CASES: dict[str, tuple[Callable[[np.random.Generator], tuple[float, float]], SharedErrors | None]] = {
    "knife-edged jaws": (lambda rng: (0.0, 0.0), None),
    "flats of 0 to 1 mm, nothing stated": (
        lambda rng: (rng.uniform(0, 1), rng.uniform(0, 1)), SharedErrors("caliper", inside=JAWS, outside=JAWS),
    ),
    "inside jaws 1 mm, outside none, nothing stated": (
        lambda rng: (1.0, 0.0), SharedErrors("caliper", inside=JAWS, outside=JAWS),
    ),
    "flats of 1 mm to 0.1 mm, stated": (
        lambda rng: (rng.normal(1, 0.1), rng.normal(1, 0.1)), SharedErrors("caliper", inside=(1, 0.2), outside=(1, 0.2)),
    ),
    "inside jaws 1 mm, counted as none": (lambda rng: (1.0, 0.0), None),
}  # fmt: skip
"""Flats of the inside and outside jaws, and what the survey is given of them; the last shows what is then lost.

Those of 0 to 1 mm with nothing stated are given as a known caliper's: none, to the root of the mean of f^4, sqrt(1/5)."""


def covered(
    seeds: range, flats: Callable[[np.random.Generator], tuple[float, float]], caliper: SharedErrors | None
) -> list[bool]:
    """Whether the 95 % ellipses of castings of 4 to 12 holes hold the true places, all holes but the datum's two."""
    found = []
    for seed in seeds:
        rng = np.random.default_rng(50_000_000 + seed)
        one = casting(60_000_000 + seed, int(rng.integers(4, 13)), 5, flats=flats(rng), caliper=caliper)
        said = said_of(one)
        if said.survey is None:
            continue
        for point in said.survey.points:
            if point.name not in (one.network.datum.origin, one.network.datum.x_towards):
                x, y = one.places[point.name]
                found.append(point.ellipse.holds((x - point.x, y - point.y)))
    return found
