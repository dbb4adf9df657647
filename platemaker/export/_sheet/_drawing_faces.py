"""Faces that seal: how flat and how smooth a drawing has them, by the number that the check of the gasket takes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from platemaker.parts import Part, ProfileKind, Side, Stack

SHEET_FINISH = 3.2
"""Roughness Ra of a face under a gasket, µm, at most. Common practice, no source."""
RING_FINISH = 0.8
"""Roughness Ra of the face that an O-ring is pressed against, µm, at most: published gland practice."""


@dataclass(frozen=True)
class SealFace:
    """A face of a part that seals a joint: roughness Ra, µm, and flatness under the gasket, mm; 0 under an O-ring."""

    side: Side
    joint: str
    roughness: float
    flatness: float = 0.0

    @property
    def words(self) -> str:
        """Its roughness, and where it applies."""
        under = "under the gasket" if self.flatness else "under the O-ring"
        return f"Ra {self.roughness:g} µm or finer, {under} of {self.joint}"


def faces_of(stack: Stack, part: Part) -> Iterator[SealFace]:
    """The faces of a made part that a gasket or an O-ring of another part lies on."""
    if part.is_gasket_or_shim or not part.made:
        return
    joints = {joint.name: joint for joint in stack.joints if joint.ports}
    grooved = {cut.joint for cut in part.profiles if cut.kind is ProfileKind.GROOVE}
    for mounting in part.mountings:
        joint = joints.get(mounting.joint)
        if joint is None:
            continue
        if joint.gasket is not None:
            yield SealFace(mounting.side, joint.name, SHEET_FINISH, joint.gasket.flatness)
        elif joint.seal is not None and joint.name not in grooved:
            yield SealFace(mounting.side, joint.name, RING_FINISH)
