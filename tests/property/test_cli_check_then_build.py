"""What `check` accepts, `build` makes: random specs, plain and odd, of sizes from 0.01 mm to 5 m.

Exit code 0 or 1 of `check` means that the parts can be made; `build` must then write them and exit 0 or 1 as well. A spec
that `check` refuses (2) needs no build. The code for a fault of the program itself (3) is never right, nor is an
exception. `check` and `build` also have to agree: what passes one fails in no other.
"""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml

from tests.cli_runner import run
from tests.metal_oracle import odd_spec, spec_of, text_of

pytestmark = pytest.mark.kernel

NORMAL, SLOW = 20, 500
ONCE_WRONG = (347, 407)
"""Seeds of parts under a millimetre: a section along the outline's edge, and a slot of which every piece is too short."""

LOST_BY_THE_KERNEL = {53, 398}
"""Seeds of parts that fail the check of metal, and whose grazing cuts the kernel makes no sound solid of."""


def outcome(folder: Path, spec: object) -> str:
    """Empty where check and build agree; else what went wrong."""
    project = folder / "odd"
    project.mkdir(parents=True, exist_ok=True)
    (project / "project.yaml").write_text(yaml.safe_dump(spec, sort_keys=False), encoding="utf-8")
    try:
        checked = run("check", project)
    except Exception as fault:  # noqa: BLE001 - any traceback is what this test looks for
        return f"check raised {type(fault).__name__}: {fault}"
    if checked.code == 2:
        return ""
    if checked.code not in (0, 1):
        return f"check exits {checked.code}: {checked.err[-400:]}"
    try:
        built = run("build", project, "--out", folder / "out")
    except Exception as fault:  # noqa: BLE001 - the same
        return f"check exits {checked.code}, build raised {type(fault).__name__}: {fault}"
    if "no solid can be made" in built.err:
        return built.err[-400:]
    if built.code != checked.code:
        return f"check exits {checked.code}, build exits {built.code}: {built.err[-400:]}"
    return ""


def spec_number(seed: int) -> object:
    """Four odd specs to one of the ledger's ordinary parts."""
    return spec_of(10_000 + seed) if seed % 5 == 4 else odd_spec(seed)


@pytest.mark.parametrize("seed", (*range(NORMAL), *ONCE_WRONG))
def test_what_check_accepts_build_makes(tmp_path: Path, seed: int) -> None:
    spec = spec_number(seed)
    fault = outcome(tmp_path, spec)
    assert not fault, f"{fault}\n{text_of(spec)}"


def test_what_the_kernel_loses_is_told_as_a_fail_and_writes_nothing(tmp_path: Path) -> None:
    (tmp_path / "project.yaml").write_text(text_of(spec_number(398)), encoding="utf-8")
    built = run("build", tmp_path, "--out", tmp_path / "out")
    assert (built.code, list((tmp_path / "out").glob("*/*"))) == (1, [])
    assert "no solid can be made with cuts that break out or into each other (a, b): fix that first" in built.err


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(NORMAL, NORMAL + SLOW))
def test_what_check_accepts_build_makes_at_length(tmp_path: Path, seed: int) -> None:
    spec = spec_number(seed)
    fault = outcome(tmp_path, spec)
    if seed in LOST_BY_THE_KERNEL:
        assert "no solid can be made" in fault
        return
    assert not fault, f"{fault}\n{text_of(spec)}"
