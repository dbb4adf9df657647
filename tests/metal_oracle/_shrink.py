"""Smaller specs that still fail: cuts and keys dropped, numbers made rounder, as long as the same difference stays."""

from __future__ import annotations

import copy
import json
from collections.abc import Callable, Iterator
from typing import Any

import yaml

from tests.metal_oracle._reading import Spec

DROPPED = (
    "holes", "bores", "openings", "opening", "pockets", "pocket", "slots", "reliefs", "limits", "marks", "ends", "below", "above",
    "seat", "spotface", "depth", "thread_depth", "corner_radius", "turn", "side", "mouth_chamfer", "mouth_radius", "mouth", "seal",
    "bodies", "joints", "bore", "into", "at",
)  # fmt: skip
"""Keys that a smaller spec may do without."""


def shrunk(spec: Spec, fails: Callable[[Spec], bool]) -> Spec:
    """The smallest spec met on the way down for which `fails` still says so; an error on the way counts as no."""

    def still(trial: Spec) -> bool:
        try:
            return fails(trial)
        except Exception:  # noqa: BLE001 - a spec may be cut down to one that no reader takes
            return False

    smaller = True
    while smaller:
        smaller = False
        for trial in (*_less(spec), *_rounder(spec)):
            if trial != spec and still(trial):
                spec, smaller = trial, True
                break
    return spec


def _less(spec: Spec) -> Iterator[Spec]:
    """The spec without one of its entries: whole sections first, then cuts, then single keys."""
    for path, value in sorted(_entries(spec, ()), key=lambda one: len(one[0])):
        own = path[-1] in DROPPED
        named = len(path) > 1 and path[-2] in DROPPED and isinstance(value, dict)
        if own or named:
            yield _without(spec, path)


def _rounder(spec: Spec) -> Iterator[Spec]:
    """The spec with one number rounded to fewer digits."""
    for path, value in _entries(spec, ()):
        if isinstance(value, float):
            for digits in (0, 1, 2):
                if round(value, digits) != value:
                    yield _with(spec, path, round(value, digits))


def _entries(node: Any, path: tuple[Any, ...]) -> Iterator[tuple[tuple[Any, ...], Any]]:
    items = node.items() if isinstance(node, dict) else enumerate(node) if isinstance(node, list) else ()
    for key, value in items:
        yield (*path, key), value
        yield from _entries(value, (*path, key))


def _holder(spec: Spec, path: tuple[Any, ...]) -> Any:
    node: Any = spec
    for key in path[:-1]:
        node = node[key]
    return node


def _without(spec: Spec, path: tuple[Any, ...]) -> Spec:
    made = copy.deepcopy(spec)
    del _holder(made, path)[path[-1]]
    return made


def _with(spec: Spec, path: tuple[Any, ...], value: Any) -> Spec:
    made = copy.deepcopy(spec)
    _holder(made, path)[path[-1]] = value
    return made


def text_of(spec: Spec) -> str:
    """A spec as YAML that can be pasted into a project.yaml."""
    plain = json.loads(json.dumps(spec))  # what stands there twice is written twice, without anchors
    return yaml.safe_dump(plain, sort_keys=False, default_flow_style=None, width=110)
