"""Which walls a part has, and how thick each is: the rules over the kernel's distances."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cached_property, partial
from itertools import combinations

import cadquery as cq

from tests.metal_oracle import _kernel as kernel
from tests.metal_oracle._kernel import MET, Face, Shape
from tests.metal_oracle._plan import lies_in
from tests.metal_oracle._reading import Bar, Cut, Made, Milled, Mouth, Round, Step, Vec, along

SIDES = ("above", "below", "side")


@dataclass(frozen=True)
class Row:
    """A wall: two cuts, or a cut and the faces above, below or beside it; mm, 0 for whatever overlaps or touches.

    `beside` is the wall between the pair's other steps where the overlap is a hole's passage through a figure's floor.
    """

    a: str
    b: str
    value: float
    what: str
    beside: float | None = None

    @property
    def key(self) -> tuple[str, str]:
        return key_of(self.a, self.b)


def key_of(a: str, b: str) -> tuple[str, str]:
    """The same for two features in either order; a face stands last."""
    if b.startswith("*") or a.startswith("*"):
        return (b, a) if a.startswith("*") else (a, b)
    return (a, b) if a < b else (b, a)


class Ledger:
    """The walls of one part."""

    def __init__(self, part: Made) -> None:
        self.part = part
        self.faces = kernel.faces_of(part.blank)
        self.cuts = {cut.name: cut for cut in part.cuts}
        if len(self.cuts) != len(part.cuts):
            message = f"two cuts of {part.name} have one name"
            raise ValueError(message)
        self._known: dict[tuple[str, str], Row | None] = {}
        self._bounds: dict[tuple[str, str], float] = {}
        self._runs: dict[tuple[Vec, Vec], tuple[float, float] | None] = {}

    @property
    def limit(self) -> float:
        return min(self.part.wall, self.part.floor)

    @cached_property
    def keys(self) -> list[tuple[str, str]]:
        """Every pair that could have a wall."""
        names = [cut.name for cut in self.part.cuts]
        return [*(key_of(a, b) for a, b in combinations(names, 2)), *((a, f"*{side}") for a in names for side in SIDES)]

    def row(self, key: tuple[str, str]) -> Row | None:
        """The wall of a pair; None where it has none."""
        if key not in self._known:
            a, b = key
            self._known[key] = self._to_face(self.cuts[a], b[1:]) if b.startswith("*") else self._between(a, b)
        return self._known[key]

    def bound(self, key: tuple[str, str]) -> float:
        """The wall of a pair is no thinner than this."""
        if key not in self._bounds:
            a, b = key
            own = self._all(self.cuts[a])
            if b.startswith("*"):
                other = [face.shape for face in self.faces if face.where == b[1:]] if own else own
            else:
                other = self._all(self.cuts[b])
            # A cut without a piece lies off the blank, which shows at its sides.
            self._bounds[key] = min(
                (kernel.apart(u, v) for u in own for v in other), default=0.0 if b == "*side" else math.inf
            )
        return self._bounds[key]

    def within(self, window: float) -> dict[tuple[str, str], Row]:
        """Every wall up to `window` mm."""
        found = {}
        for key in self.keys:
            if self.bound(key) <= window:
                row = self.row(key)
                if row is not None and row.value <= window:
                    found[key] = row
        return found

    def least(self) -> Row | None:
        """The thinnest wall of all."""
        best: Row | None = None
        for key in sorted(self.keys, key=self.bound):
            if best is not None and self.bound(key) > best.value:
                break
            row = self.row(key)
            if row is not None and (best is None or row.value < best.value):
                best = row
        return best

    def off(self, name: str, point: Vec) -> float:
        """How far a point lies off a cut, or off the faces on a side, mm."""
        if name.startswith("*"):
            shapes = [face.shape for face in self.faces if face.where == name[1:]]
        else:
            shapes = self._all(self.cuts[name])
        return min((kernel.distance_to_point(kernel.skin_of(shape), point) for shape in shapes), default=math.inf)

    def reach(self, name: str) -> tuple[float, float]:
        """Where a cut begins and ends along X, mm."""
        boxes = [piece.box for piece in self._all(self.cuts[name])]
        return min((box[0] for box in boxes), default=-math.inf), max((box[3] for box in boxes), default=math.inf)

    # Two cuts

    def useless(self) -> bool:
        """Whether a cut lies wholly inside what the others take, so that it takes nothing away."""
        for cut in self.part.cuts:
            others = [
                cq.Shape.cast(one.shape) for other in self.part.cuts if other is not cut for one in self._all(other)
            ]
            if others and not any(cq.Shape.cast(one.shape).cut(*others).Volume() > MET for one in self._all(cut)):
                return True
        return False

    def _all(self, cut: Cut) -> list[Shape]:
        return [piece for step in cut.steps for piece in kernel.pieces_of(step, self.part.blank)]

    def _between(self, a: str, b: str) -> Row | None:
        one, two = self.cuts[a], self.cuts[b]
        if a in two.into or b in one.into:
            return None
        best, what, beside, floored = math.inf, "", math.inf, False
        for p, q in ((p, q) for p in one.steps for q in two.steps):
            found = self._step_distance(p, q, beside)
            if found is None:
                continue
            if found <= MET and (passes_floor(one, p, q) or passes_floor(two, q, p)):
                floored = True
            else:
                beside = min(beside, found)
            if found < best:
                best, what = found, f"{p.what} to {q.what}"
        if best == math.inf or (best <= MET and {one.kind, two.kind} == {"opening", "pocket"}):
            return None
        value = best if best > MET else 0.0
        return Row(a, b, value, what, beside if floored and beside > MET else None)

    def _step_distance(self, p: Step, q: Step, window: float) -> float | None:
        """The least distance of two steps; None where it is not less than `window`."""
        best: float | None = None
        for u in kernel.pieces_of(p, self.part.blank):
            for v in kernel.pieces_of(q, self.part.blank):
                if kernel.apart(u, v) < (window if best is None else best):
                    found = kernel.distance(u, v)
                    best = found if best is None else min(best, found)
        return best

    # A cut and the faces

    def _to_face(self, cut: Cut, where: str) -> Row | None:
        best, what = math.inf, ""
        if where == "side" and not self._all(cut):
            return Row(cut.name, "*side", 0.0, "lies off the blank")
        for bound, kind, measure in sorted(self._face_walls(cut, where), key=lambda one: one[0]):
            if bound >= best:
                break
            value = measure()
            if value < best:
                best, what = value, kind
        return None if best == math.inf else Row(cut.name, f"*{where}", best if best > MET else 0.0, what)

    def _face_walls(self, cut: Cut, where: str) -> Iterator[tuple[float, str, Callable[[], float]]]:
        """Every wall of a cut to the faces on one side: no thinner than what, of which step, and how to measure it."""
        for face in self.faces:
            if face.where != where:
                continue
            for step in cut.steps:
                if not self._opens(cut, step, face):
                    for piece in kernel.pieces_of(step, self.part.blank):
                        yield kernel.apart(piece, face.shape), step.what, partial(kernel.distance, piece, face.shape)
            if face.curved and isinstance(cut.steps[0], Round) and self._hole_opens(cut, face):
                yield from self._round_walls(cut, face.curved)

    def _opens(self, cut: Cut, step: Step, face: Face) -> bool:
        if isinstance(step, Milled | Mouth):
            return face.where in step.opens
        if face.curved and self._hole_opens(cut, face):
            return True  # what is kept of it is measured by `_round_walls`
        if step.what == "thread":
            return self._hole_opens(cut, face)
        return self._enters(cut, face) or (step.leaves and self._leaves(cut, face))

    def _hole_opens(self, cut: Cut, face: Face) -> bool:
        return self._enters(cut, face) or (cut.through and self._leaves(cut, face))

    def _enters(self, cut: Cut, face: Face) -> bool:
        return self._on(face, cut, 0)

    def _leaves(self, cut: Cut, face: Face) -> bool:
        """Whether the axis of a hole, gone through to the end, leaves by a face."""
        return self._on(face, cut, 1)

    def _on(self, face: Face, cut: Cut, end: int) -> bool:
        entry, way, _ = cut.axis
        run = self._inside(entry, way)
        if run is None and face.where != "side":  # its axis runs past the blank: its ends are where they would be
            low, high = self._extent()
            reached = entry[2] if end == 0 else (high if way[2] > 0.0 else low)
            return abs(reached - (high if face.where == "above" else low)) <= MET
        return run is not None and kernel.distance_to_point(face.shape, along(entry, way, run[end])) <= MET

    def _inside(self, start: Vec, way: Vec) -> tuple[float, float] | None:
        """Where a line runs inside the blank, from and to, mm along it from `start`: blanks are convex along it."""
        if (start, way) not in self._runs:
            met = [one for face in self.faces for one in kernel.crossings(face.shape, start, way)]
            self._runs[start, way] = (min(met), max(met)) if met else None
        return self._runs[start, way]

    # Curved faces that a hole opens into

    def _round_walls(
        self, cut: Cut, curved: tuple[Vec, Vec, float]
    ) -> Iterator[tuple[float, str, Callable[[], float]]]:
        middle, axis, radius = curved
        entry, way, depth = cut.axis
        first, last = self._inside(entry, way) or (0.0, depth)
        half = min(depth, (max(first, 0.0) + (last if cut.through else min(last, depth))) / 2)
        beside = radius - _widest(along(entry, way, half), way, cut.radius_at(half), middle, axis, self._extent())
        yield 0.0, "side", lambda: beside
        ahead = _square_to(way, axis)
        for step in cut.steps:
            if not isinstance(step, Round) or (step.leaves and cut.through) or step.what == "thread":
                continue
            if _dot(_from(middle, step.end), ahead) > MET:
                far = kernel.half_round(curved, ahead, *self._extent())
                for piece in kernel.pieces_of(step, self.part.blank):
                    yield kernel.apart(piece, far), f"{step.what} to the far side", partial(kernel.distance, piece, far)

    def _extent(self) -> tuple[float, float]:
        blank = self.part.blank
        return (-blank.length / 2, blank.length / 2) if isinstance(blank, Bar) else (0.0, blank.thickness)


def _dot(a: Vec, b: Vec) -> float:
    return sum(x * y for x, y in zip(a, b, strict=True))


def _from(a: Vec, b: Vec) -> Vec:
    return b[0] - a[0], b[1] - a[1], b[2] - a[2]


def _square_to(way: Vec, axis: Vec) -> Vec:
    """The part of a direction that is square to an axis, as a unit vector."""
    share = _dot(way, axis)
    left = (way[0] - share * axis[0], way[1] - share * axis[1], way[2] - share * axis[2])
    size = math.hypot(*left)
    return left[0] / size, left[1] / size, left[2] / size


def _widest(
    point: Vec, way: Vec, radius: float, middle: Vec, axis: Vec, extent: tuple[float, float] = (-math.inf, math.inf)
) -> float:
    """The greatest distance from a round face's axis that the circle of a hole, square to its own axis, reaches.

    Of the circle counts what lies within the blank's `extent` along the face's axis.
    """
    u = _unit_across(way)
    v = (way[1] * u[2] - way[2] * u[1], way[2] * u[0] - way[0] * u[2], way[0] * u[1] - way[1] * u[0])

    def off(angle: float) -> float:
        c, s = radius * math.cos(angle), radius * math.sin(angle)
        p = _from(
            middle, (point[0] + c * u[0] + s * v[0], point[1] + c * u[1] + s * v[1], point[2] + c * u[2] + s * v[2])
        )
        share = _dot(p, axis)
        if not extent[0] <= share <= extent[1]:
            return -math.inf
        return math.dist(p, (share * axis[0], share * axis[1], share * axis[2]))

    best = max((off(math.tau * i / 720), math.tau * i / 720) for i in range(720))[1]
    low, high = best - math.tau / 720, best + math.tau / 720
    for _ in range(200):
        a, b = low + (high - low) / 3, high - (high - low) / 3
        low, high = (a, high) if off(a) < off(b) else (low, b)
    return off((low + high) / 2)


def _unit_across(way: Vec) -> Vec:
    other = (1.0, 0.0, 0.0) if abs(way[0]) < 0.7 else (0.0, 1.0, 0.0)
    return _square_to(other, way)


def passes_floor(hole: Cut, step: Step, figure: Step) -> bool:
    """Whether a step of a square hole goes, whole, through the floor of a blind figure.

    Either the hole leaves by the face that the figure is milled from, or it is drilled from there deeper than the floor.
    """
    if not isinstance(step, Round) or step.cone or not isinstance(figure, Milled) or len(figure.opens) != 1:
        return False
    if abs(step.way[2]) != 1.0 or not lies_in(figure.outer, (step.start[0], step.start[1]), step.radius):
        return False
    [side] = figure.opens
    entered_from = "above" if step.way[2] < 0 else "below"
    if side != entered_from:
        return step.leaves
    deeper = step.end[2] < figure.low - 1e-9 if side == "above" else step.end[2] > figure.high + 1e-9
    return deeper and figure.island is None
