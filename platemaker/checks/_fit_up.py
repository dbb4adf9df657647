"""Will it bolt up: the worst case of every bolt by formula, and the chance that all of a joint's bolts start."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

from platemaker.catalog import Fit, clearance_hole
from platemaker.checks._advice import Input, advised
from platemaker.checks._finding import EQUAL, Finding, Limit, Sense, Verdict, measured, not_checked
from platemaker.checks._fit_up_question import Asked, question_of, surveyed_face
from platemaker.parts import Hole, Joint, Stack, Vec3

if TYPE_CHECKING:
    from platemaker.survey import Chance, Fastener, WorstCase

WORST_CASE, CHANCE, SURVEYED, SUSPECT = "PM801", "PM802", "PM803", "PM804"

QUICK = 4000
"""Samples of a check in passing: all of them starting tells 99.9 % with 95 % confidence (Wilson)."""
ADVICE = 2000
"""Samples with which remedies are compared."""
SEED = 1
FORMULAS = "ASME Y14.5-2009, Appendix B, fixed and floating fastener formulas"
TITLE = "chance that all bolts start"
HOPED = 0.999
CHANCE_LIMIT = Limit(95.0, "%", "Monte Carlo, Wilson interval; limits: common practice, no source", caution=100 * HOPED)
SHARE = 1.0 / 3.0
"""A survey's 95 % half axis may take this share of the bolts' clearance."""
ROW_HALF_AXIS = 0.2
"""The same for spots without bolts, mm: a third of the 0.6 mm that an O-ring-sealed injector forgives."""
PRACTICE = "common practice, no source"
SUSPICION = Limit(
    3.29, "deviations", "W. Baarda, A Testing Procedure for Use in Geodetic Networks (1968): two-sided 0.1 %",
    sense=Sense.AT_MOST,
)  # fmt: skip


def check_fit_up(stack: Stack, samples: int = QUICK) -> Iterator[Finding]:
    """Every joint with bolts between two faces, and every survey.

    `samples` beyond QUICK also seek the smallest holes by Monte Carlo. Same stack and samples: same findings.
    """
    for joint in stack.joints:
        if joint.surveyed is not None:
            yield from _survey(stack, joint)
        if joint.bolts is None or joint.lower is None or joint.upper is None:
            continue
        asked = question_of(stack, joint)
        if isinstance(asked, str):
            yield not_checked(WORST_CASE, "every bolt starts", joint.upper.owner, (joint.name,), asked)
        else:
            yield from _fit(stack, joint, asked, samples)


def _fit(stack: Stack, joint: Joint, asked: Asked, samples: int) -> Iterator[Finding]:
    from platemaker.survey import chance, fit_up, worst_cases  # noqa: PLC0415 - joints without tolerances need it not

    cases = worst_cases(asked.question)
    worst = min(range(len(cases)), key=lambda i: cases[i].margin)
    yield _worst_case(stack, joint, asked, cases, worst)
    if samples <= QUICK and joint.surveyed is None and cases[worst].margin >= -EQUAL:
        yield measured(
            CHANCE, TITLE, asked.part, (joint.name,), 100.0, CHANCE_LIMIT,
            note=f"no bolt can miss within its zones: the worst case holds; {asked.words}",
        )  # fmt: skip
        return
    found = chance(asked.question, samples, SEED)
    growth: float | None = None
    advice: tuple[str, ...] = ()
    if samples > QUICK or found.low < HOPED:
        full = fit_up(asked.question, samples if samples > QUICK else ADVICE, SEED)
        growth, advice = full.growth_999, full.advice
    yield _chance(stack, joint, asked, found, (growth, advice))


def _worst_case(stack: Stack, joint: Joint, asked: Asked, cases: tuple[WorstCase, ...], worst: int) -> Finding:
    case, fasteners = cases[worst], asked.question.fasteners
    limit = Limit(0.0, "mm", f"{FORMULAS}; {asked.words}")
    fastener = fasteners[worst]
    inputs: list[Input] = [
        ("F", fastener.diameter, "mm"), ("H", fastener.hole, "mm"),
        *([("H2", fastener.other_hole, "mm")] if fastener.other_hole is not None else []),
        ("T lower", float(asked.question.lower.zones[worst]), "mm"),
        ("T upper", float(asked.question.upper.zones[worst]), "mm"),
        ("allowed", case.allowed, "mm"), ("needed", case.needed, "mm"),
    ]  # fmt: skip
    smallest = _smallest(fasteners, cases)
    words = "" if smallest is None else f"; holes of at least {smallest:.2f} mm hold at worst"
    found = measured(
        WORST_CASE, "worst case: clearance left when all zones are used up", asked.part, (joint.name, case.name),
        case.margin, limit, points=_points(stack, joint, asked, case.name), note=case.formula + words, inputs=inputs,
    )  # fmt: skip
    # The worst case is rare: missing it is no failure while the chance is good.
    return advised(found)


def _smallest(fasteners: tuple[Fastener, ...], cases: tuple[WorstCase, ...]) -> float | None:
    """The smallest clearance hole for which the worst case holds, mm: of the bolts alone."""
    sizes = [
        fastener.hole - case.margin / (1.0 if fastener.is_fixed else 2.0)
        for fastener, case in zip(fasteners, cases, strict=True)
        if fastener.kind.value == "bolt"
    ]
    return max(sizes, default=None)


def _chance(
    stack: Stack, joint: Joint, asked: Asked, found: Chance, more: tuple[float | None, tuple[str, ...]]
) -> Finding:
    growth, advice = more
    binding = found.binding[0][0] if found.binding else asked.question.fasteners[0].name
    inputs: list[Input] = [
        ("samples", float(found.samples), ""), ("seed", float(found.seed), ""),
        ("95 % interval from", 100 * found.low, "%"), ("to", 100 * found.high, "%"),
    ]  # fmt: skip
    if growth is not None:
        bolt = min((one for one in asked.question.fasteners if one.kind.value == "bolt"), key=lambda one: one.hole)
        inputs.append(("smallest hole for 99.9 %", bolt.hole + growth, "mm"))
    told = [asked.words, *advice]
    value = 100.0 * found.probability
    finding = measured(
        CHANCE, TITLE, asked.part, (joint.name,), value, CHANCE_LIMIT,
        points=_points(stack, joint, asked, binding) if found.binding else (), note="; ".join(told), inputs=inputs,
    )  # fmt: skip
    # A tolerance that nobody asked for cannot fail a part.
    return finding if asked.told else advised(finding)


def _points(stack: Stack, joint: Joint, asked: Asked, spot: str) -> list[Vec3]:
    """Where a joint's bolt goes through the part that takes its head."""
    part = next((one for one in stack.parts if one.name == asked.part), None)
    holes: tuple[Hole, ...] = part.holes if part else ()
    return [hole.at for hole in holes if hole.joint == joint.name and hole.spot == spot]


def _survey(stack: Stack, joint: Joint) -> Iterator[Finding]:
    told, face = joint.surveyed, surveyed_face(stack, joint)
    if told is None:
        return
    owner = face.owner if face is not None else joint.name
    limit = Limit(ROW_HALF_AXIS, "mm", PRACTICE, sense=Sense.AT_MOST)
    if joint.bolts is not None:
        size = joint.bolts.thread.major_diameter
        clearance = clearance_hole(joint.bolts.thread, Fit(joint.bolts.fit)).diameter - size
        limit = replace(limit, fail=SHARE * clearance, source=f"a third of the bolts' clearance; {PRACTICE}")
    note = f"{told.file}: {told.readings} readings and diameters, {told.redundant} redundant"
    found = measured(
        SURVEYED, "surveyed holes: longest 95 % half axis", owner, (joint.name, told.worst), told.half_axis, limit,
        note="; ".join([note, *told.proposals]),
    )  # fmt: skip
    yield advised(found)
    for words, test, left_out in told.suspects:
        found = measured(SUSPECT, "reading against all others", owner, (joint.name, words.split(":")[0]), test,
                         SUSPICION, note=words)  # fmt: skip
        # The answer stands without a reading that was left out; one that cannot be told from others spoils it.
        yield replace(found, verdict=Verdict.CAUTION) if left_out else found
