"""The reference of keys: what each means, what it takes, its range and default. For the schema, docs and `keys`."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Collection, Iterator, Mapping
from functools import cache
from importlib import resources
from typing import Any, TypeAlias, get_args

import yaml
from pydantic import BaseModel
from pydantic.fields import FieldInfo

from platemaker.errors import SpecError, nearest_word
from platemaker.records import Record, field, replace
from platemaker.spec._base import SpecModel
from platemaker.spec._project import ProjectModel
from platemaker.spec._quantities import Quantity
from platemaker.units import Dimension

# A JSON Schema is a tree of dictionaries of many shapes.
Schema: TypeAlias = dict[str, Any]

ROOT = "project.yaml"
_FIRST = ("parts", "joints", "bodies", "stack", "design", "belt", "limits", "drawing")
"""What is walked first names the place of shapes and the like that stand in many."""
_UNITS = {
    Dimension.LENGTH: "mm",
    Dimension.ANGLE: "deg",
    Dimension.PRESSURE: "MPa",
    Dimension.TEMPERATURE: "K",
    Dimension.FORCE: "N",
    Dimension.SPEED: "rpm",
    Dimension.POWER: "kW",
}
_BOUNDS = {"ge": "from", "gt": "above", "le": "at most", "lt": "below"}
_MOST_LISTED = 12


class KeyEntry(Record):
    """One key: what it means, what it takes with unit and range, and its default as it would be written, or nothing."""

    name: str
    text: str
    takes: str
    default: str
    required: bool

    @property
    def rule(self) -> str:
        """What it takes, and what holds without it."""
        left_out = "required" if self.required else f"default {self.default}" if self.default else "optional"
        return f"{self.takes}; {left_out}"


class KeySection(Record):
    """The keys that stand together at `places`, such as `joints.NAME.gasket`; `label` is the form, of several."""

    model: str
    label: str
    about: str
    keys: tuple[KeyEntry, ...]
    places: list[str] = field(default_factory=list)

    @property
    def title(self) -> str:
        """The first place, with the form where a place has several."""
        return f"{self.places[0]} ({self.label})" if self.label else self.places[0]


@cache
def texts() -> Mapping[str, Mapping[str, str]]:
    """What each key means, by the model that declares it."""
    source = resources.files("platemaker.spec").joinpath("data", "keys.yaml").read_text(encoding="utf-8")
    loaded: Mapping[str, Mapping[str, str]] = yaml.safe_load(source)
    return loaded


def meaning(model: type[BaseModel], key: str) -> str:
    """What a key of a model means, in one line; nothing where no text is given."""
    lines = texts()
    return next((lines[one.__name__][key] for one in model.__mro__ if key in lines.get(one.__name__, ())), "")


def models() -> dict[str, type[SpecModel]]:
    """Every model of a spec by its name."""
    found: dict[str, type[SpecModel]] = {}
    waiting: list[type[SpecModel]] = [SpecModel]
    while waiting:
        for model in waiting.pop().__subclasses__():
            found[model.__name__] = model
            waiting.append(model)
    return found


def explain(schema: Schema) -> None:
    """Put into a schema of the models what each key means, what it takes and its default, for editors to show."""
    known = models()
    for name, one in [("ProjectModel", schema), *schema["$defs"].items()]:
        for key, below in one.get("properties", {}).items():
            if text := meaning(known[name], key):
                entry = _key(known[name], key, below, one.get("required", ()), schema["$defs"])
                below["description"] = f"{text} {entry.takes[:1].upper()}{entry.takes[1:]}."
                below["description"] += f" Default {entry.default}." if entry.default else ""
                if _quantity(_field(known[name], key)) and below.get("default"):
                    del below["default"]  # in the unit used inside, which need not be the project's


@cache
def reference() -> tuple[KeySection, ...]:
    """All sections of a spec, from the project's own keys inwards."""
    schema = ProjectModel.model_json_schema(by_alias=True)
    found: dict[str, KeySection] = {}
    _walk(schema, {"ProjectModel": schema, **schema["$defs"]}, "ProjectModel", ROOT, found)
    shared = Counter(place for one in found.values() for place in one.places)
    return tuple(
        one if any(shared[place] > 1 for place in one.places) else replace(one, label="") for one in found.values()
    )


def look_up(word: str) -> tuple[tuple[KeySection, tuple[KeyEntry, ...]], ...]:
    """The sections that a word or a path such as `gasket.land` names, each with the keys meant.

    Raises SpecError, with the nearest word, for one that no key, section or form has.
    """
    *above, last = word.strip().split(".")
    found = []
    for section in reference():
        steps = {step.rstrip("[]") for place in section.places for step in place.split(".")} | {section.label}
        if not set(above) <= steps:
            continue
        ends = {place.rpartition(".")[2].rstrip("[]") for place in section.places}
        ends |= {place.split(".")[-2] for place in section.places if place.endswith(".NAME")}
        whole = last in (ends | {section.label}) - {""}
        keys = section.keys if whole else tuple(key for key in section.keys if key.name == last)
        if keys:
            found.append((section, keys))
    if not found:
        known = {key.name for section in reference() for key in section.keys}
        problem = f"no key of the spec is called '{word}'"
        raise SpecError(problem, nearest=nearest_word(last, sorted(known)), allowed="`platemaker keys` lists them all")
    return tuple(found)


def _walk(
    schema: Schema, definitions: Mapping[str, Schema], name: str, place: str, found: dict[str, KeySection]
) -> None:
    if name in found:
        if place not in found[name].places:
            found[name].places.append(place)
        return
    model, own = models()[name], definitions[name]
    required = own.get("required", ())
    keys = [_key(model, key, below, required, definitions) for key, below in own["properties"].items()]
    about = " ".join((model.__doc__ or "").split())
    found[name] = KeySection(name, _label(own), about, tuple(keys), [place])
    inside = "" if place == ROOT else f"{place}."
    for key in sorted(own["properties"], key=lambda one: _FIRST.index(one) if one in _FIRST and not inside else 99):
        for target, path in _targets(own["properties"][key], f"{inside}{key}"):
            _walk(schema, definitions, target, path, found)


def _targets(schema: Schema, path: str) -> Iterator[tuple[str, str]]:
    """The models that a value may follow, each with its path."""
    if "$ref" in schema:
        yield _name(schema), path
    for one in (*schema.get("anyOf", ()), *schema.get("oneOf", ())):
        yield from _targets(one, path)
    for one in (schema.get("additionalProperties"), *schema.get("patternProperties", {}).values()):
        if isinstance(one, dict):
            yield from _targets(one, f"{path}.NAME")
    for one in (schema.get("items"), *schema.get("prefixItems", ())):
        if isinstance(one, dict):
            yield from _targets(one, f"{path}[]")


def _name(schema: Schema) -> str:
    return str(schema["$ref"].rpartition("/")[2])


def _label(definition: Schema) -> str:
    """The word by which a form is known: its kind, or the key that it must have."""
    properties = definition["properties"]
    kind = properties.get("kind", {}).get("const")
    wanted = [key for key in definition.get("required", ()) if key not in ("at", "depth", "leg")]
    return str(kind or next(iter(wanted), "in a leg" if "leg" in properties else ""))


def _key(
    model: type[SpecModel], key: str, schema: Schema, required: Collection[str], definitions: Mapping[str, Schema]
) -> KeyEntry:
    one = _field(model, key)
    text = meaning(model, key) or str(schema.get("description", ""))
    return KeyEntry(key, text, _narrowed(one) or _takes(schema, definitions), _default(one), key in required)


def _field(model: type[SpecModel], key: str) -> FieldInfo:
    return next(one for name, one in model.model_fields.items() if (one.alias or name) == key)


def _default(one: FieldInfo) -> str:
    """The default as a spec would state it; nothing where there is none or it says nothing."""
    value, quantity = one.default, _quantity(one)
    if one.is_required() or value is None or value in ((), "") or isinstance(value, BaseModel) or one.default_factory:
        return ""
    if isinstance(value, bool | str):
        return json.dumps(value) if isinstance(value, bool) else value
    if isinstance(value, tuple):
        return json.dumps([int(number) if number == int(number) else number for number in value])
    return f"{value:g} {_UNITS[quantity.dimension]}" if quantity and value else f"{value:g}"


def _quantity(one: Any) -> Quantity | None:
    """The quantity that a field or a part of its type reads."""
    if isinstance(one, FieldInfo):
        inside = [*one.metadata, one.annotation]
    else:
        inside = [*getattr(one, "__metadata__", ()), *get_args(one)]
    for entry in inside:
        if isinstance(entry, Quantity):
            return entry
        if (found := _quantity(entry)) is not None:
            return found
    return None


def _narrowed(one: FieldInfo) -> str:
    """A quantity whose field sets bounds of its own, with those; nothing for another field."""
    inside = [
        *one.metadata,
        *(entry for part in get_args(one.annotation) for entry in getattr(part, "__metadata__", ())),
    ]
    inside += [entry for part in inside for entry in getattr(part, "metadata", ())]
    bounds = [
        (kind, value) for kind in _BOUNDS for entry in inside if (value := getattr(entry, kind, None)) is not None
    ]
    quantity = next((entry for entry in inside if isinstance(entry, Quantity)), None)
    if quantity is None or not bounds:
        return ""
    unit = _UNITS[quantity.dimension]
    stated = [f"{_BOUNDS[kind]} {value:g} {unit}" for kind, value in bounds]
    if not any(kind in ("le", "lt") for kind, _ in bounds):
        stated.append(f"at most {quantity.most}")
    return f"{quantity.dimension.phrase}, {', '.join(stated)}"


def _takes(schema: Schema, definitions: Mapping[str, Schema]) -> str:
    """What a value may be, in words."""
    forms = [one for one in (*schema.get("anyOf", ()), *schema.get("oneOf", ())) if one.get("type") != "null"]
    if "$ref" in schema:
        return "keys " + _listed(list(definitions[_name(schema)]["properties"]))
    if forms and all("$ref" in one for one in forms) and len(forms) > 1:
        return "one of " + _listed([_label(definitions[_name(one)]) for one in forms])
    if "enum" in schema or "const" in schema:
        return " or ".join(json.dumps(one).strip('"') for one in schema.get("enum", [schema.get("const")]))
    if stated := str(schema.get("description", "")):
        if schema.get("type") == "array":
            if stated.startswith("["):
                return stated.partition(" of a usual")[0]
        elif not forms or "pattern" in forms[-1]:
            return _lower(stated.rstrip("."))
    if forms:
        return " or ".join(dict.fromkeys(_takes(one, definitions) for one in forms))
    return _takes_plain(schema, definitions)


def _takes_plain(schema: Schema, definitions: Mapping[str, Schema]) -> str:
    kind = schema.get("type")
    if kind == "array":
        first = schema.get("prefixItems")
        if first:
            one = _takes(first[0], definitions)
            return f"a list of {len(first)}, each {one}"
        return f"a list, each {_takes(schema.get('items', {}), definitions)}"
    if kind == "object":
        below = next(iter(schema.get("patternProperties", {}).values()), schema.get("additionalProperties"))
        return f"names, each with {_takes(below, definitions)}" if isinstance(below, dict) else "keys"
    if kind == "boolean":
        return "true or false"
    if kind in ("number", "integer"):
        return ("a whole number" if kind == "integer" else "a number") + _range(schema)
    return "text"


def _range(schema: Schema) -> str:
    words = {"exclusiveMinimum": "above", "minimum": "from", "exclusiveMaximum": "below", "maximum": "at most"}
    stated = [f"{word} {schema[key]:g}" for key, word in words.items() if key in schema]
    steps = f", in steps of {schema['multipleOf']:g}" if "multipleOf" in schema else ""
    return (", " + ", ".join(stated) if stated else "") + steps


def _lower(stated: str) -> str:
    """A description to follow a colon: names are long to describe, and examples say that they are examples."""
    if stated.startswith("A letter, then"):
        return "a name"
    if any(one.isdigit() for one in stated.partition(",")[0]) and not stated.startswith("A "):
        return f"such as {stated}"
    return stated[:1].lower() + stated[1:]


def _listed(names: list[str]) -> str:
    return ", ".join(names[:_MOST_LISTED]) + (", ..." if len(names) > _MOST_LISTED else "")
