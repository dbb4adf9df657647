"""Faults of validation, reported where they stand in the file and in our own words."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from pydantic import BaseModel, ValidationError

from platemaker.errors import Location, SpecError, SpecErrors, nearest_word
from platemaker.records import replace
from platemaker.spec._fault_texts import Fault, describe, spec_error
from platemaker.spec._schema_path import SchemaPaths, fields_of
from platemaker.spec._yaml import KeyPath, dotted


def located(
    error: ValidationError, data: Mapping[str, Any], where: Callable[..., Location], model: type[BaseModel]
) -> SpecErrors:
    """Every fault that `model` found in `data`, in the order of the files' lines.

    `where(*path)` gives the place of a key path, or of its nearest parent where there is none. Of a union without a
    tag only the member is reported that the data most looks like. A missing key is not reported beside a misspelt one
    that stands for it.
    """
    reporter = _Reporter(data, where, SchemaPaths(model))
    faults = [reporter.fault(details) for details in error.errors(include_url=False)]
    settled = reporter.settled([fault for fault in faults if not fault.is_echo])
    errors: dict[str, SpecError] = {}
    for fault in reporter.without_twins(settled):
        one = fault if isinstance(fault, SpecError) else reporter.error(fault)
        errors.setdefault(one.message(), one)
    return SpecErrors(sorted(errors.values(), key=_reading_order))


def _reading_order(error: SpecError) -> tuple[str, int]:
    return (str(error.where.file), error.where.line or 0) if error.where else ("", 0)


class _Reporter:
    """The faults of one mapping against one model."""

    def __init__(self, data: Mapping[str, Any], where: Callable[..., Location], paths: SchemaPaths) -> None:
        self._data = data
        self._where = where
        self._paths = paths

    def fault(self, details: Any) -> Fault:
        return Fault(
            self._paths.place(details["loc"]), details["type"], details["input"], details.get("ctx", {}), details["msg"]
        )

    def error(self, fault: Fault) -> SpecError:
        path = fault.path
        # What is missing has no line: it is reported at its parent's.
        place = self._where(*(path[:-1] if fault.is_absent else path))
        nearest = home = None
        if fault.kind == "extra_forbidden":
            nearest, home = self._nearest_key(fault), self._home(fault)
        return spec_error(fault, replace(place, key=dotted(path)), nearest, home)

    def settled(self, faults: list[Fault], depth: int = 0) -> list[Fault | SpecError]:
        """The faults, each union settled on one of its members."""
        kept: list[Fault | SpecError] = []
        unions: dict[KeyPath, dict[str, list[Fault]]] = {}
        for fault in faults:
            if len(fault.place.forks) <= depth:
                kept.append(fault)
            else:
                fork = fault.place.forks[depth]
                unions.setdefault(fork.path, {}).setdefault(fork.member, []).append(fault)
        for path, members in unions.items():
            likeliest = max(members.values(), key=lambda group: self._likeness(path, group, depth))
            if self._likeness(path, likeliest, depth)[:2] > (True, 0):
                kept.extend(self.settled(likeliest, depth + 1))
            else:
                kept.append(self._no_member(path, members, depth))
        return kept

    def without_twins(self, faults: list[Fault | SpecError]) -> list[Fault | SpecError]:
        """The faults without missing keys that stand in the file misspelt."""
        meant = {
            (*fault.path[:-1], self._nearest_key(fault))
            for fault in faults
            if isinstance(fault, Fault) and fault.kind == "extra_forbidden"
        }
        return [fault for fault in faults if not (isinstance(fault, Fault) and fault.is_absent and fault.path in meant)]

    def _likeness(self, path: KeyPath, group: list[Fault], depth: int) -> tuple[bool, float, int]:
        """How much the data at `path` looks like the union's member of this group; more is liker."""
        here = [fault for fault in group if fault.place.path == path]
        if any(fault.is_mismatch for fault in here):
            return False, 0.0, -len(group)
        value = self._value(path)
        keys = fields_of(group[0].place.forks[depth].schema)
        if not isinstance(value, dict) or not keys:
            return all(fault.kind != "value_error" for fault in here), 1.0, -len(group)
        alike = sum(1.0 if key in keys else 0.5 if nearest_word(key, keys) else 0.0 for key in value)
        return True, alike, -len(group)

    def _no_member(self, path: KeyPath, members: dict[str, list[Fault]], depth: int) -> SpecError:
        forks = [group[0].place.forks[depth] for group in members.values()]
        allowed = forks[0].words or ", or ".join(dict.fromkeys(describe(fork.schema) for fork in forks))
        raised = [fault for group in members.values() for fault in group if fault.kind == "value_error"]
        where = self._where(*path)
        if raised:
            reporter = self.error(raised[0])
            return SpecError(reporter.problem, where=where, met=reporter.met, allowed=allowed)
        value = self._value(path)
        met = value if isinstance(value, str | int | float) else None
        return SpecError("none of the allowed forms", where=where, met=met, allowed=allowed)

    def _value(self, path: KeyPath) -> Any:
        value: Any = self._data
        for step in path:
            try:
                value = value[step]
            except (KeyError, IndexError, TypeError):
                return None
        return value

    def _nearest_key(self, fault: Fault) -> str | None:
        """The valid key that an unknown one stands for: rather one that the mapping lacks."""
        unknown, keys = str(fault.path[-1]), fields_of(fault.place.above)
        present = self._value(fault.path[:-1]) or ()
        return nearest_word(unknown, (key for key in keys if key not in present)) or nearest_word(unknown, keys)

    def _home(self, fault: Fault) -> str | None:
        """The one key beside an unknown one under which it is known."""
        unknown, keys = str(fault.path[-1]), fields_of(fault.place.above)
        homes = [key for key, field in keys.items() if unknown in fields_of(self._paths.bare(field))]
        return homes[0] if len(homes) == 1 else None
