"""What holds for every test."""

from __future__ import annotations

import pytest
from hypothesis import settings

# The same cases every time: a run that fails can be run again. No deadline: the machine may be busy.
settings.register_profile("repeatable", derandomize=True, deadline=None)
settings.load_profile("repeatable")


@pytest.fixture(autouse=True)
def own_cache(monkeypatch: pytest.MonkeyPatch, tmp_path_factory: pytest.TempPathFactory) -> None:
    """Each test has a build store of its own: what another test made is not taken, the user's is left alone."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path_factory.mktemp("cache")))
