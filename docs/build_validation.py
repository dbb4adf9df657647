"""Write docs/validation.md from tests/validation/formulas_cases.py. Run at the project's root."""

from __future__ import annotations

import runpy
from pathlib import Path
from typing import Any

from platemaker.formulas import FORMULAS, about

ROOT = Path(__file__).resolve().parents[1]
HEAD = """# Validation of the formulas

Each row is run by `tests/validation/test_formulas_published.py`. *Expected* was printed in the place named beside it,
or, where it says "no published check found", was worked out a second way. "From memory" means recalled, not read.
The tolerance is absolute. Clause numbers of Shigley, Machinery's Handbook, AISC 360 and ASME B1.20.1 were read in the
document or a copy of it; those of the other sources are from memory, while the numbers beside them are not unless it
says so. This page is written by `docs/build_validation.py`.

"""


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
        case.where,
        unit.replace("-", "no unit") if unit == "-" else unit,
        number(case.expected),
        number(case.pick(case.formula(**case.inputs))),
        f"{case.tolerance:g} ({case.reason})" if case.tolerance else case.reason,
        f"`{record.name}-{count}`",
    )
    return "| " + " | ".join(cell.replace("|", "\\|") for cell in cells) + " |"


def page() -> str:
    """The whole page."""
    cases = runpy.run_path(str(ROOT / "tests/validation/formulas_cases.py"))["CASES"]
    counts: dict[str, int] = {}
    rows = []
    for case in cases:
        name = case.formula.__name__
        counts[name] = counts.get(name, 0) + 1
        rows.append(row(case, counts[name]))
    without = len({case.formula.__name__ for case in cases if case.where.startswith("no published")})
    titles = sorted({f"- {record.source.short}: {record.source.title}" for record in FORMULAS.values()})
    summary = f"{len(FORMULAS)} formulas, {len(rows)} rows; {without} formulas are checked by a second derivation.\n\n"
    table = "| formula | source | checked against | unit | expected | got | tolerance | test |\n" + "| --- " * 8 + "|\n"
    return HEAD + summary + table + "\n".join(rows) + "\n\n## Sources\n\n" + "\n".join(titles) + "\n"


if __name__ == "__main__":
    (ROOT / "docs/validation.md").write_text(page(), encoding="utf-8")
