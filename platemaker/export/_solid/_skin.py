"""A solid's skin in triangles, small enough to keep and to send to a page: for looking at, never for measuring."""

from __future__ import annotations

from array import array

from platemaker.records import Record
from platemaker.solids import Solid, facets_of

CHORD = 0.1
"""Largest chord error of a skin, mm: what an eye sees on a screen."""


class Skin(Record):
    """Corners, mm, as x, y, z in turn, and triangles as three numbers of corners in turn."""

    corners: array[float]
    triangles: array[int]

    @classmethod
    def of(cls, solid: Solid) -> Skin:
        """The skin of a solid in its own frame."""
        mesh = facets_of(solid, CHORD)
        corners, triangles = array("f"), array("I")
        corners.frombytes(mesh.corners.astype(corners.typecode).tobytes())
        triangles.frombytes(mesh.triangles.astype(triangles.typecode).tobytes())
        return cls(corners, triangles)

    def to_bytes(self) -> bytes:
        """The skin in bytes, for this machine alone."""
        return b"".join([array("Q", [len(self.corners)]).tobytes(), self.corners.tobytes(), self.triangles.tobytes()])

    @classmethod
    def from_bytes(cls, data: bytes) -> Skin:
        """The skin that `to_bytes` gave."""
        count, corners, triangles = array("Q"), array("f"), array("I")
        count.frombytes(data[:8])
        end = 8 + count[0] * corners.itemsize
        corners.frombytes(data[8:end])
        triangles.frombytes(data[end:])
        return cls(corners, triangles)
