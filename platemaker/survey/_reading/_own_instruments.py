"""Instruments that a survey file describes itself: one that is known, with what was found wrong with it."""

from __future__ import annotations

from collections.abc import Callable

from platemaker.errors import Location, SpecError, UnitError, nearest_word
from platemaker.records import replace
from platemaker.spec import ReadFile
from platemaker.survey._reading._instruments import INSTRUMENTS, Instrument
from platemaker.survey._reading._models import InstrumentModel, Value
from platemaker.units import LengthUnit, parse_length

FLAT_SIGMA = 0.1
"""Deviation of a jaw's flat that was measured, mm; common practice, no source."""
WIDEST = 10.0
"""Flats wider than this, mm, are no jaws'."""


def own_instruments(loaded: ReadFile, given: dict[str, InstrumentModel], units: LengthUnit) -> dict[str, Instrument]:
    """The instruments of a file by name. Raises SpecError for what is wrong with one."""
    return {name: _InstrumentReader(loaded, name, units).read(model) for name, model in given.items()}


class _InstrumentReader:
    def __init__(self, loaded: ReadFile, name: str, units: LengthUnit) -> None:
        self._loaded, self._name, self._units = loaded, name, units

    def read(self, model: InstrumentModel) -> Instrument:
        """The instrument: its own errors in place of those of what it is like."""
        if model.like not in INSTRUMENTS:
            problem = f"unknown instrument '{model.like}'"
            near = nearest_word(model.like, INSTRUMENTS)
            raise SpecError(problem, where=self._where("like"), allowed=", ".join(INSTRUMENTS), nearest=near)
        known = INSTRUMENTS[model.like]
        if known.unit != "mm" and len(model.model_fields_set) > 1:
            problem = f"a {known.name} has no shared errors that are counted"
            raise SpecError(problem, where=self._where(), allowed="like")
        return replace(
            known,
            name=self._name,
            zero=self._pair(model.zero, model.zero_sd, "zero", known.zero),
            scale=self._pair(model.scale, model.scale_sd, "scale", known.scale),
            inside=self._flat(model.inside_flat, model.inside_flat_sd, "inside_flat", known.inside),
            outside=self._flat(model.outside_flat, model.outside_flat_sd, "outside_flat", known.outside),
        )

    def _pair(
        self, value: Value | None, sigma: Value | None, key: str, known: tuple[float, float]
    ) -> tuple[float, float]:
        if value is None and sigma is None:
            return known
        mean = 0.0 if value is None else self._length(value, key, lambda _: True, "")
        return mean, 0.0 if sigma is None else self._length(sigma, f"{key}_sd", lambda sd: sd > 0, "above 0 mm")

    def _flat(
        self, value: Value | None, sigma: Value | None, key: str, known: tuple[float, float]
    ) -> tuple[float, float]:
        """Mean and deviation of the square of a flat f with deviation s: f^2 and 2 f s, or where f is 0 that of s^2."""
        if value is None and sigma is None:
            return known
        allowed = f"0 to {WIDEST:g} mm"
        flat = 0.0 if value is None else self._length(value, key, lambda f: 0 <= f <= WIDEST, allowed)
        if flat == 0.0 and sigma is None:
            return 0.0, 0.0
        sd = FLAT_SIGMA
        if sigma is not None:
            sd = self._length(sigma, f"{key}_sd", lambda found: found > 0, "above 0 mm")
        return flat**2, max(2 * flat * sd, sd**2)

    def _length(self, text: Value, key: str, sound: Callable[[float], bool], allowed: str) -> float:
        try:
            value = parse_length(text, self._units)
        except UnitError as fault:
            problem = f"instrument {self._name}: {fault}"
            raise SpecError(problem, where=self._where(key)) from fault
        if not sound(value):
            problem = f"instrument {self._name}: {key}"
            raise SpecError(problem, where=self._where(key), met=text, allowed=allowed)
        return value

    def _where(self, *keys: str) -> Location:
        return self._loaded.where(("instruments", self._name, *keys))
