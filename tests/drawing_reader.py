"""Reads a part's drawing as a shop's programmer does: every number from the words on the PDF, by their places.

Nothing of the package is used here, neither its records nor its readers: a PDF library gives the letters with their
places, and what follows is a person's way through the sheet: headings, rows, call-outs, ordinates.
"""

from __future__ import annotations

import csv
import ctypes
import math
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pypdfium2  # type: ignore[import-untyped]
from pypdfium2 import raw

MM = 25.4 / 72
HEADINGS = (
    "HOLES",
    "OUTLINE",
    "OUTLINE AND CUTOUTS",
    "SEALING FACES",
    "REVISIONS",
    "NOTES",
    "HOLE COORDINATES",
    "SHAPE OF",
)
COLUMN, NAME = 131.0, 24.0
"""Widest column of words, and where what is said of a name begins, mm."""
NUMBER = r"-?\d+(?:\.\d+)?"


@dataclass(frozen=True)
class Run:
    """Letters in a line without a wide gap: sheet, left and right end and height, mm; `turned` reads upwards."""

    page: int
    x: float
    right: float
    y: float
    text: str
    turned: bool


@dataclass
class Step:
    """One diameter of a hole as its call-out states it: `depth` is None right through; `cone` an included angle."""

    sign: str
    diameter: float
    depth: float | None
    point: float | None = None
    cone: float | None = None


@dataclass
class HoleKind:
    """The call-out of holes that are alike, by the letter of their tags."""

    count: int
    steps: list[Step]
    thread: str
    words: str


@dataclass
class Shape:
    """A closed figure: a circle, a rectangle with corners or a slot by size and middle, or corner points."""

    circle: float | None = None
    size: tuple[float, float] | None = None
    radius: float = 0.0
    middle: tuple[float, float] | None = None
    points: list[tuple[float, float, float]] = field(default_factory=list)


@dataclass
class Cutout:
    """A milled figure: its shape, depth (None right through), the face it is cut from, and its mouth."""

    shape: Shape
    depth: float | None
    side: str
    mouth_radius: float = 0.0
    mouth_chamfer: float = 0.0
    mouth_angle: float = 0.0
    mouth: str = ""
    islands: list[Shape] = field(default_factory=list)


@dataclass
class Drawing:
    """What a drawing states of a part. Lengths mm."""

    over_all: str
    thickness: float
    outline: Shape
    kinds: dict[str, HoleKind]
    places: dict[str, tuple[float, ...]]
    cutouts: dict[str, Cutout]
    notes: list[str]
    x_rail: list[float]
    y_rail: list[float]
    words: str


def read_drawing(path: Path) -> Drawing:
    """Read a drawing's PDF. Raises ValueError naming what a shop would have to ask for by telephone."""
    runs = list(_runs(path))
    first = [run for run in runs if run.page == 0]
    left = next(run.x for run in first if run.text == "PROJECT")
    blocks = _blocks(runs, left)
    title = _title(first, left)
    over_all = _value(title, "SIZE OVER ALL, mm")
    shapes = {name.removeprefix("SHAPE OF "): _points(rows) for name, rows in blocks.items() if "SHAPE OF" in name}
    figures = dict(_named(blocks.get("OUTLINE AND CUTOUTS", blocks.get("OUTLINE", []))))
    x_rail = [float(run.text) for run in first if run.turned and re.fullmatch(NUMBER, run.text)]
    outline = figures.pop("outline", "")
    return Drawing(
        over_all,
        float(re.findall(NUMBER, over_all.removesuffix(" flat"))[-1]),
        _shape("outline", outline, shapes),
        _kinds(blocks.get("HOLES", [])),
        _places(blocks.get("HOLE COORDINATES", [])),
        {name: _cutout(name, words, shapes) for name, words in figures.items()},
        _notes(blocks.get("NOTES", [])),
        x_rail,
        _y_rail(first, left),
        " ".join(run.text for run in runs),
    )


def read_holes(path: Path) -> list[dict[str, str]]:
    """The rows of a hole table in CSV."""
    with path.open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(lines))


def _runs(path: Path) -> Iterator[Run]:
    document = pypdfium2.PdfDocument(path)
    try:
        for number, page in enumerate(document):
            text = page.get_textpage()
            letters = sorted(_letters(text), key=lambda one: (one[4], round(one[2], 1), one[0]))
            text.close()
            page.close()
            yield from _joined(number, letters)
    finally:
        document.close()


def _letters(text: Any) -> Iterator[tuple[float, float, float, str, bool]]:
    """Left, right and base line of each letter along its own direction, mm, and whether it is turned."""
    x, y = ctypes.c_double(), ctypes.c_double()
    for index in range(text.count_chars()):
        code = raw.FPDFText_GetUnicode(text.raw, index)
        if raw.FPDFText_IsGenerated(text.raw, index) or chr(code) in "\r\n\0":
            continue
        raw.FPDFText_GetCharOrigin(text.raw, index, x, y)
        raw.FPDFText_GetLooseCharBox(text.raw, index, _rect := raw.FS_RECTF())
        turned = abs(math.sin(raw.FPDFText_GetCharAngle(text.raw, index))) > 0.9
        if turned:
            yield y.value * MM, max(_rect.top, _rect.bottom) * MM, x.value * MM, chr(code), True
        else:
            yield x.value * MM, _rect.right * MM, y.value * MM, chr(code), False


def _joined(page: int, letters: list[tuple[float, float, float, str, bool]]) -> Iterator[Run]:
    held: list[tuple[float, float, float, str, bool]] = []
    for one in letters:
        if held and (
            abs(one[2] - held[-1][2]) > 0.15 or one[4] != held[-1][4] or not -0.5 < one[0] - held[-1][1] < 1.6
        ):
            yield _run(page, held)
            held = []
        held.append(one)
    if held:
        yield _run(page, held)


def _run(page: int, held: list[tuple[float, float, float, str, bool]]) -> Run:
    text = "".join(one[3] for one in held)
    return Run(page, held[0][0], held[-1][1], held[0][2], " ".join(text.split()), held[0][4])


Row = list[Run]


def _blocks(runs: list[Run], left: float) -> dict[str, list[Row]]:
    """The rows under each heading, over columns and sheets."""
    found: dict[str, list[Row]] = {}
    heads = [run for run in runs if not run.turned and run.text.startswith(HEADINGS) and _is_head(run.text)]
    for head in sorted(heads, key=lambda one: (one.page, round(one.x), -one.y)):
        below = [other.y for other in heads if other.page == head.page and abs(other.x - head.x) < 1 > 0]
        floor = max((y for y in below if y < head.y - 0.5), default=0.0)
        if abs(head.x - left) < 5:  # over the title block, which begins 24 mm above the word PROJECT
            floor = max(floor, next(run.y for run in runs if run.page == head.page and run.text == "PROJECT") + 24)
        name = re.sub(r", (mm|inch)$", "", head.text.removesuffix(" (continued)"))
        inside = [
            run
            for run in runs
            if run.page == head.page
            and not run.turned
            and head.x - 0.6 < run.x < head.x + COLUMN
            and floor < run.y < head.y - 0.5
        ]
        moved = [Run(run.page, run.x - head.x, run.right - head.x, run.y, run.text, False) for run in inside]
        found.setdefault(name, []).extend(_rows(moved))
    return found


def _is_head(text: str) -> bool:
    return text in HEADINGS or text.startswith(("SHAPE OF", "HOLE COORDINATES")) or text.endswith(" (continued)")


def _rows(runs: list[Run]) -> list[Row]:
    rows: list[Row] = []
    for run in sorted(runs, key=lambda one: (-round(one.y, 1), one.x)):
        if rows and abs(rows[-1][0].y - run.y) < 0.6:
            rows[-1].append(run)
        else:
            rows.append([run])
    return [sorted(row, key=lambda one: one.x) for row in rows]


def _title(first: list[Run], left: float) -> list[Run]:
    return [run for run in first if run.x > left - 1 and not run.turned]


def _value(title: list[Run], caption: str) -> str:
    """What stands below a caption of the title block."""
    head = next((run for run in title if run.text.startswith(caption)), None)
    if head is None:
        raise ValueError(f"the title block has no {caption}")
    below = [run for run in title if abs(run.x - head.x) < 1.0 and head.y - 6.5 < run.y < head.y - 2]
    return max(below, key=lambda run: run.y).text if below else ""


def _y_rail(first: list[Run], left: float) -> list[float]:
    """The numbers of the column left of the plan: those that end where the leftmost numbers end."""
    numbers = [run for run in first if not run.turned and run.x < left and re.fullmatch(NUMBER, run.text)]
    edge = min((run.right for run in numbers), default=0.0)
    return [float(run.text) for run in numbers if run.right - edge < 0.8]


def _named(rows: list[Row]) -> Iterator[tuple[str, str]]:
    """Names with all that is said of them, lines joined."""
    name, words = "", ""
    for row in rows:
        if row[0].x < NAME - 1:
            if name:
                yield name, words
            name, words = row[0].text, ""
        words = " ".join([words, *(run.text for run in row if run.x >= NAME - 1)]).strip()
    if name:
        yield name, words


def _points(rows: list[Row]) -> list[tuple[float, float, float]]:
    """Corners of a shape: number, X, Y and, for an arc, R; in the order of their numbers."""
    found = {}
    for row in rows[1:] if rows and rows[0][0].text == "X" else rows:
        texts = [run.text for run in row if run.text not in "XYR"]
        while texts:
            number, x, y, *rest = texts
            arc = rest.pop(0) if rest and rest[0][0] in "+-" and _is_radius(rest, row) else "0"
            found[int(number)] = (float(x), float(y), float(arc))
            texts = rest
    return [found[number] for number in sorted(found)]


def _is_radius(rest: list[str], row: Row) -> bool:
    return "." in rest[0]


def _kinds(rows: list[Row]) -> dict[str, HoleKind]:
    found: dict[str, list[str]] = {}
    counts: dict[str, int] = {}
    letter = ""
    framed = False
    for row in rows:
        head = re.fullmatch(r"(\d+)× ([A-Z]+)", row[0].text)
        if head:
            counts[head[2]], letter = int(head[1]), head[2]
        text = " ".join(run.text for run in (row[1:] if head else row))
        if text[:1] in "⌖⟂":
            framed = True
        elif not (framed and re.fullmatch(r"[A-Z]+\d+(, [A-Z]+\d+)*,?", text)):
            framed = False
            found.setdefault(letter, []).append(text)
    return {name: _kind(counts[name], " | ".join(lines)) for name, lines in found.items()}


STEP = re.compile(
    rf"(?P<sign>[⌴⌵]?) ?⌀ ?(?P<wide>{NUMBER})(?: (?P<zone>[A-Za-z]+\d+)\b)?(?: bored)?"
    rf"(?: × (?P<cone>{NUMBER})°)?(?: ?(?P<thru>THRU)| ?↧ ?(?P<deep>{NUMBER}))?(?:, point (?P<point>{NUMBER})°)?"
)


def _kind(count: int, words: str) -> HoleKind:
    steps = []
    for met in STEP.finditer(words):
        depth = float(met["deep"]) if met["deep"] else None
        if depth is None and not met["thru"] and not met["cone"]:
            raise ValueError(f"no depth in the call-out {words}")
        point = float(met["point"]) if met["point"] else None
        cone = float(met["cone"]) if met["cone"] else None
        steps.append(Step(met["sign"], float(met["wide"]), depth, point, cone))
    thread = words.split(" | ", maxsplit=1)[0] if not words.startswith(("⌀", "⌴", "⌵")) else ""
    return HoleKind(count, steps, thread, words)


def _places(rows: list[Row]) -> dict[str, tuple[float, ...]]:
    found = {}
    for row in rows:
        texts = " ".join(run.text for run in row).split()
        tag, held = "", []
        for text in [*texts, "A0"]:
            if re.fullmatch(r"[A-Z]+\d+", text):
                if tag:
                    found[tag] = tuple(held)
                tag, held = text, []
            elif re.fullmatch(NUMBER, text):
                held.append(float(text))
    return found


def _shape(name: str, words: str, shapes: dict[str, list[tuple[float, float, float]]]) -> Shape:
    middle = re.search(rf"middle X ?({NUMBER}) Y ?({NUMBER})", words)
    at = (float(middle[1]), float(middle[2])) if middle else None
    if "by its table" in words:
        if name not in shapes:
            raise ValueError(f"no table of the shape of {name}")
        return Shape(points=shapes[name])
    if "as DXF" in words:
        raise ValueError(f"the shape of {name} is not on the drawing")
    if met := re.match(rf"⌀ ?({NUMBER})", words):
        return Shape(circle=float(met[1]), middle=at)
    met = re.match(rf"({NUMBER}) × ({NUMBER})(?:, (\d)× R ?({NUMBER}))?", words)
    if met is None:
        raise ValueError(f"no size of {name} in '{words}'")
    return Shape(size=(float(met[1]), float(met[2])), radius=float(met[4] or 0), middle=at)


def _cutout(name: str, words: str, shapes: dict[str, list[tuple[float, float, float]]]) -> Cutout:
    shape = _shape(name, words, shapes)
    deep = re.search(rf"↧ ?({NUMBER}) from (above|below)", words)
    if deep is None and "THRU" not in words:
        raise ValueError(f"no depth of {name} in '{words}'")
    found = Cutout(shape, float(deep[1]) if deep else None, deep[2] if deep else "")
    if met := re.search(rf"mouth R ?({NUMBER}) (above|below)", words):
        found.mouth_radius, found.mouth = float(met[1]), met[2]
    if met := re.search(rf"mouth ({NUMBER}) × ({NUMBER})° (above|below)", words):
        found.mouth_chamfer, found.mouth_angle, found.mouth = float(met[1]), float(met[2]), met[3]
    for wide, places in re.findall(rf"leaving ⌀ ?({NUMBER}) standing at ((?:(?: and )?X{NUMBER} Y{NUMBER})+)", words):
        for x, y in re.findall(rf"X({NUMBER}) Y({NUMBER})", places):
            found.islands.append(Shape(circle=float(wide), middle=(float(x), float(y))))
    found.islands += [Shape(points=points) for title, points in shapes.items() if title.startswith(f"{name}, island")]
    if "as DXF" in words:
        raise ValueError(f"an island of {name} is not on the drawing")
    return found


def _notes(rows: list[Row]) -> list[str]:
    notes: list[str] = []
    for row in rows:
        if row[0].x < 4 and re.match(r"\d+\b", row[0].text):
            words = [re.sub(r"^\d+ ?", "", row[0].text), *(run.text for run in row[1:])]
            notes.append(" ".join(words).strip())
        elif notes:
            notes[-1] += " " + " ".join(run.text for run in row)
    return notes
