"""Survey: caliper readings to coordinates with their uncertainty; patterns placed on each other; will it bolt up."""

from platemaker.survey._records import Datum, DatumKind, Feature, FeatureKind, Network, Reading, ReadingKind
from platemaker.survey._results import (
    Ellipse,
    JudgedReading,
    Pattern,
    Suggestion,
    Survey,
    SurveyedEdge,
    SurveyedPoint,
    Suspect,
    VarianceTest,
)
from platemaker.survey._solve import solve

__all__ = [
    "Datum",
    "DatumKind",
    "Ellipse",
    "Feature",
    "FeatureKind",
    "JudgedReading",
    "Network",
    "Pattern",
    "Reading",
    "ReadingKind",
    "Suggestion",
    "Survey",
    "SurveyedEdge",
    "SurveyedPoint",
    "Suspect",
    "VarianceTest",
    "solve",
]
