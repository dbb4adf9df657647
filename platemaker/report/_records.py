"""What a report is made from besides parts and findings, and the counts that stand on top of it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence

from platemaker.checks import Finding, Verdict
from platemaker.parts import Joint, Part
from platemaker.records import Record, field

SAFETY = (
    (
        "Boost, fuel, hot oil and rotating belts can burn, cut and kill. Let no one run parts made from this report "
        "before each has been looked at, measured and fitted by someone who answers for it."
    ),
    (
        "Every figure here is at the level of a hand calculation: nominal dimensions, textbook formulas, strengths at "
        "room temperature unless stated. It does not replace a qualified engineer, and it does not replace the law, "
        "the rules of the event or the code that holds where the engine runs."
    ),
    "What a check could not measure is listed as not checked. That is not a pass.",
)
"""Safety text that every report carries."""


class Meta(Record):
    """What a report says of its own making.

    `version` is platemaker's, `spec_hash` the hash of the spec it was made from, `spec_name` the project.
    `volumes` are the parts' volumes, mm3, by part name, as the caller proved them; a part without one shows no mass.
    """

    version: str
    spec_hash: str
    spec_name: str = ""
    volumes: Mapping[str, float] = field(default_factory=dict)


class Facts(Record):
    """A part's size over all (x, y, z), mm; volume, mm3, and mass, kg, where the volume is known."""

    size: tuple[float, float, float]
    volume: float | None
    mass: float | None


def facts_of(part: Part, meta: Meta) -> Facts:
    """Size of the blank, and mass from the given volume and the material's density (kg/m3)."""
    volume = meta.volumes.get(part.name)
    mass = None if volume is None else volume * part.material.density * 1e-9
    return Facts(part.stock.size, volume, mass)


def identified(findings: Sequence[Finding]) -> list[tuple[str, Finding]]:
    """Findings with an id each, in the order given; of several with one id all but the first in the part get a number.

    Whatever order they are given in, each has the same.
    """
    seen: Counter[str] = Counter()
    names: dict[int, str] = {}
    order = sorted(enumerate(findings), key=lambda one: (one[1].points, one[1].title, one[1].measured or 0.0))
    for place, finding in order:
        seen[finding.id] += 1
        names[place] = finding.id if seen[finding.id] == 1 else f"{finding.id}#{seen[finding.id]}"
    return [(names[place], finding) for place, finding in enumerate(findings)]


def counts_of(findings: Sequence[Finding]) -> dict[Verdict, int]:
    """How many findings there are of each verdict, worst verdict first."""
    counts = Counter(finding.verdict for finding in findings)
    return {verdict: counts[verdict] for verdict in sorted(Verdict, key=lambda one: -one.rank)}


def overall(findings: Sequence[Finding]) -> Verdict:
    """The worst verdict among what was measured; `not checked` when nothing was.

    >>> overall([]).value
    'not checked'
    """
    verdicts = {finding.verdict for finding in findings}
    for verdict in (Verdict.FAIL, Verdict.CAUTION, Verdict.ACCEPTED, Verdict.PASS):
        if verdict in verdicts:
            return verdict
    return Verdict.NOT_CHECKED


_PLURALS = {Verdict.FAIL: "fails", Verdict.CAUTION: "cautions", Verdict.PASS: "passes"}


def summary_line(findings: Sequence[Finding]) -> str:
    """The counts in one line of words.

    >>> summary_line([])
    'no findings'
    """
    parts = []
    for verdict, count in counts_of(findings).items():
        if count:
            parts.append(f"{count} {verdict.value if count == 1 else _PLURALS.get(verdict, verdict.value)}")
    return ", ".join(parts) or "no findings"


def source_of(joint: Joint) -> str:
    """Where a joint's coordinates come from: the source that the spec names, and the survey if it has one."""
    stated = joint.surveyed
    survey = f"survey {stated.file}, {stated.readings} readings" if stated else ""
    return "; ".join(text for text in (joint.source, survey) if text)
