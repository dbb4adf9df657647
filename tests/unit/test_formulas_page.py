"""docs/validation.md is what docs/build_validation.py writes."""

import runpy
from pathlib import Path

ROOT = Path(__file__).parents[2]


def test_the_validation_page_is_current():
    page = runpy.run_path(str(ROOT / "docs/build_validation.py"))["page"]()
    assert (ROOT / "docs/validation.md").read_text(encoding="utf-8") == page


def test_every_formula_stands_on_the_page():
    from platemaker.formulas import FORMULAS

    text = (ROOT / "docs/validation.md").read_text(encoding="utf-8")
    assert [name for name in FORMULAS if f"| `{name}` |" not in text] == []
