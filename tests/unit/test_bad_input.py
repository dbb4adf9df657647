"""Bad input gets one clear line a fault and exit code 2; nothing is written and nothing is lost.

Each row edits one good spec. The messages are exact: a beginner reads them, so a change of words is seen here.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path

import pytest

from platemaker.catalog import materials
from platemaker.spec import json_schema
from tests.cli_runner import Answer, run

GOOD = """\
project: lid
units: mm
bodies:
  box:
    material: A356-T6
    joints:
      rim: {face: above, holes: tapped, thread_depth: 16}
joints:
  rim:
    bolts: {pattern: {rectangle: [80, 60]}, thread: M6, length: 16}
    opening: {circle: 40}
parts:
  lid:
    kind: plate
    material: 6061-T6
    thickness: 12
    outline: {rectangle: [110, 90], corner_radius: 8}
    below:
      rim: {holes: counterbored}
    opening: {match: rim}
    pockets:
      recess: {shape: {circle: 16, at: [38, 0]}, depth: 4, side: above}
    holes:
      vent: {at: [-42, 0], diameter: 5}
"""
SCHEMA = json_schema()


def keys_of(model: str) -> str:
    """The keys of a model as a message lists them. They grow with the spec; the words round them do not."""
    return ", ".join(SCHEMA["$defs"][model]["properties"])


METRIC = (
    "M3, M4, M5, M6, M8, M10, M12, M14, M16, M18, M20, M22, M24, M8x1, M10x1.25, M10x1, M12x1.5, M12x1.25, M14x1.5, "
    "M16x1.5, M18x1.5, M20x1.5, M22x1.5, M24x2"
)
METALS = ", ".join(one.name for one in materials() if one.elastic_modulus)
KINDS = "plate, drain_plate, boss_row, rail, bracket"
NAME = "A letter, then letters, digits or _; at most 40, ASCII only: it becomes a file's name."
INSIDE = "cuts that lie inside the outline; a notch belongs to the outline itself"


@dataclass(frozen=True)
class Row:
    """What is done to the good spec, and the lines that it must answer."""

    name: str
    stated: tuple[str, ...]
    edits: tuple[tuple[str, str], ...] = ()
    whole: bytes | None = None
    beside: dict[str, str] = field(default_factory=dict)


def edited(name: str, old: str, new: str, *stated: str) -> Row:
    """A row with one edit."""
    return Row(name, stated, ((old, new),))


def whole(name: str, content: str | bytes, *stated: str) -> Row:
    """A row whose project.yaml is something else altogether."""
    return Row(name, stated, whole=content if isinstance(content, bytes) else content.encode())


WORDS = [
    edited(
        "unknown key of a part", "thickness: 12", "thicknes: 12",
        f"project.yaml:16: parts.lid.thicknes: unknown key; allowed: {keys_of('Plate')}; did you mean 'thickness'?",
    ),
    edited(
        "unknown key of a joint", "length: 16", "lenght: 16",
        f"project.yaml:10: joints.rim.bolts.lenght: unknown key; allowed: {keys_of('BoltsModel')}; "
        "did you mean 'length'?",
    ),
    edited(
        "unknown key at the top", "bodies:", "bodys:",
        f"project.yaml:3: bodys: unknown key; allowed: {', '.join(SCHEMA['properties'])}; did you mean 'bodies'?",
    ),
    edited(
        "misspelt joint on a face", "      rim: {holes: counterbored}", "      rimm: {holes: counterbored}",
        "project.yaml:19: parts.lid.below.rimm: no joint is called 'rimm', met 'rimm'; allowed: rim; "
        "did you mean 'rim'?",
    ),
    edited(
        "misspelt joint of an opening", "match: rim", "match: rin",
        "project.yaml:20: parts.lid.opening.match: no joint is called 'rin', met 'rin'; allowed: rim; "
        "did you mean 'rim'?",
    ),
    edited(
        "misspelt joint of a body", "      rim: {face", "      rym: {face",
        "project.yaml:7: bodies.box.joints.rym: no joint is called 'rym', met 'rym'; allowed: rim; "
        "did you mean 'rim'?",
    ),
    edited(
        "thread of no table", "thread: M6", "thread: M66",
        f"project.yaml:10: joints.rim.bolts.thread: no thread 'M66' in the catalog; allowed: {METRIC}; "
        "did you mean 'M24'?",
    ),
    edited(
        "thread without its letter", "thread: M6", "thread: 6",
        "project.yaml:10: joints.rim.bolts.thread: wanted is text, met 6; allowed: text in quotes",
    ),
    edited(
        "unknown kind", "kind: plate", "kind: plat",
        f"project.yaml:14: parts.lid.kind: not an allowed value, met 'plat'; allowed: {KINDS}; "
        "did you mean 'plate'?",
    ),
    edited(
        "no kind", "    kind: plate\n", "",
        f"project.yaml:13: parts.lid.kind: this key is missing; allowed: {KINDS}",
    ),
    edited("missing key", "    thickness: 12\n", "", "project.yaml:13: parts.lid.thickness: this key is missing"),
    edited(
        "misspelt role", "holes: counterbored", "holes: counterbore",
        "project.yaml:19: parts.lid.below.rim.holes: not an allowed value, met 'counterbore'; "
        "allowed: clear, tapped, counterbored, none; did you mean 'counterbored'?",
    ),
    edited(
        "misspelt shape", "rectangle: [110, 90], corner_radius: 8", "rectangel: [110, 90]",
        "project.yaml:17: parts.lid.outline: needs one of these keys: around, circle, rectangle, slot, loop; "
        "did you mean 'rectangle'?",
    ),
    edited(
        "unlike any shape", "rectangle: [110, 90], corner_radius: 8", "size: [110, 90]",
        "project.yaml:17: parts.lid.outline: needs one of these keys: around, circle, rectangle, slot, loop; met size",
    ),
    edited(
        "key one level too high", "opening: {circle: 40}", "opening: {circle: 40}\n    o_ring: AS568-226",
        "project.yaml:12: joints.rim.o_ring: this key goes under `seal`",
    ),
    edited(
        "unknown unit", "units: mm", "units: cm",
        "project.yaml:2: units: not an allowed value, met 'cm'; allowed: mm, in",
    ),
]  # fmt: skip

VALUES = [
    edited(
        "pressure without a unit", "units: mm", "units: mm\ndesign: {boost: 0.8}",
        "project.yaml:3: design.boost: 0.8 is not a pressure: missing unit; "
        "allowed: MPa, Pa, kPa, GPa, bar, mbar, psi, ksi, inH2O",
    ),
    edited(
        "unit of another kind", "thickness: 12", "thickness: 12 bar",
        "project.yaml:16: parts.lid.thickness: '12 bar' is not a length: 'bar' is a unit of pressure, not of length; "
        "allowed: mm, um, cm, m, in, ft, thou",
    ),
    edited(
        "negative size", "thickness: 12", "thickness: -12",
        "project.yaml:16: parts.lid.thickness: -12 is out of range for a length; allowed: above 0 mm, at most 10 m",
    ),
    edited(
        "no size", "thickness: 12", "thickness: 0",
        "project.yaml:16: parts.lid.thickness: 0 is out of range for a length; allowed: above 0 mm, at most 10 m",
    ),
    edited(
        "absurd size", "thickness: 12", "thickness: 12 m",
        "project.yaml:16: parts.lid.thickness: '12 m' is out of range for a length; allowed: above 0 mm, at most 10 m",
    ),
    edited(
        "words for a number", "thickness: 12", "thickness: twelve",
        "project.yaml:16: parts.lid.thickness: 'twelve' is not a length: wanted is a number with a unit, "
        "such as 6.35 mm, 1-1/4 in",
    ),
    edited(
        "a list for a number", "thickness: 12", "thickness: [12]",
        "project.yaml:16: parts.lid.thickness: [12] is not a length: wanted is a number with a unit, "
        "such as 6.35 mm, 1-1/4 in",
    ),
    edited(
        "one size of two", "rectangle: [110, 90]", "rectangle: [110]",
        "project.yaml:17: parts.lid.outline.rectangle: 1 entry; allowed: exactly 2",
    ),
    edited(
        "a hole without a size", "at: [-42, 0], diameter: 5", "at: [-42, 0]",
        "project.yaml:24: parts.lid.holes.vent: a hole has exactly one of diameter, clear, tapped, counterbored, countersunk, insert, pipe_thread, port",
    ),
    edited(
        "two faults at once",
        "thickness: 12\n    outline: {rectangle: [110, 90]",
        "thickness: -1\n    outline: {rectangle: [0, 90]",
        "project.yaml:16: parts.lid.thickness: -1 is out of range for a length; allowed: above 0 mm, at most 10 m",
        "project.yaml:17: parts.lid.outline.rectangle[0]: 0 is out of range for a length; "
        "allowed: above 0 mm, at most 10 m",
    ),
]  # fmt: skip

SHAPES = [
    edited(
        "opening larger than the plate", "circle: 40", "circle: 200",
        f"project.yaml:20: parts.lid.opening: opening is larger than lid; allowed: {INSIDE}",
    ),
    edited(
        "hole off the plate", "at: [-42, 0]", "at: [-80, 0]",
        f"project.yaml:24: parts.lid.holes.vent: vent lies off lid; allowed: {INSIDE}",
    ),
    edited(
        "hole inside the opening", "at: [-42, 0]", "at: [10, 5]",
        "project.yaml:24: parts.lid.holes.vent: vent of lid takes nothing away: it lies inside opening; "
        "allowed: cuts that each take something away",
    ),
    edited(
        "hole that touches a pocket", "at: [-42, 0]", "at: [27.5, 0]",
        "project.yaml:24: parts.lid.holes.vent: vent and recess of lid touch and leave a wall of no thickness; "
        "allowed: cuts that stand apart, or that overlap",
    ),
    edited(
        "outline like a bow tie", "{rectangle: [110, 90], corner_radius: 8}",
        "{loop: [[-55, -45], [55, 45], [55, -45], [-55, 45]]}",
        "project.yaml:17: parts.lid.outline: an outline crosses or touches itself at (0.000, 0.000); "
        "allowed: corners in their order round an outline that keeps clear of itself",
    ),
    edited(
        "outline with a spike", "{rectangle: [110, 90], corner_radius: 8}",
        "{loop: [[-55, -45], [55, -45], [70, -45], [55, -45], [55, 45], [-55, 45]]}",
        "project.yaml:17: parts.lid.outline: an outline crosses or touches itself at (55.000, -45.000); "
        "allowed: corners in their order round an outline that keeps clear of itself",
    ),
    edited(
        "outline with a corner twice", "{rectangle: [110, 90], corner_radius: 8}",
        "{loop: [[-55, -45], [55, -45], [55, -45], [55, 45], [-55, 45]]}",
        "project.yaml:17: parts.lid.outline: two corners of one outline lie at (55, -45); allowed: each corner once",
    ),
    edited(
        "hole narrower than any drill", "diameter: 5", "diameter: 0.0005",
        "project.yaml:24: parts.lid.holes.vent: the diameter of vent is only 0.0005 mm; allowed: 0.001 mm or more",
    ),
    edited(
        "corner radius larger than the plate", "corner_radius: 8", "corner_radius: 60",
        "project.yaml:17: parts.lid.outline: corner radius 60 mm at (-55, -45) does not fit: the side to (55, -45) "
        "is 110 mm and its corners take 120 mm",
    ),
    edited(
        "pocket deeper than the plate", "depth: 4", "depth: 14",
        "project.yaml:22: parts.lid.pockets.recess.depth: pocket is deeper than the plate, met '14 mm'; "
        "allowed: less than the thickness, 12 mm",
    ),
    edited(
        "relief deeper than the plate", "holes:\n      vent: {at: [-42, 0], diameter: 5}",
        "reliefs:\n      stud: {at: [-42, 0], diameter: 5, depth: 12.5}",
        "project.yaml:24: parts.lid.reliefs.stud.depth: relief is deeper than the plate, met '12.5 mm'; "
        "allowed: less than the thickness, 12 mm",
    ),
    edited(
        "counterbore deeper than the plate", "thickness: 12", "thickness: 6",
        "project.yaml:19: parts.lid.below.rim: counterbore for M6 is 6.4 mm deep, the plate only 6 mm; "
        "allowed: a plate thicker than 6.4 mm, or holes: clear",
    ),
    edited(
        "thread deeper than the plate", "holes: counterbored", "holes: tapped, thread_depth: 21",
        "project.yaml:19: parts.lid.below.rim: thread of 21 mm is deeper than the plate, 12 mm; allowed: up to 12 mm",
    ),
    edited(
        "thread without room for its drill", "holes: counterbored", "holes: tapped, thread_depth: 11",
        "project.yaml:19: parts.lid.below.rim: thread of 11 mm needs a drilled hole of 14 mm (3 pitches deeper), "
        "the plate is 12 mm; allowed: a thread up to 9.00 mm, or through",
    ),
    edited(
        "hole deeper than the plate", "diameter: 5", "diameter: 5, depth: 13",
        "project.yaml:24: parts.lid.holes.vent: hole of 13 mm is deeper than the material, 12 mm; "
        "allowed: up to 12 mm, or no depth for a through hole",
    ),
    edited(
        "unknown material", "6061-T6", "6061-T66",
        f"project.yaml:15: parts.lid.material: no metal '6061-T66' in the catalog; allowed: {METALS}; "
        "did you mean '6061-T6'?",
    ),
    edited(
        "joint unused", "  rim:\n    bolts", "  spare:\n    spots: {row: [0, 10]}\n  rim:\n    bolts",
        "project.yaml:9: joints.spare: joint 'spare' is not used; "
        "allowed: a joint that a body or a part refers to",
    ),
    edited(
        "two owners on one side of a joint", "face: above", "face: below",
        "project.yaml:19: parts.lid.below.rim: 'lid' and 'box' both have joint 'rim' on the face below; "
        "allowed: one owner on either side of a joint",
    ),
]  # fmt: skip

NAMES = [
    edited("repeated key", "    thickness: 12\n", "    thickness: 12\n    thickness: 13\n",
        "project.yaml:17: key 'thickness' is repeated, first on line 16; allowed: each key once"),
    Row("part in two files",
        ("more.yaml:2: parts.lid: 'lid' is declared twice in `parts`, first in project.yaml:13",),
        beside={"more.yaml": "parts:\n  lid: {kind: plate}\n"}),
    Row("part called as a file of the package",
        ("more.yaml:2: parts.Stack: 'Stack' and the project's own stack file would be one file name; "
         "allowed: names that differ",),
        beside={"more.yaml": "parts:\n  Stack: {kind: plate, material: S235, thickness: 3, outline: {circle: 20}}\n"}),
    Row("part called as another's drawing",
        ("more.yaml:2: parts.LID_drawing: 'LID_drawing' and 'lid_drawing' would be one file name; "
         "allowed: names that differ",),
        beside={"more.yaml": "parts:\n  LID_drawing: {kind: plate, material: S235, thickness: 3, outline: {circle: 20}}\n"}),
    Row("part called as a body",
        ("more.yaml:2: parts.box: 'box' is a body too; allowed: a name that no body has",),
        beside={"more.yaml": "parts:\n  box: {kind: plate, material: S235, thickness: 3, outline: {circle: 20}}\n"}),
    edited("plate of a gasket's sheet", "material: 6061-T6", "material: paper gasket",
        f"project.yaml:15: parts.lid.material: no metal 'paper gasket' in the catalog; allowed: {METALS}"),
    edited("body of a gasket's sheet", "material: A356-T6", "material: PTFE",
        f"project.yaml:5: bodies.box.material: no metal 'PTFE' in the catalog; allowed: {METALS}"),
    edited("kept clear off the plate", "recess: {shape: {circle: 16, at: [38, 0]}, depth: 4, side: above}",
        "recess: {open_out: true, wall: 3, land: 3, cutter: 6, depth: 4, keep_clear: {isle: {circle: 9, at: [0, 200]}}}",
        "project.yaml:22: parts.lid.pockets.recess: recess: what `isle` keeps clear lies outside; "
        "allowed: shapes that lie, at least in part, inside the outline"),
    Row("part called as a device",
        ("more.yaml:2: parts.con: Windows writes no file called 'con'; allowed: another name",),
        beside={"more.yaml": "parts:\n  con: {kind: plate, material: S235, thickness: 3, outline: {circle: 20}}\n"}),
    Row("names that differ by case alone",
        ("more.yaml:2: parts.LID: 'LID' and 'lid' would be one file name; allowed: names that differ",),
        beside={"more.yaml": "parts:\n  LID: {kind: plate, material: A36, thickness: 5, outline: {circle: 50}}\n"}),
    edited("name with a dash", "  lid:\n    kind", "  my-lid:\n    kind",
        f"project.yaml:13: parts.my-lid: a key of a form that is not allowed, met 'my-lid'; allowed: {NAME}"),
    edited("non-ASCII name", "  lid:\n    kind", "  Grundträger:\n    kind",
        f"project.yaml:13: parts.Grundträger: a key of a form that is not allowed, met 'Grundträger'; allowed: {NAME}"),
    edited("name that leads out of the folder", "project: lid", "project: ../lid",
        f"project.yaml:1: project: text of a form that is not allowed, met '../lid'; allowed: {NAME}"),
    edited("part's name that leads out of the folder", "  lid:\n    kind", "  ../lid:\n    kind",
        f"project.yaml:13: parts.../lid: a key of a form that is not allowed, met '../lid'; allowed: {NAME}"),
    Row("unknown key in a further file",
        (
            "more.yaml:1: part: unknown key 'part'; allowed: bodies, joints, parts "
            "(the other keys stand in project.yaml); did you mean 'parts'?",
        ),
        beside={"more.yaml": "part:\n  x: 1\n"}),
    Row("a first-article sheet beside the spec",
        (
            "lid_first_article.yaml:2: measures: a first-article sheet, no file of the spec; allowed: it in another "
            "folder, for `check --as-built`",
        ),
        beside={"lid_first_article.yaml": "part: lid\nmeasures:\n- {id: thickness, reads: 12.01}\n"}),
    Row("readings without their ending",
        (
            "rim.yaml:2: readings: readings of a survey, no file of the spec; allowed: a name that ends in "
            ".readings.yaml",
        ),
        beside={"rim.yaml": "survey: rim\nreadings:\n- {outside: [a, b], reads: 90}\n"}),
]  # fmt: skip

FILES = [
    whole("empty file", "", "project.yaml: the file is empty; allowed: a mapping of keys to values"),
    whole("comment alone", "# later\n", "project.yaml: the file is empty; allowed: a mapping of keys to values"),
    whole("words", "two plates please", "project.yaml:1: the top of the file is text; allowed: a mapping of keys"),
    whole("a list", "- lid\n", "project.yaml:1: the top of the file is a list; allowed: a mapping of keys"),
    whole("a picture", b"\x89PNG\r\n\x1a\n\0\0", "project.yaml:1: byte 0x89 is not UTF-8; allowed: text in UTF-8"),
    whole(
        "two documents", "project: a\n---\nproject: b\n",
        "project.yaml:2: a second document starts; allowed: one document in a file",
    ),
    edited("a tab", "  lid:\n    kind", "  lid:\n\tkind", "project.yaml:14: a tab in the indentation; allowed: spaces"),
    edited(
        "open bracket", "depth: 16}", "depth: 16",
        "project.yaml:8: not YAML: a comma or a closing } is missing, here or just before",
    ),
    edited(
        "circular reference", "{match: rim}", "&self {match: *self}",
        "project.yaml:20: alias '*self' stands within its own anchor; allowed: an alias of another value",
    ),
    edited(
        "not a number", "thickness: 12", "thickness: .nan",
        "project.yaml:16: parts.lid.thickness: not a finite number, met '.nan'; allowed: a finite number, or text in "
        "quotes",
    ),
]  # fmt: skip

ROWS = [*WORDS, *VALUES, *SHAPES, *NAMES, *FILES]


def project(folder: Path, row: Row | None = None) -> Path:
    """The good spec, or what a row makes of it, as a project folder."""
    text = GOOD
    for old, new in row.edits if row else ():
        assert text.count(old) == 1, f"{old!r} must stand in the good spec exactly once"
        text = text.replace(old, new)
    folder.mkdir()
    content = row.whole if row and row.whole is not None else text.encode()
    (folder / "project.yaml").write_bytes(content)
    for name, more in (row.beside if row else {}).items():
        (folder / name).write_text(more, encoding="utf-8")
    return folder


def build(folder: Path) -> Answer:
    return run("build", folder, "--out", folder.parent / "exports")


def test_the_good_spec_is_good(tmp_path: Path) -> None:
    answer = run("check", project(tmp_path / "lid"))
    assert (answer.code, answer.err) == (0, ""), answer.out


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row.name)
def test_bad_spec_is_told_in_exact_words(tmp_path: Path, row: Row) -> None:
    folder = project(tmp_path / "lid", row)
    before = {path: path.read_bytes() for path in folder.iterdir()}
    answer = build(folder)
    assert answer.err.splitlines() == list(row.stated)
    assert (answer.code, answer.out) == (2, "")
    assert {path: path.read_bytes() for path in folder.iterdir()} == before
    assert list(tmp_path.iterdir()) == [folder], "something was written"


def test_rows_have_names_of_their_own() -> None:
    assert len({row.name for row in ROWS}) == len(ROWS)


def test_no_such_folder(tmp_path: Path) -> None:
    project(tmp_path / "lid")
    answer = build(tmp_path / "lit")
    assert (answer.code, answer.err) == (2, "lit: no such project folder; did you mean 'lid'?\n")


def test_a_file_instead_of_a_folder(tmp_path: Path) -> None:
    answer = build(project(tmp_path / "lid") / "project.yaml")
    assert answer.code == 2
    assert answer.err == "project.yaml: a file, not a project folder; allowed: a folder with a project.yaml\n"


def test_a_folder_without_a_project(tmp_path: Path) -> None:
    (tmp_path / "lid").mkdir()
    answer = build(tmp_path / "lid")
    assert answer.code == 2
    assert answer.err == "lid: the folder has no project.yaml; allowed: a folder with a project.yaml\n"


def test_a_folder_instead_of_the_file(tmp_path: Path) -> None:
    (tmp_path / "lid" / "project.yaml").mkdir(parents=True)
    answer = build(tmp_path / "lid")
    assert answer.code == 2
    assert answer.err == "project.yaml: a directory; allowed: a YAML file\n"


def test_unknown_part_for_only(tmp_path: Path) -> None:
    answer = run("check", project(tmp_path / "lid"), "--only", "lit")
    assert (answer.code, answer.out) == (2, "")
    assert answer.err == "no part is called 'lit'; allowed: lid; did you mean 'lid'?\n"
