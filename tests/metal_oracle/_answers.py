"""What the package says of the same parts, put in the oracle's terms; and where the two differ."""

from __future__ import annotations

import json
import math
import tempfile
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import yaml

from platemaker.checks import Finding, Verdict, check_stack
from platemaker.errors import PlatemakerError
from platemaker.report import Meta, render_json
from platemaker.resolved import assemble
from platemaker.spec import load_project
from tests.metal_oracle._ledger import MET, Ledger, Row, key_of
from tests.metal_oracle._reading import Made, Spec, parts_of

METAL = {"PM110"}
"""Checks of metal left between voids, and between them and the blank. Necks of one outline are no pair: not compared."""
FACES = {"face above": "above", "face below": "below"}
"""What findings call the faces; whatever else is no cut of the part is beside it."""
TOLERANCE = 1e-6
ON = 1e-5
"""A point lies on a void or a face within this, mm: edges where curved faces meet are the kernel's own fits."""
WINDOW = 3.0
"""Pairs up to this many times the limit have to be listed."""

MISSED, WRONG, FALSE_FAIL, UNLISTED, REFUSED, LEAST, POINTS = (
    "missed", "wrong value", "false fail", "not listed", "refused without need", "least metal", "points",
)  # fmt: skip


@dataclass(frozen=True)
class Difference:
    """One line of the table where the package and the oracle differ."""

    what: str
    part: str
    key: tuple[str, str]
    true: float | None
    said: float | None
    note: str = ""

    def __str__(self) -> str:
        values = f"oracle {_mm(self.true)}, package {_mm(self.said)}"
        return f"{self.what}: {self.part}, {self.key[0]} to {self.key[1]}: {values} {self.note}".rstrip()


def _mm(value: float | None) -> str:
    return "nothing" if value is None else "overlap" if value <= MET else f"{value:.7f}"


@dataclass
class Answer:
    """The findings of a spec by part and pair, or the error that refuses it."""

    findings: dict[tuple[str, tuple[str, str]], list[Finding]] = field(default_factory=dict)
    least: dict[str, dict[str, Any] | None] = field(default_factory=dict)
    refused: str = ""


@dataclass
class Count:
    """What was compared: parts, walls, overlaps, and specs that were refused for an overlap."""

    parts: int = 0
    walls: int = 0
    below: int = 0
    overlaps: int = 0
    refused: int = 0
    least: int = 0

    def add(self, other: Count) -> None:
        for name in vars(self):
            setattr(self, name, getattr(self, name) + getattr(other, name))


def answer_of(spec: Spec, ledgers: Iterable[Ledger]) -> Answer:
    """What `check` says of a spec."""
    with tempfile.TemporaryDirectory() as folder:
        (Path(folder) / "project.yaml").write_text(yaml.safe_dump(spec, sort_keys=False), encoding="utf-8")
        try:
            stack = assemble(load_project(Path(folder)))
            findings = check_stack(stack)
        except PlatemakerError as fault:
            return Answer(refused=str(fault).replace(folder, ""))
    report = json.loads(render_json(stack, findings, Meta("0", "0")))
    answer = Answer(least={one["name"]: one["least_metal"] for one in report["parts"] if "least_metal" in one})
    known = {ledger.part.name: ledger for ledger in ledgers}
    for found in findings:
        if found.check in METAL and found.part in known:
            key = _key(found.features, found.points, known[found.part])
            answer.findings.setdefault((found.part, key), []).append(found)
    return answer


def _key(features: Iterable[str], points: Any, ledger: Ledger) -> tuple[str, str]:
    """Cuts by name alone, faces as above, below or side; of one feature alone, the face that it does not open."""
    named = []
    for feature in features:
        word = feature.split()[0]
        named.append(word if word in ledger.cuts else f"*{FACES.get(feature, 'side')}")
    if len(named) == 1:
        closed = [side for side in ("above", "below") if ledger.row((named[0], f"*{side}")) is not None]
        high = bool(points) and points[-1][2] > points[0][2]
        named.append(f"*{closed[0]}" if len(closed) == 1 else "*above" if high else "*below")
    return key_of(*named)


def differences(spec: Spec, answer: Answer | None = None) -> tuple[list[Difference], Count]:
    """Every difference between the package's answer to a spec and the oracle's, over all its parts."""
    ledgers = [Ledger(part) for part in parts_of(spec)]
    answer = answer or answer_of(spec, ledgers)
    count = Count(parts=len(ledgers))
    if answer.refused:
        count.refused = len(ledgers)
        least = min((row.value for ledger in ledgers if (row := ledger.least())), default=1.0)
        right = least <= MET or ("takes nothing away" in answer.refused and any(ledger.useless() for ledger in ledgers))
        needless = [] if right else [Difference(REFUSED, "", ("", ""), least, None, answer.refused)]
        return needless, count
    found: list[Difference] = []
    for ledger in ledgers:
        found += _of_part(ledger, answer, count)
    return found, count


def _of_part(ledger: Ledger, answer: Answer, count: Count) -> Iterator[Difference]:
    part = ledger.part
    walls = ledger.within(WINDOW * min(part.wall, part.floor) - TOLERANCE)
    said = {key: found for (name, key), found in answer.findings.items() if name == part.name}
    rows: dict[tuple[str, str], Row | None] = {key: walls.get(key) or ledger.row(key) for key in {*walls, *said}}
    for key, row in sorted(rows.items()):
        found = said.get(key, [])
        count.walls += row is not None
        if row is None:
            fails = [one for one in found if one.verdict is Verdict.FAIL]
            if fails:
                yield Difference(FALSE_FAIL, part.name, key, None, fails[0].measured, "meant to meet, or opened into")
        elif row.value <= MET:
            count.overlaps += 1
            yield from _overlap(part, row, found)
        else:
            count.below += row.value < min(part.wall, part.floor)
            wrong = list(_wall(part, row, found))
            yield from wrong
            if not wrong and found and not part.bent:
                thinnest = min(found, key=lambda one: math.inf if one.measured is None else one.measured)
                yield from _points(ledger, row, thinnest.points)
    if part.name in answer.least:
        count.least += 1
        yield from _least(ledger, answer.least[part.name])


def _said(found: list[Finding]) -> float | None:
    return min((float(one.measured) for one in found if one.measured is not None), default=None)


def _overlap(part: Made, row: Row, found: list[Finding]) -> Iterator[Difference]:
    """What overlaps fails with 0 or less; a passage through a floor may count as meant, and keeps the walls beside it."""
    value, fails = _said(found), any(one.verdict is Verdict.FAIL for one in found)
    if value is not None and value <= TOLERANCE and fails:
        return
    if row.beside is not None:
        yield from _wall(part, Row(row.a, row.b, row.beside, f"{row.what}; beside it"), found)
        return
    yield Difference(MISSED if not fails else WRONG, part.name, row.key, 0.0, value, row.what)


def _wall(part: Made, row: Row, found: list[Finding]) -> Iterator[Difference]:
    value, fails = _said(found), any(one.verdict is Verdict.FAIL for one in found)
    low, high = min(part.wall, part.floor), max(part.wall, part.floor)
    if value is None:
        if row.value < WINDOW * low - TOLERANCE:
            yield Difference(
                MISSED if row.value < low - TOLERANCE else UNLISTED, part.name, row.key, row.value, None, row.what
            )
    elif row.value >= high - TOLERANCE and fails:
        yield Difference(FALSE_FAIL, part.name, row.key, row.value, value, row.what)
    elif row.value < low - TOLERANCE and not fails:
        yield Difference(MISSED, part.name, row.key, row.value, value, f"{row.what}; listed thicker")
    elif abs(value - row.value) > TOLERANCE:
        yield Difference(WRONG, part.name, row.key, row.value, value, row.what)


def _points(ledger: Ledger, row: Row, points: Sequence[Any]) -> Iterator[Difference]:
    """The two points of a wall are as far apart as it is thick, and lie on what it is between, in either order."""
    if len(points) != 2:
        yield Difference(POINTS, ledger.part.name, row.key, row.value, None, f"{len(points)} points")
        return
    far = math.dist(*points)
    if abs(far - row.value) > 2 * TOLERANCE:
        yield Difference(POINTS, ledger.part.name, row.key, row.value, far, f"between the points {points}")
        return
    orders = (points, points[::-1])
    off = min(max(ledger.off(name, point) for name, point in zip(row.key, order, strict=True)) for order in orders)
    if off > ON:
        yield Difference(
            POINTS, ledger.part.name, row.key, row.value, off, f"one of the points {points} lies that far off"
        )


def _least(ledger: Ledger, said: dict[str, Any] | None) -> Iterator[Difference]:
    """The headline: the least of all walls, or 0 and below where anything overlaps; its features and points."""
    row, name = ledger.least(), ledger.part.name
    if row is None or said is None or said["value"] is None:
        if row is not None or (said is not None and said["value"] is not None):
            yield Difference(
                LEAST, name, row.key if row else ("", ""), row.value if row else None, None, f"headline {said}"
            )
        return
    value, points = said["value"], said["points"]
    key = _key(said["features"], points, ledger)
    own = ledger.row(key)
    if row.value <= MET:
        allowed = {row.beside} if row.beside is not None else set()
        if value > TOLERANCE and not any(abs(value - one) <= TOLERANCE for one in allowed):
            yield Difference(LEAST, name, row.key, row.value, value, row.what)
        elif own is None or own.value > MET:
            yield Difference(LEAST, name, key, own.value if own else None, value, "the features named do not overlap")
        return
    if abs(value - row.value) > TOLERANCE:
        yield Difference(LEAST, name, row.key, row.value, value, row.what)
    elif own is None or abs(own.value - value) > TOLERANCE:
        yield Difference(LEAST, name, key, own.value if own else None, value, "the features named have another wall")
    elif not ledger.part.bent:
        yield from _points(ledger, own, points)
