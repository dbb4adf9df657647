"""What a fit-up starts from and answers. Records only; mm."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from platemaker.errors import SurveyError
from platemaker.survey._equations import Array
from platemaker.survey._results import Pattern


class Scatter(StrEnum):
    """How holes scatter within their position zone of diameter T.

    uniform: anywhere in the zone alike (nothing known but the zone). normal: 3 standard deviations = T / 2 along each
    axis; 1.1 % of the holes then lie outside the zone. Both common practice, no source.
    """

    UNIFORM = "uniform"
    NORMAL = "normal"


class FastenerKind(StrEnum):
    """What goes through both parts."""

    BOLT = "bolt"
    DOWEL = "dowel"


class Freedom(StrEnum):
    """How the parts find each other: free to be pushed about until all bolts start, or held by something else."""

    FREE = "free"
    HELD = "held"


@dataclass(frozen=True)
class Slot:
    """A clearance hole drawn out by `travel` mm (centre to centre) along `angle`, degrees from X."""

    travel: float
    angle: float


@dataclass(frozen=True)
class Fastener:
    """One bolt or dowel: its own largest diameter and the smallest of its holes (MMC), mm.

    `other_hole` None: threaded or pressed into the second part (fixed fastener); else clearance on both sides
    (floating). `slot` applies to `hole`.
    """

    name: str
    diameter: float
    hole: float
    other_hole: float | None = None
    slot: Slot | None = None
    kind: FastenerKind = FastenerKind.BOLT

    def __post_init__(self) -> None:
        for what, hole in (("hole", self.hole), ("other hole", self.other_hole)):
            if hole is not None and not (math.isfinite(hole) and hole >= self.diameter > 0):
                message = (
                    f"{what} of {self.kind.value} {self.name}: {hole:g} mm, must be at least its diameter "
                    f"{self.diameter:g} mm (above 0)"
                )
                raise SurveyError(message)
        if self.slot is not None and self.slot.travel < 0:
            message = f"slot of {self.name}: travel {self.slot.travel:g} mm, must not be negative"
            raise SurveyError(message)

    @property
    def is_fixed(self) -> bool:
        """Whether one part holds the fastener's axis."""
        return self.other_hole is None

    @property
    def clearance(self) -> float:
        """Diametral clearance of both parts together, mm: what T1 + T2 may use up."""
        own = self.hole - self.diameter
        return own if self.other_hole is None else own + self.other_hole - self.diameter

    def opened(self, growth: float) -> Fastener:
        """The same with its clearance holes larger by `growth` mm in diameter; a dowel's stay."""
        if self.kind is FastenerKind.DOWEL:
            return self
        other = None if self.other_hole is None else self.other_hole + growth
        return Fastener(self.name, self.diameter, self.hole + growth, other, self.slot, self.kind)


@dataclass(frozen=True)
class Side:
    """One part's holes: the pattern (with its covariance if it was surveyed) and the position zone's diameter.

    `zone` is one diameter for all holes or one a hole, mm; 0 for a pattern transferred exactly.
    """

    pattern: Pattern
    zone: float | tuple[float, ...] = 0.0
    scatter: Scatter = Scatter.UNIFORM

    @property
    def zones(self) -> Array:
        """Zone diameter a hole, mm."""
        return np.broadcast_to(np.asarray(self.zone, dtype=float), (len(self.pattern.names),))


@dataclass(frozen=True)
class FitUp:
    """The question: two sides of one joint, in one frame, and their fasteners in the order of the patterns."""

    lower: Side
    upper: Side
    fasteners: tuple[Fastener, ...]
    freedom: Freedom = Freedom.FREE

    def __post_init__(self) -> None:
        counts = (len(self.lower.pattern.names), len(self.upper.pattern.names), len(self.fasteners))
        if len(set(counts)) != 1:
            message = f"fit-up: lower pattern, upper pattern and fasteners must be as many, met {counts}"
            raise SurveyError(message)
        for name, side in (("lower", self.lower), ("upper", self.upper)):
            zones = np.atleast_1d(np.asarray(side.zone, dtype=float))
            if zones.size not in (1, counts[0]) or not bool(np.isfinite(zones).all() and (zones >= 0).all()):
                message = f"fit-up: zone of the {name} side must be one or {counts[0]} diameters, 0 mm or more"
                raise SurveyError(message)


@dataclass(frozen=True)
class WorstCase:
    """One fastener by the fixed- or floating-fastener formula: needed = T1 + T2 (+ what is known), mm, diametral."""

    name: str
    formula: str
    allowed: float
    needed: float

    @property
    def margin(self) -> float:
        """Allowed less needed, mm: the bolt starts at worst when it is not negative."""
        return self.allowed - self.needed


@dataclass(frozen=True)
class Chance:
    """Share of samples in which all fasteners start, with the Wilson 95 % interval.

    `undecided`: samples that the solver could not decide; they count as not starting. `binding`: fasteners that stood
    in the way in failed samples, with their share of the blame, worst first.
    """

    probability: float
    low: float
    high: float
    samples: int
    seed: int
    undecided: int
    binding: tuple[tuple[str, float], ...]


@dataclass(frozen=True)
class FitUpResult:
    """The answer. `growth_...`: mm to add to the diameter of every bolt's clearance hole (negative: it could be that
    much smaller) for the worst case to hold, and for 99.9 % of the samples to start; None where no hole size does.
    """

    worst_cases: tuple[WorstCase, ...]
    chance: Chance
    growth_worst_case: float | None
    growth_999: float | None
    advice: tuple[str, ...]

    @property
    def worst_case_holds(self) -> bool:
        """Whether every fastener starts whatever the parts are within their zones."""
        return all(case.margin >= -1e-9 for case in self.worst_cases)
