"""Small helpers of the design checks: advice that never fails a part, and the inputs of worked formulas."""

from __future__ import annotations

from typing import Any

from platemaker.checks._finding import Finding, Verdict
from platemaker.formulas import Worked
from platemaker.records import replace
from platemaker.units import NamedQuantity


def advised(found: Finding) -> Finding:
    """The finding, but a miss is a caution: its limit is advice."""
    return replace(found, verdict=Verdict.CAUTION) if found.verdict is Verdict.FAIL else found


def inputs_of(*results: Worked[Any]) -> list[NamedQuantity]:
    """Every input of worked formulas, each once, so that a reader can redo the sums."""
    found: dict[str, NamedQuantity] = {}
    for result in results:
        for each in result.inputs:
            found.setdefault(each.symbol, replace(each, unit="" if each.unit == "-" else each.unit))
    return list(found.values())


def citations(*results: Worked[Any]) -> str:
    """The sources of worked formulas, each once."""
    return "; ".join(dict.fromkeys(result.formula.citation for result in results))
