"""What a reading with a named instrument is good for."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from platemaker.errors import SpecError, nearest_word


@dataclass(frozen=True)
class Instrument:
    """`resolution`: smallest step of its scale; `setting`: standard deviation of laying it on by hand (jaws on the
    edge of a hole, a rule on an edge). Both in `unit`, mm or deg.
    """

    name: str
    resolution: float
    setting: float
    unit: str = "mm"

    def sigma(self, repeats: int = 1) -> float:
        """Standard deviation of the mean of some readings: rounding to the scale does not average out, setting does.

        Rounding: uniform over one step, resolution / sqrt(12) (JCGM 100:2008, F.2.2.1).

        >>> round(INSTRUMENTS["steel rule"].sigma(), 3)   # sqrt(0.5^2 / 12 + 0.15^2)
        0.208
        """
        return math.sqrt(self.resolution**2 / 12.0 + self.setting**2 / repeats)

    def read_to(self, resolution: float | None) -> Instrument:
        """The same laid on alike and read to another step of its scale, in `unit`; None: to its own."""
        return self if resolution is None else replace(self, resolution=resolution)


INSTRUMENTS: dict[str, Instrument] = {
    instrument.name: instrument
    for instrument in (
        Instrument("digital caliper", 0.01, 0.03),
        Instrument("dial caliper", 0.02, 0.03),
        Instrument("vernier caliper", 0.05, 0.03),
        Instrument("height gauge", 0.01, 0.02),
        Instrument("steel rule", 0.5, 0.15),
        Instrument("tape measure", 1.0, 0.3),
        Instrument("vernier protractor", 1.0 / 12.0, 0.05, "deg"),
        Instrument("plain protractor", 1.0, 0.2, "deg"),
    )
}
"""Scales as usually sold; the deviations of setting are common practice, no source. A reading may state its own."""

DEFAULT_LENGTH = "digital caliper"
DEFAULT_ANGLE = "vernier protractor"

STATED_STRAIGHT = 0.05
"""Standard deviation, mm, of holes said to lie on one line; common practice, no source."""
STATED_ANGLE = 0.1
"""Standard deviation, degrees, of edges said to be square or parallel; common practice, no source."""


def instrument_named(name: str) -> Instrument:
    """The instrument of that name. Raises SpecError with the names that are known and the nearest of them."""
    if name in INSTRUMENTS:
        return INSTRUMENTS[name]
    problem = f"unknown instrument '{name}'"
    raise SpecError(problem, allowed=", ".join(INSTRUMENTS), nearest=nearest_word(name, INSTRUMENTS))
