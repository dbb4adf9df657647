"""Spares an import what it asks for and does not use: packages that are as good as missing, or as good as there."""

from __future__ import annotations

import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from importlib.abc import Loader, MetaPathFinder
from importlib.machinery import ModuleSpec
from types import ModuleType
from typing import cast


@contextmanager
def without(*packages: str) -> Iterator[None]:
    """For as long as the block lasts, packages that are not loaded yet are as if they were not installed."""
    spared = [package for package in packages if package not in sys.modules]
    for package in spared:
        sys.modules[package] = cast("ModuleType", None)  # which the types do not know: it makes an import fail
    try:
        yield
    finally:
        for package in spared:
            del sys.modules[package]


@contextmanager
def in_name_only(*packages: str) -> Iterator[None]:
    """For as long as the block lasts, all modules of packages that are not loaded yet, and all names in them, exist.

    The names mean nothing: they do for what an import only mentions. Afterwards the packages can be loaded as usual.
    """
    names = _Names([package for package in packages if package not in sys.modules])
    sys.meta_path.insert(0, names)
    try:
        yield
    finally:
        sys.meta_path.remove(names)
        for name in filter(names.covers, list(sys.modules)):
            del sys.modules[name]


class _Named(type):
    """A name that has every name, but those that Python itself asks for."""

    def __getattr__(cls, name: str) -> object:
        if name.startswith("__"):
            raise AttributeError(name)
        return _Named(name, (), {})


class _Names(MetaPathFinder, Loader):
    """Finds, for packages and for whatever is imported below them, an empty module that has every name."""

    def __init__(self, packages: Sequence[str]) -> None:
        self._packages = packages

    def covers(self, module: str) -> bool:
        return any(module == package or module.startswith(f"{package}.") for package in self._packages)

    def find_spec(
        self, fullname: str, path: Sequence[str] | None = None, target: ModuleType | None = None
    ) -> ModuleSpec | None:
        return ModuleSpec(fullname, self, is_package=True) if self.covers(fullname) else None

    def exec_module(self, module: ModuleType) -> None:
        vars(module)["__getattr__"] = lambda name: _Named(name, (), {})
