"""What pulls a joint apart: pressure and loads, shared over its bolts by the pattern's exact properties.

Loads act in every way that the spec leaves open; each combination has its own shares, and readers take the worst.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from itertools import product

from platemaker.checks._loads._seal_lines import SealLine, carriers
from platemaker.errors import OutOfRange
from platemaker.formulas import pattern_properties, pattern_shear, pattern_tension, tilting_tension
from platemaker.parts import Design, Joint, Load, Stack, Vec3
from platemaker.plane import Point, rotated
from platemaker.records import Record
from platemaker.remembered import remembered
from platemaker.resolved import boost_of, resolved_stack
from platemaker.space import add

NOTHING = 1e-9
"""A moment below this share of force times pattern is rounding, not a moment."""
MOST_COMBINATIONS = 4096
"""Combinations of ways that the loads of one joint may act in."""


class Case(Record):
    """A pressure that a joint has to hold, MPa, and its name; `rare` for a backfire, which may come once."""

    name: str
    pressure: float
    rare: bool = False


def cases_of(design: Design, joint: Joint) -> Iterator[Case]:
    """The pressures of a joint: its own where the spec gives one, else the boost that governs, and backfire."""
    if joint.pressure is not None:
        yield Case("pressure", joint.pressure)
        return
    boost = boost_of(design).governing
    if boost > 0 or design.backfire == 0:
        yield Case("boost", boost)
    if design.backfire > 0:
        yield Case("backfire", design.backfire, rare=True)


class Shares(Record):
    """Each bolt's share of what acts on a joint, N: `tension` along it, `shear` across, by spot.

    `pull` is the whole pull, N, and `pressed` the part of it that the pressure makes. `sideways` is the force across,
    N, and `moments` those about the pattern's middle, N.mm: sum of T y, sum of T x, and the turning one. `words` say
    which way each load acts. `lever` is how far from bolts in one line the edge lies that the plate tilts about, mm.
    """

    tension: Mapping[str, float]
    shear: Mapping[str, float]
    pull: float
    pressed: float
    sideways: Point = (0.0, 0.0)
    moments: Vec3 = (0.0, 0.0, 0.0)
    words: str = ""
    lever: float | None = None

    @property
    def worst(self) -> str:
        """The spot that is pulled most; of equal ones, to a thousandth of a newton, the first."""
        return max(self.tension, key=lambda spot: round(self.tension[spot], 3))


def loads_on(stack: Stack, joint: Joint) -> tuple[Load, ...]:
    """The loads that a joint carries, the belt's among them."""
    return tuple(load for load in resolved_stack(stack).loads if joint.name in load.joints)


class _Pull(Record):
    """A force on a joint and its moments about the pattern's middle, N and N.mm, in words; or several of them added."""

    force: Vec3
    moments: Vec3
    words: tuple[str, ...] = ()

    def __add__(self, other: _Pull) -> _Pull:
        return _Pull(add(self.force, other.force), add(self.moments, other.moments), (*self.words, *other.words))


NO_PRESSURE = _Pull((0.0, 0.0, 0.0), (0.0, 0.0, 0.0), ("no pressure",))


class _Spread(Record):
    """What a pull comes to at each bolt, in the order of the spots: tension, N, and shear as (x, y), N."""

    tension: tuple[float, ...]
    shear: tuple[Point, ...]

    def __add__(self, other: _Spread) -> _Spread:
        return _Spread(
            tuple(a + b for a, b in zip(self.tension, other.tension, strict=True)),
            tuple((a[0] + b[0], a[1] + b[1]) for a, b in zip(self.shear, other.shear, strict=True)),
        )


def every_share(stack: Stack, joint: Joint, line: SealLine | None, pressure: float) -> tuple[Shares, ...]:
    """The shares of a joint's bolts under a pressure, once for each combination of the ways that its loads may act.

    Pulls on a rigid plate add up bolt by bolt, so that each is spread once; a plate that tilts about its edge is not
    linear, and each combination is spread as a whole. Where the pressure takes pull off a bolt, loads also act without
    it. Raises OutOfRange as `shares_of` does, and for more combinations than 4096.
    """
    pressed, loads = _pressed(joint, line, pressure), _pulls(stack, joint)
    try:
        return _combined(joint, pressed, loads)
    except _TiltedError:
        starts = [pressed, NO_PRESSURE] if loads else [pressed]
        return tuple(_whole(stack, joint, start, pulls) for start in starts for pulls in product(*loads))


class _TiltedError(Exception):
    """A plate that tilts about its edge: what pulls at it does not add up bolt by bolt."""


@remembered(512)
def _combined(joint: Joint, pressed: _Pull, loads: Sequence[Sequence[_Pull]]) -> tuple[Shares, ...]:
    """Shares of a plate that does not tilt. Raises _TiltedError, and OutOfRange for too many combinations."""
    count = math.prod(len(ways) for ways in loads)
    if count > MOST_COMBINATIONS:
        message = f"{len(loads)} loads act in {count} combinations, more than {MOST_COMBINATIONS}: state `one_way`"
        raise OutOfRange(message)
    try:
        ways = [[(pull, _spread(joint, pull)) for pull in each] for each in loads]
        starts = [(pressed, _spread(joint, pressed))]
    except OutOfRange:
        raise _TiltedError from None
    if loads and min(starts[0][1].tension) < 0:
        starts.append((NO_PRESSURE, _spread(joint, NO_PRESSURE)))
    found = []
    for start, *chosen in product(starts, *ways):
        pull, spread = start
        for more, spread_more in chosen:
            pull, spread = pull + more, spread + spread_more
        found.append(_shares(joint, start[0], pull, spread))
    return tuple(found)


def shares_of(stack: Stack, joint: Joint, line: SealLine | None, pressure: float) -> Shares:
    """The shares of a joint's bolts under a pressure and the design's loads as stated.

    The plate is taken as rigid: tension varies linearly over the pattern. Across bolts in one line it tilts about its
    own edge. Raises OutOfRange where the joint has no place, or no edge that it could tilt about, or one spot that is
    to hold a turning moment.
    """
    return _whole(stack, joint, _pressed(joint, line, pressure), [ways[0] for ways in _pulls(stack, joint)])


def _pressed(joint: Joint, line: SealLine | None, pressure: float) -> _Pull:
    """The pull of a pressure on what the seal line holds."""
    if line is None:
        return _Pull((0.0, 0.0, 0.0), (0.0, 0.0, 0.0))
    centre, force = pattern_properties(list(joint.spots.values())), pressure * line.measures.area
    x, y = line.measures.centroid
    return _Pull((0.0, 0.0, force), (force * (y - centre.y), force * (x - centre.x), 0.0))


def _pulls(stack: Stack, joint: Joint) -> list[list[_Pull]]:
    """Every way of every load of a joint, in the joint's frame."""
    loads = loads_on(stack, joint)
    if not loads:
        return []
    frame = resolved_stack(stack).joint(joint.name).frame
    if frame is None:
        message = f"joint {joint.name} has no place in the stack, so loads cannot be carried to it"
        raise OutOfRange(message)
    centre, found = pattern_properties(list(joint.spots.values())), []
    for load in loads:
        at = frame.to_local(load.at)
        x, y, z = at[0] - centre.x, at[1] - centre.y, at[2]
        ways = []
        for words, force in load.ways:
            f_x, f_y, f_z = frame.unturn(force)
            if z < 0:  # what hangs below pulls at the joint as its reaction would from above
                f_x, f_y, f_z = -f_x, -f_y, -f_z
            moments = (y * f_z - z * f_y, x * f_z - z * f_x, x * f_y - y * f_x)
            ways.append(_Pull((f_x, f_y, f_z), moments, (f"{load.name} {words}",)))
        found.append(ways)
    return found


def _whole(stack: Stack, joint: Joint, pressed: _Pull, pulls: Sequence[_Pull]) -> Shares:
    """Pressure and one way of each load, spread together."""
    pull = sum(pulls, pressed)
    try:
        return _shares(joint, pressed, pull, _spread(joint, pull))
    except OutOfRange:
        tension, lever = _tilted(stack, joint, pull)
    shear = pattern_shear(list(joint.spots.values()), pull.force[0], pull.force[1], pull.moments[2])
    return _shares(joint, pressed, pull, _Spread(tension, shear), lever)


def _shares(joint: Joint, pressed: _Pull, pull: _Pull, spread: _Spread, lever: float | None = None) -> Shares:
    return Shares(
        dict(zip(joint.spots, spread.tension, strict=True)),
        {name: math.hypot(*v) for name, v in zip(joint.spots, spread.shear, strict=True)},
        pull.force[2],
        pressed.force[2],
        (pull.force[0], pull.force[1]),
        _without_rounding(joint, pull),
        ", ".join(pull.words),
        lever,
    )


@remembered(512)  # a load is spread again under each pressure
def _spread(joint: Joint, pull: _Pull) -> _Spread:
    """A pull at each bolt, the plate rigid. Raises OutOfRange for a moment across bolts in one line."""
    points, (m_x, m_y, m_z) = list(joint.spots.values()), _without_rounding(joint, pull)
    f_x, f_y, f_z = pull.force
    return _Spread(pattern_tension(points, f_z, m_x, m_y), pattern_shear(points, f_x, f_y, m_z))


def _without_rounding(joint: Joint, pull: _Pull) -> Vec3:
    """The moments of a pull, 0 where they are but rounding."""
    reach = max(abs(x) + abs(y) for x, y in joint.spots.values()) + 1.0
    size = NOTHING * sum(map(abs, pull.force)) * reach
    m_x, m_y, m_z = (moment if abs(moment) > size else 0.0 for moment in pull.moments)
    return m_x, m_y, m_z


def _tilted(stack: Stack, joint: Joint, pull: _Pull) -> tuple[tuple[float, ...], float]:
    """Tension on bolts in one line or on one spot, N, and how far the edge is that the plate tilts about, mm."""
    points, (m_x, m_y, _) = list(joint.spots.values()), _without_rounding(joint, pull)
    centre = pattern_properties(points)
    out = [(x - centre.x, y - centre.y) for x, y in points]
    far = max(out, key=lambda r: math.hypot(*r))
    length = math.hypot(*far)
    # Along the line as ever; across it, or round a single bolt, everything that is left of the moment tilts.
    u = (far[0] / length, far[1] / length) if length > 0 else (0.0, 0.0)
    along = m_y * u[0] + m_x * u[1]
    across = (m_y - along * u[0], m_x - along * u[1])
    tilt = math.hypot(*across)
    polar = sum(x**2 + y**2 for x, y in out)
    lever, tilted = 0.0, (0.0,) * len(points)
    if tilt > NOTHING * math.hypot(m_x, m_y):
        lever = _to_edge(stack, joint, (centre.x, centre.y), (-across[0] / tilt, -across[1] / tilt))
        tilted = tilting_tension(tilt, [lever] * len(points))
    tension = tuple(
        pull.force[2] / len(points) + (along * (x * u[0] + y * u[1]) / polar if polar > 0 else 0.0) + more
        for (x, y), more in zip(out, tilted, strict=True)
    )
    return tension, lever


def _to_edge(stack: Stack, joint: Joint, at: Point, towards: Point) -> float:
    """How far a joint's faces reach from a point in a direction, mm: the least of its made parts and its gasket."""
    angle = math.degrees(math.atan2(towards[1], towards[0]))
    reaches = [
        rotated(mounting.in_joint(part.stock.plan), -angle, at).bounds[2] - at[0]
        for part, mounting in carriers(stack, joint)
    ]
    lever = min(reaches, default=0.0)
    if lever <= 0:
        message = "a moment acts across bolts in one line, and no face reaches past them to hold it"
        raise OutOfRange(message)
    return lever
