"""The YAML reader: values by YAML 1.2, the line of each, and every refusal in its exact words."""

import os
from pathlib import Path

import pytest
import yaml

from platemaker.errors import SpecError
from platemaker.spec import _yaml
from platemaker.spec._yaml import LARGEST_FILE, dotted, load_yaml


@pytest.fixture(autouse=True, params=["CSafeLoader", "SafeLoader"])
def parser(request, monkeypatch):
    """Both parsers of the library: the one in C is not in every wheel."""
    monkeypatch.setattr(_yaml, "_Loader", getattr(yaml, request.param))


@pytest.fixture
def write(tmp_path):
    def write(text: str | bytes) -> Path:
        path = tmp_path / "project.yaml"
        path.write_bytes(text if isinstance(text, bytes) else text.encode())
        return path

    return write


# YAML 1.2.2, section 10.3.2, and its worked example 10.9: `null, 0, 0o7, 0x3A, -19, true, 0., -0.0, .5, +12e03, -2E+05`
@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("no", "no"),
        ("on", "on"),
        ("yes", "yes"),
        ("12:30", "12:30"),
        ("2001-12-14", "2001-12-14"),
        ("1_000", "1_000"),
        ("0b1", "0b1"),
        ("3/16 in", "3/16 in"),
        ('"8"', "8"),
        ("'true'", "true"),
        ("010", 10),
        ("0o7", 7),
        ("0o10", 8),
        ("0x3A", 58),
        ("-19", -19),
        ("0.", 0.0),
        (".5", 0.5),
        ("+12e03", 12000.0),
        ("-2E+05", -200000.0),
        ("1e-3", 0.001),
        ("true", True),
        ("FALSE", False),
        ("null", None),
        ("~", None),
        ("", None),
        ("[1, [2, x]]", [1, [2, "x"]]),
        ("{a: 1}", {"a": 1}),
        ("|\n  two\n  lines\n", "two\nlines\n"),
    ],
)
def test_values(write, text, value):
    read = load_yaml(write(f"value: {text}\n")).data["value"]
    assert read == value
    assert type(read) is type(value)


SPEC = """\
# a comment
project: pump
parts:
  lid:
    thickness: 12
    holes:
      - at: [1, 2]
        diameter: 5

      - at: [3, 4]
  base: {thickness: 6,
         name: x}
"""


@pytest.mark.parametrize(
    ("path", "line"),
    [
        ((), 2),
        (("project",), 2),
        (("parts", "lid"), 4),
        (("parts", "lid", "thickness"), 5),
        (("parts", "lid", "holes", 0), 7),
        (("parts", "lid", "holes", 0, "diameter"), 8),
        (("parts", "lid", "holes", 1, "at", 1), 10),
        (("parts", "base", "name"), 12),
        (("parts", "base", "nothing", "here"), 11),
        (("parts", "lid", "holes", 7), 6),
    ],
)
def test_lines(write, path, line):
    assert load_yaml(write(SPEC)).lines.line_of(path) == line


def test_where(write):
    place = load_yaml(write(SPEC)).where(("parts", "lid", "holes", 1, "at"))
    assert str(place) == "project.yaml:10: parts.lid.holes[1].at"
    assert dotted(()) == ""


def test_alias_is_read_at_its_anchor(write):
    loaded = load_yaml(write("a: &size\n  w: 3\nb: *size\n"))
    assert loaded.data == {"a": {"w": 3}, "b": {"w": 3}}
    assert loaded.lines.line_of(("b",)) == 3
    assert loaded.lines.line_of(("b", "w")) == 2


FINITE = "allowed: a finite number, or text in quotes"
BOMB = "a0: &a0 [x, x, x, x, x, x, x, x, x, x]\n" + "".join(
    f"a{n}: &a{n} [{', '.join([f'*a{n - 1}'] * 10)}]\n" for n in range(1, 9)
)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", "project.yaml: the file is empty; allowed: a mapping of keys to values"),
        ("# only a comment\n", "project.yaml: the file is empty; allowed: a mapping of keys to values"),
        ("---\n", "project.yaml: the file is empty; allowed: a mapping of keys to values"),
        ("- 1\n", "project.yaml:1: the top of the file is a list; allowed: a mapping of keys"),
        ("plate\n", "project.yaml:1: the top of the file is text; allowed: a mapping of keys"),
        ("a: 1\n\tb: 2\n", "project.yaml:2: a tab in the indentation; allowed: spaces"),
        ("a:\n\tb: 2\n", "project.yaml:2: a tab in the indentation; allowed: spaces"),
        ("a: 1\nb: 2\na: 3\n", "project.yaml:3: key 'a' is repeated, first on line 1; allowed: each key once"),
        ("p: {a: 91,89}\n", "project.yaml:1: 91,89 has a decimal comma; allowed: 91.89, with a point"),
        ("p: {a: 3,62 in}\n", "project.yaml:1: 3,62 in has a decimal comma; allowed: 3.62 in, with a point"),
        ("p: {a: 1, a: 2}\n", "project.yaml:1: key 'a' is repeated, first on line 1; allowed: each key once"),
        ("8: x\n", "project.yaml:1: key 8 is a number; allowed: text as a key, in quotes if need be"),
        ("true: x\n", "project.yaml:1: key true is true or false; allowed: text as a key, in quotes if need be"),
        ("~: x\n", "project.yaml:1: key ~ is nothing; allowed: text as a key, in quotes if need be"),
        ('"": x\n', "project.yaml:1: an empty key; allowed: text as a key"),
        ("[1]: x\n", "project.yaml:1: a key that is not one word; allowed: text as a key"),
        ("a: &a x\n*a : 1\n", "project.yaml:2: a key that is not one word; allowed: text as a key"),
        (
            "a: &a {x: 1}\nb: {<<: *a}\n",
            "project.yaml:2: a merge key '<<', which YAML 1.2 does not have; allowed: an alias for a whole value",
        ),
        ("a: !!int 3\n", "project.yaml:1: a tag 'tag:yaml.org,2002:int'; allowed: values without tags"),
        ("a: !thing {b: 1}\n", "project.yaml:1: a tag '!thing'; allowed: values without tags"),
        ("a: 1\n---\nb: 2\n", "project.yaml:2: a second document starts; allowed: one document in a file"),
        (
            "a: &a [*a]\n",
            "project.yaml:1: alias '*a' stands within its own anchor; allowed: an alias of another value",
        ),
        ("a: &size 1\nb: *siz\n", "project.yaml:2: alias '*siz' has no anchor before it; did you mean 'size'?"),
        ("a: &x 1\nb: &x 2\n", "project.yaml:2: anchor '&x' is set a second time; allowed: each anchor once"),
        (
            "a: &x 1\nb: [" + ", ".join(["*x"] * 201) + "]\n",
            "project.yaml:2: too many aliases; allowed: at most 200",
        ),
        (
            BOMB,
            "project.yaml:5: too many values once the aliases are written out; allowed: at most 100000",
        ),
        ("a: " + "[" * 60 + "]" * 60, "project.yaml:1: nested too deeply; allowed: at most 40 levels"),
        (
            "a: .inf\n",
            "project.yaml:1: a: not a finite number, met '.inf'; allowed: a finite number, or text in quotes",
        ),
        (
            "a: .NaN\n",
            "project.yaml:1: a: not a finite number, met '.NaN'; allowed: a finite number, or text in quotes",
        ),
        (
            "a: 1e999\n",
            "project.yaml:1: a: a number too large, met '1e999'; allowed: a finite number, or text in quotes",
        ),
        (
            f"a: {'9' * 41}\n",
            f"project.yaml:1: a: a number of more than 40 characters, met '{'9' * 40}'; {FINITE}",
        ),
        (b"a: 1\nb: caf\xe9\n", "project.yaml:2: byte 0xe9 is not UTF-8; allowed: text in UTF-8"),
        (
            b"\xef\xbb\xbfa: 1\n",
            "project.yaml:1: the file starts with a byte order mark; allowed: UTF-8 without one",
        ),
        (
            "a: 1\n".encode("utf-16"),
            "project.yaml:1: the file starts with a byte order mark; allowed: UTF-8 without one",
        ),
        ("a: 1\nb: \x07\n", "project.yaml:2: a control character U+0007; allowed: text"),
        ("#" * (LARGEST_FILE + 1), "project.yaml: the file is too large; allowed: at most 1000000 bytes"),
    ],
    ids=lambda value: repr(value[:24]),
)
def test_refusals(write, text, message):
    with pytest.raises(SpecError) as caught:
        load_yaml(write(text))
    assert str(caught.value) == message


@pytest.mark.parametrize(
    "text", ["a: [1, 2\nb: 3\n", "a: b: c\n", "a: 'open\n", "%BAD\n", "{a: 1}}\n", "a: 1\n b: 2\n"]
)
def test_not_yaml(write, text):
    with pytest.raises(SpecError, match=r"^project\.yaml:\d+: not YAML: \w+"):
        load_yaml(write(text))


def test_a_directory(tmp_path):
    with pytest.raises(SpecError) as caught:
        load_yaml(tmp_path)
    assert str(caught.value) == f"{tmp_path.name}: a directory; allowed: a YAML file"


def test_a_missing_file(write, tmp_path):
    write("a: 1\n")
    with pytest.raises(SpecError, match=r"^projct\.yaml: no such file; did you mean 'project\.yaml'\?$"):
        load_yaml(tmp_path / "projct.yaml")
    with pytest.raises(SpecError, match=r"^project\.yaml: no such file$"):
        load_yaml(tmp_path / "nowhere" / "project.yaml")


def test_not_a_plain_file(tmp_path):
    os.mkfifo(tmp_path / "project.yaml")
    with pytest.raises(SpecError, match=r"^project\.yaml: not a plain file; allowed: a YAML file$"):
        load_yaml(tmp_path / "project.yaml")


def test_a_file_that_may_not_be_read(write, monkeypatch):
    path = write("a: 1\n")

    def refuse(*_args, **_options):
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "open", refuse)
    with pytest.raises(SpecError, match=r"^project\.yaml: cannot be read: Permission denied$"):
        load_yaml(path)


def test_a_link_that_leads_nowhere_is_said_to_be_one(tmp_path: Path) -> None:
    (tmp_path / "project.yaml").symlink_to(tmp_path / "moved.yaml")
    with pytest.raises(SpecError, match=r"^project\.yaml: a link to .*moved\.yaml, which is not there$"):
        load_yaml(tmp_path / "project.yaml")
