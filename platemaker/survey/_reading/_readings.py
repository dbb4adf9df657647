"""Readings of a survey file: statements, measured values with their deviations, and those not taken yet."""

from __future__ import annotations

import math

from platemaker.errors import Location, UnitError
from platemaker.records import Record, replace
from platemaker.survey._input import allowed_instead
from platemaker.survey._reading._base import SurveyFile, listed
from platemaker.survey._reading._instruments import DEFAULT_ANGLE, STATED_ANGLE, STATED_STRAIGHT
from platemaker.survey._reading._models import ReadingModel, Value, Values
from platemaker.survey._records import Reading, ReadingKind
from platemaker.units import parse_angle


def read_reading(file: SurveyFile, index: int, body: ReadingModel) -> Reading | None:
    """A reading; None, and a fault noted in the file, where it is none. One not taken yet has the value nan."""
    where = file.loaded.where(("readings", index))
    stated = [kind for kind in ReadingKind if getattr(body, kind.value) is not None]
    if len(stated) != 1:
        met = ", ".join(kind.value for kind in stated) or "none"
        file.fault(f"reading {index + 1}", where, met, f"exactly one of {', '.join(ReadingKind)}")
        return None
    kind, names = stated[0], getattr(body, stated[0].value)
    draft = Reading(index + 1, kind, (names,) if isinstance(names, str) else tuple(names), math.nan, 1.0, where)
    reader = _Reader(file, draft, body)
    return reader.statement() if kind.is_statement else reader.measured()


class _Reader(Record):
    file: SurveyFile
    draft: Reading
    body: ReadingModel

    def statement(self) -> Reading | None:
        """A statement on shape, with what it holds to."""
        draft, body = self.draft, self.body
        for key in ("reads", "sd", "resolution", "instrument"):
            if getattr(body, key) is not None:
                self._fault("a statement has no `" + key + "`", self._at(key), allowed="within")
                return None
        usual = STATED_STRAIGHT if draft.kind is ReadingKind.STRAIGHT else STATED_ANGLE
        sigma = usual if body.within is None else self._deviation(body.within, "within")
        if sigma is None:
            return None
        return replace(draft, value=90.0 if draft.kind is ReadingKind.SQUARE else 0.0, sigma=sigma)

    def measured(self) -> Reading | None:
        """A measured value, the mean of those of a list."""
        body = self.body
        if body.within is not None:
            self._fault("`within` is for statements", self._at("within"), allowed="sd")
            return None
        taken = listed(body.reads)
        if not taken and "reads" not in body.model_fields_set:
            wanted = f"reads: a value in {self.draft.kind.unit}"
            self._fault("nothing read", self._at(), allowed=wanted)
            return None
        values = self._values(body.reads) if taken else []
        if values is None:
            return None
        single, sigma, instrument = self._sigmas(max(len(values), 1))
        if single is None or sigma is None:
            return None
        if not values:
            return replace(self.draft, sigma=sigma, repeats=0, instrument=instrument)
        if body.reads is None or self.file.contradict(self.draft.title, body.reads, values, single, self._at("reads")):
            return None
        mean = math.fsum(values) / len(values)
        return replace(self.draft, value=mean, sigma=sigma, repeats=len(values), instrument=instrument)

    def _values(self, reads: Values | None) -> list[float] | None:
        """What was read, every value of a list on its own; None when one of them cannot be."""
        if reads is None or not isinstance(reads, tuple):
            value = None if reads is None else self._value(reads, "the value", "reads")
            return None if value is None else [value]
        found = [
            self._value(text, f"value {number} of {len(reads)}", "reads", number - 1)
            for number, text in enumerate(reads, start=1)
            if text is not None
        ]
        values = [value for value in found if value is not None]
        return values if len(values) == len(found) else None

    def _value(self, text: Value, which: str, *keys: str | int) -> float | None:
        value = self._parse(text, *keys)
        if value is None or (allowed := allowed_instead(self.draft.kind, value)) is None:
            return value
        word = "zero" if value == 0 else "negative" if value < 0 else "too large"
        self._fault(f"{which} is {word}", self._at(*keys), text, allowed)
        return None

    def _deviation(self, text: Value, key: str) -> float | None:
        value = self._parse(text, key)
        if value is None or value > 0:
            return value
        word = "resolution" if key == "resolution" else "standard deviation"
        self._fault(word, self._at(key), text, f"above 0 {self.draft.kind.unit}")
        return None

    def _sigmas(self, repeats: int) -> tuple[float | None, float | None, str]:
        """Standard deviation of one reading and of the mean, and the instrument whose errors it shares."""
        body, kind = self.body, self.draft.kind
        if body.sd is not None and body.resolution is not None:
            self._fault("both `sd` and `resolution`", self._at("resolution"), allowed="one of them")
            return None, None, ""
        stated = None if body.sd is None else self._deviation(body.sd, "sd")
        if body.sd is not None and body.instrument is None:
            return stated, None if stated is None else stated / math.sqrt(repeats), ""
        usual = DEFAULT_ANGLE if kind.unit == "deg" else self.file.model.instrument
        instrument = self.file.instrument(body.instrument or usual, self._at("instrument"))
        resolution = None if body.resolution is None else self._deviation(body.resolution, "resolution")
        if instrument is None or (resolution is None) is not (body.resolution is None):
            return None, None, ""
        if instrument.unit != kind.unit:
            problem = f"a {instrument.name} reads {instrument.unit}, not {kind.unit}"
            self._fault(problem, self._at("instrument"))
            return None, None, ""
        name = self.file.shared(instrument)
        if stated is not None:
            return stated, stated / math.sqrt(repeats), name
        read = instrument.read_to(resolution)
        return read.sigma(), read.sigma(repeats), name

    def _at(self, *keys: str | int) -> Location:
        return self.file.loaded.where(("readings", self.draft.number - 1, *keys))

    def _fault(self, problem: str, where: Location, met: object = None, allowed: str = "") -> None:
        self.file.fault(f"{self.draft.title}: {problem}", where, met, allowed)

    def _parse(self, text: Value, *keys: str | int) -> float | None:
        try:
            return parse_angle(text) if self.draft.kind.unit == "deg" else self.file.length(text)
        except UnitError as fault:
            self._fault(str(fault), self._at(*keys))
            return None
