"""Labels that never overlap: each goes to the nearest free place beside what it names."""

from __future__ import annotations

import itertools
import math
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence

from msgspec import Struct

from platemaker.plane import Box, Point
from platemaker.records import Record, field
from platemaker.views._ink._lettering import FALL, RISE, width_of
from platemaker.views._ink._model import Align, Ink, Pen, Text, frame, on_white, path
from platemaker.views._ink._page import ADVANCE, MIDDLE
from platemaker.views._lines import Lines, crosses
from platemaker.views._numbers import Shown

LEADING = 1.2
"""Height of a label's box over the height of its letters."""

_DIRECTIONS = (45, 0, 135, 315, 180, 225, 90, 270)
_RINGS = 60


class Label(Record):
    """A text for the point `anchor`, to stand at least `reach` away from it; mm. Reach 0 may stand on the anchor.

    `fixed` stands there whatever else does. `framed` draws its box.
    """

    text: Shown
    anchor: Point
    reach: float
    size: float
    kind: str = "tag"
    fixed: bool = False
    framed: bool = False

    @property
    def width(self) -> float:
        """Width of the box that holds the text in either unit, mm."""
        letters = max(len(self.text.metric), len(self.text.inch)) + self.framed
        return letters * ADVANCE * self.size

    @property
    def height(self) -> float:
        """Height of its box, mm."""
        return LEADING * self.size

    def ink(self, centre: Point, box: Box) -> Iterator[Ink]:
        """Its text in the middle of its box, on the page."""
        if self.framed:
            yield frame(box, Pen.NARROW, f"frame {self.kind}")
        yield self.text_at(centre[0], centre[1] - MIDDLE * self.size)

    @property
    def is_always_led(self) -> bool:
        """Whether it has a leader however near it stands."""
        return False

    def leader(self, centre: Point) -> tuple[Point, Point]:
        """From the rim of what is named to the nearest point of its box, whose middle is `centre`."""
        (x, y), box = self.anchor, _box(centre, self)
        end = (min(max(x, box[0]), box[2]), min(max(y, box[1]), box[3]))
        far = math.dist((x, y), end)
        share = min(self.reach / far, 1.0) if far > 0 else 1.0
        return (x + share * (end[0] - x), y + share * (end[1] - y)), end

    def text_at(self, x: float, line: float) -> Text:
        """Its text, centred, on a line."""
        return Text(self.text.metric, (x, line), self.size, Align.MIDDLE, look=self.kind, inch=self.text.inch)


class Lettered(Label):
    """A label as wide as its letters are in the font of the paper."""

    @property
    def width(self) -> float:
        """Width of the box, mm."""
        return width_of(self.text.metric, self.size) + 0.6

    @property
    def height(self) -> float:
        """Height of the box, mm."""
        return self.size

    def ink(self, centre: Point, box: Box) -> Iterator[Ink]:
        """Its text on white, so that the box from its letters' descent to their ascent is the label's."""
        yield from on_white(self.text_at(centre[0], centre[1] - (RISE - FALL) / 2 * self.size))
        if self.framed:
            yield frame(box, Pen.NARROW)


class PlacedLabel(Record):
    """A label and the middle of its box; `led` when it stands so far off that a leader must point back."""

    label: Label
    centre: Point
    led: bool = False

    @property
    def box(self) -> Box:
        """The label's box, mm."""
        return _box(self.centre, self.label)


class _Taken(Struct):
    """Boxes in a grid of cells, so that a thousand labels need no million comparisons."""

    cell: float
    boxes: dict[tuple[int, int], list[Box]] = field(default_factory=lambda: defaultdict(list))

    def add(self, box: Box) -> None:
        for cell in self._cells(box):
            self.boxes[cell].append(box)

    def meets(self, box: Box) -> bool:
        return any(overlap(box, other) for cell in self._cells(box) for other in self.boxes.get(cell, ()))

    def crossed(self, a: Point, b: Point) -> bool:
        """Whether a straight line runs through one of the boxes."""
        box = (min(a[0], b[0]), min(a[1], b[1]), max(a[0], b[0]), max(a[1], b[1]))
        return any(crosses(a, b, other) for cell in self._cells(box) for other in self.boxes.get(cell, ()))

    def _cells(self, box: Box) -> Iterator[tuple[int, int]]:
        x0, y0, x1, y1 = (math.floor(value / self.cell) for value in box)
        return itertools.product(range(x0, x1 + 1), range(y0, y1 + 1))


def place(
    labels: Sequence[Label], shy_of: Iterable[Box] = (), inside: Box | None = None, lines: Lines | None = None
) -> list[PlacedLabel]:
    """Places for labels, in their order of importance, so that no two boxes overlap.

    They keep off the boxes `shy_of` where there is room nearby. With `inside`, a label that finds no place in that
    box is left out; without, every label finds a place. With `lines` none that is not fixed stands on a line, nor a
    leader on letters; leaders are added to the lines.
    """
    if not labels:
        return []
    cell = 4 * max(label.size for label in labels)
    taken, shy = _Taken(cell), _Taken(cell)
    for box in shy_of:
        shy.add(box)
    placed = []
    for label in sorted(labels, key=lambda one: not one.fixed):
        spot = PlacedLabel(label, label.anchor) if label.fixed else _spot(label, taken, shy, inside, lines)
        if spot is not None:
            taken.add(spot.box)
            placed.append(spot)
            if lines is not None and spot.led:
                lines.add(*leader(spot))
    return placed


def overlap(a: Box, b: Box) -> bool:
    """Whether two boxes share area; touching is not overlapping."""
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


def joined(boxes: Iterable[Box]) -> Box:
    """The box round boxes."""
    x0, y0, x1, y1 = zip(*boxes, strict=True)
    return min(x0), min(y0), max(x1), max(y1)


def grown(box: Box, by: float) -> Box:
    """A box with a margin round it."""
    return box[0] - by, box[1] - by, box[2] + by, box[3] + by


def label_ink(placed: Iterable[PlacedLabel]) -> Iterator[Ink]:
    """The labels over the leaders of those that stand far off: no leader runs through another label's letters."""
    spots = list(placed)
    yield from (path(leader(spot), Pen.FINE, f"leader {spot.label.kind}") for spot in spots if spot.led)
    for spot in spots:
        yield from spot.label.ink(spot.centre, spot.box)


def _spot(label: Label, taken: _Taken, shy: _Taken, inside: Box | None, lines: Lines | None) -> PlacedLabel | None:
    for rings, wary in ((16 if inside else 10, True), (_RINGS if inside else None, False)):
        for ring, centre in _centres(label, rings, slanting=wary):
            box = _box(centre, label)
            if taken.meets(box) or (wary and shy.meets(box)) or (inside and not _within(box, inside)):
                continue
            spot = PlacedLabel(
                label, centre, (ring > 0 or label.is_always_led) and not _within((*label.anchor, *label.anchor), box)
            )
            if lines is None or not (lines.meet(box) or (spot.led and taken.crossed(*leader(spot)))):
                return spot
    return None


def _centres(label: Label, rings: int | None, *, slanting: bool) -> Iterator[tuple[int, Point]]:
    """Places round the anchor, ring by ring; the box's near side stands at the ring's distance.

    `slanting` leaves out those whose leader would run level or upright, as centre lines and dimensions do.
    """
    if label.reach == 0:
        yield 0, label.anchor
    for ring in itertools.count() if rings is None else range(rings):
        distance = label.reach + label.size * (0.25 + 0.7 * ring)
        turns = _DIRECTIONS if ring < 4 else range(0, 360, max(6, 60 // ring))
        for turn in turns:
            if slanting and ring > 0 and abs(turn % 90 - 45) > 35:
                continue
            c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
            half_w, half_h = label.width / 2, label.height / 2
            x = label.anchor[0] + distance * c + half_w * _sign(c)
            y = label.anchor[1] + distance * s + half_h * _sign(s)
            yield ring, (x, y)


def _sign(value: float) -> float:
    return 0.0 if abs(value) < 1e-9 else math.copysign(1.0, value)


def _box(centre: Point, label: Label) -> Box:
    w, h = label.width / 2, label.height / 2
    return centre[0] - w, centre[1] - h, centre[0] + w, centre[1] + h


def _within(box: Box, outer: Box) -> bool:
    return box[0] >= outer[0] and box[1] >= outer[1] and box[2] <= outer[2] and box[3] <= outer[3]


def leader(spot: PlacedLabel) -> tuple[Point, Point]:
    """From the rim of what is named to the label's box."""
    return spot.label.leader(spot.centre)
