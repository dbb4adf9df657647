"""The column of words of a drawing: kinds of holes with call-outs, places, milled figures and notes, in rows."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from typing import TypeAlias

from platemaker.catalog import straight_port
from platemaker.export._sheet._datum_ink import FRAME
from platemaker.export._sheet._drawing_datums import Datums, datum_words, datums_of, frame_words, frames_of
from platemaker.export._sheet._drawing_plan import crowded
from platemaker.export._sheet._drawing_shapes import point_cells, points_of, shape_words, tabled_shapes
from platemaker.export._sheet._drawing_title import About
from platemaker.export._sheet._drawing_words import (
    Numbers,
    bend_words,
    call_out_lines,
    entry_words,
    figure_words,
    fit_words,
    mark_words,
    outside_zone,
    size_words,
)
from platemaker.parts import Hole, Operation, Part, Revision, Side
from platemaker.plane import Loop, Point
from platemaker.records import Record, replace
from platemaker.views import (
    COUNTERBORE,
    COUNTERSINK,
    DEPTH,
    DIAMETER,
    FLAT,
    LEAST,
    UNKNOWN,
    Align,
    Ink,
    Pen,
    Text,
    fitted,
    frame,
    kind_of,
    known,
    path,
    width_of,
    wrapped,
)

Tags: TypeAlias = Mapping[str, str]
"""The tag of each hole by its name: those of the finished part, whose kinds a flat blank may not distinguish."""

SIZE, LINE, HEAD, GAP = LEAST, 4.7, 5.2, 2.4
"""Size of letters, height of a row, of a heading's row, and room between blocks, mm."""
INDENT = 15.0
"""Where call-outs and tolerance frames begin, right of the kind of their holes, mm."""
CONTINUED = " (continued)"
_CELL = 50.0
"""Least width of a tag with its two or three numbers, mm."""
_CORNER = 63.0
"""Least width of a corner's number with its place and radius, mm."""


class BlockLine(Record):
    """A line of a block: texts with their place across the column, 0 to its width, mm; `rule` draws a line below.

    `cells` are those of a tolerance frame that stands at `INDENT`.
    """

    texts: tuple[tuple[float, str, Align], ...]
    height: float = LINE
    rule: bool = False
    head: bool = False
    cells: tuple[str, ...] = ()


class Block(Record):
    """Rows under a heading that may break over columns and sheets."""

    heading: str
    rows: tuple[BlockLine, ...]

    @property
    def height(self) -> float:
        """Height with the heading and the room below, mm."""
        return HEAD + sum(row.height for row in self.rows) + GAP


def blocks_of(part: Part, tags: Tags, whole: Part, about: About, width: float, left: Sequence[str] = ()) -> list[Block]:
    """Every block of a part; `part` is flat, `whole` the same as it is when finished, `tags` those of its holes.

    `left` are notes on what found no room in the views.
    """
    blocks = []
    if part.holes:
        blocks.append(Block("HOLES", tuple(_kind_rows(part, tags, datums_of(whole), about, width))))
        heading = f"HOLE COORDINATES, {about.numbers.named}"
        blocks.append(Block(heading, tuple(_place_rows(part, tags, about, width))))
    figures = tuple(_figure_rows(part, outside_zone(whole), about, width))
    if figures:
        blocks.append(Block("OUTLINE AND CUTOUTS" if part.profiles else "OUTLINE", figures))
    if about.faces:
        blocks.append(Block("SEALING FACES", tuple(_face_rows(about, width))))
    if about.drafting.revisions or about.changes:
        changes = [Revision(name, "", words) for name, words in reversed(about.changes)]
        blocks.append(Block("REVISIONS", tuple(_revision_rows([*about.drafting.revisions, *changes], width))))
    blocks.append(Block("NOTES", tuple(_note_rows([*notes_of(part, tags, whole, about), *left], width))))
    for name, loop in tabled_shapes(part):
        heading = f"SHAPE OF {name}, {about.numbers.named}"
        blocks.append(Block(heading, tuple(_shape_rows(loop, about.numbers, width))))
    return blocks


def _tag_order(tag: str) -> tuple[int, str, int]:
    """By kind and then by number: A2 before A10, Z before AA."""
    letters = kind_of(tag)
    return len(letters), letters, int(tag[len(letters) :])


def _columns(part: Part, width: float) -> int:
    return max(1, int(width / (_CELL + (15.0 if _level(part) else 0.0))))


def _level(part: Part) -> bool:
    return any(not hole.square for hole in part.holes)


def _kind_rows(part: Part, tags: Tags, datums: Datums, about: About, width: float) -> Iterator[BlockLine]:
    kinds: dict[str, list[Hole]] = {}
    for hole in part.holes:
        kinds.setdefault(kind_of(tags[hole.name]), []).append(hole)
    for letter, holes in kinds.items():
        zones = [about.fits.get(name, "") for name in (holes[0].name, f"{holes[0].name}.counterbore")]
        words = [*call_out_lines(holes[0], about.numbers, *zones), entry_words(holes[0])]
        lines = [piece for line in words for piece in wrapped(line, SIZE, width - INDENT - 1)]
        rows = [BlockLine(((INDENT, line, Align.START),)) for line in lines]
        for cells, named in frames_of(holes, tags, about.positions, datums, about.numbers):
            rows += _frame_rows(cells, named, width)
        rows[0] = replace(rows[0], texts=((0.0, f"{len(holes)}× {letter}", Align.START), *rows[0].texts))
        yield from (*rows[:-1], replace(rows[-1], rule=True))


def _face_rows(about: About, width: float) -> Iterator[BlockLine]:
    """Which face, the frame of its flatness, its roughness and what lies on it."""
    for face in about.faces:
        rows = [*_frame_rows((FLAT, about.numbers.size(face.flatness)), face.words(about.numbers), width)]
        side = "upper" if face.side is Side.ABOVE else "lower"
        rows[0] = replace(rows[0], texts=((0.0, side, Align.START), *rows[0].texts))
        yield from (*rows[:-1], replace(rows[-1], rule=True))


def _frame_rows(cells: tuple[str, ...], named: str, width: float) -> Iterator[BlockLine]:
    """A tolerance frame with the tags of its holes beside it."""
    beside = INDENT + sum(map(_cell_width, cells)) + 2.0
    lines = wrapped(named, SIZE, width - beside - 1) if named else [""]
    for number, line in enumerate(lines):
        texts = ((beside, line, Align.START),) if line else ()
        yield BlockLine(texts, FRAME + 1.0, cells=cells) if number == 0 else BlockLine(texts)


def _cell_width(cell: str) -> float:
    return max(FRAME, width_of(cell, SIZE) + 2.0)


def _place_rows(part: Part, tags: Tags, about: About, width: float) -> Iterator[BlockLine]:
    """Tags with X and Y, and Z where axes are not all upright, in as many columns as fit, across and then down."""
    names = ["X", "Y", "Z"] if _level(part) else ["X", "Y"]
    columns = min(_columns(part, width), len(part.holes))
    cell = width / _columns(part, width)
    step = (cell - 19.0) / len(names)
    spots = [
        (column * cell, [column * cell + 11.0 + (n + 1) * step for n in range(len(names))]) for column in range(columns)
    ]
    heads = [(x, name, Align.END) for _, xs in spots for x, name in zip(xs, names, strict=True)]
    yield BlockLine(tuple(heads), rule=True, head=True)
    ordered = sorted(part.holes, key=lambda hole: _tag_order(tags[hole.name]))
    numbers = _place_texts(ordered, about, len(names))
    for first in range(0, len(ordered), columns):
        texts: list[tuple[float, str, Align]] = []
        for (left, xs), hole in zip(spots, ordered[first : first + columns], strict=False):
            texts.append((left, tags[hole.name], Align.START))
            texts += [(x, text, Align.END) for x, text in zip(xs, numbers[hole.name], strict=True)]
        yield BlockLine(tuple(texts))


def _place_texts(holes: Sequence[Hole], about: About, axes: int) -> dict[str, list[str]]:
    """The coordinates of holes with the decimals that their tolerances support, all of a table alike."""
    texts: list[str] = []
    for hole in holes:
        zone = about.positions.get(hole.name)
        places = hole.at[:axes]
        texts += [about.numbers.within(value, zone) if zone else about.numbers.general(value) for value in places]
    aligned = list(about.numbers.column(texts))
    return {hole.name: aligned[n * axes : (n + 1) * axes] for n, hole in enumerate(holes)}


def _shape_rows(loop: Loop, numbers: Numbers, width: float) -> Iterator[BlockLine]:
    """The corners of a shape, numbered, in as many columns as fit, across and then down."""
    points = [point_cells(point, numbers) for point in points_of(loop)]
    columns = max(1, int(width / _CORNER))
    cell = width / columns
    step = (cell - 16.0) / 3
    spots = [(n * cell, [n * cell + 9.0 + (k + 1) * step for k in range(3)]) for n in range(min(columns, len(points)))]
    heads = [(x, name, Align.END) for _, xs in spots for x, name in zip(xs, "XYR", strict=True)]
    yield BlockLine(tuple(heads), rule=True, head=True)
    for first in range(0, len(points), columns):
        texts: list[tuple[float, str, Align]] = []
        for number, ((left, xs), cells) in enumerate(zip(spots, points[first : first + columns], strict=False)):
            texts.append((left, f"{first + number + 1}", Align.START))
            texts += [(x, text, Align.END) for x, text in zip(xs, cells, strict=True) if text]
        yield BlockLine(tuple(texts))


def _figure_rows(part: Part, zone: str, about: About, width: float) -> Iterator[BlockLine]:
    if part.plate is not None:
        words = size_words(part.plate.region, about.numbers, metal=True)
        yield from _entry("outline", f"{words} {zone}".rstrip(), width)
    for profile in part.profiles:
        pieces = [*figure_words(profile, about.numbers, about.grooves.get(profile.name))]
        for number, words in enumerate(pieces, start=1):
            yield from _entry(f"{profile.name} ({number})" if len(pieces) > 1 else profile.name, words, width)


def _entry(name: str, words: str, width: float) -> Iterator[BlockLine]:
    indent = 24.0
    short, size = fitted(name, SIZE, indent - 1.5)
    name = short if size == SIZE else fitted_at(name, indent - 1.5)
    lines = wrapped(words, SIZE, width - indent)
    for number, line in enumerate(lines):
        first = ((0.0, name, Align.START),) if number == 0 else ()
        yield BlockLine((*first, (indent, line, Align.START)), rule=number == len(lines) - 1)


def fitted_at(name: str, room: float) -> str:
    """A name cut so that it fits at the size of the tables."""
    lines = wrapped(name, SIZE, room - 2.5)
    return lines[0] + "…" if len(lines) > 1 else lines[0]


def left_words(left: Sequence[str]) -> list[str]:
    """A note on words that found no room in the plan."""
    if not left:
        return []
    return [f"No room in the plan for {', '.join(left)}: find them by their coordinates, or on the template."]


def _note_rows(notes: Sequence[str], width: float) -> Iterator[BlockLine]:
    for number, note in enumerate(notes, start=1):
        for place, line in enumerate(wrapped(note, SIZE, width - 6)):
            first = ((0.0, f"{number}", Align.START),) if place == 0 else ()
            yield BlockLine((*first, (6.0, line, Align.START)))


def notes_of(part: Part, tags: Tags, whole: Part, about: About) -> Iterator[str]:
    """The notes of a drawing, each a sentence or two."""
    numbers = about.numbers
    yield f"Dimensions in {numbers.named}. Plan viewed from above. DO NOT SCALE."
    yield from _zero_words(part, whole)
    datums = datums_of(whole)
    yield from datum_words(datums)
    made = {step.operation for hole in part.holes for step in hole.bored}
    stepped, sunk = Operation.COUNTERBORE in made, Operation.COUNTERSINK in made
    if stepped or sunk or not all(hole.through for hole in part.holes) or not all(cut.through for cut in part.profiles):
        signs = (f"{COUNTERBORE} counterbore; " if stepped else "") + (f"{COUNTERSINK} countersink; " if sunk else "")
        leans = any(not (hole.square or hole.level) and (hole.is_stepped or not hole.through) for hole in part.holes)
        aslant = " Of a slanted hole it is along its axis, from where that meets the face." if leans else ""
        words = f"{signs}{DEPTH} depth from the entry face to the end of the full diameter or cone, or to the floor."
        yield words + aslant
    if crowded(whole):
        yield "Hidden edges of perpendicular holes are omitted in the edge view."
    if any(hole.tapping for hole in part.holes):
        yield "Thread depth is the depth of full thread."
        yield from _thread_classes(whole)
        yield from _fitting_words(whole, numbers)
    if about.positions:
        yield frame_words(datums, numbers.unit)
    if not whole.made:
        yield "Existing casting: drill only. Its outline is a machined flat, not a cut."
        yield from _wall_words(part, tags, numbers)
    yield from shape_words(part)
    yield from fit_words(whole)
    yield from bend_words(whole, tags, numbers)
    yield from mark_words(whole, numbers)
    yield from about.making
    yield from (line for line in whole.note.splitlines() if line.strip())
    texts = [
        whole.title,
        whole.name,
        whole.note,
        about.project,
        whole.material.name,
        *(mark.text for mark in part.marks),
    ]
    if any(UNKNOWN in known(text) for text in texts):
        yield f"{UNKNOWN} stands for a letter that the drawing's font lacks."


def _wall_words(part: Part, tags: Tags, numbers: Numbers) -> Iterator[str]:
    """How far the through holes of a casting go, so that nothing behind its wall is drilled: each kind once."""
    said: dict[str, list[str]] = {}
    for hole in part.holes:
        rise = abs(hole.direction[2])
        if hole.through and rise > 1e-9:
            axis = part.stock.height / rise
            whole = axis + hole.diameter / 2 * math.sqrt(max(0.0, 1 - rise**2)) / rise
            words = f"its axis leaves the wall after {numbers.general(axis)}, its whole diameter after "
            said.setdefault(words + numbers.general(whole), []).append(kind_of(tags[hole.name]))
    for words, kinds in said.items():
        yield (
            f"THRU of {', '.join(dict.fromkeys(kinds))} is through the wall of {numbers.general(part.stock.height)} "
            f"only: along the axis from the face {words}. Go no further."
        )


def _zero_words(part: Part, whole: Part) -> Iterator[str]:
    """What every place on the drawing is measured from: one zero for ordinates, tables and files."""
    x0, y0, x1, y1 = part.stock.plan.bounds
    seen = ", the circle with a cross" if x0 <= 0.0 <= x1 and y0 <= 0.0 <= y1 else ", outside the plan"
    if whole.strip is None:
        files = "DXF, STEP and CSV files" if part.holes else "DXF and STEP files"
        yield f"All X and Y are from the part's zero{seen}, as in the {files}."
        return
    table = ", and as flat_x and flat_y in the CSV" if part.holes else ""
    yield f"All X and Y are of the flat blank before bending, from its zero{seen}: as in the DXF{table}."
    if part.holes:
        yield "The STEP is bent; bent_x, bent_y and bent_z in the CSV are in it: do not drill the blank by them."


def _thread_classes(part: Part) -> Iterator[str]:
    """The tolerance classes of the threads that screws go into: those of the medium fit, which taps are sold for.

    The threads that wire inserts are wound into have those of the insert's standard (inch: from memory).
    """
    own = [hole.tapping for hole in part.holes if hole.tapping and not hole.takes_fitting]
    names = [one.designation for one in own if not one.insert]
    inserts = dict.fromkeys(one.designation.startswith("M") for one in own if one.insert)
    for metric in inserts:
        yield f"Threads STI, for wire inserts: {'ASME B18.29.2M' if metric else 'ASME B18.29.1'}, with its gauges."
    if any(name.startswith("M") for name in names):
        yield "Threads M: tolerance class 6H (ISO 965-1)."
    if any(not name.startswith("M") for name in names):
        yield "Threads UNC and UNF: class 2B (ASME B1.1)."


def _fitting_words(part: Part, numbers: Numbers) -> Iterator[str]:
    """Threads of fittings by their standards, each kind once.

    Class 2B of straight ports, and a turn either way from flush of a taper thread's plug gauge, are from memory.
    """
    ports = dict.fromkeys(hole.port for hole in part.holes if hole.port)
    for port in map(straight_port, ports):
        yield (
            f"Port {port.dash} (SAE J1926-1): thread {port.thread}-2B; cone {port.chamfer_angle:g}° to the axis; face "
            f"flat and square to the thread over {DIAMETER}{numbers.size(port.spotface_diameter)} at least."
        )
    tapers = dict.fromkeys(hole.tapping.designation for hole in part.holes if hole.tapping and hole.tapping.is_taper)
    for name in tapers:
        yield (
            f"Thread {name} (ASME B1.20.1): taper 1 in 16 on the diameter; plug gauge L1 flush with the face, or "
            "within one turn of it."
        )


def _revision_rows(revisions: Sequence[Revision], width: float) -> Iterator[BlockLine]:
    """The list of revisions, the last one first."""
    for one in reversed(revisions):
        for place, line in enumerate(wrapped(one.change, SIZE, width - 38)):
            first = ((0.0, one.name, Align.START), (15.0, one.date, Align.START)) if place == 0 else ()
            yield BlockLine((*first, (38.0, line, Align.START)))


def rows_ink(heading: str, rows: Sequence[BlockLine], at: Point, width: float) -> Iterator[Ink]:
    """A heading and rows, from `at`, the upper left corner, downwards."""
    x, y = at
    yield Text(heading, (x, y - HEAD + 1.4), SIZE)
    yield path(((x, y - HEAD), (x + width, y - HEAD)), Pen.NARROW)
    y -= HEAD
    for row in rows:
        y -= row.height
        for place, text, align in row.texts:
            yield Text(known(text), (x + place, y + 1.1 + (row.height - LINE) / 2), SIZE, align)
        yield from _cells_ink(row, (x + INDENT, y))
        if row.rule:
            yield path(((x, y), (x + width, y)), Pen.FINE)


def _cells_ink(row: BlockLine, at: Point) -> Iterator[Ink]:
    """A tolerance frame; `at` is the lower left corner of its row."""
    left, low = at[0], at[1] + (row.height - FRAME) / 2
    for cell in row.cells:
        wide = _cell_width(cell)
        yield frame((left, low, left + wide, low + FRAME), Pen.NARROW)
        yield Text(known(cell), (left + wide / 2, at[1] + 1.1 + (row.height - LINE) / 2), SIZE, Align.MIDDLE)
        left += wide


def split(block: Block, room: float) -> tuple[Block | None, Block | None]:
    """The rows of a block that fit in `room`, mm, and a block of the others, under the same heads."""
    used, count = HEAD, 0
    for row in block.rows:
        if used + row.height > room:
            break
        used, count = used + row.height, count + 1
    if count == len(block.rows):
        return block, None
    head = tuple(row for row in block.rows[:1] if row.head)
    if count <= len(head):
        return None, block
    word = block.heading.removesuffix(CONTINUED) + CONTINUED
    return Block(block.heading, block.rows[:count]), Block(word, (*head, *block.rows[count:]))


def flowed(blocks: Sequence[Block], rooms: Iterator[float]) -> list[list[Block]]:
    """Blocks one below another in columns whose heights, mm, are given in turn."""
    columns: list[list[Block]] = [[]]
    room = next(rooms)
    for block in blocks:
        rest: Block | None = block
        while rest is not None:
            part, rest = split(rest, room)
            if part is not None:
                columns[-1].append(part)
                room -= part.height
            if rest is not None:
                columns.append([])
                room = next(rooms)
    return columns
