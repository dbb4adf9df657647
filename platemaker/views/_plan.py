"""Plan view of a part: seen from above, Y up, drawn from the part's own lines and arcs."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Sequence
from itertools import pairwise

from platemaker.checks import Finding
from platemaker.parts import BendLine, Mark, Part, Profile, ProfileKind, Side
from platemaker.plane import Arc, Box, Point
from platemaker.records import replace
from platemaker.views._frame import Sheet, finished, letter_size, size_lines
from platemaker.views._holes import hole_tags
from platemaker.views._ink._model import TRUE, Group, Ink, Pen
from platemaker.views._ink._page import ADVANCE
from platemaker.views._labels import Label, grown, joined, label_ink, overlap, place
from platemaker.views._limiters import legend, limit_ink, limits_of
from platemaker.views._numbers import Shown, shown
from platemaker.views._part_plan import cut_box, cuts_named, hole_box, mark_size, plan_ink
from platemaker.views._walls import WallMark, throat_lines, tightest, wall_box, wall_ink, wall_label

PLAN_LETTERS, PLAN_WALLS = 68, 6
"""Letters of tag size across a plan, and how many of the tightest walls it shows."""
ZOOM_LETTERS, OVERVIEW_LETTERS = 30, 44
PAST = 0.6
"""How far centre lines run past a hole, over the letter size."""


def plan_svg(
    part: Part,
    findings: Sequence[Finding] = (),
    *,
    unit: str = "mm",
    limiters_of: str = "",
    bends: Sequence[BendLine] = (),
    sheet: Sheet | None = None,
) -> str:
    """The whole part with size, datum axes, tags, captions and the tightest walls of its `findings`.

    `limiters_of` names a milled figure whose boundary is then drawn by what limits it, with a legend.
    `bends` are the bend lines of a flat pattern, across the whole blank.
    """
    sheet = sheet or Sheet(part.name)
    stock = part.stock.plan.bounds
    # Many holes need smaller tags; the drawing can be enlarged.
    size = letter_size(stock, round(PLAN_LETTERS * max(1.0, math.sqrt(len(part.holes) / 60))))
    walls = tightest([one for one in findings if one.part == part.name], above, PLAN_WALLS)
    box = joined([stock, *(hole_box(hole, part) for hole in part.holes), *_datum_boxes(stock)])
    drawn_sizes, size_labels = size_lines(stock, size)
    labels = [
        *size_labels,
        *(wall_label(wall, size) for wall in walls),
        *_datum_labels(box, size),
        *_tags(part, size),
        *_captions(part, size),
        *(_bend_label(bend, stock, size) for bend in bends),
    ]
    limits = limits_of(part, limiters_of) if limiters_of else []
    placed = place([*_letters_of_marks(part.marks), *labels], _busy(part, walls, size))
    ink = [
        *plan_ink(part, TRUE, PAST * size, bends=bends),
        limit_ink(limits),
        Group(tuple(_axes(box, size)), "axes"),
        drawn_sizes,
        *throat_lines([one for one in findings if one.part == part.name], above),
        *(mark for wall in walls for mark in wall_ink(wall, size)),
        *label_ink(placed),
    ]
    extent = grown(joined([box, *(spot.box for spot in placed)]), 0.8 * size)
    if limits:
        lines, extent = legend(limits, extent, size)
        ink.append(lines)
    return finished(ink, extent, sheet, describe(part, walls, unit), unit)


def zoom_svg(part: Part, wall: WallMark, *, unit: str = "mm", sheet: Sheet | None = None) -> str:
    """A plan view close round one finding, with the cuts that it names marked."""
    sheet = sheet or Sheet(part.name)
    window = zoom_window(part, wall, part.stock.plan.bounds)
    size = letter_size(window, ZOOM_LETTERS)
    hot = cuts_named(part, wall.finding.features)
    tags = [tag for tag in _tags(part, size) if _near(tag.anchor, window)]
    number = wall_label(wall, 1.25 * size)
    round_it = [mark_size(hole) for hole in part.holes if math.dist(hole.centre, wall.middle) < mark_size(hole)]
    labels = [replace(number, reach=max(number.reach, *round_it, 0.0)), *tags, *_captions(part, size, hot, window)]
    placed = place(labels, _busy(part, [wall], size), inside=grown(window, -0.2 * size))
    close = replace(part, cuts=tuple(cut for cut in part.cuts if overlap(cut_box(cut, part), window)))
    ink = [*plan_ink(close, TRUE, PAST * size, hot=hot), *wall_ink(wall, size), *label_ink(placed)]
    return finished(ink, window, sheet, describe(part, [wall], unit), unit)


def overview_svg(part: Part, finding: Finding, *, unit: str = "mm", sheet: Sheet | None = None) -> str:
    """A whole plan under the number of a finding that has no place, with the cuts and joints that it names marked."""
    sheet = sheet or Sheet(part.name)
    stock = part.stock.plan.bounds
    size = letter_size(stock, OVERVIEW_LETTERS)
    hot = cuts_named(part, finding.features) | {hole.name for hole in part.holes if hole.joint in finding.features}
    over = WallMark(finding, (((stock[0] + stock[2]) / 2, stock[3] + 1.8 * size),))
    number = replace(wall_label(over, 1.25 * size), reach=0.0, fixed=True)
    placed = place([number, *_tags(part, size)], _busy(part, [], size))
    extent = grown(joined([stock, *(spot.box for spot in placed)]), 0.8 * size)
    ink = [*plan_ink(part, TRUE, PAST * size, hot=hot), *label_ink(placed)]
    return finished(ink, extent, sheet, describe(part, [over], unit), unit)


def above(point: tuple[float, float, float]) -> Point:
    """A point of a part as it is seen from above."""
    return point[0], point[1]


def zoom_window(part: Part, wall: WallMark, whole: Box) -> Box:
    """What a close view shows: the points, the cuts that the finding names where they are small, and air round them."""
    x, y = wall.middle
    hot = cuts_named(part, wall.finding.features)
    # Holes are shown whole; a large figure would zoom out too far to see a wall.
    widths = [2 * mark_size(hole) for hole in part.holes if hole.name in hot]
    reach = max(2.2 * wall.length, *widths, 12.0)
    half = min(reach, 0.5 * max(whole[2] - whole[0], whole[3] - whole[1]) * 1.1)
    return x - 1.25 * half, y - 0.85 * half, x + 1.25 * half, y + 0.85 * half


def describe(part: Part, walls: Sequence[WallMark], unit: str) -> str:
    """A view in words, for a reader who cannot see it."""
    x0, y0, x1, y1 = part.stock.plan.bounds
    size = " by ".join(shown(length).of(unit) for length in (x1 - x0, y1 - y0, part.stock.height))
    words = [f"{part.title}: {size}, {len(part.holes)} holes, {len(part.profiles)} milled figures."]
    for wall in walls:
        found = wall.finding
        words.append(
            f"{found.title} {' to '.join(found.features)}: "
            f"{shown(found.measured, found.unit).of(unit)}, {found.verdict.value}."
        )
    return " ".join(words)


def _tags(part: Part, size: float) -> Iterator[Label]:
    tags = hole_tags(part)
    for hole in part.holes:
        box = hole_box(hole, part)
        anchor = hole.centre if hole.square else ((box[0] + box[2]) / 2, (box[1] + box[3]) / 2)
        yield Label(Shown(tags[hole.name], tags[hole.name]), anchor, mark_size(hole), size)


def _captions(part: Part, size: float, only: Collection[str] = (), window: Box | None = None) -> Iterator[Label]:
    """The name of each milled figure, with its words beside it; a close view has room for the names alone.

    Words that several figures share, and those too long for a figure that holds its name, stand below the plan.
    """
    alike: dict[Shown, list[Label]] = {}
    for profile in part.profiles:
        if not only or profile.name in only:
            name = Label(Shown(profile.name, profile.name), (0.0, 0.0), 0.0, 0.9 * size, "caption")
            name = replace(name, anchor=_caption_anchor(part, profile, size, window))
            alike.setdefault(_caption_words(profile), []).append(name)
    (x0, y0, _, _), below = part.stock.plan.bounds, 6.0
    for words, names in alike.items():
        said = Shown(*(f"{', '.join(one.text.metric for one in names)}: {text}" for text in (words.metric, words.inch)))
        line, room = replace(names[0], text=said), _room_at(part, names[0])
        if window is not None:
            yield from names
        elif len(names) == 1 and not names[0].width < room < line.width:
            yield line
        else:
            yield from names
            yield replace(line, anchor=(x0 + line.width / 2, y0 - below * size), fixed=True)
            below += 1.5


def _room_at(part: Part, name: Label) -> float:
    """The width of the figure of this name, mm."""
    profile = next(one for one in part.profiles if one.name == name.text.metric)
    x0, _, x1, _ = profile.regions[0].bounds
    return x1 - x0


def _caption_words(profile: Profile) -> Shown:
    """A milled figure's depth and mouth."""
    depth, mouth = shown(profile.depth, named=False), shown(profile.mouth_width, named=False)
    texts = []
    for deep, wide in ((depth.metric, mouth.metric), (depth.inch, mouth.inch)):
        words = "through" if profile.through else f"{deep} deep"
        if profile.side is Side.BELOW and not profile.through:
            words += " from below"
        if profile.mouth_radius > 0:
            words += f", mouth R{wide} {profile.mouth.value}"
        if profile.mouth_chamfer > 0:
            words += f", mouth {wide} × {profile.mouth_angle:g}° {profile.mouth.value}"
        texts.append(words)
    return Shown(*texts)


def _caption_anchor(part: Part, profile: Profile, size: float, window: Box | None) -> Point:
    """The middle of a figure, off the X axis, or a point of its boundary where another is cut out of its middle."""
    x0, y0, x1, y1 = profile.regions[0].bounds
    x, y = middle = ((x0 + x1) / 2, (y0 + y1) / 2)
    if abs(y) < size < (y1 - y0) / 4:
        middle = (x, 1.2 * size)
    through = [one for one in part.profiles if one is not profile and one.kind is ProfileKind.OPENING]
    taken = any(overlap((*middle, *middle), grown(region.bounds, 1e-6)) for one in through for region in one.regions)
    points = [edge.point(0.5) for edge in sorted(profile.regions[0].outer, key=lambda edge: -edge.length)]
    if window is not None:
        return next((point for point in points if _near(point, window)), middle)
    return points[0] if taken else middle


def _bend_label(bend: BendLine, stock: Box, size: float) -> Label:
    radius, way = shown(bend.radius, named=False), "up" if bend.angle > 0 else "down"
    texts = (f"bend {way} {abs(bend.angle):g} deg, inside R{text}" for text in (radius.metric, radius.inch))
    return Label(Shown(*texts), (bend.x, stock[3]), 0.0, 0.9 * size, "caption")


def _letters_of_marks(marks: Sequence[Mark]) -> Iterator[Label]:
    for mark in marks:
        half = len(mark.text) * ADVANCE * mark.height / 2
        # A mark stands at its true height; `at` is where its letters begin, on the line.
        anchor = (mark.at[0] + half, mark.at[1] + 0.35 * mark.height)
        yield Label(Shown(mark.text, mark.text), anchor, 0.0, mark.height, "stamped", fixed=True)


def _busy(part: Part, walls: Sequence[WallMark], size: float) -> Iterator[Box]:
    """What labels should keep off: holes, boundaries, axes and the walls."""
    for hole in part.holes:
        # The square inside the circle: a label may stand in the corner of the circle's box.
        (x, y), half = hole.centre, 0.7 * mark_size(hole)
        yield (x - half, y - half, x + half, y + half)
    for region in (part.stock.plan, *(region for profile in part.profiles for region in profile.regions)):
        for edge in region.edges:  # the box of a whole arc would take in the room inside it
            count = 12 if isinstance(edge, Arc) else 1
            ends = pairwise(edge.point(n / count) for n in range(count + 1))
            yield from (grown(joined([(*a, *a), (*b, *b)]), 0.1 * size) for a, b in ends)
    x0, _, x1, _ = part.stock.plan.bounds
    # A text may cross the Y axis in one letter, but not run along the X axis.
    yield (x0, -0.1 * size, x1, 0.1 * size)
    yield grown((0.0, 0.0, 0.0, 0.0), 0.6 * size)
    for wall in walls:
        yield wall_box(wall, size)


def _datum_boxes(stock: Box) -> list[Box]:
    """The datum, where it is near enough to the part to be drawn with it."""
    far = 0.5 * max(stock[2] - stock[0], stock[3] - stock[1])
    return [(0.0, 0.0, 0.0, 0.0)] if _near((0.0, 0.0), grown(stock, far)) else []


def _axes(box: Box, size: float) -> Iterator[Ink]:
    if _near((0.0, 0.0), box):
        x0, y0, x1, y1 = grown(box, 1.2 * size)
        yield TRUE.line((x0, 0.0), (x1, 0.0), Pen.CENTRE)
        yield TRUE.line((0.0, y0), (0.0, y1), Pen.CENTRE)
        yield TRUE.circle((0.0, 0.0), 0.5 * size, Pen.NARROW)


def _datum_labels(box: Box, size: float) -> Iterator[Label]:
    if _near((0.0, 0.0), box):
        _, _, x1, y1 = grown(box, 2.0 * size)
        for text, anchor in (("X", (x1, 0.0)), ("Y", (0.0, y1))):
            yield Label(Shown(text, text), anchor, 0.0, size, "datum", fixed=True)


def _near(point: Point, box: Box) -> bool:
    return box[0] <= point[0] <= box[2] and box[1] <= point[1] <= box[3]
