"""Does anything answer? Every number of a project's specs is changed, every key taken out, one at a time.

    python tests/campaign/silent_keys.py part_specs/pump_engine

Printed are the changes to which no finding answers, and those after which none is worse: to be read one by one. A key
that nothing reads, and a part that nothing misses, are how a report comes to be green over a fault.
"""

from __future__ import annotations

import re
import shutil
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import yaml

from platemaker import PlatemakerError, Verdict, load
from platemaker.study import with_value

FACTORS = (0.2, 4.0)
NUMBER = re.compile(r"(-?\d+(?:\.\d+)?) ?([A-Za-z°%/·0-9]*)")
WORDS = ("title", "accept", "drawing", "revisions", "marks")
BAD = (Verdict.FAIL, Verdict.CAUTION, Verdict.NOT_CHECKED)
Answer = dict[str, tuple[Verdict, float | None, float | None]]


def answer(folder: Path) -> Answer | str:
    """Every finding by its id, or the error."""
    try:
        return {one.id: (one.verdict, one.measured, one.required) for one in load(folder).check().findings}
    except PlatemakerError as fault:
        return str(fault)


def changed(value: Any) -> Iterator[Any]:
    """A number five times smaller and four times larger, with its unit; nothing for what is none."""
    met = NUMBER.fullmatch(value) if isinstance(value, str) else None
    number = float(met[1]) if met else value
    if isinstance(number, bool) or not isinstance(number, int | float):
        return
    for factor in FACTORS:
        new = number * factor if number else factor
        if met:
            yield f"{new:g} {met[2]}".strip()
        else:
            yield round(new) if isinstance(value, int) and round(new) != value else new


def variants(data: Any, *path: Any) -> Iterator[tuple[str, Any]]:
    """What was changed, in words, and a copy of a file's data with it."""
    holder = data
    for key in path:
        holder = holder[key]
    for key in list(holder) if isinstance(holder, dict) else range(len(holder)) if isinstance(holder, list) else ():
        if key in WORDS:
            continue
        name = ".".join(map(str, (*path, key)))
        for value in changed(holder[key]):
            yield f"{name}: {value}", with_value(data, (*path, key), value)
        if isinstance(holder, dict):
            yield f"{name}: taken out", with_value(data, path, {one: holder[one] for one in holder if one != key})
        yield from variants(data, *path, key)


def main() -> None:
    source = Path(sys.argv[1]).resolve()
    before = answer(source)
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch, source.name)
        shutil.copytree(source, folder)
        for file in sorted(source.glob("*.yaml")):
            for what, data in variants(yaml.safe_load(file.read_bytes())):
                (folder / file.name).write_text(yaml.safe_dump(data, sort_keys=False), encoding="utf-8")
                after = answer(folder)
                if isinstance(after, dict) and isinstance(before, dict):
                    told = {name for name in before.keys() | after.keys() if before.get(name) != after.get(name)}
                    worse = [name for name in told if name in after and after[name][0] in BAD]
                    if not worse:
                        print(f"{what}: {'other findings, none worse' if told else 'SILENT'}", flush=True)
            shutil.copy(file, folder / file.name)


if __name__ == "__main__":
    main()
