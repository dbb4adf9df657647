"""What was read back of the build's files: as a section of the page, a table of the plain report, and records."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import wraps
from typing import TYPE_CHECKING, ParamSpec, TypeAlias

from platemaker.parts import PackageFile
from platemaker.report._areas import volume
from platemaker.report._markup import TableCell, folded, number, table, text_cell, words
from platemaker.views import Shown, element, shown

if TYPE_CHECKING:
    from platemaker.export import Made, ReadBack

P = ParamSpec("P")
Draft: TypeAlias = "Callable[[Sequence[Made]], str]"
"""A report that wants nothing more than the build's files, which are known last."""

LEAD = (
    "Each file was opened again by other code than wrote it and measured against its part. "
    "A file that differs stops the build, so none of these does."
)
HEADS = ("part", "file", "measured on reopening", "agrees")


def without_files(draft: Callable[P, Draft]) -> Callable[P, str]:
    """The report of a check, which has no files, as one text."""

    @wraps(draft)
    def whole(*args: P.args, **named: P.kwargs) -> str:
        return draft(*args, **named)(())

    return whole


def read_back_section(files: Sequence[Made], unit: str) -> str:
    """A row for every file that was read back."""
    rows = [
        [
            text_cell(made.part or "several"),
            text_cell(made.name),
            TableCell(number(read_back_words(made.read_back), unit), made.name),
            text_cell("yes"),
        ]
        for made in read_back(files)
    ]
    if not rows:
        return ""
    content = element("p", words(LEAD)) + table("Files read back", HEADS, rows, class_="files")
    return folded("read-back", "Read back", content)


def read_back_rows(files: Sequence[Made], unit: str) -> list[tuple[str, ...]]:
    """The same rows as text."""
    return [
        (made.part or "several", made.name, read_back_words(made.read_back).of(unit), "yes")
        for made in read_back(files)
    ]


def read_back_records(files: Sequence[Made]) -> list[dict[str, object]]:
    """The records as the manifest has them."""
    return [{"file": made.name, "part": made.part, "measured": dict(made.read_back)} for made in read_back(files)]


def read_back(files: Sequence[Made]) -> list[Made]:
    """The files that were read back, part by part; those of several parts last.

    Cover and ZIPs are left out: they are made when the report is, since they hold it or its hash.
    """
    known = [made for made in files if made.read_back and not made.name.endswith(".zip")]
    before = (made for made in known if made.name != f"{PackageFile.COVER}.pdf")
    return sorted(before, key=lambda made: (not made.part, made.part, made.name))


def read_back_words(record: ReadBack) -> Shown:
    """A record in a line, its lengths in both units.

    >>> read_back_words({"pages": 2, "bars_mm": [100.0, 101.6]})
    Shown(metric='2 pages, bars 100.000 and 101.600 mm', inch='2 pages, bars 3.9370 and 4.0000 in')
    >>> read_back_words({"volume_mm3": 16387.064})
    Shown(metric='volume 16.387 cm³', inch='volume 1.000 in³')
    """
    pieces = list(_pieces(record))
    return Shown(", ".join(piece.metric for piece in pieces), ", ".join(piece.inch for piece in pieces))


def _pieces(record: ReadBack) -> Iterator[Shown]:
    for key, value in record.items():
        if isinstance(value, int):
            yield _counted(value, key.replace("_", " "))
        elif isinstance(value, float):
            both, name = volume(value), key.removesuffix("_mm3")
            yield Shown(f"{name} {both.metric}", f"{name} {both.inch}")
        elif isinstance(value, str):
            yield _same(f"{key} {value}")
        elif isinstance(value, Sequence):
            yield _listed(key, value)


def _listed(key: str, values: Sequence[object]) -> Shown:
    """Sizes from extents, the bars' lengths, a single name; of all else how many there are, to keep to a line."""
    lengths = [value for value in values if isinstance(value, float)]
    if key == "extents_mm":
        half = len(lengths) // 2
        return _lengths("extents", [b - a for a, b in zip(lengths[:half], lengths[half:], strict=True)], " × ")
    if key == "bars_mm":
        return _lengths("bars", lengths, " and ")
    if key == "names" and len(values) == 1:
        return _same(f"name {values[0]}")
    return _counted(len(values), key.removesuffix("_mm"))


def _lengths(what: str, lengths: Sequence[float], between: str) -> Shown:
    texts = [shown(length, named=False) for length in lengths]
    return Shown(
        f"{what} {between.join(text.metric for text in texts)} mm",
        f"{what} {between.join(text.inch for text in texts)} in",
    )


def _counted(count: int, things: str) -> Shown:
    return _same(f"{count} {things.removesuffix('s') if count == 1 else things}")


def _same(text: str) -> Shown:
    return Shown(text, text)
