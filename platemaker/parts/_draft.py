"""What the builders of parts have at hand: the project's spec and its joints."""

from __future__ import annotations

from collections.abc import Mapping

from platemaker.errors import unknown_name
from platemaker.parts._records._part import Joint
from platemaker.records import Record
from platemaker.spec import PartFields, ProjectSpec


class Draft(Record):
    """A project while its parts are being built."""

    spec: ProjectSpec
    joints: Mapping[str, Joint]

    def limits(self, model: PartFields) -> dict[str, float]:
        """The limits that a part's spec sets: the project's, overridden by its own."""
        return {**self.spec.model.limits.given(), **model.limits.given()}

    def limit_reasons(self, model: PartFields) -> dict[str, str]:
        """Why those limits are what they are, by name, where the spec says so."""
        own = model.limits.given()
        whole = {name: why for name, why in self.spec.model.limits.because.items() if name not in own}
        return {**whole, **model.limits.because}

    def joint(self, name: str, *path: str) -> Joint:
        """The joint called `name`, wanted at key `path`; SpecError with the nearest name when there is none."""
        if name in self.joints:
            return self.joints[name]
        raise unknown_name(name, sorted(self.joints), "joint", self.spec.where(*path))
