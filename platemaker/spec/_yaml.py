"""Safe reading of YAML, with the line of every value kept.

A spec is one document of mappings, lists, text, numbers, true/false and null by the core schema of YAML 1.2. Refused,
each with file and line: repeated keys, keys that are not text, tags, merge keys, aliases without end, several
documents.

The values are built from the library's events, because its nodes no longer show whether a tag was written.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any, NamedTuple, TypeAlias

import yaml

from platemaker.errors import Location, SpecError, nearest_word
from platemaker.records import Record, kept_with
from platemaker.spec._yaml_scalars import resolve

KeyPath: TypeAlias = tuple[str | int, ...]
# The library types an event without the fields of its kinds.
_Event: TypeAlias = Any

LARGEST_FILE = 1_000_000
"""Bytes; a hundred plates with twenty holes each take some ninety thousand."""
MOST_VALUES = 100_000
MOST_ALIASES = 200
DEEPEST_NESTING = 40

_DECIMALS = re.compile(r"[0-9]+ *(mm|cm|in|deg)$")

# Usual wheels of the library bring the parser in C, several times faster than the plain one; both give the same events.
_Loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


class _YamlNode(NamedTuple):
    """A value with the line where it stands, and how many values it holds once its aliases are written out."""

    value: Any
    line: int
    size: int = 1
    children: Mapping[str | int, Any] = {}
    key_lines: Mapping[str | int, int] = {}


class LineNumbers(Record):
    """The lines of a file's values."""

    root: _YamlNode

    def line_of(self, path: KeyPath) -> int:
        """The line, from 1, of the key (or list entry) at `path`; where there is none, of its nearest parent.

        What an alias brings in stands where its anchor is.
        """
        node, line = self.root, self.root.line
        for step in path:
            if step not in node.children:
                break
            line = node.key_lines[step]
            node = node.children[step]
        return line

    def shared(self, path: KeyPath) -> tuple[KeyPath, ...]:
        """All key paths of what is written at `path`: itself, and those where an alias brings it in."""
        return kept_with(self, "places", lambda: dict(_shared(self.root))).get(path, (path,))


def _shared(root: _YamlNode) -> Iterator[tuple[KeyPath, tuple[KeyPath, ...]]]:
    """Every key path with all those of the same node."""
    paths: dict[int, list[KeyPath]] = {}
    left: list[tuple[KeyPath, _YamlNode]] = [((), root)]
    while left:
        path, node = left.pop()
        paths.setdefault(id(node), []).append(path)
        left += [((*path, step), below) for step, below in reversed([*node.children.items()])]
    for ones in paths.values():
        yield from dict.fromkeys(ones, tuple(ones)).items()


class ReadFile(Record):
    """A file as read: plain data (dicts, lists, text, numbers, true/false, None) and the line of every value."""

    file: Path
    data: dict[str, Any]
    lines: LineNumbers

    def where(self, path: KeyPath = ()) -> Location:
        """The place of a key path, ready for a SpecError."""
        return Location(self.file, self.lines.line_of(path), dotted(path))


def dotted(path: KeyPath) -> str:
    """A key path as it is shown.

    >>> dotted(("parts", "lid", "reliefs", 0, "depth"))
    'parts.lid.reliefs[0].depth'
    """
    text = ""
    for step in path:
        text += f"[{step}]" if isinstance(step, int) else f".{step}" if text else step
    return text


def load_yaml(path: Path) -> ReadFile:
    """The file at `path`, whose top must be a mapping. Raises SpecError with file, line and what is allowed."""
    return loaded_text(path, read_text(path))


def loaded_text(path: Path, text: str) -> ReadFile:
    """What `text` says as the file at `path`. Raises SpecError as `load_yaml` does."""
    root = _Builder(path, _events(path, text)).document()
    return ReadFile(path, root.value, LineNumbers(root))


def _fault(path: Path, line: int | None, problem: str, allowed: str = "", **more: Any) -> SpecError:
    return SpecError(problem, where=Location(path, line), allowed=allowed, **more)


def read_text(path: Path) -> str:
    """The text of a file, its ends of lines as they are. Raises SpecError where it is none."""
    if path.is_dir():
        raise _fault(path, None, "a directory", "a YAML file")
    if path.is_symlink() and not path.exists():
        raise _fault(path, None, f"a link to {path.readlink()}, which is not there")
    if not path.exists():
        beside = (one.name for one in path.parent.iterdir()) if path.parent.is_dir() else ()
        raise _fault(path, None, "no such file", nearest=nearest_word(path.name, beside))
    if not path.is_file():
        raise _fault(path, None, "not a plain file", "a YAML file")
    try:
        with path.open("rb") as stream:
            raw = stream.read(LARGEST_FILE + 1)
    except OSError as fault:
        raise _fault(path, None, f"cannot be read: {fault.strerror}") from fault
    if len(raw) > LARGEST_FILE:
        raise _fault(path, None, "the file is too large", f"at most {LARGEST_FILE} bytes")
    return _decode(path, raw)


def _decode(path: Path, raw: bytes) -> str:
    if raw.startswith((b"\xef\xbb\xbf", b"\xff\xfe", b"\xfe\xff")):
        raise _fault(path, 1, "the file starts with a byte order mark", "UTF-8 without one")
    try:
        return raw.decode("utf-8")
    except UnicodeDecodeError as fault:
        line = raw.count(b"\n", 0, fault.start) + 1
        raise _fault(path, line, f"byte 0x{raw[fault.start]:02x} is not UTF-8", "text in UTF-8") from fault


_IN_WORDS = {
    "did not find expected key": "this line is not in line with those above, or a quote or bracket there is open",
    "did not find expected '-' indicator": "this line is not in line with the list above it",
    "did not find expected ',' or '}'": "a comma or a closing } is missing, here or just before",
    "did not find expected ',' or ']'": "a comma or a closing ] is missing, here or just before",
    "could not find expected ':'": "a colon is missing after a key, here or just before",
    "mapping values are not allowed in this context": "a colon too many, or a line that is indented too far",
    "found unexpected end of stream": "a quote or bracket is not closed before the file ends",
    "did not find expected node content": "a value is missing, or a comma or bracket stands in its place",
}
"""What the YAML library says, in words for who wrote the file."""


def _events(path: Path, text: str) -> Iterator[_Event]:
    try:
        loader = _Loader(text)
        try:
            while True:
                event = loader.get_event()
                yield event
                if isinstance(event, yaml.StreamEndEvent):
                    return
        finally:
            loader.dispose()
    except yaml.MarkedYAMLError as fault:
        mark = fault.problem_mark or fault.context_mark
        index = mark.line if mark else 0
        line = dict(enumerate(text.splitlines())).get(index, "")
        indentation = line[: len(line) - len(line.lstrip())]
        if "\t" in indentation:
            raise _fault(path, index + 1, "a tab in the indentation", "spaces") from fault
        problem = fault.problem or fault.context or ""
        raise _fault(path, index + 1, f"not YAML: {_IN_WORDS.get(problem, problem)}") from fault
    except yaml.reader.ReaderError as fault:
        line_number = text.count("\n", 0, fault.position) + 1
        raise _fault(path, line_number, f"a control character U+{ord(text[fault.position]):04X}", "text") from fault


class _Builder:
    """Builds the value of one document from the events of the YAML library."""

    def __init__(self, path: Path, events: Iterator[_Event]) -> None:
        self._path = path
        self._events = events
        self._anchors: dict[str, _YamlNode | None] = {}
        self._aliases = 0
        self._keys: list[str | int] = []

    def document(self) -> _YamlNode:
        """The only document; its top is a mapping."""
        self._next(yaml.StreamStartEvent)
        if isinstance(next(self._events), yaml.StreamEndEvent):
            raise _fault(self._path, None, "the file is empty", "a mapping of keys to values")
        root = self._node(next(self._events), 0)
        self._next(yaml.DocumentEndEvent)
        after = next(self._events)
        if not isinstance(after, yaml.StreamEndEvent):
            raise self._at(after, "a second document starts", "one document in a file")
        if root.value is None:
            raise _fault(self._path, None, "the file is empty", "a mapping of keys to values")
        if not isinstance(root.value, dict):
            raise _fault(self._path, root.line, f"the top of the file is {kind_of(root.value)}", "a mapping of keys")
        return root

    def _next(self, kind: type[yaml.Event]) -> None:
        event = next(self._events)
        if not isinstance(event, kind):
            raise self._at(event, "not one YAML document")

    def _at(self, event: _Event, problem: str, allowed: str = "", **more: Any) -> SpecError:
        return _fault(self._path, event.start_mark.line + 1, problem, allowed, **more)

    def _node(self, event: _Event, depth: int) -> _YamlNode:
        if isinstance(event, yaml.AliasEvent):
            return self._alias(event)
        if event.tag is not None:
            raise self._at(event, f"a tag '{event.tag}'", "values without tags")
        if depth > DEEPEST_NESTING:
            raise self._at(event, "nested too deeply", f"at most {DEEPEST_NESTING} levels")
        if event.anchor in self._anchors:
            raise self._at(event, f"anchor '&{event.anchor}' is set a second time", "each anchor once")
        if event.anchor is not None:
            self._anchors[event.anchor] = None
        if isinstance(event, yaml.ScalarEvent):
            node = self._scalar(event)
        elif isinstance(event, yaml.SequenceStartEvent):
            node = self._sequence(event, depth)
        else:
            node = self._mapping(event, depth)
        if node.size > MOST_VALUES:
            raise self._at(event, "too many values once the aliases are written out", f"at most {MOST_VALUES}")
        if event.anchor is not None:
            self._anchors[event.anchor] = node
        return node

    def _alias(self, event: _Event) -> _YamlNode:
        self._aliases += 1
        if self._aliases > MOST_ALIASES:
            raise self._at(event, "too many aliases", f"at most {MOST_ALIASES}")
        if event.anchor not in self._anchors:
            nearest = nearest_word(event.anchor, self._anchors)
            raise self._at(event, f"alias '*{event.anchor}' has no anchor before it", nearest=nearest)
        node = self._anchors[event.anchor]
        if node is None:
            raise self._at(event, f"alias '*{event.anchor}' stands within its own anchor", "an alias of another value")
        return node

    def _scalar(self, event: _Event) -> _YamlNode:
        line = event.start_mark.line + 1
        plain = event.style is None or event.style == ""
        if not plain:
            return _YamlNode(event.value, line)
        try:
            return _YamlNode(resolve(event.value), line)
        except ValueError as fault:
            where = Location(self._path, line, dotted(tuple(self._keys)))
            allowed = "a finite number, or text in quotes"
            raise SpecError(str(fault), where=where, met=event.value[:40], allowed=allowed) from None

    def _child(self, key: str | int, event: _Event, depth: int) -> _YamlNode:
        """A value below the one that is being read, with its key on the path."""
        self._keys.append(key)
        node = self._node(event, depth)
        self._keys.pop()
        return node

    def _sequence(self, event: _Event, depth: int) -> _YamlNode:
        children: dict[str | int, _YamlNode] = {}
        while not isinstance(item := next(self._events), yaml.SequenceEndEvent):
            children[len(children)] = self._child(len(children), item, depth + 1)
        value = [child.value for child in children.values()]
        lines = {index: child.line for index, child in children.items()}
        return self._collection(event, value, children, lines)

    def _mapping(self, event: _Event, depth: int) -> _YamlNode:
        children: dict[str | int, _YamlNode] = {}
        lines: dict[str | int, int] = {}
        while not isinstance(item := next(self._events), yaml.MappingEndEvent):
            before = next(reversed(children.values())).value if children else None
            key = self._key(item, depth, before)
            if key in children:
                raise self._at(item, f"key '{key}' is repeated, first on line {lines[key]}", "each key once")
            lines[key] = item.start_mark.line + 1
            children[key] = self._child(key, next(self._events), depth + 1)
        return self._collection(event, {key: child.value for key, child in children.items()}, children, lines)

    def _key(self, event: _Event, depth: int, before: object) -> str:
        """The text of a key; `before` is the value that stands before it in its mapping."""
        if isinstance(event, yaml.ScalarEvent) and event.value == "<<" and event.style in (None, ""):
            raise self._at(event, "a merge key '<<', which YAML 1.2 does not have", "an alias for a whole value")
        if not isinstance(event, yaml.ScalarEvent):
            raise self._at(event, "a key that is not one word", "text as a key")
        key = self._node(event, depth).value
        decimals = isinstance(key, int) or (isinstance(key, str) and _DECIMALS.match(key))
        if decimals and isinstance(before, int) and not isinstance(before, bool):
            # {reads: 91,89} is a key with the value 91 and a key 89 without one.
            raise self._at(
                event, f"{before},{event.value} has a decimal comma", f"{before}.{event.value}, with a point"
            )
        if not isinstance(key, str):
            raise self._at(
                event, f"key {event.value or 'null'} is {kind_of(key)}", "text as a key, in quotes if need be"
            )
        if not key:
            raise self._at(event, "an empty key", "text as a key")
        return key

    def _collection(
        self, event: _Event, value: Any, children: dict[str | int, _YamlNode], lines: dict[str | int, int]
    ) -> _YamlNode:
        size = 1 + sum(child.size for child in children.values())
        return _YamlNode(value, event.start_mark.line + 1, size, children, lines)


def kind_of(value: object) -> str:
    """What a value read from YAML is, in the words of a message.

    >>> kind_of(True), kind_of([]), kind_of(None)
    ('true or false', 'a list', 'nothing')
    """
    if value is None:
        return "nothing"
    kinds = ((bool, "true or false"), (int | float, "a number"), (str, "text"), (dict, "a mapping"), (list, "a list"))
    return next((words for kind, words in kinds if isinstance(value, kind)), type(value).__name__)
