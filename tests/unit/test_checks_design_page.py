"""The page docs/design_checks.md lists every check of the design families, and no other."""

from __future__ import annotations

import re
from pathlib import Path

ROOT = Path(__file__).parents[2]


def test_every_check_has_its_row() -> None:
    sources = "\n".join(path.read_text(encoding="utf-8") for path in (ROOT / "platemaker" / "checks").rglob("*.py"))
    known = set(re.findall(r'"(PM71[4-9]|PM9\d\d)"', sources))
    page = (ROOT / "docs" / "design_checks.md").read_text(encoding="utf-8")
    rows = [line.split("|")[1] for line in page.splitlines() if line.startswith("| PM")]
    listed = [name for row in rows for name in re.findall(r"PM\d\d\d", row)]
    assert sorted(listed) == sorted(known)
