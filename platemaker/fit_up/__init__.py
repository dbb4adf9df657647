"""Fit-up: whether two patterns of holes bolt up, within their tolerances and what is known of their places."""

from platemaker.fit_up._fit_up import chance, failure_ranks, fit_up, wilson_interval
from platemaker.fit_up._records import (
    Chance,
    DrawnSlot,
    Fastener,
    FastenerKind,
    FitUp,
    FitUpResult,
    Freedom,
    HoleForShare,
    PatternSide,
    Scatter,
    WorstCase,
)
from platemaker.fit_up._worst_case import fixed_fastener_zones, floating_fastener_zone, worst_cases

__all__ = [
    "Chance",
    "DrawnSlot",
    "Fastener",
    "FastenerKind",
    "FitUp",
    "FitUpResult",
    "Freedom",
    "HoleForShare",
    "PatternSide",
    "Scatter",
    "WorstCase",
    "chance",
    "failure_ranks",
    "fit_up",
    "fixed_fastener_zones",
    "floating_fastener_zone",
    "wilson_interval",
    "worst_cases",
]
