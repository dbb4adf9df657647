"""Write docs/checks/*.md from docs/checks/pages.yaml and the catalog's limits, and what the report says of each check.

Run at the project's root. With `--free` it lists the first ids of each family that are not taken, and writes nothing.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Any

import yaml

from platemaker.catalog import Family, LimitName, limits, usual_sizes

HERE = Path(__file__).resolve().parent / "checks"
IN_REPORTS = HERE.parents[1] / "platemaker" / "report" / "data" / "checks.json"
FAMILIES = {
    "PM0": "The spec",
    "PM1": "Metal",
    "PM3": "Bolts",
    "PM4": "Seats",
    "PM50": "Machining",
    "PM51": "Machining",
    "PM52": "Usual sizes",
    "PM6": "Space",
    "PM7": "Bosses, rails and brackets",
    "PM8": "Fit-up and ports",
    "PM90": "Joints",
    "PM91": "Boost, heat and preload",
    "PM92": "Sealing",
    **{f"PM93{digit}": "Heat and limits" for digit in range(4, 10) if digit != 6},
    "PM936": "Sealing",
    "PM93": "Bending",
    "PM94": "Pressed bosses",
    "PM95": "Air",
    "PM96": "Fuel",
    "PM97": "Oil drain and feed",
    **{f"PM98{digit}": "Belt" for digit in (6, 7, 8)},
    "PM99": "Belt",
    "PM98": "Holes for fittings and inserts",
}
METALS = tuple(family for family in Family if family is not Family.GASKET)
HEAD = """# Checks

One page for each id. An id never changes its meaning. The verdicts: *fail*, *caution*, *not checked* (with the reason)
and *pass*; advice is never more than a caution. Limits can be set in the spec, under `limits` of the project or of a
part, with the reason under `because` beside them. A caution that `accept` of the project names is *accepted*. These
pages are written by `docs/build_checks.py`.
"""


def entries() -> dict[str, dict[str, str]]:
    """What stands on each page, by id."""
    return dict(yaml.safe_load((HERE / "pages.yaml").read_text(encoding="utf-8")))


def family_of(check: str) -> str:
    """The heading under which a check stands."""
    return next(title for start, title in FAMILIES.items() if check.startswith(start))


def page(check: str, entry: dict[str, str]) -> str:
    """The whole page of one check."""
    limit = limit_of(entry)
    blocks = [
        f"# {check}: {entry['title']}",
        f"[{family_of(check)}](README.md)",
        f"**What is measured.** {entry['what']}",
        f"**Why.** {entry['why']}",
        f"**Limit and its source.** {limit}",
        f"**How to fix it.** {entry['fix']}",
    ]
    return "\n\n".join(blocks) + "\n"


def limit_of(entry: dict[str, str]) -> str:
    """What stands under the limit: the page's own words, a limit by material family, or the usual sizes."""
    if "table" not in entry:
        return entry["limit"]
    if entry["table"] == "usual_sizes":
        return usual_table()
    return "\n\n".join(limit_table(LimitName(name)) for name in entry["table"].split(", "))


def usual_table() -> str:
    """The usual sizes of the catalog."""
    example = "`limits: {usual: {plate_length: [10, 6 m]}}`"
    lines = [
        f"Cautions only; common practice, no source. A spec may set its own, for the project or for a part: {example}.",
        "",
        "| size | from | to | unit | note |",
        "| --- | --- | --- | --- | --- |",
    ]
    for name, row in usual_sizes().items():
        lines.append(f"| `{name}` | {row.least:g} | {row.most:g} | {row.unit} | {row.note} |")
    return "\n".join(lines)


def limit_table(name: LimitName) -> str:
    """A limit of the catalog by material family, with its source."""
    rows = {family: row for family in METALS if (row := limits(family).get(name)) is not None}
    unit = next(iter(rows.values())).unit
    at_least = any(row.fail_below is not None or row.caution_below is not None for row in rows.values())
    lines = [
        f"`{name.value}`, in {unit}, {'at least' if at_least else 'at most'}. A spec may set its own.",
        "",
        "| material | fail beyond | caution beyond | source |",
        "| --- | --- | --- | --- |",
    ]
    for family, row in rows.items():
        hard, soft = (row.fail_below, row.caution_below) if at_least else (row.fail_above, row.caution_above)
        source = row.source or "common practice, no source"
        lines.append(f"| {family.value.replace('_', ' ')} | {shown(hard)} | {shown(soft)} | {source} |")
    return "\n".join(lines)


def shown(value: Any) -> str:
    """A limit as text; a dash where there is none."""
    return "-" if value is None else f"{value:.4g}"


def index(pages: dict[str, dict[str, str]]) -> str:
    """The list of all pages by family."""
    blocks = [HEAD]
    for title in dict.fromkeys(FAMILIES.values()):
        items = [
            f"- [{check}]({check}.md) {entry['title']}" for check, entry in pages.items() if family_of(check) == title
        ]
        if items:
            blocks.append(f"## {title}\n\n" + "\n".join(items) + "\n")
    return "\n".join(blocks)


def files() -> dict[str, str]:
    """Every file of docs/checks that is written, by name."""
    pages = entries()
    return {"README.md": index(pages), **{f"{check}.md": page(check, entry) for check, entry in pages.items()}}


def in_reports() -> str:
    """Why each check matters and how to fix what it finds, as the report's page says it."""
    said = {check: {"why": entry["why"], "fix": entry["fix"]} for check, entry in entries().items()}
    return json.dumps(said, indent=1, ensure_ascii=False) + "\n"


def free_ids() -> str:
    """The first free ids behind those of each family."""
    taken = entries()
    blocks: dict[str, list[str]] = {}
    for number in range(100, 1000):
        check = f"PM{number}"
        if check not in taken and any(check.startswith(start) for start in FAMILIES):
            blocks.setdefault(family_of(check), []).append(check)
    return "\n".join(f"{title}: {', '.join(free[:8])}" for title, free in blocks.items())


if __name__ == "__main__" and "--free" in sys.argv[1:]:
    print(free_ids())  # noqa: T201 - it was asked for
elif __name__ == "__main__":
    for name, text in files().items():
        (HERE / name).write_text(text, encoding="utf-8", newline="\n")
    IN_REPORTS.write_text(in_reports(), encoding="utf-8", newline="\n")
