"""Every id that a check can give has a page, every page has an id, and the pages are those that their script writes."""

from __future__ import annotations

import ast
import re
import runpy
import sys
from pathlib import Path
from typing import Any

import pytest

from platemaker.checks import Finding, Limit, check_stack, measured
from platemaker.remembered import forget
from platemaker.resolved import assemble
from platemaker.spec import load_project
from tests.frozen_demo import FROZEN
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


BOTH = re.compile(
    r"^(?!.* and above)Fail (?:below|above|at) (-?[\d.]+)( %)?[^;,.]*[;,] caution (?:below|above) (-?[\d.]*\d)"
)


def test_limits_are_those_that_the_pages_state(monkeypatch: pytest.MonkeyPatch) -> None:
    """The pages are written by hand; every limit that the examples meet is held against its page."""
    pages = SCRIPT["entries"]()
    found: dict[str, set[tuple[float, ...]]] = {}

    def seen(check: str, title: str, part: str, features: Any, value: float, limit: Limit, **more: Any) -> Finding:
        both = (limit.fail,) if limit.caution is None else (limit.fail, limit.caution)
        found.setdefault(check, set()).add(tuple(one / 100 if limit.unit == "%" else one for one in both))
        return measured(check, title, part, features, value, limit, **more)

    for name, module in list(sys.modules.items()):
        if name.startswith("platemaker.checks.") and getattr(module, "measured", None) is measured:
            monkeypatch.setattr(module, "measured", seen)
    forget()  # what other tests have asked for is worked out again
    for folder in (FROZEN, ROOT / "part_specs" / "pump_engine", ROOT / "part_specs" / "four_ports"):
        check_stack(assemble(load_project(folder)), samples=50)
    stated = {check: BOTH.match(" ".join(pages[check].get("limit", "").split())) for check in found}
    due = {check: (float(at[1]), float(at[3])) for check, at in stated.items() if at}
    due |= {check: (fail / 100, caution / 100) for check, (fail, caution) in due.items() if stated[check][2]}
    assert len(due) > 20, "the pages no longer state limits as this test reads them"
    assert {check: found[check] for check in due} == {check: {both} for check, both in due.items()}
