"""Contact that opens: a rigid block on a bed of springs that cannot pull, against its closed form; no mesh.

A rectangle L long, pressed by a force N at the distance e from its middle, bears on all of its length while e <= L/6,
the kern of the section, with N/(B L) (1 +- 6 e/L) at its ends; further out on 3 (L/2 - e), with 2 N/(3 B (L/2 - e)) at
its edge: the triangle of pressure has its centre under the force (statics; Timoshenko, Strength of Materials I, the core
of a section, from memory).
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.sparse import csr_matrix
from scipy.sparse.linalg import splu

from platemaker.fields._seal import _contact
from platemaker.fields._seal._contact import ContactSystem, SheetSpring
from platemaker.fields._seal._solids import NotSettledError

L, B, CELLS, K = 120.0, 20.0, 1200, 25.0
X = (np.arange(CELLS) + 0.5) * L / CELLS - L / 2
N = 24_000.0


def block(back: float = K, bolts: tuple[float, ...] = (0.0,)) -> ContactSystem:
    """A block that moves up by its first unknown and turns by its second; a bolt at each of `bolts` stretches by both."""
    rows = np.column_stack([np.ones(CELLS), X])
    pulls = np.array([[1.0] * len(bolts), list(bolts)])
    area = np.full(CELLS, B * L / CELLS)
    held = csr_matrix(np.diag([1e-9, 1e-9]))
    return ContactSystem(
        held,
        csr_matrix(-rows),
        area,
        SheetSpring(K, back),
        pulls,
        np.full(len(bolts), 1e5),
        lambda one: splu(one.tocsc()).solve,
    )


@pytest.mark.parametrize("share", [0.0, 0.1, 1 / 6, 0.25, 0.4, 0.45])
def test_a_block_opens_beyond_the_kern(share: float) -> None:
    e = share * L
    state = block().settled(np.array([-N, -N * e]), np.array([0.0]))
    if share <= 1 / 6:
        touched, edge = L, N / (B * L) * (1 + 6 * share)
    else:
        touched, edge = 3 * (L / 2 - e), 2 * N / (3 * B * (L / 2 - e))
    assert (state.pressure > 0).mean() * L == pytest.approx(touched, abs=L / CELLS)
    assert state.pressure.max() == pytest.approx(
        edge, rel=2 * L / CELLS / touched
    )  # its middle lies half a cell inside
    assert state.pressure.sum() * B * L / CELLS == pytest.approx(N, rel=1e-6)


def test_a_sheet_that_springs_back_steeply_holds_what_is_left_of_the_preload() -> None:
    """Two bolts, 10 kN each, then 4: evenly 8.33 MPa over 0.333 mm, then 3.33 MPa with 5 / 62.5 = 0.08 mm let go."""
    contact = block(62.5, (-30.0, 30.0))
    low = contact.settled(np.zeros(2), np.full(2, 10e3))
    assert low.closure == pytest.approx(20e3 / (B * L) / K)
    settled = contact.settled(np.zeros(2), np.full(2, 4e3), start=low, most=low.closure)
    assert settled.pressure == pytest.approx(8e3 / (B * L))
    assert settled.closure == pytest.approx(low.closure - 12e3 / (B * L) / 62.5)


def test_a_pull_on_a_bolted_block_is_shared_by_stiffness() -> None:
    """Bolts of 1e5 N/mm each on a sheet of 62.5 x 2400 = 1.5e5 N/mm: of 3 kN bolts take 4/7, the sheet loses 3/7.

    Joint diagram: Shigley, 9th ed., eq. 8-24, C = k_b / (k_b + k_m).
    """
    contact = block(62.5, (-30.0, 30.0))
    low = contact.settled(np.zeros(2), np.full(2, 10e3))
    pulled = contact.settled(np.array([3e3, 0.0]), low.bolts, start=low, most=low.closure, tightened=low)
    assert pulled.bolts == pytest.approx(10e3 + 3e3 * (2e5 / 3.5e5) / 2)
    assert pulled.pressure == pytest.approx((20e3 - 3e3 * 1.5 / 3.5) / (B * L))


def test_what_nothing_holds_is_said_and_no_number_given() -> None:
    with pytest.raises(NotSettledError, match="the joint opens: its forces are more than what holds it"):
        block().settled(np.array([100.0, 0.0]), np.array([0.0]))


def test_a_contact_that_finds_no_balance_in_its_steps_is_said_and_no_number_given(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(_contact, "STEPS", 1)
    with pytest.raises(NotSettledError, match="the contact does not converge"):
        block().settled(np.array([-N, -N * 0.4 * L]), np.array([0.0]))
