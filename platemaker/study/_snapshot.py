"""A project as a flat list of things and facts, from a report.json: what two specs are compared by."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from enum import StrEnum
from pathlib import Path
from typing import Any, TypeAlias

from platemaker.errors import Location, SpecError
from platemaker.records import Record

Value: TypeAlias = float | str | bool | tuple[float, ...] | None

REPORT_FORMAT = 1
"""The layout of report.json that is read."""
KERNEL_SHARE = 1e-6
"""Share by which a volume may differ unseen: a report's may be the solid kernel's, another's plane geometry's."""


class Subject(StrEnum):
    """What a thing of a project is."""

    SPEC = "spec"
    BODY = "body"
    JOINT = "joint"
    PART = "part"
    CUT = "cut"
    FINDING = "finding"


class Change(StrEnum):
    """What happened to a thing."""

    APPEARED = "appeared"
    VANISHED = "vanished"
    MOVED = "moved"
    RESIZED = "changed size"
    CHANGED = "changed"


class Fact(Record):
    """One fact of a thing, and what it is called when it changes.

    A `share` of the value may differ unseen. What `rides` is listed only where no size of the thing changed: the middle
    of a figure moves when the figure grows. Where the value is as it was written, `inside` is what it means.
    """

    value: Value
    unit: str = ""
    change: Change = Change.CHANGED
    share: float = 0.0
    rides: bool = False
    inside: object = None

    @property
    def compared(self) -> object:
        """What of it is compared."""
        return self.value if self.inside is None else self.inside


class Thing(Record):
    """A thing: what it is, the part that it belongs to (or nothing), its name, and its facts by name.

    `title` is for readers. What is `reported` stands in a report too; the rest only a spec has.
    """

    subject: Subject
    owner: str
    name: str
    facts: Mapping[str, Fact]
    title: str = ""
    reported: bool = True

    @property
    def key(self) -> tuple[Subject, str, str]:
        """What it is found by in another project."""
        return self.subject, self.owner, self.name


class Snapshot(Record):
    """A project's things by key. `whole`: from a spec, with figures, marks, places and bodies, not from a report."""

    name: str
    unit: str
    things: Mapping[tuple[Subject, str, str], Thing]
    whole: bool = True


def snapshot_of_report(file: Path) -> Snapshot:
    """What a report.json says. Raises SpecError, naming the file, for one that is none."""
    try:
        report = json.loads(file.read_text(encoding="utf-8"))
    except OSError as fault:
        problem = f"cannot be read: {fault.strerror}"
        raise SpecError(problem, where=Location(file)) from fault
    except ValueError as fault:
        problem = "not JSON"
        raise SpecError(problem, where=Location(file), allowed="a project's folder, or a report.json") from fault
    if not isinstance(report, dict) or report.get("format") != REPORT_FORMAT:
        problem = "not a report that can be read"
        raise SpecError(problem, where=Location(file), allowed=f"a report.json of format {REPORT_FORMAT}")
    try:
        things = {thing.key: thing for thing in reported_things(report)}
        return Snapshot(report["project"]["name"], report["project"]["unit"], things, whole=False)
    except (KeyError, TypeError) as fault:
        problem = f"a report with something missing: {fault}"
        raise SpecError(problem, where=Location(file), allowed="report.json as it was written") from fault


def reported_things(report: Mapping[str, Any]) -> Iterator[Thing]:
    """The things that a report speaks of: joints, parts, their holes, findings."""
    for joint in report["joints"]:
        yield Thing(Subject.JOINT, "", joint["name"], dict(_joint_facts(joint)))
    for part in report["parts"]:
        yield Thing(Subject.PART, "", part["name"], dict(_part_facts(part)))
        for hole in part["holes"]:
            yield Thing(Subject.CUT, part["name"], hole["name"], dict(_hole_facts(hole)))
    for found in report["findings"]:
        facts = {
            "verdict": Fact(found["verdict"]),
            "measured": Fact(found["measured"], found["unit"]),
            "required": Fact(found["required"], found["unit"]),
            "margin": Fact(found["margin"], found["unit"]),
        }
        yield Thing(Subject.FINDING, found["part"], found["id"], facts, found["title"])


def _joint_facts(joint: Mapping[str, Any]) -> Iterator[tuple[str, Fact]]:
    for name in ("thread", "property_class", "source"):
        yield name, Fact(joint[name])
    for side in ("lower", "upper"):
        face = joint[side]
        yield side, Fact(f"{face['owner']}, {face['side']}, {face['role']}" if face else None)
    for name, at in joint["spots"].items():
        yield f"spot {name}", Fact(tuple(at), "mm", Change.MOVED)


def _part_facts(part: Mapping[str, Any]) -> Iterator[tuple[str, Fact]]:
    for name in ("title", "kind", "material", "made", "quantity", "note"):
        yield name, Fact(part[name])
    yield "size", Fact(tuple(part["size"]), "mm", Change.RESIZED)
    yield "volume", Fact(part["volume"], "mm3", Change.RESIZED, KERNEL_SHARE)
    yield "mass", Fact(part["mass"], "kg", share=KERNEL_SHARE)


def _hole_facts(hole: Mapping[str, Any]) -> Iterator[tuple[str, Fact]]:
    yield "at", Fact(tuple(hole["at"]), "mm", Change.MOVED)
    yield "direction", Fact(tuple(hole["direction"]), "", Change.MOVED)
    for name in ("diameter", "depth"):
        yield name, Fact(hole[name], "mm", Change.RESIZED)
    for name in ("operation", "through", "thread", "joint"):
        yield name, Fact(hole[name])
