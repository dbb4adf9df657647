"""Checks: parts to findings, one module a family. They measure; they do not opine."""

from typing import TYPE_CHECKING

from platemaker import on_first_use
from platemaker.checks._accept import accepted, held_to_accepted
from platemaker.checks._air._air_losses import AirStep, ChamberFlow
from platemaker.checks._air._airflow import AIR_LOSS, LEAST_LOST, LOST, MOST_LOST, AirReport, airflow, helps
from platemaker.checks._air._shares import SHARES, AirShares, air_shares
from platemaker.checks._air._throats import MACH_THERE, THROAT, ChamberAccount, chamber_accounts
from platemaker.checks._all import FAMILIES, check_stack, of_family
from platemaker.checks._finding import (
    EQUAL,
    Finding,
    Limit,
    Sense,
    Verdict,
    measured,
    missing_share,
    not_checked,
    worst_first,
)
from platemaker.checks._machining._machining import DISTORTION
from platemaker.checks._metal._metal import METAL, least_metal
from platemaker.checks._sealing._film import ESTIMATES, seal_input

if TYPE_CHECKING:
    from platemaker.checks._as_built import check_as_built
    from platemaker.checks._bolts._bolt_accounts import BoltAccount, bolt_accounts
    from platemaker.checks._bolts._bolt_schedule import (
        BoltOrder,
        TorqueRow,
        bolt_orders,
        torque_rows,
    )
    from platemaker.checks._bolts._budgets import BudgetAccount, preload_budgets
    from platemaker.checks._machining._pockets import CutterChoice, PocketAccount, PocketLimit, pocket_accounts
    from platemaker.checks._stack._hardware import Hardware, hardware
    from platemaker.checks._stack._stack_items import ItemKind
    from platemaker.checks._stack._tool_room import assembly_sequence
else:  # `check` as drawn has no need of them
    __getattr__ = on_first_use(
        __name__,
        {
            "_stack._tool_room": ("assembly_sequence",),
            "_as_built": ("check_as_built",),
            "_bolts._bolt_accounts": ("BoltAccount", "bolt_accounts"),
            "_bolts._bolt_schedule": ("BoltOrder", "TorqueRow", "bolt_orders", "torque_rows"),
            "_bolts._budgets": ("BudgetAccount", "preload_budgets"),
            "_machining._pockets": ("CutterChoice", "PocketAccount", "PocketLimit", "pocket_accounts"),
            "_stack._hardware": ("Hardware", "hardware"),
            "_stack._stack_items": ("ItemKind",),
        },
    )

__all__ = [
    "AIR_LOSS",
    "DISTORTION",
    "EQUAL",
    "ESTIMATES",
    "FAMILIES",
    "LEAST_LOST",
    "LOST",
    "MACH_THERE",
    "METAL",
    "MOST_LOST",
    "SHARES",
    "THROAT",
    "AirReport",
    "AirShares",
    "AirStep",
    "BoltAccount",
    "BoltOrder",
    "BudgetAccount",
    "ChamberAccount",
    "ChamberFlow",
    "CutterChoice",
    "Finding",
    "Hardware",
    "ItemKind",
    "Limit",
    "PocketAccount",
    "PocketLimit",
    "Sense",
    "TorqueRow",
    "Verdict",
    "accepted",
    "air_shares",
    "airflow",
    "assembly_sequence",
    "bolt_accounts",
    "bolt_orders",
    "chamber_accounts",
    "check_as_built",
    "check_stack",
    "hardware",
    "held_to_accepted",
    "helps",
    "least_metal",
    "measured",
    "missing_share",
    "not_checked",
    "of_family",
    "pocket_accounts",
    "preload_budgets",
    "seal_input",
    "torque_rows",
    "worst_first",
]
