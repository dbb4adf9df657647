"""Checks: parts to findings, one module a family. They measure; they do not opine."""

from platemaker.checks._all import FAMILIES, check_stack
from platemaker.checks._finding import EQUAL, Finding, Limit, Sense, Verdict, measured, not_checked, worst_first
from platemaker.checks._pockets import CutterChoice, PocketAccount, PocketLimit, pocket_accounts

__all__ = [
    "EQUAL",
    "FAMILIES",
    "CutterChoice",
    "Finding",
    "Limit",
    "PocketAccount",
    "PocketLimit",
    "Sense",
    "Verdict",
    "check_stack",
    "measured",
    "not_checked",
    "pocket_accounts",
    "worst_first",
]
