"""Survey: readings to coordinates with their uncertainty; what to read; patterns placed on each other."""

from typing import TYPE_CHECKING

from platemaker import on_first_use
from platemaker.survey._answer._reliability import Reliability, Weak
from platemaker.survey._answer._results import (
    JudgedReading,
    Suggestion,
    Survey,
    SurveyedEdge,
    SurveyedPoint,
    Suspect,
    VarianceTest,
)
from platemaker.survey._answer._solve import solve
from platemaker.survey._pattern._nominal import MM_STEPS, Nominal, nominals
from platemaker.survey._pattern._port import PortFigure, port_of_edges, port_of_round
from platemaker.survey._pattern._shapes import NominalKind
from platemaker.survey._patterns import Ellipse, Pattern, rigid_motions
from platemaker.survey._reading._file import load_network, solve_file, surveyed_pattern
from platemaker.survey._reading._instruments import INSTRUMENTS, Instrument
from platemaker.survey._records import (
    Datum,
    DatumKind,
    Feature,
    FeatureKind,
    Network,
    Picture,
    Reading,
    ReadingKind,
    SharedErrors,
)

if TYPE_CHECKING:
    from platemaker.survey._pattern._best_fit import BestFit, FitKind, Misfit, best_fit, better_placed
    from platemaker.survey._planning._expect import Expected, Progress, progress
    from platemaker.survey._planning._plan_file import SurveyPlan, load_plan, plan_yaml
else:  # a solved survey has no need of them
    __getattr__ = on_first_use(
        __name__,
        {
            "_pattern._best_fit": ("BestFit", "FitKind", "Misfit", "best_fit", "better_placed"),
            "_planning._expect": ("Expected", "Progress", "progress"),
            "_planning._plan_file": ("SurveyPlan", "load_plan", "plan_yaml"),
        },
    )

__all__ = [
    "INSTRUMENTS",
    "MM_STEPS",
    "BestFit",
    "Datum",
    "DatumKind",
    "Ellipse",
    "Expected",
    "Feature",
    "FeatureKind",
    "FitKind",
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
    "SharedErrors",
    "Suggestion",
    "Survey",
    "SurveyPlan",
    "SurveyedEdge",
    "SurveyedPoint",
    "Suspect",
    "VarianceTest",
    "Weak",
    "best_fit",
    "better_placed",
    "load_network",
    "load_plan",
    "nominals",
    "plan_yaml",
    "port_of_edges",
    "port_of_round",
    "progress",
    "rigid_motions",
    "solve",
    "solve_file",
    "surveyed_pattern",
]
