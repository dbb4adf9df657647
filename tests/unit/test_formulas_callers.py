"""Every public formula has a caller in the package, or a stated reason to wait for one."""

from platemaker.formulas import FORMULAS
from tests.formula_callers import WAITING, called_outside, formulas_in_use


def test_every_formula_is_used_or_waits_for_a_reason():
    assert set(FORMULAS) - formulas_in_use() == set(WAITING)


def test_the_search_finds_direct_and_indirect_callers():
    assert "duct_state" in called_outside()
    # choked_mass_flow is called by duct_state alone.
    assert "choked_mass_flow" not in called_outside()
    assert "choked_mass_flow" in formulas_in_use()
