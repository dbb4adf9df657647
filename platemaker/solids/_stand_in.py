"""Spares an import what it asks for and does not use: packages that are as good as missing, or as good as there."""

from __future__ import annotations

import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from importlib.abc import Loader, MetaPathFinder
from importlib.machinery import ModuleSpec
from types import ModuleType


@contextmanager
def without(package: str) -> Iterator[None]:
    """For as long as the block lasts, a package that is not loaded yet is as if it were not installed."""
    with _finding(package, _Nothing(package)):
        yield


@contextmanager
def in_name_only(package: str) -> Iterator[None]:
    """For as long as the block lasts, every module of a package that is not loaded yet, and every name in it, is there.

    The names mean nothing: they do for what an import only mentions. Afterwards the package can be loaded as usual.
    """
    with _finding(package, _Names(package)):
        yield


@contextmanager
def _finding(package: str, finder: MetaPathFinder) -> Iterator[None]:
    if package in sys.modules:
        yield
        return
    sys.meta_path.insert(0, finder)
    try:
        yield
    finally:
        sys.meta_path.remove(finder)
        for name in [name for name in sys.modules if _is_of(package, name)]:
            del sys.modules[name]


def _is_of(package: str, name: str) -> bool:
    return name == package or name.startswith(f"{package}.")


class _Nothing(MetaPathFinder):
    """Finds that there is no such package."""

    def __init__(self, package: str) -> None:
        self._package = package

    def find_spec(
        self, fullname: str, path: Sequence[str] | None = None, target: ModuleType | None = None
    ) -> ModuleSpec | None:
        if _is_of(self._package, fullname):
            raise ModuleNotFoundError(name=fullname)
        return None


class _Names(MetaPathFinder, Loader):
    """Finds an empty module that has every name."""

    def __init__(self, package: str) -> None:
        self._package = package

    def find_spec(
        self, fullname: str, path: Sequence[str] | None = None, target: ModuleType | None = None
    ) -> ModuleSpec | None:
        return ModuleSpec(fullname, self, is_package=True) if _is_of(self._package, fullname) else None

    def exec_module(self, module: ModuleType) -> None:
        vars(module)["__getattr__"] = lambda name: type(name, (), {})
