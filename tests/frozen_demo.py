"""An irrigation pump's engine with its blower, frozen as it once was, and changes of it that must not go unnoticed."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import Any

import yaml
from scipy.optimize import brentq

from platemaker.checks import Finding, check_stack
from platemaker.parts import Stack
from platemaker.resolved import assemble
from platemaker.spec import load_project

FROZEN = Path(__file__).parent / "frozen" / "pump_engine"
PRODUCED = 0.101325 * (brentq(lambda r: r - 2.38 / 1.87 * (1 + (r ** (2 / 7) - 1) / 0.55), 1.1, 10) - 1)
"""Boost at which blower and engine balance, MPa: 1.6 x 1.75 x 0.85 = 2.38 L of inlet air for each turn of the engine,
of which it takes 4.4/2 x 0.85 = 1.87 L of the warm charge (Heywood 1988, eqs. 2.27 and 6.42). Above the 0.06 specified."""


def changed_stack(folder: Path, changes: dict[str, Any]) -> Stack:
    """The frozen project, copied to a folder, with other values (None: taken out) at dotted keys such as `design.boost`.

    A key stands in the file that has its first two words, else in project.yaml.
    """
    shutil.copytree(FROZEN, folder / "demo")
    for key, value in changes.items():
        _change(folder / "demo", key.split("."), value)
    return assemble(load_project(folder / "demo"))


def changed_findings(folder: Path, changes: dict[str, Any]) -> tuple[Finding, ...]:
    """What every check says of the frozen project with these changes."""
    return check_stack(changed_stack(folder, changes), samples=50)


def _change(folder: Path, words: list[str], value: Any) -> None:
    files = {path: yaml.safe_load(path.read_text(encoding="utf-8")) for path in sorted(folder.glob("*.yaml"))}
    own = (path for path, data in files.items() if words[1:] and words[1] in data.get(words[0], ()))
    path = next(own, folder / "project.yaml")
    at = files[path]
    for word in words[:-1]:
        at = at.setdefault(word, {})
    if value is None:
        at.pop(words[-1], None)
    else:
        at[words[-1]] = value
    path.write_text(yaml.safe_dump(files[path], sort_keys=False), encoding="utf-8")
