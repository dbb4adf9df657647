"""Variants through joblib: on processes of this machine, and on a dask cluster; the same rows as here."""

from __future__ import annotations

from pathlib import Path

import pytest

from platemaker.errors import SpecError
from platemaker.study import _elsewhere, spread_over, study, study_json
from tests.study_projects import project

VARY = ["lid.thickness=8..14/0.5"]


@pytest.mark.slow
def test_processes_of_this_machine_give_the_same_study(tmp_path: Path) -> None:
    pytest.importorskip("joblib")
    lid = project(tmp_path / "lid")
    assert study_json(study(lid, VARY, spread=spread_over("loky:2"))) == study_json(study(lid, VARY, cores=1))


@pytest.mark.slow
@pytest.mark.filterwarnings("ignore")  # the cluster's own, of ports and of its board
def test_a_cluster_gives_the_same_study(tmp_path: Path) -> None:
    distributed = pytest.importorskip("distributed")
    lid = project(tmp_path / "lid")
    with distributed.LocalCluster(n_workers=2, threads_per_worker=1, dashboard_address=None) as cluster:
        where = cluster.scheduler_address.replace("tcp://", "dask:")
        done = study(lid, VARY, spread=spread_over(where))
    assert study_json(done) == study_json(study(lid, VARY, cores=1))


@pytest.mark.parametrize("where", ["", "nowhere", "dask", "dask:host", "loky:two", "loky:1:2"])
def test_other_places_are_refused(where: str) -> None:
    with pytest.raises(SpecError, match=r"not a back end that variants can run on.*loky:N.*dask:HOST:PORT"):
        spread_over(where)


def test_without_the_extra_it_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    def missing(name: str) -> None:
        raise ImportError(name)

    monkeypatch.setattr(_elsewhere, "import_module", missing)
    with pytest.raises(SpecError, match=r"joblib is not installed.*platemaker\[cluster\]"):
        spread_over("loky")
