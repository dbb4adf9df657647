"""The page on surveys names every kind of reading and every key that it states of."""

from __future__ import annotations

import re

import pytest

from platemaker.spec import json_schema
from platemaker.survey import ReadingKind
from platemaker.survey._reading._models import InstrumentModel, PictureModel
from tests.cli_runner import run
from tests.package_tree import ROOT

PAGE = (ROOT / "docs" / "surveys.md").read_text(encoding="utf-8")


@pytest.mark.parametrize("kind", list(ReadingKind))
def test_every_kind_of_reading_is_told(kind):
    assert f"`{kind.value}`" in PAGE


@pytest.mark.parametrize("key", ["position", "dowels", "adjusts", "stud", "level", "shim", "squares", "taper"])
def test_keys_are_those_of_specs(key):
    assert f"`{key}" in PAGE
    assert f"'{key}'" in str(json_schema())


@pytest.mark.parametrize("model", [InstrumentModel, PictureModel])
def test_keys_are_those_of_instruments_and_pictures(model):
    for key in model.model_fields:
        if not key.endswith("_sd") and key != "name":
            assert key in PAGE


def test_the_command_runs_as_printed(tmp_path, monkeypatch):
    [line] = re.findall(r"^platemaker (survey .*)$", PAGE, re.MULTILINE)
    words = line.replace("part_specs", str(ROOT / "part_specs")).split()
    monkeypatch.chdir(tmp_path)
    assert run(*words).code == 0
    assert (tmp_path / "survey" / "log_top_survey.svg").is_file()
