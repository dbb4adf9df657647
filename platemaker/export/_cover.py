"""The cover page of a package: what to make of what, what it takes, what is open, and the files with their hashes."""

from __future__ import annotations

import hashlib
import zipfile
from collections.abc import Iterable, Iterator, Mapping, Sequence
from pathlib import Path
from tempfile import TemporaryDirectory

from platemaker.export._differs import differs
from platemaker.export._folder._folder import Made, OutputFolder
from platemaker.export._reading._read_back import ReadBack, pdf_record
from platemaker.export._reading._read_pdf import read_pdf
from platemaker.export._sheet._alike import Merged, merged
from platemaker.export._sheet._drawing_words import Numbers
from platemaker.export._sheet._list_sheet import Column, Head, Table, list_pages
from platemaker.export._sheet._sheet_paper import list_paper
from platemaker.export._shops import Shop, files_for, zip_bytes
from platemaker.parts import PackageFile, Part, Stack
from platemaker.records import Record, replace
from platemaker.resolved import ALLOWANCE, Making, OrderedStock, Tool, making_of
from platemaker.units import MM_PER_INCH, LengthUnit, Unit, convert
from platemaker.views import DIAMETER, Align, pdf_bytes

HASH_DIGITS = 16
"""Digits of each hash on the page: enough to distinguish any two files by eye; the manifest has all 64."""

PARTS = (
    Column("No.", 0.04), Column("PART", 0.18), Column("TITLE", 0.19), Column("QTY", 0.06, Align.END),
    Column("MATERIAL", 0.13), Column("STOCK TO ORDER", 0.2), Column("BLANK", 0.1, Align.END),
    Column("FINISHED", 0.1, Align.END),
)  # fmt: skip
WORK = (
    Column("No.", 0.04), Column("REMOVED", 0.12, Align.END), Column("HOLES", 0.07, Align.END),
    Column("TAPPED", 0.08, Align.END), Column("MILLED CORNERS BY CUTTER", 0.25), Column("TOOLS", 0.44),
)  # fmt: skip
QUESTIONS = (Column("STATE", 0.12), Column("QUESTION", 0.88))
CHANGES = (Column("OF", 0.2), Column("WHAT", 0.2), Column("CHANGE", 0.6))
FILES = (Column("FILE", 0.36), Column("WHAT", 0.4), Column("SHA-256", 0.24))


class Cover(Record):
    """What a cover page says beside its parts: whom it is for, why nothing is released, what is open.

    `questions` are pairs of a state, such as "not checked", and a sentence; `changes` since the release `since` are
    lines of what it is of, the thing, and how it changed.
    """

    kind: str = "PACKAGE"
    warning: str = ""
    questions: tuple[tuple[str, str], ...] = ()
    since: str = ""
    changes: tuple[tuple[str, str, str], ...] = ()


class Hashed(Record):
    """A file by its name, what it is, and its SHA-256 in hex."""

    name: str
    what: str
    sha256: str

    @classmethod
    def of(cls, made: Made, folder: Path) -> Hashed:
        """A file as it lies in a folder."""
        return cls(made.name, made.what, hashlib.sha256((folder / made.name).read_bytes()).hexdigest())


def cover_bytes(
    stack: Stack, parts: Iterable[Part], volumes: Mapping[str, float], files: Sequence[Hashed], cover: Cover
) -> bytes:
    """The cover of these parts and files as a PDF; `volumes` are those of the finished parts, mm3."""
    pieces = [*_part_tables(merged(parts), volumes, stack.unit)]
    if cover.since:
        heading = f"CHANGED SINCE REVISION {cover.since}"
        pieces.append(Table(heading, CHANGES, cover.changes, "" if cover.changes else "Nothing."))
    pieces.append(Table("OPEN QUESTIONS", QUESTIONS, cover.questions, "" if cover.questions else "None."))
    rows = tuple((one.name, one.what, one.sha256[:HASH_DIGITS]) for one in files)
    pieces.append(Table("FILES", FILES, rows, f"The first {HASH_DIGITS} digits of each; the manifest has all."))
    head = Head(stack.title, cover.kind, tuple(_head_lines(stack)), cover.warning)
    pages = list_pages(list_paper(stack.unit, stack.drafting.paper), head, pieces)
    return pdf_bytes(pages, f"{stack.title}: {cover.kind.lower()}")


def _head_lines(stack: Stack) -> Iterator[str]:
    drafting, now = stack.drafting, stack.drafting.revision
    revision, date = (now.name, now.date) if now else ("", "")
    named = (("drawing number", drafting.number), ("revision", revision), ("date", date))
    yield ", ".join([stack.name, *(f"{word} {value}" for word, value in named if value)])
    people = (("", drafting.owner), ("drawn by ", drafting.drawn), ("checked by ", drafting.checked))
    yield ", ".join(word + value for word, value in people if value)


def _part_tables(rows: Sequence[Merged], volumes: Mapping[str, float], unit: str) -> Iterator[Table]:
    numbered = [(place, row, making_of(row.first, volumes.get(row.first.name))) for place, row in enumerate(rows, 1)]
    numbers = Numbers(unit)
    yield Table(
        f"PARTS, lengths in {numbers.named}", PARTS,
        tuple(_part_cells(*one, volumes.get(one[1].first.name), unit) for one in numbered),
        f"Stock has {numbers.size(ALLOWANCE)} on each sawn side (common practice). Thickness and bar section are the "
        "part's own: order more where faces are to be machined. Masses are of one piece.",
    )  # fmt: skip
    work = tuple(_work_cells(place, making, unit) for place, row, making in numbered if row.first.made)
    yield Table("WORK ON ONE PIECE", WORK, work)


def _part_cells(place: int, row: Merged, making: Making, volume: float | None, unit: str) -> tuple[str, ...]:
    part = row.first
    titles = " / ".join(dict.fromkeys(one.title for one in row.parts))
    if not part.made:
        return (str(place), row.names, titles, "–", part.material.name, "existing: drill only", "–", "–")
    finished = None if volume is None else volume * part.material.density * 1e-9
    return (
        str(place), row.names, titles, str(row.quantity), part.material.name, _stock_words(making.blank, Numbers(unit)),
        _mass(making.mass, unit), _mass(finished, unit),
    )  # fmt: skip


def _stock_words(blank: OrderedStock, numbers: Numbers) -> str:
    return (DIAMETER if blank.is_round else "") + " × ".join(map(numbers.size, blank.size))


def _mass(value: float | None, unit: str) -> str:
    """A mass given in kg."""
    if value is None:
        return "?"
    return f"{convert(1000 * value, Unit.GRAM, Unit.POUND):.3f} lb" if unit == LengthUnit.INCH else f"{value:.3f} kg"


def _work_cells(place: int, making: Making, unit: str) -> tuple[str, ...]:
    numbers = Numbers(unit)
    if making.removed is None:
        removed = "?"
    elif unit == LengthUnit.INCH:
        removed = f"{making.removed / MM_PER_INCH**3:.2f} in³"
    else:
        removed = f"{making.removed / 1000:.1f} cm³"
    corners = "; ".join(
        f"{DIAMETER}{numbers.size(cutter)}: {count}" if cutter else f"cutter not specified: {count}"
        for cutter, count in making.corners.items()
    )
    tools = ", ".join(_tool_words(tool, numbers) for tool in making.tools)
    return str(place), removed, str(making.drilled), str(making.tapped), corners or "–", tools or "–"


def _tool_words(tool: Tool, numbers: Numbers) -> str:
    size = "not specified" if tool.size is None else DIAMETER + numbers.size(tool.size)
    return f"{tool.work} {tool.thread or size}"


def announced(folder: OutputFolder, shops: Iterable[Shop]) -> dict[str, Path]:
    """Where the cover and the ZIPs will be written, by their names, so that the reports can list them before."""
    paths = [folder.path(PackageFile.COVER, "pdf", "parts list, stock, open questions, files with their hashes")]
    paths += [folder.path(shop.stem, "zip", f"all that the {shop.value} shop needs") for shop in dict.fromkeys(shops)]
    return {path.stem: path for path in paths}


def write_covers(
    stack: Stack, volumes: Mapping[str, float], cover: Cover, folder: OutputFolder, paths: Mapping[str, Path]
) -> None:
    """Write the cover of the folder, and the ZIP of each shop with a cover of its own, where they were announced.

    Each is opened again: ProofError where it differs. Other files must be there, since they are hashed.
    """
    files = [
        Hashed.of(made, folder.folder) for made in folder.made if (folder.folder / made.name) not in paths.values()
    ]
    path = paths[PackageFile.COVER]
    path.write_bytes(cover_bytes(stack, stack.parts, volumes, files, cover))
    folder.read_back(path, _prove_cover(path, stack.parts, files))
    for shop in Shop:
        if shop.stem in paths:
            record = _write_zip(shop, stack, volumes, cover, folder, paths[shop.stem])
            folder.read_back(paths[shop.stem], record)


def _write_zip(
    shop: Shop, stack: Stack, volumes: Mapping[str, float], cover: Cover, folder: OutputFolder, path: Path
) -> ReadBack:
    parts = [part for part in stack.parts if shop.makes(part)]
    made = files_for(shop, parts, folder.made)
    inside = {one.name: (folder.folder / one.name).read_bytes() for one in made}
    hashed = [Hashed.of(one, folder.folder) for one in made]
    own = replace(cover, kind=f"FOR THE {shop.value.upper()} SHOP")
    name = f"{PackageFile.COVER}.pdf"
    path.write_bytes(zip_bytes({**inside, name: cover_bytes(stack, parts, volumes, hashed, own)}))
    return prove_zip(path, name, parts, hashed)


def prove_zip(path: Path, cover: str, parts: Sequence[Part], files: Sequence[Hashed]) -> ReadBack:
    """Open a ZIP again: each file whole and of its hash, no other, and the cover that lists them. ProofError else."""
    with zipfile.ZipFile(path) as archive, TemporaryDirectory() as apart:
        broken = archive.testzip()
        if broken is not None or sorted(archive.namelist()) != sorted([cover, *(one.name for one in files)]):
            raise differs(path, broken or "other files", due="it was packed")
        for one in files:
            if hashlib.sha256(archive.read(one.name)).hexdigest() != one.sha256:
                raise differs(path, f"another '{one.name}'", due="it was packed")
        _prove_cover(Path(archive.extract(cover, apart)), parts, files)
        return {"files": archive.namelist()}


def _prove_cover(path: Path, parts: Sequence[Part], files: Sequence[Hashed]) -> ReadBack:
    """Its parts, and each file with its hash. A name may be broken over two lines of its column."""
    reading = read_pdf(path)
    words = "".join(word for page in reading.pages for word in page.words)
    for what, due in (("part", [part.name for part in parts]), ("file", [one.name for one in files])):
        if missing := next((name for name in due if name not in words), None):
            raise differs(path, f"{what} '{missing}' is not on it", due="it was drawn")
    for one in files:
        if one.sha256[:HASH_DIGITS] not in words:
            raise differs(path, f"the hash of '{one.name}' is not on it", due="it was drawn")
    return {**pdf_record(reading), "parts": len(parts), "files": len(files)}
