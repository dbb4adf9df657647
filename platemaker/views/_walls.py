"""Findings on a picture: the line between the two points with its number, and the ring round a single point."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence

from platemaker.checks import Finding, Sense, Verdict, worst_first
from platemaker.plane import Box, Point
from platemaker.records import Record
from platemaker.views._ink._model import TRUE, Ink, Pen, Stroke, arrow, path
from platemaker.views._labels import Label
from platemaker.views._numbers import Shown, digits_apart, shown

SIGNS = {Verdict.FAIL: "×", Verdict.CAUTION: "!", Verdict.NOT_CHECKED: "?", Verdict.ACCEPTED: "~",
         Verdict.PASS: "="}  # fmt: skip
"""A letter for each verdict, so that a picture in one colour still distinguishes them."""

_SHORT = {"diameters": "D", "pitches": "P", "cutter radii": "R"}
"""Long words for units would hide the picture."""

Flatten = Callable[[tuple[float, float, float]], Point]


class WallMark(Record):
    """A finding seen in a view: its points in the view's plane, one or two, mm."""

    finding: Finding
    points: tuple[Point, ...]

    @property
    def middle(self) -> Point:
        """Midpoint of the two points, or the one point."""
        xs, ys = zip(*self.points, strict=True)
        return sum(xs) / len(xs), sum(ys) / len(ys)

    @property
    def length(self) -> float:
        """Distance between the points as it is seen in the view, mm."""
        return math.dist(self.points[0], self.points[-1])

    @property
    def kind(self) -> str:
        """The class that the stylesheet knows the verdict by."""
        return verdict_class(self.finding.verdict)


def verdict_class(verdict: Verdict) -> str:
    """The stylesheet's name of a verdict."""
    return "v-" + verdict.value.replace(" ", "-")


def tightest(findings: Sequence[Finding], flatten: Flatten, most: int) -> list[WallMark]:
    """The worst findings that a view can show at true length, at most one between the same two points.

    Of what passed only walls are shown: a least distance in mm that is the distance between the points.
    """
    walls: list[WallMark] = []
    for finding in worst_first(findings):
        if len(walls) >= most:
            break
        if len(finding.points) != 2 or finding.measured is None:
            continue
        wall = seen(finding, flatten)
        true = math.dist(*finding.points)
        if finding.verdict is Verdict.PASS and not _is_wall(finding, true):
            continue
        if wall.length > 0.99 * true and not any(wall.points == other.points for other in walls):
            walls.append(wall)
    return walls


def throat_lines(findings: Sequence[Finding], flatten: Flatten) -> Iterator[Stroke]:
    """The lines that findings have to draw, each in the colour of its verdict."""
    for finding in findings:
        for drawn in finding.lines:
            yield path([flatten(point) for point in drawn], Pen.HIDDEN, f"throat {verdict_class(finding.verdict)}")


def _is_wall(finding: Finding, distance: float) -> bool:
    if finding.measured is None or finding.unit != "mm" or finding.sense is not Sense.AT_LEAST:
        return False
    return abs(finding.measured - distance) < 1e-3


def seen(finding: Finding, flatten: Flatten) -> WallMark:
    """A finding's points in a view."""
    return WallMark(finding, tuple(flatten(point) for point in finding.points))


def wall_label(wall: WallMark, size: float) -> Label:
    """The number of a finding with the sign of its verdict."""
    found = wall.finding
    unit = _SHORT.get(found.unit, found.unit)
    value = shown(found.measured, unit, digits_apart(found), named=unit != "mm")
    texts = (f"{SIGNS[found.verdict]} {text}" for text in (value.metric, value.inch))
    return Label(
        Shown(*texts),
        wall.middle,
        max(0.8 * size, wall.length / 2 * 0.2),
        size,
        f"wall {wall.kind}",
        framed=True,
    )


def wall_ink(wall: WallMark, size: float) -> Iterator[Ink]:
    """The line between two points with a cross line at each end; a short one also gets arrows from outside."""
    if len(wall.points) < 2 or wall.length < 1e-9:
        yield TRUE.circle(wall.middle, 0.9 * size, Pen.WIDE, f"spot {wall.kind}")
        yield TRUE.circle(wall.middle, 0.12 * size, Pen.WIDE, f"dot {wall.kind}")
        return
    a, b = wall.points
    u = ((b[0] - a[0]) / wall.length, (b[1] - a[1]) / wall.length)
    yield path((a, b), Pen.WIDE, f"gap {wall.kind}")
    for end, way in ((a, -1.0), (b, 1.0)):
        ends = _step(end, u, 0.0, 0.45 * size), _step(end, u, 0.0, -0.45 * size)
        yield path(ends, Pen.WIDE, f"gap {wall.kind}")
        if wall.length < 2 * size:
            yield path((end, _step(end, u, way * 1.6 * size)), Pen.FINE, f"witness {wall.kind}")
            yield arrow(end, (-way * u[0], -way * u[1]), 0.7 * size, f"tip {wall.kind}", slim=0.2857)


def wall_box(wall: WallMark, size: float) -> Box:
    """The box of what is drawn for a finding, mm."""
    xs, ys = zip(*wall.points, strict=True)
    return min(xs) - 0.6 * size, min(ys) - 0.6 * size, max(xs) + 0.6 * size, max(ys) + 0.6 * size


def _step(at: Point, u: Point, along: float, across: float = 0.0) -> Point:
    return at[0] + along * u[0] - across * u[1], at[1] + along * u[1] + across * u[0]
