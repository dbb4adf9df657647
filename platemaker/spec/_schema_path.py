"""From the place that validation reports to the key path of the YAML file.

Validation puts the tags of tagged unions, the names of union members and a mark for dictionary keys into its places.
Only the model's own schema keeps them apart from keys (a shape `{circle: 50}` has both a tag and a key `circle`),
so the place is walked along the schema.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any, TypeAlias

from pydantic import BaseModel

from platemaker.records import Record
from platemaker.spec._yaml import KeyPath

# pydantic's core schema is a tree of dictionaries of many shapes.
Schema: TypeAlias = dict[str, Any]

_ANYTHING: Schema = {"type": "any"}
_INNER = {"lax-or-strict": "strict_schema", "json-or-python": "python_schema"}


class Fork(Record):
    """A union on the way without a tag: where it stands, the member that was tried, what the model says of it."""

    path: KeyPath
    member: str
    schema: Schema
    words: str


class SchemaPlace(Record):
    """The key path, the schemas of the value and of what holds it, the forks on the way, and whether the key failed."""

    path: KeyPath
    schema: Schema
    above: Schema
    forks: tuple[Fork, ...] = ()
    is_key: bool = False


class SchemaPaths:
    """Walks the places of one model's faults."""

    def __init__(self, model: type[BaseModel]) -> None:
        self._root: Schema = dict(model.__pydantic_core_schema__)
        self._definitions = {one["ref"]: one for one in self._root.get("definitions", ())}

    def place(self, location: Sequence[str | int]) -> SchemaPlace:
        """Where a fault that validation puts at `location` stands in the file."""
        schema, above = self.bare(self._root), _ANYTHING
        path: KeyPath = ()
        forks: list[Fork] = []
        for step in location:
            if step == "[key]" and above["type"] == "dict":
                keys = self.bare(above.get("keys_schema", _ANYTHING))
                return SchemaPlace(path, keys, above, tuple(forks), is_key=True)
            if schema["type"] == "tagged-union":
                schema = self._tagged(schema, step)
            elif schema["type"] == "union":
                words = description(schema, above, path)
                schema = self._member(schema, str(step))
                forks.append(Fork(path, str(step), schema, words))
            else:
                above, schema, path = schema, self._child(schema, step), (*path, step)
        return SchemaPlace(path, schema, above, tuple(forks))

    def bare(self, schema: Schema) -> Schema:
        """`schema` without its wrappers: defaults, optionality, validators, references."""
        while True:
            if schema["type"] == "definition-ref":
                schema = self._definitions[schema["schema_ref"]]
            elif schema["type"] == "chain":
                schema = schema["steps"][-1]
            elif (inner := _INNER.get(schema["type"], "schema")) in schema:
                schema = schema[inner]
            else:
                return schema

    def _tagged(self, schema: Schema, tag: str | int) -> Schema:
        return self.bare(schema["choices"].get(tag, _ANYTHING))

    def _member(self, schema: Schema, label: str) -> Schema:
        # A label is the member's own name, perhaps within that of its validators: `function-after[check(), Circle]`.
        # A list is labelled with what it holds, `tuple[str, ...]`: the name that comes first is the member's.
        choices = [one[0] if isinstance(one, tuple) else one for one in schema["choices"]]
        places = [re.search(rf"\b{re.escape(self._name(choice))}\b", label) for choice in choices]
        found = [(place.start(), self.bare(choice)) for place, choice in zip(places, choices, strict=True) if place]
        return min(found, key=lambda one: one[0])[1] if found else _ANYTHING

    def _name(self, schema: Schema) -> str:
        while schema["type"] not in {"model", "definition-ref"} and "schema" in schema:
            schema = schema["schema"]
        if schema["type"] == "definition-ref":
            return self._name(self._definitions[schema["schema_ref"]])
        return str(schema["cls"].__name__ if schema["type"] == "model" else schema["type"])

    def _child(self, schema: Schema, step: str | int) -> Schema:
        kind = schema["type"]
        if kind == "model-fields":
            return self.bare(fields_of(schema).get(str(step), _ANYTHING))
        if kind == "tuple" and isinstance(step, int):
            return self.bare(_entry(schema, step))
        if kind in {"list", "set", "frozenset"}:
            return self.bare(schema.get("items_schema", _ANYTHING))
        return self.bare(schema.get("values_schema", _ANYTHING)) if kind == "dict" else _ANYTHING


def _entry(schema: Schema, index: int) -> Schema:
    items: list[Schema] = schema["items_schema"]
    if schema.get("variadic_item_index") is not None:
        return items[min(index, len(items) - 1)]
    return items[index] if index < len(items) else _ANYTHING


def description(schema: Schema, above: Schema, path: KeyPath) -> str:
    """What the model says about a value; of a field, that stands with the field. Empty where it says nothing."""
    schemas = (schema, fields_of(above).get(str(path[-1]), {}) if path else {})
    texts = (one.get("metadata", {}).get("pydantic_js_updates", {}).get("description") for one in schemas)
    return next((str(text) for text in texts if text), "")


def fields_of(schema: Schema) -> dict[str, Schema]:
    """The fields of a bare model schema by the keys that a file gives them; empty for what is not a model."""
    if schema["type"] != "model-fields":
        return {}
    return {str(field.get("validation_alias", name)): field for name, field in schema["fields"].items()}
