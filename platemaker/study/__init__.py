"""Studies: a spec's values varied and its outcomes traded off; two specs compared; what to change so that they pass."""

from platemaker.study._change_list import ChangedThing, changed_things
from platemaker.study._compare import Comparison, Difference, Margin, compare, compared
from platemaker.study._compare_text import comparison_json, render_comparison
from platemaker.study._cures._advise import Advice, Proved, advise
from platemaker.study._cures._apply import apply_cure, apply_values
from platemaker.study._cures._touched import touched_keys
from platemaker.study._elsewhere import spread_over
from platemaker.study._fields import FieldOf
from platemaker.study._files import folder_of, study_csv, study_json, write_study
from platemaker.study._film_cures import film_cures
from platemaker.study._from_stack import snapshot_of, snapshot_of_folder
from platemaker.study._front import Trade
from platemaker.study._keys import KeyPath, Keys, Value, value_at, with_value
from platemaker.study._outcomes import Outcome, WorstFinding
from platemaker.study._plot import plot_study
from platemaker.study._seek import Aim, Keep, Sought
from platemaker.study._snapshot import Change, Fact, Snapshot, Subject, Thing, snapshot_of_report
from platemaker.study._study import USUAL_TRADE, Study, study
from platemaker.study._table import render_study
from platemaker.study._values import Choice
from platemaker.study._variant import VariantRow
from platemaker.study._vary import Vary

__all__ = [
    "USUAL_TRADE",
    "Advice",
    "Aim",
    "Change",
    "ChangedThing",
    "Choice",
    "Comparison",
    "Difference",
    "Fact",
    "FieldOf",
    "Keep",
    "KeyPath",
    "Keys",
    "Margin",
    "Outcome",
    "Proved",
    "Snapshot",
    "Sought",
    "Study",
    "Subject",
    "Thing",
    "Trade",
    "Value",
    "VariantRow",
    "Vary",
    "WorstFinding",
    "advise",
    "apply_cure",
    "apply_values",
    "changed_things",
    "compare",
    "compared",
    "comparison_json",
    "film_cures",
    "folder_of",
    "plot_study",
    "render_comparison",
    "render_study",
    "snapshot_of",
    "snapshot_of_folder",
    "snapshot_of_report",
    "spread_over",
    "study",
    "study_csv",
    "study_json",
    "touched_keys",
    "value_at",
    "with_value",
    "write_study",
]
