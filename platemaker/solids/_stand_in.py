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
def without(package: str) -> Iterator[None]:
    """For as long as the block lasts, a package that is not loaded yet is as if it were not installed."""
    if package in sys.modules:
        yield
        return
    sys.modules[package] = cast("ModuleType", None)  # which the types do not know: it makes an import fail
    try:
        yield
    finally:
        del sys.modules[package]


@contextmanager
def in_name_only(package: str) -> Iterator[None]:
    """For as long as the block lasts, every module of a package that is not loaded yet, and every name in it, is there.

    The names mean nothing: they do for what an import only mentions. Afterwards the package can be loaded as usual.
    """
    if package in sys.modules:
        yield
        return
    names = _Names(package)
    sys.meta_path.insert(0, names)
    try:
        yield
    finally:
        sys.meta_path.remove(names)
        for name in filter(names.covers, list(sys.modules)):
            del sys.modules[name]


class _Names(MetaPathFinder, Loader):
    """Finds, for a package and for whatever is imported below it, an empty module that has every name."""

    def __init__(self, package: str) -> None:
        self._package = package

    def covers(self, module: str) -> bool:
        return module == self._package or module.startswith(f"{self._package}.")

    def find_spec(
        self, fullname: str, path: Sequence[str] | None = None, target: ModuleType | None = None
    ) -> ModuleSpec | None:
        return ModuleSpec(fullname, self, is_package=True) if self.covers(fullname) else None

    def exec_module(self, module: ModuleType) -> None:
        vars(module)["__getattr__"] = lambda name: type(name, (), {})
