"""What readers of a survey file share: the file, its units and instruments, and the faults met so far."""

from __future__ import annotations

import math
from collections.abc import Sequence

from msgspec import Struct

from platemaker.errors import Location, SpecError, UnitError
from platemaker.records import field
from platemaker.spec import ReadFile
from platemaker.survey._input import AGREE
from platemaker.survey._reading._instruments import Instrument, instrument_named
from platemaker.survey._reading._models import SurveyModel, Value, Values
from platemaker.units import LengthUnit, parse_length

LONGEST = 10_000.0
"""The longest length of a survey, as of a spec, mm."""


class SurveyFile(Struct):
    """One file on its way to a network; faults are collected and reported together.

    `own`: the instruments that the file describes. `used`: those whose readings share their errors.
    """

    loaded: ReadFile
    model: SurveyModel
    faults: list[SpecError] = field(default_factory=list)
    own: dict[str, Instrument] = field(default_factory=dict)
    used: dict[str, Instrument] = field(default_factory=dict)

    @property
    def units(self) -> LengthUnit:
        """The unit of bare numbers."""
        return LengthUnit(self.model.units)

    def length(self, text: Value) -> float:
        """A length in mm. Raises UnitError for what is none, or is longer than anything that is measured by hand."""
        found = parse_length(text, self.units)
        if abs(found) > LONGEST:
            message = f"{text!r} is out of range for a length; allowed: from -10 m to 10 m"
            raise UnitError(message)
        return found

    def fault(
        self, problem: str, where: Location, met: object = None, allowed: str = "", nearest: str | None = None
    ) -> None:
        """Note a fault."""
        self.faults.append(SpecError(problem, where=where, met=met, allowed=allowed, nearest=nearest))

    def instrument(self, name: str, where: Location) -> Instrument | None:
        """An instrument by name; None, and a fault, where there is none."""
        try:
            return instrument_named(name, self.own)
        except SpecError as fault:
            # The file's own instrument is reported where it stands, not again at all that it stands for.
            if name != self.model.instrument or where == self.loaded.where(("instrument",)):
                self.fault(fault.problem, where, allowed=fault.allowed, nearest=fault.nearest)
            return None

    def shared(self, instrument: Instrument | None) -> str:
        """The name under which readings share an instrument's errors. Who states an `sd` alone states all of it."""
        if instrument is None or instrument.unit != "mm":
            return ""
        self.used[instrument.name] = instrument
        return instrument.name

    def contradict(self, title: str, reads: Values, values: Sequence[float], single: float, where: Location) -> bool:
        """Whether repeated values lie too far apart for their deviation `single`, mm or degrees; notes the fault."""
        spread, most = max(values) - min(values), AGREE * math.sqrt(2.0) * single
        if spread <= most or single <= 0:  # a deviation that is none is a fault of its own
            return False
        unit = "deg" if " angle" in title else "mm"
        problem = f"{title}: its {len(values)} readings contradict each other, {spread:.3g} {unit} apart"
        if isinstance(reads, tuple) and all(isinstance(one, int) for one in reads):
            problem += " (if that is a decimal comma, write a point)"
        self.fault(problem, where, allowed=f"at most {most:.3g} {unit}")
        return True


def listed(given: Values | None) -> list[Value]:
    """The values of a reading, those left empty left out."""
    if given is None:
        return []
    return [one for one in given if one is not None] if isinstance(given, tuple) else [given]
