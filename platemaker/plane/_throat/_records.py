"""What is asked about a throat, and what is answered."""

from __future__ import annotations

from enum import StrEnum

from msgspec import Struct

from platemaker.plane._shapes import Edge, Point, Region


class ChamberPiece(Struct, frozen=True):
    """A prism of a chamber: its plan, its depth and the height of its floor, mm.

    Pieces beside or over one another are one chamber. The tags of the region's edges name the walls.
    """

    name: str
    region: Region
    depth: float
    level: float = 0.0


class ChamberOpening(Struct, frozen=True):
    """An opening of a chamber, through its floor or its ceiling, in the same plan."""

    name: str
    region: Region


class ThroatKind(StrEnum):
    """What a part of a throat is."""

    GAP = "gap"
    CURTAIN = "curtain"
    OPENING = "opening"


class ThroatPart(Struct, frozen=True):
    """One connected part of the throat: its area, mm2, what it lies between, and the pieces to draw.

    A gap is a straight or curved way of `length`, mm, from wall to wall, opening or step; a curtain runs along the
    edge of an opening; an opening is passed through its own area, and has no length.
    """

    kind: ThroatKind
    area: float
    length: float
    between: tuple[str, ...]
    edges: tuple[Edge, ...] = ()


class Throat(Struct, frozen=True):
    """The least area through which all air must pass from the inflow to the outflow openings, mm2.

    `between` names the features that bound it, each once, along it. `inflow` and `outflow` are the areas of the
    openings as far as they lie over the chamber. `closed` says why no air can pass, where the area is 0.
    """

    area: float
    parts: tuple[ThroatPart, ...]
    inflow: float
    outflow: float
    closed: str = ""

    @property
    def between(self) -> tuple[str, ...]:
        """The features that bound the throat, each once."""
        return tuple(dict.fromkeys(name for part in self.parts for name in part.between if name))

    @property
    def points(self) -> tuple[Point, ...]:
        """Ends of all pieces of the throat, to draw or to point at."""
        ends = (at for part in self.parts for edge in part.edges for at in (edge.start, edge.end))
        return tuple(dict.fromkeys(ends))
