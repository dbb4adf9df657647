"""Two projects compared: what moved, changed size, appeared and vanished, and each finding's margin."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path

from platemaker.checks import EQUAL
from platemaker.parts import PackageFile
from platemaker.records import Record, replace
from platemaker.spec import MAIN_FILE
from platemaker.study._from_stack import snapshot_of_folder
from platemaker.study._match_places import matched
from platemaker.study._snapshot import Change, Fact, Snapshot, Subject, Thing, Value, snapshot_of_report

FILED = ("spec", f"{PackageFile.REPORT}.json")
"""What a release has beside its files, the folder of its spec, and what every package has."""
_PROVED = ("volume", "mass")
"""Facts that a report has only where a build proved the part's solid."""


class Difference(Record):
    """One thing that differs, in one fact; for what appeared or vanished `fact` is empty.

    `subject`, `owner` and `name` say which thing, `title` says it for readers; `before` and `after` are in `unit`.
    `joint` is the one that a hole is of.
    """

    change: Change
    subject: Subject
    owner: str
    name: str
    fact: str = ""
    before: Value = None
    after: Value = None
    unit: str = ""
    title: str = ""
    joint: str = ""


class Margin(Record):
    """A finding on both sides: margins in `unit` and verdicts, None on the side that does not have it."""

    finding: str
    part: str
    title: str
    unit: str
    before: float | None
    after: float | None
    verdict_before: str | None
    verdict_after: str | None


class Comparison(Record):
    """What two projects differ in; `margins` are all findings of either, those that do not differ too.

    `partial` says that one side is a report, which holds no figures, marks, places or bodies: they are not compared.
    """

    before: str
    after: str
    unit: str
    differences: tuple[Difference, ...]
    margins: tuple[Margin, ...]
    partial: bool


def compare(before: Path, after: Path) -> Comparison:
    """Two projects, each a folder with its spec, a release's, a package's, or a report.json.

    Of a release the spec that is filed with it is compared, of a package its report. Raises SpecError for all else.
    """
    sides = [replace(_snapshot(path), name=str(path)) for path in (before, after)]
    return compared(*sides)


def _snapshot(path: Path) -> Snapshot:
    if path.is_dir() and not (path / MAIN_FILE).exists():
        path = next((one for name in FILED if (one := path / name).exists()), path)
    return snapshot_of_report(path) if path.is_file() else snapshot_of_folder(path)


def compared(before: Snapshot, after: Snapshot) -> Comparison:
    """Two snapshots. Numbers that agree to 1e-6, the grid of spec coordinates, are equal; holes match by place."""
    partial = not (before.whole and after.whole)
    before, after = matched(before, after)
    old, new = (_things(side, partial) for side in (before, after))
    differences = [one for key in _order(old, new) for one in _between(old.get(key), new.get(key), partial)]
    gone = {(one.change, one.name) for one in differences if one.subject is Subject.PART and not one.fact}
    stated = tuple(one for one in differences if (one.change, one.owner) not in gone)
    return Comparison(before.name, after.name, before.unit, stated, tuple(_margins(old, new)), partial)


def _things(side: Snapshot, partial: bool) -> Mapping[tuple[Subject, str, str], Thing]:
    return {key: thing for key, thing in side.things.items() if thing.reported or not partial}


def _order(
    old: Mapping[tuple[Subject, str, str], Thing], new: Mapping[tuple[Subject, str, str], Thing]
) -> list[tuple[Subject, str, str]]:
    subjects = list(Subject)
    return sorted({*old, *new}, key=lambda key: (subjects.index(key[0]), key[1], key[2]))


def _between(old: Thing | None, new: Thing | None, partial: bool) -> Iterator[Difference]:
    thing = new or old
    if thing is None:
        return
    joint = str(thing.facts["joint"].value or "") if "joint" in thing.facts else ""
    if old is None or new is None:
        change = Change.APPEARED if old is None else Change.VANISHED
        yield Difference(change, thing.subject, thing.owner, thing.name, title=thing.title, joint=joint)
        return
    facts = {name: pair for name, pair in _facts(old, new, partial) if _differ(*pair)}
    resized = any(fact.change is Change.RESIZED for pair in facts.values() for fact in pair)
    for name, (a, b) in facts.items():
        known = a if b.value is None else b
        if not (known.rides and resized):
            yield Difference(known.change, thing.subject, thing.owner, thing.name, name, a.value, b.value, known.unit,
                             thing.title, joint)  # fmt: skip


def _facts(old: Thing, new: Thing, partial: bool) -> Iterator[tuple[str, tuple[Fact, Fact]]]:
    """The facts of a thing on both sides; with a report on one side only those that both state."""
    nothing = Fact(None)
    for name in dict.fromkeys([*old.facts, *new.facts]):
        a, b = old.facts.get(name, nothing), new.facts.get(name, nothing)
        untold = name not in old.facts or name not in new.facts or (name in _PROVED and None in (a.value, b.value))
        if not (partial and untold):
            yield name, (a, b)


def _differ(a: Fact, b: Fact) -> bool:
    return _unlike(a.compared, b.compared, a.share)


def _unlike(a: object, b: object, share: float) -> bool:
    if isinstance(a, tuple) and isinstance(b, tuple) and len(a) == len(b):
        return any(_unlike(x, y, share) for x, y in zip(a, b, strict=True))
    if isinstance(a, int | float) and isinstance(b, int | float):
        return _apart(a, b, share)
    return a != b


def _apart(x: float, y: float, share: float) -> bool:
    return abs(x - y) > max(EQUAL, share * max(abs(x), abs(y)))


def _margins(
    old: Mapping[tuple[Subject, str, str], Thing], new: Mapping[tuple[Subject, str, str], Thing]
) -> Iterator[Margin]:
    for key in _order(old, new):
        thing = new.get(key) or old.get(key)
        if key[0] is not Subject.FINDING or thing is None:
            continue
        a, b = _verdict_of(old.get(key)), _verdict_of(new.get(key))
        yield Margin(thing.name, thing.owner, thing.title, thing.facts["margin"].unit, a[0], b[0], a[1], b[1])


def _verdict_of(thing: Thing | None) -> tuple[float | None, str | None]:
    if thing is None:
        return None, None
    margin, verdict = thing.facts["margin"].value, thing.facts["verdict"].value
    return (margin if isinstance(margin, float | int) else None), str(verdict)
