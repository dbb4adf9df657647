"""What a reading with a named instrument is good for."""

from __future__ import annotations

import math
from collections.abc import Mapping
from types import MappingProxyType

from platemaker.errors import SpecError, nearest_word
from platemaker.records import Record, replace
from platemaker.survey._records import SharedErrors


class Instrument(Record):
    """`resolution`: smallest step of its scale; `setting`: standard deviation of laying it on by hand (jaws on the
    edge of a hole, a rule on an edge). Both in `unit`, mm or deg.

    `zero`, `scale`, `inside` and `outside` (jaws) are errors that all its readings share, as in `SharedErrors`.
    """

    name: str
    resolution: float
    setting: float
    unit: str = "mm"
    zero: tuple[float, float] = (0.0, 0.0)
    scale: tuple[float, float] = (0.0, 0.0)
    inside: tuple[float, float] = (0.0, 0.0)
    outside: tuple[float, float] = (0.0, 0.0)

    def sigma(self, repeats: int = 1) -> float:
        """Standard deviation of the mean of some readings: rounding to the scale does not average out, setting does.

        Rounding: uniform over one step, resolution / sqrt(12) (JCGM 100:2008, F.2.2.1).

        >>> round(INSTRUMENTS["steel rule"].sigma(), 3)   # sqrt(0.5^2 / 12 + 0.15^2)
        0.208
        """
        return math.sqrt(self.resolution**2 / 12.0 + self.setting**2 / repeats)

    @property
    def shared(self) -> SharedErrors:
        """The errors that all its readings share."""
        return SharedErrors(self.name, self.zero, self.scale, self.inside, self.outside)

    def read_to(self, resolution: float | None) -> Instrument:
        """The same laid on alike and read to another step of its scale, in `unit`; None: to its own."""
        return self if resolution is None else replace(self, resolution=resolution)


JAWS = (0.0, math.sqrt(1.0 / 5.0))
"""Square of the width of jaw flats that nobody measured, mm2: none, with the root mean square of widths of 0 to 1 mm,
all alike (the mean of f^4 over 0 to 1 is 1/5). Common practice, no source."""

INSTRUMENTS: dict[str, Instrument] = {
    instrument.name: instrument
    for instrument in (
        Instrument("digital caliper", 0.01, 0.03, inside=JAWS, outside=JAWS),
        Instrument("dial caliper", 0.02, 0.03, inside=JAWS, outside=JAWS),
        Instrument("vernier caliper", 0.05, 0.03, inside=JAWS, outside=JAWS),
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


def instrument_named(name: str, own: Mapping[str, Instrument] = MappingProxyType({})) -> Instrument:
    """The instrument of that name, one's `own` first.

    Raises SpecError with the names that are known and the nearest of them.
    """
    known = {**INSTRUMENTS, **own}
    if name in known:
        return known[name]
    problem = f"unknown instrument '{name}'"
    raise SpecError(problem, allowed=", ".join(known), nearest=nearest_word(name, known))
