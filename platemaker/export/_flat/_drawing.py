"""The flat drawing of a part, from its own plane geometry: which line, circle and note stands on which layer."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Mapping

from platemaker.export._ascii import plain
from platemaker.export._names import (
    CENTRE,
    MARK,
    NOTE,
    bend_layer,
    centre_layer,
    number,
    outline_layer,
    profile_layer,
    side_of,
    step_layer,
    tap_layer,
)
from platemaker.parts import BendLine, FlatPattern, Hole, Part, Profile, StepVoid, corners_of, ends_of
from platemaker.plane import Box, Circle, Line, Loop, Point
from platemaker.records import Record
from platemaker.resolved import resolved
from platemaker.views import TRUE, Pen, Stroke, Text, engraved, hole_tags, joined, kind_of


class Drawing(Record):
    """What the flat drawing of a part holds, as seen from above, mm. The look of its ink is the name of its layer.

    A text begins at its lower left corner, and its size is the height of its capitals, as in a DXF.
    """

    ink: tuple[Stroke | Text, ...]
    bounds: Box

    @property
    def strokes(self) -> tuple[Stroke, ...]:
        """The closed loops, whole circles and straight lines."""
        return tuple(one for one in self.ink if isinstance(one, Stroke))


def drawing_of(part: Part) -> Drawing:
    """The drawing of a part; one bent from strip is drawn flat, with its bend lines.

    Square holes are circles, one for each step; slanted bores are centre marks with a note; level bores are notes.
    """
    bent, flat = resolved(part).bent, resolved(part).flat
    region = flat.stock.plan
    shapes = [outlined(outline_layer(flat), loop) for loop in region.loops]
    for profile in flat.profiles:
        shapes += [outlined(profile_layer(profile), loop) for area in profile.regions for loop in area.loops]
    # Two bores that begin in one point have one centre mark.
    shapes += dict.fromkeys(shape for hole in flat.holes for shape in _hole_shapes(hole))
    shapes += marked(flat)
    tags = hole_tags(part)
    lines = notes(flat, region.bounds, tags)
    if bent:
        shapes += [_bend_line(bend, region.bounds) for bend in bent.bends]
        lines += _bend_notes(bent)
    lines += _legend(shapes)
    bounds = joined(drawn.bounds for drawn in shapes if drawn.closed and drawn.look != MARK)
    return Drawing((*shapes, *_texts(flat, region.bounds, lines, tags)), bounds)


def _legend(shapes: list[Stroke]) -> list[str]:
    """How many figures each layer holds, so that none is overlooked."""
    counts = Counter(drawn.look for drawn in shapes if not drawn.look.startswith((MARK, CENTRE)))
    return [f"layer {layer}: {counts[layer]}" for layer in sorted(counts)]


def marked(part: Part) -> list[Stroke]:
    """The letters of a part's marks."""
    return [
        stroke
        for mark in part.marks
        for stroke in engraved(plain(mark.text), (mark.at[0], mark.at[1]), mark.height, mark.letters, MARK)
    ]


def mark_notes(part: Part) -> Iterator[str]:
    """What the marks say, and how their lines are meant."""
    for lines in dict.fromkeys(mark.lines for mark in part.marks):
        texts = ", ".join(plain(mark.text) for mark in part.marks if mark.lines == lines)
        yield f"{plain(part.name)}: layer MARK is engraved or scribed, not cut through, {lines}: {texts}"


def _bend_line(bend: BendLine, bounds: Box) -> Stroke:
    return _line(bend_layer(bend), (bend.x, bounds[1]), (bend.x, bounds[3]))


def _bend_notes(bent: FlatPattern) -> list[str]:
    lines = [
        f"flat blank before bending; BEND lines are the middles of the bends; neutral line at {bent.k_factor:.3f} t"
    ]
    for bend in bent.bends:
        way = "up" if bend.angle > 0 else "down"
        lines.append(
            f"bend at X {bend.x:z.3f}: {abs(bend.angle):g} deg {way}, inside radius {number(bend.radius)}, "
            f"{bend.width:.3f} of the blank"
        )
    return lines


def outlined(layer: str, loop: Loop) -> Stroke:
    """A loop on a layer; a round one is a circle."""
    return Stroke(loop.as_circle() or loop.edges, Pen.WIDE, True, layer)


def _line(layer: str, start: Point, end: Point) -> Stroke:
    return Stroke((Line(start, end),), Pen.NARROW, look=layer)


def _circle(layer: str, centre: Point, diameter: float) -> Stroke:
    return Stroke(Circle(centre, diameter / 2), Pen.WIDE, True, layer)


def _hole_shapes(hole: Hole) -> list[Stroke]:
    if not hole.square:
        return [] if side_of(hole) == "SIDE" else [*_centre_mark(hole)]
    shapes = [_circle(step_layer(hole, step), hole.centre, step.wide) for step in hole.bored]
    if hole.tapping:
        shapes.append(_circle(tap_layer(hole, hole.tapping), hole.centre, hole.tapping.major_diameter))
    return shapes


def _centre_mark(hole: Hole) -> Iterator[Stroke]:
    return TRUE.cross(hole.centre, hole.entry_diameter / 2, Pen.NARROW, centre_layer(hole))


def _texts(part: Part, bounds: Box, lines: list[str], tags: Mapping[str, str]) -> list[Text]:
    x0, y0, x1, y1 = bounds
    height = min(5.0, max(1.0, (x1 - x0 + y1 - y0) / 100))
    small = max(1.0, height / 2)
    texts = []
    for hole in part.holes:
        if side_of(hole) != "SIDE":
            radius = hole.entry_diameter / 2
            texts.append(_beside(tags[hole.name], hole.centre, radius, small, x1))
    for profile in part.profiles:
        left, low, right, high = profile.regions[0].bounds
        label, middle = _depth_note(profile), ((left + right) / 2, (low + high) / 2)
        if letters_width(label, small) < right - left:
            spot = middle[0] - letters_width(label, small) / 2, high - 2.5 * small
            texts.append(Text(label, spot, small, look=NOTE))
        else:
            texts.append(_beside(plain(profile.name), middle, (right - left) / 2, small, x1))
    texts += _thicknesses(part, bounds, small)
    texts += [Text(line, (x0, y0 - 2 * height * (row + 2)), height, look=NOTE) for row, line in enumerate(lines)]
    return texts


def _thicknesses(part: Part, bounds: Box, height: float) -> Iterator[Text]:
    """The thickness of a planed part at each corner, inside it, and a mark at its thick end."""
    planed = part.planed
    if planed is None:
        return
    _, thick = ends_of(part.stock.plan, planed.face)
    words = [(NOTE, f"T{spot.name} {spot.thickness:.3f}", spot.at, 1.0) for spot in corners_of(part)]
    for layer, label, (x, y), row in [*words, (MARK, "THICK", thick.at, 3.0)]:
        left, low = x < (bounds[0] + bounds[2]) / 2, y < (bounds[1] + bounds[3]) / 2
        spot_x = x + height if left else x - height - letters_width(label, height)
        yield Text(label, (spot_x, y + row * height if low else y - (row + 1) * height), height, look=layer)


def _beside(label: str, centre: Point, radius: float, height: float, right: float) -> Text:
    """A label to the right of a round figure, or to its left where it would run over the part's edge."""
    x = centre[0] + radius + height / 2
    if x + letters_width(label, height) > right:
        x = centre[0] - radius - height / 2 - letters_width(label, height)
    return Text(label, (x, centre[1] + radius / 2), height, look=NOTE)


def letters_width(label: str, height: float) -> float:
    """About how wide a label of the flat drawing comes out, mm."""
    # Readers choose their own letters; this is what ordinary ones take.
    return 0.8 * height * len(label)


def notes(part: Part, bounds: Box, tags: Mapping[str, str]) -> list[str]:
    """The lines under the drawing: what it is, of what, how large, and what a plan cannot show.

    `tags` are those of the holes, by name.
    """
    x0, y0, x1, y1 = bounds
    lines = [
        f"{plain(part.name)}: {plain(part.title)}, quantity {part.quantity}",
        f"material {plain(part.material.name)}, overall {x1 - x0:.3f} x {y1 - y0:.3f} x {part.stock.height:.3f} mm",
        "all sizes mm; seen from above; ABOVE or BELOW in a layer name is the face that the cut starts from",
        "DP is a depth from that face to the end of the full diameter; THRU goes right through",
    ]
    if part.holes:
        lines.append("letter and number beside a hole: its tag in drawing, hole table and first-article sheet")
    if any(hole.tapping and hole.square for hole in part.holes):
        lines.append("TAP layers show the thread's outside diameter; its drill is the smaller circle")
    if any(not hole.square and not hole.level for hole in part.holes):
        lines.append("CENTRE layers show where slanted axes meet a face; they are neither cut nor scribed")
    if not part.made:
        lines.append("existing casting: drill only")
    if part.edge_break:
        lines.append(f"break sharp edges {number(part.edge_break)} mm")
    lines += [_depth_note(profile) for profile in part.profiles]
    lines += [
        f"{plain(cut.name)}: edge rounded all round on the face {cut.mouth.value}, radius {number(cut.mouth_radius)} mm"
        for cut in part.profiles
        if cut.mouth_radius > 0
    ]
    lines += [
        f"{plain(cut.name)}: edge chamfered all round on the face {cut.mouth.value}, {number(cut.mouth_chamfer)} mm "
        f"wide there, {number(cut.mouth_angle)} degrees from the wall"
        for cut in part.profiles
        if cut.mouth_chamfer > 0
    ]
    lines += mark_notes(part)
    lines += [_axis_note(hole, tags[hole.name]) for hole in part.holes if not hole.square]
    lines += _tip_notes(part, tags)
    return [*lines, *(plain(line) for line in part.note.splitlines() if line.strip())]


def _depth_note(profile: Profile) -> str:
    depth = "thru" if profile.through else f"{number(profile.depth)} deep from {profile.side.value}"
    return f"{plain(profile.name)} {depth}"


def _axis_note(hole: Hole, tag: str) -> str:
    x, y, z = hole.at
    place = f"{tag} {plain(hole.name)}: from X {x:z.3f} Y {y:z.3f} Z {z:z.3f}"
    if side_of(hole) == "SIDE":
        lean = f"level, towards {_towards(hole)}"
    else:
        angle = math.degrees(math.asin(abs(hole.direction[2])))
        lean = f"axis {angle:.3f} deg to the face, going in towards {_towards(hole)}"
    steps = ", ".join(f"{step.operation.value} {number(step.wide)} {_end_words(step)}" for step in hole.bored)
    thread = f", tap {plain(hole.tapping.designation)} {number(hole.tapping.depth)} deep" if hole.tapping else ""
    return f"{place}, {lean}: {steps}{thread}"


def _end_words(step: StepVoid) -> str:
    """How a step of a slanted or level hole ends."""
    if step.wide != step.narrow:
        return f"at {step.angle:.4g} deg"
    return "thru" if step.through else f"to {number(step.end)} along the axis"


def _towards(hole: Hole) -> str:
    """Where a slanted or level hole goes, seen from above."""
    x, y, _ = hole.direction
    if abs(y) < 1e-9 or abs(x) < 1e-9:
        return ("+" if x + y > 0 else "-") + ("X" if abs(y) < 1e-9 else "Y")
    return f"{math.degrees(math.atan2(y, x)):.3f} deg from +X"


def _tip_notes(part: Part, tags: Mapping[str, str]) -> list[str]:
    """A line for each kind of hole that ends in a drill point."""
    points = {kind_of(tags[hole.name]): hole.point_angle for hole in part.holes if hole.square and hole.point_angle}
    return [f"holes {kind}: drill point {angle:g} deg beyond the depth" for kind, angle in points.items()]
