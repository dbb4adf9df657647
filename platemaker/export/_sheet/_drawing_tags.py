"""Words among the views: tags of holes, captions of figures, letters of planes, sizes. No two overlap."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise

from platemaker.export._sheet._datum_ink import datum_boxes, datum_ink, edge_spots, hole_labels
from platemaker.export._sheet._drawing_datums import Datums
from platemaker.export._sheet._drawing_plan import edge_ink, mark_size_on
from platemaker.export._sheet._drawing_section import CuttingPlane
from platemaker.export._sheet._drawing_words import Numbers
from platemaker.parts import BendLine, Mark, Part, Side
from platemaker.plane import Arc, Box, Line, Point
from platemaker.records import replace
from platemaker.resolved import Cutting
from platemaker.views import (
    BEND_PAST,
    CAPITAL,
    LEAST,
    Align,
    Ink,
    Label,
    Lettered,
    Lines,
    Pen,
    PlacedLabel,
    Shown,
    Stroke,
    Text,
    View,
    arrow,
    known,
    label_ink,
    leader,
    mark_size,
    overlap,
    path,
    place,
    texts_in,
)

TAG, LETTER = LEAST, 4.8
"""Sizes of tags and of a plane's letter, mm."""


class _Kept(Label):
    """A box that something else fills already."""

    taken: Box = (0.0, 0.0, 0.0, 0.0)

    @property
    def width(self) -> float:
        """Width, mm."""
        return self.taken[2] - self.taken[0]

    @property
    def height(self) -> float:
        """Height, mm."""
        return self.taken[3] - self.taken[1]


def kept_box(box: Box) -> _Kept:
    """A label that fills a box which something else has taken."""
    middle = ((box[0] + box[2]) / 2, (box[1] + box[3]) / 2)
    return _Kept(Shown("", ""), middle, 0.0, 2.0, "kept", fixed=True, taken=box)


def tag_ink(
    part: Part,
    view: View,
    zone: Box,
    taken: Sequence[Ink],
    planes: Sequence[CuttingPlane],
    tags: Mapping[str, str],
    more: Sequence[Label] = (),
    datums: Datums | None = None,
) -> tuple[list[Ink], list[str]]:
    """Tags, captions and plane letters for a plan, and the words of those that found no room in `zone`.

    None stands on the ink `taken`; `more` are words of other places in the plan.
    """
    kept = [kept_box(text.box) for text in texts_in(taken)]
    kept += [kept_box(box) for plane in planes for box in _plane_boxes(part, plane, view)]
    thin = [_thin(edge) for one in taken if isinstance(one, Stroke) and isinstance(one.run, tuple) for edge in one.run]
    datums, lines = datums or Datums(), Lines.of(taken)
    letters = _plane_letters(part, planes, view, [label.taken for label in kept], lines)
    holes = list(hole_boxes(part, view))
    # Datums first: the letters of planes keep their places, and all others keep off the triangles too.
    lettered = place([*kept, *letters, *hole_labels(part, view, datums)], holes, zone, lines)
    boxes = [spot.box for spot in lettered]
    marked = [spot for spot in lettered if spot.label.kind == "datum"]
    marked += edge_spots(datums, view, boxes, thin)
    kept += [kept_box(box) for spot in marked for box in datum_boxes(spot)]
    wanted = [*more, *_tags(part, view, TAG, tags), *_captions(part, view, TAG)]
    spots = place([*kept, *letters, *wanted], holes, zone, lines)
    if left := _without(wanted, spots):
        # Once more: what found no room chooses first.
        first = sorted(wanted, key=lambda label: label not in left)
        again = place([*kept, *letters, *first], holes, zone, _of_datums(taken, lettered))
        if len(fewer := _without(wanted, again)) < len(left):
            spots, left = again, fewer
    words = [label.text.metric for label in left]
    own = label_ink(spot for spot in spots if spot.label.kind != "kept")
    return [*own, *(ink for spot in marked for ink in datum_ink(spot))], words


def _without(wanted: Sequence[Label], spots: Sequence[PlacedLabel]) -> list[Label]:
    """The labels that have no place."""
    found = {id(spot.label) for spot in spots}
    return [label for label in wanted if id(label) not in found]


def _of_datums(taken: Sequence[Ink], lettered: Sequence[PlacedLabel]) -> Lines:
    """The lines of some ink and the leaders of the datums' letters."""
    lines = Lines.of(taken)
    for spot in lettered:
        if spot.led:
            lines.add(*leader(spot))
    return lines


def _thin(edge: Line | Arc) -> Box:
    x0, y0, x1, y1 = edge.bounds
    return x0 - 0.15, y0 - 0.15, x1 + 0.15, y1 + 0.15


def _tags(part: Part, view: View, size: float, tags: Mapping[str, str]) -> Iterator[Label]:
    for hole in part.holes:
        tag = tags[hole.name]
        upright = not hole.level
        reach = mark_size(hole) * view.scale + 0.3 if upright else 1.0
        yield Lettered(Shown(tag, tag), view.at(hole.centre), reach, size)


def _captions(part: Part, view: View, size: float) -> Iterator[Label]:
    for profile in part.profiles:
        below = "" if profile.through or profile.side is Side.ABOVE else " (below)"
        text = known(profile.name + below)
        edge = max(profile.regions[0].outer.edges, key=lambda one: (round(one.length, 6), one.bounds))
        yield Lettered(Shown(text, text), view.at(edge.point(0.3)), 0.8, size, "caption")


def mark_labels(marks: Sequence[Mark], view: View, lines: Lines) -> dict[str, Label]:
    """Captions beside the places of marks, by mark: of those that would be too small to read there, or on `lines`."""
    found: dict[str, Label] = {}
    for mark in marks:
        text, at = known(mark.text), view.at((mark.at[0], mark.at[1]))
        if mark_size_on(mark, view) < LEAST or lines.meet(Text(text, at, mark_size_on(mark, view)).box):
            found[mark.name] = Lettered(Shown(text, text), at, 0.8, TAG, "caption")
    return found


def bend_labels(part: Part, view: View, bends: Sequence[BendLine]) -> Iterator[Label]:
    """Each bend's angle and way, for the upper end of its line."""
    top = part.stock.plan.bounds[3]
    for bend in bends:
        text = f"{abs(bend.angle):g}° {'up' if bend.angle > 0 else 'down'}"
        x, y = view.at((bend.x, top))
        yield Lettered(Shown(text, text), (x, y + BEND_PAST), 0.4, TAG, "caption")


def busy_boxes(part: Part, view: View, size: float) -> Iterator[Box]:
    """What labels keep off where they can: holes, boundaries and centre lines."""
    yield from hole_boxes(part, view)
    for region in (part.stock.plan, *(region for profile in part.profiles for region in profile.regions)):
        for edge in region.edges:
            x0, y0, x1, y1 = view.box(edge.bounds)
            yield x0 - 0.1 * size, y0 - 0.1 * size, x1 + 0.1 * size, y1 + 0.1 * size


def hole_boxes(part: Part, view: View) -> Iterator[Box]:
    """The insides of holes, with their centre lines."""
    for hole in part.holes:
        if hole.square:
            (x, y), r = view.at(hole.centre), mark_size(hole) * view.scale
            yield x - 0.7 * r, y - 0.7 * r, x + 0.7 * r, y + 0.7 * r
            yield x - r - 1.5, y - 0.2, x + r + 1.5, y + 0.2
            yield x - 0.2, y - r - 1.5, x + 0.2, y + r + 1.5
        else:
            r = mark_size(hole) * view.scale
            (x0, y0), (x1, y1) = view.at(hole.centre), view.at(hole.point(hole.depth)[:2])
            yield min(x0, x1) - r, min(y0, y1) - r, max(x0, x1) + r, max(y0, y1) + r


def _plane_ends(part: Part, plane: CuttingPlane, view: View) -> tuple[Point, Point, Point, Point]:
    """Both ends of a plane's line on the sheet, its direction, and the way one looks."""
    x0, y0, x1, y1 = view.box(part.stock.plan.bounds)
    x, y = view.at((plane.at, plane.at))
    if plane.cutting is Cutting.ACROSS_Y:
        return (x0 - 9.5, y), (x1 + 9.5, y), (1.0, 0.0), (0.0, 1.0)
    return (x, y0 - 9.5), (x, y1 + 9.5), (0.0, 1.0), (-1.0, 0.0)


def plane_ink(part: Part, plane: CuttingPlane, view: View) -> Iterator[Ink]:
    """A cutting plane's line with wide ends, and arrows that point the way one looks (ISO 128-3; from memory)."""
    a, b, u, way = _plane_ends(part, plane, view)
    inner = [(a[0] + 5 * u[0], a[1] + 5 * u[1]), (b[0] - 5 * u[0], b[1] - 5 * u[1])]
    yield path(inner, Pen.PLANE)
    for end, start in zip((a, b), inner, strict=True):
        yield path((end, start), Pen.PLANE_END)
        middle = ((end[0] + start[0]) / 2, (end[1] + start[1]) / 2)
        tip = (middle[0] + 5.5 * way[0], middle[1] + 5.5 * way[1])
        yield path((middle, tip), Pen.NARROW)
        yield arrow(tip, way, 3.0)


def _plane_boxes(part: Part, plane: CuttingPlane, view: View) -> Iterator[Box]:
    """The boxes of a plane's wide ends and its arrows."""
    a, b, u, way = _plane_ends(part, plane, view)
    for (x, y), sign in ((a, 1.0), (b, -1.0)):
        yield _thick((x, y), (x + 5 * sign * u[0], y + 5 * sign * u[1]))
        middle = (x + 2.5 * sign * u[0], y + 2.5 * sign * u[1])
        yield _thick(middle, (middle[0] + 5.5 * way[0], middle[1] + 5.5 * way[1]))


def _thick(a: Point, b: Point) -> Box:
    return min(a[0], b[0]) - 0.6, min(a[1], b[1]) - 0.6, max(a[0], b[0]) + 0.6, max(a[1], b[1]) + 0.6


def _plane_letters(
    part: Part, planes: Sequence[CuttingPlane], view: View, taken: Sequence[Box], lines: Lines
) -> list[Label]:
    """The letters at both ends of planes: behind the arrow, else beyond the line's end, else before the arrow."""
    letters: list[Label] = []
    for plane in planes:
        a, b, u, way = _plane_ends(part, plane, view)
        for end, sign in ((a, 1.0), (b, -1.0)):
            offsets = ((2.5, -3.2), (-3.2, 0.0), (2.5, 8.4))
            spots = [
                (end[0] + sign * along * u[0] + off * way[0], end[1] + sign * along * u[1] + off * way[1])
                for along, off in offsets
            ]
            choices = [Lettered(Shown(plane.letter, plane.letter), at, 0.0, LETTER, "plane", True) for at in spots]
            used = [*taken, *(PlacedLabel(one, one.anchor).box for one in letters)]
            boxes = {id(one): PlacedLabel(one, one.anchor).box for one in choices}
            free = [one for one in choices if not any(overlap(boxes[id(one)], box) for box in used)]
            clear = [one for one in free if not lines.meet(boxes[id(one)])]
            letters.append((clear or [replace(choices[0], fixed=False)])[0])
    return letters


def bent_ink(part: Part, view: View, numbers: Numbers) -> Iterator[Ink]:
    """Lengths of legs and angles of bends beside a bent strip seen from the front."""
    stock = part.strip
    if stock is None:
        return
    labels = []
    for leg, (a, b) in zip(stock.legs, pairwise(stock.corners), strict=True):
        text = f"leg {numbers.general(leg)}"
        middle = view.at(((a[0] + b[0]) / 2, (a[1] + b[1]) / 2))
        labels.append(Lettered(Shown(text, text), middle, 1.0, TAG))
    for bend, corner in zip(stock.bends, stock.corners[1:], strict=False):
        text = f"{abs(bend.angle):g}°, inside R{numbers.size(bend.radius)}"
        labels.append(Lettered(Shown(text, text), view.at(corner), 1.0, TAG))
    x0, y0, x1, y1 = view.box(stock.profile.bounds)
    # The caption and the height stand below and right.
    busy = [(x0, y0 - 8.0, x1, y0 - 0.5), (x1 + 0.5, y0 - 8.0, x1 + 20.0, y1 + 8.0)]
    yield from label_ink(place(labels, busy, lines=Lines.of(edge_ink(part, view))))


def dimension_ink(x: float, low: float, high: float, text: str, edge: float, side: int = 1) -> Iterator[Ink]:
    """An upright size between two levels, right of a view that ends at `edge`; arrows stand outside a short one.

    With `side` -1 it stands left of the view.
    """
    for level in (low, high):
        yield path(((edge + side, level), (x + 1.5 * side, level)), Pen.FINE)
    if high - low >= 8.0:
        yield path(((x, low), (x, high)), Pen.NARROW)
        yield arrow((x, low), (0.0, -1.0))
        yield arrow((x, high), (0.0, 1.0))
    else:
        yield path(((x, low - 5), (x, high + 5)), Pen.NARROW)
        yield arrow((x, low), (0.0, 1.0))
        yield arrow((x, high), (0.0, -1.0))
    align = Align.START if side > 0 else Align.END
    yield Text(text, (x + 1.8 * side, (low + high) / 2 - CAPITAL * TAG / 2), TAG, align)
