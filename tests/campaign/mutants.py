"""Spec and reading files of the repository with one to three random changes: of numbers, words, structure or bytes."""

from __future__ import annotations

import copy
import math
import random
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import yaml

from tests.package_tree import PACKAGE, ROOT

PROJECTS = sorted(
    path.parent
    for folder in (
        PACKAGE / "project" / "data",
        ROOT / "part_specs",
        ROOT / "tests" / "cases",
        ROOT / "tests" / "frozen",
    )
    for path in folder.glob("*/project.yaml")
)
READINGS = sorted([*(ROOT / "tests" / "readings").rglob("*.yaml"), *(ROOT / "part_specs").rglob("*.readings.yaml")])

ODD_NUMBERS = (0, -1, 1, 1e-9, 0.01, 5000, 1e6, 1e12, -1e12, math.inf, math.nan, 90, 180, 360, 10**30)
ODD_VALUES = (
    "", "x", "M8", "3/8-16 UNC", "1e9", "12 in", "12 parsecs", "nan", "<b>&amp;</b>", "\u202eabc", "\x00", "a" * 5000, None,
    True, [], {}, [[]], {"": 1}, [1, 2, 3], "../../etc/passwd", "con", "=1+1", "0x10", "1_000", "1:30", "~", "é",
)  # fmt: skip

Place = tuple[Any, Any]
"""A mapping or list, and the key or index of one of its values."""


def mutated(source: Path, folder: Path, seed: int) -> Path:
    """The project `source` copied to `folder` with random changes in its files."""
    rng = random.Random(f"campaign {seed}")
    shutil.copytree(source, folder)
    files = sorted(folder.glob("*.yaml"))
    for _ in range(rng.choice((1, 1, 1, 2, 3))):
        change(rng.choice(files), rng)
    return folder


def change(file: Path, rng: random.Random) -> None:
    """One random change of a file."""
    if rng.random() < 0.05:
        _change_bytes(file, rng)
        return
    try:
        data = yaml.safe_load(file.read_text(encoding="utf-8"))
    except (yaml.YAMLError, ValueError):
        return  # an earlier change of its bytes
    places = list(_places(data))
    if not places:
        return
    rng.choice(CHANGES)(places, rng)
    file.write_text(yaml.safe_dump(data, sort_keys=False, allow_unicode=True), encoding="utf-8")


def _places(data: Any) -> Iterator[Place]:
    within = data.items() if isinstance(data, dict) else enumerate(data) if isinstance(data, list) else ()
    for key, value in list(within):
        yield data, key
        yield from _places(value)


def keys_of(folder: Path) -> list[tuple[str, float]]:
    """Keys of the numbers of the parts in a folder's specs, as a study names them, with their values."""
    found: list[tuple[str, float]] = []
    for file in sorted(folder.glob("*.yaml")):
        try:
            data = yaml.safe_load(file.read_bytes())
        except (yaml.YAMLError, ValueError):
            continue
        if isinstance(data, dict):
            found += _keys_under(data.get("parts"), "")
    return found


def _keys_under(data: Any, path: str) -> list[tuple[str, float]]:
    if isinstance(data, dict):
        return [each for key, value in data.items() for each in _keys_under(value, f"{path}.{key}".lstrip("."))]
    number = isinstance(data, int | float) and not isinstance(data, bool)
    return [(path, float(data))] if number else []


def _numbers(places: list[Place]) -> list[Place]:
    return [(at, key) for at, key in places if isinstance(at[key], int | float) and not isinstance(at[key], bool)]


def _scale(places: list[Place], rng: random.Random) -> None:
    for at, key in rng.sample(_numbers(places), min(1, len(_numbers(places)))):
        at[key] *= rng.choice((0, -1, 0.1, 0.5, 0.9, 1.1, 2, 10, 25.4, 1000, *(rng.lognormvariate(0, 0.3),) * 8))


def _odd_number(places: list[Place], rng: random.Random) -> None:
    for at, key in rng.sample(_numbers(places), min(1, len(_numbers(places)))):
        at[key] = rng.choice(ODD_NUMBERS)


def _odd_value(places: list[Place], rng: random.Random) -> None:
    at, key = rng.choice(places)
    at[key] = rng.choice(ODD_VALUES)


def _taken_away(places: list[Place], rng: random.Random) -> None:
    at, key = rng.choice(places)
    del at[key]


def _renamed(places: list[Place], rng: random.Random) -> None:
    at, key = rng.choice(places)
    if isinstance(at, dict):
        at[rng.choice((key[:-1], key + "s", key.upper(), "x"))] = at.pop(key)


def _swapped(places: list[Place], rng: random.Random) -> None:
    (one, a), (other, b) = rng.choice(places), rng.choice(places)
    one[a], other[b] = copy.deepcopy(other[b]), copy.deepcopy(one[a])


def _doubled(places: list[Place], rng: random.Random) -> None:
    at, key = rng.choice(places)
    if isinstance(at, list):
        at.insert(key, copy.deepcopy(at[key]))
    else:
        at[f"{key}_2"] = copy.deepcopy(at[key])


CHANGES: tuple[Callable[[list[Place], random.Random], None], ...] = (
    *(_scale,) * 8, *(_odd_number,) * 4, _odd_value, *(_taken_away,) * 3, _renamed, _swapped, *(_doubled,) * 2,
)  # fmt: skip


def _change_bytes(file: Path, rng: random.Random) -> None:
    content = bytearray(file.read_bytes())
    at = rng.randrange(len(content) + 1)
    content[at : at + rng.choice((0, 1, 5))] = rng.choice(
        (b"", b"\t", b"\xff", b"\x00", b"- ", b": ", b"&a *a", b"!!x ", b"\n---\n")
    )
    file.write_bytes(bytes(content[: rng.choice((len(content), at))]))
