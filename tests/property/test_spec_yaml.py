"""The YAML reader against another reader, and against noise.

JSON is a subset of YAML 1.2 (YAML 1.2.2, section 1.2), so Python's own json module says what must be read.
"""

import json
import tempfile
from pathlib import Path

import yaml
from hypothesis import example, given
from hypothesis import strategies as st

from platemaker.errors import SpecError
from platemaker.spec._yaml import load_yaml

# Only what YAML calls printable (5.1); a pair of surrogates is one character to both readers.
printable = st.characters(codec="utf-8", categories=("L", "M", "N", "P", "S", "Zs"))
texts = st.text(printable, max_size=12)
keys = st.text(printable, min_size=1, max_size=12)
scalars = st.none() | st.booleans() | st.integers(-(10**30), 10**30) | st.floats(-1e100, 1e100) | texts
values = st.recursive(scalars, lambda inner: st.lists(inner, max_size=4) | st.dictionaries(keys, inner, max_size=4))


def read(content: bytes):
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "spec.yaml"
        path.write_bytes(content)
        return load_yaml(path)


@given(st.dictionaries(keys, values, max_size=4), st.sampled_from([None, 1, 2]))
def test_json_is_read_as_json(data, indent):
    text = json.dumps(data, indent=indent, ensure_ascii=False)
    assert read(text.encode()).data == json.loads(text)


def marked(depth: int):
    inner = st.just(0) if depth == 0 else marked(depth - 1)
    return st.lists(inner, max_size=3)


def with_names(shape, names):
    """A tree of mappings of the given shape, every key of which is another number's name."""
    if not isinstance(shape, list):
        return 1
    return {f"k{next(names)}": with_names(one, names) for one in shape}


def paths_of(tree, path=()):
    for key, value in tree.items():
        yield (*path, key)
        if isinstance(value, dict):
            yield from paths_of(value, (*path, key))


@given(marked(4), st.sampled_from(["json", "yaml"]))
def test_lines_are_where_the_keys_are(shape, form):
    tree = {"top": with_names(shape, iter(range(10**6)))}
    text = json.dumps(tree, indent=1) if form == "json" else yaml.safe_dump(tree, default_flow_style=False)
    lines = read(text.encode()).lines
    for path in paths_of(tree):
        words = [line.strip().split(":")[0].strip('"') for line in text.splitlines()]
        assert lines.line_of(path) == words.index(path[-1]) + 1


bits = st.sampled_from(
    ["a", "k: ", "- ", "\n", "  ", "\t", "[", "]", "{", "}", "&x ", "*x", "!!int ", "<<", "|", "'", '"', "---\n"]
)


@given(st.lists(bits, max_size=20).map("".join).map(str.encode) | st.binary(max_size=40))
@example(b"a: &x [*x]")
@example(b"? [a]\n: b")
@example(b"--- a\n...\n...\n")
@example(b"a: \xc2\x85b")
@example(b"\x00")
def test_noise_is_read_or_refused_with_its_place(content):
    try:
        loaded = read(content)
    except SpecError as fault:
        assert fault.where is not None
        assert fault.where.file.name == "spec.yaml"
        assert fault.where.line is None or 1 <= fault.where.line <= content.count(b"\n") + content.count(b"\r") + 3
    else:
        assert isinstance(loaded.data, dict)
