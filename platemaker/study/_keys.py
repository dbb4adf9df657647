"""Key paths of a spec that may be varied: found in the project's data and in its schema, short or full.

`blower_plate.pocket.wall` is `parts.blower_plate.pocket.wall`; entries of joints and bodies are found the same way.
A key that the spec leaves to its default may be varied too: the schema knows it.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Any, TypeAlias

from platemaker.catalog import LimitName
from platemaker.errors import SpecError, nearest_word
from platemaker.records import Record
from platemaker.spec import dotted, json_schema
from platemaker.units import Dimension, pattern

KeyPath: TypeAlias = tuple[str | int, ...]
Value: TypeAlias = str | int | float | bool
"""One value of a key, as a spec file would hold it."""
# A JSON Schema is a tree of dictionaries of many shapes.
Schema: TypeAlias = Mapping[str, Any]

SECTIONS = ("parts", "joints", "bodies")
"""Sections whose entries may be called without the section's name."""
_STEP = re.compile(r"([A-Za-z0-9_]+)|\[(\d{1,4})\]")
_QUANTITIES = frozenset(pattern(dimension) for dimension in Dimension)


class Key(Record):
    """A key that can be varied: how it was called, its full path, and whether it takes words rather than numbers."""

    text: str
    path: KeyPath
    words: bool


class Keys:
    """The keys of one project's data."""

    def __init__(self, data: Mapping[str, Any]) -> None:
        self._data = data
        self._root = json_schema()
        self._definitions: Mapping[str, Schema] = self._root["$defs"]

    def find(self, text: str) -> Key:
        """The key called `text`, short or full. Raises SpecError with the nearest valid path for an unknown one."""
        path = _split(text)
        tried = [path, *((section, *path) for section in SECTIONS if path[0] in _mapping(self._data.get(section)))]
        met = [(one, leaf) for one in tried if (leaf := self._walk(one)) is not None]
        if len(met) > 1:
            problem = "a key path that could be either of several"
            raise SpecError(problem, met=text, allowed=" or ".join(dotted(one) for one, _ in met))
        if not met:
            raise self._unknown(text, path, tried)
        found, leaf = met[0]
        if not any(_is_value(one) for one in leaf):
            below = [dotted((*path, step)) for step in self._children(leaf, value_at(self._data, found))]
            problem = "not one value"
            raise SpecError(problem, met=text, allowed=_listed(below))
        return Key(text.strip(), found, _takes_words(leaf))

    def paths(self) -> Iterator[KeyPath]:
        """Every key that holds one value, set or not."""
        yield from self._leaves([self._root], self._data, ())

    def _unknown(self, text: str, path: KeyPath, tried: list[KeyPath]) -> SpecError:
        full = path[0] in self._root["properties"]
        names = {dotted(one if full or one[0] not in SECTIONS else one[1:]): one for one in self.paths()}
        depth, keys = max(self._reach(one) for one in tried)
        short = tried[0][:depth] if full or depth == 0 else tried[-1][1:depth]
        place = f"in {dotted(short)}: " if short else ""
        allowed = place + _listed(keys) if keys else ""
        # A path with steps left out is meant for a key that the spec sets.
        meant = [name for name, one in names.items() if path[-1] == one[-1] and len(path) > 1 and set(path) <= set(one)]
        stated = [name for name in meant if value_at(self._data, names[name]) is not None]
        nearest = stated[0] if len(stated) == 1 else nearest_word(text.strip(), names)
        return SpecError("unknown key path", met=text, allowed=allowed, nearest=nearest)

    def _reach(self, path: KeyPath) -> tuple[int, list[str]]:
        """How many steps of a path are known, and the keys known behind them."""
        schemas, value = self._alternatives([self._root], self._data), self._data
        for depth, step in enumerate(path):
            children = self._children(schemas, value)
            if step not in children:
                names = [str(one) for one in children]
                return depth, names if depth else [*names, *(str(n) for s in SECTIONS for n in self._data.get(s, ()))]
            value = _step_into(value, step)
            schemas = self._alternatives(children[step], value)
        return len(path), []

    def _walk(self, path: KeyPath) -> list[Schema] | None:
        """The schemas of the value at a path; None for a path that the models do not know."""
        schemas, value = self._alternatives([self._root], self._data), self._data
        for step in path:
            children = self._children(schemas, value)
            if step not in children:
                return None
            value = _step_into(value, step)
            schemas = self._alternatives(children[step], value)
        return schemas

    def _leaves(self, schemas: list[Schema], value: Any, path: KeyPath) -> Iterator[KeyPath]:
        settled = self._alternatives(schemas, value)
        if path and any(_is_value(one) for one in settled):
            yield path
        for step, below in self._children(settled, value).items():
            yield from self._leaves(below, _step_into(value, step), (*path, step))

    def _alternatives(self, schemas: list[Schema], value: Any) -> list[Schema]:
        """The plain schemas that a value may follow: of mappings only those whose keys it has, where any fits."""
        plain = [one for schema in schemas for one in self._plain(schema)]
        fitting = [one for one in plain if _fits(one, value)]
        return fitting or plain

    def _plain(self, schema: Schema) -> Iterator[Schema]:
        if "$ref" in schema:
            yield from self._plain(self._definitions[schema["$ref"].rpartition("/")[2]])
        elif "properties" not in schema and ("anyOf" in schema or "oneOf" in schema):
            for one in (*schema.get("anyOf", ()), *schema.get("oneOf", ())):
                yield from self._plain(one)
        else:
            yield schema

    def _children(self, schemas: list[Schema], value: Any) -> dict[str | int, list[Schema]]:
        found: dict[str | int, list[Schema]] = {}
        for schema in schemas:
            for step, below in _below(schema, value):
                found.setdefault(step, []).append(below)
        return found


def _split(text: str) -> KeyPath:
    steps: list[str | int] = []
    for word in text.strip().split("."):
        found = _STEP.findall(word)
        if not found or "".join(name or f"[{index}]" for name, index in found) != word or not found[0][0]:
            problem = "not a key path"
            raise SpecError(problem, met=text, allowed="names with dots between them, list entries as name[0]")
        steps += [name or int(index) for name, index in found]
    return tuple(steps)


def value_at(data: Any, path: KeyPath) -> Any:
    """The value at a path of plain data; None where the spec does not set it."""
    for step in path:
        data = _step_into(data, step)
    return data


def with_value(data: Any, path: KeyPath, value: Any) -> Any:
    """`data` with `value` at `path`: a copy along the path, mappings made where there are none yet.

    >>> with_value({"a": {"b": 1}, "c": [1, 2]}, ("a", "d"), 3)
    {'a': {'b': 1, 'd': 3}, 'c': [1, 2]}
    >>> with_value({"a": 1, "c": [1, 2]}, ("c", 0), 5)
    {'a': 1, 'c': [5, 2]}
    """
    if not path:
        return value
    step, rest = path[0], path[1:]
    changed = with_value(_step_into(data, step), rest, value)
    if isinstance(step, int):
        return [changed if place == step else entry for place, entry in enumerate(data)]
    return {**_mapping(data), step: changed}


def _step_into(value: Any, step: str | int) -> Any:
    if isinstance(step, int):
        return value[step] if isinstance(value, list) and step < len(value) else None
    return _mapping(value).get(step)


def _mapping(value: Any) -> Mapping[str, Any]:
    return value if isinstance(value, dict) else {}


def _below(schema: Schema, value: Any) -> Iterator[tuple[str | int, Schema]]:
    """What a plain schema knows inside a value: keys of a model, entries of a mapping by name, entries of a list."""
    yield from schema.get("properties", {}).items()
    named = [*schema.get("patternProperties", {}).values(), schema.get("additionalProperties")]
    for below in named:
        if isinstance(below, Mapping):
            # Limits are the one mapping whose names are known beforehand.
            known = [name.value for name in LimitName] if schema.get("title") == "Limits" else []
            yield from ((name, below) for name in dict.fromkeys([*_mapping(value), *known]))
    if schema.get("type") == "array" and isinstance(value, list):
        first = schema.get("prefixItems", [])
        for place in range(len(value)):
            below = first[place] if place < len(first) else schema.get("items")
            if isinstance(below, Mapping):
                yield place, below


def _fits(schema: Schema, value: Any) -> bool:
    if isinstance(value, dict):
        known = schema.get("properties")
        if schema.get("type") != "object" or known is None:
            return schema.get("type") == "object"
        return all(key in known and known[key].get("const", one) == one for key, one in value.items())
    return schema.get("type") == "array" if isinstance(value, list) else True


def _is_value(schema: Schema) -> bool:
    return schema.get("type") not in ("object", "array", "null")


def _takes_words(schemas: list[Schema]) -> bool:
    kinds = [one for one in schemas if one.get("type") != "null"]
    return all(one.get("type") == "string" and one.get("pattern") not in _QUANTITIES for one in kinds) and not any(
        one.get("type") in ("number", "integer", "boolean") for one in kinds
    )


def _listed(names: list[str]) -> str:
    most = 20
    more = f" and {len(names) - most} more" if len(names) > most else ""
    return ", ".join(names[:most]) + more
