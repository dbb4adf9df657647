"""The pilot of a joint: spigot and recess, resolved to sizes."""

from __future__ import annotations

from platemaker.catalog import iso286
from platemaker.parts._records._cuts import Side
from platemaker.parts._records._figures import on_grid
from platemaker.plane import Point
from platemaker.records import Record
from platemaker.spec import PilotModel


class Pilot(Record):
    """A spigot on the side `spigot` of a joint's plane that enters a recess of the other side, mm.

    `bore` and `shaft` are the least and the greatest diameter of recess and spigot, `words` their fit; `zone` of ISO
    286 is the recess's. The spigot stands `height` over its face; the recess is `depth` deep.
    """

    at: Point
    diameter: float
    spigot: Side
    height: float
    depth: float
    bore: tuple[float, float]
    shaft: tuple[float, float]
    zone: str
    words: str
    source: str

    @property
    def clearance(self) -> tuple[float, float]:
        """The least and the greatest diametral clearance, mm; below 0 the spigot does not enter."""
        return self.bore[0] - self.shaft[1], self.bore[1] - self.shaft[0]


def pilot_of(model: PilotModel | None) -> Pilot | None:
    """The pilot of a joint's model. Raises CatalogError for a zone or a diameter that is not tabled."""
    if model is None:
        return None
    d, hole = on_grid(model.diameter), iso286(model.diameter, model.hole)
    shaft, words = model.measured, f"{model.hole}, spigot as measured"
    if shaft is None:
        zone = iso286(d, model.shaft or "")
        shaft, words = (d + zone.lower, d + zone.upper), f"{model.hole}/{model.shaft}"
    side = Side.BELOW if model.spigot == "lower" else Side.ABOVE
    return Pilot(
        (on_grid(model.at[0]), on_grid(model.at[1])), d, side, model.height, on_grid(model.depth),
        (d + hole.lower, d + hole.upper), shaft, model.hole, words, hole.source,
    )  # fmt: skip
