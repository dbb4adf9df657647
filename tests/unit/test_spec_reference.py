"""The reference of keys: every key has its line, unit, range and default; schema, docs and `keys` say the same."""

from __future__ import annotations

import runpy
import xml.etree.ElementTree as ET

import pytest

from platemaker.errors import SpecError
from platemaker.spec import json_schema, look_up, meaning, models, reference, texts
from tests.cli_runner import run
from tests.package_tree import ROOT

OWN_WORDS = {"UsualModel"}
"""Its keys come from the catalog of usual sizes, and bring their words along."""


def rule(word: str) -> str:
    (_, (key,)), *_ = look_up(word)
    return key.rule


def test_every_key_has_its_line() -> None:
    silent = [
        f"{section.model}.{key.name}"
        for section in reference()
        for key in section.keys
        if section.model not in OWN_WORDS and not meaning(models()[section.model], key.name)
    ]
    assert silent == []


def test_no_line_is_left_over() -> None:
    """A line belongs to the model that declares the key, under the key that a file gives."""
    stray = []
    for name, lines in texts().items():
        model = models().get(name)
        keys = {one.alias or field for field, one in model.model_fields.items()} if model else set()
        inherited = {key for base in (model.__mro__[1:] if model else ()) for key in texts().get(base.__name__, ())}
        stray += [f"{name}.{key}" for key, line in lines.items() if key not in keys]
        stray += [
            f"{name}.{key} twice" for key in lines if key in inherited and lines[key] == meaning(model, key) == ""
        ]
    assert stray == []


def test_lines_are_one_plain_sentence_or_two() -> None:
    odd = [f"{name}.{key}" for name, lines in texts().items() for key, line in lines.items() if not proper(line)]
    assert odd == []


def proper(line: str) -> bool:
    return line[0].isupper() and line.endswith(".") and len(line) <= 130 and "\n" not in line


@pytest.mark.parametrize(
    ("word", "stated"),
    [
        ("gasket.land", "a length, above 0 mm, at most 10 m; required"),
        ("opening.mouth_radius", "a length, from 0 mm, at most 10 m; default 0"),  # not negative, unlike a coordinate
        ("boss_row.angle", "an angle, from 15 deg, at most 90 deg; default 45 deg"),
        ("air.inlet_temperature", "a temperature with its unit, above 0 K, at most 2000 K; default 298.15 K"),
        ("pattern.count", "a whole number, from 1, at most 500; required"),
        ("bolts.head", "socket or hex or stud; default socket"),
        ("gasket.factor", "a number, from 0, at most 20; optional"),
        ("shim.squares", "true or false; default false"),
    ],
)
def test_ranges_and_defaults_are_those_of_the_models(word: str, stated: str) -> None:
    """The numbers are typed again here from the models' own annotations."""
    assert rule(word) == stated


def test_the_schema_shows_the_reference() -> None:
    schema = json_schema()
    assert schema["$defs"]["GasketModel"]["properties"]["land"]["description"] == (
        "Least width of sealing face round the opening. A length, above 0 mm, at most 10 m."
    )
    silent = [
        f"{name}.{key}"
        for name, one in schema["$defs"].items()
        for key, below in one.get("properties", {}).items()
        if "description" not in below
    ]
    assert silent == []
    assert "default" not in schema["$defs"]["DowelsModel"]["properties"]["play"], (
        "0.02 mm is not 0.02 of a project in inches"
    )


def test_a_section_and_a_kind_are_found_whole() -> None:
    (gasket_key, (key,)), (gasket, keys) = look_up("gasket")
    assert (gasket_key.title, key.name) == ("joints.NAME", "gasket")
    assert (gasket.title, len(keys)) == ("joints.NAME.gasket", 8)
    ((bracket, keys),) = look_up("bracket")
    assert bracket.title == "parts.NAME (bracket)"
    assert {"legs", "bends", "material"} <= {key.name for key in keys}


def test_a_typing_error_is_met_with_the_nearest_word() -> None:
    with pytest.raises(SpecError, match="no key of the spec is called 'thicknes'") as refused:
        look_up("thicknes")
    assert refused.value.nearest == "thickness"


def test_the_command_prints_an_entry() -> None:
    answer = run("keys", "gasket.land")
    assert (answer.code, answer.err) == (0, "")
    assert answer.out.splitlines()[:3] == [
        "joints.NAME.gasket",
        "  land: Least width of sealing face round the opening.",
        "    a length, above 0 mm, at most 10 m; required",
    ]
    assert max(map(len, answer.out.splitlines()[:3])) <= 100


def test_the_command_lists_every_key() -> None:
    answer = run("keys")
    words = set(answer.out.replace(",", " ").replace(":", " ").split())
    assert {key.name for section in reference() for key in section.keys} <= words


def test_the_command_refuses_an_unknown_word() -> None:
    answer = run("keys", "gasket.lend")
    assert (answer.code, answer.out) == (2, "")
    assert "did you mean 'land'?" in answer.err


def test_the_page_is_fresh_and_shows_each_kind() -> None:
    """Written by `docs/build_spec.py`."""
    script = runpy.run_path(str(ROOT / "docs" / "build_spec.py"))
    assert (ROOT / "docs" / "spec.md").read_text(encoding="utf-8") == script["page"]()
    shown = {one.section for one in script["PICTURES"]}
    kinds = {"Plate", "DrainPlate", "BossRow", "Rail", "Bracket"}
    patterns = {name for name in models() if name.endswith("Pattern")}
    cuts = {"MatchOpening", "OpenOutOpening", "ShapeOpening", "OpenOutPocket", "ShapePocket", "Relief", "Slot"}
    assert kinds | patterns | cuts | {"PlateHole", "BoreModel", "MarkModel", "SealModel"} <= shown
    for name, drawn in script["pictures"]().items():
        ET.fromstring(drawn)
        assert (ROOT / "docs" / "pictures" / name).read_text(encoding="utf-8") == drawn, "run docs/build_spec.py"
