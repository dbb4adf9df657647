"""Every number that a spec states, with its key path: what a reader may have typed wrong."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from platemaker.records import Record
from platemaker.spec._base import SpecModel
from platemaker.spec._project import ProjectModel
from platemaker.spec._yaml import KeyPath


class Given(Record):
    """A number of a spec: its key path, what that is the key of, and its value in the unit used inside.

    `keys` has neither chosen names nor places in lists of records, and a part counts by its kind:
    `parts.lid.pockets.window.depth` is `plate.pockets.depth`. A number's own place in a row of numbers stays.
    """

    path: KeyPath
    keys: str
    value: float


def given_numbers(model: ProjectModel) -> Iterator[Given]:
    """The numbers that a project sets itself, in the order of its keys; defaults and usual sizes are none of them."""
    yield from _numbers(model, (), ())


def _numbers(value: Any, path: KeyPath, keys: tuple[str, ...]) -> Iterator[Given]:
    if isinstance(value, float):
        yield Given(path, ".".join(keys), value)
    elif isinstance(value, SpecModel):
        own = (value.kind,) if keys == ("parts",) and hasattr(value, "kind") else keys
        for word, entry in value.stated():
            if word != "usual":
                yield from _numbers(entry, (*path, word), (*own, word))
    elif isinstance(value, Mapping):
        for name, entry in value.items():
            yield from _numbers(entry, (*path, name), keys)
    elif isinstance(value, tuple):
        for place, entry in enumerate(value):
            yield from _numbers(entry, (*path, place), (*keys, str(place)) if isinstance(entry, float) else keys)
