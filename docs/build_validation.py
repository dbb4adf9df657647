"""Write docs/validation.md from tests/validation/formulas_cases.py. Run at the project's root."""

from __future__ import annotations

import runpy
import sys
from collections import Counter
from pathlib import Path
from typing import Any

from platemaker.formulas import FORMULAS, about

ROOT = Path(__file__).resolve().parents[1]
HEAD = """# Validation of the formulas

{counts}

A formula counts once, by the best of its rows:

| evidence | meaning | formulas |
| --- | --- | --- |
{table}

{weak}

Each row below is run by `tests/validation/test_formulas_published.py`. The tolerance is absolute. Standards themselves
were mostly not open to reading: "ISO 965-2, M5 6g" means that a copy of its table was read. Clause numbers of Shigley
chapters 3 and 8, Machinery's Handbook and ASME B1.20.1 were read in the document or a copy of it; those of
the other sources are from memory. This page is written by `docs/build_validation.py`.

"""
MEANING = {
    "READ": "the number was printed in the document named, or in a copy of it, and read there",
    "LIBRARY": "a general-purpose library gives it by another way: it solves the equation or measures the figure",
    "DERIVED": "worked out by other reasoning, in the arithmetic of the row",
    "MEMORY": "recalled, not read",
    "REPEATED": "the same law written out again: it finds a typing error and proves nothing else",
}


def number(value: Any) -> str:
    """Six significant digits, or the parts of a list."""
    if isinstance(value, tuple):
        return ", ".join(map(number, value))
    return str(value) if isinstance(value, bool) or value is None else f"{value:.6g}"


def row(case: Any, count: int) -> str:
    """One line of the table."""
    record = about(case.formula)
    unit = case.shown or (record.gives if isinstance(record.gives, str) else "")
    cells = (
        f"`{record.name}`",
        record.citation,
        case.evidence.value,
        case.where,
        unit.replace("-", "no unit") if unit == "-" else unit,
        number(case.expected),
        number(case.pick(case.formula(**case.inputs))),
        f"{case.tolerance:g} ({case.reason})" if case.tolerance else case.reason,
        f"`{record.name}-{count}`",
    )
    return "| " + " | ".join(cell.replace("|", "\\|") for cell in cells) + " |"


def head(table: Any) -> str:
    """The counts by evidence, and which formulas have less than a second derivation."""
    kinds, best = list(table["Evidence"]), table["best_evidence"]()
    found = Counter(best.values())
    sound = sum(found[kind] for kind in kinds[:2])
    rows = "\n".join(f"| {kind.value} | {MEANING[kind.name]} | {found[kind]} |" for kind in kinds)
    counts = (
        f"{len(best)} formulas, {len(table['CASES'])} rows. {sound} formulas ({100 * sound / len(best):.0f} %) have a "
        "number read in a source or from an independent library."
    )
    weak = "\n\n".join(
        f"{kind.value.capitalize()} only: " + ", ".join(f"`{name}`" for name in best if best[name] is kind) + "."
        for kind in kinds[2:]
        if found[kind]
    )
    return HEAD.format(counts=counts, table=rows, weak=weak)


def page() -> str:
    """The whole page."""
    sys.path.insert(0, str(ROOT))
    table = runpy.run_path(str(ROOT / "tests/validation/formulas_cases.py"))
    counts: dict[str, int] = {}
    rows = []
    for case in table["CASES"]:
        name = case.formula.__name__
        counts[name] = counts.get(name, 0) + 1
        rows.append(row(case, counts[name]))
    titles = sorted({f"- {record.source.short}: {record.source.title}" for record in FORMULAS.values()})
    heads = "| formula | source | evidence | checked against | unit | expected | got | tolerance | test |\n"
    body = heads + "| --- " * 9 + "|\n" + "\n".join(rows)
    return head(table) + body + "\n\n## Sources of the formulas\n\n" + "\n".join(titles) + "\n"


if __name__ == "__main__":
    (ROOT / "docs/validation.md").write_text(page(), encoding="utf-8")
