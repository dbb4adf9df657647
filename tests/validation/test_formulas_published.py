"""Every formula against numbers from outside: the rows of formulas_cases.py, which cite page or table one by one."""

import runpy
from pathlib import Path

import pytest

from platemaker.formulas import FORMULAS
from tests.formula_callers import WAITING, formulas_in_use

TABLE = runpy.run_path(str(Path(__file__).with_name("formulas_cases.py")))
CASES, Evidence = TABLE["CASES"], TABLE["Evidence"]
BEST = TABLE["best_evidence"]()
IN_USE = formulas_in_use() | WAITING.keys()
USED = {name: kind for name, kind in BEST.items() if name in IN_USE}


def names() -> list[str]:
    seen: dict[str, int] = {}
    out = []
    for case in CASES:
        name = case.formula.__name__
        seen[name] = seen.get(name, 0) + 1
        out.append(f"{name}-{seen[name]}")
    return out


@pytest.mark.parametrize("case", CASES, ids=names())
def test_formula_gives_the_expected_number(case):
    got = case.pick(case.formula(**case.inputs))
    assert got == pytest.approx(case.expected, rel=0, abs=case.tolerance), case.where


def test_every_formula_has_a_row():
    assert set(FORMULAS) == set(BEST)


def test_three_quarters_of_the_formulas_stand_on_a_number_read_or_an_independent_library():
    sound = [name for name, kind in USED.items() if kind in (Evidence.READ, Evidence.LIBRARY)]
    assert len(sound) >= 0.75 * len(USED), sorted(set(USED) - set(sound))


def test_memory_alone_proves_nothing():
    """One formula is left: no copy of ASME B18.3 that was open to reading printed its lengths of thread."""
    assert [name for name, kind in USED.items() if kind is Evidence.MEMORY] == ["thread_length_socket_inch"]


def test_a_row_from_memory_says_so():
    for case in CASES:
        assert ("from memory" in case.where) == (case.evidence is Evidence.MEMORY), case.where


def test_a_row_from_a_library_names_it():
    libraries = ("scipy", "numpy", "shapely", "trimesh", "fluids:", "flow solver")
    for case in CASES:
        if case.evidence is Evidence.LIBRARY:
            assert case.where.startswith(libraries) or "flow solver" in case.where, case.where


def test_no_row_checks_a_formula_against_the_library_that_it_calls():
    for case in CASES:
        if FORMULAS[case.formula.__name__].source.short.startswith("library fluids"):
            assert case.evidence is not Evidence.LIBRARY or not case.where.startswith("fluids"), case.where


def test_every_formula_has_a_row_that_a_wrong_factor_of_2_percent_fails():
    loose = set(FORMULAS)
    for case in CASES:
        numbers = case.expected if isinstance(case.expected, tuple) else (case.expected,)
        if case.tolerance <= 0.02 * max(abs(number) for number in numbers):
            loose.discard(case.formula.__name__)
    assert loose == {"mitre_bend_loss"}  # the authors themselves differ by a tenth


def test_a_changed_formula_would_be_noticed():
    """Every numeric row is off by more than its tolerance when the result is 30 percent wrong, most when 20 are."""
    for case in CASES:
        if isinstance(case.expected, float | int) and not isinstance(case.expected, bool) and case.expected:
            ranges = "the table prints" in case.reason
            assert abs((0.3 if ranges else 0.2) * case.expected) > case.tolerance, case
