"""Survey: caliper readings to coordinates with their uncertainty; patterns placed on each other; will it bolt up."""

from platemaker.survey._best_fit import BestFit, FitKind, Misfit, best_fit, better_placed
from platemaker.survey._expect import Expected, Progress, progress
from platemaker.survey._file import load_network, solve_file, surveyed_pattern
from platemaker.survey._fit_up import chance, failure_ranks, fit_up, wilson_interval
from platemaker.survey._fit_up_records import (
    Chance,
    Fastener,
    FastenerKind,
    FitUp,
    FitUpResult,
    Freedom,
    HoleForShare,
    Scatter,
    Side,
    Slot,
    WorstCase,
)
from platemaker.survey._instruments import INSTRUMENTS, Instrument
from platemaker.survey._nominal import MM_STEPS, Nominal, nominals
from platemaker.survey._patterns import Ellipse, Pattern
from platemaker.survey._plan_file import SurveyPlan, load_plan, plan_yaml
from platemaker.survey._port import PortFigure, port_of_edges, port_of_round
from platemaker.survey._records import (
    Datum,
    DatumKind,
    Feature,
    FeatureKind,
    Network,
    Picture,
    Reading,
    ReadingKind,
    Shared,
)
from platemaker.survey._reliability import Reliability, Weak
from platemaker.survey._results import (
    JudgedReading,
    Suggestion,
    Survey,
    SurveyedEdge,
    SurveyedPoint,
    Suspect,
    VarianceTest,
)
from platemaker.survey._shapes import NominalKind
from platemaker.survey._solve import solve
from platemaker.survey._worst_case import fixed_fastener_zones, floating_fastener_zone, worst_cases

__all__ = [
    "INSTRUMENTS",
    "MM_STEPS",
    "BestFit",
    "Chance",
    "Datum",
    "DatumKind",
    "Ellipse",
    "Expected",
    "Fastener",
    "FastenerKind",
    "Feature",
    "FeatureKind",
    "FitKind",
    "FitUp",
    "FitUpResult",
    "Freedom",
    "HoleForShare",
    "Instrument",
    "JudgedReading",
    "Misfit",
    "Network",
    "Nominal",
    "NominalKind",
    "Pattern",
    "Picture",
    "PortFigure",
    "Progress",
    "Reading",
    "ReadingKind",
    "Reliability",
    "Scatter",
    "Shared",
    "Side",
    "Slot",
    "Suggestion",
    "Survey",
    "SurveyPlan",
    "SurveyedEdge",
    "SurveyedPoint",
    "Suspect",
    "VarianceTest",
    "Weak",
    "WorstCase",
    "best_fit",
    "better_placed",
    "chance",
    "failure_ranks",
    "fit_up",
    "fixed_fastener_zones",
    "floating_fastener_zone",
    "load_network",
    "load_plan",
    "nominals",
    "plan_yaml",
    "port_of_edges",
    "port_of_round",
    "progress",
    "solve",
    "solve_file",
    "surveyed_pattern",
    "wilson_interval",
    "worst_cases",
]
