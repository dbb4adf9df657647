"""Variants through joblib, which hands them to a cluster's back end: for studies that outgrow one machine.

joblib is an extra, `cluster`, as is the one back end that is tried, dask. Every machine must have this version of the
package installed and find the project's folder, with its readings, under the same path.
"""

from __future__ import annotations

from collections.abc import Generator, Sequence
from importlib import import_module
from typing import Any

from platemaker.errors import SpecError
from platemaker.study._runs import Numbered, Spread
from platemaker.study._variant import Setup, VariantRow, run_variants

LOCAL, DASK = "loky", "dask"
CHUNK = 8
"""Variants sent at a time: some seconds of work."""
_ALLOWED = f"{LOCAL}, {LOCAL}:N for N processes, or {DASK}:HOST:PORT of a scheduler"


def spread_over(where: str) -> Spread:
    """What runs variants on the back end that a text such as `loky:2` or `dask:10.0.0.5:8786` names.

    Raises SpecError for another text, and where the extra is not installed.
    """
    kind, _, rest = where.partition(":")
    if kind not in (LOCAL, DASK) or (kind == DASK) != (":" in rest) or (kind == LOCAL and rest and not rest.isdigit()):
        problem = "not a back end that variants can run on"
        raise SpecError(problem, met=where, allowed=_ALLOWED)
    joblib = _extra("joblib")
    if kind == DASK:
        _extra("distributed")

    def spread(setup: Setup, variants: Sequence[Numbered]) -> Generator[list[VariantRow], None, None]:
        chunks = [variants[low : low + CHUNK] for low in range(0, len(variants), CHUNK)]
        work = [joblib.delayed(run_variants)(setup, chunk) for chunk in chunks]
        if kind == LOCAL:
            yield from joblib.Parallel(int(rest or -1), backend=LOCAL, return_as="generator_unordered")(work)
            return
        with _extra("distributed").Client(f"tcp://{rest}", set_as_default=True), joblib.parallel_config(DASK):
            yield from joblib.Parallel()(work)  # this back end gives its answers all at once

    return spread


def _extra(name: str) -> Any:
    try:
        return import_module(name)
    except ImportError:
        problem = f"{name} is not installed, which runs variants elsewhere"
        raise SpecError(problem, allowed="pip install 'platemaker[cluster]' on every machine") from None
