"""The page docs/catalog.md lists every table with what its own block says."""

from __future__ import annotations

import csv
from collections import Counter
from pathlib import Path

from platemaker.catalog import Evidence, TableBlock, tables
from platemaker.catalog._table import DATA

PAGE = Path(__file__).parents[2] / "docs" / "catalog.md"


def rows_by_evidence(block: TableBlock) -> Counter[str]:
    text = (DATA / block.file).read_text(encoding="utf-8").splitlines()
    rows = list(csv.DictReader(line for line in text if not line.startswith("# ")))
    return Counter(row.get("evidence") or block.evidence.value for row in rows)


def page_row(block: TableBlock) -> str:
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


def test_the_page_lists_every_table_as_it_is() -> None:
    lines = PAGE.read_text(encoding="utf-8").splitlines()
    assert [line for line in lines if line.startswith("| `")] == [page_row(block) for block in tables()]
