"""What pulls a joint apart: pressure and loads, shared over its bolts by the pattern's exact properties."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from platemaker.checks._seal_lines import SealLine
from platemaker.errors import OutOfRange
from platemaker.formulas import pattern_properties, pattern_shear, pattern_tension
from platemaker.parts import Design, Joint, Stack, Vec3
from platemaker.plane import Point
from platemaker.resolved import resolved_stack

NOTHING = 1e-9
"""A moment below this share of force times pattern is rounding, not a moment."""


@dataclass(frozen=True)
class Case:
    """A pressure that a joint has to hold, MPa, and its name; `rare` for a backfire, which may come once."""

    name: str
    pressure: float
    rare: bool = False


def cases_of(design: Design, joint: Joint) -> Iterator[Case]:
    """The pressures of a joint: its own where the spec gives one, else boost and backfire."""
    if joint.pressure is not None:
        yield Case("pressure", joint.pressure)
        return
    if design.boost > 0 or design.backfire == 0:
        yield Case("boost", design.boost)
    if design.backfire > 0:
        yield Case("backfire", design.backfire, rare=True)


@dataclass(frozen=True)
class Shares:
    """Each bolt's share of what acts on a joint, N: `tension` along it, `shear` across, by spot.

    `pull` is the whole pull, N, and `pressed` the part of it that the pressure makes. `sideways` is the force across,
    N, and `moments` those about the pattern's middle, N.mm: sum of T y, sum of T x, and the turning one.
    """

    tension: Mapping[str, float]
    shear: Mapping[str, float]
    pull: float
    pressed: float
    sideways: Point = (0.0, 0.0)
    moments: Vec3 = (0.0, 0.0, 0.0)

    @property
    def worst(self) -> str:
        """The spot that is pulled most; of equal ones, to a thousandth of a newton, the first."""
        return max(self.tension, key=lambda spot: round(self.tension[spot], 3))


def shares_of(stack: Stack, joint: Joint, line: SealLine | None, pressure: float) -> Shares:
    """The shares of a joint's bolts under a pressure and the design's loads.

    The plate is taken as rigid: tension varies linearly over the pattern. Raises OutOfRange where moments act across
    bolts in one line.
    """
    names, points = list(joint.spots), list(joint.spots.values())
    centre = pattern_properties(points)
    pressed = pressure * line.measures.area if line else 0.0
    force = [0.0, 0.0, pressed]
    about = [0.0, 0.0, 0.0]
    if line is not None:
        x, y = line.measures.centroid
        about[0], about[1] = pressed * (y - centre.y), pressed * (x - centre.x)
    for f, r in _loads(stack, joint):
        x, y, z = r[0] - centre.x, r[1] - centre.y, r[2]
        for axis in range(3):
            force[axis] += f[axis]
        about[0] += y * f[2] - z * f[1]
        about[1] += x * f[2] - z * f[0]
        about[2] += x * f[1] - y * f[0]
    size = sum(map(abs, force)) * (max(abs(p[0]) + abs(p[1]) for p in points) + 1.0)
    m_x, m_y, m_z = (moment if abs(moment) > NOTHING * size else 0.0 for moment in about)
    tension = pattern_tension(points, force[2], m_x, m_y)
    shear = pattern_shear(points, force[0], force[1], m_z)
    return Shares(
        dict(zip(names, tension, strict=True)),
        {name: (v[0] ** 2 + v[1] ** 2) ** 0.5 for name, v in zip(names, shear, strict=True)},
        force[2],
        pressed,
        (force[0], force[1]),
        (m_x, m_y, m_z),
    )


def _loads(stack: Stack, joint: Joint) -> Iterator[tuple[Vec3, Vec3]]:
    """Force and point of each load that the joint carries, in the joint's frame."""
    loads = [load for load in (stack.design.loads if stack.design else ()) if joint.name in load.joints]
    if not loads:
        return
    frame = resolved_stack(stack).joint(joint.name).frame
    if frame is None:
        message = f"joint {joint.name} has no place in the stack, so loads cannot be carried to it"
        raise OutOfRange(message)
    for load in loads:
        yield frame.unturn(load.force), frame.to_local(load.at)
