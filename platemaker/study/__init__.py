"""Studies: a spec's values varied and its outcomes traded off; two specs compared."""

from platemaker.study._files import study_csv, study_json, write_study
from platemaker.study._front import Trade
from platemaker.study._outcomes import Outcome, Shown
from platemaker.study._plot import plot_study
from platemaker.study._study import USUAL_TRADE, Study, study
from platemaker.study._table import render_study
from platemaker.study._values import Choice
from platemaker.study._variant import Row
from platemaker.study._vary import Vary

__all__ = [
    "USUAL_TRADE",
    "Choice",
    "Outcome",
    "Row",
    "Shown",
    "Study",
    "Trade",
    "Vary",
    "plot_study",
    "render_study",
    "study",
    "study_csv",
    "study_json",
    "write_study",
]
