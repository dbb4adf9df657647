"""The page docs/catalog.md lists every table with what its own block says."""

from __future__ import annotations

import runpy

from tests.package_tree import ROOT


def test_the_page_lists_every_table_as_it_is() -> None:
    """Written by `docs/build_catalog.py`."""
    script = runpy.run_path(str(ROOT / "docs" / "build_catalog.py"))
    assert (ROOT / "docs" / "catalog.md").read_text(encoding="utf-8") == script["page"]()
