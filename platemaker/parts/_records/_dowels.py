"""Dowels of a joint: where they stand and how they fit."""

from __future__ import annotations

from collections.abc import Mapping

from platemaker.catalog import iso286
from platemaker.parts._records._cuts import Side
from platemaker.parts._records._figures import on_grid
from platemaker.plane import Point
from platemaker.records import Record
from platemaker.spec import DowelsModel

DOWEL_ZONE = "H7"
"""Zone of a dowel's bore on either side, which dowels m6 of ISO 8734 are made for. Common practice, no source."""
PIN_ZONE = "m6"
"""Zone of the dowels themselves, ISO 8734 (from memory)."""


class Dowels(Record):
    """Dowels on `spots` of a joint's frame: bored `depth` deep, mm, into both sides.

    They are pressed into the side `pressed` of the joint's plane; in the other the least bore is `play`, mm, wider than
    their nominal size. `position` is
    the diameter of the zone of their axes on either side, mm.
    """

    spots: Mapping[str, Point]
    diameter: float
    depth: float
    play: float
    position: float
    pressed: Side

    def bore(self, side: Side) -> float:
        """Diameter of the bore in the part that lies on this side of the joint's plane, mm."""
        return self.diameter if side is self.pressed else self.diameter + self.play

    @property
    def largest(self) -> float:
        """Greatest diameter of a dowel, mm."""
        return self.diameter + iso286(self.diameter, PIN_ZONE).upper

    @property
    def most_play(self) -> float:
        """Play of the thinnest dowel in the widest bore that it slides in, mm."""
        bore = iso286(self.diameter + self.play, DOWEL_ZONE).upper
        return self.play + bore - iso286(self.diameter, PIN_ZONE).lower


def dowels_of(model: DowelsModel | None) -> Dowels | None:
    """The dowels of a joint's model. Raises CatalogError for bores that the zone is not tabled for."""
    if model is None:
        return None
    iso286(model.diameter + model.play, DOWEL_ZONE)
    iso286(model.diameter, PIN_ZONE)
    pressed = Side.BELOW if model.pressed == "lower" else Side.ABOVE
    spots = {name: (on_grid(x), on_grid(y)) for name, (x, y) in model.at.items()}
    return Dowels(spots, model.diameter, model.depth, model.play, model.position, pressed)
