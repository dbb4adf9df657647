"""Words and numbers of a drawing: call-outs by the signs of the standards, sizes of figures, notes."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping

from platemaker.catalog import Family, ToleranceClass, coordinate_tolerance
from platemaker.parts import Hole, Operation, Part, Profile, Seal, leg_of, place_of, size_word
from platemaker.plane import Arc, Line, Loop, Region, rotated
from platemaker.records import Record
from platemaker.resolved import resolved
from platemaker.units import LengthUnit, Unit, convert
from platemaker.views import COUNTERBORE, COUNTERSINK, DEPTH, DIAMETER, shown, side_words

MOST_POINTS = 240
"""A figure with more corners than this is given by the DXF alone; a table of it would fill two sheets."""
_SQUARE = 1e-6
"""How far a side that lies along an axis may lean, mm."""


ROUGHNESS = {0.8: 32, 1.6: 63, 3.2: 125}
"""Steps of Ra, µm, and those of the series in µin that stand for them on inch drawings (ASME B46.1, from memory)."""
_TURNED = 1e-4
"""The same of a side that was turned straight, mm: its ends were on the grid."""
SHARE = 5.0
"""A last decimal is worth no more than the tolerance's whole width over this: gauge makers' rule of ten, with the
half that rounding takes off (common practice, no source)."""


class Numbers(Record):
    """Lengths as text in the project's unit, "mm" or "in"; `tolerances` is the general class of the drawing."""

    unit: str
    tolerances: ToleranceClass = ToleranceClass.MEDIUM

    def fixed(self, value: float) -> str:
        """A place: 3 decimals in mm, 4 in inch.

        >>> Numbers("mm").fixed(-84), Numbers("in").fixed(25.4)
        ('-84.000', '1.0000')
        """
        return shown(value, named=False).of(self.unit)

    def size(self, value: float) -> str:
        """A size, without the zeros at its end.

        >>> Numbers("mm").size(25.4), Numbers("mm").size(9), Numbers("in").size(9.525)
        ('25.4', '9', '0.375')
        """
        text = self.fixed(value)
        return text.rstrip("0").rstrip(".")

    def general(self, value: float) -> str:
        """A size under the general tolerance, with the decimals that this supports.

        >>> Numbers("mm").general(265.011), Numbers("mm").general(44.45), Numbers("mm").general(-1.2345)
        ('265.0', '44.45', '-1.23')
        """
        return self.within(value, 2 * coordinate_tolerance(round(value, 6), self.tolerances).deviation)

    def within(self, value: float, width: float) -> str:
        """A size under a tolerance of the whole `width`, mm, with the decimals that this supports.

        What has no more than 2 decimals in mm, 3 in inch, stays as the spec states it.

        >>> Numbers("mm").within(38.6667, 0.2), Numbers("mm").within(38.6667, 0.02)
        ('38.67', '38.667')
        """
        whole, inch = self.size(value), self.unit == LengthUnit.INCH
        most, stated = (4, 3) if inch else (3, 2)
        share = (convert(width, Unit.MILLIMETRE, Unit.INCH) if inch else width) / SHARE
        places = min(max(0, math.ceil(-math.log10(share) - 1e-9)), most)
        if len(whole.partition(".")[2]) <= max(places, stated if self._exact(value, stated) else 0):
            return whole
        length = convert(value, Unit.MILLIMETRE, Unit.INCH) if inch else value
        return f"{length:z.{places}f}"

    def smooth(self, roughness: float) -> str:
        """A surface that has a roughness Ra, µm, or less; in inch drawings the step of ASME B46.1's series in µin.

        >>> Numbers("mm").smooth(1.6), Numbers("in").smooth(1.6)
        ('Ra 1.6 µm or finer', 'Ra 63 µin or finer')
        """
        size = f"{ROUGHNESS[roughness]} µin" if self.unit == LengthUnit.INCH else f"{roughness:g} µm"
        return f"Ra {size} or finer"

    def _exact(self, value: float, places: int) -> bool:
        length = convert(value, Unit.MILLIMETRE, Unit.INCH) if self.unit == LengthUnit.INCH else value
        return abs(round(length, places) - length) < 1e-6

    def column(self, texts: Iterable[str]) -> Iterator[str]:
        """Numbers with as many decimals as the one that has most, to stand below each other.

        >>> [*Numbers("mm").column(["-84", "38.67"])]
        ['-84.00', '38.67']
        """
        held = list(texts)
        most = max((len(text.partition(".")[2]) for text in held), default=0)
        for text in held:
            whole, _, decimals = text.partition(".")
            yield f"{whole}.{decimals:0<{most}}" if most else whole

    @property
    def named(self) -> str:
        """The unit in words."""
        return "inch" if self.unit == LengthUnit.INCH else "mm"


def call_out_lines(hole: Hole, numbers: Numbers, zone: str = "", sunk_zone: str = "") -> list[str]:
    """What the shop makes at a hole: thread, then the deepest step, then what is wider, then how it ends.

    `zone` of ISO 286 is that of the deepest step, `sunk_zone` that of the counterbore.
    """
    lines = []
    if hole.tapping:
        depth = "THRU" if hole.is_threaded_through else DEPTH + numbers.size(hole.tapping.depth)
        lines.append(f"{_thread(hole)} {depth}")
        if hole.tapping.insert > 0:
            lines.append(f"wire insert, {numbers.size(hole.tapping.insert)} long")
    below = hole.bored[1:]
    for number, step in reversed([*enumerate(hole.bored)]):
        if step.operation is Operation.COUNTERSINK:
            # A cone below the face, or one that ends in no edge of the next step, as those of port connections, has a
            # depth of its own.
            ends = step.start == 0.0 and all(step.narrow <= other.wide + 1e-6 for other in below[number : number + 1])
            depth = "" if ends and below[number:] else f" {DEPTH}{numbers.general(step.end)}"
            lines.append(f"{COUNTERSINK}{DIAMETER}{numbers.size(step.wide)} × {step.angle:.4g}°{depth}")
            continue
        last = step.end == hole.depth
        sign = f"{COUNTERBORE}{DIAMETER}" if step.operation is Operation.COUNTERBORE else DIAMETER
        deep_words = "THRU" if step.through else f"{DEPTH}{numbers.general(step.end)}"
        point = f", point {hole.point_angle:g}°" if last and hole.point_angle else ""
        word = " bored" if step.operation is Operation.BORE else ""
        of_step = zone if last else sunk_zone if step.operation is Operation.COUNTERBORE else ""
        fit = f" {of_step}" if of_step else ""
        lines.append(f"{sign}{numbers.size(step.wide)}{fit}{word} {deep_words}{point}")
    return lines


def _thread(hole: Hole) -> str:
    tapping = hole.tapping
    if tapping is None:
        return ""
    text = tapping.designation
    return f"{text}×{tapping.pitch:g}" if text.startswith("M") and "x" not in text.lower() else text


def entry_words(hole: Hole) -> str:
    """Where a hole starts, and for a slanted one which way it goes, seen from above; nothing where it is all one."""
    if hole.square and hole.through and not hole.is_stepped and hole.tapping is None:
        return ""
    words = side_words(hole)
    dx, dy, dz = hole.direction
    if hole.square or abs(dz) < 1e-12:
        return words
    side = "above" if dz < 0 else "below"
    if abs(dx) < 1e-9 or abs(dy) < 1e-9:
        towards = ("-" if dx + dy < 0 else "+") + ("X" if abs(dy) < 1e-9 else "Y")
    else:
        towards = f"{math.degrees(math.atan2(dy, dx)):g}° from +X"
    return f"from {side}, axis {math.degrees(math.asin(abs(dz))):g}° to the face, going in towards {towards}"


def size_words(region: Region, numbers: Numbers, *, metal: bool = False) -> str:
    """A figure's size over all and its corners; `metal` where it is what stands, not what is taken out."""
    whole = region.outer.as_circle()
    if whole is not None:
        return f"{DIAMETER}{numbers.general(2 * whole.radius)}"
    x0, y0, x1, y1 = region.bounds
    words = f"{numbers.general(x1 - x0)} × {numbers.general(y1 - y0)}"
    if not given_whole(region.outer):
        edges = (edge for loop in (region.outer, *region.holes) for edge in loop.edges)
        inside = [edge.radius for edge in edges if isinstance(edge, Arc) and edge.ccw is not metal]
        least = f", least inside R{numbers.general(min(inside))}" if inside else ""
        shape = "shape by its table" if tabled(region.outer) else "shape as DXF"
        box = turned_box(region.outer)
        if box is not None:
            shape = f"{numbers.general(box.length)} × {numbers.general(box.width)} at {box.angle:g}° from +X, {shape}"
        return f"{words} over all, {shape}{least}"
    radii = Counter(round(edge.radius, 4) for edge in region.outer.edges if isinstance(edge, Arc))
    return ", ".join([words, *(f"{count}× R{numbers.general(radius)}" for radius, count in radii.items())])


def given_whole(loop: Loop, slack: float = _SQUARE) -> bool:
    """Whether its size over all and its radii give a shape: a circle, a rectangle, one with four corners alike, a slot.

    Their sides lie along X and Y, to within `slack`, mm.
    """
    if loop.as_circle() is not None:
        return True
    lines = [edge for edge in loop.edges if isinstance(edge, Line)]
    arcs = [edge for edge in loop.edges if isinstance(edge, Arc)]
    along = all(min(abs(a - b) for a, b in zip(edge.start, edge.end, strict=True)) < slack for edge in lines)
    if not along or len({(round(edge.radius, 4), edge.ccw) for edge in arcs}) > 1:
        return False
    # Whole quarters and halves of a turn alone: a rounded rectangle with a side cut off has less of its corners.
    turn = {(4, 0): 0.0, (4, 4): math.pi / 2, (2, 2): math.pi}.get((len(lines), len(arcs)))
    return turn is not None and all(abs(abs(edge.sweep) - turn) < slack for edge in arcs)


class TurnedBox(Record):
    """A rectangle or a slot that lies across X and Y: its size, mm, and the angle of its length from +X, degrees."""

    length: float
    width: float
    angle: float


def turned_box(loop: Loop) -> TurnedBox | None:
    """The length and width of a slot or of a rectangle with four corners alike; None where they lie along X and Y."""
    lines = [edge for edge in loop.edges if isinstance(edge, Line)]
    if given_whole(loop) or not lines:
        return None
    longest = max(lines, key=lambda edge: round(edge.length, 6))
    (x0, y0), (x1, y1) = longest.start, longest.end
    angle = math.degrees(math.atan2(y1 - y0, x1 - x0))
    straight = rotated(loop, -angle)
    if not given_whole(straight, _TURNED):
        return None
    left, low, right, high = straight.bounds
    size, across = (right - left, high - low), right - left < high - low
    return TurnedBox(max(size), min(size), round((angle + 90.0 * across) % 180.0, 3) % 180.0)


def tabled(loop: Loop) -> bool:
    """Whether a table on the drawing gives a loop point by point: where words do not, unless it has too many.

    Of an island only a circle is given in words.
    """
    in_words = given_whole(loop) if loop.area > 0 else loop.as_circle() is not None
    return not in_words and len(loop.edges) <= MOST_POINTS


GROOVE_FINISH = 1.6
"""Roughness Ra of an O-ring's groove, µm, at most: the finer end of published gland practice. That no tool mark may
cross the floor is common practice, no source."""


def groove_words(profile: Profile, seal: Seal, numbers: Numbers) -> Iterator[str]:
    """An O-ring's groove in words, all that its check takes with the limits that the check takes."""
    [region] = profile.regions
    x0, y0, x1, y1 = region.bounds
    depths, widths = (" to ".join(map(numbers.fixed, pair)) for pair in (seal.depth_limits, seal.width_limits))
    words = [
        f"O-ring groove for {seal.ring.designation}", f"width {widths}", f"{DEPTH}{depths} from {profile.side.value}",
        f"outer wall {size_words(Region.of(region.outer), numbers)}, its size ±{numbers.size(seal.wall_deviation)}",
        f"inner wall {size_words(Region.of(region.holes[0]), numbers, metal=True)}",
        f"middle X{numbers.size((x0 + x1) / 2)} Y{numbers.size((y0 + y1) / 2)}",
        f"floor and walls {numbers.smooth(GROOVE_FINISH)}", "no tool marks across the floor",
    ]  # fmt: skip
    yield ", ".join(words)


def figure_words(profile: Profile, numbers: Numbers, seal: Seal | None = None) -> Iterator[str]:
    """A milled figure in words: size, place of its middle, depth, mouth, cutter; `seal` is the O-ring of a groove."""
    if seal is not None:
        yield from groove_words(profile, seal, numbers)
        return
    for region in profile.regions:
        x0, y0, x1, y1 = region.bounds
        # A table has the places of its corners.
        at = f"X{numbers.general((x0 + x1) / 2)} Y{numbers.general((y0 + y1) / 2)}"
        middle = () if tabled(region.outer) else (f"middle {at}",)
        depth = "THRU" if profile.through else f"{DEPTH}{numbers.general(profile.depth)} from {profile.side.value}"
        words = [size_words(region, numbers), depth, *middle, *_islands(region, numbers)]
        if profile.mouth_radius > 0:
            words.append(f"mouth R{numbers.general(profile.mouth_radius)} {profile.mouth.value}")
        if profile.mouth_chamfer > 0:
            wide = numbers.general(profile.mouth_chamfer)
            words.append(f"mouth {wide} × {profile.mouth_angle:g}° {profile.mouth.value}, angle from the wall")
        if profile.cutter:
            words.append(f"cutter to {DIAMETER}{numbers.size(profile.cutter)}")
        yield ", ".join(words)


def _islands(region: Region, numbers: Numbers) -> Iterator[str]:
    """What stands in a milled figure: whole circles with their places; a table gives any other shape."""
    circles: dict[float, list[str]] = {}
    for hole in region.holes:
        if (whole := hole.as_circle()) is not None:
            (x, y), wide = whole.centre, round(2 * whole.radius, 6)
            circles.setdefault(wide, []).append(f"X{numbers.general(x)} Y{numbers.general(y)}")
        elif not tabled(hole):
            yield "an island as DXF"
    for wide, places in circles.items():
        yield f"leaving {DIAMETER}{numbers.general(wide)} standing at {' and '.join(places)}"
    if any(tabled(hole) for hole in region.holes):
        yield "leaving islands by their tables standing"


def stock_words(part: Part, numbers: Numbers) -> str:
    """The finished size over all, which the blank must hold."""
    x, y, z = (numbers.general(size) for size in resolved(part).flat.stock.size)
    if part.bar is not None:
        return f"{DIAMETER}{y} × {x}"
    if part.strip is not None:
        return f"{y} × {z} × {x} flat"
    return f"{DIAMETER}{x} × {z}" if part.stock.plan.outer.as_circle() else f"{x} × {y} × {z}"


def edge_words(part: Part, numbers: Numbers) -> str:
    """What is done to sharp edges."""
    if not part.made:
        return "deburr holes"
    if part.material.family is Family.GASKET:
        return "cut clean"
    if part.edge_break:
        return f"break {numbers.size(part.edge_break)}"
    return "deburr, no break asked"


def fit_words(part: Part) -> Iterator[str]:
    """How a pressed boss sits, as a note."""
    if part.fit:
        compound = ", with retaining compound" if part.fit.retaining_compound else ""
        yield f"Outside is pressed into {part.fit.casting}: {part.fit.words}{compound}."


def mark_words(part: Part, numbers: Numbers) -> Iterator[str]:
    """How marks are made, as notes."""
    for lines, height in dict.fromkeys((mark.lines, mark.height) for mark in part.marks):
        texts = ", ".join(mark.text for mark in part.marks if (mark.lines, mark.height) == (lines, height))
        yield f"Engrave or scribe, {numbers.general(height)} high, {lines} as on layer MARK of the DXF: {texts}."


def outside_zone(part: Part) -> str:
    """The zone of ISO 286 of a pressed boss's outside; empty where the spec gives none."""
    return part.fit.boss_zone if part.fit else ""


def bend_words(part: Part, tags: Mapping[str, str], numbers: Numbers) -> Iterator[str]:
    """Legs and bends of a strip and places of its holes when it is bent, as notes."""
    bent = resolved(part).bent
    if bent is None:
        return
    yield f"Plan is the flat blank before bending; neutral line at {bent.k_factor:.3f} of the thickness."
    legs = ", ".join(numbers.general(leg) for leg in bent.strip.legs)
    yield f"Legs to sharp outside corners: {legs}."
    for bend in bent.bends:
        way = "up" if bend.angle > 0 else "down"
        yield (
            f"Bend line X{numbers.general(bend.x)}: {abs(bend.angle):g}° {way}, inside R{numbers.size(bend.radius)}, "
            f"bend takes {numbers.general(bend.width)}."
        )
    if part.holes:
        yield f"When bent: {'; '.join(_bent_place(part, hole, tags[hole.name], numbers) for hole in part.holes)}."


def _bent_place(part: Part, hole: Hole, tag: str, numbers: Numbers) -> str:
    """Where a hole of a bent part lies, from edges that can be measured from: as the first-article sheet has it."""
    from_words = {"from_end": "the free end of the last leg", "along": "where its leg begins", "across": "the side -Y"}
    if part.strip is not None and leg_of(hole, part.strip) == 0:
        from_words["along"] = "the free end of leg 1"
    places = place_of(part, hole, (0.0, 0.0)).items()
    return f"{tag} " + ", ".join(f"{numbers.general(value)} from {from_words[size_word(id_)]}" for id_, value in places)
