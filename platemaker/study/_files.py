"""A study's folder: the same rows as CSV and JSON, and the plot as SVG and PNG, swapped in whole."""

from __future__ import annotations

import csv
import io
import json
from itertools import chain
from pathlib import Path

from platemaker.export import OutputFolder
from platemaker.study._outcomes import STANDING
from platemaker.study._plot import plot_study
from platemaker.study._seek import Sought
from platemaker.study._study import Study
from platemaker.study._variant import VariantRow

FORMAT = 1
"""Version of the layout of study.json; a change of meaning raises it."""
_DIGITS = 6
MOST_FOLDERS = 10_000


def write_study(study: Study, target: Path) -> Path:
    """Write the study's files to the folder `target`, all at once or not at all. Raises OutputError."""
    with OutputFolder(target) as folder:
        folder.path("study", "csv", "variants and their outcomes, a row each").write_text(
            study_csv(study), encoding="utf-8", newline=""
        )
        folder.path("study", "json", "variants and their outcomes, for programs").write_text(
            study_json(study), encoding="utf-8", newline="\n"
        )
        if study.sound:
            for suffix in ("svg", "png"):
                folder.path("study", suffix, "outcomes and the trade-off front").write_bytes(plot_study(study, suffix))
    return folder.target


def folder_of(study: Study, out: Path, name: str = "") -> Path:
    """Where a study goes: PROJECT-study, with its name behind it where it has one.

    Without a name earlier studies stay: another one takes the next number, the same one its old place.
    """
    first = out / f"{study.project}-study"
    if name:
        return first.with_name(f"{first.name}-{name}")
    stated = study_json(study)

    def free(target: Path) -> bool:
        there = target / "study.json"
        return not target.exists() or (there.is_file() and there.read_text(encoding="utf-8") == stated)

    numbered = (first.with_name(f"{first.name}-{number}") for number in range(2, MOST_FOLDERS))
    return next(filter(free, chain([first], numbered)))


def study_json(study: Study) -> str:
    """The study as JSON: lengths mm, areas mm2, masses kg, pressure kPa, rounded to 1e-6, keys sorted."""
    stated = {
        "format": FORMAT,
        "project": study.project,
        "unit": study.unit,
        "vary": [
            {"key": vary.key.text, "path": list(vary.key.path), "values": [one.value for one in vary.choices]}
            for vary in study.varies
        ],
        "outcomes": [
            {"name": one.name, "title": one.title, "unit": one.unit, "better": _better(one.more_is_better)}
            for one in study.outcomes
        ],
        "front": {
            axis: {"name": one.name, "better": _better(one.more_is_better)}
            for axis, one in (("x", study.trade.x), ("y", study.trade.y))
        }
        | {"variants": list(study.front)},
        "now": study.now,
        "asked": study.asked,
        "done": len(study.rows),
        "interrupted": study.interrupted,
        "sought": _sought(study.sought),
        "unsettled": list(study.unsettled),
        "variants": [_variant(row, study) for row in study.rows],
    }
    return json.dumps(stated, indent=1, sort_keys=True, ensure_ascii=False, allow_nan=False) + "\n"


def _better(more: bool) -> str:
    return "up" if more else "down"


def _sought(sought: Sought | None) -> dict[str, object] | None:
    if sought is None:
        return None
    return {
        "aim": sought.aim.text,
        "keep": [keep.text for keep in sought.keeps],
        "winner": sought.winner,
        "combinations": sought.combinations,
        "exhaustive": sought.exhaustive,
    }


def _variant(row: VariantRow, study: Study) -> dict[str, object]:
    return {
        "number": row.number,
        "values": [choice.value for choice in row.choices],
        "fault": row.fault or None,
        "verdict": row.verdict.value if row.verdict else None,
        "fails": row.fails,
        "cautions": row.cautions,
        "failing": list(row.failing),
        "part": row.part or None,
        "figure": row.figure or None,
        "outcomes": {name: _rounded(value) for name, value in row.outcomes.items()},
        "least_metal": _least_metal(row),
        "areas": {name: _rounded(value) for name, value in row.areas.items()},
        "shown": {
            name: found
            and {
                "finding": found.finding,
                "measured": _rounded(found.measured),
                "margin": _rounded(found.margin),
                "unit": found.unit,
            }
            for name, found in row.shown.items()
        },
        "front": row.number in study.front,
    }


def _least_metal(row: VariantRow) -> dict[str, object] | None:
    """The finding behind the outcomes on least metal: what kind of wall, between what, and where, mm."""
    least = row.least
    if least is None:
        return None
    return {
        "finding": least.id,
        "value": _rounded(least.measured),
        "margin": _rounded(least.margin),
        "kind": least.title,
        "features": list(least.features),
        "points": [[_rounded(value) for value in point] for point in least.points],
    }


def study_csv(study: Study) -> str:
    """The study as CSV (RFC 4180, UTF-8): a header line with units in its names, then a line a variant."""
    shows = [one for one in study.outcomes if one not in STANDING]
    standing = [one for one in study.outcomes if one in STANDING]
    areas = list(dict.fromkeys(name for row in study.rows for name in row.areas))
    text = io.StringIO()
    table = csv.writer(text, lineterminator="\r\n")
    table.writerow(
        [
            "variant",
            *(vary.key.text for vary in study.varies),
            "verdict",
            "fails",
            "failing",
            "cautions",
            "part",
            "figure",
        ]
        + [f"{one.name}_{one.unit}" for one in standing]
        + ["wall_kind", "wall_between", "wall_x_mm", "wall_y_mm", "wall_z_mm"]
        + [f"area_mm2 {name}" for name in areas]
        + [f"{one.name} {what}" for one in shows for what in ("margin", "unit", "finding")]
        + ["front", "fault"]
    )
    for row in study.rows:
        shown = [row.shown.get(one.name) for one in shows]
        table.writerow(
            [row.number, *(choice.text for choice in row.choices), row.verdict.value if row.verdict else ""]
            + ([row.fails, " ".join(row.failing), row.cautions] if not row.fault else [""] * 3)
            + [row.part, row.figure]
            + [_cell(row.value(one.name)) for one in standing]
            + _thinnest(row)
            + [_cell(row.areas.get(name)) for name in areas]
            + [cell for one in shown for cell in ((_cell(one.margin), one.unit, one.finding) if one else ("", "", ""))]
            + [int(row.number in study.front), row.fault]
        )
    return text.getvalue()


def _thinnest(row: VariantRow) -> list[str]:
    """What kind of wall the least metal is, between what, and its middle."""
    if row.least is None:
        return [""] * 5
    middle = [sum(values) / len(values) for values in zip(*row.least.points, strict=True)]
    return [row.least.title, " + ".join(row.least.features), *map(_cell, middle)]


def _rounded(value: float | None) -> float | None:
    return None if value is None else round(value, _DIGITS) + 0.0


def _cell(value: float | None) -> str:
    return "" if value is None else repr(_rounded(value))
