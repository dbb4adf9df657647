"""What a fit-up starts from and answers. Records only; mm."""

from __future__ import annotations

import math
from enum import StrEnum

import numpy as np

from platemaker.errors import SurveyError
from platemaker.fit_up._arrays import Array
from platemaker.records import Record
from platemaker.survey import Pattern
from platemaker.units import Words

ROUNDING = 1e-9
"""A margin short of nothing by less than this, mm, is nothing."""


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


class DrawnSlot(Record):
    """A clearance hole drawn out by `travel` mm (centre to centre) along `angle`, degrees from X."""

    travel: float
    angle: float


class Fastener(Record):
    """One bolt or dowel: its own largest diameter and the smallest of its holes (MMC), mm.

    `other_hole` None: threaded or pressed into the second part (fixed fastener); else clearance on both sides
    (floating). `slot` applies to `hole`. At worst it is `thicker` than that, mm.
    """

    name: str
    diameter: float
    hole: float
    other_hole: float | None = None
    slot: DrawnSlot | None = None
    kind: FastenerKind = FastenerKind.BOLT
    thicker: float = 0.0

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

    @property
    def holes(self) -> int:
        """How many clearance holes it goes through: 1, or 2 when it floats."""
        return 1 if self.is_fixed else 2

    def opened(self, hole: float) -> Fastener:
        """The same with clearance holes of this diameter, mm; a dowel's stay."""
        if self.kind is FastenerKind.DOWEL:
            return self
        return Fastener(self.name, self.diameter, hole, None if self.is_fixed else hole, self.slot, self.kind)


class PatternSide(Record):
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


class FitUp(Record):
    """The question: two sides of one joint, in one frame, and their fasteners in the order of the patterns."""

    lower: PatternSide
    upper: PatternSide
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


class WorstCase(Record):
    """One fastener by the fixed- or floating-fastener formula: needed = T1 + T2 (+ what is known), mm, diametral."""

    name: str
    formula: str
    allowed: float
    needed: float

    @property
    def margin(self) -> float:
        """Allowed less needed, mm."""
        return self.allowed - self.needed

    @property
    def holds(self) -> bool:
        """Whether the fastener starts at worst: the margin is not negative."""
        return self.margin >= -ROUNDING


class Chance(Record):
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


class HoleForShare(Record):
    """The smallest clearance hole, mm, one size for all bolts on both sides, with which a share of the samples starts.

    It estimates the hole that lets that share of all assemblies start; `low` to `high` hold that one with 95 %
    confidence, whatever the distribution (order statistics). `high` None: too few samples.
    """

    diameter: float
    low: float
    high: float | None
    share: float
    samples: int
    seed: int


class FitUpResult(Record):
    """The answer. `hole_worst_case`, `hole_999`: the smallest clearance hole, mm, for the worst case to hold and for
    99.9 % to start, one size for all bolts on both sides, a slot's width as well (should bolts differ, for the thickest
    one; thinner ones get the same clearance); None where no hole size does. `advice`: ways out, where the chance is
    poor, each with the chance that it gives; `worst_case_advice`: those with which the worst case holds.
    """

    worst_cases: tuple[WorstCase, ...]
    chance: Chance
    hole_worst_case: float | None
    hole_999: HoleForShare | None
    advice: tuple[Words, ...]
    worst_case_advice: tuple[Words, ...]

    @property
    def worst_case_holds(self) -> bool:
        """Whether every fastener starts whatever the parts are within their zones."""
        return all(case.holds for case in self.worst_cases)
