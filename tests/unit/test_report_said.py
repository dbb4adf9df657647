"""Sentences of findings: every one has its template, with the gaps that are filled, and inches stand behind lengths."""

from __future__ import annotations

import ast
import string
from collections.abc import Iterator
from pathlib import Path

import pytest

import platemaker
from platemaker.project import load
from platemaker.report import worded
from platemaker.report._said import given_words
from platemaker.report._templates import TEMPLATES
from platemaker.units import NamedQuantity, joined, said

PACKAGE = Path(platemaker.__file__).parent
TREES = {path: ast.parse(path.read_text(encoding="utf-8")) for path in sorted(PACKAGE.rglob("*.py"))}


def sentences() -> Iterator[tuple[str, frozenset[str]]]:
    """Every name that a call of `said` spells out, with the gaps that it fills."""
    for tree in TREES.values():
        for call in ast.walk(tree):
            if isinstance(call, ast.Call) and isinstance(call.func, ast.Name) and call.func.id == "said" and call.args:
                first = call.args[0]
                names = (first.body, first.orelse) if isinstance(first, ast.IfExp) else (first,)
                gaps = frozenset(word.arg for word in call.keywords if word.arg)
                yield from ((name.value, gaps) for name in names if isinstance(name, ast.Constant))


def gaps_of(template: str) -> set[str]:
    return {name for _, name, _, _ in string.Formatter().parse(template) if name}


def test_every_sentence_has_its_template_and_fills_its_gaps() -> None:
    found = [(name, gaps) for name, gaps in sentences() if name in TEMPLATES]
    assert len(found) > 100
    for name, gaps in found:
        assert gaps_of(TEMPLATES[name]) == gaps, name
    assert {name for name, _ in sentences()} <= TEMPLATES.keys()


def test_every_template_is_used() -> None:
    words = {
        node.value
        for path, tree in TREES.items()
        if path.name != "_templates.py"
        for node in ast.walk(tree)
        if isinstance(node, ast.Constant) and isinstance(node.value, str)
    }
    assert set(TEMPLATES) <= words


@pytest.mark.parametrize(
    ("name", "gaps", "metric", "inch"),
    [
        # 1 in is 25.4 mm, by definition: 12.7 mm is half of one, 645.16 mm2 one square inch.
        ("breaks_through", {"depth": (12.7, "mm")}, "breaks through by 12.700 mm",
         "breaks through by 12.700 mm (0.5000 in)"),
        ("costs_area", {"area": (1290.32, "mm2"), "of": "lid"}, "costs 1290 mm2 of lid",
         "costs 1290 mm2 (2.000 in²) of lid"),
        ("overlap", {"volume": (16387.064, "mm3")}, "they overlap by 16387.1 mm3",
         "they overlap by 16387.1 mm3 (1.000 in³)"),
        ("deviation", {"what": "thickness", "off": (0.254, "mm"), "allowed": ((-0.0254, 0.0508), "mm")},
         "thickness: +0.254 mm off; allowed -0.0254 to +0.0508 mm",
         "thickness: +0.254 mm (+0.0100 in) off; allowed -0.0254 to +0.0508 mm (-0.0010 to +0.0020 in)"),
        ("not_reached", {"origin": "the start", "start": ((25.4, -50.8), "mm")},
         "the cutter cannot come there from the start; a start at [25.400, -50.800] mm would reach it",
         "the cutter cannot come there from the start; a start at [25.400, -50.800] mm ([1.0000, -2.0000] in) would "
         "reach it"),
        ("least_at_temperature", {"at": (-20.0, "degC")}, "least at -20 degC", "least at -20 degC"),
    ],
)  # fmt: skip
def test_inches_stand_behind_lengths_areas_and_volumes(name: str, gaps: dict, metric: str, inch: str) -> None:
    text = worded(said(name, **gaps))
    assert (text.metric, text.inch) == (metric, inch)


def test_words_of_a_spec_are_left_as_they_are() -> None:
    assert worded("0.3 mm, as the maker states").inch == "0.3 mm, as the maker states"


def test_sentences_within_sentences_keep_their_quantities() -> None:
    words = joined(said("of_joint", joint="lid", why=said("misses", joint="lid", by=(0.254, "mm"))), "", "look again")
    assert worded(words).inch.startswith("lid: with all tolerances used up lid misses by 0.254 mm (0.0100 in); its")
    assert worded(words).inch.endswith("; look again")
    assert [(one.symbol, one.value, one.unit) for one in words.quantities] == [("by", 0.254, "mm")]


@pytest.mark.parametrize(
    ("quantity", "metric", "inch"),
    [
        (NamedQuantity("A", 1290.32, "mm2", "the opening"), "1290.32 mm2, the opening", "2 in2, the opening"),
        (NamedQuantity("recess", (25.4, 50.8), "mm"), "25.4, 50.8 mm", "1, 2 in"),
        (NamedQuantity("warm", "not known", "degC"), "not known degC", "not known degC"),
        (NamedQuantity("C", 0.25, ""), "0.25", "0.25"),
    ],
)
def test_inputs_are_said_with_unit_and_how_they_were_obtained(quantity: NamedQuantity, metric: str, inch: str) -> None:
    text = given_words(quantity)
    assert (text.metric, text.inch) == (metric, inch)


@pytest.mark.parametrize("project", ["pump_engine", "four_ports"])
def test_no_input_is_called_by_a_templates_name(project: str) -> None:
    """What a larger mouth would save stood as `larger_mouth = 6.5 Pa` among the numbers to redo the sum."""
    findings = load(PACKAGE.parent / "part_specs" / project).check(samples=50).findings
    called = {one.symbol for found in findings for one in found.inputs}
    assert "boost" in called
    assert not {name for name in called if "_" in name} & TEMPLATES.keys()
