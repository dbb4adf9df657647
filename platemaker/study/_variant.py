"""One variant: the project with some values changed, taken through the same flow as `check`."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from platemaker.checks import Finding, Verdict, check_stack, least_metal
from platemaker.errors import CatalogError, GeometryError, OutOfRange, SpecError, SpecErrors, SurveyError, UnitError
from platemaker.parts import Stack
from platemaker.records import Record, field
from platemaker.resolved import assemble
from platemaker.spec import ProjectSpec
from platemaker.study._keys import KeyPath, with_value
from platemaker.study._outcomes import Focus, WorstFinding, area_of, figures_of, of_belt, standing, worst_of
from platemaker.study._values import Choice

SPEC_FAULTS = (SpecError, UnitError, OutOfRange, CatalogError, GeometryError, SurveyError)
"""Errors that belong to the variant's values, not to the program."""


class Setup(Record):
    """What all variants of a study share: the project's data, and what makes a spec of changed data.

    It goes to other processes as it stands.
    """

    spec_of: Callable[[Mapping[str, Any]], ProjectSpec]
    data: Mapping[str, Any]
    paths: tuple[KeyPath, ...]
    focus: Focus
    shows: tuple[str, ...]


class VariantRow(Record):
    """One variant and what came of it: figures, or the `fault` that its values make.

    `outcomes` are the standing ones by name; `shown` the worst findings asked for, by what was asked; `areas` those of
    every pocket and opening of the part, mm2; `least` the finding of its least metal. `verdict` is the worst of all
    findings of the project, `failing` are the ids of the checks that fail, each once.
    """

    number: int
    choices: tuple[Choice, ...]
    fault: str = ""
    verdict: Verdict | None = None
    fails: int = 0
    cautions: int = 0
    failing: tuple[str, ...] = ()
    part: str = ""
    figure: str = ""
    outcomes: Mapping[str, float | None] = field(default_factory=dict)
    shown: Mapping[str, WorstFinding | None] = field(default_factory=dict)
    areas: Mapping[str, float] = field(default_factory=dict)
    least: Finding | None = None

    def value(self, name: str) -> float | None:
        """A standing outcome, or the margin of the findings asked for by `name`; None where there is no figure."""
        found = self.shown.get(name)
        return found.margin if found else self.outcomes.get(name)


def varies_belt(paths: Sequence[KeyPath]) -> bool:
    """Whether a varied key is the belt drive's."""
    return any(path[0] == "belt" for path in paths)


def run_variant(setup: Setup, number: int, choices: tuple[Choice, ...]) -> VariantRow:
    """The variant with these values. Faults of the spec become the row's `fault`; nothing else is caught."""
    try:
        return _read_off(setup, number, choices, stack_of(setup, choices))
    except SPEC_FAULTS as fault:
        return VariantRow(number, choices, fault=_in_one_line(fault))


def stack_of(setup: Setup, choices: tuple[Choice, ...]) -> Stack:
    """The stack of the project with these values. Raises one of `SPEC_FAULTS` where there is none."""
    data = setup.data
    for path, choice in zip(setup.paths, choices, strict=True):
        data = with_value(data, path, choice.value)
    return assemble(setup.spec_of(data))


def run_variants(setup: Setup, chunk: Sequence[tuple[int, tuple[Choice, ...]]]) -> list[VariantRow]:
    """Several variants, one after the other: what a worker process is sent."""
    return [run_variant(setup, number, choices) for number, choices in chunk]


def _read_off(setup: Setup, number: int, choices: tuple[Choice, ...], stack: Stack) -> VariantRow:
    findings = check_stack(stack)
    part = setup.focus.part_in(stack)
    figure = setup.focus.figure_in(part)
    verdicts = [finding.verdict for finding in findings]
    return VariantRow(
        number,
        choices,
        verdict=max(verdicts, key=lambda one: one.rank, default=Verdict.NOT_CHECKED),
        fails=verdicts.count(Verdict.FAIL),
        cautions=verdicts.count(Verdict.CAUTION),
        failing=tuple(sorted({finding.check for finding in findings if finding.verdict is Verdict.FAIL})),
        part=part.name,
        figure=figure.name if figure else "",
        outcomes=standing(part, figure, findings) | (of_belt(stack) if varies_belt(setup.paths) else {}),
        shown={prefix: worst_of(prefix, findings) for prefix in setup.shows},
        areas={one.name: area_of(one) for one in figures_of(part)},
        least=least_metal(part.name, findings),
    )


def _in_one_line(fault: Exception) -> str:
    faults = fault.faults if isinstance(fault, SpecErrors) else (fault,)
    return "; and ".join(" ".join(str(one).split()) for one in faults)
