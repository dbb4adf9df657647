"""Every id that a check can give has a page, every page has an id, and the pages are those that their script writes."""

from __future__ import annotations

import ast
import re
import runpy
from pathlib import Path

import pytest

from tests.package_tree import ROOT, modules

PAGES = ROOT / "docs" / "checks"
SCRIPT = runpy.run_path(str(ROOT / "docs" / "build_checks.py"))


def ids() -> set[str]:
    """Every text in the checks' code that is an id and nothing else; their docstrings hold none that stands alone."""
    return {
        node.value
        for module in modules()
        if module.room == "checks"
        for node in ast.walk(module.tree)
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and re.fullmatch(r"PM\d{3}", node.value)
    }


def test_every_id_has_a_page_and_every_page_an_id() -> None:
    found = ids()
    assert len(found) > 80, "the ids are no longer written as this test seeks them"
    assert set(SCRIPT["entries"]()) == found


def test_pages_are_those_of_the_script() -> None:
    due = SCRIPT["files"]()
    assert {path.name for path in PAGES.glob("*.md")} == set(due)
    stale = [name for name, text in due.items() if (PAGES / name).read_text(encoding="utf-8") != text]
    assert stale == [], "run docs/build_checks.py"


def test_reports_say_what_the_pages_say() -> None:
    assert SCRIPT["IN_REPORTS"].read_text(encoding="utf-8") == SCRIPT["in_reports"](), "run docs/build_checks.py"


@pytest.mark.parametrize("name", sorted(path.name for path in PAGES.glob("PM*.md")))
def test_a_page_says_what_why_limit_source_and_how_to_mend(name: str) -> None:
    text = Path(PAGES / name).read_text(encoding="utf-8")
    assert text.startswith(f"# {name.removesuffix('.md')}: ")
    for head in ("What is measured", "Why", "Limit and its source", "How to fix it"):
        assert len(text.partition(f"**{head}.** ")[2].split("\n")[0]) > 8, head


def test_links_lead_to_pages() -> None:
    for path in PAGES.glob("*.md"):
        for link in re.findall(r"\]\(([^)]+)\)", path.read_text(encoding="utf-8")):
            assert (PAGES / link).is_file(), f"{path.name}: {link}"


def test_ids_named_in_a_page_exist() -> None:
    text = (PAGES / "pages.yaml").read_text(encoding="utf-8")
    assert set(re.findall(r"PM\d{3}", text)) <= set(SCRIPT["entries"]())
