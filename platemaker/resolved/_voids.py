"""Voids: what every step of every cut of a part takes out, worked out once. Nothing else works it out again."""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import cached_property
from typing import TypeAlias

import numpy as np

from platemaker.errors import GeometryError
from platemaker.parts import Hole, Part, Profile, Side, StepVoid, Vec3, step_label
from platemaker.plane import Arc, Circle, Line, Loop, Region, mirrored, offset
from platemaker.records import Record
from platemaker.resolved._blank import CAPS, ON_FACE, Blank
from platemaker.space import (
    Cone,
    Cylinder,
    Flare,
    Frame,
    Numbers,
    Prism,
    dot,
    perpendiculars,
    pieces_in,
    scale,
    trimmed,
)

SHALLOW = 1e-3
"""Cosine of the angle between a bore and a face's normal below which the bore runs along the face."""
PAST = 1.0
"""How far a bore's open end is drawn out past the face that it leans to, mm; it is then cut to the blank."""
PARALLEL = 1e-12
RIM = 144
"""Places of a rim that are looked at; the highest lies between two of them by less than PAST covers."""

Tool: TypeAlias = Cylinder | Cone | Prism | Flare


class Upright(Record):
    """A void along its blank's own axis: plan and heights in the blank's frame, mm.

    `profile` shows how its plan grows (or, below 0, shrinks) with height, as an edge in the half plane of (growth,
    height); None for straight walls.
    """

    shape: Circle | Region
    low: float
    high: float
    profile: Line | Arc | None = None

    @property
    def edge(self) -> Line | Arc:
        """The profile; of straight walls the line along them."""
        return self.profile or Line((0.0, self.low), (0.0, self.high))

    @property
    def widens(self) -> float:
        """The most that the plan grows, mm; 0 where it shrinks or stays."""
        return max(0.0, self.profile.start[0], self.profile.end[0]) if self.profile else 0.0

    def growth(self, z: float) -> float:
        """How much the plan has grown at a height, mm; below 0 how much it has shrunk."""
        if self.profile is None:
            return 0.0
        (x0, z0), (x1, z1) = self.profile.start, self.profile.end
        share = min(1.0, max(0.0, (z - z0) / (z1 - z0)))
        if isinstance(self.profile, Line):
            return x0 + share * (x1 - x0)
        return x1 - math.sqrt(max(0.0, x1**2 - (share * (z1 - z0)) ** 2))


class Void(Record):
    """What one step of a cut takes out of a blank.

    `what` is hole, counterbore, countersink, thread, point, mouth, or the kind of a milled figure. `tool` is its exact
    shape before it is cut to the blank; open ends of slanted bores reach past their faces. `opens` are the numbers of
    the blank's faces that it opens into, so that no wall is left towards them.
    """

    cut: Hole | Profile
    what: str
    blank: Blank
    opens: frozenset[int]

    @property
    def label(self) -> str:
        """The cut's name, with the step where that says more."""
        return step_label(self.cut, self.what)

    @property
    def tool(self) -> Tool:
        """The void's shape in the part's frame, not yet cut to the blank, mm."""
        raise NotImplementedError

    @property
    def figure(self) -> Tool:
        """The void's shape in the part's frame, cut to the blank as far as flat faces do it, mm."""
        return self.tool

    @property
    def upright(self) -> Upright | None:
        """The void in its blank's frame where it stands along the blank's axis; None on any other axis."""
        raise NotImplementedError

    @property
    def axis(self) -> Vec3:
        """Unit direction of the tool's axis in the part's frame."""
        return self.cut.direction if isinstance(self.cut, Hole) else self.blank.frame.z_axis

    @property
    def opens_aside(self) -> bool:
        """Whether it opens into a side of its blank, not an end."""
        return any(number >= CAPS for number in self.opens)

    @property
    def carries_head(self) -> bool:
        """Whether the head of a bolt stands on its floor."""
        if not isinstance(self.cut, Hole) or self.what not in ("counterbore", "countersink"):
            return False
        return self.cut.bolt is not None and (self.what == "counterbore" or self.cut.tapping is None)

    @property
    def is_straight(self) -> bool:
        """Whether a drill or a straight cutter makes it along the blank's axis: no thread, mouth or cone."""
        return self.what not in ("thread", "mouth", "point", "countersink") and self.upright is not None

    @property
    def low(self) -> float:
        """Lowest height of an upright void in its blank's frame, mm."""
        return self._standing.low

    @property
    def high(self) -> float:
        """Greatest height of an upright void in its blank's frame, mm."""
        return self._standing.high

    @cached_property
    def plan(self) -> Region:
        """The plan of an upright void where it is widest, in its blank's frame."""
        shape = self._standing.shape
        return shape if isinstance(shape, Region) else Region(Loop.circle(shape.centre, shape.radius, self.cut.name))

    @property
    def _standing(self) -> Upright:
        if self.upright is None:
            message = f"'{self.label}' does not stand along its blank's axis"
            raise GeometryError(message)
        return self.upright


class Bored(Void):
    """A round void: a step, the thread or the drill point of a hole. `reach` is how far its ends are drawn out, mm."""

    step: StepVoid
    reach: tuple[float, float]
    stands: bool

    @cached_property
    def tool(self) -> Cylinder | Cone:
        """A cylinder, or the cone of a countersink or a drill point."""
        hole, step = self.hole, self.step
        if step.wide != step.narrow:
            return Cone(hole.point(step.start), hole.point(step.end), step.wide / 2, step.narrow / 2)
        ends = hole.point(step.start - self.reach[0]), hole.point(step.end + self.reach[1])
        return Cylinder(*ends, step.wide / 2)

    @cached_property
    def figure(self) -> Cylinder | Cone:
        """The tool cut to the flat faces that it opens into, where these cut it clean off."""
        figure = self.tool
        for number in sorted(self.opens):
            plane = self.blank.faces[number].plane
            if plane is not None and isinstance(figure, Cylinder):
                figure = trimmed(figure, plane) or figure
        return figure

    @property
    def hole(self) -> Hole:
        """The hole that it is a step of."""
        if not isinstance(self.cut, Hole):
            raise TypeError(self.cut)
        return self.cut

    @cached_property
    def upright(self) -> Upright | None:
        """The void as a circle between two heights; a cone shrinks, a drill point to nothing."""
        if not self.stands:
            return None
        step, frame = self.step, self.blank.frame
        x, y, z0 = frame.to_local(self.hole.point(step.start))
        z1 = frame.to_local(self.hole.point(step.end))[2]
        circle, shrink = Circle((x, y), step.wide / 2), (step.narrow - step.wide) / 2
        if shrink == 0.0:
            # A depth past the face that it opens into ends there.
            low = max(0.0, min(z0, z1)) if 0 in self.opens else min(z0, z1)
            return Upright(circle, low, min(self.blank.height, max(z0, z1)) if 1 in self.opens else max(z0, z1))
        return Upright(circle, min(z0, z1), max(z0, z1), Line((0.0, z0), (shrink, z1)))


class Milled(Void):
    """A piece of a milled figure, numbered, or its mouth; `span` is from its lowest to its highest place, mm."""

    piece: int
    region: Region
    span: tuple[float, float]

    @cached_property
    def shape(self) -> Circle | Region:
        """Its plan; a round one as a circle, for which distances are quickest."""
        return (None if self.region.holes else self.region.outer.as_circle()) or self.region

    @cached_property
    def tool(self) -> Prism | Flare:
        """A prism; a mouth grows towards its face."""
        frame, (low, high) = self.blank.frame, self.span
        if self.what != "mouth":
            return Prism(self.region, frame.moved(frame.turn((0.0, 0.0, low))), high - low)
        profile, up = self.profile, self.profile.mouth is Side.ABOVE
        foot = frame.to_world((0.0, 0.0, low if up else high))
        place = Frame(foot, frame.x_axis, frame.y_axis if up else scale(frame.y_axis, -1.0))
        region = self.region if up else mirrored(self.region, 0.0)
        return Flare(region, place, profile.mouth_depth, profile.mouth_width, profile.mouth_radius > 0)

    @property
    def profile(self) -> Profile:
        """The milled cut that it is a piece of."""
        if not isinstance(self.cut, Profile):
            raise TypeError(self.cut)
        return self.cut

    @cached_property
    def plan(self) -> Region:
        """Its region; of a mouth, where it meets its face."""
        return offset(self.region, self.profile.mouth_width)[0] if self.what == "mouth" else self.region

    @cached_property
    def upright(self) -> Upright:
        """The void as a region between two heights; a mouth grows towards its face."""
        if self.what != "mouth":
            return Upright(self.shape, *self.span)
        wide = self.profile.mouth_width
        foot, face = self.span if self.profile.mouth is Side.ABOVE else self.span[::-1]
        grown: Line | Arc = Line((0.0, foot), (wide, face))
        if self.profile.mouth_radius > 0:
            grown = Arc((0.0, foot), (wide, face), (wide, foot), wide, face < foot)
        return Upright(self.shape, *self.span, grown)


def voids_of(part: Part, blank: Blank) -> tuple[Void, ...]:
    """What the cuts of a part take out of its blank, step by step; `part` lies flat when it is bent from strip.

    A face planed to a slope is no void. Threads stand beside the drilled hole that they widen.
    """
    found: list[Void] = []
    for cut in part.cuts:
        if isinstance(cut, Profile):
            found += _milled(cut, blank)
        elif isinstance(cut, Hole):
            found += _bored(cut, blank)
    return tuple(found)


def _milled(cut: Profile, blank: Blank) -> Iterator[Milled]:
    low, high = cut.span(blank.height)
    own = 1 if cut.side is Side.ABOVE else 0
    opens = frozenset({0, 1}) if cut.through else frozenset({own})
    for piece, region in enumerate(cut.regions):
        yield Milled(cut, cut.kind.value, blank, opens, piece, region, (low, high))
        if cut.mouth_width > 0:
            up = cut.mouth is Side.ABOVE
            ends = (blank.height - cut.mouth_depth, blank.height) if up else (0.0, cut.mouth_depth)
            yield Milled(cut, "mouth", blank, frozenset({1 if up else 0}), piece, region, ends)


def _bored(hole: Hole, blank: Blank) -> Iterator[Bored]:
    stands = abs(abs(dot(hole.direction, blank.frame.z_axis)) - 1.0) <= PARALLEL
    entry, exit_, out = _entry_and_exit(hole, blank, stands=stands)
    for step in hole.step_voids:
        leaves = hole.through and step.end >= out
        # A thread's end is no floor: it lies in the drilled hole, which goes on.
        ends_outside = leaves or (hole.through and step.what == "thread")
        reach = (0.0, 0.0)
        if not stands and step.wide == step.narrow:
            reach = (
                _past_end(hole, step.wide, blank, entry, step.start, -1.0) if step.start == 0.0 else 0.0,
                _past_end(hole, step.wide, blank, exit_, step.end, 1.0) if leaves else 0.0,
            )
        yield Bored(hole, step.what, blank, entry | exit_ if ends_outside else entry, step, reach, stands)


def _entry_and_exit(hole: Hole, blank: Blank, *, stands: bool) -> tuple[frozenset[int], frozenset[int], float]:
    """Numbers of the faces that a hole's axis pierces where it enters and leaves the blank, and the depth it leaves at.

    A step that ends no less deep goes through; the last one of a hole that goes through does.
    """
    last = max(step.end for step in hole.steps) - ON_FACE
    if stands:
        down = dot(hole.direction, blank.frame.z_axis) < 0.0
        return frozenset({1 if down else 0}), frozenset({0 if down else 1}), min(last, blank.height - ON_FACE)
    ends = hole.point(-PAST), hole.point(hole.depth + (PAST if hole.through else 0.0))
    starts, stops, _ = pieces_in(blank.prism, np.array(ends[:1]), np.array(ends[1:]))
    if not len(starts):
        return frozenset(), frozenset(), last
    entry, out = blank.at(_point(starts[0])), _point(stops[-1])
    if not hole.through:
        return entry, frozenset(), last
    return entry, blank.at(out), min(last, math.dist(out, hole.at) - ON_FACE)


def _point(row: Numbers) -> Vec3:
    x, y, z = row.tolist()
    return x, y, z


def _past_end(hole: Hole, wide: float, blank: Blank, pierced: frozenset[int], depth: float, way: float) -> float:
    """How far an open end is drawn out so that its whole rim lies outside the blank, mm; 0 where it does already.

    A flat face that the axis pierces is passed by the whole rim, off the blank too.
    """
    angles = np.linspace(0.0, math.tau, RIM, endpoint=False)
    first, second = (np.array(one) for one in perpendiculars(hole.direction))
    ring = np.outer(np.cos(angles), first) + np.outer(np.sin(angles), second)
    rim = np.array(hole.point(depth)) + wide / 2 * ring
    x0, y0, x1, y1 = blank.region.bounds
    far = way * math.hypot(x1 - x0, y1 - y0, blank.height) * np.array(hole.direction)
    starts, ends, rows = pieces_in(blank.prism, rim, rim + far)
    pieces = zip(starts, ends, rows, strict=True)
    inside = [math.dist(end, rim[row]) for start, end, row in pieces if math.dist(start, rim[row]) <= ON_FACE]
    for number in pierced:
        plane = blank.faces[number].plane
        steep = abs(dot(plane.normal, hole.direction)) if plane else 1.0
        inside.append(wide / 2 * math.sqrt(max(0.0, 1.0 - steep**2)) / max(steep, SHALLOW))
    most = max(inside, default=0.0)
    return most + PAST if most > ON_FACE else 0.0
