"""The page's bars of preload: every piece as long as its force, all of them together the most that a bolt carries."""

from __future__ import annotations

import re

import pytest

from platemaker.checks import BudgetAccount
from platemaker.checks._bolts._preload import Budget
from platemaker.records import replace
from platemaker.report._budget_markup import budget_section, pieces

# 20 kN of proof, 12 aimed at, 9 to 15 tightened; the gasket loses 2, the faces 1, cold takes 1.5, heat adds 2.5 kN.
BUDGET = Budget("cover", 20e3, 12e3, (9e3, 15e3), 2e3, 1e3, 2.5e3, -1.5e3, ())
ACCOUNT = BudgetAccount(BUDGET, "4 x M8, 8.8", 500.0, 700.0)


def test_pieces_by_hand() -> None:
    """Left 9 - 2 - 1 - 1.5 - 0.5 = 4 kN; most 15 + 2.5 + 0.7 = 18.2 kN."""
    found = dict(pieces(ACCOUNT))
    assert found == pytest.approx(
        {
            "left": 4e3,
            "load": 500,
            "cold": 1.5e3,
            "bed": 1e3,
            "sheet": 2e3,
            "scatter": 6e3,
            "warm": 2.5e3,
            "carried": 700,
        }
    )
    assert (ACCOUNT.left, ACCOUNT.greatest) == (4e3, 18.2e3)
    assert sum(found.values()) == pytest.approx(ACCOUNT.greatest)


def test_no_more_is_lost_than_there_is() -> None:
    """A load of 8 kN finds 4.5 kN of clamp: nothing is left, and the bar still ends at what the bolt carries."""
    account = replace(ACCOUNT, off=8e3)
    found = dict(pieces(account))
    assert (found["left"], found["load"]) == (0.0, pytest.approx(4.5e3))
    assert sum(found.values()) == pytest.approx(account.greatest)


def test_a_bar_for_each_joint() -> None:
    page = budget_section([ACCOUNT, replace(ACCOUNT, budget=replace(BUDGET, joint="base", hot=None))])
    assert page.count('class="proof"') == 2
    assert "cover: 4.0 kN left, at most 18.2 of 20.0 kN" in page
    assert "base: 4.0 kN left, at most 15.7 of 20.0 kN" in page
    wide = {kind: float(x) for x, kind in re.findall(r'width="([0-9.]+)"[^>]*class="piece (\w+)"', page)}
    assert wide["scatter"] / wide["left"] == pytest.approx(1.5)
    assert budget_section([]) == ""
