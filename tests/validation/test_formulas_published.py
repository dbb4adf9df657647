"""Every formula against numbers from outside: the rows of formulas_cases.py, which cite page or table one by one."""

import runpy
from pathlib import Path

import pytest

from platemaker.formulas import FORMULAS

TABLE = runpy.run_path(str(Path(__file__).with_name("formulas_cases.py")))
CASES = TABLE["CASES"]


def names() -> list[str]:
    seen: dict[str, int] = {}
    out = []
    for case in CASES:
        name = case.formula.__name__
        seen[name] = seen.get(name, 0) + 1
        out.append(f"{name}-{seen[name]}")
    return out


@pytest.mark.parametrize("case", CASES, ids=names())
def test_formula_gives_the_published_number(case):
    got = case.pick(case.formula(**case.inputs))
    assert got == pytest.approx(case.expected, rel=0, abs=case.tolerance), case.where


def test_every_formula_has_a_row():
    assert set(FORMULAS) - {case.formula.__name__ for case in CASES} == set()


def test_every_formula_has_a_row_that_a_wrong_factor_of_2_percent_fails():
    loose = set(FORMULAS)
    for case in CASES:
        numbers = case.expected if isinstance(case.expected, tuple) else (case.expected,)
        if case.tolerance <= 0.02 * max(abs(number) for number in numbers):
            loose.discard(case.formula.__name__)
    assert loose == {"mitre_bend_loss"}  # the authors themselves differ by a tenth


def test_a_changed_formula_would_be_noticed():
    """Every numeric row is off by more than its tolerance when the result is 20 percent wrong."""
    for case in CASES:
        if isinstance(case.expected, float | int) and not isinstance(case.expected, bool) and case.expected:
            assert abs(0.2 * case.expected) > case.tolerance, case
