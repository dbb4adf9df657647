"""Pictures of a survey file: points by feature, in the file or in a CSV of pixels beside it."""

from __future__ import annotations

import csv
import math
from pathlib import Path

from platemaker.errors import Location, SpecError, nearest_word
from platemaker.survey._reading._base import SurveyFile
from platemaker.survey._reading._models import PictureModel
from platemaker.survey._records import Feature, Picture

CLICKED = 1.5
"""Standard deviation of a clicked point, pixels, unless `sd` says another; common practice, no source."""
LEAST = 3
"""Points that a picture needs: an affine map has six unknowns."""
COLUMNS = ["feature", "x", "y"]


def read_pictures(file: SurveyFile, features: tuple[Feature, ...]) -> tuple[Picture, ...]:
    """The pictures; faults are noted in the file."""
    found = []
    for index, body in enumerate(file.model.pictures):
        where = file.loaded.where(("pictures", index))
        try:
            found.append(_read(file, body, where, features))
        except SpecError as fault:
            file.faults.append(fault)
    names = [picture.name for picture in found]
    for picture in found:
        if names.count(picture.name) > 1 and picture is not found[names.index(picture.name)]:
            file.fault(f"picture {picture.name} is given twice", picture.where or file.loaded.where(("pictures",)))
    return tuple(found)


def _read(file: SurveyFile, body: PictureModel, where: Location, features: tuple[Feature, ...]) -> Picture:
    if (body.file is None) is (body.points is None):
        problem = "a picture has its `points`, or a `file` of them"
        raise SpecError(problem, where=where, allowed="one of the two")
    if body.sd is not None and not (math.isfinite(body.sd) and body.sd > 0):
        problem = "what points were clicked to"
        raise SpecError(problem, where=where, met=body.sd, allowed="sd above 0 pixels")
    if body.file is not None:
        points = _from_csv(file.loaded.file.parent / body.file, where)
        name = Path(body.file).stem
    else:
        points, name = dict(body.points or {}), body.name or f"{file.model.pictures.index(body) + 1}"
    rounds = [feature.name for feature in features if feature.kind.is_round]
    for feature, at in points.items():
        if feature not in rounds:
            problem, near = f"picture {name}: no round feature {feature}", nearest_word(feature, rounds)
            raise SpecError(problem, where=where, allowed=", ".join(rounds), nearest=near)
        if not all(math.isfinite(value) for value in at):
            problem = f"picture {name}: {feature} has no place"
            raise SpecError(problem, where=where, met=str(at), allowed="two numbers, in pixels")
    if len(points) < LEAST:
        problem = f"picture {name} shows {len(points)} features"
        raise SpecError(problem, where=where, allowed=f"{LEAST} or more")
    return Picture(body.name or name, points, CLICKED if body.sd is None else float(body.sd), where)


def _from_csv(path: Path, where: Location) -> dict[str, tuple[float, float]]:
    """The points of a CSV with the columns feature, x, y: pixels, Y down."""
    if not path.is_file():
        there = sorted(one.name for one in path.parent.glob("*.csv"))
        problem, near = f"no file {path.name} beside the readings", nearest_word(path.name, there)
        raise SpecError(problem, where=where, allowed=", ".join(there) or "a CSV with feature, x, y", nearest=near)
    try:
        text = path.read_text(encoding="utf-8-sig")
    except (OSError, UnicodeDecodeError) as fault:
        problem = f"{path.name} cannot be read: {fault}"
        raise SpecError(problem, where=where, allowed="text in UTF-8") from fault
    rows = list(csv.reader(text.splitlines(), delimiter=";" if ";" in text.partition("\n")[0] else ","))
    if not rows or [cell.strip().lower() for cell in rows[0]] != COLUMNS:
        met = ", ".join(rows[0]) if rows else "nothing"
        problem = "names of the columns"
        raise SpecError(problem, where=Location(path, 1), met=met, allowed="feature, x, y")
    points: dict[str, tuple[float, float]] = {}
    for number, row in enumerate(rows[1:], start=2):
        if not any(cell.strip() for cell in row):
            continue
        try:
            name, x, y = row[0].strip(), float(row[1]), float(row[2])
        except (IndexError, ValueError) as fault:
            problem = "not a feature and two numbers"
            raise SpecError(
                problem,
                where=Location(path, number),
                met=", ".join(row),
                allowed="feature, x, y, with a decimal point",
            ) from fault
        if name in points or len(row) > len(COLUMNS):
            problem = "a feature twice" if name in points else "more than three columns"
            raise SpecError(
                problem, where=Location(path, number), met=", ".join(row), allowed="each feature once: feature, x, y"
            )
        points[name] = x, y
    return points
