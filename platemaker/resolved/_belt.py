"""The belt as it runs: wraps, powers, the tension of every span in each case, and what the pulleys' shafts bear.

Tension changes at each pulley by its pull: a driven pulley raises that of the span that leaves it. What the belt is
stretched by as fitted stays in it, so that the mean tension over its length stays too (Poncelet).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from enum import StrEnum
from functools import cached_property

from platemaker.catalog import BeltFamily
from platemaker.errors import OutOfRange
from platemaker.formulas import belt_pull, capstan_ratio, centrifugal_tension, groove_friction, span_frequency
from platemaker.parts import Belt, Fitted, Load, Pulley, Stack, Vec3
from platemaker.plane import BeltPath, Point
from platemaker.records import Record
from platemaker.resolved._boost import blower_power

FLAT_FRICTION = 0.3
"""Friction of a belt's back on a smooth pulley. Common practice, no source."""
SLACKEST = 0.1
"""Least tension of a toothed belt's slack span, as a share of the whole pull. Common practice, no source."""
NO_PULL = 1e-9
"""A pull below this, N, is none."""


class Running(StrEnum):
    """What the drive does."""

    DRIVING = "driving"
    STANDING = "standing"
    IDLING = "idling"
    OVERRUNNING = "overrunning"


class BeltCase(Record):
    """The belt in one case. `pulls[i]`, N, is what pulley i takes from the belt (below 0: gives to it).

    `tensions[i]`, N, is that of the span that leaves pulley i; `centrifugal`, N, is the part of them that presses on no
    pulley. `speed` is the belt's, m/s; `forces[i]`, N, in the stack's frame, is what the belt does to pulley i.
    """

    running: Running
    speed: float
    centrifugal: float
    pulls: tuple[float, ...]
    tensions: tuple[float, ...]
    forces: tuple[Vec3, ...]

    def before(self, place: int) -> float:
        """Tension of the span that arrives at a pulley, N."""
        return self.tensions[place - 1]


class ResolvedBelt(Record):
    """A belt drive with what follows. `powers` are what the pulleys take as they drive, kW; 0 of driver and idlers."""

    belt: Belt
    fitted: Fitted
    path: BeltPath
    powers: tuple[float, ...]

    @property
    def pulleys(self) -> tuple[Pulley, ...]:
        """The pulleys in the belt's order, the driving one first."""
        return self.belt.pulleys

    def owner(self, place: int) -> str:
        """The body or part that a pulley is on; of one in the stack's frame that of the first that is on any, or ""."""
        return self.pulleys[place].owner or next((one.owner for one in self.pulleys if one.owner), "")

    def centre(self, place: int) -> Vec3:
        """Middle of a pulley's rim with the belt fitted, in the stack's frame."""
        one, (x, y) = self.pulleys[place], self.path.wheels[place].centre
        return self.belt.frame.to_world((x, y, -self.belt.off_line(one)))

    def ratio(self, place: int) -> float:
        """Turns of a pulley for one of the driving one."""
        return self.pulleys[0].radius / self.pulleys[place].radius

    def speed_of(self, place: int) -> float:
        """A pulley's speed, rpm."""
        return self.belt.speed * self.ratio(place)

    def belt_speed(self, rpm: float) -> float:
        """The belt's speed, m/s, at a speed of the driving pulley."""
        return math.tau * self.pulleys[0].radius / 1000 * rpm / 60

    def friction(self, place: int) -> float:
        """Effective friction on a pulley."""
        one, section = self.pulleys[place], self.belt.section
        if one.back or section.groove_angle is None:
            return self.belt.friction if self.belt.friction is not None else FLAT_FRICTION
        if self.belt.friction is not None:
            return groove_friction(self.belt.friction, section.groove_angle)
        return section.friction or FLAT_FRICTION

    def capstan(self, place: int) -> float:
        """Tight over slack tension at which the belt slips on a pulley."""
        return capstan_ratio(self.friction(place), math.degrees(self.path.wraps[place]))

    def teeth_in_mesh(self, place: int) -> int | None:
        """Whole teeth of a toothed pulley that are in mesh; None without teeth."""
        teeth = self.pulleys[place].teeth
        return None if teeth is None else math.floor(teeth * self.path.wraps[place] / math.tau + 1e-9)

    @property
    def is_toothed(self) -> bool:
        """Whether it cannot slip."""
        return self.belt.section.family is BeltFamily.TOOTHED

    @property
    def has_inertia(self) -> bool:
        """Whether anything that it drives has an inertia that is known."""
        return any(one.inertia for one in self.pulleys)

    def grip(self, case: BeltCase, place: int) -> float:
        """How many times all pulls of a case may grow before the belt slips on a pulley; inf where it never does."""
        wanted = self._wanted(case.pulls, place)
        left = self.tension - case.centrifugal
        return max(0.0, left / wanted) if wanted > 0 else math.inf

    def _wanted(self, pulls: Sequence[float], place: int) -> float:
        """Tension as fitted, N, over the centrifugal one, at which the belt is about to slip on a pulley."""
        rises, pull = self._rises(pulls), abs(pulls[place])
        if pull <= NO_PULL:
            return 0.0
        if self.is_toothed:
            slack = SLACKEST * sum(abs(one) for one in pulls[1:])
        else:
            ratio = self.capstan(place)
            slack = pull / (ratio - 1) if ratio > 1 else math.inf
        return slack - min(rises[place - 1], rises[place]) + self._mean(rises)

    @cached_property
    def needed_tension(self) -> float:
        """Tension as fitted, N, at which nothing slips at `service_factor` times the pulls of any case."""
        return max((self._needed(case) for case in (Running.DRIVING, Running.IDLING, Running.OVERRUNNING)), default=0.0)

    @cached_property
    def tension(self) -> float:
        """Tension as fitted, N: as stated, else what is needed."""
        return self.belt.tension if self.belt.tension is not None else self.needed_tension

    @cached_property
    def cases(self) -> tuple[BeltCase, ...]:
        """Driving first, then standing, idling, overrunning."""
        return tuple(self._case(running) for running in Running)

    def case(self, running: Running) -> BeltCase:
        """One of the cases."""
        return next(one for one in self.cases if one.running is running)

    def frequency(self, place: int) -> float | None:
        """Pitch of the span that leaves a pulley as it is plucked at rest, Hz; None of a slack belt."""
        if self.tension <= 0:
            return None
        return span_frequency(self.tension, self.belt.mass, self.path.spans[place].length)

    @cached_property
    def loads(self) -> tuple[Load, ...]:
        """What the belt does to the joints that carry its pulleys: every case is a way in which the load acts."""
        return tuple(
            Load(
                f"belt on {one.name}",
                tuple((case.running.value, case.forces[place]) for case in self.cases),
                self.centre(place),
                one.joints,
            )
            for place, one in enumerate(self.pulleys)
            if one.joints
        )

    def _rpm(self, running: Running) -> float:
        return {Running.STANDING: 0.0, Running.IDLING: self.belt.idle_speed}.get(running, self.belt.speed)

    def _pulls(self, running: Running) -> tuple[float, ...]:
        """What each pulley takes from the belt, N; what the driving one gives is the sum."""
        found = [0.0]
        for place, one in enumerate(self.pulleys[1:], 1):
            if running is Running.DRIVING:
                found.append(self._carrying(self.powers[place], self.belt.speed))
            elif running is Running.IDLING:
                found.append(self._carrying(one.idle_power, self.belt.idle_speed))
            elif running is Running.OVERRUNNING and one.inertia:
                slowing = self.belt.slowing * math.tau / 60 * self.ratio(place)
                found.append(-one.inertia * slowing / (one.radius / 1000))
            else:
                found.append(0.0)
        return (-math.fsum(found), *found[1:])

    def _carrying(self, power: float, rpm: float) -> float:
        return belt_pull(power, 2 * self.pulleys[0].radius, rpm) if power else 0.0

    def _rises(self, pulls: Sequence[float]) -> list[float]:
        """How much tighter each span is than the one that leaves the driving pulley, N."""
        found = [0.0]
        for pull in pulls[1:]:
            found.append(found[-1] + pull)
        return found

    def _mean(self, rises: Sequence[float]) -> float:
        """Mean of the spans' rises over the belt's length; on a pulley half of either neighbour's."""
        whole = sum(span.length * rise for span, rise in zip(self.path.spans, rises, strict=True))
        whole += sum(arc * (rises[place - 1] + rises[place]) / 2 for place, arc in enumerate(self.path.arc_lengths))
        return whole / self.path.length

    def _needed(self, running: Running) -> float:
        pulls = [self.belt.service_factor * pull for pull in self._pulls(running)]
        wanted = max(self._wanted(pulls, place) for place in range(len(pulls)))
        if math.isinf(wanted):
            message = "the belt has no wrap on a pulley that takes power"
            raise OutOfRange(message)
        return wanted + self._flung(running) if wanted > 0 else 0.0

    def _flung(self, running: Running) -> float:
        return centrifugal_tension(self.belt.mass, self.belt_speed(self._rpm(running)))

    def _case(self, running: Running) -> BeltCase:
        pulls, flung = self._pulls(running), self._flung(running)
        rises = self._rises(pulls)
        first = self.tension - self._mean(rises)
        tensions = tuple(first + rise for rise in rises)
        forces = tuple(self._force(place, tensions, flung) for place in range(len(self.pulleys)))
        return BeltCase(running, self.belt_speed(self._rpm(running)), flung, pulls, tensions, forces)

    def _force(self, place: int, tensions: Sequence[float], flung: float) -> Vec3:
        """What the belt does to a pulley: both its spans pull at it, less what only turns the belt round."""
        x, y = 0.0, 0.0
        for span, tension, sign in (
            (self.path.spans[place - 1], tensions[place - 1], -1.0),
            (self.path.spans[place], tensions[place], 1.0),
        ):
            u: Point = span.tangent(0.0)
            pull = sign * max(0.0, tension - flung)
            x, y = x + pull * u[0], y + pull * u[1]
        return self.belt.frame.turn((x, y, 0.0))


def resolved_belt(stack: Stack) -> ResolvedBelt | None:
    """The stack's belt drive with what follows; None without one."""
    belt = stack.belt
    if belt is None or belt.fitted is None:
        return None
    path = belt.path(belt.fitted.at)
    return ResolvedBelt(belt, belt.fitted, path, tuple(_power(stack, one) for one in belt.pulleys))


def _power(stack: Stack, pulley: Pulley) -> float:
    if pulley.takes == "blower" and stack.design is not None:
        return blower_power(stack.design) or 0.0
    return pulley.power or 0.0
