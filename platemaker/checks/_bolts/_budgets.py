"""Each joint's preload budget as an account: what tightening gives, what is lost, what heat and load add."""

from __future__ import annotations

from platemaker.checks._bolts._preload import Budget
from platemaker.checks._bolts._pressure import Loaded, loaded_joints
from platemaker.parts import Stack
from platemaker.records import Record


class BudgetAccount(Record):
    """One joint's bolts, N: its budget, what the worst load takes `off` the clamp and adds `on` the bolt.

    `bolts` are in words, such as "8 x M8, 8.8".
    """

    budget: Budget
    bolts: str
    off: float
    on: float

    @property
    def left(self) -> float:
        """Clamp left at the least preload under the worst load, N; not below 0."""
        return max(self.budget.low - self.off, 0.0)

    @property
    def greatest(self) -> float:
        """The most that a bolt carries, N."""
        return self.budget.high + self.on


def preload_budgets(stack: Stack) -> tuple[BudgetAccount, ...]:
    """The budget of every joint that is calculated; of several grips the one that keeps least."""
    found: dict[str, BudgetAccount] = {}
    for one in loaded_joints(stack):
        if isinstance(one, Loaded):
            account = _account(one)
            known = found.get(one.joint.name)
            if known is None or account.left < known.left:
                found[one.joint.name] = account
    return tuple(found.values())


def _account(one: Loaded) -> BudgetAccount:
    bolts, pull = one.bolt.bolts, one.greatest_pull
    return BudgetAccount(
        one.budget,
        f"{len(one.joint.spots)} x {bolts.thread.designation}, {bolts.property_class}",
        (1 - one.stiffness.share_hard) * pull,
        one.stiffness.share * pull,
    )
