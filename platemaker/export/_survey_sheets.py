"""Paper of a survey: its holes in true size to lay on the casting, and the numbered sheet of a plan of readings."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from platemaker.export._reading._read_pdf import PdfReading, prove_pages, prove_tiles
from platemaker.export._sheet._sheet_paper import list_paper
from platemaker.export._sheet._tiles import AIR, Tiling, punch_ink, tiled_pages, tiling_of_box
from platemaker.plane import Box, Point
from platemaker.units import MM_PER_INCH
from platemaker.views import (
    CAPITAL,
    LEAST,
    TRUE,
    Align,
    Fill,
    Ink,
    Lettered,
    Lines,
    Page,
    Pen,
    Shown,
    Text,
    View,
    fitted,
    frame,
    known,
    label_ink,
    on_white,
    path,
    place,
    wrapped,
    write_pdf,
)

if TYPE_CHECKING:
    from platemaker.survey import Datum, Reading, Survey, SurveyedEdge, SurveyPlan

NO_SIZE = 6.0
"""Diameter at which a round feature without one is drawn, mm."""
EDGE, HEAD, ROW, LINE, SKETCH = 12.0, 34.0, 6.5, 4.7, 105.0
"""Of a plan's sheet: margin, heights of head, row and a line of words, height of the sketch, mm."""


def write_survey_template(survey: Survey, name: str, unit: str, file: Path) -> PdfReading:
    """Write the holes and edges of a survey in true size, and read the file back: ProofError where it differs."""
    tiling = tiling_of_box(_box(survey), unit)
    write_pdf(survey_pages(survey, name, tiling), file, name)
    return prove_tiles(file, tiling, [(point.name, point.place) for point in survey.points])


def survey_pages(survey: Survey, name: str, tiling: Tiling) -> tuple[Page, ...]:
    """The pages: holes and edges in true size."""
    titles = name, _standing(survey)
    advice = (
        "Print in true size (100 %), measure both bars, then lay it on the casting: crosses are the holes' centres. "
        f"Seen as it was read. {_datum_words(survey.datum, [point.name for point in survey.points])}."
    )
    return tiled_pages(tiling, tuple(_survey_ink(survey, _box(survey))), titles, advice)


def _standing(survey: Survey) -> str:
    if survey.suspects:
        return "DO NOT USE YET: a reading is probably wrong, see the survey"
    unchecked = len(survey.unchecked)
    return f"{unchecked} of {len(survey.readings)} readings are not checked by others" if unchecked else "as surveyed"


def _box(survey: Survey) -> Box:
    reach = [((point.diameter or NO_SIZE) / 2, point.place) for point in survey.points]
    return (
        min(x - r for r, (x, _) in reach), min(y - r for r, (_, y) in reach),
        max(x + r for r, (x, _) in reach), max(y + r for r, (_, y) in reach),
    )  # fmt: skip


def _edges_and_holes(survey: Survey, box: Box) -> Iterator[Ink]:
    for edge in survey.edges:
        yield from _edge_ink(edge, box)
    for point in survey.points:
        wide = point.diameter or NO_SIZE
        yield TRUE.circle(point.place, wide / 2, Pen.NARROW if point.diameter else Pen.HIDDEN_SMALL)


def _survey_ink(survey: Survey, box: Box) -> Iterator[Ink]:
    yield from _edges_and_holes(survey, box)
    for point in survey.points:
        yield from punch_ink(point.place)
    reach = {point.name: max((point.diameter or NO_SIZE) / 2, 4.0) + 0.5 for point in survey.points}
    letters = _datum_letters(survey.datum, [point.name for point in survey.points])
    labels = [_label(point.name, point.place, reach[point.name]) for point in survey.points]
    for name, letter in letters.items():
        labels.append(_label(letter, survey.point(name).place, reach[name], framed=True))
    yield from label_ink(place(labels, lines=Lines.of(_edges_and_holes(survey, box))))


def _datum_words(datum: Datum, names: Sequence[str]) -> str:
    letters = _datum_letters(datum, names)
    zero, towards = (f"{name} (datum {letters[name]})" for name in (datum.origin, datum.x_towards))
    return f"X runs from {zero} to {towards}"


def _label(text: str, at: Point, reach: float, *, framed: bool = False) -> Lettered:
    return Lettered(Shown(known(text), known(text)), at, reach, LEAST, "datum" if framed else "tag", framed=framed)


def _datum_letters(datum: Datum, names: Sequence[str]) -> dict[str, str]:
    """A letter that no hole has for the origin, and for what X runs towards."""
    free = (letter for letter in "ABCDEFGHJKLMNPQRSTUVWXYZ" if letter not in names)
    return dict(zip(dict.fromkeys((datum.origin, datum.x_towards)), free, strict=False))


def _edge_ink(edge: SurveyedEdge, box: Box) -> Iterator[Ink]:
    """The line of an edge across the box and the room round it, with its name."""
    c, s = math.cos(math.radians(edge.normal_angle)), math.sin(math.radians(edge.normal_angle))
    corners = [(x, y) for x in (box[0] - AIR, box[2] + AIR) for y in (box[1] - AIR, box[3] + AIR)]
    along = [-s * x + c * y for x, y in corners]
    foot = edge.offset * c, edge.offset * s
    ends = [(foot[0] - t * s, foot[1] + t * c) for t in (min(along), max(along))]
    yield TRUE.line(ends[0], ends[1], Pen.NARROW)
    at = (ends[0][0] + 0.1 * (ends[1][0] - ends[0][0]), ends[0][1] + 0.1 * (ends[1][1] - ends[0][1]))
    yield from on_white(Text(edge.name, at, LEAST))


def write_plan_sheet(plan: SurveyPlan, file: Path) -> PdfReading:
    """Write a plan as a numbered sheet to fill in at the bench, with a sketch, and read the file back."""
    pages = plan_pages(plan)
    write_pdf(pages, file, plan.title)
    return prove_pages(file, len(pages), ("PLAN", "READINGS"))


def plan_pages(plan: SurveyPlan) -> tuple[Page, ...]:
    """The pages: the sketch and the diameters on the first, then the readings in two columns."""
    paper = list_paper(plan.units.value)
    width, height = paper.height, paper.width
    lines = [*_diameter_rows(plan), *_reading_rows(plan)]
    half = (width - 2 * EDGE - 6.0) / 2
    first = _rows(height - 2 * EDGE - HEAD - SKETCH)
    later = _rows(height - 2 * EDGE - HEAD)
    chunks, left = [lines[: 2 * first]], lines[2 * first :]
    while left:
        chunks.append(left[: 2 * later])
        left = left[2 * later :]
    pages = []
    for number, chunk in enumerate(chunks, start=1):
        top = height - EDGE - HEAD
        ink: list[Ink] = list(_head(plan, (number, len(chunks)), width, height))
        if number == 1:
            ink += _sketch(plan, (EDGE, top - SKETCH, width - EDGE, top))
            top -= SKETCH
        rows = first if number == 1 else later
        for column in range(2):
            part = chunk[column * rows : (column + 1) * rows]
            ink += _table(part, EDGE + column * (half + 6.0), top, half)
        pages.append(Page(width, height, tuple(ink)))
    return tuple(pages)


def _rows(room: float) -> int:
    return int((room - ROW) / ROW) - 1


def _head(plan: SurveyPlan, sheet: tuple[int, int], width: float, height: float) -> Iterator[Ink]:
    top, room = height - EDGE, width - 2 * EDGE
    title, size = fitted(plan.title, 5.0, room - 62)
    yield Text(known(title), (EDGE, top - 6), size)
    yield Text("PLAN OF READINGS", (width - EDGE, top - 6), 4.0, Align.END)
    yield Text(f"sheet {sheet[0]} of {sheet[1]}", (width - EDGE, top - 11.5), LEAST, Align.END)
    inch = plan.units.value == "in"
    datum, unit, worst = plan.datum, "mm", f"{plan.worst:.2f} mm"
    if inch:
        unit, worst = "inches", f"{plan.worst / MM_PER_INCH:.3f} in"
    both = (("left", datum.left), ("right", datum.right))
    sides = "".join(f"; {', '.join(who)} {word} of it" for word, who in both if who)
    words = (
        f"{plan.instrument}, {unit}. Each diameter twice; each numbered line once, or twice where it has two blanks. "
        f"{_datum_words(datum, [one.name for one in plan.features])}{sides}. A misreading that goes unnoticed moves no "
        f"hole by more than {worst}."
    )
    for number, line in enumerate(wrapped(known(words), LEAST, room)[:3]):
        yield Text(line, (EDGE, top - 17.0 - LINE * number), LEAST)
    yield path(((EDGE, top - HEAD + 3.0), (width - EDGE, top - HEAD + 3.0)), Pen.WIDE)


def _sketch(plan: SurveyPlan, box: Box) -> Iterator[Ink]:
    """The holes with their names, and every reading as a line that has its number."""
    view, places = _view(plan, box)
    sizes = {one.name: view.scale * ((one.rough.diameter if one.rough else None) or NO_SIZE) for one in plan.features}
    radii = {name: max(wide / 2, 0.5 * Text(name, (0, 0), LEAST).width + 1.0, 2.6) for name, wide in sizes.items()}
    runs = {reading.number: _run(reading, places, radii) for reading in plan.readings}
    for run in runs.values():
        yield path(run, Pen.FINE)
    busy = [_square(at, 4.0) for at in places.values()]
    busy += [_square(at, 2.0) for a, b in itertools.combinations(runs.values(), 2) for at in _crossings(a, b)]
    for number, run in runs.items():
        text = Text(str(number), _clear_spot(number, run, busy), LEAST, Align.MIDDLE)
        busy.append(text.box)
        yield from on_white(text)
    for name, at in places.items():
        yield from _disc(at, radii[name])
        yield Text(name, (at[0], at[1] - CAPITAL * LEAST / 2), LEAST, Align.MIDDLE)
    letters = _datum_letters(plan.datum, list(places))
    labels = [_label(letter, places[name], radii[name] + 0.5, framed=True) for name, letter in letters.items()]
    lines = Lines.of([path(run, Pen.FINE) for run in runs.values()])
    yield from label_ink(
        place(labels, [*busy, *(_square(at, radii[name]) for name, at in places.items())], lines=lines)
    )


def _view(plan: SurveyPlan, box: Box) -> tuple[View, dict[str, Point]]:
    """How the holes are laid into a box of the sheet, and where they come to stand."""
    rough = {feature.name: feature.rough.at for feature in plan.features if feature.rough}
    xs, ys = [x for x, _ in rough.values()], [y for _, y in rough.values()]
    room_x, room_y = box[2] - box[0] - 24.0, box[3] - box[1] - 26.0
    scale = min(room_x / max(max(xs) - min(xs), 1.0), room_y / max(max(ys) - min(ys), 1.0), 2.0)
    middle = ((box[0] + box[2]) / 2, (box[1] + box[3]) / 2)
    view = View(scale, (middle[0] - scale * (min(xs) + max(xs)) / 2, middle[1] - scale * (min(ys) + max(ys)) / 2))
    return view, {name: view.at(at) for name, at in rough.items()}


def _run(reading: Reading, places: dict[str, Point], radii: dict[str, float]) -> list[Point]:
    """The line of a reading: straight, or bowed round other holes where it would run through them."""
    (x0, y0), (x1, y1) = (places[name] for name in reading.features)
    long = max(math.hypot(x1 - x0, y1 - y0), 1e-9)
    u, v = (x1 - x0) / long, (y1 - y0) / long
    bows = []
    for name, (x, y) in places.items():
        along, across = ((x - x0) * u + (y - y0) * v) / long, (x - x0) * -v + (y - y0) * u
        if name not in reading.features and 0 < along < 1 and abs(across) < radii[name] + 1.4:
            bows.append((across + radii[name] + 2.4) / max(4 * along * (1 - along), 0.4))
    if not bows:
        return [(x0, y0), (x1, y1)]
    bow = max(5.0 + 2.5 * len(bows), *bows)
    shares = [k / 24 for k in range(25)]
    return [
        (x0 + t * (x1 - x0) - 4 * bow * t * (1 - t) * v, y0 + t * (y1 - y0) + 4 * bow * t * (1 - t) * u) for t in shares
    ]


def _crossings(one: list[Point], other: list[Point]) -> Iterator[Point]:
    """Where two lines of readings cross."""
    for (ax, ay), (bx, by) in itertools.pairwise(one):
        for (cx, cy), (dx, dy) in itertools.pairwise(other):
            cross = (bx - ax) * (dy - cy) - (by - ay) * (dx - cx)
            if abs(cross) > 1e-9:
                t = ((cx - ax) * (dy - cy) - (cy - ay) * (dx - cx)) / cross
                r = ((cx - ax) * (by - ay) - (cy - ay) * (bx - ax)) / cross
                if 0 < t < 1 and 0 < r < 1:
                    yield ax + t * (bx - ax), ay + t * (by - ay)


def _disc(at: Point, radius: float) -> Iterator[Ink]:
    """A circle that covers what lies under it."""
    turns = [math.tau * k / 36 for k in range(36)]
    yield Fill(tuple((at[0] + radius * math.cos(t), at[1] + radius * math.sin(t)) for t in turns), 1.0)
    yield TRUE.circle(at, radius, Pen.NARROW)


def _square(at: Point, half: float) -> Box:
    return at[0] - half, at[1] - half, at[0] + half, at[1] + half


def _clear_spot(number: int, run: list[Point], busy: Sequence[Box]) -> Point:
    """Where on its line a number covers least of what is there already."""
    best, least = run[0], math.inf
    for share in (0.5, 0.42, 0.58, 0.36, 0.64, 0.3, 0.7, 0.25, 0.75, 0.2, 0.8):
        at = _along(run, share)
        at = at[0], at[1] - CAPITAL * LEAST / 2
        box = Text(str(number), at, LEAST, Align.MIDDLE).box
        covered = sum(_common(box, other) for other in busy)
        if covered < least - 1e-9:
            best, least = at, covered
    return best


def _along(run: list[Point], share: float) -> Point:
    """The point at a share of a line, counted in its pieces."""
    at = share * (len(run) - 1)
    k = min(int(at), len(run) - 2)
    (x0, y0), (x1, y1) = run[k], run[k + 1]
    return x0 + (at - k) * (x1 - x0), y0 + (at - k) * (y1 - y0)


def _common(a: Box, b: Box) -> float:
    wide, high = min(a[2], b[2]) - max(a[0], b[0]), min(a[3], b[3]) - max(a[1], b[1])
    return max(wide, 0.0) * max(high, 0.0)


def _diameter_rows(plan: SurveyPlan) -> Iterator[tuple[str, str, str, int]]:
    for feature in plan.features:
        rough = feature.rough.diameter if feature.rough else None
        yield "", f"diameter of {feature.name}", "" if rough is None else _shown(plan, rough, 1), 2


def _reading_rows(plan: SurveyPlan) -> Iterator[tuple[str, str, str, int]]:
    for reading in plan.readings:
        words = f"{'-'.join(reading.features)} {reading.kind.value.replace('_', ' ')}"
        yield str(reading.number), words, _shown(plan, reading.value), reading.repeats


def _shown(plan: SurveyPlan, value: float, digits: int = 0) -> str:
    return f"{value / MM_PER_INCH:z.{digits + 2}f}" if plan.units.value == "in" else f"{value:z.{digits}f}"


def _table(rows: Sequence[tuple[str, str, str, int]], left: float, top: float, width: float) -> Iterator[Ink]:
    """Number, what is read, roughly how much, and one blank or two."""
    if not rows:
        return
    stops = [left, left + 9.0, left + 0.46 * width, left + 0.66 * width, left + width]
    for heading, x in (("No.", stops[0]), ("READ", stops[1]), ("ROUGHLY", stops[2]), ("READS", stops[3])):
        yield Text(heading, (x + 1.0, top - ROW + 2.0), LEAST)
    for number, (index, words, rough, blanks) in enumerate(rows, start=1):
        y = top - (number + 1) * ROW
        yield Text(index, (stops[1] - 1.5, y + 2.0), LEAST, Align.END)
        text, size = fitted(known(words), LEAST, stops[2] - stops[1] - 2)
        yield Text(text, (stops[1] + 1.0, y + 2.0), size)
        yield Text(rough, (stops[3] - 1.5, y + 2.0), LEAST, Align.END)
        if blanks > 1:
            x = (stops[3] + stops[4]) / 2
            yield path(((x, y), (x, y + ROW)), Pen.FINE)
    bottom = top - (len(rows) + 1) * ROW
    for number in range(len(rows) + 1):
        y = top - (number + 1) * ROW
        yield path(((left, y), (left + width, y)), Pen.NARROW if number == 0 else Pen.FINE)
    for x in stops[1:4]:
        yield path(((x, bottom), (x, top)), Pen.FINE)
    yield frame((left, bottom, left + width, top), Pen.NARROW)
