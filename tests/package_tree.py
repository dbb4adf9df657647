"""The package as syntax trees, for the tests of its structure. Nothing is imported."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache, cached_property
from pathlib import Path

ROOT = Path(__file__).parent.parent
PACKAGE = ROOT / "platemaker"
ORDER = (
    "records", "errors", "remembered", "units", "catalog", "formulas", "plane", "space", "spec", "survey", "fit_up", "parts", "resolved", "solids",
    "fields", "checks", "views", "export", "report", "study", "project", "cli",
)  # fmt: skip
"""The rooms; each may import those before it."""


@dataclass(frozen=True)
class Module:
    """One module of the package: its dotted name and its file."""

    name: str
    path: Path

    @property
    def room(self) -> str:
        """The room it lies in; the package's own module lies in none."""
        return [*self.name.split("."), ""][1]

    @property
    def is_package(self) -> bool:
        return self.path.name == "__init__.py"

    @cached_property
    def text(self) -> str:
        return self.path.read_text(encoding="utf-8")

    @cached_property
    def tree(self) -> ast.Module:
        return ast.parse(self.text)

    @cached_property
    def imports(self) -> tuple[Import, ...]:
        """Every import of the module, those inside functions too."""
        return tuple(self._imports())

    def _imports(self) -> Iterator[Import]:
        for node in ast.walk(self.tree):
            if isinstance(node, ast.Import):
                for alias in node.names:
                    yield Import(alias.name, None, node.lineno)
            elif isinstance(node, ast.ImportFrom):
                if node.level:
                    message = f"{self.path}:{node.lineno}: a relative import; the project writes names in full"
                    raise ValueError(message)
                for alias in node.names:
                    yield Import(node.module or "", alias.name, node.lineno)


@dataclass(frozen=True)
class Import:
    """`import module` or `from module import name`, at a line."""

    module: str
    name: str | None
    line: int


@cache
def modules() -> tuple[Module, ...]:
    """All modules of the package, each parsed once."""
    found = []
    for path in sorted(PACKAGE.rglob("*.py")):
        parts = path.relative_to(ROOT).with_suffix("").parts
        found.append(Module(".".join(parts[:-1] if parts[-1] == "__init__" else parts), path))
    return tuple(found)


def rooms() -> list[Module]:
    """The doors of the rooms: their `__init__.py`, or the module itself for a room of one module."""
    return [module for module in modules() if module.name.count(".") == 1]
