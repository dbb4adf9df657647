"""Faces that seal: how flat and how smooth a drawing has them, by the number that checks take."""

from __future__ import annotations

from collections.abc import Iterator

from platemaker.export._sheet._drawing_words import Numbers
from platemaker.parts import Part, ProfileKind, Side, Stack
from platemaker.records import Record

SHEET_FINISH = 3.2
"""Roughness Ra of a face under a gasket, µm, at most. Common practice, no source."""
RING_FINISH = 0.8
"""Roughness Ra of the face that an O-ring is pressed against, µm, at most: published gland practice."""


class SealFace(Record):
    """A face of a part that seals a joint: flatness, mm, where it applies, and roughness Ra, µm, where it matters."""

    side: Side
    flatness: float
    joint: str
    where: str
    roughness: float | None = None

    def words(self, numbers: Numbers) -> str:
        """Its roughness, and where it applies."""
        smooth = f"{numbers.smooth(self.roughness)}, " if self.roughness else ""
        return f"{smooth}{self.where} of {self.joint}"


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
            yield SealFace(mounting.side, joint.gasket.flatness, joint.name, "under the gasket", SHEET_FINISH)
        elif joint.seal is not None and joint.name in grooved:
            yield SealFace(mounting.side, joint.seal.flatness, joint.name, "beside the O-ring")
        elif joint.seal is not None:
            yield SealFace(mounting.side, joint.seal.flatness, joint.name, "under the O-ring", RING_FINISH)
