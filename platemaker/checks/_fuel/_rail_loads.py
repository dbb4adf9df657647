"""What pulls at one bracket of a rail: thrust of the fuel, weight as it shakes, and its share of the design's loads.

The rail is stiff, and its brackets give alike: each carries by where it stands, two of them by the lever rule.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from platemaker.checks._finding import Input
from platemaker.parts import GRAVITY, Load, Part, Stack, Vec3
from platemaker.records import Record
from platemaker.space import cross, dot, scale, sub

ORIGIN = (0.0, 0.0, 0.0)


class Acting(Record):
    """A load of the design on one bracket: each force, N, that it may be there, at a point, mm, both in its frame."""

    name: str
    at: Vec3
    ways: tuple[Vec3, ...]

    def bending(self, about: Vec3) -> float:
        """The largest moment about a point, N.mm, of whatever direction."""
        return max(math.dist(cross(sub(self.at, about), force), ORIGIN) for force in self.ways)


class BracketLoad(Record):
    """What one bracket carries of a rail: thrust, N, along a direction in the bracket's frame, and mass, kg.

    `middle` is the rail's axis beside the bracket, in the bracket's frame, mm.
    """

    thrust: float
    direction: Vec3
    mass: float
    times: float
    middle: Vec3
    acting: tuple[Acting, ...]
    inputs: tuple[Input, ...]

    @property
    def weight(self) -> float:
        """Weight, so many times as the rail shakes, N."""
        return self.mass * GRAVITY * self.times

    def others(self, about: Vec3) -> float:
        """The largest moment of the design's loads together about a point, N.mm, of whatever direction."""
        return math.fsum(one.bending(about) for one in self.acting)

    def on_screw(self, at: Vec3, out: Vec3, lever: float) -> tuple[float, float]:
        """The most that all of it pulls along a screw, and shears across it, N.

        The screw stands `at` a point of the clamped face, `out` points from the face towards the load's part. What is
        clamped tilts about an edge `lever` mm from the screw; a moment about the screw's own axis is left out.
        """
        thrust = Acting("thrust", self.middle, (scale(self.direction, self.thrust),))
        found = [_on_screw(one, at, out, lever) for one in (thrust, *self.acting)]
        shaken = self.weight * (1 + math.dist(self.middle, at) / lever)
        pull = math.fsum(tension for tension, _ in found) + shaken
        return max(pull, 0.0), math.fsum(shear for _, shear in found) + self.weight


def _on_screw(one: Acting, at: Vec3, out: Vec3, lever: float) -> tuple[float, float]:
    tensions, shears = [], []
    for force in one.ways:
        moment, along = cross(sub(one.at, at), force), dot(force, out)
        tilting = math.sqrt(max(dot(moment, moment) - dot(moment, out) ** 2, 0.0))
        tensions.append(along + tilting / lever)
        shears.append(math.sqrt(max(dot(force, force) - along**2, 0.0)))
    return max(tensions), max(shears)


def share(at: Sequence[float], number: int, x: float) -> float:
    """What a support at `at[number]` carries of a unit load at `x` on a stiff rail over springs alike; it has a sign.

    1/n + (x - x_m)(x_i - x_m) / sum (x_j - x_m)^2: of two supports the lever rule, of two in one place half each.
    """
    middle = math.fsum(at) / len(at)
    spread = math.fsum((one - middle) ** 2 for one in at)
    tilt = (x - middle) * (at[number] - middle) / spread if spread > 0.5 else 0.0
    return 1 / len(at) + tilt


def acting_on(stack: Stack, rail: Part, part: Part, at: Sequence[float], number: int) -> Iterator[Acting]:
    """The design's loads on a bracket: all of one that names it, its share of one on the rail.

    A rail on several brackets hands a load on at each of them; on one alone it acts where it acts.
    """
    world, own = part.places[0], rail.places[0]
    for load in loads_on_part(stack, part.name):
        yield Acting(load.name, world.to_local(load.at), tuple(world.unturn(force) for _, force in load.ways))
    for load in loads_on_part(stack, rail.name):
        x, y, z = own.to_local(load.at)
        part_of = share(at, number, x)
        there = own.to_world((at[number] if len(at) > 1 else x, y, z))
        ways = tuple(scale(world.unturn(force), part_of) for _, force in load.ways)
        yield Acting(load.name, world.to_local(there), ways)


def loads_on_part(stack: Stack, name: str) -> tuple[Load, ...]:
    """The design's loads that a part carries."""
    return tuple(load for load in (stack.design.loads if stack.design else ()) if name in load.parts)
