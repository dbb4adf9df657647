"""Will it bolt up: the worst case of every bolt by formula, and the chance that all of a joint's bolts start."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from platemaker.checks._advice import advised
from platemaker.checks._finding import EQUAL, PRACTICE, Finding, Input, Limit, Sense, Verdict, measured, not_checked
from platemaker.checks._fit._fit_up_question import Asked, question_of, surveyed_face
from platemaker.checks._fit._unchecked import ROW_HALF_AXIS, check_unnoticed, guarded, play_of
from platemaker.parts import Joint, Stack, Suspects, Vec3
from platemaker.records import replace
from platemaker.resolved import resolved_stack
from platemaker.units import Words, joined, said

if TYPE_CHECKING:
    from platemaker.fit_up import FitUpResult, HoleForShare

WORST_CASE, CHANCE, SURVEYED, SUSPECT = "PM801", "PM802", "PM803", "PM804"

SAMPLES = 4_000
"""Samples where no other number is asked for: 3,688 bound the hole for 99.9 % on both sides; with 4,000 the low end of
Wilson's interval is above 99.9 % when none fails."""
SEED = 1
FORMULAS = "ASME Y14.5-2009, Appendix B, fixed and floating fastener formulas"
TITLE = "chance that all bolts start"
HOPED = 0.999
CHANCE_LIMIT = Limit(95.0, "%", "Monte Carlo, Wilson interval; limits: common practice, no source", caution=100 * HOPED)
SHARE = 1.0 / 3.0
"""A survey's 95 % half axis may take this share of the bolts' clearance."""
SUSPICION = Limit(
    3.29, "deviations", "W. Baarda, A Testing Procedure for Use in Geodetic Networks (1968): two-sided 0.1 %",
    sense=Sense.AT_MOST,
)  # fmt: skip


def check_fit_up(stack: Stack, samples: int = SAMPLES) -> Iterator[Finding]:
    """Every joint with bolts between two faces, and every survey. Same stack and samples: same findings."""
    for joint in stack.joints:
        if joint.surveyed is not None:
            yield from _survey(stack, joint)
        yield from _surveys_of_ports(stack, joint)
        if joint.bolts is None or joint.lower is None or joint.upper is None:
            continue
        asked = question_of(stack, joint)
        if not isinstance(asked, Asked):
            yield not_checked(WORST_CASE, "every bolt starts", joint.upper.owner, (joint.name,), asked)
        else:
            yield from guarded(joint, _fit(stack, joint, asked, samples))


def _fit(stack: Stack, joint: Joint, asked: Asked, samples: int) -> Iterator[Finding]:
    from platemaker.fit_up import fit_up  # noqa: PLC0415 - joints without tolerances need it not

    result = fit_up(asked.question, samples, SEED)
    yield _worst_case(stack, joint, asked, result)
    yield _chance(stack, joint, asked, result)


def _worst_case(stack: Stack, joint: Joint, asked: Asked, result: FitUpResult) -> Finding:
    """The bolt that has the least left."""
    cases, fasteners = result.worst_cases, asked.question.fasteners
    worst = min(range(len(cases)), key=lambda i: cases[i].margin)
    case, fastener = cases[worst], fasteners[worst]
    limit = Limit(0.0, "mm", FORMULAS)
    zones = [float(half.zones[worst]) for half in (asked.question.lower, asked.question.upper)]
    known = case.needed - sum(zones)
    inputs: list[Input] = [
        ("F", fastener.diameter + fastener.thicker, "mm"), ("H", fastener.hole, "mm"),
        *([("H2", fastener.other_hole, "mm")] if fastener.other_hole is not None else []),
        ("T lower", zones[0], "mm"), ("T upper", zones[1], "mm"),
        *([("survey and mismatch", known, "mm")] if known > EQUAL else []),
        ("allowed", case.allowed, "mm"), ("needed", case.needed, "mm"),
    ]  # fmt: skip
    words: list[Words] = [case.formula]
    if result.hole_worst_case is None:
        words.append("no clearance hole holds at worst: a dowel does not")
    else:
        inputs.append(("smallest hole, worst case", result.hole_worst_case, "mm"))
        words.append(said("holds_at_worst", hole=(result.hole_worst_case, "mm")))
    found = measured(
        WORST_CASE, "worst case: clearance left with all position tolerances used up", asked.part,
        (joint.name, case.name), case.margin, limit, points=_points(stack, joint, asked, case.name), inputs=inputs,
        note=joined(*words, *result.worst_case_advice, asked.words),
    )  # fmt: skip
    # The worst case is rare: missing it is no failure while the chance is good.
    return advised(found)


def _chance(stack: Stack, joint: Joint, asked: Asked, result: FitUpResult) -> Finding:
    found, hole = result.chance, result.hole_999
    binding = found.binding[0][0] if found.binding else asked.question.fasteners[0].name
    inputs: list[Input] = [
        ("samples", float(found.samples), ""), ("seed", float(found.seed), ""),
        ("95 % interval from", 100 * found.low, "%"), ("to", 100 * found.high, "%"),
    ]  # fmt: skip
    if hole is not None:
        inputs += [("smallest hole for 99.9 %", hole.diameter, "mm"), ("hole, 95 % interval from", hole.low, "mm")]
        inputs += [("hole, to", hole.high, "mm")] if hole.high is not None else []
    read = any(face.read for face in joint.faces)
    certain = result.worst_case_holds and joint.surveyed is None and not read
    notes: list[Words] = ["no bolt can miss within its zones: the worst case holds"] if certain else []
    notes += [_hole_in_words(hole, found.samples), *result.advice, asked.words]
    finding = measured(
        CHANCE, TITLE, asked.part, (joint.name,), 100.0 * found.probability, CHANCE_LIMIT, inputs=inputs,
        points=_points(stack, joint, asked, binding) if found.binding else (), note=joined(*notes),
    )  # fmt: skip
    # A tolerance that nobody asked for cannot fail a part.
    return finding if asked.specified else advised(finding)


def _hole_in_words(hole: HoleForShare | None, samples: int) -> Words:
    if hole is None:
        return said("no_hole_starts", samples=(samples, ""))
    if hole.high is None:
        return said("starts_from", hole=(hole.diameter, "mm"), low=(hole.low, "mm"), samples=(samples, ""))
    interval = (hole.low, hole.high)
    return said("starts", hole=(hole.diameter, "mm"), interval=(interval, "mm"), samples=(samples, ""))


def _points(stack: Stack, joint: Joint, asked: Asked, spot: str) -> list[Vec3]:
    """Where a joint's bolt goes through the part that takes its head."""
    side = resolved_stack(stack).joint(joint.name).side(asked.part)
    return [side.holes[spot].at] if side is not None and spot in side.holes else []


def _survey(stack: Stack, joint: Joint) -> Iterator[Finding]:
    surveyed, face = joint.surveyed, surveyed_face(stack, joint)
    if surveyed is None:
        return
    owner = face.owner if face is not None else joint.name
    limit = Limit(ROW_HALF_AXIS, "mm", PRACTICE, sense=Sense.AT_MOST)
    if joint.bolts is not None:
        limit = replace(limit, fail=2 * SHARE * play_of(joint), source=f"a third of the bolts' clearance; {PRACTICE}")
    counts = (surveyed.readings, ""), (surveyed.redundant, "")
    note = said("surveyed", file=surveyed.file, readings=counts[0], redundant=counts[1])
    found = measured(
        SURVEYED, "surveyed holes: largest 95 % uncertainty", owner, (joint.name, surveyed.worst), surveyed.half_axis,
        limit, note=joined(note, *surveyed.proposals),
    )  # fmt: skip
    yield advised(found)
    yield from _suspects(joint, owner, surveyed.suspects)
    yield from check_unnoticed(stack, joint, owner, surveyed.file, surveyed.weak)


def _surveys_of_ports(stack: Stack, joint: Joint) -> Iterator[Finding]:
    """Suspect readings of the surveys that ports alone were taken from."""
    seen = {joint.surveyed.file} if joint.surveyed is not None else set[str]()
    bodies = {body.name for body in stack.bodies}
    # A survey is of an existing body: found there, where a made part on the other side takes its port from it too.
    for face in sorted(joint.faces, key=lambda face: face.owner not in bodies):
        surveyed = [port.surveyed for port in joint.ports_of(face.owner) if port.surveyed is not None]
        for file in dict.fromkeys(port.file for port in surveyed if port.file not in seen):
            seen.add(file)
            ports = [port for port in surveyed if port.file == file]
            weak = tuple(sorted((one for port in ports for one in port.weak), key=lambda one: -one.shift))
            yield from _suspects(joint, face.owner, ports[0].suspects)
            yield from check_unnoticed(stack, joint, face.owner, file, weak)


def _suspects(joint: Joint, owner: str, suspects: Suspects) -> Iterator[Finding]:
    for one in suspects:
        found = measured(SUSPECT, "reading against all others", owner, (joint.name, one.name), one.test,
                         SUSPICION, note=one.words)  # fmt: skip
        # The answer stands without a reading that was left out; one that cannot be distinguished from others spoils it.
        yield replace(found, verdict=Verdict.CAUTION) if one.left_out else found
