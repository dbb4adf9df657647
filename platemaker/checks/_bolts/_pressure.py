"""Joints under pressure and load: do they stay closed, do bolts and threads hold, does the head sink in.

Hand calculation: rigid plates, bolts alike, load shared by the pattern; no shock but what the spec asks for.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from functools import cached_property

from platemaker.catalog import gasket_values
from platemaker.checks._advice import citations, inputs_of
from platemaker.checks._bolts._preload import Budget, Preload, budget_of, preload_of
from platemaker.checks._bolts._stiffness import Stiffness, stiffness_of
from platemaker.checks._finding import Finding, Input, Limit, Sense, Verdict, measured, not_checked, unproved
from platemaker.checks._loads._heat import bolt_share, joint_temperature
from platemaker.checks._loads._joint_loads import Case, Shares, cases_of, every_share, loads_on
from platemaker.checks._loads._seal_lines import SealLine, seal_line
from platemaker.errors import CatalogError, OutOfRange
from platemaker.formulas import (
    about,
    clamp_left,
    force_of_length_change,
    pattern_properties,
    separation_factor,
    worked,
    yield_factor,
)
from platemaker.parts import Design, Joint, Stack, Vec3
from platemaker.records import Record, replace
from platemaker.resolved import Bolt, BoltLength, alike, resolved_stack
from platemaker.units import Words, joined, said

CLOSED, PROOF, TIGHT, SLIP, UNHELD = "PM901", "PM902", "PM903", "PM908", "PM909"
BUDGET = "PM912"
LEFT = (0.1, 0.3)
"""Share of the preload aimed at that is left in the worst corner: fail, caution. Common practice, no source."""
FACE_FRICTION = 0.15
"""Friction of clamped faces, gasket or metal, taken low. Common practice, no source."""


class Loaded(Record):
    """Everything that is known of one joint's bolts before a case is put on them."""

    stack: Stack
    design: Design
    joint: Joint
    bolt: Bolt
    line: SealLine | None
    preload: Preload
    length: BoltLength
    stiffness: Stiffness
    budget: Budget

    @cached_property
    def _shares(self) -> dict[float, tuple[Shares, ...]]:
        return {}

    @property
    def temperature(self) -> float | None:
        """The joint's highest temperature, K; None where the spec gives none."""
        return joint_temperature(self.design, self.joint)

    def shares(self, pressure: float) -> tuple[Shares, ...]:
        """The bolts' shares under a pressure, MPa, for every combination of loads. Raises OutOfRange."""
        if pressure not in self._shares:
            self._shares[pressure] = every_share(self.stack, self.joint, self.line, pressure)
        return self._shares[pressure]

    @property
    def greatest_pull(self) -> float:
        """The most that a case pulls at one bolt, N, not below 0; where one has no answer the joint's checks fail."""
        pulls = [0.0]
        for case in cases_of(self.design, self.joint):
            try:
                pulls += (max(shares.tension.values()) for shares in self.shares(case.pressure))
            except OutOfRange:
                continue
        return max(pulls)


def check_pressure(joints: Iterable[Loaded]) -> Iterator[Finding]:
    """Separation, yield, preload and slip of every bolted joint that is under pressure or carries a load."""
    for one in joints:
        yield tightness(one.bolt, one.preload)
        yield _settled(one)
        for case in cases_of(one.design, one.joint):
            yield from _case(one, case)


def loaded_joints(stack: Stack) -> Iterator[Loaded | Finding]:
    """Every joint with all that is needed to load it, or the finding that says what is missing."""
    design = stack.design
    found = [bolt for bolt, _ in alike([one for one in resolved_stack(stack).bolts if one.is_closed])]
    for joint in stack.joints:
        if joint.bolts is None or not joint.ports or any(one.joint is joint for one in found):
            continue
        reason = "what its bolts are screwed into, or what their heads sit on, is not specified"
        yield not_checked(CLOSED, "joint under pressure", _owner(joint), (joint.name,), reason)
    for one in found:
        if one.joint is None:
            continue
        if design is None:
            if one.joint.ports:
                reason = "the spec has no `design` with the pressures"
                features = one.features_on(one.owner)
                yield not_checked(CLOSED, "joint under pressure", one.owner, features, reason)
            continue
        yield _loaded(stack, design, one.joint, one)


def check_loads(stack: Stack, found: Sequence[Loaded | Finding]) -> Iterator[Finding]:
    """Loads on joints that nothing is calculated for: whether such a joint holds is not shown, so it fails."""
    done = {one.joint.name for one in found if isinstance(one, Loaded)}
    for load in resolved_stack(stack).loads:
        for name in load.joints:
            if name in done:
                continue
            why = next((one.note for one in found if isinstance(one, Finding) and one.features[0] == name), "")
            if not why:
                why = "none of its bolts is calculated"
            owner, reason = _owner(stack.joint(name)), said("load_not_held", load=load.name, joint=name, why=why)
            yield unproved(UNHELD, "load on a joint that is not calculated", owner, (name, load.name), reason)


def _owner(joint: Joint) -> str:
    face = joint.upper or joint.lower
    return face.owner if face else joint.name


def _loaded(stack: Stack, design: Design, joint: Joint, one: Bolt) -> Loaded | Finding:
    features, title, length = one.features_on(one.owner), "joint under pressure", one.length
    if length is None or length.length is None:
        owner = one.tapped.owner if one.tapped else one.owner
        reason = f"no bolt length: thread depth or material of {owner} is not specified, or no stock length fits"
        return not_checked(CLOSED, title, one.owner, features, reason)
    try:
        preload = preload_of(design, one.bolts)
        if joint.gasket is not None:
            gasket_values(joint.gasket.material, joint.gasket.thickness)
        stiffness = stiffness_of(one, length.length)
    except (CatalogError, OutOfRange) as fault:
        return not_checked(CLOSED, title, one.owner, features, str(fault.args[0]))
    line, hot = seal_line(stack, joint), joint_temperature(design, joint)
    budget = budget_of(design, one, preload, stiffness, line, hot)
    return Loaded(stack, design, joint, one, line, preload, length, stiffness, budget)


def tightness(bolt: Bolt, pre: Preload) -> Finding:
    """The greatest preload against proof: above it the bolt stretches as it is tightened."""
    share = pre.high.result / pre.proof.result
    limit = Limit(1.0, "of proof", citations(pre.high, pre.proof), sense=Sense.AT_MOST)
    low, K, high = pre.factor
    inputs: list[Input] = [
        ("T", pre.torque, "N.mm"),
        ("K low, middle, high", (low, K, high), "", pre.condition),
        ("d", bolt.d, "mm"),
        *inputs_of(pre.proof),
        ("F low", pre.low.result, "N"),
        ("F middle", pre.nominal, "N"),
        ("F high", pre.high.result, "N"),
    ]
    title, part = "preload, high end, as share of proof", bolt.owner
    return measured(
        TIGHT, title, part, bolt.features_on(part), share, limit, points=bolt.points_on(part), inputs=inputs
    )


def _settled(one: Loaded) -> Finding:
    """What is left of the preload in its worst corner; the whole budget stands in the inputs."""
    budget, title = one.budget, "least preload left, all tolerances against it"
    inputs: list[Input] = [
        *budget.inputs,
        ("preload aimed at", budget.nominal, "N"),
        ("tightened low", budget.tightened[0], "N"),
        ("tightened high", budget.tightened[1], "N"),
        ("lost by the gasket", budget.relaxed, "N"),
        ("lost by embedding", budget.embedded, "N"),
        ("change when warm", "not known" if budget.hot is None else budget.hot, "N"),
        ("change when cold", budget.cold, "N"),
        ("low", budget.low, "N"),
        ("high", budget.high, "N"),
    ]
    source = f"{about(force_of_length_change).citation}; limit: common practice, no source"
    limit = Limit(LEFT[0], "of the preload aimed at", source, LEFT[1])
    found = measured(
        BUDGET, title, one.bolt.owner, _features(one), budget.low / budget.nominal, limit, points=_at(one),
        inputs=inputs, note=said("preload_left", preload=((budget.low / 1000, budget.high / 1000), "kN")),
    )  # fmt: skip
    if not budget.faults:
        return found
    verdict = found.verdict if found.verdict is Verdict.FAIL else Verdict.NOT_CHECKED
    return replace(found, verdict=verdict, note=joined(found.note, *budget.faults))


def _features(one: Loaded) -> tuple[str, ...]:
    return one.joint.name, one.bolt.name


def _at(one: Loaded, spot: str | None = None) -> list[Vec3]:
    bolts = resolved_stack(one.stack).bolts_of(one.joint.name)
    bolt = next((bolt for bolt in bolts if bolt.spot == spot), one.bolt)
    return bolt.points_on(bolt.owner)


def _case(one: Loaded, case: Case) -> Iterator[Finding]:
    """The worst bolt of the worst combination of loads: for tension and proof one, for slip another."""
    title, part = f"joint stays closed under {case.name}", one.bolt.owner
    try:
        every = one.shares(case.pressure)
    except OutOfRange as fault:
        found = unproved if loads_on(one.stack, one.joint) else not_checked
        yield found(CLOSED, title, part, (*_features(one), case.name), str(fault.args[0]))
        return
    shares = max(every, key=lambda each: round(each.tension[each.worst], 3))
    spot = shares.worst
    pull = max(shares.tension[spot], 0.0)
    inputs = _load_inputs(one, case, shares, spot)
    if pull > 0:
        yield _closed(one, case, spot, pull, inputs, _words(spot, shares))
    yield _proof(one, case, spot, pull, inputs, _words(spot, shares))
    if any(max(each.shear.values()) > 0 for each in every):
        yield _slip(one, case, every)


def _words(spot: str, shares: Shares) -> Words:
    """Which bolt is worst, and under which combination of loads."""
    return said("worst_bolt_under", bolt=spot, loads=shares.words) if shares.words else said("worst_bolt", bolt=spot)


def _load_inputs(one: Loaded, case: Case, shares: Shares, spot: str) -> list[Input]:
    """Pressure and area, the joint's stiffness, and what one bolt's share follows from."""
    line, stiff = one.line, one.stiffness
    area: list[Input] = []
    if line is not None:
        area = [("p", case.pressure, "MPa"), ("A", line.measures.area, "mm2", line.how)]
    return [
        *area,
        ("pull on the joint", shares.pull, "N"),
        *_spread(one.joint, shares, spot),
        ("grip", stiff.grip, "mm"),
        ("k_b", stiff.bolt, "N/mm"),
        ("k_m", stiff.members, "N/mm"),
        ("k_m without gasket", stiff.members_hard, "N/mm"),
    ]


def _spread(joint: Joint, shares: Shares, spot: str) -> list[Input]:
    """What one bolt's share follows from: the pattern about its middle, its moments, and where the bolt stands."""
    pattern, (x, y) = pattern_properties(list(joint.spots.values())), joint.spots[spot]
    m_x, m_y, m_z = shares.moments
    found: list[Input] = [("bolts", float(len(shares.tension)), "")]
    if shares.lever:
        found.append(("from the bolts' line to the edge it tilts about", shares.lever, "mm"))
    if not (m_x or m_y or m_z):
        return found
    return [
        *found,
        ("sum of T y", m_x, "N.mm"),
        ("sum of T x", m_y, "N.mm"),
        ("x from the middle", x - pattern.x, "mm"),
        ("y from the middle", y - pattern.y, "mm"),
        ("S_xx", pattern.S_xx, "mm2"),
        ("S_yy", pattern.S_yy, "mm2"),
        ("S_xy", pattern.S_xy, "mm2"),
    ]


def _closed(one: Loaded, case: Case, spot: str, pull: float, inputs: list[Input], words: Words) -> Finding:
    """Separation at the least preload; C without the gasket, which takes more off the clamp."""
    C, F = one.stiffness.share_hard, one.budget.low
    factor = worked(separation_factor, C=C, P=pull, F_i=F)
    left = worked(clamp_left, C=C, P=pull, F_i=F)
    fail, caution = (1.0, 1.2) if case.rare else (1.5, 2.0)
    limit = Limit(fail, "times the load", f"{factor.formula.citation}; limit: common practice, no source", caution)
    return measured(
        CLOSED, f"joint stays closed under {case.name}", one.bolt.owner, (*_features(one), case.name),
        factor.result, limit, points=_at(one, spot),
        inputs=[*inputs, *inputs_of(factor), ("clamp left F_m", left.result, "N")],
        note=said("clamp_left", where=words, left=(left.result / 1000, "kN"), clamp=(F / 1000, "kN")),
    )  # fmt: skip


def _proof(one: Loaded, case: Case, spot: str, pull: float, inputs: list[Input], words: Words) -> Finding:
    """The bolt at the greatest preload and the load, against proof; C with the gasket, which loads the bolt more."""
    strength = one.preload.strength * bolt_share(one.bolt.bolts, one.temperature)
    result = worked(
        yield_factor, S_p=strength, A_t=one.bolt.bolts.thread.stress_area, C=one.stiffness.share, P=pull,
        F_i=one.budget.high,
    )  # fmt: skip
    limit = Limit(1.0, "times proof", f"{result.formula.citation}; limit: common practice, no source", 1.05)
    return measured(
        PROOF, f"bolt below proof under {case.name}", one.bolt.owner, (*_features(one), case.name),
        result.result, limit, points=_at(one, spot), inputs=[*inputs, *inputs_of(result)], note=words,
    )  # fmt: skip


def _slip(one: Loaded, case: Case, every: Sequence[Shares]) -> Finding:
    """Friction of the clamp that is left against the shear on each bolt; dowels would help and are not counted."""
    C, F = one.stiffness.share_hard, one.budget.low
    held, shares, spot = min(
        (
            (FACE_FRICTION * max(F - (1 - C) * max(shares.tension[spot], 0.0), 0.0) / shear, shares, spot)
            for shares in every
            for spot, shear in shares.shear.items()
            if shear > 0
        ),
        key=lambda each: round(each[0], 9),
    )
    limit = Limit(1.0, "times the shear", "friction of the clamp left; common practice, no source", 1.5)
    shear, (f_x, f_y) = shares.shear[spot], shares.sideways
    more: list[Input] = [
        ("friction", FACE_FRICTION, ""),
        ("F_x", f_x, "N"),
        ("F_y", f_y, "N"),
        ("turning moment", shares.moments[2], "N.mm"),
        ("shear at the bolt", shear, "N"),
        ("pull at the bolt", max(shares.tension[spot], 0.0), "N"),
        ("F_i", F, "N"),
        ("C", C, ""),
    ]
    return measured(
        SLIP, f"friction against sideways slip under {case.name}", one.bolt.owner,
        (*_features(one), case.name), held, limit, points=_at(one, spot),
        inputs=[*_load_inputs(one, case, shares, spot), *more],
        note=_words(spot, shares),
    )  # fmt: skip
