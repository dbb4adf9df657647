"""What the builders of parts have at hand: the project's spec and its joints."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from platemaker.errors import unknown_name
from platemaker.parts._records._part import Joint
from platemaker.spec import PartFields, ProjectSpec, Shape


@dataclass(frozen=True)
class Draft:
    """A project while its parts are being built."""

    spec: ProjectSpec
    joints: Mapping[str, Joint]
    ports: Mapping[tuple[str, str], Shape]
    """Openings by joint and owner: a body's own, and under "" the joint's, those from surveys as loops or circles."""

    def port(self, joint: str) -> Shape | None:
        """The opening of a joint as a shape; None without one."""
        return self.ports.get((joint, ""))

    def own_ports(self, joint: str) -> dict[str, Shape]:
        """The ports of bodies on a joint that are not the joint's opening, by owner."""
        return {owner: shape for (name, owner), shape in self.ports.items() if name == joint and owner}

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
