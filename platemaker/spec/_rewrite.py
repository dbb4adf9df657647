"""One value of a YAML file written over, its comments, layout and order of keys kept."""

from __future__ import annotations

import re

import yaml

from platemaker.errors import Location, SpecError
from platemaker.spec._yaml import KeyPath, ReadFile, dotted, loaded_text
from platemaker.spec._yaml_scalars import Scalar, resolve

_PLAIN = re.compile(r"[A-Za-z0-9+-][A-Za-z0-9 ./+-]*")
"""What may stand without quotes anywhere, in a flow mapping too."""
_ANCHOR = re.compile(r"&\S+\s*")


def rewritten(loaded: ReadFile, text: str, *changes: tuple[KeyPath, Scalar]) -> str:
    """`text` of a file with other values at some key paths, in the quotes that stand there; every other letter stays.

    `loaded` is the file as it was read. Raises SpecError where the text says something else by now, where an alias
    brings a value in at a path that is not among them, or where what is written would not read back as these changes.
    """
    if loaded_text(loaded.file, text).data != loaded.data:
        problem = "the file changed meanwhile, so nothing is written"
        raise SpecError(problem, where=Location(loaded.file), allowed="the file as it was checked: ask again")
    root = yaml.compose(text, Loader=yaml.SafeLoader)
    written: dict[tuple[int, int], str] = {}
    wanted: object = loaded.data
    for path, value in changes:
        node = _scalar(root, path, loaded.where(path))
        start, end = _span(text, node)
        written[start, end] = " " * (start == end) + _quoted(value, node)
        wanted = _with(wanted, path, value)
    changed = text
    for (start, end), word in sorted(written.items(), reverse=True):
        changed = changed[:start] + word + changed[end:]
    if loaded_text(loaded.file, changed).data != wanted:
        problem = "the value cannot be changed alone: an alias brings it in elsewhere too"
        raise SpecError(problem, where=loaded.where(changes[0][0]), allowed="a value of its own in place of the alias")
    return changed


def _scalar(node: yaml.Node | None, path: KeyPath, where: Location) -> yaml.ScalarNode:
    for step in path:
        if isinstance(node, yaml.MappingNode):
            node = next((below for key, below in node.value if key.value == step), None)
        elif isinstance(node, yaml.SequenceNode) and isinstance(step, int) and step < len(node.value):
            node = node.value[step]
    if isinstance(node, yaml.ScalarNode):
        return node
    problem = f"no single value stands at {dotted(path)}"
    raise SpecError(problem, where=where)


def _span(text: str, node: yaml.ScalarNode) -> tuple[int, int]:
    """Where a value stands: behind its anchor, and without the ends of lines behind a block of text."""
    start, end = node.start_mark.index, node.end_mark.index
    anchor = _ANCHOR.match(text, start, end)
    start = anchor.end() if anchor else start
    return start, start + len(text[start:end].rstrip())


def _quoted(value: Scalar, node: yaml.ScalarNode) -> str:
    word = str(value).lower() if isinstance(value, bool) else str(value)
    mark = node.style if node.style in ("'", '"') else ""
    if not isinstance(value, str):
        return word
    plain = _PLAIN.fullmatch(word) is not None and resolve(word) == value
    return word if plain and not mark else f"{mark or chr(34)}{word}{mark or chr(34)}"


def _with(data: object, path: KeyPath, value: Scalar) -> object:
    if not path:
        return value
    step, rest = path[0], path[1:]
    if isinstance(data, dict):
        return {key: _with(one, rest, value) if key == step else one for key, one in data.items()}
    if isinstance(data, list):
        return [_with(one, rest, value) if place == step else one for place, one in enumerate(data)]
    return data
