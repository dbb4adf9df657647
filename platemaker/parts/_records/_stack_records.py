"""What the stack keeps beside parts, bodies and joints: rails over rows of bosses, and the room it has."""

from __future__ import annotations

from typing import Literal

from platemaker.catalog import ORing, ToleranceClass
from platemaker.records import Record


class Stem(Record):
    """A round end of an injector, mm, with what the spec states of its O-ring and of the groove round it.

    `groove` is the diameter of the groove's floor, mm, `groove_width` its width. `compound` is the
    ring's rubber as ISO 1629 names it; None where the spec does not say. `bore_fit` is the zone of ISO 286 of the bore
    that takes it; None for the drawing's general tolerance.
    """

    diameter: float
    length: float
    ring: ORing | None = None
    groove: float | None = None
    groove_width: float | None = None
    compound: str | None = None
    bore_fit: str | None = None


class Injector(Record):
    """An injector sealed by an O-ring at either end, mm: `length` from its shoulder in the boss to its end in the rail.

    `diameter` is the body's; `boss_end` reaches down from the shoulder, `rail_end` is the top of the length.
    """

    length: float
    diameter: float
    boss_end: Stem
    rail_end: Stem


class RailRow(Record):
    """A rail over a row of bosses: the parts' names, the rail's `standoff` from the bosses' tops along their axes, mm.

    The rail's bores may stand off the bosses' axes by `position`, mm, and `angle`, degrees.
    """

    rail: str
    bosses: str
    casting: str
    joint: str
    standoff: float
    injector: Injector | None
    position: float
    angle: float
    key: str = ""

    @property
    def bore_zone(self) -> float:
        """Diameter of the zone in which each bore of the rail and each bore for a boss must lie, mm.

        With both axes at the rims of their zones half of `position` is used up; the other half is left to brackets and
        bosses. Common practice, no source.
        """
        return self.position / 2


class Acceptance(Record):
    """A caution that the spec accepts: of check `check` on what `feature` names, `because`.

    Where there is a `limit`, in the caution's own unit, one that is worse is not accepted.
    """

    check: str
    feature: str
    because: str
    limit: float | None = None


class Room(Record):
    """Room asked for, mm: `clearance` between things that no joint lets touch; `below_ceiling`, a height over Z = 0."""

    clearance: float | None = None
    ceiling: float | None = None
    below_ceiling: float = 0.0


class Revision(Record):
    """A line of the list of revisions: its name, its date (empty where not specified) and what changed."""

    name: str
    date: str
    change: str


class Drafting(Record):
    """How the shop's paper is wanted: None for what follows from the project's unit; empty words are blanks to fill.

    `number` is the drawing number of the project; `revisions` are in order, the last is the present one.
    """

    projection: Literal["first", "third"] | None = None
    tolerances: ToleranceClass = ToleranceClass.MEDIUM
    paper: Literal["A4", "A3", "Letter", "Tabloid"] | None = None
    number: str = ""
    owner: str = ""
    drawn: str = ""
    checked: str = ""
    revisions: tuple[Revision, ...] = ()

    @property
    def revision(self) -> Revision | None:
        """The present revision; None before the first."""
        return self.revisions[-1] if self.revisions else None
