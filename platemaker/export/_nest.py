"""Parts nested on sheets: one DXF for each sheet of a material and thickness, placed by their boxes with a gap."""

from __future__ import annotations

import math
import re
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import partial
from pathlib import Path

from platemaker.errors import SpecError, UnitError
from platemaker.export._ascii import plain
from platemaker.export._differs import differs
from platemaker.export._flat._drawing import Drawing, letters_width, outlined
from platemaker.export._flat._dxf import write_drawing
from platemaker.export._flat._profile import profile_cut, profile_drawing, profile_notes
from platemaker.export._folder._folder import OutputFolder
from platemaker.export._names import NOTE, STOCK, number
from platemaker.export._reading._read_back import dxf_record
from platemaker.export._reading._read_dxf import SAME, DxfReading, read_dxf
from platemaker.parts import Kind, Part
from platemaker.plane import Box, Circle, Loop, moved, rotated
from platemaker.records import Record, replace
from platemaker.resolved import resolved
from platemaker.units import LengthUnit, parse_length
from platemaker.views import Stroke, Text, joined, overlap

_differs = partial(differs, due="it was nested")

GAP = 6.0
"""Room between two parts and between a part and the sheet's edge, mm: common practice for routers and lasers."""
NOTES = 8.0
"""Height of a line of notes, mm; its letters are half as high."""
LARGEST = 20_000.0
"""Longest side of a sheet, mm: no mill rolls longer plate for a small shop; guards against a wrong unit."""
_KINDS = (Kind.PLATE, Kind.DRAIN_PLATE, Kind.BRACKET, Kind.GASKET, Kind.SHIM)
_GRID = 1000
"""The packing library counts in whole numbers: micrometres, rounded up."""


class NestedCopy(Record):
    """A copy of a part on a sheet: where its box's lower left corner stands, and whether it is turned by 90 degrees."""

    part: Part
    copy: int
    x: float
    y: float
    turned: bool


class NestedSheet(Record):
    """A sheet of one material and thickness with the parts on it; `number` counts the sheets of that kind from 1."""

    material: str
    thickness: float
    number: int
    width: float
    height: float
    spots: tuple[NestedCopy, ...]


class Nesting(Record):
    """Sheets, and the names of parts that fit on none, or are not cut from sheet, with the reason."""

    sheets: tuple[NestedSheet, ...]
    left_out: tuple[tuple[str, str], ...]


def sheet_size(text: str, unit: str) -> tuple[float, float]:
    """A sheet's size such as `600x300` or `24 x 12 in`, mm; bare numbers are in `unit`. Raises SpecError.

    >>> sheet_size("600x300", "mm"), sheet_size("24 in x 12 in", "mm")
    ((600.0, 300.0), (609.6, 304.8))
    """
    sides = re.split(r"\s*[x×]\s*", text.strip().lower())
    problem = "a sheet is two lengths with an x between them, such as 600x300"
    if len(sides) != 2:
        raise SpecError(problem, met=text)
    try:
        width, height = (parse_length(side, LengthUnit(unit)) for side in sides)
    except UnitError as cause:
        problem += f": {cause}"
        raise SpecError(problem, met=text) from cause
    if min(width, height) <= 2 * GAP or max(width, height) > LARGEST:
        problem = "a sheet of this size cannot be nested"
        raise SpecError(problem, met=text, allowed=f"sides over {2 * GAP:g} and up to {LARGEST:g} mm")
    return width, height


def nested(parts: Iterable[Part], width: float, height: float) -> Nesting:
    """Place every copy of every part that is cut from sheet on sheets of `width` by `height`, mm."""
    groups: dict[tuple[str, float], list[Part]] = defaultdict(list)
    left = []
    for part in parts:
        if not part.made:
            continue
        if part.kind not in _KINDS:
            left.append((part.name, f"a {part.kind.value} is not cut from sheet"))
        elif not _fits(part, width, height):
            x, y = _size(part)
            left.append((part.name, f"{x:.3f} x {y:.3f} mm with a gap of {GAP:g} mm round it is larger than the sheet"))
        else:
            groups[part.material.name, resolved(part).flat.stock.height].append(part)
    sheets = [sheet for (name, thick), alike in sorted(groups.items(), key=lambda item: item[0])
              for sheet in _packed(name, thick, alike, width, height)]  # fmt: skip
    return Nesting(tuple(sheets), tuple(left))


def write_nests(nesting: Nesting, folder: OutputFolder) -> Mapping[str, bytes]:
    """Write a DXF for each sheet and read it back; the store keeps nothing else of them.

    Raises ProofError naming file and difference.
    """
    for sheet in nesting.sheets:
        path = folder.path(sheet_name(sheet), "dxf", f"parts nested on a sheet {sheet.width:g} x {sheet.height:g} mm")
        write_drawing(sheet_drawing(sheet), path)
        folder.read_back(path, dxf_record(prove_sheet(sheet, path)))
    return {}


def sheet_name(sheet: NestedSheet) -> str:
    """Such as `sheet_6061-T6_6-35_1`: material, thickness in mm with a hyphen for the point, number."""
    material = "".join(c if c.isascii() and c.isalnum() else "-" for c in sheet.material)
    return f"sheet_{material}_{number(sheet.thickness).replace('.', '-')}_{sheet.number}"


def sheet_drawing(sheet: NestedSheet) -> Drawing:
    """All that is cut right through, as in the parts' own profiles; names, and below the sheet notes, are not cut."""
    edge = Loop.rectangle(sheet.width, sheet.height, centre=(sheet.width / 2, sheet.height / 2))
    ink: list[Stroke | Text] = [outlined(STOCK, edge)]
    for spot in sheet.spots:
        drawing = profile_drawing(spot.part)
        x0, y0, _, y1 = drawing.bounds
        turn, corner = (90.0, (-y1, x0)) if spot.turned else (0.0, (x0, y0))
        # A mark off its part stays off its neighbour too: what reaches past the gap is left out.
        shown = [drawn for drawn in drawing.strokes if _within(drawn.bounds, drawing.bounds)]
        own = [_put(drawn, turn, spot.x - corner[0], spot.y - corner[1]) for drawn in shown]
        name = plain(spot.part.name) + (f" {spot.copy}" if spot.part.quantity > 1 else "")
        ink += [*own, _named(name, own)]
    parts = {spot.part.name: spot.part for spot in sheet.spots}
    notes = [line for part in parts.values() for line in profile_notes(part)]
    ink += [Text(line, (0.0, -NOTES * row), NOTES / 2, look=NOTE) for row, line in enumerate(dict.fromkeys(notes), 1)]
    return Drawing(tuple(ink), (0.0, 0.0, sheet.width, sheet.height))


def _within(box: Box, bounds: Box) -> bool:
    x0, y0, x1, y1 = bounds
    return box[0] >= x0 - GAP and box[1] >= y0 - GAP and box[2] <= x1 + GAP and box[3] <= y1 + GAP


def _put(stroke: Stroke, turn: float, dx: float, dy: float) -> Stroke:
    run = stroke.run
    if isinstance(run, tuple):
        return replace(stroke, run=tuple(moved(rotated(edge, turn), dx, dy) for edge in run))
    return replace(stroke, run=moved(rotated(run, turn), dx, dy)) if isinstance(run, Circle) else stroke


def _named(name: str, shapes: Sequence[Stroke]) -> Text:
    """A part's name: the lowest place, then the one furthest left, where it crosses no edge, if there is one."""
    x0, y0, x1, y1 = joined(drawn.bounds for drawn in shapes)
    # As large as goes across the part, but no larger than can be read.
    height = max(1.0, min(4.0, (x1 - x0) / (letters_width(name, 1.0) + 2), (y1 - y0) / 6))
    wide = letters_width(name, height)
    places = [
        (x0 + height + across * (x1 - x0 - wide - 2 * height) / 8, y0 + height + up * height)
        for up in range(int((y1 - y0) / height) - 2)
        for across in range(9)
    ]
    edges = [box for drawn in shapes for box in drawn.boxes]
    free = (at for at in places if not any(overlap((*at, at[0] + wide, at[1] + height), edge) for edge in edges))
    return Text(name, next(free, (x0 + height, y0 + height)), height, look=NOTE)


def prove_sheet(sheet: NestedSheet, path: Path) -> DxfReading:
    """Read a sheet back: circles and closed loops of its parts' profiles, of the same sizes, all on it."""
    reading = read_dxf(path)
    diameters, areas = [], [sheet.width * sheet.height]
    for spot in sheet.spots:
        loops = [loop for region in profile_cut(spot.part).regions for loop in region.loops]
        whole = [loop.as_circle() for loop in loops]
        diameters += [2 * circle.radius for circle in whole if circle]
        areas += [abs(loop.area) for loop, circle in zip(loops, whole, strict=True) if not circle]
    met = sorted(circle[2] for circle in reading.circles)
    if len(met) != len(diameters) or any(abs(a - b) > SAME for a, b in zip(met, sorted(diameters), strict=True)):
        raise _differs(path, f"{len(met)} circles, or of other sizes, instead of {len(diameters)}")
    found = reading.loop_areas
    if len(found) != len(areas) or any(abs(a - b) > SAME * b for a, b in zip(found, sorted(areas), strict=True)):
        raise _differs(path, f"{len(found)} closed loops, or of other areas, instead of {len(areas)}")
    if any(abs(a - b) > SAME for a, b in zip(reading.extents, (0.0, 0.0, sheet.width, sheet.height), strict=True)):
        raise _differs(path, f"extents {reading.extents} reach past the sheet")
    return reading


def _packed(material: str, thick: float, parts: Sequence[Part], width: float, height: float) -> Iterator[NestedSheet]:
    import rectpack  # noqa: PLC0415 - only when sheets are asked for

    packer = rectpack.newPacker(rotation=True)
    # A gap right of and over each part, and left of and under all of them.
    packer.add_bin(int((width - GAP) * _GRID), int((height - GAP) * _GRID), count=math.inf)
    copies = [(part, copy) for part in parts for copy in range(1, part.quantity + 1)]
    for rid, (part, _) in enumerate(copies):
        packer.add_rect(*_room(part), rid=rid)
    packer.pack()
    spots: dict[int, list[NestedCopy]] = defaultdict(list)
    for place, x, y, wide, high, rid in packer.rect_list():
        part, copy = copies[rid]
        spots[place].append(NestedCopy(part, copy, x / _GRID + GAP, y / _GRID + GAP, (wide, high) != _room(part)))
    for sheet, (_, row) in enumerate(sorted(spots.items()), start=1):
        ordered = tuple(sorted(row, key=lambda spot: (spot.y, spot.x)))
        yield NestedSheet(material, thick, sheet, width, height, ordered)


def _size(part: Part) -> tuple[float, float]:
    x0, y0, x1, y1 = profile_drawing(part).bounds
    return x1 - x0, y1 - y0


def _room(part: Part) -> tuple[int, int]:
    """What a part takes with its gap, in the packing library's units; a length on the grid stays as it is."""
    x, y = _size(part)
    return math.ceil((x + GAP) * _GRID - 1e-6), math.ceil((y + GAP) * _GRID - 1e-6)


def _fits(part: Part, width: float, height: float) -> bool:
    (x, y), wide, high = _room(part), int((width - GAP) * _GRID), int((height - GAP) * _GRID)
    return (x <= wide and y <= high) or (y <= wide and x <= high)
