"""Reads a DXF back from disk and measures it against the part. Shares no code with what wrote it but layer names."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Iterator
from functools import partial
from itertools import pairwise
from pathlib import Path
from typing import Any

from platemaker.export._differs import differs, in_brackets
from platemaker.export._names import CENTRE, MARK, NOTE
from platemaker.parts import Part
from platemaker.plane import Box
from platemaker.records import Record
from platemaker.resolved import resolved

_differs = partial(differs, due="the part")

GRID = 5
"""Decimals of a millimetre to which read and expected numbers are rounded before they are compared."""
SAME = 1e-6
"""Extents, mm, and areas, mm2 per mm2, that differ by less agree: the grid of spec coordinates."""
LEAST_ARC, LEAST_LINE = 0.05, 0.01
"""No arc and no line of a loop is shorter, mm: a cutter would dwell there, and its control may misread it."""


class DxfReading(Record):
    """What a DXF holds: circles as (x, y, diameter), areas of its closed loops, extents without text, layers.

    Besides: its units, the count of all its entities, and of pieces of line that lie twice, and the boxes of what
    is engraved.
    """

    file: str
    circles: tuple[tuple[float, float, float], ...]
    loop_areas: tuple[float, ...]
    extents: Box
    layers: tuple[str, ...]
    units: str
    entities: int
    doubled: int
    letters: tuple[Box, ...] = ()


def read_dxf(path: Path) -> DxfReading:
    """Measure a DXF on disk. Raises ProofError naming the file when its form is not one a machine can follow."""
    import ezdxf  # noqa: PLC0415 - only when a drawing is read

    try:
        document = ezdxf.readfile(path)
    except (OSError, ezdxf.DXFError) as cause:
        raise _differs(path, f"cannot be read: {cause}") from cause
    _check_form(path, document)
    entities = [entity for entity in document.modelspace() if entity.dxftype() != "TEXT"]
    if short := next((word for entity in entities for word in _short(entity)), ""):
        raise _differs(path, short)
    doubled = _doubled(entities)
    if doubled:
        raise _differs(path, doubled[0])
    circles = [_circle(entity) for entity in entities if entity.dxftype() == "CIRCLE"]
    polylines = [(entity, _corners(entity)) for entity in entities if entity.dxftype() == "LWPOLYLINE"]
    loops = [corners for entity, corners in polylines if entity.dxf.layer != MARK]
    letters = [corners for entity, corners in polylines if entity.dxf.layer == MARK]
    letters += [[(x, y, 0.0) for x, y in _ends(entity)] for entity in entities if _is_mark_line(entity)]
    drawn = sorted({str(entity.dxf.layer) for entity in document.modelspace()})
    return DxfReading(
        path.name,
        tuple(sorted(circles)),
        tuple(sorted(_area(loop) for loop in loops)),
        _extents([*(_circle_box(circle) for circle in circles), *(_loop_box(loop) for loop in loops)]),
        tuple(drawn),
        str(ezdxf.units.unit_name(document.units)).lower(),
        len(document.modelspace()),
        len(doubled),
        tuple(_loop_box(corners) for corners in letters),
    )


def prove_dxf(part: Part, path: Path) -> DxfReading:
    """Read the file back and compare it with the part, flat as it is drawn; raises ProofError naming file and fault."""
    reading = read_dxf(path)
    circles, areas = _expected_figures(part)
    found = Counter(_rounded(circle) for circle in reading.circles)
    for missing in (circles - found).elements():
        raise _differs(path, f"no circle of diameter {missing[2]:g} at ({missing[0]:g}, {missing[1]:g})")
    for extra in (found - circles).elements():
        raise _differs(path, f"a circle too many, of diameter {extra[2]:g} at ({extra[0]:g}, {extra[1]:g})")
    if len(areas) != len(reading.loop_areas):
        raise _differs(path, f"{len(reading.loop_areas)} closed loops instead of {len(areas)}")
    for due, met in zip(sorted(areas), reading.loop_areas, strict=True):
        if abs(due - met) > SAME * due:
            raise _differs(path, f"a loop of {met:.6f} mm2 instead of {due:.6f} mm2")
    bounds = _expected_extents(part)
    if any(abs(a - b) > SAME for a, b in zip(reading.extents, bounds, strict=True)):
        raise _differs(path, f"extents {in_brackets(reading.extents)} instead of {in_brackets(bounds)}")
    prove_marks(part, reading, path)
    return reading


def prove_marks(part: Part, reading: DxfReading, path: Path) -> None:
    """Raise ProofError where a mark has fewer lines than letters about its place, or letters of another height."""
    for mark in resolved(part).flat.marks:
        (x, y, _), high, count = mark.at, mark.height, len(mark.text.replace(" ", ""))
        room = (x - 0.3 * high, y - 0.4 * high, x + 1.3 * high * len(mark.text), y + 1.4 * high)
        own = [box for box in reading.letters if room[0] <= box[0] and room[1] <= box[1] and box[3] <= room[3]
               and box[2] <= room[2]]  # fmt: skip
        tallest = max((box[3] - box[1] for box in own), default=0.0)
        if len(own) < count or (any(map(str.isalnum, mark.text)) and not 0.9 * high < tallest < 1.3 * high):
            raise _differs(path, f"mark '{mark.text}' has {len(own)} lines, the tallest {tallest:g} mm")


def _expected_figures(part: Part) -> tuple[Counter[tuple[float, ...]], list[float]]:
    """Circles (x, y, diameter) and areas of the other loops that the part's drawing must hold."""
    part = resolved(part).flat
    circles: Counter[tuple[float, ...]] = Counter()
    areas = []
    loops = [*part.stock.plan.loops, *(loop for cut in part.profiles for area in cut.regions for loop in area.loops)]
    for loop in loops:
        whole = loop.as_circle()
        if whole is None:
            areas.append(abs(loop.area))
        else:
            circles[_rounded((*whole.centre, 2 * whole.radius))] += 1
    for hole in part.holes:
        if hole.square:
            sizes = [step.wide for step in hole.bored] + ([hole.tapping.major_diameter] if hole.tapping else [])
            circles.update(_rounded((*hole.centre, size)) for size in sizes)
    return circles, areas


def _expected_extents(part: Part) -> Box:
    """The box of all that the drawing holds: a cut may reach out of the outline."""
    part = resolved(part).flat
    boxes = [part.stock.plan.bounds, *(region.bounds for cut in part.profiles for region in cut.regions)]
    for hole in part.holes:
        if hole.square:
            (x, y), r = hole.centre, hole.widest / 2
            boxes.append((x - r, y - r, x + r, y + r))
    return _extents(boxes)


def _check_form(path: Path, document: Any) -> None:
    units, metric = document.header.get("$INSUNITS"), document.header.get("$MEASUREMENT")
    if (document.dxfversion, units, metric) != ("AC1024", 4, 1):
        raise _differs(path, f"version {document.dxfversion}, units {units}, measurement {metric}; not R2010 in mm")
    faults = document.audit()
    if faults.errors or faults.fixes:
        raise _differs(path, f"the auditor finds fault: {[*faults.errors, *faults.fixes][0].message}")
    for entity in document.modelspace():
        kind, layer = entity.dxftype(), str(entity.dxf.layer)
        aside = layer in (NOTE, MARK)
        if kind == "LWPOLYLINE" and not entity.closed and layer != MARK:
            raise _differs(path, f"an open polyline on layer {layer}")
        if kind == "TEXT" and not aside:
            raise _differs(path, f"text on layer {layer}")
        if kind == "LINE" and not (aside or layer.startswith(("BEND", CENTRE))):
            raise _differs(path, f"a loose line on layer {layer}")
        if kind not in ("LWPOLYLINE", "CIRCLE", "TEXT", "LINE"):
            raise _differs(path, f"a {kind} on layer {layer}")


def _doubled(entities: Iterable[Any]) -> list[str]:
    """In words, each piece of line that lies twice on one layer, or on two layers that are both cut right through."""
    found = []
    seen: set[tuple[object, ...]] = set()
    for entity in entities:
        layer = str(entity.dxf.layer)
        where = "through" if layer.startswith("CUT_") or layer.endswith("_THRU") else layer
        for piece in _pieces(entity):
            if (where, *piece) in seen:
                found.append(f"a line drawn twice on layer {layer}, at {in_brackets(piece[:2])}")
            seen.add((where, *piece))
    return found


def _short(entity: Any) -> Iterator[str]:
    """In words, each piece of a loop that is too short to cut."""
    if entity.dxftype() != "LWPOLYLINE":
        return
    for (x0, y0, bulge), (x1, y1, _) in _sides(entity):
        chord, half = math.hypot(x1 - x0, y1 - y0), 2 * math.atan(abs(bulge))
        length = chord * half / math.sin(half) if bulge else chord
        if length < (LEAST_ARC if bulge else LEAST_LINE):
            yield f"a piece {length:.4f} mm long on layer {entity.dxf.layer}, at {in_brackets((x0, y0))}"


def _pieces(entity: Any) -> list[tuple[float, ...]]:
    """Each straight or round piece as numbers that do not depend on the direction of travel."""
    if entity.dxftype() == "CIRCLE":
        return [_rounded(_circle(entity))]
    if entity.dxftype() == "LINE":
        start, end = entity.dxf.start, entity.dxf.end
        return [_undirected((start.x, start.y), (end.x, end.y), 0.0)]
    return [_undirected(a[:2], b[:2], a[2]) for a, b in _sides(entity)]


def _sides(entity: Any) -> list[tuple[tuple[float, float, float], tuple[float, float, float]]]:
    """Each corner of a polyline with the next."""
    corners = _corners(entity)
    return list(pairwise([*corners, corners[0]] if entity.closed else corners))


def _undirected(a: tuple[float, ...], b: tuple[float, ...], bulge: float) -> tuple[float, ...]:
    first, second = _rounded(a), _rounded(b)
    return (*first, *second, *_rounded((bulge,))) if first <= second else (*second, *first, *_rounded((-bulge,)))


def _circle(entity: Any) -> tuple[float, float, float]:
    centre = entity.dxf.center
    return float(centre.x), float(centre.y), 2 * float(entity.dxf.radius)


def _is_mark_line(entity: Any) -> bool:
    return bool(entity.dxftype() == "LINE" and entity.dxf.layer == MARK)


def _ends(entity: Any) -> Iterator[tuple[float, float]]:
    yield from ((float(end.x), float(end.y)) for end in (entity.dxf.start, entity.dxf.end))


def _corners(entity: Any) -> list[tuple[float, float, float]]:
    return [(float(x), float(y), float(bulge)) for x, y, bulge in entity.get_points("xyb")]


def _area(corners: list[tuple[float, float, float]]) -> float:
    """Shoelace over the corners, and a circular segment for each bulge (DXF reference: bulge = tan(sweep / 4))."""
    total = 0.0
    for (x0, y0, bulge), (x1, y1, _) in pairwise((*corners, corners[0])):
        total += (x0 * y1 - x1 * y0) / 2
        if bulge:
            sweep, chord = 4 * math.atan(bulge), math.hypot(x1 - x0, y1 - y0)
            radius = chord / (2 * math.sin(abs(sweep) / 2))
            total += radius**2 / 2 * (sweep - math.sin(sweep))
    return abs(total)


def _loop_box(corners: list[tuple[float, float, float]]) -> Box:
    boxes = []
    for (x0, y0, bulge), (x1, y1, _) in pairwise((*corners, corners[0])):
        boxes.append((min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1)))
        if bulge:
            boxes.append(_bulge_box(x0, y0, x1, y1, bulge))
    return _extents(boxes)


def _bulge_box(x0: float, y0: float, x1: float, y1: float, bulge: float) -> Box:
    """Box of an arc: its ends, and those of its circle's four extreme points that lie on the bulging side."""
    reach = (1 / bulge - bulge) / 4
    cx, cy = (x0 + x1) / 2 - reach * (y1 - y0), (y0 + y1) / 2 + reach * (x1 - x0)
    radius = math.hypot(x0 - cx, y0 - cy)
    points = [(x0, y0), (x1, y1)]
    for dx, dy in ((1, 0), (0, 1), (-1, 0), (0, -1)):
        px, py = cx + radius * dx, cy + radius * dy
        if ((x1 - x0) * (py - y0) - (y1 - y0) * (px - x0)) * bulge < 0:
            points.append((px, py))
    return _extents([(x, y, x, y) for x, y in points])


def _circle_box(circle: tuple[float, float, float]) -> Box:
    x, y, size = circle
    return x - size / 2, y - size / 2, x + size / 2, y + size / 2


def _extents(boxes: Iterable[Box]) -> Box:
    rows = list(boxes)
    if not rows:
        return 0.0, 0.0, 0.0, 0.0
    low_x, low_y, high_x, high_y = zip(*rows, strict=True)
    return min(low_x), min(low_y), max(high_x), max(high_y)


def _rounded(numbers: Iterable[float]) -> tuple[float, ...]:
    return tuple(round(number, GRID) + 0.0 for number in numbers)
