"""What the builders of parts have at hand: the project's spec and its joints."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from platemaker.errors import SpecError, nearest_word
from platemaker.parts._part import Joint
from platemaker.spec import PartFields, ProjectSpec


@dataclass(frozen=True)
class Draft:
    """A project while its parts are being built."""

    spec: ProjectSpec
    joints: Mapping[str, Joint]

    def limits(self, model: PartFields) -> dict[str, float]:
        """The limits that a part's spec sets: the project's, overridden by its own."""
        return {**self.spec.model.limits.given(), **model.limits.given()}

    def joint(self, name: str, *path: str) -> Joint:
        """The joint called `name`, wanted at key `path`; SpecError with the nearest name when there is none."""
        if name in self.joints:
            return self.joints[name]
        known = sorted(self.joints)
        problem = f"no joint is called '{name}'"
        raise SpecError(
            problem,
            where=self.spec.where(*path),
            met=name,
            allowed=", ".join(known) or "none is declared",
            nearest=nearest_word(name, known),
        )
