"""What holds for every test."""

from __future__ import annotations

import pytest


@pytest.fixture(autouse=True)
def own_cache(monkeypatch: pytest.MonkeyPatch, tmp_path_factory: pytest.TempPathFactory) -> None:
    """Each test has a build store of its own: what another test made is not taken, the user's is left alone."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path_factory.mktemp("cache")))
