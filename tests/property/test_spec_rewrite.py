"""A value written over in a spec's file: comments, blank lines, quotes and the order of keys stay as they were."""

from __future__ import annotations

import random
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from platemaker.errors import SpecError
from platemaker.spec import load_yaml, read_text, rewritten
from platemaker.spec._yaml import KeyPath
from platemaker.study import value_at
from tests.package_tree import ROOT

VALUES = (12, 3.5, "1-1/16 in", "M10", "AS568-214", "#10-32", "-6", "grade 8", "10.9", True, 'a "b"'[:1])
SPECS = sorted(path for path in (ROOT / "part_specs").rglob("*.yaml")) + sorted((ROOT / "tests/cures").rglob("*.yaml"))


def leaves(value: Any, path: KeyPath = ()) -> Iterator[KeyPath]:
    if isinstance(value, dict | list):
        for step, below in value.items() if isinstance(value, dict) else enumerate(value):
            yield from leaves(below, (*path, step))
    else:
        yield path


def ends(rng: random.Random) -> str:
    return rng.choice(["", "", "  # note: {5, 'x'}", " # ends", "   "])


def document(rng: random.Random, depth: int = 0) -> list[str]:
    """Lines of a mapping in block style, with comments, quotes and flow collections here and there."""
    lines, pad = [], "  " * depth
    for number in range(rng.randint(2, 4)):
        if rng.random() < 0.4:
            lines.append(rng.choice(["", f"{pad}# about key_{number}: {{a: 1}}", "# far left"]))
        head = f"{pad}key_{number}:"
        kind = rng.randrange(4) if depth < 3 else rng.randrange(3)
        word = rng.choice(["8", "1 in", '"1 in"', "'it''s 5'", "M8", "1.50", "true", "6061-T6"])
        if kind == 0:
            lines.append(f"{head} {word}{ends(rng)}")
        elif kind == 1:
            lines.append(f"{head} {{at: [1,  {word} , 3], b: {word}}}{ends(rng)}")
        elif kind == 2:
            lines += [f"{head}{ends(rng)}", f"{pad}- {word}{ends(rng)}", f"{pad}- [2, {word},", f"{pad}   5]"]
        else:
            lines += [f"{head}{ends(rng)}", *document(rng, depth + 1)]
    return lines


def held(file: Path, rng: random.Random, picks: int) -> None:
    loaded, text = load_yaml(file), read_text(file)
    paths = list(leaves(loaded.data))
    for path in rng.sample(paths, min(picks, len(paths))):
        value = rng.choice(VALUES)
        changed = rewritten(loaded, text, (path, value))
        start = next((n for n, (a, b) in enumerate(zip(text, changed, strict=False)) if a != b), len(text))
        tail = 0
        while tail < min(len(text), len(changed)) - start and text[-1 - tail] == changed[-1 - tail]:
            tail += 1
        assert not set("#\n:") & set(text[start : len(text) - tail]), "only the value's own letters are gone"
        file.write_bytes(changed.encode())
        assert value_at(load_yaml(file).data, path) == value
        assert list(leaves(load_yaml(file).data)) == paths, "every key, in its order"
        assert rewritten(load_yaml(file), changed, (path, value)) == changed
        file.write_bytes(text.encode())


@pytest.mark.parametrize("seed", range(12))
def test_only_the_value_changes_in_random_files(seed: int, tmp_path: Path) -> None:
    rng = random.Random(seed)
    file = tmp_path / "project.yaml"
    file.write_bytes(rng.choice(["\n", "\r\n"]).join([*document(rng), ""]).encode())
    held(file, rng, 6)


def test_only_the_value_changes_in_the_repository_s_own_specs(tmp_path: Path) -> None:
    rng = random.Random(7)
    for number, spec in enumerate(SPECS):
        file = tmp_path / f"{number}.yaml"
        file.write_bytes(spec.read_bytes())
        held(file, rng, 3)


def test_a_value_behind_an_alias_is_left_alone(tmp_path: Path) -> None:
    file = tmp_path / "project.yaml"
    whole, single = "a: &wall {depth: 5}\nb: *wall\n", "a: &deep 5\nb: *deep\n"
    for text, *paths in ((whole, ("a", "depth"), ("b", "depth")), (single, ("a",), ("b",))):
        file.write_text(text, encoding="utf-8")
        for path in paths:
            with pytest.raises(
                SpecError, match=r"project\.yaml:[12]: .*cannot be changed alone: an alias brings it in"
            ):
                rewritten(load_yaml(file), text, (path, 6))


@pytest.mark.parametrize(
    ("text", "changed"),
    [
        ("a: &deep 5  # five\nb: 1\n", "a: &deep 6 mm  # five\nb: 1\n"),
        ("a: &deep {x: &wide 5, y: 2}\n", "a: &deep {x: &wide 6 mm, y: 2}\n"),
        ("a: >-\n  5\n\n# one\nb: 1\n", "a: 6 mm\n\n# one\nb: 1\n"),
        ("a: |\n  5\nb: 1\n", "a: 6 mm\nb: 1\n"),
        ("a:\nb: 1\n", "a: 6 mm\nb: 1\n"),
        ("a: &deep\nb: 1\n", "a: &deep 6 mm\nb: 1\n"),
    ],
)
def test_an_anchor_stays_and_a_block_or_nothing_takes_a_value(tmp_path: Path, text: str, changed: str) -> None:
    file = tmp_path / "project.yaml"
    file.write_text(text, encoding="utf-8")
    path = ("a", "x") if "x" in text else ("a",)
    assert rewritten(load_yaml(file), text, (path, "6 mm")) == changed


def test_a_file_that_says_something_else_by_now_is_left_alone(tmp_path: Path) -> None:
    file = tmp_path / "project.yaml"
    file.write_text("a: 5  # five\nb: 6\n", encoding="utf-8")
    loaded = load_yaml(file)
    assert rewritten(loaded, "# a comment more\na: 5\nb: 6\n", (("a",), 7)) == "# a comment more\na: 7\nb: 6\n"
    with pytest.raises(SpecError, match="changed meanwhile"):
        rewritten(loaded, "a: 5\nb: 8\n", (("a",), 7))
    with pytest.raises(SpecError, match="no single value stands at c"):
        rewritten(loaded, "a: 5\nb: 6\n", (("c",), 7))


def test_all_that_an_alias_brings_in_is_changed_in_one(tmp_path: Path) -> None:
    file = tmp_path / "project.yaml"
    text = "a: &wall {depth: 5}\nb: *wall\nc: 5\n"
    file.write_text(text, encoding="utf-8")
    loaded = load_yaml(file)
    assert loaded.lines.shared(("b", "depth")) == (("a", "depth"), ("b", "depth"))
    assert loaded.lines.shared(("c",)) == (("c",),)
    both = [(path, 6) for path in loaded.lines.shared(("a", "depth"))]
    assert rewritten(loaded, text, *both, (("c",), "1/4 in")) == "a: &wall {depth: 6}\nb: *wall\nc: 1/4 in\n"
    with pytest.raises(SpecError, match="cannot be changed alone"):
        rewritten(loaded, text, both[0], (("b", "depth"), 7))
