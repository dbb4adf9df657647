"""Which formulas the package uses: called in another room, or by a formula that is."""

from __future__ import annotations

import ast
from functools import cache
from pathlib import Path

from platemaker.formulas import FORMULAS

PACKAGE = Path(__file__).parents[1] / "platemaker"

WAITING: dict[str, str] = {}
"""Formulas that nothing calls yet, with the reason why they stay."""


def names_in(node: ast.AST) -> set[str]:
    return {each.id for each in ast.walk(node) if isinstance(each, ast.Name)}


@cache
def called_outside() -> frozenset[str]:
    found: set[str] = set()
    for path in PACKAGE.rglob("*.py"):
        if path.parent.name == "formulas":
            continue
        tree = ast.parse(path.read_text(encoding="utf-8"))
        for node in ast.walk(tree):
            if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("platemaker.formulas"):
                found |= {alias.name for alias in node.names} & names_in(tree)
    return frozenset(found)


@cache
def formulas_in_use() -> frozenset[str]:
    """Formulas reached from another room, through other formulas too."""
    bodies = {
        node.name: names_in(node)
        for path in (PACKAGE / "formulas").glob("_*.py")
        for node in ast.parse(path.read_text(encoding="utf-8")).body
        if isinstance(node, ast.FunctionDef)
    }
    reached: set[str] = set()
    left = set(called_outside())
    while left:
        name = left.pop()
        if name not in reached:
            reached.add(name)
            left |= bodies.get(name, set()) & bodies.keys()
    return frozenset(reached & FORMULAS.keys())
