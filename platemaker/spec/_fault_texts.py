"""The words of a fault: what is wrong, what was met, what is allowed, the nearest valid word."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from platemaker.errors import Location, SpecError, nearest_word
from platemaker.records import Record
from platemaker.spec._schema_path import Schema, SchemaPlace, description, fields_of
from platemaker.spec._yaml import KeyPath, kind_of

_WANTED = {
    "model_type": "a mapping",
    "model_attributes_type": "a mapping",
    "dict_type": "a mapping",
    "mapping_type": "a mapping",
    "tuple_type": "a list",
    "list_type": "a list",
    "float_type": "a number",
    "finite_number": "a finite number",
    "int_type": "a whole number",
    "int_from_float": "a whole number",
    "string_type": "text",
    "bool_type": "true or false",
    "none_required": "nothing",
}
_BOUNDS = {"ge": "at least", "gt": "above", "le": "at most", "lt": "below"}
_KINDS = {
    "model-fields": "a mapping",
    "dict": "a mapping",
    "tuple": "a list",
    "list": "a list",
    "tagged-union": "a mapping",
    "float": "a number",
    "int": "a whole number",
    "str": "text",
    "bool": "true or false",
}


class Fault(Record):
    """One fault of validation at its place in the file: pydantic's kind of error, its input, its context, its text."""

    place: SchemaPlace
    kind: str
    met: Any
    context: Mapping[str, Any]
    text: str

    @property
    def path(self) -> KeyPath:
        """The key path that the message names."""
        path = self.place.path
        if self.kind in {"union_tag_invalid", "union_tag_not_found"} and isinstance(self._discriminator, str):
            return (*path, self._discriminator)
        return path[:-1] if self.is_short_list else path

    @property
    def is_absent(self) -> bool:
        """Whether the path is of a key that the file lacks."""
        return self.kind in {"missing", "union_tag_not_found"} and not self.is_short_list

    @property
    def is_short_list(self) -> bool:
        """Whether an entry of a list of fixed length is missing."""
        return self.kind == "missing" and isinstance(self.place.path[-1], int)

    @property
    def is_echo(self) -> bool:
        """Whether a list is called short only because the faulty entries in it were not counted."""
        return self.kind == "too_short" and len(self.met) >= self.context["min_length"]

    @property
    def is_mismatch(self) -> bool:
        """Whether the value is of another kind than wanted, so that a union's other member may be meant."""
        return self.kind in _WANTED or self.kind in {"literal_error", "enum"}

    @property
    def _discriminator(self) -> Any:
        return self.place.schema.get("discriminator")


def spec_error(fault: Fault, where: Location, nearest_key: str | None = None, home: str | None = None) -> SpecError:
    """The fault in our own words; `nearest_key` is the valid key that an unknown one stands for.

    `home` is the key beside it under which it is known.
    """
    if fault.kind == "value_error":
        return _raised(fault.context["error"], where)
    if fault.kind == "extra_forbidden" and home is not None:
        return SpecError(f"this key goes under `{home}`", where=where)
    if fault.kind == "extra_forbidden":
        return SpecError(
            "unknown key", where=where, allowed=", ".join(fields_of(fault.place.above)), nearest=nearest_key
        )
    problem, met, allowed, nearest = _TEXTS.get(fault.kind, _other)(fault)
    return SpecError(problem, where=where, met=met, allowed=allowed, nearest=nearest)


def describe(schema: Schema) -> str:
    """What a bare schema accepts, in a few words."""
    if schema["type"] == "model-fields":
        required = [key for key, field in fields_of(schema).items() if field["schema"]["type"] != "default"]
        return "{" + ", ".join(required) + "}"
    if schema["type"] == "literal":
        return " or ".join(_shown(word) for word in schema["expected"])
    return _KINDS.get(schema["type"], str(schema["type"]))


def _raised(error: Exception, where: Location) -> SpecError:
    if isinstance(error, SpecError):
        place = error.where or where
        return SpecError(error.problem, where=place, met=error.met, allowed=error.allowed, nearest=error.nearest)
    return SpecError(str(error), where=where)


def _shown(word: Any) -> str:
    return ("true" if word else "false") if isinstance(word, bool) else str(word)


_Words = tuple[str, Any, str, str | None]


def _met(problem: str, value: Any) -> tuple[str, Any]:
    """A scalar is shown as the value met; what is no scalar is shown by its kind."""
    if value is None or not isinstance(value, str | int | float):
        return f"{problem}, met {kind_of(value)}", None
    return problem, f"{value[:57]}..." if isinstance(value, str) and len(value) > 60 else value


def _missing(fault: Fault) -> _Words:
    if fault.is_short_list:
        return _wrong_count(fault)
    return "this key is missing", None, "", None


def _wrong_count(fault: Fault) -> _Words:
    count = len(fault.met) if hasattr(fault.met, "__len__") else fault.context.get("actual_length", 0)
    least, most = fault.context.get("min_length"), fault.context.get("max_length")
    if fault.is_short_list:
        allowed = f"exactly {len(fault.place.above['items_schema'])}"
    elif most is not None and fault.place.schema["type"] == "tuple" and "max_length" not in fault.place.schema:
        allowed = f"exactly {most}"
    else:
        allowed = f"at least {least}" if least is not None else f"at most {most}"
    return f"{count} {'entry' if count == 1 else 'entries'}", None, allowed, None


def _wrong_length(fault: Fault) -> _Words:
    least, most = fault.context.get("min_length"), fault.context.get("max_length")
    allowed = f"at least {least} characters" if least is not None else f"at most {most} characters"
    return (*_met(f"text of {len(fault.met)} characters", fault.met), allowed, None)


def _wrong_form(fault: Fault) -> _Words:
    place = fault.place
    allowed = description(place.schema, place.above, place.path) or f"text of the form {fault.context['pattern']}"
    problem = "a key of a form that is not allowed" if place.is_key else "text of a form that is not allowed"
    return (*_met(problem, fault.met), allowed, None)


def _wrong_word(fault: Fault) -> _Words:
    schema = fault.place.schema
    if schema["type"] == "enum":
        words = [_shown(member.value) for member in schema["members"]]
    else:
        words = [_shown(word) for word in schema.get("expected", ())]
    return _choice("not an allowed value", fault.met, words)


def _choice(problem: str, met: Any, words: list[str]) -> _Words:
    nearest = nearest_word(met, words) if isinstance(met, str) else None
    return (*_met(problem, met), ", ".join(words), nearest)


def _wrong_tag(fault: Fault) -> _Words:
    return _choice("not an allowed value", fault.context["tag"], [str(tag) for tag in fault.place.schema["choices"]])


def _no_tag(fault: Fault) -> _Words:
    return "this key is missing", None, ", ".join(str(tag) for tag in fault.place.schema["choices"]), None


def _out_of_range(fault: Fault) -> _Words:
    bounds = {name: fault.place.schema.get(name, fault.context.get(name)) for name in _BOUNDS}
    allowed = ", ".join(f"{words} {bounds[name]:g}" for name, words in _BOUNDS.items() if bounds[name] is not None)
    return (*_met("out of range", fault.met), allowed, None)


def _wrong_kind(fault: Fault) -> _Words:
    wanted = _WANTED[fault.kind]
    hint = "text in quotes" if wanted == "text" and isinstance(fault.met, int | float) else ""
    return (*_met(f"wanted is {wanted}", fault.met), hint, None)


def _other(fault: Fault) -> _Words:
    """A fault without words of ours, such as one that a model words itself."""
    problem = fault.text[:1].lower() + fault.text[1:]
    if fault.place.schema["type"] != "tagged-union" or not isinstance(fault.met, dict):
        return (*_met(problem, fault.met), "", None)
    tags = [str(tag) for tag in fault.place.schema["choices"]]
    met = [str(key) for key in fault.met]
    close = next((word for key in met if (word := nearest_word(key, tags))), None)
    return (problem if close or not met else f"{problem}; met {', '.join(met)}"), None, "", close


_TEXTS: dict[str, Callable[[Fault], _Words]] = {
    "missing": _missing,
    "too_short": _wrong_count,
    "too_long": _wrong_count,
    "string_too_short": _wrong_length,
    "string_too_long": _wrong_length,
    "string_pattern_mismatch": _wrong_form,
    "literal_error": _wrong_word,
    "enum": _wrong_word,
    "union_tag_invalid": _wrong_tag,
    "union_tag_not_found": _no_tag,
    "greater_than_equal": _out_of_range,
    "greater_than": _out_of_range,
    "less_than_equal": _out_of_range,
    "less_than": _out_of_range,
    **dict.fromkeys(_WANTED, _wrong_kind),
}
