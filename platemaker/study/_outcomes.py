"""What a study reads off each variant: figures of the part that is studied, and the worst of chosen findings."""

from __future__ import annotations

import math
from collections.abc import Sequence

from platemaker.checks import (
    AIR_LOSS,
    LEAST_LOST,
    LOST,
    MACH_THERE,
    MOST_LOST,
    SHARES,
    THROAT,
    Finding,
    least_metal,
    worst_first,
)
from platemaker.errors import unknown_name
from platemaker.parts import Part, Profile, ProfileKind, Stack
from platemaker.records import Record
from platemaker.resolved import expected_volume, making_of, resolved_stack
from platemaker.study._keys import KeyPath

_FIGURES = (ProfileKind.POCKET, ProfileKind.OPENING)


class Outcome(Record):
    """One kind of figure: `name` for columns, `title` for readers, `unit`, and whether more of it is better."""

    name: str
    title: str
    unit: str
    more_is_better: bool


AREA = Outcome("area", "open area", "mm2", more_is_better=True)
WALL = Outcome("wall", "least metal", "mm", more_is_better=True)
WALL_MARGIN = Outcome("wall_margin", "its margin", "mm", more_is_better=True)
MASS = Outcome("mass", "mass", "kg", more_is_better=False)
LOSS = Outcome("loss", "pressure loss", "kPa", more_is_better=False)
LOSS_LOW = Outcome("loss_low", "loss, at least", "kPa", more_is_better=False)
LOSS_HIGH = Outcome("loss_high", "loss, at most", "kPa", more_is_better=False)
FIELD_LOSS = Outcome("field_loss", "loss by the field", "kPa", more_is_better=False)
FIELD_LOW = Outcome("field_low", "by the field, at least", "kPa", more_is_better=False)
FIELD_HIGH = Outcome("field_high", "by the field, at most", "kPa", more_is_better=False)
FIELD = (FIELD_LOSS, FIELD_LOW, FIELD_HIGH)
"""Outcomes of the field of the air, where it is calculated."""
THROAT_AREA = Outcome("throat", "throat", "mm2", more_is_better=True)
THROAT_MACH = Outcome("throat_mach", "Mach at the throat", "", more_is_better=False)
UNEVEN = Outcome("uneven", "uneven share of the air", "of an even share", more_is_better=False)
BELT_PATH = Outcome("belt_path", "belt's path as drawn", "mm", more_is_better=False)
WRAP = Outcome("wrap", "wrap where most power goes", "deg", more_is_better=True)
BELT_TENSION = Outcome("belt_tension", "belt tension needed", "N", more_is_better=False)
BELT = (BELT_PATH, WRAP, BELT_TENSION)
"""Outcomes of a study that varies the belt drive."""
BLANK_MASS = Outcome("blank_mass", "mass of the blank", "kg", more_is_better=False)
REMOVED = Outcome("removed", "volume removed", "mm3", more_is_better=False)
DRILLED = Outcome("drilled", "holes drilled", "count", more_is_better=False)
TAPPED = Outcome("tapped", "holes tapped", "count", more_is_better=False)
TOOLS = Outcome("tools", "tools used", "count", more_is_better=False)
CORNERS = Outcome("corners", "milled corners", "count", more_is_better=False)
COST_DRIVERS = (BLANK_MASS, REMOVED, DRILLED, TAPPED, TOOLS, CORNERS)
"""What one piece costs metal and work on. A study shows those that differ between its variants."""
STANDING = (
    AREA, WALL, WALL_MARGIN, MASS, LOSS, LOSS_LOW, LOSS_HIGH, *FIELD,
    THROAT_AREA, THROAT_MACH, UNEVEN, *COST_DRIVERS, *BELT,
)  # fmt: skip
"""Outcomes that a study may have, in the order of the table."""


class Focus(Record):
    """What is looked at: a part, and one of its openings or pockets. What is None is chosen, see `part_in`."""

    part: str | None = None
    figure: str | None = None
    joint: str | None = None

    @classmethod
    def on(cls, path: KeyPath) -> Focus:
        """What a varied key is about.

        >>> Focus.on(("parts", "lid", "pockets", "left", "depth"))
        Focus(part='lid', figure='left', joint=None)
        """
        words = [str(step) for step in path]
        if words[0] == "joints":
            return cls(joint=words[1])
        if words[0] != "parts":
            return cls()
        if len(words) > 3 and words[2] in ("pocket", "opening"):
            return cls(words[1], words[2])
        return cls(words[1], words[3] if len(words) > 4 and words[2] in ("pockets", "openings") else None)

    def part_in(self, stack: Stack) -> Part:
        """The part: the one named, else the first with a pocket, else with an opening, at the joint if one is named.

        No gasket is chosen: what a study looks at is the metal.
        Raises SpecError where no part has the name.
        """
        if self.part is not None:
            return stack.part(_known(self.part, [part.name for part in stack.parts], "part"))
        metal = [part for part in stack.parts if not part.is_gasket_or_shim] or stack.parts
        at_joint = [part for part in metal if any(one.joint == self.joint for one in part.mountings)] or metal
        among = [part for part in at_joint if figures_of(part)] or at_joint
        return min(among, key=lambda part: [kind not in {one.kind for one in part.profiles} for kind in _FIGURES])

    def figure_in(self, part: Part) -> Profile | None:
        """The figure: the one named, else the first pocket, else the first opening, else None.

        Raises SpecError where the part has no figure of the name.
        """
        figures = {figure.name: figure for figure in figures_of(part)}
        if self.figure is not None:
            return figures[_known(self.figure, list(figures), f"pocket or opening of {part.name}")]
        return next(iter(figures.values()), None)


def figures_of(part: Part) -> tuple[Profile, ...]:
    """The part's pockets, then its openings."""
    return tuple(profile for kind in _FIGURES for profile in part.profiles if profile.kind is kind)


def area_of(figure: Profile) -> float:
    """Open area of a figure in the plan, mm2, exact on lines and arcs; a pocket's takes in the opening it joins."""
    return sum(region.area for region in figure.regions)


def standing(part: Part, figure: Profile | None, findings: Sequence[Finding]) -> dict[str, float | None]:
    """The standing outcomes of a part by name; None for what it does not have or what was not checked."""
    least, volume = least_metal(part.name, findings), expected_volume(part)
    making = making_of(part, volume)
    throats = [found.measured for found in findings if found.check == THROAT and found.measured is not None]
    uneven = [found.measured for found in findings if found.check == SHARES and found.measured is not None]
    return {
        AREA.name: None if figure is None else area_of(figure),
        WALL.name: least.measured if least else None,
        WALL_MARGIN.name: least.margin if least else None,
        MASS.name: None if volume is None else volume * part.material.density * 1e-9,
        LOSS.name: _kpa(_input(findings, AIR_LOSS, LOST)),
        LOSS_LOW.name: _kpa(_input(findings, AIR_LOSS, LEAST_LOST)),
        LOSS_HIGH.name: _kpa(_input(findings, AIR_LOSS, MOST_LOST)),
        THROAT_AREA.name: min(throats, default=None),
        THROAT_MACH.name: _input(findings, THROAT, MACH_THERE),
        UNEVEN.name: max(uneven, default=None),
        BLANK_MASS.name: making.mass,
        REMOVED.name: making.removed,
        DRILLED.name: making.drilled,
        TAPPED.name: making.tapped,
        TOOLS.name: len(making.tools),
        CORNERS.name: sum(making.corners.values()),
    }


def of_belt(stack: Stack) -> dict[str, float | None]:
    """The outcomes of a belt drive by name; all None without one."""
    belt = resolved_stack(stack).belt
    if belt is None:
        return dict.fromkeys(one.name for one in BELT)
    most = max(range(len(belt.powers)), key=lambda place: belt.powers[place])
    return {
        BELT_PATH.name: belt.fitted.drawn,
        WRAP.name: math.degrees(belt.path.wraps[most]),
        BELT_TENSION.name: belt.needed_tension,
    }


def _input(findings: Sequence[Finding], check: str, wanted: str) -> float | None:
    """An input of the first finding of a check that has it."""
    values = (found.value_of(wanted) for found in findings if found.check == check)
    return next((value for value in values if value is not None), None)


def _kpa(pascals: float | None) -> float | None:
    return None if pascals is None else pascals / 1000


class WorstFinding(Record):
    """The worst of the findings that were asked for: its id, measured value, margin and unit."""

    finding: str
    measured: float
    margin: float
    unit: str


def worst_of(prefix: str, findings: Sequence[Finding]) -> WorstFinding | None:
    """The finding with the worst margin among those whose id begins with `prefix`; None where none was measured."""
    for found in worst_first([one for one in findings if one.id.startswith(prefix)]):
        if found.measured is not None and found.margin is not None:
            return WorstFinding(found.id, found.measured, found.margin, found.unit)
    return None


def shown_outcome(prefix: str, unit: str) -> Outcome:
    """The margin of the findings that were asked for, as an outcome."""
    return Outcome(prefix, f"margin {prefix}", unit, more_is_better=True)


def _known(name: str, names: list[str], what: str) -> str:
    if name not in names:
        raise unknown_name(name, names, what)
    return name
