"""Write the list of tables in docs/catalog.md from the blocks at the head of each table. Run at the project's root."""

from __future__ import annotations

import csv
from collections import Counter
from importlib import resources
from pathlib import Path

from platemaker.catalog import Evidence, TableBlock, tables

PAGE = Path(__file__).resolve().parent / "catalog.md"
DATA = resources.files("platemaker.catalog").joinpath("data")


def rows_by_evidence(block: TableBlock) -> Counter[str]:
    """How many rows of a table stand on each kind of evidence."""
    text = DATA.joinpath(block.file).read_text(encoding="utf-8").splitlines()
    rows = list(csv.DictReader(line for line in text if not line.startswith("# ")))
    return Counter(row.get("evidence") or block.evidence.value for row in rows)


def page_row(block: TableBlock) -> str:
    """A table's line in the page."""
    counts = rows_by_evidence(block)
    state = ", ".join(f"{counts[kind.value]} {kind.value}" for kind in Evidence if counts[kind.value])
    cells = (
        f"`{block.file}`",
        block.standard,
        block.edition,
        block.table,
        block.unit,
        state,
        block.typed,
        block.reread,
    )
    return f"| {' | '.join(cells)} |"


def page() -> str:
    """The page with its list as the tables are; the words round it stay."""
    lines = PAGE.read_text(encoding="utf-8").splitlines()
    first = next(number for number, line in enumerate(lines) if line.startswith("| `"))
    after = next(number for number in range(first, len(lines) + 1) if lines[number : number + 1] in ([], [""]))
    return "\n".join([*lines[:first], *(page_row(block) for block in tables()), *lines[after:]]) + "\n"


if __name__ == "__main__":
    PAGE.write_text(page(), encoding="utf-8", newline="\n")
