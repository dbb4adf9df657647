"""The strict reader of the tables in `data/`.

A table is a UTF-8 CSV file. A block of `# key: value` lines names the standard, its edition and table, the unit, what
the figures were typed from and how they were read a second time; then come the column heads and the rows. A head
carries the unit of its column in brackets, `head_diameter[in]`, and the reader turns the figure into ours (mm, mm²,
MPa, kg/m³, 1/K). Any row may state its own `source`, `evidence` and `note`; what it leaves blank comes from the block.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Callable, Iterator, Mapping
from enum import Enum
from functools import cache, partial
from pathlib import Path
from types import NoneType
from typing import Any, TypeVar, get_args, get_type_hints

from platemaker.errors import CatalogError
from platemaker.records import Record, names_of
from platemaker.units import MM_PER_INCH, ZERO_CELSIUS

DATA = Path(__file__).parent / "data"

_BLOCK_KEYS = ("standard", "edition", "table", "unit", "typed", "reread", "evidence")
_HEAD = re.compile(r"([a-z][a-z0-9_]*)(?:\[([^\[\]\s]+)\])?")
_NUMBER = re.compile(r"-?\d+(?:\.\d+)?")
_FRACTION = re.compile(r"(?:(\d+) )?(\d+)/(\d+)")
_TO_OURS: dict[str, Callable[[float], float]] = {
    "mm": lambda x: x,
    "um": lambda x: x / 1000,
    "in": lambda x: x * MM_PER_INCH,
    "tpi": lambda x: MM_PER_INCH / x,
    "mm2": lambda x: x,
    "in2": lambda x: x * MM_PER_INCH**2,
    "MPa": lambda x: x,
    "GPa": lambda x: x * 1000,
    "ksi": lambda x: x * 4448.2216152605 / MM_PER_INCH**2,
    "kg/m3": lambda x: x,
    "1e-6/K": lambda x: x * 1e-6,
    "deg": lambda x: x,
    "Nm": lambda x: x,
    "degC": lambda x: x + ZERO_CELSIUS,
    "bar": lambda x: x / 10,
}


class Evidence(Enum):
    """How a figure came into its table."""

    READ = "read"
    """Read in the standard, in a handbook or web copy of its table, or in a library that holds it."""
    COMPUTED = "computed"
    """Worked out by arithmetic from figures that were read."""
    MEMORY = "memory"
    """Recalled, not read: not to stand alone."""
    PRACTICE = "practice"
    """Common practice, no source."""


class Row(Record, kw_only=True):
    """What every row of the catalog states: its source in words, its evidence, and a remark."""

    source: str
    evidence: Evidence
    note: str = ""

    @property
    def verified(self) -> bool:
        """Whether the figures were read or computed, and may stand alone."""
        return self.evidence in (Evidence.READ, Evidence.COMPUTED)


class TableBlock(Record):
    """The block of facts at the head of a table file."""

    file: str
    standard: str
    edition: str
    table: str
    unit: str
    typed: str
    reread: str
    evidence: Evidence

    @property
    def citation(self) -> str:
        """The table as a report cites it."""
        if self.evidence is Evidence.PRACTICE:
            return "common practice, no source"
        if self.edition[:4].isdigit():
            return f"{self.standard}:{self.edition}, {self.table}"
        edition = f", {self.edition}" if self.edition[:1].isdigit() else ""
        return f"{self.standard}{edition}, {self.table}"


R = TypeVar("R", bound=Row)

_READ: dict[str, tuple[Any, ...]] = {}


def read_block(path: Path) -> TableBlock:
    """The block at the head of a table file. Raises CatalogError when a line of it is missing or unknown."""
    found: dict[str, str] = {}
    for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1):
        if not line.startswith("# "):
            break
        key, colon, value = line[1:].partition(":")
        key = key.strip()
        if not colon or key not in _BLOCK_KEYS or key in found or not value.strip():
            msg = f"{path.name}:{number}: a block line reads '# key: value', each key once, of {', '.join(_BLOCK_KEYS)}"
            raise CatalogError(msg, _BLOCK_KEYS, key)
        found[key] = value.strip()
    if missing := [key for key in _BLOCK_KEYS if key not in found]:
        msg = f"{path.name}: the block lacks {', '.join(missing)}"
        raise CatalogError(msg, _BLOCK_KEYS)
    try:
        evidence = _choice(Evidence, found.pop("evidence"))
    except CatalogError as fault:
        msg = f"{path.name}: evidence: {fault}"
        raise CatalogError(msg, fault.allowed, fault.met) from None
    return TableBlock(file=path.name, evidence=evidence, **found)


def read_table(path: Path, row_type: type[R]) -> tuple[R, ...]:
    """All rows of a table file as `row_type`. Raises CatalogError naming file, line and column of the first fault."""
    block = read_block(path)
    lines = [
        (number, line)
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1)
        if not line.startswith("# ")  # "#10" is a size
    ]
    cells = list(csv.reader((line for _, line in lines), strict=True))
    if len(cells) < 2:
        msg = f"{path.name}: no rows"
        raise CatalogError(msg)
    types = get_type_hints(row_type)
    readers = {name: _reader(types[name], unit) for name, unit in _heads(cells[0], row_type, path.name)}
    return tuple(
        _row(row_type, readers, values, block, f"{path.name}:{number}")
        for values, (number, _) in zip(cells[1:], lines[1:], strict=True)
    )


def table(file: str, row_type: type[R]) -> tuple[R, ...]:
    """The rows of a file in `data/`, read once."""
    if file not in _READ:
        _READ[file] = read_table(DATA / file, row_type)
    return _READ[file]


@cache
def tables() -> tuple[TableBlock, ...]:
    """The blocks of all tables in the catalog, in the order of their file names."""
    return tuple(read_block(path) for path in sorted(DATA.glob("*.csv")))


def _heads(cells: list[str], row_type: type[Row], file: str) -> Iterator[tuple[str, str]]:
    wanted = set(names_of(row_type))
    optional = set(names_of(Row))
    names: list[str] = []
    for cell in cells:
        match = _HEAD.fullmatch(cell)
        if match is None:
            msg = f"{file}: column head {cell!r} is not a lower-case name, with its unit in brackets if it has one"
            raise CatalogError(msg, met=cell)
        name, unit = match.group(1), match.group(2) or ""
        if name not in wanted:
            msg = f"{file}: unknown column {name!r}; allowed: {', '.join(sorted(wanted))}"
            raise CatalogError(msg, sorted(wanted), name)
        if unit and unit not in _TO_OURS:
            msg = f"{file}: column {name!r} has the unknown unit {unit!r}; allowed: {', '.join(_TO_OURS)}"
            raise CatalogError(msg, _TO_OURS, unit)
        names.append(name)
        yield name, unit
    if len(set(names)) != len(names) or wanted - optional - set(names):
        msg = f"{file}: every column once: {', '.join(sorted(wanted - optional))}; met {', '.join(names)}"
        raise CatalogError(msg)


def _row(
    row_type: type[R], readers: Mapping[str, Callable[[str], Any]], values: list[str], block: TableBlock, place: str
) -> R:
    if len(values) != len(readers):
        msg = f"{place}: {len(values)} cells under {len(readers)} column heads"
        raise CatalogError(msg)
    for name, value in zip(readers, values, strict=True):
        if value != value.strip():
            msg = f"{place}: {name} has blanks around {value!r}"
            raise CatalogError(msg, met=value)
    found: dict[str, Any] = {}
    name = ""
    try:
        for (name, read), value in zip(readers.items(), values, strict=True):
            if value or name not in ("source", "evidence", "note"):
                found[name] = read(value)
    except CatalogError as fault:
        msg = f"{place}: {name}: {fault}"
        raise CatalogError(msg, fault.allowed, fault.met) from None
    evidence = found.setdefault("evidence", block.evidence)
    found.setdefault("source", "common practice, no source" if evidence is Evidence.PRACTICE else block.citation)
    if evidence is Evidence.MEMORY:
        found["source"] += " (from memory, not read)"
    return row_type(**found)


def _reader(kind: Any, unit: str) -> Callable[[str], Any]:
    """What reads a cell as `kind`: str, int, float, an enum, or one of these or None."""
    choices = get_args(kind)
    if NoneType in choices:
        filled = _reader(choices[0], unit)
        return lambda text: filled(text) if text else None
    if kind is str:
        return _text
    if isinstance(kind, type) and issubclass(kind, Enum):
        return partial(_choice, kind)
    if kind is int:
        return _whole
    # One rounding to 1e-9 takes out what the conversion's binary arithmetic adds.
    return (lambda text: round(_TO_OURS[unit](_number(text)), 9)) if unit else _number


def _text(text: str) -> str:
    if not text:
        msg = "an empty cell"
        raise CatalogError(msg)
    return text


def _whole(text: str) -> int:
    number = _number(text)
    if number != int(number):
        msg = f"{text!r} is not a whole number"
        raise CatalogError(msg, met=text)
    return int(number)


def _number(text: str) -> float:
    if _NUMBER.fullmatch(text):
        return float(text)
    if match := _FRACTION.fullmatch(_text(text)):
        whole, above, below = match.groups()
        if int(below):
            return int(whole or 0) + int(above) / int(below)
    msg = f"{text!r} is not a number"
    raise CatalogError(msg, met=text)


E = TypeVar("E", bound=Enum)


def _choice(kind: type[E], text: str) -> E:
    try:
        return kind(_text(text))
    except ValueError:
        words = [str(member.value) for member in kind]
        msg = f"{text!r} is not one of {', '.join(words)}"
        raise CatalogError(msg, words, text) from None
